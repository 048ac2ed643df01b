//! Places: what a course leaves for the next one to be worked into.

use super::model::Standing;
use crate::standards::stitches::{Base, Kind};

/// What sort of place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum What {
    /// The top of a stitch, or of a beginning chain that counts.
    Top,
    /// One chain of a foundation.
    Chain,
    /// A run of chains between stitches.
    Space,
    /// The end of a row.
    RowEnd,
    /// A stitch whose kind is not known: the line that made it could not be worked.
    Wild,
}

/// One place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    /// The stitch's kind; chain for chains.
    pub kind: Kind,
    /// What sort of place.
    pub what: What,
    /// Whether it is the top of a beginning chain.
    pub rise: bool,
    /// Whether it belongs to the piece worked before.
    pub before: bool,
    /// Its stitch, the first chain of a run, or the course of a row end.
    pub at: u32,
    /// How many chains a run has.
    pub size: u32,
    /// Stitches of one place share a number; 0 for none.
    pub group: u32,
}

impl Spot {
    /// The top of a stitch.
    pub fn top(kind: Kind, at: u32, group: u32) -> Spot {
        Spot { kind, what: What::Top, rise: false, before: false, at, size: 1, group }
    }

    /// A chain of a foundation.
    pub fn chain(at: u32) -> Spot {
        Spot { what: What::Chain, ..Spot::top(Kind::CH, at, 0) }
    }

    /// A chain space.
    pub fn space(at: u32, size: u32, group: u32) -> Spot {
        Spot { what: What::Space, size, ..Spot::top(Kind::CH, at, group) }
    }

    /// One chain of a run, the first being 0.
    pub fn chain_of_run(self, n: u32) -> Spot {
        Spot { what: What::Chain, at: self.at + n, size: 1, ..self }
    }

    /// The end of a row.
    pub fn row_end(course: u32) -> Spot {
        Spot { what: What::RowEnd, ..Spot::top(Kind::plain(Base::Ch), course, 0) }
    }

    /// A stitch not known.
    pub fn wild() -> Spot {
        Spot { what: What::Wild, ..Spot::top(Kind::SC, 0, 0) }
    }

    /// Whether "next st" finds it.
    pub fn is_stitch(self) -> bool {
        matches!(self.what, What::Top | What::Chain | What::Wild | What::RowEnd)
    }

    /// What a stitch worked here stands on.
    pub fn standing(self) -> Standing {
        match (self.what, self.before) {
            (What::Wild, _) => Standing::Nothing,
            (What::Space, false) => Standing::Space(self.at),
            (What::RowEnd, false) => Standing::RowEnd(self.at),
            (What::RowEnd, true) => Standing::BeforeRowEnd(self.at),
            (_, true) => Standing::Before(self.at),
            (_, false) => Standing::Stitch(self.at),
        }
    }
}

/// Whether a place of kind `have` answers to the name `want`: a name without a post answers
/// to the raised stitch too, and a decrease answers to the name of its stitch.
pub(super) fn answers(have: Kind, want: Kind) -> bool {
    have == want
        || (have.base == want.base
            && (want.post == have.post || want.post == crate::standards::stitches::Post::No)
            && (want.together <= 1 || want.together == have.together)
            && (want.form == have.form || want.form == crate::standards::stitches::Form::Plain))
}
