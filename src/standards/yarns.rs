//! Yarn weight categories. All of them are guidelines; the pattern's own gauge rules.

use super::{Published, embedded, load};
use serde::Deserialize;
use std::sync::LazyLock;

/// One yarn weight category.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct YarnWeight {
    /// The category, 0 to 7.
    pub category: u8,
    /// Its name.
    pub name: String,
    /// The trade's words for yarns in it.
    pub types: String,
    /// The stitch its gauge is quoted in, by US abbreviation.
    pub gauge_stitch: String,
    /// Fewest stitches of it over 4 in.
    pub sc_per_4in_min: Option<f64>,
    /// Most stitches of it over 4 in.
    pub sc_per_4in_max: Option<f64>,
    /// Thinnest customary hook in millimetres.
    pub hook_mm_min: Option<f64>,
    /// Thickest customary hook in millimetres.
    pub hook_mm_max: Option<f64>,
}

#[derive(Default, Deserialize)]
struct File {
    weights: Published<YarnWeight>,
}

static FILE: LazyLock<File> = LazyLock::new(|| load(embedded::YARN_WEIGHTS));

/// The categories, finest first.
pub fn weights() -> &'static Published<YarnWeight> {
    &FILE.weights
}

/// The category of this number.
pub fn weight(category: u8) -> Option<&'static YarnWeight> {
    FILE.weights.rows.iter().find(|w| w.category == category)
}

/// The categories whose quoted gauge holds so many stitches over 4 in; neighbours share
/// their ends, so there may be two.
pub fn for_gauge(sc_per_4in: f64) -> Vec<&'static YarnWeight> {
    let holds = |w: &&YarnWeight| {
        w.gauge_stitch == "sc"
            && w.sc_per_4in_min.is_none_or(|m| sc_per_4in >= m)
            && w.sc_per_4in_max.is_none_or(|m| sc_per_4in <= m)
    };
    FILE.weights.rows.iter().filter(holds).collect()
}
