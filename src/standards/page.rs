//! What a printed pattern keeps to: papers, margins for both, care in words, and the lines
//! that no pattern should be without.

use super::{Published, embedded, load};
use crate::quantity::Length;
use serde::Deserialize;
use std::sync::LazyLock;

/// A paper.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct Paper {
    /// A short name: "a4" or "letter".
    pub id: String,
    /// The name for people.
    pub name: String,
    width_mm: f64,
    height_mm: f64,
}

impl Paper {
    /// Width, upright.
    pub fn width(&self) -> Length {
        Length::mm(self.width_mm)
    }
    /// Height, upright.
    pub fn height(&self) -> Length {
        Length::mm(self.height_mm)
    }
}

/// Margins that let a page made for one paper print on the other.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
pub struct Margins {
    /// Where the figures are from.
    pub source: String,
    side_mm: f64,
    top_mm: f64,
}

impl Margins {
    /// Least left and right margin of a Letter page.
    pub fn side(&self) -> Length {
        Length::mm(self.side_mm)
    }
    /// Least top and bottom margin of an A4 page.
    pub fn top(&self) -> Length {
        Length::mm(self.top_mm)
    }
}

/// How to care for the hat, in words.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
pub struct Care {
    /// Where the customary wording is from.
    pub source: String,
    /// For any hat.
    pub text: String,
    /// Besides, for a fur pompom.
    pub fur: String,
}

/// A line that a pattern carries.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct PatternLine {
    /// What it tells.
    pub text: String,
}

#[derive(Default, Deserialize)]
struct File {
    paper: Published<Paper>,
    margins: Margins,
    care: Care,
    lines: Published<PatternLine>,
}

static FILE: LazyLock<File> = LazyLock::new(|| load(embedded::PAGE));

/// The papers.
pub fn papers() -> &'static [Paper] {
    &FILE.paper.rows
}

/// The paper of this id.
pub fn paper(id: &str) -> Option<&'static Paper> {
    papers().iter().find(|p| p.id == id)
}

/// Margins that serve both papers.
pub fn margins() -> &'static Margins {
    &FILE.margins
}

/// Care in words.
pub fn care() -> &'static Care {
    &FILE.care
}

/// What a pattern page carries, by custom.
pub fn lines() -> &'static [PatternLine] {
    &FILE.lines.rows
}
