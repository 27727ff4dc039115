//! Responses of an item: what is declared, what is seen, how it is scored.

use super::markup;
use crate::num::{Fraction, to_f64};
use crate::paper::words::{Unsaid, Words};
use crate::paper::writers::escaped;
use crate::problem::{Answer, Cell, Choice, Part, Row, Said, SignRule};

/// One response in its three places.
pub(super) struct Response {
    pub declared: String,
    pub seen: String,
    /// What adds its points; empty where a person scores.
    pub scored: String,
}

/// A condition that gives points.
fn points(condition: &str, points: f64) -> String {
    format!(
        "    <qti-response-condition>\n      <qti-response-if>\n        {condition}\n        \
         <qti-set-outcome-value identifier=\"SCORE\">\n          <qti-sum><qti-variable \
         identifier=\"SCORE\"/><qti-base-value base-type=\"float\">{points}</qti-base-value>\
         </qti-sum>\n        </qti-set-outcome-value>\n      </qti-response-if>\n    \
         </qti-response-condition>\n"
    )
}

fn declared(id: &str, cardinality: &str, base: &str, right: &[String]) -> String {
    let values: String =
        right.iter().map(|value| format!("<qti-value>{}</qti-value>", escaped(value))).collect();
    let right = match right {
        [] => String::new(),
        _ => format!("<qti-correct-response>{values}</qti-correct-response>"),
    };
    format!(
        "  <qti-response-declaration identifier=\"{id}\" cardinality=\"{cardinality}\" \
         base-type=\"{base}\">{right}</qti-response-declaration>\n"
    )
}

/// All responses of a part; `id` begins their names.
pub(super) fn responses(id: &str, part: &Part, words: &Words) -> Result<Vec<Response>, Unsaid> {
    let worth = f64::from(part.points());
    Ok(match &part.answer {
        Answer::Number { exact, tolerance, sign, .. } => {
            vec![number(id, exact, tolerance, *sign, worth)]
        }
        Answer::Fraction { exact, .. } => vec![text(id, &[exact.to_string()], worth)],
        Answer::Choice { options, right } => vec![choice(id, options, *right, worth, words)?],
        Answer::Table { columns, rows } => table(id, columns, rows, worth, words)?,
        Answer::Names { from, accepted, .. } => vec![names(id, from, accepted, worth)],
        Answer::Teeth { accepted } => {
            let right: Vec<String> = accepted
                .iter()
                .map(|[sun, planet, ring, _]| format!("{sun}/{planet}/{ring}"))
                .collect();
            vec![text(id, &right, worth)]
        }
        Answer::Drawing { .. } | Answer::Written { .. } => vec![by_hand(id)],
    })
}

/// A decimal number; one whose sign does not count is right with either.
fn number(
    id: &str,
    exact: &Fraction,
    tolerance: &Fraction,
    sign: SignRule,
    worth: f64,
) -> Response {
    let tolerance = to_f64(tolerance);
    let equal = |value: f64| {
        format!(
            "<qti-equal tolerance-mode=\"absolute\" tolerance=\"{tolerance} {tolerance}\">\
             <qti-variable identifier=\"{id}\"/><qti-base-value base-type=\"float\">{value}\
             </qti-base-value></qti-equal>"
        )
    };
    let value = to_f64(exact);
    let condition = match sign {
        SignRule::Counts => equal(value),
        SignRule::Ignored => format!("<qti-or>{}{}</qti-or>", equal(value), equal(-value)),
    };
    Response {
        declared: declared(id, "single", "float", &[value.to_string()]),
        seen: format!("<p><qti-text-entry-interaction response-identifier=\"{id}\"/></p>\n"),
        scored: points(&condition, worth),
    }
}

/// A text that is one of several.
fn text(id: &str, right: &[String], worth: f64) -> Response {
    let same = |value: &String| {
        format!(
            "<qti-string-match case-sensitive=\"false\"><qti-variable identifier=\"{id}\"/>\
             <qti-base-value base-type=\"string\">{}</qti-base-value></qti-string-match>",
            escaped(value)
        )
    };
    let all: String = right.iter().map(same).collect();
    Response {
        declared: declared(id, "single", "string", right.get(..1).unwrap_or_default()),
        seen: format!("<p><qti-text-entry-interaction response-identifier=\"{id}\"/></p>\n"),
        scored: points(&format!("<qti-or>{all}</qti-or>"), worth),
    }
}

fn matches(id: &str) -> String {
    format!(
        "<qti-match><qti-variable identifier=\"{id}\"/><qti-correct identifier=\"{id}\"/></qti-match>"
    )
}

fn choice(
    id: &str,
    options: &[Choice],
    right: usize,
    worth: f64,
    words: &Words,
) -> Result<Response, Unsaid> {
    let name = |index: usize| format!("{id}-{}", index + 1);
    let option = |(index, option): (usize, &Choice)| {
        let text = markup(&words.say(&option.said)?);
        Ok(format!(
            "  <qti-simple-choice identifier=\"{}\">{text}</qti-simple-choice>\n",
            name(index)
        ))
    };
    let options: String = options.iter().enumerate().map(option).collect::<Result<_, Unsaid>>()?;
    Ok(Response {
        declared: declared(id, "single", "identifier", &[name(right)]),
        seen: format!(
            "<qti-choice-interaction response-identifier=\"{id}\" shuffle=\"false\" \
             max-choices=\"1\">\n{options}</qti-choice-interaction>\n"
        ),
        scored: points(&matches(id), worth),
    })
}

/// Names to mark; every accepted list scores.
fn names(id: &str, from: &[String], accepted: &[Vec<String>], worth: f64) -> Response {
    let place = |name: &String| from.iter().position(|one| one == name).unwrap_or(0);
    let mark = |name: &String| format!("{id}-{}", place(name) + 1);
    let option = |name: &String| {
        format!(
            "  <qti-simple-choice identifier=\"{}\">{}</qti-simple-choice>\n",
            mark(name),
            escaped(name)
        )
    };
    let list = |names: &Vec<String>| {
        let values: String = names
            .iter()
            .map(|name| {
                format!("<qti-base-value base-type=\"identifier\">{}</qti-base-value>", mark(name))
            })
            .collect();
        match names[..] {
            [] => format!("<qti-is-null><qti-variable identifier=\"{id}\"/></qti-is-null>"),
            _ => format!(
                "<qti-match><qti-variable identifier=\"{id}\"/><qti-multiple>{values}</qti-multiple>\
                 </qti-match>"
            ),
        }
    };
    let options: String = from.iter().map(option).collect();
    let lists: String = accepted.iter().map(list).collect();
    let right: Vec<String> = accepted.first().into_iter().flatten().map(mark).collect();
    Response {
        declared: declared(id, "multiple", "identifier", &right),
        seen: format!(
            "<qti-choice-interaction response-identifier=\"{id}\" shuffle=\"false\" \
             max-choices=\"0\">\n{options}</qti-choice-interaction>\n"
        ),
        scored: points(&format!("<qti-or>{lists}</qti-or>"), worth),
    }
}

/// One response for each cell to fill; what stands before a cell is seen with it, so that all
/// responses together make the table.
fn table(
    id: &str,
    columns: &[Said],
    rows: &[Row],
    worth: f64,
    words: &Words,
) -> Result<Vec<Response>, Unsaid> {
    let blank = |cell: &&Cell| !matches!(cell, Cell::Given(_));
    let count = rows.iter().flat_map(|row| &row.cells).filter(blank).count().max(1);
    let worth = worth / count as f64;
    let heads = columns.iter().map(|said| Ok(format!("<th>{}</th>", markup(&words.say(said)?))));
    let heads: String = heads.collect::<Result<_, Unsaid>>()?;
    let (mut all, mut before) = (Vec::new(), format!("<table><tbody><tr>{heads}</tr>"));
    for row in rows {
        before += &format!("<tr><td>{}</td>", markup(&words.say(&row.head)?));
        for cell in &row.cells {
            if let Cell::Given(said) = cell {
                before += &format!("<td>{}</td>", markup(&words.say(said)?));
                continue;
            }
            let mut response =
                cell_response(&format!("{id}-{}", all.len() + 1), cell, worth, words)?;
            response.seen = format!("{before}<td>{}</td>", response.seen);
            before.clear();
            all.push(response);
        }
        before += "</tr>";
    }
    if let Some(last) = all.last_mut() {
        last.seen += &format!("{before}</tbody></table>\n");
    }
    Ok(all)
}

fn cell_response(id: &str, cell: &Cell, worth: f64, words: &Words) -> Result<Response, Unsaid> {
    let entry = format!("<qti-text-entry-interaction response-identifier=\"{id}\"/>");
    Ok(match cell {
        Cell::Number { exact, places: Some(places) } => {
            let tolerance = Fraction::new(1.into(), num_bigint::BigInt::from(10).pow(*places));
            Response { seen: entry, ..number(id, exact, &tolerance, SignRule::Counts, worth) }
        }
        Cell::Number { exact, places: None } => {
            Response { seen: entry, ..text(id, &[exact.to_string()], worth) }
        }
        Cell::Word { of, right } => inline(id, of, *right, worth, words)?,
        Cell::Tick(right) => {
            let words_of = [Said::new("tick-no"), Said::new("tick-yes")];
            inline(id, &words_of, usize::from(*right), worth, words)?
        }
        Cell::Given(_) => by_hand(id),
    })
}

fn inline(
    id: &str,
    of: &[Said],
    right: usize,
    worth: f64,
    words: &Words,
) -> Result<Response, Unsaid> {
    let name = |index: usize| format!("{id}-{}", index + 1);
    let option = |(index, said): (usize, &Said)| {
        let text = escaped(&words.say(said)?.plain());
        Ok(format!("<qti-inline-choice identifier=\"{}\">{text}</qti-inline-choice>", name(index)))
    };
    let options: String = of.iter().enumerate().map(option).collect::<Result<_, Unsaid>>()?;
    Ok(Response {
        declared: declared(id, "single", "identifier", &[name(right)]),
        seen: format!(
            "<qti-inline-choice-interaction response-identifier=\"{id}\" shuffle=\"false\">{options}\
             </qti-inline-choice-interaction>"
        ),
        scored: points(&matches(id), worth),
    })
}

fn by_hand(id: &str) -> Response {
    Response {
        declared: declared(id, "single", "string", &[]),
        seen: format!("<qti-extended-text-interaction response-identifier=\"{id}\"/>\n"),
        scored: String::new(),
    }
}
