//! The device-free document: headings, paragraphs, lists, rounds, tables, figures.
//!
//! Every block has a role, so that tags, HTML and plain text all follow from one model.
//! A block says what it is; the page theme decides how it looks.

use crate::figure::Drawing;
use serde::Serialize;

/// A calendar day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Date {
    /// Year, four digits.
    pub year: u16,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, 1 to 31.
    pub day: u8,
}

impl Date {
    /// `5 October 2026`, kept on one line up to the year.
    pub fn words(self) -> String {
        const MONTHS: [&str; 12] = [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ];
        match usize::from(self.month).checked_sub(1).and_then(|m| MONTHS.get(m)) {
            Some(month) => format!("{}\u{a0}{month} {}", self.day, self.year),
            None => format!("{:04}-{:02}-{:02}", self.year, self.month, self.day),
        }
    }
}

/// A whole booklet in reading order.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Document {
    /// What catalogues and page heads need.
    pub meta: Meta,
    /// The contents, in reading order.
    pub blocks: Vec<Block>,
    /// Pictures that figures refer to by index.
    pub pictures: Vec<Picture>,
}

/// What catalogues and page heads need.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Meta {
    /// The design's title.
    pub title: String,
    /// Who made the design.
    pub author: String,
    /// One sentence on what the document is.
    pub subject: String,
    /// Search words.
    pub keywords: Vec<String>,
    /// Language as a BCP 47 tag: `en-US` or `en-GB`.
    pub language: String,
    /// Edition number, such as `1.0`.
    pub edition: String,
    /// The edition's date: also the file's creation date, so that bytes repeat.
    pub date: Date,
    /// Running title at the head of each page but the first.
    pub running_title: String,
    /// Running line at the foot of each page, beside the page number.
    pub running_foot: String,
}

/// A raster picture, by its original bytes.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Picture {
    /// Name for messages, as given in the design.
    pub name: String,
    /// JPEG or PNG file bytes, untouched.
    #[serde(skip)]
    pub bytes: Vec<u8>,
}

/// A run of text with its meaning.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub enum Inline {
    /// Plain words. A no-break space keeps its neighbours on one line.
    Text(String),
    /// Words of weight.
    Strong(Vec<Inline>),
    /// Words said differently: titles, notes.
    Emphasis(Vec<Inline>),
    /// An abbreviation and what it stands for (becomes expansion text).
    Abbreviation {
        /// As printed.
        text: String,
        /// In full.
        expansion: String,
    },
    /// A place to go.
    Link {
        /// Where it leads.
        target: Target,
        /// What is shown.
        content: Vec<Inline>,
    },
    /// Words that must stay on one line (`sc 2`, `(36 sts)`).
    Keep(Vec<Inline>),
    /// The line ends here.
    Break,
}

/// Where a link leads.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub enum Target {
    /// A heading's anchor in this document.
    Anchor(String),
    /// An address outside.
    Uri(String),
}

/// Text with meaning.
pub type Text = Vec<Inline>;

/// Plain words as [`Text`].
pub fn plain(words: impl Into<String>) -> Text {
    vec![Inline::Text(words.into())]
}

/// One block of the document.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub enum Block {
    /// The title page. At most one, first.
    Cover(Box<Cover>),
    /// A heading; kept with what follows.
    Heading(Heading),
    /// A paragraph.
    Paragraph(Paragraph),
    /// A list.
    List(List),
    /// Written rows or rounds: label, words and count, never parted from each other.
    Rounds(Vec<Round>),
    /// What is worked in several sizes, said in two ways for the typesetter to choose from.
    Sized(Sized),
    /// A table.
    Table(Table),
    /// A picture or a drawing.
    Figure(Figure),
    /// Blocks set in `count` columns where the page is wide enough.
    Columns {
        /// How many columns to aim for.
        count: u8,
        /// What stands in them, in reading order.
        blocks: Vec<Block>,
    },
    /// Blocks that stay on one page if they fit one.
    Keep(Vec<Block>),
    /// A set-apart note: a caution, a tip.
    Aside(Aside),
    /// Lines to fill in by hand.
    Form(Vec<Field>),
    /// What follows begins on a new page.
    PageBreak,
    /// The contents list, made by the typesetter from the headings with `listed`; printed
    /// only when the booklet has more than eight pages.
    Contents,
}

impl Block {
    /// The heading that this block begins with.
    pub fn heading(&self) -> Option<&Heading> {
        match self {
            Block::Heading(heading) => Some(heading),
            Block::Keep(blocks) => blocks.first()?.heading(),
            _ => None,
        }
    }
}

/// The title page.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Cover {
    /// Title of the design.
    pub title: String,
    /// Maker's name.
    pub by: String,
    /// One or two sentences on the design.
    pub about: Text,
    /// The photo.
    pub photo: Option<Figure>,
    /// Short facts in order: skill level, sizes at a glance, terms, edition and date.
    pub facts: Vec<(String, Text)>,
    /// Rights line.
    pub rights: Text,
}

/// A heading.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Heading {
    /// 1 for chapters, 2 for sections, 3 for parts of them. Levels are never skipped.
    pub level: u8,
    /// The words.
    pub text: Text,
    /// Name that links use.
    pub anchor: Option<String>,
    /// Whether it stands in the contents list and the outline.
    pub listed: bool,
}

/// A paragraph and its kind.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Paragraph {
    /// The words.
    pub text: Text,
    /// What kind.
    pub kind: ParagraphKind,
}

/// Kinds of paragraph.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum ParagraphKind {
    /// Ordinary.
    Body,
    /// Opening words of a chapter.
    Lead,
    /// A designer's note beside the instructions.
    Note,
    /// Small print: sources, rights.
    Small,
}

/// A list.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct List {
    /// What stands before each item.
    pub marker: Marker,
    /// Items, each of one or more blocks.
    pub items: Vec<Vec<Block>>,
}

/// What stands before a list item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Marker {
    /// A small mark.
    Bullet,
    /// 1, 2, 3.
    Number,
    /// An empty box to tick.
    Tick,
    /// Nothing.
    Plain,
}

/// One written row or round (or a line that goes before or after them).
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Round {
    /// `Rnd 4`, `Rows 2–30`; empty for lines without a number.
    pub label: Text,
    /// The instruction.
    pub body: Text,
    /// The count at the line's end, brackets included.
    pub count: Option<Text>,
    /// Whether a box to tick stands before the line.
    pub tick: bool,
    /// How many small boxes to count rounds or repeats with stand under the line.
    pub counter: u16,
    /// A short line said in small type under the instruction (a note, a video time).
    pub note: Option<Text>,
}

/// Rounds of several sizes in two ways that say the same.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Sized {
    /// Each line with its numbers for all sizes in brackets.
    pub brackets: Vec<Block>,
    /// The widest of those brackets.
    pub widest: String,
    /// Letters in the place of brackets, and a table of them by size: for where the widest
    /// bracket does not fit a line.
    pub by_size: Vec<Block>,
}

/// A table. Every column and row is kept whole; the head repeats over page breaks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Table {
    /// Said above the table; also its title for readers.
    pub caption: Option<Text>,
    /// Columns, left to right.
    pub columns: Vec<Column>,
    /// Head rows.
    pub head: Vec<Vec<Cell>>,
    /// Body rows.
    pub body: Vec<Vec<Cell>>,
    /// Whether the first cell of each body row is its head.
    pub row_heads: bool,
    /// Said under the table in small type: sources, exceptions.
    pub notes: Vec<Text>,
}

/// One column.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Column {
    /// How its cells align.
    pub align: Align,
}

/// How text aligns.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub enum Align {
    /// To the left edge.
    Left,
    /// To the right edge (numbers).
    Right,
    /// To the middle.
    Centre,
}

/// One table cell.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Cell {
    /// The words.
    pub text: Text,
    /// How many columns it spans, at least 1.
    pub span: u8,
}

impl Cell {
    /// A cell of plain words over one column.
    pub fn plain(words: impl Into<String>) -> Cell {
        Cell { text: plain(words), span: 1 }
    }
}

/// A picture or drawing with its words.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Figure {
    /// What is shown.
    pub art: Art,
    /// What it shows, for who cannot see it. Never empty.
    pub alt: String,
    /// Said under it.
    pub caption: Option<Text>,
    /// How large.
    pub fit: Fit,
}

/// What a figure shows.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub enum Art {
    /// Index into [`Document::pictures`].
    Picture(usize),
    /// Drawn in millimetres.
    Drawing(Drawing),
}

/// How large a figure is set.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub enum Fit {
    /// This share of the text width, never taller than the page; what is wider than the text
    /// reaches into the margin column, as far as that goes.
    Width(f64),
    /// True scale: one drawing millimetre is one paper millimetre. A drawing larger than
    /// the page is cut into overlapping sheets with joining marks.
    TrueScale,
}

/// A set-apart note.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Aside {
    /// Its heading words.
    pub title: Text,
    /// What it says.
    pub blocks: Vec<Block>,
}

/// One line to fill in by hand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Field {
    /// What to write.
    pub label: Text,
    /// How many ruled lines; 1 puts the line beside the label.
    pub lines: u8,
    /// Unit printed after the line, if any.
    pub unit: Option<String>,
}
