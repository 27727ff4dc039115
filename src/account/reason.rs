//! Why a state is as it is, in a sentence for a reader.

use num_traits::Zero;

use crate::motion::{Motion, Status, solve_state};
use crate::num::listed;
use crate::train::{ElementMask, Grip, INPUT, Layout, OUTPUT, ShaftId};

/// The reason of a state's status, naming shafts and elements.
pub(super) fn reason(layout: &Layout, motion: &Motion) -> String {
    let ties = Ties::new(layout, motion);
    let told = match motion.status {
        Status::Live => motion.status.reason().to_owned(),
        Status::Loose => loose(layout, motion),
        Status::Locked => match ties.path(INPUT.0 + 1, 0) {
            Some(holders) => format!("the input is held by {}", listed(&holders, "and")),
            None => locked(layout, motion),
        },
        Status::IdleOutput => match ties.path(OUTPUT.0 + 1, 0) {
            Some(holders) => format!("the output is held by {}", listed(&holders, "and")),
            None => idle(layout, motion, &ties),
        },
    };
    // A redundant element is why the others are too few, or the reason of a lock.
    match &ties.redundant[..] {
        [] => told,
        redundant => {
            let verb = if redundant.len() == 1 { "adds" } else { "add" };
            format!("{told}; {} {verb} nothing to the others", listed(redundant, "and"))
        }
    }
}

/// No element holds the input by itself or through others: the sets do. An element is to
/// blame when opening it alone would free the input.
fn locked(layout: &Layout, motion: &Motion) -> String {
    let frees = |element: &usize| {
        let others = ElementMask(motion.engaged.0 & !(1 << element));
        solve_state(layout, others).status != Status::Locked
    };
    let blamed = motion.engaged.iter().filter(frees);
    let blamed: Vec<&str> = blamed.map(|e| layout.elements[e].name.as_str()).collect();
    match blamed.len() {
        0 => motion.status.reason().to_owned(),
        1 => format!("the sets hold the input; opening {} would free it", blamed[0]),
        _ => format!(
            "the sets hold the input; opening one of {} would free it",
            listed(&blamed, "and")
        ),
    }
}

/// No element holds the output by itself or through others: a set does, at best one whose
/// other two members are held.
fn idle(layout: &Layout, motion: &Motion, ties: &Ties<'_>) -> String {
    let still = |set: &usize| {
        let seats = layout.seats(*set);
        let still = |seat| motion.speed_at(seat).is_some_and(|speed| speed.is_zero());
        seats.contains(&Some(OUTPUT)) && seats.into_iter().all(still)
    };
    let held = |set: &usize| {
        let held =
            |seat: &Option<ShaftId>| seat.is_none_or(|shaft| ties.path(shaft.0 + 1, 0).is_some());
        layout.seats(*set).iter().filter(|seat| held(seat)).count()
    };
    match (0..layout.sets.len()).filter(still).rev().max_by_key(held) {
        Some(set) => format!("set {} stands still as a whole, and the output with it", set + 1),
        None => motion.status.reason().to_owned(),
    }
}

fn loose(layout: &Layout, motion: &Motion) -> String {
    let free = layout.shafts.iter().zip(&motion.speeds).filter(|(_, speed)| speed.is_none());
    let free: Vec<&str> = free.map(|(shaft, _)| shaft.name.as_str()).collect();
    let output = motion.speeds[OUTPUT.0].as_ref();
    let still = output.is_some_and(Zero::is_zero);
    let ending = if still { ", and the output stands still" } else { "" };
    match free.len() {
        0 => motion.status.reason().to_owned(),
        1 => format!("too few constraints: nothing sets the speed of {}{ending}", free[0]),
        _ => format!(
            "too few constraints: nothing sets the speeds of {}{ending}",
            listed(&free, "and")
        ),
    }
}

/// Housing (0) and shafts (index + 1) with the engaged elements between them.
pub(super) struct Ties<'a> {
    links: Vec<(usize, usize, &'a str)>,
    /// Elements whose two ends the elements before them join already.
    redundant: Vec<&'a str>,
}

impl<'a> Ties<'a> {
    pub fn new(layout: &'a Layout, motion: &Motion) -> Self {
        let links = motion.engaged.iter().map(|element| {
            let element = &layout.elements[element];
            match element.grip {
                Grip::Brake(shaft) => (0, shaft.0 + 1, element.name.as_str()),
                Grip::Clutch(a, b) => (a.0 + 1, b.0 + 1, element.name.as_str()),
            }
        });
        let mut ties = Self { links: Vec::new(), redundant: Vec::new() };
        for (a, b, name) in links {
            match ties.path(a, b) {
                Some(_) => ties.redundant.push(name),
                None => ties.links.push((a, b, name)),
            }
        }
        ties
    }

    /// The elements on the way from one body to another, in their order; the links form a
    /// forest, so there is one way at most.
    pub fn path(&self, from: usize, to: usize) -> Option<Vec<&'a str>> {
        let mut reached: Vec<(usize, Vec<&str>)> = vec![(from, Vec::new())];
        let mut next = 0;
        while let Some((at, way)) = reached.get(next).cloned() {
            if at == to {
                return Some(way);
            }
            for &(a, b, name) in &self.links {
                let Some(other) = (a == at).then_some(b).or((b == at).then_some(a)) else {
                    continue;
                };
                if reached.iter().all(|(seen, _)| *seen != other) {
                    let mut longer = way.clone();
                    longer.push(name);
                    reached.push((other, longer));
                }
            }
            next += 1;
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::train::parse_layout;

    fn told(engaged: &[usize]) -> String {
        let text = r#"
            sets = [{ sun = 30, ring = 66 }]
            shafts = { input = [], output = ["C1"], s = ["S1"], r = ["R1"] }
            [elements]
            A = { clutch = ["input", "s"] }
            B = { clutch = ["input", "r"] }
            C = { brake = "s" }
            D = { clutch = ["s", "r"] }
            E = { brake = "output" }
            F = { brake = "r" }
        "#;
        let layout = parse_layout(text).unwrap();
        let engaged = ElementMask::of(engaged.iter().copied());
        reason(&layout, &solve_state(&layout, engaged))
    }

    #[test]
    fn names_what_holds_and_what_is_free() {
        assert!(told(&[1, 2]).starts_with("every speed is determined and"));
        assert_eq!(told(&[0, 2]), "the input is held by A and C");
        assert_eq!(told(&[0, 4]), "the output is held by E");
        assert_eq!(
            told(&[0, 4, 5]),
            "the sets hold the input; opening one of A, E and F would free it"
        );
        assert!(told(&[1]).ends_with("nothing sets the speeds of output and s"));
        assert_eq!(told(&[3]), "too few constraints: nothing sets the speeds of output, s and r");
        // The input turns alone: nothing is free, and the brake holds the rest.
        assert_eq!(told(&[3, 4]), "the output is held by E");
        assert!(told(&[0, 1, 3]).ends_with("; D adds nothing to the others"));
    }
}
