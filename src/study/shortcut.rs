//! The workshop shortcut of effective teeth: count the carrier as S + R teeth, and the ratio is
//! the teeth of the member that is taken off over those of the member that is driven.
//!
//! With one member held the other two have speeds n₁ T₁ = n₂ T₂ (T_C = Z_S + Z_R, the sign turned
//! where the carrier is held): Willis, Z_S n_S + Z_R n_R = (Z_S + Z_R) n_C, with one term
//! gone. Where two sets share shafts and no member of one is held, no term goes.

use num_traits::{Signed, Zero};
use serde::Serialize;

use crate::motion::solve_state;
use crate::num::{Fraction, fraction};
use crate::train::{INPUT, Layout, OUTPUT, Role};

/// Where the shortcut holds and where it fails, computed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Shortcut {
    /// One set with one member held.
    pub holds: Vec<ShortcutCase>,
    /// A gear of several sets in which no set of the way has a member held; taking set by set
    /// what the shortcut gives is wrong.
    pub fails: Option<ShortcutCase>,
}

/// The shortcut and the truth.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ShortcutCase {
    /// Layout file of the case: a witness's name, or empty for one set.
    pub witness: String,
    pub gear: String,
    /// The set by which the shortcut goes, from 1.
    pub set: usize,
    pub driven: char,
    pub output: char,
    /// Effective teeth of the driven and of the output member.
    pub driven_teeth: u32,
    pub output_teeth: u32,
    /// What the shortcut gives, exact, signed where the carrier is held.
    pub shortcut: String,
    /// The right ratio, exact.
    pub ratio: String,
}

/// Effective teeth of a member: those of its wheel, S + R for the carrier.
fn teeth(sun: u32, ring: u32, role: Role) -> u32 {
    match role {
        Role::Sun => sun,
        Role::Ring => ring,
        Role::Carrier => sun + ring,
    }
}

/// Both sides: all six ways of one set, and the first gear of a witness where it fails.
///
/// `ways` are driven, held, output letters with exact ratios; `witnesses` layouts with gears.
pub fn shortcut(
    sun: u32,
    ring: u32,
    ways: &[super::Way],
    witnesses: &[(String, Layout)],
) -> Shortcut {
    let role = |letter: char| Role::ALL.into_iter().find(|role| role.letter() == letter);
    let case = |way: &super::Way| {
        let (driven, output) = (role(way.driven)?, role(way.output)?);
        let [driven_teeth, output_teeth] = [driven, output].map(|role| teeth(sun, ring, role));
        let mut value = fraction(output_teeth.into(), driven_teeth.into());
        if role(way.held)? == Role::Carrier {
            value = -value;
        }
        Some(ShortcutCase {
            witness: String::new(),
            gear: String::new(),
            set: 1,
            driven: way.driven,
            output: way.output,
            driven_teeth,
            output_teeth,
            shortcut: value.to_string(),
            ratio: way.ratio.clone(),
        })
    };
    let holds = ways.iter().filter_map(case).collect();
    let fails = witnesses.iter().find_map(|(name, layout)| failing(name, layout));
    Shortcut { holds, fails }
}

/// A gear in which a set joins input and output directly, one of its members on each, its third
/// member turns, and the other sets decide how fast.
fn failing(name: &str, layout: &Layout) -> Option<ShortcutCase> {
    layout.gears.iter().find_map(|gear| {
        let motion = solve_state(layout, gear.engaged);
        let (speeds, ratio) = (motion.all_speeds()?, motion.ratio?);
        (0..layout.sets.len()).find_map(|set| case_of(name, layout, gear, set, &speeds, &ratio))
    })
}

fn case_of(
    name: &str,
    layout: &Layout,
    gear: &crate::train::Gear,
    set: usize,
    speeds: &[Fraction],
    ratio: &Fraction,
) -> Option<ShortcutCase> {
    let seats = layout.seats(set);
    let speed = |role: Role| match seats[role as usize] {
        Some(shaft) => speeds[shaft.0].clone(),
        None => Fraction::zero(),
    };
    let input = &speeds[INPUT.0];
    let on_output = |role: &Role| seats[*role as usize] == Some(OUTPUT);
    let output = Role::ALL.into_iter().find(on_output)?;
    let with_input = |role: &Role| speed(*role) == *input && !on_output(role);
    let driven = Role::ALL.into_iter().find(with_input)?;
    let third = Role::ALL.into_iter().find(|&role| role != driven && role != output)?;
    let turning = speed(third);
    let teeth_of = |role| teeth(layout.sets[set].sun, layout.sets[set].ring, role);
    let [driven_teeth, output_teeth] = [driven, output].map(teeth_of);
    let mut shortcut = fraction(output_teeth.into(), driven_teeth.into());
    if third == Role::Carrier {
        shortcut = -shortcut;
    }
    let block = turning == *input;
    (!turning.is_zero() && !block && shortcut != *ratio && ratio.is_positive()).then(|| {
        ShortcutCase {
            witness: name.to_owned(),
            gear: gear.name.clone(),
            set: set + 1,
            driven: driven.letter(),
            output: output.letter(),
            driven_teeth,
            output_teeth,
            shortcut: shortcut.to_string(),
            ratio: ratio.to_string(),
        }
    })
}
