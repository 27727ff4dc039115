//! Several files in one, as a ZIP archive: what a 3MF file and a package of items are.

use flate2::{Compression, write::DeflateEncoder};
use std::io::Write;

/// The date 1980-01-01, which is the first that the format knows: the same bytes every day.
const DATE: u16 = 0x0021;

/// The bytes of an archive of `files` (name and text), packed by deflate.
pub(crate) fn zip(files: &[(&str, &str)]) -> Vec<u8> {
    let (mut bytes, mut directory) = (Vec::new(), Vec::new());
    for (name, text) in files {
        let packed = deflated(text.as_bytes());
        let mut facts = Vec::new();
        // Version 2.0, no flags, deflate, time, date.
        for number in [20, 0, 8, 0, DATE] {
            facts.extend(u16::to_le_bytes(number));
        }
        for number in [crc32fast::hash(text.as_bytes()), packed.len() as u32, text.len() as u32] {
            facts.extend(number.to_le_bytes());
        }
        // Lengths of name and extra field.
        facts.extend((name.len() as u16).to_le_bytes());
        facts.extend([0, 0]);

        directory.extend(b"PK\x01\x02\x14\x00");
        directory.extend(&facts);
        // No comment, disk 0, no attributes; then where the file begins.
        directory.extend([0; 10]);
        directory.extend((bytes.len() as u32).to_le_bytes());
        directory.extend(name.as_bytes());

        bytes.extend(b"PK\x03\x04");
        bytes.extend(&facts);
        bytes.extend(name.as_bytes());
        bytes.extend(packed);
    }
    let (start, count) = (bytes.len() as u32, files.len() as u16);
    let length = directory.len() as u32;
    bytes.extend(directory);
    bytes.extend(b"PK\x05\x06\0\0\0\0");
    bytes.extend([count.to_le_bytes(), count.to_le_bytes()].concat());
    bytes.extend([length.to_le_bytes(), start.to_le_bytes()].concat());
    bytes.extend([0, 0]);
    bytes
}

fn deflated(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::default());
    let written = encoder.write_all(bytes);
    written.and_then(|()| encoder.finish()).expect("memory takes what is written to it")
}
