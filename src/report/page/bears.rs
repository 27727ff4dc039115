//! What a reduction bears under the load of its brief, as tables for the page.

use serde::Serialize;

use super::super::number::{decimals, figures};
use super::super::record::Candidate;
use super::building::{short, words};
use super::grid::{Cell, Grid};
use crate::account::Workshop;
use crate::account::workshop::MemberLoad;
use crate::reduction::{Bearer, Verdict};
use crate::strength::{
    Bearing, Factor, Hub, HubPlace, Limit, MeshStrength, PinStrength, SetStrength, ShaftForm,
};

/// Loads, stresses and speeds of every set.
#[derive(Serialize)]
pub(super) struct Bears {
    /// Name and value.
    facts: Vec<(&'static str, String)>,
    /// Why a set has no figures: a sentence each.
    faults: Vec<String>,
    /// Torque, speed and power of every member.
    stages: Option<Grid>,
    /// What is judged as built, or the weakest of each set.
    built: Grid,
    sets: Grid,
    teeth: Grid,
    pins: Grid,
    /// Of every set in order; `None` where the page has no room for them.
    factors: Option<Vec<SetFactors>>,
}

/// All numbers of one set's judgement.
#[derive(Serialize)]
struct SetFactors {
    set: usize,
    places: Vec<Place>,
}

/// What is told of one place, such as a mesh.
#[derive(Serialize)]
struct Place {
    name: String,
    rows: Vec<FactorRow>,
}

#[derive(Serialize)]
struct FactorRow {
    /// The letter and what stands below it.
    letter: &'static str,
    index: &'static str,
    name: &'static str,
    value: String,
    unit: &'static str,
    source: String,
}

type Judged<'a> = Vec<(usize, &'a SetStrength)>;

impl Bears {
    /// `None` where the brief has no load.
    pub fn of(candidate: &Candidate, workshop: &Workshop, with_factors: bool) -> Option<Self> {
        let facts = facts(candidate, workshop)?;
        let told = (1..)
            .zip(&workshop.sets)
            .filter_map(|(number, work)| Some((number, work.bench.as_ref()?.strength()?)));
        let mut judged: Judged = Vec::new();
        let mut faults = Vec::new();
        for (number, strength) in told {
            match strength {
                Ok(strength) => judged.push((number, strength)),
                Err(fault) => faults.push(format!("Set {number} is not judged: {fault}.")),
            }
        }
        if judged.is_empty() && faults.is_empty() {
            return None;
        }
        let factors = || judged.iter().map(|(set, strength)| SetFactors::of(*set, strength));
        Some(Self {
            facts,
            faults,
            stages: workshop.stages.as_ref().map(|(loads, housing)| stages(loads, *housing)),
            built: built(workshop, with_factors),
            sets: sets(&judged, workshop),
            teeth: teeth(&judged),
            pins: pins(&judged),
            factors: with_factors.then(|| factors().collect()),
        })
    }
}

/// Torques and speeds at both ends, without losses.
fn facts(candidate: &Candidate, workshop: &Workshop) -> Option<Vec<(&'static str, String)>> {
    let ratio = candidate.gears.first()?.value;
    let (torque, speed) = (workshop.output_torque?, workshop.input_speed?);
    let highest = workshop.highest_input_speed();
    let mut facts = vec![
        (
            "input torque, without losses",
            format!("{} N m", figures(workshop.input_torque(ratio)?, 4)),
        ),
        ("input speed", format!("{} rpm", figures(speed, 4))),
        ("output torque", format!("{} N m", figures(torque, 4))),
        ("output speed", format!("{} rpm", figures(speed / ratio.abs(), 4))),
    ];
    let lossless = workshop.input_torque(ratio)?;
    match workshop.efficiency {
        Some(0.0) => {
            facts.push(("input torque, with losses", "none turns it: it locks".to_owned()))
        }
        _ if workshop.losses != 1.0 => {
            let torque = figures(lossless * workshop.losses, 4);
            facts.insert(1, ("input torque, with losses", format!("{torque} N m")));
        }
        _ => {}
    }
    if let Some(highest) = highest {
        facts.push(("highest input speed on plain pins", format!("{} rpm", figures(highest, 3))));
    }
    Some(facts)
}

/// Every judgement of every set, or the weakest of each alone: the least of their safeties is
/// the reduction's.
fn built(workshop: &Workshop, with_all: bool) -> Grid {
    let heads = [
        ("what bears", false),
        ("as built", false),
        ("torque, N m", true),
        ("notch", true),
        ("stress, MPa", true),
        ("allowable, MPa", true),
        ("safety", true),
    ];
    let row = |(set, verdict): (usize, Verdict)| {
        let number = |value: Option<f64>, places| {
            Cell::number(value.map_or("–".to_owned(), |value| figures(value, places)))
        };
        let (size, torque) = size_of(workshop, set, verdict.bearer);
        vec![
            Cell::text(verdict.bearer.words(set)),
            Cell::text(size),
            number(torque, 3),
            Cell::number(short(verdict.notch, 2)),
            number(verdict.stress_mpa.filter(|stress| stress.is_finite()), 3),
            number(verdict.allowable_mpa, 3),
            Cell::safety(verdict.safety),
        ]
    };
    let mut verdicts = workshop.verdicts();
    if !with_all {
        let safety = |verdict: &Verdict| verdict.safety.unwrap_or(f64::INFINITY);
        verdicts.sort_by(|(set, a), (other, b)| {
            set.cmp(other).then_with(|| safety(a).total_cmp(&safety(b)))
        });
        verdicts.dedup_by_key(|(set, _)| *set);
    }
    let title = match with_all {
        true => "What is judged, as built",
        false => "The weakest of each set, as built",
    };
    Grid::new(title, &heads, verdicts.into_iter().map(row).collect())
}

/// How large it is made, and the torque that stands there with the application factor and
/// losses in N m.
fn size_of(workshop: &Workshop, set: usize, bearer: Bearer) -> (String, Option<f64>) {
    let bench = workshop.sets[set - 1].bench.as_ref();
    let Some(Ok(built)) = bench.and_then(|bench| bench.built.as_ref()) else {
        return (String::new(), None);
    };
    let of_hub = |hub: &Hub, place: HubPlace| {
        let length = short(hub.length_mm, 1);
        let size = match (hub.form, place) {
            (ShaftForm::Round { diameter_mm }, HubPlace::Shaft) => {
                format!("⌀ {} mm, {}", short(diameter_mm, 1), hub.shaft.words())
            }
            (ShaftForm::Hexagon { flats_mm }, HubPlace::Shaft) => {
                format!("{} mm across flats, {}", short(flats_mm, 1), hub.shaft.words())
            }
            (_, HubPlace::HubWall) => format!("{length} mm long, {}", hub.hub.words()),
            (form, HubPlace::HoleWall) => format!("{}, {length} mm long", form.joint()),
        };
        let torque = if place == HubPlace::Shaft { hub.shaft_torque_nm } else { hub.torque_nm };
        (size, Some(torque))
    };
    let pin = |wheel| built.strength.pins.iter().find(|pin| pin.wheel == wheel);
    match bearer {
        Bearer::Teeth => (format!("{} mm wide", short(workshop.sets[set - 1].width, 1)), None),
        Bearer::Pin(wheel) => {
            let size = pin(wheel).map(|pin| format!("⌀ {} mm, steel", short(pin.diameter_mm, 1)));
            (size.unwrap_or_default(), None)
        }
        Bearer::PinHole(wheel) => {
            let plates = pin(wheel).map(|pin| pin.plates.thickness_mm).unwrap_or_default();
            (format!("2 plates of {} mm, {}", short(plates, 1), built.plate.words()), None)
        }
        Bearer::Sun(place) => of_hub(&built.sun, place),
        Bearer::Carrier(place) => of_hub(&built.drive, place),
    }
}

fn sets(judged: &Judged, workshop: &Workshop) -> Grid {
    let heads = [
        ("set", false),
        ("torque on the sun, N m", true),
        ("tangential force a mesh, N", true),
        ("pitch line, m/s", true),
        ("least safety", true),
        ("what governs", false),
        ("width, mm", true),
        ("needed, mm", true),
        ("highest input speed for the teeth, rpm", true),
        ("on plain pins, rpm", true),
    ];
    let row = |&(number, strength): &(usize, &SetStrength)| {
        let speed = |limit: f64| {
            let highest = workshop.input_speed_at(strength, limit);
            Cell::number(highest.map_or("–".to_owned(), |rpm| figures(rpm, 3)))
        };
        let width = workshop.sets[number - 1].width;
        let governing = strength.governing.map_or("nothing loads it".to_owned(), |governing| {
            let mesh = words(governing.mesh);
            match governing.limit {
                Limit::Bending(wheel) => format!("{} root, {mesh}", wheel.word()),
                Limit::Contact => format!("flanks, {mesh}"),
            }
        });
        vec![
            Cell::text(number.to_string()),
            Cell::number(figures(strength.loads.sun_torque_nm, 4)),
            Cell::number(figures(strength.loads.force_n, 4)),
            Cell::number(decimals(strength.loads.pitch_speed_m_s, 3)),
            Cell::safety(strength.least_safety()),
            Cell::text(governing),
            Cell::number(decimals(width, 1)),
            Cell::number(decimals(strength.width_needed_mm, 1)),
            speed(strength.speeds.pitch_rpm),
            speed(strength.speeds.on_plain_pins()),
        ]
    };
    Grid::new("What the sets bear", &heads, judged.iter().map(row).collect())
}

fn teeth(judged: &Judged) -> Grid {
    let heads = [
        ("set", false),
        ("mesh", false),
        ("where", false),
        ("stress, MPa", true),
        ("allowable, MPa", true),
        ("safety", true),
    ];
    let rows = judged.iter().flat_map(|&(number, strength)| {
        strength.meshes.iter().flat_map(move |mesh| mesh_rows(number, mesh))
    });
    Grid::new("Stresses of the teeth", &heads, rows.collect())
}

/// Roots of both wheels, then the flanks.
fn mesh_rows(number: usize, mesh: &MeshStrength) -> Vec<Vec<Cell>> {
    let row = |place: String, stress: f64, allowable: f64, safety: Option<f64>| {
        vec![
            Cell::text(number.to_string()),
            Cell::text(words(mesh.mesh)),
            Cell::text(place),
            Cell::number(figures(stress, 3)),
            Cell::number(figures(allowable, 3)),
            Cell::safety(safety),
        ]
    };
    let mut rows: Vec<Vec<Cell>> = mesh
        .bending
        .iter()
        .map(|tooth| {
            let place = format!("root of the {}, bending", tooth.wheel.word());
            row(place, tooth.stress_mpa, tooth.allowable_mpa, tooth.safety)
        })
        .collect();
    let flanks = &mesh.contact;
    rows.push(row(
        "flanks, contact".to_owned(),
        flanks.stress_mpa,
        flanks.allowable_mpa,
        flanks.safety,
    ));
    rows
}

fn pins(judged: &Judged) -> Grid {
    let heads = [
        ("set", false),
        ("pin of the", false),
        ("diameter, mm", true),
        ("force, N", true),
        ("bending, MPa", true),
        ("allowable, MPa", true),
        ("safety", true),
        ("room round it, mm", true),
        ("plain bore", false),
        ("bronze bush", false),
        ("needle cage", false),
    ];
    let row = |number: usize, pin: &PinStrength| {
        let mut cells = vec![
            Cell::text(number.to_string()),
            Cell::text(pin.wheel.word()),
            Cell::number(decimals(pin.diameter_mm, 2)),
            Cell::number(figures(pin.force_n, 4)),
            Cell::number(figures(pin.stress_mpa, 3)),
            Cell::number(figures(pin.allowable_mpa, 3)),
            Cell::safety(pin.safety),
            Cell::warned(decimals(pin.room_mm, 2), pin.room_mm < 0.0),
        ];
        cells.extend(pin.bearings.iter().map(|bearing| Cell::text(verdict(bearing))));
        cells
    };
    let rows = judged
        .iter()
        .flat_map(|&(number, strength)| strength.pins.iter().map(move |pin| row(number, pin)));
    Grid::new("Planet pins", &heads, rows.collect())
}

/// Whether a planet may turn so on its pin.
fn verdict(bearing: &Bearing) -> &'static str {
    match (bearing.fits, bearing.holds) {
        // A plain bore is nothing but the pin, which is too thick for the wheel then.
        (false, _) => "no room",
        (true, Some(true)) => "holds",
        (true, Some(false)) => "overloaded",
        (true, None) => "has room; its maker rates it",
    }
}

/// What each member carries, without losses, and the reaction of the housing.
fn stages(loads: &[MemberLoad], housing: f64) -> Grid {
    let heads = [
        ("member", false),
        ("torque, N m", true),
        ("speed, rpm", true),
        ("power, W", true),
        ("", false),
    ];
    let row = |load: &MemberLoad| {
        let held = if load.held { "held: the housing's reaction" } else { "" };
        vec![
            Cell::text(load.member.to_string()),
            Cell::number(figures(load.torque, 4)),
            Cell::number(figures(load.speed, 4)),
            Cell::number(figures(load.power, 4)),
            Cell::text(held),
        ]
    };
    let whole = vec![
        Cell::text("housing"),
        Cell::number(figures(housing, 4)),
        Cell::number("0"),
        Cell::number("0"),
        Cell::text("all reactions together"),
    ];
    Grid::new("Torque, speed and power", &heads, loads.iter().map(row).chain([whole]).collect())
}

impl SetFactors {
    fn of(set: usize, strength: &SetStrength) -> Self {
        let factors = strength.factors();
        let places = factors.chunk_by(|one, other| one.place == other.place);
        let place = |rows: &[Factor]| Place {
            name: rows.first().map_or(String::new(), |row| row.place.clone()),
            rows: rows.iter().map(FactorRow::of).collect(),
        };
        Self { set, places: places.map(place).collect() }
    }
}

impl FactorRow {
    fn of(factor: &Factor) -> Self {
        let (letter, index) = factor.symbol.split_once('_').unwrap_or((factor.symbol, ""));
        Self {
            letter,
            index,
            name: factor.name,
            value: figures(factor.value, 4),
            unit: factor.unit,
            source: factor.source.clone(),
        }
    }
}
