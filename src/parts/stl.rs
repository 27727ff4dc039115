//! A solid as a binary STL file.

use super::solid::Solid;

/// The bytes of a binary STL file in mm: 80 bytes of title, a count, 50 bytes a triangle.
///
/// Coordinates are floats of 32 bits, as the format asks: within 0.01 µm in parts of 100 mm.
pub fn stl(solid: &Solid) -> Vec<u8> {
    let mut bytes = Vec::with_capacity(84 + 50 * solid.triangles.len());
    // A title that begins with "solid" would pass for a text file.
    let mut title = format!("{} in mm", solid.name).into_bytes();
    title.resize(80, b' ');
    bytes.extend(title);
    bytes.extend((solid.triangles.len() as u32).to_le_bytes());
    for triangle in &solid.triangles {
        let corners = triangle.map(|corner| solid.points[corner as usize]);
        let numbers = [normal(&corners), corners[0], corners[1], corners[2]];
        for number in numbers.as_flattened() {
            // Adding 0 turns a negative zero into a plain one.
            bytes.extend((*number as f32 + 0.0).to_le_bytes());
        }
        bytes.extend([0, 0]);
    }
    bytes
}

/// The unit normal, outward; zero of a triangle without area.
fn normal([a, b, c]: &[[f64; 3]; 3]) -> [f64; 3] {
    let side = |end: &[f64; 3]| [end[0] - a[0], end[1] - a[1], end[2] - a[2]];
    let (u, v) = (side(b), side(c));
    let cross = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    let length = cross.iter().map(|x| x * x).sum::<f64>().sqrt();
    if length > 0.0 { cross.map(|x| x / length) } else { [0.0; 3] }
}
