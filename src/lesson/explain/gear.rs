//! The walk through one gear.

use num_traits::{One, Signed, Zero};

use super::mistakes::slips;
use super::sense::{Sense, Why, is_block, is_still, sense};
use super::{Depth, Walk};
use crate::account::single;
use crate::error::Error;
use crate::lesson::telling::{listed, number};
use crate::motion::{Makeup, SetWay, Station, Torques, derivation, planet_speed, power_flow};
use crate::num::Fraction;
use crate::paper::Drawn;
use crate::problem::{Arg, Said};
use crate::score::GearState;
use crate::train::{Grip, INPUT, OUTPUT, Role, ShaftId};

impl Walk<'_> {
    pub(super) fn gear(&mut self, state: &GearState) -> Result<(), Error> {
        let (Some(ratio), Some(torques)) = (&state.motion.ratio, &state.torques) else {
            return Ok(());
        };
        let names = self.names(state);
        let engaged = match names.is_empty() {
            true => Said::new("explain-nothing-engaged"),
            false => Said::new("sentence-line").name("text", names.join(", ")),
        };
        let head = match state.name.is_empty() {
            true => Said::new("explain-state-head"),
            false => Said::new("explain-gear-head").name("gear", &state.name),
        };
        self.tell.headed(&head.with("engaged", engaged))?;
        self.who(state, torques)?;
        let expected = sense(self.layout, &state.motion, torques);
        self.before(&expected)?;
        if self.depth == Depth::FirstLook {
            return Ok(());
        }
        self.law(state, ratio, &expected)?;
        self.superposition(state)?;
        self.lever(&names)?;
        self.torque(state, torques)?;
        if self.depth == Depth::Full {
            self.power(state, torques)?;
        }
        self.mistakes(state, ratio)
    }

    fn names(&self, state: &GearState) -> Vec<String> {
        let engaged = state.motion.engaged.iter();
        engaged.map(|element| self.layout.elements[element].name.clone()).collect()
    }

    fn shaft(&self, shaft: ShaftId) -> Said {
        let shaft = &self.layout.shafts[shaft.0];
        let members: Vec<String> = shaft.members.iter().map(ToString::to_string).collect();
        let said = if members.is_empty() { "who-shaft-bare" } else { "who-shaft" };
        Said::new(said).name("shaft", &shaft.name).name("members", members.join(", "))
    }

    fn who(&mut self, state: &GearState, torques: &Torques) -> Result<(), Error> {
        self.tell.label("explain-who-head")?;
        for element in state.motion.engaged.iter() {
            let element = &self.layout.elements[element];
            let said = match element.grip {
                Grip::Brake(shaft) => Said::new("who-brake").with("shaft", self.shaft(shaft)),
                Grip::Clutch(a, b) => {
                    let said = Said::new("who-clutch").with("first", self.shaft(a));
                    said.with("second", self.shaft(b))
                }
            };
            self.tell.paragraph(&said.name("element", &element.name))?;
        }
        for set in 0..self.layout.sets.len() {
            let phrase = match &torques.members[set][0] {
                _ if is_still(self.layout, &state.motion, set) => "who-set-still",
                _ if is_block(self.layout, &state.motion, set) => "who-set-block",
                Some(torque) if torque.is_zero() => "who-set-idle",
                None => "who-set-open",
                Some(_) => "who-set-works",
            };
            let mut said = Said::new(phrase).with("set", set as u32 + 1);
            if phrase == "who-set-works" {
                let all = Role::ALL.into_iter().map(|role| self.member(state, set, role));
                said = said.with("members", listed(all));
            }
            self.tell.paragraph(&said)?;
        }
        Ok(())
    }

    /// What a member of a set that works does.
    fn member(&self, state: &GearState, set: usize, role: Role) -> Said {
        let motion = &state.motion;
        let seat = self.layout.seats(set)[role as usize];
        let speed = motion.speed_at(seat);
        let as_shaft = |shaft: ShaftId| speed.is_some() && speed == motion.speed_at(Some(shaft));
        let phrase = match &speed {
            Some(speed) if speed.is_zero() => "member-held",
            _ if as_shaft(INPUT) => "member-in",
            _ if as_shaft(OUTPUT) => "member-out",
            _ => "member-own",
        };
        Said::new(phrase).name("member", format!("{}{}", role.letter(), set + 1))
    }

    fn before(&mut self, expected: &Sense) -> Result<(), Error> {
        self.tell.label("explain-sense-head")?;
        let said = match &expected.why {
            Why::Block => Said::new("sense-block"),
            Why::OneSet { set, driven, held } => {
                let word = |role: &Role| match role {
                    Role::Sun => "sun",
                    Role::Ring => "ring",
                    Role::Carrier => "carrier",
                };
                Said::new(&format!("sense-{}-{}", word(driven), word(held)))
                    .with("set", *set as u32 + 1)
            }
            Why::Formula(formula) => {
                let direction = match expected.forward {
                    Some(true) => "sense-forward",
                    Some(false) => "sense-backward",
                    None => "sense-either",
                };
                let speed = match expected.slower {
                    Some(true) => "sense-slower",
                    Some(false) => "sense-faster",
                    None => "sense-either-speed",
                };
                Said::new("sense-formula")
                    .maths("formula", formula.notation())
                    .with("direction", Said::new(direction))
                    .with("speed", Said::new(speed))
            }
            Why::Nothing => Said::new("sense-nothing"),
        };
        self.tell.paragraph(&said)?;
        self.product(&expected.why)
    }

    /// Where the ratio is what several sets make one behind the other, each with a member held.
    fn product(&mut self, why: &Why) -> Result<(), Error> {
        let Why::Formula(formula) = why else { return Ok(()) };
        let ways = match formula.makeup(&self.layout.sets) {
            Makeup::Ways(ways) if ways.len() > 1 => ways,
            _ => return Ok(()),
        };
        let way = |way: &SetWay| {
            let [driven, held, output] = [way.driven, way.held, way.output]
                .map(|role| Said::new(&format!("member-{}", role.letter())));
            let said = Said::new("why-way").with("set", way.set as u32 + 1);
            said.with("driven", driven).with("held", held).with("output", output)
        };
        let said = Said::new("sense-product").with("ways", listed(ways.iter().map(way)));
        self.tell.paragraph(&said)
    }

    fn law(&mut self, state: &GearState, ratio: &Fraction, expected: &Sense) -> Result<(), Error> {
        self.tell.label("explain-law-head")?;
        self.once("explain-law")?;
        if let Some(derivation) = derivation(self.layout, state.motion.engaged) {
            for step in &derivation.steps {
                self.tell.sentence(&step.sentence);
                for line in &step.lines {
                    let said = Said::new("formula-line").maths("line", &line.notation);
                    self.tell.step(&said)?;
                }
            }
        }
        let size = match ratio.abs().cmp(&Fraction::one()) {
            std::cmp::Ordering::Greater => "slower",
            std::cmp::Ordering::Equal => "same",
            std::cmp::Ordering::Less => "faster",
        };
        let decided =
            expected.forward.is_some() && (expected.slower.is_some() || expected.why == Why::Block);
        let said = Said::new(if decided { "explain-checked" } else { "explain-found" })
            .with("ratio", number(ratio))
            .with(
                "sign",
                Arg::Word(if ratio.is_positive() { "forward" } else { "backward" }.into()),
            )
            .with("size", Arg::Word(size.into()));
        self.tell.paragraph(&said)
    }

    fn superposition(&mut self, state: &GearState) -> Result<(), Error> {
        let motion = &state.motion;
        let rolls = |set: &usize| !is_block(self.layout, motion, *set);
        let rolling: Vec<usize> = (0..self.layout.sets.len()).filter(rolls).collect();
        self.tell.label("explain-super-head")?;
        if rolling.is_empty() {
            return self.tell.paragraph(&Said::new("super-none"));
        }
        self.once("explain-super")?;
        for set in rolling {
            let speeds = self.layout.seats(set).map(|seat| motion.speed_at(seat));
            let [Some(sun), Some(ring), Some(carrier)] = speeds else { continue };
            let planet = |value: Option<Fraction>| match value {
                Some(value) => number(&value),
                None => Said::new("dash"),
            };
            let zero = Fraction::zero();
            let row = |head: &str, values: [&Fraction; 3], planet: Said| {
                let values = values.map(number);
                std::iter::once(Said::new(head)).chain(values).chain([planet]).collect::<Vec<_>>()
            };
            let turns = planet_speed(self.layout, motion, set);
            let still = turns.as_ref().map(|_| zero.clone());
            let rows = vec![
                row("super-block", [&carrier, &carrier, &carrier], planet(still)),
                row(
                    "super-roll",
                    [&(&sun - &carrier), &(&ring - &carrier), &zero],
                    planet(turns.clone()),
                ),
                row("super-sum", [&sun, &ring, &carrier], planet(turns)),
            ];
            let head = Said::new("super-set").with("set", set as u32 + 1);
            let columns = ["torque-sun", "torque-ring", "torque-carrier", "super-planet"];
            let columns: Vec<Said> = std::iter::once(head).chain(columns.map(Said::new)).collect();
            self.tell.table(&columns, &rows)?;
        }
        Ok(())
    }

    fn lever(&mut self, names: &[String]) -> Result<(), Error> {
        self.tell.label("explain-lever-head")?;
        self.once("explain-lever")?;
        if let Some(picture) = single::levers(self.layout, names) {
            let share = if self.layout.sets.len() > 1 { 0.9 } else { 0.6 };
            self.figure(Drawn { picture, share });
        }
        Ok(())
    }

    fn torque(&mut self, state: &GearState, torques: &Torques) -> Result<(), Error> {
        self.tell.label("explain-torque-head")?;
        self.once("explain-torque")?;
        let told = |torque: &Option<Fraction>| match torque {
            Some(torque) => number(torque),
            None => Said::new("torque-open"),
        };
        let mut rows = Vec::new();
        for (set, members) in torques.members.iter().enumerate() {
            let head = Said::new("super-set").with("set", set as u32 + 1);
            rows.push(std::iter::once(head).chain(members.iter().map(told)).collect());
        }
        let columns = ["set-column", "torque-sun", "torque-ring", "torque-carrier"];
        self.tell.table(&columns.map(Said::new), &rows)?;
        for element in state.motion.engaged.iter() {
            let place = &self.layout.elements[element];
            let said = match (&torques.elements[element], place.grip) {
                (None, _) => Said::new("torque-open-element"),
                (Some(torque), Grip::Brake(_)) => {
                    Said::new("torque-brake").with("torque", number(&torque.abs()))
                }
                (Some(torque), Grip::Clutch(..)) => {
                    Said::new("torque-clutch").with("torque", number(&torque.abs()))
                }
            };
            self.tell.paragraph(&said.name("element", &place.name))?;
        }
        self.balance(state, torques)?;
        let check = Said::new("torque-check")
            .with("output", number(&torques.output))
            .with("housing", number(&torques.housing));
        self.tell.paragraph(&check)
    }

    /// One row a shaft, where all its torques are determined.
    fn balance(&mut self, state: &GearState, torques: &Torques) -> Result<(), Error> {
        let mut rows = Vec::new();
        for (index, shaft) in self.layout.shafts.iter().enumerate() {
            let outside = match index {
                _ if index == INPUT.0 => Fraction::one(),
                _ if index == OUTPUT.0 => torques.output.clone(),
                _ => Fraction::zero(),
            };
            let engaged = state.motion.engaged.iter();
            let elements = engaged.map(|element| {
                let torque = torques.elements[element].clone()?;
                Some(match self.layout.elements[element].grip {
                    Grip::Brake(first) if first.0 == index => torque,
                    Grip::Clutch(first, _) if first.0 == index => torque,
                    Grip::Clutch(_, second) if second.0 == index => -torque,
                    _ => Fraction::zero(),
                })
            });
            let members =
                shaft.members.iter().map(|m| torques.members[m.set][m.role as usize].clone());
            let (Some(elements), Some(members)) =
                (elements.sum::<Option<Fraction>>(), members.sum::<Option<Fraction>>())
            else {
                continue;
            };
            let name = Said::new("sentence-line").name("text", &shaft.name);
            rows.push(vec![name, number(&outside), number(&elements), number(&members)]);
        }
        if rows.is_empty() {
            return Ok(());
        }
        self.once("explain-balance")?;
        let columns = ["torque-shaft", "torque-outside", "torque-elements", "torque-members"];
        self.tell.table(&columns.map(Said::new), &rows)
    }

    fn power(&mut self, state: &GearState, torques: &Torques) -> Result<(), Error> {
        self.tell.label("explain-power-head")?;
        let Some(losses) = &state.losses else {
            return self.tell.paragraph(&Said::new("power-open"));
        };
        if losses.rolling_power.iter().all(|power| power.abs() < 1e-12) {
            self.tell.paragraph(&Said::new("power-none"))?;
        }
        for (set, power) in losses.rolling_power.iter().enumerate() {
            if power.abs() < 1e-12 {
                continue;
            }
            let lost = losses.lost_power.get(set).copied().unwrap_or_default();
            let said = Said::new("power-set")
                .with("set", set as u32 + 1)
                .name("power", format!("{:.3}", power.abs()))
                .name("lost", format!("{:.2}", 100.0 * lost.abs()));
            self.tell.paragraph(&said)?;
        }
        let flow = power_flow(self.layout, &state.motion, torques);
        // In sets that do not roll, what is multiplied is a static torque: no power runs there.
        let rolls = |station: &Station| matches!(station, Station::Set(set) if !is_block(self.layout, &state.motion, *set));
        let round = flow.loops.iter().flatten();
        for circle in round.filter(|circle| circle.through.iter().any(rolls)) {
            let said = Said::new("power-loop").with("power", number(&circle.power));
            self.tell.paragraph(&said)?;
        }
        for set in 0..self.layout.sets.len() {
            if let Some(speed) = planet_speed(self.layout, &state.motion, set)
                && !speed.is_zero()
            {
                let said = Said::new("power-planet").with("set", set as u32 + 1);
                self.tell.paragraph(&said.with("speed", number(&speed)))?;
            }
        }
        self.tell.paragraph(&match losses.efficiency {
            Some(efficiency) => Said::new("power-efficiency")
                .name("efficiency", format!("{:.1}", 100.0 * efficiency)),
            None => Said::new("power-locked"),
        })
    }

    fn mistakes(&mut self, state: &GearState, ratio: &Fraction) -> Result<(), Error> {
        let slips = slips(self.layout, &state.motion);
        if slips.is_empty() {
            return Ok(());
        }
        self.tell.label("explain-mistakes-head")?;
        for slip in slips {
            let mut said = Said::new(slip.phrase);
            if let Some(wrong) = &slip.wrong {
                said = said.with("wrong", number(wrong));
            }
            if let Some(set) = slip.set {
                said = said.with("set", set as u32);
            }
            self.tell.paragraph(&said)?;
        }
        self.tell.paragraph(&Said::new("mistake-right").with("ratio", number(ratio)))
    }
}
