//! The files of a reduction's parts: drawings, solids, tables.

use std::path::{Path, PathBuf};

use super::cautions::CAUTIONS;
use super::cells::csv_text;
use super::number::plain;
use super::record::{Candidate, Record};
use crate::account::workshop::{
    AssemblyStep, Bench, SetWork, Workshop, assembly, assembly_text, bill, section, sheets,
};
use crate::error::Error;
use crate::paper::markdown_escaped;
use crate::parts::{Part, dxf, stl, svg, three_mf};
use crate::reduction::Verdict;
use crate::teeth::{Mesh, MeshProof, Side};

/// Where the parts of all reductions stand in a results folder.
pub(super) const PARTS: &str = "parts";
/// The list of a folder's files, by which a later run knows them.
pub(super) const CONTENTS: &str = "contents.csv";

/// One file of the parts: its name in the folder of its reduction, its bytes, and what it is.
struct File {
    name: String,
    bytes: Vec<u8>,
    what: String,
}

/// The files of all reductions whose parts are made, by their names in the results folder.
///
/// # Errors
/// [`Error::Work`] when a solid cannot be closed or a table cannot be made.
pub(super) fn workshop_files(record: &Record) -> Result<Vec<(PathBuf, Vec<u8>)>, Error> {
    let mut all = Vec::new();
    for candidate in record.front() {
        let Some(shop) = candidate.workshop.as_deref().filter(|shop| shop.makes_parts) else {
            continue;
        };
        let folder = Path::new(PARTS).join(&candidate.id);
        let mut files = files_of(record, candidate, shop)?;
        let rows = files.iter().map(|file| vec![file.name.clone(), file.what.clone()]).collect();
        let contents = csv_bytes(&["file", "what it is"], rows)?;
        let what = "this list".to_owned();
        files.push(File { name: CONTENTS.to_owned(), bytes: contents, what });
        all.extend(files.into_iter().map(|file| (folder.join(file.name), file.bytes)));
    }
    Ok(all)
}

fn files_of(record: &Record, candidate: &Candidate, shop: &Workshop) -> Result<Vec<File>, Error> {
    let mut files = drawings(record, candidate, shop)?;
    for (index, set) in shop.sets.iter().enumerate() {
        let Some(parts) = set.bench.as_ref().and_then(|bench| bench.parts.as_ref().ok()) else {
            continue;
        };
        let number = index + 1;
        let mut solids = Vec::new();
        for part in &parts.parts {
            let stem = format!("set-{number}-{}", part.name());
            let told = format!("{} of set {number}", part.caption());
            files.push(file(format!("{stem}.dxf"), dxf(part), format!("outline, {told}")));
            files.push(file(format!("{stem}.svg"), svg(part), format!("to scale, {told}")));
            let made = part.solids().map_err(|flaw| {
                Error::Work(format!("the solid of {stem} could not be closed: {flaw:?}"))
            })?;
            for solid in &made {
                let name = format!("set-{number}-{}.stl", solid.name);
                let what = format!("solid, {told}");
                files.push(File { name, bytes: stl(solid), what });
            }
            solids.extend(made);
        }
        let what = format!("solids of set {number}, each as often as it is needed");
        files.push(File { name: format!("set-{number}.3mf"), bytes: three_mf(&solids), what });
    }
    let told = "tip and root diameters, for whoever checks the files".to_owned();
    files.push(file("tooth-data.json".to_owned(), tooth_json(shop)?, told));
    for (name, what, bytes) in [
        ("tooth-data.csv", "wheels: teeth, diameters, span and pins", wheels(shop)?),
        ("mesh-data.csv", "meshes: geometry, and the proof that they turn", meshes(shop)?),
        ("stages.csv", "torque, speed and power of every member, reactions", stages(shop)?),
        ("strength.csv", "what it bears: every factor; estimates, no rating", strength(shop)?),
    ] {
        files.push(File { name: name.to_owned(), bytes, what: what.to_owned() });
    }
    Ok(files)
}

/// Drawing sheets, the order of assembly with its pictures, the bill of parts.
fn drawings(record: &Record, candidate: &Candidate, shop: &Workshop) -> Result<Vec<File>, Error> {
    let title = format!("{}, {}", record.title, candidate.id);
    let mut files = Vec::new();
    let sheets = sheets(shop, &title, &CAUTIONS[1..].join(" "));
    let (bore, gap) = shop.room;
    if let Some(picture) = section(shop, &candidate.layout, &title, bore, gap) {
        let what = "section through the whole, to scale; other joints in words".to_owned();
        files.push(file("section.svg".to_owned(), picture.svg(), what));
    }
    for (name, picture) in &sheets {
        let what = "drawing sheet, A4 to a standard scale".to_owned();
        files.push(file(format!("sheet-{name}.svg"), picture.svg(), what));
    }
    #[cfg(feature = "papers")]
    if !sheets.is_empty() {
        let pages: Vec<&crate::draw::Picture> = sheets.iter().map(|(_, page)| page).collect();
        let (name, what) = ("sheets.pdf".to_owned(), "all drawing sheets".to_owned());
        files.push(File { name, bytes: crate::draw::pdf(&pages)?, what });
    }
    let steps = assembly(shop, &title);
    let name = |step: &AssemblyStep| format!("assembly-set-{}-step-{}.svg", step.set, step.step);
    let text = assembly_text(shop, &candidate.layout, &markdown_escaped(&title), &steps, &name);
    let what = "order of assembly, with timing and joints".to_owned();
    files.push(file("assembly.md".to_owned(), text, what));
    for step in &steps {
        files.push(file(name(step), step.picture.svg(), step.words.clone()));
    }
    let rows = bill(shop).into_iter().map(|row| {
        let source = if row.bought { "bought" } else { "made" };
        let count = row.count.to_string();
        vec![row.set.to_string(), row.part, count, source.to_owned(), row.material, row.size]
    });
    let head = ["set", "part", "count", "source", "material", "size"];
    let bytes = csv_bytes(&head, rows.collect())?;
    let (name, what) = ("bill-of-parts.csv".to_owned(), "every part, made or bought".to_owned());
    files.push(File { name, bytes, what });
    Ok(files)
}

fn file(name: String, text: String, what: String) -> File {
    File { name, bytes: text.into_bytes(), what }
}

/// Which file shows which teeth, for an independent check: `{file: {teeth, tip_mm, root_mm,
/// side}}`.
fn tooth_json(shop: &Workshop) -> Result<String, Error> {
    let mut all = serde_json::Map::new();
    for (index, part) in parts(shop) {
        let Some(data) = &part.teeth else { continue };
        let side = if data.side == Side::External { "external" } else { "internal" };
        let told = serde_json::json!({
            "teeth": data.teeth, "tip_mm": data.tip_mm, "root_mm": data.root_mm, "side": side,
        });
        let solids = part.solids().unwrap_or_default();
        let names = solids.iter().map(|solid| format!("{}.stl", solid.name));
        for name in names.chain([format!("{}.dxf", part.name())]) {
            all.insert(format!("set-{}-{name}", index + 1), told.clone());
        }
    }
    let text = serde_json::to_string_pretty(&all);
    text.map(|text| text + "\n").map_err(|error| Error::Work(format!("no JSON: {error}")))
}

fn benches(shop: &Workshop) -> impl Iterator<Item = (usize, &SetWork, &Bench)> {
    let numbered = shop.sets.iter().enumerate();
    numbered.filter_map(|(index, set)| Some((index, set, set.bench.as_ref()?)))
}

fn parts(shop: &Workshop) -> impl Iterator<Item = (usize, &Part)> {
    benches(shop).flat_map(|(index, _, bench)| {
        let made = bench.parts.as_ref().ok().into_iter();
        made.flat_map(move |parts| parts.parts.iter().map(move |part| (index, part)))
    })
}

/// Lengths in mm, angles in degrees.
fn wheels(shop: &Workshop) -> Result<Vec<u8>, Error> {
    let head = [
        "set",
        "wheel",
        "module_mm",
        "teeth",
        "shift",
        "pressure_angle_deg",
        "reference_mm",
        "base_mm",
        "tip_mm",
        "root_mm",
        "form_mm",
        "thickness_mm",
        "tip_thickness_mm",
        "span_teeth",
        "span_mm",
        "pins_mm",
        "over_pins_mm",
        "width_mm",
    ];
    let mut rows = Vec::new();
    for (index, set, bench) in benches(shop) {
        for wheel in &bench.wheels {
            let numbers = [
                wheel.shift,
                wheel.pressure_angle,
                wheel.reference_diameter,
                wheel.base_diameter,
                wheel.tip_diameter,
                wheel.root_diameter,
                wheel.form_diameter,
                wheel.thickness,
                wheel.tip_thickness,
            ];
            let mut row = vec![(index + 1).to_string(), wheel.wheel.word().to_owned()];
            row.extend([plain(wheel.module), wheel.teeth.to_string()]);
            row.extend(numbers.map(plain));
            let span = wheel.span.as_ref();
            row.push(span.map_or(String::new(), |span| span.teeth.to_string()));
            row.push(span.map_or(String::new(), |span| plain(span.length)));
            let pins = wheel.pins.as_ref();
            row.push(pins.map_or(String::new(), |pins| plain(pins.diameter)));
            row.push(pins.map_or(String::new(), |pins| plain(pins.length)));
            row.push(plain(set.width));
            rows.push(row);
        }
    }
    csv_bytes(&head, rows)
}

pub(super) fn mesh_word(mesh: Mesh) -> &'static str {
    match mesh {
        Mesh::SunPlanet => "sun and planet",
        Mesh::PlanetPlanet => "planet and planet",
        Mesh::PlanetRing => "planet and ring",
    }
}

/// Geometry and proof of every mesh.
fn meshes(shop: &Workshop) -> Result<Vec<u8>, Error> {
    let head = [
        "set",
        "mesh",
        "centre_distance_mm",
        "operating_angle_deg",
        "contact_ratio",
        "backlash_asked_mm",
        "backlash_measured_mm",
        "least_clearance_mm",
        "largest_overlap_mm",
        "positions",
    ];
    let mut rows = Vec::new();
    for (index, set, bench) in benches(shop) {
        let module = set.choice.module;
        for mesh in &bench.meshes {
            let proof = bench.proof.iter().find(|proof| proof.mesh == mesh.mesh);
            let of = |value: fn(&MeshProof) -> f64| {
                proof.map_or(String::new(), |proof| plain(value(proof) * module))
            };
            rows.push(vec![
                (index + 1).to_string(),
                mesh_word(mesh.mesh).to_owned(),
                plain(mesh.centre_distance),
                plain(mesh.operating_angle),
                plain(mesh.contact_ratio),
                plain(bench.backlash),
                of(|proof| proof.backlash),
                of(|proof| proof.clearance),
                of(|proof| proof.depth),
                crate::account::workshop::POSITIONS.to_string(),
            ]);
        }
    }
    csv_bytes(&head, rows)
}

/// Of every member what its shaft exerts on the set, without losses; what is held is a
/// reaction of the housing.
fn stages(shop: &Workshop) -> Result<Vec<u8>, Error> {
    let (loads, housing) = shop.stages.as_ref().map_or((&[][..], None), |(l, h)| (&l[..], Some(h)));
    let rows = loads.iter().map(|load| {
        let held = if load.held { "held" } else { "turns" };
        let numbers = [load.torque, load.speed, load.power].map(plain);
        [load.member.to_string()].into_iter().chain(numbers).chain([held.to_owned()]).collect()
    });
    let housing = housing.map(|torque| {
        vec![
            "housing".to_owned(),
            plain(*torque),
            "0".to_owned(),
            "0".to_owned(),
            "held".to_owned(),
        ]
    });
    let head = ["member", "torque_nm", "speed_rpm", "power_w", "held"];
    csv_bytes(&head, rows.chain(housing).collect())
}

/// Every factor of every estimate.
fn strength(shop: &Workshop) -> Result<Vec<u8>, Error> {
    let mut rows = Vec::new();
    for (index, _, bench) in benches(shop) {
        let Some(Ok(strength)) = bench.strength() else { continue };
        for factor in strength.factors() {
            rows.push(vec![
                (index + 1).to_string(),
                factor.place,
                factor.symbol.to_owned(),
                factor.name.to_owned(),
                plain(factor.value),
                factor.unit.to_owned(),
                factor.source,
            ]);
        }
    }
    rows.extend(shop.verdicts().into_iter().flat_map(|(set, verdict)| verdict_rows(set, &verdict)));
    csv_bytes(&["set", "place", "symbol", "name", "value", "unit", "source"], rows)
}

/// Notch, stress, allowable and safety of one judgement of the built set.
fn verdict_rows(set: usize, verdict: &Verdict) -> Vec<Vec<String>> {
    let all = [
        ("K", "notch factor", Some(verdict.notch), "", "keyway, groove or inner corner"),
        ("σ", "stress as built", verdict.stress_mpa, "MPa", "with the notch factor"),
        ("σ_P", "allowable", verdict.allowable_mpa, "MPa", "materials"),
        ("S", "safety as built", verdict.safety, "", "allowable over stress"),
    ];
    let row = |(symbol, name, value, unit, source): (&str, &str, Option<f64>, &str, &str)| {
        let value = plain(value.filter(|value| value.is_finite())?);
        let texts = [symbol, name, &value, unit, source].map(str::to_owned);
        Some([set.to_string(), verdict.bearer.words(set)].into_iter().chain(texts).collect())
    };
    all.into_iter().filter_map(row).collect()
}

fn csv_bytes(head: &[&str], rows: Vec<Vec<String>>) -> Result<Vec<u8>, Error> {
    let head = head.iter().map(|name| (*name).to_owned());
    csv_text(head, rows).map(String::into_bytes)
}
