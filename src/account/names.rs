//! Names of gears as parts of names of files: plain, short, and no two alike.

/// Longest, in characters.
const LONGEST: usize = 40;

/// For every name one of letters, digits and hyphens, each another one even where a file system
/// does not know capitals from small letters. What is such a name already stays as it is.
pub(super) fn file_names<'a>(names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut taken: Vec<String> = Vec::new();
    let mut all = Vec::new();
    for name in names {
        let plain = plain(name);
        let numbered = (2..).map(|number| format!("{plain}-{number}"));
        let mut free = std::iter::once(plain.clone()).chain(numbered);
        let free = free.find(|one| !taken.contains(&one.to_ascii_lowercase())).unwrap_or_default();
        taken.push(free.to_ascii_lowercase());
        all.push(free);
    }
    all
}

fn plain(name: &str) -> String {
    let safe = |c: char| if c.is_ascii_alphanumeric() { c } else { '-' };
    name.chars().map(safe).take(LONGEST).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn names_stay_where_they_can() {
        let names = ["1", "R", "a b", "a/b", "a-b", "A-B", "a-b-2", "歯"];
        let files = file_names(names.into_iter());
        assert_eq!(files, ["1", "R", "a-b", "a-b-2", "a-b-3", "A-B-4", "a-b-2-2", "-"]);
    }

    proptest! {
        #[test]
        fn no_two_are_alike(names in prop::collection::vec("[aA歯 /-]{0,3}|.{0,90}", 0..40)) {
            let files = file_names(names.iter().map(String::as_str));
            let folded: std::collections::BTreeSet<String> =
                files.iter().map(|file| file.to_lowercase()).collect();
            prop_assert_eq!(folded.len(), names.len());
            let fits = |file: &String| {
                file.len() <= LONGEST + 4
                    && file.chars().all(|c| c.is_ascii_alphanumeric() || c == '-')
            };
            prop_assert!(files.iter().all(fits), "{:?}", files);
        }
    }
}
