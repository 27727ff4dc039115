//! Parts as files: DXF, SVG, STL and 3MF read back by plain readers of our own.
//! `tests/readers/check_parts.py` reads them with other people's.

use coaxle::parts::{
    Making, Part, PartKind, Parts, Purpose, Shape, Solid, dxf, stl, svg, three_mf,
};
use coaxle::teeth::{Finish, PlacedSet, ToothLimits};
use coaxle::train::GearSet;
use flate2::read::DeflateDecoder;
use std::io::Read;

fn made(helix_degrees: Option<f64>) -> Parts {
    let finish = Finish { chord: 0.01, ..Finish::default() };
    let set = GearSet { planets: Some(4), ..GearSet::single(24, 72) };
    let placed = PlacedSet::new(&set, &ToothLimits::default(), &finish).unwrap();
    let making = Making { helix_degrees, ..Making::suggested(&placed, 1.25) };
    Parts::new(&placed, &making).unwrap()
}

fn solids(made: &Parts) -> Vec<Solid> {
    made.parts.iter().flat_map(|part| part.solids().unwrap()).collect()
}

/// Codes and values of a DXF file.
fn groups(text: &str) -> Vec<(u16, &str)> {
    let lines: Vec<&str> = text.lines().collect();
    assert!(lines.len().is_multiple_of(2));
    lines.chunks(2).map(|pair| (pair[0].trim().parse().unwrap(), pair[1])).collect()
}

/// The points of every closed polyline on a layer.
fn polylines(groups: &[(u16, &str)], layer: &str) -> Vec<Vec<[f64; 2]>> {
    let (mut lines, mut kind, mut here): (Vec<Vec<[f64; 2]>>, _, _) = (Vec::new(), "", "");
    for (code, value) in groups {
        match code {
            0 => kind = value,
            8 => here = value,
            66 if here == layer => lines.push(Vec::new()),
            70 if kind == "POLYLINE" => assert_eq!(*value, "1", "closed"),
            10 if kind == "VERTEX" && here == layer => {
                lines.last_mut().unwrap().push([value.parse().unwrap(), 0.0]);
            }
            20 if kind == "VERTEX" && here == layer => {
                lines.last_mut().unwrap().last_mut().unwrap()[1] = value.parse().unwrap();
            }
            _ => {}
        }
    }
    lines
}

fn points(shape: &Shape) -> Option<&Vec<[f64; 2]>> {
    match shape {
        Shape::Polygon(points) => Some(points),
        Shape::Circle { .. } => None,
    }
}

fn polygons(part: &Part, cut: impl Fn(Option<Purpose>) -> bool) -> Vec<&Vec<[f64; 2]>> {
    let holes = part.holes.iter().map(|hole| (Some(hole.purpose), &hole.shape));
    let shapes = [(None, &part.boundary)].into_iter().chain(holes);
    let wanted = shapes.filter(|(purpose, _)| cut(*purpose));
    wanted.filter_map(|(_, shape)| points(shape)).collect()
}

#[test]
fn drawings_hold_every_line() {
    for part in &made(None).parts {
        let text = dxf(part);
        assert_eq!(text, dxf(part));
        assert!(text.is_ascii() && !text.contains("-0.000000"));
        let groups = groups(&text);
        assert!(groups.contains(&(1, "AC1009")) && groups.last() == Some(&(0, "EOF")));
        let outline = |purpose| matches!(purpose, None | Some(Purpose::Teeth));
        for (layer, wanted) in [
            ("OUTLINE", polygons(part, outline)),
            ("HOLES", polygons(part, |purpose| !outline(purpose))),
        ] {
            let found = polylines(&groups, layer);
            assert_eq!(found.len(), wanted.len(), "{}", part.name());
            for (found, wanted) in found.iter().zip(wanted) {
                assert_eq!(found.len(), wanted.len());
                let off = found
                    .iter()
                    .zip(wanted)
                    .map(|(a, b)| (a[0] - b[0]).abs().max((a[1] - b[1]).abs()));
                assert!(off.fold(0.0, f64::max) < 6e-7);
            }
        }
        let count = |kind: &str| groups.iter().filter(|group| **group == (0, kind)).count();
        let round = |shape: &Shape| matches!(shape, Shape::Circle { .. });
        let circles = part.holes.iter().filter(|hole| round(&hole.shape)).count()
            + usize::from(round(&part.boundary))
            + usize::from(part.teeth.is_some());
        assert_eq!(count("CIRCLE"), circles);
        assert_eq!(count("LINE"), part.marks.len() + 2);
        assert_eq!((count("TEXT"), count("POLYLINE")), (1, count("SEQEND")));
    }
}

/// Millimetres of paper are units of the view box, and cut lines are those of the part.
#[test]
fn pictures_are_to_scale() {
    for part in &made(None).parts {
        let text = svg(part);
        let tree = roxmltree::Document::parse(&text).unwrap();
        let root = tree.root_element();
        let size: f64 =
            root.attribute("width").unwrap().strip_suffix("mm").unwrap().parse().unwrap();
        assert_eq!(root.attribute("height"), root.attribute("width"));
        let view = root.attribute("viewBox").unwrap().split(' ').map(|part| part.parse().unwrap());
        let view: Vec<f64> = view.collect();
        assert_eq!(view, [-size / 2.0, -size / 2.0, size, size]);
        assert!(part.boundary.reach() < size / 2.0);
        let group = |id: &str| tree.descendants().find(|node| node.attribute("id") == Some(id));
        let shapes = group("cut").unwrap().children().filter(|node| node.is_element());
        assert_eq!(shapes.count(), 1 + part.holes.len());
        let marks = group("engrave").unwrap().children().filter(|node| node.is_element());
        assert_eq!(marks.count(), part.marks.len());
        if let Shape::Polygon(points) = &part.boundary {
            let path = group("cut").unwrap().first_element_child().unwrap().attribute("d").unwrap();
            let numbers = path.trim_matches(['M', 'Z']).split(['L', ' ']);
            let numbers: Vec<f64> = numbers.map(|number| number.parse().unwrap()).collect();
            assert_eq!(numbers.len(), 2 * points.len());
            for (pair, point) in numbers.chunks(2).zip(points) {
                assert!((pair[0] - point[0]).abs() < 6e-7 && (pair[1] + point[1]).abs() < 6e-7);
            }
        }
    }
}

#[test]
fn stl_files_hold_the_same_surface() {
    for solid in solids(&made(Some(20.0))) {
        let bytes = stl(&solid);
        assert_eq!(bytes.len(), 84 + 50 * solid.triangles.len());
        assert!(!bytes.starts_with(b"solid"));
        let count = u32::from_le_bytes(bytes[80..84].try_into().unwrap());
        assert_eq!(count as usize, solid.triangles.len());
        for (record, triangle) in bytes[84..].chunks(50).zip(&solid.triangles) {
            let number = |index: usize| {
                f64::from(f32::from_le_bytes(record[4 * index..4 * index + 4].try_into().unwrap()))
            };
            let length = (0..3).map(|axis| number(axis).powi(2)).sum::<f64>();
            assert!((length - 1.0).abs() < 1e-5);
            for (corner, &point) in triangle.iter().enumerate() {
                for axis in 0..3 {
                    let wanted = solid.points[point as usize][axis];
                    assert!((number(3 + 3 * corner + axis) - wanted).abs() < 1e-5);
                }
            }
            assert_eq!(record[48..], [0, 0]);
        }
    }
}

/// The files of a ZIP archive, by the headers before each of them.
fn unzipped(bytes: &[u8]) -> Vec<(String, String)> {
    let number = |at: usize, size: usize| {
        bytes[at..at + size].iter().rev().fold(0, |sum, &byte| sum << 8 | usize::from(byte))
    };
    let (mut at, mut files) = (0, Vec::new());
    while bytes[at..].starts_with(b"PK\x03\x04") {
        let (packed, plain) = (number(at + 18, 4), number(at + 22, 4));
        let start = at + 30 + number(at + 26, 2) + number(at + 28, 2);
        let name = String::from_utf8(bytes[at + 30..start].to_vec()).unwrap();
        let mut text = String::new();
        DeflateDecoder::new(&bytes[start..start + packed]).read_to_string(&mut text).unwrap();
        assert_eq!(
            (text.len(), crc32fast::hash(text.as_bytes()) as usize),
            (plain, number(at + 14, 4))
        );
        files.push((name, text));
        at = start + packed;
    }
    // The directory at the end points to the same files.
    let end = bytes.len() - 22;
    assert!(bytes[end..].starts_with(b"PK\x05\x06"));
    assert_eq!((number(end + 10, 2), number(end + 16, 4)), (files.len(), at));
    assert!(bytes[at..].starts_with(b"PK\x01\x02"));
    files
}

#[test]
fn three_mf_files_hold_the_same_solids() {
    let all = solids(&made(Some(20.0)));
    let bytes = three_mf(&all);
    assert_eq!(bytes, three_mf(&all));
    let files = unzipped(&bytes);
    let names: Vec<&str> = files.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"]);
    files.iter().for_each(|(_, text)| assert!(roxmltree::Document::parse(text).is_ok()));
    let model = roxmltree::Document::parse(&files[2].1).unwrap();
    assert_eq!(model.root_element().attribute("unit"), Some("millimeter"));
    let named = |tag: &'static str| {
        model.descendants().filter(move |node| {
            node.has_tag_name(("http://schemas.microsoft.com/3dmanufacturing/core/2015/02", tag))
        })
    };
    assert_eq!(named("object").count(), all.len());
    for (object, solid) in named("object").zip(&all) {
        assert_eq!(object.attribute("name"), Some(solid.name.as_str()));
        let numbers = |tag: &str, keys: [&str; 3]| -> Vec<[f64; 3]> {
            let nodes = object.descendants().filter(|node| node.tag_name().name() == tag);
            nodes
                .map(|node| keys.map(|key| node.attribute(key).unwrap().parse().unwrap()))
                .collect()
        };
        let points = numbers("vertex", ["x", "y", "z"]);
        let triangles = numbers("triangle", ["v1", "v2", "v3"]);
        let triangles =
            triangles.iter().map(|corners| corners.map(|corner| corner as u32)).collect();
        let read = Solid { points, triangles, ..solid.clone() };
        assert_eq!(read.triangles, solid.triangles);
        let volume = read.check().unwrap();
        assert!((volume / solid.volume() - 1.0).abs() < 1e-6);
    }
    // Sun, four planets, two halves of the ring, two plates, none in another's place.
    let shift = |item: roxmltree::Node| -> f64 {
        item.attribute("transform").unwrap().split(' ').nth(9).unwrap().parse().unwrap()
    };
    let shifts: Vec<f64> = named("item").map(shift).collect();
    assert_eq!(shifts.len(), 9);
    assert!(shifts.windows(2).all(|pair| pair[1] > pair[0] + 20.0));
}

#[test]
fn captions_tell_the_teeth() {
    let made = made(None);
    let told = |kind| made.find(kind).unwrap().caption();
    assert_eq!(told(PartKind::Sun), "sun x1 t=12.5 mm z=24 m=1.25 x=0 da=32.5 df=26.875");
    assert!(told(PartKind::Planet).starts_with("planet x4 t=12.5 mm z=24 m=1.25 x=0 da="));
    assert_eq!(told(PartKind::CarrierBack), "carrier-back x1 t=3.1 mm");
}
