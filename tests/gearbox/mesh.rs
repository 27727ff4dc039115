//! Placed sets: wheels in phase in every motion, and polygons that turn through each other
//! without overlap.

use coaxle::teeth::{
    Catalogue, Entry, Finish, GearData, Mesh, MeshProof, Outline, PlacedSet, Pose, TOUCH,
    ToothLimits, conditions, mesh_proof,
};
use coaxle::train::{GearSet, SetKind};
use i_overlay::core::{fill_rule::FillRule, overlay_rule::OverlayRule};
use i_overlay::float::single::SingleFloatOverlay;
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

/// Polygons for tight meshes: a twentieth of 1 µm at module 1, and the shares that chords
/// make (a ring's flank is hollow, so its chords stand in the way) stay below [`TOUCH`].
const CHORD: f64 = 5e-5;
/// 1 µm at module 1. Such an overlap of flanks of 3 modules' relative radius (in the
/// catalogue it is larger) shares ⅔ ℓ d with ℓ = 2 √(2 · 3 · 0.001): 0.0001 square modules,
/// thirty times [`TOUCH`], which is what is asked here.
const DEEPEST: f64 = 1e-3;
const POSITIONS: usize = 64;

fn place(set: &GearSet, limits: &ToothLimits, backlash: f64) -> PlacedSet {
    let chord = if backlash == 0.0 { CHORD } else { 4.0 * CHORD };
    let finish = Finish { backlash, chord, ..Finish::default() };
    PlacedSet::new(set, limits, &finish).unwrap_or_else(|| panic!("{set:?} is not placed"))
}

fn odd() -> ToothLimits {
    ToothLimits { odd_planet: true, unequal_spacing: true, ..ToothLimits::default() }
}

/// `count` entries spread over those of a catalogue that `wanted` picks.
fn spread(limits: &ToothLimits, count: usize, wanted: impl Fn(&Entry) -> bool) -> Vec<GearSet> {
    let catalogue = Catalogue::build(limits);
    let entries: Vec<&Entry> = catalogue.entries().iter().filter(|entry| wanted(entry)).collect();
    assert!(entries.len() > 5 * count, "{} entries", entries.len());
    (0..count).map(|index| entries[(2 * index + 1) * entries.len() / (2 * count)].set).collect()
}

/// No overlap, hardly any gap; then the asked backlash, measured.
fn prove(set: &GearSet, limits: &ToothLimits) {
    let tight = mesh_proof(&place(set, limits, 0.0), POSITIONS);
    for MeshProof { mesh, clearance, depth, area, backlash } in tight {
        let told = format!("{set:?} {mesh:?}: {depth} deep, {area} in all, backlash {backlash}");
        assert!(depth < DEEPEST && area <= TOUCH, "{told}");
        assert!(
            backlash > 0.0 && backlash < 0.01 && clearance < DEEPEST,
            "{told}, clearance {clearance}"
        );
    }
    for MeshProof { mesh, clearance, depth, area, backlash } in
        mesh_proof(&place(set, limits, 0.05), 8)
    {
        let told = format!("{set:?} {mesh:?}: backlash {backlash}, clearance {clearance}");
        assert!((backlash / 0.05 - 1.0).abs() < 0.05, "{told}");
        // Half of it on each side of a tooth, along the line of action.
        let side = 0.025 * limits.pressure_angle.to_radians().cos();
        assert!((clearance / side - 1.0).abs() < 0.05 && depth == 0.0 && area == 0.0, "{told}");
    }
}

#[test]
fn sets_of_the_catalogue_mesh() {
    let limits = ToothLimits::default();
    for set in spread(&limits, 24, |_| true) {
        prove(&set, &limits);
    }
}

/// Sets whose planets differ from (Z_R − Z_S) / 2, each at a shared centre distance off the
/// standard one, some at unequal angles.
#[test]
fn sets_with_odd_planets_mesh() {
    let odd_one = |entry: &Entry| 2 * entry.set.planet.unwrap() + entry.set.sun != entry.set.ring;
    for set in spread(&odd(), 16, odd_one) {
        prove(&set, &odd());
    }
}

fn pair(sun: u32, ring: u32, planet: u32, outer: u32, planets: u32) -> GearSet {
    GearSet {
        planet: Some(planet),
        outer_planet: Some(outer),
        planets: Some(planets),
        ..GearSet::paired(sun, ring)
    }
}

#[test]
fn paired_sets_mesh() {
    let limits = ToothLimits::default();
    for set in [pair(36, 84, 18, 18, 3), pair(30, 81, 19, 21, 3), pair(40, 100, 24, 20, 3)] {
        prove(&set, &limits);
    }
}

/// Other racks, and teeth that the rack undercuts: broken rules, but wheels that turn.
#[test]
fn other_racks_and_undercut_teeth_mesh() {
    let set = GearSet { planets: Some(3), ..GearSet::single(30, 78) };
    let small = GearSet { planets: Some(3), ..GearSet::single(12, 60) };
    let tiny = GearSet { planets: Some(3), ..GearSet::single(9, 51) };
    let rigid = ToothLimits { largest_shift: 0.0, ..ToothLimits::default() };
    let rack = |pressure_angle: f64, addendum: f64| ToothLimits {
        pressure_angle,
        addendum,
        ..ToothLimits::default()
    };
    for (set, limits) in [
        (set, rack(25.0, 1.0)),
        (set, rack(14.5, 1.0)),
        (set, rack(20.0, 0.8)),
        (set, rack(17.5, 1.2)),
        (small, rigid.clone()),
        (tiny, rigid),
    ] {
        prove(&set, &limits);
    }
}

/// Rounded tips change no flank: the gap stays, and the contact.
#[test]
fn rounded_tips_mesh_as_sharp_ones() {
    let set = GearSet { planets: Some(3), ..GearSet::single(30, 78) };
    let finish = Finish { tip_rounding: 0.1, chord: CHORD, ..Finish::default() };
    let placed = PlacedSet::new(&set, &ToothLimits::default(), &finish).unwrap();
    for proof in mesh_proof(&placed, POSITIONS) {
        assert!(proof.area <= TOUCH && proof.clearance < DEEPEST, "{proof:?}");
        assert!(proof.backlash > 0.0 && proof.backlash < 0.01, "{proof:?}");
    }
}

fn area(contours: &[Vec<[f64; 2]>]) -> f64 {
    let doubled = |contour: &Vec<[f64; 2]>| -> f64 {
        let next = contour.iter().cycle().skip(1);
        contour.iter().zip(next).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum()
    };
    contours.iter().map(doubled).sum::<f64>().abs() / 2.0
}

/// The plain way beside the routine: whole wheels of the whole set in millimetres, all at
/// once. Sun and planets overlap nowhere, neighbours neither, and all lie in the ring's hole.
#[test]
fn whole_wheels_lie_side_by_side() {
    let (limits, module) = (ToothLimits::default(), 1.5);
    let mut sets = spread(&limits, 5, |_| true);
    sets.extend([pair(36, 84, 18, 18, 3), pair(40, 100, 24, 20, 3)]);
    for (index, set) in sets.iter().enumerate() {
        let placed = place(set, &limits, 0.0);
        let poses = placed.turned(0.1 * index as f64, -0.7);
        let mut wheels = vec![poses.sun.polygon(&placed.sun, module)];
        wheels.extend(poses.planets.iter().map(|pose| pose.polygon(&placed.planet, module)));
        for (pose, outline) in poses.outer_planets.iter().zip(placed.outer_planet.iter().cycle()) {
            wheels.push(pose.polygon(outline, module));
        }
        let hole = poses.ring.polygon(&placed.ring, module);
        let sum: f64 = wheels.iter().map(|wheel| area(std::slice::from_ref(wheel))).sum();
        let nothing = Vec::<[f64; 2]>::new();
        let union = wheels.overlay(&nothing, OverlayRule::Subject, FillRule::NonZero).concat();
        let inside = wheels.overlay(&hole, OverlayRule::Intersect, FillRule::NonZero).concat();
        // Shares of all meshes together, and the grid that lengths are rounded to.
        let allowed = wheels.len() as f64 * 3.0 * TOUCH * module * module + 1e-6 * sum;
        assert!((sum - area(&union)).abs() < allowed, "{set:?}: {sum} {}", area(&union));
        assert!((sum - area(&inside)).abs() < allowed, "{set:?}: {sum} {}", area(&inside));
    }
}

/// The measuring routine itself: planets turned out of phase by hand are found to overlap.
#[test]
fn wheels_out_of_phase_are_found() {
    let set = GearSet { planets: Some(3), ..GearSet::single(30, 66) };
    let mut placed = place(&set, &ToothLimits::default(), 0.0);
    // A wheel with thicker teeth: depth follows the thickness.
    let thick = Finish { backlash: -0.02, chord: CHORD, ..Finish::default() };
    let other = PlacedSet::new(&set, &ToothLimits::default(), &thick).unwrap();
    placed.sun = Outline { ..other.sun };
    let proof = mesh_proof(&placed, 8);
    // Half of 0.02 cos α on the sun alone, shared by both flanks: 0.0047.
    assert!((proof[0].depth - 0.005 * 20f64.to_radians().cos()).abs() < 5e-4, "{proof:?}");
    assert!(proof[0].backlash == 0.0 && proof[0].clearance == 0.0);
    assert!(proof[1].depth < DEEPEST);
    // Planets at places where they do not assemble.
    let mut moved = place(&set, &ToothLimits::default(), 0.0);
    for angle in &mut moved.angles[1..] {
        *angle += TAU / 96.0 / 2.0;
    }
    let proof = mesh_proof(&moved, 9);
    assert!(proof.iter().any(|mesh| mesh.depth > 0.05), "{proof:?}");
}

/// Why tips are cut: a ring's full tip digs into the fillet that the rack leaves on the
/// planet, although the rule against involute interference holds. Contact ratios suffer.
#[test]
fn a_full_ring_tip_would_dig_into_the_fillet() {
    let set = GearSet { planets: Some(3), ..GearSet::single(30, 66) };
    let limits = ToothLimits::default();
    let mut placed = place(&set, &limits, 0.0);
    // L_F1 = 9 sin α − 0.9 / sin α = 0.4468, a sin α = 24 sin α = 8.2085, r_b2 = 31.0099:
    // the tip stands at 32.1951 instead of 33 − 1 + 0.1.
    assert!((placed.ring.tip - 32.1951).abs() < 1e-4 && (placed.tip_cut - 0.0951).abs() < 1e-4);
    let cut = placed.contact_ratio(Mesh::PlanetRing).unwrap();
    let data = GearData { tip: 32.1, ..GearData::internal(66, 0.1) };
    placed.ring = Outline::internal(&data, &Finish { chord: CHORD, ..Finish::default() }).unwrap();
    let proof = mesh_proof(&placed, 16);
    assert!(proof[1].depth > 3.0 * DEEPEST, "{proof:?}");
    let full = placed.contact_ratio(Mesh::PlanetRing).unwrap();
    let told = conditions(&set, &limits);
    let told = told.iter().find(|condition| condition.name == "contact ratio").unwrap();
    let sun = placed.contact_ratio(Mesh::SunPlanet).unwrap();
    assert!(told.detail.contains(&format!("{:.3}", sun.min(full))), "{told:?} {sun} {full}");
    assert!(cut < full - 0.1 && cut > 1.2, "{cut} of {full}");
    assert_eq!(placed.contact_ratio(Mesh::PlanetPlanet), None);
}

/// Teeth from tooth 0 to the direction `towards`, see `PlacedSet`.
fn count(outline: &Outline, pose: &Pose, towards: f64) -> f64 {
    f64::from(outline.teeth) * (towards - pose.turn) / TAU
}

fn direction(from: &Pose, to: &Pose) -> f64 {
    let [dx, dy] = [0, 1].map(|axis| to.centre[axis] - from.centre[axis]);
    dy.atan2(dx)
}

/// How far `value` is from the next half: 0 where tooth faces gap.
fn off_half(value: f64) -> f64 {
    (value.rem_euclid(1.0) - 0.5).abs()
}

fn judged_sets() -> impl Strategy<Value = (GearSet, ToothLimits)> {
    let single = (18u32..50, 18u32..40, 0u32..2, 2u32..7).prop_map(|(sun, planet, more, n)| {
        let set = GearSet { planet: Some(planet), ..GearSet::single(sun, sun + 2 * planet + more) };
        GearSet { planets: Some(n), ..set }
    });
    let paired =
        (18u32..40, 17u32..26, 17u32..26, 0u32..6, 1u32..5).prop_map(|(sun, one, two, less, n)| {
            pair(sun, sun + 2 * (one + two) - 2 - less, one, two, n)
        });
    prop_oneof![single, paired].prop_map(|set| (set, odd()))
}

proptest! {
    /// In any motion tooth faces gap in every mesh of every planet, and the wheels stand
    /// where the carrier carries them.
    #[test]
    fn tooth_faces_gap((set, limits) in judged_sets(), sun in -50.0f64..50.0, carrier in -50.0f64..50.0) {
        let placed = PlacedSet::new(&set, &limits, &Finish::default());
        prop_assume!(placed.is_some());
        let placed = placed.unwrap();
        let poses = placed.turned(sun, carrier);
        prop_assert_eq!(poses.planets.len(), set.planets.unwrap() as usize);
        for (index, planet) in poses.planets.iter().enumerate() {
            let towards = direction(&poses.sun, planet);
            prop_assert!(((towards - placed.angles[index] - carrier + PI).rem_euclid(TAU) - PI).abs() < 1e-9);
            let out = count(&placed.sun, &poses.sun, towards);
            let back = count(&placed.planet, planet, towards + PI);
            prop_assert!(off_half(out + back) < 1e-9);
            let (last, outline) = match &placed.outer_planet {
                None => (planet, &placed.planet),
                Some(outline) => {
                    let outer = &poses.outer_planets[index];
                    let towards = direction(planet, outer);
                    let out = count(&placed.planet, planet, towards);
                    prop_assert!(off_half(out + count(outline, outer, towards + PI)) < 1e-9);
                    let [dx, dy] = [0, 1].map(|axis| outer.centre[axis] - planet.centre[axis]);
                    prop_assert!((dx.hypot(dy) - placed.pair_centre.unwrap()).abs() < 1e-6);
                    (outer, outline)
                }
            };
            let towards = direction(&poses.ring, last);
            let inner = count(outline, last, towards);
            prop_assert!(off_half(inner - count(&placed.ring, &poses.ring, towards)) < 1e-9);
        }
    }

    /// Turns obey the Willis equation, the planet's its own; and a set turned as a block
    /// is the same set turned.
    #[test]
    fn turns_obey_willis((set, limits) in judged_sets(), sun in -9.0f64..9.0, carrier in -9.0f64..9.0) {
        let placed = PlacedSet::new(&set, &limits, &Finish::default());
        prop_assume!(placed.is_some());
        let placed = placed.unwrap();
        let (rest, moved) = (placed.poses(), placed.turned(sun, carrier));
        let ring = moved.ring.turn - rest.ring.turn;
        let row = set.willis().map(|teeth| teeth as f64);
        prop_assert!((row[0] * sun + row[1] * ring + row[2] * carrier).abs() < 1e-9 * 1e3);
        let planet = moved.planets[0].turn - rest.planets[0].turn - carrier;
        let teeth = f64::from(placed.planet.teeth);
        prop_assert!((planet * teeth + (sun - carrier) * f64::from(set.sun)).abs() < 1e-6);
        let block = placed.turned(sun, sun);
        for (one, two) in rest.planets.iter().chain([&rest.ring]).zip(block.planets.iter().chain([&block.ring])) {
            prop_assert!((two.turn - one.turn - sun).abs() < 1e-9);
        }
        prop_assert_eq!(set.kind == SetKind::Paired, placed.pair_centre.is_some());
    }
}

/// What has no wheels or no shared axis is not placed.
#[test]
fn sets_that_cannot_be_placed_are_none() {
    let limits = ToothLimits::default();
    let none = |set: GearSet| {
        assert_eq!(PlacedSet::new(&set, &limits, &Finish::default()), None, "{set:?}");
    };
    none(GearSet::paired(36, 84));
    none(GearSet::single(30, 67));
    none(GearSet { planet: Some(10), ..GearSet::single(30, 66) });
    none(pair(30, 120, 18, 18, 3));
    // A broken condition is no reason: 12 teeth are undercut, and drawn so.
    let small = GearSet { planets: Some(3), ..GearSet::single(12, 60) };
    let rigid = ToothLimits { largest_shift: 0.0, ..limits.clone() };
    assert!(conditions(&small, &rigid).iter().any(|c| c.name == "undercut" && !c.holds));
    assert!(place(&small, &rigid, 0.0).sun.undercut);
    assert_eq!(mesh_proof(&place(&small, &rigid, 0.0), 4)[0].mesh, Mesh::SunPlanet);
}
/// Every set of the catalogues is placed, and cut tips still leave each mesh the contact
/// ratio of 1.2 that the conditions ask of full ones.
#[test]
fn cut_tips_leave_enough_contact() {
    for limits in [ToothLimits::default(), odd()] {
        let mut most = 0.0f64;
        for entry in Catalogue::build(&limits).entries() {
            let placed = PlacedSet::new(&entry.set, &limits, &Finish::default());
            let placed = placed.unwrap_or_else(|| panic!("{entry:?} is not placed"));
            assert_eq!(placed.shifts, entry.shift);
            let angles = placed.angles.iter().map(|angle| angle.to_degrees());
            assert!(angles.zip(entry.planet_angles()).all(|(a, b)| (a - b).abs() < 1e-9));
            for mesh in placed.meshes() {
                assert!(placed.contact_ratio(mesh).unwrap() > 1.2, "{entry:?} {mesh:?}");
            }
            most = most.max(placed.tip_cut);
        }
        assert!(most > 0.1 && most < 0.2, "{most}");
    }
}
