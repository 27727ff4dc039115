//! `report.html`: one file that opens with the answer, needs no network, and reads well in
//! light and dark, on a phone and on paper.
//!
//! The words and the shape stand in `page/`; every value goes in through the template
//! engine, which escapes it.

use std::collections::BTreeMap;

use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, UndefinedBehavior, Value, context};

mod bears;
mod building;
mod grid;
mod kind;
mod reductions;
mod views;

pub use reductions::teeth_cell;

use super::cautions::CAUTIONS;
use super::packed::packed;
use super::pictures::Pictures;
use super::points::Points;
use super::record::Record;
use super::told::told;
use crate::draw::page_colours;
use crate::error::Error;
use crate::paper::page_policy;
use kind::KindWords;
use views::{Detail, Facts, FrontTable, FunnelRow, criteria};

/// The first has macros only.
const TEMPLATE: &str =
    concat!(include_str!("page/building.html"), include_str!("page/report.html"));
const STYLE: &str = concat!(include_str!("page/style.css"), include_str!("page/live.css"));
/// One after the other they are one script; each may use what stands before it.
const SCRIPT: &str = concat!(
    include_str!("page/base.js"),
    include_str!("page/table.js"),
    include_str!("page/points.js"),
    include_str!("page/scatter.js"),
    include_str!("page/brush.js"),
    include_str!("page/ladder.js"),
    include_str!("page/turning.js"),
    include_str!("page/gear.js"),
    include_str!("page/layout.js"),
    include_str!("page/panel.js"),
    include_str!("page/compare.js"),
    include_str!("page/paper.js"),
);

/// The text of the page.
///
/// # Errors
/// [`Error::Work`] when the page cannot be made, which no known record brings about.
pub fn page(record: &Record, pictures: &Pictures) -> Result<String, Error> {
    let mut engine = Environment::new();
    engine.set_auto_escape_callback(|_| AutoEscape::Html);
    engine.set_undefined_behavior(UndefinedBehavior::Strict);
    engine.set_syntax(lines_of_their_own());
    let broken =
        |error: minijinja::Error| Error::Work(format!("the page could not be made: {error:#}"));
    let template = engine.template_from_str(TEMPLATE).map_err(broken)?;
    // Only our own texts may skip the escaping: style, script and pictures.
    let (style, script) = (format!("\n{}{STYLE}", page_colours()), format!("\n{SCRIPT}"));
    let policy = Value::from_safe_string(page_policy(&style, Some(&script)));
    let style = Value::from_safe_string(style);
    let script = Value::from_safe_string(script);
    let pareto = Value::from_safe_string(pictures.pareto.inline("whole"));
    let details: Vec<Detail> = (0..)
        .zip(record.shown())
        .map(|(place, layout)| Detail::of(record, layout, place))
        .collect();
    let points = Points::of(record)?;
    let held = |text: String| Value::from_safe_string(text);
    let funnel: Vec<FunnelRow> = record.funnel.iter().map(FunnelRow::of).collect();
    let values = context! {
        policy, style, script,
        index => held(points.index), scores => held(points.scores), names => held(points.names),
        pareto, plots => held(plots(pictures)?),
        words => Serde(KindWords::of(record.kind)),
        title => record.title.clone(),
        request => record.request.clone(),
        version => record.version.clone(),
        complete => record.complete,
        stopped => record.stopped.clone(),
        coverage => record.coverage.clone(),
        brief => record.brief.clone(),
        facts => Serde(Facts::of(record)),
        front => Serde(FrontTable::of(record)),
        details => Serde(details),
        funnel => Serde(funnel),
        with_factors => building::WITH_FACTORS,
        criteria => Serde(criteria(record)),
        cautions => Serde(CAUTIONS),
    };
    let matrix = packed(pictures.matrix.inline("whole").as_bytes())?;
    with_accounts(&template.render(values).map_err(broken)?, record, &matrix)
}

/// The pictures besides the first, packed: the room is the layouts'. The script puts them
/// where their names stand.
fn plots(pictures: &Pictures) -> Result<String, Error> {
    let Pictures { ladder, parallel, steps, funnel, .. } = pictures;
    let named = [("ladder", ladder), ("parallel", parallel), ("steps", steps), ("funnel", funnel)];
    let drawn: BTreeMap<&str, String> =
        named.into_iter().map(|(name, picture)| (name, picture.inline("whole"))).collect();
    let text = serde_json::to_string(&drawn)
        .map_err(|error| Error::Work(format!("the page could not be made: {error}")))?;
    packed(text.as_bytes())
}

/// The most bytes of a page: under 3 MB.
const MOST: usize = 2_990_000;
/// Where accounts stand in the template.
const PLACE: &str = "<!-- accounts -->";

/// The page with the accounts of the front's layouts, in order, as far as there is room;
/// the page tells where it has none. Base64 and ids need no escaping.
fn with_accounts(page: &str, record: &Record, matrix: &str) -> Result<String, Error> {
    let mut accounts = String::new();
    for candidate in record.shown() {
        let Some(account) = &candidate.account else { continue };
        let (id, text) = (&candidate.id, told(account)?);
        let element = format!("<script type=\"text/plain\" id=\"account-{id}\">{text}</script>\n");
        if page.len() + accounts.len() + element.len() > MOST {
            break;
        }
        accounts.push_str(&element);
    }
    // The largest plot comes last: it stands in the results folder too.
    let element = format!("<script type=\"text/plain\" id=\"plot-matrix\">{matrix}</script>\n");
    if page.len() + accounts.len() + element.len() <= MOST {
        accounts.push_str(&element);
    }
    Ok(page.replacen(PLACE, accounts.trim_end(), 1))
}

/// A line that holds only a template's word leaves no trace on the page.
fn lines_of_their_own() -> SyntaxConfig {
    SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).build().unwrap_or_default()
}
