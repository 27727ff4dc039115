//! Coaxle searches the design space of coaxial planetary gearboxes.
//!
//! A [`Layout`] is one to four planetary gear sets on one axis: which members share a
//! shaft, where brakes and clutches sit, how many teeth each gear has. Engage as many
//! elements as it takes and one motion is left: a gear. A [`Brief`] says which gears are
//! wanted. The door [`doors::search`] lists every way to join the sets, discards with
//! proof what cannot serve the brief, gives the rest teeth that mesh and assemble, scores
//! it, and returns a [`Record`] whose front no other layout beats in every objective.
//! [`doors::show`] tells all about one layout, [`doors::census`] counts a family. What a
//! person reads of ratios, speeds and lossless torques is exact: [`Fraction`]s of teeth.
//!
//! ```
//! use coaxle::num::fraction;
//! use coaxle::{Brief, Controls, ElementMask, Quiet, doors, parse_layout, solve_state};
//!
//! // Two sets with a common sun shaft, the rear carrier held: first gear.
//! let layout = parse_layout(
//!     r#"
//!     sets = [{ sun = 30, ring = 66 }, { sun = 30, ring = 66 }]
//!     [shafts]
//!     input = ["R1"]
//!     output = ["C1", "R2"]
//!     suns = ["S1", "S2"]
//!     rear-carrier = ["C2"]
//!     [elements]
//!     A = { brake = "rear-carrier" }
//!     B = { brake = "suns" }
//!     "#,
//! )?;
//! let first = solve_state(&layout, ElementMask::of([0]));
//! assert_eq!(first.ratio, Some(fraction(27, 11)));
//!
//! // Every layout of two sets and three elements that makes two gears, front first.
//! let brief = Brief::parse(
//!     "space = { sets = 2, shafts = 4, elements = 3 }\n\
//!      gears = { forward = 2, reverse = 1, step = [1.5, 1.6] }",
//!     "hand-crank",
//! )?;
//! let stop = Default::default();
//! let controls = Controls { threads: Some(1), stop: &stop, progress: &Quiet };
//! let record = doors::search(&brief, &controls)?;
//! assert!(record.complete);
//! let best = record.front().next().expect("a search that finds nothing is an error");
//! let gears: Vec<String> = best.forward().map(|gear| gear.ratio.to_string()).collect();
//! assert_eq!(gears.len(), 2);
//! # Ok::<(), coaxle::Error>(())
//! ```
//!
//! # Floors
//!
//! Modules stand in the order in which they may use each other: each one only those above
//! it. `tests/house/tidy.rs` holds them to it.

// Ground: what can go wrong, sorted by what the user can do about it.
mod error;

// Facts about the program itself: version and build.
pub mod program;

// Exact fractions and exact linear systems; nothing about gears.
pub mod num;

// A folder of results: locked, listed, exchanged whole; nothing about gears.
pub mod folder;

// The nouns: member, set, shaft, element, core, layout; the layout file; one spelling.
pub mod train;

// The laws of one layout in one state: speeds, ratio, formula, torque, losses.
pub mod motion;

// Conditions of mesh and assembly; the catalogue of sets that meet them all.
pub mod teeth;

// First estimates of what teeth, pins and bearings bear; no rating.
pub mod strength;

// Can it be built: the nesting test.
pub mod build;

// One table of criteria, and a layout's gears solved for them.
pub mod score;

// Dominance; knows only numbers.
pub mod front;

// The nouns of an exam: item, part, answer, step; in no language.
pub mod problem;

// The request: as written, then as understood and checked.
pub mod brief;

// A second judgement of a search's results, by code that cannot use a line of the engine.
pub mod check;

// The engine: cores, exact ratio functions, sift, sieve, twins, teeth, run.
pub mod search;

// Reductions: one ratio from sets with members held, in the room there is.
pub mod reduction;

// Series of searches that answer what one, two, three and four sets can do; no words.
pub mod study;

// Exam items made by search, pools of them, parallel papers, marking; in no language.
pub mod exam;

// Parts of a set as outlines, holes and solids in millimetres; no files.
pub mod parts;

// Pictures: one palette, plots as SVG, SVG as PNG.
pub mod draw;

// All that can be told of one layout: data and pictures.
pub mod account;

// Exam papers: items in words, typeset.
pub mod paper;

// Lessons in words and pictures: the page of a study; as documents, no files.
pub mod lesson;

// The record of a run and its writers: files by name, written by way of the folder.
pub mod report;

// Doors: one function each, request in, answer out.
pub mod doors;

// The command line: words in, words out; the only room that prints.
pub mod cli;

pub use account::shown::Shown;
pub use brief::Brief;
pub use error::{Error, Mistake};
pub use folder::Folder;
pub use motion::{Motion, Status, formula, solve_state, solve_torques};
pub use num::Fraction;
pub use report::{Record, write_results};
pub use score::Criterion;
pub use search::{Census, Controls, CoreFamily, Progress, Quiet};
pub use train::{ElementMask, GearSet, Layout, parse_layout, read_layout, write_layout};

/// Compiles and runs the Rust in README.md as tests.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
