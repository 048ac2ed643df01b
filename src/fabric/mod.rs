//! The fabric: a syntax tree and one size's numbers come in, every stitch goes out.
//!
//! The only room that knows how a stitch uses up places and makes new ones. Counts, charts,
//! yarn and silhouettes are all read off [`Fabric`].

mod again;
mod chains;
mod claims;
mod closing;
mod doubt;
mod due;
mod each;
mod earlier;
mod edge;
mod edges;
mod fault;
mod ground;
mod groups;
mod handover;
mod joins;
mod making;
pub mod model;
mod needs;
mod numbering;
mod outcome;
mod parts;
mod pass;
mod pattern;
mod places;
mod quick;
mod recover;
mod repeats;
mod seam;
mod shaping;
mod site;
mod stitches;
mod take;
mod walk;
mod worker;

use crate::diag::{Finding, Origin};
use crate::written::{Numbers, Piece};
pub use model::*;
use std::collections::BTreeMap;

/// What the worker is told beside the tree.
#[derive(Clone, Debug, Default)]
pub struct WorkOptions<'a> {
    /// The piece worked before, whose edges this one may start from (row ends, last round).
    pub before: Option<&'a Worked>,
    /// Where the text lies in its source, for the places of findings.
    pub origin: Origin,
    /// Whether the numbers of rows and rounds run on over lines that are for other sizes, as
    /// they do in a text that prints all its sizes at once.
    pub runs_on: bool,
}

/// What was worked.
#[derive(Clone, Debug, Default)]
pub struct Worked {
    /// Every stitch.
    pub fabric: Fabric,
    /// One entry for each line that works rows or rounds.
    pub lines: Vec<LineResult>,
    /// How many of each stitch were made, by name in the piece's terms.
    pub totals: BTreeMap<String, u64>,
    /// What is wrong, in working order.
    pub findings: Vec<Finding>,
    /// The edges it leaves for the next piece.
    pub edges: Edges,
    /// What the working cost: steps worked, and places looked at to find the right ones.
    /// No more than [`STEPS`](crate::limits::STEPS) but for the last step's own.
    pub steps: u64,
}

/// The edges a piece leaves for the next one to start from.
#[derive(Clone, Debug, Default)]
pub struct Edges {
    top: Vec<edge::Spot>,
    rows: Vec<edge::Spot>,
    foundation: Vec<edge::Spot>,
    joined: bool,
    shape: Option<Shape>,
    number: u32,
    lost: bool,
}

/// What one line made.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LineResult {
    /// The line's place in [`Piece::lines`].
    pub index: u32,
    /// The line's number in the text, from 1.
    pub line: u32,
    /// Its label, as "Rnds 2-5"; empty for an unnumbered line.
    pub label: String,
    /// The stitches of its last row or round.
    pub count: u64,
    /// Those stitches by name in the piece's terms.
    pub counts: BTreeMap<String, u64>,
    /// The courses it made, as a range of [`Fabric::courses`].
    pub courses: std::ops::Range<u32>,
}

/// Works a piece in one size, stitch by stitch.
pub fn work(piece: &Piece, size: &str, numbers: &dyn Numbers, options: &WorkOptions) -> Worked {
    worker::work(piece, size, numbers, options)
}
