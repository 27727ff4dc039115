//! Laws of motion: textbook cases with sources, and properties of random layouts.

use coaxle::motion::{
    Duties, Duty, MeshEfficiency, Status, planet_speed, solve_state, solve_torques,
};
use coaxle::num::{Fraction, fraction};
use coaxle::score::{Assessment, Criterion, Progression, Setting, assess, assess_plainly};
use coaxle::teeth::ToothLimits;
use coaxle::train::{ElementMask, Grip, INPUT, OUTPUT, Role, parse_layout};
use num_traits::{One, Zero};
use proptest::prelude::*;

/// One set, sun `s`, ring `r`: driven member, output member, held member.
fn one_set(input: &str, output: &str, held: &str, kind: &str) -> Fraction {
    let text = format!(
        "[[sets]]\nsun = 30\nring = 66\nkind = \"{kind}\"\n[shafts]\ninput = [\"{input}1\"]\n\
         output = [\"{output}1\"]\nhousing = [\"{held}1\"]\n"
    );
    let layout = parse_layout(&text).unwrap();
    solve_state(&layout, ElementMask::default()).ratio.unwrap()
}

/// The six ways of one single set with ρ = 66/30, by the usual textbook table (for example
/// J. E. Shigley and J. J. Uicker, Theory of Machines and Mechanisms, chapter on gear trains).
#[test]
fn six_ways_of_one_set() {
    let cases = [
        ("S", "C", "R", fraction(96, 30)),
        ("C", "S", "R", fraction(30, 96)),
        ("R", "C", "S", fraction(96, 66)),
        ("C", "R", "S", fraction(66, 96)),
        ("S", "R", "C", fraction(-66, 30)),
        ("R", "S", "C", fraction(-30, 66)),
    ];
    for (input, output, held, ratio) in cases {
        assert_eq!(one_set(input, output, held, "single"), ratio, "{input} {output} {held}");
    }
}

#[test]
fn a_paired_set_turns_the_ring_with_the_sun() {
    assert_eq!(one_set("S", "R", "C", "paired"), fraction(66, 30));
    assert_eq!(one_set("S", "C", "R", "paired"), fraction(30 - 66, 30));
}

const THREE_GEARS: &str = include_str!("../layouts/two-sets.toml");

/// Two sets with common sun: i₁ = 2 + 1/ρ, i₂ = 1 + 1/ρ, i₃ = 1, i_R = −ρ for equal sets.
#[test]
fn two_sets_with_a_common_sun() {
    let layout = parse_layout(THREE_GEARS).unwrap();
    let ratio = |elements: [usize; 2]| solve_state(&layout, ElementMask::of(elements)).ratio;
    assert_eq!(ratio([0, 3]), Some(fraction(27, 11)));
    assert_eq!(ratio([0, 2]), Some(fraction(16, 11)));
    assert_eq!(ratio([0, 1]), Some(fraction(1, 1)));
    assert_eq!(ratio([1, 3]), Some(fraction(-11, 5)));
}

#[test]
fn dead_states_have_names() {
    let layout = parse_layout(THREE_GEARS).unwrap();
    let status =
        |elements: &[usize]| solve_state(&layout, ElementMask::of(elements.iter().copied())).status;
    assert_eq!(status(&[0]), Status::Loose);
    assert_eq!(status(&[2, 3]), Status::IdleOutput);
    assert_eq!(status(&[1, 2]), Status::Locked);
    assert_eq!(status(&[0, 1, 3]), Status::Locked);
}

#[test]
fn planets_turn_against_the_sun() {
    let layout = parse_layout(THREE_GEARS).unwrap();
    let motion = solve_state(&layout, ElementMask::of([1, 3]));
    assert_eq!(planet_speed(&layout, &motion, 1), Some(fraction(-30, 18)));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    /// What scores are made of is the same to the last bit in whole numbers as in
    /// fractions: debug texts tell floats apart as far as their bits do.
    #[test]
    fn duties_in_whole_numbers_are_those_in_fractions(
        layout in crate::common::any_layout_with_every_state(),
        external in 0.9f64..1.0,
        internal in 0.9f64..=1.0,
    ) {
        let mesh = MeshEfficiency { external, internal, ..MeshEfficiency::default() };
        let duties = Duties::new(&layout, &mesh);
        for gear in &layout.gears {
            let plain = Duty::plain(&layout, gear.engaged, &mesh);
            prop_assert_eq!(format!("{:?}", duties.of(gear.engaged)), format!("{plain:?}"));
        }
    }

    /// Every score of every such layout, with all its live states as gears.
    #[test]
    fn scores_in_whole_numbers_are_those_in_fractions(
        layout in crate::common::any_layout_with_every_state(),
    ) {
        let (mesh, teeth) = (MeshEfficiency::default(), ToothLimits::default());
        let setting = Setting { progression: &Progression::Geometric, teeth: &teeth };
        let (soon, plain) = (assess(&layout, &mesh), assess_plainly(&layout, &mesh));
        prop_assert_eq!(soon.ladder().collect::<Vec<_>>(), plain.ladder().collect::<Vec<_>>());
        for criterion in Criterion::ALL {
            let of = |assessed: &Assessment| assessed.score(criterion, &layout, &setting);
            prop_assert_eq!(of(&soon).map(f64::to_bits), of(&plain).map(f64::to_bits));
        }
    }

    /// Speeds and torques are transposes of each other: T_out = −i, the set torques do no
    /// work in the live motion, and every shaft is in balance.
    #[test]
    fn torque_is_the_transpose_of_speed(layout in crate::common::any_layout()) {
        for engaged in layout.states() {
            let motion = solve_state(&layout, engaged);
            let Some(torques) = solve_torques(&layout, &motion) else {
                prop_assert_ne!(motion.status, Status::Live);
                continue;
            };
            let ratio = motion.ratio.clone().unwrap();
            prop_assert_eq!(&torques.output, &-ratio);
            prop_assert!((&torques.housing + &torques.output + Fraction::one()).is_zero());
            let speeds = motion.all_speeds().unwrap();
            for (id, shaft) in layout.shafts.iter().enumerate() {
                let mut balance = Fraction::zero();
                if id == INPUT.0 { balance += Fraction::one(); }
                if id == OUTPUT.0 { balance += &torques.output; }
                for (element, torque) in layout.elements.iter().zip(&torques.elements) {
                    let torque = torque.clone().unwrap();
                    match element.grip {
                        Grip::Brake(s) if s.0 == id => balance += torque,
                        Grip::Clutch(a, _) if a.0 == id => balance += torque,
                        Grip::Clutch(_, b) if b.0 == id => balance -= torque,
                        _ => {}
                    }
                }
                for member in &shaft.members {
                    let torques = &torques.members[member.set][member.role as usize];
                    balance -= torques.clone().unwrap();
                }
                prop_assert!(balance.is_zero(), "shaft {}", shaft.name);
            }
            for (set, torques) in torques.members.iter().enumerate() {
                let power: Fraction = Role::ALL.iter().map(|&role| {
                    let seat = layout.seats(set)[role as usize];
                    let speed = seat.map_or_else(Fraction::zero, |s| speeds[s.0].clone());
                    torques[role as usize].clone().unwrap() * speed
                }).sum();
                prop_assert!(power.is_zero());
            }
        }
    }
}
