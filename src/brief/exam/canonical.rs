//! From the understood brief of an exam back to a written one that says everything.

use toml::{Table, Value};

use super::written::{
    WrittenAsked, WrittenExam, WrittenExamTeeth, WrittenForms, WrittenNumbers, WrittenPaper,
};
use super::{Bounds, ExamBrief, FormsWish, PaperSize};
use crate::brief::canonical;
use crate::brief::written::OneOrMany;

/// The written brief with every key that has a meaning in it.
pub(super) fn write(brief: &ExamBrief) -> WrittenExam {
    let words = |all: Vec<&str>| all.into_iter().map(str::to_owned).collect();
    let paper = &brief.paper;
    let teeth = canonical::teeth(&brief.numbers.teeth);
    WrittenExam {
        title: Some(brief.title.clone()),
        exam: WrittenAsked {
            level: Some(brief.level.word().to_owned()),
            kinds: Some(words(brief.kinds.iter().map(|kind| kind.word()).collect())),
            topics: Some(words(brief.topics.iter().map(|topic| topic.word()).collect())),
            pool: Some(brief.pool as i64),
            seed: Some(brief.seed as i64),
        },
        numbers: WrittenNumbers {
            places: Some(brief.numbers.places.into()),
            digits: Some(brief.numbers.digits.into()),
            sets: Some(brief.numbers.sets.into()),
        },
        teeth: WrittenExamTeeth {
            sun: teeth.sun,
            planet: teeth.planet,
            ring: teeth.ring,
            planets: teeth.planets,
        },
        forms: forms(&brief.forms),
        paper: WrittenPaper {
            size: Some(if paper.size == PaperSize::A4 { "A4" } else { "letter" }.to_owned()),
            decimal: Some(if paper.decimal_comma { "comma" } else { "point" }.to_owned()),
            language: Some(paper.language.clone()),
            formula_sheet: Some(paper.formula_sheet),
            subtitle: paper.subtitle.clone(),
            names: Some(paper.names.clone()),
        },
    }
}

fn forms(wish: &FormsWish) -> WrittenForms {
    let pair = |bounds: Bounds| vec![i64::from(bounds.least), i64::from(bounds.most)];
    let list = |bounds: Option<Bounds>| bounds.map(|bounds| OneOrMany::Many(pair(bounds)));
    let table = |lines: Vec<(&str, Bounds)>| {
        let line = |(word, bounds): (&str, Bounds)| {
            let ends = pair(bounds).into_iter().map(Value::Integer).collect();
            (word.to_owned(), Value::Array(ends))
        };
        let table: Table = lines.into_iter().map(line).collect();
        (!table.is_empty()).then_some(table)
    };
    let enemies = wish.enemies.iter().map(|(a, b)| vec![a.word().to_owned(), b.word().to_owned()]);
    WrittenForms {
        forms: Some(wish.forms as i64),
        items: Some(wish.items as i64),
        parallel: Some(wish.parallel.word().to_owned()),
        points: list(wish.points),
        minutes: list(wish.minutes),
        difficulty: wish.difficulty.map(i64::from),
        spread: wish.spread.map(i64::from),
        enemies: Some(enemies.collect()),
        work: Some(wish.work as i64),
        seconds: Some(wish.seconds),
        topics: table(wish.topics.iter().map(|(topic, b)| (topic.word(), *b)).collect()),
        kinds: table(wish.kinds.iter().map(|(kind, b)| (kind.word(), *b)).collect()),
        answers: table(wish.answers.iter().map(|(form, b)| (form.word(), *b)).collect()),
    }
}
