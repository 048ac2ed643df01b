//! The shape of a formula once it is read.

use super::number::Way;
use crate::diag::Span;
use crate::quantity::Length;
use std::cmp::Ordering;

/// A formula or a part of one.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Expr {
    pub node: Node,
    /// Where in the formula's text.
    pub span: Span,
    /// How many levels of parts are below, itself included.
    pub height: usize,
}

/// What a part of a formula is.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Node {
    /// A plain number; whole if written with digits alone.
    Number(f64, bool),
    Length(Length),
    /// A percentage, as a share of one.
    Percent(f64),
    /// A name, such as `head` or `body.st`.
    Name(String),
    Minus(Box<Expr>),
    Binary(Op, Box<Expr>, Box<Expr>),
    /// Value, multiple and remainder.
    Round(Way, Box<Expr>, Option<Box<Expr>>, Option<Box<Expr>>),
    /// The least or the greatest of several.
    Extreme(Ordering, Vec<Expr>),
    /// The value held between a least and a greatest.
    Clamp(Box<[Expr; 3]>),
    /// Left, comparison, right; then, else.
    If(Compare, Box<[Expr; 4]>),
}

/// An operator.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Op {
    Add,
    Subtract,
    Multiply,
    Divide,
}

/// A comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Compare {
    Less,
    LessOrEqual,
    More,
    MoreOrEqual,
    Equal,
    Unequal,
}

impl Compare {
    pub(super) fn holds(self, order: Ordering) -> bool {
        match self {
            Compare::Less => order.is_lt(),
            Compare::LessOrEqual => order.is_le(),
            Compare::More => order.is_gt(),
            Compare::MoreOrEqual => order.is_ge(),
            Compare::Equal => order.is_eq(),
            Compare::Unequal => order.is_ne(),
        }
    }
}

/// The functions of the formula language.
pub(super) const FUNCTIONS: &[&str] = &["nearest", "up", "down", "min", "max", "clamp", "if"];

/// The names every formula knows, besides gauges and the design's own numbers.
pub(super) const BUILT_IN: &[&str] = &["head", "depth", "ease", "girth", "pi"];

/// The names only the braces of a written text know.
pub(super) const COUNTERS: &[&str] = &["round", "step"];

impl Expr {
    /// Calls `see` for every name in it.
    pub(super) fn names<'e>(&'e self, see: &mut impl FnMut(&'e str, Span)) {
        match &self.node {
            Node::Number(..) | Node::Length(_) | Node::Percent(_) => {}
            Node::Name(name) => see(name, self.span),
            Node::Minus(a) => a.names(see),
            Node::Binary(_, a, b) => {
                a.names(see);
                b.names(see);
            }
            Node::Round(_, value, multiple, plus) => {
                value.names(see);
                for part in [multiple, plus].into_iter().flatten() {
                    part.names(see);
                }
            }
            Node::Extreme(_, all) => all.iter().for_each(|e| e.names(see)),
            Node::Clamp(all) => all.iter().for_each(|e| e.names(see)),
            Node::If(_, all) => all.iter().for_each(|e| e.names(see)),
        }
    }
}
