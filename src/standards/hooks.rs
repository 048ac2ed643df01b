//! Crochet hook sizes: millimetres, and the labels of the trade.

use super::{Published, embedded, load};
use crate::quantity::Length;
use serde::Deserialize;
use std::sync::LazyLock;

/// One regular hook size. Millimetres are the identity; labels differ between makers.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct HookSize {
    /// Diameter of the shaft in millimetres.
    pub mm: f64,
    /// US letter and number; empty where there is none.
    pub us: String,
    /// Old UK and Canadian number; empty where there is none.
    pub uk_old: String,
    /// Whether the row was seen in its source; none means as the table says.
    pub seen: Option<bool>,
    /// Where charts disagree.
    #[serde(default)]
    pub note: String,
}

#[derive(Default, Deserialize)]
struct File {
    regular: Published<HookSize>,
}

static FILE: LazyLock<File> = LazyLock::new(|| load(embedded::HOOKS));

/// The regular sizes, smallest first.
pub fn hooks() -> &'static Published<HookSize> {
    &FILE.regular
}

/// The row of this diameter, if it is a published one.
pub fn hook(size: Length) -> Option<&'static HookSize> {
    FILE.regular.rows.iter().find(|h| (h.mm - size.to_mm()).abs() < 0.005)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nine_millimetres_is_us_m_n_13() {
        // Craft Yarn Council hook list, as in the table's source.
        let row = hook(Length::mm(9.0)).expect("9 mm is a published size");
        assert_eq!((row.us.as_str(), row.uk_old.as_str()), ("M/N-13", "00"));
        assert_eq!(hook(Length::mm(6.8)), None);
        assert!(hooks().rows.len() >= 30);
    }
}
