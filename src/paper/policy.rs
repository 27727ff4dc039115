//! What a page may load and run: what stands in it, and nothing else.
//!
//! Every page that Coaxle writes names its style and its script by their hashes, so that a
//! browser runs these and no others: not one that a title or a name would bring along. Source:
//! W3C, Content Security Policy Level 3.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest as _, Sha256};

/// The element for the head of a page, before its style and script. These are given as they
/// stand between their tags, to the letter.
pub fn page_policy(style: &str, script: Option<&str>) -> String {
    let hash = |text: &str| format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text)));
    let script = script.map_or("'none'".to_owned(), hash);
    format!(
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; \
         style-src {}; script-src {script}; img-src data:; base-uri 'none'; \
         form-action 'none'\">",
        hash(style)
    )
}
