//! A gearbox told in words, so that a solver needs no drawing; and its speed equations.

use itertools::Itertools;
use num_traits::Zero;

use super::family::{Gearbox, is_brake};
use crate::exam::shop::Draft;
use crate::num::Fraction;
use crate::problem::{Figure, Kind, Level, Said, Topic};
use crate::train::{ElementMask, Grip, INPUT, Layout, OUTPUT, ShaftId, write_layout};

/// An item on a gearbox: its sets, its shafts and its elements in the stem, its drawing.
pub(super) fn draft(
    kind: Kind,
    level: Level,
    variant: &str,
    topics: &[Topic],
    gearbox: &Gearbox,
    scene: &str,
) -> Draft {
    let layout = &gearbox.layout;
    // The gears are the answer of most items, so the drawing and the file have none.
    let open = Layout { gears: Vec::new(), ..layout.clone() };
    let text = write_layout(&open);
    let variant = format!("{}-sets-{variant}", layout.sets.len());
    let mut draft = Draft::new(kind, level, &variant, topics, text.clone());
    draft = draft.stem(
        Said::new("given-gearbox")
            .with("scene", Said::new(&format!("scene-{scene}")))
            .count("sets", layout.sets.len() as u32),
    );
    for (index, set) in layout.sets.iter().enumerate() {
        draft = draft.stem(
            Said::new("given-teeth")
                .with("set", index as u32 + 1)
                .with("sun", set.sun)
                .with("planet", set.planet.unwrap_or_default())
                .with("ring", set.ring),
        );
    }
    for (index, shaft) in layout.shafts.iter().enumerate() {
        let members = shaft.members.iter().join(" + ");
        let phrase = match (index, shaft.members.len()) {
            (0, 1) => "given-input-one",
            (0, _) => "given-input",
            (1, 1) => "given-output-one",
            (1, _) => "given-output",
            (_, 1) => continue,
            _ => "given-shaft",
        };
        draft = draft.stem(Said::new(phrase).name("members", members));
    }
    for element in &layout.elements {
        let (first, second) = element.grip.ends();
        let said = Said::new(if is_brake(element) { "given-brake" } else { "given-clutch" })
            .name("element", &element.name)
            .with("first", shaft(layout, first));
        draft = draft.stem(match second {
            Some(second) => said.with("second", shaft(layout, second)),
            None => said,
        });
    }
    let draft = gearbox.marks().into_iter().fold(draft, Draft::mark);
    draft.figure(Figure::Stick { layout: text })
}

/// "the input", "the output", "the shaft of S1 and R2".
pub(super) fn shaft(layout: &Layout, id: ShaftId) -> Said {
    match id {
        INPUT => Said::new("shaft-input"),
        OUTPUT => Said::new("shaft-output"),
        _ => {
            let members = layout.shafts[id.0].members.iter().join(" + ");
            Said::new("shaft-of").name("members", members)
        }
    }
}

/// Engaged elements as "A and B are engaged".
pub(super) fn engaged(names: &[String]) -> Said {
    match names {
        [] => Said::new("nothing-engaged"),
        [one] => Said::new("one-engaged").name("element", one),
        several => Said::new("several-engaged").name("elements", several.join(", ")),
    }
}

/// Speeds of shafts in a state, shafts that elements join with one symbol.
pub(super) struct Symbols {
    /// Of each shaft: its symbol, or `None` where it is held.
    of: Vec<Option<String>>,
}

impl Symbols {
    pub fn new(layout: &Layout, state: ElementMask) -> Self {
        // Shafts that are joined take the first one's number; the housing is 0.
        let mut body: Vec<usize> = (0..=layout.shafts.len()).collect();
        for element in state.iter() {
            let (a, b) = match layout.elements[element].grip {
                Grip::Brake(shaft) => (0, shaft.0 + 1),
                Grip::Clutch(a, b) => (a.0 + 1, b.0 + 1),
            };
            let (low, high) = (body[a].min(body[b]), body[a].max(body[b]));
            body.iter_mut().filter(|one| **one == high).for_each(|one| *one = low);
        }
        let symbol = |shaft: usize| match body[shaft + 1] {
            0 => None,
            1 => Some("n_in".to_owned()),
            one if one == body[OUTPUT.0 + 1] => Some("n_out".to_owned()),
            one => {
                let member = layout.shafts[one - 1].members.first();
                Some(member.map_or("n_x".to_owned(), |member| format!("n_{member}")))
            }
        };
        Self { of: (0..layout.shafts.len()).map(symbol).collect() }
    }

    pub fn shaft(&self, shaft: usize) -> Option<&str> {
        self.of[shaft].as_deref()
    }

    /// Symbols other than the input's and the output's.
    pub fn others(&self) -> Vec<(usize, String)> {
        let named = self.of.iter().enumerate();
        let named = named.filter_map(|(shaft, symbol)| Some((shaft, symbol.clone()?)));
        named
            .filter(|(_, symbol)| symbol != "n_in" && symbol != "n_out")
            .unique_by(|(_, symbol)| symbol.clone())
            .collect()
    }

    /// The speed equation of a set in this state: `24 * n_in + 72 * n_out = 96 * n_R2`.
    pub fn equation(&self, layout: &Layout, set: usize) -> String {
        let teeth = layout.sets[set];
        let weights = [teeth.sun, teeth.ring, teeth.sun + teeth.ring];
        let term = |member: usize| {
            let shaft = layout.seats(set)[member]?;
            let symbol = self.shaft(shaft.0)?;
            Some(format!("{} * {symbol}", weights[member]))
        };
        let left: Vec<String> = [0, 1].into_iter().filter_map(term).collect();
        let left = if left.is_empty() { "0".to_owned() } else { left.join(" + ") };
        format!("{left} = {}", term(2).unwrap_or_else(|| "0".to_owned()))
    }
}

/// A speed as a multiple of the input speed, in the notation: `(3/4) * n_in`.
pub(super) fn per_input(speed: &Fraction) -> String {
    if speed.is_zero() { "0".to_owned() } else { format!("({speed}) * n_in") }
}
