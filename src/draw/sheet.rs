//! A workshop drawing of one part: front view and half section to a standard scale,
//! diameters, lengths, a table, a title block, on A4.

use super::canvas::{Anchor, Picture, Size, Type, wrapped};
use super::front_view::{CircleKind, FrontPlace, FrontView};
use super::hatch::{corners, hatch};
use super::measures::{THIN, level, mm};
use super::palette::Ink;
use super::scene::{Point, Scene, Stroke};
use super::title_block::TitleBlock;

/// A drawing of one part. Lengths are in mm, from the part's axis, y upwards.
#[derive(Clone, Debug)]
pub struct Sheet {
    pub front: FrontView,
    /// The half above the axis, cut; left out where it tells nothing.
    pub section: Option<HalfSection>,
    /// Lines of two columns: what, how much. Empty for parts without teeth.
    pub table: Vec<[String; 2]>,
    /// Beside the title block.
    pub notes: Vec<String>,
    pub block: TitleBlock,
}

/// The part cut along its axis.
#[derive(Clone, Debug, Default)]
pub struct HalfSection {
    pub bands: Vec<SheetBand>,
    /// Lengths along the axis that are dimensioned, each from where to where.
    pub lengths: Vec<[f64; 2]>,
}

/// A ring of material between two radii: a rectangle in the section.
#[derive(Clone, Copy, Debug)]
pub struct SheetBand {
    pub radii: [f64; 2],
    pub along: [f64; 2],
    /// Hatched; teeth are not, by custom (ISO 128).
    pub cut: bool,
}

/// Pixels for a millimetre of paper.
const MM: f64 = 4.0;
/// A4, landscape.
const PAPER: [u32; 2] = [297, 210];
/// Left, top, right, bottom of the frame in pixels: ISO 5457.
const FRAME: [f64; 4] = [20.0 * MM, 10.0 * MM, 287.0 * MM, 200.0 * MM];
/// Where the title block and the notes begin.
const FOOT: f64 = 164.0 * MM;
/// Left end of the title block.
const BLOCK: f64 = 107.0 * MM;
/// Centre and most reach of the front view.
const FRONT: Point = (84.0 * MM, 88.0 * MM);
const REACH: f64 = 59.0 * MM;
/// Where the words of diameters begin and end.
const WORDS: (f64, f64) = (149.0 * MM, 188.0 * MM);
/// Left end of table and section.
const COLUMN: f64 = 191.0 * MM;
const ROW: f64 = 17.5;
/// Below the axis of the half section, for each length.
const LENGTH: f64 = 20.0;

/// Scales of ISO 5455: drawing over part.
const SCALES: [(f64, &str); 14] = [
    (50.0, "50:1"),
    (20.0, "20:1"),
    (10.0, "10:1"),
    (5.0, "5:1"),
    (2.0, "2:1"),
    (1.0, "1:1"),
    (0.5, "1:2"),
    (0.2, "1:5"),
    (0.1, "1:10"),
    (0.05, "1:20"),
    (0.02, "1:50"),
    (0.01, "1:100"),
    (0.005, "1:200"),
    (0.002, "1:500"),
];

impl Sheet {
    /// The picture: a file of A4 size, so that it prints to the scale that it tells.
    pub fn draw(&self) -> Picture {
        let [width, height] = PAPER.map(|length| length * MM as u32);
        let mut scene = Scene::new(Size { width, height });
        let edge = Stroke::solid(Ink::Text, 2.0);
        let scale = self.chosen();
        scene.outlined(&corners(FRAME), None, edge);
        let place =
            FrontPlace { centre: FRONT, words: WORDS, rows: (FRAME[1] + 20.0, FOOT - 20.0) };
        self.front.draw(&mut scene, scale.0 * MM, &place);
        self.table(&mut scene);
        if let Some(section) = &self.section {
            self.half(section, &mut scene, scale.0 * MM);
        }
        for (row, note) in self.note_lines().iter().enumerate() {
            let at = (FRAME[0] + 10.0, FOOT + 14.0 + 15.0 * row as f64);
            scene.text(note, at, Anchor::Start, Type::plain(10.5, Ink::Text));
        }
        self.block.draw(&mut scene, [BLOCK, FOOT, FRAME[2], FRAME[3]], scale.1);
        scene.sheet(&format!("{}, drawing to scale {}", self.block.part, scale.1), PAPER)
    }

    /// The scale that is used, as written: the largest of ISO 5455 at which the views fit.
    pub fn scale(&self) -> &'static str {
        self.chosen().1
    }

    fn chosen(&self) -> (f64, &'static str) {
        let reach = self.front.reach();
        let fits = |scale: f64| {
            let mut fits = reach * scale * MM <= REACH;
            if let Some(section) = &self.section {
                let (room, [radius, length]) = (self.room(section), section.size());
                let wide = FRAME[2] - COLUMN - 60.0;
                fits &= radius * scale * MM <= room && length * scale * MM <= wide;
            }
            fits
        };
        let found = SCALES.iter().find(|scale| fits(scale.0));
        *found.unwrap_or(&SCALES[SCALES.len() - 1])
    }

    /// Height in pixels for the half section above its axis.
    fn room(&self, section: &HalfSection) -> f64 {
        let table = ROW * self.table.len() as f64;
        FOOT - 34.0 - LENGTH * section.lengths.len() as f64 - FRAME[1] - table - 26.0
    }

    fn table(&self, scene: &mut Scene) {
        let thin = Stroke::solid(Ink::Text, THIN);
        let look = Type::plain(10.5, Ink::Text);
        let middle = COLUMN + 0.63 * (FRAME[2] - COLUMN);
        for (row, [name, value]) in self.table.iter().enumerate() {
            let top = FRAME[1] + ROW * row as f64;
            scene.line(&[(COLUMN, top + ROW), (FRAME[2], top + ROW)], thin);
            let name = look.fitted(name, middle - COLUMN - 10.0);
            let value = look.fitted(value, FRAME[2] - middle - 10.0);
            scene.text(&name, (COLUMN + 5.0, top + ROW / 2.0), Anchor::Start, look);
            scene.text(&value, (FRAME[2] - 5.0, top + ROW / 2.0), Anchor::End, look);
        }
        if !self.table.is_empty() {
            let bottom = FRAME[1] + ROW * self.table.len() as f64;
            for x in [COLUMN, middle] {
                scene.line(&[(x, FRAME[1]), (x, bottom)], thin);
            }
        }
    }

    fn note_lines(&self) -> Vec<String> {
        const MOST: usize = 9;
        let lines = self.notes.iter().flat_map(|note| wrapped(note, 10.5, BLOCK - FRAME[0] - 24.0));
        let mut lines: Vec<String> = lines.collect();
        if lines.len() > MOST {
            lines.truncate(MOST);
            lines[MOST - 1] = "…".to_owned();
        }
        lines
    }

    fn half(&self, section: &HalfSection, scene: &mut Scene, scale: f64) {
        let axis = FOOT - 22.0 - LENGTH * section.lengths.len() as f64;
        let (from, to) = section.ends();
        let middle = (COLUMN + FRAME[2]) / 2.0;
        let across = |x: f64| middle + (x - (from + to) / 2.0) * scale;
        for band in &section.bands {
            let [low, high] = band.radii.map(|radius| axis - radius * scale);
            let box_of = corners([across(band.along[0]), high, across(band.along[1]), low]);
            scene.outlined(&box_of, Some(Ink::Paper), Stroke::solid(Ink::Text, 1.4));
            if band.cut {
                let thin = Stroke::solid(Ink::Muted, 0.8);
                hatch(scene, &[box_of], 7.0, false, thin);
            }
        }
        let chain = Stroke::chain(Ink::Muted, THIN);
        let (left, right) = (across(from) - 3.0 * MM, across(to) + 3.0 * MM);
        scene.line(&[(left, axis), (right, axis)], chain);
        let [outside, _] = section.size();
        for circle in &self.front.circles {
            let radius = circle.diameter / 2.0;
            if circle.kind == CircleKind::Reference && radius < outside {
                let y = axis - radius * scale;
                scene.line(&[(left, y), (right, y)], chain);
            }
        }
        let look = Type::plain(11.0, Ink::Text);
        let mut lengths = section.lengths.clone();
        lengths.sort_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])));
        for (row, ends) in lengths.iter().enumerate() {
            let y = axis + 14.0 + LENGTH * row as f64;
            let words = mm(ends[1] - ends[0]);
            level(scene, ends.map(across), y, [axis + 3.0; 2], &words, look);
        }
    }
}

impl HalfSection {
    /// Outer radius and length.
    fn size(&self) -> [f64; 2] {
        let radius = self.bands.iter().map(|band| band.radii[1]).fold(0.0, f64::max);
        let (from, to) = self.ends();
        [radius, to - from]
    }

    fn ends(&self) -> (f64, f64) {
        let first = self.bands.first().map_or([0.0; 2], |band| band.along);
        self.bands.iter().fold((first[0], first[1]), |(from, to), band| {
            (from.min(band.along[0]), to.max(band.along[1]))
        })
    }
}
