//! One edition of a design as its buyer reads it: plain said lines, size by size.
//!
//! Two of these are all that [`super::errata`] and [`super::moves`] compare, so neither
//! knows how a line comes to be said. [`of`] makes one from a proved design.

mod flatten;
mod snapshot;

pub use flatten::sections;
pub use snapshot::{as_made, expected, of};

use crate::booklet::document::Date;
use serde::Serialize;

/// One edition, said.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Edition {
    /// Title of the design.
    pub title: String,
    /// Edition number, such as `1.0`.
    pub number: String,
    /// The edition's date.
    pub date: Date,
    /// Every size, in the design's order.
    pub sizes: Vec<Size>,
}

/// One size, said.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Size {
    /// The id used in the file.
    pub id: String,
    /// The name printed.
    pub name: String,
    /// Materials, gauge, measures, then each piece: all that is printed of this size.
    pub sections: Vec<Section>,
    /// Every graded number by name, in the file's order.
    pub numbers: Vec<Number>,
    /// What the finished hat measures and who it is for.
    pub fit: Option<Fit>,
    /// What it takes of each yarn.
    pub yarn: Vec<Yarn>,
}

/// A run of lines under one title: a piece, or the gauge.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Section {
    /// The piece's name, or the name of the facts.
    pub title: String,
    /// Its lines, in order.
    pub lines: Vec<Line>,
}

/// One printed line.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Line {
    /// `Rnd 4`, or the name of a fact; may be empty.
    pub label: String,
    /// The words, the count at their end included.
    pub words: String,
}

/// One graded number.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Number {
    /// The name formulas use.
    pub name: String,
    /// As shown to a person: `72`, `51.5 cm`.
    pub shown: String,
}

/// What the finished hat measures and which girths sit well on its head. Millimetres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize)]
pub struct Fit {
    /// Finished girth.
    pub girth: f64,
    /// Finished depth.
    pub depth: f64,
    /// Least girth that sits well on this size's head.
    pub least: f64,
    /// Most girth that sits well on it.
    pub most: f64,
}

impl Fit {
    /// Whether a hat of this girth sits well on the head; girths are printed to the half
    /// centimetre, so a quarter either way is no difference.
    pub fn sits(&self, girth: f64) -> bool {
        self.least - 2.5 <= girth && girth <= self.most + 2.5
    }
}

/// What one size takes of one yarn.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Yarn {
    /// The yarn's name in the design.
    pub name: String,
    /// Grams, no margin added.
    pub grams: f64,
    /// Grams with the margin for safety added: what the promise must hold.
    pub needed: f64,
    /// Grams on the promised balls, where the design promises to stay within a number.
    pub promised: Option<f64>,
}

impl Edition {
    /// The size of this id.
    pub fn size(&self, id: &str) -> Option<&Size> {
        self.sizes.iter().find(|s| s.id == id)
    }
}
