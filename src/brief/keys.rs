//! The keys of a brief for `search`: for each its full path and, in words, what may stand
//! there.

use super::dialect::Dialect;
use crate::score::Criterion;

/// Briefs of [`super::Brief`].
pub(super) static SEARCH: Dialect = Dialect {
    command: "search",
    noun: "a brief",
    reference: "configs/every-key.toml",
    least: (
        "space",
        "write at least [space] with sets, shafts and elements, and [gears] with forward",
    ),
    marks: &["space", "gears", "targets"],
    keys: &KEYS,
    tables: &["space", "gears", "targets", "teeth", "losses", "score", "limits", "effort"],
    rows: &[],
    criteria: &Criterion::ALL,
    named: &[(
        "limits",
        "write a table [limits] with lines such as worst_efficiency = { least = 0.95 }",
    )],
};

const KEYS: [(&str, &str); 46] = [
    ("title", "write a text in quotes, such as title = \"Six gears for the railcar\""),
    ("space.sets", "write a whole number from 1 to 4, or a list of them such as [2, 3]"),
    ("space.shafts", "write a whole number from 3 to 9, or a list of them such as [5, 6]"),
    ("space.elements", "write a whole number from 1 to 8, or [fewest, most] such as [3, 5]"),
    ("space.held_shaft", "write \"never\", \"allowed\" or \"required\""),
    ("space.bare_input", "write \"never\", \"allowed\" or \"required\""),
    ("space.nests", "write \"required\" or \"any\""),
    ("gears.forward", "write a whole number from 1 to 16, such as 6"),
    ("gears.reverse", "write 0, 1 or 2"),
    ("gears.single_swap", "write true or false"),
    ("gears.first", "write [least, most], such as [3.5, 5.5]"),
    ("gears.top", "write [least, most], such as [0.6, 0.9]"),
    ("gears.reverse_ratio", "write [least, most] without signs, such as [2.5, 5.0]"),
    ("gears.spread", "write [least, most], such as [5.5, inf]"),
    ("gears.step", "write [least, most], both above 1, such as [1.1, 1.8]"),
    ("gears.progression", "write \"geometric\", \"progressive\" or \"targets\""),
    ("gears.step_factor", "write a number from 1 to 2, such as 1.05"),
    ("targets.forward", "write ratios from first to top gear, such as [4.2, 2.6, 1.7, 1.0]"),
    ("targets.reverse", "write ratios without signs, such as [3.6]"),
    ("targets.tolerance", "write a number above 0 and below 0.5, such as 0.02 for ±2 %"),
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
    ("score.objectives", "write a list of names, such as [\"spread\", \"element_count\"]"),
    ("score.show", "write a whole number from 1 to 1000, such as 20"),
    ("effort.samples", "write a whole number from 1 to 65536, such as 512"),
    ("effort.time_limit", "write a number of seconds above 0, such as 600, or inf for no limit"),
    (
        "effort.memory_limit",
        "write a whole number of MiB above 0, such as 2048, or inf for no limit",
    ),
    ("effort.prove", "write true or false"),
    ("effort.gap", "write [ln spread, step deviation], both from 0 to 1, such as [0.001, 0.0005]"),
    ("effort.keep", "write a whole number from 1 to 10000000, such as 20000"),
];
