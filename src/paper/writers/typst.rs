//! A document as Typst source, which needs no package.

use std::fmt::Write as _;

use super::{figure_name, is_long};
use crate::brief::PaperSize;
use crate::paper::document::{Block, Document, TableCell};
use crate::paper::words::{Run, Text};

/// What every document begins with, besides its size.
const HEAD: &str = r##"#set text(size: 11pt)
#set par(justify: false)
#show heading.where(level: 1): set text(size: 16pt)
#show heading.where(level: 2): it => block(above: 1.6em, below: 0.8em, sticky: true, width: 100%, stroke: (top: 0.6pt + luma(130)), inset: (top: 0.5em), text(size: 12pt, it.body))
#let field(label) = box(width: 1fr)[#label: #box(width: 1fr, line(length: 100%, stroke: 0.5pt))]
#let answer(label) = align(right, box(width: 60%)[#label #box(width: 1fr, line(length: 100%, stroke: 0.5pt))])
#let part(letter, body) = grid(columns: (2em, 1fr), strong(letter), body)
#let step(body, points) = block(stroke: (left: 1.5pt + luma(190)), inset: (left: 0.8em, y: 0.2em), grid(columns: (1fr, auto), gutter: 1em, body, text(fill: luma(90), size: 9pt, points)))
#let note(body) = block(above: 0.5em, below: 0.5em, text(size: 9pt, fill: luma(70), body))
"##;

/// The source; figures are files of [`figure_name`] in the folder `figures`.
pub fn typst(document: &Document, stem: &str) -> String {
    let paper = match document.size {
        PaperSize::A4 => "a4",
        PaperSize::Letter => "us-letter",
    };
    let mut out = format!(
        "#set page(paper: \"{paper}\", margin: (x: 20mm, y: 20mm), numbering: \"1 / 1\")\n\
         #set text(lang: \"{}\")\n#set document(title: {})\n{HEAD}\n= {}\n",
        document.language,
        quoted(&document.title.plain()),
        text(&document.title)
    );
    if let Some(subtitle) = &document.subtitle {
        let _ = writeln!(out, "#text(fill: luma(90))[{}]\n", escaped(subtitle));
    }
    for block in &document.blocks {
        out += &lines(document, block, stem);
        out += "\n\n";
    }
    out.trim_end().to_owned() + "\n"
}

fn lines(document: &Document, block: &Block, stem: &str) -> String {
    match block {
        Block::Fields(fields) => {
            let field = |field: &Text| format!("field[{}]", text(field));
            let fields: Vec<String> = fields.iter().map(field).collect();
            let columns = "1fr, ".repeat(fields.len());
            format!("#grid(columns: ({columns}), gutter: 1.5em, {})", fields.join(", "))
        }
        Block::Heading(heading) => format!("== {}", text(heading)),
        Block::Item(head, points) => {
            format!(
                "== {} #h(1fr) #text(size: 9pt, weight: \"regular\")[{}]",
                text(head),
                text(points)
            )
        }
        Block::Label(label) => {
            format!("#block(above: 1.1em, below: 0.7em, sticky: true)[*{}*]", text(label))
        }
        Block::Paragraph(paragraph) => text(paragraph),
        Block::Lettered(letter, paragraph) => {
            format!("#part[{}][{}]", escaped(letter), text(paragraph))
        }
        Block::Options(options) => {
            let option = |(letter, option): &(String, Text)| {
                format!("[*{letter}* #h(0.4em) {}]", text(option))
            };
            let options: Vec<String> = options.iter().map(option).collect();
            format!(
                "#pad(left: 2em, grid(columns: (1fr, 1fr), gutter: 0.8em, {}))",
                options.join(", ")
            )
        }
        Block::Table(columns, rows) => table(columns, rows),
        Block::Figure(figure) => {
            let width = 100.0 * document.figures[*figure].share;
            let name = figure_name(stem, *figure);
            format!("#align(center, image(\"figures/{name}\", width: {width:.0}%))")
        }
        Block::Answer(lines, label) => {
            format!(
                "#block(breakable: false, width: 100%)[#v({}mm) #answer[{}]]",
                7 * lines,
                text(label)
            )
        }
        Block::Room(lines) => format!("#v({}mm)", 7 * lines),
        Block::Step(step, points) => format!("#step[{}][{}]", text(step), text(points)),
        Block::Note(note) => format!("#note[{}]", text(note)),
    }
}

fn table(columns: &[Text], rows: &[Vec<TableCell>]) -> String {
    let cell = |cell: &TableCell| match cell {
        TableCell::Text(content) => format!("[{}]", text(content)),
        TableCell::Blank => "box(width: 22mm, height: 6mm)".to_owned(),
        TableCell::Box => {
            "align(center, box(width: 3.5mm, height: 3.5mm, stroke: 0.5pt))".to_owned()
        }
    };
    let head: Vec<String> = columns.iter().map(|column| format!("[*{}*]", text(column))).collect();
    let rows: Vec<String> =
        rows.iter().map(|row| row.iter().map(cell).collect::<Vec<_>>().join(", ")).collect();
    format!(
        "#block(breakable: {}, table(columns: {}, stroke: 0.5pt, align: horizon, inset: 5pt,\n  \
         table.header({}),\n  {}))",
        is_long(&rows),
        columns.len(),
        head.join(", "),
        rows.join(",\n  ")
    )
}

fn text(text: &Text) -> String {
    let run = |run: &Run| match run {
        Run::Plain(plain) | Run::Told(plain, _) => escaped(plain),
        Run::Maths(maths) => format!("${}$", maths.typst()),
    };
    text.0.iter().map(run).collect()
}

/// A text in which nothing is markup. Points are escaped where they would begin a list or
/// become an ellipsis; line ends, which could begin a paragraph, are spaces.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let point = c == '.' && chars.peek().is_none_or(|next| ". ".contains(*next));
        match c {
            c if c.is_whitespace() && c.is_control() => out.push(' '),
            c if c.is_control() => out.push('\u{fffd}'),
            c if point || "\\`*_[]<>$#@~=-+/\"'".contains(c) => out.extend(['\\', c]),
            c => out.push(c),
        }
    }
    out
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
