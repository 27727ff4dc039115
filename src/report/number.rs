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
    fn readers_see_signs() {
        assert_eq!(decimals(-2.5, 2), "−2.50");
        assert_eq!(decimals(-0.001, 2), "0.00");
    }
}
