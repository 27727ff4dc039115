//! Ticks: round values on an axis, few enough to be read.

use super::plan::round_step;

/// The multiples of a round step within the range, at most about `most` of them.
pub(super) fn ticks((low, high): (f64, f64), most: usize) -> Vec<f64> {
    if !(high - low).is_finite() || high <= low {
        return Vec::new();
    }
    let step = round_step((high - low) / most.max(1) as f64);
    // The same as multiplying, but 3 · 0.1 would be 0.30000000000000004.
    let per = (1.0 / step).round();
    let value = |k: i64| if step < 1.0 { k as f64 / per } else { k as f64 * step };
    let (first, last) = ((low / step).ceil() as i64, (high / step).floor() as i64);
    (first..=last).map(value).collect()
}

/// The same for an axis of counts or places: whole numbers only.
pub(super) fn whole_ticks(range: (f64, f64), most: usize) -> Vec<f64> {
    ticks(range, most).into_iter().filter(|value| value.fract() == 0.0).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_inside() {
        assert_eq!(ticks((0.0, 1.0), 5), [0.0, 0.2, 0.4, 0.6, 0.8, 1.0]);
        assert_eq!(ticks((1.12, 1.48), 4), [1.2, 1.3, 1.4]);
        assert_eq!(ticks((-30.0, 95.0), 3), [0.0, 50.0]);
        assert!(ticks((1.0, 1.0), 3).is_empty() && ticks((0.0, f64::NAN), 3).is_empty());
        assert_eq!(whole_ticks((6.8, 9.3), 6), [7.0, 8.0, 9.0]);
    }
}
