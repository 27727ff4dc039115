//! What generators draw from: the brief's numbers, the catalogue of sets, and chance.

use std::collections::{BTreeMap, BTreeSet};

use num_integer::Integer as _;

use super::chance::Chance;
use super::deck::Deck;
use crate::brief::{ExamBrief, NumberWish};
use crate::problem::{Demands, Figure, Item, Kind, Level, Part, Said, Step, Topic};
use crate::teeth::Catalogue;
use crate::train::GearSet;

/// A generator's workbench; each kind has its own, so that kinds do not move each other.
pub(super) struct Shop<'a> {
    pub level: Level,
    pub numbers: &'a NumberWish,
    pub chance: Chance,
    /// Every set that meets every condition within the limits of the brief, shuffled.
    pub sets: Deck<GearSet>,
    simple: Deck<GearSet>,
    /// Of each question and number of options which one is right next.
    turns: BTreeMap<(u32, usize), usize>,
    /// Sets that were given to questions for which few fit.
    used: BTreeSet<[u32; 3]>,
}

/// Largest denominator of a simple base ratio.
const SIMPLE: u32 = 5;

impl<'a> Shop<'a> {
    /// `stream` keeps the chance of one kind apart from that of the others.
    pub fn new(brief: &'a ExamBrief, catalogue: &Catalogue, stream: u64) -> Self {
        let mut chance = Chance::new(brief.seed, stream);
        let sets: Vec<GearSet> = catalogue.entries().iter().map(|entry| entry.set).collect();
        let is_simple = |set: &&GearSet| set.sun / set.sun.gcd(&set.ring) <= SIMPLE;
        let simple = sets.iter().filter(is_simple).copied().collect();
        let simple = Deck::shuffled(simple, &mut chance);
        let sets = Deck::shuffled(sets, &mut chance);
        Self {
            level: brief.level,
            numbers: &brief.numbers,
            chance,
            sets,
            simple,
            turns: BTreeMap::new(),
            used: BTreeSet::new(),
        }
    }

    /// The next set that `fits`, from the whole catalogue; `None` where none does.
    pub fn set(&mut self, fits: impl Fn(&GearSet) -> bool) -> Option<GearSet> {
        for _ in 0..self.sets.len() {
            if let Some(set) = self.sets.deal().filter(|set| fits(set)) {
                return Some(*set);
            }
        }
        None
    }

    /// The next set whose base ratio Z_R / Z_S is a fraction of small numbers, so that ratios of
    /// several sets can come out short.
    pub fn simple_set(&mut self) -> Option<GearSet> {
        self.simple.deal().copied()
    }

    /// Which of `options` is to be right, where the numbers decide and not chance. It stays until
    /// [`Shop::next_turn`], so that what is seldom comes as often as what is common.
    pub fn turn(&self, question: u32, options: usize) -> usize {
        self.turns.get(&(question, options)).copied().unwrap_or_default()
    }

    pub fn is_used(&self, set: &GearSet) -> bool {
        self.used.contains(&[set.sun, set.planet.unwrap_or_default(), set.ring])
    }

    pub fn use_up(&mut self, set: &GearSet) {
        self.used.insert([set.sun, set.planet.unwrap_or_default(), set.ring]);
    }

    pub fn next_turn(&mut self, question: u32, options: usize) {
        let next = (self.turn(question, options) + 1) % options;
        self.turns.insert((question, options), next);
    }

    /// From two sets to the most of the brief.
    pub fn several_sets(&mut self) -> u8 {
        2 + self.chance.below(usize::from(self.numbers.sets.max(2)) - 1) as u8
    }

    /// One of several sentences that set the scene.
    pub fn scene(&mut self) -> &'static str {
        const SCENES: [&str; 6] = ["crank", "winch", "railcar", "hoist", "lathe", "bench"];
        SCENES[self.chance.below(SCENES.len())]
    }
}

/// An item without a name yet.
pub(super) struct Draft {
    item: Item,
}

impl Draft {
    /// `variant` is the skeleton within the kind.
    pub fn new(kind: Kind, level: Level, variant: &str, topics: &[Topic], layout: String) -> Self {
        let item = Item {
            id: String::new(),
            kind,
            level,
            topics: topics.to_vec(),
            skeleton: format!("{}/{variant}", kind.word()),
            layout,
            facts: Vec::new(),
            stem: Vec::new(),
            figures: Vec::new(),
            parts: Vec::new(),
            demands: Demands::default(),
            marks: Vec::new(),
        };
        Self { item }
    }

    #[must_use]
    pub fn fact(mut self, name: &str, value: impl ToString) -> Self {
        self.item.facts.push((name.to_owned(), value.to_string()));
        self
    }

    #[must_use]
    pub fn stem(mut self, said: Said) -> Self {
        self.item.stem.push(said);
        self
    }

    #[must_use]
    pub fn figure(mut self, figure: Figure) -> Self {
        self.item.figures.push(figure);
        self
    }

    #[must_use]
    pub fn part(mut self, ask: Said, answer: crate::problem::Answer, steps: Vec<Step>) -> Self {
        self.item.parts.push(Part { ask, answer, steps });
        self
    }

    #[must_use]
    pub fn mark(mut self, mark: String) -> Self {
        if !self.item.marks.contains(&mark) {
            self.item.marks.push(mark);
        }
        self
    }

    /// Names the sets of several by their teeth, so that no other item has them.
    #[must_use]
    pub fn teeth(self, sets: &[GearSet]) -> Self {
        sets.iter().fold(self, |draft, set| draft.mark(format!("teeth:{}/{}", set.sun, set.ring)))
    }

    pub fn done(mut self, demands: Demands) -> Item {
        self.item.demands = demands;
        share_points(&mut self.item);
        self.item
    }
}

/// A step of a solution that is worth `points`.
pub(super) fn step(said: Said, points: u32) -> Step {
    Step { said, points }
}

/// Gives an item the points of its minutes: its parts and steps keep their shares as nearly as
/// whole points can, the largest remainders first; a part has a point at least.
fn share_points(item: &mut Item) {
    let total = item.demands.points().max(item.parts.len() as u32);
    let weight: u32 = item.points();
    let mut steps: Vec<&mut Step> =
        item.parts.iter_mut().flat_map(|part| &mut part.steps).collect();
    let mut rests: Vec<(u32, usize)> = Vec::new();
    let mut given = 0;
    for (index, step) in steps.iter_mut().enumerate() {
        let share = step.points * total;
        if step.points > 0 {
            rests.push((share % weight, index));
        }
        step.points = share / weight.max(1);
        given += step.points;
    }
    // Of equal remainders the later step, which is nearer to the result.
    rests.sort_unstable_by(|a, b| b.cmp(a));
    for &(_, index) in rests.iter().cycle().take((total - given) as usize) {
        steps[index].points += 1;
    }
    for part in 0..item.parts.len() {
        if item.parts[part].points() == 0 {
            let all = item.parts.iter_mut().flat_map(|part| &mut part.steps);
            if let Some(most) = all.max_by_key(|step| step.points) {
                most.points -= 1;
            }
            if let Some(last) = item.parts[part].steps.last_mut() {
                last.points = 1;
            }
        }
    }
}
