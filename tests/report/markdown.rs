//! Markdown and pages of documents: a text of somebody else is the same text to whoever reads
//! them, never markup.

use coaxle::brief::PaperSize;
use coaxle::paper::{Block, Document, TableCell, Text, html, markdown};
use proptest::prelude::*;
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

/// A document that has the text wherever a text may stand.
fn document(text: &str) -> Document {
    let text = || Text::plainly(text);
    Document {
        title: text(),
        subtitle: Some(text().plain()),
        language: "en".to_owned(),
        size: PaperSize::A4,
        blocks: vec![
            Block::Heading(text()),
            Block::Paragraph(text()),
            Block::Lettered("a".to_owned(), text()),
            Block::Options(vec![("A".to_owned(), text())]),
            Block::Table(vec![text()], vec![vec![TableCell::Text(text())]]),
            Block::Note(text()),
        ],
        figures: Vec::new(),
    }
}

/// Any white space is one space, as on a page; what is no letter is marked.
fn visible(text: &str) -> String {
    let shown = |c: char| match c {
        c if c.is_ascii_whitespace() || c == '\u{b}' => ' ',
        c if c.is_control() => '\u{fffd}',
        c => c,
    };
    let text: String = text.chars().map(shown).collect();
    text.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ")
}

/// What a reader sees, block by block, and what is more than text.
fn read(source: &str) -> (Vec<String>, Vec<String>) {
    let (mut blocks, mut markup) = (vec![String::new()], Vec::new());
    for event in Parser::new_ext(source, Options::all() - Options::ENABLE_SMART_PUNCTUATION) {
        match event {
            Event::Text(text) => blocks.last_mut().unwrap().push_str(&text),
            Event::SoftBreak => blocks.last_mut().unwrap().push(' '),
            Event::End(
                TagEnd::Heading(_) | TagEnd::Paragraph | TagEnd::Item | TagEnd::TableCell,
            ) => blocks.push(String::new()),
            Event::Start(
                Tag::Heading { .. }
                | Tag::Paragraph
                | Tag::Emphasis
                | Tag::Strong
                | Tag::List(_)
                | Tag::Item
                | Tag::Table(_)
                | Tag::TableHead
                | Tag::TableRow
                | Tag::TableCell
                | Tag::BlockQuote(_),
            )
            | Event::End(_) => {}
            other => markup.push(format!("{other:?}")),
        }
    }
    (blocks.into_iter().filter(|block| !block.trim().is_empty()).collect(), markup)
}

fn holds(text: &str) -> Result<(), TestCaseError> {
    prop_assume!(!visible(text).trim().is_empty());
    let source = markdown(&document(text), "stem");
    let (blocks, markup) = read(&source);
    prop_assert!(markup.is_empty(), "{markup:?} in\n{source}");
    let shown: Vec<String> = blocks.iter().map(|block| visible(block).trim().to_owned()).collect();
    let expected = ["", "", "", "", "a ", "A ", "", "", ""]
        .map(|before| visible(&format!("{before}{text}")).trim().to_owned());
    prop_assert_eq!(&shown[..], &expected[..], "{}", source);
    Ok(())
}

#[test]
fn a_text_of_every_sign_stays_text() {
    let texts = [
        "# Heading",
        "1. one",
        "1) one",
        "- item",
        "+ item",
        "=== x",
        "---",
        "***",
        "> quote",
        "<b>bold</b>",
        "[link](http://x.example)",
        "![picture](x.png)",
        "`code`",
        "$x$",
        "$$x$$",
        "a\n\n# b",
        "    code",
        "~~gone~~",
        "&amp; &lt;",
        "https://x.example/a",
        "www.x.example",
        "a@b.example",
        "[^1]: note",
        "{#id .class}",
        "| a | b |",
        "\\*",
        ":smile:",
        "^up^",
        "tail \\",
        "two  spaces",
        "- [ ] task",
        "%title",
        ": definition",
        "<!-- gone -->",
    ];
    for text in texts {
        holds(text).unwrap();
        let source = markdown(&document(text), "stem");
        let links = source.replace("\\:", "");
        assert!(!links.contains("://") && !links.contains("www."), "{source}");
        let page = html(&document(text));
        assert!(!page.contains("<b>bold") && !page.contains("<!--"), "{page}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn any_text_stays_the_same_text(text in "[-+*=#>.):`~_|<>\\[\\]{}()$&@!:0-9a-w \t\n\\\\]{1,14}|\\PC{1,12}") {
        holds(&text)?;
    }
}
