//! Parallel papers: on small pools the chooser against trying every choice, and clashes that
//! are real and whose mend helps.

use coaxle::brief::{Bounds, FormsWish, Parallel};
use coaxle::exam::{NoPapers, check, choose};
use coaxle::problem::{Answer, Demands, Form, Item, Kind, Level, Part, Said, Step, Topic};
use itertools::Itertools;
use rand::{RngExt as _, SeedableRng as _};
use rand_pcg::Pcg64;

/// An item of which only what papers count matters.
fn item(random: &mut Pcg64, number: usize, marks: usize, hardest: u32) -> Item {
    let kind = Kind::ALL[random.random_range(0..4)];
    let skeleton = format!("{}/{}", kind.word(), random.random_range(0..3));
    let points = random.random_range(2..6);
    let answer = if random.random_range(0..3) == 0 {
        Answer::Choice { options: Vec::new(), right: 0 }
    } else {
        Answer::Written { model: Vec::new() }
    };
    let steps = vec![Step { said: Said::new("step"), points }];
    let topics = Topic::ALL.into_iter().filter(|_| random.random_range(0..3) == 0).collect();
    Item {
        id: format!("{}-{number}", kind.word()),
        kind,
        level: Level::Course,
        topics,
        skeleton,
        layout: String::new(),
        facts: Vec::new(),
        stem: Vec::new(),
        figures: Vec::new(),
        parts: vec![Part { ask: Said::new("ask"), answer, steps }],
        demands: Demands { results: 1 + random.random_range(3..hardest), ..Demands::default() },
        marks: (0..random.random_range(1..3))
            .map(|_| format!("teeth:{}", random.random_range(0..marks)))
            .unique()
            .collect(),
    }
}

fn wish(random: &mut Pcg64, forms: usize, items: usize) -> FormsWish {
    let mut maybe = |least: u32, most: u32| {
        let low = random.random_range(least..=most);
        let high = random.random_range(low..=most);
        (random.random_range(0..3) == 0).then_some(Bounds { least: low, most: high })
    };
    let n = items as u32;
    let points = maybe(2 * n, 6 * n);
    let minutes = maybe(2 * n, 12 * n);
    let topics = maybe(0, n).map(|bounds| (Topic::Teeth, bounds)).into_iter().collect();
    let kinds = maybe(0, n).map(|bounds| (Kind::Ratio, bounds)).into_iter().collect();
    let answers = maybe(0, n).map(|bounds| (Form::Choice, bounds)).into_iter().collect();
    let enemy = random.random_range(0..3) == 0;
    FormsWish {
        forms,
        items,
        parallel: Parallel::SameDifficulty,
        points,
        minutes,
        difficulty: Some(random.random_range(3 * n..12 * n)),
        spread: (random.random_range(0..3) == 0).then(|| random.random_range(0..6 * n)),
        topics,
        kinds,
        answers,
        enemies: if enemy { vec![(Kind::SixWays, Kind::Ratio)] } else { Vec::new() },
        work: 20_000,
        seconds: 600.0,
    }
}

/// The least deviation over every choice of papers; `None` where there is none.
fn tried(pool: &[Item], wish: &FormsWish) -> Option<u32> {
    let singles: Vec<Vec<usize>> = (0..pool.len())
        .combinations(wish.items)
        .filter(|paper| {
            let one = FormsWish { forms: 1, ..wish.clone() };
            let target = FormsWish { difficulty: Some(coaxle::exam::target(pool, wish)), ..one };
            check(std::slice::from_ref(paper), pool, &target).is_ok()
        })
        .collect();
    singles
        .into_iter()
        .combinations(wish.forms)
        .filter_map(|papers| check(&papers, pool, wish).ok())
        .min()
}

#[test]
fn small_pools_give_what_trying_every_choice_gives() {
    let (mut some, mut none) = (0, 0);
    for seed in 0..400 {
        let mut random = Pcg64::seed_from_u64(seed);
        let size = random.random_range(7..11);
        let pool: Vec<Item> = (0..size).map(|n| item(&mut random, n, 9, 14)).collect();
        let (forms, items) = (random.random_range(1..4), random.random_range(1..4));
        let wish = wish(&mut random, forms, items);
        match (choose(&pool, &wish), tried(&pool, &wish)) {
            (Ok(papers), Some(least)) => {
                some += 1;
                assert_eq!(papers.deviation, least, "seed {seed}");
                assert!(papers.is_proved(), "seed {seed}");
                assert_eq!(check(&papers.papers, &pool, &wish), Ok(least), "seed {seed}");
            }
            (Err(NoPapers::Clash(clash)), None) => {
                none += 1;
                assert_clash(&clash, &pool, &wish, seed);
            }
            (chosen, tried) => panic!("seed {seed}: {chosen:?} but {tried:?}"),
        }
    }
    assert!(some > 80 && none > 80, "{some} and {none}");
}

/// Pools with many twins: what is chosen is what trying every choice gives, and a plan that
/// cannot be has none.
#[test]
fn papers_of_one_plan_are_what_trying_every_choice_gives() {
    let (mut some, mut none) = (0, 0);
    for seed in 0..200 {
        let mut random = Pcg64::seed_from_u64(7000 + seed);
        let size = random.random_range(7..11);
        let mut pool: Vec<Item> = (0..size).map(|n| item(&mut random, n, 12, 7)).collect();
        for item in &mut pool {
            item.kind = Kind::ALL[random.random_range(0..2)];
            item.topics = Vec::new();
            item.parts[0].steps[0].points = random.random_range(2..4);
            item.demands.results = 1 + random.random_range(3..5);
        }
        let (forms, items) = (random.random_range(1..4), random.random_range(1..4));
        let wish = FormsWish {
            parallel: Parallel::SamePlan,
            topics: Vec::new(),
            answers: Vec::new(),
            ..wish(&mut random, forms, items)
        };
        match (choose(&pool, &wish), tried(&pool, &wish)) {
            (Ok(papers), Some(least)) => {
                some += 1;
                assert_eq!(papers.deviation, least, "seed {seed}");
                assert!(papers.is_proved(), "seed {seed}");
                assert_plan(&papers.papers, &pool, seed);
            }
            (Err(NoPapers::Clash(clash)), None) => {
                none += 1;
                assert!(!clash.bounds.is_empty() || clash.papers.is_some(), "seed {seed}");
            }
            (chosen, tried) => panic!("seed {seed}: {chosen:?} but {tried:?}"),
        }
    }
    assert!(some > 30 && none > 30, "{some} and {none}");
}

/// Problem by problem, in the order in which they are printed.
fn assert_plan(papers: &[Vec<usize>], pool: &[Item], seed: u64) {
    let told = |paper: &Vec<usize>| -> Vec<(Kind, Form, u32, u32, u32)> {
        let of = |&item: &usize| {
            let item = &pool[item];
            (item.kind, item.form(), item.points(), item.minutes(), item.difficulty())
        };
        paper.iter().map(of).collect()
    };
    assert!(papers.iter().all(|paper| told(paper) == told(&papers[0])), "seed {seed}: {papers:?}");
}

/// Every bound that is told to help does, to the value told and not with one less.
fn assert_clash(clash: &coaxle::exam::Clash, pool: &[Item], wish: &FormsWish, seed: u64) {
    assert!(!clash.bounds.is_empty() || clash.papers.is_some(), "seed {seed}");
    let forms = if clash.single { 1 } else { wish.forms };
    let wish = FormsWish { forms, ..wish.clone() };
    for bound in &clash.bounds {
        let Some(value) = bound.helps else { continue };
        let widened = |value: u32| widen(&wish, &bound.key, value);
        assert!(tried(pool, &widened(value)).is_some(), "seed {seed}: {bound:?}");
        assert!(tried(pool, &wish).is_none(), "seed {seed}");
    }
    if let Some(papers) = clash.papers {
        let with = |forms| FormsWish { forms, ..wish.clone() };
        assert!(tried(pool, &with(papers)).is_some(), "seed {seed}");
        assert!(tried(pool, &with(papers + 1)).is_none(), "seed {seed}");
    }
}

/// The wish with one bound widened to hold `value`.
fn widen(wish: &FormsWish, key: &str, value: u32) -> FormsWish {
    let mut wish = wish.clone();
    let widen = |bounds: &mut Bounds| {
        bounds.least = bounds.least.min(value);
        bounds.most = bounds.most.max(value);
    };
    match key {
        "forms.points" => wish.points.iter_mut().for_each(widen),
        "forms.minutes" => wish.minutes.iter_mut().for_each(widen),
        "forms.topics.teeth" => wish.topics.iter_mut().for_each(|(_, b)| widen(b)),
        "forms.kinds.ratio" => wish.kinds.iter_mut().for_each(|(_, b)| widen(b)),
        "forms.answers.choice" => wish.answers.iter_mut().for_each(|(_, b)| widen(b)),
        other => panic!("{other} has a value that helps"),
    }
    wish
}

/// Four papers of eight items out of five hundred.
#[test]
fn a_large_pool_is_solved_to_the_proved_best() {
    let mut random = Pcg64::seed_from_u64(500);
    let pool: Vec<Item> = (0..500)
        .map(|number| {
            let mut item = item(&mut random, number, 300, 28);
            item.kind = Kind::ALL[random.random_range(0..16)];
            item.skeleton = format!("{}/{}", item.kind.word(), random.random_range(0..4));
            item
        })
        .collect();
    let wish = FormsWish {
        forms: 4,
        items: 8,
        parallel: Parallel::SameDifficulty,
        points: Some(Bounds { least: 26, most: 30 }),
        minutes: Some(Bounds { least: 50, most: 110 }),
        difficulty: Some(117),
        spread: Some(40),
        topics: vec![(Topic::Teeth, Bounds { least: 2, most: 4 })],
        kinds: Kind::ALL.map(|kind| (kind, Bounds { least: 0, most: 2 })).to_vec(),
        answers: vec![(Form::Choice, Bounds { least: 2, most: 4 })],
        enemies: vec![(Kind::SixWays, Kind::Derive), (Kind::Ratio, Kind::TwoDriven)],
        work: 20_000,
        seconds: 600.0,
    };
    let papers = choose(&pool, &wish).unwrap();
    assert!(papers.is_proved(), "{papers:?}");
    assert_eq!(check(&papers.papers, &pool, &wish), Ok(papers.deviation));
}
