//! Whether planets can be put in, whether they clear each other, and how many at most.

use itertools::Itertools as _;

use super::{GAP, Way, given, is_sure, layout_of, room};
use crate::exam::options::{Wrong, exchangeable, within};
use crate::exam::shop::{Draft, Shop, step};
use crate::num::fraction;
use crate::problem::{
    Answer, Cell, Demands, Item, Kind, Misconception, Row, Said, SignRule, Step, Topic, Unit,
};
use crate::train::{GearSet, write_layout};

/// Numbers of planets that are thought of.
const PLANETS: std::ops::RangeInclusive<u32> = 2..=10;

/// One set and how many planets it takes.
struct Case {
    set: GearSet,
    planet: u32,
}

impl Case {
    /// The case of a set of which no number of planets stands on the edge, and the numbers that
    /// can be built as bits.
    fn sure(set: &GearSet) -> Option<(Self, u32)> {
        let case = Self { planet: set.planet?, set: *set };
        let good = PLANETS.filter(|&n| case.assembles(n) && case.clears(n));
        let good = good.map(|n| 1 << n).sum();
        case.is_sure().then_some((case, good))
    }

    /// (Z_S + Z_R) / N is whole. Source: the planets mesh with sun and ring in the same
    /// phase after 360° / N (gear handbooks).
    fn assembles(&self, planets: u32) -> bool {
        (self.set.sun + self.set.ring).is_multiple_of(planets)
    }

    fn room(&self, planets: u32) -> f64 {
        room(self.set.sun, self.planet, planets)
    }

    fn clears(&self, planets: u32) -> bool {
        self.room(planets) >= GAP
    }

    /// Whether no number of planets stands on the edge.
    fn is_sure(&self) -> bool {
        let mut numbers = PLANETS;
        numbers.all(|planets| is_sure(self.room(planets)))
    }

    fn most(&self, fits: impl Fn(&u32) -> bool) -> Option<u32> {
        PLANETS.filter(fits).max()
    }
}

pub(in crate::exam) fn assembly(shop: &mut Shop<'_>) -> Option<Item> {
    if shop.chance.below(3) == 0 {
        return choice_item(shop);
    }
    let set = shop.set(|set| set.planet.is_some())?;
    let case = Case { planet: set.planet?, set };
    let most = case.most(|&n| case.assembles(n) && case.clears(n)).filter(|_| case.is_sure())?;
    match shop.chance.below(2) {
        0 => Some(most_item(shop, &case, most)),
        _ => table_item(shop, &case),
    }
}

fn draft(shop: &mut Shop<'_>, case: &Case, variant: &str) -> Draft {
    let way = Way::all()[0];
    let layout = write_layout(&layout_of(&case.set, way));
    let scene = shop.scene();
    // How many planets there are is the question, so the item does not tell.
    let told = Said { phrase: "given-set-open".to_owned(), ..given(scene, &case.set) };
    let told = Said {
        args: told.args.into_iter().filter(|(place, _)| place != "planets").collect(),
        ..told
    };
    Draft::new(Kind::Assembly, shop.level, variant, &[Topic::Teeth], layout)
        .teeth(&[case.set])
        .stem(told)
        .stem(Said::new("planets-equal"))
}

/// The most planets that both conditions allow.
fn most_item(shop: &mut Shop<'_>, case: &Case, most: u32) -> Item {
    let whole = |count: u32| fraction(i64::from(count), 1);
    let mut wrong = Wrong::than(&whole(most));
    if let Some(count) = case.most(|&n| case.clears(n)) {
        wrong = wrong.by(Misconception::AssemblyForgotten, whole(count));
    }
    if let Some(count) = case.most(|&n| case.assembles(n)) {
        wrong = wrong.by(Misconception::NeighboursForgotten, whole(count));
    }
    let difference = case.set.ring - case.set.sun;
    if let Some(count) = case.most(|&n| difference.is_multiple_of(n) && case.clears(n)) {
        wrong = wrong.by(Misconception::DifferenceForSum, whole(count));
    }
    // A count is right or wrong.
    let exactly = whole(0);
    let answer = within(&exactly, &whole(most), Unit::None, 0, SignRule::Ignored, wrong);
    let mut steps = vec![assembly_step(case)];
    steps.push(step(Said::new("neighbours-rule"), 1));
    for planets in PLANETS.filter(|&n| n > 2 && n <= most + 2 && case.assembles(n)) {
        steps.push(room_step(case, planets, u32::from(planets == most)));
    }
    steps.push(step(Said::new("most-planets").with("most", most), 1));
    let ask = Said::new("most-planets-ask")
        .with("least", *PLANETS.start())
        .with("greatest", *PLANETS.end());
    let demands = Demands {
        sets: 1,
        equations: 2,
        unknowns: 1,
        sign_changes: 0,
        digits: 3,
        concepts: 2,
        results: 2,
    };
    draft(shop, case, "most").part(ask, answer, steps).done(demands)
}

/// For 3 to 6 planets: can they be put in, do they clear?
fn table_item(shop: &mut Shop<'_>, case: &Case) -> Option<Item> {
    let numbers = 3..=6;
    let told = |n: u32| [case.assembles(n), case.clears(n)];
    // A table of one answer throughout asks little.
    let differ = |column: usize| numbers.clone().any(|n| told(n)[column] != told(3)[column]);
    if !differ(0) || !differ(1) {
        return None;
    }
    let row = |planets: u32| Row {
        head: Said::new("planets-row").count("planets", planets),
        cells: told(planets).into_iter().map(Cell::Tick).collect(),
    };
    let columns = ["column-planets", "column-assembles", "column-clears"].map(Said::new).to_vec();
    let answer = Answer::Table { columns, rows: numbers.clone().map(row).collect() };
    let mut steps = vec![assembly_step(case), step(Said::new("neighbours-rule"), 1)];
    steps.extend(numbers.map(|planets| room_step(case, planets, 1)));
    let demands = Demands {
        sets: 1,
        equations: 3,
        unknowns: 1,
        sign_changes: 0,
        digits: 3,
        concepts: 2,
        results: 4,
    };
    let ask = Said::new("assembly-table-ask");
    Some(draft(shop, case, "table").part(ask, answer, steps).done(demands))
}

/// Which number of planets can be built? The numbers are drawn first, then comes the one whose turn
/// it is to be right, then a set of which only that one is.
fn choice_item(shop: &mut Shop<'_>) -> Option<Item> {
    let cases: Vec<(Case, u32)> = shop.sets.all().iter().filter_map(Case::sure).collect();
    let only = |numbers: &[u32], right: u32| {
        let wanted = 1 << right;
        let asked: u32 = numbers.iter().map(|n| 1 << n).sum();
        cases.iter().filter(move |(_, good)| good & asked == wanted)
    };
    // Numbers of which every one can be the right one, else one of them never would.
    let each = |numbers: &[u32]| numbers.iter().all(|&n| only(numbers, n).next().is_some());
    let of = |count: usize| -> Vec<Vec<u32>> {
        (3..=8).combinations(count).filter(|numbers| each(numbers)).collect()
    };
    let four = of(4);
    let all = if four.is_empty() { of(3) } else { four };
    let numbers = shop.chance.pick(&all)?.clone();
    // Few sets take seven planets and not five: the numbers are right in turn, and when one of
    // them has no set left, none of them is asked for any more.
    let question = numbers.iter().map(|n| 1 << n).sum();
    let place = shop.turn(question, numbers.len());
    let right = numbers[place];
    let fresh = |case: &&Case| !shop.is_used(&case.set);
    let fitting: Vec<&Case> = only(&numbers, right).map(|(case, _)| case).filter(fresh).collect();
    let case = *shop.chance.pick(&fitting)?;
    shop.use_up(&case.set);
    shop.next_turn(question, numbers.len());
    let say = |&planets: &u32| Said::new("planets-option").count("planets", planets);
    let difference = case.set.ring - case.set.sun;
    let reveals = |other: usize| {
        let n = numbers[other];
        if case.assembles(n) {
            Misconception::NeighboursForgotten
        } else if difference.is_multiple_of(n) {
            Misconception::DifferenceForSum
        } else {
            Misconception::AssemblyForgotten
        }
    };
    let options = numbers.iter().map(say).collect();
    let answer = exchangeable(options, place, &mut shop.chance, reveals)?;
    let steps =
        vec![assembly_step(case), step(Said::new("neighbours-rule"), 1), room_step(case, right, 1)];
    let demands = Demands {
        sets: 1,
        equations: 2,
        unknowns: 1,
        sign_changes: 0,
        digits: 3,
        concepts: 2,
        results: 1,
    };
    let ask = Said::new("assembly-choice-ask");
    Some(draft(shop, case, "choice").part(ask, answer, steps).done(demands))
}

/// Which numbers divide Z_S + Z_R.
fn assembly_step(case: &Case) -> Step {
    let sum = case.set.sun + case.set.ring;
    let list = PLANETS.filter(|&n| case.assembles(n)).map(|n| n.to_string());
    let list: Vec<String> = list.collect();
    let said = Said::new("assembly-rule")
        .with("sun", case.set.sun)
        .with("ring", case.set.ring)
        .with("sum", sum)
        .maths("list", list.join(", "));
    step(said, 1)
}

/// The room between tips, worked out.
fn room_step(case: &Case, planets: u32, points: u32) -> Step {
    let hundredths = |value: f64| fraction((100.0 * value).round() as i64, 100);
    let phrase = if case.clears(planets) { "room-enough" } else { "room-scarce" };
    let said = Said::new(phrase)
        .with("planets", planets)
        .with("between", case.set.sun + case.planet)
        .with("tip", case.planet + 2)
        .decimal("room", &hundredths(case.room(planets)), 2);
    step(said, points)
}
