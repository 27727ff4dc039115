//! An item: what is given, what is asked, what is right and how it is marked.

use serde::{Deserialize, Serialize};

use super::{Answer, Figure, Form, Kind, Level, Said, Topic};

/// One problem of a pool.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Item {
    /// Its name in the pool, such as `ratio-017`.
    pub id: String,
    pub kind: Kind,
    pub level: Level,
    pub topics: Vec<Topic>,
    /// What kind of question within the kind. Two items of one skeleton differ in numbers
    /// only, so a paper has at most one of each.
    pub skeleton: String,
    /// The gearbox or set in question as the text of a layout file; every tooth count and
    /// connection that the solver is told stands there.
    pub layout: String,
    /// What else is given, as names and exact numbers, for checks by other means: such as
    /// `("sun-speed-rpm", "120")`, `("held", "R1")`.
    pub facts: Vec<(String, String)>,
    pub stem: Vec<Said>,
    pub figures: Vec<Figure>,
    pub parts: Vec<Part>,
    pub demands: Demands,
    /// Names of what no two items of an exam may share: `layout:…` for a wiring of several
    /// sets, `teeth:24/72` for sun and ring of a set.
    pub marks: Vec<String>,
}

/// One question of an item.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Part {
    pub ask: Said,
    pub answer: Answer,
    /// The way to the answer, and what each step is worth; points add up to the part's.
    pub steps: Vec<Step>,
}

/// A step of a worked solution and its share of the points.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    pub said: Said,
    /// Partial credit for this step.
    pub points: u32,
}

/// What an item asks of its solver, counted; difficulty and time follow.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Demands {
    /// Sets whose motion must be thought of.
    pub sets: u32,
    /// Equations to be written.
    pub equations: u32,
    /// Unknowns that are solved for at the same time, at most.
    pub unknowns: u32,
    /// Places where a sign turns.
    pub sign_changes: u32,
    /// Digits of the longest whole number met on the way.
    pub digits: u32,
    /// Ideas that must be known: Willis, torque balance, assembly condition …
    pub concepts: u32,
    /// Results to be worked out (cells of a table, parts).
    pub results: u32,
}

impl Demands {
    /// Difficulty points: a weighted sum, so that two items of equal demands are equally
    /// difficult by definition. An estimate by what must be done, not by trial with
    /// students: `exam --mark` tells the latter.
    pub fn difficulty(&self) -> u32 {
        3 * self.sets.saturating_sub(1)
            + 2 * self.equations
            + 3 * self.unknowns.saturating_sub(1)
            + self.sign_changes
            + self.digits.saturating_sub(2)
            + 2 * self.concepts
            + self.results.saturating_sub(1)
    }

    /// Points: two for every three minutes, to the nearest whole one, so that a minute earns
    /// about as much wherever it is spent.
    pub fn points(&self) -> u32 {
        ((2 * self.minutes() + 1) / 3).max(1)
    }

    /// Minutes for a prepared student: one to read, half an equation and a third a result,
    /// whole minutes upward.
    pub fn minutes(&self) -> u32 {
        let sixths = 6
            + 4 * self.equations
            + 6 * self.unknowns.saturating_sub(1)
            + 3 * self.concepts
            + 4 * self.results
            + self.digits;
        sixths.div_ceil(6)
    }
}

impl Item {
    pub fn points(&self) -> u32 {
        self.parts.iter().map(Part::points).sum()
    }

    pub fn difficulty(&self) -> u32 {
        self.demands.difficulty()
    }

    pub fn minutes(&self) -> u32 {
        self.demands.minutes()
    }

    /// How its first part is answered.
    pub fn form(&self) -> Form {
        self.parts.first().map_or(Form::Written, |part| part.answer.form())
    }
}

impl Part {
    pub fn points(&self) -> u32 {
        self.steps.iter().map(|step| step.points).sum()
    }
}
