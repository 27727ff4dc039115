//! The funnel: how many layouts came to each test and how many were left, as bars on a
//! logarithmic scale.

use super::canvas::{
    Anchor, Canvas, Picture, Size, Type, fitted, picture, text_width, title_end, wrapped,
};
use super::legend::{Entry, legend, legend_end};
use super::palette::Ink;
use crate::error::Error;
use crate::num::grouped;

const NARROW: u32 = 600;
const RIGHT: f64 = 24.0;
const FOOT: f64 = 50.0;
const NOTE_SIZE: f64 = 11.5;
const NOTE_LINE: f64 = 14.0;
const CAME: Ink = Ink::Ribbon;
const LEFT: Ink = Ink::Class(0);

/// One test.
#[derive(Clone, Debug)]
pub struct Test {
    pub name: String,
    pub came: u64,
    pub left: u64,
}

/// What is to be drawn, in the order of the tests.
#[derive(Clone, Debug)]
pub struct Funnel {
    pub title: String,
    pub tests: Vec<Test>,
    /// Said below, such as what a test does that leaves more than came; may be empty.
    pub note: String,
    /// Said where there is no test.
    pub empty: String,
}

/// Where everything goes.
struct Frame {
    wide: bool,
    left: f64,
    right: f64,
    top: f64,
    /// Height of a test.
    row: f64,
    /// Decades of the scale.
    decades: f64,
}

impl Frame {
    /// Half a decade below 1, so that a single layout has a bar, and none has not.
    fn at(&self, count: f64) -> f64 {
        let part = (count.max(10f64.powf(-0.5)).log10() + 0.5) / (self.decades + 0.5);
        self.left + part * (self.right - self.left)
    }
}

impl Funnel {
    /// The picture, as high as its tests need.
    ///
    /// # Errors
    /// [`Error::Work`] when the plotting library fails.
    pub fn draw(&self, width: u32) -> Result<Picture, Error> {
        let across = f64::from(width);
        let top = title_end(&self.title, across);
        let head = legend_end(&entries(), (20.0, top), across - 20.0);
        let (head, row) = if width < NARROW { (head, 56.0) } else { (head + 14.0, 42.0) };
        let notes = wrapped(&self.note, NOTE_SIZE, across - 40.0);
        let notes = NOTE_LINE * notes.len() as f64;
        let height = head + row * self.tests.len().max(2) as f64 + FOOT + notes;
        let size = Size { width, height: height as u32 };
        let frame = self.frame(size, head, row);
        picture(size, &self.title, |canvas| self.paint(canvas, size, &frame))
    }

    fn frame(&self, size: Size, top: f64, row: f64) -> Frame {
        let width = f64::from(size.width);
        let wide = size.width >= NARROW;
        let most = self.tests.iter().map(|test| test.came.max(test.left)).max().unwrap_or(1);
        let decades = (most.max(10) as f64).log10().ceil();
        let names = self.tests.iter().map(|test| text_width(&test.name, 13.0));
        // Beside each bar its name on the left and its counts on the right.
        let counts = self.tests.iter().map(|test| text_width(&test.counts(), 12.5));
        let left = names.fold(60.0, f64::max).min(width / 4.0) + 34.0;
        let right = width - RIGHT - counts.fold(60.0, f64::max) - 12.0;
        let (left, right) = if wide { (left, right) } else { (20.0, width - RIGHT) };
        Frame { wide, left, right, top, row, decades }
    }

    fn paint(&self, canvas: &Canvas, size: Size, frame: &Frame) -> Result<(), Error> {
        let (width, height) = (f64::from(size.width), f64::from(size.height));
        let top = canvas.title(&self.title, width)?;
        if self.tests.is_empty() {
            let words = fitted(&self.empty, 15.0, width - 40.0);
            let look = Type::plain(15.0, Ink::Muted);
            return canvas.text(&words, (width / 2.0, height / 2.0), Anchor::Middle, look);
        }
        legend(canvas, &entries(), (20.0, top), width - 20.0)?;
        if frame.wide {
            let at = (frame.right + 12.0, frame.top - 6.0);
            canvas.text("came → left", at, Anchor::Start, Type::plain(12.0, Ink::Muted))?;
        }
        self.decades(canvas, frame)?;
        for (index, test) in self.tests.iter().enumerate() {
            test.draw(canvas, frame, frame.top + frame.row * index as f64)?;
        }
        let words = fitted("layouts (log scale)", 13.0, width - 40.0);
        let bottom = frame.top + frame.row * self.tests.len() as f64;
        let at = ((frame.left + frame.right) / 2.0, bottom + 34.0);
        canvas.text(&words, at, Anchor::Middle, Type::plain(13.0, Ink::Text))?;
        for (line, text) in wrapped(&self.note, NOTE_SIZE, width - 40.0).iter().rev().enumerate() {
            let at = (20.0, height - 10.0 - NOTE_LINE * line as f64);
            canvas.text(text, at, Anchor::Start, Type::plain(NOTE_SIZE, Ink::Muted))?;
        }
        Ok(())
    }

    /// A line for every power of ten; numbers where there is room.
    fn decades(&self, canvas: &Canvas, frame: &Frame) -> Result<(), Error> {
        let bottom = frame.top + frame.row * self.tests.len() as f64;
        let look = Type::plain(11.5, Ink::Muted);
        let mut free = 0.0;
        for decade in 0..=frame.decades as u32 {
            let count = 10u64.saturating_pow(decade);
            let x = frame.at(count as f64);
            for row in 0..self.tests.len() {
                let top = frame.top + frame.row * row as f64;
                // In a narrow picture words stand over each bar, which no line shall cross.
                let from = if frame.wide { top } else { top + frame.row - 27.0 };
                canvas.path(&[(x, from), (x, top + frame.row)], Ink::Grid, 1.0, 1.0)?;
            }
            let text = power(decade);
            let half = text_width(&text, look.size) / 2.0;
            let x = if frame.wide { x } else { x.min(frame.right - half) };
            if x - half > free {
                canvas.text(&text, (x, bottom + 13.0), Anchor::Middle, look)?;
                free = x + half + 6.0;
            }
        }
        Ok(())
    }
}

impl Test {
    fn counts(&self) -> String {
        format!("{} → {}", grouped(self.came), grouped(self.left))
    }

    fn draw(&self, canvas: &Canvas, frame: &Frame, top: f64) -> Result<(), Error> {
        let name = Type::plain(13.0, Ink::Text);
        let counts = Type::plain(12.5, Ink::Text);
        let middle = if frame.wide { top + frame.row / 2.0 } else { top + frame.row - 14.0 };
        if frame.wide {
            let room = frame.left - 32.0;
            let lines = wrapped(&self.name, name.size, room);
            let lines = &lines[..lines.len().min(2)];
            let first = middle - 8.0 * (lines.len() as f64 - 1.0);
            for (line, text) in lines.iter().enumerate() {
                let at = (frame.left - 12.0, first + 16.0 * line as f64);
                canvas.text(text, at, Anchor::End, name)?;
            }
            canvas.text(&self.counts(), (frame.right + 12.0, middle), Anchor::Start, counts)?;
        } else {
            let (text, y) = (self.counts(), top + frame.row - 36.0);
            let room = frame.right - frame.left - text_width(&text, counts.size) - 10.0;
            let said = fitted(&self.name, name.size, room);
            canvas.text(&said, (frame.left, y), Anchor::Start, name)?;
            canvas.text(&text, (frame.right, y), Anchor::End, counts)?;
        }
        // The inner bar is thinner: both are seen, whichever is longer.
        let bar = |count: u64, half: f64, ink: Ink| {
            let ends = [frame.left, middle - half, frame.at(count as f64), middle + half];
            if count > 0 { canvas.area(ends, ink, 1.0) } else { Ok(()) }
        };
        bar(self.came, 11.0, CAME)?;
        bar(self.left, 5.5, LEFT)
    }
}

fn entries() -> [Entry; 2] {
    [
        Entry::Area(CAME, 1.0, "came to the test".to_owned()),
        Entry::Area(LEFT, 1.0, "were left after it".to_owned()),
    ]
}

/// A power of ten as it is said: in figures up to a million, then in words.
fn power(decade: u32) -> String {
    let of = |zeros: u32, word: &str| format!("{} {word}", grouped(10u64.pow(decade - zeros)));
    match decade {
        0..=5 => grouped(10u64.pow(decade)),
        6..=8 => of(6, "million"),
        9..=11 => of(9, "billion"),
        12..=14 => of(12, "trillion"),
        _ => format!("10^{decade}"),
    }
}
