//! The worked fabric as plain data.

use crate::standards::stitches::Kind;
pub use crate::written::tree::{Loop, Shape};
use std::collections::BTreeMap;
use std::ops::Range;

/// Every stitch of one piece in one size, in working order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fabric {
    /// Every stitch, each chain included, in the order made. Joining slip stitches too.
    pub stitches: Vec<Stitch>,
    /// Foundations, rows and rounds, in the order made. Each holds a run of `stitches`.
    pub courses: Vec<Course>,
    /// Names of the colours; a stitch's `colour` is a place in this list.
    pub colours: Vec<String>,
    /// Abbreviations of the design's own stitches ([`Base::Special`] is a place in it).
    ///
    /// [`Base::Special`]: crate::standards::stitches::Base::Special
    pub specials: Vec<String>,
    /// Seams made.
    pub seams: Vec<SeamMade>,
    /// How many times rounds were joined.
    pub joins: u32,
    /// How often the yarn was fastened off.
    pub fasten_offs: u32,
}

impl Fabric {
    /// Stitches of a course.
    pub fn of(&self, course: &Course) -> &[Stitch] {
        self.stitches
            .get(course.stitches.start as usize..course.stitches.end as usize)
            .unwrap_or(&[])
    }
}

/// How many there are of each kind. Runs of one kind, of which fabric is made, are counted before
/// they are looked up.
pub(super) fn tally<'a>(stitches: impl Iterator<Item = &'a Stitch>) -> BTreeMap<Kind, u64> {
    let mut all: BTreeMap<Kind, u64> = BTreeMap::new();
    let mut run: Option<(Kind, u64)> = None;
    for stitch in stitches {
        match &mut run {
            Some((kind, n)) if *kind == stitch.kind => *n += 1,
            _ => {
                if let Some((kind, n)) = run.replace((stitch.kind, 1)) {
                    *all.entry(kind).or_default() += n;
                }
            }
        }
    }
    if let Some((kind, n)) = run {
        *all.entry(kind).or_default() += n;
    }
    all
}

/// One stitch; 32 bytes at most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stitch {
    /// What it is.
    pub kind: Kind,
    /// Whether it is counted, joins, shapes…
    pub role: Role,
    /// Through which loop it is worked.
    pub loops: Loop,
    /// How many places it draws together; 1 for a plain stitch, 0 for a chain.
    pub bases: u8,
    /// Its colour: a place in [`Fabric::colours`].
    pub colour: u8,
    /// What it stands on.
    pub base: Standing,
    /// The last of the places it draws together; the same as `base` for a plain stitch.
    pub last: u32,
    /// Stitches worked into one place as a group share a number; 0 for none.
    pub group: u32,
}

/// What part a stitch plays.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Role {
    /// A stitch of the fabric: it counts.
    #[default]
    Counted,
    /// A chain of the foundation.
    Foundation,
    /// A chain that makes a space.
    Space,
    /// A beginning chain that does not count, or the lower part of one that does.
    Rise,
    /// The top of a beginning chain that counts as a stitch.
    CountedRise,
    /// A slip stitch that closes a round.
    Join,
    /// A slip stitch that only travels or shapes.
    Travel,
    /// A picot or another ornament standing on a stitch.
    Ornament,
    /// A stitch of a seam.
    Seam,
}

/// What a stitch stands on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Standing {
    /// Nothing: a chain, or a stitch that is its own foundation.
    #[default]
    Nothing,
    /// The top (or the post, see the kind) of a stitch or a single chain of this piece.
    Stitch(u32),
    /// The space under a run of chains: the first of them.
    Space(u32),
    /// The end of a row: its place in [`Fabric::courses`].
    RowEnd(u32),
    /// The ring.
    Ring,
    /// A place of the piece worked before this one: a stitch of its fabric.
    Before(u32),
    /// The end of a row of the piece worked before this one.
    BeforeRowEnd(u32),
}

/// One foundation, row or round.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Course {
    /// Foundation, row or round.
    pub shape: CourseShape,
    /// Its number as the labels count, if it has one.
    pub number: Option<u32>,
    /// The line that works it: a place in the piece's lines.
    pub line: u32,
    /// Its stitches, joins and chains included.
    pub stitches: Range<u32>,
    /// The stitches that count.
    pub count: u32,
    /// Its chain spaces.
    pub spaces: u32,
    /// Whether the work was turned before it.
    pub turned: bool,
    /// Whether it was closed with a slip stitch.
    pub joined: bool,
    /// What it is worked on.
    pub ground: Ground,
    /// The colour it begins with.
    pub colour: u8,
    /// Whether its stitches were drawn together and closed.
    pub gathered: bool,
}

/// What shape a course has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum CourseShape {
    /// A foundation chain.
    #[default]
    Foundation,
    /// A row.
    Row,
    /// A round.
    Round,
}

/// What a course is worked on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Ground {
    /// Nothing, or its own foundation.
    #[default]
    Nothing,
    /// The foundation chain.
    Chain,
    /// The ring.
    Ring,
    /// Another course of this piece: its place in [`Fabric::courses`].
    Course(u32),
    /// Row ends.
    RowEnds,
    /// Loops left free by an earlier course.
    FreeLoops,
    /// The piece worked before.
    Before,
}

/// A seam.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SeamMade {
    /// The line that makes it.
    pub line: u32,
    /// Its slip stitches; 0 for a sewn seam.
    pub stitches: u32,
    /// Whether it joins the last row to the foundation, which makes a tube.
    pub to_foundation: bool,
}
