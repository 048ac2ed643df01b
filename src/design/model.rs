//! What a design file says, typed, every value with its place in the file.

use crate::diag::{Origin, Place, SourceId};
use crate::quantity::{Length, Mass, Percent, Units};
use crate::standards::stitches::Terms;
use serde::Serialize;

/// A value with its place in the design file.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub place: Place,
}

/// A text with the way back from each of its bytes to the design file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Text {
    /// The text as meant: escapes resolved, line ends plain.
    pub text: String,
    /// The way back from a byte of the text to the file.
    pub origin: Origin,
    /// The whole value in the file.
    pub place: Place,
}

impl Text {
    /// The text.
    pub fn as_str(&self) -> &str {
        &self.text
    }
}

/// A calendar date.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Date {
    /// Year.
    pub year: u16,
    /// Month, from 1.
    pub month: u8,
    /// Day, from 1.
    pub day: u8,
}

impl std::fmt::Display for Date {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// A whole design.
#[derive(Clone, Debug, PartialEq)]
pub struct Design {
    /// The file it was read from.
    pub source: SourceId,
    /// Title, names and words about the pattern.
    pub pattern: Pattern,
    /// The naming system of the written text.
    pub terms: Terms,
    /// The yarns, in the file's order.
    pub yarns: Vec<Yarn>,
    /// The hooks, in the file's order.
    pub hooks: Vec<Hook>,
    /// Tools and trims.
    pub materials: Materials,
    /// The gauges, in the file's order.
    pub gauges: Vec<Gauge>,
    /// A finished sample, weighed and measured.
    pub sample: Option<Sample>,
    /// How it is to sit.
    pub fit: Fit,
    /// The sizes, smallest head first as the file lists them.
    pub sizes: Vec<Size>,
    /// How depths are given, for heads between the sizes.
    pub depth: DepthRule,
    /// The graded numbers, in the file's order.
    pub counts: Vec<Count>,
    /// What the booklet calls those numbers, by name.
    pub count_names: Vec<(Placed<String>, Text)>,
    /// Special stitches defined by this design.
    pub specials: Vec<Special>,
    /// The pieces, in working order.
    pub pieces: Vec<Piece>,
    /// Steps of finishing, in order, as prose.
    pub finishing: Vec<Text>,
    /// The pompom, if there is one.
    pub pompom: Option<Pompom>,
    /// Earlier and present editions, in the file's order.
    pub history: Vec<HistoryEntry>,
}

impl Design {
    /// The gauge of this name.
    pub fn gauge(&self, name: &str) -> Option<&Gauge> {
        self.gauges.iter().find(|g| g.name == name)
    }
    /// What the booklet calls a graded number: its own words, else its name as words.
    pub fn printed_count(&self, name: &str) -> String {
        let own = self.count_names.iter().find(|(n, _)| n.value == name);
        own.map_or_else(|| name.replace('_', " "), |(_, words)| words.as_str().to_owned())
    }
    /// The hook of this name.
    pub fn hook(&self, name: &str) -> Option<&Hook> {
        self.hooks.iter().find(|h| h.name == name)
    }
    /// The yarn of this name.
    pub fn yarn(&self, name: &str) -> Option<&Yarn> {
        self.yarns.iter().find(|y| y.name.text == name)
    }
    /// The size of this id with its position.
    pub fn size(&self, id: &str) -> Option<(usize, &Size)> {
        self.sizes.iter().enumerate().find(|(_, s)| s.id == id)
    }
}

/// Title, names and words about the pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct Pattern {
    /// The pattern's name.
    pub title: Text,
    /// Who made it.
    pub by: Text,
    /// The edition printed.
    pub edition: Text,
    /// The edition's date.
    pub date: Option<Placed<Date>>,
    /// The project level, as one of the standard names.
    pub skill: Option<Placed<String>>,
    /// What it is, as prose.
    pub about: Option<Text>,
    /// Picture file, as written, relative to the design file.
    pub photo: Option<Text>,
    /// What the picture shows, for those who do not see it.
    pub alt: Option<Text>,
    /// The licence line.
    pub rights: Option<Text>,
    /// Where a buyer asks for help.
    pub contact: Option<Text>,
    /// The lesson on video.
    pub video: Option<Video>,
    /// The unit system the design thinks in; printed first.
    pub units: Units,
}

/// A lesson on video.
#[derive(Clone, Debug, PartialEq)]
pub struct Video {
    /// Its address.
    pub url: Text,
    /// Where its parts begin, in the file's order.
    pub chapters: Vec<Chapter>,
}

/// A part of the video.
#[derive(Clone, Debug, PartialEq)]
pub struct Chapter {
    /// Its label, as written; where it is a piece's name in any case, it is that piece's.
    pub label: String,
    /// Seconds from the start.
    pub seconds: u32,
    /// Where it stands.
    pub place: Place,
}

impl Chapter {
    /// The time as "m:ss" or "h:mm:ss".
    pub fn clock(&self) -> String {
        let (h, m, s) = (self.seconds / 3600, self.seconds / 60 % 60, self.seconds % 60);
        if h > 0 { format!("{h}:{m:02}:{s:02}") } else { format!("{m}:{s:02}") }
    }
}

/// One yarn.
#[derive(Clone, Debug, PartialEq)]
pub struct Yarn {
    /// The letter or word the text uses for it.
    pub name: Text,
    /// What it is, as prose.
    pub about: Option<Text>,
    /// The published weight category, 0 to 7.
    pub weight: Option<Placed<u8>>,
    /// Mass of a ball.
    pub ball_mass: Option<Placed<Mass>>,
    /// Length on a ball.
    pub ball_length: Option<Placed<Length>>,
    /// How many balls the design promises to stay within.
    pub balls_to_use: Option<Placed<f64>>,
    /// The colour, in words.
    pub colour: Option<Text>,
    /// What to add for safety when working out amounts.
    pub margin: Option<Placed<Percent>>,
    /// Its whole table.
    pub place: Place,
}

/// One hook.
#[derive(Clone, Debug, PartialEq)]
pub struct Hook {
    /// The name the rest of the file uses.
    pub name: String,
    /// Its diameter.
    pub size: Length,
    /// The size in the file.
    pub place: Place,
}

/// Tools and trims.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Materials {
    /// Other things needed, as prose, in order.
    pub notions: Vec<Text>,
    /// Hard or hanging trims, by the standard words for safety.
    pub trims: Vec<Placed<String>>,
    /// Whether the hat also covers neck, face or shoulders.
    pub covers_neck: bool,
}

/// A gauge, as measured on a swatch.
#[derive(Clone, Debug, PartialEq)]
pub struct Gauge {
    /// The name formulas and pieces use.
    pub name: String,
    /// Stitches over [`Gauge::over`].
    pub sts: Placed<f64>,
    /// Rows or rounds over [`Gauge::over`].
    pub rows: Placed<f64>,
    /// The length both are counted over.
    pub over: Placed<Length>,
    /// The stitch pattern of the swatch, as prose.
    pub about: Option<Text>,
    /// The hook, by name.
    pub hook: Option<Placed<String>>,
    /// The yarn, by name.
    pub yarn: Option<Placed<String>>,
    /// What the swatch weighs.
    pub swatch_mass: Option<Placed<Mass>>,
    /// The swatch's width and height where it is not `over` by `over`.
    pub swatch_size: Option<(Length, Length)>,
    /// Whether it was measured after washing.
    pub washed: Option<bool>,
    /// How far the fabric stretches in width, in comfort.
    pub stretch: Option<Placed<Percent>>,
    /// Its whole table.
    pub place: Place,
}

impl Gauge {
    /// Width of one stitch.
    pub fn stitch_width(&self) -> Length {
        self.over.value / self.sts.value
    }
    /// Height of one row or round.
    pub fn row_height(&self) -> Length {
        self.over.value / self.rows.value
    }
    /// Width and height of the swatch that was weighed.
    pub fn swatch(&self) -> (Length, Length) {
        self.swatch_size.unwrap_or((self.over.value, self.over.value))
    }
}

/// A finished sample, weighed and measured, to check the working out against.
#[derive(Clone, Debug, PartialEq)]
pub struct Sample {
    /// The size it was made in.
    pub size: Placed<String>,
    /// What it took of each yarn, by yarn name.
    pub mass: Vec<(String, Placed<Mass>)>,
    /// Its girth, lying relaxed.
    pub girth: Option<Placed<Length>>,
    /// Its depth, cuff turned as worn.
    pub depth: Option<Placed<Length>>,
    /// Its whole table.
    pub place: Place,
}

/// Finished girth against the head.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Ease {
    /// A length to add to the head; negative is smaller than the head.
    Length(Length),
    /// A share of the head to add; negative is smaller than the head.
    Percent(Percent),
}

impl Ease {
    /// What to add to this head.
    pub fn on(self, head: Length) -> Length {
        match self {
            Ease::Length(l) => l,
            Ease::Percent(p) => head * p.share(),
        }
    }
}

/// How the hat is to sit.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// The style of fit, as one of the standard words, where given.
    pub fabric: Option<Placed<String>>,
    /// How far the worked girth may lie from the wish.
    pub margin: Option<Placed<Ease>>,
    /// Its whole table, if there is one.
    pub place: Option<Place>,
}

/// How depths are given.
#[derive(Clone, Debug, PartialEq)]
pub enum DepthRule {
    /// The standard rule: a share of the head.
    Standard,
    /// One formula for all.
    Formula(Text),
    /// One for each size; between them in proportion.
    PerSize,
}

/// One size.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// The id used in the file, such as `adult-m`.
    pub id: String,
    /// The name printed, such as "Adult M".
    pub name: String,
    /// The head it is graded for.
    pub head: Length,
    /// The smallest head it is for.
    pub head_min: Length,
    /// The largest head it is for.
    pub head_max: Length,
    /// Age in months from and to, where it is a child's size.
    pub months: Option<(u32, u32)>,
    /// Whether the head is from the published table.
    pub standard: bool,
    /// Its depth as a formula; none means the standard rule.
    pub depth: Option<Text>,
    /// Its ease.
    pub ease: Placed<Ease>,
    /// Where it is listed.
    pub place: Place,
}

/// A rule for a number: a formula, or one for each size. A literal is a formula too.
#[derive(Clone, Debug, PartialEq)]
pub enum Rule {
    /// One for all sizes.
    All(Text),
    /// One for each size.
    PerSize(PerSize),
}

/// A number given size by size.
#[derive(Clone, Debug, PartialEq)]
pub struct PerSize {
    /// Size ids with their formula, in the file's order.
    pub each: Vec<(Placed<String>, Text)>,
    /// For the sizes not named.
    pub rest: Option<Text>,
    /// The whole table.
    pub place: Place,
}

impl Rule {
    /// The formula for a size id.
    pub fn for_size(&self, id: &str) -> Option<&Text> {
        match self {
            Rule::All(text) => Some(text),
            Rule::PerSize(p) => {
                let named = p.each.iter().find(|(s, _)| s.value == id).map(|(_, t)| t);
                named.or(p.rest.as_ref())
            }
        }
    }
    /// The whole value in the file.
    pub fn place(&self) -> Place {
        match self {
            Rule::All(text) => text.place,
            Rule::PerSize(p) => p.place,
        }
    }
}

/// One graded number.
#[derive(Clone, Debug, PartialEq)]
pub struct Count {
    /// The name texts and formulas use.
    pub name: String,
    /// Where the name stands.
    pub name_place: Place,
    /// How it is found.
    pub rule: Rule,
}

/// A special stitch of this design, defined in the written language.
#[derive(Clone, Debug, PartialEq)]
pub struct Special {
    /// Its full name.
    pub name: Text,
    /// Its abbreviation.
    pub abbr: Option<Text>,
    /// Its definition.
    pub text: Text,
    /// What to say of it besides, as prose.
    pub note: Option<Text>,
    /// Its whole table.
    pub place: Place,
}

/// How a piece is worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Worked {
    /// Back and forth.
    Rows,
    /// In rounds, each joined.
    JoinedRounds,
    /// In a spiral, not joined.
    Spiral,
    /// Some of each.
    Mixed,
}

/// The end of a piece that is worked until the ball ends.
#[derive(Clone, Debug, PartialEq)]
pub struct UntilBallEnds {
    /// The number of `[counts]` that says how many rounds there are: found from the yarn, and
    /// no less than its own formula gives.
    pub rounds: Placed<String>,
    /// What must be left over besides what finishes the hat.
    pub keep: Option<Placed<Mass>>,
    /// Its whole table.
    pub place: Place,
}

/// One piece of the hat.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its name.
    pub name: Text,
    /// Its gauge, by name; the only gauge where there is but one.
    pub gauge: Placed<String>,
    /// Its hook, by name.
    pub hook: Option<Placed<String>>,
    /// Its yarn, by name.
    pub yarn: Option<Placed<String>>,
    /// How it is worked.
    pub worked: Placed<Worked>,
    /// The written text.
    pub text: Text,
    /// A remark before the text, as prose.
    pub note: Option<Text>,
    /// What to do with it when it is worked, as prose.
    pub finishing: Option<Text>,
    /// How many to make.
    pub make: u32,
    /// The piece it continues from, by name.
    pub from: Option<Placed<String>>,
    /// The sizes that have it; empty means all.
    pub sizes: Vec<Placed<String>>,
    /// Whether chain stitches count as stitches.
    pub count_chains: bool,
    /// Whether it hangs outside the head: a brim, an earflap, a neck flap.
    pub beyond: bool,
    /// How much of its depth is folded up on the outside.
    pub fold: Option<Rule>,
    /// Where its last rounds are worked until the ball ends.
    pub until_ball_ends: Option<UntilBallEnds>,
    /// Its whole table.
    pub place: Place,
}

/// What a pompom is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum PompomKind {
    /// Wound from yarn.
    Yarn,
    /// Gathered from fur cloth.
    Fur,
    /// Either, at the maker's choice.
    Both,
}

/// The pompom.
#[derive(Clone, Debug, PartialEq)]
pub struct Pompom {
    /// What it is made of.
    pub kind: Placed<PompomKind>,
    /// The sizes that have one; empty means all.
    pub sizes: Vec<Placed<String>>,
    /// Its finished diameter.
    pub diameter: Rule,
    /// The yarn it is wound from, by name.
    pub yarn: Option<Placed<String>>,
    /// Length of the fur's pile.
    pub pile: Option<Placed<Length>>,
    /// Hole of the card rings.
    pub hole: Option<Placed<Length>>,
    /// What to trim off the diameter.
    pub trim: Option<Placed<Length>>,
    /// A remark, as prose.
    pub note: Option<Text>,
    /// Its whole table.
    pub place: Place,
}

/// One line of the edition history.
#[derive(Clone, Debug, PartialEq)]
pub struct HistoryEntry {
    /// The edition.
    pub edition: Text,
    /// Its date.
    pub date: Option<Placed<Date>>,
    /// What changed, as prose.
    pub change: Text,
    /// Its whole table.
    pub place: Place,
}
