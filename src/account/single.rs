//! One picture of a layout, for papers.

use super::Basis;
use super::portrait::{face as face_of, levers as levers_of, stick as stick_of};
use crate::build::drawing;
use crate::draw::Picture;
use crate::score::GearState;
use crate::train::{ElementMask, Layout, Role, SetKind};

/// The stick drawing, nothing engaged; `None` where the layout does not nest.
pub fn stick(layout: &Layout) -> Option<Picture> {
    let drawing = drawing(layout)?;
    Some(stick_of(&title(layout), layout, &drawing, None).draw())
}

/// The levers in a live state; `None` where an element is not there.
pub fn levers(layout: &Layout, engaged: &[String]) -> Option<Picture> {
    let gear = state(layout, engaged).filter(|gear| gear.motion.ratio.is_some())?;
    Some(levers_of(&title(layout), layout, &gear).draw())
}

/// A set (from 0) from in front; `None` where its planets are not known.
pub fn face(layout: &Layout, set: usize) -> Option<Picture> {
    Some(face_of(layout, set, &Basis::default())?.draw())
}

/// The members of a set (from 0) and where they sit on its lever: the carrier at 0, the sun
/// at 1, the ring at −1/ρ or, of a paired set, at 1/ρ.
pub fn pins(layout: &Layout, set: usize) -> Vec<(String, f64)> {
    let teeth = layout.sets[set];
    let ring = match teeth.kind {
        SetKind::Single => -1.0 / teeth.base_ratio(),
        SetKind::Paired => 1.0 / teeth.base_ratio(),
    };
    let places = Role::ALL.into_iter().zip([1.0, ring, 0.0]);
    places.map(|(role, place)| (format!("{}{}", role.letter(), set + 1), place)).collect()
}

fn state(layout: &Layout, names: &[String]) -> Option<GearState> {
    let place = |name: &String| layout.elements.iter().position(|element| element.name == *name);
    let engaged = ElementMask::of(names.iter().map(place).collect::<Option<Vec<_>>>()?);
    Some(GearState::of(layout, &names.join(" "), engaged, &Basis::default().mesh))
}

fn title(layout: &Layout) -> String {
    layout.title.clone().unwrap_or_else(|| "Gearbox".to_owned())
}
