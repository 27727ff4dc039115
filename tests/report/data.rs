//! What is packed in a page, taken out of it.

/// The page without what is packed in it, where any letters may stand side by side.
pub fn without_data(html: &str) -> String {
    let mut kept = String::new();
    let mut rest = html;
    while let Some(start) = rest.find("<script type=\"text/plain\"") {
        let end = start + rest[start..].find("</script>").unwrap();
        kept.push_str(&rest[..start]);
        rest = &rest[end + "</script>".len()..];
    }
    kept + rest
}
