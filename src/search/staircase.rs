//! The front in spread and step deviation: a staircase that others are held against.

/// Points of which none is both wider and evener than another, by rising spread.
#[derive(Clone, Debug, PartialEq)]
pub struct Staircase {
    /// `(ln spread, deviation)`, both strictly rising.
    points: Vec<(f64, f64)>,
    /// Whether a wider spread, and whether a smaller deviation, counts as better at all.
    aims: (bool, bool),
}

impl Staircase {
    pub fn new(by_spread: bool, by_deviation: bool) -> Self {
        Self { points: Vec::new(), aims: (by_spread, by_deviation) }
    }

    /// What does not count is the same for all.
    #[inline]
    fn seen(&self, log_spread: f64, deviation: f64) -> (f64, f64) {
        (if self.aims.0 { log_spread } else { 0.0 }, if self.aims.1 { deviation } else { 0.0 })
    }

    /// The least deviation among points at least as wide as `log_spread`; infinite when there
    /// are none.
    #[inline]
    pub fn least_beyond(&self, log_spread: f64) -> f64 {
        let (log_spread, _) = self.seen(log_spread, 0.0);
        // Deviations rise with spreads, so the first point that is wide enough is the evenest.
        let first = self.points.partition_point(|point| point.0 < log_spread);
        self.points.get(first).map_or(f64::INFINITY, |point| point.1)
    }

    /// Whether some point is at least as wide and at most as uneven.
    #[inline]
    pub fn covers(&self, log_spread: f64, deviation: f64) -> bool {
        self.least_beyond(log_spread) <= self.seen(0.0, deviation).1
    }

    /// Takes a point in, and drops those that it covers. Whether it was not covered itself.
    pub fn add(&mut self, log_spread: f64, deviation: f64) -> bool {
        if self.covers(log_spread, deviation) {
            return false;
        }
        let (log_spread, deviation) = self.seen(log_spread, deviation);
        let end = self.points.partition_point(|point| point.0 <= log_spread);
        let start = self.points[..end].partition_point(|point| point.1 < deviation);
        self.points.splice(start..end, [(log_spread, deviation)]);
        true
    }

    /// Whether this very point is one of them.
    pub fn has(&self, log_spread: f64, deviation: f64) -> bool {
        self.points.contains(&self.seen(log_spread, deviation))
    }

    #[cfg(test)]
    pub fn points(&self) -> &[(f64, f64)] {
        &self.points
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn it_is_the_front_of_what_came(
            points in proptest::collection::vec((0u8..12, 0u8..12), 0..40),
            asked in (0u8..13, 0u8..13),
        ) {
            let points: Vec<(f64, f64)> =
                points.iter().map(|&(s, d)| (f64::from(s), f64::from(d))).collect();
            let asked = (f64::from(asked.0), f64::from(asked.1));
            let covers = |a: &(f64, f64), b: &(f64, f64)| a.0 >= b.0 && a.1 <= b.1;
            let mut stairs = Staircase::new(true, true);
            for (place, point) in points.iter().enumerate() {
                let new = !points[..place].iter().any(|before| covers(before, point));
                prop_assert_eq!(stairs.add(point.0, point.1), new);
            }
            prop_assert_eq!(stairs.covers(asked.0, asked.1), points.iter().any(|p| covers(p, &asked)));
            let rising = stairs.points().windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 < pair[1].1);
            prop_assert!(rising);
        }
    }
}
