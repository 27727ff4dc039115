//! The keys of a brief for `study`: for each its full path and, in words, what may stand there.

use crate::brief::dialect::Dialect;

/// Briefs of [`super::StudyBrief`].
pub(in crate::brief) static STUDY: Dialect = Dialect {
    command: "study",
    noun: "a brief of a study",
    reference: "configs/every-study-key.toml",
    least: ("study", "write at least [study] with sets = [1, 4]"),
    marks: &["study", "band"],
    keys: &KEYS,
    tables: &["study", "band", "teeth", "losses", "effort"],
    rows: &[],
    criteria: &[],
    named: &[],
};

const KEYS: [(&str, &str); 31] = [
    ("title", "write a text in quotes, such as title = \"Why several sets?\""),
    ("study.sets", "write [fewest, most], such as [1, 4]"),
    ("study.elements", "write [fewest, most], such as [3, 6]"),
    ("study.engaged", "write [fewest, most], such as [1, 3]"),
    ("study.bare_input", "write \"never\", \"allowed\" or \"required\""),
    ("band.first", "write [least, most], such as [2.5, 6.0]"),
    ("band.top", "write [least, most], such as [0.4, 1.6]"),
    ("band.step", "write [least, most], such as [1.1, 1.8]"),
    ("band.reverse", "write [least, most] without signs, such as [1.5, 6.0], or \"none\""),
    ("teeth.sun", "write [fewest, most], such as [18, 60]"),
    ("teeth.planet", "write [fewest, most], such as [16, 48]"),
    ("teeth.ring", "write [fewest, most], such as [48, 110]"),
    ("teeth.planets", "write a whole number from 2 to 12, or a list of them such as [3, 4]"),
    ("teeth.base_ratio", "write [least, most], such as [1.4, 4.5]"),
    ("teeth.module", "write a number of mm from 0.05 to 50, such as 1.5"),
    ("teeth.pressure_angle", "write a number of degrees from 10 to 35, such as 20.0"),
    ("teeth.addendum", "write a number of modules from 0.5 to 1.5, such as 1.0"),
    ("teeth.gap", "write a number of modules from 0 to 5, such as 0.5"),
    ("teeth.rim", "write a number of modules from 0 to 20, such as 2.5"),
    ("teeth.largest_diameter", "write a number of mm above 0, such as 190.0, or inf for no limit"),
    ("teeth.largest_shift", "write a number from 0 to 1, such as 0.5"),
    ("teeth.odd_planet", "write true or false"),
    ("teeth.unequal_spacing", "write true or false"),
    ("teeth.radial_assembly", "write true or false"),
    ("losses.external", "write a number from 0.5 to 1, such as 0.990"),
    ("losses.internal", "write a number from 0.5 to 1, such as 0.995"),
    ("losses.by_teeth", "write true or false"),
    ("effort.samples", "write a whole number from 1 to 65536, such as 150"),
    ("effort.layouts", "write a whole number from 1 to 1000000000000000, such as 1000000000"),
    ("effort.again", "write a whole number from 1 to 1000000000000000, such as 100000000"),
    ("effort.each", "write a whole number from 1 to 1000000000000000, such as 1000000000"),
];
