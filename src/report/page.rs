//! `report.html`: one file that opens with the answer, needs no network, and reads well in
//! light and dark, on a phone and on paper.
//!
//! The words and the shape stand in `page/`; every value goes in through the template
//! engine, which escapes it.

use minijinja::syntax::SyntaxConfig;
use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, UndefinedBehavior, Value, context};

mod views;

use super::cautions::CAUTIONS;
use super::pictures::Pictures;
use super::points::Points;
use super::record::Record;
use super::told::told;
use crate::draw::page_colours;
use crate::error::Error;
use views::{Detail, Facts, FrontTable, FunnelRow, criteria};

const TEMPLATE: &str = include_str!("page/report.html");
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
    let style = Value::from_safe_string(page_colours() + STYLE);
    let script = Value::from_safe_string(SCRIPT.to_owned());
    let [pareto_wide, pareto_narrow] = drawn(&pictures.pareto);
    let [ladder_wide, ladder_narrow] = drawn(&pictures.ladder);
    let details: Vec<Detail> = record.front().map(|layout| Detail::of(record, layout)).collect();
    let points = Points::of(record)?;
    let held = |text: String| Value::from_safe_string(text);
    let funnel: Vec<FunnelRow> = record.funnel.iter().map(FunnelRow::of).collect();
    let values = context! {
        style, script, accounts => accounts(record)?,
        index => held(points.index), scores => held(points.scores), names => held(points.names),
         pareto_wide, pareto_narrow, ladder_wide, ladder_narrow,
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
        criteria => Serde(criteria(record)),
        cautions => Serde(CAUTIONS),
    };
    template.render(values).map_err(broken)
}

/// Name and packed account of every layout that has one; Base64 needs no escaping.
fn accounts(record: &Record) -> Result<Vec<(String, Value)>, Error> {
    let accounts = record.front().filter_map(|candidate| {
        let account = candidate.account.as_ref()?;
        let text = told(account).map(Value::from_safe_string);
        Some(text.map(|text| (candidate.id.clone(), text)))
    });
    accounts.collect()
}

/// A line that holds only a template's word leaves no trace on the page.
fn lines_of_their_own() -> SyntaxConfig {
    SyntaxConfig::builder().trim_blocks(true).lstrip_blocks(true).build().unwrap_or_default()
}

fn drawn(pictures: &[crate::draw::Picture; 2]) -> [Value; 2] {
    ["wide", "narrow"]
        .into_iter()
        .zip(pictures)
        .map(|(class, picture)| Value::from_safe_string(picture.inline(class)))
        .collect::<Vec<_>>()
        .try_into()
        .unwrap_or_default()
}
