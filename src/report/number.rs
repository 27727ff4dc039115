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

/// For readers: so many figures that say something, no exponent, no zeros after the point
/// that say nothing; a true minus sign.
pub(super) fn figures(value: f64, figures: usize) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let before = if value == 0.0 { 1 } else { value.abs().log10().floor() as i64 + 1 };
    let places = usize::try_from(figures as i64 - before).unwrap_or(0).min(9);
    let text = decimals(value, places);
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
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
    fn figures_say_something() {
        assert_eq!(figures(0.012_345, 3), "0.0123");
        assert_eq!(figures(1234.6, 3), "1235");
        assert_eq!(figures(40.0, 4), "40");
        assert_eq!(figures(-0.5, 4), "−0.5");
        assert_eq!(figures(0.0, 4), "0");
        assert_eq!(figures(f64::INFINITY, 4), "–");
    }

    #[test]
    fn readers_see_signs() {
        assert_eq!(decimals(-2.5, 2), "−2.50");
        assert_eq!(decimals(-0.001, 2), "0.00");
    }
}
