//! Briefs of every command that are done within a second.

pub const SEARCH: &str = "title = \"Hollowfell hand crank\"\n\
    [space]\nsets = 2\nshafts = 4\nelements = 3\n[gears]\nforward = 2\nreverse = 0\n";
pub const REDUCTION: &str = "title = \"Hollowfell points crank\"\n\
    [ratio]\ntarget = 4.0\ntolerance = 0.02\n[train]\nsets = [1]\n[room]\nbore = 100\n\
    modules = [1.0]\n[teeth]\nsun = [18, 30]\nplanet = [16, 30]\nring = [60, 80]\nplanets = [3]\n\
    [parts]\nlayouts = 1\n";
pub const EXAM: &str = "[exam]\nlevel = \"workshop\"\npool = 40\nkinds = [\"ratio\", \"six-ways\"]\n\
    [forms]\nforms = 2\nitems = 2\n";
pub const STUDY: &str = "[study]\nsets = [1, 2]\nelements = [2, 3]\nengaged = [1, 1]\n";
