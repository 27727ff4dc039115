//! One item as an assessment item.

use super::responses::{Response, responses};
use super::{SCHEMA, TEST, markup};
use crate::exam::part_letter;
use crate::paper::words::{Unsaid, Words};
use crate::paper::writers::escaped;
use crate::problem::{Answer, Item};

/// The text of an item's file; `figures` are paths in the package and titles.
pub(super) fn item(
    item: &Item,
    figures: &[(String, String)],
    language: &str,
    words: &Words,
) -> Result<String, Unsaid> {
    let kind = words.word(&format!("kind-{}", item.kind.word()))?.plain();
    let mut body = String::new();
    for said in &item.stem {
        body += &format!("    <p>{}</p>\n", markup(&words.say(said)?));
    }
    for (name, title) in figures {
        // Items lie in a folder of their own.
        body += &format!("    <p><img src=\"../{name}\" alt=\"{}\"/></p>\n", escaped(title));
    }
    let mut all: Vec<Response> = Vec::new();
    for (index, part) in item.parts.iter().enumerate() {
        let letter = part_letter(index);
        let lead = if item.parts.len() > 1 { format!("({letter}) ") } else { String::new() };
        body += &format!("    <p>{lead}{}</p>\n    <div>", markup(&words.say(&part.ask)?));
        let responses = responses(&format!("RESPONSE-{letter}"), part, words)?;
        body.extend(responses.iter().map(|response| response.seen.as_str()));
        body += "</div>\n";
        all.extend(responses);
    }
    let join = |of: &dyn Fn(&Response) -> &str| -> String { all.iter().map(of).collect() };
    let human = item.parts.iter().any(|part| !part.answer.is_marked_by_machine());
    let external = if human { " external-scored=\"human\"" } else { "" };
    let scored = join(&|response| &response.scored);
    let drawing = item.parts.iter().any(|part| matches!(part.answer, Answer::Drawing { .. }));
    let note = if drawing {
        format!("    <p>{}</p>\n", markup(&words.word("draw-on-paper")?))
    } else {
        String::new()
    };
    Ok(format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<qti-assessment-item xmlns=\"{TEST}\" \
         xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\" xsi:schemaLocation=\"{TEST} \
         {SCHEMA}\" identifier=\"{}\" title=\"{}\" adaptive=\"false\" time-dependent=\"false\" \
         xml:lang=\"{language}\">\n{}  <qti-outcome-declaration identifier=\"SCORE\" \
         cardinality=\"single\" base-type=\"float\" normal-maximum=\"{}\"{external}>\
         <qti-default-value><qti-value>0</qti-value></qti-default-value>\
         </qti-outcome-declaration>\n  <qti-item-body>\n{body}{note}  </qti-item-body>\n  \
         <qti-response-processing>\n{scored}  </qti-response-processing>\n</qti-assessment-item>\n",
        item.id,
        escaped(&kind),
        join(&|response| &response.declared),
        item.points(),
    ))
}
