//! Figures of items as pictures.

use crate::account::single;
use crate::draw::{BlankLever, Picture};
use crate::error::{Error, Mistake};
use crate::problem::Figure;
use crate::train::{Layout, parse_layout};

/// A picture and how wide it is on paper, as a share of the lines.
#[derive(Clone, Debug)]
pub struct Drawn {
    pub picture: Picture,
    pub share: f64,
}

/// The picture of a figure; `None` where there is none, as of a layout that does not nest.
///
/// # Errors
/// [`Error::Work`] where the figure names a layout that cannot be read.
pub fn draw(figure: &Figure) -> Result<Option<Drawn>, Error> {
    let layout = |text: &str| parse_layout(text).map_err(broken);
    Ok(match figure {
        Figure::Stick { layout: text } => {
            single::stick(&layout(text)?).map(|picture| Drawn { picture, share: 0.55 })
        }
        Figure::BlankLever { layout: text, set } => Some(blank(&layout(text)?, *set)),
        Figure::Levers { layout: text, engaged } => {
            let layout = layout(text)?;
            let share = if layout.sets.len() > 1 { 0.9 } else { 0.6 };
            single::levers(&layout, engaged).map(|picture| Drawn { picture, share })
        }
        Figure::Face { layout: text, set } => {
            let face = single::face(&layout(text)?, set.saturating_sub(1));
            face.map(|picture| Drawn { picture, share: 0.45 })
        }
    })
}

fn blank(layout: &Layout, set: usize) -> Drawn {
    let index = set.saturating_sub(1);
    let teeth = layout.sets[index];
    let lever = BlankLever {
        title: format!(
            "Lever of set {set}: {} teeth in the sun, {} in the ring",
            teeth.sun, teeth.ring
        ),
        pins: single::pins(layout, index),
    };
    Drawn { picture: lever.draw(), share: 0.6 }
}

fn broken(mistake: Mistake) -> Error {
    Error::Work(format!("a figure names a layout that does not read: {mistake}"))
}
