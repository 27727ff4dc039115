//! The scene: lines, areas and texts in pixels, as they are drawn one over the other, and
//! the picture that they make. For drawings without axes; plots use the canvas.

use std::fmt::Write as _;

use super::canvas::{Anchor, Picture, Size, Type, escaped, picture_of, text_width};
use super::palette::{Ink, hex};

pub(super) type Point = (f64, f64);

/// How a line looks.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stroke {
    pub ink: Ink,
    pub width: f64,
    /// Lengths of dash and gap; none for a whole line.
    pub dash: Option<(f64, f64)>,
    /// Whether a dot stands in every gap, which is then as wide on both sides of it: the
    /// line of axes and pitch circles.
    pub dotted: bool,
}

impl Stroke {
    pub fn solid(ink: Ink, width: f64) -> Self {
        Self { ink, width, dash: None, dotted: false }
    }

    pub fn dashed(ink: Ink, width: f64, dash: f64, gap: f64) -> Self {
        Self { ink, width, dash: Some((dash, gap)), dotted: false }
    }

    /// A chain line: ISO 128, for axes and pitch circles.
    pub fn chain(ink: Ink, width: f64) -> Self {
        Self { dotted: true, ..Self::dashed(ink, width, 13.0, 3.5) }
    }
}

enum Item {
    Line { points: Vec<Point>, closed: bool, fill: Option<Ink>, stroke: Option<Stroke> },
    Shape { rings: Vec<Vec<Point>>, fill: Option<Ink>, stroke: Stroke },
    Disc { at: Point, radius: f64, fill: Option<Ink>, stroke: Option<Stroke> },
    Text { text: String, at: Point, anchor: Anchor, look: Type },
}

/// What is drawn so far.
pub(super) struct Scene {
    size: Size,
    items: Vec<Item>,
    /// Left, top, right, bottom of what no free text may cover.
    reserved: Vec<[f64; 4]>,
}

impl Scene {
    pub fn new(size: Size) -> Self {
        Self { size, items: Vec::new(), reserved: Vec::new() }
    }

    pub fn line(&mut self, points: &[Point], stroke: Stroke) {
        self.push_line(points, false, None, Some(stroke));
    }

    pub fn area(&mut self, points: &[Point], fill: Ink) {
        self.push_line(points, true, Some(fill), None);
    }

    pub fn outlined(&mut self, points: &[Point], fill: Option<Ink>, stroke: Stroke) {
        self.push_line(points, true, fill, Some(stroke));
    }

    fn push_line(
        &mut self,
        points: &[Point],
        closed: bool,
        fill: Option<Ink>,
        stroke: Option<Stroke>,
    ) {
        self.items.push(Item::Line { points: points.to_vec(), closed, fill, stroke });
    }

    /// An area with holes: a point is inside where an odd number of `rings` goes round it.
    pub fn shape(&mut self, rings: &[Vec<Point>], fill: Option<Ink>, stroke: Stroke) {
        self.items.push(Item::Shape { rings: rings.to_vec(), fill, stroke });
    }

    pub fn disc(&mut self, at: Point, radius: f64, fill: Ink) {
        self.items.push(Item::Disc { at, radius, fill: Some(fill), stroke: None });
    }

    pub fn circle(&mut self, at: Point, radius: f64, stroke: Stroke) {
        self.items.push(Item::Disc { at, radius, fill: None, stroke: Some(stroke) });
    }

    pub fn text(&mut self, text: &str, at: Point, anchor: Anchor, look: Type) {
        self.items.push(Item::Text { text: text.to_owned(), at, anchor, look });
    }

    /// A text on a patch of ground, so that no line runs through it.
    pub fn patched(&mut self, text: &str, at: Point, anchor: Anchor, look: Type) {
        let [left, top, right, bottom] = text_box(text, at, anchor, look);
        self.area(&[(left, top), (right, top), (right, bottom), (left, bottom)], Ink::Paper);
        self.text(text, at, anchor, look);
    }

    /// Keeps texts that look for room away from a box: left, top, right, bottom.
    pub fn reserve(&mut self, taken: [f64; 4]) {
        self.reserved.push(taken);
    }

    /// The same where neither a text nor what is reserved stands; else left out.
    pub fn patched_if_free(&mut self, text: &str, at: Point, anchor: Anchor, look: Type) {
        if self.is_free(text, at, anchor, look) {
            self.patched(text, at, anchor, look);
        }
    }

    fn is_free(&self, text: &str, at: Point, anchor: Anchor, look: Type) -> bool {
        let a = text_box(text, at, anchor, look);
        let over = |b: &[f64; 4]| a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
        let texts = self.items.iter().filter_map(|item| match item {
            Item::Text { text, at, anchor, look } => Some(text_box(text, *at, *anchor, *look)),
            _ => None,
        });
        !texts.chain(self.reserved.iter().copied()).any(|taken| over(&taken))
    }

    /// A line that ends in a head of its own size at `to`.
    pub fn arrow(&mut self, from: Point, to: Point, stroke: Stroke) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = dx.hypot(dy);
        if length < 1e-9 {
            return;
        }
        let head = (3.0 + 2.0 * stroke.width).min(length);
        let (ux, uy) = (dx / length, dy / length);
        let neck = (to.0 - ux * head, to.1 - uy * head);
        let half = head * 0.45;
        self.line(&[from, neck], stroke);
        let sides =
            [(neck.0 - uy * half, neck.1 + ux * half), (neck.0 + uy * half, neck.1 - ux * half)];
        self.area(&[to, sides[0], sides[1]], stroke.ink);
    }

    /// The finished picture; `title` says in words what it shows.
    pub fn picture(&self, title: &str) -> Picture {
        let mut body = String::new();
        let (width, height) = (f64::from(self.size.width), f64::from(self.size.height));
        let ground = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
        let ground = Item::Line {
            points: ground.to_vec(),
            closed: true,
            fill: Some(Ink::Paper),
            stroke: None,
        };
        for item in std::iter::once(&ground).chain(&self.items) {
            write_item(&mut body, item);
        }
        picture_of(self.size, title, body)
    }

    /// The finished picture for paper of a width and a height in mm.
    pub fn sheet(&self, title: &str, paper: [u32; 2]) -> Picture {
        self.picture(title).on_paper(paper)
    }
}

/// Left, top, right, bottom of a text with a little air, rather too large than too small.
fn text_box(text: &str, at: Point, anchor: Anchor, look: Type) -> [f64; 4] {
    let width = text_width(text, look.size);
    let left = match anchor {
        Anchor::Start => at.0,
        Anchor::Middle => at.0 - width / 2.0,
        Anchor::End => at.0 - width,
    } - 1.5;
    let up = look.size * 0.55;
    [left, at.1 - up, left + width + 3.0, at.1 + up]
}

/// One element of SVG a line, in canvas units with two decimals.
fn write_item(body: &mut String, item: &Item) {
    // Writing to a text cannot fail.
    let _ = match item {
        Item::Line { points, closed, fill, stroke } => {
            let name = if *closed { "polygon" } else { "polyline" };
            let points: Vec<String> =
                points.iter().map(|&(x, y)| format!("{},{}", n(x), n(y))).collect();
            writeln!(body, "<{name} points=\"{}\"{}/>", points.join(" "), look(*fill, *stroke))
        }
        Item::Shape { rings, fill, stroke } => {
            let ring = |points: &Vec<Point>| {
                let points = points.iter().map(|&(x, y)| format!("{},{}", n(x), n(y)));
                format!("M{}Z", points.collect::<Vec<_>>().join(" "))
            };
            let data: String = rings.iter().map(ring).collect();
            let look = look(*fill, Some(*stroke));
            writeln!(body, "<path d=\"{data}\" fill-rule=\"evenodd\"{look}/>")
        }
        Item::Disc { at, radius, fill, stroke } => {
            let (x, y, r) = (n(at.0), n(at.1), n(*radius));
            writeln!(body, "<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"{}/>", look(*fill, *stroke))
        }
        Item::Text { text, at, anchor, look } => {
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let weight = if look.bold { " font-weight=\"bold\"" } else { "" };
            // Letters stand on their line; centred on it they reach 0.36 of their size below.
            let (x, y) = (n(at.0), n(at.1 + 0.36 * look.size));
            writeln!(
                body,
                "<text x=\"{x}\" y=\"{y}\" text-anchor=\"{anchor}\" font-family=\"sans-serif\" \
                 font-size=\"{}\"{weight} fill=\"{}\">{}</text>",
                n(look.size),
                hex(look.ink.light()),
                escaped(text)
            )
        }
    };
}

fn look(fill: Option<Ink>, stroke: Option<Stroke>) -> String {
    let fill = fill.map_or("none".to_owned(), |ink| hex(ink.light()));
    let mut text = format!(" fill=\"{fill}\"");
    if let Some(Stroke { ink, width, dash, dotted }) = stroke {
        let _ = write!(
            text,
            " stroke=\"{}\" stroke-width=\"{}\" stroke-linecap=\"round\" stroke-linejoin=\"round\"",
            hex(ink.light()),
            n(width)
        );
        if let Some((dash, gap)) = dash {
            let dot = if dotted { format!(" {} {}", n(0.5), n(gap)) } else { String::new() };
            let _ = write!(text, " stroke-dasharray=\"{} {}{dot}\"", n(dash), n(gap));
        }
    }
    text
}

/// Pixels as canvas units with at most two decimals, never "-0".
fn n(pixels: f64) -> String {
    let text = format!("{:.2}", pixels * super::canvas::UNITS);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
