//! Drawings for the workshop: the same as the golden ones, to the scale that they tell, no
//! text over another, for parts of any size.
//!
//! After a wanted change: `COAXLE_BLESS=1 cargo test --release --test draw sheets::`, then look
//! at tests/golden before committing it.

mod made;

use crate::sight::{assert_readable, check_svg};
use coaxle::GearSet;
use coaxle::draw::{
    Assembly, CircleKind, FrontView, HalfSection, Picture, Section, SectionPlate, Sheet, SheetBand,
    SheetCircle, SheetMark, TitleBlock,
};
use coaxle::teeth::WheelKind;
use made::{Made, assembly, plate_sheet, ring_sheet, section, wheel_sheet};

fn usual(module: f64) -> Made {
    made::made(GearSet { planets: Some(3), ..GearSet::single(30, 66) }, module)
}

#[test]
fn parts_are_drawn_as_before() {
    let made = usual(1.5);
    check_svg("sheet-planet.svg", &wheel_sheet(&made, WheelKind::Planet, 8.0, 12.0).draw());
    check_svg("sheet-ring.svg", &ring_sheet(&made, 118.0, 15.0).draw());
    check_svg("sheet-plate.svg", &plate_sheet(36.0, 3, 92.0, 5.0).draw());
}

#[test]
fn steps_of_assembly_are_drawn_as_before() {
    let pictures = assembly(&usual(1.5)).pictures();
    assert_eq!(pictures.len(), 6);
    check_svg("assembly-3.svg", &pictures[2]);
    check_svg("assembly-5.svg", &pictures[4]);
    pictures.iter().for_each(assert_readable);
}

#[test]
fn sections_are_drawn_as_before() {
    check_svg("section-1.svg", &section(1, 1.0, None).draw());
    check_svg("section-3.svg", &section(3, 1.25, Some(90.0)).draw());
}

/// Points of all closed lines of a picture in pixels, in the order of drawing.
fn lines_of(picture: &Picture) -> Vec<Vec<[f64; 2]>> {
    let svg = picture.svg();
    let tree = roxmltree::Document::parse(&svg).unwrap();
    let points = |text: &str| -> Vec<[f64; 2]> {
        let pairs = text.split_whitespace().filter_map(|pair| pair.split_once(','));
        pairs.map(|(x, y)| [x, y].map(|n| n.parse::<f64>().unwrap() / 4.0)).collect()
    };
    let read = |node: roxmltree::Node| match node.tag_name().name() {
        "polygon" => vec![points(node.attribute("points").unwrap())],
        "path" => {
            let data = node.attribute("d").unwrap();
            data.split('Z').filter(|r| !r.is_empty()).map(|r| points(&r.replace('M', ""))).collect()
        }
        _ => Vec::new(),
    };
    tree.descendants().flat_map(read).collect()
}

/// Width and height of a closed line.
fn extent(points: &[[f64; 2]]) -> [f64; 2] {
    [0, 1].map(|axis| {
        let all = points.iter().map(|point| point[axis]);
        let (low, high) = all.fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(x), b.max(x)));
        high - low
    })
}

fn has(picture: &Picture, [width, height]: [f64; 2]) -> bool {
    let near = |[w, h]: [f64; 2]| (w - width).abs() < 0.02 && (h - height).abs() < 0.02;
    lines_of(picture).iter().any(|line| near(extent(line)))
}

/// A file of A4 size, on which a part has its size times the scale that is told.
#[test]
fn sheets_are_to_the_scale_that_they_tell() {
    for (module, told) in [(0.3, "10:1"), (0.5, "10:1"), (1.5, "2:1"), (3.0, "1:1"), (9.0, "1:2")] {
        let made = usual(module);
        let sheet = wheel_sheet(&made, WheelKind::Planet, 5.0 * module, 8.0 * module);
        assert_eq!(sheet.scale(), told, "module {module}");
        let (over, under) = told.split_once(':').unwrap();
        let scale = over.parse::<f64>().unwrap() / under.parse::<f64>().unwrap();
        let picture = sheet.draw();
        let svg = picture.svg();
        assert!(svg.contains("width=\"297mm\" height=\"210mm\"") && svg.contains(told));
        // 1188 pixels are 297 mm. The planet's tips stand at both ends of a diameter.
        let tip = made.wheels[1].tip_diameter * scale * 4.0;
        let outline = extent(&sheet.front.outlines[0]).map(|length| length * scale * 4.0);
        assert!((outline[0] - tip).abs() < 0.5, "{outline:?} {tip}");
        assert!(has(&picture, outline));
        // The teeth in the section: as wide as the wheel, as high as they are.
        let height = (tip - made.wheels[1].root_diameter * scale * 4.0) / 2.0;
        assert!(has(&picture, [8.0 * module * scale * 4.0, height]));
        assert!(svg.contains(&format!("span over {} teeth", made.wheels[1].span.unwrap().teeth)));
    }
}

#[test]
fn sheets_of_any_size_stay_readable() {
    for (sun, ring, planets) in [(18, 54, 3), (18, 66, 4), (30, 66, 3), (48, 84, 4), (24, 96, 3)] {
        for module in [0.3, 1.0, 2.5, 12.0] {
            let set = GearSet { planets: Some(planets), ..GearSet::single(sun, ring) };
            let made = made::made(set, module);
            let outside = (f64::from(ring) + 14.0) * module;
            for sheet in [
                wheel_sheet(&made, WheelKind::Sun, 4.0 * module, 9.0 * module),
                wheel_sheet(&made, WheelKind::Planet, 4.0 * module, 40.0 * module),
                ring_sheet(&made, outside, 3.0 * module),
                plate_sheet(made.set.sun_centre * module, planets, outside * 0.8, 2.0 * module),
            ] {
                assert_readable(&sheet.draw());
            }
            assembly(&made).pictures().iter().for_each(assert_readable);
        }
    }
}

/// Words far too long, many circles, many rows: cut short or set apart, never over another.
#[test]
fn crowded_sheets_stay_readable() {
    let long = "a word that goes on and on until nobody reads it any more, ".repeat(9);
    let circle = |n: u32| SheetCircle {
        centre: if n.is_multiple_of(3) { [0.0, 0.0] } else { [f64::from(n), 0.0] },
        diameter: 3.0 + f64::from(n % 3),
        kind: CircleKind::Edge,
        words: Some(long.clone()),
        count: n,
    };
    let mark = SheetMark { at: [0.0, 0.0], words: long.clone() };
    let bands = vec![SheetBand { radii: [0.0, 2.0], along: [0.0, 900.0], cut: true }];
    let lengths = (1..6).map(|n| [0.0, 180.0 * f64::from(n)]).collect();
    let row = [long.clone(), long.clone()];
    let sheet = Sheet {
        front: FrontView {
            outlines: Vec::new(),
            circles: (1..22).map(circle).collect(),
            marks: vec![mark.clone(), mark],
        },
        section: Some(HalfSection { bands, lengths }),
        table: vec![row; 20],
        notes: vec![long.clone(), long.clone()],
        block: TitleBlock {
            title: long.clone(),
            part: long.clone(),
            material: long.clone(),
            quantity: u32::MAX,
            sheet: (u32::MAX, u32::MAX),
            tolerances: long.clone(),
            caution: long.clone(),
        },
    };
    assert_readable(&sheet.draw());
    assert_eq!(sheet.scale(), "1:20");
    let bare = Sheet { front: FrontView::default(), section: None, ..sheet };
    assert_readable(&bare.draw());
}

/// Only what is mounted is there, and only what is added is hatched.
#[test]
fn steps_show_what_is_mounted_so_far() {
    let assembly = assembly(&usual(2.0));
    for step in 1..=assembly.steps() {
        let svg = assembly.draw(step).svg();
        let there = assembly.parts.iter().filter(|part| part.step <= step).count();
        assert_eq!(svg.matches("<path").count(), there);
        assert!(svg.contains(&format!("Step {step} of 6")));
        assert!(svg.contains("added in this step"));
        assert_eq!(svg.contains("still to come"), step < 6);
        assert_eq!(svg.contains("timing marks face"), step > 2);
        assert_eq!([">1<", ">2<", ">3<"].map(|label| svg.contains(label)), [step > 2; 3]);
        assert!(svg.contains("3 × planet"));
        assert!(svg.matches("<polyline").count() > 15, "hatched");
    }
    let none = Assembly { parts: Vec::new(), captions: Vec::new(), ..assembly };
    assert!(none.pictures().is_empty() && none.draw(1).svg().contains("Step 1 of 0"));
}

#[test]
fn sections_are_to_one_scale_and_readable() {
    for count in 1..=4 {
        for (module, bore) in [(0.4, None), (1.25, Some(90.0)), (8.0, Some(300.0))] {
            let section = section(count, module, bore);
            let picture = section.draw();
            assert_readable(&picture);
            // Every ring from outside: its teeth's width by its radius, all to one scale.
            let size = |n: usize| {
                let set = &section.sets[n];
                [set.teeth[1] - set.teeth[0], set.ring[1] / 2.0]
            };
            let [width, height] = size(0);
            let near = |[w, h]: [f64; 2]| (w / h - width / height).abs() < 2e-3;
            let drawn: Vec<_> = lines_of(&picture).iter().map(|line| extent(line)).collect();
            let scales = drawn.iter().filter(|&&size| near(size)).map(|size| size[1] / height);
            let scale = scales.fold(0.0, f64::max);
            assert!(scale > 0.0, "{count} sets of module {module}");
            for n in 0..count {
                assert!(has(&picture, size(n).map(|length| length * scale)), "set {n}");
            }
            let svg = picture.svg();
            for name in section.sets.iter().flat_map(|set| &set.names) {
                assert!(svg.contains(&format!(">{name}<")), "{name}");
            }
            assert_eq!(svg.contains("bore ⌀"), bore.is_some());
            assert!(svg.contains(" overall<"));
        }
    }
    // A pair of planets, and a flange on the ring.
    let mut paired = section(2, 1.0, Some(70.0));
    let set = &mut paired.sets[0];
    set.outer_planet = Some((24.0, [3.0, 9.0]));
    let along = [set.teeth[1], set.teeth[1] + 1.0];
    set.plates.push(SectionPlate { along, diameters: [58.0, 76.0], carrier: false });
    let picture = paired.draw();
    assert_readable(&picture);
    // The flange is the largest, and larger than the bore.
    assert!(picture.svg().contains("⌀ 76<") && picture.svg().contains("bore ⌀ 70<"));
    let title = "Nothing".to_owned();
    let none = Section { title, sets: vec![], shafts: vec![], bore: None, joints: vec![] };
    assert!(none.draw().svg().contains("Nothing"));
}
