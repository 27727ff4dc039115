//! Classes of a third quantity, best first, so that each has a mark of its own.

use itertools::Itertools;

use super::marker::Class;
use super::palette::Ink;
use crate::score::Better;

/// The class of every value, and the names of the classes that occur.
pub(super) struct Classes {
    pub of: Vec<Class>,
    pub names: Vec<String>,
}

impl Classes {
    /// One class a value where at most four values occur, otherwise four ranges that hold
    /// about as many different values each.
    pub fn new(values: &[Option<f64>], better: Better) -> Self {
        // Cost coordinates, so that the best comes first whichever way is better.
        let sign = if better == Better::Higher { -1.0 } else { 1.0 };
        let costs = values.iter().flatten().filter(|value| value.is_finite()).map(|v| v * sign);
        let distinct: Vec<f64> = costs.sorted_by(f64::total_cmp).dedup().collect();
        let groups = distinct.len().min(Ink::CLASSES);
        let group = |rank: usize| rank * groups / distinct.len();
        let class = |value: f64| {
            distinct.binary_search_by(|cost| cost.total_cmp(&(value * sign))).ok().map(group)
        };
        let names = (0..groups).map(|wanted| {
            let members = (0..distinct.len()).filter(|&rank| group(rank) == wanted);
            let ends = members.map(|rank| distinct[rank] * sign).minmax_by(f64::total_cmp);
            match ends.into_option() {
                Some((low, high)) if low < high => format!("{} to {}", short(low), short(high)),
                Some((low, _)) => short(low),
                None => String::new(),
            }
        });
        let names = names.collect();
        Self { of: values.iter().map(|value| value.and_then(class)).collect(), names }
    }
}

/// A number for an axis or a legend: at most four decimals, none that say nothing.
pub(super) fn short(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 100.0 => 1,
        size if size >= 1.0 => 3,
        _ => 4,
    };
    trimmed(&format!("{value:.decimals$}"))
}

/// The number without decimals that say nothing.
pub(super) fn trimmed(text: &str) -> String {
    let text =
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { text };
    // The minus sign of typography, as wide as the plus.
    if text == "-0" { "0".to_owned() } else { text.replace('-', "−") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_values_have_a_class_each_best_first() {
        let classes = Classes::new(&[Some(8.0), None, Some(7.0), Some(8.0)], Better::Lower);
        assert_eq!(classes.of, [Some(1), None, Some(0), Some(1)]);
        assert_eq!(classes.names, ["7", "8"]);
        let turned = Classes::new(&[Some(8.0), Some(7.0)], Better::Higher);
        assert_eq!(turned.of, [Some(0), Some(1)]);
    }

    #[test]
    fn many_values_fall_into_four_ranges() {
        let values: Vec<Option<f64>> = (0..10).map(|k| Some(f64::from(k) / 10.0)).collect();
        let classes = Classes::new(&values, Better::Higher);
        assert_eq!(classes.names, ["0.7 to 0.9", "0.5 to 0.6", "0.2 to 0.4", "0 to 0.1"]);
        assert_eq!(classes.of[9], Some(0));
    }

    #[test]
    fn numbers_are_short() {
        assert_eq!(short(0.1 + 0.2), "0.3");
        assert_eq!(short(-0.00001), "0");
        assert_eq!(short(-2.5), "−2.5");
        assert_eq!(short(120.0), "120");
    }
}
