//! Small ways of saying things that several parts of this room share.

/// `Rnd 4` as its word and number.
pub(super) fn numbered(label: &str) -> Option<(&str, usize)> {
    let (word, number) = label.split_once(['\u{a0}', ' '])?;
    Some((word, number.parse().ok()?))
}
