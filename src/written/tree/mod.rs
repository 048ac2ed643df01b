//! The syntax tree of written instructions: plain data, independent of any size.
//!
//! Two texts that say the same thing give equal trees: places in the text ([`At`]) compare
//! equal whatever they are, and spellings that mean the same ("sc 5", "1 sc in each of the
//! next 5 sts") are read into one form.

mod acts;
mod places;

use crate::diag::Span;
pub use crate::standards::stitches::{Base, Form, Kind, Post, Terms};
pub use acts::*;
pub use places::*;

/// A place in the text. All places compare equal, so that trees compare by their words.
#[derive(Clone, Copy, Debug, Default)]
pub struct At(pub Span);

impl PartialEq for At {
    fn eq(&self, _: &At) -> bool {
        true
    }
}

impl Eq for At {}

/// The author's own words beside a meaning that the tree tells already, kept so that they can
/// be said again as they were written. Empty where none were kept. All compare equal, so
/// that trees compare by what they mean.
#[derive(Clone, Debug, Default)]
pub struct Words(pub String);

impl PartialEq for Words {
    fn eq(&self, _: &Words) -> bool {
        true
    }
}

impl Eq for Words {}

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
    /// A graded number. Boxed, since few numbers are, and each place and step holds several.
    Hole(Box<Hole>),
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
    /// Of a picot: how many chains it has, where the definition says.
    pub picot: Option<u64>,
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
    /// The line as written, with what opens it ("Seam:") and without its count, where all of
    /// it is a seam, a remark or a way of finishing.
    pub words: Words,
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
    /// "Row 2 and all even-numbered rows": this one, and every other from it on, each worked
    /// when its turn comes.
    EveryOther(Number),
    /// "Rnd 4 onwards": from this one on, as many as the words come to.
    Onward(Number),
    /// "Next rnd", "Next 4 rnds", "Last rnd": counted on from the line before.
    Next(Number),
    /// "Edging rnd", "Border rnd", "Joining row", "Foundation": one, by name.
    Named(String),
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
    /// V-stitches with no definition: two stitches and the chains between them in one place.
    Vees,
}
