//! A document as text for a terminal: wrapped lines, tables in columns, formulas in a line.

use unicode_width::UnicodeWidthStr as _;

use crate::paper::document::{Block, Document, TableCell};
use crate::paper::words::Text;

/// Characters of a line.
const WIDTH: usize = 92;
/// Below a heading.
const RULE: &str = "─";

/// The text. Figures are left out; `figures` says in a line how to see them, where there are any.
pub fn plain(document: &Document, figures: &str) -> String {
    let title = document.title.plain();
    let mut out = format!("{title}\n{}\n", "═".repeat(title.width().min(WIDTH)));
    for block in &document.blocks {
        out += &lines(block);
    }
    if !document.figures.is_empty() {
        out += &format!("\n{}", wrapped(figures, 0));
    }
    out
}

fn lines(block: &Block) -> String {
    match block {
        Block::Heading(heading) => headed(&heading.plain()),
        Block::Item(head, points) => headed(&format!("{} ({})", head.plain(), points.plain())),
        Block::Label(label) => format!("\n{}\n", label.plain()),
        Block::Paragraph(paragraph) => wrapped(&paragraph.plain(), 2),
        Block::Lettered(letter, paragraph) => {
            wrapped(&format!("{letter} {}", paragraph.plain()), 2)
        }
        Block::Options(options) => {
            let option = |(letter, option): &(String, Text)| {
                wrapped(&format!("{letter}  {}", option.plain()), 4)
            };
            options.iter().map(option).collect()
        }
        Block::Table(columns, rows) => table(columns, rows),
        Block::Figure(_) | Block::Room(_) => String::new(),
        Block::Fields(fields) => {
            fields.iter().map(|field| format!("  {}: ____________\n", field.plain())).collect()
        }
        Block::Answer(_, label) => format!("  {} ____________\n", label.plain()),
        Block::Step(step, points) => {
            wrapped(format!("{} {}", step.plain(), points.plain()).trim_end(), 6)
        }
        Block::Note(note) => wrapped(&note.plain(), 2),
    }
}

fn headed(heading: &str) -> String {
    format!("\n\n{heading}\n{}\n", RULE.repeat(heading.width().min(WIDTH)))
}

/// Words on lines of at most [`WIDTH`] characters; what is longer stays whole.
fn wrapped(text: &str, indent: usize) -> String {
    let mut out = String::new();
    let mut line = " ".repeat(indent);
    for word in text.split_whitespace() {
        if line.trim().is_empty() {
            line.push_str(word);
        } else if line.width() + 1 + word.width() <= WIDTH {
            line.push(' ');
            line.push_str(word);
        } else {
            out += &format!("{line}\n");
            line = format!("{}{word}", " ".repeat(indent));
        }
    }
    if !line.trim().is_empty() {
        out += &format!("{line}\n");
    }
    out
}

fn table(columns: &[Text], rows: &[Vec<TableCell>]) -> String {
    let cell = |cell: &TableCell| match cell {
        TableCell::Text(content) => content.plain(),
        TableCell::Blank => "____".to_owned(),
        TableCell::Box => "☐".to_owned(),
    };
    let head: Vec<String> = columns.iter().map(Text::plain).collect();
    let body: Vec<Vec<String>> = rows.iter().map(|row| row.iter().map(cell).collect()).collect();
    let width = |column: usize| {
        let all = body.iter().filter_map(|row| row.get(column)).chain(head.get(column));
        all.map(|text| text.width()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..head.len()).map(width).collect();
    let line = |cells: &Vec<String>| {
        let padded = cells.iter().zip(&widths).map(|(text, width)| {
            format!("{text}{}", " ".repeat(width.saturating_sub(text.width())))
        });
        format!("  {}\n", padded.collect::<Vec<_>>().join("  ").trim_end())
    };
    let rule = RULE.repeat(widths.iter().sum::<usize>() + 2 * widths.len().saturating_sub(1));
    let body: String = body.iter().map(line).collect();
    format!("{}  {rule}\n{body}\n", line(&head))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_wrapped_and_columns_stand_below_each_other() {
        let long = "word ".repeat(60);
        assert!(wrapped(&long, 2).lines().all(|line| line.width() <= WIDTH));
        let text = |text: &str| Text::plainly(text);
        let row = vec![TableCell::Text(text("ω")), TableCell::Text(text("27/11"))];
        let table = table(&[text("speed"), text("ratio")], &[row]);
        assert_eq!(table, "  speed  ratio\n  ────────────\n  ω      27/11\n\n");
    }
}
