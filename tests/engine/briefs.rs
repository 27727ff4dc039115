//! The request file: what is right is read, what is wrong is told with file, key and mend.

use std::path::Path;

use coaxle::brief::{Brief, Permission};
use coaxle::score::{Criterion, Progression};
use coaxle::{Error, Mistake};
use rstest::rstest;

/// A small right brief; the tests break it line by line.
const PLAIN: &str = r#"
title = "Hollowfell test car"
[space]
sets = 2
shafts = 5
elements = [3, 5]
[gears]
forward = 4
reverse = 1
first = [2.0, 5.0]
top = [0.6, 1.2]
spread = [3.0, inf]
step = [1.2, 1.9]
[teeth]
sun = [18, 60]
[score]
objectives = ["spread", "element_count"]
[limits]
worst_efficiency = { least = 0.9 }
[effort]
samples = 512
"#;

/// Six gears by their ratios.
const AIMED: &str = r#"
[space]
sets = 3
shafts = 6
elements = 5
[targets]
forward = [4.2, 2.6, 1.75, 1.3, 1.0, 0.75]
reverse = [3.6]
tolerance = 0.03
"#;

fn parse(text: &str) -> Result<Brief, Mistake> {
    Brief::parse(text, "test")
}

fn refuse(text: &str) -> Mistake {
    match parse(text) {
        Ok(brief) => panic!("was read as {brief:?}"),
        Err(mistake) => mistake,
    }
}

/// A limit that is a window by another name is searched as one.
#[test]
fn limits_on_spread_and_diameter_are_windows_too() {
    let plain = "[space]\nsets = 2\nshafts = 4\nelements = 3\n[gears]\nforward = 2\n\
                 spread = [1.5, inf]\n[teeth]\nlargest_diameter = 140\n[limits]\n";
    let parsed = |limits: &str| Brief::parse(&format!("{plain}{limits}"), "crank");
    let brief = parsed("spread = { most = 3 }\nouter_diameter = { most = 120 }\n").unwrap();
    assert_eq!(brief.gears.spread, (1.5, 3.0));
    assert_eq!(brief.teeth.largest_diameter, Some(120.0));
    assert_eq!(Brief::parse(&brief.canonical_text(), "crank").unwrap(), brief);
    let wider = parsed("spread = { least = 1.2 }\nouter_diameter = { most = 1e9 }\n").unwrap();
    assert_eq!(wider.gears.spread, (1.5, f64::INFINITY));
    assert_eq!(wider.teeth.largest_diameter, Some(140.0));
    let huge = parsed("spread = { least = 1.6, most = 1e7 }\n").unwrap();
    assert_eq!(huge.gears.spread, (1.6, f64::INFINITY));
    assert_eq!(Brief::parse(&huge.canonical_text(), "crank").unwrap(), huge);
    let narrow = parsed("spread = { most = 1.2 }\n").unwrap_err();
    assert_eq!(narrow.key, "limits.spread");
    let tiny = parsed("outer_diameter = { most = 80 }\n").unwrap_err();
    assert_eq!(tiny.key, "limits.outer_diameter.most");
    assert!(tiny.problem.contains("fell at outer diameter"), "{tiny}");
}

#[test]
fn the_plain_brief_is_understood() {
    let brief = parse(PLAIN).unwrap();
    assert_eq!(brief.title, "Hollowfell test car");
    assert_eq!((brief.space.sets.as_slice(), brief.space.elements), (&[2][..], (3, 5)));
    assert_eq!(brief.space.held_shaft, Permission::Never);
    assert_eq!((brief.gears.forward, brief.gears.reverse), (4, 1));
    assert_eq!(brief.gears.spread, (3.0, f64::INFINITY));
    assert_eq!(brief.gears.reverse_ratio, (0.8, 8.0));
    assert_eq!(brief.objectives, [Criterion::Spread, Criterion::ElementCount]);
    assert_eq!(brief.limits[0].criterion, Criterion::WorstEfficiency);
    assert!(brief.limits[0].holds(0.9) && !brief.limits[0].holds(0.89));
    assert_eq!(brief.effort.keep, 20_000);
    assert_eq!(brief.space.families().len(), 3);
}

#[test]
fn targets_give_every_window() {
    let wish = parse(AIMED).unwrap().gears;
    assert_eq!((wish.forward, wish.reverse), (6, 1));
    assert_eq!(wish.progression, Progression::Given(vec![4.2, 2.6, 1.75, 1.3, 1.0, 0.75]));
    let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() + (a.1 - b.1).abs() < 1e-12;
    assert!(near(wish.first, (4.2 * 0.97, 4.2 * 1.03)));
    assert!(near(wish.top, (0.75 * 0.97, 0.75 * 1.03)));
    assert!(near(wish.reverse_ratio, (3.6 * 0.97, 3.6 * 1.03)));
    assert!(near(wish.step, (1.3 * 0.97 / 1.03, 4.2 / 2.6 * 1.03 / 0.97)));
    assert!(near(wish.spread, (5.6 * 0.97 / 1.03, 5.6 * 1.03 / 0.97)));
}

#[test]
fn the_embedded_brief_and_the_configs_are_right() {
    let embedded = Brief::embedded();
    assert_eq!(embedded.name, "railcar-6");
    assert_eq!(embedded.space.families().len(), 1);
    for name in ["railcar-4", "railcar-6", "every-key"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("configs/{name}.toml"));
        let brief = Brief::read(&path).unwrap();
        assert_eq!(brief.name, name);
        assert_eq!(parse_as(&brief.canonical_text(), name), brief);
    }
    let four = include_str!("../../configs/railcar-4.toml");
    let four = Brief::parse(four, "railcar-4").unwrap();
    let mut shapes: Vec<_> =
        four.space.families().iter().map(|f| (f.shafts, f.bare_input)).collect();
    shapes.dedup();
    assert_eq!(shapes, [(4, false), (4, true), (5, false), (5, true)]);
}

fn parse_as(text: &str, name: &str) -> Brief {
    Brief::parse(text, name).unwrap_or_else(|mistake| panic!("{mistake}\n{text}"))
}

#[test]
fn the_sentence_tells_the_request() {
    assert_eq!(
        Brief::embedded().sentence(),
        "Layouts of three planetary sets with six shafts and five shift elements are searched \
         for six forward gears and one reverse, one element swapped for one at every shift: \
         first 1.2 to 8, top 0.35 to 1.6, spread at least 5.5, steps 1.1 to 1.8, reverse 0.8 to \
         8. What counts is spread, step deviation and element count."
    );
    let four = include_str!("../../configs/railcar-4.toml");
    let four = Brief::parse(four, "railcar-4").unwrap().sentence();
    assert!(four.starts_with(
        "Layouts of two planetary sets with four or five shafts and three to five shift elements \
         (with or without an input that only clutches reach) are searched for four forward gears"
    ));
    let aimed = parse(AIMED).unwrap().sentence();
    assert!(aimed.contains("ratios 4.2, 2.6, 1.75, 1.3, 1, 0.75 within ±3 %"), "{aimed}");
}

/// One line of the plain brief replaced: the key that is told, what is found, and words
/// of the mend.
#[rstest]
// Keys that no brief has.
#[case("forward = 4", "forwrad = 4", "gears.forwrad", "line 8", "did you mean gears.forward?")]
#[case("forward = 4", "forwrad = 4", "gears.forwrad", "not a key", "single_swap")]
#[case("[teeth]", "[tooth]", "tooth", "not a key", "did you mean teeth?")]
#[case("title", "module = 2.0\ntitle", "module", "not a key", "did you mean teeth.module?")]
#[case("title", "colour = 2\ntitle", "colour", "not a key", "title, space, gears")]
#[case("least = 0.9", "lest = 0.9", "limits.worst_efficiency.lest", "not a key", "least, most")]
// Values of another kind.
#[case("forward = 4", "forward = \"four\"", "gears.forward", "\"four\" (line 8)", "whole number")]
#[case("forward = 4", "forward = four", "gears.forward", "forward = four", "whole number")]
#[case("forward = 4", "forward = two", "gears.forward", "must be quoted", "whole number")]
#[case("forward = 4", "forward = 4.5", "gears.forward", "is 4.5", "whole number")]
#[case("forward = 4", "forward = 99999999999999999999", "gears.forward", "is 9999", "1 to 16")]
#[case("sets = 2", "sets = [2, \"x\"]", "space.sets", "is [2, \"x\"]", "from 1 to 4")]
#[case("first = [2.0, 5.0]", "first = 2.0", "gears.first", "is 2.0", "[least, most]")]
#[case("first = [2.0, 5.0]", "first = [2, 3, 5]", "gears.first", "list of 3", "[least, most]")]
#[case("first = [2.0, 5.0]", "first = [2, [5]]", "gears.first", "is [5]", "[least, most]")]
#[case("samples = 512", "prove = \"yes\"", "effort.prove", "is \"yes\"", "true or false")]
#[case("{ least = 0.9 }", "0.9", "limits.worst_efficiency", "is 0.9", "{ least = 0.95 }")]
#[case("{ least = 0.9 }", "[0.9]", "limits.worst_efficiency", "the list [0.9]", "least")]
#[case("{ least = 0.9 }", "{ least = \"x\" }", "limits.worst_efficiency.least", "\"x\"", "number")]
#[case("[gears]", "[[gears]]", "gears", "is the list", "a line [gears]")]
#[case("title = \"Hollowfell test car\"", "gears = 3", "gears", "", "")]
#[case("title = \"Hollowfell test car\"", "title = 5", "title", "is 5", "text in quotes")]
#[case("title = \"Hollowfell test car\"", "title = \" \"", "title", "is empty", "one line")]
#[case("title = \"Hollowfell test car\"", "title = \"a\\nb\"", "title", "line break", "one line")]
// Text that is not TOML.
#[case("sets = 2", "sets = 2\nsets = 3", "space.sets", "duplicate key", "from 1 to 4")]
#[case("sets = 2", "sets 2", "space.sets", "line 4", "from 1 to 4")]
#[case("first = [2.0, 5.0]", "first = [2.0, 5.0", "gears.first", "not TOML", "[least, most]")]
// Values out of range.
#[case("sets = 2", "sets = 9", "space.sets", "is 9", "from 1 to 4")]
#[case("sets = 2", "sets = []", "space.sets", "empty list", "from 1 to 4")]
#[case("sets = 2", "sets = -2", "space.sets", "is -2", "from 1 to 4")]
#[case("sets = 2", "", "space.sets", "is missing", "from 1 to 4")]
#[case("shafts = 5", "shafts = 2", "space.shafts", "is 2", "from 3 to 9")]
#[case("shafts = 5", "shafts = 3", "space.shafts", "3 shafts", "2 sets with 4 to 6 shafts")]
#[case("shafts = 5", "shafts = [5, 9]", "space.shafts", "9 shafts", "2 sets with 4 to 6")]
#[case("sets = 2", "sets = [2, 4]", "space.sets", "4 sets", "4 sets with 6 to 9 shafts")]
#[case("elements = [3, 5]", "elements = 9", "space.elements", "is 9", "1 to 8")]
#[case("elements = [3, 5]", "elements = [5, 3]", "space.elements", "[5, 3]", "[3, 5]")]
#[case("elements = [3, 5]", "elements = 3", "space.elements", "at most 3 states", "allow 4")]
#[case("elements = [3, 5]", "elements = 1", "space.shafts", "5 shafts", "shafts − sets − 1")]
#[case(
    "sets = 2",
    "sets = 2\nheld_shaft = \"alowed\"",
    "space.held_shaft",
    "alowed",
    "\"allowed\"?"
)]
#[case("forward = 4", "forward = 0", "gears.forward", "is 0", "1 to 16")]
#[case("forward = 4", "forward = 17", "gears.forward", "is 17", "1 to 16")]
#[case("forward = 4", "", "gears.forward", "is missing", "[targets]")]
#[case("reverse = 1", "reverse = 3", "gears.reverse", "is 3", "0, 1 or 2")]
#[case("first = [2.0, 5.0]", "first = [5.0, 2.0]", "gears.first", "[5, 2]", "[2, 5]")]
#[case("first = [2.0, 5.0]", "first = [-2.0, 5.0]", "gears.first", "[-2, 5]", "from 0.001")]
#[case("first = [2.0, 5.0]", "first = [nan, 5.0]", "gears.first", "[nan, 5]", "from 0.001")]
#[case("first = [2.0, 5.0]", "first = [2.0, inf]", "gears.first", "[2, inf]", "to 1000")]
#[case("spread = [3.0, inf]", "spread = [inf, inf]", "gears.spread", "[inf, inf]", "or inf above")]
#[case("spread = [3.0, inf]", "spread = [3.0, nan]", "gears.spread", "[3, nan]", "or inf above")]
#[case("step = [1.2, 1.9]", "step = [1.0, 1.9]", "gears.step", "[1, 1.9]", "above 1")]
// Windows that contradict each other.
#[case("first = [2.0, 5.0]", "first = [0.3, 0.5]", "gears.first", "ends at 0.5", "fall from first")]
#[case(
    "spread = [3.0, inf]",
    "spread = [9.0, inf]",
    "gears.spread",
    "1.728 to 6.859",
    "gears.step"
)]
#[case(
    "spread = [3.0, inf]",
    "spread = [1.0, 1.6]",
    "gears.spread",
    "1.728 to 6.859",
    "gears.step"
)]
#[case("first = [2.0, 5.0]", "first = [1.3, 1.5]", "gears.spread", "1.0833 to 2.5", "gears.first")]
#[case(
    "spread = [3.0, inf]\nstep = [1.2, 1.9]",
    "step = [2.5, 2.9]",
    "gears.step",
    "15.625",
    "gears.top"
)]
#[case("forward = 4", "forward = 1", "gears.first", "in common", "same window")]
#[case(
    "reverse = 1",
    "progression = \"targets\"",
    "gears.progression",
    "no [targets]",
    "add [targets]"
)]
#[case("reverse = 1", "step_factor = 1.1", "gears.step_factor", "is 1.1", "\"progressive\"")]
#[case("reverse = 1", "progression = \"even\"", "gears.progression", "\"even\"", "geometric")]
// Teeth, losses, scores, effort.
#[case("sun = [18, 60]", "sun = [60, 18]", "teeth.sun", "[60, 18]", "[18, 60]")]
#[case("sun = [18, 60]", "sun = [0, 18]", "teeth.sun", "[0, 18]", "6 to 500")]
#[case("sun = [18, 60]", "sun = [400, 500]", "teeth.ring", "Z_R = Z_S + 2 Z_P", "widen")]
#[case("sun = [18, 60]", "module = 0", "teeth.module", "is 0", "0.05 to 50")]
#[case("sun = [18, 60]", "module = -1.5", "teeth.module", "is -1.5", "mm")]
#[case("sun = [18, 60]", "module = nan", "teeth.module", "is nan", "mm")]
#[case("sun = [18, 60]", "module = inf", "teeth.module", "is inf", "mm")]
#[case("sun = [18, 60]", "planets = 1", "teeth.planets", "is 1", "2 to 12")]
#[case(
    "sun = [18, 60]",
    "largest_diameter = 20",
    "teeth.largest_diameter",
    "smallest ring",
    "allow"
)]
#[case("sun = [18, 60]", "largest_diameter = -1", "teeth.largest_diameter", "is -1", "inf")]
#[case("[teeth]", "[losses]\ninternal = 1.01\n[teeth]", "losses.internal", "1.01", "0.5 to 1")]
#[case("\"spread\",", "\"spread\", \"spread\",", "score.objectives", "twice", "once")]
#[case("\"spread\",", "\"sprad\",", "score.objectives", "\"sprad\"", "did you mean spread?")]
#[case("\"spread\",", "\"beauty\",", "score.objectives", "\"beauty\"", "worst_efficiency")]
#[case("[\"spread\", \"element_count\"]", "[]", "score.objectives", "empty list", "list of names")]
#[case(
    "worst_efficiency",
    "worst_eficiency",
    "limits.worst_eficiency",
    "not a criterion",
    "mean worst"
)]
#[case("{ least = 0.9 }", "{ }", "limits.worst_efficiency", "neither", "least = 0.95")]
#[case("{ least = 0.9 }", "{ least = 1.9 }", "limits.worst_efficiency.least", "is 1.9", "0 to 1")]
#[case("{ least = 0.9 }", "{ most = -1 }", "limits.worst_efficiency.most", "is -1", "0 to 1")]
#[case(
    "{ least = 0.9 }",
    "{ least = nan }",
    "limits.worst_efficiency.least",
    "is nan",
    "leave least"
)]
#[case(
    "{ least = 0.9 }",
    "{ least = 0.9, most = 0.8 }",
    "limits.worst_efficiency",
    "above",
    "most = 0.9"
)]
#[case("samples = 512", "samples = 0", "effort.samples", "is 0", "65536")]
#[case("samples = 512", "time_limit = 0", "effort.time_limit", "is 0", "above 0")]
#[case("samples = 512", "time_limit = -inf", "effort.time_limit", "is -inf", "above 0")]
#[case(
    "samples = 512",
    "memory_limit = 10.5",
    "effort.memory_limit",
    "is 10.5",
    "whole number of MiB"
)]
#[case("samples = 512", "keep = 0", "effort.keep", "is 0", "20000")]
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

#[rstest]
#[case("tolerance = 0.03", "tolerance = 0.5", "targets.tolerance", "is 0.5", "below 0.5")]
#[case("tolerance = 0.03", "tolerance = 0", "targets.tolerance", "is 0", "above 0")]
#[case("tolerance = 0.03", "tolerance = nan", "targets.tolerance", "is nan", "above 0")]
#[case("[4.2, 2.6,", "[2.6, 4.2,", "targets.forward", "2.6 is followed by 4.2", "largest")]
#[case("[4.2, 2.6,", "[4.2, -2.6,", "targets.forward", "lists -2.6", "0.001 to 1000")]
#[case("reverse = [3.6]", "reverse = [-3.6]", "targets.reverse", "lists -3.6", "without signs")]
#[case("forward = [4.2, 2.6, 1.75, 1.3, 1.0, 0.75]", "", "targets.forward", "missing", "4.2")]
#[case("[targets]", "[gears]\nforward = 5\n[targets]", "gears.forward", "lists 6", "leave it out")]
#[case("[targets]", "[gears]\nreverse = 2\n[targets]", "gears.reverse", "lists 1", "leave it out")]
#[case("[targets]", "[gears]\nfirst = [4, 5]\n[targets]", "gears.first", "beside", "leave it out")]
#[case(
    "[targets]",
    "[gears]\nreverse_ratio = [4, 5]\n[targets]",
    "gears.reverse_ratio",
    "beside",
    "leave"
)]
fn wrong_targets_are_told(
    #[case] old: &str,
    #[case] new: &str,
    #[case] key: &str,
    #[case] problem: &str,
    #[case] mend: &str,
) {
    let mistake = refuse(&AIMED.replacen(old, new, 1));
    assert_eq!(mistake.key, key, "{mistake}");
    assert!(mistake.problem.contains(problem), "{mistake}");
    assert!(mistake.mend.contains(mend), "{mistake}");
}

#[test]
fn a_score_that_needs_a_reverse_is_refused_without_one() {
    let text = PLAIN.replace("reverse = 1", "reverse = 0");
    assert!(parse(&text).is_ok());
    let mistake = refuse(&text.replace("\"spread\",", "\"reverse_to_first\","));
    assert_eq!(mistake.key, "score.objectives");
    let mistake = refuse(&text.replace("worst_efficiency", "reverse_to_first"));
    assert_eq!(mistake.key, "limits.reverse_to_first");
}

/// Reads bytes as a brief from a file and returns the message, which must name the file.
fn told_of_file(bytes: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("request.toml");
    std::fs::write(&path, bytes).unwrap();
    told(&path)
}

fn told(path: &Path) -> String {
    match Brief::read(path) {
        Err(Error::Request(mistake)) => {
            assert_eq!(mistake.file.as_deref(), Some(path));
            let message = mistake.to_string();
            assert!(message.starts_with(&path.display().to_string()), "{message}");
            assert!(message.contains("mend: ") && !mistake.mend.is_empty(), "{message}");
            message
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn files_that_are_no_brief_are_told() {
    let folder = tempfile::tempdir().unwrap();
    assert!(told(&folder.path().join("nowhere.toml")).contains("cannot be read"));
    assert!(told(folder.path()).contains("is a folder"));
    assert!(told_of_file(b"").contains("space: is missing, the brief is empty"));
    assert!(told_of_file(b"\xef\xbb\xbf \r\n").contains("the brief is empty"));
    assert!(told_of_file(b"# nothing yet\n").contains("space.sets: is missing"));
    assert!(told_of_file(b"title = \"\xff\xfe\"\n").contains("is not UTF-8"));
    assert!(told_of_file(&vec![0x5a; 6 << 20]).contains("is 6 MiB large"));
    let broken = PLAIN.replace("forward = 4", "forward = four");
    let message = told_of_file(broken.as_bytes());
    assert!(message.contains(": gears.forward: line 8 is not TOML"), "{message}");
}

#[test]
fn noise_is_refused_in_two_short_lines() {
    let deep = format!("sets = {}", "[".repeat(1 << 20));
    let long = format!("{} = 1\n", "k".repeat(1 << 20));
    let dotted = format!("{}x = 1\n", "a.".repeat(1 << 18));
    let escapes = "\u{1b}[2J = \u{7}\n".to_owned();
    let quoted = "\"\\u001b[2J\" = 1\n".to_owned();
    let nul = "\0".repeat(1000);
    for text in [deep, long, dotted, escapes, quoted, nul] {
        let message = refuse(&text).to_string();
        assert_eq!(message.lines().count(), 2, "{message}");
        assert!(message.len() < 900, "{} bytes: {message}", message.len());
        assert!(message.chars().all(|c| c == '\n' || !c.is_control()), "{message:?}");
    }
}

#[test]
fn windows_line_ends_and_a_byte_order_mark_are_harmless() {
    let text = format!("\u{feff}{}", PLAIN.replace('\n', "\r\n"));
    assert_eq!(parse(&text), parse(PLAIN));
}
