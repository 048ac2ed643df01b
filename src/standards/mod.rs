//! Published tables, as data with a source on every table.
//!
//! The TOML files under `data/` are compiled in and read once into typed values. No
//! published number lives in code.

pub mod fit;
pub mod heads;
pub mod hooks;
pub mod levels;
pub mod making;
pub mod page;
pub mod safety;
pub mod stitches;
pub mod worked;
pub mod yarns;

use serde::Deserialize;
use serde::de::DeserializeOwned;

/// The embedded data files.
mod embedded {
    pub(super) const FIT: &str = include_str!("data/fit.toml");
    pub(super) const HEADS: &str = include_str!("data/heads.toml");
    pub(super) const HOOKS: &str = include_str!("data/hooks.toml");
    pub(super) const LEVELS: &str = include_str!("data/skill_levels.toml");
    pub(super) const PAGE: &str = include_str!("data/page.toml");
    pub(super) const SAFETY: &str = include_str!("data/safety.toml");
    pub(super) const SIZES: &str = include_str!("data/sizes.toml");
    pub(super) const YARN_WEIGHTS: &str = include_str!("data/yarn_weights.toml");
}

/// Reads an embedded table. A table that does not read is empty here; a test reads every
/// one strictly, so that cannot ship.
fn load<T: DeserializeOwned + Default>(text: &str) -> T {
    toml::from_str(text).unwrap_or_default()
}

/// A published table with where it is from.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(bound = "T: Deserialize<'de>")]
pub struct Published<T> {
    /// Where the figures are from.
    pub source: String,
    /// Whether the figures were seen there; else they are from memory.
    pub seen: bool,
    /// What to mind about them.
    #[serde(default)]
    pub note: String,
    /// The rows.
    #[serde(default = "Vec::new")]
    pub rows: Vec<T>,
}

impl<T> Default for Published<T> {
    fn default() -> Self {
        Published { source: String::new(), seen: false, note: String::new(), rows: Vec::new() }
    }
}
