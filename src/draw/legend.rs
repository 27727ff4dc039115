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
}

impl Entry {
    fn words(&self) -> &str {
        match self {
            Self::Words(words) | Self::Mark(_, words) => words,
            Self::Stairs(words) | Self::Faint(words) => words,
        }
    }

    /// Width of what stands before the words.
    fn sign(&self) -> f64 {
        match self {
            Self::Words(_) => 0.0,
            Self::Mark(..) => 16.0,
            Self::Stairs(_) => 28.0,
            Self::Faint(_) => 24.0,
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
        }
    }
}

/// Draws the entries from `(left, top)`, in rows that end before `right`; returns where
/// the legend ends.
pub(super) fn legend(
    canvas: &Canvas,
    entries: &[Entry],
    (left, top): (f64, f64),
    right: f64,
) -> Result<f64, Error> {
    let (mut x, mut y) = (left, top + ROW / 2.0 - 4.0);
    for entry in entries {
        let words = fitted(entry.words(), SIZE, right - left - entry.sign());
        let width = entry.sign() + text_width(&words, SIZE);
        if x > left && x + width > right {
            (x, y) = (left, y + ROW);
        }
        entry.draw(canvas, (x, y))?;
        let at = (x + entry.sign(), y);
        canvas.text(&words, at, Anchor::Start, Type::plain(SIZE, Ink::Muted))?;
        x += width + 16.0;
    }
    Ok(y + ROW / 2.0 + 6.0)
}
