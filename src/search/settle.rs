//! From a solved class to layouts with teeth: exact ratios, scores, the best twin.

use super::ladder::Ladder;
use super::plan::{FamilyPlan, Plan};
use super::solve::Solution;
use super::twins::TwinMember;
use crate::brief::Brief;
use crate::build::nests_wiring;
use crate::num::{Fraction, to_f64};
use crate::score::{Assessment, Criterion, Setting, assess};
use crate::teeth::Catalogue;
use crate::train::{ElementMask, Gear, GearSet, Layout, Slot, canonical};

/// A layout with teeth that meets the brief.
#[derive(Clone, Debug)]
pub struct Finding {
    /// The canonical spelling of its wiring.
    pub canonical: String,
    /// With teeth and gears: `1`, `2` … and `R` (two reverses: `R1`, `R2`).
    pub layout: Layout,
    /// The ratio of each gear of the layout, exact.
    pub ratios: Vec<Fraction>,
    /// One per [`Criterion::ALL`].
    pub scores: Vec<Option<f64>>,
    /// Canonical spellings of the other layouts with the same ratios in every state.
    pub twins: Vec<String>,
    /// Whether some element is engaged in no gear: the layout without it does the same.
    pub spare_element: bool,
}

/// What all classes have in common.
pub struct Setup<'a> {
    pub brief: &'a Brief,
    pub ladder: &'a Ladder,
    pub catalogue: &'a Catalogue,
    /// The elements of each state of a class.
    pub states: &'a [ElementMask],
}

/// A twin that could stand for its class, with what it is preferred by.
struct Twin<'a> {
    member: &'a TwinMember,
    spelling: String,
}

impl<'a> Setup<'a> {
    /// Of a family of a plan.
    pub fn of(plan: &'a Plan<'_>, family: &'a FamilyPlan) -> Self {
        let Plan { brief, ladder, catalogue, .. } = plan;
        Self { brief, ladder, catalogue, states: &family.states }
    }
}

impl Setup<'_> {
    /// The layouts of one class, one for each solution that holds exactly and meets the
    /// limits of the brief with at least one of the twins.
    pub fn settle(
        &self,
        family: &FamilyPlan,
        members: &[TwinMember],
        solutions: &[Solution],
    ) -> Vec<Finding> {
        let Some(first) = solutions.first() else { return Vec::new() };
        let twins = self.ranked(family, members, first);
        let found = solutions.iter().filter_map(|solution| {
            let mut finding = self.judge(family, &twins, solution)?;
            let others = twins.iter().filter(|twin| twin.spelling != finding.canonical);
            // What does for one twin may be too much for another.
            let kept = others.filter(|twin| {
                self.brief.limits.is_empty() || self.keeps_limits(family, twin.member, solution)
            });
            finding.twins = kept.map(|twin| twin.spelling.clone()).collect();
            Some(finding)
        });
        found.collect()
    }

    /// The twins, best first: those that nest, then the smallest element torque and open
    /// slip at the first solution, then the spelling.
    fn ranked<'a>(
        &self,
        family: &FamilyPlan,
        members: &'a [TwinMember],
        solution: &Solution,
    ) -> Vec<Twin<'a>> {
        let merit = |member: &TwinMember| {
            let layout = self.layout(family, member, solution);
            let assessed = assess(&layout, &self.brief.mesh);
            let score = |criterion| {
                self.score(&assessed, &layout, criterion)
                    .map_or(f64::INFINITY, |s| (s * 1e6).round())
            };
            [-score(Criterion::Nests), score(Criterion::ElementTorque), score(Criterion::OpenSlip)]
        };
        let mut ranked: Vec<([f64; 3], Twin<'a>)> = members
            .iter()
            .map(|member| {
                let merit = if members.len() > 1 { merit(member) } else { [0.0; 3] };
                (merit, Twin { member, spelling: self.spelling(family, member) })
            })
            .collect();
        ranked.sort_by(|(a, x), (b, y)| {
            let pairs = a.iter().zip(b).map(|(a, b)| a.total_cmp(b));
            pairs
                .fold(std::cmp::Ordering::Equal, std::cmp::Ordering::then)
                .then_with(|| x.spelling.cmp(&y.spelling))
        });
        ranked.into_iter().map(|(_, twin)| twin).collect()
    }

    fn score(&self, assessed: &Assessment, layout: &Layout, criterion: Criterion) -> Option<f64> {
        let setting = Setting { progression: &self.ladder.progression, teeth: &self.brief.teeth };
        assessed.score(criterion, layout, &setting)
    }

    /// Whether some layout of a class nests.
    pub fn some_nests(&self, family: &FamilyPlan, members: &[TwinMember]) -> bool {
        members.iter().any(|member| {
            let core = &family.cores[member.core as usize];
            nests_wiring(core, &self.slots(family, member))
        })
    }

    fn slots(&self, family: &FamilyPlan, member: &TwinMember) -> Vec<Slot> {
        let all = family.cores[member.core as usize].slots();
        member.slots[..family.elements].iter().map(|&slot| all[usize::from(slot)]).collect()
    }

    fn spelling(&self, family: &FamilyPlan, member: &TwinMember) -> String {
        canonical(&family.cores[member.core as usize], &self.slots(family, member)).to_string()
    }

    /// The layout of a twin with the teeth and gears of a solution.
    pub fn layout(&self, family: &FamilyPlan, member: &TwinMember, solution: &Solution) -> Layout {
        let core = &family.cores[member.core as usize];
        let mut sets = vec![GearSet::single(1, 2); family.sets];
        for (class_set, &index) in solution.point[..family.sets].iter().enumerate() {
            sets[usize::from(member.sets[class_set])] = self.catalogue.best(usize::from(index)).set;
        }
        // Clutches first, then brakes: `order[place]` is the class's number of an element.
        let all = core.slots();
        let slot = |element: usize| all[usize::from(member.slots[element])];
        let mut order: Vec<usize> = (0..family.elements).collect();
        order.sort_by_key(|&element| (slot(element).is_brake(), slot(element)));
        let slots: Vec<Slot> = order.iter().map(|&element| slot(element)).collect();
        let mut layout = Layout::from_core(core, &slots, sets);
        let engaged = |state: usize| {
            let places = order.iter().enumerate();
            ElementMask::of(
                places.filter(|(_, e)| self.states[state].contains(**e)).map(|(place, _)| place),
            )
        };
        let chain = &solution.chain;
        let forward = chain.forward.iter().enumerate();
        let forward = forward
            .map(|(gear, &state)| Gear { name: (gear + 1).to_string(), engaged: engaged(state) });
        let reverse = chain.reverse.iter().enumerate().map(|(gear, &state)| Gear {
            name: if chain.reverse.len() > 1 { format!("R{}", gear + 1) } else { "R".into() },
            engaged: engaged(state),
        });
        layout.gears = forward.chain(reverse).collect();
        layout.title = Some(self.brief.title.clone());
        layout
    }

    /// The first twin that meets the limits of the brief with the teeth of a solution;
    /// `None` too when the exact ratios do not meet the ladder, for the floats only sifted.
    fn judge(
        &self,
        family: &FamilyPlan,
        twins: &[Twin<'_>],
        solution: &Solution,
    ) -> Option<Finding> {
        for twin in twins {
            let layout = self.layout(family, twin.member, solution);
            let assessed = assess(&layout, &self.brief.mesh);
            // Twins have the same ratios: what does not hold for one holds for none.
            let ratios = assessed.ratios().filter(|ratios| self.ladder.holds(&floats(ratios)))?;
            let scores: Vec<Option<f64>> = Criterion::ALL
                .iter()
                .map(|&criterion| self.score(&assessed, &layout, criterion))
                .collect();
            if self.within_limits(&scores) {
                let used = layout.gears.iter().fold(0, |used, gear| used | gear.engaged.0);
                let spare_element = used.count_ones() < family.elements as u32;
                let (canonical, twins) = (twin.spelling.clone(), Vec::new());
                return Some(Finding { canonical, layout, ratios, scores, twins, spare_element });
            }
        }
        None
    }

    /// Whether a twin with the teeth and gears of a solution meets the limits of the brief.
    pub fn keeps_limits(
        &self,
        family: &FamilyPlan,
        member: &TwinMember,
        solution: &Solution,
    ) -> bool {
        let layout = self.layout(family, member, solution);
        let assessed = assess(&layout, &self.brief.mesh);
        self.brief.limits.iter().all(|limit| {
            let score = self.score(&assessed, &layout, limit.criterion);
            score.is_some_and(|score| limit.holds(score))
        })
    }

    fn within_limits(&self, scores: &[Option<f64>]) -> bool {
        self.brief.limits.iter().all(|limit| {
            let place = Criterion::ALL.iter().position(|&criterion| criterion == limit.criterion);
            place.and_then(|place| scores[place]).is_some_and(|score| limit.holds(score))
        })
    }
}

fn floats(ratios: &[Fraction]) -> Vec<f64> {
    ratios.iter().map(to_f64).collect()
}
