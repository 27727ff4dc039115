//! One planetary set: its six ways to drive, hold and take off, and how far apart they are.

use num_traits::{One, Zero};
use serde::Serialize;

use crate::brief::Band;
use crate::motion::{Status, formula, solve_state};
use crate::num::{Fraction, fraction, to_f64};
use crate::teeth::Catalogue;
use crate::train::{Core, ElementMask, GearSet, Layout, Role, Slot};

/// What one set does, from the laws of motion, and what the teeth of a catalogue make of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct OneSet {
    /// The set by which the ways are told: the one in the middle of the catalogue.
    pub sun: u32,
    pub planet: u32,
    pub ring: u32,
    /// Exact.
    pub base_ratio: String,
    /// Smallest and largest base ratio of the catalogue.
    pub base_ratios: [f64; 2],
    /// The ratio with any two members locked together, exact: the set turns as a block.
    pub direct: String,
    /// What the set does with nothing held and nothing locked, as [`Status::word`] has it.
    pub neutral: &'static str,
    /// The six ways, from the largest ratio down, reverses last.
    pub ways: Vec<Way>,
    /// Gears with one member as the output, for each member: the steps between its ratios.
    pub outputs: Vec<SetGear>,
}

/// One way to drive, hold and take off.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Way {
    /// Letters S, R, C.
    pub driven: char,
    pub held: char,
    pub output: char,
    /// Input speed / output speed of the told set, exact.
    pub ratio: String,
    pub value: f64,
    /// Formula in ρ.
    pub formula: String,
    /// Smallest and largest ratio that the catalogue reaches, by size.
    pub range: [f64; 2],
    /// Whether the output turns with the input.
    pub forward: bool,
    /// Whether the output turns slower than the input.
    pub slower: bool,
}

/// The forward ratios that one member as the output offers: with either other member driven
/// and the third held, and direct drive.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetGear {
    pub output: char,
    /// Forward ratios of the told set, falling.
    pub ratios: Vec<f64>,
    /// Steps between them.
    pub steps: Vec<f64>,
    /// For each step, its smallest and largest value over the catalogue.
    pub step_ranges: Vec<[f64; 2]>,
    /// Whether one of its ways reverses.
    pub reverse: bool,
    /// Ladders of usable gears, with direct drive among them, over the catalogue.
    pub forward: SetLadder,
    /// The same with a usable reverse; `None` where no reverse is asked for.
    pub with_reverse: Option<SetLadder>,
}

/// The most usable gears with one member as the output, over all base ratios of the catalogue.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SetLadder {
    /// 0 where there are not even two.
    pub gears: usize,
    /// Base ratios with which there are so many, rising; nothing where there are not even two.
    pub base_ratios: Vec<f64>,
}

/// The facts of one set of a catalogue that is not empty; `None` for an empty one.
pub fn one_set(catalogue: &Catalogue, band: &Band) -> Option<OneSet> {
    let count = catalogue.len();
    let middle = (count > 0).then(|| catalogue.best(count / 2).set)?;
    let all: Vec<GearSet> = (0..count).map(|index| catalogue.best(index).set).collect();
    let mut ways: Vec<Way> = Vec::new();
    for [driven, held, output] in arrangements() {
        ways.push(way(driven, held, output, middle, &all)?);
    }
    ways.sort_by(|a, b| b.forward.cmp(&a.forward).then(b.value.abs().total_cmp(&a.value.abs())));
    let outputs = Role::ALL.into_iter().map(|output| output_of(output, middle, &all, band));
    let base = fraction(middle.ring.into(), middle.sun.into());
    Some(OneSet {
        sun: middle.sun,
        planet: middle.planet.unwrap_or((middle.ring - middle.sun) / 2),
        ring: middle.ring,
        base_ratio: base.to_string(),
        direct: locked(middle)?.to_string(),
        neutral: free(middle).word(),
        base_ratios: [catalogue.ratios()[0], catalogue.ratios()[count - 1]],
        ways,
        outputs: outputs.collect::<Option<_>>()?,
    })
}

/// Driven, held, output: every order of the three members.
fn arrangements() -> [[Role; 3]; 6] {
    let [s, r, c] = Role::ALL;
    [[s, r, c], [s, c, r], [r, s, c], [r, c, s], [c, s, r], [c, r, s]]
}

/// A single set with one member as the input and one as the output.
fn core_of(driven: Role, output: Role) -> Core {
    let shaft = |role: Role| match role {
        _ if role == driven => 1,
        _ if role == output => 2,
        _ => 3,
    };
    Core::new(&[Role::ALL.map(shaft)], 3, 1, 2)
}

/// The same with a brake on the third member.
fn layout(driven: Role, output: Role, set: GearSet) -> Layout {
    Layout::from_core(&core_of(driven, output), &[Slot::brake(3)], vec![set])
}

fn ratio(driven: Role, output: Role, set: GearSet) -> Option<Fraction> {
    solve_state(&layout(driven, output, set), ElementMask::of([0])).ratio
}

/// The ratio with two members locked, if it is the same whichever two they are.
fn locked(set: GearSet) -> Option<Fraction> {
    let ratios = arrangements().map(|[driven, _, output]| {
        let core = core_of(driven, output);
        let layouts = [Slot::clutch(1, 2), Slot::clutch(1, 3), Slot::clutch(2, 3)];
        layouts.map(|slot| {
            let layout = Layout::from_core(&core, &[slot], vec![set]);
            solve_state(&layout, ElementMask::of([0])).ratio
        })
    });
    let first = ratios[0][0].clone()?;
    ratios.iter().flatten().all(|ratio| ratio.as_ref() == Some(&first)).then_some(first)
}

/// What the sun driven and the carrier taken off do with nothing held.
fn free(set: GearSet) -> Status {
    let layout = layout(Role::Sun, Role::Carrier, set);
    solve_state(&layout, ElementMask::of([])).status
}

fn way(driven: Role, held: Role, output: Role, told: GearSet, all: &[GearSet]) -> Option<Way> {
    let exact = ratio(driven, output, told)?;
    let value = to_f64(&exact);
    let values: Option<Vec<f64>> =
        all.iter().map(|&set| Some(to_f64(&ratio(driven, output, set)?).abs())).collect();
    let range = ends(&values?);
    let formula = formula(&layout(driven, output, told), ElementMask::of([0]))?;
    Some(Way {
        driven: driven.letter(),
        held: held.letter(),
        output: output.letter(),
        ratio: exact.to_string(),
        value,
        formula: formula.to_string(),
        range,
        forward: exact > Fraction::zero(),
        slower: value.abs() > 1.0,
    })
}

fn ends(values: &[f64]) -> [f64; 2] {
    let least = values.iter().copied().fold(f64::INFINITY, f64::min);
    let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    [least, most]
}

/// Forward ratios with one member as the output, direct drive among them, falling; and the
/// reverse without its sign, if one of the ways reverses.
fn ratios_of(output: Role, set: GearSet) -> Option<(Vec<f64>, Option<f64>)> {
    let mut ratios = vec![Fraction::one()];
    for [driven, _, out] in arrangements() {
        if out == output {
            ratios.push(ratio(driven, out, set)?);
        }
    }
    ratios.sort();
    ratios.reverse();
    let (forward, back): (Vec<_>, Vec<_>) = ratios.iter().partition(|&r| *r > Fraction::zero());
    // Of two ways at most one turns backwards: the other member is held or driven in its stead.
    Some((forward.into_iter().map(to_f64).collect(), back.first().map(|r| to_f64(r).abs())))
}

/// The most gears that can be chosen among falling ratios so that they are a ladder of the band.
fn most_gears(ratios: &[f64], band: &Band) -> usize {
    let within = |value: f64, (least, most): (f64, f64)| (least..=most).contains(&value);
    let usable = |chosen: u32| {
        let kept = ratios.iter().enumerate().filter(|(place, _)| chosen >> place & 1 == 1);
        let kept: Vec<f64> = kept.map(|(_, &ratio)| ratio).collect();
        let (&first, &top) = (kept.first()?, kept.last()?);
        let steps = kept.windows(2).all(|pair| within(pair[0] / pair[1], band.step));
        let serves = kept.len() > 1 && within(first, band.first) && within(top, band.top) && steps;
        serves.then_some(kept.len())
    };
    (0..1u32 << ratios.len()).filter_map(usable).max().unwrap_or(0)
}

/// The most usable gears over all sets, with a usable reverse where its window is given.
fn most_over(
    output: Role,
    all: &[GearSet],
    band: &Band,
    reverse: Option<(f64, f64)>,
) -> Option<SetLadder> {
    let mut best = SetLadder { gears: 0, base_ratios: Vec::new() };
    for &set in all {
        let (forward, back) = ratios_of(output, set)?;
        let turns_back = reverse
            .is_none_or(|(least, most)| back.is_some_and(|size| (least..=most).contains(&size)));
        let gears = if turns_back { most_gears(&forward, band) } else { 0 };
        if gears > best.gears {
            best = SetLadder { gears, base_ratios: Vec::new() };
        }
        if gears > 0 && gears == best.gears {
            best.base_ratios.push(set.base_ratio());
        }
    }
    Some(best)
}

fn output_of(output: Role, told: GearSet, all: &[GearSet], band: &Band) -> Option<SetGear> {
    let ladder = |set: GearSet| ratios_of(output, set);
    let steps = |ratios: &[f64]| -> Vec<f64> { ratios.windows(2).map(|w| w[0] / w[1]).collect() };
    let (ratios, reverse) = ladder(told)?;
    let every: Option<Vec<Vec<f64>>> =
        all.iter().map(|&set| Some(steps(&ladder(set)?.0))).collect();
    let every = every?;
    let range = |step: usize| ends(&every.iter().map(|steps| steps[step]).collect::<Vec<_>>());
    let told_steps = steps(&ratios);
    Some(SetGear {
        output: output.letter(),
        step_ranges: (0..told_steps.len()).map(range).collect(),
        steps: told_steps,
        ratios,
        reverse: reverse.is_some(),
        forward: most_over(output, all, band, None)?,
        with_reverse: match band.reverse {
            Some(window) => Some(most_over(output, all, band, Some(window))?),
            None => None,
        },
    })
}
