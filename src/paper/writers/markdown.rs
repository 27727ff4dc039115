//! A document as Markdown: formulas between dollar signs, figures as files beside it.

use super::figure_name;
use crate::paper::document::{Block, Document, TableCell};
use crate::paper::words::{Run, Text};

/// The text; figures are files of [`figure_name`] in the folder `figures`.
pub fn markdown(document: &Document, stem: &str) -> String {
    let mut out = format!("# {}\n\n", text(&document.title));
    if let Some(subtitle) = &document.subtitle {
        // White space inside the stars would make them stars.
        out += &format!("*{}*\n\n", escaped(subtitle.trim()));
    }
    for block in &document.blocks {
        out += &lines(document, block, stem);
        out += "\n\n";
    }
    // One blank line between blocks, one line end at the end.
    out.trim_end().to_owned() + "\n"
}

fn lines(document: &Document, block: &Block, stem: &str) -> String {
    match block {
        Block::Fields(fields) => {
            let field = |field: &Text| format!("{}: ____________________", text(field));
            fields.iter().map(field).collect::<Vec<_>>().join("   ")
        }
        Block::Heading(heading) => format!("## {}", text(heading)),
        Block::Item(head, points) => format!("## {} ({})", text(head), text(points)),
        Block::Label(label) => format!("**{}**", text(label)),
        Block::Paragraph(paragraph) => text(paragraph),
        Block::Lettered(letter, paragraph) => format!("**{letter}** {}", text(paragraph)),
        Block::Options(options) => {
            let option =
                |(letter, option): &(String, Text)| format!("- **{letter}** {}", text(option));
            options.iter().map(option).collect::<Vec<_>>().join("\n")
        }
        Block::Table(columns, rows) => table(columns, rows),
        Block::Figure(figure) => {
            let title = escaped(&document.figures[*figure].picture.title);
            format!("![{title}](figures/{})", figure_name(stem, *figure))
        }
        Block::Answer(lines, label) => {
            format!("{}\n\n{} ____________________", "<br>\n".repeat(*lines as usize), text(label))
        }
        Block::Room(lines) => "<br>\n".repeat(*lines as usize).trim_end().to_owned(),
        Block::Step(step, points) if points.0.is_empty() => format!("- {}", text(step)),
        Block::Step(step, points) => format!("- {} *({})*", text(step), text(points)),
        Block::Note(note) => format!("> {}", text(note)),
    }
}

fn table(columns: &[Text], rows: &[Vec<TableCell>]) -> String {
    let line = |cells: Vec<String>| format!("| {} |", cells.join(" | "));
    let head = line(columns.iter().map(text).collect());
    let rule = line(vec!["---".to_owned(); columns.len()]);
    let cell = |cell: &TableCell| match cell {
        TableCell::Text(content) => text(content),
        TableCell::Blank => " ".to_owned(),
        TableCell::Box => "☐".to_owned(),
    };
    let rows = rows.iter().map(|row| line(row.iter().map(cell).collect()));
    [head, rule].into_iter().chain(rows).collect::<Vec<_>>().join("\n")
}

fn text(text: &Text) -> String {
    let run = |run: &Run| match run {
        Run::Plain(plain) | Run::Told(plain, _) => escaped(plain),
        Run::Maths(maths) => format!("${}$", maths.latex()),
    };
    text.0.iter().map(run).collect()
}

fn escaped(text: &str) -> String {
    markdown_escaped(text)
}

/// Signs that are markup anywhere, in Markdown or in what is often added to it: links that need
/// no brackets, footnotes, formulas, attributes.
const SIGNS: &str = "\\`*_[]<>{}$|#~^&@";
/// Signs that are markup at the beginning of a line: lists, headings, rules, titles.
const OPENERS: &str = "-+=%.):\"";

/// A text of somebody else in which nothing is markup: read as Markdown it shows the same
/// letters. White space is as in HTML: any of it is one space.
pub fn markdown_escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut before = ' ';
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let next = chars.peek().copied().unwrap_or(' ');
        if c.is_ascii_whitespace() || c == '\u{b}' {
            if !next.is_ascii_whitespace() {
                out.push(' ');
            }
        } else if c.is_control() {
            out.push('\u{fffd}');
        } else {
            if SIGNS.contains(c) || is_opener(c, &out, before, next) {
                out.push('\\');
            }
            out.push(c);
        }
        before = c;
    }
    out
}

/// Whether a sign after `out` would begin a list, a heading or a link.
fn is_opener(c: char, out: &str, before: char, next: char) -> bool {
    let ends_word = next.is_whitespace();
    match c {
        _ if out.trim().is_empty() && OPENERS.contains(c) => true,
        // "1. " and "1) " begin lists; "www." a link.
        '.' | ')' if before.is_ascii_digit() => ends_word,
        '.' => out
            .as_bytes()
            .last_chunk()
            .is_some_and(|end: &[u8; 3]| end.eq_ignore_ascii_case(b"www")),
        // "https://" begins a link, ":name:" a picture.
        ':' => !ends_word,
        _ => false,
    }
}
