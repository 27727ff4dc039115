//! A set as it is built: every judgement of its parts.

use crate::strength::{Hub, HubPlace, Material, SetStrength, Twisted};
use crate::teeth::WheelKind;

/// A set as it is built, under its load.
#[derive(Clone, Debug)]
pub struct Built {
    pub strength: SetStrength,
    /// The sun on its shaft.
    pub sun: Hub,
    /// The front plate on its shaft.
    pub drive: Hub,
    /// What the plates are of.
    pub plate: &'static Material,
}

/// What of a set bears something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bearer {
    Teeth,
    Pin(WheelKind),
    /// The holes of the plates in which the pin of this wheel sits.
    PinHole(WheelKind),
    Sun(HubPlace),
    Carrier(HubPlace),
}

impl Bearer {
    /// As reports say it, such as `shaft of the sun`; `set` counts from 1.
    pub fn words(self, set: usize) -> String {
        let place = |place: HubPlace| match place {
            HubPlace::Shaft => "shaft in",
            HubPlace::HubWall => "wall round the hole of",
            HubPlace::HoleWall => "hole wall of",
        };
        match self {
            Self::Teeth => format!("teeth of set {set}"),
            Self::Pin(wheel) => format!("pin of the {} of set {set}", wheel.word()),
            Self::PinHole(wheel) => {
                format!("plates' holes for the pin of the {} of set {set}", wheel.word())
            }
            Self::Sun(at) => format!("{} sun S{set}", place(at)),
            Self::Carrier(at) => format!("{} the front plate of carrier C{set}", place(at)),
        }
    }
}

/// One judgement of a built set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Verdict {
    pub bearer: Bearer,
    /// Raises the stress of the plain formula; 1 where nothing does.
    pub notch: f64,
    /// `None` of teeth, which have several kinds.
    pub stress_mpa: Option<f64>,
    pub allowable_mpa: Option<f64>,
    pub safety: Option<f64>,
}

impl Built {
    /// Teeth, pins, plates, sun and carrier; what nothing loads has no safety.
    pub fn verdicts(&self) -> Vec<Verdict> {
        let plain = |bearer, stress: f64, allowable: f64| Verdict {
            bearer,
            notch: 1.0,
            stress_mpa: Some(stress),
            allowable_mpa: Some(allowable),
            safety: (stress > 0.0).then(|| allowable / stress),
        };
        let mut all = vec![Verdict {
            bearer: Bearer::Teeth,
            notch: 1.0,
            stress_mpa: None,
            allowable_mpa: None,
            safety: self.strength.least_safety(),
        }];
        for pin in &self.strength.pins {
            all.push(plain(Bearer::Pin(pin.wheel), pin.stress_mpa, pin.allowable_mpa));
            all.push(plain(Bearer::PinHole(pin.wheel), pin.hole_mpa, self.plate.wall_mpa()));
        }
        let twisted = |bearer: fn(HubPlace) -> Bearer| {
            move |told: Twisted| Verdict {
                bearer: bearer(told.place),
                notch: told.notch,
                stress_mpa: Some(told.stress_mpa),
                allowable_mpa: Some(told.allowable_mpa),
                safety: told.safety,
            }
        };
        all.extend(self.sun.judge().map(twisted(Bearer::Sun)));
        all.extend(self.drive.judge().map(twisted(Bearer::Carrier)));
        all
    }

    /// The least safety of all; `None` where nothing loads the set.
    pub fn safety(&self) -> Option<f64> {
        self.verdicts().iter().filter_map(|verdict| verdict.safety).reduce(f64::min)
    }
}
