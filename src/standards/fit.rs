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

/// When a crown stops lying as a crown should, as shares of the flat circle's increases.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
pub struct CrownLimits {
    /// Where the figures are from.
    pub source: String,
    /// Above this it ruffles.
    pub ruffles_over: f64,
    /// Below this it is a pointed cone.
    pub cone_under: f64,
}

/// How much of a hat's depth its rounded top takes.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
pub struct Dome {
    /// Where the figure is from.
    pub source: String,
    /// Depth of half a ball as a share of its girth.
    pub share_of_girth: f64,
}

#[derive(Default, Deserialize)]
struct File {
    styles: Published<Style>,
    crown: CrownLimits,
    dome: Dome,
}

static FILE: LazyLock<File> = LazyLock::new(|| load(embedded::FIT));

/// The styles of fit.
pub fn styles() -> &'static [Style] {
    &FILE.styles.rows
}

/// The style of this id or name.
pub fn style(id: &str) -> Option<&'static Style> {
    styles().iter().find(|s| s.id == id || s.name.eq_ignore_ascii_case(id))
}

/// When a crown ruffles or comes to a point.
pub fn crown() -> &'static CrownLimits {
    &FILE.crown
}

/// How much of a hat's depth its rounded top takes.
pub fn dome() -> &'static Dome {
    &FILE.dome
}
