//! What the program tells of itself: version and build, completions for every shell, manual pages.

use crate::program::{answer, failure};
use coaxle::program::{BUILD, COMPILER, TARGET, VERSION};

/// All commands, as the help lists them.
fn commands() -> Vec<String> {
    let help = answer(&["--help"]);
    let list = help.split("Commands:").nth(1).unwrap().split("\n\n").next().unwrap();
    let names = list.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let names: Vec<String> =
        names.map(|line| line.split_whitespace().next().unwrap().to_owned()).collect();
    assert!(names.len() >= 6 && names.contains(&"search".to_owned()), "{names:?}");
    names
}

/// The long options that the help of a command lists.
fn options(command: &str) -> Vec<String> {
    let help = answer(&[command, "--help"]);
    let words = help.split("Options:").nth(1).unwrap().lines();
    let options = words.filter_map(|line| {
        let line = line.trim_start();
        let option = line.strip_prefix("-").filter(|rest| !rest.is_empty()).map(|_| line)?;
        let long = option.split_whitespace().find(|word| word.starts_with("--"))?;
        let end = long.find(|c: char| !c.is_ascii_alphanumeric() && c != '-');
        Some(long[..end.unwrap_or(long.len())].to_owned())
    });
    let options: Vec<String> = options.collect();
    assert!(options.len() >= 5 && options.contains(&"--json".to_owned()), "{options:?}");
    options
}

/// Roff as plain text: hyphens are written `\-`.
fn page(arguments: &[&str]) -> String {
    answer(arguments).replace("\\-", "-")
}

#[test]
fn the_short_version_is_one_line_and_the_long_one_tells_the_build() {
    assert_eq!(answer(&["-V"]), format!("coaxle {VERSION}\n"));
    let long = answer(&["--version"]);
    for fact in [VERSION, BUILD, COMPILER, TARGET] {
        assert!(!fact.is_empty() && long.contains(fact), "{fact} in {long}");
    }
    let papers = if cfg!(feature = "papers") { "with papers" } else { "without papers" };
    assert!(long.contains(papers), "{long}");
    assert!(BUILD.len() == 16 && BUILD.chars().all(|c| c.is_ascii_hexdigit()), "{BUILD}");
}

#[test]
fn completions_for_every_shell_know_every_command_and_option() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = answer(&["--completions", shell]);
        for command in commands() {
            assert!(script.contains(&command), "{shell}: {command}");
            for option in options(&command) {
                // Fish writes options without their dashes.
                let name = option.trim_start_matches('-');
                assert!(script.contains(name), "{shell}: {command} {option}");
            }
        }
    }
}

#[test]
fn a_page_of_the_manual_names_every_option_of_its_command() {
    let program = page(&["--man"]);
    assert!(program.contains(".TH coaxle 1"), "{program}");
    for command in commands() {
        assert!(program.contains(&format!("coaxle-{command}(1)")), "{command}");
        let page = page(&["--man", &command]);
        assert!(page.contains(&format!(".TH coaxle-{command} 1")), "{page}");
        for option in options(&command) {
            assert!(page.contains(&option), "{command} {option}");
        }
    }
}

#[test]
fn what_is_no_shell_or_command_is_refused_with_what_there_is() {
    let told = failure(&["--man", "dance"], 2);
    assert!(told.contains("dance") && told.contains("search, show"), "{told}");
    let told = failure(&["--completions", "dance"], 2);
    assert!(told.contains("bash") && told.contains("zsh"), "{told}");
    failure(&["--completions", "bash", "--man"], 2);
    failure(&["--completions", "bash", "search"], 2);
}
