//! The gears of a layout solved once, and every criterion read off them.
//!
//! Knows one layout at a time; what is better than what is the front's business.

use num_traits::{One, Signed};

use super::{Better, Criterion, Progression};
use crate::build::nests;
use crate::motion::{Duties, Duty, MeshEfficiency};
use crate::num::{Fraction, to_f64};
use crate::teeth::{ToothLimits, outer_diameter};
use crate::train::{ElementMask, Layout};

/// What scores depend on besides the layout.
#[derive(Clone, Copy, Debug)]
pub struct Setting<'a> {
    /// The ladder against which the steps are judged.
    pub progression: &'a Progression,
    /// Module, rim and profile shift for the outer diameter.
    pub teeth: &'a ToothLimits,
}

/// All gears of a layout, solved.
#[derive(Clone, Debug)]
pub struct Assessment {
    /// In the order of the layout; `None` where a gear is not live.
    gears: Vec<Option<Duty>>,
    /// Live gears with a positive ratio, first to top: by falling ratio, equal ones in the
    /// order of the layout.
    forward: Vec<usize>,
    /// Live gears with a negative ratio, the largest |i| first.
    reverse: Vec<usize>,
}

/// Solves every gear of `layout`.
pub fn assess(layout: &Layout, mesh: &MeshEfficiency) -> Assessment {
    let duties = Duties::new(layout, mesh);
    Assessment::new(layout.gears.iter().map(|gear| duties.of(gear.engaged)).collect())
}

/// The same by the plain way, every number a fraction: what [`assess`] is held against.
pub fn assess_plainly(layout: &Layout, mesh: &MeshEfficiency) -> Assessment {
    let gears = layout.gears.iter();
    Assessment::new(gears.map(|gear| Duty::plain(layout, gear.engaged, mesh)).collect())
}

impl Assessment {
    fn new(gears: Vec<Option<Duty>>) -> Self {
        let falling = |side: fn(&Fraction) -> bool| {
            let live = gears.iter().enumerate().filter_map(|(index, gear)| {
                gear.as_ref().filter(|duty| side(&duty.ratio)).map(|duty| (index, duty))
            });
            let mut order: Vec<(usize, &Duty)> = live.collect();
            // Rounding keeps the order, so floats decide unless they are equal.
            order.sort_by(|(_, a), (_, b)| {
                let floats = b.value.abs().total_cmp(&a.value.abs());
                floats.then_with(|| b.ratio.abs().cmp(&a.ratio.abs()))
            });
            order.into_iter().map(|(index, _)| index).collect()
        };
        let (forward, reverse) = (falling(Signed::is_positive), falling(Signed::is_negative));
        Self { gears, forward, reverse }
    }

    /// The exact ratio of every gear; `None` unless all are live.
    pub fn ratios(&self) -> Option<Vec<Fraction>> {
        self.gears.iter().map(|gear| Some(gear.as_ref()?.ratio.clone())).collect()
    }

    /// The forward gears, first to top, as places in the layout with their ratios.
    pub fn ladder(&self) -> impl Iterator<Item = (usize, &Fraction)> {
        self.forward.iter().copied().zip(self.forward().map(|duty| &duty.ratio))
    }

    /// Places of the live forward gears and of the reverse gears, each by falling |i|.
    pub fn orders(&self) -> [&[usize]; 2] {
        [&self.forward, &self.reverse]
    }

    fn live(&self) -> impl Iterator<Item = &Duty> {
        self.gears.iter().flatten()
    }

    fn forward(&self) -> impl DoubleEndedIterator<Item = &Duty> + Clone {
        self.forward.iter().filter_map(|&gear| self.gears[gear].as_ref())
    }

    fn reverse(&self) -> impl Iterator<Item = &Duty> {
        self.reverse.iter().filter_map(|&gear| self.gears[gear].as_ref())
    }

    /// First forward ratio / last forward ratio, exactly; `None` without a forward gear.
    pub fn spread(&self) -> Option<Fraction> {
        Some(&self.forward().next()?.ratio / &self.forward().next_back()?.ratio)
    }

    /// One score, by the meaning that [`Criterion::about`] states.
    ///
    /// Gears that are not live count for nothing. `None` where a score does not apply (no
    /// forward gear, a single one where a shift is asked for, no reverse gear, a wanted
    /// ladder with another number of gears) or is not determined (a torque that a redundant
    /// element leaves open, a planet whose teeth are not known). A self-locking gear has
    /// efficiency 0 here.
    pub fn score(
        &self,
        criterion: Criterion,
        layout: &Layout,
        setting: &Setting<'_>,
    ) -> Option<f64> {
        if let Some((worse, value)) = worst(criterion) {
            return self.over_gears(worse, value);
        }
        let elements = layout.elements.len();
        match criterion {
            Criterion::Spread => self.spread().as_ref().map(to_f64),
            Criterion::StepDeviation => self.step_deviation(setting.progression),
            Criterion::ElementCount => Some((layout.sets.len() + elements) as f64),
            Criterion::ShiftElements => Some(elements as f64),
            Criterion::Sets => Some(layout.sets.len() as f64),
            Criterion::SwapsPerShift => {
                let applied =
                    |(from, to): (&Duty, &Duty)| (to.engaged.0 & !from.engaged.0).count_ones();
                let shifts = self.forward().zip(self.forward().skip(1));
                mean(shifts.map(|shift| Some(f64::from(applied(shift)))))
            }
            Criterion::OpenElements => {
                mean(self.live().map(|gear| Some((elements - gear.engaged.len()) as f64)))
            }
            Criterion::ReverseToFirst => {
                let ratio = &self.reverse().next()?.ratio / &self.forward().next()?.ratio;
                Some(to_f64(&ratio).abs())
            }
            Criterion::DirectGears => {
                self.live().next()?;
                Some(self.live().filter(|gear| gear.ratio.is_one()).count() as f64)
            }
            Criterion::GearsAfterFault => self.gears_after_fault(elements),
            Criterion::MeanEfficiency => mean(self.forward().map(|gear| gear.efficiency)),
            Criterion::Nests => Some(f64::from(u8::from(nests(layout)))),
            Criterion::OuterDiameter => {
                let rings = layout.sets.iter().map(|set| outer_diameter(set, setting.teeth));
                rings.reduce(f64::max)
            }
            // Told above, or of a reduction, whose making is not known here.
            Criterion::WorstEfficiency
            | Criterion::BackEfficiency
            | Criterion::ElementTorque
            | Criterion::PlanetSpeed
            | Criterion::ShaftSpeed
            | Criterion::OpenSlip
            | Criterion::RollingPower
            | Criterion::BranchPower
            | Criterion::RatioError
            | Criterion::Efficiency
            | Criterion::Safety
            | Criterion::Length
            | Criterion::PartCount
            | Criterion::DifferentGears
            | Criterion::Price => None,
        }
    }

    /// Whether a gear, by its place in the layout, leaves a score of the worst over all gears
    /// on the good side of its bounds: at least `least` where the least counts, at most `most`
    /// where the largest does. True of other criteria, which no gear decides alone.
    pub fn gear_keeps(
        &self,
        gear: usize,
        criterion: Criterion,
        (least, most): (Option<f64>, Option<f64>),
    ) -> bool {
        let Some((worse, value)) = worst(criterion) else { return true };
        let bound = match criterion.better() {
            Better::Higher => least,
            Better::Lower => most,
        };
        let Some(bound) = bound else { return true };
        let duty = self.gears.get(gear).and_then(Option::as_ref);
        duty.and_then(value).is_some_and(|value| worse(bound, value) == bound)
    }

    fn step_deviation(&self, progression: &Progression) -> Option<f64> {
        let ratios: Vec<f64> = self.forward().map(|gear| gear.value).collect();
        let fits = match progression {
            Progression::Given(wanted) => wanted.len() == ratios.len(),
            Progression::Geometric | Progression::Progressive { .. } => true,
        };
        (fits && !ratios.is_empty()).then(|| progression.deviation(&ratios))
    }

    /// Forward gears left without the element that costs most of them: those that it
    /// carries torque in.
    fn gears_after_fault(&self, elements: usize) -> Option<f64> {
        let loaded: Vec<ElementMask> =
            self.forward().map(|gear| gear.loaded).collect::<Option<_>>()?;
        let left = |element: usize| loaded.iter().filter(|mask| !mask.contains(element)).count();
        let all = loaded.len();
        (all > 0).then(|| (0..elements).map(left).min().unwrap_or(all) as f64)
    }

    /// Folds a value over all live gears; `None` without one, and where one is not known.
    fn over_gears(
        &self,
        fold: fn(f64, f64) -> f64,
        value: impl Fn(&Duty) -> Option<f64>,
    ) -> Option<f64> {
        let mut values = self.live().map(value);
        let first = values.next()??;
        values.try_fold(first, |so_far, value| Some(fold(so_far, value?)))
    }
}

/// Which of two values is the worse.
type Worse = fn(f64, f64) -> f64;
/// A value of one gear, where it is known.
type OfGear = fn(&Duty) -> Option<f64>;

/// Of a criterion that is the worst over all gears: what it takes of a gear.
fn worst(criterion: Criterion) -> Option<(Worse, OfGear)> {
    let found: (Worse, OfGear) = match criterion {
        Criterion::WorstEfficiency => (f64::min, |gear| gear.efficiency),
        Criterion::BackEfficiency => (f64::min, |gear| gear.back_efficiency),
        Criterion::ElementTorque => (f64::max, |gear| gear.element_torque),
        Criterion::PlanetSpeed => (f64::max, |gear| gear.planet_speed),
        Criterion::ShaftSpeed => (f64::max, |gear| Some(gear.shaft_speed)),
        Criterion::OpenSlip => (f64::max, |gear| Some(gear.open_slip)),
        Criterion::RollingPower => (f64::max, |gear| gear.circulating),
        Criterion::BranchPower => (f64::max, |gear| gear.branch_power),
        _ => return None,
    };
    Some(found)
}

/// Whether a bound on this side of a criterion is kept by a layout exactly when each of its
/// gears keeps it.
pub fn is_gear_by_gear(criterion: Criterion) -> bool {
    worst(criterion).is_some()
}

/// `None` of nothing, and where one is not known.
fn mean(values: impl Iterator<Item = Option<f64>>) -> Option<f64> {
    let values: Vec<f64> = values.collect::<Option<_>>()?;
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::{outer_planet_speed, solve_state};
    use crate::num::fraction;
    use crate::train::{ElementMask, parse_layout};

    /// Two equal sets 30/66 (ρ = 11/5) with a common sun; see the hand calculation below.
    const EXAMPLE: &str = r#"
        sets = [{ sun = 30, ring = 66 }, { sun = 30, ring = 66 }]
        [shafts]
        input = []
        output = ["C1", "R2"]
        suns = ["S1", "S2"]
        front-ring = ["R1"]
        rear-carrier = ["C2"]
        [elements]
        A = { clutch = ["input", "front-ring"] }
        B = { clutch = ["input", "suns"] }
        C = { brake = "suns" }
        D = { brake = "rear-carrier" }
        [gears]
        R = ["B", "D"]
        1 = ["A", "D"]
        3 = ["A", "B"]
        2 = ["A", "C"]
    "#;

    fn score(layout: &Layout, criterion: Criterion) -> Option<f64> {
        let (progression, teeth) = (Progression::Geometric, ToothLimits::default());
        let setting = Setting { progression: &progression, teeth: &teeth };
        assess(layout, &MeshEfficiency::default()).score(criterion, layout, &setting)
    }

    /// i₁ = 2 + 1/ρ = 27/11, i₂ = 1 + 1/ρ = 16/11, i₃ = 1, i_R = −ρ = −11/5, η₀ = 0.98505.
    ///
    /// - Gear 1: T_S1 = 1/ρ, ω_S = −ρ·11/27 = −121/135, so P_roll,1 = −16/27 and
    ///   P_roll,2 = 11/27. Losses turn T_out into 1 + η₀/ρ + η₀².
    /// - Gear 2: P_roll,1 = −5/16; η = (1 + η₀/ρ)·11/16. Gear 3 is a block.
    /// - Reverse: η = η₀; D holds −(1 + ρ) = −16/5; set 1 idles with ω_S − ω_C = 16/11, so
    ///   its planets turn at 16/11 · 30/18 = 80/33; clutch A slips by 1 + 135/121.
    #[test]
    fn every_score_by_hand() {
        let layout = parse_layout(EXAMPLE).unwrap();
        let basic = 0.990 * 0.995;
        let first = (1.0 + basic / 2.2 + basic * basic) * 11.0 / 27.0;
        let second = (1.0 + basic / 2.2) * 11.0 / 16.0;
        // Driven from the output, every rolling power turns round: 1/η₀ for η₀.
        let back = 27.0 / 11.0 / (1.0 + 1.0 / (basic * 2.2) + 1.0 / (basic * basic));
        let expected = [
            (Criterion::Spread, 27.0 / 11.0),
            (Criterion::StepDeviation, (297.0f64 / 256.0).ln() / 2.0),
            (Criterion::ElementCount, 6.0),
            (Criterion::ShiftElements, 4.0),
            (Criterion::Sets, 2.0),
            (Criterion::SwapsPerShift, 1.0),
            (Criterion::OpenElements, 2.0),
            (Criterion::ReverseToFirst, 2.2 * 11.0 / 27.0),
            (Criterion::DirectGears, 1.0),
            // A is in every forward gear.
            (Criterion::GearsAfterFault, 0.0),
            (Criterion::WorstEfficiency, basic),
            (Criterion::MeanEfficiency, (first + second + 1.0) / 3.0),
            (Criterion::BackEfficiency, back),
            (Criterion::ElementTorque, 3.2),
            (Criterion::PlanetSpeed, 80.0 / 33.0),
            // The front ring in reverse: ω_R = (ω_C (1 + ρ) − ω_S) / ρ = −135/121.
            (Criterion::ShaftSpeed, 135.0 / 121.0),
            (Criterion::OpenSlip, 256.0 / 121.0),
            (Criterion::RollingPower, 1.0),
            (Criterion::BranchPower, 1.0),
            (Criterion::Nests, 1.0),
            // 1.5 mm · (66 + 2 · 0.1 of shift + 2 · 1.25 + 2 · 2.5).
            (Criterion::OuterDiameter, 110.55),
        ];
        assert_eq!(expected.map(|(criterion, _)| criterion), Criterion::ALL);
        for (criterion, value) in expected {
            let found = score(&layout, criterion).unwrap();
            assert!((found - value).abs() < 1e-12, "{}: {found}, not {value}", criterion.name());
        }
    }

    #[test]
    fn gears_are_sorted_whatever_their_order() {
        let layout = parse_layout(EXAMPLE).unwrap();
        let assessment = assess(&layout, &MeshEfficiency::default());
        let names = |order: &[usize]| -> Vec<&str> {
            order.iter().map(|&gear| layout.gears[gear].name.as_str()).collect()
        };
        assert_eq!(names(&assessment.forward), ["1", "2", "3"]);
        assert_eq!(names(&assessment.reverse), ["R"]);
        assert_eq!(assessment.spread(), Some(fraction(27, 11)));
    }

    #[test]
    fn what_does_not_apply_has_no_score() {
        let bare = parse_layout(EXAMPLE.split("[gears]").next().unwrap()).unwrap();
        let always = [
            Criterion::ElementCount,
            Criterion::ShiftElements,
            Criterion::Sets,
            Criterion::Nests,
            Criterion::OuterDiameter,
        ];
        for criterion in Criterion::ALL {
            assert_eq!(score(&bare, criterion).is_some(), always.contains(&criterion));
        }
        // One forward gear: a spread of 1, but no shift and no reverse.
        let text =
            EXAMPLE.split("[gears]").next().unwrap().to_owned() + "[gears]\n2 = [\"A\", \"C\"]";
        let one = parse_layout(&text).unwrap();
        assert_eq!(score(&one, Criterion::Spread), Some(1.0));
        assert_eq!(score(&one, Criterion::StepDeviation), Some(0.0));
        assert_eq!(score(&one, Criterion::SwapsPerShift), None);
        assert_eq!(score(&one, Criterion::ReverseToFirst), None);
    }

    #[test]
    fn a_ladder_of_another_length_is_not_compared() {
        let layout = parse_layout(EXAMPLE).unwrap();
        let teeth = ToothLimits::default();
        let assessment = assess(&layout, &MeshEfficiency::default());
        let deviation = |wanted: &[f64]| {
            let progression = Progression::Given(wanted.to_vec());
            let setting = Setting { progression: &progression, teeth: &teeth };
            assessment.score(Criterion::StepDeviation, &layout, &setting)
        };
        assert_eq!(deviation(&[2.0, 1.0]), None);
        let found = deviation(&[27.0 / 11.0, 16.0 / 11.0, 0.9]).unwrap();
        assert!((found - (1.0f64 / 0.9).ln()).abs() < 1e-12);
    }

    /// The planets of a pair mesh with each other: 30 · 1 / 18 for the inner, that times
    /// 18/20 against it for the outer.
    #[test]
    fn the_outer_planet_turns_against_the_inner() {
        let text = r#"
            sets = [{ kind = "paired", sun = 30, ring = 72, planet = 18, outer-planet = 20 }]
            shafts = { input = ["S1"], output = ["R1"], housing = ["C1"] }
            gears = { 1 = [] }
        "#;
        let layout = parse_layout(text).unwrap();
        let motion = solve_state(&layout, ElementMask::default());
        assert_eq!(outer_planet_speed(&layout, &motion, 0), Some(fraction(3, 2)));
        assert_eq!(score(&layout, Criterion::PlanetSpeed), Some(5.0 / 3.0));
        let unnamed = parse_layout(&text.replace(", outer-planet = 20", "")).unwrap();
        assert_eq!(score(&unnamed, Criterion::PlanetSpeed), None);
    }
}
