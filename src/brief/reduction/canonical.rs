//! From the understood brief of a reduction back to a written one that says everything,
//! the gears of a stock included.

use toml::{Spanned, Table, Value};

use super::variants::unnamed;
use super::written::{
    WrittenGear, WrittenLoad, WrittenModules, WrittenParts, WrittenRatio, WrittenReduction,
    WrittenReductionEffort, WrittenRoom, WrittenStock, WrittenStrength, WrittenTrain,
};
use super::{
    BackDriving, Coupling, Direction, Load, MakingWish, RatioWish, ReductionBrief, Room, StockGear,
    TrainWish, Variant,
};
use crate::brief::canonical;
use crate::brief::written::{OneOrMany, WrittenTeeth};

/// The written brief with every key that has a meaning in it.
pub(super) fn write(brief: &ReductionBrief) -> WrittenReduction {
    let effort = &brief.effort;
    WrittenReduction {
        title: Some(brief.title.clone()),
        ratio: ratio(&brief.ratio),
        train: train(&brief.train),
        room: room(&brief.room),
        teeth: WrittenTeeth {
            module: None,
            largest_diameter: None,
            ..canonical::teeth(&brief.teeth)
        },
        load: brief.load.as_ref().map(load),
        materials: (brief.variants != unnamed()).then(|| materials(&brief.variants)),
        losses: canonical::losses(&brief.mesh),
        strength: WrittenStrength {
            safety: Some(brief.strength.safety),
            face_load_factor: Some(brief.strength.face_load),
        },
        stock: brief.stock.as_deref().map(stock),
        score: canonical::score(&brief.objectives),
        limits: canonical::limits(&brief.limits),
        parts: parts(&brief.making),
        effort: WrittenReductionEffort {
            time_limit: Some(effort.time_limit_s.unwrap_or(f64::INFINITY)),
            tries: Some(effort.tries as i64),
            keep: Some(effort.keep as i64),
        },
    }
}

fn ratio(wish: &RatioWish) -> WrittenRatio {
    let direction = match wish.direction {
        Direction::Same => "same",
        Direction::Reversed => "reversed",
        Direction::Either => "either",
    };
    WrittenRatio {
        target: Some(Spanned::new(0..0, Value::String(wish.target.to_string()))),
        tolerance: Some(wish.tolerance),
        exact: Some(wish.tolerance == 0.0),
        direction: Some(direction.to_owned()),
        close_enough: Some(wish.close_enough),
    }
}

fn train(wish: &TrainWish) -> WrittenTrain {
    let coupling = match wish.coupling {
        Coupling::Series => "series",
        Coupling::Any => "any",
    };
    let back_driving = match wish.back_driving {
        BackDriving::Free => "free",
        BackDriving::Must => "must",
        BackDriving::Never => "never",
    };
    WrittenTrain {
        sets: Some(OneOrMany::Many(wish.sets.iter().map(|&count| count.into()).collect())),
        kinds: Some(wish.kinds.iter().map(|kind| kind.word().to_owned()).collect()),
        coupling: Some(coupling.to_owned()),
        back_driving: Some(back_driving.to_owned()),
        nests: Some(wish.nests),
    }
}

fn room(room: &Room) -> WrittenRoom {
    WrittenRoom {
        bore: Some(room.bore.unwrap_or(f64::INFINITY)),
        length: Some(room.length.unwrap_or(f64::INFINITY)),
        modules: Some(WrittenModules::Many(room.modules.clone())),
        width: Some(vec![room.width.0, room.width.1]),
        equal_rings: Some(room.equal_rings),
        plate: Some(room.plate),
        gap: Some(room.gap),
    }
}

fn load(load: &Load) -> WrittenLoad {
    WrittenLoad {
        // Of the two the one that was asked for.
        output_torque: load.input_torque.is_none().then_some(load.output_torque),
        input_torque: load.input_torque,
        input_speed: Some(load.input_speed),
        application_factor: Some(load.application_factor),
        sharing: load.sharing,
    }
}

fn materials(variants: &[Variant]) -> Table {
    let wheels = |variant: &Variant| {
        let wheels = [
            ("sun", &variant.sun),
            ("planet", &variant.planet),
            ("ring", &variant.ring),
            ("carrier", &variant.carrier),
            ("shaft", &variant.shaft),
        ];
        let entry = |(wheel, word): (&str, &String)| (wheel.to_owned(), word.clone().into());
        Value::Table(wheels.into_iter().map(entry).collect())
    };
    variants.iter().map(|variant| (variant.name.clone(), wheels(variant))).collect()
}

fn stock(gears: &[StockGear]) -> WrittenStock {
    let row = |gear: &StockGear| WrittenGear {
        kind: Some(if gear.internal { "internal" } else { "external" }.to_owned()),
        teeth: Some(gear.teeth.into()),
        module: Some(gear.module),
        bore: Some(gear.bore),
        count: Some(gear.count.into()),
        price: Some(gear.price),
    };
    WrittenStock { file: None, gears: Some(gears.iter().map(row).collect()) }
}

fn parts(making: &MakingWish) -> WrittenParts {
    WrittenParts {
        backlash: Some(making.backlash),
        tip_rounding: Some(making.tip_rounding),
        balanced_sliding: Some(making.balanced_sliding),
        shaft: making.shaft,
        hexagonal: Some(making.hexagonal),
        pin: making.pin,
        hole_allowance: Some(making.hole_allowance),
        bolt: Some(making.bolt),
        helix: Some(making.helix),
        layouts: Some(making.layouts as i64),
    }
}
