//! The six ways of one set: the table, or one of them by its ratio.

use super::{Way, given, layout_of, member};
use crate::exam::clean::{digits, is_short};
use crate::exam::options::exchangeable;
use crate::exam::shop::{Draft, Shop, step};
use crate::num::Fraction;
use crate::problem::{Answer, Cell, Demands, Figure, Item, Kind, Row, Said, Topic};
use crate::train::{GearSet, Role, write_layout};

pub(in crate::exam) fn six_ways(shop: &mut Shop<'_>) -> Option<Item> {
    let short = shop.numbers.digits;
    let set = shop.set(|set| Way::all().iter().all(|way| is_short(&way.ratio(set), short)))?;
    if shop.chance.below(2) == 0 { Some(table(shop, &set)) } else { which(shop, &set) }
}

fn draft(shop: &mut Shop<'_>, set: &GearSet, way: Way, variant: &str) -> Draft {
    let layout = write_layout(&layout_of(set, way));
    let scene = shop.scene();
    Draft::new(Kind::SixWays, shop.level, variant, &[Topic::OneSet], layout.clone())
        .teeth(&[*set])
        .stem(given(scene, set))
        .figure(Figure::Face { layout, set: 1 })
}

/// All six ratios and senses.
fn table(shop: &mut Shop<'_>, set: &GearSet) -> Item {
    let senses = || vec![Said::new("sense-same"), Said::new("sense-reversed")];
    let row = |way: &Way| Row {
        head: Said::new("way-row")
            .with("driver", member(way.driver))
            .with("held", member(way.held)),
        cells: vec![
            Cell::Given(member(way.out)),
            Cell::Number { exact: way.ratio(set), places: None },
            Cell::Word { of: senses(), right: usize::from(way.held == Role::Carrier) },
        ],
    };
    let columns = ["column-way", "column-out", "column-ratio", "column-sense"].map(Said::new);
    let answer =
        Answer::Table { columns: columns.to_vec(), rows: Way::all().iter().map(row).collect() };
    let solved = |way: &Way| {
        Said::new("six-ways-line")
            .with("driver", member(way.driver))
            .with("held", member(way.held))
            .maths("formula", way.formula())
            .maths("put", way.put(set))
            .with("ratio", way.ratio(set))
    };
    let mut steps = vec![step(Said::new("willis-one-set"), 1)];
    steps.extend(Way::all().iter().map(|way| step(solved(way), 1)));
    let longest = Way::all().iter().map(|way| digits(&way.ratio(set))).max().unwrap_or(0);
    let demands = Demands {
        sets: 1,
        equations: 3,
        unknowns: 1,
        sign_changes: 2,
        digits: longest,
        concepts: 1,
        results: 6,
    };
    let first = Way::all()[0];
    draft(shop, set, first, "table").part(Said::new("six-ways-ask"), answer, steps).done(demands)
}

/// Which way has this ratio.
fn which(shop: &mut Shop<'_>, set: &GearSet) -> Option<Item> {
    let ways = shop.chance.some(&Way::all(), 4);
    let right = shop.chance.below(ways.len());
    let way = ways[right];
    let ratio: Fraction = way.ratio(set);
    let say = |way: &Way| {
        Said::new("way-option").with("driver", member(way.driver)).with("held", member(way.held))
    };
    let options = ways.iter().map(say).collect();
    let slip = |other: usize| way.slip_to(ways[other]);
    let answer = exchangeable(options, right, &mut shop.chance, slip)?;
    let ask = Said::new("six-ways-which").with("ratio", &ratio);
    let carrier = way.held == Role::Carrier;
    let sense = if carrier { "which-way-negative" } else { "which-way-positive" };
    let steps = vec![
        step(Said::new(sense).with("ratio", &ratio), 1),
        step(
            Said::new("which-way-size")
                .with("driver", member(way.driver))
                .with("held", member(way.held))
                .maths("formula", way.formula())
                .maths("put", way.put(set))
                .with("ratio", &ratio),
            1,
        ),
    ];
    let demands = Demands {
        sets: 1,
        equations: 2,
        unknowns: 1,
        sign_changes: 1,
        digits: digits(&ratio),
        concepts: 2,
        results: 1,
    };
    let drawn = Way::all()[0];
    let draft = draft(shop, set, drawn, "which").fact("ratio", &ratio);
    Some(draft.part(ask, answer, steps).done(demands))
}
