//! Layouts as plain numbers: some quantities, and what each layout has of them.

use super::pareto::Standing;
use crate::score::Better;

/// Something that layouts are compared by.
#[derive(Clone, Debug)]
pub struct Quantity {
    pub name: String,
    /// Empty where it is a plain number.
    pub unit: String,
    pub better: Better,
    /// Whether 1 and 0 stand for yes and no.
    pub yes_no: bool,
}

/// One layout.
#[derive(Clone, Debug)]
pub struct Case {
    pub name: String,
    /// One a quantity; `None` where it is not known.
    pub values: Vec<Option<f64>>,
    pub standing: Standing,
}

/// Layouts with the quantities that they are compared by.
#[derive(Clone, Debug)]
pub struct Cases {
    pub quantities: Vec<Quantity>,
    pub list: Vec<Case>,
}

impl Quantity {
    /// A value with its unit, as short as it can be told apart.
    pub(super) fn says(&self, value: f64) -> String {
        if self.yes_no {
            return if value > 0.5 { "yes" } else { "no" }.to_owned();
        }
        format!("{} {}", rough(value), self.unit).trim_end().to_owned()
    }

    pub(super) fn better_words(&self) -> &'static str {
        match self.better {
            Better::Higher => "more is better",
            Better::Lower => "less is better",
        }
    }
}

impl Case {
    /// The value in a column where there is one.
    pub(super) fn value(&self, column: usize) -> Option<f64> {
        self.values.get(column).copied().flatten().filter(|value| value.is_finite())
    }
}

impl Cases {
    pub(super) fn front(&self) -> impl Iterator<Item = &Case> {
        self.list.iter().filter(|case| case.standing == Standing::Front)
    }

    pub(super) fn beaten(&self) -> impl Iterator<Item = &Case> {
        self.list.iter().filter(|case| case.standing == Standing::Beaten)
    }

    /// The columns in which layouts differ, and what there is to say of the others. A single
    /// layout has all that is known of it.
    pub(super) fn telling(&self) -> (Vec<usize>, Vec<String>) {
        let (mut columns, mut same) = (Vec::new(), Vec::new());
        for (column, quantity) in self.quantities.iter().enumerate() {
            let mut values = self.list.iter().map(|case| case.value(column));
            let first = values.next().flatten();
            let alike = values.all(|other| other == first);
            match first {
                None if alike => same.push(format!("{}: not known", quantity.name)),
                Some(value) if alike && self.list.len() > 1 => {
                    same.push(format!("{}: {} for all", quantity.name, quantity.says(value)));
                }
                _ => columns.push(column),
            }
        }
        (columns, same)
    }

    /// The values of a column below which shares of the beaten lie; `None` without a value.
    pub(super) fn beaten_quantiles<const N: usize>(
        &self,
        column: usize,
        shares: [f64; N],
    ) -> Option<[f64; N]> {
        quantiles(self.beaten().filter_map(|case| case.value(column)).collect(), shares)
    }

    /// Least and greatest value to be shown in a column: all of the front, and what of the
    /// beaten is given. `None` without a value.
    pub(super) fn range(&self, column: usize, beaten: &[f64]) -> Option<(f64, f64)> {
        let values = self.front().filter_map(|case| case.value(column));
        values.chain(beaten.iter().copied()).fold(None, |range, value| {
            let (low, high) = range.unwrap_or((value, value));
            Some((value.min(low), value.max(high)))
        })
    }
}

/// Values that occur, below which shares of all lie; `None` of none.
pub(super) fn quantiles<const N: usize>(
    mut values: Vec<f64>,
    shares: [f64; N],
) -> Option<[f64; N]> {
    let last = values.len().checked_sub(1)?;
    Some(shares.map(|share| {
        let place = (share * last as f64).round() as usize;
        *values.select_nth_unstable_by(place, f64::total_cmp).1
    }))
}

/// At most three figures that matter, whole numbers in full, none that say nothing.
pub(super) fn rough(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 99.95 => 0,
        size if size >= 9.995 => 1,
        size if size >= 0.9995 => 2,
        _ => 3,
    };
    super::classes::trimmed(&format!("{value:.decimals$}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rough_numbers_have_three_figures() {
        let told = [1234.4, 99.96, 12.345, 9.996, 2.0, 0.97345, -0.0001].map(rough);
        assert_eq!(told, ["1234", "100", "12.3", "10", "2", "0.973", "0"]);
    }

    #[test]
    fn quantiles_are_values_that_occur() {
        let values: Vec<f64> = (0..101).map(|k| f64::from(k * 37 % 101)).collect();
        let found = quantiles(values, [0.05, 0.95, 0.5, 0.0, 1.0]);
        assert_eq!(found, Some([5.0, 95.0, 50.0, 0.0, 100.0]));
        assert_eq!(quantiles(Vec::new(), [0.5]), None);
    }

    #[test]
    fn a_range_holds_the_front_and_the_bulk_of_the_beaten() {
        let case = |value: f64, standing| Case {
            name: String::new(),
            values: vec![Some(value)],
            standing,
        };
        let mut list: Vec<Case> = (0..101).map(|k| case(f64::from(k), Standing::Beaten)).collect();
        list.push(case(-7.0, Standing::Front));
        list.push(case(f64::NAN, Standing::Front));
        let cases = Cases { quantities: Vec::new(), list };
        let beaten = cases.beaten_quantiles(0, [0.05, 0.95]).unwrap();
        assert_eq!(cases.range(0, &beaten), Some((-7.0, 95.0)));
        assert_eq!((cases.range(1, &[]), cases.beaten_quantiles(1, [0.5])), (None, None));
    }

    #[test]
    fn what_is_the_same_for_all_is_said_and_not_drawn() {
        let quantity = |name: &str| Quantity {
            name: name.to_owned(),
            unit: "mm".to_owned(),
            better: Better::Lower,
            yes_no: false,
        };
        let case = |values: [Option<f64>; 3]| Case {
            name: String::new(),
            values: values.to_vec(),
            standing: Standing::Front,
        };
        let cases = Cases {
            quantities: ["a", "b", "c"].map(quantity).to_vec(),
            list: vec![case([Some(1.0), Some(8.0), None]), case([Some(2.0), Some(8.0), None])],
        };
        let same = ["b: 8 mm for all", "c: not known"].map(str::to_owned).to_vec();
        assert_eq!(cases.telling(), (vec![0], same));
        let one = Cases { list: cases.list[..1].to_vec(), ..cases };
        assert_eq!(one.telling().0, [0, 1]);
    }
}
