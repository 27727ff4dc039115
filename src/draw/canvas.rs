//! The canvas: lines, shapes and texts in pixels, and the finished picture.
//!
//! Pictures with axes are made here; drawings are scenes, and write their SVG in `scene.rs`.

use std::fmt::Display;

use plotters::coord::Shift;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

use super::palette::Ink;
use crate::error::Error;

/// The plotting library rounds coordinates to whole units; a canvas of this many units a
/// pixel keeps them as fine as eyes need.
pub(super) const UNITS: f64 = 4.0;

/// The plotting library writes a font size this much smaller than it is told.
const FONT_FACTOR: f64 = 1.24;

/// Size of a picture in pixels.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    pub width: u32,
    pub height: u32,
}

/// A finished picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    pub size: Size,
    /// Says in words what the picture shows.
    pub title: String,
    body: String,
    /// Width and height in mm of what shall be to scale on paper.
    paper: Option<[u32; 2]>,
}

impl Picture {
    /// The text of an SVG file.
    pub fn svg(&self) -> String {
        let Size { width, height } = self.size;
        let [width, height] = match self.paper {
            Some(paper) => paper.map(|length| format!("{length}mm")),
            None => [width, height].map(|length| length.to_string()),
        };
        self.wrapped(&format!(
            "xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\""
        ))
    }

    /// The same picture, whose file says how large it is on paper, in mm. Its sides must be
    /// in the proportion of its pixels.
    pub(super) fn on_paper(self, paper: [u32; 2]) -> Self {
        Self { paper: Some(paper), ..self }
    }

    /// The SVG element for the inside of a page: as wide as its place, with a class.
    pub fn inline(&self, class: &str) -> String {
        self.wrapped(&format!("class=\"{class}\""))
    }

    fn wrapped(&self, attributes: &str) -> String {
        let [width, height] = [self.size.width, self.size.height].map(|n| f64::from(n) * UNITS);
        let title = escaped(&self.title);
        format!(
            "<svg {attributes} viewBox=\"0 0 {width} {height}\" role=\"img\" \
             aria-label=\"{title}\">\n<title>{title}</title>\n{}</svg>\n",
            self.body
        )
    }
}

pub(super) fn escaped(text: &str) -> String {
    let text = clean(text);
    let text = text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    text.replace('"', "&quot;")
}

/// Names are other people's; what XML forbids is replaced by a mark that says so.
pub(super) fn clean(text: &str) -> String {
    let allowed = |c: char| !c.is_control() && !matches!(c, '\u{fffe}' | '\u{ffff}');
    text.chars().map(|c| if allowed(c) { c } else { '\u{fffd}' }).collect()
}

/// Where the given point lies in its text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How a text looks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Type {
    pub size: f64,
    pub ink: Ink,
    pub bold: bool,
}

impl Type {
    pub fn plain(size: f64, ink: Ink) -> Self {
        Self { size, ink, bold: false }
    }

    pub fn bold(size: f64, ink: Ink) -> Self {
        Self { size, ink, bold: true }
    }

    /// The text, cut short where it is wider than `width`; bold letters are wider.
    pub fn fitted(self, text: &str, width: f64) -> String {
        let bold = if self.bold { 1.14 } else { 1.0 };
        fitted(text, self.size * bold, width)
    }

    /// The same for the plotting library.
    pub fn style(self) -> TextStyle<'static> {
        let style = if self.bold { FontStyle::Bold } else { FontStyle::Normal };
        let font = ("sans-serif", self.size * UNITS * FONT_FACTOR, style);
        let mut style = TextStyle::from(font);
        style.color = plotters::style::Color::to_backend_color(&colour(self.ink));
        style
    }
}

/// Width of a text in pixels in the wide font that PNG files are drawn with, rather too
/// much than too little; other fonts are narrower.
pub(super) fn text_width(text: &str, size: f64) -> f64 {
    let width = |character: char| match character {
        'i' | 'j' | 'l' | ' ' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' => 0.34,
        'f' | 'r' | 't' | 'I' | '(' | ')' | '[' | ']' | '-' | '/' | '·' => 0.42,
        'm' | 'w' | 'M' | 'W' | '@' | '%' | '…' => 1.0,
        'a'..='z' | '0'..='9' => 0.64,
        'A'..='Z' => 0.79,
        // Signs of other scripts may be as wide as high.
        _ if character.is_ascii() => 0.84,
        _ => 1.0,
    };
    text.chars().map(width).sum::<f64>() * size
}

/// The text, cut short with an ellipsis where it is wider than `width`.
pub(super) fn fitted(text: &str, size: f64, width: f64) -> String {
    if text_width(text, size) <= width {
        return text.to_owned();
    }
    let mut kept = String::new();
    for character in text.chars() {
        if text_width(&kept, size) + 2.0 * size > width {
            break;
        }
        kept.push(character);
    }
    format!("{}…", kept.trim_end())
}

/// The text broken between words into lines not wider than `width`.
pub(super) fn wrapped(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if text_width(&format!("{line} {word}"), size) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(fitted(word, size, width)),
        }
    }
    lines
}

pub(super) fn colour(ink: Ink) -> RGBColor {
    let (red, green, blue) = ink.light();
    RGBColor(red, green, blue)
}

/// Lengths in canvas units for the plotting library.
pub(super) fn units(pixels: f64) -> i32 {
    (pixels * UNITS).round() as i32
}

/// Canvas units back in pixels.
pub(super) fn pixels(units: i32) -> f64 {
    f64::from(units) / UNITS
}

pub(super) fn broken(error: impl Display) -> Error {
    Error::Work(format!("a picture could not be drawn: {error}"))
}

const TITLE_LINE: f64 = 22.0;

fn title_lines(title: &str, width: f64) -> Vec<String> {
    wrapped(title, 17.0, width - 40.0)
}

/// Where the title of a plot will end.
pub(super) fn title_end(title: &str, width: f64) -> f64 {
    26.0 + TITLE_LINE * title_lines(title, width).len() as f64
}

type Backend<'a> = SVGBackend<'a>;

/// What is drawn on, in pixels from the upper left.
pub(super) struct Canvas<'a> {
    pub area: DrawingArea<Backend<'a>, Shift>,
}

/// Draws a picture on light ground.
pub(super) fn picture(
    size: Size,
    title: &str,
    draw: impl FnOnce(&Canvas) -> Result<(), Error>,
) -> Result<Picture, Error> {
    let mut text = String::new();
    let whole = [size.width, size.height].map(|n| units(f64::from(n)).unsigned_abs());
    {
        let area = SVGBackend::with_string(&mut text, (whole[0], whole[1])).into_drawing_area();
        area.fill(&colour(Ink::Paper)).map_err(broken)?;
        let canvas = Canvas { area };
        draw(&canvas)?;
        canvas.area.present().map_err(broken)?;
    }
    // The library's own root element is left out: ours carries size, name and class.
    let inside = text.split_once(">\n").map_or("", |(_, rest)| rest);
    let body = inside.trim_end().strip_suffix("</svg>").unwrap_or(inside).to_owned();
    Ok(picture_of(size, title, body))
}

/// A picture with a body in canvas units.
pub(super) fn picture_of(size: Size, title: &str, body: String) -> Picture {
    Picture { size, title: title.to_owned(), body, paper: None }
}

impl Canvas<'_> {
    /// The title of a plot in as many lines as it takes; returns where they end.
    pub fn title(&self, title: &str, width: f64) -> Result<f64, Error> {
        for (index, line) in title_lines(title, width).iter().enumerate() {
            let at = (20.0, 26.0 + TITLE_LINE * index as f64);
            self.text(line, at, Anchor::Start, Type::bold(17.0, Ink::Text))?;
        }
        Ok(title_end(title, width))
    }

    pub fn text(
        &self,
        text: &str,
        at: (f64, f64),
        anchor: Anchor,
        look: Type,
    ) -> Result<(), Error> {
        let side = match anchor {
            Anchor::Start => HPos::Left,
            Anchor::Middle => HPos::Center,
            Anchor::End => HPos::Right,
        };
        let style = look.style().pos(Pos::new(side, VPos::Center));
        let element = Text::new(clean(text), (units(at.0), units(at.1)), style);
        self.area.draw(&element).map_err(broken)
    }

    /// A text on a patch of ground, so that no line runs through it.
    pub fn patched(&self, text: &str, at: (f64, f64), look: Type) -> Result<(), Error> {
        let (x, y) = at;
        let (across, up) = (text_width(text, look.size) / 2.0 + 1.0, look.size * 0.5);
        let corners = [
            (x - across, y - up),
            (x + across, y - up),
            (x + across, y + up),
            (x - across, y + up),
        ];
        self.polygon(&corners, Ink::Paper, 1.0)?;
        self.text(text, at, Anchor::Middle, look)
    }

    pub fn path(
        &self,
        points: &[(f64, f64)],
        ink: Ink,
        width: f64,
        opacity: f64,
    ) -> Result<(), Error> {
        let points: Vec<(i32, i32)> = points.iter().map(|p| (units(p.0), units(p.1))).collect();
        let style = colour(ink).mix(opacity).stroke_width(units(width).unsigned_abs());
        self.area.draw(&PathElement::new(points, style)).map_err(broken)
    }

    pub fn polygon(&self, points: &[(f64, f64)], ink: Ink, opacity: f64) -> Result<(), Error> {
        let points: Vec<(i32, i32)> = points.iter().map(|p| (units(p.0), units(p.1))).collect();
        let style = colour(ink).mix(opacity).filled();
        self.area.draw(&plotters::element::Polygon::new(points, style)).map_err(broken)
    }

    /// A rectangle: left, top, right, bottom.
    pub fn area(
        &self,
        [left, top, right, bottom]: [f64; 4],
        ink: Ink,
        opacity: f64,
    ) -> Result<(), Error> {
        self.polygon(&[(left, top), (right, top), (right, bottom), (left, bottom)], ink, opacity)
    }

    pub fn circle(&self, at: (f64, f64), radius: f64, ink: Ink, opacity: f64) -> Result<(), Error> {
        let centre = (units(at.0), units(at.1));
        let style = colour(ink).mix(opacity).filled();
        self.area.draw(&Circle::new(centre, units(radius), style)).map_err(broken)
    }
}
