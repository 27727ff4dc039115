//! The histogram of steps: how large the steps between neighbouring gears are, on the
//! front and in all layouts; below it the same shift by shift.

use super::canvas::{Anchor, Canvas, Picture, Size, Type, fitted, picture, text_width, title_end};
use super::cases::{quantiles, rough};
use super::legend::{Entry, legend, legend_end};
use super::palette::Ink;
use super::plan::round_step;
use super::ticks::ticks;
use crate::error::Error;

/// Bars, about.
const BARS: f64 = 28.0;
/// Shares of all steps between which lies what the axis must hold.
const HELD: [f64; 2] = [0.002, 0.998];
/// Shares between which the middle half lies.
const HALF: [f64; 2] = [0.25, 0.75];
const LEFT: f64 = 62.0;
const RIGHT: f64 = 24.0;
const ROW: f64 = 22.0;
const BARS_HIGH: f64 = 220.0;
const FRONT: Ink = Ink::Class(1);

/// The steps of one shift: ratio of a gear / ratio of the next.
#[derive(Clone, Debug)]
pub struct Shift {
    /// Such as `1–2`.
    pub name: String,
    /// Of each layout on the front.
    pub front: Vec<f64>,
    /// Of each layout, the front's too.
    pub all: Vec<f64>,
}

/// What is to be drawn.
#[derive(Clone, Debug)]
pub struct Steps {
    pub title: String,
    pub shifts: Vec<Shift>,
    /// Least and greatest step that the request allows; an end may be infinite.
    pub wanted: Option<(f64, f64)>,
    /// Said where there is no step.
    pub empty: String,
}

/// Places on the axis of steps, and the bars on it.
struct Scale {
    low: f64,
    high: f64,
    left: f64,
    right: f64,
    /// Width of a bar as a step.
    bar: f64,
    /// The greatest step that is wanted: it counts below its edge.
    most: f64,
}

impl Scale {
    fn at(&self, step: f64) -> f64 {
        self.left + (step - self.low) / (self.high - self.low) * (self.right - self.left)
    }

    fn holds(&self, step: f64) -> bool {
        (self.low..=self.high).contains(&step)
    }

    /// Shares of the steps in each bar, in per cent; steps off the axis lie in none.
    fn shares<'a>(&self, steps: impl Iterator<Item = &'a f64>) -> Vec<f64> {
        let bars = ((self.high - self.low) / self.bar).round() as usize;
        let (mut counts, mut all) = (vec![0u32; bars], 0u32);
        for &step in steps.filter(|step| step.is_finite()) {
            all += 1;
            // An edge belongs to the bar above it, whatever rounding says.
            let nudge = if (step - self.most).abs() < 1e-9 { -1e-6 } else { 1e-9 };
            let bar = ((step - self.low) / self.bar + nudge).floor();
            if bar >= 0.0 && (bar as usize) < bars {
                counts[bar as usize] += 1;
            }
        }
        counts.iter().map(|&n| 100.0 * f64::from(n) / f64::from(all.max(1))).collect()
    }
}

impl Steps {
    /// The picture, as high as its shifts need.
    ///
    /// # Errors
    /// [`Error::Work`] when the plotting library fails.
    pub fn draw(&self, width: u32) -> Result<Picture, Error> {
        let across = f64::from(width);
        let top = title_end(&self.title, across);
        let head = legend_end(&self.entries(), (20.0, top), across - 20.0) + 26.0;
        let rows = self.shifts.len() as f64 * ROW;
        let height = head + BARS_HIGH + 30.0 + rows + 62.0;
        let size = Size { width, height: height as u32 };
        picture(size, &self.title, |canvas| self.paint(canvas, size, head))
    }

    fn paint(&self, canvas: &Canvas, size: Size, head: f64) -> Result<(), Error> {
        let (width, height) = (f64::from(size.width), f64::from(size.height));
        let top = canvas.title(&self.title, width)?;
        let Some(scale) = self.scale(width) else {
            let words = fitted(&self.empty, 15.0, width - 40.0);
            let look = Type::plain(15.0, Ink::Muted);
            return canvas.text(&words, (width / 2.0, height / 2.0), Anchor::Middle, look);
        };
        legend(canvas, &self.entries(), (20.0, top), width - 20.0)?;
        let bottom = head + BARS_HIGH;
        let foot = bottom + 30.0 + self.shifts.len() as f64 * ROW;
        self.band(canvas, &scale, (head, foot))?;
        self.bars(canvas, &scale, (head, bottom))?;
        for (index, shift) in self.shifts.iter().enumerate() {
            shift.row(canvas, &scale, bottom + 30.0 + ROW * (index as f64 + 0.5))?;
        }
        let look = Type::plain(12.0, Ink::Muted);
        let share = fitted("share of the steps", 12.0, width - 40.0);
        canvas.text(&share, (20.0, head - 13.0), Anchor::Start, look)?;
        canvas.text("shift", (LEFT - 10.0, bottom + 18.0), Anchor::End, look)?;
        canvas.path(&[(scale.left, foot), (scale.right, foot)], Ink::Muted, 1.0, 1.0)?;
        let mut free = 0.0;
        for step in ticks((scale.low, scale.high), if width < 600.0 { 6 } else { 12 }) {
            let (x, text) = (scale.at(step), rough(step));
            let half = text_width(&text, 12.0) / 2.0;
            canvas.path(&[(x, foot), (x, foot + 4.0)], Ink::Muted, 1.0, 1.0)?;
            if x - half > free && x + half < width - 4.0 {
                canvas.text(&text, (x, foot + 14.0), Anchor::Middle, look)?;
                free = x + half + 4.0;
            }
        }
        let words = fitted("step: ratio of a gear / ratio of the next", 13.0, width - 40.0);
        let at = ((scale.left + scale.right) / 2.0, foot + 36.0);
        canvas.text(&words, at, Anchor::Middle, Type::plain(13.0, Ink::Text))
    }

    fn entries(&self) -> Vec<Entry> {
        let front = self.shifts.iter().any(|shift| !shift.front.is_empty());
        let mut entries = Vec::new();
        if front {
            entries.push(Entry::Area(FRONT, 1.0, "steps of the front".to_owned()));
        }
        entries.push(Entry::Area(
            Ink::Unclassed,
            0.4,
            "of all layouts found; by shift their middle half".to_owned(),
        ));
        if let Some((low, high)) = self.wanted {
            let words = match (low.is_finite(), high.is_finite()) {
                (true, true) => format!("wanted: {} to {}", rough(low), rough(high)),
                (false, _) => format!("wanted: at most {}", rough(high)),
                (true, false) => format!("wanted: at least {}", rough(low)),
            };
            entries.push(Entry::Area(Ink::Ribbon, 0.45, words));
        }
        entries
    }

    /// An axis over the steps and what is wanted; `None` without a step.
    fn scale(&self, width: f64) -> Option<Scale> {
        let all = self.shifts.iter().flat_map(|shift| &shift.all).copied();
        let ends = quantiles(all.filter(|step| step.is_finite()).collect(), HELD)?;
        let front = self.shifts.iter().flat_map(|shift| &shift.front).copied();
        let steps = front.filter(|step| step.is_finite()).chain(ends);
        let (low, high) =
            steps.fold((f64::INFINITY, 0.0f64), |(low, high), v| (low.min(v), high.max(v)));
        // A band that is far wider than the steps would squeeze them; then its end is off.
        let reach = (high - low).max(0.05);
        let near = |end: f64| end > low - reach && end < high + reach;
        let band = self.wanted.into_iter().flat_map(|(low, high)| [low, high]);
        let (low, high) = band
            .filter(|end| end.is_finite() && near(*end))
            .fold((low, high), |(low, high), end| (low.min(end), high.max(end)));
        let bar = round_step(((high - low) / BARS).max(0.001));
        // Half a bar of air, so that the ends of what is wanted are seen.
        let low = ((low / bar - 0.5).floor() * bar).max(0.0);
        let high = (high / bar + 0.5).ceil() * bar;
        let most = self.wanted.map_or(f64::INFINITY, |wanted| wanted.1);
        Some(Scale { low, high, left: LEFT, right: width - RIGHT, bar, most })
    }

    /// The steps that are wanted, behind everything.
    fn band(&self, canvas: &Canvas, scale: &Scale, (top, bottom): (f64, f64)) -> Result<(), Error> {
        let Some((low, high)) = self.wanted else { return Ok(()) };
        let [left, right] = [low, high].map(|end| scale.at(end.clamp(scale.low, scale.high)));
        canvas.area([left, top, right, bottom], Ink::Ribbon, 0.28)?;
        for (end, x) in [(low, left), (high, right)] {
            if scale.holds(end) {
                canvas.path(&[(x, top), (x, bottom)], Ink::Accent, 1.25, 1.0)?;
            }
        }
        Ok(())
    }

    fn bars(&self, canvas: &Canvas, scale: &Scale, (top, bottom): (f64, f64)) -> Result<(), Error> {
        let all = scale.shares(self.shifts.iter().flat_map(|shift| &shift.all));
        let front = scale.shares(self.shifts.iter().flat_map(|shift| &shift.front));
        let most = all.iter().chain(&front).copied().fold(1.0, f64::max) * 1.05;
        let up = |share: f64| bottom - share / most * (bottom - top);
        let look = Type::plain(12.0, Ink::Muted);
        for share in ticks((0.0, most), 5) {
            let y = up(share);
            let ink = if share == 0.0 { Ink::Muted } else { Ink::Grid };
            canvas.path(&[(scale.left, y), (scale.right, y)], ink, 1.0, 1.0)?;
            let text = format!("{} %", rough(share));
            canvas.text(&text, (scale.left - 8.0, y), Anchor::End, look)?;
        }
        for (index, (all, front)) in all.iter().zip(&front).enumerate() {
            let from = scale.low + index as f64 * scale.bar;
            let (left, right) = (scale.at(from), scale.at(from + scale.bar));
            let inset = (right - left) * 0.2;
            canvas.area([left + 0.5, up(*all), right - 0.5, bottom], Ink::Unclassed, 0.4)?;
            if *front > 0.0 {
                canvas.area([left + inset, up(*front), right - inset, bottom], FRONT, 1.0)?;
            }
        }
        Ok(())
    }
}

impl Shift {
    /// One line: where the steps of this shift lie, of all layouts and of the front's.
    fn row(&self, canvas: &Canvas, scale: &Scale, y: f64) -> Result<(), Error> {
        let name = fitted(&self.name, 12.0, LEFT - 14.0);
        canvas.text(&name, (LEFT - 10.0, y), Anchor::End, Type::plain(12.0, Ink::Text))?;
        let within = |step: &&f64| step.is_finite() && scale.holds(**step);
        let all: Vec<f64> = self.all.iter().filter(within).copied().collect();
        if let Some([low, high]) = quantiles(all, HALF) {
            let ends = [scale.at(low) - 1.0, y - 4.0, scale.at(high) + 1.0, y + 4.0];
            canvas.area(ends, Ink::Unclassed, 0.4)?;
        }
        for &step in self.front.iter().filter(within) {
            let x = scale.at(step);
            canvas.path(&[(x, y - 7.0), (x, y + 7.0)], FRONT, 2.0, 0.75)?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_on_an_edge_counts_above_it() {
        let scale = Scale { low: 1.1, high: 1.5, left: 0.0, right: 1.0, bar: 0.1, most: 1.4 };
        let steps = [1.1, 1.2, 1.3, 1.3, 1.4, 1.499, 2.0, f64::NAN, 1.45];
        let shares = scale.shares(steps.iter());
        // The greatest that is wanted, 1.4, is not beyond it.
        let eighths = [1.0, 1.0, 3.0, 2.0].map(|n| 100.0 * n / 8.0);
        assert_eq!(shares, eighths);
    }
}
