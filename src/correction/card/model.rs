//! What a tester wrote on her card, typed, every value with its place.

use crate::design::{Date, Placed};
use crate::diag::{Place, SourceId};
use crate::quantity::{Length, Mass};

/// One card. What was left blank is none.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// The file it was read from.
    pub source: SourceId,
    /// Who made the hat.
    pub tester: Placed<String>,
    /// The design's title.
    pub title: Placed<String>,
    /// The edition she worked from.
    pub edition: Placed<String>,
    /// The size she made, by its id.
    pub size: Placed<String>,
    /// The day she filled the card in.
    pub date: Placed<Date>,
    /// Her swatches, one for each fabric, in the card's order.
    pub gauges: Vec<Swatch>,
    /// Finished girth, lying relaxed.
    pub girth: Option<Placed<Length>>,
    /// Finished depth, cuff turned as worn.
    pub depth: Option<Placed<Length>>,
    /// The balls weighed before and after, by yarn.
    pub yarn: Vec<Weighed>,
    /// Hours worked.
    pub hours: Option<Placed<f64>>,
    /// What was unclear.
    pub unclear: Vec<Unclear>,
    /// Anything else.
    pub notes: String,
}

/// One fabric's gauge as a tester measured it.
#[derive(Clone, Debug, PartialEq)]
pub struct Swatch {
    /// The gauge's name in the design.
    pub name: String,
    /// Where it stands in the card.
    pub place: Place,
    /// The length counted over; none means the design's own.
    pub over: Option<Placed<Length>>,
    /// The hook she ended with; none means the design's own.
    pub hook: Option<Placed<Length>>,
    /// Counted before washing.
    pub before: Counted,
    /// Counted after washing and drying.
    pub after: Counted,
}

/// Stitches and rows counted over a length.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Counted {
    /// Stitches.
    pub sts: Option<Placed<f64>>,
    /// Rows or rounds.
    pub rows: Option<Placed<f64>>,
}

/// One yarn weighed before and after the hat was made.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighed {
    /// The yarn's name in the design.
    pub name: String,
    /// Where it stands in the card.
    pub place: Place,
    /// All balls at the start.
    pub before: Placed<Mass>,
    /// What was left of them.
    pub after: Placed<Mass>,
}

impl Weighed {
    /// What the hat took; at least nothing.
    pub fn used(&self) -> Mass {
        (self.before.value - self.after.value).max(Mass::ZERO)
    }
}

/// Something that was unclear.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unclear {
    /// The line's number as the table copy prints it; none where it concerns no one line.
    pub line: Option<u32>,
    /// What was unclear about it, in the tester's words.
    pub words: String,
    /// Where it stands in the card.
    pub place: Place,
}

impl Card {
    /// The tester's name for comparing: case and blanks apart.
    pub fn who(&self) -> String {
        let words: Vec<&str> = self.tester.value.split_whitespace().collect();
        words.join(" ").to_lowercase()
    }

    /// The swatch of this gauge.
    pub fn swatch(&self, gauge: &str) -> Option<&Swatch> {
        self.gauges.iter().find(|g| g.name == gauge)
    }
}

/// An edition number's parts for comparing: `1.10` is newer than `1.9`. Words count as 0.
pub fn edition_order(edition: &str) -> Vec<u64> {
    let mut parts: Vec<u64> =
        edition.trim().split('.').map(|p| p.trim().parse().unwrap_or(0)).collect();
    while parts.last() == Some(&0) {
        parts.pop();
    }
    parts
}
