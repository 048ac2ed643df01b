//! Saying it again: a syntax tree goes in, sentences in the house style come out, in US or
//! UK terms, abbreviated or spelled out, for all sizes in brackets or for one size.
//!
//! A line that runs over several rounds is one sentence, unless its numbers change from
//! round to round: then each round has its own. Sizes stand in the order they are given in;
//! a number alike in all of them is written once, else as `60 (66, 72)`, with `–` in the
//! place of a size that does not work the line. With no sizes given, graded numbers stay in
//! their braces: the text as a designer would write it.
//!
//! An instruction of none ("sc in next 0 sts") is left out where it is none in every size
//! that works the line, and written with `0` where other sizes have some.

mod bits;
mod claims;
mod labels;
mod lines;
mod numbers;
mod order;
mod phrase;
mod places;
mod repeats;
mod steps;
mod stitches;
mod terms;
mod voice;
mod words;

use super::{Numbers, Piece, Terms};
pub use bits::{Bit, has_cell, pick, plain};
pub use terms::{Term, terms_used};

/// Abbreviations or whole words.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Length {
    /// `sc in next 5 sts`.
    #[default]
    Abbreviated,
    /// `single crochet in each of the next 5 stitches`.
    SpelledOut,
}

/// The hand the hook is held in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Hand {
    /// The right hand: directions as the designer wrote them.
    #[default]
    Right,
    /// The left hand: directions across the work are exchanged.
    Left,
}

/// How it is said.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Style {
    /// The names of the stitches.
    pub terms: Terms,
    /// Abbreviated or spelled out.
    pub length: Length,
    /// For which hand.
    pub hand: Hand,
    /// Whether each round of a range has its own line.
    pub each_round: bool,
}

/// One size and its numbers.
#[derive(Clone, Copy)]
pub struct SizeVoice<'a> {
    /// The name lines are limited by.
    pub id: &'a str,
    /// The name that is printed.
    pub name: &'a str,
    /// What its graded numbers come to.
    pub numbers: &'a dyn Numbers,
}

/// What a said line is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SaidKind {
    /// A heading.
    Heading,
    /// A note.
    Note,
    /// The definition of a special stitch: its names are the label.
    Special,
    /// Something to work.
    Instruction,
    /// Which sizes the lines that follow are for. Only where several sizes are said.
    Sizes,
}

/// One line said.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// Its line: a place in [`Piece::lines`].
    pub line: usize,
    /// What it is.
    pub kind: SaidKind,
    /// `Rnd 4`, without the colon. Empty for an unnumbered line.
    pub label: Vec<Bit>,
    /// The sentence or sentences.
    pub body: Vec<Bit>,
    /// `(40 sc)`, brackets included.
    pub count: Option<Vec<Bit>>,
    /// For each size whether it works this line.
    pub worked: Vec<bool>,
    /// For each size the first and last row or round the line works, where they are known.
    pub rounds: Vec<Option<(u32, u32)>>,
    /// The row or round worked once more, where that is all the line says and the same in
    /// every size: "Rep Rnd 3."
    pub again: Option<u32>,
}

impl Said {
    /// The whole line: label, colon, sentence, count.
    pub fn bits(&self) -> Vec<Bit> {
        let mut bits = self.label.clone();
        if !bits.is_empty() && !self.body.is_empty() {
            bits.push(Bit::Text(": ".to_owned()));
        }
        bits.extend(self.body.iter().cloned());
        if let Some(count) = &self.count {
            bits.push(Bit::Text(" ".to_owned()));
            bits.extend(count.iter().cloned());
        }
        bits
    }

    /// The whole line as plain text.
    pub fn plain(&self) -> String {
        plain(&self.bits())
    }

    /// The words for one size, by its place among the sizes; `None` if it does not work the
    /// line. Other than the line said for that size alone, it keeps instructions of none
    /// and plurals that other sizes asked for.
    pub fn pick(&self, size: usize) -> Option<Said> {
        if !self.worked.get(size).copied().unwrap_or(false) {
            return None;
        }
        Some(Said {
            line: self.line,
            kind: self.kind,
            label: pick(&self.label, size),
            body: pick(&self.body, size),
            count: self.count.as_ref().filter(|c| !bits::is_absent(c, size)).map(|c| pick(c, size)),
            worked: vec![true],
            rounds: vec![self.rounds.get(size).copied().flatten()],
            again: self.again,
        })
    }
}

/// Says a piece for these sizes, in order. With several sizes their numbers stand in
/// brackets; with one, alone; with none, graded numbers stay in braces.
pub fn say(piece: &Piece, style: &Style, sizes: &[SizeVoice]) -> Vec<Said> {
    lines::say(piece, style, sizes)
}
