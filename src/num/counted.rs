//! Counts for readers.

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_are_set_apart() {
        for (count, text) in [(0, "0"), (999, "999"), (1000, "1,000"), (38_211_550, "38,211,550")] {
            assert_eq!(grouped(count), text);
        }
    }
}
