//! The door `portrait`: a layout in, pictures of it out.

use itertools::Itertools;
use num_traits::Zero;

use super::Basis;
use super::names::file_names;
use super::reason::Ties;
use crate::build::{Drawing, drawing};
use crate::draw::{
    Face, FaceRing, FaceWheel, InputSpeeds, Ladder, Lever, Levers, Picture, Pin, PowerStick, Role,
    Rung, SawTooth, Series, Size, SpeedPlan, Stick, StickElement, StickSet,
};
use crate::error::Error;
use crate::motion::{outer_planet_speed, planet_speed, power_flow};
use crate::num::{Fraction, to_f64};
use crate::score::{GearState, assess};
use crate::teeth::{Finish, Outline, PlacedSet, Pose, ToothLimits, outer_diameter};
use crate::train::{INPUT, Layout, OUTPUT, SetKind};

const WIDE: Size = Size { width: 860, height: 480 };
const TALL: Size = Size { width: 860, height: 560 };
/// Input speeds that are used, where nobody says.
pub const USUAL_SPEEDS: InputSpeeds = InputSpeeds::Share(0.4);

/// How far the lines of a drawn tooth may be off, in modules: less than eyes see.
const FACE_CHORD: f64 = 0.01;

/// Most teeth that a picture shows; of a larger set it shows circles, or it would be too large
/// to open.
const MOST_TEETH_DRAWN: u32 = 2000;

/// A picture and the name of its file, without ending.
#[derive(Clone, Debug)]
pub struct Portrait {
    pub name: String,
    pub picture: Picture,
}

/// Pictures of a layout: ladder, saw-tooth, speeds of shafts and planets, and of every live
/// gear the levers. Without named gears, the live states are the gears. `speeds` are the
/// input speeds of the saw-tooth.
///
/// # Errors
/// [`Error::Work`] when the plotting library fails.
pub fn portrait(
    layout: &Layout,
    basis: &Basis,
    speeds: InputSpeeds,
) -> Result<Vec<Portrait>, Error> {
    let gears = gears(layout, basis);
    let title = layout.title.clone().unwrap_or_else(|| "A gearbox".to_owned());
    let mut all = Vec::new();
    let mut add = |name: String, picture: Picture| all.push(Portrait { name, picture });
    add("ladder".to_owned(), ladder(&title, layout, &gears, basis).draw(WIDE.width)?);
    add("saw-tooth".to_owned(), saw_tooth(&title, layout, &gears, basis, speeds).draw(TALL));
    add("speeds".to_owned(), shaft_speeds(&title, layout, &gears).draw(WIDE));
    add("planet-speeds".to_owned(), planet_speeds(&title, layout, &gears).draw(WIDE));
    let drawing = drawing(layout);
    if let Some(drawing) = &drawing {
        add("stick".to_owned(), stick(&title, layout, drawing, None).draw());
    }
    for set in 0..layout.sets.len() {
        if let Some(face) = face(layout, set, basis) {
            add(format!("face-{}", set + 1), face.draw());
        }
    }
    for (gear, file) in gears.iter().zip(file_names(gears.iter().map(|gear| gear.name.as_str()))) {
        if let Some(drawing) = &drawing {
            let name = format!("stick-{file}");
            let stick = stick(&title, layout, drawing, Some(gear));
            add(name, stick.draw());
            if let Some(power) = power_stick(stick, layout, gear) {
                add(format!("power-{file}"), power.draw());
            }
        }
        add(format!("levers-{file}"), levers(&title, layout, gear).draw());
    }
    Ok(all)
}

/// The live gears, forward first to top, then reverse; all live states where none is named.
fn gears(layout: &Layout, basis: &Basis) -> Vec<GearState> {
    let named = layout.gears.iter().map(|gear| (gear.name.clone(), gear.engaged));
    let states = layout.states().map(|engaged| {
        let name = engaged.iter().map(|element| layout.elements[element].name.as_str()).join(" ");
        (name, engaged)
    });
    let all: Vec<_> = if layout.gears.is_empty() { states.collect() } else { named.collect() };
    let solved =
        all.iter().map(|(name, engaged)| GearState::of(layout, name, *engaged, &basis.mesh));
    let ratio = |gear: &GearState| gear.motion.ratio.as_ref().map_or(0.0, to_f64);
    let live = solved.filter(|gear| gear.motion.ratio.is_some());
    live.sorted_by(|a, b| {
        let (a, b) = (ratio(a), ratio(b));
        (a < 0.0).cmp(&(b < 0.0)).then(b.abs().total_cmp(&a.abs()))
    })
    .collect()
}

fn ratio(gear: &GearState) -> f64 {
    gear.motion.ratio.as_ref().map_or(f64::NAN, to_f64)
}

/// The ladder of the gears with the wanted one behind it, where there are named gears to
/// want.
fn ladder(title: &str, layout: &Layout, gears: &[GearState], basis: &Basis) -> Ladder {
    let forward: Vec<f64> = gears.iter().map(ratio).filter(|ratio| *ratio > 0.0).collect();
    let wanted = !layout.gears.is_empty();
    let wanted = if wanted { basis.progression.ladder(&forward) } else { Vec::new() };
    let gears = gears.iter().map(|gear| (gear.name.clone(), ratio(gear))).collect();
    let rung = Rung { name: String::new(), gears, wanted };
    Ladder { title: format!("{title}: ratios"), rungs: vec![rung] }
}

fn saw_tooth(
    title: &str,
    layout: &Layout,
    gears: &[GearState],
    basis: &Basis,
    speeds: InputSpeeds,
) -> SawTooth {
    let forward = assess(layout, &basis.mesh).orders()[0].len();
    let forward = if layout.gears.is_empty() { gears.len() } else { forward };
    let gears = gears.iter().take(forward).filter(|gear| ratio(gear) > 0.0);
    SawTooth {
        title: format!("{title}: gears over road speed"),
        gears: gears.map(|gear| (gear.name.clone(), ratio(gear))).collect(),
        speeds,
    }
}

fn shaft_speeds(title: &str, layout: &Layout, gears: &[GearState]) -> SpeedPlan {
    let series = layout.shafts.iter().enumerate().map(|(index, shaft)| Series {
        name: shaft.name.clone(),
        speeds: gears.iter().map(|g| g.motion.speeds[index].as_ref().map(to_f64)).collect(),
    });
    SpeedPlan {
        title: format!("{title}: speeds of the shafts"),
        axis: "speed / input speed".to_owned(),
        gears: gears.iter().map(|gear| gear.name.clone()).collect(),
        series: series.collect(),
    }
}

fn planet_speeds(title: &str, layout: &Layout, gears: &[GearState]) -> SpeedPlan {
    let speeds = |speed: &dyn Fn(&GearState) -> Option<Fraction>| {
        gears.iter().map(|gear| speed(gear).as_ref().map(to_f64)).collect()
    };
    let of_set = |set: usize| {
        let inner = Series {
            name: format!("planets {}", set + 1),
            speeds: speeds(&|gear| planet_speed(layout, &gear.motion, set)),
        };
        let outer = || Series {
            name: format!("outer planets {}", set + 1),
            speeds: speeds(&|gear| outer_planet_speed(layout, &gear.motion, set)),
        };
        let paired = layout.sets[set].kind == SetKind::Paired;
        std::iter::once(inner).chain(paired.then(outer))
    };
    SpeedPlan {
        title: format!("{title}: speeds of the planets about their pins"),
        axis: "speed / input speed".to_owned(),
        gears: gears.iter().map(|gear| gear.name.clone()).collect(),
        series: (0..layout.sets.len()).flat_map(of_set).collect(),
    }
}

pub(super) fn levers(title: &str, layout: &Layout, gear: &GearState) -> Levers {
    let roles = roles(layout, gear);
    let lever = |set: usize| {
        let teeth = layout.sets[set];
        let ring = match teeth.kind {
            SetKind::Single => -1.0 / teeth.base_ratio(),
            SetKind::Paired => 1.0 / teeth.base_ratio(),
        };
        let pins = layout.seats(set).into_iter().enumerate().map(|(member, seat)| Pin {
            member: format!("{}{}", ["S", "R", "C"][member], set + 1),
            shaft: seat.map_or("housing".to_owned(), |shaft| layout.shafts[shaft.0].name.clone()),
            role: seat.map_or(Role::Held, |shaft| roles[shaft.0]),
            place: [1.0, ring, 0.0][member],
            speed: gear.motion.speed_at(seat).as_ref().map_or(f64::NAN, to_f64),
            torque: gear.torques.as_ref().and_then(|t| t.members[set][member].as_ref().map(to_f64)),
        });
        let name =
            format!("set {}, {} teeth in the sun, {} in the ring", set + 1, teeth.sun, teeth.ring);
        Lever { name, pins: pins.collect() }
    };
    Levers { title: of_gear(title, gear), levers: (0..layout.sets.len()).map(lever).collect() }
}

/// A set from in front with its true teeth; `None` where its planets are not known or its
/// teeth cannot be.
pub(super) fn face(layout: &Layout, set: usize, basis: &Basis) -> Option<Face> {
    let limits = &basis.teeth;
    let finish = Finish { chord: FACE_CHORD, ..Finish::default() };
    let placed = PlacedSet::new(&layout.sets[set], limits, &finish)?;
    let (poses, module) = (placed.poses(), limits.module);
    let toothed = teeth_of(&placed) <= MOST_TEETH_DRAWN;
    let line = |pose: &Pose, outline: &Outline| {
        if toothed { pose.polygon(outline, module) } else { pitch_circle(pose, outline, module) }
    };
    let wheel = |name: String, pose: &Pose, outline: &Outline| FaceWheel {
        name,
        centre: pose.centre.map(|length| length * module),
        outline: line(pose, outline),
        pitch_radius: outline.pitch * module,
    };
    let sun = wheel(format!("S{}", set + 1), &poses.sun, &placed.sun);
    let planets = poses.planets.iter().map(|pose| wheel("P".to_owned(), pose, &placed.planet));
    let outer = placed
        .outer_planet
        .as_ref()
        .map(|outline| poses.outer_planets.iter().map(|pose| wheel("P".to_owned(), pose, outline)));
    let wheels = std::iter::once(sun).chain(planets).chain(outer.into_iter().flatten());
    let ring = FaceRing {
        hole: line(&poses.ring, &placed.ring),
        pitch_radius: placed.ring.pitch * module,
        outer_diameter: outer_diameter(&placed.set, limits),
    };
    Some(Face {
        title: format!("Set {} from in front", set + 1),
        wheels: wheels.collect(),
        ring,
        notes: face_notes(&placed, module, limits),
    })
}

/// Teeth of all wheels of a set.
fn teeth_of(placed: &PlacedSet) -> u32 {
    let set = placed.set;
    let planets = set.planet.unwrap_or_default() + set.outer_planet.unwrap_or_default();
    set.sun + set.ring + planets.saturating_mul(placed.angles.len() as u32)
}

fn pitch_circle(pose: &Pose, outline: &Outline, module: f64) -> Vec<[f64; 2]> {
    let [x, y] = pose.centre;
    let angle = |n: u32| f64::from(n) * std::f64::consts::TAU / 360.0;
    let point = |(sin, cos): (f64, f64)| [x + outline.pitch * cos, y + outline.pitch * sin];
    (0..360).map(|n| point(angle(n).sin_cos()).map(|length| length * module)).collect()
}

/// Teeth, module and shifts of a set, in lines.
fn face_notes(placed: &PlacedSet, module: f64, limits: &ToothLimits) -> Vec<String> {
    let teeth = placed.set;
    let planets = [teeth.planet, teeth.outer_planet].into_iter().flatten().join(" + ");
    let shifts = placed.shifts;
    let is_drawn = teeth_of(placed) <= MOST_TEETH_DRAWN;
    let flanks =
        if is_drawn { " Involute flanks and root fillets as a rack cuts them." } else { "" };
    let mut notes = vec![
        format!(
            "Teeth: sun {}, planets {planets}, ring {}; module {module} mm, pressure angle {}°; \
             pitch circles dashed.",
            teeth.sun, teeth.ring, limits.pressure_angle
        ),
        format!(
            "Profile shift: sun {:.2}, planet {:.2}, ring {:.2}.{flanks}",
            shifts.sun, shifts.planet, shifts.ring
        ),
    ];
    if !is_drawn {
        let teeth = teeth_of(placed);
        notes.push(format!(
            "Its {teeth} teeth are not drawn, only pitch circles: a picture shows at most \
             {MOST_TEETH_DRAWN} teeth."
        ));
    }
    if is_drawn && placed.tip_cut > 5e-3 {
        let cut = placed.tip_cut * module;
        notes.push(format!("Tips are shortened by up to {cut:.2} mm to clear the root fillets."));
    }
    notes
}

/// The layout as such, or one of its gears.
pub(super) fn stick<'a>(
    title: &str,
    layout: &Layout,
    drawing: &'a Drawing,
    gear: Option<&GearState>,
) -> Stick<'a> {
    let set = |set: usize| {
        let teeth = layout.sets[set];
        let planets = [teeth.planet, teeth.outer_planet].into_iter().flatten();
        let mut all = std::iter::once(teeth.sun).chain(planets).chain([teeth.ring]);
        StickSet { seats: layout.seats(set).map(|seat| seat.map(|id| id.0)), teeth: all.join("/") }
    };
    let elements = layout.elements.iter().enumerate().map(|(index, element)| StickElement {
        name: element.name.clone(),
        brake: element.grip.ends().1.is_none(),
        engaged: gear.is_some_and(|gear| gear.motion.engaged.contains(index)),
    });
    Stick {
        title: match gear {
            Some(gear) => of_gear(title, gear),
            None => title.to_owned(),
        },
        drawing,
        sets: (0..layout.sets.len()).map(set).collect(),
        elements: elements.collect(),
        roles: gear.map(|gear| roles(layout, gear)),
    }
}

/// A title that says first what differs, because the end is cut where room is short.
fn of_gear(title: &str, gear: &GearState) -> String {
    format!("Gear {}, i = {}: {title}", gear.name, short(ratio(gear)))
}

/// The power of a gear on the stick drawing; `None` where a torque is not determined.
fn power_stick<'a>(stick: Stick<'a>, layout: &Layout, gear: &GearState) -> Option<PowerStick<'a>> {
    let flow = power_flow(layout, &gear.motion, gear.torques.as_ref()?);
    let floats = |powers: &[Option<Fraction>]| -> Option<Vec<f64>> {
        powers.iter().map(|power| Some(to_f64(power.as_ref()?))).collect()
    };
    let members = flow.members.iter().map(|powers| floats(powers)).collect::<Option<Vec<_>>>()?;
    let ends = layout.elements.iter().map(|element| {
        let (first, second) = element.grip.ends();
        (first.0, second.map(|second| second.0))
    });
    let title = format!("Power in {}", stick.title.replacen('G', "g", 1));
    let rolls = (0..layout.sets.len()).any(|set| {
        let [sun, ring, carrier] = layout.seats(set).map(|seat| gear.motion.speed_at(seat));
        sun != carrier || ring != carrier
    });
    Some(PowerStick {
        rolls,
        stick: Stick { title, roles: None, ..stick },
        members,
        elements: floats(&flow.elements)?,
        ends: ends.collect(),
    })
}

fn short(value: f64) -> String {
    format!("{value:.3}").replace('-', "−")
}

/// What every shaft does in a live gear: driving with the input, driven with the output,
/// held by an element, linking where it hands torque on, idle where it carries none.
pub(super) fn roles(layout: &Layout, gear: &GearState) -> Vec<Role> {
    let ties = Ties::new(layout, &gear.motion);
    let joined = |shaft: usize, other: usize| ties.path(shaft + 1, other).is_some();
    let loaded = |shaft: usize| {
        let Some(torques) = &gear.torques else { return true };
        let members = layout.shafts[shaft].members.iter();
        let mut torques = members.map(|m| &torques.members[m.set][m.role as usize]);
        torques.any(|torque| torque.as_ref().is_none_or(|torque| !torque.is_zero()))
    };
    let role = |shaft: usize| match shaft {
        _ if joined(shaft, INPUT.0 + 1) => Role::Driving,
        _ if joined(shaft, OUTPUT.0 + 1) => Role::Driven,
        _ if joined(shaft, 0) => Role::Held,
        _ if loaded(shaft) => Role::Linking,
        _ => Role::Idle,
    };
    (0..layout.shafts.len()).map(role).collect()
}
