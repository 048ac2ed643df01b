//! Places to work into: which, how many, which part of them.

use super::{At, Kind, Number, Words};

/// A place, or a run of places, to work into or to pass over.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// Its words.
    pub at: At,
    /// Which of them, and how many.
    pub reach: Reach,
    /// What is looked for.
    pub place: PlaceKind,
    /// The part of it that is worked into.
    pub part: Part,
    /// Which loop.
    pub loops: Loop,
    /// The numbered row or round it lies in, where one is named ("of Rnd 2").
    pub of: Option<Number>,
}

impl Target {
    /// The next `count` stitches.
    pub fn next(count: Number) -> Target {
        Target {
            at: At::default(),
            reach: Reach::Next(count),
            place: PlaceKind::Stitch,
            part: Part::Whole,
            loops: Loop::Both,
            of: None,
        }
    }
}

/// Which places, and how many.
#[derive(Clone, Debug, PartialEq)]
pub enum Reach {
    /// "next st", "next 5 sts", "each of next 5 sts".
    Next(Number),
    /// "first st", "first 3 sts".
    First(Number),
    /// "last st", "last 3 sts".
    Last(Number),
    /// "same st".
    Same,
    /// "same st as join", "same st as sl st".
    SameAsJoin,
    /// "each st around", "each st across", "around".
    Each(Extent),
    /// "every other st", "every 3rd st": those before each of them are passed over.
    Every(Number, Extent),
    /// "remaining 4 sts"; without a number, all that are left.
    Remaining(Option<Number>),
    /// "2nd ch from hook", "8th st from fasten off".
    Nth(Number),
    /// "any st".
    Any,
    /// "skipped st": those passed over last.
    Skipped(Number),
    /// "next 10 unworked sts", "each of 4 unworked sts".
    Unworked(Option<Number>),
    /// "evenly around": so many as are made, wherever they go. One made stands for as many as
    /// the line claims. The words that follow "evenly" are kept.
    Evenly(Words),
    /// "6 sts evenly": so many of them, evenly spaced along a walk.
    Spread(Number),
    /// "all 10 sts": the row below and what was left behind it.
    All(Number),
}

/// How far "each" reaches.
#[derive(Clone, Debug, PartialEq)]
pub enum Extent {
    /// To the end of the row or round.
    End,
    /// To the last so many places of a kind, which are left for what follows.
    ToLast {
        /// How many are left.
        count: Number,
        /// Places of which kind.
        place: PlaceKind,
    },
    /// To the top of the turning chain, which is left for what follows.
    ToTurningChain,
    /// To the next place of a kind ("to next ch-2 sp", "to corner"), which is left.
    ToNext(PlaceKind),
}

/// What kind of place.
#[derive(Clone, Debug, PartialEq)]
pub enum PlaceKind {
    /// Any stitch.
    Stitch,
    /// A stitch of this kind.
    Named(Kind),
    /// A stitch made of several, or the design's own: its place in the specials.
    Special(usize),
    /// Any of several kinds ("each sc and pc", "each st and ch-1 sp").
    AnyOf(Vec<PlaceKind>),
    /// A single chain.
    Chain,
    /// A chain space, of this many chains if said.
    ChainSpace(Option<Number>),
    /// The ring.
    Ring,
    /// The end of a row.
    RowEnd,
    /// The top of the turning or beginning chain, of this many chains if said.
    TurningChain(Option<Number>),
    /// The space between two stitches.
    Between,
    /// A run of stitches worked into one place ("5-sc corner", "shell"), so many if said.
    Fan {
        /// How many stitches it has.
        count: Option<Number>,
        /// Of which kind.
        kind: Option<Kind>,
    },
}

/// Which part of a place is worked into.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// The place itself.
    Whole,
    /// The middle stitch of a group, of this kind if said.
    Centre(Option<Kind>),
    /// A chain space inside a group, of this many chains if said.
    SpaceOf(Option<Number>),
    /// The first stitch of a group.
    FirstOf(Option<Kind>),
    /// The last stitch of a group.
    LastOf(Option<Kind>),
    /// That stitch of a group ("3rd dc of next shell").
    NthOf(Number, Option<Kind>),
    /// The post.
    Post,
    /// The space behind it, before the next of its kind: "sp between next 2 dc".
    After,
    /// So many rows below the place.
    Below(Number),
    /// That chain of a chain counted from its foot ("3rd ch of beg ch-4").
    NthChain(Number),
}

/// Which loop of a place is worked into.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Loop {
    /// Both, as usual.
    #[default]
    Both,
    /// Back loop only.
    Back,
    /// Front loop only.
    Front,
    /// The third loop of a half double.
    Third,
    /// The bump at the back of a chain.
    Bump,
}
