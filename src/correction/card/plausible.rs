//! Bounds that no honest figure passes: where a card does, its unit or a digit slipped.

use crate::quantity::Length;
use crate::standards::yarns;

/// How far beyond the yarn weight's own range a stitch count may lie. The published ranges
/// speak of single crochet; lace and post stitches lie well outside them. Our own choice.
const BEYOND: f64 = 2.0;

/// Stitches in 10 cm of any yarn: 42 is the finest published lace gauge, doubled here as
/// above; 1 is a jumbo yarn on the thickest hook.
const ANY: (f64, f64) = (1.0, 84.0);

/// Fewest and most stitches in 10 cm that could be true, where `published` is the range of
/// the yarn's weight over 4 in, if it has one.
pub(super) fn stitches(published: Option<(f64, f64)>) -> (f64, f64) {
    match published {
        Some((low, high)) => ((low / BEYOND).max(ANY.0), (high * BEYOND).min(ANY.1)),
        None => ANY,
    }
}

/// Fewest and most rows in 10 cm, from the bounds of stitches: the tallest stitches are
/// some four times as tall as wide, the flattest (slip stitches) less than half.
pub(super) fn rows((low, high): (f64, f64)) -> (f64, f64) {
    (low / 4.0, high * 2.5)
}

/// Least and most finished girth for a head; a hat outside is another size's or unit's.
pub(super) fn girth(head: Length) -> (Length, Length) {
    (head * 0.5, head * 1.6)
}

/// Least and most depth for a head: from a headband's to a stocking cap's.
pub(super) fn depth(head: Length) -> (Length, Length) {
    (head * 0.1, head * 1.5)
}

/// The published range of stitches over 4 in of a yarn weight, taken as over 10 cm as the
/// trade does.
pub(super) fn published(weight: u8) -> Option<(f64, f64)> {
    let row = yarns::weight(weight)?;
    let most = row.sc_per_4in_max?;
    Some((row.sc_per_4in_min.unwrap_or(1.0), most))
}
