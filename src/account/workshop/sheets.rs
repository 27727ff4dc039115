//! Workshop drawings: a sheet for each part of a reduction.

use super::{Bench, SetWork, Workshop};
use crate::draw::{
    CircleKind, FrontView, HalfSection, Picture, Sheet, SheetBand, SheetCircle, SheetMark,
    TitleBlock,
};
use crate::parts::{Hole, Mark, Marked, Part, PartKind, Purpose, Shape};
use crate::teeth::{Side, WheelData, WheelKind};

/// A sheet for each part of every set that has parts, with its name such as `set-1-sun`;
/// `title` and `caution` go into the title blocks.
pub fn sheets(shop: &Workshop, title: &str, caution: &str) -> Vec<(String, Picture)> {
    let all: Vec<(usize, &SetWork, &Bench, &Part)> = shop
        .sets
        .iter()
        .enumerate()
        .filter_map(|(index, set)| Some((index, set, set.bench.as_ref()?)))
        .flat_map(|(index, set, bench)| {
            let parts = bench.parts.as_ref().ok().into_iter().flat_map(|made| &made.parts);
            parts.map(move |part| (index, set, bench, part))
        })
        .collect();
    let count = all.len() as u32;
    let numbered = (1..).zip(all);
    let drawn = numbered.map(|(sheet, (index, _, bench, part))| {
        let name = format!("set-{}-{}", index + 1, part.name());
        let block = TitleBlock {
            title: title.to_owned(),
            part: format!("{} of set {}", part.kind.word().replace('-', " "), index + 1),
            material: material(shop, part.kind),
            quantity: part.count,
            sheet: (sheet, count),
            tolerances: "ISO 2768-m".to_owned(),
            caution: caution.to_owned(),
        };
        (name, sheet_of(bench, part, block).draw())
    });
    drawn.collect()
}

/// What a part is made of, in words.
pub(super) fn material(shop: &Workshop, kind: PartKind) -> String {
    let (Some([sun, planet, ring]), Some([plate, _])) = (shop.materials, shop.further) else {
        return "as you choose".to_owned();
    };
    match kind {
        PartKind::Sun => sun.words().to_owned(),
        PartKind::Planet | PartKind::OuterPlanet => planet.words().to_owned(),
        PartKind::Ring => ring.words().to_owned(),
        PartKind::CarrierFront | PartKind::CarrierBack => plate.words().to_owned(),
    }
}

fn sheet_of(bench: &Bench, part: &Part, block: TitleBlock) -> Sheet {
    let wheel = wheel_of(bench, part.kind);
    let mut notes = vec!["Deburr all edges 0.2.".to_owned()];
    if wheel.is_some() {
        notes.push(format!("Teeth are thinned for {:.2} mm of backlash a mesh.", bench.backlash));
    }
    if let Some(helix) = bench.making.helix_degrees.filter(|_| part.twist.is_some()) {
        notes.push(format!(
            "Herringbone, {helix}° at the reference circle; the section is shown. Span and \
             pins are left out: they would be those of straight teeth."
        ));
    }
    if bench.making.hole_allowance_mm > 0.0 {
        let allowance = bench.making.hole_allowance_mm;
        notes.push(format!("Holes are {allowance:.2} mm larger than what goes through them."));
    }
    Sheet {
        front: front_view(part, wheel),
        section: Some(section(part)),
        table: wheel.map_or(Vec::new(), |wheel| table(wheel, part.twist.is_some())),
        notes,
        block,
    }
}

fn wheel_of(bench: &Bench, kind: PartKind) -> Option<&WheelData> {
    let wanted = match kind {
        PartKind::Sun => WheelKind::Sun,
        PartKind::Planet => WheelKind::Planet,
        PartKind::OuterPlanet => WheelKind::OuterPlanet,
        PartKind::Ring => WheelKind::Ring,
        PartKind::CarrierFront | PartKind::CarrierBack => return None,
    };
    bench.wheels.iter().find(|wheel| wheel.wheel == wanted)
}

fn front_view(part: &Part, wheel: Option<&WheelData>) -> FrontView {
    let (mut outlines, mut circles) = (Vec::new(), Vec::new());
    match &part.boundary {
        Shape::Polygon(points) => outlines.push(points.clone()),
        Shape::Circle { centre, diameter_mm } => {
            circles.push(drawn(*centre, *diameter_mm, CircleKind::Edge, "outside"));
        }
    }
    for (index, hole) in part.holes.iter().enumerate() {
        let same = |other: &&Hole| other.purpose == hole.purpose;
        let count = part.holes.iter().filter(same).count() as u32;
        let first = part.holes[..index].iter().all(|other| other.purpose != hole.purpose);
        match &hole.shape {
            Shape::Polygon(points) => {
                outlines.push(points.clone());
                if hole.purpose != Purpose::Teeth {
                    let words = format!("{}, across flats", hole_words(hole.purpose));
                    circles.push(about(2.0 * flats(points), CircleKind::Drawn, &words));
                }
            }
            Shape::Circle { centre, diameter_mm } => {
                let words = hole_words(hole.purpose);
                let circle = drawn(*centre, *diameter_mm, CircleKind::Edge, words);
                // Of equal holes one is dimensioned.
                circles.push(SheetCircle {
                    words: circle.words.filter(|_| first),
                    count,
                    ..circle
                });
            }
        }
    }
    if let Some(wheel) = wheel {
        circles.push(about(wheel.tip_diameter, CircleKind::Drawn, "tip"));
        circles.push(about(wheel.root_diameter, CircleKind::Drawn, "root"));
        circles.push(about(wheel.reference_diameter, CircleKind::Reference, "reference"));
    } else if let Some((radius, _)) = pin(part) {
        circles.push(about(2.0 * radius, CircleKind::Reference, "pin circle"));
    }
    FrontView { outlines, circles, marks: part.marks.iter().map(mark).collect() }
}

/// A circle about the axis of the part.
fn about(diameter: f64, kind: CircleKind, words: &str) -> SheetCircle {
    drawn([0.0, 0.0], diameter, kind, words)
}

fn drawn(centre: [f64; 2], diameter: f64, kind: CircleKind, words: &str) -> SheetCircle {
    SheetCircle { centre, diameter, kind, words: Some(words.to_owned()), count: 1 }
}

fn mark(mark: &Mark) -> SheetMark {
    SheetMark {
        at: std::array::from_fn(|k| (mark.from[k] + mark.to[k]) / 2.0),
        words: match mark.shows {
            Marked::Tooth => "tooth 0, timing mark".to_owned(),
            Marked::Gap(gap) => format!("gap {gap}, timing mark"),
            Marked::FirstPin => "pin of planet 1".to_owned(),
        },
    }
}

/// The radius at which the first pin stands, and that of its hole.
fn pin(part: &Part) -> Option<(f64, f64)> {
    part.holes.iter().find_map(|hole| match (&hole.shape, hole.purpose) {
        (Shape::Circle { centre: [x, y], diameter_mm }, Purpose::Pin) => {
            Some((x.hypot(*y), diameter_mm / 2.0))
        }
        _ => None,
    })
}

/// Half the width across flats of a polygon about the axis: the least distance of a side.
fn flats(points: &[[f64; 2]]) -> f64 {
    let sides = points.iter().zip(points.iter().cycle().skip(1));
    let distance = |([ax, ay], [bx, by]): (&[f64; 2], &[f64; 2])| {
        (ax * by - ay * bx).abs() / (bx - ax).hypot(by - ay)
    };
    sides.map(distance).fold(f64::MAX, f64::min)
}

fn hole_words(purpose: Purpose) -> &'static str {
    match purpose {
        Purpose::Teeth => "teeth",
        Purpose::Bore => "bore",
        Purpose::Pin => "pins",
        Purpose::Bolt => "bolts",
        Purpose::Drive => "drive",
        Purpose::Shaft => "shaft goes through",
        Purpose::Spacer => "spacers",
    }
}

/// The half section: what is solid from the middle hole outwards, teeth not hatched.
fn section(part: &Part) -> HalfSection {
    let along = [0.0, part.thickness_mm];
    let middle = part.holes.iter().find(|hole| {
        matches!(hole.purpose, Purpose::Bore | Purpose::Drive | Purpose::Shaft)
            || (hole.purpose == Purpose::Pin && part.teeth.is_some())
    });
    let inner = middle.map_or(0.0, |hole| match &hole.shape {
        Shape::Circle { diameter_mm, .. } => diameter_mm / 2.0,
        Shape::Polygon(points) => flats(points),
    });
    let band = |radii: [f64; 2], cut| SheetBand { radii, along, cut };
    let bands = match &part.teeth {
        Some(data) if data.side == Side::External => vec![
            band([inner, data.root_mm / 2.0], true),
            band([data.root_mm / 2.0, data.tip_mm / 2.0], false),
        ],
        Some(data) => vec![
            band([data.tip_mm / 2.0, data.root_mm / 2.0], false),
            band([data.root_mm / 2.0, part.boundary.reach()], true),
        ],
        // A plate is cut through the pin of planet 1.
        None => match pin(part) {
            Some((radius, hole)) => vec![
                band([inner, radius - hole], true),
                band([radius - hole, radius + hole], false),
                band([radius + hole, part.boundary.reach()], true),
            ],
            None => vec![band([inner, part.boundary.reach()], true)],
        },
    };
    HalfSection { bands, lengths: vec![along] }
}

/// The tooth data. Span and pins are those of straight teeth, so herringbone wheels have none:
/// their twisted flanks read otherwise.
fn table(wheel: &WheelData, twisted: bool) -> Vec<[String; 2]> {
    let mm = |value: f64| format!("{value:.3} mm");
    let mut rows = vec![
        ["module m".to_owned(), format!("{} mm", wheel.module)],
        ["number of teeth z".to_owned(), wheel.teeth.to_string()],
        ["pressure angle α".to_owned(), format!("{}°", wheel.pressure_angle)],
        ["profile shift x".to_owned(), format!("{:+.3}", wheel.shift)],
        ["reference diameter d".to_owned(), mm(wheel.reference_diameter)],
        ["base diameter d_b".to_owned(), mm(wheel.base_diameter)],
        ["form diameter d_Ff".to_owned(), mm(wheel.form_diameter)],
        ["tooth thickness s".to_owned(), mm(wheel.thickness)],
        ["thickness at the tip s_a".to_owned(), mm(wheel.tip_thickness)],
    ];
    if let Some(span) = wheel.span.as_ref().filter(|_| !twisted) {
        rows.push([format!("span over {} teeth", span.teeth), mm(span.length)]);
    }
    if let Some(pins) = wheel.pins.as_ref().filter(|_| !twisted) {
        let place = if wheel.side == Side::External { "over" } else { "between" };
        rows.push([format!("{place} pins of {:.3} mm", pins.diameter), mm(pins.length)]);
    }
    rows
}
