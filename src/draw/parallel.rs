//! Parallel axes: every layout of the front as a line over several quantities, each axis
//! turned so that better is up; the bulk of what is beaten as a band behind.

use super::canvas::{Anchor, Canvas, Picture, Size, Type, fitted, picture, text_width, wrapped};
use super::cases::{Case, Cases, Quantity, rough};
use super::classes::Classes;
use super::legend::{Entry, legend};
use super::marker::{Class, ink, mark};
use super::palette::Ink;
use crate::error::Error;
use crate::num::grouped;
use crate::score::Better;

/// More lines than this are a tangle.
const MOST_LINES: usize = 40;
/// Axes in a wide and in a narrow picture.
const MOST_AXES: [usize; 2] = [10, 6];
const NARROW: f64 = 600.0;
/// Shares of the beaten between which the two bands lie, the wider first.
const BANDS: [f64; 4] = [0.05, 0.95, 0.25, 0.75];
const NAME_SIZE: f64 = 11.0;
const NOTE_SIZE: f64 = 11.5;
const NOTE_LINE: f64 = 14.0;

/// What is to be drawn; lines have the class of the first quantity.
#[derive(Clone, Debug)]
pub struct Parallel {
    pub title: String,
    pub cases: Cases,
    /// Said where there is no layout on the front.
    pub empty: String,
}

/// One axis.
struct Rail<'a> {
    quantity: &'a Quantity,
    column: usize,
    x: f64,
    /// Values of the lower and of the upper end: the worse and the better.
    worst: f64,
    best: f64,
    /// Values of the beaten at [`BANDS`].
    beaten: Option<[f64; 4]>,
    top: f64,
    bottom: f64,
}

impl Rail<'_> {
    fn at(&self, value: f64) -> (f64, f64) {
        let way = self.best - self.worst;
        let part = if way == 0.0 { 0.5 } else { (value - self.worst) / way };
        (self.x, self.bottom - part.clamp(0.0, 1.0) * (self.bottom - self.top))
    }

    /// The ends of a band, the wider one or the closer, lower end first.
    fn ends(&self, closer: bool) -> Option<[(f64, f64); 2]> {
        let [a, b, c, d] = self.beaten?.map(|value| self.at(value));
        let [a, b] = if closer { [c, d] } else { [a, b] };
        Some(if a.1 > b.1 { [a, b] } else { [b, a] })
    }
}

impl Parallel {
    /// The picture.
    ///
    /// # Errors
    /// [`Error::Work`] when the plotting library fails.
    pub fn draw(&self, size: Size) -> Result<Picture, Error> {
        picture(size, &self.title, |canvas| self.paint(canvas, size))
    }

    fn paint(&self, canvas: &Canvas, size: Size) -> Result<(), Error> {
        let (width, height) = (f64::from(size.width), f64::from(size.height));
        let mut top = canvas.title(&self.title, width)?;
        let front: Vec<&Case> = self.cases.front().collect();
        if front.is_empty() || self.cases.quantities.is_empty() {
            let words = fitted(&self.empty, 15.0, width - 40.0);
            let look = Type::plain(15.0, Ink::Muted);
            return canvas.text(&words, (width / 2.0, height / 2.0), Anchor::Middle, look);
        }
        let values: Vec<_> = front.iter().map(|case| case.value(0)).collect();
        let classes = Classes::new(&values, self.cases.quantities[0].better);
        top = legend(canvas, &self.entries(&classes), (20.0, top), width - 20.0)?;
        let (columns, mut notes) = self.cases.telling();
        let most = MOST_AXES[usize::from(width < NARROW)];
        if front.len() > MOST_LINES {
            let all = grouped(front.len() as u64);
            notes.push(format!("{MOST_LINES} of {all} layouts on the front drawn, picked evenly"));
        }
        if columns.len() > most {
            notes.push(format!("{most} of {} criteria drawn", columns.len()));
        }
        let notes = wrapped(&notes.join(" · "), NOTE_SIZE, width - 40.0);
        let bottom = height - 32.0 - NOTE_LINE * notes.len() as f64;
        let rails = &columns[..columns.len().min(most)];
        let rails = self.rails(rails, &front, (width, top + 56.0, bottom));
        for closer in [false, true] {
            band(canvas, &rails, closer)?;
        }
        for rail in &rails {
            axis(canvas, rail, rail_room(&rails, width))?;
        }
        self.lines(canvas, &rails, &front, &classes)?;
        for (line, text) in notes.iter().rev().enumerate() {
            let at = (20.0, height - 12.0 - NOTE_LINE * line as f64);
            canvas.text(text, at, Anchor::Start, Type::plain(NOTE_SIZE, Ink::Muted))?;
        }
        Ok(())
    }

    fn entries(&self, classes: &Classes) -> Vec<Entry> {
        let first = &self.cases.quantities[0];
        let mut entries = vec![Entry::Words(format!("up is better · {}:", first.name))];
        let named = classes.names.iter().enumerate();
        entries.extend(named.map(|(class, name)| Entry::Line(Some(class), name.clone())));
        if self.cases.beaten().next().is_some() {
            entries.push(Entry::Area(Ink::Unclassed, 0.36, "middle half of the beaten".to_owned()));
            entries.push(Entry::Area(Ink::Unclassed, 0.18, "middle nine tenths".to_owned()));
        }
        entries
    }

    fn rails(
        &self,
        columns: &[usize],
        front: &[&Case],
        (width, top, bottom): (f64, f64, f64),
    ) -> Vec<Rail<'_>> {
        // Names of layouts stand left of the first axis, names of axes over each.
        let names = front.iter().map(|case| text_width(&case.name, NAME_SIZE));
        let left = names.fold(36.0, f64::max).min(width / 6.0) + 18.0;
        let right = width - if width < NARROW { 38.0 } else { 64.0 };
        let apart = (right - left) / (columns.len().max(2) - 1) as f64;
        let rail = columns.iter().enumerate().filter_map(|(place, &column)| {
            let quantity = &self.cases.quantities[column];
            let beaten = self.cases.beaten_quantiles(column, BANDS);
            let bulk = beaten.as_ref().map_or(&[][..], |ends| &ends[..2]);
            let (low, high) = self.cases.range(column, bulk)?;
            let (worst, best) =
                if quantity.better == Better::Higher { (low, high) } else { (high, low) };
            let x = left + apart * place as f64;
            Some(Rail { quantity, column, x, worst, best, beaten, top, bottom })
        });
        rail.collect()
    }

    /// Draws the lines, best class last, and names at the first axis.
    fn lines(
        &self,
        canvas: &Canvas,
        rails: &[Rail],
        front: &[&Case],
        classes: &Classes,
    ) -> Result<(), Error> {
        let count = front.len().min(MOST_LINES);
        let picked = (0..count).map(|k| match count {
            1 => 0,
            _ => (k * (front.len() - 1) + (count - 1) / 2) / (count - 1),
        });
        let mut picked: Vec<(&Case, Class)> =
            picked.map(|index| (front[index], classes.of[index])).collect();
        name(canvas, rails, &picked)?;
        picked.sort_by_key(|(_, class)| std::cmp::Reverse(class.unwrap_or(usize::MAX)));
        for (case, class) in &picked {
            let points: Vec<Option<(f64, f64)>> =
                rails.iter().map(|rail| case.value(rail.column).map(|v| rail.at(v))).collect();
            // A value that is not known breaks the line.
            for run in points.split(Option::is_none) {
                let run: Vec<(f64, f64)> = run.iter().copied().flatten().collect();
                if run.len() > 1 {
                    canvas.path(&run, ink(*class), 1.6, 0.8)?;
                }
            }
        }
        for (case, class) in &picked {
            for rail in rails {
                let Some(value) = case.value(rail.column) else { continue };
                mark(canvas, *class, rail.at(value), 4.2, Ink::Paper, 1.0)?;
                mark(canvas, *class, rail.at(value), 3.3, ink(*class), 1.0)?;
            }
        }
        Ok(())
    }
}

/// Draws a band of the beaten from axis to axis.
fn band(canvas: &Canvas, rails: &[Rail], closer: bool) -> Result<(), Error> {
    for pair in rails.windows(2) {
        let (Some(a), Some(b)) = (pair[0].ends(closer), pair[1].ends(closer)) else { continue };
        canvas.polygon(&[a[0], a[1], b[1], b[0]], Ink::Unclassed, 0.18)?;
    }
    Ok(())
}

/// Width of the texts of an axis.
fn rail_room(rails: &[Rail], width: f64) -> f64 {
    let apart = rails.windows(2).map(|pair| pair[1].x - pair[0].x).fold(width, f64::min);
    let edge = rails.last().map_or(width, |rail| 2.0 * (width - rail.x));
    apart.min(edge.max(apart.min(2.0 * 38.0))) - 5.0
}

/// Draws an axis with its name and the values of its ends.
fn axis(canvas: &Canvas, rail: &Rail, room: f64) -> Result<(), Error> {
    let narrow = room < 90.0;
    let (size, small) = if narrow { (10.0, 10.0) } else { (12.5, 11.5) };
    let Rail { quantity, x, top, bottom, .. } = *rail;
    canvas.path(&[(x, top), (x, bottom)], Ink::Muted, 1.25, 1.0)?;
    let lines = wrapped(&quantity.name, size * 1.14, room);
    for (line, text) in lines.iter().take(3).rev().enumerate() {
        let y = top - 29.0 - size * 1.2 * line as f64;
        canvas.text(text, (x, y), Anchor::Middle, Type::bold(size, Ink::Text))?;
    }
    let (best, worst) = match quantity.better {
        Better::Higher => ("most", "least"),
        Better::Lower => ("least", "most"),
    };
    let look = Type::plain(small, Ink::Muted);
    let above = (x, top - 13.0);
    if rail.best == rail.worst {
        let text = fitted(&quantity.says(rail.best), small, room);
        return canvas.text(&text, above, Anchor::Middle, look);
    }
    // As much of value, unit and word as there is room for.
    let end = |value: f64, word: &str| {
        let said = quantity.says(value);
        let long = format!("{said}, {word}");
        let long = if quantity.yes_no { said.clone() } else { long };
        let tries = [long, said, rough(value)];
        let fits = tries.into_iter().find(|text| text_width(text, small) <= room);
        fits.unwrap_or_default()
    };
    canvas.text(&end(rail.best, best), above, Anchor::Middle, look)?;
    canvas.text(&end(rail.worst, worst), (x, bottom + 14.0), Anchor::Middle, look)
}

/// Names at the first axis where they do not touch one another.
fn name(canvas: &Canvas, rails: &[Rail], cases: &[(&Case, Class)]) -> Result<(), Error> {
    let Some(rail) = rails.first() else { return Ok(()) };
    let mut taken: Vec<f64> = Vec::new();
    for (case, _) in cases {
        let Some(value) = case.value(rail.column) else { continue };
        let (x, y) = rail.at(value);
        if taken.iter().all(|other| (other - y).abs() >= NAME_SIZE * 1.15) {
            let text = fitted(&case.name, NAME_SIZE, x - 12.0);
            let look = Type::plain(NAME_SIZE, Ink::Text);
            canvas.text(&text, (x - 8.0, y), Anchor::End, look)?;
            taken.push(y);
        }
    }
    Ok(())
}
