//! Files that are read, at the terminal: a pipe is waited for, and that is said.

use std::path::Path;

use super::voice::Voice;

/// Says that `path` is a pipe, where it is one: whoever waits for nothing should know for what.
pub fn announce(path: &Path, voice: Voice) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt as _;
        let kind = std::fs::metadata(path).map(|data| data.file_type());
        if kind.is_ok_and(|kind| kind.is_fifo() || kind.is_char_device()) {
            let path = path.display();
            voice.note(&format!("reading {path}, a pipe, until whoever writes it is done"));
        }
    }
    #[cfg(not(unix))]
    let _ = (path, voice);
}
