//! How the roles of shafts look: told by width, pattern and shape as well as by colour, so
//! that they read in grey.

use super::canvas::{Anchor, Type, text_width};
use super::palette::{Ink, Role};
use super::scene::{Point, Scene, Stroke};

/// The line of a shaft: driving the widest, driven whole, linking dotted, held
/// in dashes, idle thin.
pub(super) fn stroke(role: Role, width: f64) -> Stroke {
    let ink = Ink::Role(role);
    match role {
        Role::Driving => Stroke::solid(ink, width * 1.4),
        Role::Driven => Stroke::solid(ink, width),
        Role::Linking => Stroke::dashed(ink, width, width * 0.5, width * 1.8),
        Role::Held => Stroke::dashed(ink, width, width * 3.0, width * 1.8),
        Role::Idle => Stroke::solid(ink, width * 0.6),
    }
}

/// A mark at a point: a square drives, a ring is driven, a diamond links, a cross is held, a
/// small disc idles.
pub(super) fn knob(scene: &mut Scene, (x, y): Point, role: Role) {
    let ink = Ink::Role(role);
    match role {
        Role::Driving => {
            scene.area(
                &[(x - 5.0, y - 5.0), (x + 5.0, y - 5.0), (x + 5.0, y + 5.0), (x - 5.0, y + 5.0)],
                ink,
            );
        }
        Role::Driven => {
            scene.disc((x, y), 5.5, ink);
            scene.disc((x, y), 2.5, Ink::Paper);
        }
        Role::Linking => {
            scene.area(&[(x, y - 6.0), (x + 6.0, y), (x, y + 6.0), (x - 6.0, y)], ink);
        }
        Role::Held => {
            let stroke = Stroke::solid(ink, 2.5);
            scene.line(&[(x - 4.5, y - 4.5), (x + 4.5, y + 4.5)], stroke);
            scene.line(&[(x - 4.5, y + 4.5), (x + 4.5, y - 4.5)], stroke);
        }
        Role::Idle => scene.disc((x, y), 3.5, ink),
    }
}

/// What the marks and lines mean, in one row from `at`, as far as it fits before `right`.
pub(super) fn legend(scene: &mut Scene, (left, y): Point, right: f64) {
    let mut x = left;
    for role in Role::ALL {
        let words = role.word();
        let wide = 44.0 + text_width(words, 12.0);
        if x + wide > right {
            break;
        }
        scene.line(&[(x, y), (x + 26.0, y)], stroke(role, 2.5));
        knob(scene, (x + 13.0, y), role);
        scene.text(words, (x + 32.0, y), Anchor::Start, Type::plain(12.0, Ink::Muted));
        x += wide + 12.0;
    }
}
