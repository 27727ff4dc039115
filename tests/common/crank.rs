//! A right brief of a reduction, and one that takes gears from a list, for tests to break.

use coaxle::Mistake;
use coaxle::brief::{ReductionBrief, no_list};

/// A small right brief; the tests break it line by line.
pub const PLAIN: &str = r#"
title = "Hollowfell test crank"
[ratio]
target = 57.6
tolerance = 0.01
[train]
sets = [2, 3]
kinds = ["single"]
[room]
bore = 90.0
modules = [1.0, 1.25]
[teeth]
sun = [12, 60]
[load]
output_torque = 40.0
input_speed = 60.0
[materials]
steel = "case-hardened-steel"
printed = { sun = "nylon", planet = "printed-petg", ring = "printed-petg" }
[score]
objectives = ["ratio_error", "length"]
[limits]
efficiency = { least = 0.9 }
[parts]
shaft = 8.0
[effort]
tries = 100
"#;

/// A brief that takes gears from a list.
pub const STOCKED: &str =
    "[ratio]\ntarget = 30\ntolerance = 0.02\n[stock]\nfile = \"drawer.csv\"\n";
pub const LIST: &str = "kind,teeth,module,bore,count,price\n# the upper drawer\n\n\
                    external,20,1.0,8,9,3.5\ninternal,60,1.0,74,1,12\n";

pub fn parse(text: &str) -> Result<ReductionBrief, Mistake> {
    ReductionBrief::parse(text, "test", no_list)
}
