//! Solids as a 3MF file.

use super::solid::Solid;
use super::zip::zip;
use std::fmt::Write;

const TYPES: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
"#;

const RELATIONS: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>
"#;

/// Room between solids laid beside each other, in mm.
const APART: f64 = 5.0;

/// The bytes of a 3MF file (core specification) with every solid as an object in mm, each
/// laid out as often as the set needs it, in a row along x. Coordinates are told to 1e-6 mm.
pub fn three_mf(solids: &[Solid]) -> Vec<u8> {
    let mut model = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <model unit=\"millimeter\" xml:lang=\"en\" \
         xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n<resources>\n",
    );
    for (index, solid) in solids.iter().enumerate() {
        object(&mut model, index + 1, solid);
    }
    model += "</resources>\n<build>\n";
    let mut edge = 0.0;
    for (index, solid) in solids.iter().enumerate() {
        let along = solid.points.iter().map(|point| point[0]);
        let (least, most) =
            along.fold((0.0_f64, 0.0_f64), |(least, most), x| (least.min(x), most.max(x)));
        for _ in 0..solid.count {
            let _ = writeln!(
                model,
                "<item objectid=\"{}\" transform=\"1 0 0 0 1 0 0 0 1 {:.6} 0 0\"/>",
                index + 1,
                edge - least
            );
            edge += most - least + APART;
        }
    }
    model += "</build>\n</model>\n";
    let files =
        [("[Content_Types].xml", TYPES), ("_rels/.rels", RELATIONS), ("3D/3dmodel.model", &model)];
    zip(&files)
}

/// One solid as an object. Names are our own words and need no escape.
fn object(model: &mut String, id: usize, solid: &Solid) {
    let name = &solid.name;
    let _ = writeln!(model, "<object id=\"{id}\" type=\"model\" name=\"{name}\"><mesh><vertices>");
    for point in &solid.points {
        // Adding 0 turns a negative zero into a plain one.
        let [x, y, z] = point.map(|length| (length * 1e6).round() / 1e6 + 0.0);
        let _ = writeln!(model, "<vertex x=\"{x}\" y=\"{y}\" z=\"{z}\"/>");
    }
    *model += "</vertices><triangles>\n";
    for [a, b, c] in &solid.triangles {
        let _ = writeln!(model, "<triangle v1=\"{a}\" v2=\"{b}\" v3=\"{c}\"/>");
    }
    *model += "</triangles></mesh></object>\n";
}
