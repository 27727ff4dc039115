//! How a point stands against the front, in the objectives of the brief.

use crate::score::{Better, Criterion};

/// How far the front may lie from the best there is.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize)]
pub struct Gap {
    /// In ln of the spread.
    pub ln_spread: f64,
    pub step_deviation: f64,
}

/// A point as the front is drawn over it: lower is better, rounded to the six decimals that
/// tables print; infinite where a score does not apply.
pub fn objective(criterion: Criterion, score: Option<f64>) -> f64 {
    let sign = if criterion.better() == Better::Higher { -1.0 } else { 1.0 };
    score.map_or(f64::INFINITY, |score| (sign * score * 1e6).round() / 1e6)
}

/// The front as points.
#[derive(Clone, Debug)]
pub struct FrontPoints {
    pub objectives: Vec<Criterion>,
    /// Names and points.
    pub rows: Vec<(String, Vec<f64>)>,
    pub gap: Gap,
}

/// What the front has to say to a point.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Some row is as good in every objective, within the gap.
    Answered,
    /// The point beats this row by more than the gap.
    Beats(String),
    /// It beats no row, but none is as good.
    New,
}

impl FrontPoints {
    pub fn standing(&self, point: &[f64]) -> Standing {
        let beaten = self.rows.iter().find(|(_, row)| {
            let no_worse = point.iter().zip(row).all(|(own, row)| own <= row);
            no_worse && (0..point.len()).any(|k| self.clearly_better(k, point[k], row[k]))
        });
        if let Some((name, _)) = beaten {
            return Standing::Beats(name.clone());
        }
        let answers = |row: &[f64]| {
            (0..point.len())
                .all(|k| row[k] <= point[k] || !self.clearly_better(k, point[k], row[k]))
        };
        match self.rows.iter().any(|(_, row)| answers(row)) {
            true => Standing::Answered,
            false => Standing::New,
        }
    }

    /// Whether a point may have no answer, by the floats at hand; `None` for an objective that is
    /// not known yet. A `false` is certain but for rounding.
    pub fn may_matter(&self, known: &[Option<f64>]) -> bool {
        let better = |k: usize, row: f64| match known[k] {
            None => true,
            Some(own) => own < row - 1e-9 && self.clearly_better(k, own, row),
        };
        self.rows.iter().all(|(_, row)| (0..row.len()).any(|k| better(k, row[k])))
    }

    /// Whether `own` is better than `row` in an objective by more than the gap.
    fn clearly_better(&self, objective: usize, own: f64, row: f64) -> bool {
        match self.objectives[objective] {
            // Spreads stand with a minus; both are above 0 then.
            Criterion::Spread if self.gap.ln_spread > 0.0 => (own / row).ln() > self.gap.ln_spread,
            Criterion::StepDeviation => own < row - self.gap.step_deviation,
            _ => own < row,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn front(gap: Gap) -> FrontPoints {
        let objectives = vec![Criterion::Spread, Criterion::StepDeviation];
        let rows = vec![("F01".into(), vec![-6.0, 0.02]), ("F02".into(), vec![-5.0, 0.01])];
        FrontPoints { objectives, rows, gap }
    }

    #[test]
    fn a_point_is_answered_or_beats_or_is_new() {
        let front = front(Gap::default());
        assert_eq!(front.standing(&[-5.0, 0.01]), Standing::Answered);
        assert_eq!(front.standing(&[-4.0, 0.03]), Standing::Answered);
        assert_eq!(front.standing(&[-5.000001, 0.01]), Standing::Beats("F02".into()));
        assert_eq!(front.standing(&[-5.5, 0.015]), Standing::New);
        assert_eq!(front.standing(&[-6.0, 0.005]), Standing::Beats("F01".into()));
        assert!(front.may_matter(&[Some(-5.5), Some(0.015)]));
        assert!(front.may_matter(&[Some(-1.0), None]));
        assert!(!front.may_matter(&[Some(-5.0), Some(0.01)]));
    }

    #[test]
    fn what_lies_within_the_gap_is_answered() {
        let front = front(Gap { ln_spread: 0.001, step_deviation: 0.002 });
        assert_eq!(front.standing(&[-6.003, 0.0185]), Standing::Answered);
        assert_eq!(front.standing(&[-6.003, 0.0179]), Standing::Beats("F01".into()));
        assert_eq!(front.standing(&[-6.01, 0.0201]), Standing::New);
        assert_eq!(front.standing(&[-6.005, 0.021]), Standing::Answered);
    }
}
