//! A layout explained gear by gear, for a learner, in three depths.

mod gear;
mod mistakes;
mod sense;

use num_traits::Signed;

use super::telling::{Teller, number};
use crate::account::{Basis, single};
use crate::brief::PaperSize;
use crate::error::Error;
use crate::num::fraction;
use crate::paper::{Block, Document, Drawn, Words};
use crate::problem::Said;
use crate::score::{GearState, assess};
use crate::teeth::conditions;
use crate::train::{Layout, SetKind};

/// How much is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Depth {
    /// Who does what, and what to expect before any number.
    FirstLook,
    /// Also the laws row by row, superposition, levers, torques, mistakes.
    Course,
    /// Also power, losses and planets.
    Full,
}

/// The walk through all gears of a layout (all its live states where it names no gears).
///
/// Ratios, speeds and torques in it are exact; losses are estimates from the mesh efficiencies
/// of `basis`.
///
/// # Errors
/// [`Error::Work`] for a phrase that cannot be said.
pub fn explain(
    layout: &Layout,
    depth: Depth,
    basis: &Basis,
    language: &str,
) -> Result<Document, Error> {
    let words = Words::of(language, false)?;
    let layout = &with_plain_names(layout);
    let mut walk = Walk {
        layout,
        depth,
        basis,
        tell: Teller::new(&words),
        figures: Vec::new(),
        said: Vec::new(),
    };
    walk.opening()?;
    for state in walk.states() {
        walk.gear(&state)?;
    }
    walk.closing()?;
    let title = match &layout.title {
        Some(title) => Said::new("explain-title").name("title", title),
        None => Said::new("explain-title").with("title", Said::new("explain-untitled")),
    };
    Ok(Document {
        title: words.say(&title)?,
        subtitle: None,
        language: language.to_owned(),
        size: PaperSize::A4,
        blocks: walk.tell.blocks,
        figures: walk.figures,
    })
}

/// The layout with nothing in its names that a page or a terminal would take for more than a
/// letter.
fn with_plain_names(layout: &Layout) -> Layout {
    let plain = |name: &mut String| {
        let odd = |c: char| {
            c.is_control()
                || ('\u{e000}'..='\u{f8ff}').contains(&c)
                || ('\u{fffe}'..='\u{ffff}').contains(&c)
        };
        *name = name.chars().map(|c| if odd(c) { '\u{fffd}' } else { c }).collect();
    };
    let mut layout = layout.clone();
    layout.title.iter_mut().for_each(plain);
    layout.shafts.iter_mut().for_each(|shaft| plain(&mut shaft.name));
    layout.elements.iter_mut().for_each(|element| plain(&mut element.name));
    layout.gears.iter_mut().for_each(|gear| plain(&mut gear.name));
    layout
}

/// What a walk gathers.
struct Walk<'a> {
    layout: &'a Layout,
    depth: Depth,
    basis: &'a Basis,
    tell: Teller<'a>,
    figures: Vec<Drawn>,
    /// What is said in the first gear that needs it, and not again.
    said: Vec<&'static str>,
}

impl Walk<'_> {
    /// The gears, or the live states of a layout that names none.
    fn states(&self) -> Vec<GearState> {
        let (layout, mesh) = (self.layout, &self.basis.mesh);
        let named = layout.gears.iter();
        let named = named.map(|gear| GearState::of(layout, &gear.name, gear.engaged, mesh));
        let all = || layout.states().map(|engaged| GearState::of(layout, "", engaged, mesh));
        let states: Vec<GearState> =
            if layout.gears.is_empty() { all().collect() } else { named.collect() };
        states.into_iter().filter(|state| state.motion.ratio.is_some()).collect()
    }

    fn figure(&mut self, drawn: Drawn) {
        self.figures.push(drawn);
        self.tell.blocks.push(Block::Figure(self.figures.len() - 1));
    }

    /// A paragraph that is said once.
    fn once(&mut self, phrase: &'static str) -> Result<(), Error> {
        if self.said.contains(&phrase) {
            return Ok(());
        }
        self.said.push(phrase);
        self.tell.paragraph(&Said::new(phrase))
    }

    fn opening(&mut self) -> Result<(), Error> {
        self.tell.paragraph(&Said::new("explain-symbols"))?;
        if self.depth > Depth::FirstLook {
            self.tell.paragraph(&Said::new("explain-symbols-torque"))?;
        }
        self.tell.label("explain-sets-head")?;
        self.sets()?;
        self.broken_conditions()?;
        self.tell.label("explain-shafts-head")?;
        self.shafts()?;
        if let Some(picture) = single::stick(self.layout) {
            self.figure(Drawn { picture, share: 0.7 });
        }
        if self.layout.gears.is_empty() {
            self.tell.note(&Said::new("explain-no-gears"))?;
        }
        Ok(())
    }

    fn sets(&mut self) -> Result<(), Error> {
        let mut rows = Vec::new();
        for (index, set) in self.layout.sets.iter().enumerate() {
            let paired = set.kind == SetKind::Paired;
            let name = if paired { "set-paired" } else { "super-count" };
            let planet = match set.planet {
                Some(teeth) => Said::new("number-plain").with("value", teeth),
                None => Said::new("dash"),
            };
            rows.push(vec![
                Said::new(name).with("set", index as u32 + 1),
                Said::new("number-plain").with("value", set.sun),
                planet,
                Said::new("number-plain").with("value", set.ring),
                number(&fraction(set.ring.into(), set.sun.into())),
            ]);
        }
        let columns = ["set-column", "sun-column", "planet-column", "ring-column", "base-column"];
        self.tell.table(&columns.map(Said::new), &rows)
    }

    /// Sets that cannot be built with the teeth they have, by the names of what does not hold.
    fn broken_conditions(&mut self) -> Result<(), Error> {
        for (index, set) in self.layout.sets.iter().enumerate() {
            let all = conditions(set, &self.basis.teeth);
            let broken: Vec<&str> = all.iter().filter(|c| !c.holds).map(|c| c.name).collect();
            if !broken.is_empty() {
                let said = Said::new("explain-broken").with("set", index as u32 + 1);
                self.tell.note(&said.name("conditions", broken.join(", ")))?;
            }
        }
        Ok(())
    }

    fn shafts(&mut self) -> Result<(), Error> {
        let mut rows = Vec::new();
        for shaft in &self.layout.shafts {
            let members: Vec<String> = shaft.members.iter().map(ToString::to_string).collect();
            let sitting = match members.is_empty() {
                true => Said::new("shaft-bare"),
                false => Said::new("sentence-line").name("text", members.join(", ")),
            };
            rows.push(vec![Said::new("sentence-line").name("text", &shaft.name), sitting]);
        }
        self.tell.table(&["shaft-column", "members-column"].map(Said::new), &rows)?;
        let held: Vec<String> = self.layout.held.iter().map(ToString::to_string).collect();
        if held.is_empty() {
            return Ok(());
        }
        let said = Said::new("explain-housing").name("members", held.join(", "));
        self.tell.paragraph(&said.count("count", held.len() as u32))
    }

    fn closing(&mut self) -> Result<(), Error> {
        let assessed = assess(self.layout, &self.basis.mesh);
        let ladder: Vec<_> = assessed.ladder().collect();
        if let (Some(spread), true) = (assessed.spread(), ladder.len() > 1) {
            self.tell.heading("explain-steps-head")?;
            self.tell.paragraph(&Said::new("explain-steps").with("spread", number(&spread)))?;
            let name = |gear: usize| {
                Said::new("sentence-line").name("text", &self.layout.gears[gear].name)
            };
            let rows: Vec<Vec<Said>> = ladder
                .windows(2)
                .map(|pair| {
                    vec![name(pair[0].0), name(pair[1].0), number(&(pair[0].1 / pair[1].1).abs())]
                })
                .collect();
            self.tell.table(&["steps-from", "steps-to", "steps-step"].map(Said::new), &rows)?;
        }
        self.tell.heading("explain-next-head")?;
        self.tell.paragraph(&Said::new("explain-next"))
    }
}
