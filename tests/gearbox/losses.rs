//! Losses: closed forms of one set, laws of random layouts, self-locking.

use coaxle::motion::{Losses, MeshEfficiency, losses, solve_state, solve_torques};
use coaxle::num::to_f64;
use coaxle::train::{Core, ElementMask, Layout, parse_layout};
use proptest::prelude::*;
use rstest::rstest;

fn losses_of(layout: &Layout, engaged: &[usize], mesh: MeshEfficiency) -> Option<Losses> {
    let motion = solve_state(layout, ElementMask::of(engaged.iter().copied()));
    losses(layout, &motion, &solve_torques(layout, &motion)?, &mesh)
}

fn one_set(kind: &str, ring: u32, [input, output, held]: [&str; 3]) -> Losses {
    let text = format!(
        "sets = [{{ sun = 30, ring = {ring}, kind = \"{kind}\" }}]\n[shafts]\n\
         input = [\"{input}1\"]\noutput = [\"{output}1\"]\nhousing = [\"{held}1\"]\n"
    );
    losses_of(&parse_layout(&text).unwrap(), &[], MeshEfficiency::default()).unwrap()
}

/// ρ = 66 / 30 and η₀ = 0.990 · 0.995 in the closed forms of VDI 2157 and H. W. Müller, Die
/// Umlaufgetriebe (1971), written with ρ = −i₀.
#[rstest]
#[case(["S", "R", "C"], |_, e| e)]
#[case(["R", "S", "C"], |_, e| e)]
#[case(["S", "C", "R"], |r, e| (1.0 + r * e) / (1.0 + r))]
#[case(["C", "S", "R"], |r, e| (1.0 + r) / (1.0 + r / e))]
#[case(["R", "C", "S"], |r, e| (r + e) / (r + 1.0))]
#[case(["C", "R", "S"], |r, e| (r + 1.0) / (r + 1.0 / e))]
fn six_ways_of_a_single_set(#[case] ways: [&str; 3], #[case] closed: fn(f64, f64) -> f64) {
    let efficiency = one_set("single", 66, ways).efficiency.unwrap();
    assert!((efficiency - closed(2.2, 0.990 * 0.995)).abs() < 1e-12, "{efficiency}");
}

/// The same for a paired set, i₀ = ρ > 1 and η₀ = 0.990² · 0.995, from the same sources.
#[rstest]
#[case(["S", "R", "C"], |_, e| e)]
#[case(["R", "S", "C"], |_, e| e)]
#[case(["S", "C", "R"], |r, e| (r * e - 1.0) / (r - 1.0))]
#[case(["C", "S", "R"], |r, e| (r - 1.0) / (r / e - 1.0))]
#[case(["R", "C", "S"], |r, e| (r - 1.0 / e) / (r - 1.0))]
#[case(["C", "R", "S"], |r, e| (r - 1.0) / (r - e))]
fn six_ways_of_a_paired_set(#[case] ways: [&str; 3], #[case] closed: fn(f64, f64) -> f64) {
    let efficiency = one_set("paired", 66, ways).efficiency.unwrap();
    assert!((efficiency - closed(2.2, 0.990 * 0.990 * 0.995)).abs() < 1e-12, "{efficiency}");
}

/// With the output driving, from the same sources: the way of the power through the gear is
/// that of the ratio with input and output exchanged.
#[rstest]
#[case(["S", "R", "C"], |_, e| e)]
#[case(["R", "S", "C"], |_, e| e)]
#[case(["C", "S", "R"], |r, e| (1.0 + r * e) / (1.0 + r))]
#[case(["S", "C", "R"], |r, e| (1.0 + r) / (1.0 + r / e))]
#[case(["C", "R", "S"], |r, e| (r + e) / (r + 1.0))]
#[case(["R", "C", "S"], |r, e| (r + 1.0) / (r + 1.0 / e))]
fn six_ways_driven_back(#[case] ways: [&str; 3], #[case] closed: fn(f64, f64) -> f64) {
    let back = one_set("single", 66, ways).back_efficiency.unwrap();
    assert!((back - closed(2.2, 0.990 * 0.995)).abs() < 1e-12, "{back}");
}

/// ρ η₀ < 1 in the closed form above: the sun cannot drive the carrier of a paired set
/// whose ring is hardly larger; the carrier can drive the sun.
#[test]
fn a_nearly_equal_paired_set_locks_itself() {
    let sun_and_carrier = |ends: &str| {
        let text = format!(
            "sets = [{{ sun = 100, ring = 101, kind = \"paired\" }}]\n[shafts]\n{ends}\n\
             housing = [\"R1\"]\n"
        );
        losses_of(&parse_layout(&text).unwrap(), &[], MeshEfficiency::default()).unwrap()
    };
    // What the carrier can drive cannot drive it back.
    let driven = sun_and_carrier("input = [\"C1\"]\noutput = [\"S1\"]");
    assert!(!driven.self_locking && driven.back_efficiency.is_none());
    let locked = sun_and_carrier("input = [\"S1\"]\noutput = [\"C1\"]");
    assert!(locked.self_locking && locked.efficiency.is_none() && locked.lost_power.is_empty());
    assert_eq!(locked.back_efficiency, driven.efficiency);
}

/// Two sets on one carrier with common suns, one ring held: i = ρ2 / (ρ2 − ρ1) from carrier
/// to the other ring. At this high ratio less than half of the power comes out, and the
/// other way round nothing does.
#[test]
fn high_ratio_of_two_coupled_sets() {
    let text = |input: &str, output: &str| {
        format!(
            "sets = [{{ sun = 30, ring = 90 }}, {{ sun = 30, ring = 91 }}]\n[shafts]\n\
             input = [{input}]\noutput = [{output}]\nsuns = [\"S1\", \"S2\"]\n\
             housing = [\"R1\"]\n"
        )
    };
    let down = parse_layout(&text("\"C1\", \"C2\"", "\"R2\"")).unwrap();
    let motion = solve_state(&down, ElementMask::default());
    assert_eq!(motion.ratio.as_ref().map(to_f64), Some(91.0));
    let down = losses_of(&down, &[], MeshEfficiency::default()).unwrap();
    // By hand: ω_S − ω_C = ρ1 for both; the suns balance, T_S1 = −T_S2 = t > 0, so set 1 is
    // fed by its sun (T_R1 = ρ1 η₀ t) and set 2 by its ring (T_R2 = −(ρ2 / η₀) t); the
    // carriers take the input 1 = −(1 + ρ1 η₀) t + (1 + ρ2 / η₀) t.
    let (r1, r2, e) = (3.0, 91.0 / 30.0, 0.990 * 0.995);
    let t = 1.0 / (r2 / e - r1 * e);
    let closed: f64 = r2 / e * t / 91.0;
    let efficiency = down.efficiency.unwrap();
    assert!((efficiency - closed).abs() < 1e-9, "{efficiency} {closed}");
    assert!(efficiency < 0.5 && !down.self_locking);
    assert!(down.circulating > 10.0);
    let up = parse_layout(&text("\"R2\"", "\"C1\", \"C2\"")).unwrap();
    let up = losses_of(&up, &[], MeshEfficiency::default()).unwrap();
    assert!(up.self_locking && up.efficiency.is_none());
}

const THREE_GEARS: &str = r#"
sets = [{ sun = 30, ring = 66 }, { sun = 30, ring = 66 }]
[shafts]
input = []
output = ["C1", "R2"]
suns = ["S1", "S2"]
front-ring = ["R1"]
rear-carrier = ["C2"]
[elements]
A = { clutch = ["input", "front-ring"] }
B = { clutch = ["input", "suns"] }
C = { brake = "suns" }
D = { brake = "rear-carrier" }
E = { clutch = ["suns", "rear-carrier"] }
F = { clutch = ["suns", "front-ring"] }
"#;

#[test]
fn a_block_loses_nothing() {
    let layout = parse_layout(THREE_GEARS).unwrap();
    let direct = losses_of(&layout, &[0, 1], MeshEfficiency::default()).unwrap();
    assert_eq!((direct.efficiency, direct.back_efficiency), (Some(1.0), Some(1.0)));
    assert_eq!((direct.circulating, direct.lost_power), (0.0, vec![0.0, 0.0]));
    // Elements that are redundant leave torques open, but still nothing rolls.
    let over = losses_of(&layout, &[0, 1, 4, 5], MeshEfficiency::default()).unwrap();
    assert_eq!(over.efficiency, Some(1.0));
}

/// Reverse, by hand: set 2 alone works as sun to ring, η = η₀; set 1 idles without torque.
/// First gear: ω_S = −ρ, so set 1 has P_roll = T_S (ω_S − ω_C) with T_S = 1/ρ: −(ρ + 1) /
/// (ρ i) per input power 1, fed by its ring; set 2 takes T_S = −1/ρ at ω_S = −ρ/i.
#[test]
fn rolling_and_circulating_power_by_hand() {
    let layout = parse_layout(THREE_GEARS).unwrap();
    let reverse = losses_of(&layout, &[1, 3], MeshEfficiency::default()).unwrap();
    assert!((reverse.efficiency.unwrap() - 0.990 * 0.995).abs() < 1e-12);
    assert_eq!(reverse.rolling_power, [0.0, 1.0]);
    let first = losses_of(&layout, &[0, 3], MeshEfficiency::default()).unwrap();
    let (rho, ratio) = (2.2, 27.0 / 11.0);
    let expected = [-(rho + 1.0) / (rho * ratio), 1.0 / ratio];
    for (found, expected) in first.rolling_power.iter().zip(expected) {
        assert!((found - expected).abs() < 1e-12, "{first:?}");
    }
    assert!((first.circulating - (1.0 + 2.0 * rho) / (rho * ratio)).abs() < 1e-12);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10_000))]

    #[test]
    fn power_in_is_power_out_and_losses(
        layout in crate::common::any_layout(),
        external in 0.9f64..1.0,
        internal in 0.9f64..1.0,
    ) {
        for engaged in layout.states() {
            let motion = solve_state(&layout, engaged);
            let Some(torques) = solve_torques(&layout, &motion) else { continue };
            let mesh = MeshEfficiency { external, internal, ..MeshEfficiency::default() };
            let found = losses(&layout, &motion, &torques, &mesh).unwrap();
            prop_assert_eq!(found.self_locking, found.efficiency.is_none());
            let Some(efficiency) = found.efficiency else { continue };
            let lost: f64 = found.lost_power.iter().sum();
            prop_assert!((efficiency + lost - 1.0).abs() < 1e-9, "{:?}", found);
            prop_assert!(found.lost_power.iter().all(|&lost| lost >= 0.0));
            prop_assert!(efficiency > 0.0 && efficiency <= 1.0 + 1e-9);
        }
    }

    /// Driving a gear back is driving the gear with input and output exchanged.
    #[test]
    fn driven_back_is_the_other_way_round(layout in crate::common::any_layout()) {
        let (core, slots) = layout.wiring();
        let turned = Core::new(core.seats(), core.shafts, core.output, core.input)
            .with_kinds(layout.sets.iter().map(|set| set.kind));
        let turned = Layout::from_core(&turned, &slots, layout.sets.clone());
        for engaged in layout.states() {
            let mesh = MeshEfficiency::default();
            let list: Vec<usize> = engaged.iter().collect();
            let there = losses_of(&layout, &list, mesh);
            let back = losses_of(&turned, &list, mesh);
            prop_assert_eq!(there.is_some(), back.is_some());
            let Some((there, back)) = there.zip(back) else { continue };
            let pairs = [
                (there.back_efficiency, back.efficiency),
                (there.efficiency, back.back_efficiency),
            ];
            for (one, other) in pairs {
                let near = match (one, other) {
                    (Some(one), Some(other)) => (one - other).abs() < 1e-9,
                    // On the verge of locking, rounding decides.
                    (one, other) => one.or(other).is_none_or(|e| e < 1e-9),
                };
                prop_assert!(near, "{:?} {:?}", there, back);
            }
        }
    }

    /// Meshes without losses lose nothing, and small losses are of first order
    /// Σ (1 − η₀) |P_roll| (paired meshes included in η₀).
    #[test]
    fn small_losses_follow_the_rolling_power(layout in crate::common::any_layout()) {
        for engaged in layout.states() {
            let motion = solve_state(&layout, engaged);
            let Some(torques) = solve_torques(&layout, &motion) else { continue };
            let at = |eta: f64| {
                let mesh = MeshEfficiency { external: eta, internal: 1.0, ..MeshEfficiency::default() };
                losses(&layout, &motion, &torques, &mesh).unwrap()
            };
            prop_assert_eq!(at(1.0).efficiency, Some(1.0));
            prop_assert_eq!(at(1.0).back_efficiency, Some(1.0));
            let (small, found) = (1e-8, at(1.0 - 1e-8));
            let meshes = layout.sets.iter().map(|set| match set.kind {
                coaxle::train::SetKind::Single => 1.0,
                coaxle::train::SetKind::Paired => 2.0,
            });
            let expected: f64 =
                found.rolling_power.iter().zip(meshes).map(|(p, n)| small * n * p.abs()).sum();
            let lost = 1.0 - found.efficiency.unwrap();
            let second_order = 1e-14 + (found.circulating + 1.0).powi(2) * small * small * 100.0;
            prop_assert!((lost - expected).abs() < 1e-12 * found.circulating.max(1.0) + second_order,
                "{} {} {:?}", lost, expected, found);
        }
    }
}
