//! Project levels: how demanding the trade calls a project.

use super::{Published, embedded, load};
use serde::Deserialize;
use std::sync::LazyLock;

/// One project level. It describes the project, not the maker.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Level {
    /// 1 is the plainest.
    pub rank: u8,
    /// The trade's word.
    pub name: String,
    /// What such a project may ask for.
    pub criteria: String,
}

#[derive(Default, Deserialize)]
struct File {
    levels: Published<Level>,
}

static FILE: LazyLock<File> = LazyLock::new(|| load(embedded::LEVELS));

/// The published levels, plainest first.
pub fn levels() -> &'static Published<Level> {
    &FILE.levels
}

/// The level of this name, in any case of letters.
pub fn level(name: &str) -> Option<&'static Level> {
    FILE.levels.rows.iter().find(|l| l.name.eq_ignore_ascii_case(name))
}
