//! The matrix of objectives: every two of them as a small scatter, names on the diagonal.

use super::canvas::{
    Anchor, Canvas, Picture, Size, Type, fitted, picture, text_width, title_end, wrapped,
};
use super::cases::{Case, Cases, Quantity, rough};
use super::classes::Classes;
use super::labels::Block;
use super::legend::{Entry, corner, legend, legend_end};
use super::marker::{Class, ink, mark};
use super::palette::Ink;
use super::pareto::{Standing, span, staircase};
use super::thin::thinned_from;
use super::ticks::{ticks, whole_ticks};
use crate::error::Error;
use crate::num::grouped;
use crate::score::Better;

/// More objectives than this would leave panels too small to be read.
const MOST: usize = 6;
/// Beaten marks of all panels together.
const MOST_BEATEN: usize = 1500;
/// Marks of the front of all panels together, where it has more than [`CROWD`] layouts.
const MOST_FRONT: usize = 1200;
/// A front of more layouts than this has smaller marks.
const CROWD: usize = 40;
/// Share of the beaten that the axes hold; the rest lies far from the front.
const HELD: f64 = 0.99;
const GAP: f64 = 10.0;
/// Pixels that a tick takes across and up.
const ACROSS: f64 = 44.0;
const UP: f64 = 28.0;
const NOTE_SIZE: f64 = 11.5;
const NOTE_LINE: f64 = 14.0;
const NARROW: f64 = 600.0;

/// What is to be drawn: the first six quantities, each against each.
#[derive(Clone, Debug)]
pub struct Matrix {
    pub title: String,
    pub cases: Cases,
    /// The quantity that marks show, as a column.
    pub marks: Option<usize>,
    /// Said where there is no layout.
    pub empty: String,
}

/// Where everything goes, in pixels.
struct Grid {
    wide: bool,
    left: f64,
    /// Width of a panel.
    across: f64,
    /// Top and bottom of the rows of panels.
    rows: Vec<(f64, f64)>,
    /// Where names must end.
    right: f64,
}

impl Grid {
    /// Height above the panels for the first name.
    const HEAD: f64 = 40.0;

    fn new(width: f64, fields: &[Field], top: f64) -> Self {
        let wide = width >= NARROW;
        let (left, last, most) = if wide { (66.0, 150.0, 440.0) } else { (54.0, 78.0, 300.0) };
        let panels = fields.len().saturating_sub(1).max(1) as f64;
        let most = if panels < 2.0 { 1.6 * most } else { most };
        let across = ((width - left - last - GAP * panels) / panels).min(most);
        // Four lines of a name must go beside a row.
        let full = (across * 0.66).clamp(if wide { 60.0 } else { 74.0 }, 300.0);
        let mut y = top + Self::HEAD;
        let rows = fields.iter().skip(1).map(|field| {
            let high = if field.few { (full * 0.45).max(74.0).min(full) } else { full };
            let row = (y, y + high);
            y += high + GAP;
            row
        });
        Self { wide, left, across, rows: rows.collect(), right: width - 8.0 }
    }

    fn column(&self, column: usize) -> f64 {
        self.left + column as f64 * (self.across + GAP)
    }

    /// The frame of the panel in row `row` (from 1) and column `column`.
    fn frame(&self, row: usize, column: usize) -> Block {
        let (left, (top, bottom)) = (self.column(column), self.rows[row - 1]);
        Block { left, top, right: left + self.across, bottom }
    }

    fn bottom(&self) -> f64 {
        self.rows.last().map_or(140.0, |row| row.1)
    }
}

/// A quantity as an axis.
struct Field<'a> {
    quantity: &'a Quantity,
    low: f64,
    high: f64,
    /// Whether all values are whole numbers, and whether they are three or fewer.
    whole: bool,
    few: bool,
    /// Where each layout lies from the low end to the high end; `None` where it lies off.
    parts: Vec<Option<f64>>,
}

impl<'a> Field<'a> {
    fn new(cases: &'a Cases, column: usize) -> Self {
        let quantity = &cases.quantities[column];
        let share = match quantity.better {
            Better::Lower => [0.0, HELD],
            Better::Higher => [1.0 - HELD, 1.0],
        };
        let held = cases.beaten_quantiles(column, share);
        let range = cases.range(column, held.as_ref().map_or(&[], |ends| ends));
        let air = span(range.into_iter().flat_map(|(low, high)| [low, high]));
        let (low, high) = (air.start, air.end);
        let values = || cases.list.iter().filter_map(|case| case.value(column));
        let whole = values().all(|value| value.fract() == 0.0);
        // Fewer than four whole numbers lie within less than three of one another.
        let few = whole && values().all(|v| values().next().is_some_and(|w| (v - w).abs() < 2.0));
        let part = |case: &Case| {
            let part = (case.value(column)? - low) / (high - low);
            Some(part).filter(|part| (0.0..=1.0).contains(part))
        };
        let parts = cases.list.iter().map(part).collect();
        Self { quantity, low, high, whole, few, parts }
    }

    /// Round values with their places as shares of a length in pixels.
    fn ticks(&self, length: f64, each: f64) -> Vec<(f64, f64)> {
        let most = ((length / each) as usize).max(3);
        let range = (self.low, self.high);
        let values = if self.whole { whole_ticks(range, most) } else { ticks(range, most) };
        values.into_iter().map(|v| (v, (v - self.low) / (self.high - self.low))).collect()
    }
}

impl Matrix {
    /// The picture, as high as its panels need.
    ///
    /// # Errors
    /// [`Error::Work`] when the plotting library fails.
    pub fn draw(&self, width: u32) -> Result<Picture, Error> {
        let across = f64::from(width);
        let classes = match self.marks {
            Some(column) => {
                let values: Vec<_> = self.cases.list.iter().map(|c| c.value(column)).collect();
                Classes::new(&values, self.cases.quantities[column].better)
            }
            None => Classes { of: vec![Some(0); self.cases.list.len()], names: Vec::new() },
        };
        let (columns, notes) = self.cases.telling();
        let columns = columns.into_iter().take(MOST);
        let fields: Vec<Field> = columns.map(|column| Field::new(&self.cases, column)).collect();
        let entries = self.entries(&classes);
        let top = title_end(&self.title, across);
        let grid = Grid::new(across, &fields, legend_end(&entries, (20.0, top), across - 20.0));
        let notes = wrapped(&said(&fields, notes), NOTE_SIZE, across - 40.0);
        let height = grid.bottom() + 30.0 + NOTE_LINE * notes.len() as f64 + 10.0;
        picture(Size { width, height: height as u32 }, &self.title, |canvas| {
            let top = canvas.title(&self.title, across)?;
            legend(canvas, &entries, (20.0, top), across - 20.0)?;
            if self.cases.list.is_empty() || fields.len() < 2 {
                let empty = self.cases.list.is_empty();
                let words = if empty { &self.empty } else { "There are no two to compare." };
                let look = Type::plain(14.0, Ink::Muted);
                let words = fitted(words, 14.0, across - 40.0);
                return canvas.text(&words, (across / 2.0, 110.0), Anchor::Middle, look);
            }
            for (line, text) in notes.iter().rev().enumerate() {
                let at = (20.0, height - 12.0 - NOTE_LINE * line as f64);
                canvas.text(text, at, Anchor::Start, Type::plain(NOTE_SIZE, Ink::Muted))?;
            }
            self.paint(canvas, &grid, &fields, &classes)
        })
    }

    fn entries(&self, classes: &Classes) -> Vec<Entry> {
        let mut entries = Vec::new();
        if self.cases.list.is_empty() {
            return entries;
        }
        if let Some(quantity) = self.marks.map(|column| &self.cases.quantities[column]) {
            entries.push(Entry::Words(format!("{}:", quantity.name)));
            let named = classes.names.iter().enumerate();
            entries.extend(named.map(|(class, name)| Entry::Mark(Some(class), name.clone())));
        }
        entries.push(Entry::Stairs("best in these two".to_owned()));
        entries.push(Entry::Corner("better corner".to_owned()));
        if self.cases.beaten().next().is_some() {
            entries.push(Entry::Faint("beaten by the front".to_owned()));
        }
        entries
    }

    fn paint(
        &self,
        canvas: &Canvas,
        grid: &Grid,
        fields: &[Field],
        classes: &Classes,
    ) -> Result<(), Error> {
        for (row, y) in fields.iter().enumerate().skip(1) {
            for (column, x) in fields.iter().enumerate().take(row) {
                self.panel(canvas, grid.frame(row, column), [x, y], (grid, classes))?;
            }
        }
        for (column, field) in fields.iter().enumerate() {
            name(canvas, grid, column, field.quantity)?;
        }
        axis_numbers(canvas, grid, fields)
    }

    /// One small scatter.
    fn panel(
        &self,
        canvas: &Canvas,
        frame: Block,
        [x, y]: [&Field; 2],
        (grid, classes): (&Grid, &Classes),
    ) -> Result<(), Error> {
        let Block { left, top, right, bottom } = frame;
        let (across, high) = (right - left, bottom - top);
        for (_, part) in x.ticks(across, ACROSS) {
            let at = left + part * across;
            canvas.path(&[(at, top), (at, bottom)], Ink::Grid, 1.0, 1.0)?;
        }
        for (_, part) in y.ticks(high, UP) {
            let at = bottom - part * high;
            canvas.path(&[(left, at), (right, at)], Ink::Grid, 1.0, 1.0)?;
        }
        let (mut beaten, mut front) = (Vec::new(), Vec::new());
        for (index, case) in self.cases.list.iter().enumerate() {
            let Some((u, v)) = x.parts[index].zip(y.parts[index]) else { continue };
            let list = if case.standing == Standing::Front { &mut front } else { &mut beaten };
            list.push(((left + u * across, bottom - v * high), classes.of[index]));
        }
        let panels = grid.rows.len() * (grid.rows.len() + 1) / 2;
        let small = if grid.wide { 2.0 } else { 1.5 };
        let most = (MOST_BEATEN / panels).min((across * high / 40.0) as usize);
        for index in thinned_from(&beaten, most, 2.0) {
            let (at, class) = beaten[index];
            mark(canvas, class, at, small, ink(class), 0.38)?;
        }
        let better = [x, y].map(|field| field.quantity.better);
        let more = better.map(|better| better == Better::Higher);
        let (corner_x, towards) = if more[0] { (right, 1.0) } else { (left, -1.0) };
        let (corner_y, down) = if more[1] { (top, 1.0) } else { (bottom, -1.0) };
        corner(canvas, (corner_x, corner_y), (towards, down))?;
        let best = staircase(front.iter().map(|dot| dot.0).collect(), better[0], better[1]);
        if best.len() > 1 {
            canvas.path(&best, Ink::Text, 1.5, 0.7)?;
        }
        front_marks(canvas, &front, grid.wide, MOST_FRONT / panels)?;
        let edge = [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)];
        canvas.path(&edge, Ink::Muted, 1.0, 1.0)
    }
}

/// The marks of the front; of a crowded one, one of those that lie close together.
fn front_marks(
    canvas: &Canvas,
    front: &[((f64, f64), Class)],
    wide: bool,
    most: usize,
) -> Result<(), Error> {
    let large = if wide { 4.2 } else { 3.2 };
    if front.len() > CROWD {
        for index in thinned_from(front, most.max(CROWD), 1.5) {
            let (at, class) = front[index];
            mark(canvas, class, at, large * 0.75, ink(class), 0.9)?;
        }
        return Ok(());
    }
    for (at, class) in front {
        mark(canvas, *class, *at, large + 1.2, Ink::Paper, 1.0)?;
        mark(canvas, *class, *at, large, ink(*class), 1.0)?;
    }
    Ok(())
}

/// What must be said below the panels.
fn said(fields: &[Field], mut notes: Vec<String>) -> String {
    if fields.len() > 2 {
        let how =
            "A name is the axis across of the plots below it, the axis up of those left of it";
        notes.insert(0, how.to_owned());
    }
    let layouts = fields.first().map_or(0, |field| field.parts.len());
    let off = (0..layouts).filter(|&index| fields.iter().any(|f| f.parts[index].is_none()));
    let off = off.count();
    if layouts > CROWD {
        notes.push("of marks close together one is drawn".to_owned());
    }
    if off > 0 {
        notes.push(format!("{} far off or unknown on an axis left out", grouped(off as u64)));
    }
    notes.join(" · ")
}

/// The name of a quantity in its place on the diagonal.
fn name(canvas: &Canvas, grid: &Grid, column: usize, quantity: &Quantity) -> Result<(), Error> {
    let (size, small) = if grid.wide { (13.5, 11.5) } else { (11.0, 10.0) };
    let left = grid.column(column) + 2.0;
    let room = grid.right - left;
    let words = match quantity.unit.as_str() {
        "" => quantity.better_words().to_owned(),
        unit => format!("{unit}, {}", quantity.better_words()),
    };
    let names = wrapped(&quantity.name, size * 1.14, room);
    let words = wrapped(&words, small, room);
    let (step, small_step) = (size * 1.25, small * 1.25);
    let high = names.len() as f64 * step + words.len() as f64 * small_step;
    // The first stands close above its column, the others halfway up their row.
    let mut y = match column {
        0 => grid.rows[0].0 - 4.0 - high,
        _ => (grid.rows[column - 1].0 + grid.rows[column - 1].1 - high) / 2.0,
    };
    for line in names {
        let look = Type::bold(size, Ink::Text);
        canvas.text(&line, (left, y + step / 2.0), Anchor::Start, look)?;
        y += step;
    }
    for line in words {
        let look = Type::plain(small, Ink::Muted);
        canvas.text(&line, (left, y + small_step / 2.0), Anchor::Start, look)?;
        y += small_step;
    }
    Ok(())
}

/// The numbers below the last row and left of the first column; those that would touch
/// their neighbours are left out.
fn axis_numbers(canvas: &Canvas, grid: &Grid, fields: &[Field]) -> Result<(), Error> {
    let look = Type::plain(if grid.wide { 11.5 } else { 10.0 }, Ink::Muted);
    let last = fields.len() - 1;
    for (column, field) in fields.iter().enumerate().take(last) {
        let frame = grid.frame(last, column);
        let mut free = frame.left - GAP / 2.0;
        for (value, part) in field.ticks(grid.across, ACROSS) {
            let x = frame.left + part * grid.across;
            let text = rough(value);
            let half = text_width(&text, look.size) / 2.0;
            if x - half >= free && x + half <= frame.right + GAP / 2.0 {
                canvas.text(&text, (x, frame.bottom + 11.0), Anchor::Middle, look)?;
                free = x + half + 4.0;
            }
        }
    }
    for (row, field) in fields.iter().enumerate().skip(1) {
        let frame = grid.frame(row, 0);
        let mut free = frame.bottom + GAP / 2.0;
        let half = look.size * 0.6;
        for (value, part) in field.ticks(frame.bottom - frame.top, UP) {
            let y = frame.bottom - part * (frame.bottom - frame.top);
            if y + half <= free && y - half >= frame.top - GAP / 2.0 {
                let text = fitted(&rough(value), look.size, frame.left - 10.0);
                canvas.text(&text, (frame.left - 6.0, y), Anchor::End, look)?;
                free = y - half - 2.0;
            }
        }
    }
    Ok(())
}
