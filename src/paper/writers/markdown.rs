//! A document as Markdown: formulas between dollar signs, figures as files beside it.

use super::figure_name;
use crate::paper::document::{Block, Document, TableCell};
use crate::paper::words::{Run, Text};

/// The text; figures are files of [`figure_name`] in the folder `figures`.
pub fn markdown(document: &Document, stem: &str) -> String {
    let mut out = format!("# {}\n\n", text(&document.title));
    if let Some(subtitle) = &document.subtitle {
        out += &format!("*{}*\n\n", escaped(subtitle));
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
    let special =
        |c: char| if "\\`*_[]<>$|#".contains(c) { format!("\\{c}") } else { c.to_string() };
    text.chars().map(special).collect()
}
