//! How hats are meant to sit: ease by style of fabric.

use super::{Published, embedded, load};
use crate::quantity::{Length, Percent};
use serde::Deserialize;
use std::sync::LazyLock;

/// A style of fit with its customary ease.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Style {
    /// The word a design file uses.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// Least ease in inches, on an adult hat; negative is smaller than the head.
    pub min_in: f64,
    /// Most ease in inches, on an adult hat.
    pub max_in: f64,
    /// Where the figures are from.
    pub source: String,
    /// Whether they were seen there.
    #[serde(default = "yes")]
    pub seen: bool,
}

fn yes() -> bool {
    true
}

/// The head the published inch figures are taken to speak of: an ordinary adult's 22 in.
const ADULT_HEAD_IN: f64 = 22.0;

impl Style {
    /// Least and most ease as a share of the head.
    pub fn percents(&self) -> (Percent, Percent) {
        let share = |inches: f64| Percent::from_share(inches / ADULT_HEAD_IN);
        (share(self.min_in), share(self.max_in))
    }

    /// Least and most finished girth on this head.
    pub fn girths(&self, head: Length) -> (Length, Length) {
        let (least, most) = self.percents();
        (head * (1.0 + least.share()), head * (1.0 + most.share()))
    }

    /// The smallest and the largest head that a finished girth sits well on.
    pub fn heads(&self, girth: Length) -> (Length, Length) {
        let (least, most) = self.percents();
        (girth / (1.0 + most.share()), girth / (1.0 + least.share()))
    }
}

#[derive(Default, Deserialize)]
struct File {
    styles: Published<Style>,
}

static FILE: LazyLock<File> = LazyLock::new(|| load(embedded::FIT));

/// The styles of fit.
pub fn styles() -> &'static [Style] {
    &FILE.styles.rows
}

/// The style of this id.
pub fn style(id: &str) -> Option<&'static Style> {
    styles().iter().find(|s| s.id == id)
}
