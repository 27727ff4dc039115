//! Folders at the terminal: what is told of them, and the switch by which tests end the program
//! between two changes of the disk.

use super::look::wrapped;
use super::voice::Voice;
use crate::folder::{Disk, Folder};

/// For tests of what a kill leaves behind: the program ends at once before this change of a
/// folder, counted from 1, as if it were killed; and it does not wait for bytes to reach the disk,
/// which a kill does not ask for.
const DIE: &str = "COAXLE_DIE_AT_STEP";

/// How folders are changed.
pub fn disk() -> Disk {
    let step = std::env::var(DIE).ok().and_then(|number| number.parse::<u64>().ok());
    step.map_or_else(Disk::default, |last| {
        let hook = move |step| if step == last { std::process::abort() } else { Ok(()) };
        Disk::watched(hook).unsynced()
    })
}

/// Tells what was left as it was.
pub fn tell(folder: &mut Folder, voice: Voice) {
    for note in folder.take_notes() {
        voice.note(wrapped(&note, 2).trim_end());
    }
}
