//! Parallel papers chosen from a pool: all bounds met, as equal as can be.
//!
//! The model, over x_if ∈ {0, 1} for item i in paper f and a whole number y:
//!
//! ```text
//! minimise y
//! subject to  Σ_i x_if = n                                       length
//!             least ≤ Σ_i a_i x_if ≤ most                        points, minutes, topics, kinds, answers
//!             Σ_{i of a skeleton} x_if ≤ 1                       no question twice
//!             Σ_{i of kind k} x_if ≤ n (1 − e_f), Σ_{i of kind l} x_if ≤ n e_f    enemies k, l
//!             Σ_f Σ_{i with mark m} x_if ≤ 1                     no shared layout or numbers
//!             −y ≤ Σ_i d_i x_if − T ≤ y                          difficulty
//!             |Σ_i |n d_i − T| x_if − n S| ≤ n y + n − 1         spread S, where one is wanted
//! ```
//!
//! Source: W. J. van der Linden, Linear Models for Optimal Test Design (Springer 2005),
//! minimax targets for parallel forms. All data are whole numbers, so y is one; of the spread,
//! less than a whole point counts as none. A minimax model solved in one piece is slow, so y is
//! bounded and the bound lowered: each model asks only whether papers exist.
//!
//! Papers of one plan have in addition, for every class of twins (items that differ in numbers
//! and gearboxes only) and every paper f,
//!
//! ```text
//!             Σ_{i of the class} x_if = Σ_{i of the class} x_i1       the plan
//! ```
//!
//! so that the best single paper out of items with twins enough bounds them too, and its twins
//! are looked for at once.

mod check;
mod clash;
mod improve;
mod model;
mod twins;

pub use check::check;
pub use clash::Clash;

use crate::brief::FormsWish;
use crate::problem::Item;
use model::{Found, Model, Rules};

/// Papers chosen from a pool.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Papers {
    /// Items of each paper by their places in the pool: easy ones first, then by name.
    pub papers: Vec<Vec<usize>>,
    /// Difficulty points that every paper was to have; see [`target`].
    pub target: u32,
    /// The largest distance of a paper from what was wanted, in difficulty points.
    pub deviation: u32,
    /// No choice of papers comes nearer than this: proved.
    pub bound: u32,
}

impl Papers {
    /// Whether nothing nearer exists.
    pub fn is_proved(&self) -> bool {
        self.deviation == self.bound
    }
}

/// Why there are no papers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoPapers {
    /// Proved: these bounds clash.
    Clash(Clash),
    /// The work of the brief was done before papers were found or excluded.
    Undecided,
}

/// The wanted difficulty of a paper: the brief's, or the median of the pool for each item.
pub fn target(pool: &[Item], wish: &FormsWish) -> u32 {
    wish.difficulty.unwrap_or_else(|| {
        let mut all: Vec<u32> = pool.iter().map(Item::difficulty).collect();
        all.sort_unstable();
        let median = all.get(all.len() / 2).copied().unwrap_or(0);
        median * wish.items as u32
    })
}

/// Chooses the papers of `wish` from `pool`.
///
/// First the best single paper: no paper of any choice comes nearer, which bounds all. Then
/// papers one after the other out of what is left, each within that bound, or for papers of one
/// plan its twins; mostly all are found, and the choice is proved to be the best. Where they are
/// not, all papers are asked for at once, with lower and lower bounds, until the best is found,
/// or until the work of the brief is done: then deviation and bound differ, and say by how much.
///
/// The result is the same on every machine, for work is counted.
///
/// # Errors
/// [`NoPapers`]: the bounds that clash, or that the work was done before papers were found.
pub fn choose(pool: &[Item], wish: &FormsWish) -> Result<Papers, NoPapers> {
    choose_unless(pool, wish, &|| false)
}

/// As [`choose`], but ended as soon as `stopped` says so: what is then given is worth nothing.
///
/// # Errors
/// As [`choose`].
pub fn choose_unless(
    pool: &[Item],
    wish: &FormsWish,
    stopped: &dyn Fn() -> bool,
) -> Result<Papers, NoPapers> {
    let rules = Rules::of(pool, wish, target(pool, wish), stopped);
    let (mut best, mut bound) = match rules.is_plan() {
        true => plan(&rules, wish),
        false => nearest(&rules, &rules.all(), 0)
            .map(|single| (one_by_one(&rules, wish, &single), single.bound)),
    }
    .ok_or_else(|| no_papers(&rules, wish))?;
    let found = |best: &Option<(u32, Vec<Vec<usize>>)>| best.as_ref().map(|(y, _)| *y);
    while found(&best).is_none_or(|y| y > bound) {
        // Any papers first, then nearer ones.
        let ask = found(&best).map_or(rules.widest(), |y| bound + (y - bound) / 2);
        match Model::of(&rules, &rules.all(), wish.forms, Some(ask)).solve() {
            Found::Papers(papers) => best = Some((rules.deviation(&papers), papers)),
            Found::None if found(&best).is_none() => return Err(no_papers(&rules, wish)),
            Found::None => bound = ask + 1,
            Found::Undecided => break,
        }
    }
    let (deviation, papers) = best.ok_or(NoPapers::Undecided)?;
    let papers: Vec<Vec<usize>> = papers.into_iter().map(|paper| rules.in_order(paper)).collect();
    let checked = check(&papers, pool, wish);
    debug_assert_eq!(checked, Ok(deviation));
    // What the solver's floats gave counts only after it has been checked in whole numbers.
    let deviation = checked.map_err(|_| NoPapers::Undecided)?;
    Ok(Papers { papers, target: rules.target, deviation, bound: bound.min(deviation) })
}

/// Papers of one plan and the bound of the best single paper; `None` where there is not even
/// that. Plans whose twins are not found are given up item by item, scarce ones first.
fn plan(rules: &Rules<'_>, wish: &FormsWish) -> Option<(Option<Chosen>, u32)> {
    let mut items = rules.twins.enough(wish.forms);
    let single = nearest(rules, &items, 0)?;
    let bound = single.bound;
    let mut next = Some(single);
    for _ in 0..PLANS {
        let Some(single) = next else { break };
        if let Some(papers) = twins::filled(rules, &single.paper) {
            return Some((Some((rules.deviation(&papers), papers)), bound));
        }
        let size = |&item: &usize| rules.twins.classes()[rules.twins.class(item)].len();
        let scarce = single.paper.iter().copied().min_by_key(size)?;
        items.retain(|&item| rules.twins.class(item) != rules.twins.class(scarce));
        next = nearest(rules, &items, single.deviation);
    }
    Some((None, bound))
}

/// Plans that are tried before all papers are asked of the model at once.
const PLANS: usize = 12;

/// Papers and how far the worst of them is from what is wanted.
type Chosen = (u32, Vec<Vec<usize>>);

fn no_papers(rules: &Rules<'_>, wish: &FormsWish) -> NoPapers {
    clash::clash(rules, wish).map_or(NoPapers::Undecided, NoPapers::Clash)
}

/// A single paper, as near as was found.
struct Nearest {
    paper: Vec<usize>,
    deviation: u32,
    /// No paper comes nearer than this: proved.
    bound: u32,
}

/// The nearest single paper from `items`, within `enough` of what is wanted if there is one.
/// Any paper first, made nearer by exchanges; what that does not reach is asked of the model,
/// with lower and lower bounds, as long as it decides within its work.
fn nearest(rules: &Rules<'_>, items: &[usize], enough: u32) -> Option<Nearest> {
    let ask = |within| Model::of(rules, items, 1, within).solve();
    let Found::Papers(mut any) = ask(None) else { return None };
    let mut paper = improve::improved(rules, any.pop()?, items, enough);
    let deviation = |paper: &Vec<usize>| rules.deviation(std::slice::from_ref(paper));
    let mut bound = 0;
    while deviation(&paper) > enough.max(bound) {
        let low = enough.max(bound);
        let within = if bound == 0 { low } else { low + (deviation(&paper) - low) / 2 };
        match ask(Some(within)) {
            Found::Papers(mut papers) => paper = papers.pop()?,
            Found::None => bound = within + 1,
            Found::Undecided => break,
        }
    }
    Some(Nearest { deviation: deviation(&paper), paper, bound })
}

/// Papers one after the other, the first given; `None` where what is left holds no further
/// one.
fn one_by_one(
    rules: &Rules<'_>,
    wish: &FormsWish,
    first: &Nearest,
) -> Option<(u32, Vec<Vec<usize>>)> {
    let (mut left, mut reached, mut papers) = (rules.all(), first.deviation, Vec::new());
    let mut next = first.paper.clone();
    loop {
        left.retain(|&item| !next.iter().any(|&taken| rules.share(item, taken)));
        papers.push(next);
        if papers.len() == wish.forms {
            return Some((rules.deviation(&papers), papers));
        }
        let found = nearest(rules, &left, reached)?;
        reached = reached.max(found.deviation);
        next = found.paper;
    }
}
