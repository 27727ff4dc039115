//! Bytes packed into a text that a page can hold and a browser unpacks by itself.

use std::io::Write as _;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use flate2::Compression;
use flate2::write::DeflateEncoder;

use crate::error::Error;

/// The bytes as a raw deflate stream (RFC 1951) in Base64 (RFC 4648, with padding).
/// The same bytes give the same text.
///
/// # Errors
/// [`Error::Work`] when memory cannot be written to, which is not known to happen.
pub(super) fn packed(bytes: &[u8]) -> Result<String, Error> {
    let broken =
        |error: std::io::Error| Error::Work(format!("the page could not be packed: {error}"));
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(bytes).map_err(broken)?;
    Ok(STANDARD.encode(encoder.finish().map_err(broken)?))
}
