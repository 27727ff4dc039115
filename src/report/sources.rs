//! Documents as sources of print: Typst with figures beside it, PDF, and data as JSON.

use serde::Serialize;

use crate::error::Error;
use crate::folder::Files;
use crate::paper::{Document, Drawn, figure_name, typst};

/// A document as Typst source with its figures: files of their own, and what a PDF is made of.
pub(super) struct Source {
    pub stem: String,
    typst: String,
    /// Names that the source gives them, and SVG.
    figures: Vec<(String, String)>,
}

impl Source {
    pub fn of(stem: String, document: &Document) -> Self {
        let figure = |(index, drawn): (usize, &Drawn)| {
            (format!("figures/{}", figure_name(&stem, index)), drawn.picture.svg())
        };
        let figures = document.figures.iter().enumerate().map(figure).collect();
        Self { typst: typst(document, &stem), figures, stem }
    }

    /// The source and its figures as files.
    pub fn files(&self) -> Files {
        let source = (format!("{}.typ", self.stem).into(), self.typst.clone().into_bytes());
        let figures = self.figures.iter();
        let figures = figures.map(|(name, svg)| (name.into(), svg.clone().into_bytes()));
        std::iter::once(source).chain(figures).collect()
    }
}

/// PDFs of sources, where the program is built with them.
///
/// # Errors
/// [`Error::Work`] with what the typesetter says.
#[cfg(feature = "papers")]
pub(super) fn set(sources: &[Source]) -> Result<Files, Error> {
    let setter = crate::paper::Typesetter::default();
    let pdf = |source: &Source| {
        let bytes = setter.pdf(&source.typst, &source.figures)?;
        Ok((format!("{}.pdf", source.stem).into(), bytes))
    };
    sources.iter().map(pdf).collect()
}

#[cfg(not(feature = "papers"))]
pub(super) fn set(_: &[Source]) -> Result<Files, Error> {
    Ok(Files::new())
}

/// Indented, with a line end.
pub(super) fn json(value: &impl Serialize) -> Result<Vec<u8>, Error> {
    let text = serde_json::to_string_pretty(value);
    let text = text.map_err(|error| Error::Work(format!("no JSON: {error}")))?;
    Ok((text + "\n").into_bytes())
}
