//! A walk downhill over base ratios: of all neighbours the best, steps halved where none is better.

use super::choose::Choice;
use super::seek::Bench;

/// What a walk is after. Costs are in ln of a ratio.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Goal {
    /// Even steps, with so much of a share for ln of the spread.
    Weighted(f64),
    /// Even steps at no less than this ln of the spread.
    Floor(f64),
    /// A wide spread at no more than this deviation.
    Ceiling(f64),
}

impl Goal {
    pub fn cost(&self, choice: &Choice) -> f64 {
        let Choice { log_spread, deviation, .. } = *choice;
        match *self {
            Self::Weighted(weight) => deviation - weight * log_spread,
            Self::Floor(least) => deviation + 3.0 * (least - log_spread).max(0.0),
            Self::Ceiling(most) => 10.0 * (deviation - most).max(0.0) - log_spread,
        }
    }
}

/// Walks from `here` until no neighbour is better; every point on the way is held against the
/// front by the bench.
pub fn walk(bench: &Bench<'_>, mut here: Vec<usize>, goal: &Goal, stopped: &dyn Fn() -> bool) {
    let count = bench.seeker.base_ratios();
    bench.attempt.borrow_mut().walks += 1;
    let mut cost = bench.cost(&here, goal);
    let mut step = (count / 8).max(1);
    while cost.is_finite() && !bench.is_done() && !stopped() {
        let points = neighbours(&here, step, count);
        let costs = points.into_iter().map(|point| (bench.cost(&point, goal), point));
        match costs.min_by(|a, b| a.0.total_cmp(&b.0)) {
            Some((better, point)) if better < cost => (cost, here) = (better, point),
            _ if step == 1 => break,
            _ => step /= 2,
        }
    }
}

/// All 3ⁿ − 1 points one step away in some of the sets, as far as there are base ratios.
fn neighbours(here: &[usize], step: usize, count: usize) -> Vec<Vec<usize>> {
    let mut points = vec![Vec::new()];
    for &index in here {
        let below = index.checked_sub(step);
        let above = Some(index + step).filter(|&above| above < count);
        let places: Vec<usize> = [below, Some(index), above].into_iter().flatten().collect();
        let longer = points.iter().flat_map(|point: &Vec<usize>| {
            places.iter().map(move |&place| [point.as_slice(), &[place]].concat())
        });
        points = longer.collect();
    }
    points.retain(|point| point != here);
    points
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_point_has_all_its_neighbours() {
        assert_eq!(neighbours(&[5, 5, 5], 2, 20).len(), 26);
        assert_eq!(neighbours(&[0, 5], 1, 20).len(), 5);
        assert!(neighbours(&[0, 19], 1, 20).iter().all(|p| p[0] <= 1 && p[1] >= 18));
        assert!(neighbours(&[3], 8, 5).is_empty());
    }
}
