//! The brief of an exam as it is understood: every value checked once, every default filled
//! in.

use toml::{Table, Value};

use super::keys::EXAM;
use super::written::{WrittenExam, WrittenExamTeeth, WrittenForms, WrittenNumbers, WrittenPaper};
use super::{Bounds, ExamBrief, FormsWish, NumberWish, PaperSize, PaperWish, Parallel};
use crate::brief::dialect::nearest;
use crate::brief::fault::quote;
use crate::brief::teeth::some_set_fits;
use crate::brief::understood::{folder_name, title};
use crate::brief::written::OneOrMany;
use crate::error::Mistake;
use crate::problem::{Form, Kind, Level, Topic};
use crate::teeth::ToothLimits;

/// Languages that papers can be in.
const LANGUAGES: [&str; 1] = ["en"];
/// Kinds that a workshop class is not asked unless the brief says so.
const NOT_IN_WORKSHOPS: [Kind; 3] = [Kind::CoupledSets, Kind::Efficiency, Kind::Derive];

/// The meaning of what is written; `name` becomes the name of the results folder.
pub(super) fn understand(written: &WrittenExam, name: &str) -> Result<ExamBrief, Mistake> {
    let name = folder_name(name);
    let title = written.title.as_deref().map_or(Ok(name.clone()), title)?;
    let asked = &written.exam;
    let levels = Level::ALL.map(|level| (level.word(), level));
    let level = EXAM.word("exam.level", EXAM.required("exam.level", &asked.level)?, &levels)?;
    let kinds = match &asked.kinds {
        Some(words) => words_of("exam.kinds", words, &kinds())?,
        None => {
            let usual = |kind: &Kind| level == Level::Course || !NOT_IN_WORKSHOPS.contains(kind);
            Kind::ALL.into_iter().filter(usual).collect()
        }
    };
    let topics = match &asked.topics {
        Some(words) => words_of("exam.topics", words, &topics())?,
        None => Topic::ALL.to_vec(),
    };
    let pool = EXAM.whole("exam.pool", asked.pool.unwrap_or(400), (10, 20_000))? as usize;
    let numbers = numbers(&written.numbers, &written.teeth, level)?;
    let forms = forms(&written.forms, &kinds)?;
    let wanted = forms.forms * forms.items;
    if wanted > pool {
        let problem = format!("is {pool}, fewer than the {wanted} items of all papers");
        return Err(EXAM.wrong("exam.pool", problem));
    }
    let paper = paper(&written.paper, forms.forms)?;
    let seed = seed(asked.seed.unwrap_or(1))?;
    Ok(ExamBrief { title, name, level, kinds, topics, pool, seed, numbers, forms, paper })
}

fn kinds() -> [(&'static str, Kind); 16] {
    Kind::ALL.map(|kind| (kind.word(), kind))
}

fn topics() -> [(&'static str, Topic); 6] {
    Topic::ALL.map(|topic| (topic.word(), topic))
}

/// The values of a list of words: sorted, each once, at least one.
fn words_of<T: Copy + Ord>(
    key: &str,
    words: &[String],
    known: &[(&'static str, T)],
) -> Result<Vec<T>, Mistake> {
    if words.is_empty() {
        return Err(EXAM.wrong(key, "is an empty list"));
    }
    let mut all: Vec<T> =
        words.iter().map(|word| one_of(key, word, known)).collect::<Result<_, _>>()?;
    all.sort_unstable();
    all.dedup();
    Ok(all)
}

/// One of many words; the mend lists them all.
fn one_of<T: Copy>(key: &str, word: &str, known: &[(&'static str, T)]) -> Result<T, Mistake> {
    if let Some((_, value)) = known.iter().find(|(name, _)| *name == word) {
        return Ok(*value);
    }
    let names: Vec<&'static str> = known.iter().map(|(name, _)| *name).collect();
    let all = names.join(", ");
    let mend = match nearest(word, &names) {
        Some(name) => format!("did you mean \"{name}\"? There are {all}"),
        None => format!("there are {all}"),
    };
    Err(Mistake::at(key, format!("names \"{}\"", quote(word)), mend))
}

fn seed(value: i64) -> Result<u64, Mistake> {
    let fits = u64::try_from(value).ok().filter(|&seed| seed <= 1 << 53);
    fits.ok_or_else(|| EXAM.wrong("exam.seed", format!("is {value}")))
}

fn numbers(
    written: &WrittenNumbers,
    teeth: &WrittenExamTeeth,
    level: Level,
) -> Result<NumberWish, Mistake> {
    let usual = if level == Level::Workshop { 2 } else { 3 };
    let whole =
        |key: &str, value: Option<i64>, usual, ends| EXAM.whole(key, value.unwrap_or(usual), ends);
    let mut limits = ToothLimits::default();
    let spans = [
        ("teeth.sun", &teeth.sun, &mut limits.sun),
        ("teeth.planet", &teeth.planet, &mut limits.planet),
        ("teeth.ring", &teeth.ring, &mut limits.ring),
    ];
    for (key, written, limit) in spans {
        if let Some(ends) = written {
            *limit = EXAM.span(key, ends, (8, 400))?;
        }
    }
    if let Some(planets) = &teeth.planets {
        limits.planets = EXAM.wholes("teeth.planets", &planets.list(), (2, 12))?;
    }
    some_set_fits(&limits)?;
    Ok(NumberWish {
        teeth: limits,
        places: whole("numbers.places", written.places, 2, (0, 4))?,
        digits: whole("numbers.digits", written.digits, usual, (1, 4))?,
        sets: whole("numbers.sets", written.sets, usual, (1, 4))? as u8,
    })
}

fn forms(written: &WrittenForms, asked: &[Kind]) -> Result<FormsWish, Mistake> {
    let items = EXAM.whole("forms.items", written.items.unwrap_or(6), (1, 20))?;
    let sum = |key: &str, written: &Option<OneOrMany>| {
        written.as_ref().map(|value| bounds(key, &value.list(), 10_000)).transpose()
    };
    let whole = |key: &str, value: Option<i64>| {
        value.map(|value| EXAM.whole(key, value, (0, 1000))).transpose()
    };
    let kinds = kind_bounds(written.kinds.as_ref(), asked, items)?;
    let answers = Form::ALL.map(|form| (form.word(), form));
    Ok(FormsWish {
        forms: EXAM.whole("forms.forms", written.forms.unwrap_or(2), (1, 12))? as usize,
        items: items as usize,
        parallel: EXAM.word(
            "forms.parallel",
            written.parallel.as_deref().unwrap_or("same-plan"),
            &Parallel::ALL.map(|parallel| (parallel.word(), parallel)),
        )?,
        points: sum("forms.points", &written.points)?,
        minutes: sum("forms.minutes", &written.minutes)?,
        difficulty: whole("forms.difficulty", written.difficulty)?,
        spread: whole("forms.spread", written.spread)?,
        topics: table_bounds("forms.topics", written.topics.as_ref(), &topics(), items)?,
        kinds,
        answers: table_bounds("forms.answers", written.answers.as_ref(), &answers, items)?,
        enemies: enemies(written.enemies.as_deref().unwrap_or_default())?,
        work: EXAM.whole("forms.work", written.work.unwrap_or(20_000), (1, 100_000_000))?.into(),
        seconds: EXAM.number(
            "forms.seconds",
            written.seconds.unwrap_or(3600.0),
            (0.1, 86_400.0),
        )?,
    })
}

/// A number, or least and most.
fn bounds(key: &str, values: &[i64], most: u32) -> Result<Bounds, Mistake> {
    match values {
        [value] => {
            let value = EXAM.whole(key, *value, (0, most))?;
            Ok(Bounds { least: value, most: value })
        }
        _ => {
            let (least, most) = EXAM.span(key, values, (0, most))?;
            Ok(Bounds { least, most })
        }
    }
}

/// The lines of a table of bounds, in the order of the words that are known.
fn table_bounds<T: Copy + Ord>(
    table: &str,
    written: Option<&Table>,
    known: &[(&'static str, T)],
    items: u32,
) -> Result<Vec<(T, Bounds)>, Mistake> {
    let mut all = Vec::new();
    for (word, value) in written.into_iter().flatten() {
        let key = format!("{table}.{word}");
        let what = one_of(&key, word, known)?;
        let whole = |value: &Value| value.as_integer();
        let numbers = match value {
            Value::Array(list) => list.iter().map(whole).collect(),
            one => whole(one).map(|value| vec![value]),
        };
        let mend = format!("write a whole number or [least, most], at most {items}");
        let wrong = |problem: String| Mistake::at(&key, problem, mend.clone());
        let numbers: Vec<i64> = numbers.ok_or_else(|| wrong(format!("is {value}")))?;
        let bounds = bounds(&key, &numbers, items).map_err(|fault| wrong(fault.problem))?;
        all.push((what, bounds));
    }
    all.sort_unstable_by_key(|(what, _)| *what);
    let least: u32 = all.iter().map(|(_, bounds)| bounds.least).sum();
    if least > items && table != "forms.topics" {
        let problem = format!("asks for {least} items at least, but papers have {items}");
        return Err(Mistake::at(
            table,
            problem,
            "lower some of the least numbers, or raise forms.items",
        ));
    }
    Ok(all)
}

/// The bounds of kinds; kinds without one share a paper evenly: at most items / kinds of each,
/// rounded up.
fn kind_bounds(
    written: Option<&Table>,
    asked: &[Kind],
    items: u32,
) -> Result<Vec<(Kind, Bounds)>, Mistake> {
    let mut bounds = table_bounds("forms.kinds", written, &kinds(), items)?;
    if let Some((kind, _)) = bounds.iter().find(|(kind, _)| !asked.contains(kind)) {
        let key = format!("forms.kinds.{}", kind.word());
        let mend = "add it to exam.kinds, or take the line away";
        return Err(Mistake::at(key, "is not among exam.kinds", mend));
    }
    let even = items.div_ceil(asked.len() as u32);
    for &kind in asked {
        if bounds.iter().all(|(bounded, _)| *bounded != kind) {
            bounds.push((kind, Bounds { least: 0, most: even }));
        }
    }
    bounds.sort_unstable_by_key(|(kind, _)| *kind);
    Ok(bounds)
}

fn enemies(written: &[Vec<String>]) -> Result<Vec<(Kind, Kind)>, Mistake> {
    let key = "forms.enemies";
    let mut all = Vec::new();
    for pair in written {
        let [one, other] = pair.as_slice() else {
            return Err(EXAM.wrong(key, format!("has a list of {}, not a pair", pair.len())));
        };
        let (one, other) = (one_of(key, one, &kinds())?, one_of(key, other, &kinds())?);
        if one == other {
            let problem = format!("sets {} against itself", one.word());
            let mend = format!("write forms.kinds.{} = [0, 1] for at most one", one.word());
            return Err(Mistake::at(key, problem, mend));
        }
        all.push((one.min(other), one.max(other)));
    }
    all.sort_unstable();
    all.dedup();
    Ok(all)
}

fn paper(written: &WrittenPaper, forms: usize) -> Result<PaperWish, Mistake> {
    let sizes = [("A4", PaperSize::A4), ("letter", PaperSize::Letter)];
    let decimals = [("point", false), ("comma", true)];
    let languages = LANGUAGES.map(|language| (language, language));
    let size = written.size.as_deref().unwrap_or("A4");
    let decimal = written.decimal.as_deref().unwrap_or("point");
    let language = written.language.as_deref().unwrap_or("en");
    let subtitle = written
        .subtitle
        .as_deref()
        .map(title)
        .transpose()
        .map_err(|mistake| Mistake { key: "paper.subtitle".to_owned(), ..mistake })?;
    Ok(PaperWish {
        size: EXAM.word("paper.size", size, &sizes)?,
        decimal_comma: EXAM.word("paper.decimal", decimal, &decimals)?,
        language: EXAM.word("paper.language", language, &languages)?.to_owned(),
        formula_sheet: written.formula_sheet.unwrap_or(true),
        subtitle,
        names: names(written.names.as_deref(), forms)?,
    })
}

/// Names of papers: they become names of files.
fn names(written: Option<&[String]>, forms: usize) -> Result<Vec<String>, Mistake> {
    let key = "paper.names";
    let Some(names) = written else {
        return Ok((0..forms).map(|form| char::from(b'A' + form as u8).to_string()).collect());
    };
    if names.len() != forms {
        return Err(EXAM.wrong(key, format!("has {} names for {forms} papers", names.len())));
    }
    for (index, name) in names.iter().enumerate() {
        let plain = name.chars().all(|c| c.is_ascii_alphanumeric());
        if !plain || !(1..=12).contains(&name.len()) {
            let mend = "write 1 to 12 letters and digits: names of papers become names of files";
            return Err(Mistake::at(key, format!("has \"{}\"", quote(name)), mend));
        }
        if names[..index].iter().any(|other| other.eq_ignore_ascii_case(name)) {
            return Err(EXAM.wrong(key, format!("has \"{name}\" twice")));
        }
    }
    Ok(names.to_vec())
}
