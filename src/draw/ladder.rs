//! The ratio ladder: one line a layout, one tick a gear, on a logarithmic axis, where even
//! steps are even distances.

use super::canvas::{Anchor, Canvas, Picture, Size, Type, fitted, picture, text_width};
use super::palette::Ink;
use crate::error::Error;

/// Layouts beyond this number are left to the table.
const MOST_RUNGS: usize = 24;
const ROW: f64 = 40.0;
const HEAD: f64 = 66.0;
const FOOT: f64 = 64.0;

/// One layout: its name, and its gears with their ratios; a negative ratio reverses.
#[derive(Clone, Debug)]
pub struct Rung {
    pub name: String,
    /// Forward gears first to top, and the reverses anywhere between.
    pub gears: Vec<(String, f64)>,
    /// Ratios of the ladder that is wanted, drawn thin behind; empty where none is.
    pub wanted: Vec<f64>,
}

/// What is to be drawn.
#[derive(Clone, Debug)]
pub struct Ladder {
    pub title: String,
    pub rungs: Vec<Rung>,
}

/// Maps ratios to pixels; falling from left to right, as gears are counted.
struct Scale {
    largest: f64,
    smallest: f64,
    left: f64,
    right: f64,
}

impl Scale {
    fn at(&self, ratio: f64) -> f64 {
        let part = (self.largest / ratio).ln() / (self.largest / self.smallest).ln();
        self.left + part * (self.right - self.left)
    }

    /// Round ratios for the axis, at least `apart` pixels from each other.
    fn rounds(&self, apart: f64) -> Vec<f64> {
        let decades = self.smallest.log10().floor() as i32..=self.largest.log10().ceil() as i32;
        // Coarse steps first, so that 1 is never crowded out by 1.5.
        let mut kept: Vec<f64> = Vec::new();
        for steps in [&[1.0][..], &[2.0, 5.0], &[3.0], &[1.5, 4.0, 7.0], &[1.2, 2.5, 6.0, 8.0]] {
            for decade in decades.clone() {
                for step in steps {
                    let ratio = step * 10f64.powi(decade);
                    let inside = ratio >= self.smallest && ratio <= self.largest;
                    let free = kept.iter().all(|&k| (self.at(k) - self.at(ratio)).abs() >= apart);
                    if inside && free {
                        kept.push(ratio);
                    }
                }
            }
        }
        kept
    }
}

impl Ladder {
    /// The picture, as high as its rungs need.
    ///
    /// # Errors
    /// [`Error::Work`] when the plotting library fails.
    pub fn draw(&self, width: u32) -> Result<Picture, Error> {
        let rungs = &self.rungs[..self.rungs.len().min(MOST_RUNGS)];
        let height = HEAD + FOOT + ROW * rungs.len().max(1) as f64;
        let size = Size { width, height: height as u32 };
        picture(size, &self.title, |canvas| self.paint(canvas, rungs, size))
    }

    fn paint(&self, canvas: &Canvas, rungs: &[Rung], size: Size) -> Result<(), Error> {
        let (width, height) = (f64::from(size.width), f64::from(size.height));
        let title = Type::bold(17.0, Ink::Text).fitted(&self.title, width - 40.0);
        canvas.text(&title, (20.0, 26.0), Anchor::Start, Type::bold(17.0, Ink::Text))?;
        let ratios = rungs.iter().flat_map(Rung::sizes);
        let ratios = ratios.filter(|ratio| ratio.is_finite() && *ratio > 0.0);
        let (smallest, largest) =
            ratios.fold((f64::INFINITY, 0.0f64), |(low, high), r| (low.min(r), high.max(r)));
        if smallest > largest {
            let look = Type::plain(15.0, Ink::Muted);
            return canvas.text(
                "No gears to draw.",
                (width / 2.0, height / 2.0),
                Anchor::Middle,
                look,
            );
        }
        let names = rungs.iter().map(|rung| text_width(&rung.name, 12.0)).fold(40.0, f64::max);
        let names = names.min(width / 3.0);
        let scale = Scale {
            largest: largest * 1.06,
            smallest: smallest / 1.06,
            left: 20.0 + names + 12.0,
            right: width - 28.0,
        };
        let bottom = HEAD + ROW * rungs.len() as f64;
        axis(canvas, &scale, bottom)?;
        key(canvas, rungs, width)?;
        for (index, rung) in rungs.iter().enumerate() {
            let y = HEAD + ROW * (index as f64 + 0.5);
            let name = fitted(&rung.name, 12.0, names);
            canvas.text(&name, (20.0 + names, y), Anchor::End, Type::plain(12.0, Ink::Text))?;
            forward(canvas, rung, &scale, y)?;
            reverse(canvas, rung, &scale, y)?;
        }
        self.foot(canvas, width, bottom)
    }

    fn foot(&self, canvas: &Canvas, width: f64, bottom: f64) -> Result<(), Error> {
        let look = Type::plain(13.0, Ink::Text);
        let words = "ratio, input speed / output speed (log scale)";
        let words = fitted(words, 13.0, width - 40.0);
        canvas.text(&words, (width / 2.0, bottom + 34.0), Anchor::Middle, look)?;
        if self.rungs.len() <= MOST_RUNGS {
            return Ok(());
        }
        let note = format!("the first {MOST_RUNGS} of {} layouts drawn", self.rungs.len());
        let look = Type::plain(11.5, Ink::Muted);
        canvas.text(&note, (20.0, bottom + 52.0), Anchor::Start, look)
    }
}

impl Rung {
    /// Sizes of all ratios, of the wanted ones too.
    fn sizes(&self) -> impl Iterator<Item = f64> {
        self.gears.iter().map(|gear| gear.1.abs()).chain(self.wanted.iter().copied())
    }
}

/// What the kinds of mark mean: where it is read first, above the lines.
fn key(canvas: &Canvas, rungs: &[Rung], width: f64) -> Result<(), Error> {
    let (y, look) = (48.0, Type::plain(12.0, Ink::Muted));
    canvas.path(&[(24.0, y - 6.0), (24.0, y + 6.0)], Ink::Class(0), 3.0, 1.0)?;
    canvas.text("forward", (32.0, y), Anchor::Start, look)?;
    ring(canvas, (102.0, y))?;
    canvas.text("reverse, by size", (112.0, y), Anchor::Start, look)?;
    let mut x = 228.0;
    if rungs.iter().any(|rung| !rung.wanted.is_empty()) {
        wish(canvas, (x + 4.0, y))?;
        canvas.text("wanted", (x + 14.0, y), Anchor::Start, look)?;
        x += 78.0;
    }
    let words = fitted("%: steps", look.size, width - 20.0 - x);
    canvas.text(&words, (x, y), Anchor::Start, look)
}

fn axis(canvas: &Canvas, scale: &Scale, bottom: f64) -> Result<(), Error> {
    for ratio in scale.rounds(34.0) {
        let x = scale.at(ratio);
        // Ratio 1, where the gearbox turns as a block, is worth finding at once.
        let (ink, width) = if ratio == 1.0 { (Ink::Muted, 1.25) } else { (Ink::Grid, 1.0) };
        canvas.path(&[(x, HEAD), (x, bottom)], ink, width, 1.0)?;
        let text = super::classes::short(ratio);
        canvas.text(&text, (x, bottom + 13.0), Anchor::Middle, Type::plain(12.0, Ink::Muted))?;
    }
    Ok(())
}

fn forward(canvas: &Canvas, rung: &Rung, scale: &Scale, y: f64) -> Result<(), Error> {
    let gears: Vec<(&str, f64)> = rung
        .gears
        .iter()
        .filter(|gear| gear.1 > 0.0 && gear.1.is_finite())
        .map(|(name, ratio)| (name.as_str(), scale.at(*ratio)))
        .collect();
    if let (Some(first), Some(last)) = (gears.first(), gears.last()) {
        canvas.path(&[(first.1, y), (last.1, y)], Ink::Class(0), 1.5, 0.6)?;
    }
    for &ratio in rung.wanted.iter().filter(|ratio| **ratio > 0.0 && ratio.is_finite()) {
        wish(canvas, (scale.at(ratio), y))?;
    }
    steps(canvas, rung, scale, y)?;
    let mut free = f64::NEG_INFINITY;
    for (name, x) in gears {
        canvas.path(&[(x, y - 6.0), (x, y + 6.0)], Ink::Class(0), 3.0, 1.0)?;
        // A name that would touch the one before is left out: gears count in order.
        let half = text_width(name, 11.0) / 2.0;
        if x - half > free {
            let at = (x, y - 13.0);
            canvas.patched(name, at, Type::plain(11.0, Ink::Text))?;
            free = x + half + 2.0;
        }
    }
    Ok(())
}

/// The steps between neighbouring gears, φ − 1 in per cent, where there is room.
fn steps(canvas: &Canvas, rung: &Rung, scale: &Scale, y: f64) -> Result<(), Error> {
    let ratios = rung.gears.iter().map(|gear| gear.1);
    let ratios: Vec<f64> = ratios.filter(|ratio| *ratio > 0.0 && ratio.is_finite()).collect();
    for pair in ratios.windows(2) {
        let text = format!("{:.0} %", (pair[0] / pair[1] - 1.0) * 100.0);
        let (from, to) = (scale.at(pair[0]), scale.at(pair[1]));
        // A wanted gear in the middle of the step stays in sight.
        let half = text_width(&text, 10.5) / 2.0 + 4.0;
        let middle = (from + to) / 2.0;
        let hides = |ratio: &f64| (scale.at(*ratio) - middle).abs() < half;
        if to - from > 2.0 * half && !rung.wanted.iter().any(hides) {
            canvas.patched(&text, (middle, y), Type::plain(10.5, Ink::Muted))?;
        }
    }
    Ok(())
}

/// A gear of the ladder that is wanted: a thin mark, longer than a gear's.
fn wish(canvas: &Canvas, (x, y): (f64, f64)) -> Result<(), Error> {
    canvas.path(&[(x, y - 9.0), (x, y + 9.0)], Ink::Accent, 1.0, 0.9)
}

fn reverse(canvas: &Canvas, rung: &Rung, scale: &Scale, y: f64) -> Result<(), Error> {
    let mut taken: Vec<f64> = Vec::new();
    for (name, ratio) in rung.gears.iter().filter(|gear| gear.1 < 0.0 && gear.1.is_finite()) {
        let x = scale.at(-ratio);
        ring(canvas, (x, y + 13.0))?;
        let width = text_width(name, 11.0);
        let beyond = x + 8.0 + width > scale.right;
        let aside = if beyond { -8.0 - width / 2.0 } else { 8.0 + width / 2.0 };
        if taken.iter().all(|other| (other - x).abs() > width + 16.0) {
            canvas.patched(name, (x + aside, y + 13.0), Type::plain(11.0, Ink::Text))?;
        }
        taken.push(x);
    }
    Ok(())
}

/// A ring: reverse, told from a forward tick by shape.
fn ring(canvas: &Canvas, at: (f64, f64)) -> Result<(), Error> {
    canvas.circle(at, 4.5, Ink::Accent, 1.0)?;
    canvas.circle(at, 2.5, Ink::Paper, 1.0)
}
