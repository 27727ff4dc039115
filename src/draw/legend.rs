//! The legend: what marks and lines mean, in as many rows as it takes.

use super::canvas::{Anchor, Canvas, Type, fitted, text_width};
use super::marker::{Class, ink, mark};
use super::palette::Ink;
use crate::error::Error;

const SIZE: f64 = 12.5;
const ROW: f64 = 20.0;

/// One entry of the legend.
pub(super) enum Entry {
    Words(String),
    Mark(Class, String),
    Stairs(String),
    Faint(String),
    /// A line of a class with its mark.
    Line(Class, String),
    /// The corner where both quantities are best.
    Corner(String),
    /// An area of an ink and an opacity.
    Area(Ink, f64, String),
}

impl Entry {
    fn words(&self) -> &str {
        match self {
            Self::Words(words) | Self::Mark(_, words) => words,
            Self::Stairs(words) | Self::Faint(words) | Self::Corner(words) => words,
            Self::Line(_, words) | Self::Area(_, _, words) => words,
        }
    }

    /// Width of what stands before the words.
    fn sign(&self) -> f64 {
        match self {
            Self::Words(_) => 0.0,
            Self::Mark(..) | Self::Corner(_) => 16.0,
            Self::Stairs(_) | Self::Line(..) => 28.0,
            Self::Faint(_) | Self::Area(..) => 24.0,
        }
    }

    fn draw(&self, canvas: &Canvas, (x, y): (f64, f64)) -> Result<(), Error> {
        match self {
            Self::Words(_) => Ok(()),
            Self::Mark(class, _) => mark(canvas, *class, (x + 6.0, y), 5.0, ink(*class), 1.0),
            Self::Stairs(_) => {
                let stairs =
                    [(x, y + 4.0), (x + 11.0, y + 4.0), (x + 11.0, y - 4.0), (x + 22.0, y - 4.0)];
                canvas.path(&stairs, Ink::Text, 2.0, 0.85)
            }
            Self::Faint(_) => {
                for (dx, dy) in [(3.0, 2.0), (9.0, -3.0), (15.0, 3.0)] {
                    mark(canvas, Some(0), (x + dx, y + dy), 2.6, ink(Some(0)), 0.38)?;
                }
                Ok(())
            }
            Self::Line(class, _) => {
                canvas.path(&[(x, y), (x + 22.0, y)], ink(*class), 2.0, 0.85)?;
                mark(canvas, *class, (x + 11.0, y), 4.0, ink(*class), 1.0)
            }
            Self::Corner(_) => corner(canvas, (x + 11.0, y - 5.0), (1.0, 1.0)),
            Self::Area(ink, opacity, _) => {
                canvas.area([x, y - 5.0, x + 18.0, y + 5.0], *ink, *opacity)
            }
        }
    }
}

/// The mark in the corner `at` of a frame: `towards` is 1 where the frame lies left of the
/// corner, or below it, else −1.
pub(super) fn corner(canvas: &Canvas, at: (f64, f64), towards: (f64, f64)) -> Result<(), Error> {
    let (x, y) = at;
    let far = 10.0;
    canvas.polygon(&[at, (x - towards.0 * far, y), (x, y + towards.1 * far)], Ink::Accent, 1.0)
}

/// An entry with its place, its words cut to the room there is.
struct Place {
    at: (f64, f64),
    words: String,
}

/// Where the entries go from `(left, top)`, in rows that end before `right`; and
/// where the legend ends.
fn rows(entries: &[Entry], (left, top): (f64, f64), right: f64) -> (Vec<Place>, f64) {
    let (mut x, mut y) = (left, top + ROW / 2.0 - 4.0);
    let mut places = Vec::with_capacity(entries.len());
    for entry in entries {
        let words = fitted(entry.words(), SIZE, right - left - entry.sign());
        let width = entry.sign() + text_width(&words, SIZE);
        if x > left && x + width > right {
            (x, y) = (left, y + ROW);
        }
        places.push(Place { at: (x, y), words });
        x += width + 16.0;
    }
    (places, y + ROW / 2.0 + 6.0)
}

/// Where a legend from `(left, top)` will end.
pub(super) fn legend_end(entries: &[Entry], place: (f64, f64), right: f64) -> f64 {
    rows(entries, place, right).1
}

/// Draws the entries from `(left, top)`, in rows that end before `right`; returns where
/// the legend ends.
pub(super) fn legend(
    canvas: &Canvas,
    entries: &[Entry],
    place: (f64, f64),
    right: f64,
) -> Result<f64, Error> {
    let (places, end) = rows(entries, place, right);
    for (entry, place) in entries.iter().zip(places) {
        entry.draw(canvas, place.at)?;
        let at = (place.at.0 + entry.sign(), place.at.1);
        canvas.text(&place.words, at, Anchor::Start, Type::plain(SIZE, Ink::Muted))?;
    }
    Ok(end)
}
