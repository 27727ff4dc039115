//! A part as a DXF drawing of release 12, the form that every program reads.

use super::part::{Part, Purpose};
use super::shape::Shape;

/// Layers by purpose, with their colour numbers: black or white, red, blue, green, yellow.
const LAYERS: [(&str, u8); 5] =
    [("OUTLINE", 7), ("HOLES", 1), ("MARKS", 5), ("CENTRE", 3), ("TEXT", 2)];

/// The text of a DXF file in mm, coordinates to 1e-6 mm.
///
/// OUTLINE has the boundary and all teeth as closed polylines (a round boundary as a
/// circle), HOLES the other holes, MARKS the timing marks, CENTRE the axes and the
/// reference pitch circle, TEXT one line of what the part is. Cut OUTLINE and HOLES,
/// engrave MARKS.
pub fn dxf(part: &Part) -> String {
    let mut file = Groups::default();
    let reach = part.boundary.reach();
    file.head(reach * 1.1);
    file.tables();
    file.section("ENTITIES");
    file.shape("OUTLINE", &part.boundary);
    for hole in &part.holes {
        let layer = if hole.purpose == Purpose::Teeth { "OUTLINE" } else { "HOLES" };
        file.shape(layer, &hole.shape);
    }
    for mark in &part.marks {
        file.line("MARKS", mark.from, mark.to);
    }
    let axis = reach * 1.05;
    file.line("CENTRE", [-axis, 0.0], [axis, 0.0]);
    file.line("CENTRE", [0.0, -axis], [0.0, axis]);
    if let Some(data) = &part.teeth {
        file.circle("CENTRE", [0.0, 0.0], data.pitch_mm / 2.0);
    }
    let height = reach * 0.05;
    file.text([-reach, -reach - 2.0 * height], height, &part.caption());
    file.end_section();
    file.group(0, "EOF");
    file.text
}

/// A file as it grows: pairs of a code and a value, a line each.
#[derive(Default)]
struct Groups {
    text: String,
}

impl Groups {
    fn group(&mut self, code: u16, value: &str) {
        // Codes stand right in a field of three.
        self.text += &format!("{code:>3}\n{value}\n");
    }

    fn length(&mut self, code: u16, length: f64) {
        // Adding 0 turns a negative zero into a plain one.
        let rounded = (length * 1e6).round() / 1e6 + 0.0;
        self.group(code, &format!("{rounded:.6}"));
    }

    fn point(&mut self, codes: [u16; 3], [x, y]: [f64; 2]) {
        self.length(codes[0], x);
        self.length(codes[1], y);
        self.length(codes[2], 0.0);
    }

    fn section(&mut self, name: &str) {
        self.group(0, "SECTION");
        self.group(2, name);
    }

    fn end_section(&mut self) {
        self.group(0, "ENDSEC");
    }

    fn head(&mut self, reach: f64) {
        self.section("HEADER");
        self.group(9, "$ACADVER");
        self.group(1, "AC1009");
        // Millimetres, and metric. Younger than release 12, where readers pass them over.
        self.group(9, "$INSUNITS");
        self.group(70, "4");
        self.group(9, "$MEASUREMENT");
        self.group(70, "1");
        self.group(9, "$EXTMIN");
        self.point([10, 20, 30], [-reach, -reach]);
        self.group(9, "$EXTMAX");
        self.point([10, 20, 30], [reach, reach]);
        self.end_section();
    }

    fn tables(&mut self) {
        self.section("TABLES");
        self.table("LTYPE", 1);
        self.group(0, "LTYPE");
        self.group(2, "CONTINUOUS");
        self.group(70, "0");
        self.group(3, "Solid line");
        self.group(72, "65");
        self.group(73, "0");
        self.length(40, 0.0);
        self.group(0, "ENDTAB");
        self.table("LAYER", LAYERS.len());
        for (name, colour) in LAYERS {
            self.group(0, "LAYER");
            self.group(2, name);
            self.group(70, "0");
            self.group(62, &colour.to_string());
            self.group(6, "CONTINUOUS");
        }
        self.group(0, "ENDTAB");
        self.end_section();
    }

    fn table(&mut self, name: &str, entries: usize) {
        self.group(0, "TABLE");
        self.group(2, name);
        self.group(70, &entries.to_string());
    }

    fn entity(&mut self, kind: &str, layer: &str) {
        self.group(0, kind);
        self.group(8, layer);
    }

    fn shape(&mut self, layer: &str, shape: &Shape) {
        match shape {
            Shape::Circle { centre, diameter_mm } => {
                self.circle(layer, *centre, diameter_mm / 2.0);
            }
            Shape::Polygon(points) => self.polyline(layer, points),
        }
    }

    fn polyline(&mut self, layer: &str, points: &[[f64; 2]]) {
        self.entity("POLYLINE", layer);
        // Vertices follow; the line lies at height 0 and is closed.
        self.group(66, "1");
        self.point([10, 20, 30], [0.0, 0.0]);
        self.group(70, "1");
        for &point in points {
            self.entity("VERTEX", layer);
            self.point([10, 20, 30], point);
        }
        self.entity("SEQEND", layer);
    }

    fn circle(&mut self, layer: &str, centre: [f64; 2], radius: f64) {
        self.entity("CIRCLE", layer);
        self.point([10, 20, 30], centre);
        self.length(40, radius);
    }

    fn line(&mut self, layer: &str, from: [f64; 2], to: [f64; 2]) {
        self.entity("LINE", layer);
        self.point([10, 20, 30], from);
        self.point([11, 21, 31], to);
    }

    fn text(&mut self, at: [f64; 2], height: f64, text: &str) {
        self.entity("TEXT", "TEXT");
        self.point([10, 20, 30], at);
        self.length(40, height);
        self.group(1, text);
    }
}
