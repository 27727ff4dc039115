//! Layouts that hold a whole ladder, found without the engine: a plain local search.
//!
//! Random layouts never hold eight gears that follow each other by single swaps, so an
//! annealing walks over cores, slots and teeth. Ratios are those of plain elimination in
//! floats, one state after the other; the cost is how far the best chain of states lies
//! outside the windows. What reaches cost 0 is judged again by the exact state solver.
//!
//! It is no even sample of such layouts: those that hold the ladder for many teeth are met
//! more often than those that hold it for few.

use coaxle::brief::GearWish;
use coaxle::motion::solve_state;
use coaxle::num::to_f64;
use coaxle::teeth::Catalogue;
use coaxle::train::{Core, ElementMask, GearSet, HOUSING, Layout, Slot, canonical};
use itertools::Itertools;
use rand::prelude::*;
use rand_pcg::Pcg64;

const SETS: usize = 4;
const SHAFTS: usize = 8;
pub const ELEMENTS: usize = 5;
/// Steps of one annealing, and its temperatures, first and last, in ln of a ratio.
const STEPS: usize = 60_000;
const HEAT: (f64, f64) = (0.6, 0.03);
/// What a gear costs that has no live state of the right direction.
const DEAD: f64 = 1.5;

/// A core in any numbers, slots of its elements, places in the catalogue of its sets.
#[derive(Clone)]
struct Walker {
    seats: [[u8; 3]; SETS],
    input: u8,
    output: u8,
    slots: [Slot; ELEMENTS],
    teeth: [usize; SETS],
}

/// A layout whose states hold the ladder.
pub struct Held {
    /// In canonical numbers, and so one of the cores of its family.
    pub core: Core,
    pub spelling: String,
    /// Sun and ring of each set of `core`.
    pub teeth: Vec<(u32, u32)>,
    /// First to top.
    pub forward: Vec<f64>,
    /// Magnitude.
    pub reverse: f64,
}

/// One annealing from a random core; `None` where it ends outside the windows.
pub fn anneal(seed: u64, cores: &[Core], catalogue: &Catalogue, wish: &GearWish) -> Option<Held> {
    let mut rng = Pcg64::seed_from_u64(seed);
    let mut here = Walker::random(&mut rng, cores, catalogue);
    let states = states();
    let cost = |walker: &Walker| {
        let ratios: Vec<f64> = states.iter().map(|s| walker.ratio(s, catalogue)).collect();
        cheapest(&ratios, &states, wish).0
    };
    let mut now = cost(&here);
    for step in 0..STEPS {
        if now == 0.0 {
            return here.held(catalogue, wish);
        }
        let heat = HEAT.0 * (HEAT.1 / HEAT.0).powf(step as f64 / STEPS as f64);
        let Some(there) = here.moved(&mut rng, catalogue) else { continue };
        let then = cost(&there);
        if then <= now || rng.random_bool(((now - then) / heat).exp()) {
            (here, now) = (there, then);
        }
    }
    None
}

/// The elements of every state of five elements, three engaged.
fn states() -> Vec<Vec<usize>> {
    (0..ELEMENTS).combinations(SHAFTS - SETS - 1).collect()
}

impl Walker {
    fn random(rng: &mut Pcg64, cores: &[Core], catalogue: &Catalogue) -> Self {
        let core = cores.choose(rng).expect("the family has cores");
        let slots = core.slots().into_iter().sample(rng, ELEMENTS);
        Self {
            seats: core.seats().try_into().expect("four sets"),
            input: core.input,
            output: core.output,
            slots: slots.try_into().expect("five elements"),
            teeth: std::array::from_fn(|_| rng.random_range(0..catalogue.len())),
        }
    }

    fn core(&self) -> Core {
        Core::new(&self.seats, SHAFTS as u8, self.input, self.output)
    }

    /// Another tooth count, slot, seat, or end of the box; `None` where there is none such.
    fn moved(&self, rng: &mut Pcg64, catalogue: &Catalogue) -> Option<Self> {
        let mut there = self.clone();
        let shaft = rng.random_range(1..=SHAFTS as u8);
        match rng.random_range(0..100) {
            0..50 => {
                let reach = [3, 30, 300][rng.random_range(0..3)];
                let place = &mut there.teeth[rng.random_range(0..SETS)];
                let moved = *place as i64 + rng.random_range(-reach..=reach);
                *place = usize::try_from(moved).ok().filter(|&to| to < catalogue.len())?;
            }
            50..80 => {
                there.slots[rng.random_range(0..ELEMENTS)] = *self.core().slots().choose(rng)?;
            }
            80..92 => there.seats[rng.random_range(0..SETS)][rng.random_range(0..3)] = shaft,
            92..96 => there.input = shaft,
            _ => there.output = shaft,
        }
        there.is_right().then_some(there)
    }

    /// Whether it is a layout of the plain family.
    fn is_right(&self) -> bool {
        let every_shaft = (1..=SHAFTS as u8).all(|s| self.seats.as_flattened().contains(&s));
        let own_shafts = self.seats.iter().all(|set| set.iter().all_unique());
        let ends = [self.input, self.output];
        let brakes = self.slots.iter().all(|s| !s.is_brake() || !ends.contains(&s.second));
        let own_slots = self.slots.iter().all_unique();
        every_shaft && own_shafts && self.input != self.output && brakes && own_slots
    }

    /// Input speed / output speed with the elements of `state` engaged; NaN where the state
    /// has not one motion or the output stands still.
    fn ratio(&self, state: &[usize], catalogue: &Catalogue) -> f64 {
        // Unknown are the shafts' speeds, the right side stands last.
        let mut rows = [[0.0; SHAFTS + 1]; SHAFTS];
        let column = |shaft: u8| usize::from(shaft) - 1;
        for ((row, seats), &teeth) in rows.iter_mut().zip(&self.seats).zip(&self.teeth) {
            let base = catalogue.ratios()[teeth];
            for (&seat, factor) in seats.iter().zip([1.0, base, -1.0 - base]) {
                row[column(seat)] = factor;
            }
        }
        for (row, &element) in rows[SETS..].iter_mut().zip(state) {
            let slot = self.slots[element];
            row[column(slot.second)] = -1.0;
            if !slot.is_brake() {
                row[column(slot.first)] = 1.0;
            }
        }
        rows[SHAFTS - 1][column(self.input)] = 1.0;
        rows[SHAFTS - 1][SHAFTS] = 1.0;
        match solved(rows).map(|speeds| speeds[column(self.output)]) {
            Some(output) if output.abs() > 1e-9 => 1.0 / output,
            _ => f64::NAN,
        }
    }

    /// The layout with its gears, if the exact ratios hold the ladder too.
    fn held(&self, catalogue: &Catalogue, wish: &GearWish) -> Option<Held> {
        let sets = self.teeth.iter().map(|&place| catalogue.best(place).set).collect();
        hold(&self.core(), &self.slots, sets, wish)
    }
}

/// The layout with its gears by the exact state solver, if they hold the ladder.
pub fn hold(core: &Core, slots: &[Slot], sets: Vec<GearSet>, wish: &GearWish) -> Option<Held> {
    let states = states();
    let spelling = canonical(core, slots);
    let teeth = spelling.sets.iter().map(|&old| (sets[old].sun, sets[old].ring)).collect();
    let layout = Layout::from_core(core, slots, sets);
    let ratio = |state: &Vec<usize>| {
        let motion = solve_state(&layout, ElementMask::of(state.iter().copied()));
        motion.ratio.as_ref().map_or(f64::NAN, to_f64)
    };
    let ratios: Vec<f64> = states.iter().map(ratio).collect();
    let (cost, chain, reverse) = cheapest(&ratios, &states, wish);
    let forward = chain.iter().map(|&state| ratios[state]).collect();
    let (core, spelling, reverse) = (spelling.core, spelling.to_string(), -ratios[reverse]);
    (cost == 0.0).then_some(Held { core, spelling, teeth, forward, reverse })
}

/// The wiring that is spelled, such as `abc.acd:e>c:0a,0d,ae,be`.
pub fn wiring(spelling: &str) -> (Core, Vec<Slot>) {
    let seat = |letter: u8| if letter == b'0' { HOUSING } else { letter - b'a' + 1 };
    let parts: Vec<Vec<u8>> = spelling.split(':').map(|part| part.bytes().collect()).collect();
    let seats: Vec<[u8; 3]> = parts[0]
        .split(|&byte| byte == b'.')
        .map(|set| std::array::from_fn(|member| seat(set[member])))
        .collect();
    let core = Core::new(&seats, SHAFTS as u8, seat(parts[1][0]), seat(parts[1][2]));
    let slots = parts[2].split(|&byte| byte == b',');
    (core, slots.map(|slot| Slot { first: seat(slot[0]), second: seat(slot[1]) }).collect())
}

/// Speeds by Gauss and Jordan with the largest pivot of each column.
fn solved(mut rows: [[f64; SHAFTS + 1]; SHAFTS]) -> Option<[f64; SHAFTS]> {
    for column in 0..SHAFTS {
        let larger =
            |&a: &usize, &b: &usize| rows[a][column].abs().total_cmp(&rows[b][column].abs());
        let pivot = (column..SHAFTS).max_by(larger)?;
        if rows[pivot][column].abs() < 1e-9 {
            return None;
        }
        rows.swap(column, pivot);
        let own = rows[column];
        for (_, row) in rows.iter_mut().enumerate().filter(|(at, _)| *at != column) {
            let factor = row[column] / own[column];
            for (value, own) in row.iter_mut().zip(own).skip(column) {
                *value -= factor * own;
            }
        }
    }
    Some(std::array::from_fn(|shaft| rows[shaft][SHAFTS] / rows[shaft][shaft]))
}

/// How far `ln value` lies outside a window.
fn outside(value: f64, (least, most): (f64, f64)) -> f64 {
    if value >= least && value <= most {
        return 0.0;
    }
    (least / value).ln().max((value / most).ln())
}

/// Least cost of a chain of forward gears by single swaps and a reverse; the chain; the
/// reverse. A chain of cost 0 falls at every step, so no state serves twice.
fn cheapest(ratios: &[f64], states: &[Vec<usize>], wish: &GearWish) -> (f64, Vec<usize>, usize) {
    let live = |state: usize| ratios[state] > 0.0;
    let own = |gear: usize, state: usize| match gear {
        _ if !live(state) => DEAD,
        0 => outside(ratios[state], wish.first),
        _ if gear + 1 == wish.forward => outside(ratios[state], wish.top),
        _ => 0.0,
    };
    let step = |from: usize, to: usize| match live(from) && live(to) {
        true => outside(ratios[from] / ratios[to], wish.step),
        false => 0.0,
    };
    let swapped = |from: usize, to: usize| {
        from != to && states[from].iter().filter(|e| !states[to].contains(e)).count() == 1
    };
    let mut costs: Vec<f64> = (0..states.len()).map(|state| own(0, state)).collect();
    let mut before: Vec<Vec<usize>> = Vec::new();
    for gear in 1..wish.forward {
        let reach = |to: usize| {
            let ways = (0..states.len()).filter(|&from| swapped(from, to));
            let ways = ways.map(|from| (costs[from] + step(from, to) + own(gear, to), from));
            ways.min_by(|a, b| a.0.total_cmp(&b.0)).expect("every state has neighbours")
        };
        let (next, from) = (0..states.len()).map(reach).unzip();
        costs = next;
        before.push(from);
    }
    let by_cost = |a: &usize, b: &usize| costs[*a].total_cmp(&costs[*b]);
    let last = (0..states.len()).min_by(by_cost).expect("there are states");
    let mut chain = vec![last];
    for from in before.iter().rev() {
        chain.push(from[chain[chain.len() - 1]]);
    }
    chain.reverse();
    let backward = |state: usize| match ratios[state] < 0.0 {
        true => outside(-ratios[state], wish.reverse_ratio),
        false => DEAD,
    };
    let reverse = (0..states.len())
        .min_by(|&a, &b| backward(a).total_cmp(&backward(b)))
        .expect("there are states");
    (costs[last] + backward(reverse), chain, reverse)
}
