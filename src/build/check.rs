//! Whether a drawing is true. Knows drawings and layouts, and nothing of how lines are found.

use std::collections::{BTreeMap, BTreeSet};

use super::drawing::{Direction, Drawing, Point, Segment};
use crate::train::{Core, Grip, HOUSING, Layout, Slot};

/// Two points beside each other, the lesser first.
type Unit = (Point, Point);

impl Drawing {
    /// Whether this is a drawing of the layout without a crossing.
    ///
    /// # Errors
    /// The first thing found that is wrong, in words.
    pub fn check(&self, layout: &Layout) -> Result<(), String> {
        let (core, slots) = layout.wiring();
        let first = layout.elements.iter().map(|element| match element.grip {
            Grip::Brake(shaft) | Grip::Clutch(shaft, _) => shaft.0 as u8 + 1,
        });
        self.check_parts(&core, &slots, &first.collect::<Vec<u8>>())
    }

    /// The same for what [`super::drawing_of_wiring`] makes.
    ///
    /// # Errors
    /// The first thing found that is wrong, in words.
    pub fn check_wiring(&self, core: &Core, slots: &[Slot]) -> Result<(), String> {
        let first = slots.iter().map(|slot| if slot.is_brake() { slot.second } else { slot.first });
        self.check_parts(core, slots, &first.collect::<Vec<u8>>())
    }

    fn check_parts(&self, core: &Core, slots: &[Slot], first: &[u8]) -> Result<(), String> {
        self.check_sizes(core, slots)?;
        let mut lines = Vec::new();
        for seat in 0..=core.shafts {
            lines.push(self.units(seat)?);
        }
        self.check_sets()?;
        self.check_meshes(&lines)?;
        self.check_points(core, &lines)?;
        self.check_marks(slots, first, &lines)?;
        for seat in 0..=core.shafts {
            self.check_whole(core, seat, &lines[usize::from(seat)])?;
        }
        self.check_frame(core)
    }

    fn check_sizes(&self, core: &Core, slots: &[Slot]) -> Result<(), String> {
        let counts = [
            ("columns", self.columns.len(), core.sets()),
            ("carrier sides", self.carrier_sides.len(), core.sets()),
            ("shafts", self.shafts.len(), usize::from(core.shafts)),
            ("elements", self.elements.len(), slots.len()),
        ];
        for (what, drawn, wanted) in counts {
            ensure(drawn == wanted, || format!("{drawn} {what} drawn, {wanted} in the layout"))?;
        }
        Ok(())
    }

    fn lines(&self, seat: u8) -> &[Segment] {
        if seat == HOUSING { &self.housing } else { &self.shafts[usize::from(seat) - 1] }
    }

    /// A shaft's lines in steps of one.
    fn units(&self, seat: u8) -> Result<BTreeSet<Unit>, String> {
        let mut units = BTreeSet::new();
        for &Segment { from, to } in self.lines(seat) {
            let level = from.y == to.y && from.x <= to.x;
            let upright = from.x == to.x && from.y <= to.y;
            ensure(level || upright, || format!("{} has a line askew", name(seat)))?;
            let inside = from.x >= 0 && to.x <= self.width && from.y >= 1 && to.y <= self.height;
            ensure(inside, || format!("{} leaves the half plane", name(seat)))?;
            let (dx, dy) = ((to.x - from.x).signum(), (to.y - from.y).signum());
            let mut at = from;
            while at != to {
                let next = Point { x: at.x + dx, y: at.y + dy };
                units.insert((at, next));
                at = next;
            }
        }
        Ok(units)
    }

    fn check_sets(&self) -> Result<(), String> {
        for (set, column) in self.columns.iter().enumerate() {
            let apart = self.columns[..set].iter().all(|other| other.x != column.x);
            let stands = 0 < column.sun && column.sun < column.pin && column.pin < column.ring;
            let inside = 0 < column.x && column.x < self.width && column.ring < self.height;
            ensure(apart && stands && inside, || format!("set {} has no column", set + 1))?;
        }
        let mut order: Vec<usize> = (0..self.columns.len()).collect();
        order.sort_by_key(|&set| self.columns[set].x);
        ensure(order == self.order, || "the order of the sets is another".into())
    }

    /// No line runs along a mesh or has a point in it; carriers leave where they say.
    fn check_meshes(&self, lines: &[BTreeSet<Unit>]) -> Result<(), String> {
        for (set, column) in self.columns.iter().enumerate() {
            let at = |y: i32| Point { x: column.x, y };
            for y in column.sun..column.ring {
                let clear = lines.iter().all(|units| !units.contains(&(at(y), at(y + 1))));
                ensure(clear, || format!("a line runs along a mesh of set {}", set + 1))?;
                let within = y != column.sun && y != column.pin;
                let met = self.owners(at(y));
                ensure(!within || met.is_empty(), || {
                    format!("a line crosses a mesh of set {}", set + 1)
                })?;
            }
            let pin = at(column.pin);
            let leaves = |unit: Unit| lines.iter().any(|units| units.contains(&unit));
            let left = leaves((Point { x: pin.x - 1, y: pin.y }, pin));
            let right = leaves((pin, Point { x: pin.x + 1, y: pin.y }));
            let sides = self.carrier_sides[set];
            ensure((left, right) == (sides.left, sides.right), || {
                format!("carrier {} leaves on other sides", set + 1)
            })?;
        }
        Ok(())
    }

    /// The shafts with a line through a point.
    fn owners(&self, at: Point) -> Vec<u8> {
        let on = |line: &Segment| holds(line, at);
        (0..=self.shafts.len() as u8).filter(|&seat| self.lines(seat).iter().any(on)).collect()
    }

    /// No point belongs to two shafts, but for the marks; members are points of their shafts.
    fn check_points(&self, core: &Core, lines: &[BTreeSet<Unit>]) -> Result<(), String> {
        let mut owner: BTreeMap<Point, u8> = BTreeMap::new();
        let members = (0..core.sets()).flat_map(|set| {
            let places = self.places(set);
            [0, 1, 2].map(|role| (places[role], core.seats()[set][role]))
        });
        let single = (0..=core.shafts).flat_map(|seat| {
            let points = self.lines(seat).iter().flat_map(|line| [line.from, line.to]);
            points.map(move |at| (at, seat))
        });
        let all = lines
            .iter()
            .zip(0u8..)
            .flat_map(|(units, seat)| units.iter().flat_map(move |&(a, b)| [(a, seat), (b, seat)]));
        let marks: Vec<Point> = self.elements.iter().map(|mark| mark.at).collect();
        for (at, seat) in members.chain(single).chain(all) {
            let other = *owner.entry(at).or_insert(seat);
            let apart = other == seat || marks.contains(&at);
            ensure(apart, || {
                format!("{} and {} meet at {}, {}", name(other), name(seat), at.x, at.y)
            })?;
        }
        Ok(())
    }

    /// Sun, ring and carrier of a set, as seats are listed.
    fn places(&self, set: usize) -> [Point; 3] {
        let column = self.columns[set];
        [column.sun, column.ring, column.pin].map(|y| Point { x: column.x, y })
    }

    /// At each mark one line ends from each of its two shafts, from opposite sides.
    fn check_marks(
        &self,
        slots: &[Slot],
        first: &[u8],
        lines: &[BTreeSet<Unit>],
    ) -> Result<(), String> {
        for (number, (mark, slot)) in self.elements.iter().zip(slots).enumerate() {
            let at = mark.at;
            let wrong = |what: &str| format!("element {}: {what}", number + 1);
            let earlier = self.elements[..number].iter().any(|other| other.at == at);
            let member = (0..self.columns.len()).any(|set| self.places(set).contains(&at));
            ensure(!earlier && !member, || wrong("its place is taken"))?;
            let met = |direction: Direction| -> Vec<u8> {
                let unit = unit(at, direction);
                (0..lines.len() as u8)
                    .filter(|&seat| lines[usize::from(seat)].contains(&unit))
                    .collect()
            };
            let seat = first[number];
            let other = if seat == slot.first { slot.second } else { slot.first };
            let [one, two] = [mark.first, mark.first.opposite()].map(met);
            ensure(one == [seat], || wrong("its first shaft does not end there"))?;
            ensure(two == [other], || wrong("its second shaft does not end there"))?;
            let aside = Direction::ALL
                .into_iter()
                .filter(|&direction| direction != mark.first && direction != mark.first.opposite());
            let clear = aside.into_iter().all(|direction| met(direction).is_empty());
            let strangers = self.owners(at).iter().any(|&owner| owner != seat && owner != other);
            ensure(clear && !strangers, || wrong("a line comes in from the side"))?;
        }
        Ok(())
    }

    /// The lines and members of a shaft hang together, not counting marks.
    fn check_whole(&self, core: &Core, seat: u8, units: &BTreeSet<Unit>) -> Result<(), String> {
        let mut points: BTreeSet<Point> = units.iter().flat_map(|&(a, b)| [a, b]).collect();
        points.extend(self.lines(seat).iter().flat_map(|line| [line.from, line.to]));
        for (set, seats) in core.seats().iter().enumerate() {
            let places = self.places(set);
            points.extend((0..3).filter(|&role| seats[role] == seat).map(|role| places[role]));
        }
        let mark = |at: Point| self.elements.iter().any(|mark| mark.at == at);
        points.retain(|&at| !mark(at));
        let mut waiting: Vec<Point> = points.pop_first().into_iter().collect();
        ensure(!waiting.is_empty(), || format!("{} is not drawn", name(seat)))?;
        while let Some(at) = waiting.pop() {
            for direction in Direction::ALL {
                let (a, b) = unit(at, direction);
                let next = if a == at { b } else { a };
                if units.contains(&(a, b)) && points.remove(&next) {
                    waiting.push(next);
                }
            }
        }
        ensure(points.is_empty(), || format!("{} is in pieces", name(seat)))
    }

    /// Input, output and housing reach their sides, and nothing else does.
    fn check_frame(&self, core: &Core) -> Result<(), String> {
        let reached = [
            (core.input, "the input side", 0),
            (core.output, "the output side", 1),
            (HOUSING, "the top", 2),
        ];
        for (wanted, side, which) in reached {
            let on = |at: Point| match which {
                0 => at.x == 0 && at.y < self.height,
                1 => at.x == self.width && at.y < self.height,
                _ => at.y == self.height,
            };
            for seat in 0..=core.shafts {
                let points = self.lines(seat).iter().flat_map(|line| [line.from, line.to]);
                let reaches = points.into_iter().any(on);
                ensure(reaches == (seat == wanted), || {
                    let does = if reaches { "reaches" } else { "does not reach" };
                    format!("{} {does} {side}", name(seat))
                })?;
            }
        }
        Ok(())
    }
}

fn ensure(holds: bool, otherwise: impl FnOnce() -> String) -> Result<(), String> {
    if holds { Ok(()) } else { Err(otherwise()) }
}

fn name(seat: u8) -> String {
    if seat == HOUSING { "the housing".into() } else { format!("shaft {seat}") }
}

fn holds(line: &Segment, at: Point) -> bool {
    (line.from.x..=line.to.x).contains(&at.x) && (line.from.y..=line.to.y).contains(&at.y)
}

fn unit(at: Point, direction: Direction) -> Unit {
    let beside = |dx: i32, dy: i32| Point { x: at.x + dx, y: at.y + dy };
    match direction {
        Direction::Right => (at, beside(1, 0)),
        Direction::Up => (at, beside(0, 1)),
        Direction::Left => (beside(-1, 0), at),
        Direction::Down => (beside(0, -1), at),
    }
}
