//! Signs of the catalogue's own notation in other people's names: veiled while a phrase is put
//! together, shown again when it is cut into runs.

/// A sign and what stands for it meanwhile.
const VEILS: [(char, char); 2] = [('`', '\u{e007}'), ('"', '\u{e008}')];
/// Letters that the notation keeps for itself.
const KEPT: std::ops::RangeInclusive<char> = '\u{e000}'..='\u{e00f}';

/// A name in which nothing is a sign of the notation.
pub(super) fn veiled(name: &str) -> String {
    let veil = |c: char| match VEILS.iter().find(|(sign, _)| *sign == c) {
        Some((_, veil)) => *veil,
        None if KEPT.contains(&c) => '\u{fffd}',
        None => c,
    };
    name.chars().map(veil).collect()
}

/// A text with its names as they were.
pub(super) fn unveiled(text: &str) -> String {
    let show = |c: char| VEILS.iter().find(|(_, veil)| *veil == c).map_or(c, |(sign, _)| *sign);
    text.chars().map(show).collect()
}
