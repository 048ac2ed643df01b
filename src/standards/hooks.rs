//! Hook sizes: metric millimetres are the identity; letters and numbers are labels.

use super::{Published, embedded, load};
use crate::quantity::Length;
use serde::Deserialize;
use std::sync::LazyLock;

/// A regular hook with its customary labels.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct HookSize {
    /// Diameter of the shaft in millimetres.
    pub mm: f64,
    /// US letter and number, empty where there is none.
    #[serde(default)]
    pub us: String,
    /// Old UK and Canadian number, empty where there is none.
    #[serde(default)]
    pub uk_old: String,
    /// Whether the labels were seen in the source; else they are from memory.
    #[serde(default = "yes")]
    pub seen: bool,
    /// What other charts say.
    #[serde(default)]
    pub note: String,
}

/// A steel hook for fine thread.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct SteelHook {
    /// Diameter in millimetres.
    pub mm: f64,
    /// US steel number.
    pub us_steel: String,
    /// Whether it was seen in the source; else it is from memory.
    #[serde(default = "yes")]
    pub seen: bool,
}

fn yes() -> bool {
    true
}

#[derive(Default, Deserialize)]
struct File {
    regular: Published<HookSize>,
    steel: Published<SteelHook>,
}

static FILE: LazyLock<File> = LazyLock::new(|| load(embedded::HOOKS));

/// Regular hooks, thinnest first.
pub fn hooks() -> &'static Published<HookSize> {
    &FILE.regular
}

/// Steel hooks, thickest first.
pub fn steel() -> &'static Published<SteelHook> {
    &FILE.steel
}

/// The regular hook of this diameter, if it is a customary one.
pub fn hook(diameter: Length) -> Option<&'static HookSize> {
    FILE.regular.rows.iter().find(|h| Length::mm(h.mm).near(diameter, Length::mm(0.01)))
}

/// A hook's labels for a maker: "9 mm (US M/N-13, old UK 00)".
pub fn label(diameter: Length) -> String {
    let mm = diameter.hook_text();
    let Some(hook) = hook(diameter) else { return mm };
    let mut labels = Vec::new();
    if !hook.us.is_empty() {
        labels.push(format!("US {}", hook.us));
    }
    if !hook.uk_old.is_empty() {
        labels.push(format!("old UK {}", hook.uk_old));
    }
    if labels.is_empty() { mm } else { format!("{mm} ({})", labels.join(", ")) }
}
