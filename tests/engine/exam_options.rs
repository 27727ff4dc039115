//! Options of choices are exchangeable: rules that look at the options alone find the right one
//! no better than chance, over thousands of items. The same rules find it where the options are
//! the right one with its negative and its inverse, so they can fail.
//!
//! Also what every item keeps: sets that all carry torque, and points that follow minutes.

use std::collections::BTreeMap;

use crate::common::exam::{brief, numbers_of};
use coaxle::exam::pool;
use coaxle::motion::{solve_state, solve_torques};
use coaxle::num::{Fraction, fraction, to_f64};
use coaxle::paper::Words;
use coaxle::problem::{Answer, Choice, Item, Kind, Level, Said};
use num_traits::{Signed as _, Zero as _};

/// Options as a guesser sees them.
struct Seen {
    texts: Vec<String>,
    /// The number of each, where all have one that is not 0.
    numbers: Option<Vec<Fraction>>,
}

impl Seen {
    fn of(options: &[Choice], words: &Words) -> Self {
        let texts = options.iter().map(|one| words.say(&one.said).unwrap().plain()).collect();
        let number = |one: &Choice| match &numbers_of(&one.said)[..] {
            [value] if !value.is_zero() => Some(value.clone()),
            _ => None,
        };
        Self { texts, numbers: options.iter().map(number).collect() }
    }

    /// The option with the largest mark; `None` where all have the same.
    fn most(&self, mark: impl Fn(usize) -> f64) -> Option<usize> {
        let marks: Vec<f64> = (0..self.texts.len()).map(mark).collect();
        let best =
            (0..marks.len()).max_by(|&a, &b| marks[a].total_cmp(&marks[b]).then(b.cmp(&a)))?;
        marks.iter().any(|mark| *mark < marks[best]).then_some(best)
    }

    fn by_number(&self, mark: impl Fn(&[Fraction], usize) -> f64) -> Option<usize> {
        let numbers = self.numbers.as_ref()?;
        self.most(|index| mark(numbers, index))
    }

    /// Words that an option has in common with the others.
    fn shared(&self, index: usize) -> f64 {
        let words =
            |text: &str| -> Vec<String> { text.split_whitespace().map(str::to_owned).collect() };
        let own = words(&self.texts[index]);
        let others = (0..self.texts.len()).filter(|other| *other != index);
        others
            .map(|other| words(&self.texts[other]).iter().filter(|w| own.contains(w)).count())
            .sum::<usize>() as f64
    }
}

fn truth(holds: bool) -> f64 {
    f64::from(u8::from(holds))
}

fn digits(value: &Fraction) -> f64 {
    value.to_string().chars().filter(char::is_ascii_digit).count() as f64
}

/// How many of the others have the sign of this one.
fn like_signs(all: &[Fraction], index: usize) -> f64 {
    all.iter().filter(|one| one.is_negative() == all[index].is_negative()).count() as f64
}

fn mean(all: &[Fraction]) -> f64 {
    all.iter().map(to_f64).sum::<f64>() / all.len() as f64
}

fn rank(all: &[Fraction], index: usize) -> f64 {
    all.iter().filter(|one| **one < all[index]).count() as f64
}

type Rule = (&'static str, fn(&Seen) -> Option<usize>);

/// Rules on the options alone.
const RULES: [Rule; 27] = [
    ("sign partner", |s| s.by_number(|all, i| truth(all.contains(&-all[i].clone())))),
    ("inverse partner", |s| s.by_number(|all, i| truth(all.contains(&all[i].recip())))),
    ("both partners", |s| {
        s.by_number(|all, i| truth(all.contains(&-all[i].clone()) && all.contains(&all[i].recip())))
    }),
    ("no partner", |s| s.by_number(|all, i| truth(!all.contains(&all[i].recip())))),
    ("lower median", |s| s.by_number(|all, i| truth(rank(all, i) == 1.0))),
    ("upper median", |s| s.by_number(|all, i| truth(rank(all, i) == 2.0))),
    ("largest", |s| s.by_number(|all, i| to_f64(&all[i]))),
    ("smallest", |s| s.by_number(|all, i| -to_f64(&all[i]))),
    ("largest size", |s| s.by_number(|all, i| to_f64(&all[i]).abs())),
    ("smallest size", |s| s.by_number(|all, i| -to_f64(&all[i]).abs())),
    ("most common sign", |s| s.by_number(like_signs)),
    ("rare sign", |s| s.by_number(|all, i| -like_signs(all, i))),
    ("positive", |s| s.by_number(|all, i| truth(all[i].is_positive()))),
    ("negative", |s| s.by_number(|all, i| truth(all[i].is_negative()))),
    ("near the mean", |s| s.by_number(|all, i| -(to_f64(&all[i]) - mean(all)).abs())),
    ("far from the mean", |s| s.by_number(|all, i| (to_f64(&all[i]) - mean(all)).abs())),
    ("most digits", |s| s.by_number(|all, i| digits(&all[i]))),
    ("fewest digits", |s| s.by_number(|all, i| -digits(&all[i]))),
    ("round", |s| s.by_number(|all, i| truth((&all[i] / fraction(10, 1)).is_integer()))),
    ("longest", |s| s.most(|i| s.texts[i].chars().count() as f64)),
    ("shortest", |s| s.most(|i| -(s.texts[i].chars().count() as f64))),
    ("unlike the others", |s| s.most(|i| -s.shared(i))),
    ("like the others", |s| s.most(|i| s.shared(i))),
    ("first of the alphabet", |s| s.most(|i| -rank_of(&s.texts, i))),
    ("last of the alphabet", |s| s.most(|i| rank_of(&s.texts, i))),
    ("A", |_| Some(0)),
    ("C", |s| (s.texts.len() > 2).then_some(2)),
];

fn rank_of(texts: &[String], index: usize) -> f64 {
    texts.iter().filter(|text| **text < texts[index]).count() as f64
}

/// How often a rule was right, and what chance would give.
#[derive(Clone, Copy, Default)]
struct Score {
    tried: usize,
    right: f64,
    chance: f64,
    variance: f64,
}

impl Score {
    fn add(&mut self, right: bool, options: usize) {
        let p = 1.0 / options as f64;
        self.tried += 1;
        self.right += truth(right);
        self.chance += p;
        self.variance += p * (1.0 - p);
    }

    /// Standard errors above chance.
    fn above(&self) -> f64 {
        (self.right - self.chance) / self.variance.sqrt().max(1.0)
    }
}

/// Scores of all rules over choices, all together and by kind.
fn scores<'a>(
    choices: impl Iterator<Item = (Kind, &'a [Choice], usize)>,
) -> BTreeMap<(&'static str, Option<Kind>), Score> {
    let words = Words::of("en", false).unwrap();
    let mut all: BTreeMap<(&'static str, Option<Kind>), Score> = BTreeMap::new();
    for (kind, options, right) in choices {
        let seen = Seen::of(options, &words);
        for (name, rule) in RULES {
            let Some(guess) = rule(&seen) else { continue };
            for key in [(name, None), (name, Some(kind))] {
                all.entry(key).or_default().add(guess == right, options.len());
            }
        }
    }
    all
}

fn choices(items: &[Item]) -> impl Iterator<Item = (Kind, &[Choice], usize)> {
    items.iter().flat_map(|item| {
        item.parts.iter().filter_map(|part| match &part.answer {
            Answer::Choice { options, right } => Some((item.kind, &options[..], *right)),
            _ => None,
        })
    })
}

const ON_ONE_SET: [Kind; 5] =
    [Kind::SixWays, Kind::Ratio, Kind::TwoDriven, Kind::Assembly, Kind::Recognise];

/// Pools whose items have choices, of several seeds.
fn pools() -> Vec<Item> {
    let mut all = Vec::new();
    for (level, kinds, items, seeds) in [
        (Level::Workshop, &ON_ONE_SET[..], 2_400, 1..=8),
        (Level::Workshop, &[Kind::Fault, Kind::Ladder][..], 60, 1..=4),
    ] {
        for seed in seeds {
            let mut brief = brief(level, items);
            (brief.kinds, brief.seed) = (kinds.to_vec(), seed);
            all.extend(pool(&brief).items);
        }
    }
    all
}

#[test]
fn no_rule_on_the_options_alone_beats_chance() {
    let items = pools();
    let count = choices(&items).count();
    assert!(count >= 5_000, "{count} choices only");
    let scores = scores(choices(&items));
    for ((name, kind), score) in &scores {
        // Three standard errors over all; by kind, where some 190 pairs are looked at, four.
        let most = if kind.is_some() { 4.0 } else { 3.0 };
        let (right, chance) = (score.right, score.chance);
        assert!(
            score.above() <= most,
            "{name}, {kind:?}: {right} of {} right, {chance:.0} by chance",
            score.tried
        );
    }
    assert!(scores.len() > 100, "{}", scores.len());
    let tried = |name| scores[&(name, None)].tried;
    assert!(tried("largest") > 1_000 && tried("longest") > 1_000);
}

/// Options made of the right one, as its negative, its inverse and something else, are found.
#[test]
fn the_rules_find_what_gives_itself_away() {
    let option = |value: &Fraction, right: bool| Choice {
        said: Said::new("ratio-option").with("value", value),
        misconception: (!right).then_some(coaxle::problem::Misconception::LostSign),
    };
    let given_away: Vec<(Vec<Choice>, usize)> = (1..400_i64)
        .map(|n| {
            let ratio = fraction(n + 20, 17);
            let all = [-ratio.clone(), ratio.recip(), fraction(n, 3), ratio];
            let at = (n % 4) as usize;
            let mut options: Vec<Choice> = all[..3].iter().map(|v| option(v, false)).collect();
            options.insert(at, option(&all[3], true));
            (options, at)
        })
        .collect();
    let scores = scores(given_away.iter().map(|(options, at)| (Kind::Ratio, &options[..], *at)));
    for rule in ["both partners", "positive"] {
        assert!(scores[&(rule, None)].above() > 3.0, "{rule}");
    }
}

#[test]
fn points_follow_minutes() {
    let mut rates: Vec<f64> = Vec::new();
    for level in Level::ALL {
        for item in &pool(&brief(level, 96)).items {
            let steps = item.parts.iter().flat_map(|part| &part.steps);
            let points: u32 = steps.map(|step| step.points).sum();
            // Two points for every three minutes, to the nearest whole one.
            let wanted = (f64::from(item.minutes()) * 2.0 / 3.0).round();
            assert_eq!(f64::from(points), wanted, "{}", item.id);
            assert!(item.parts.iter().all(|part| part.points() > 0), "{}", item.id);
            rates.push(f64::from(points) / f64::from(item.minutes()));
        }
    }
    let (least, most) = rates.iter().fold((f64::MAX, 0.0_f64), |(a, b), &r| (a.min(r), b.max(r)));
    assert!(most / least <= 1.5, "{least} to {most} points a minute");
}

/// In items on one gear of several sets each set carries torque there.
#[test]
fn no_set_is_idle_where_several_are_asked_about() {
    let mut brief = brief(Level::Course, 40);
    brief.kinds = vec![Kind::CoupledSets, Kind::Torque, Kind::Efficiency, Kind::LeverDrawing];
    let mut several = 0;
    for item in &pool(&brief).items {
        let layout = coaxle::parse_layout(&item.layout).unwrap();
        let engaged = item.facts.iter().find(|(name, _)| name == "engaged");
        let (Some((_, engaged)), true) = (engaged, layout.sets.len() > 1) else { continue };
        several += 1;
        let state = layout.states().find(|state| {
            let names = state.iter().map(|element| layout.elements[element].name.as_str());
            names.collect::<Vec<_>>().join(" ") == *engaged
        });
        let torques = solve_torques(&layout, &solve_state(&layout, state.unwrap())).unwrap();
        for (set, members) in torques.members.iter().enumerate() {
            let sun = members[0].as_ref().unwrap();
            assert!(!sun.is_zero(), "{}: set {} carries nothing", item.id, set + 1);
        }
    }
    assert!(several > 20, "{several}");
}
