//! Drawings of made gearboxes of the Hollowfell Tramway, from true teeth.

use coaxle::GearSet;
use coaxle::draw::{
    Assembly, AssemblyPart, CircleKind, FrontView, HalfSection, PartRole, Section, SectionPlate,
    SectionSet, SectionShaft, Sheet, SheetBand, SheetCircle, SheetMark, TitleBlock,
};
use coaxle::teeth::{
    Finish, Outline, PlacedSet, Pose, Side, ToothLimits, WheelData, WheelKind, tooth_data,
};

pub const CAUTION: &str = "Figures are first estimates, not a rating: a rating follows ISO 6336 \
    or the applicable national standard and is signed by a qualified engineer. Rotating gears \
    are guarded. Printed parts are tested before they carry anything.";

/// A set with its tables.
pub struct Made {
    pub set: PlacedSet,
    pub wheels: Vec<WheelData>,
    pub module: f64,
}

pub fn made(set: GearSet, module: f64) -> Made {
    let limits = ToothLimits { odd_planet: true, unequal_spacing: true, ..ToothLimits::default() };
    let finish = Finish { backlash: 0.05, chord: 0.02, ..Finish::default() };
    let set = PlacedSet::new(&set, &limits, &finish).expect("a set that can be placed");
    let wheels = tooth_data(&set, &limits, &finish, module);
    Made { set, wheels, module }
}

pub fn block(part: &str, quantity: u32, sheet: u32) -> TitleBlock {
    TitleBlock {
        title: "Hollowfell Tramway, hand crank of the turntable, 57.6:1".to_owned(),
        part: part.to_owned(),
        material: "PETG, printed".to_owned(),
        quantity,
        sheet: (sheet, 9),
        tolerances: "ISO 2768-m".to_owned(),
        caution: CAUTION.to_owned(),
    }
}

fn circle(diameter: f64, kind: CircleKind, words: &str) -> SheetCircle {
    let words = Some(words.to_owned());
    SheetCircle { centre: [0.0, 0.0], diameter, kind, words, count: 1 }
}

fn table(wheel: &WheelData) -> Vec<[String; 2]> {
    let mut rows = vec![
        ["module m".to_owned(), format!("{} mm", wheel.module)],
        ["number of teeth z".to_owned(), wheel.teeth.to_string()],
        ["pressure angle α".to_owned(), format!("{}°", wheel.pressure_angle)],
        ["profile shift x".to_owned(), format!("{:+.3}", wheel.shift)],
        ["reference diameter d".to_owned(), format!("{:.3} mm", wheel.reference_diameter)],
        ["base diameter d_b".to_owned(), format!("{:.3} mm", wheel.base_diameter)],
        ["form diameter d_Ff".to_owned(), format!("{:.3} mm", wheel.form_diameter)],
        ["tooth thickness s".to_owned(), format!("{:.3} mm", wheel.thickness)],
        ["thickness at the tip s_a".to_owned(), format!("{:.3} mm", wheel.tip_thickness)],
    ];
    if let Some(span) = wheel.span {
        let name = format!("span over {} teeth", span.teeth);
        rows.push([name, format!("{:.3} mm", span.length)]);
    }
    if let Some(pins) = wheel.pins {
        let place = if wheel.side == Side::External { "over" } else { "between" };
        let name = format!("{place} pins of {:.2} mm", pins.diameter);
        rows.push([name, format!("{:.3} mm", pins.length)]);
    }
    rows
}

/// The sheet of a sun or a planet with a bore, `width` mm wide.
pub fn wheel_sheet(made: &Made, kind: WheelKind, bore: f64, width: f64) -> Sheet {
    let outline = match kind {
        WheelKind::Sun => &made.set.sun,
        _ => &made.set.planet,
    };
    let wheel = made.wheels.iter().find(|wheel| wheel.wheel == kind).unwrap();
    let (tip, root) = (wheel.tip_diameter, wheel.root_diameter);
    let band = |radii: [f64; 2], cut| SheetBand {
        radii: radii.map(|d| d / 2.0),
        along: [0.0, width],
        cut,
    };
    Sheet {
        front: FrontView {
            outlines: vec![outline.closed(made.module, 0.0)],
            circles: vec![
                circle(tip, CircleKind::Drawn, "tip"),
                circle(root, CircleKind::Drawn, "root"),
                circle(wheel.reference_diameter, CircleKind::Reference, "reference"),
                circle(bore, CircleKind::Edge, "bore H7"),
            ],
            marks: vec![SheetMark { at: [0.46 * root, 0.0], words: "timing mark".to_owned() }],
        },
        section: Some(HalfSection {
            bands: vec![band([bore, root], true), band([root, tip], false)],
            lengths: vec![[0.0, width]],
        }),
        table: table(wheel),
        notes: vec![
            "Deburr all edges 0.2.".to_owned(),
            "Teeth are thinned for the backlash; measure after cooling.".to_owned(),
        ],
        block: block(&format!("{} of set 1", kind.word()), 3, 2),
    }
}

/// The sheet of a ring with a flange and holes in it.
pub fn ring_sheet(made: &Made, outside: f64, width: f64) -> Sheet {
    let wheel = made.wheels.iter().find(|wheel| wheel.wheel == WheelKind::Ring).unwrap();
    let (tip, root) = (wheel.tip_diameter, wheel.root_diameter);
    let holes = (outside + root) / 2.0 + 1.0;
    let mut circles = vec![
        circle(outside, CircleKind::Edge, "h8"),
        circle(holes, CircleKind::Reference, "holes"),
        circle(wheel.reference_diameter, CircleKind::Reference, "reference"),
        circle(tip, CircleKind::Drawn, "tip"),
        circle(root, CircleKind::Drawn, "root"),
    ];
    circles.extend(round_holes(holes / 2.0, (outside - root) / 8.0, 6, "through"));
    let band =
        |radii: [f64; 2], along, cut| SheetBand { radii: radii.map(|d| d / 2.0), along, cut };
    Sheet {
        front: FrontView {
            outlines: vec![made.set.ring.closed(made.module, 0.0)],
            circles,
            marks: vec![SheetMark { at: [0.0, 0.51 * root], words: "timing mark".to_owned() }],
        },
        section: Some(HalfSection {
            bands: vec![
                band([root, outside], [0.0, width], true),
                band([tip, root], [0.0, width * 0.8], false),
            ],
            lengths: vec![[0.0, width * 0.8], [0.0, width]],
        }),
        table: table(wheel),
        notes: Vec::new(),
        block: block("ring 1 with flange", 1, 1),
    }
}

/// `count` holes on a circle of `radius`, dimensioned once.
fn round_holes(radius: f64, diameter: f64, count: u32, words: &str) -> Vec<SheetCircle> {
    let hole = |n: u32| {
        let angle = (f64::from(n) + 0.25) * std::f64::consts::TAU / f64::from(count);
        let centre = [radius * angle.cos(), radius * angle.sin()];
        let words = (n == 0).then(|| words.to_owned());
        SheetCircle { centre, diameter, kind: CircleKind::Edge, words, count }
    };
    (0..count).map(hole).collect()
}

/// A carrier plate, which has no teeth and so no table.
pub fn plate_sheet(radius: f64, pins: u32, outside: f64, thickness: f64) -> Sheet {
    let bore = outside / 4.0;
    let mut circles = vec![
        circle(outside, CircleKind::Edge, ""),
        circle(bore, CircleKind::Edge, "bore"),
        circle(2.0 * radius, CircleKind::Reference, "pin circle"),
    ];
    circles.extend(round_holes(radius, outside / 10.0, pins, "H7 pins"));
    let along = [0.0, thickness];
    let (radii, hole) = ([bore / 2.0, outside / 2.0], outside / 20.0);
    Sheet {
        front: FrontView { outlines: Vec::new(), circles, marks: Vec::new() },
        section: Some(HalfSection {
            bands: vec![
                SheetBand { radii: [radii[0], radius - hole], along, cut: true },
                SheetBand { radii: [radius - hole, radius + hole], along, cut: false },
                SheetBand { radii: [radius + hole, radii[1]], along, cut: true },
            ],
            lengths: vec![along],
        }),
        table: Vec::new(),
        notes: vec![
            "Holes for pins are drilled together with those of the other plate.".to_owned(),
        ],
        block: block("carrier plate 1, front", 1, 3),
    }
}

fn ring_of(radius: f64, [x, y]: [f64; 2]) -> Vec<[f64; 2]> {
    let angle = |n: u32| f64::from(n) * std::f64::consts::TAU / 90.0;
    (0..90).map(|n| [x + radius * angle(n).cos(), y + radius * angle(n).sin()]).collect()
}

/// The assembly of a set in six steps.
pub fn assembly(made: &Made) -> Assembly {
    let (module, poses) = (made.module, made.set.poses());
    let part = |name: &str, step: usize, role: PartRole, outlines: Vec<Vec<[f64; 2]>>| {
        AssemblyPart { name: name.to_owned(), step, role, outlines, label: None, marks: Vec::new() }
    };
    let wheel = |pose: &Pose, outline: &Outline, bore: f64| {
        let centre = pose.centre.map(|x| x * module);
        vec![pose.polygon(outline, module), ring_of(bore, centre)]
    };
    let pin = made.set.planet.root * module * 0.3;
    let centres = poses.planets.iter().map(|pose| pose.centre.map(|x| x * module));
    let centres: Vec<[f64; 2]> = centres.collect();
    let outside = (made.set.ring.root + 2.5) * module;
    let plate = (made.set.sun_centre * module + 2.0 * pin).min(made.set.ring.tip * module);
    let with_holes = |radius: f64| {
        let mut lines = vec![ring_of(radius, [0.0, 0.0]), ring_of(radius / 4.0, [0.0, 0.0])];
        lines.extend(centres.iter().map(|&centre| ring_of(pin, centre)));
        lines
    };
    let mut parts = vec![
        part(
            "ring R1 in its flange",
            1,
            PartRole::Wheel,
            vec![ring_of(outside, [0.0, 0.0]), poses.ring.polygon(&made.set.ring, module)],
        ),
        part("rear carrier plate", 2, PartRole::Plate, with_holes(plate)),
    ];
    for (number, (pose, &centre)) in poses.planets.iter().zip(&centres).enumerate() {
        parts.push(part("pin", 2, PartRole::Pin, vec![ring_of(pin, centre)]));
        let mut planet = part("planet", 3, PartRole::Wheel, wheel(pose, &made.set.planet, pin));
        let towards = |r: f64| {
            let [x, y] = centre;
            let away = x.hypot(y);
            [x * (1.0 - r / away), y * (1.0 - r / away)]
        };
        planet.marks = vec![towards(0.8 * made.set.planet.root * module)];
        let [x, y] = towards(-0.62 * made.set.planet.root * module);
        planet.label = Some(((number + 1).to_string(), [x, y]));
        parts.push(planet);
    }
    let mut sun = part("sun S1", 4, PartRole::Wheel, wheel(&poses.sun, &made.set.sun, pin));
    let root = 0.88 * made.set.sun.root * module;
    sun.marks =
        centres.iter().map(|[x, y]| [x / x.hypot(*y) * root, y / x.hypot(*y) * root]).collect();
    sun.label = Some(("S1".to_owned(), [0.0, -1.4 * pin]));
    parts.push(sun);
    parts.push(part("front carrier plate", 5, PartRole::Cover, with_holes(plate)));
    parts.push(part(
        "ring R2 of the next set",
        6,
        PartRole::Cover,
        vec![ring_of(outside, [0.0, 0.0]), ring_of(0.9 * outside, [0.0, 0.0])],
    ));
    let captions = [
        "Lay the ring with its flange on the bench, teeth upwards.",
        "Put the rear carrier plate with its pins into the ring.",
        "Put the planets on their pins, one by one, each with its mark towards the axis.",
        "Turn the sun until its marks face those of the planets, then push it in. It goes in \
         without force; where it does not, a planet is a tooth off.",
        "Put the front plate on the pins and screw it down.",
        "Go on with the ring of the next set.",
    ];
    let captions = captions.map(str::to_owned).to_vec();
    Assembly { title: "set 1 of the hand crank".to_owned(), parts, captions }
}

/// A reduction of `count` sets in a row, smaller ones to the right.
pub fn section(count: usize, module: f64, bore: Option<f64>) -> Section {
    let mut at = 12.0 * module;
    let shaft = |along: [f64; 2], diameter: f64, name: Option<&str>| SectionShaft {
        along,
        diameters: [0.0, diameter],
        name: name.map(str::to_owned),
    };
    let (mut sets, mut shafts, mut begun, mut name) = (Vec::new(), Vec::new(), 0.0, Some("input"));
    for number in 1..=count {
        let grown = 1.0 - 0.1 * (number - 1) as f64;
        let of = |modules: f64| modules * module * grown;
        let (width, plate) = (of(10.0), of(3.0));
        let teeth = [at + plate, at + plate + width];
        let side = |along: [f64; 2], bore: f64| SectionPlate {
            along,
            diameters: [bore, of(54.0)],
            carrier: true,
        };
        let end = teeth[1] + plate;
        sets.push(SectionSet {
            teeth,
            sun: [of(8.0), of(24.0)],
            planet: [of(6.0), of(19.0)],
            outer_planet: None,
            centre: of(20.0),
            pin: [at, end],
            ring: [of(57.0), of(70.0)],
            plates: vec![side([at, teeth[0]], of(10.0)), side([teeth[1], end], 0.0)],
            names: ["S", "P", "R", "C"].map(|letter| format!("{letter}{number}")),
        });
        shafts.push(shaft([begun, teeth[1]], of(8.0), name.take()));
        begun = end;
        at = end + plate;
    }
    shafts.push(shaft([begun, at + 12.0 * module], 8.0 * module, Some("output")));
    let joint = |n: usize| match n == count {
        false => format!("R{n} is held in the housing; C{n} drives S{}.", n + 1),
        true => format!("R{n} is held in the housing; C{n} is the output."),
    };
    Section {
        title: format!("Hand crank of the turntable, sets in a row: {count}"),
        sets,
        shafts,
        bore,
        joints: (1..=count).map(joint).collect(),
    }
}
