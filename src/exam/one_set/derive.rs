//! A formula to derive, then to use.

use num_traits::Zero;

use super::{Way, given, layout_of, member, ratio::wrong_ratios, symbol};
use crate::exam::clean::{digits, is_short};
use crate::exam::shop::{Draft, Shop, step};
use crate::num::Fraction;
use crate::problem::{Answer, Demands, Figure, Item, Kind, Said, SignRule, Topic};
use crate::train::{Role, write_layout};

pub(in crate::exam) fn derive(shop: &mut Shop<'_>) -> Option<Item> {
    let ways = Way::all();
    let way = *shop.chance.pick(&ways)?;
    let short = shop.numbers.digits;
    let set = shop.set(|set| is_short(&way.ratio(set), short))?;
    let ratio = way.ratio(&set);
    let layout = write_layout(&layout_of(&set, way));
    let scene = shop.scene();
    let written = vec![
        Said::new("derive-seen-from-carrier"),
        Said::new("derive-willis"),
        Said::new("held-is-zero")
            .maths("held", symbol("n", way.held))
            .maths("driver", symbol("n", way.driver))
            .maths("out", symbol("n", way.out))
            .maths("formula", way.formula()),
        Said::new(if way.held == Role::Carrier {
            "derive-sense-against"
        } else {
            "derive-sense-same"
        }),
    ];
    let steps = [2, 2, 1, 1];
    let steps = written.iter().zip(steps).map(|(said, points)| step(said.clone(), points));
    let steps = steps.collect();
    let ask = Said::new("derive-ask")
        .with("driver", member(way.driver))
        .with("held", member(way.held))
        .with("out", member(way.out))
        .maths("driver-speed", symbol("n", way.driver))
        .maths("out-speed", symbol("n", way.out));
    let wrong = wrong_ratios(way, &set).apart(&Fraction::zero());
    let number = Answer::Fraction { exact: ratio.clone(), sign: SignRule::Counts, wrong };
    let put = Said::new("ratio-numbers").maths("put", way.put(&set)).with("ratio", &ratio);
    let demands = Demands {
        sets: 1,
        equations: 3,
        unknowns: 1,
        sign_changes: 2,
        digits: digits(&ratio),
        concepts: 3,
        results: 2,
    };
    let topics = [Topic::OneSet];
    let draft = Draft::new(Kind::Derive, shop.level, &way.letters(), &topics, layout.clone())
        .teeth(&[set])
        .stem(given(scene, &set))
        .figure(Figure::Face { layout, set: 1 })
        .part(ask, Answer::Written { model: written }, steps)
        .part(Said::new("derive-number-ask"), number, vec![step(put, 1)]);
    Some(draft.done(demands))
}
