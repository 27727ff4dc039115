//! Counts and lists for readers.

/// A count with its thousands set apart by commas.
pub fn grouped(count: u64) -> String {
    let digits = count.to_string();
    let mut text = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// `a, b and c`; `and` stands before the last one.
pub fn listed<Name: AsRef<str>>(names: &[Name], and: &str) -> String {
    match names {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [most @ .., last] => {
            let most: Vec<&str> = most.iter().map(AsRef::as_ref).collect();
            format!("{} {and} {}", most.join(", "), last.as_ref())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_one_has_a_word_before_it() {
        let listed = |names: &[&str]| listed(names, "or");
        assert_eq!([listed(&[]), listed(&["a"])], ["", "a"]);
        assert_eq!([listed(&["a", "b"]), listed(&["a", "b", "c"])], ["a or b", "a, b or c"]);
    }

    #[test]
    fn thousands_are_set_apart() {
        for (count, text) in [(0, "0"), (999, "999"), (1000, "1,000"), (38_211_550, "38,211,550")] {
            assert_eq!(grouped(count), text);
        }
    }
}
