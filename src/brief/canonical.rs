//! From the understood brief back to a written one that says everything.

use std::collections::BTreeMap;

use super::written::{
    OneOrMany, Written, WrittenEffort, WrittenGears, WrittenLimit, WrittenLosses, WrittenScore,
    WrittenSearchScore, WrittenSpace, WrittenTargets, WrittenTeeth,
};
use super::{Brief, Effort, GearWish, Limit, Space, Targets};
use crate::motion::{MeshEfficiency, MeshScaling};
use crate::score::{Criterion, Progression};
use crate::teeth::ToothLimits;

/// The written brief with every key that has a meaning in it. Windows that follow from
/// targets, and the step factor of a ladder that has none, have no meaning.
pub(super) fn write(brief: &Brief) -> Written {
    Written {
        title: Some(brief.title.clone()),
        space: space(&brief.space),
        gears: gears(&brief.gears),
        targets: brief.gears.targets.as_ref().map(targets),
        teeth: teeth(&brief.teeth),
        losses: losses(&brief.mesh),
        score: WrittenSearchScore {
            objectives: score(&brief.objectives).objectives,
            show: Some(brief.show as i64),
        },
        limits: limits(&brief.limits),
        effort: effort(&brief.effort),
    }
}

pub(super) fn losses(mesh: &MeshEfficiency) -> WrittenLosses {
    WrittenLosses {
        external: Some(mesh.external),
        internal: Some(mesh.internal),
        by_teeth: Some(mesh.scaling == MeshScaling::Teeth),
    }
}

pub(super) fn score(objectives: &[Criterion]) -> WrittenScore {
    let names = objectives.iter().map(|criterion| criterion.name().to_owned());
    WrittenScore { objectives: Some(names.collect()) }
}

pub(super) fn limits(limits: &[Limit]) -> BTreeMap<String, WrittenLimit> {
    let written = |limit: &Limit| {
        let ends = WrittenLimit { least: limit.least, most: limit.most };
        (limit.criterion.name().to_owned(), ends)
    };
    limits.iter().map(written).collect()
}

fn space(space: &Space) -> WrittenSpace {
    let list = |values: &[u8]| Some(OneOrMany::Many(values.iter().map(|&v| v.into()).collect()));
    let (fewest, most) = space.elements;
    WrittenSpace {
        sets: list(&space.sets),
        shafts: list(&space.shafts),
        elements: list(&[fewest, most]),
        held_shaft: Some(space.held_shaft.word().to_owned()),
        bare_input: Some(space.bare_input.word().to_owned()),
        nests: Some(space.nests.word().to_owned()),
    }
}

fn gears(wish: &GearWish) -> WrittenGears {
    let windows = wish.targets.is_none();
    let reverses = wish.targets.as_ref().is_none_or(|targets| targets.reverse.is_empty());
    let ends = |there: bool, (least, most): (f64, f64)| there.then(|| vec![least, most]);
    let (progression, step_factor) = match wish.progression {
        Progression::Geometric => ("geometric", None),
        Progression::Progressive { factor } => ("progressive", Some(factor)),
        Progression::Given(_) => ("targets", None),
    };
    WrittenGears {
        forward: Some(wish.forward as i64),
        reverse: Some(wish.reverse as i64),
        single_swap: Some(wish.single_swap),
        first: ends(windows, wish.first),
        top: ends(windows, wish.top),
        reverse_ratio: ends(reverses, wish.reverse_ratio),
        spread: ends(windows, wish.spread),
        step: ends(windows, wish.step),
        progression: Some(progression.to_owned()),
        step_factor,
    }
}

fn targets(targets: &Targets) -> WrittenTargets {
    WrittenTargets {
        forward: Some(targets.forward.clone()),
        reverse: Some(targets.reverse.clone()),
        tolerance: Some(targets.tolerance),
    }
}

pub(super) fn teeth(limits: &ToothLimits) -> WrittenTeeth {
    let span = |(fewest, most): (u32, u32)| Some(vec![fewest.into(), most.into()]);
    WrittenTeeth {
        sun: span(limits.sun),
        planet: span(limits.planet),
        ring: span(limits.ring),
        planets: Some(OneOrMany::Many(limits.planets.iter().map(|&n| n.into()).collect())),
        base_ratio: Some(vec![limits.base_ratio.0, limits.base_ratio.1]),
        module: Some(limits.module),
        pressure_angle: Some(limits.pressure_angle),
        addendum: Some(limits.addendum),
        gap: Some(limits.gap),
        rim: Some(limits.rim),
        largest_diameter: Some(limits.largest_diameter.unwrap_or(f64::INFINITY)),
        largest_shift: Some(limits.largest_shift),
        odd_planet: Some(limits.odd_planet),
        unequal_spacing: Some(limits.unequal_spacing),
        radial_assembly: Some(limits.radial_assembly),
    }
}

fn effort(effort: &Effort) -> WrittenEffort {
    WrittenEffort {
        samples: Some(effort.samples.into()),
        time_limit: Some(effort.time_limit_s.unwrap_or(f64::INFINITY)),
        memory_limit: Some(effort.memory_limit_mib.map_or(f64::INFINITY, |mib| mib as f64)),
        prove: Some(effort.prove),
        gap: Some(vec![effort.gap.0, effort.gap.1]),
        keep: Some(effort.keep as i64),
    }
}
