//! The syntax tree of written instructions: plain data, independent of any size.
//!
//! Two texts that say the same thing give equal trees: places in the text ([`At`]) compare
//! equal whatever they are, and spellings that mean the same ("sc 5", "1 sc in each of the
//! next 5 sts") are read into one form.

use crate::diag::Span;
pub use crate::standards::stitches::{Base, Form, Kind, Post, Terms};

/// A place in the text. All places compare equal, so that trees compare by their words.
#[derive(Clone, Copy, Debug, Default)]
pub struct At(pub Span);

impl PartialEq for At {
    fn eq(&self, _: &At) -> bool {
        true
    }
}
impl Eq for At {}

/// How the piece is worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Method {
    /// Back and forth, turning after each row.
    Rows,
    /// In rounds, each closed with a slip stitch.
    Joined,
    /// In a spiral, rounds not closed.
    Spiral,
}

/// A number in braces that grading fills in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hole {
    /// The words between the braces, trimmed.
    pub text: String,
    /// The braces and what lies between them.
    pub at: At,
}

/// A number as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Number {
    /// Digits or a number word.
    Plain(u64),
    /// A graded number.
    Hole(Hole),
}

impl Number {
    /// The number one.
    pub const ONE: Number = Number::Plain(1);
}

/// One piece of written instructions.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Piece {
    /// The names its stitches were read under.
    pub terms: Terms,
    /// How it is worked, if the caller said.
    pub method: Option<Method>,
    /// Stitches defined for it: the caller's first, then those of the text.
    pub specials: Vec<Special>,
    /// Its lines in order. Empty lines of the text are left out.
    pub lines: Vec<Line>,
}

/// A stitch the design defines.
#[derive(Clone, Debug, PartialEq)]
pub struct Special {
    /// Its name, as "V-stitch".
    pub name: String,
    /// Its abbreviation, as "V-st"; the name again where there is none.
    pub abbr: String,
    /// What it is made of, where that can be counted: the stitches of one place. `None` for
    /// a stitch that counts as one, however it is made.
    pub made: Option<Vec<Step>>,
    /// The known stitch it only describes ("Popcorn (pc): 5 dc in st, drop loop…").
    pub stands_for: Option<Kind>,
    /// The definition as written.
    pub text: String,
    /// Where it is defined, if in the text.
    pub at: At,
}

/// One line of the text.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The whole line.
    pub at: At,
    /// Its number in the text, from 1.
    pub number: u32,
    /// The sizes it is for; `None` for all.
    pub sizes: Option<Vec<String>>,
    /// What it says.
    pub kind: LineKind,
}

/// What a line says.
#[derive(Clone, Debug, PartialEq)]
pub enum LineKind {
    /// A heading: numbering may begin again after it.
    Heading(String),
    /// A note, with the conventions it sets.
    Note(Note),
    /// The definition of a special stitch: its place in [`Piece::specials`].
    Special(usize),
    /// "Sizes child, adult-s only:" — the lines that follow are for these sizes.
    SizesOnly(Vec<String>),
    /// "All sizes:" — the lines that follow are for every size again.
    AllSizes,
    /// Something to work.
    Work(Work),
    /// A line that could not be read; what could be saved of it.
    Unread(Work),
}

/// A note and the conventions it sets.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Note {
    /// Its words.
    pub words: String,
    /// What it settles.
    pub says: Vec<Convention>,
}

/// A convention that holds from where it is stated.
#[derive(Clone, Debug, PartialEq)]
pub enum Convention {
    /// Whether a beginning chain (of this many, or of any number) counts as a stitch.
    BeginningChain {
        /// The number of chains it is about.
        chains: Option<u64>,
        /// What it counts as; `None` if it does not count.
        counts_as: Option<Kind>,
    },
    /// How the piece is worked.
    Method(Method),
    /// Chains are counted as stitches.
    CountChains,
}

/// A line that is worked.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Work {
    /// "Rnd 1", "Rows 2-9", "Next rnd", "Edging rnd"; none for "Ch 24."
    pub label: Option<Label>,
    /// Which side faces.
    pub side: Option<Side>,
    /// What is done, in order.
    pub steps: Vec<Step>,
    /// What is claimed of the result.
    pub claims: Vec<Claim>,
}

/// Which side of the fabric faces the worker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Right side.
    Right,
    /// Wrong side.
    Wrong,
}

/// Row or round.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Shape {
    /// A row.
    Row,
    /// A round.
    Round,
}

/// The label before a line.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// The label's words.
    pub at: At,
    /// Row or round.
    pub shape: Shape,
    /// Which.
    pub which: Which,
}

/// Which rows or rounds a label names.
#[derive(Clone, Debug, PartialEq)]
pub enum Which {
    /// "Rnd 3".
    One(Number),
    /// "Rnds 3-9".
    Range(Number, Number),
    /// "Rnds 3 and 4", "Rows 3, 5 and 7".
    List(Vec<Number>),
    /// "Next rnd", "Next 4 rnds", "Last rnd": counted on from the line before.
    Next(Number),
    /// "Edging rnd", "Border rnd", "Joining row", "Foundation": one, by name.
    Named(String),
}

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
    /// The last round's stitches are drawn together and closed.
    Gather,
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
    /// the line claims.
    Evenly,
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
    /// The post.
    Post,
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
    /// Where.
    pub target: Option<Target>,
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

/// One claim: all that one bracket says.
#[derive(Clone, Debug, PartialEq)]
pub struct Claim {
    /// Its words.
    pub at: At,
    /// What it says.
    pub items: Vec<ClaimItem>,
}

/// One number claimed.
#[derive(Clone, Debug, PartialEq)]
pub struct ClaimItem {
    /// Its words.
    pub at: At,
    /// How many.
    pub count: Number,
    /// Of what.
    pub unit: Unit,
}

/// What is counted by a claim.
#[derive(Clone, Debug, PartialEq)]
pub enum Unit {
    /// Stitches; also a bare number.
    Stitches,
    /// Stitches of this kind.
    Kind(Kind),
    /// Groups of a special stitch.
    Special(usize),
    /// Chain spaces, of this many chains if said.
    ChainSpaces(Option<Number>),
    /// Single chains.
    Chains,
    /// Fans worked into one place ("6 shells" with no definition).
    Fans,
}
