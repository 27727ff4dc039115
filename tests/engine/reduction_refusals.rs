//! What is wrong in a request for a reduction is told with file, key and mend.

use std::path::Path;

use crate::crank::{LIST, PLAIN, STOCKED, parse};
use coaxle::brief::{Brief, ReductionBrief};
use coaxle::{Error, Mistake};
use rstest::rstest;

fn refuse(text: &str) -> Mistake {
    match parse(text) {
        Ok(brief) => panic!("was read as {brief:?}"),
        Err(mistake) => mistake,
    }
}

fn with_list(list: &str) -> Result<ReductionBrief, Mistake> {
    ReductionBrief::parse(STOCKED, "winch", |file| {
        assert_eq!(file, Path::new("drawer.csv"));
        Ok(list.to_owned())
    })
}

/// One line of the plain brief replaced: the key that is told, what is found, and words
/// of the mend.
#[rstest]
// Keys that no such brief has, and values of another kind.
#[case("bore = 90.0", "boer = 90.0", "room.boer", "of a reduction (line 10)", "mean room.bore?")]
#[case("bore = 90.0", "gap = 2\nlayouts = 2", "room.layouts", "not a key", "parts.layouts?")]
#[case("[parts]", "[part]", "part", "not a key", "did you mean parts?")]
#[case("least = 0.9", "lest = 0.9", "limits.efficiency.lest", "not a key", "least, most")]
#[case("bore = 90.0", "bore = \"wide\"", "room.bore", "\"wide\" (line 10)", "such as 90.0")]
#[case("bore = 90.0", "bore = wide", "room.bore", "not TOML", "such as 90.0")]
#[case("[room]", "[[room]]", "room", "is the list", "a line [room], then bore")]
#[case("title = \"Hollowfell test crank\"", "title = \"\"", "title", "is empty", "one line")]
#[case("[materials]\n", "[[materials]]\n", "materials", "is the list", "table [materials]")]
// The ratio.
#[case("target = 57.6", "", "ratio.target", "is missing", "\"288/5\"")]
#[case("target = 57.6", "target = -57.6", "ratio.target", "is -57.6", "direction = \"reversed\"")]
#[case("target = 57.6", "target = 0", "ratio.target", "is 0", "0.0001 to 1000000")]
#[case("target = 57.6", "target = 1000001", "ratio.target", "is 1000001", "0.0001 to 1000000")]
#[case("target = 57.6", "target = inf", "ratio.target", "is inf", "0.0001 to 1000000")]
#[case("target = 57.6", "target = nan", "ratio.target", "is nan", "0.0001 to 1000000")]
#[case("target = 57.6", "target = \"57:1\"", "ratio.target", "is 57:1", "\"288/5\"")]
#[case("target = 57.6", "target = \"1/0\"", "ratio.target", "is 1/0", "\"288/5\"")]
#[case("57.6", "57.60000000000000000001", "ratio.target", "finer than", "18 digits")]
#[case("target = 57.6", "target = [57.6]", "ratio.target", "is [57.6]", "\"288/5\"")]
#[case("target = 57.6", "target = true", "ratio.target", "is true", "\"288/5\"")]
#[case("tolerance = 0.01", "tolerance = 0.5", "ratio.tolerance", "is 0.5", "below 0.5")]
#[case("tolerance = 0.01", "tolerance = -0.1", "ratio.tolerance", "is -0.1", "from 0")]
#[case("tolerance = 0.01", "tolerance = nan", "ratio.tolerance", "is nan", "from 0")]
#[case(
    "tolerance = 0.01",
    "tolerance = 0.01\nexact = true",
    "ratio.tolerance",
    "must be exact",
    "exact = false"
)]
#[case(
    "tolerance = 0.01",
    "tolerance = 0.01\nclose_enough = 0.02",
    "ratio.close_enough",
    "above ratio.tolerance, 0.01",
    "score.objectives"
)]
#[case("57.6", "57.6\ndirection = \"revers\"", "ratio.direction", "revers", "\"reversed\"?")]
// The train.
#[case("sets = [2, 3]", "sets = [2, 5]", "train.sets", "is 5", "1 to 4")]
#[case("sets = [2, 3]", "sets = []", "train.sets", "empty list", "1 to 4")]
#[case("[\"single\"]", "[]", "train.kinds", "empty list", "\"paired\"")]
#[case("[\"single\"]", "[\"singel\"]", "train.kinds", "singel", "\"single\"?")]
#[case("[\"single\"]", "\"single\"", "train.kinds", "is \"single\"", "[\"single\"]")]
#[case("sets = [2, 3]", "coupling = \"serial\"", "train.coupling", "serial", "\"series\"")]
#[case("sets = [2, 3]", "back_driving = \"no\"", "train.back_driving", "is \"no\"", "\"never\"")]
#[case(
    "sets = [2, 3]",
    "back_driving = \"never\"",
    "train.back_driving",
    "can always be driven back",
    "coupling = \"any\""
)]
#[case(
    "sets = [2, 3]",
    "sets = 1\ncoupling = \"any\"\nback_driving = \"never\"",
    "train.back_driving",
    "can always be driven back",
    "two sets or more"
)]
// The room and the teeth.
#[case("bore = 90.0", "bore = 0", "room.bore", "is 0", "inf for no limit")]
#[case("bore = 90.0", "bore = 20.0", "room.bore", "even the smallest ring", "room.modules")]
#[case("bore = 90.0", "length = 5", "room.length", "one set alone is 8 long", "room.width")]
#[case("[1.0, 1.25]", "[]", "room.modules", "empty list", "iso-54-1")]
#[case("[1.0, 1.25]", "[1.0, 1.25, 1]", "room.modules", "lists 1 twice", "once")]
#[case("[1.0, 1.25]", "0", "room.modules", "is 0", "0.05 to 50")]
#[case("[1.0, 1.25]", "[1.0, nan]", "room.modules", "is nan", "0.05 to 50")]
#[case("[1.0, 1.25]", "\"iso-54\"", "room.modules", "iso-54", "did you mean \"iso-54-1\"?")]
#[case("[1.0, 1.25]", "true", "room.modules", "is true", "iso-54-1")]
#[case("bore = 90.0", "width = [15, 8]", "room.width", "[15, 8]", "[8, 15]")]
#[case("bore = 90.0", "width = [8, inf]", "room.width", "[8, inf]", "1 to 60")]
#[case("bore = 90.0", "plate = 0", "room.plate", "is 0", "0.1 to 1000")]
#[case("sun = [12, 60]", "module = 1.5", "teeth.module", "not a key", "room.modules")]
#[case(
    "sun = [12, 60]",
    "largest_diameter = 90",
    "teeth.largest_diameter",
    "not a key",
    "room.bore"
)]
#[case("sun = [12, 60]", "sun = [60, 12]", "teeth.sun", "[60, 12]", "[12, 60]")]
#[case("sun = [12, 60]", "planets = 13", "teeth.planets", "is 13", "2 to 12")]
#[case("sun = [12, 60]", "sun = [400, 500]", "teeth.ring", "Z_R = Z_S + 2 Z_P", "widen")]
// Load and materials.
#[case("output_torque = 40.0", "", "load.output_torque", "is missing", "N m")]
#[case("output_torque = 40.0", "output_torque = 0", "load.output_torque", "is 0", "above 0")]
#[case("input_speed = 60.0", "", "load.input_speed", "is missing", "revolutions a minute")]
#[case("input_speed = 60.0", "input_speed = -1", "load.input_speed", "is -1", "from 0")]
#[case("40.0", "40.0\ninput_torque = 0.7", "load.input_torque", "stands beside", "at one end")]
#[case("[parts]", "[strength]\nsafety = 0\n[parts]", "strength.safety", "is 0", "0.5 to 10")]
#[case("40.0", "40.0\nsharing = 0.9", "load.sharing", "is 0.9", "1 to 4")]
#[case("40.0", "40.0\napplication_factor = 0", "load.application_factor", "is 0", "1 to 5")]
#[case(
    "[load]\noutput_torque = 40.0\ninput_speed = 60.0",
    "",
    "materials",
    "names 2 variants, but nothing is borne",
    "add [load]"
)]
#[case("\"nylon\"", "\"nilon\"", "materials.printed.sun", "nilon", "did you mean \"nylon\"?")]
#[case(
    "sun = \"nylon\"",
    "sun = \"nylon\", shaft = \"tin\"",
    "materials.printed.shaft",
    "tin",
    "brass"
)]
#[case("\"nylon\"", "6", "materials.printed.sun", "is 6", "material in quotes")]
#[case("sun = \"nylon\", ", "", "materials.printed.sun", "is missing", "printed-petg")]
#[case("sun = \"nylon\"", "son = \"nylon\"", "materials.printed.son", "not a key", "mean sun?")]
#[case("\"case-hardened-steel\"", "\"wood\"", "materials.steel", "wood", "brass")]
#[case("\"case-hardened-steel\"", "8", "materials.steel", "is 8", "material in quotes")]
#[case("steel =", "\"my steel\" =", "materials.my steel", "no name", "letters, digits")]
// Scores, parts, effort.
#[case("\"ratio_error\",", "\"spread\",", "score.objectives", "\"spread\"", "criteria are ratio_")]
#[case("\"ratio_error\",", "\"lenght\",", "score.objectives", "\"lenght\"", "mean length?")]
#[case("\"ratio_error\",", "\"length\",", "score.objectives", "twice", "once")]
#[case("\"ratio_error\",", "\"price\",", "score.objectives", "without a stock", "[stock]")]
#[case("efficiency =", "price =", "limits.price", "without a stock", "leave price out")]
#[case(
    "[load]\noutput_torque = 40.0\ninput_speed = 60.0\n[materials]\nsteel = \"case-hardened-steel\"\n\
     printed = { sun = \"nylon\", planet = \"printed-petg\", ring = \"printed-petg\" }\n[score]\n\
     objectives = [\"ratio_error\", \"length\"]\n[limits]\nefficiency",
    "[limits]\nsafety",
    "limits.safety",
    "without a load",
    "add [load]"
)]
#[case("efficiency =", "spread =", "limits.spread", "not a criterion", "criteria are")]
#[case("{ least = 0.9 }", "{ least = 2 }", "limits.efficiency.least", "no layout", "0 to 1")]
#[case("{ least = 0.9 }", "{ }", "limits.efficiency", "neither", "least = 0.95")]
#[case("efficiency = { least = 0.9 }", "sets = { most = 1 }", "limits.sets", "[2, 3]", "train")]
#[case("shaft = 8.0", "shaft = 0", "parts.shaft", "is 0", "0.5 to 500")]
#[case("shaft = 8.0", "helix = 60", "parts.helix", "is 60", "0 to 45")]
#[case("shaft = 8.0", "backlash = -0.1", "parts.backlash", "is -0.1", "0 to 2")]
#[case("shaft = 8.0", "pin = 0.1", "parts.pin", "is 0.1", "0.5 to 500")]
#[case("shaft = 8.0", "layouts = 101", "parts.layouts", "is 101", "0 to 100")]
#[case("tries = 100", "tries = 0", "effort.tries", "is 0", "millions")]
#[case("tries = 100", "time_limit = 0", "effort.time_limit", "is 0", "above 0")]
#[case("tries = 100", "keep = 0", "effort.keep", "is 0", "2000")]
// The stock.
#[case("[parts]", "[stock]\n[parts]", "stock.file", "is missing", "stock.csv")]
#[case("[parts]", "[stock]\nfile = \" \"\n[parts]", "stock.file", "\"\"", "stock.csv")]
#[case("[parts]", "[stock]\nfile = 3\n[parts]", "stock.file", "is 3", "stock.csv")]
#[case(
    "[parts]",
    "[stock]\nfile = \"a\"\ngears = []\n[parts]",
    "stock.gears",
    "beside stock.file",
    "leave the other out"
)]
#[case("[parts]", "[stock]\ngears = []\n[parts]", "stock.gears", "lists 0 gears", "from 1 to")]
#[case(
    "[parts]",
    "[stock]\ngears = [{ kind = \"internal\", teth = 3 }]\n[parts]",
    "stock.gears[0].teth",
    "not a key",
    "did you mean stock.gears[0].teeth?"
)]
#[case(
    "[parts]",
    "[stock]\ngears = [{ kind = \"internal\", module = 1 }]\n[parts]",
    "stock.gears[0].teeth",
    "is missing",
    "6 to 500"
)]
#[case(
    "[parts]",
    "[stock]\ngears = [{ kind = \"internal\", teeth = 60, module = 1, count = 3 }]\n[parts]",
    "stock",
    "no sun, planets and ring",
    "add gears"
)]
fn a_wrong_brief_is_told(
    #[case] old: &str,
    #[case] new: &str,
    #[case] key: &str,
    #[case] problem: &str,
    #[case] mend: &str,
) {
    assert!(PLAIN.contains(old), "the test breaks nothing");
    let mistake = refuse(&PLAIN.replacen(old, new, 1));
    assert_eq!(mistake.key, key, "{mistake}");
    assert!(mistake.problem.contains(problem), "{mistake}");
    assert!(mistake.mend.contains(mend), "{mistake}");
    assert!(!mistake.mend.is_empty() && !mistake.problem.is_empty(), "{mistake}");
    assert_eq!(mistake.to_string().lines().count(), 2, "{mistake}");
}

/// One piece of the list replaced: place, problem and mend that are told.
#[rstest]
#[case("external", "extern", "line 4, kind", "\"extern\"", "external (sun or planet)")]
#[case("20,1.0", "20.5,1.0", "line 4, teeth", "is 20.5", "whole number")]
#[case("20,1.0", "5,1.0", "line 4, teeth", "is 5", "6 to 500")]
#[case("20,1.0", ",1.0", "line 4, teeth", "is missing", "6 to 500")]
#[case("20,1.0", "20,\"1,0\"", "line 4, module", "is 1,0", "with a point")]
#[case("20,1.0", "20,0", "line 4, module", "is 0", "0.05 to 50")]
#[case("20,1.0", "20,nan", "line 4, module", "is nan", "0.05 to 50")]
#[case("8,9,3.5", "-8,9,3.5", "line 4, bore", "is -8", "0 to 10000")]
#[case("8,9,3.5", "8,0,3.5", "line 4, count", "is 0", "leave out")]
#[case("8,9,3.5", "8,9,€3.5", "line 4, price", "is €3.5", "no sign of money")]
#[case("8,9,3.5", "8,9", "line 4", "has 5 columns, not 6", "commas between")]
#[case("12\n", "12,,\n", "line 5", "has 8 columns", "commas between")]
#[case("teeth,", "tooth,", "line 1", "\"tooth\" is not a column", "did you mean teeth?")]
#[case("price\n", "count\n", "line 1", "names count twice", "once")]
#[case("kind,teeth,module", "kind,module", "line 1", "no column teeth", "begin the list")]
#[case(
    "kind,teeth,module,bore,count,price",
    "kind;teeth;module;bore;count;price",
    "line 1",
    "is kind;",
    "part columns by commas"
)]
fn a_wrong_list_is_told(
    #[case] old: &str,
    #[case] new: &str,
    #[case] place: &str,
    #[case] problem: &str,
    #[case] mend: &str,
) {
    assert!(LIST.contains(old), "the test breaks nothing");
    let mistake = with_list(&LIST.replacen(old, new, 1)).unwrap_err();
    assert_eq!(mistake.file.as_deref(), Some(Path::new("drawer.csv")));
    assert_eq!(mistake.key, place, "{mistake}");
    assert!(mistake.problem.contains(problem), "{mistake}");
    assert!(mistake.mend.contains(mend), "{mistake}");
    assert_eq!(mistake.to_string().lines().count(), 2, "{mistake}");
}

#[test]
fn lists_without_a_set_are_told() {
    for (list, problem) in [
        ("", "the list is empty"),
        ("# nothing\n", "the list is empty"),
        ("kind,teeth,module,count\n", "lists 0 gears"),
        // A sun like the planets takes one of them.
        ("kind,teeth,module,count\nexternal,20,1,3\ninternal,60,1,1\n", "no sun, planets and ring"),
        ("kind,teeth,module,count\nexternal,20,1,9\ninternal,60,2,1\n", "no sun, planets and ring"),
    ] {
        let mistake = with_list(list).unwrap_err();
        assert!(mistake.problem.contains(problem), "{mistake}");
    }
    let other = STOCKED.to_owned() + "[room]\nmodules = 2\n";
    let mistake = ReductionBrief::parse(&other, "x", |_| Ok(LIST.to_owned())).unwrap_err();
    assert_eq!((mistake.key.as_str(), mistake.file), ("stock", None));
}

#[test]
fn a_brief_of_another_kind_is_told_which_command_reads_it() {
    let mistake = Brief::parse(PLAIN, "crank").unwrap_err();
    assert_eq!(mistake.key, "ratio");
    assert!(mistake.problem.contains("is for coaxle reduce, not for coaxle search"), "{mistake}");
    assert!(mistake.mend.contains("run coaxle reduce with this file"), "{mistake}");
    assert!(mistake.mend.contains("configs/every-key.toml"), "{mistake}");
    let mistake = refuse(Brief::default_text());
    assert_eq!(mistake.key, "space");
    assert!(mistake.problem.contains("is for coaxle search, not for coaxle reduce"), "{mistake}");
    assert!(mistake.mend.contains("configs/every-reduction-key.toml"), "{mistake}");
    // One that has tables of both is of its own kind, with a wrong table.
    let both = refuse(&PLAIN.replace("[train]", "[space]\n[train]"));
    assert_eq!((both.key.as_str(), both.problem.contains("is not a key")), ("space", true));
}

#[test]
fn files_are_told_by_their_names() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("winch.toml");
    let told = || match ReductionBrief::read(&path) {
        Err(Error::Request(mistake)) => mistake,
        other => panic!("{other:?}"),
    };
    assert!(told().problem.contains("cannot be read"));
    std::fs::write(&path, "# nothing\n").unwrap();
    assert_eq!((told().key.as_str(), told().file), ("ratio.target", Some(path.clone())));
    std::fs::write(&path, "").unwrap();
    assert!(told().to_string().contains("ratio.target: is missing, the brief is empty"));
    std::fs::write(&path, STOCKED).unwrap();
    let list = folder.path().join("drawer.csv");
    assert_eq!(told().file.as_deref(), Some(list.as_path()));
    assert!(told().problem.contains("cannot be read"), "{}", told());
    std::fs::write(&list, LIST.replace("20,1.0", "20,one")).unwrap();
    assert_eq!((told().file.as_deref(), told().key.as_str()), (Some(&*list), "line 4, module"));
    std::fs::write(&list, LIST).unwrap();
    assert_eq!(ReductionBrief::read(&path).unwrap(), with_list(LIST).unwrap());
}

#[test]
fn noise_is_refused_in_two_short_lines() {
    let deep = format!("ratio = {}", "[".repeat(1 << 20));
    let long = format!("ratio = {{ target = {} }}", "7".repeat(1 << 20));
    let text = format!("ratio = {{ target = \"{}\" }}", "7".repeat(1 << 20));
    let name = format!("ratio = {{ target = 7 }}\n[materials]\n{} = 1\n", "k".repeat(1 << 20));
    let escapes = "ratio = { target = 7 }\n[materials]\n\"\\u001b[2J\" = 1\n".to_owned();
    for text in [deep, long, text, name, escapes] {
        let message = refuse(&text).to_string();
        assert_eq!(message.lines().count(), 2, "{message}");
        assert!(message.len() < 900, "{} bytes: {message}", message.len());
        assert!(message.chars().all(|c| c == '\n' || !c.is_control()), "{message:?}");
    }
}
