//! A record made for the tests: a small search of its own, plain and slow, so that every
//! ratio in it is true. The ids are invented; so is the tramway.

use coaxle::num::{Fraction, Solution, solve, to_f64};
use coaxle::report::{Candidate, GearRow, Kind, Record, SpaceCount, Stage};
use coaxle::score::{Criterion, Progression};
use coaxle::train::{Core, ElementMask, Gear, GearSet, Layout, Slot, canonical};
use itertools::Itertools;

/// The ratio of a core in a state, from the speed equations; `None` unless live.
pub fn ratio(core: &Core, sets: &[GearSet], engaged: &[Slot]) -> Option<Fraction> {
    let shafts = usize::from(core.shafts);
    let row = |terms: &[(u8, i64)], value: i64| {
        let mut row = vec![0; shafts + 1];
        for &(seat, factor) in terms.iter().filter(|term| term.0 > 0) {
            row[usize::from(seat) - 1] += factor;
        }
        row[shafts] = value;
        row
    };
    let mut rows = vec![row(&[(core.input, 1)], 1)];
    for (seats, set) in core.seats().iter().zip(sets) {
        let factors = set.willis();
        rows.push(row(&[0, 1, 2].map(|k| (seats[k], factors[k])), 0));
    }
    rows.extend(engaged.iter().map(|slot| row(&[(slot.first, 1), (slot.second, -1)], 0)));
    let Solution::Unique(speeds) = solve(&rows, shafts) else { return None };
    let output = speeds[usize::from(core.output) - 1].clone();
    (output != Fraction::from_integer(0.into())).then(|| output.recip())
}

/// All layouts of a two-set core with four to six elements that have `forward` gears and a
/// reverse, for a few tooth counts.
pub fn candidates(forward: usize) -> Vec<Candidate> {
    let core = Core::new(&[[2, 1, 3], [2, 3, 4]], 5, 5, 3);
    let teeth = [(30, 66, 30, 66), (33, 69, 27, 63), (24, 66, 30, 60), (36, 66, 24, 72)];
    let mut found = Vec::new();
    for (s1, r1, s2, r2) in teeth {
        let planets = |set: GearSet| GearSet { planets: Some(3), ..set };
        let sets = vec![planets(GearSet::single(s1, r1)), planets(GearSet::single(s2, r2))];
        let slots = core.slots();
        let known: Vec<((usize, usize), Option<Fraction>)> = (0..slots.len())
            .array_combinations::<2>()
            .map(|[a, b]| ((a, b), ratio(&core, &sets, &[slots[a], slots[b]])))
            .collect();
        for count in 4..=6 {
            for chosen in (0..slots.len()).combinations(count) {
                let states = known.iter().filter_map(|((a, b), ratio)| {
                    let place = |slot| chosen.iter().position(|&other| other == slot);
                    let (a, b) = (place(*a)?, place(*b)?);
                    Some((ratio.clone()?, ElementMask::of([a, b])))
                });
                let states: Vec<_> = states.collect();
                let elements: Vec<Slot> = chosen.iter().map(|&slot| slots[slot]).collect();
                found.extend(candidate(&core, &elements, &sets, states, forward));
            }
        }
    }
    for (index, candidate) in found.iter_mut().enumerate() {
        candidate.id = format!("sample-{index:04}");
    }
    found
}

fn candidate(
    core: &Core,
    elements: &[Slot],
    sets: &[GearSet],
    mut states: Vec<(Fraction, ElementMask)>,
    forward: usize,
) -> Option<Candidate> {
    states.sort_by(|a, b| b.cmp(a));
    states.dedup_by(|a, b| a.0 == b.0);
    let zero = Fraction::from_integer(0.into());
    let (ahead, back): (Vec<_>, Vec<_>) = states.into_iter().partition(|state| state.0 > zero);
    let reverse = back.into_iter().next()?;
    let deviation = |gears: &[(Fraction, ElementMask)]| {
        let ratios: Vec<f64> = gears.iter().map(|gear| to_f64(&gear.0)).collect();
        (Progression::Geometric.deviation(&ratios), ratios[0] / ratios[ratios.len() - 1])
    };
    let best = ahead.windows(forward).min_by(|a, b| deviation(a).0.total_cmp(&deviation(b).0))?;
    let (off, spread) = deviation(best);
    if off > 0.35 || !(1.8..9.0).contains(&spread) {
        return None;
    }
    let mut layout = Layout::from_core(core, elements, sets.to_vec());
    let named = best.iter().enumerate().map(|(k, gear)| ((k + 1).to_string(), gear.clone()));
    let named: Vec<_> = named.chain([("R".to_owned(), reverse)]).collect();
    let name = |engaged: ElementMask| {
        engaged.iter().map(|element| layout.elements[element].name.clone()).collect()
    };
    let gears = named.iter().map(|(gear, (ratio, engaged))| GearRow {
        name: gear.clone(),
        engaged: name(*engaged),
        value: to_f64(ratio),
        ratio: ratio.clone(),
    });
    let gears = gears.collect();
    let list =
        named.iter().map(|(name, (_, engaged))| Gear { name: name.clone(), engaged: *engaged });
    layout.gears = list.collect();
    let scores = vec![Some(spread), Some(off), Some((2 + elements.len()) as f64), None];
    Some(Candidate {
        id: String::new(),
        canonical: canonical(core, elements).to_string(),
        layout,
        gears,
        scores,
        twins: vec!["abc.abd:a>b".to_owned(); elements.len() % 3],
        account: None,
        workshop: None,
    })
}

/// Indices of what nothing else beats in the first three scores, widest spread first.
pub fn front(candidates: &[Candidate]) -> Vec<usize> {
    let costs = |candidate: &Candidate| {
        let score = |k: usize| candidate.scores[k].unwrap_or(f64::INFINITY);
        [-score(0), score(1), score(2)]
    };
    let beats = |a: &Candidate, b: &Candidate| {
        let (a, b) = (costs(a), costs(b));
        a != b && a.iter().zip(&b).all(|(a, b)| a <= b)
    };
    let alone = |index: &usize| {
        let one = &candidates[*index];
        // Of equals the first stands for all.
        candidates.iter().enumerate().all(|(other, rival)| {
            !beats(rival, one) && (other >= *index || costs(rival) != costs(one))
        })
    };
    let kept = (0..candidates.len()).filter(alone);
    kept.sorted_by(|&a, &b| costs(&candidates[a])[0].total_cmp(&costs(&candidates[b])[0])).collect()
}

/// A record with these candidates.
pub fn record(candidates: Vec<Candidate>) -> Record {
    let stage = |test: &str, entered, left, why: &str| Stage {
        test: test.to_owned(),
        entered,
        left,
        why: why.to_owned(),
    };
    Record {
        kind: Kind::Search,
        shown: 100,
        proof: None,
        title: "Hollowfell inspection railcar, four gears".to_owned(),
        brief: "title = \"Hollowfell inspection railcar, four gears\"\n\n[gears]\nforward = 4\n\
                # <b>not bold</b> & not \"markup\"\nreverse = 1\n"
            .to_owned(),
        request: "Four forward gears and a reverse from two sets & five shafts with four to six \
                  shift elements, spread 1.8 to 9, steps as even as can be."
            .to_owned(),
        version: "0.1.0".to_owned(),
        complete: true,
        stopped: "finished".to_owned(),
        coverage: vec![
            "All 3 718 choices of elements on one interconnection were visited.".to_owned(),
            "Tooth counts were sampled: four pairs of sets.".to_owned(),
            "Nothing was proved about other tooth counts.".to_owned(),
        ],
        space: SpaceCount { cores: 1, layouts: 14_872, states: 312 },
        funnel: vec![
            stage(
                "enough live states",
                14_872,
                9_031,
                "at least four forward states and one reverse",
            ),
            stage("band", 9_031, candidates.len() as u64, "spread 1.8 to 9 and no step <40 % off"),
        ],
        objectives: vec![Criterion::Spread, Criterion::StepDeviation, Criterion::ElementCount],
        criteria: vec![
            Criterion::Spread,
            Criterion::StepDeviation,
            Criterion::ElementCount,
            Criterion::WorstEfficiency,
        ],
        front: front(&candidates),
        found: candidates.len() as u64,
        candidates,
        extent: coaxle::folder::Extent::WHOLE,
        elapsed_s: 1.25,
        spent_s: [0.5, 0.25, 0.125],
    }
}
