//! The title block of a drawing: what is drawn, from what, how often, how large.

use super::canvas::{Anchor, Type, wrapped};
use super::hatch::corners;
use super::measures::THIN;
use super::palette::Ink;
use super::scene::{Point, Scene, Stroke};

/// What the title block says; the scale is known to the drawing.
#[derive(Clone, Debug, Default)]
pub struct TitleBlock {
    /// Of the whole: what the part belongs to.
    pub title: String,
    /// Name of the part.
    pub part: String,
    pub material: String,
    pub quantity: u32,
    /// Number of this sheet, and of all.
    pub sheet: (u32, u32),
    /// General tolerances, such as "ISO 2768-m".
    pub tolerances: String,
    /// What the figures are not; three lines of it are shown.
    pub caution: String,
}

/// Parts of the width of the three columns on the right.
const COLUMNS: [f64; 4] = [0.5, 0.72, 0.86, 1.0];
/// Parts of the height of the rows.
const ROWS: [f64; 4] = [0.0, 0.34, 0.68, 1.0];

impl TitleBlock {
    /// Draws the block into a box: left, top, right, bottom.
    pub(super) fn draw(&self, scene: &mut Scene, place: [f64; 4], scale: &str) {
        let [left, top, right, bottom] = place;
        let x = |column: usize| left + COLUMNS[column] * (right - left);
        let y = |row: usize| top + ROWS[row] * (bottom - top);
        scene.outlined(&corners(place), Some(Ink::Paper), Stroke::solid(Ink::Text, 1.6));
        let thin = Stroke::solid(Ink::Text, THIN);
        scene.line(&[(left, y(2)), (right, y(2))], thin);
        scene.line(&[(x(0), y(1)), (right, y(1))], thin);
        scene.line(&[(x(0), top), (x(0), y(2))], thin);
        scene.line(&[(x(1), top), (x(1), y(2))], thin);
        scene.line(&[(x(2), top), (x(2), y(2))], thin);
        let (name, whole) = (Type::bold(17.0, Ink::Text), Type::plain(11.5, Ink::Text));
        let wide = x(0) - left - 16.0;
        scene.text(&name.fitted(&self.part, wide), (left + 8.0, top + 20.0), Anchor::Start, name);
        for (row, line) in shortened(&self.title, whole, wide, 3).iter().enumerate() {
            let at = (left + 8.0, top + 46.0 + 16.0 * row as f64);
            scene.text(line, at, Anchor::Start, whole);
        }
        let (quantity, sheet) =
            (self.quantity.to_string(), format!("{} of {}", self.sheet.0, self.sheet.1));
        let cells: [(usize, usize, &str, &str); 6] = [
            (0, 0, "material", &self.material),
            (0, 1, "quantity", &quantity),
            (0, 2, "sheet", &sheet),
            (1, 0, "general tolerances", &self.tolerances),
            (1, 1, "scale", scale),
            (1, 2, "lengths in", "mm"),
        ];
        for (row, column, caption, value) in cells {
            let width = x(column + 1) - x(column);
            cell(scene, (x(column), y(row)), width, caption, value);
        }
        self.caution(scene, (left, y(2)), right - left);
    }

    fn caution(&self, scene: &mut Scene, (left, top): Point, width: f64) {
        let look = Type::plain(10.0, Ink::Text);
        let lines = shortened(&self.caution, look, width - 16.0, 3);
        for (row, line) in lines.iter().enumerate() {
            let at = (left + 8.0, top + 10.0 + 13.5 * row as f64);
            scene.text(line, at, Anchor::Start, look);
        }
    }
}

fn cell(scene: &mut Scene, (left, top): Point, width: f64, caption: &str, value: &str) {
    let (small, look) = (Type::plain(9.5, Ink::Muted), Type::plain(12.0, Ink::Text));
    let caption = small.fitted(caption, width - 10.0);
    let value = look.fitted(value, width - 10.0);
    scene.text(&caption, (left + 5.0, top + 11.0), Anchor::Start, small);
    scene.text(&value, (left + 5.0, top + 32.0), Anchor::Start, look);
}

/// A text in at most `most` lines; what is left out is seen to be.
fn shortened(text: &str, look: Type, width: f64, most: usize) -> Vec<String> {
    let mut lines = wrapped(text, look.size, width);
    if lines.len() > most {
        lines.truncate(most);
        let last = &mut lines[most - 1];
        last.push_str(" …");
        *last = look.fitted(last, width);
    }
    lines
}
