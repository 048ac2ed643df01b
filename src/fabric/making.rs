//! What is worked into the places that words name.

use super::pass::Pass;
use crate::diag::Span;
use crate::written::tree::*;

/// A stitch or a group, and how it is worked; the place is found apart.
#[derive(Clone, Copy, Debug)]
pub(super) struct Making<'t> {
    pub made: &'t Made,
    /// How many places each uses up: more than one where stitches are drawn together.
    pub bases: u32,
    pub loops: Loop,
    /// The words that ask for it.
    pub span: Span,
    /// Whether it is a slip stitch that only travels: then it does not count.
    pub travel: bool,
}

impl<'t> Making<'t> {
    /// Counted stitches, worked through these loops.
    pub fn of(made: &'t Made, loops: Loop, span: Span) -> Making<'t> {
        let bases = match made {
            Made::Stitch { kind, .. } => kind.bases(),
            _ => 1,
        };
        Making { made, bases, loops, span, travel: false }
    }

    /// The same, counted whether or not it travels.
    pub fn counted(self) -> Making<'t> {
        Making { travel: false, ..self }
    }

    /// Whether it is one slip stitch, or several.
    pub fn slips(&self) -> bool {
        matches!(self.made, Made::Stitch { kind, .. } if *kind == Kind::SL_ST)
    }
}

impl Pass {
    /// The loops that a place is worked through: its own, or those the line speaks of.
    pub fn loops_of(&self, t: &Target) -> Loop {
        if t.loops == Loop::Both { self.loops } else { t.loops }
    }
}
