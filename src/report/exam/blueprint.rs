//! The blueprint: what each paper holds, side by side, so that all see how equal they are.

use super::ExamRecord;
use crate::error::Error;
use crate::exam::ExamPaper;
use crate::folder::Files;
use crate::paper::{Block, Document, TableCell, Text, Words, html, markdown};
use crate::problem::{Form, Item, Kind, Said, Topic};
use crate::report::cells::csv_text;

/// One line of the table: what is counted, and of each paper how much.
struct Line {
    what: String,
    counts: Vec<u32>,
}

/// The blueprint as a page, as Markdown and as CSV.
pub(super) fn files(record: &ExamRecord, words: &Words) -> Result<Files, Error> {
    let lines = lines(record, words)?;
    let names: Vec<&str> = record.exam.papers.iter().map(|paper| paper.name.as_str()).collect();
    let head = std::iter::once("what").chain(names.iter().copied()).map(str::to_owned);
    let rows = lines.iter().map(|line| {
        let counts = line.counts.iter().map(u32::to_string);
        std::iter::once(line.what.clone()).chain(counts).collect::<Vec<_>>()
    });
    let csv = csv_text(head, rows)?;
    let document = document(record, words, &lines, &names)?;
    Ok(vec![
        ("blueprint.html".into(), html(&document).into_bytes()),
        ("blueprint.md".into(), markdown(&document, "blueprint").into_bytes()),
        ("blueprint.csv".into(), csv.into_bytes()),
    ])
}

fn lines(record: &ExamRecord, words: &Words) -> Result<Vec<Line>, Error> {
    let papers = &record.exam.papers;
    let line = |what: String, count: &dyn Fn(&ExamPaper) -> u32| Line {
        what,
        counts: papers.iter().map(count).collect(),
    };
    let sum = |paper: &ExamPaper, of: &dyn Fn(&Item) -> u32| paper.items.iter().map(of).sum();
    let word = |phrase: &str| words.word(phrase).map(|text| text.plain());
    let mut all = vec![
        line(word("blueprint-items")?, &|paper| paper.items.len() as u32),
        line(word("blueprint-points")?, &ExamPaper::points),
        line(word("blueprint-minutes")?, &|paper| sum(paper, &Item::minutes)),
        line(word("blueprint-difficulty")?, &|paper| sum(paper, &Item::difficulty)),
    ];
    for topic in Topic::ALL {
        let count = |paper: &ExamPaper| sum(paper, &|i| u32::from(i.topics.contains(&topic)));
        all.push(line(word(&format!("topic-{}", topic.word()))?, &count));
    }
    for kind in Kind::ALL {
        let count = |paper: &ExamPaper| sum(paper, &|i| u32::from(i.kind == kind));
        all.push(line(word(&format!("kind-{}", kind.word()))?, &count));
    }
    for form in Form::ALL {
        let count = |paper: &ExamPaper| sum(paper, &|i| u32::from(i.form() == form));
        all.push(line(word(&format!("form-{}", form.word()))?, &count));
    }
    all.retain(|line| line.counts.iter().any(|count| *count > 0));
    Ok(all)
}

fn document(
    record: &ExamRecord,
    words: &Words,
    lines: &[Line],
    names: &[&str],
) -> Result<Document, Error> {
    let first = words.word("blueprint-what")?;
    let columns = std::iter::once(first).chain(names.iter().map(|name| Text::plainly(*name)));
    let row = |line: &Line| {
        let counts = line.counts.iter().map(u32::to_string);
        let cells = std::iter::once(line.what.clone()).chain(counts);
        cells.map(|cell| TableCell::Text(Text::plainly(cell))).collect()
    };
    let proved = record.deviation == record.bound;
    let phrase = match (proved, record.bound) {
        (true, _) => "blueprint-proved",
        (false, 0) => "blueprint-open",
        (false, _) => "blueprint-gap",
    };
    let nearness = Said::new(phrase)
        .with("target", record.target)
        .with("deviation", record.deviation)
        .with("bound", record.bound)
        .with("pool", record.pool as u32);
    let parallel = format!("blueprint-{}", record.brief.forms.parallel.word());
    let title =
        Text::plainly(format!("{} · ", record.brief.title)).then(words.word("blueprint-title")?);
    Ok(Document {
        title,
        subtitle: record.brief.paper.subtitle.clone(),
        language: record.brief.paper.language.clone(),
        size: record.brief.paper.size,
        blocks: vec![
            Block::Paragraph(words.word(&parallel)?),
            Block::Paragraph(words.say(&nearness)?),
            Block::Table(columns.collect(), lines.iter().map(row).collect()),
            Block::Note(words.word("blueprint-note")?),
        ],
        figures: Vec::new(),
    })
}
