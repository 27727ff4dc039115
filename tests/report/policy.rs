//! What pages may load and run: every page names the style and the script that stand in it by
//! their hashes, and has nothing that these forbid.

use std::path::Path;
use std::process::Command;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use coaxle::report::{Pictures, page};
use sha2::{Digest as _, Sha256};

/// Pieces of the page between an opening tag and its end.
fn inside<'a>(page: &'a str, open: &str, close: &str) -> Vec<&'a str> {
    let pieces = page.split(open).skip(1);
    pieces.map(|piece| piece.split_once(close).expect("every tag is closed").0).collect()
}

/// Everything between `<` and `>` that is no text of a script or a style.
fn tags(page: &str) -> Vec<&str> {
    page.split('<').skip(1).filter_map(|piece| piece.split_once('>').map(|(tag, _)| tag)).collect()
}

fn assert_strict(name: &str, page: &str) {
    let start = "<meta http-equiv=\"Content-Security-Policy\" content=\"";
    let policies = inside(page, start, "\"");
    assert_eq!(policies.len(), 1, "{name} has {} policies", policies.len());
    let directive = |key: &str| {
        let mut all = policies[0].split("; ").filter_map(|one| one.split_once(' '));
        all.find(|(name, _)| *name == key).unwrap_or_else(|| panic!("{name}: no {key}")).1
    };
    for key in ["default-src", "base-uri", "form-action"] {
        assert_eq!(directive(key), "'none'", "{name}: {key}");
    }
    assert_eq!(directive("img-src"), "data:");
    let hash = |text: &str| format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text)));
    let styles: Vec<String> = inside(page, "<style>", "</style>").into_iter().map(hash).collect();
    assert_eq!(styles.join(" "), directive("style-src"), "{name}");
    let scripts: Vec<String> =
        inside(page, "<script>", "</script>").into_iter().map(hash).collect();
    let none = if scripts.is_empty() { "'none'".to_owned() } else { scripts.join(" ") };
    assert_eq!(none, directive("script-src"), "{name}");
    // Before the style and the script that it judges.
    assert!(page.find(start) < page.find("<style>"), "{name}");

    // What is left has no style or handler of its own, and no element that loads.
    let mut rest = page.to_owned();
    for (open, close) in [("<style>", "</style>"), ("<script>", "</script>")] {
        for piece in inside(page, open, close) {
            rest = rest.replacen(piece, "", 1);
        }
    }
    let tags = tags(&rest);
    assert!(tags.len() > 20, "{name}");
    for tag in tags {
        // Names of attributes only: what stands in quotes is somebody's text.
        let names: String = tag.split('"').step_by(2).collect();
        let mut attributes = names.split_whitespace().skip(1);
        let bad = attributes.find(|word| {
            word.starts_with("style=") || (word.starts_with("on") && word.ends_with('='))
        });
        assert!(!tag.contains("=\"javascript:"), "{name}: <{tag}>");
        assert_eq!(bad, None, "{name}: <{tag}>");
        let element = tag.split_whitespace().next().unwrap_or_default();
        let loads = ["link", "iframe", "object", "embed", "base", "foreignObject", "use"];
        assert!(!loads.contains(&element), "{name}: <{tag}>");
    }
}

#[test]
fn the_report_of_a_search_is_strict() {
    let mut record = crate::made::record(crate::made::candidates(4));
    record.title = "<script>alert(1)</script><b style=\"x\" onclick=\"y\">".to_owned();
    let page = page(&record, &Pictures::of(&record).unwrap()).unwrap();
    assert_strict("report.html", &page);
}

fn coaxle(folder: &Path, arguments: &[&str]) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_coaxle"));
    let output = command.current_dir(folder).args(arguments).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

#[test]
fn every_other_page_is_strict() {
    let place = tempfile::tempdir().unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let file = |name: &str| root.join(name).display().to_string();
    let write = |name: &str, text: &str| std::fs::write(place.path().join(name), text).unwrap();
    // Names that would be markup, in a page that explains and in one that marks.
    let layout = std::fs::read_to_string(root.join("tests/layouts/two-sets.toml")).unwrap();
    write(
        "l.toml",
        &layout.replace("front-ring", "\\\"><img src=x onerror=alert(1)>").replace(
            "\\\"><img src=x onerror=alert(1)> = ",
            "\"\\\"><img src=x onerror=alert(1)>\" = ",
        ),
    );
    coaxle(place.path(), &["show", "l.toml", "--explain=full", "--out", "x"]);
    coaxle(place.path(), &["exam", &file("configs/workshop-exam.toml"), "--out", "e", "-q"]);
    let head = std::fs::read_to_string(place.path().join("e/answers.csv")).unwrap();
    let row = format!("<b onclick=x>,A{}\n", ",".repeat(head.matches(',').count() - 1));
    write("class.csv", &(head + &row));
    coaxle(place.path(), &["exam", "--mark", "e", "class.csv", "-q"]);
    write("s.toml", "[study]\nsets = [1, 1]\nelements = [2, 3]\nengaged = [1, 1]\n");
    coaxle(place.path(), &["study", "s.toml", "--out", "s", "-q"]);
    let pages = ["x/explain", "e/paper-A", "e/key-A", "e/blueprint", "e/class", "s/study"];
    for page in pages {
        let name = format!("{page}.html");
        assert_strict(&name, &std::fs::read_to_string(place.path().join(&name)).unwrap());
    }
}
