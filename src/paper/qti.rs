//! A package for learning platforms in QTI 3.0, the open standard of 1EdTech: every item as
//! an assessment item with its points, every paper as a test, one manifest.
//!
//! Numbers, fractions, choices, cells of tables, lists of names and teeth are scored by the
//! platform; drawings and derivations are given to a person.

mod item;
mod responses;

use super::figures::draw;
use super::words::{Text, Words};
use super::writers::{self, escaped};
use crate::error::Error;
use crate::exam::Exam;

/// A file of the package: its path and its text.
pub type PackageFile = (String, String);

const TEST: &str = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0";
const SCHEMA: &str = "https://purl.imsglobal.org/spec/qti/v3p0/schema/xsd/imsqti_asiv3p0_v1p0.xsd";

/// All files of the package, the manifest first.
///
/// # Errors
/// [`Error::Work`] for a phrase that the catalogue lacks and a figure that cannot be drawn.
pub fn package(exam: &Exam, words: &Words) -> Result<Vec<PackageFile>, Error> {
    let mut files = Vec::new();
    let mut resources = String::new();
    for paper in &exam.papers {
        let test = format!("test-{}", paper.name);
        resources += &resource(&test, "imsqti_test_xmlv3p0", &format!("{test}.xml"), &[]);
        let mut refs = String::new();
        for item in &paper.items {
            let mut figures = Vec::new();
            for (number, figure) in item.figures.iter().enumerate() {
                if let Some(drawn) = draw(figure)? {
                    let name = format!("figures/{}-{}.svg", item.id, number + 1);
                    files.push((name.clone(), drawn.picture.svg()));
                    figures.push((name, drawn.picture.title));
                }
            }
            let file = format!("items/{}.xml", item.id);
            files.push((file.clone(), item::item(item, &figures, &exam.language, words)?));
            let figures: Vec<&str> = figures.iter().map(|(name, _)| name.as_str()).collect();
            resources += &resource(&item.id, "imsqti_item_xmlv3p0", &file, &figures);
            refs += &format!(
                "        <qti-assessment-item-ref identifier=\"{}\" href=\"{file}\"/>\n",
                item.id
            );
        }
        let title = escaped(&format!("{} {}", exam.title, paper.name));
        files.push((format!("{test}.xml"), assessment(&test, &title, &refs)));
    }
    let manifest = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<manifest \
         xmlns=\"http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1\" identifier=\"exam\">\n  \
         <metadata>\n    <schema>QTI Package</schema>\n    <schemaversion>3.0.0</schemaversion>\n  \
         </metadata>\n  <organizations/>\n  <resources>\n{resources}  </resources>\n</manifest>\n"
    );
    files.insert(0, ("imsmanifest.xml".to_owned(), manifest));
    Ok(files)
}

/// A text with its formulas in the namespace that XML wants.
fn markup(text: &Text) -> String {
    let maths = "<math xmlns=\"http://www.w3.org/1998/Math/MathML\">";
    writers::markup(text).replace("<math>", maths)
}

fn resource(identifier: &str, kind: &str, file: &str, more: &[&str]) -> String {
    let files = std::iter::once(&file).chain(more);
    let files: String = files.map(|file| format!("      <file href=\"{file}\"/>\n")).collect();
    format!(
        "    <resource identifier=\"{identifier}\" type=\"{kind}\" href=\"{file}\">\n{files}    \
         </resource>\n"
    )
}

fn assessment(identifier: &str, title: &str, refs: &str) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<qti-assessment-test xmlns=\"{TEST}\" \
         xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\" \
         xsi:schemaLocation=\"{TEST} {SCHEMA}\" identifier=\"{identifier}\" title=\"{title}\">\n  \
         <qti-outcome-declaration identifier=\"SCORE\" cardinality=\"single\" base-type=\"float\"/>\n  \
         <qti-test-part identifier=\"part\" navigation-mode=\"nonlinear\" \
         submission-mode=\"simultaneous\">\n    <qti-assessment-section identifier=\"section\" \
         title=\"{title}\" visible=\"true\">\n{refs}    </qti-assessment-section>\n  \
         </qti-test-part>\n  <qti-outcome-processing>\n    <qti-set-outcome-value \
         identifier=\"SCORE\">\n      <qti-sum>\n        <qti-test-variables \
         variable-identifier=\"SCORE\"/>\n      </qti-sum>\n    </qti-set-outcome-value>\n  \
         </qti-outcome-processing>\n</qti-assessment-test>\n"
    )
}
