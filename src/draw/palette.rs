//! The one palette: every colour of every picture and of the page, light and dark.
//!
//! Marks differ in lightness and in shape as well as in hue, so that they read in grey and
//! for colour-blind eyes; the tests below hold the contrasts.

use std::fmt::Write as _;

/// Red, green, blue.
pub type Rgb = (u8, u8, u8);

/// What a colour is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// The ground that everything lies on.
    Paper,
    /// A slightly lifted ground: boxes and stripes.
    Raised,
    /// Text and main lines.
    Text,
    /// Secondary text and axes.
    Muted,
    /// Grid lines and borders.
    Grid,
    /// What the eye shall find first: the front's staircase, links.
    Accent,
    /// Marks, best class first.
    Class(usize),
    /// A mark without a class.
    Unclassed,
    /// What a shaft does in the gear that is drawn.
    Role(Role),
    /// Power that runs from input to output.
    Ribbon,
    /// Numbers that warn: red letters.
    Warning,
}

/// What a shaft does in a gear.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Turns with the input.
    Driving,
    /// Turns with the output.
    Driven,
    /// Stands still because an element holds it.
    Held,
    /// Hands power on between sets.
    Linking,
    /// Carries no torque.
    Idle,
}

impl Role {
    pub const ALL: [Self; 5] = [Self::Driving, Self::Driven, Self::Linking, Self::Held, Self::Idle];

    pub fn word(self) -> &'static str {
        match self {
            Self::Driving => "driving",
            Self::Driven => "driven",
            Self::Linking => "linking",
            Self::Held => "held",
            Self::Idle => "idle",
        }
    }
}

impl Ink {
    /// Number of classes with a colour of their own.
    pub const CLASSES: usize = 4;

    pub const ALL: [Self; 18] = [
        Self::Paper,
        Self::Raised,
        Self::Text,
        Self::Muted,
        Self::Grid,
        Self::Accent,
        Self::Class(0),
        Self::Class(1),
        Self::Class(2),
        Self::Class(3),
        Self::Unclassed,
        Self::Role(Role::Driving),
        Self::Role(Role::Driven),
        Self::Role(Role::Linking),
        Self::Role(Role::Held),
        Self::Role(Role::Idle),
        Self::Ribbon,
        Self::Warning,
    ];

    /// `(name in style sheets, on light ground, on dark ground)`.
    fn about(self) -> (&'static str, Rgb, Rgb) {
        match self {
            Self::Paper => ("paper", (0xFC, 0xFB, 0xF8), (0x16, 0x1A, 0x1D)),
            Self::Raised => ("raised", (0xF1, 0xEF, 0xE8), (0x20, 0x26, 0x2A)),
            Self::Text => ("text", (0x20, 0x27, 0x2C), (0xEA, 0xE7, 0xDF)),
            Self::Muted => ("muted", (0x56, 0x60, 0x68), (0xA9, 0xB2, 0xB7)),
            Self::Grid => ("grid", (0xDC, 0xD8, 0xCE), (0x3A, 0x42, 0x47)),
            Self::Accent => ("accent", (0x9C, 0x3B, 0x1B), (0xF0, 0x9A, 0x6B)),
            Self::Class(0) => ("class-1", (0x0F, 0x3D, 0x47), (0xD7, 0xF0, 0xEE)),
            Self::Class(1) => ("class-2", (0x2A, 0x66, 0x8F), (0x8F, 0xC4, 0xE6)),
            Self::Class(2) => ("class-3", (0xA8, 0x6C, 0x12), (0xC9, 0x8F, 0x2E)),
            Self::Class(_) => ("class-4", (0x9A, 0x86, 0xBE), (0x86, 0x6F, 0xB5)),
            Self::Unclassed => ("unclassed", (0x7C, 0x83, 0x86), (0x80, 0x88, 0x8C)),
            Self::Ribbon => ("ribbon", (0x9F, 0xC3, 0xD6), (0x3F, 0x6C, 0x82)),
            Self::Warning => ("warning", (0xB4, 0x10, 0x1C), (0xFF, 0x8A, 0x80)),
            Self::Role(Role::Driving) => ("driving", (0x52, 0x2A, 0x6E), (0xD9, 0xB8, 0xF2)),
            Self::Role(Role::Driven) => ("driven", (0x1F, 0x7A, 0x63), (0x5F, 0xC9, 0xA8)),
            Self::Role(Role::Linking) => ("linking", (0x3A, 0x55, 0xB4), (0x9D, 0xB2, 0xF7)),
            Self::Role(Role::Held) => ("held", (0xB0, 0x4A, 0x2F), (0xE8, 0x7C, 0x55)),
            Self::Role(Role::Idle) => ("idle", (0x92, 0x97, 0x99), (0x78, 0x80, 0x84)),
        }
    }

    /// On light ground, which is what files have.
    pub fn light(self) -> Rgb {
        self.about().1
    }

    /// On dark ground.
    pub fn dark(self) -> Rgb {
        self.about().2
    }
}

pub(super) fn hex((red, green, blue): Rgb) -> String {
    format!("#{red:02X}{green:02X}{blue:02X}")
}

/// Style rules for a page: a variable for every colour (`--paper` …), light and, where the
/// reader's machine asks for it, dark on screen; and for pictures inside an element of
/// class `plot` the rules that turn their light colours into these variables.
pub fn page_colours() -> String {
    let variables = |value: &dyn Fn(Ink) -> Rgb| {
        let all = Ink::ALL.into_iter().map(|ink| {
            let (name, ..) = ink.about();
            format!("--{name}:{};", hex(value(ink)))
        });
        all.collect::<String>()
    };
    let mut rules = format!(":root{{{}}}\n", variables(&Ink::light));
    let dark = variables(&Ink::dark);
    let _ = writeln!(rules, "@media screen and (prefers-color-scheme:dark){{:root{{{dark}}}}}");
    // Paper is white already: no ink for the ground.
    rules.push_str("@media print{:root{--paper:#FFFFFF;}}\n");
    for ink in Ink::ALL {
        let ((name, ..), light) = (ink.about(), hex(ink.light()));
        let _ = writeln!(rules, ".plot [fill=\"{light}\"]{{fill:var(--{name})}}");
        let _ = writeln!(rules, ".plot [stroke=\"{light}\"]{{stroke:var(--{name})}}");
    }
    rules
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Relative luminance, WCAG 2.1.
    fn luminance((red, green, blue): Rgb) -> f64 {
        let linear = |channel: u8| {
            let c = f64::from(channel) / 255.0;
            if c <= 0.03928 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
    }

    /// Contrast ratio, WCAG 2.1: 1 for the same, 21 for black on white.
    fn contrast(a: Rgb, b: Rgb) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn text_and_marks_stand_out_from_the_ground() {
        for ground in [Ink::light as fn(Ink) -> Rgb, Ink::dark] {
            for ink in [Ink::Text, Ink::Muted, Ink::Accent, Ink::Warning] {
                assert!(contrast(ground(ink), ground(Ink::Paper)) >= 4.5, "{ink:?}");
                assert!(contrast(ground(ink), ground(Ink::Raised)) >= 4.5, "{ink:?}");
            }
            for ink in (0..Ink::CLASSES).map(Ink::Class) {
                assert!(contrast(ground(ink), ground(Ink::Paper)) >= 3.0, "{ink:?}");
            }
        }
    }

    #[test]
    fn classes_differ_in_grey() {
        for ground in [Ink::light as fn(Ink) -> Rgb, Ink::dark] {
            for class in 1..Ink::CLASSES {
                let apart = contrast(ground(Ink::Class(class - 1)), ground(Ink::Class(class)));
                assert!(apart >= 1.25, "classes {} and {}: {apart}", class, class + 1);
            }
        }
    }

    #[test]
    fn no_two_light_colours_are_the_same() {
        let mut all = Ink::ALL.map(|ink| hex(ink.light())).to_vec();
        all.sort();
        all.dedup();
        assert_eq!(all.len(), Ink::ALL.len());
    }
}
