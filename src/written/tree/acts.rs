//! What is done, step by step.

use super::{At, Kind, Loop, Number, PlaceKind, Shape, Target, Words};

/// One thing done.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its words.
    pub at: At,
    /// What is done.
    pub act: Act,
}

/// What is done in one step.
#[derive(Clone, Debug, PartialEq)]
pub enum Act {
    /// "ch 3", "ch 4 (counts as dc and ch 1)".
    Chain(Chain),
    /// Stitches worked into places.
    Work(Working),
    /// "skip next 2 sts".
    Skip(Target),
    /// "turn".
    Turn,
    /// "do not turn".
    NoTurn,
    /// "magic ring".
    Ring,
    /// The round is closed; also a foundation chain made into a ring.
    Join(Join),
    /// "do not join".
    NoJoin,
    /// A repeated run of steps.
    Repeat(Repeat),
    /// "join yarn with sl st in next st": the work goes on from there.
    Rejoin(Rejoin),
    /// "leave remaining 6 sts unworked".
    Leave(Leave),
    /// The yarn of another colour is used from here.
    Colour(Colour),
    /// Other lines worked again.
    Again(Again),
    /// "work even": each st in the stitch of the row below.
    Even(Even),
    /// Two edges are joined.
    Seam(Seam),
    /// The work goes on along another edge.
    Along(Edge),
    /// What follows is worked through this loop unless it says otherwise.
    LineLoop(Loop),
    /// "fasten off".
    FastenOff,
    /// The last round's stitches are drawn together and closed, in these words.
    Gather(Words),
    /// Words that change no count: "place marker", "being careful not to twist".
    Remark(String),
}

/// Chains made.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    /// How many.
    pub count: Number,
    /// What is said about their counting, if anything.
    pub counts: Option<ChainCounts>,
}

/// What is said about the counting of a beginning chain.
#[derive(Clone, Debug, PartialEq)]
pub struct ChainCounts {
    /// What it counts as; `None` for "does not count as a st".
    pub as_kind: Option<CountsAs>,
    /// "throughout", "here and throughout".
    pub throughout: bool,
}

/// "counts as dc and ch 1".
#[derive(Clone, Debug, PartialEq)]
pub struct CountsAs {
    /// The stitch it stands for; `None` for "counts as a st".
    pub kind: Option<Kind>,
    /// The chains left over, which make a space.
    pub chains: Option<Number>,
}

/// Stitches worked into places.
#[derive(Clone, Debug, PartialEq)]
pub struct Working {
    /// What is worked into each place.
    pub made: Made,
    /// Where; several for "in same sp and in each ch-3 sp around". Empty only inside a
    /// [`Made::Group`], whose place the group names.
    pub targets: Vec<Target>,
    /// What is said about chains skipped before it ("skipped chs count as first dc").
    pub skipped: Option<ChainCounts>,
    /// What it counts as together with the chain before it: "ch 2, dc in next st (counts as
    /// dc2tog)".
    pub counts_as: Option<Kind>,
    /// What certain places take instead on the same walk ("…, working 3 sc in each corner").
    pub besides: Vec<Besides>,
}

/// What certain places take on a walk along a row ("2 sc in every 3rd st").
#[derive(Clone, Debug, PartialEq)]
pub struct Besides {
    /// What is worked into each of them.
    pub made: Made,
    /// Which places.
    pub target: Target,
}

impl Working {
    /// So many of a stitch, or a group, in these places.
    pub fn new(made: Made, targets: Vec<Target>) -> Working {
        Working { made, targets, skipped: None, counts_as: None, besides: Vec::new() }
    }
}

/// What is worked into each place.
#[derive(Clone, Debug, PartialEq)]
pub enum Made {
    /// So many of one stitch.
    Stitch {
        /// How many.
        count: Number,
        /// Of which.
        kind: Kind,
    },
    /// So many of a special stitch that is made of several: its place in the specials.
    Special {
        /// How many.
        count: Number,
        /// Which.
        special: usize,
    },
    /// "(2 dc, ch 2, 2 dc)": all in one place.
    Group(Vec<Step>),
}

/// A closing.
#[derive(Clone, Debug, PartialEq)]
pub struct Join {
    /// The stitch it is made with.
    pub with: Kind,
    /// What it is made into, if said.
    pub into: Option<JoinPlace>,
    /// "to form a ring".
    pub ring: bool,
}

/// What a joining stitch goes into.
#[derive(Clone, Debug, PartialEq)]
pub enum JoinPlace {
    /// "first st", "first sc".
    First(PlaceKind),
    /// "first ch" of the foundation.
    FirstChain,
    /// "top of beg ch-3"; "3rd ch of ch-4" with the chain counted from its foot.
    BeginningChain {
        /// How many chains it has, if said.
        chains: Option<Number>,
        /// Which of them, if said.
        nth: Option<Number>,
    },
}

/// A repeated run of steps.
#[derive(Clone, Debug, PartialEq)]
pub struct Repeat {
    /// How it was marked.
    pub mark: Mark,
    /// What is repeated.
    pub steps: Vec<Step>,
    /// How often.
    pub times: Times,
    /// "ending last rep at **": the last time, only so many of the steps are worked.
    pub last_stops: Option<usize>,
}

/// How a repeat was marked. Marks are read as the same words when trees are compared.
#[derive(Clone, Copy, Debug, Default)]
pub enum Mark {
    /// `[…] 6 times`, `(…) x 6`.
    #[default]
    Bracket,
    /// `*…; rep from * around`.
    Star,
    /// `*…*, rep between * * 5 more times`.
    Between,
}

impl PartialEq for Mark {
    fn eq(&self, _: &Mark) -> bool {
        true
    }
}

/// How often a run of steps is worked.
#[derive(Clone, Debug, PartialEq)]
pub enum Times {
    /// So often in all.
    Total(Number),
    /// Once, and so many times more.
    More(Number),
    /// Until no place is left.
    Around,
    /// Until so many places are left for what follows.
    ToLast {
        /// How many.
        count: Number,
        /// Places of which kind.
        place: PlaceKind,
    },
    /// Until the turning chain is left for what follows.
    ToTurningChain,
}

/// Yarn joined anew.
#[derive(Clone, Debug, PartialEq)]
pub struct Rejoin {
    /// The stitch it is joined with; `None` for "join yarn".
    pub with: Option<Kind>,
    /// Whether that stitch counts (a standing dc, "join with sc").
    pub counts: bool,
    /// Where. Boxed: yarn is seldom joined, and every step would be as large.
    pub target: Option<Box<Target>>,
    /// The colour joined, if said.
    pub colour: Option<String>,
}

/// Places left unworked.
#[derive(Clone, Debug, PartialEq)]
pub struct Leave {
    /// How many, if said.
    pub count: Option<Number>,
}

/// A change of colour.
#[derive(Clone, Debug, PartialEq)]
pub struct Colour {
    /// The colour used from here on; `None` for a drop or cut alone.
    pub to: Option<String>,
    /// The words.
    pub words: String,
}

/// Other lines worked again.
#[derive(Clone, Debug, PartialEq)]
pub struct Again {
    /// Row or round.
    pub shape: Shape,
    /// Which, in order, as first and last numbers ("Rnds 2-4" is `[(2, 4)]`).
    pub which: Vec<(Number, Number)>,
    /// "Rep last 2 rnds": so many of the last, instead of numbers.
    pub last: Option<Number>,
    /// The part they belong to, where the words say: "of first earflap".
    pub of: Option<String>,
    /// How often.
    pub times: AgainTimes,
    /// "ending with a Row 3".
    pub ending: Option<Number>,
}

/// How often lines are worked again.
#[derive(Clone, Debug, PartialEq)]
pub enum AgainTimes {
    /// As the label of the line asks; once where it asks nothing.
    AsLabelled,
    /// So many times (more): each time is worked anew.
    Times(Number),
    /// For so many rows or rounds.
    Courses(Number),
    /// Until so many stitches remain.
    UntilRemain(Number),
    /// Until so many rows or rounds are worked in all.
    UntilWorked(Number),
}

/// "Work even for 6 rnds".
#[derive(Clone, Debug, PartialEq)]
pub struct Even {
    /// How many rows or rounds, if the words say.
    pub count: Option<Number>,
    /// "until 20 rnds in all", if the words say.
    pub until: Option<Number>,
    /// The stitch, if the words say.
    pub kind: Option<Kind>,
    /// How the row is shaped on the way, if it is: "dec 1 st at each end".
    pub shaping: Option<Shaping>,
}

/// A row or round that is even but for a few stitches more or less.
#[derive(Clone, Debug, PartialEq)]
pub struct Shaping {
    /// Whether stitches are gained or lost.
    pub grows: bool,
    /// Where.
    pub at: ShapedAt,
}

/// Where a row is shaped.
#[derive(Clone, Debug, PartialEq)]
pub enum ShapedAt {
    /// So many stitches, evenly spaced.
    Evenly(Number),
    /// One stitch at each end.
    Ends {
        /// Every row (1), or every other one (2), the first of them shaped.
        every: u64,
        /// "until 4 sts remain".
        until: Option<Number>,
    },
}

/// Two edges joined.
#[derive(Clone, Debug, PartialEq)]
pub struct Seam {
    /// The stitch; `None` for a sewn seam (whip stitch, mattress stitch).
    pub with: Option<Kind>,
    /// How many stitches, if said.
    pub count: Option<Number>,
    /// Whether the last row is seamed to the foundation.
    pub to_foundation: bool,
    /// The words.
    pub words: String,
}

/// An edge to work along.
#[derive(Clone, Debug, PartialEq)]
pub enum Edge {
    /// The other side of the foundation chain.
    FoundationOpposite,
    /// The foundation chain.
    Foundation,
    /// The free front or back loops of a round.
    FreeLoops {
        /// Which loops.
        loops: Loop,
        /// Of which row or round, if said.
        of: Option<Number>,
    },
    /// A side of the piece, in row ends.
    Side,
    /// The top of the last row or round, or of the one named.
    Top(Option<Number>),
}
