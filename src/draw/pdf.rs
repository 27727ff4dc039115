//! Pictures as a PDF, a page each, with the optional feature `papers`. Text stays text.

use krilla::Document;
use krilla::geom::Size;
use krilla::page::PageSettings;
use krilla_svg::{SurfaceExt as _, SvgSettings};
use resvg::usvg::{Options, Tree};

use super::Picture;
use super::canvas::broken;
use super::png::fonts;
use crate::error::Error;

/// Points of a PDF in a CSS pixel, of which an inch has 96.
const POINTS: f32 = 72.0 / 96.0;

/// The bytes of a PDF file with a page for each picture, as large as the picture says it is.
/// No date and no name of a machine is in it: equal pictures make equal bytes.
///
/// # Errors
/// [`Error::Work`] when a page cannot be made.
pub fn pdf(pictures: &[&Picture]) -> Result<Vec<u8>, Error> {
    let options = Options { fontdb: fonts(), ..Options::default() };
    let mut document = Document::new();
    for picture in pictures {
        let tree = Tree::from_str(&picture.svg(), &options).map_err(broken)?;
        let (width, height) = (tree.size().width() * POINTS, tree.size().height() * POINTS);
        let no_page = || broken(format!("no page of {width} × {height} points"));
        let settings = PageSettings::from_wh(width, height).ok_or_else(no_page)?;
        let size = Size::from_wh(width, height).ok_or_else(no_page)?;
        let mut page = document.start_page_with(settings);
        let mut surface = page.surface();
        surface.draw_svg(&tree, size, SvgSettings::default()).ok_or_else(no_page)?;
        surface.finish();
        page.finish();
    }
    document.finish().map_err(|error| broken(format!("no PDF: {error:?}")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::Size as PictureSize;

    #[test]
    fn a_page_for_each_picture_and_the_same_bytes_again() {
        let scatter = crate::draw::Scatter {
            title: "Two pages".to_owned(),
            x: crate::draw::Axis { title: "x".to_owned(), better: crate::score::Better::Lower },
            y: crate::draw::Axis { title: "y".to_owned(), better: crate::score::Better::Lower },
            third: None,
            dots: Vec::new(),
            empty: "nothing".to_owned(),
        };
        let picture = scatter.draw(PictureSize { width: 400, height: 300 }).unwrap();
        let bytes = pdf(&[&picture, &picture]).unwrap();
        assert!(bytes.starts_with(b"%PDF-"));
        assert_eq!(bytes, pdf(&[&picture, &picture]).unwrap());
        let text = String::from_utf8_lossy(&bytes);
        assert_eq!(text.matches("/MediaBox").count(), 2);
        assert!(!text.contains("CreationDate"));
    }
}
