//! Base ratios of one group that meet the wanted ratio: all but the last are tried, the
//! last follows.

use smallvec::SmallVec;

use super::archive::Archive;
use super::arrangement::Group;
use super::choice::{Choice, Choices, RatioClass};
use super::measures::Tight;
use super::running::Polynomials;
use super::weigh::{Case, Scales};
use super::work::Work;
use crate::motion::MeshScaling;
use crate::train::{MAX_SETS, SetKind};

/// What seeking in one group needs.
pub(super) struct Seek<'a> {
    pub scales: Scales<'a>,
    pub group: &'a Group,
    pub polynomials: &'a Polynomials,
    /// Number of sets, and which group of that number.
    pub place: (u8, usize),
    /// Of each variable.
    pub choices: SmallVec<[&'a Choices; MAX_SETS]>,
    /// Classes that are tried for each variable but the last; all where it is `None`.
    pub tried: Option<&'a [Vec<usize>]>,
    /// Signed ratios that are wanted, low to high, one or two.
    pub windows: &'a [(f64, f64)],
    /// What was found before this work began, to leave out early what it beats.
    pub known: &'a Archive,
    pub work: &'a Work<'a>,
}

/// Polynomials in the variables that are still open.
#[derive(Clone, Copy)]
struct Rest {
    numerator: [f64; 1 << MAX_SETS],
    denominator: [f64; 1 << MAX_SETS],
    variables: usize,
}

impl Rest {
    fn with(&self, ratio: f64) -> Self {
        let mut next = *self;
        next.variables -= 1;
        for t in 0..1 << next.variables {
            next.numerator[t] = self.numerator[2 * t] + ratio * self.numerator[2 * t + 1];
            next.denominator[t] = self.denominator[2 * t] + ratio * self.denominator[2 * t + 1];
        }
        next
    }

    /// Whether some base ratios within `sides` may meet `window`: both polynomials are
    /// linear in each, so where the denominator keeps its sign on the corners the ratio
    /// takes its extremes there. Where it does not, nothing is said.
    fn may_meet(&self, sides: &[(f64, f64)], window: (f64, f64)) -> bool {
        let (mut low, mut high, mut sign) = (f64::INFINITY, f64::NEG_INFINITY, 0.0);
        for corner in 0..1usize << self.variables {
            let mut at = *self;
            for (v, side) in sides.iter().enumerate() {
                at = at.with(if corner >> v & 1 == 0 { side.0 } else { side.1 });
            }
            let below = at.denominator[0];
            if below == 0.0 || below * sign < 0.0 {
                return true;
            }
            sign = below.signum();
            let ratio = at.numerator[0] / below;
            (low, high) = (low.min(ratio), high.max(ratio));
        }
        let slack = 1e-9 * (low.abs() + high.abs());
        low - slack <= window.1 && high + slack >= window.0
    }

    /// Base ratios of the one open variable at which the ratio lies in `window`, as one
    /// interval or two: i = (a + bρ) / (c + dρ) is monotone but for its pole.
    fn last(&self, window: (f64, f64)) -> SmallVec<[(f64, f64); 2]> {
        let [a, b] = [self.numerator[0], self.numerator[1]];
        let [c, d] = [self.denominator[0], self.denominator[1]];
        let at = |i: f64| (i * c - a) / (b - i * d);
        let inside = |i: f64| i > window.0 && i < window.1;
        let ends = (at(window.0), at(window.1));
        let (low, high) = (ends.0.min(ends.1), ends.0.max(ends.1));
        let all = (f64::NEG_INFINITY, f64::INFINITY);
        if !low.is_finite() || !high.is_finite() {
            // An end at infinity, or a ratio that does not depend on ρ: whoever asks looks.
            return [all].into_iter().collect();
        }
        if d != 0.0 && inside(b / d) {
            return [(all.0, low), (high, all.1)].into_iter().collect();
        }
        [(low, high)].into_iter().collect()
    }
}

/// The way down to a case: classes chosen and what they cost at least.
struct Path<'a> {
    classes: SmallVec<[&'a RatioClass; MAX_SETS]>,
    ratios: SmallVec<[f64; MAX_SETS]>,
}

impl<'a> Seek<'a> {
    /// Seeks with class `first` for the first variable. `false` when it was stopped before
    /// its end.
    pub fn seek(&self, first: usize, archive: &mut Archive) -> bool {
        let rest = Rest {
            numerator: self.polynomials.numerator,
            denominator: self.polynomials.denominator,
            variables: self.polynomials.variables,
        };
        let mut path = Path { classes: SmallVec::new(), ratios: SmallVec::new() };
        if rest.variables == 1 {
            // The first is the last: its class is looked at alone.
            return self.finish(&rest, first..first + 1, &mut path, archive);
        }
        self.descend(&rest, first, &mut path, archive)
    }

    fn descend(
        &self,
        rest: &Rest,
        class: usize,
        path: &mut Path<'a>,
        archive: &mut Archive,
    ) -> bool {
        if !self.work.goes_on(1) {
            return false;
        }
        let variable = path.classes.len();
        let chosen = &self.choices[variable].classes[class];
        let next = rest.with(chosen.ratio);
        let sides: SmallVec<[(f64, f64); MAX_SETS]> =
            self.choices[variable + 1..].iter().map(|choices| reach(choices)).collect();
        if !self.windows.iter().any(|&window| next.may_meet(&sides, window)) {
            return true;
        }
        path.classes.push(chosen);
        path.ratios.push(chosen.ratio);
        let whole = if next.variables == 1 {
            self.last(&next, path, archive)
        } else {
            let all = 0..self.choices[variable + 1].classes.len();
            let go = |class: usize, path: &mut Path<'a>, archive: &mut Archive| {
                self.descend(&next, class, path, archive)
            };
            match self.tried {
                Some(tried) => tried[variable + 1].iter().all(|&class| go(class, path, archive)),
                None => all.into_iter().all(|class| go(class, path, archive)),
            }
        };
        path.classes.pop();
        path.ratios.pop();
        whole
    }

    fn last(&self, rest: &Rest, path: &mut Path<'a>, archive: &mut Archive) -> bool {
        let choices = self.choices[path.classes.len()];
        self.windows.iter().all(|&window| {
            let mut parts = rest.last(window).into_iter();
            parts.all(|(low, high)| self.finish(rest, choices.between(low, high), path, archive))
        })
    }

    fn finish(
        &self,
        rest: &Rest,
        classes: std::ops::Range<usize>,
        path: &mut Path<'a>,
        archive: &mut Archive,
    ) -> bool {
        let choices = self.choices[path.classes.len()];
        for class in &choices.classes[classes] {
            if !self.work.goes_on(1) {
                return false;
            }
            let at = rest.with(class.ratio);
            let ratio = at.numerator[0] / at.denominator[0];
            let meets = |w: &(f64, f64)| {
                let slack = 1e-9 * ratio.abs();
                ratio >= w.0 - slack && ratio <= w.1 + slack
            };
            if !self.windows.iter().any(meets) {
                continue;
            }
            path.classes.push(class);
            path.ratios.push(class.ratio);
            let whole = self.case(ratio, path, archive);
            path.classes.pop();
            path.ratios.pop();
            if !whole {
                return false;
            }
        }
        true
    }

    /// Weighs what was found unless its bounds tell that something known beats it.
    fn case(&self, ratio: f64, path: &Path<'a>, archive: &mut Archive) -> bool {
        let efficiencies = self.efficiencies(path);
        let bounds = self.bounds(ratio, efficiencies, path);
        if archive.excludes(&bounds) || self.known.excludes(&bounds) {
            return true;
        }
        let choices: SmallVec<[&[Choice]; MAX_SETS]> =
            path.classes.iter().map(|class| &class.choices[..]).collect();
        let case = Case {
            group: self.group,
            place: self.place,
            ratios: &path.ratios,
            ratio,
            choices: &choices,
            efficiencies,
        };
        self.scales.weigh(&case, self.work, self.known, archive)
    }

    /// η and η' where they follow from the base ratios alone.
    fn efficiencies(&self, path: &Path<'a>) -> Option<[f64; 2]> {
        let mesh = &self.scales.brief.mesh;
        if mesh.scaling == MeshScaling::Teeth {
            return None;
        }
        let basic: SmallVec<[f64; MAX_SETS]> =
            path.classes.iter().map(|class| mesh.basic(&class.choices[0].set)).collect();
        let forward = self.polynomials.efficiency(&path.ratios, &basic)?;
        Some([forward, self.polynomials.back_efficiency(&path.ratios, &basic)?])
    }

    /// No way to make these base ratios has better objectives than these.
    fn bounds(
        &self,
        ratio: f64,
        efficiencies: Option<[f64; 2]>,
        path: &Path<'a>,
    ) -> SmallVec<[f64; 6]> {
        let (room, sets) = (&self.scales.brief.room, path.classes.len() as f64);
        let classes = || path.classes.iter();
        let widths: f64 = classes().map(|class| class.least_module).sum();
        let parts: u32 = classes().map(|class| class.least_parts).sum();
        let tight = Tight {
            diameter: classes().map(|class| class.least_diameter).fold(0.0, f64::max),
            length: room.width.0 * widths
                + sets * 2.0 * (room.plate + room.gap)
                + (sets - 1.0) * room.gap,
            parts: f64::from(parts) - (sets - 1.0),
        };
        self.scales.tight(ratio, efficiencies, path.classes.len(), &tight)
    }
}

/// Least and largest base ratio.
fn reach(choices: &Choices) -> (f64, f64) {
    let classes = &choices.classes;
    let ends = classes.first().zip(classes.last());
    ends.map_or((1.0, 1.0), |(first, last)| (first.ratio, last.ratio))
}

/// The sets of each variable of a group.
pub(super) fn choices_of<'a>(
    group: &Group,
    choices: &'a [Choices; 2],
) -> SmallVec<[&'a Choices; MAX_SETS]> {
    let of = |kind: &SetKind| &choices[usize::from(*kind == SetKind::Paired)];
    group.kinds.iter().map(of).collect()
}
