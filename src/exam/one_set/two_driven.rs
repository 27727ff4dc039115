//! Two driven members of one set: superposition.

use num_traits::ToPrimitive as _;

use super::{given, member, role_name, round_speeds, symbol, weight};
use crate::exam::clean::digits;
use crate::exam::options::{Wrong, exchangeable, number};
use crate::exam::shop::{Draft, Shop, step};
use crate::num::{Fraction, fraction};
use crate::problem::{
    Answer, Demands, Figure, Item, Kind, Level, Misconception, Said, SignRule, Step, Topic, Unit,
};
use crate::train::{GearSet, Layout, Member, Role, Shaft, write_layout};

/// Speeds of all three members in rpm, in the order sun, ring, carrier.
struct Motion {
    set: GearSet,
    asked: Role,
    speeds: [i64; 3],
}

/// Two members turn at given speeds; how fast does the third?
pub(in crate::exam) fn two_driven(shop: &mut Shop<'_>) -> Option<Item> {
    let choice = shop.chance.below(3) == 0;
    let asked = if choice { Role::Carrier } else { *shop.chance.pick(&Role::ALL)? };
    let mut motion = whole_motion(shop, asked, choice)?;
    let as_choice = if choice { Some(chosen(shop, &mut motion)?) } else { None };
    let out = fraction(motion.speed(asked), 1);
    let [first, second] = motion.drivers();
    let variant = format!("{}-{}", role_name(asked), if choice { "choice" } else { "speed" });
    let answer = as_choice.unwrap_or_else(|| answer(&motion, &out));
    let scene = shop.scene();
    let against = (motion.speed(first) < 0) != (motion.speed(second) < 0);
    let stem = Said::new(if against { "two-driven-against" } else { "two-driven-same" })
        .with("first", member(first))
        .with("second", member(second))
        .with("first-speed", fraction(motion.speed(first).abs(), 1))
        .with("second-speed", fraction(motion.speed(second).abs(), 1));
    let ask = Said::new("two-driven-ask").with("out", member(asked)).with("first", member(first));
    let layout = write_layout(&open_layout(&motion.set, first, asked));
    let draft = Draft::new(Kind::TwoDriven, shop.level, &variant, &[Topic::OneSet], layout.clone())
        .teeth(&[motion.set])
        .fact(&format!("{}-rpm", role_name(first)), motion.speed(first))
        .fact(&format!("{}-rpm", role_name(second)), motion.speed(second))
        .fact("asked", role_name(asked))
        .stem(given(scene, &motion.set))
        .stem(stem)
        .figure(Figure::Stick { layout });
    let demands = Demands {
        sets: 1,
        equations: 2,
        unknowns: 1,
        sign_changes: u32::from(against) + u32::from(asked != Role::Carrier),
        digits: digits(&out),
        concepts: 1,
        results: 1,
    };
    Some(draft.part(ask, answer, steps(&motion, &out)).done(demands))
}

impl Motion {
    fn speed(&self, role: Role) -> i64 {
        self.speeds[role as usize]
    }

    fn drivers(&self) -> [Role; 2] {
        match self.asked {
            Role::Sun => [Role::Ring, Role::Carrier],
            Role::Ring => [Role::Sun, Role::Carrier],
            Role::Carrier => [Role::Sun, Role::Ring],
        }
    }

    /// The four motions of two speeds: either may be the first's, in the same direction or not.
    fn exchanges(&self, first: i64, second: i64) -> [(i64, i64); 4] {
        let (a, b) = (first.abs(), second.abs());
        [(a, b), (a, -b), (b, a), (b, -a)]
    }

    /// The speed of the asked member if the drivers turned so.
    fn with(&self, first: i64, second: i64) -> Fraction {
        let [one, two] = self.drivers().map(|role| weight(&self.set, role));
        fraction(-(one * first + two * second), weight(&self.set, self.asked))
    }
}

/// Round speeds of two members of a set that give a whole speed of the third: all pairs are
/// tried, in any order, set after set.
///
/// For a choice so do the same speeds exchanged and turned round: see [`chosen`].
fn whole_motion(shop: &mut Shop<'_>, asked: Role, choice: bool) -> Option<Motion> {
    let most = if shop.level == Level::Workshop { 300 } else { 1200 };
    let mut speeds = shop.chance.shuffled(round_speeds(40, most));
    for _ in 0..40 {
        let set = shop.set(|_| true)?;
        let mut motion = Motion { set, asked, speeds: [0; 3] };
        shop.chance.shuffle(&mut speeds);
        let signs = if shop.chance.below(2) == 0 { 1 } else { -1 };
        for &first in &speeds {
            for second in speeds.iter().map(|speed| speed * signs) {
                let out = motion.with(first, second);
                // A third member that stands, or turns with another, would tell too much.
                let tells = |out: &Fraction| {
                    let size = out.numer().to_i64().map(i64::abs);
                    !out.is_integer()
                        || size.is_none_or(|size| {
                            !(5..=2 * most).contains(&size) || size == first || size == second.abs()
                        })
                };
                let others = || motion.exchanges(first, second).map(|(a, b)| motion.with(a, b));
                let fits = first.abs() != second.abs()
                    && !tells(&out)
                    && (!choice || !others().iter().any(tells));
                if fits {
                    let [one, two] = motion.drivers();
                    motion.speeds[one as usize] = first;
                    motion.speeds[two as usize] = second;
                    motion.speeds[asked as usize] = out.numer().to_i64()?;
                    return Some(motion);
                }
            }
        }
    }
    None
}

/// The carrier's speeds of four motions, each of two speeds at sun and ring, of which any may be
/// asked for; the motion becomes that one.
fn chosen(shop: &mut Shop<'_>, motion: &mut Motion) -> Option<Answer> {
    let [one, two] = motion.drivers();
    let all = motion.exchanges(motion.speed(one), motion.speed(two));
    let right = shop.chance.below(all.len());
    let values = all.map(|(first, second)| motion.with(first, second));
    let say = |value: &Fraction| Said::new("rpm-option").decimal("value", value, 0);
    let reveals = |other: usize| match all[other].0 == all[right].0 {
        true => Misconception::LostSign,
        false => Misconception::SunRingExchanged,
    };
    let options = values.iter().map(say).collect();
    let answer = exchangeable(options, right, &mut shop.chance, reveals)?;
    motion.speeds[one as usize] = all[right].0;
    motion.speeds[two as usize] = all[right].1;
    motion.speeds[motion.asked as usize] = values[right].numer().to_i64()?;
    Some(answer)
}

fn answer(motion: &Motion, out: &Fraction) -> Answer {
    let [one, two] = motion.drivers();
    let (first, second) = (motion.speed(one), motion.speed(two));
    let mut wrong = Wrong::than(out)
        .by(Misconception::LostSign, motion.with(first, -second))
        .by(Misconception::OneDriverOnly, motion.with(first, 0))
        .by(Misconception::SpeedsAdded, fraction(first + second, 2))
        .by(Misconception::SunRingExchanged, exchanged(motion, first, second));
    if two == Role::Carrier {
        // What turns with the carrier is left out, only the motion relative to it is told.
        wrong = wrong.by(Misconception::CarrierTurnForgotten, out - fraction(second, 1));
    }
    number(out, Unit::Rpm, 0, SignRule::Counts, wrong)
}

/// With the teeth of sun and ring exchanged.
fn exchanged(motion: &Motion, first: i64, second: i64) -> Fraction {
    let set = GearSet { sun: motion.set.ring, ring: motion.set.sun, ..motion.set };
    let [one, two] = motion.drivers().map(|role| weight(&set, role));
    fraction(-(one * first + two * second), weight(&set, motion.asked))
}

/// The layout with nothing held: two members drive, so that no element is needed.
fn open_layout(set: &GearSet, input: Role, output: Role) -> Layout {
    let third = Role::ALL.into_iter().find(|role| *role != input && *role != output);
    let shaft = |name: &str, role: Role| Shaft {
        name: name.to_owned(),
        members: vec![Member::new(0, role)],
    };
    let other = third.map(|role| shaft(role_name(role), role));
    Layout {
        title: None,
        sets: vec![*set],
        shafts: [shaft("input", input), shaft("output", output)].into_iter().chain(other).collect(),
        held: Vec::new(),
        elements: Vec::new(),
        gears: Vec::new(),
    }
}

/// Superposition: all turn with the carrier, then the carrier is held.
fn steps(motion: &Motion, out: &Fraction) -> Vec<Step> {
    let set = &motion.set;
    let [one, two] = motion.drivers();
    let number = |value: i64| if value < 0 { format!("({value})") } else { value.to_string() };
    let put = format!("{} * n_S + {} * n_R = {} * n_C", set.sun, set.ring, set.sun + set.ring)
        .replace(&symbol("n", one), &number(motion.speed(one)))
        .replace(&symbol("n", two), &number(motion.speed(two)));
    vec![
        step(Said::new("willis-one-set"), 1),
        step(Said::new("two-driven-put").maths("put", put), 1),
        step(
            Said::new("two-driven-result")
                .maths("out", symbol("n", motion.asked))
                .with("value", out)
                .with("member", member(motion.asked)),
            1,
        ),
        step(
            Said::new("two-driven-check")
                .with("relative-sun", fraction(motion.speeds[0] - motion.speeds[2], 1))
                .with("relative-ring", fraction(motion.speeds[1] - motion.speeds[2], 1))
                .with("base", fraction(-i64::from(set.ring), i64::from(set.sun))),
            1,
        ),
    ]
}
