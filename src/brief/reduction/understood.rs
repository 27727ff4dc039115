//! The brief of a reduction as it is understood: every value checked once, every default
//! filled in.

use std::path::Path;

use super::keys::REDUCTION;
use super::written::{
    WrittenLoad, WrittenParts, WrittenReduction, WrittenReductionEffort, WrittenStrength,
    WrittenTrain,
};
use super::{
    BackDriving, Coupling, Load, MakingWish, ReductionBrief, ReductionEffort, StrengthWish,
    TrainWish, ratio, room, stock, variants,
};
use crate::brief::understood::{folder_name, title};
use crate::brief::{Limit, score, teeth};
use crate::error::Mistake;
use crate::num::{Fraction, to_f64};
use crate::score::Criterion;
use crate::train::{MAX_SETS, SetKind};

/// The largest safety that may be asked for.
const SAFEST: f64 = 10.0;

/// The objectives of a brief that names none.
const OBJECTIVES: [Criterion; 5] = [
    Criterion::RatioError,
    Criterion::OuterDiameter,
    Criterion::Length,
    Criterion::PartCount,
    Criterion::Efficiency,
];

/// The meaning of what is written in `text`; `name` becomes the name of the results folder.
pub(super) fn understand(
    written: &WrittenReduction,
    text: &str,
    name: &str,
    file: impl FnOnce(&Path) -> Result<String, Mistake>,
) -> Result<ReductionBrief, Mistake> {
    let name = folder_name(name);
    let title = written.title.as_deref().map_or(Ok(name.clone()), title)?;
    let ratio = ratio::understand(text, &written.ratio)?;
    let mut train = train(&written.train)?;
    let load = written.load.as_ref().map(|given| self::load(given, &ratio.target)).transpose()?;
    let variants = variants::understand(written.materials.as_ref())?;
    if load.is_none() && variants.len() > 1 {
        let problem = format!("names {} variants, but nothing is borne", variants.len());
        let mend = "add [load] with output_torque and input_speed: without it no strength is \
                    judged, and all variants are the same";
        return Err(Mistake::at("materials", problem, mend));
    }
    let mesh = teeth::losses(&REDUCTION, &written.losses)?;
    let stock = written.stock.as_ref().map(|list| stock::understand(list, file)).transpose()?;
    let gears = stock.as_deref();
    let mut room = room::understand(&written.room, gears)?;
    let borne = load.is_some();
    let has_a_value = |key: &str, criterion| {
        needs_stock(key, criterion, gears.is_some())?;
        needs_load(key, criterion, borne)
    };
    let objectives =
        score::objectives(&REDUCTION, written.score.objectives.as_ref(), &OBJECTIVES, has_a_value)?;
    let limits = score::limits(&REDUCTION, &written.limits, has_a_value)?;
    narrow(&mut train, &limits)?;
    room::narrow(&mut room, &limits);
    let mut strength = strength(&written.strength)?;
    for least in limits.iter().filter(|l| l.criterion == Criterion::Safety).filter_map(|l| l.least)
    {
        // What is kept only with a safety is made for it.
        strength.safety = strength.safety.max(least.min(SAFEST));
    }
    let teeth = room::teeth(&written.teeth, &room, &train, gears)?;
    Ok(ReductionBrief {
        title,
        name,
        ratio,
        train,
        room,
        teeth,
        load,
        variants,
        mesh,
        strength,
        objectives,
        limits,
        making: making(&written.parts)?,
        effort: effort(&written.effort)?,
        stock,
    })
}

fn train(written: &WrittenTrain) -> Result<TrainWish, Mistake> {
    let couplings = [("series", Coupling::Series), ("any", Coupling::Any)];
    let back =
        [("free", BackDriving::Free), ("must", BackDriving::Must), ("never", BackDriving::Never)];
    let sets = match &written.sets {
        Some(sets) => REDUCTION.wholes("train.sets", &sets.list(), (1, MAX_SETS as u32))?,
        None => vec![1, 2, 3],
    };
    let train = TrainWish {
        sets: sets.into_iter().map(|count| count as u8).collect(),
        kinds: kinds(written.kinds.as_deref())?,
        coupling: written.coupling.as_deref().map_or(Ok(Coupling::Series), |value| {
            REDUCTION.word("train.coupling", value, &couplings)
        })?,
        back_driving: written.back_driving.as_deref().map_or(Ok(BackDriving::Free), |value| {
            REDUCTION.word("train.back_driving", value, &back)
        })?,
        nests: written.nests.unwrap_or(true),
    };
    can_lock(&train)?;
    Ok(train)
}

fn kinds(written: Option<&[String]>) -> Result<Vec<SetKind>, Mistake> {
    let key = "train.kinds";
    let Some(words) = written else { return Ok(vec![SetKind::Single]) };
    if words.is_empty() {
        return Err(REDUCTION.wrong(key, "is an empty list"));
    }
    let known = [SetKind::Single, SetKind::Paired].map(|kind| (kind.word(), kind));
    let mut kinds: Vec<SetKind> =
        words.iter().map(|word| REDUCTION.word(key, word, &known)).collect::<Result<_, _>>()?;
    kinds.sort_unstable();
    kinds.dedup();
    Ok(kinds)
}

/// A single set with one member held never locks itself: whichever way power flows, its
/// efficiency is η₀, (1 + ρ η₀) / (1 + ρ), (1 + ρ) / (1 + ρ / η₀) or the same with 1/ρ, all
/// above 0. So neither does a row of such sets, whatever is asked of it.
fn can_lock(train: &TrainWish) -> Result<(), Mistake> {
    let singles = train.kinds == [SetKind::Single];
    let locks = train.back_driving == BackDriving::Never;
    let alone = train.coupling == Coupling::Series || train.sets == [1];
    if !(singles && locks && alone) {
        return Ok(());
    }
    let problem = "is \"never\", but single sets one behind the other can always be driven back";
    let mend = "write train.coupling = \"any\" with two sets or more, or add \"paired\" to \
                train.kinds";
    Err(Mistake::at("train.back_driving", problem, mend))
}

/// Leaves out the numbers of sets that a limit forbids.
fn narrow(train: &mut TrainWish, limits: &[Limit]) -> Result<(), Mistake> {
    let Some(limit) = limits.iter().find(|limit| limit.criterion == Criterion::Sets) else {
        return Ok(());
    };
    let asked = train.sets.clone();
    train.sets.retain(|&count| limit.holds(count.into()));
    if !train.sets.is_empty() {
        return can_lock(train);
    }
    let problem = format!("forbids every number of sets that train.sets names, {asked:?}");
    Err(Mistake::at("limits.sets", problem, "change limits.sets or train.sets"))
}

/// What is borne by a reduction of ratio `target`.
fn load(written: &WrittenLoad, target: &Fraction) -> Result<Load, Mistake> {
    let needed = |key: &str, value: &Option<f64>, ends| {
        REDUCTION.number(key, *REDUCTION.required(key, value)?, ends)
    };
    let ends = (f64::MIN_POSITIVE, 1e7);
    let output_torque = match (written.input_torque, written.output_torque) {
        (None, output) => needed("load.output_torque", &output, ends)?,
        (Some(_), Some(_)) => {
            let mend = "write the torque at one end; the ratio tells the other";
            return Err(Mistake::at("load.input_torque", "stands beside load.output_torque", mend));
        }
        (Some(input), None) => {
            let output = REDUCTION.number("load.input_torque", input, ends)? * to_f64(target);
            if !(f64::MIN_POSITIVE..=1e7).contains(&output) {
                let problem = format!("times the ratio is {output:.3e} N m at the output");
                let mend = "write a torque that the ratio makes 10000000 N m at most";
                return Err(Mistake::at("load.input_torque", problem, mend));
            }
            output
        }
    };
    Ok(Load {
        output_torque,
        input_torque: written.input_torque,
        input_speed: needed("load.input_speed", &written.input_speed, (0.0, 1e6))?,
        application_factor: size(
            "load.application_factor",
            written.application_factor,
            (1.0, 5.0),
            1.25,
        )?,
        sharing: maybe("load.sharing", written.sharing, (1.0, 4.0))?,
    })
}

fn size(key: &str, value: Option<f64>, ends: (f64, f64), default: f64) -> Result<f64, Mistake> {
    value.map_or(Ok(default), |value| REDUCTION.number(key, value, ends))
}

fn maybe(key: &str, value: Option<f64>, ends: (f64, f64)) -> Result<Option<f64>, Mistake> {
    value.map(|value| REDUCTION.number(key, value, ends)).transpose()
}

/// Refuses what has no value where gears have no price.
fn needs_stock(key: &str, criterion: Criterion, stock: bool) -> Result<(), Mistake> {
    if criterion == Criterion::Price && !stock {
        let mend = "add [stock] with a file, or leave price out";
        return Err(Mistake::at(key, "price has no value without a stock", mend));
    }
    Ok(())
}

/// Refuses what has no value where nothing is borne.
fn needs_load(key: &str, criterion: Criterion, borne: bool) -> Result<(), Mistake> {
    if criterion == Criterion::Safety && !borne {
        let mend = "add [load] with output_torque and input_speed, or leave safety out";
        return Err(Mistake::at(key, "safety has no value without a load", mend));
    }
    Ok(())
}

fn strength(written: &WrittenStrength) -> Result<StrengthWish, Mistake> {
    Ok(StrengthWish {
        safety: size("strength.safety", written.safety, (0.5, SAFEST), 1.0)?,
        face_load: size("strength.face_load_factor", written.face_load_factor, (1.0, 3.0), 1.0)?,
    })
}

fn making(written: &WrittenParts) -> Result<MakingWish, Mistake> {
    Ok(MakingWish {
        backlash: size("parts.backlash", written.backlash, (0.0, 2.0), 0.1)?,
        tip_rounding: size("parts.tip_rounding", written.tip_rounding, (0.0, 5.0), 0.0)?,
        balanced_sliding: written.balanced_sliding.unwrap_or(false),
        shaft: maybe("parts.shaft", written.shaft, (0.5, 500.0))?,
        hexagonal: written.hexagonal.unwrap_or(false),
        pin: maybe("parts.pin", written.pin, (0.5, 500.0))?,
        hole_allowance: size("parts.hole_allowance", written.hole_allowance, (0.0, 2.0), 0.0)?,
        bolt: size("parts.bolt", written.bolt, (0.5, 100.0), 3.2)?,
        helix: size("parts.helix", written.helix, (0.0, 45.0), 0.0)?,
        layouts: match written.layouts {
            Some(count) => REDUCTION.whole("parts.layouts", count, (0, 100))? as usize,
            None => 1,
        },
    })
}

fn effort(written: &WrittenReductionEffort) -> Result<ReductionEffort, Mistake> {
    let seconds = (f64::MIN_POSITIVE, 1e9);
    Ok(ReductionEffort {
        time_limit_s: match written.time_limit {
            Some(limit) => REDUCTION.ceiling("effort.time_limit", limit, seconds)?,
            None => None,
        },
        tries: match written.tries {
            Some(count) => REDUCTION.whole("effort.tries", count, (1, 1_000_000))?.into(),
            None => 200,
        },
        keep: match written.keep {
            Some(count) => REDUCTION.whole("effort.keep", count, (1, 10_000_000))? as usize,
            None => 2000,
        },
    })
}
