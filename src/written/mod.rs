//! The written language: text comes in, a syntax tree and findings go out.
//!
//! The tree is independent of sizes: a graded number stays a [`Hole`] with its words, to be
//! filled by whoever implements [`Numbers`]. `GRAMMAR.md` beside this file shows each form.

mod abbreviations;
mod acts;
mod beginnings;
mod besides;
mod brackets;
mod claims;
mod cursor;
mod edges;
mod extents;
mod joining;
mod key;
mod labels;
mod lexer;
mod lines;
mod notes;
mod nouns;
mod parts;
mod passing;
mod places;
mod reach;
mod reader;
mod references;
mod remarks;
mod repeats;
mod resolve;
pub mod say;
mod shaping;
mod sizes;
mod steps;
mod terms;
pub mod tree;
mod unread;
mod words;
mod working;
mod wraps;

use crate::diag::{Finding, Origin, Span};
pub use say::say;
pub use tree::*;

/// What the reader is told beside the text.
#[derive(Clone, Debug, Default)]
pub struct ReadOptions<'a> {
    /// The names of stitches; found out from the words where not given.
    pub terms: Option<Terms>,
    /// How the piece is worked; found out from the labels and joins where not given.
    pub method: Option<Method>,
    /// Stitches defined outside the text.
    pub specials: &'a [SpecialDef],
    /// The size names that lines may be limited to.
    pub sizes: &'a [String],
    /// Words known to be wrong already: a line that has such is not worked by them, and a count
    /// that has such is not held against it.
    pub wrong: &'a [Span],
    /// Where the text lies in its source.
    pub origin: Origin,
}

/// A special stitch as the design file gives it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SpecialDef {
    /// Its name.
    pub name: String,
    /// Its abbreviation; may be empty.
    pub abbr: String,
    /// How it is made, in the same language.
    pub definition: String,
}

/// What was read.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// The tree.
    pub piece: Piece,
    /// What is wrong with the words.
    pub findings: Vec<Finding>,
}

/// Where in a ranged line a hole stands: which round is being worked, and which time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Counter {
    /// The number of the row or round being worked (`round` in braces).
    pub round: u32,
    /// 1, 2, 3… within the ranged line (`step` in braces).
    pub step: u32,
}

/// Fills holes for one size.
pub trait Numbers {
    /// The whole number a hole stands for, or what is wrong with it.
    fn value(&self, hole: &Hole, counter: Option<Counter>) -> Result<i64, String>;
}

/// For plain text: every hole is a fault, except a number put in braces.
#[derive(Clone, Copy, Debug, Default)]
pub struct NoHoles;

impl Numbers for NoHoles {
    fn value(&self, hole: &Hole, _: Option<Counter>) -> Result<i64, String> {
        hole.text.parse().map_err(|_| {
            format!(
                "“{{{}}}” is a graded number, and this text has no sizes to grade it for",
                hole.text
            )
        })
    }
}

/// Reads one piece's text. Every line is read, whatever is wrong with those before it.
pub fn read(text: &str, options: &ReadOptions) -> Reading {
    reader::read(text, options)
}
