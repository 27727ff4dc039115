//! A part as an SVG drawing to scale.

use super::part::Part;
use super::shape::Shape;
use std::fmt::Write;

/// Least blank paper round the part, in mm; sheets are whole millimetres.
const MARGIN: f64 = 2.0;

/// The text of an SVG file in which a millimetre is a millimetre: size and view box are in
/// mm. Two groups of hairlines, `cut` (boundary and holes, red) and `engrave` (timing marks,
/// blue); no text, no fills. Coordinates to 1e-6 mm; y points down, as SVG has it.
pub fn svg(part: &Part) -> String {
    let reach = (part.boundary.reach() + MARGIN).ceil();
    let (size, corner) = (number(2.0 * reach), number(-reach));
    let name = part.name();
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{size}mm\" height=\"{size}mm\" \
         viewBox=\"{corner} {corner} {size} {size}\">\n<title>{name}</title>\n"
    );
    text += "<g id=\"cut\" fill=\"none\" stroke=\"#ff0000\" stroke-width=\"0.05\">\n";
    let holes = part.holes.iter().map(|hole| &hole.shape);
    for shape in [&part.boundary].into_iter().chain(holes) {
        line(&mut text, shape);
    }
    text += "</g>\n<g id=\"engrave\" fill=\"none\" stroke=\"#0000ff\" stroke-width=\"0.05\">\n";
    for mark in &part.marks {
        let [[x1, y1], [x2, y2]] = [mark.from, mark.to].map(|[x, y]| [number(x), number(-y)]);
        let _ = writeln!(text, "<path d=\"M{x1} {y1}L{x2} {y2}\"/>");
    }
    text + "</g>\n</svg>\n"
}

fn line(text: &mut String, shape: &Shape) {
    match shape {
        Shape::Circle { centre: [x, y], diameter_mm } => {
            let [x, y, r] = [*x, -y, diameter_mm / 2.0].map(number);
            let _ = writeln!(text, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"/>");
        }
        Shape::Polygon(points) => {
            text.push_str("<path d=\"");
            for (index, [x, y]) in points.iter().enumerate() {
                let command = if index == 0 { 'M' } else { 'L' };
                let _ = write!(text, "{command}{} {}", number(*x), number(-y));
            }
            text.push_str("Z\"/>\n");
        }
    }
}

/// To 1e-6 mm; adding 0 turns a negative zero into a plain one.
fn number(length: f64) -> f64 {
    (length * 1e6).round() / 1e6 + 0.0
}
