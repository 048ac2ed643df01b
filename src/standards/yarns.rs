//! Yarn weight categories.

use super::{Published, embedded, load};
use serde::Deserialize;
use std::sync::LazyLock;

/// One weight category. All figures are guidelines; the gauge is per 4 in.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct YarnWeight {
    /// 0 (lace) to 7 (jumbo).
    pub category: u8,
    /// The category's name.
    pub name: String,
    /// Which yarns it holds, by the trade's words.
    pub types: String,
    /// The stitch the gauge is given in.
    #[serde(default)]
    pub gauge_stitch: String,
    /// Fewest stitches in 4 in.
    pub sc_per_4in_min: Option<f64>,
    /// Most stitches in 4 in.
    pub sc_per_4in_max: Option<f64>,
    /// Smallest hook in millimetres.
    pub hook_mm_min: Option<f64>,
    /// Largest hook in millimetres.
    pub hook_mm_max: Option<f64>,
}

#[derive(Default, Deserialize)]
struct File {
    weights: Published<YarnWeight>,
}

static FILE: LazyLock<File> = LazyLock::new(|| load(embedded::WEIGHTS));

/// The categories, finest first.
pub fn weights() -> &'static Published<YarnWeight> {
    &FILE.weights
}

/// The category of this number.
pub fn weight(category: u8) -> Option<&'static YarnWeight> {
    FILE.weights.rows.iter().find(|w| w.category == category)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn there_are_eight_categories_in_order() {
        let rows = &weights().rows;
        assert_eq!(rows.iter().map(|r| r.category).collect::<Vec<_>>(), [0, 1, 2, 3, 4, 5, 6, 7]);
        assert_eq!(weight(5).map(|w| w.name.as_str()), Some("Bulky"));
    }
}
