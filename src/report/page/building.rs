//! What a builder needs of one reduction, as tables and sentences for the page.

use itertools::Itertools as _;
use serde::Serialize;

use super::super::number::decimals;
use super::super::record::{Candidate, Record};
use super::bears::Bears;
use super::grid::{Cell, Grid};
use super::reductions::warnings;
use crate::account::Workshop;
use crate::account::workshop::{Bench, POSITIONS, SetWork};
use crate::score::Criterion;
use crate::teeth::{Mesh, MeshData, Spacing, WheelData, planet_angles};
use crate::train::{GearSet, SetKind};

/// So many reductions have all their factors on the page; more would fill it.
pub(super) const WITH_FACTORS: usize = 20;
/// Overlap in µm that is none: polygons are as near to the curves as that.
const OVERLAP_UM: f64 = 1.0;

/// Everything of one reduction that its wiring does not tell.
#[derive(Serialize)]
pub(super) struct Building {
    /// What stands in red letters: a sentence each.
    warnings: Vec<String>,
    /// Name and value.
    facts: Vec<(&'static str, String)>,
    made: Grid,
    /// Where sizes had to give way.
    notes: Vec<String>,
    /// What does not fit.
    misfits: Vec<String>,
    /// The folder of its parts, relative to the page.
    parts: Option<String>,
    /// `None` without a load.
    bears: Option<Bears>,
    /// `None` where no set has outlines.
    proof: Option<Grid>,
    wheels: Option<Grid>,
    meshes: Option<Grid>,
}

impl Building {
    /// `None` of a layout that is no reduction. `place` is the one on the front.
    pub fn of(record: &Record, candidate: &Candidate, place: usize) -> Option<Self> {
        let workshop = candidate.workshop.as_deref()?;
        let sets: Vec<(usize, &Bench)> = (1..)
            .zip(&workshop.sets)
            .filter_map(|(number, work)| Some((number, work.bench.as_ref()?)))
            .collect();
        let known = |grid: Grid| (!sets.is_empty()).then_some(grid);
        Some(Self {
            warnings: warnings(record, candidate, workshop),
            facts: facts(record, candidate, workshop),
            made: made(candidate, workshop),
            notes: notes(workshop),
            misfits: misfits(workshop),
            parts: workshop.makes_parts.then(|| format!("parts/{}/", candidate.id)),
            bears: Bears::of(candidate, workshop, place < WITH_FACTORS),
            proof: known(proof(&sets)),
            wheels: known(wheels(&sets)),
            meshes: known(meshes(&sets)),
        })
    }
}

/// Size and materials as a whole.
fn facts(
    record: &Record,
    candidate: &Candidate,
    workshop: &Workshop,
) -> Vec<(&'static str, String)> {
    let millimetres = |criterion, name| {
        let size = record.score(candidate, criterion)?;
        Some((name, format!("{} mm", decimals(size, 1))))
    };
    let mut facts: Vec<(&'static str, String)> = [
        millimetres(Criterion::Length, "length"),
        millimetres(Criterion::OuterDiameter, "outer diameter"),
    ]
    .into_iter()
    .flatten()
    .collect();
    let wheels = ["suns", "planets", "rings"];
    for (name, material) in wheels.into_iter().zip(workshop.materials.iter().flatten()) {
        facts.push((name, material.words().to_owned()));
    }
    facts
}

fn made(candidate: &Candidate, workshop: &Workshop) -> Grid {
    let heads = [
        ("set", false),
        ("module, mm", true),
        ("face width, mm", true),
        ("sun / planet / ring × planets", true),
        ("ring / sun", true),
        ("shifts of sun / planet / ring, modules", true),
        ("planets stand at, °", false),
        ("over the ring, mm", true),
        ("pins, mm", true),
        ("sun's bore, mm", true),
    ];
    let sets = candidate.layout.sets.iter().zip(&workshop.sets);
    let rows = (1..).zip(sets).map(|(number, (set, work))| made_row(number, set, work));
    Grid::new("How the sets are made", &heads, rows.collect())
}

fn made_row(number: usize, set: &GearSet, work: &SetWork) -> Vec<Cell> {
    let planets = set.planets.unwrap_or(0);
    let planet = [set.planet, set.outer_planet].into_iter().flatten().join(" + ");
    let pairs = if set.kind == SetKind::Paired { " pairs" } else { "" };
    let shift = work.choice.shift;
    let shifts = [shift.sun, shift.planet, shift.ring].map(|shift| decimals(shift, 3)).join(" / ");
    let angles = planet_angles(set, planets).into_iter().map(|angle| short(angle, 2)).join(", ");
    let spacing = match work.choice.spacing {
        Spacing::Equal => String::new(),
        unequal => format!(" ({})", unequal.word()),
    };
    let made = work.bench.as_ref().map(|bench| &bench.making);
    let size = |size: Option<f64>| Cell::number(size.map_or("–".into(), |size| short(size, 1)));
    vec![
        Cell::text(number.to_string()),
        Cell::number(short(work.choice.module, 3)),
        Cell::number(decimals(work.width, 1)),
        Cell::number(format!("{} / {planet} / {} × {planets}{pairs}", set.sun, set.ring)),
        Cell::number(decimals(set.base_ratio(), 4)),
        Cell::number(shifts),
        Cell::text(format!("{angles}{spacing}")),
        Cell::number(decimals(work.choice.outer_diameter, 1)),
        size(made.map(|making| making.pin_mm)),
        size(made.map(|making| making.sun_bore.size_mm())),
    ]
}

fn notes(workshop: &Workshop) -> Vec<String> {
    let told = (1..).zip(&workshop.sets).flat_map(|(number, work)| match &work.bench {
        Some(bench) => bench.notes.iter().map(|note| format!("Set {number}: {note}")).collect(),
        None => vec![format!("Set {number} has no true outlines, so it is not measured.")],
    });
    told.collect()
}

fn misfits(workshop: &Workshop) -> Vec<String> {
    let told = (1..).zip(&workshop.sets).filter_map(|(number, work)| {
        let misfits = work.bench.as_ref()?.parts.as_ref().err()?;
        Some(misfits.iter().map(move |misfit| format!("Set {number}: {misfit}.")))
    });
    told.flatten().collect()
}

fn proof(sets: &[(usize, &Bench)]) -> Grid {
    let heads = [
        ("set", false),
        ("mesh", false),
        ("least clearance, µm", true),
        ("largest overlap, µm", true),
        ("backlash, mm", true),
        ("asked, mm", true),
        ("positions", true),
    ];
    let row = |number: usize, bench: &Bench, proof: &crate::teeth::MeshProof| {
        let module = bench.making.module_mm;
        let overlap = proof.depth * module * 1000.0;
        let overlaps = overlap > OVERLAP_UM;
        let told = if overlaps { decimals(overlap, 1) } else { "none".to_owned() };
        vec![
            Cell::text(number.to_string()),
            Cell::text(words(proof.mesh)),
            Cell::number(decimals(proof.clearance * module * 1000.0, 1)),
            Cell::warned(told, overlaps),
            Cell::number(decimals(proof.backlash * module, 3)),
            Cell::number(decimals(bench.backlash, 3)),
            Cell::number(POSITIONS.to_string()),
        ]
    };
    let rows = sets.iter().flat_map(|&(number, bench)| {
        bench.proof.iter().map(move |proof| row(number, bench, proof))
    });
    Grid::new("Proof of mesh", &heads, rows.collect())
}

fn wheels(sets: &[(usize, &Bench)]) -> Grid {
    let heads = [
        ("set", false),
        ("wheel", false),
        ("teeth", true),
        ("tip d_a, mm", true),
        ("root d_f, mm", true),
        ("span W_k, mm", true),
        ("over teeth k", true),
        ("over pins M_d, mm", true),
        ("pins D_M, mm", true),
    ];
    let rows = sets.iter().flat_map(|&(number, bench)| {
        bench.wheels.iter().map(move |wheel| wheel_row(number, wheel))
    });
    Grid::new("Measures of the wheels", &heads, rows.collect())
}

fn wheel_row(number: usize, wheel: &WheelData) -> Vec<Cell> {
    let maybe = |text: Option<String>| Cell::number(text.unwrap_or_else(|| "–".to_owned()));
    vec![
        Cell::text(number.to_string()),
        Cell::text(wheel.wheel.word()),
        Cell::number(wheel.teeth.to_string()),
        Cell::number(decimals(wheel.tip_diameter, 3)),
        Cell::number(decimals(wheel.root_diameter, 3)),
        maybe(wheel.span.map(|span| decimals(span.length, 3))),
        maybe(wheel.span.map(|span| span.teeth.to_string())),
        maybe(wheel.pins.map(|pins| decimals(pins.length, 3))),
        maybe(wheel.pins.map(|pins| short(pins.diameter, 3))),
    ]
}

fn meshes(sets: &[(usize, &Bench)]) -> Grid {
    let heads = [
        ("set", false),
        ("mesh", false),
        ("centre distance a, mm", true),
        ("operating pressure angle α_w, °", true),
        ("contact ratio ε_α", true),
    ];
    let row = |number: usize, mesh: &MeshData| {
        vec![
            Cell::text(number.to_string()),
            Cell::text(words(mesh.mesh)),
            Cell::number(decimals(mesh.centre_distance, 3)),
            Cell::number(decimals(mesh.operating_angle, 3)),
            Cell::number(decimals(mesh.contact_ratio, 3)),
        ]
    };
    let rows = sets
        .iter()
        .flat_map(|&(number, bench)| bench.meshes.iter().map(move |mesh| row(number, mesh)));
    Grid::new("Measures of the meshes", &heads, rows.collect())
}

/// As a reader sees a mesh.
pub(super) fn words(mesh: Mesh) -> &'static str {
    match mesh {
        Mesh::SunPlanet => "sun–planet",
        Mesh::PlanetPlanet => "planet–planet",
        Mesh::PlanetRing => "planet–ring",
    }
}

/// At most so many decimals, none that say nothing.
pub(super) fn short(value: f64, most: usize) -> String {
    let text = decimals(value, most);
    if !text.contains('.') {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
