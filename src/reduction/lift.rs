//! Limits of a brief, each of which may be lifted: what it is called, how it is lifted, and
//! what a reduction found without it says about it.

use crate::brief::{BackDriving, Coupling, Direction, ReductionBrief, no_list};
use crate::score::{Better, Criterion};
use crate::train::SetKind;

use super::archive::Found;

/// Largest tolerance that is tried: a ratio twice off is another wish.
const WIDEST: f64 = 0.45;
/// No face is so wide, in modules.
const ANY_WIDTH: f64 = 1e4;

/// One limit of a brief.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Lift {
    Tolerance,
    Bore,
    Length,
    Width,
    /// A bound on a score, by its place in the brief.
    Score(usize),
    BackDriving,
    Direction,
    Coupling,
    Kinds,
    Sets,
    EqualRings,
}

impl Lift {
    /// Every limit that `brief` has. Bounds on diameter and length are part of the room.
    pub fn all(brief: &ReductionBrief) -> Vec<Self> {
        let (room, train) = (&brief.room, &brief.train);
        let sized = [Criterion::OuterDiameter, Criterion::Length];
        let limits = brief.limits.iter().enumerate();
        let scores = limits.filter(|(_, limit)| !sized.contains(&limit.criterion));
        let mut all = vec![Self::Tolerance];
        let mut also = |there: bool, lift: Self| all.extend(there.then_some(lift));
        also(room.bore.is_some(), Self::Bore);
        also(room.length.is_some(), Self::Length);
        also(brief.load.is_some(), Self::Width);
        scores.for_each(|(index, _)| also(true, Self::Score(index)));
        also(train.back_driving != BackDriving::Free, Self::BackDriving);
        also(brief.ratio.direction != Direction::Either, Self::Direction);
        also(train.coupling != Coupling::Any, Self::Coupling);
        also(train.kinds == [SetKind::Single], Self::Kinds);
        also(next_sets(brief) <= 4, Self::Sets);
        also(room.equal_rings, Self::EqualRings);
        all
    }

    /// Takes this limit off `lifted`, a brief made from `brief`.
    pub fn off(self, brief: &ReductionBrief, lifted: &mut ReductionBrief) {
        let unbound = |lifted: &mut ReductionBrief, criterion: Criterion| {
            lifted.limits.retain(|limit| limit.criterion != criterion);
        };
        match self {
            Self::Tolerance => lifted.ratio.tolerance = WIDEST,
            Self::Bore => {
                lifted.room.bore = None;
                unbound(lifted, Criterion::OuterDiameter);
            }
            Self::Length => {
                lifted.room.length = None;
                unbound(lifted, Criterion::Length);
            }
            Self::Width => lifted.room.width.1 = ANY_WIDTH,
            Self::Score(index) => unbound(lifted, brief.limits[index].criterion),
            Self::BackDriving => lifted.train.back_driving = BackDriving::Free,
            Self::Direction => lifted.ratio.direction = Direction::Either,
            Self::Coupling => lifted.train.coupling = Coupling::Any,
            Self::Kinds => lifted.train.kinds = vec![SetKind::Single, SetKind::Paired],
            Self::Sets => lifted.train.sets = vec![next_sets(brief)],
            Self::EqualRings => lifted.room.equal_rings = false,
        }
    }

    /// What a search without this limit is made by.
    pub fn objectives(self, brief: &ReductionBrief) -> Vec<Criterion> {
        match self {
            Self::Bore => vec![Criterion::OuterDiameter],
            Self::Length => vec![Criterion::Length],
            // Wide faces are long ones, unless the set is small or has many planets.
            Self::Width => {
                vec![Criterion::Length, Criterion::OuterDiameter, Criterion::PartCount]
            }
            Self::Score(index) => vec![brief.limits[index].criterion],
            _ => vec![Criterion::RatioError],
        }
    }

    /// How far `found` is beyond this limit, as a factor: 1 where it keeps it.
    pub fn excess(self, brief: &ReductionBrief, found: &Found) -> f64 {
        let beyond = |value: f64, limit: f64| (value / limit.max(1e-9)).max(1.0);
        match self {
            Self::Tolerance => {
                beyond(score(found, Criterion::RatioError) / 100.0, brief.ratio.tolerance)
            }
            Self::Bore => {
                let bore = brief.room.bore.unwrap_or(f64::INFINITY);
                beyond(score(found, Criterion::OuterDiameter), bore)
            }
            Self::Length => {
                let length = brief.room.length.unwrap_or(f64::INFINITY);
                beyond(score(found, Criterion::Length), length)
            }
            Self::Width => beyond(widest(found), brief.room.width.1),
            Self::Score(index) => {
                let limit = &brief.limits[index];
                let value = score(found, limit.criterion);
                let least = limit.least.map_or(1.0, |least| beyond(least, value));
                limit.most.map_or(least, |most| beyond(value, most).max(least))
            }
            _ => 1.0,
        }
    }

    /// The change of the brief that lets `found` in, such as `room.bore = 97.5`, and another in
    /// its place where there is one; only what the reader of briefs takes.
    pub fn change(self, brief: &ReductionBrief, found: &Found) -> Option<String> {
        let mut ways = self.changes(brief, found).into_iter().filter(|way| is_read(brief, way));
        let first = ways.next()?;
        Some(ways.fold(first, |told, way| format!("{told} (or {way} instead)")))
    }

    fn changes(self, brief: &ReductionBrief, found: &Found) -> Vec<String> {
        if self == Self::Width {
            return widths(brief, found).to_vec();
        }
        vec![self.only_change(brief, found)]
    }

    fn only_change(self, brief: &ReductionBrief, found: &Found) -> String {
        let up = |value: f64, step: f64| (value / step - 1e-9).ceil() * step;
        let sized = |key: &str, criterion: Criterion| {
            let value = up(score(found, criterion), 0.1);
            let bound = brief.limits.iter().any(|limit| limit.criterion == criterion);
            let name = criterion.name();
            let also = format!(" and limits.{name} = {{ most = {value:.1} }}");
            format!("room.{key} = {value:.1}{}", if bound { also } else { String::new() })
        };
        match self {
            Self::Tolerance => {
                let needed = up(score(found, Criterion::RatioError) / 100.0, 1e-6);
                let exact = brief.ratio.tolerance == 0.0;
                let freed = if exact { "ratio.exact = false and " } else { "" };
                format!("{freed}ratio.tolerance = {needed:.6}")
            }
            Self::Bore => sized("bore", Criterion::OuterDiameter),
            Self::Length => sized("length", Criterion::Length),
            Self::Width => String::new(),
            Self::Score(index) => {
                let criterion = brief.limits[index].criterion;
                let (name, value) = (criterion.name(), score(found, criterion));
                match criterion.better() {
                    Better::Higher => {
                        let least = (value * 1e4).floor() / 1e4;
                        format!("limits.{name} = {{ least = {least:.4} }}")
                    }
                    Better::Lower => {
                        let most = (value * 1e4).ceil() / 1e4;
                        format!("limits.{name} = {{ most = {most:.4} }}")
                    }
                }
            }
            Self::BackDriving => "train.back_driving = \"free\"".to_owned(),
            Self::Direction => "ratio.direction = \"either\"".to_owned(),
            Self::Coupling => "train.coupling = \"any\"".to_owned(),
            Self::Kinds => "train.kinds = [\"single\", \"paired\"]".to_owned(),
            Self::Sets => format!("train.sets = {}", next_sets(brief)),
            Self::EqualRings => "room.equal_rings = false".to_owned(),
        }
    }
}

/// One set more than the brief allows.
fn next_sets(brief: &ReductionBrief) -> u8 {
    brief.train.sets.iter().copied().max().unwrap_or(0) + 1
}

fn score(found: &Found, criterion: Criterion) -> f64 {
    let place = Criterion::REDUCTION.iter().position(|other| *other == criterion);
    place.and_then(|place| found.scores[place]).unwrap_or(0.0)
}

/// The largest face width in modules.
fn widest(found: &Found) -> f64 {
    let in_modules = found.widths.iter().zip(&found.choices).map(|(width, c)| width / c.module);
    in_modules.fold(0.0, f64::max)
}

/// Whether the brief with this change is one: `change` are lines of TOML with their whole path,
/// joined by " and ".
pub(super) fn is_read(brief: &ReductionBrief, change: &str) -> bool {
    let table = |text: &str| text.parse::<toml::Table>().ok();
    let changed = table(&brief.canonical_text()).and_then(|whole| {
        change.split(" and ").try_fold(whole, |all, line| Some(merged(all, table(line)?)))
    });
    let text = changed.and_then(|table| toml::to_string(&table).ok());
    text.is_some_and(|text| ReductionBrief::parse(&text, &brief.name, no_list).is_ok())
}

/// `over` written over `under`, table by table.
fn merged(mut under: toml::Table, over: toml::Table) -> toml::Table {
    for (key, value) in over {
        let value = match (under.remove(&key), value) {
            (Some(toml::Value::Table(below)), toml::Value::Table(above)) => {
                toml::Value::Table(merged(below, above))
            }
            (_, value) => value,
        };
        under.insert(key, value);
    }
    under
}

/// The width that is needed in modules, or the torque that the given width bears: widths go
/// with the torque.
fn widths(brief: &ReductionBrief, found: &Found) -> [String; 2] {
    let (needed, (least, most)) = (widest(found), brief.room.width);
    let load = brief.load.as_ref();
    let given = load.map_or(0.0, |load| load.input_torque.unwrap_or(load.output_torque));
    let end = if load.is_some_and(|load| load.input_torque.is_some()) { "input" } else { "output" };
    let torque = given * most / needed;
    // Three figures, downwards: small torques are not nothing.
    let step = 10f64.powf(torque.max(1e-9).log10().floor() - 2.0);
    let torque = (torque / step).floor() * step;
    let places = (-step.log10()).round().max(0.0) as usize;
    let needed = (needed * 10.0).ceil() / 10.0;
    let wider = format!("room.width = [{least}, {needed:.1}]");
    [wider, format!("load.{end}_torque = {torque:.places$}")]
}
