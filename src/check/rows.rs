//! The rows of the front held against their layout files, and the files against the brief.

use super::breaches::{Breach, Part, Rules, Scores, Solved, exact};
use super::findings::{Discrepancy, Scope, Verdict};
use super::twins::Original;
use super::written::{Row, WrittenResults};
use crate::num::{fraction, to_f64};
use crate::score::Criterion;
use crate::train::{Layout, canonical};

/// Half of the last decimal that tables print, and what floats may be off.
const PRINTED: f64 = 5e-7 + 1e-10;

/// What the judgements of all rows come to, one list a check.
#[derive(Default)]
struct Found {
    wiring: Vec<Discrepancy>,
    ratios: Vec<Discrepancy>,
    scores: Vec<Discrepancy>,
    others: Vec<Discrepancy>,
    parts: [Vec<Discrepancy>; 4],
    twins: Vec<Discrepancy>,
    rows: usize,
    gears: usize,
    sets: usize,
    named: usize,
    /// Whether it was stopped before all was judged.
    cut: bool,
}

/// Adds the checks of every row of the front to `verdict`. Rows are left off when `stopped`, and
/// the lines say so.
pub fn judge_rows(results: &WrittenResults, stopped: &dyn Fn() -> bool, verdict: &mut Verdict) {
    let rules = Rules::new(&results.brief, results.nesting_required);
    let mut found = Found::default();
    for (row, layout) in results.front.iter().zip(&results.layouts) {
        if stopped() {
            found.cut = true;
            break;
        }
        found.rows += 1;
        found.row(row, layout, &rules, results, stopped);
    }
    verdict.add(
        "lists of the front",
        Scope::Exact,
        format!("{} rows of front.csv", results.front.len()),
        lists(results),
    );
    found.tell(&rules, verdict);
}

impl Found {
    /// A line for each list.
    fn tell(self, rules: &Rules<'_>, verdict: &mut Verdict) {
        let Self { rows, gears: solved, sets, named, cut, .. } = self;
        let scope = |scope| if cut { Scope::Sampled } else { scope };
        let exact = scope(Scope::Exact);
        let tried = format!("{rows} layout files against their rows, in the one spelling");
        verdict.add("wirings", exact, tried, self.wiring);
        let tried =
            format!("{solved} gears of {rows} layouts, each by a linear solve in fractions");
        verdict.add("ratios", exact, tried, self.ratios);
        let tried = format!("{rows} rows, from those ratios, to six decimals");
        verdict.add("spread, steps and counts", exact, tried, self.scores);
        let [space, gears, teeth, limits] = self.parts;
        let tried = format!("{rows} layouts: sets, shafts, elements, input, held members");
        verdict.add("families of the brief", exact, tried, space);
        let tried = format!("{rows} layouts: windows, steps, spread, reverse, shifts");
        verdict.add("gears that the brief wants", exact, tried, gears);
        let tried = format!(
            "{sets} sets: windows, coaxial, assembly, neighbours plainly; undercut and interference \
             by the program's own formulas"
        );
        verdict.add("teeth", exact, tried, teeth);
        let tried = format!(
            "{rows} layouts: {}{} limits; what is not spread, steps or counts by the program's own \
             functions",
            if rules.nesting_required { "nesting and " } else { "" },
            rules.brief.limits.len()
        );
        verdict.add("limits of the brief", scope(Scope::Rejudged), tried, limits);
        let tried = format!("{rows} rows, by the program's own functions once more");
        verdict.add("other scores", scope(Scope::Rejudged), tried, self.others);
        let tried = format!(
            "{named} named twins: one spelling, the same ratio in every state, and what the brief \
             asks of nesting and limits"
        );
        verdict.add("twins", exact, tried, self.twins);
    }

    fn row(
        &mut self,
        row: &Row,
        layout: &Layout,
        rules: &Rules<'_>,
        results: &WrittenResults,
        stopped: &dyn Fn() -> bool,
    ) {
        self.wiring(row, layout);
        self.sets += layout.sets.len();
        let solved = match rules.solve(layout) {
            Ok(solved) => solved,
            Err(breach) => return self.breach(row, breach),
        };
        self.ratios(row, layout, rules, &solved);
        self.scores(row, &Scores::of(rules.brief, layout, &solved), &results.columns);
        for breach in rules.breaches(layout, &solved) {
            self.breach(row, breach);
        }
        let original = || Original::new(layout, &solved);
        self.twins(row, original, rules, stopped);
    }

    fn wiring(&mut self, row: &Row, layout: &Layout) {
        let (core, slots) = layout.wiring();
        let spelled = canonical(&core, &slots).to_string();
        if spelled != row.canonical {
            let what = "the layout file has another wiring than the row";
            self.wiring.push(in_front(row, "canonical", what, &row.canonical, spelled));
        }
        let engaged = |name: &str| {
            let gear = layout.gears.iter().find(|gear| gear.name == name)?;
            let names = gear.engaged.iter().map(|e| layout.elements[e].name.clone());
            Some(names.collect::<Vec<_>>())
        };
        for gear in &row.gears {
            let mut written = gear.engaged.clone();
            written.sort_unstable();
            let file = engaged(&gear.name).map(|mut names| {
                names.sort_unstable();
                names
            });
            if file.as_ref() != Some(&written) {
                let what = format!("gear {} engages other elements in the layout file", gear.name);
                let file = file.map_or("no such gear".to_owned(), |names| names.join("+"));
                self.wiring.push(in_front(row, "gears", what, written.join("+"), file));
            }
        }
    }

    fn ratios(&mut self, row: &Row, layout: &Layout, rules: &Rules<'_>, solved: &Solved) {
        if row.gears.len() != layout.gears.len() {
            let what = "the layout file has another number of gears";
            let counts = (row.gears.len().to_string(), layout.gears.len().to_string());
            self.ratios.push(in_front(row, "gears", what, counts.0, counts.1));
        }
        let half = fraction(1, 2_000_000);
        for gear in &row.gears {
            let place = rules.wish.names().iter().position(|name| *name == gear.name);
            let Some(own) = place.map(|place| &solved.ratios[place]) else {
                let what = "the brief has no gear of this name";
                self.ratios.push(in_front(row, "gears", what, &gear.name, "no such gear"));
                continue;
            };
            self.gears += 1;
            if gear.ratio != *own {
                let what = format!("gear {} has another ratio", gear.name);
                self.ratios.push(in_front(row, "gears", what, exact(&gear.ratio), exact(own)));
            } else if &gear.decimal - own > half || own - &gear.decimal > half {
                let what = format!("the decimals of gear {} are others", gear.name);
                let written = to_f64(&gear.decimal).to_string();
                self.ratios.push(in_front(row, "gears", what, written, exact(own)));
            }
        }
    }

    fn scores(&mut self, row: &Row, scores: &Scores<'_>, columns: &[Criterion]) {
        for &criterion in columns {
            let (written, own) = (row.score(criterion), scores.score(criterion));
            let same = match (written, own) {
                (Some(written), Some(own)) => (written - own).abs() <= PRINTED,
                (written, own) => written.is_none() && own.is_none(),
            };
            if same {
                continue;
            }
            let told = |score: Option<f64>| score.map_or("no value".into(), |s| format!("{s:.6}"));
            let what = "the score of this layout is another";
            let fault = in_front(row, criterion.name(), what, told(written), told(own));
            let plain = Scores::is_plain(criterion);
            if plain { self.scores.push(fault) } else { self.others.push(fault) }
        }
    }

    fn breach(&mut self, row: &Row, breach: Breach) {
        let place = match breach.part {
            Part::Space => 0,
            Part::Gears => 1,
            Part::Teeth => 2,
            Part::Limits => 3,
        };
        self.parts[place].push(Discrepancy {
            file: format!("layouts/{}.toml", row.id),
            place: row.id.clone(),
            what: "the layout does not meet the brief".into(),
            written: breach.what,
            found: breach.found,
        });
    }

    fn twins<'o>(
        &mut self,
        row: &Row,
        original: impl FnOnce() -> Original<'o>,
        rules: &Rules<'_>,
        stopped: &dyn Fn() -> bool,
    ) {
        if row.twin_count != row.twins.len() as u64 {
            let what = "the twins that are named are not as many as the table says";
            let counts = (row.twin_count.to_string(), row.twins.len().to_string());
            self.twins.push(in_front(row, "twins", what, counts.0, counts.1));
        }
        if row.twins.is_empty() {
            return;
        }
        let original = original();
        for (place, spelling) in row.twins.iter().enumerate() {
            if stopped() {
                self.cut = true;
                return;
            }
            self.named += 1;
            let again = row.twins[..place].contains(spelling) || *spelling == row.canonical;
            let fault = match again {
                true => Some("it is named already".to_owned()),
                false => original.fault(spelling, rules),
            };
            if let Some(fault) = fault {
                let what = "a wiring that is named as a twin may not be";
                self.twins.push(in_front(row, "twin_layouts", what, spelling, fault));
            }
        }
    }
}

/// The front as three files list it.
fn lists(results: &WrittenResults) -> Vec<Discrepancy> {
    let mut found = Vec::new();
    let ids: Vec<&String> = results.front.iter().map(|row| &row.id).collect();
    if !ids.iter().copied().eq(&results.front_ids) {
        found.push(Discrepancy {
            file: "summary.json".into(),
            place: "front".into(),
            what: "the front has other rows in front.csv".into(),
            written: results.front_ids.join(", "),
            found: ids.iter().map(|id| id.as_str()).collect::<Vec<_>>().join(", "),
        });
    }
    for (place, row) in results.front.iter().enumerate() {
        if ids[..place].contains(&&row.id) {
            found.push(in_front(row, "id", "an earlier row has this id", &row.id, "twice"));
        }
        let Some(candidates) = &results.candidates else { continue };
        let same = candidates.iter().find(|other| other.id == row.id);
        let what = "the same layout has another row in candidates.csv";
        match same {
            None => found.push(in_front(row, "id", what, &row.id, "no such row")),
            Some(other) if !alike(row, other) => {
                found.push(in_front(row, "id", what, row.place(), other.place()));
            }
            Some(_) => {}
        }
    }
    found
}

/// Whether two rows say the same, wherever they stand.
fn alike(a: &Row, b: &Row) -> bool {
    *a == Row { line: a.line, ..b.clone() }
}

fn in_front(
    row: &Row,
    column: &str,
    what: impl Into<String>,
    written: impl Into<String>,
    found: impl Into<String>,
) -> Discrepancy {
    Discrepancy {
        file: "front.csv".into(),
        place: format!("{}, {column}", row.place()),
        what: what.into(),
        written: written.into(),
        found: found.into(),
    }
}
