//! Who is speaking: the piece, the style, the sizes, and where each size stands.

use super::{Length, SizeVoice, Style};
use crate::written::tree::{LineKind, Number, Piece, Shape, Terms, Which};
use crate::written::{Counter, Method};
use std::cell::Cell;

/// Where one size stands in the line being said.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lane {
    /// Whether it works the line.
    pub working: bool,
    /// The round being worked, where it is known.
    pub counter: Option<Counter>,
}

/// What is needed to say a line.
pub(super) struct Voice<'a> {
    /// The piece.
    pub piece: &'a Piece,
    /// How it is said.
    pub style: Style,
    /// The sizes.
    pub sizes: &'a [SizeVoice<'a>],
    /// One for each size.
    pub lanes: Vec<Lane>,
    /// The line being said: a place in the piece's lines.
    pub line: usize,
    /// Row or round.
    pub shape: Shape,
    /// Whether a number must show which sizes it is not for, even if the others agree.
    pub strict: bool,
    /// Which round of a line that is said round by round, from 0.
    pub step: Option<usize>,
    /// Set where the next place said is a ring that is yet to be made.
    pub makes_ring: Cell<bool>,
    /// Set when a number that counts rounds was said.
    pub saw_counter: Cell<bool>,
    /// The abbreviations of the special stitches.
    pub abbrs: Vec<String>,
    /// The names of the special stitches.
    pub names: Vec<String>,
}

impl<'a> Voice<'a> {
    pub fn new(piece: &'a Piece, style: &Style, sizes: &'a [SizeVoice<'a>]) -> Voice<'a> {
        Voice {
            piece,
            style: *style,
            sizes,
            lanes: vec![Lane { working: true, counter: None }; sizes.len()],
            line: 0,
            shape: if piece.method == Some(Method::Rows) { Shape::Row } else { Shape::Round },
            strict: false,
            step: None,
            makes_ring: Cell::new(false),
            saw_counter: Cell::new(false),
            abbrs: piece.specials.iter().map(|s| running(&s.abbr)).collect(),
            names: piece.specials.iter().map(|s| in_full(&running(&s.name))).collect(),
        }
    }

    /// The names stitches are said under.
    pub fn terms(&self) -> Terms {
        self.style.terms
    }

    /// Whether words are written in full.
    pub fn full(&self) -> bool {
        self.style.length == Length::SpelledOut
    }

    /// Whether British words are used.
    pub fn uk(&self) -> bool {
        self.style.terms == Terms::Uk
    }

    /// One form for abbreviated text, another for text in full.
    pub fn either(&self, short: &'a str, full: &'a str) -> &'a str {
        if self.full() { full } else { short }
    }

    /// Row or round, for a numbered line that is only referred to: the shape of the nearest
    /// line before this one that bears the number.
    pub fn shape_of(&self, number: &Number) -> Shape {
        let before = self.piece.lines.get(..self.line).unwrap_or_default();
        let bears = |which: &Which| match which {
            Which::One(n) | Which::EveryOther(n) | Which::Onward(n) => n == number,
            Which::Range(from, to) => match (from, number, to) {
                (Number::Plain(a), Number::Plain(n), Number::Plain(b)) => (a..=b).contains(&n),
                _ => from == number || to == number,
            },
            Which::List(all) => all.contains(number),
            Which::Next(_) | Which::Named(_) => false,
        };
        before
            .iter()
            .rev()
            .find_map(|line| match &line.kind {
                LineKind::Work(work) => {
                    work.label.as_ref().filter(|l| bears(&l.which)).map(|l| l.shape)
                }
                _ => None,
            })
            .unwrap_or(self.shape)
    }
}

/// A name in full, also where the designer shortened its last word: "puff st".
pub(super) fn in_full(name: &str) -> String {
    let shortened = name.ends_with(" st") || name.ends_with("-st");
    if shortened { format!("{name}itch") } else { name.to_owned() }
}

/// A name as it stands amid a sentence: "Shell" loses its capital, "V-st" does not.
fn running(name: &str) -> String {
    let mut chars = name.chars();
    match (chars.next(), chars.next()) {
        (Some(first), Some(second)) if second.is_lowercase() => {
            first.to_lowercase().chain(std::iter::once(second)).chain(chars).collect()
        }
        _ => name.to_owned(),
    }
}
