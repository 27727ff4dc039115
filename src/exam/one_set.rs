//! Items on one set: its six ways, superposition, planets, assembly, teeth, torque, lever.

mod assembly;
mod derive;
mod find_teeth;
mod lever;
mod planet_speed;
mod ratio;
mod recognise;
mod six_ways;
mod torque;
mod two_driven;

use super::shop::{Draft, Shop};
use crate::num::{Fraction, fraction};
use crate::problem::{Figure, Kind, Misconception, Said, Topic};
use crate::train::{Element, GearSet, Grip, Layout, Member, Role, Shaft, ShaftId, write_layout};

pub(super) use assembly::assembly;
pub(super) use derive::derive;
pub(super) use find_teeth::find_teeth;
pub(super) use lever::lever;
pub(super) use planet_speed::planet_speed;
pub(super) use ratio::ratio;
pub(super) use recognise::recognise;
pub(super) use six_ways::six_ways;
pub(super) use torque::torque;
pub(super) use two_driven::two_driven;

/// One of the six ways to use a set: a member drives, one is held, one is taken off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Way {
    pub driver: Role,
    pub held: Role,
    pub out: Role,
}

impl Way {
    /// All six, the order in which tables list them: by the held member, then the driver.
    pub fn all() -> [Self; 6] {
        use Role::{Carrier, Ring, Sun};
        let way = |driver, held, out| Self { driver, held, out };
        [
            way(Sun, Ring, Carrier),
            way(Carrier, Ring, Sun),
            way(Ring, Sun, Carrier),
            way(Carrier, Sun, Ring),
            way(Sun, Carrier, Ring),
            way(Ring, Carrier, Sun),
        ]
    }

    /// Two letters, driver then held member, for names of skeletons.
    pub fn letters(self) -> String {
        format!("{}{}", self.driver.letter(), self.held.letter()).to_lowercase()
    }

    /// Driver and driven member exchanged.
    pub fn turned(self) -> Self {
        Self { driver: self.out, out: self.driver, ..self }
    }

    /// The same driver with the other two exchanged.
    pub fn held_wrong(self) -> Self {
        Self { held: self.out, out: self.held, ..self }
    }

    /// Sun and ring exchanged.
    pub fn exchanged(self) -> Self {
        let other = |role| match role {
            Role::Sun => Role::Ring,
            Role::Ring => Role::Sun,
            Role::Carrier => Role::Carrier,
        };
        Self { driver: other(self.driver), held: other(self.held), out: other(self.out) }
    }

    /// What leads from this way to the ratio of another.
    pub fn slip_to(self, other: Self) -> Misconception {
        if other == self.turned() {
            Misconception::InverseRatio
        } else if other == self.exchanged() {
            Misconception::SunRingExchanged
        } else if other.held == Role::Carrier {
            Misconception::CarrierIdle
        } else if self.held == Role::Carrier {
            Misconception::LostSign
        } else {
            Misconception::WrongHeld
        }
    }

    /// i = n_driver / n_out from Z_S n_S + Z_R n_R = (Z_S + Z_R) n_C with n_held = 0: the
    /// ratio is −w_out / w_driver with the weights w of that equation.
    pub fn ratio(self, set: &GearSet) -> Fraction {
        fraction(-weight(set, self.out), weight(set, self.driver))
    }

    /// `Z_out/Z_driver` in the small notation of formulas, a carrier counted as the sum.
    pub fn formula(self) -> &'static str {
        use Role::{Carrier, Ring, Sun};
        match (self.driver, self.out) {
            (Sun, Carrier) => "1 + Z_R/Z_S",
            (Carrier, Sun) => "Z_S/(Z_S + Z_R)",
            (Ring, Carrier) => "1 + Z_S/Z_R",
            (Carrier, Ring) => "Z_R/(Z_S + Z_R)",
            (Sun, _) => "-Z_R/Z_S",
            _ => "-Z_S/Z_R",
        }
    }

    /// The formula with the teeth put in.
    pub fn put(self, set: &GearSet) -> String {
        let formula = self.formula().replace("Z_R", &set.ring.to_string());
        formula.replace("Z_S", &set.sun.to_string())
    }
}

/// The member's weight in the speed equation; the carrier's is −(Z_S + Z_R).
pub(super) fn weight(set: &GearSet, role: Role) -> i64 {
    set.willis()[role as usize]
}

/// `member-sun` and so on: "the sun" in every language.
pub(super) fn member(role: Role) -> Said {
    Said::new(match role {
        Role::Sun => "member-sun",
        Role::Ring => "member-ring",
        Role::Carrier => "member-carrier",
    })
}

/// The set used in one way, as a layout with a brake A on the held member.
pub(super) fn layout_of(set: &GearSet, way: Way) -> Layout {
    let shaft =
        |name: &str, role| Shaft { name: name.to_owned(), members: vec![Member::new(0, role)] };
    Layout {
        title: None,
        sets: vec![*set],
        shafts: vec![
            shaft("input", way.driver),
            shaft("output", way.out),
            shaft(role_name(way.held), way.held),
        ],
        held: Vec::new(),
        elements: vec![Element { name: "A".to_owned(), grip: Grip::Brake(ShaftId(2)) }],
        gears: Vec::new(),
    }
}

/// As shafts are named in layout files.
pub(super) fn role_name(role: Role) -> &'static str {
    match role {
        Role::Sun => "sun",
        Role::Ring => "ring",
        Role::Carrier => "carrier",
    }
}

/// The set with its teeth, in a scene: how nearly every item on one set begins.
pub(super) fn given(scene: &str, set: &GearSet) -> Said {
    Said::new("given-set")
        .with("scene", Said::new(&format!("scene-{scene}")))
        .with("sun", set.sun)
        .with("ring", set.ring)
        .with("planet", set.planet.unwrap_or_default())
        .count("planets", set.planets.unwrap_or_default())
}

/// The stick drawing of a set used in one way.
pub(super) fn stick(set: &GearSet, way: Way) -> Figure {
    Figure::Stick { layout: write_layout(&layout_of(set, way)) }
}

/// Least distance between the tips of neighbouring planets, in modules: told in the items.
const GAP: f64 = 0.5;
/// Room in modules that is so scarce or so ample that rounding decides nothing.
const SURE: f64 = 0.08;

/// Room between the tips of neighbouring planets in modules, with tips one module above the
/// pitch circle: (Z_S + Z_P) sin(180° / N) − (Z_P + 2).
fn room(sun: u32, planet: u32, planets: u32) -> f64 {
    let half = std::f64::consts::PI / f64::from(planets);
    f64::from(sun + planet) * half.sin() - f64::from(planet + 2)
}

/// Whether the room is clearly enough or clearly too little.
fn is_sure(room: f64) -> bool {
    (room - GAP).abs() > SURE
}

/// An item on a set that is used in one way: its teeth, and what is driven, held, taken off.
fn used(
    shop: &mut Shop<'_>,
    kind: Kind,
    variant: &str,
    topics: &[Topic],
    way: Way,
    set: &GearSet,
) -> Draft {
    let layout = write_layout(&layout_of(set, way));
    let scene = shop.scene();
    Draft::new(kind, shop.level, variant, topics, layout)
        .teeth(&[*set])
        .stem(given(scene, set))
        .stem(
            Said::new("driven-held")
                .with("driver", member(way.driver))
                .with("held", member(way.held))
                .with("out", member(way.out)),
        )
}

/// `n_S`, `Z_R` … in the small notation.
pub(super) fn symbol(letter: &str, role: Role) -> String {
    format!("{letter}_{}", role.letter())
}

/// Round speeds in rpm from `least` to `most`, in steps that people use.
pub(in crate::exam) fn round_speeds(least: i64, most: i64) -> Vec<i64> {
    let step = |speed: i64| {
        if speed < 200 {
            10
        } else if speed < 1000 {
            20
        } else {
            50
        }
    };
    std::iter::successors(Some(least), |&speed| Some(speed + step(speed)))
        .take_while(|&speed| speed <= most)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::solve_state;
    use crate::train::ElementMask;

    /// The set 30/66 of a classroom: sun in, ring held, carrier out is 1 + 66/30 = 16/5.
    #[test]
    fn six_ways_of_a_set_are_those_of_its_motion() {
        let set = GearSet::single(30, 66);
        assert_eq!(Way::all()[0].ratio(&set), fraction(16, 5));
        for way in Way::all() {
            let motion = solve_state(&layout_of(&set, way), ElementMask::of([0]));
            assert_eq!(motion.ratio, Some(way.ratio(&set)), "{way:?}");
        }
    }
}
