//! The keys of a brief for `reduce`: for each its full path and, in words, what may stand
//! there.

use crate::brief::dialect::Dialect;
use crate::score::Criterion;

/// Briefs of [`super::ReductionBrief`].
pub(in crate::brief) static REDUCTION: Dialect = Dialect {
    command: "reduce",
    noun: "a brief of a reduction",
    reference: "configs/every-reduction-key.toml",
    least: ("ratio.target", "write at least [ratio] with target"),
    marks: &["ratio", "train", "room", "load", "materials", "strength", "stock", "parts"],
    keys: &KEYS,
    tables: &[
        "ratio",
        "train",
        "room",
        "teeth",
        "load",
        "materials",
        "losses",
        "strength",
        "stock",
        "score",
        "limits",
        "parts",
        "effort",
    ],
    rows: &[("stock.gears", &super::stock::COLUMNS)],
    criteria: &Criterion::REDUCTION,
    named: &[
        ("limits", "write a table [limits] with lines such as efficiency = { least = 0.9 }"),
        (
            "materials",
            "write a table [materials] with lines such as steel = \"tempered-steel\" or printed = \
             { sun = \"nylon\", planet = \"printed-petg\", ring = \"printed-petg\" }",
        ),
    ],
};

const KEYS: [(&str, &str); 57] = [
    ("title", "write a text in quotes, such as title = \"Crank of the turntable\""),
    (
        "ratio.target",
        "write input speed / output speed, from 0.0001 to 1000000, as a number such as 57.6 or a \
         fraction such as \"288/5\"",
    ),
    ("ratio.tolerance", "write a number from 0 to below 0.5, such as 0.005 for ±0.5 %"),
    ("ratio.exact", "write true or false"),
    ("ratio.direction", "write \"same\", \"reversed\" or \"either\""),
    ("ratio.close_enough", "write a number from 0 to ratio.tolerance, such as 0.0005"),
    ("train.sets", "write a whole number from 1 to 4, or a list of them such as [1, 2, 3]"),
    ("train.kinds", "write [\"single\"], [\"paired\"] or [\"single\", \"paired\"]"),
    ("train.coupling", "write \"series\" or \"any\""),
    ("train.back_driving", "write \"free\", \"must\" or \"never\""),
    ("train.nests", "write true or false"),
    ("room.bore", "write a number of mm above 0, such as 90.0, or inf for no limit"),
    ("room.length", "write a number of mm above 0, such as 60.0, or inf for no limit"),
    (
        "room.modules",
        "write a number of mm from 0.05 to 50, a list of them such as [1.0, 1.5], \"iso-54-1\" or \
         \"iso-54-2\"",
    ),
    ("room.width", "write [least, most] in modules, such as [8, 15]"),
    ("room.equal_rings", "write true or false"),
    ("room.plate", "write a number of mm from 0.1 to 1000, such as 4.0"),
    ("room.gap", "write a number of mm from 0 to 100, such as 1.0"),
    ("teeth.sun", "write [fewest, most], such as [12, 60]"),
    ("teeth.planet", "write [fewest, most], such as [12, 54]"),
    ("teeth.ring", "write [fewest, most], such as [36, 120]"),
    ("teeth.planets", "write a whole number from 2 to 12, or a list of them such as [3, 4]"),
    ("teeth.base_ratio", "write [least, most], such as [2.0, 11.0]"),
    ("teeth.pressure_angle", "write a number of degrees from 10 to 35, such as 20.0"),
    ("teeth.addendum", "write a number of modules from 0.5 to 1.5, such as 1.0"),
    ("teeth.gap", "write a number of modules from 0 to 5, such as 0.5"),
    ("teeth.rim", "write a number of modules from 0 to 20, such as 2.5"),
    ("teeth.largest_shift", "write a number from 0 to 1, such as 0.5"),
    ("teeth.odd_planet", "write true or false"),
    ("teeth.unequal_spacing", "write true or false"),
    ("teeth.radial_assembly", "write true or false"),
    ("load.output_torque", "write a number of N m above 0, such as 40.0"),
    ("load.input_torque", "write a number of N m above 0, such as 0.7"),
    ("load.input_speed", "write a number of revolutions a minute from 0, such as 60.0"),
    ("load.application_factor", "write a number from 1 to 5, such as 1.25"),
    ("load.sharing", "write a number from 1 to 4, such as 1.2"),
    ("losses.external", "write a number from 0.5 to 1, such as 0.990"),
    ("losses.internal", "write a number from 0.5 to 1, such as 0.995"),
    ("losses.by_teeth", "write true or false"),
    ("strength.safety", "write a number from 0.5 to 10, such as 1.5"),
    ("strength.face_load_factor", "write a number from 1 to 3, such as 1.2"),
    ("stock.file", "write the name of a list beside the brief, such as \"stock.csv\""),
    (
        "stock.gears",
        "write a list of gears such as { kind = \"external\", teeth = 12, module = 1.0, bore = \
         6.0, count = 4, price = 2.4 }",
    ),
    ("score.objectives", "write a list of names, such as [\"ratio_error\", \"length\"]"),
    ("parts.backlash", "write a number of mm from 0 to 2, such as 0.1"),
    ("parts.tip_rounding", "write a number of mm from 0 to 5, such as 0.2"),
    ("parts.balanced_sliding", "write true or false"),
    ("parts.shaft", "write a number of mm from 0.5 to 500, such as 8.0"),
    ("parts.hexagonal", "write true or false"),
    ("parts.pin", "write a number of mm from 0.5 to 500, such as 5.0"),
    ("parts.hole_allowance", "write a number of mm from 0 to 2, such as 0.2"),
    ("parts.bolt", "write a number of mm from 0.5 to 100, such as 3.2"),
    ("parts.helix", "write a number of degrees from 0 to 45, such as 20.0"),
    ("parts.layouts", "write a whole number from 0 to 100, such as 1"),
    ("effort.time_limit", "write a number of seconds above 0, such as 600, or inf for no limit"),
    ("effort.tries", "write a whole number of millions from 1 to 1000000, such as 200"),
    ("effort.keep", "write a whole number from 1 to 10000000, such as 2000"),
];
