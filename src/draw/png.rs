//! A picture as PNG, with the font that the program carries: a machine without fonts
//! draws the same text.

use std::sync::{Arc, OnceLock};

use resvg::tiny_skia::{Pixmap, Transform};
use resvg::usvg::{Options, Tree, fontdb};

use super::Picture;
use super::canvas::broken;
use crate::error::Error;

/// The bytes of a PNG file, `scale` image points a pixel of the picture.
///
/// # Errors
/// [`Error::Work`] when the picture is too large for memory.
pub fn png(picture: &Picture, scale: f32) -> Result<Vec<u8>, Error> {
    let options = Options { fontdb: fonts(), ..Options::default() };
    let tree = Tree::from_str(&picture.svg(), &options).map_err(broken)?;
    let [width, height] =
        [picture.size.width, picture.size.height].map(|n| (n as f32 * scale).round() as u32);
    let mut image = Pixmap::new(width, height)
        .ok_or_else(|| broken(format!("no room for {width} × {height}")))?;
    // A picture for paper has its own size in millimetres.
    let fit = scale * picture.size.width as f32 / tree.size().width();
    resvg::render(&tree, Transform::from_scale(fit, fit), &mut image.as_mut());
    image.encode_png().map_err(broken)
}

pub(super) fn fonts() -> Arc<fontdb::Database> {
    static FONTS: OnceLock<Arc<fontdb::Database>> = OnceLock::new();
    let made = || {
        let mut fonts = fontdb::Database::new();
        for font in [dejavu::sans::regular(), dejavu::sans::bold()] {
            fonts.load_font_source(fontdb::Source::Binary(Arc::new(font)));
        }
        fonts.set_sans_serif_family("DejaVu Sans");
        Arc::new(fonts)
    };
    FONTS.get_or_init(made).clone()
}
