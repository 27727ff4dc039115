//! The build script: stamps the program with a hash of the sources that decide results, so that
//! what one build began is not gone on with by another. Run by cargo before the rest is compiled;
//! no part of the library.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Rooms that only tell, draw and write: they change no result, and an unfinished run outlives a
/// change of theirs.
const TELLING: [&str; 10] = [
    "account", "check", "cli", "draw", "lesson", "paper", "parts", "report", "main.rs", "stamp.rs",
];

fn main() {
    println!("cargo:rerun-if-changed=src");
    println!("cargo:rerun-if-changed=Cargo.lock");
    let mut files = vec![PathBuf::from("Cargo.lock")];
    deciding(Path::new("src"), &mut files);
    files.sort();
    let mut hash = Fnv::new();
    for file in &files {
        hash.add(file.to_string_lossy().replace('\\', "/").as_bytes());
        // Line ends are the checkout's business.
        let text = fs::read_to_string(file).expect("sources are text");
        hash.add(text.replace("\r\n", "\n").as_bytes());
    }
    println!("cargo:rustc-env=COAXLE_BUILD={:016x}", hash.0);
    let compiler = std::env::var("RUSTC").unwrap_or_else(|_| "rustc".into());
    let version = Command::new(compiler).arg("--version").output();
    let version = version.map(|output| String::from_utf8_lossy(&output.stdout).into_owned());
    let words = version.unwrap_or_default();
    let number = words.split_whitespace().nth(1).unwrap_or("unknown").to_owned();
    println!("cargo:rustc-env=COAXLE_RUSTC={number}");
    let target = std::env::var("TARGET").unwrap_or_default();
    println!("cargo:rustc-env=COAXLE_TARGET={target}");
}

/// Every source below `folder` that may decide a result.
fn deciding(folder: &Path, files: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("src is there") {
        let path = entry.expect("src can be read").path();
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let room = name.strip_suffix(".rs").unwrap_or(&name);
        let top = folder == Path::new("src");
        if top && (TELLING.contains(&name.as_str()) || TELLING.contains(&room)) {
            continue;
        }
        if path.is_dir() {
            deciding(&path, files);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            files.push(path);
        }
    }
}

/// FNV-1a in 64 bits: no secret is kept by it, it tells builds apart.
/// Source: G. Fowler, L. C. Noll, K.-P. Vo, "The FNV Non-Cryptographic Hash Algorithm".
struct Fnv(u64);

impl Fnv {
    fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    fn add(&mut self, bytes: &[u8]) {
        for byte in (bytes.len() as u64).to_le_bytes().iter().chain(bytes) {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
}
