//! Where a line is worked: the list of places the hand is on, and one place as it is taken.

use super::edge::{Spot, What};
use super::model::Standing;

/// Which list of places the hand is on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum On {
    #[default]
    Nothing,
    Top,
    Chain,
    Ring,
    RowEnds,
    Foundation,
    Opposite,
    Free,
}

/// What kinds of places a run of steps asks for.
#[derive(Clone, Debug, Default)]
pub(super) struct Asks {
    pub stitches: bool,
    pub spaces: bool,
    pub groups: bool,
    pub row_ends: bool,
    /// The sizes of spaces asked for by number.
    pub sizes: Vec<u32>,
}

/// A place that a stitch is worked into.
#[derive(Clone, Copy, Debug)]
pub(super) struct Site {
    pub base: Standing,
    pub last: u32,
    pub bases: u8,
    /// Whether it is a stitch top, so that a post stitch can go round it.
    pub post: bool,
}

impl Site {
    pub const NOWHERE: Site = Site { base: Standing::Nothing, last: 0, bases: 0, post: false };
    pub const RING: Site = Site { base: Standing::Ring, last: 0, bases: 1, post: false };

    pub fn at(spot: Spot) -> Site {
        Site {
            base: spot.standing(),
            last: spot.at,
            bases: 1,
            post: matches!(spot.what, What::Top | What::Wild),
        }
    }
}
