//! Typst source to PDF, with the optional feature `papers`: the typesetter as a library, in a
//! world of one source, its figures and its own fonts. No file, clock or network is seen.

use std::collections::HashMap;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt as _, World};
use typst_kit::fonts::FontStore;
use typst_layout::PagedDocument;
use typst_pdf::PdfOptions;

use crate::error::Error;

/// The typesetter with its fonts, for many documents.
pub struct Typesetter {
    library: LazyHash<Library>,
    fonts: FontStore,
}

impl Default for Typesetter {
    fn default() -> Self {
        let mut fonts = FontStore::new();
        fonts.extend(typst_kit::fonts::embedded());
        Self { library: LazyHash::new(Library::default()), fonts }
    }
}

/// One document to be set.
struct Desk<'a> {
    setter: &'a Typesetter,
    source: Source,
    figures: HashMap<FileId, Bytes>,
}

impl Typesetter {
    /// The bytes of a PDF of `source`; `figures` are SVG texts by the names that the source
    /// gives them. Equal sources make equal bytes: no date is in it.
    ///
    /// # Errors
    /// [`Error::Work`] with what the typesetter says of the source.
    pub fn pdf(&self, source: &str, figures: &[(String, String)]) -> Result<Vec<u8>, Error> {
        let figures =
            figures.iter().map(|(name, svg)| Ok((place(name)?, Bytes::from_string(svg.clone()))));
        let desk = Desk {
            setter: self,
            source: Source::new(place("main.typ")?, source.to_owned()),
            figures: figures.collect::<Result<_, Error>>()?,
        };
        let set = typst::compile::<PagedDocument>(&desk);
        let document = set.output.map_err(|faults| broken(&faults))?;
        typst_pdf::pdf(&document, &PdfOptions::default()).map_err(|faults| broken(&faults))
    }
}

fn place(name: &str) -> Result<FileId, Error> {
    let path = VirtualPath::new(name).map_err(|_| Error::Work(format!("no place \"{name}\"")))?;
    Ok(RootedPath::new(VirtualRoot::Project, path).intern())
}

fn broken(faults: &[typst::diag::SourceDiagnostic]) -> Error {
    let faults: Vec<&str> = faults.iter().map(|fault| fault.message.as_str()).collect();
    Error::Work(format!("no PDF: {}", faults.join("; ")))
}

impl World for Desk<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &self.setter.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        self.setter.fonts.book()
    }

    fn main(&self) -> FileId {
        self.source.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.source.id() { Ok(self.source.clone()) } else { Err(FileError::NotSource) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        self.figures.get(&id).cloned().ok_or(FileError::NotSource)
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.setter.fonts.font(index)
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
