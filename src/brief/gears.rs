//! What gears are wanted: how many, in which windows, on which ladder.

use super::checks::{Open, Reach, show};
use super::keys::SEARCH;
use super::score::Limit;
use super::written::{WrittenGears, WrittenTargets};
use crate::error::Mistake;
use crate::score::{Criterion, Progression};

const MOST_FORWARD: u32 = 16;
const MOST_REVERSE: u32 = 2;
/// Ratios beyond these are typing errors, not gearboxes; floats stay well-behaved within.
const RATIOS: (f64, f64) = (0.001, 1000.0);
/// Where two floats that a person means to be equal may differ.
const SLACK: f64 = 1e-9;

/// What gears are wanted. All windows are `(least, most)`, both included; ratios are
/// input speed / output speed.
#[derive(Clone, Debug, PartialEq)]
pub struct GearWish {
    /// Forward gears, 1 to 16.
    pub forward: usize,
    /// Reverse gears, 0 to 2.
    pub reverse: usize,
    /// Whether neighbouring forward gears must differ by one element released and one
    /// applied.
    pub single_swap: bool,
    /// Window of the first ratio i_1.
    pub first: (f64, f64),
    /// Window of the last forward ratio i_n.
    pub top: (f64, f64),
    /// Window of the magnitude of every reverse ratio, |i_R|.
    pub reverse_ratio: (f64, f64),
    /// Window of i_1 / i_n; the upper end may be infinite.
    pub spread: (f64, f64),
    /// Window of every step φ_k = i_k / i_{k+1}.
    pub step: (f64, f64),
    /// Wanted ratios, where the brief lists them; the windows above then follow from them.
    pub targets: Option<Targets>,
    /// The ladder against which the steps are scored.
    pub progression: Progression,
}

/// Wanted ratios with a tolerance.
#[derive(Clone, Debug, PartialEq)]
pub struct Targets {
    /// First to top gear, falling.
    pub forward: Vec<f64>,
    /// Magnitudes |i_R|, falling. Either one for each of [`GearWish::reverse`], or empty:
    /// then reverses, if any, are sought in [`GearWish::reverse_ratio`].
    pub reverse: Vec<f64>,
    /// Largest relative deviation from a target: 0.02 allows ±2 %.
    pub tolerance: f64,
}

impl Targets {
    /// `(least, most)` of the ratio that serves `target`.
    pub fn window(&self, target: f64) -> (f64, f64) {
        (target * (1.0 - self.tolerance), target * (1.0 + self.tolerance))
    }
}

/// The gears that a brief asks for.
pub(super) fn understand(
    gears: &WrittenGears,
    targets: Option<&WrittenTargets>,
) -> Result<GearWish, Mistake> {
    let targets = targets.map(understand_targets).transpose()?;
    let (forward, reverse) = counts(gears, targets.as_ref())?;
    let mut wish = GearWish {
        forward,
        reverse,
        single_swap: gears.single_swap.unwrap_or(false),
        first: ratios("gears.first", &gears.first, (1.2, 8.0))?,
        top: ratios("gears.top", &gears.top, (0.35, 1.6))?,
        reverse_ratio: ratios("gears.reverse_ratio", &gears.reverse_ratio, (0.8, 8.0))?,
        spread: spread(&gears.spread)?,
        step: step(&gears.step)?,
        progression: progression(gears, targets.as_ref())?,
        targets: None,
    };
    if let Some(targets) = targets {
        no_windows_beside_targets(gears, &targets)?;
        wish = within(wish, targets);
    }
    ladder_is_possible(&wish)?;
    Ok(wish)
}

fn ratios(key: &str, ends: &Option<Vec<f64>>, default: (f64, f64)) -> Result<(f64, f64), Mistake> {
    let reach = Reach { least: RATIOS.0, most: RATIOS.1, open: Open::Never };
    ends.as_ref().map_or(Ok(default), |ends| SEARCH.window(key, ends, reach))
}

fn spread(ends: &Option<Vec<f64>>) -> Result<(f64, f64), Mistake> {
    let reach = Reach { least: 1.0, most: RATIOS.1, open: Open::Above };
    ends.as_ref()
        .map_or(Ok((1.0, f64::INFINITY)), |ends| SEARCH.window("gears.spread", ends, reach))
}

fn step(ends: &Option<Vec<f64>>) -> Result<(f64, f64), Mistake> {
    let Some(ends) = ends else { return Ok((1.05, 2.2)) };
    // Ratios fall from gear to gear, so a step of 1 would be the same gear twice.
    let reach = Reach { least: 1.001, most: 100.0, open: Open::Never };
    SEARCH.window("gears.step", ends, reach)
}

fn counts(gears: &WrittenGears, targets: Option<&Targets>) -> Result<(usize, usize), Mistake> {
    let forward = match (gears.forward, targets) {
        (None, None) => {
            let mend = "write forward = 6 or so under [gears], or list ratios in [targets]";
            return Err(Mistake::at("gears.forward", "is missing", mend));
        }
        (None, Some(targets)) => targets.forward.len(),
        (Some(count), _) => SEARCH.whole("gears.forward", count, (1, MOST_FORWARD))? as usize,
    };
    let listed = targets.filter(|targets| !targets.reverse.is_empty());
    let reverse = match (gears.reverse, listed) {
        (None, None) => 1,
        (None, Some(targets)) => targets.reverse.len(),
        (Some(count), _) => SEARCH.whole("gears.reverse", count, (0, MOST_REVERSE))? as usize,
    };
    let agree = |key: &str, count: usize, listed: Option<usize>| match listed {
        Some(listed) if listed != count => {
            let word = key.trim_start_matches("gears.");
            let problem = format!("is {count}, but targets.{word} lists {listed}");
            Err(Mistake::at(key, problem, "leave it out: the targets are counted"))
        }
        _ => Ok(()),
    };
    agree("gears.forward", forward, targets.map(|targets| targets.forward.len()))?;
    agree("gears.reverse", reverse, listed.map(|targets| targets.reverse.len()))?;
    Ok((forward, reverse))
}

fn understand_targets(written: &WrittenTargets) -> Result<Targets, Mistake> {
    let forward = SEARCH.required("targets.forward", &written.forward)?;
    if forward.is_empty() {
        return Err(SEARCH.wrong("targets.forward", "is an empty list"));
    }
    let tolerance = written.tolerance.unwrap_or(0.02);
    if !(tolerance > 0.0 && tolerance < 0.5) {
        return Err(SEARCH.wrong("targets.tolerance", format!("is {}", show(tolerance))));
    }
    Ok(Targets {
        forward: falling("targets.forward", forward, MOST_FORWARD)?,
        reverse: match &written.reverse {
            Some(ratios) => falling("targets.reverse", ratios, MOST_REVERSE)?,
            None => Vec::new(),
        },
        tolerance,
    })
}

fn falling(key: &str, ratios: &[f64], most: u32) -> Result<Vec<f64>, Mistake> {
    if ratios.len() > most as usize {
        let problem = format!("lists {} ratios", ratios.len());
        return Err(Mistake::at(key, problem, format!("list at most {most}")));
    }
    for &ratio in ratios {
        SEARCH.number(key, ratio, RATIOS).map_err(|mistake| Mistake {
            problem: format!("lists {}", show(ratio)),
            mend: format!("{}; numbers from {} to {}", mistake.mend, RATIOS.0, RATIOS.1),
            ..mistake
        })?;
    }
    if let Some(pair) = ratios.windows(2).find(|pair| pair[0] <= pair[1]) {
        let problem = format!("{} is followed by {}", pair[0], pair[1]);
        return Err(Mistake::at(key, problem, "order the ratios from the largest to the smallest"));
    }
    Ok(ratios.to_vec())
}

/// Targets and their tolerance give every window; a second opinion could only contradict.
fn no_windows_beside_targets(gears: &WrittenGears, targets: &Targets) -> Result<(), Mistake> {
    let windows = [
        ("gears.first", gears.first.is_some()),
        ("gears.top", gears.top.is_some()),
        ("gears.spread", gears.spread.is_some()),
        ("gears.step", gears.step.is_some()),
        ("gears.reverse_ratio", gears.reverse_ratio.is_some() && !targets.reverse.is_empty()),
    ];
    match windows.iter().find(|(_, given)| *given) {
        Some((key, _)) => {
            let mend = "leave it out, targets.tolerance says it already; or leave [targets] out";
            Err(Mistake::at(*key, "is given beside [targets]", mend))
        }
        None => Ok(()),
    }
}

/// The wish with the windows that hold every gearbox within the targets' tolerance.
fn within(mut wish: GearWish, targets: Targets) -> GearWish {
    let forward = &targets.forward;
    let (first, top) = (forward[0], forward[forward.len() - 1]);
    // Both ratios of a step may be off, one up and one down.
    let (down, up) = (
        (1.0 - targets.tolerance) / (1.0 + targets.tolerance),
        (1.0 + targets.tolerance) / (1.0 - targets.tolerance),
    );
    wish.first = targets.window(first);
    wish.top = targets.window(top);
    let steps: Vec<f64> = forward.windows(2).map(|pair| pair[0] / pair[1]).collect();
    if steps.is_empty() {
        wish.spread = (1.0, f64::INFINITY);
    } else {
        let least = steps.iter().copied().fold(f64::INFINITY, f64::min);
        let most = steps.iter().copied().fold(0.0, f64::max);
        wish.step = ((least * down).max(1.0), most * up);
        wish.spread = ((first / top * down).max(1.0), first / top * up);
    }
    if let (Some(most), Some(least)) = (targets.reverse.first(), targets.reverse.last()) {
        wish.reverse_ratio = (targets.window(*least).0, targets.window(*most).1);
    }
    wish.targets = Some(targets);
    wish
}

/// Narrows the window of the spread to what a limit on the spread allows.
pub(super) fn narrow(wish: &mut GearWish, limit: &Limit) -> Result<(), Mistake> {
    if limit.criterion != Criterion::Spread {
        return Ok(());
    }
    // What no window may say stays a limit only.
    let sayable = |end: &f64| *end <= RATIOS.1;
    let least = limit.least.filter(sayable).unwrap_or(1.0).max(wish.spread.0);
    let most = limit.most.filter(sayable).unwrap_or(f64::INFINITY).min(wish.spread.1);
    if least > most {
        let problem = format!("leaves nothing of the window of spreads, {}", told(wish.spread));
        let mend = "give limits.spread and gears.spread (or [targets]) something in common";
        return Err(Mistake::at("limits.spread", problem, mend));
    }
    wish.spread = (least, most);
    Ok(())
}

#[derive(Clone, Copy)]
enum Ladder {
    Geometric,
    Progressive,
    Targets,
}

fn progression(gears: &WrittenGears, targets: Option<&Targets>) -> Result<Progression, Mistake> {
    let words = [
        ("geometric", Ladder::Geometric),
        ("progressive", Ladder::Progressive),
        ("targets", Ladder::Targets),
    ];
    let key = "gears.progression";
    let ladder = match (&gears.progression, targets) {
        (Some(written), _) => SEARCH.word(key, written, &words)?,
        (None, Some(_)) => Ladder::Targets,
        (None, None) => Ladder::Geometric,
    };
    let factor_key = "gears.step_factor";
    if let (Some(factor), Ladder::Geometric | Ladder::Targets) = (gears.step_factor, ladder) {
        let problem = format!("is {}, but no progressive ladder is asked for", show(factor));
        let mend = "write progression = \"progressive\" beside it, or leave it out";
        return Err(Mistake::at(factor_key, problem, mend));
    }
    match (ladder, targets) {
        (Ladder::Geometric, _) => Ok(Progression::Geometric),
        (Ladder::Progressive, _) => {
            let factor =
                SEARCH.number(factor_key, gears.step_factor.unwrap_or(1.05), (1.0, 2.0))?;
            Ok(Progression::Progressive { factor })
        }
        (Ladder::Targets, Some(targets)) => Ok(Progression::Given(targets.forward.clone())),
        (Ladder::Targets, None) => {
            let mend = "add [targets] with forward = [4.2, 2.6, 1.7, 1.0] or so, or write \
                        \"geometric\" or \"progressive\"";
            Err(Mistake::at(key, "is \"targets\", but there are no [targets]", mend))
        }
    }
}

/// The spread is i_1 / i_n and the product of n − 1 steps; what the three windows allow
/// it to be must have something in common.
fn ladder_is_possible(wish: &GearWish) -> Result<(), Mistake> {
    let steps = wish.forward as i32 - 1;
    let by_steps = (wish.step.0.powi(steps), wish.step.1.powi(steps));
    let by_ends = (wish.first.0 / wish.top.1, wish.first.1 / wish.top.0);
    if steps == 0 && apart(by_ends, (1.0, 1.0)) {
        let problem = format!(
            "{} has nothing in common with gears.top, {}",
            told(wish.first),
            told(wish.top)
        );
        let mend = "one forward gear is first and top gear: write the same window for both";
        return Err(Mistake::at("gears.first", problem, mend));
    }
    if steps > 0 && by_ends.1 <= 1.0 {
        let problem = format!(
            "ends at {}, not above the least top gear, {}",
            show(wish.first.1),
            show(wish.top.0)
        );
        let mend = "ratios fall from first to top: give gears.first larger ratios than gears.top";
        return Err(Mistake::at("gears.first", problem, mend));
    }
    let the_steps = format!("{steps} steps of {}", told(wish.step));
    let the_ends = format!("first gear {} over top gear {}", told(wish.first), told(wish.top));
    let clashes = [
        ("gears.spread", by_steps, wish.spread, &the_steps, "gears.step or gears.forward"),
        ("gears.spread", by_ends, wish.spread, &the_ends, "gears.first or gears.top"),
        ("gears.step", by_ends, by_steps, &the_ends, "gears.first, gears.top or gears.forward"),
    ];
    for (key, given, wanted, source, others) in clashes {
        if apart(given, wanted) {
            let problem = format!(
                "asks for a spread of {}, but with {source} it is {}",
                told(wanted),
                told(given)
            );
            return Err(Mistake::at(key, problem, format!("change {key}, {others}")));
        }
    }
    Ok(())
}

/// Whether two windows have nothing in common.
fn apart(a: (f64, f64), b: (f64, f64)) -> bool {
    a.1 * (1.0 + SLACK) < b.0 || b.1 * (1.0 + SLACK) < a.0
}

/// `3.6 to 5.5`, to four decimals at most.
fn told((least, most): (f64, f64)) -> String {
    let short = |value: f64| show((value * 1e4).round() / 1e4);
    if most.is_infinite() {
        return format!("{} or more", short(least));
    }
    format!("{} to {}", short(least), short(most))
}
