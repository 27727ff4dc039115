//! The power of a state, in names.

use num_traits::Signed;

use super::exact;
use crate::account::shown::{BranchPower, LoopTold, PowerTold, ShaftPowerTold};
use crate::motion::{Branch, PowerFlow, ShaftPower, Station};
use crate::num::{Fraction, to_f64};
use crate::train::Layout;

pub(super) fn power(layout: &Layout, flow: &PowerFlow) -> PowerTold {
    let shafts = layout.shafts.iter().zip(&flow.shafts);
    let told = |loops: &Vec<crate::motion::PowerLoop>| {
        let one = |one: &crate::motion::PowerLoop| LoopTold {
            through: one.through.iter().map(|&station| named(layout, station)).collect(),
            power: exact(&one.power),
        };
        loops.iter().map(one).collect()
    };
    PowerTold {
        shafts: shafts.map(|(shaft, power)| at_shaft(layout, &shaft.name, power)).collect(),
        loops: flow.loops.as_ref().map(told),
    }
}

fn named(layout: &Layout, station: Station) -> String {
    match station {
        Station::Shaft(shaft) => layout.shafts[shaft].name.clone(),
        Station::Set(set) => format!("set {}", set + 1),
    }
}

fn at_shaft(layout: &Layout, name: &str, power: &ShaftPower) -> ShaftPowerTold {
    let branch = |&(branch, ref given): &(Branch, Fraction)| BranchPower {
        branch: match branch {
            Branch::Outside => "outside".to_owned(),
            Branch::Member(member) => member.to_string(),
            Branch::Element(element) => layout.elements[element].name.clone(),
        },
        power: given.to_string(),
        share: power.through.as_ref().map_or(0.0, |through| to_f64(&(given.abs() / through))),
    };
    ShaftPowerTold {
        shaft: name.to_owned(),
        through: power.through.as_ref().map(ToString::to_string),
        branches: power.branches.as_ref().map(|all| all.iter().map(branch).collect()),
    }
}
