//! Neutral, lock-up, direct or a gear: what one set with a brake and a clutch does.

use super::{Way, given, layout_of, member, role_name};
use crate::exam::options::exchangeable;
use crate::exam::shop::{Draft, Shop, step};
use crate::num::{Fraction, fraction};
use crate::problem::{Answer, Cell, Demands, Figure, Item, Kind, Misconception, Row, Said, Topic};
use crate::train::{Element, GearSet, Grip, Layout, Role, ShaftId, write_layout};

/// What the output does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Behaviour {
    Neutral,
    Reduction,
    Overdrive,
    Reverse,
    Direct,
    Locked,
}

impl Behaviour {
    const ALL: [Self; 6] = [
        Self::Neutral,
        Self::Reduction,
        Self::Overdrive,
        Self::Reverse,
        Self::Direct,
        Self::Locked,
    ];

    fn word(self) -> &'static str {
        match self {
            Self::Neutral => "neutral",
            Self::Reduction => "reduction",
            Self::Overdrive => "overdrive",
            Self::Reverse => "reverse",
            Self::Direct => "direct",
            Self::Locked => "locked",
        }
    }

    fn said(self) -> Said {
        Said::new(&format!("behaviour-{}", self.word()))
    }

    /// What takes it for another.
    fn taken_for(self, other: Self) -> Misconception {
        use Behaviour::{Direct, Locked, Neutral, Overdrive, Reduction, Reverse};
        match (self, other) {
            (Neutral | Direct, Locked) | (Locked, Neutral) => Misconception::NeutralForLock,
            (Direct, Neutral) => Misconception::IdleForEngaged,
            (_, Direct) | (Direct, _) => Misconception::DirectForHeld,
            (Reverse, Reduction | Overdrive) | (Reduction | Overdrive, Reverse) => {
                Misconception::LostSign
            }
            (Reduction, Overdrive) | (Overdrive, Reduction) => Misconception::InverseRatio,
            _ => Misconception::IdleForEngaged,
        }
    }

    fn of(ratio: &Fraction) -> Self {
        if *ratio < fraction(0, 1) {
            Self::Reverse
        } else if *ratio > fraction(1, 1) {
            Self::Reduction
        } else {
            Self::Overdrive
        }
    }
}

/// The brake A on the third member, and which two shafts the clutch B joins.
struct Switched {
    way: Way,
    set: GearSet,
    clutch: [usize; 2],
}

impl Switched {
    fn layout(&self) -> Layout {
        let mut layout = layout_of(&self.set, self.way);
        let [first, second] = self.clutch.map(ShaftId);
        let grip = Grip::Clutch(first, second);
        layout.elements.push(Element { name: "B".to_owned(), grip });
        layout
    }

    /// The members that the clutch joins.
    fn joined(&self) -> [Role; 2] {
        self.clutch.map(|shaft| [self.way.driver, self.way.out, self.way.held][shaft])
    }

    /// Nothing, A, B, both.
    fn behaviours(&self) -> [Behaviour; 4] {
        let gear = Behaviour::of(&self.way.ratio(&self.set));
        [Behaviour::Neutral, gear, Behaviour::Direct, Behaviour::Locked]
    }
}

const ENGAGED: [&str; 4] = ["engaged-none", "engaged-a", "engaged-b", "engaged-both"];

pub(in crate::exam) fn recognise(shop: &mut Shop<'_>) -> Option<Item> {
    let ways = Way::all();
    let way = *shop.chance.pick(&ways)?;
    let set = shop.set(|_| true)?;
    let clutch = *shop.chance.pick(&[[0, 1], [0, 2], [1, 2]])?;
    let switched = Switched { way, set, clutch };
    if shop.chance.below(2) == 0 {
        Some(table(shop, &switched))
    } else {
        state_choice(shop, switched)
    }
}

fn draft(shop: &mut Shop<'_>, switched: &Switched, variant: &str) -> Draft {
    let layout = write_layout(&switched.layout());
    let [first, second] = switched.joined();
    let topics = [Topic::OneSet, Topic::Shifting];
    let scene = shop.scene();
    Draft::new(Kind::Recognise, shop.level, variant, &topics, layout.clone())
        .teeth(&[switched.set])
        .stem(given(scene, &switched.set))
        .stem(
            Said::new("switched-set")
                .with("driver", member(switched.way.driver))
                .with("out", member(switched.way.out))
                .with("held", member(switched.way.held))
                .with("first", member(first))
                .with("second", member(second)),
        )
        .figure(Figure::Stick { layout })
}

fn table(shop: &mut Shop<'_>, switched: &Switched) -> Item {
    let words: Vec<Said> = Behaviour::ALL.into_iter().map(Behaviour::said).collect();
    let behaviours = switched.behaviours();
    let row = |(engaged, behaviour): (&str, Behaviour)| Row {
        head: Said::new(engaged),
        cells: vec![Cell::Word { of: words.clone(), right: behaviour as usize }],
    };
    let rows = ENGAGED.into_iter().zip(behaviours).map(row).collect();
    let columns = vec![Said::new("column-engaged"), Said::new("column-behaviour")];
    let steps = (0..4).map(|state| step(reason(switched, state), 1)).collect();
    let variant = format!("table-{}", switched.way.letters());
    let demands = Demands {
        sets: 1,
        equations: 1,
        unknowns: 1,
        sign_changes: u32::from(behaviours[1] == Behaviour::Reverse),
        digits: 2,
        concepts: 3,
        results: 4,
    };
    let answer = Answer::Table { columns, rows };
    draft(shop, switched, &variant)
        .part(Said::new("recognise-table-ask"), answer, steps)
        .done(demands)
}

/// One state of four, or one behaviour of a set that turns, of which any may be asked for.
fn state_choice(shop: &mut Shop<'_>, mut switched: Switched) -> Option<Item> {
    use Behaviour::{Direct, Overdrive, Reduction, Reverse};
    let right = shop.chance.below(4);
    let (options, state) = if shop.chance.below(2) == 0 {
        (switched.behaviours(), right)
    } else {
        let all = [Reduction, Overdrive, Reverse, Direct];
        if all[right] == Direct {
            (all, 2)
        } else {
            let fits = |way: &Way| Behaviour::of(&way.ratio(&switched.set)) == all[right];
            let ways: Vec<Way> = Way::all().into_iter().filter(fits).collect();
            switched.way = *shop.chance.pick(&ways)?;
            (all, 1)
        }
    };
    let switched = &switched;
    let said = options.iter().map(|behaviour| behaviour.said()).collect();
    let reveals = |other: usize| options[right].taken_for(options[other]);
    let answer = exchangeable(said, right, &mut shop.chance, reveals)?;
    let right = options[right];
    let steps = vec![step(reason(switched, state), 2)];
    let ask = Said::new("recognise-ask").with("engaged", Said::new(ENGAGED[state]));
    let variant = format!("state-{}", right.word());
    let demands = Demands {
        sets: 1,
        equations: u32::from(state == 1),
        unknowns: 1,
        sign_changes: u32::from(right == Reverse),
        digits: 2,
        concepts: 2,
        results: 1,
    };
    let draft = draft(shop, switched, &variant).fact("engaged", ["", "A", "B", "A B"][state]);
    Some(draft.part(ask, answer, steps).done(demands))
}

/// Why a state does what it does.
fn reason(switched: &Switched, state: usize) -> Said {
    let way = switched.way;
    match state {
        0 => Said::new("why-neutral"),
        1 => Said::new("why-gear")
            .with("held", member(way.held))
            .maths("formula", way.formula())
            .maths("put", way.put(&switched.set))
            .with("ratio", way.ratio(&switched.set))
            .with("behaviour", switched.behaviours()[1].said()),
        2 => Said::new("why-direct"),
        _ => Said::new("why-locked").name("held", role_name(way.held)),
    }
}
