//! A document as one HTML page for print: formulas in MathML, figures inside, no script.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use super::is_long;
use crate::brief::PaperSize;
use crate::draw::page_colours;
use crate::paper::document::{Block, Document, TableCell};
use crate::paper::policy::page_policy;
use crate::paper::words::{Run, Text};

const STYLE: &str = include_str!("paper.css");

/// The whole page.
pub fn html(document: &Document) -> String {
    let title = document.title.plain();
    let style = style(document);
    let mut page = format!(
        "<!doctype html>\n<html lang=\"{}\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         {}\n<title>{}</title>\n<style>{style}</style>\n</head>\n<body>\n<h1>{}</h1>\n",
        document.language,
        page_policy(&style, None),
        escaped(&title),
        markup(&document.title)
    );
    if let Some(subtitle) = &document.subtitle {
        let _ = writeln!(page, "<p class=\"subtitle\">{}</p>", escaped(subtitle));
    }
    let mut open = false;
    for block in &document.blocks {
        // An item stays together with what belongs to it.
        if matches!(block, Block::Item(..) | Block::Heading(_)) {
            if open {
                page.push_str("</section>\n");
            }
            page.push_str("<section>\n");
            open = true;
        }
        page.push_str(&element(document, block));
        page.push('\n');
    }
    if open {
        page.push_str("</section>\n");
    }
    page + "</body>\n</html>\n"
}

/// The style sheet, with a class for every size of a figure or of room to write that occurs:
/// sizes in the elements themselves would be styles that the page's policy forbids.
fn style(document: &Document) -> String {
    let size = match document.size {
        PaperSize::A4 => "A4",
        PaperSize::Letter => "letter",
    };
    let sizes = document.blocks.iter().filter_map(|block| match block {
        Block::Figure(figure) => {
            let width = percent(document, *figure);
            Some(format!(".width-{width} {{ width: {width}%; }}\n"))
        }
        Block::Answer(lines, _) | Block::Room(lines) => {
            Some(format!(".lines-{lines} {{ height: {}mm; }}\n", 7 * lines))
        }
        _ => None,
    });
    let sizes: String = sizes.collect::<BTreeSet<_>>().into_iter().collect();
    format!("\n@page {{ size: {size}; }}\n{}{STYLE}{sizes}", page_colours())
}

/// How much of the page's width a figure takes.
fn percent(document: &Document, figure: usize) -> u32 {
    (100.0 * document.figures[figure].share).round() as u32
}

fn element(document: &Document, block: &Block) -> String {
    match block {
        Block::Fields(fields) => {
            let field = |field: &Text| format!("<span>{}: <i></i></span>", markup(field));
            let fields: String = fields.iter().map(field).collect();
            format!("<p class=\"fields\">{fields}</p>")
        }
        Block::Heading(heading) => format!("<h2>{}</h2>", markup(heading)),
        Block::Item(head, points) => {
            format!("<h2>{} <small>{}</small></h2>", markup(head), markup(points))
        }
        Block::Label(label) => format!("<h3>{}</h3>", markup(label)),
        Block::Paragraph(paragraph) => format!("<p>{}</p>", markup(paragraph)),
        Block::Lettered(letter, paragraph) => {
            format!("<p class=\"part\"><b>{letter}</b> {}</p>", markup(paragraph))
        }
        Block::Options(options) => {
            let option = |(letter, option): &(String, Text)| {
                format!("<li><b>{letter}</b> {}</li>", markup(option))
            };
            let options: String = options.iter().map(option).collect();
            format!("<ul class=\"options\">{options}</ul>")
        }
        Block::Table(columns, rows) => table(columns, rows),
        Block::Figure(figure) => {
            let width = percent(document, *figure);
            let picture = document.figures[*figure].picture.inline("plot");
            format!("<figure class=\"width-{width}\">{picture}</figure>")
        }
        Block::Answer(lines, label) => {
            let room = room(*lines);
            format!(
                "<div class=\"work\">{room}<p class=\"answer\">{} <i></i></p></div>",
                markup(label)
            )
        }
        Block::Room(lines) => room(*lines),
        Block::Step(step, points) => {
            format!("<p class=\"step\">{} <small>{}</small></p>", markup(step), markup(points))
        }
        Block::Note(note) => format!("<p class=\"note\">{}</p>", markup(note)),
    }
}

fn room(lines: u32) -> String {
    format!("<div class=\"room lines-{lines}\"></div>")
}

fn table(columns: &[Text], rows: &[Vec<TableCell>]) -> String {
    let head: String =
        columns.iter().map(|column| format!("<th>{}</th>", markup(column))).collect();
    let cell = |cell: &TableCell| match cell {
        TableCell::Text(content) => format!("<td>{}</td>", markup(content)),
        TableCell::Blank => "<td class=\"blank\"></td>".to_owned(),
        TableCell::Box => "<td class=\"tick\">☐</td>".to_owned(),
    };
    let row = |row: &Vec<TableCell>| {
        let cells: String = row.iter().map(cell).collect();
        format!("<tr>{cells}</tr>\n")
    };
    let class = if is_long(rows) { " class=\"long\"" } else { "" };
    let rows: String = rows.iter().map(row).collect();
    format!("<table{class}><thead><tr>{head}</tr></thead><tbody>\n{rows}</tbody></table>")
}

/// A text with its formulas in MathML.
pub(in crate::paper) fn markup(text: &Text) -> String {
    let mut out = String::new();
    let mut runs = text.0.iter().peekable();
    while let Some(run) = runs.next() {
        match (run, runs.peek()) {
            // A comma or a full stop stays with the formula before it.
            (Run::Maths(maths), Some(Run::Plain(next)))
                if next.starts_with([',', '.', ';', ':', '?']) =>
            {
                let (mark, rest) = next.split_at(1);
                out += &format!(
                    "<span class=\"whole\">{}{mark}</span>{}",
                    maths.mathml(),
                    escaped(rest)
                );
                runs.next();
            }
            (Run::Maths(maths), _) => out += &maths.mathml(),
            (Run::Plain(plain), _) => out += &escaped(plain),
            (Run::Told(value, from), _) => {
                let (value, from) = (escaped(value), escaped(from));
                out += &format!(
                    "<data value=\"{value}\" data-from=\"{from}\" title=\"{from}\">{value}</data>"
                );
            }
        }
    }
    out
}

pub(in crate::paper) fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
