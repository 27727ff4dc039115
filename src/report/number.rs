//! How numbers are written.

/// For machines: at most six decimals, none that say nothing, never an exponent; empty
/// where the value is not finite.
pub(super) fn plain(value: f64) -> String {
    if !value.is_finite() {
        return String::new();
    }
    let text = format!("{value:.6}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// For readers: `decimals` decimals and a true minus sign.
pub(super) fn decimals(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let nothing = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if nothing { text.replace('-', "") } else { text.replace('-', "−") }
}

/// For readers: thousands set apart by a narrow space.
pub(super) fn grouped(value: u64) -> String {
    let digits = value.to_string();
    let mut text = String::new();
    for (index, digit) in digits.chars().enumerate() {
        if index > 0 && (digits.len() - index).is_multiple_of(3) {
            text.push('\u{202F}');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn machines_read_plain_decimals() {
        assert_eq!(plain(27.0 / 11.0), "2.454545");
        assert_eq!(plain(7.0), "7");
        assert_eq!(plain(-0.0000001), "0");
        assert_eq!(plain(1e9), "1000000000");
        assert_eq!(plain(f64::NAN), "");
    }

    #[test]
    fn readers_see_groups_and_signs() {
        assert_eq!(grouped(0), "0");
        assert_eq!(grouped(999), "999");
        assert_eq!(grouped(38_211_550), "38\u{202F}211\u{202F}550");
        assert_eq!(decimals(-2.5, 2), "−2.50");
        assert_eq!(decimals(-0.001, 2), "0.00");
    }
}
