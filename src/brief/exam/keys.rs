//! The keys of a brief for `exam`: for each its full path and, in words, what may stand there.

use crate::brief::dialect::Dialect;

/// Briefs of [`super::ExamBrief`].
pub(in crate::brief) static EXAM: Dialect = Dialect {
    command: "exam",
    noun: "a brief of an exam",
    reference: "configs/every-exam-key.toml",
    least: ("exam.level", "write at least [exam] with level = \"workshop\" or \"course\""),
    marks: &["exam", "numbers", "forms", "paper"],
    keys: &KEYS,
    tables: &["exam", "numbers", "teeth", "forms", "paper"],
    rows: &[],
    criteria: &[],
    named: &[
        ("forms.topics", "write a table [forms.topics] with lines such as teeth = [1, 2]"),
        ("forms.kinds", "write a table [forms.kinds] with lines such as ratio = [1, 2]"),
        ("forms.answers", "write a table [forms.answers] with lines such as choice = [2, 3]"),
    ],
};

const KEYS: [(&str, &str); 29] = [
    ("title", "write a text in quotes, such as title = \"Hollowfell winter class\""),
    ("exam.level", "write \"workshop\" or \"course\""),
    ("exam.kinds", "write a list of kinds, such as [\"ratio\", \"torque\", \"assembly\"]"),
    ("exam.topics", "write a list of topics, such as [\"one-set\", \"teeth\"]"),
    ("exam.pool", "write a whole number from 10 to 20000, such as 400"),
    ("exam.seed", "write a whole number from 0 to 9007199254740992, such as 1"),
    ("numbers.places", "write a whole number from 0 to 4, such as 2"),
    ("numbers.digits", "write a whole number from 1 to 4, such as 2"),
    ("numbers.sets", "write a whole number from 1 to 4, such as 2"),
    ("teeth.sun", "write [fewest, most], such as [18, 60]"),
    ("teeth.planet", "write [fewest, most], such as [16, 48]"),
    ("teeth.ring", "write [fewest, most], such as [48, 110]"),
    ("teeth.planets", "write a whole number from 2 to 12, or a list of them such as [3, 4]"),
    ("forms.forms", "write a whole number from 1 to 12, such as 4"),
    ("forms.items", "write a whole number from 1 to 20, such as 6"),
    ("forms.parallel", "write \"same-plan\" or \"same-difficulty\""),
    ("forms.points", "write a whole number or [least, most], such as [24, 28]"),
    ("forms.minutes", "write a whole number or [least, most], such as [30, 45]"),
    ("forms.difficulty", "write a whole number from 0 to 1000, such as 60"),
    ("forms.spread", "write a whole number from 0 to 1000, such as 20"),
    ("forms.enemies", "write a list of pairs of kinds, such as [[\"ratio\", \"six-ways\"]]"),
    ("forms.work", "write a whole number of nodes from 1 to 100000000, such as 20000"),
    ("forms.seconds", "write a number of seconds from 0.1 to 86400, such as 60"),
    ("paper.size", "write \"A4\" or \"letter\""),
    ("paper.decimal", "write \"point\" or \"comma\""),
    ("paper.language", "write \"en\""),
    ("paper.formula_sheet", "write true or false"),
    ("paper.subtitle", "write a text in quotes of at most 200 characters"),
    (
        "paper.names",
        "write a list of short different names, as many as papers, such as [\"A\", \"B\"]",
    ),
];
