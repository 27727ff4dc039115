//! The Pareto scatter: two quantities on the axes, a third in the marks, the front as
//! staircases with names, everything that is beaten faint behind it.

use plotters::coord::types::RangedCoordf64;
use plotters::prelude::*;

use super::canvas::{
    Anchor, Canvas, Picture, Size, Type, broken, colour, fitted, picture, pixels, units, wrapped,
};
use super::classes::{Classes, short};
use super::labels::{Block, place};
use super::legend::{Entry, legend};
use super::marker::{Class, ink, mark};
use super::palette::Ink;
use super::thin::thinned;
use crate::error::Error;
use crate::num::grouped;
use crate::score::Better;

/// More beaten marks than this would only be ink upon ink.
const MOST_BEATEN: usize = 1500;
/// Names on a picture beyond this number are no longer read.
const MOST_NAMES: usize = 40;
/// Ground left of the vertical axis' title.
const SIDE: f64 = 14.0;
const NAME_SIZE: f64 = 12.0;
const NOTE_SIZE: f64 = 11.5;
const NOTE_LINE: f64 = 14.0;
/// A picture less wide than this has fewer ticks and more lines.
const NARROW: f64 = 600.0;

/// One axis.
#[derive(Clone, Debug)]
pub struct Axis {
    /// What is on it, with its unit.
    pub title: String,
    pub better: Better,
}

/// The quantity that marks show.
#[derive(Clone, Debug)]
pub struct Third {
    pub title: String,
    pub better: Better,
}

/// Whether anything beats a dot in every objective.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    Front,
    Beaten,
}

/// One layout.
#[derive(Clone, Debug)]
pub struct Dot {
    pub name: String,
    pub at: (f64, f64),
    pub third: Option<f64>,
    pub standing: Standing,
}

/// What is to be drawn. Dots whose place is not finite are left out and counted.
#[derive(Clone, Debug)]
pub struct Scatter {
    pub title: String,
    pub x: Axis,
    pub y: Axis,
    pub third: Option<Third>,
    pub dots: Vec<Dot>,
    /// Said where there is no dot.
    pub empty: String,
}

/// The chart as the plotting library has it.
type Chart<'a, 'b> = ChartContext<'a, SVGBackend<'b>, Cartesian2d<RangedCoordf64, RangedCoordf64>>;

/// A dot on its way to the canvas.
struct Mark<'a> {
    dot: &'a Dot,
    class: Class,
    at: (f64, f64),
}

impl Scatter {
    /// The picture; the same for the same dots, to the byte.
    ///
    /// # Errors
    /// [`Error::Work`] when the plotting library fails.
    pub fn draw(&self, size: Size) -> Result<Picture, Error> {
        picture(size, &self.title, |canvas| self.paint(canvas, size))
    }

    fn paint(&self, canvas: &Canvas, size: Size) -> Result<(), Error> {
        let (width, height) = (f64::from(size.width), f64::from(size.height));
        let mut top = canvas.title(&self.title, width)?;
        let values: Vec<Option<f64>> = self.dots.iter().map(|dot| dot.third).collect();
        let classes = match &self.third {
            Some(third) => Classes::new(&values, third.better),
            None => Classes { of: vec![Some(0); values.len()], names: Vec::new() },
        };
        top = legend(canvas, &self.entries(&classes), (20.0, top), width - 20.0)?;
        // Notes that fill one line of a wide picture take two of a narrow one.
        let note_lines = if width < NARROW { 2 } else { 1 };
        let foot = height - 16.0 - NOTE_LINE * f64::from(note_lines);
        let (frame, mut marks) = self.axes(canvas, &classes, (width, top, foot))?;
        if marks.is_empty() {
            let middle = ((frame.left + frame.right) / 2.0, (frame.top + frame.bottom) / 2.0);
            let room = frame.right - frame.left - 20.0;
            let empty = match self.dots.len() {
                0 => self.empty.clone(),
                dots => format!("None of {dots} layouts has a value on both axes."),
            };
            let empty = fitted(&empty, 15.0, room);
            return canvas.text(&empty, middle, Anchor::Middle, Type::plain(15.0, Ink::Muted));
        }
        marks.sort_by_key(|mark| mark.dot.standing == Standing::Front);
        let notes = self.marks(canvas, &marks, frame)?;
        let mut lines = wrapped(&notes.join(" · "), NOTE_SIZE, width - 40.0);
        lines.truncate(note_lines as usize);
        let look = Type::plain(NOTE_SIZE, Ink::Muted);
        for (line, text) in lines.iter().rev().enumerate() {
            let up = height - 14.0 - NOTE_LINE * line as f64;
            canvas.text(text, (20.0, up), Anchor::Start, look)?;
        }
        Ok(())
    }

    fn entries(&self, classes: &Classes) -> Vec<Entry> {
        let mut entries = Vec::new();
        if self.dots.is_empty() {
            return entries;
        }
        if let Some(third) = &self.third {
            entries.push(Entry::Words(format!("{}:", third.title)));
            let named = classes.names.iter().enumerate();
            entries.extend(named.map(|(class, name)| Entry::Mark(Some(class), name.clone())));
            if classes.of.contains(&None) {
                entries.push(Entry::Mark(None, "not known".to_owned()));
            }
        }
        entries.push(Entry::Stairs("front".to_owned()));
        if self.dots.iter().any(|dot| dot.standing == Standing::Beaten) {
            entries.push(Entry::Faint("beaten by the front".to_owned()));
        }
        entries
    }

    /// Draws the axes; returns the plotting frame and the dots in pixels.
    fn axes(
        &self,
        canvas: &Canvas,
        classes: &Classes,
        (width, top, foot): (f64, f64, f64),
    ) -> Result<(Block, Vec<Mark<'_>>), Error> {
        let known = |dot: &&Dot| dot.at.0.is_finite() && dot.at.1.is_finite();
        let range = |axis: fn(&Dot) -> f64| span(self.dots.iter().filter(known).map(axis));
        let area = canvas
            .area
            .clone()
            .shrink((units(SIDE), units(top)), (units(width - SIDE - 28.0), units(foot - top)));
        let mut chart = ChartBuilder::on(&area)
            .margin_top(units(8.0))
            .x_label_area_size(units(52.0))
            .y_label_area_size(units(66.0))
            .build_cartesian_2d(range(|dot| dot.at.0), range(|dot| dot.at.1))
            .map_err(broken)?;
        let (across, up) = chart.plotting_area().get_pixel_range();
        let frame = Block {
            left: pixels(across.start),
            top: pixels(up.start),
            right: pixels(across.end),
            bottom: pixels(up.end),
        };
        self.mesh(&mut chart, frame, if width < NARROW { 5 } else { 9 })?;
        let marks = self.dots.iter().zip(&classes.of).filter(|(dot, _)| known(dot));
        let marks = marks.map(|(dot, &class)| {
            let (x, y) = chart.backend_coord(&dot.at);
            Mark { dot, class, at: (pixels(x), pixels(y)) }
        });
        Ok((frame, marks.collect()))
    }

    /// Draws grid, axes and their titles.
    fn mesh(&self, chart: &mut Chart, frame: Block, across: usize) -> Result<(), Error> {
        // Axes without a dot have no scale that means anything.
        let number = |value: &f64| if self.dots.is_empty() { String::new() } else { short(*value) };
        let title = |axis: &Axis, room: f64| fitted(&axis.title, 13.0, room);
        chart
            .configure_mesh()
            .x_desc(title(&self.x, frame.right - frame.left))
            .y_desc(title(&self.y, frame.bottom - frame.top))
            .axis_desc_style(Type::plain(13.0, Ink::Text).style())
            .label_style(Type::plain(12.0, Ink::Muted).style())
            .x_labels(across)
            .y_labels(8)
            .x_label_formatter(&number)
            .y_label_formatter(&number)
            .light_line_style(TRANSPARENT)
            .bold_line_style(colour(Ink::Grid).stroke_width(units(1.0).unsigned_abs()))
            .axis_style(colour(Ink::Muted).stroke_width(units(1.0).unsigned_abs()))
            .set_all_tick_mark_size(units(4.0))
            .draw()
            .map_err(broken)
    }

    /// Draws staircases, marks and names, the front last; returns what must be said of it.
    fn marks(&self, canvas: &Canvas, marks: &[Mark], frame: Block) -> Result<Vec<String>, Error> {
        let split = marks.partition_point(|mark| mark.dot.standing == Standing::Beaten);
        let (beaten, front) = marks.split_at(split);
        let spots: Vec<_> = beaten.iter().map(|mark| (mark.at, mark.class)).collect();
        let kept = thinned(&spots, MOST_BEATEN);
        for &index in &kept {
            let Mark { class, at, .. } = beaten[index];
            mark(canvas, class, at, 2.6, ink(class), 0.38)?;
        }
        let lines = self.stairs(canvas, front)?;
        let named = names(canvas, front, lines, frame)?;
        // Those without a name are the line between those with one.
        let (with_name, without): (Vec<&Mark>, Vec<&Mark>) =
            front.iter().partition(|mark| !mark.dot.name.is_empty());
        for Mark { class, at, .. } in without {
            mark(canvas, *class, *at, 3.2, ink(*class), 1.0)?;
        }
        for Mark { class, at, .. } in &with_name {
            mark(canvas, *class, *at, 6.6, Ink::Paper, 1.0)?;
            mark(canvas, *class, *at, 5.0, ink(*class), 1.0)?;
        }
        let mut notes = Vec::new();
        if kept.len() < beaten.len() {
            let [marks, all] = [kept.len(), beaten.len()].map(|count| grouped(count as u64));
            notes.push(format!("{all} beaten layouts, drawn as {marks} marks"));
        }
        if with_name.len() < front.len() {
            let all = grouped(front.len() as u64);
            notes.push(format!("{all} on the front, {} of them shown in full", with_name.len()));
        }
        if named < with_name.len() {
            notes.push(format!(
                "{named} of {} names on the front drawn",
                grouped(with_name.len() as u64)
            ));
        }
        let unplaced = self.dots.len() - marks.len();
        if unplaced > 0 {
            notes.push(format!("{unplaced} without a value on an axis left out"));
        }
        Ok(notes)
    }

    /// One staircase a class: the border of what its front beats in these two quantities.
    /// Returns the boxes of their lines, which names keep clear of.
    fn stairs(&self, canvas: &Canvas, front: &[Mark]) -> Result<Vec<Block>, Error> {
        let mut lines = Vec::new();
        let mut classes: Vec<Class> = front.iter().map(|mark| mark.class).collect();
        classes.sort_unstable();
        classes.dedup();
        for class in classes {
            let own = front.iter().filter(|mark| mark.class == class).map(|mark| mark.at);
            let path = staircase(own.collect(), self.x.better, self.y.better);
            if path.len() > 1 {
                canvas.path(&path, ink(class), 2.0, 0.85)?;
            }
            lines.extend(path.windows(2).map(|ends| Block::along(ends[0], ends[1], 1.5)));
        }
        Ok(lines)
    }
}

/// Corners of the staircase through the points that no other beats on the two axes, in
/// pixels (y grows downwards). A corner lies where both neighbours are at their worse.
pub(super) fn staircase(points: Vec<(f64, f64)>, x: Better, y: Better) -> Vec<(f64, f64)> {
    // Cost coordinates: smaller is better on both axes.
    let cost = |point: (f64, f64)| {
        let across = if x == Better::Higher { -point.0 } else { point.0 };
        let up = if y == Better::Higher { point.1 } else { -point.1 };
        (across, up)
    };
    let mut sorted = points;
    sorted.sort_by(|a, b| {
        let (a, b) = (cost(*a), cost(*b));
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let mut path: Vec<(f64, f64)> = Vec::new();
    for point in sorted {
        match path.last() {
            Some(&last) if cost(point).1 >= cost(last).1 => {}
            Some(&last) => path.extend([(point.0, last.1), point]),
            None => path.push(point),
        }
    }
    path
}

/// Draws the names that find room, ends and middle of the front before what lies between;
/// returns how many.
fn names(
    canvas: &Canvas,
    front: &[Mark],
    mut taken: Vec<Block>,
    frame: Block,
) -> Result<usize, Error> {
    let radius = |mark: &Mark| if mark.dot.name.is_empty() { 3.0 } else { 6.0 };
    taken.extend(front.iter().map(|mark| Block::around(mark.at, radius(mark))));
    let front: Vec<&Mark> = front.iter().filter(|mark| !mark.dot.name.is_empty()).collect();
    let mut order: Vec<usize> = (0..front.len()).collect();
    order.sort_by_key(|&index| {
        let last = index + 1 == front.len();
        std::cmp::Reverse(if last { u32::MAX } else { index.trailing_zeros() })
    });
    let mut asked: Vec<_> =
        order.iter().map(|&index| (front[index].at, front[index].dot.name.as_str())).collect();
    // A front of hundreds is a line of marks; more tries would find no more room.
    asked.truncate(4 * MOST_NAMES);
    let places = place(&asked, NAME_SIZE, frame, taken);
    let found = asked.iter().zip(&places).filter_map(|(name, placed)| Some((name, (*placed)?)));
    let mut drawn = 0;
    for ((mark, name), placed) in found.take(MOST_NAMES) {
        if placed.far {
            canvas.path(&[*mark, placed.at], Ink::Muted, 0.75, 0.8)?;
        }
        canvas.text(name, placed.at, placed.anchor, Type::plain(NAME_SIZE, Ink::Text))?;
        drawn += 1;
    }
    Ok(drawn)
}

/// A range that shows all values with a little air; from just below zero where the values
/// come near it, so that small differences are not blown up.
pub(super) fn span(values: impl Iterator<Item = f64>) -> std::ops::Range<f64> {
    let (low, high) =
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
    if low > high {
        return 0.0..1.0;
    }
    let air = if high > low { (high - low) * 0.07 } else { high.abs().max(1.0) * 0.1 };
    let from = if low >= 0.0 && low < 0.15 * high { -0.04 * high } else { low - air };
    from..high + air
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stairs_step_between_the_best() {
        // Pixels: larger spread to the right is better, smaller deviation lower down is.
        let points = vec![(30.0, 40.0), (10.0, 80.0), (20.0, 60.0), (15.0, 50.0)];
        let path = staircase(points, Better::Higher, Better::Lower);
        assert_eq!(path, [(30.0, 40.0), (20.0, 40.0), (20.0, 60.0), (10.0, 60.0), (10.0, 80.0)]);
    }

    #[test]
    fn ranges_hold_all_values() {
        assert_eq!(span([].into_iter()), 0.0..1.0);
        let one = span([4.0].into_iter());
        assert!(one.contains(&4.0) && one.end - one.start < 1.0);
        assert!(span([0.0, 5.0].into_iter()).contains(&0.0));
        assert!(span([-2.0, 5.0].into_iter()).contains(&-2.0));
        assert!(span([0.0].into_iter()).contains(&0.0));
    }
}
