//! What program this is: its version, and the build that its results come from.

use std::sync::LazyLock;

/// Version of the crate.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

/// A hash of the sources that decide results (rooms that only tell, draw and write are left
/// out) and of the versions of all libraries: 16 hexadecimal digits. Two programs of one build
/// find the same; what another build began is not gone on with.
pub const BUILD: &str = env!("COAXLE_BUILD");

/// Version of the compiler.
pub const COMPILER: &str = env!("COAXLE_RUSTC");

/// The kind of machine that it was compiled for.
pub const TARGET: &str = env!("COAXLE_TARGET");

/// Whether sheets, papers and studies are written as PDF too.
pub const PAPERS: bool = cfg!(feature = "papers");

/// The version and all that tells one build from another, a fact a line: what a report of a
/// fault should quote.
pub static FACTS: LazyLock<String> = LazyLock::new(|| {
    let papers = if PAPERS { "with papers" } else { "without papers (no PDF)" };
    format!(
        "{VERSION}\nbuild: {BUILD}\ncompiler: rustc {COMPILER}\ntarget: {TARGET}\nfeatures: {papers}"
    )
});
