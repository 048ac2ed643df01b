//! Everything a person can get wrong, as data: one [`Finding`] type for every room.
//!
//! Rooms build findings; [`render`] draws them (text for people, JSON for machines).
//! A finding names its stable code, its place, the sizes it concerns and what would mend it.

pub mod explain;
pub mod nearest;
pub mod render;

use serde::Serialize;

/// A half-open range of bytes in one source.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// A span of the bytes `start..end`; positions past 4 GiB are clamped.
    pub fn new(start: usize, end: usize) -> Self {
        let clamp = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Span { start: clamp(start), end: clamp(end.max(start)) }
    }

    /// The smallest span that holds both.
    pub fn to(self, other: Span) -> Span {
        Span { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The same span moved `by` bytes further on.
    pub fn shifted(self, by: u32) -> Span {
        Span { start: self.start.saturating_add(by), end: self.end.saturating_add(by) }
    }

    /// The span as a range of indices.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

impl From<std::ops::Range<usize>> for Span {
    fn from(r: std::ops::Range<usize>) -> Self {
        Span::new(r.start, r.end)
    }
}

/// Which of the texts in [`Sources`] a place lies in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub struct SourceId(pub u16);

/// One text that was read: a design file, a theme, a tester card or pasted written text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The name shown to the person, as she gave it.
    pub name: String,
    /// The whole text.
    pub text: String,
}

/// All texts of one run, so that places stay small and plain.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sources {
    list: Vec<Source>,
}

impl Sources {
    /// Adds a text and answers its id.
    pub fn add(&mut self, name: impl Into<String>, text: impl Into<String>) -> SourceId {
        let id = SourceId(u16::try_from(self.list.len()).unwrap_or(u16::MAX));
        self.list.push(Source { name: name.into(), text: text.into() });
        id
    }

    /// The text behind an id, if there is one.
    pub fn get(&self, id: SourceId) -> Option<&Source> {
        self.list.get(usize::from(id.0))
    }
}

/// A place in a text that was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
pub struct Place {
    /// Which text.
    pub source: SourceId,
    /// Where in it, in bytes.
    pub span: Span,
}

/// How grave a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// Worth knowing; nothing is wrong.
    Note,
    /// Probably not what was meant; the booklet is still printed.
    Caution,
    /// Wrong: `proof` exits 1 and `publish` writes nothing.
    Fault,
}

/// A second place that explains the first.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Label {
    /// Where.
    pub place: Place,
    /// What is to be seen there.
    pub text: String,
}

/// One thing that is wrong or worth knowing, as plain data.
///
/// `code` is a stable lower-case slug such as `leftover` or `unknown-key`;
/// `brimwright explain CODE` prints its page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// How grave.
    pub severity: Severity,
    /// The stable slug that `explain` knows.
    pub code: &'static str,
    /// One line for the person, numbers included.
    pub message: String,
    /// Where it is, if it has a place.
    pub place: Option<Place>,
    /// What is to be seen at that place, in a few words.
    pub here: String,
    /// Further places.
    pub labels: Vec<Label>,
    /// The sizes it concerns, in the design's order; empty means all of them.
    pub sizes: Vec<String>,
    /// What is wrong in further sizes, where it is not the same as in the first: size and
    /// message.
    pub each: Vec<(String, String)>,
    /// What would mend it.
    pub help: Option<String>,
}

impl Finding {
    /// A fault with this code and message.
    pub fn fault(code: &'static str, message: impl Into<String>) -> Self {
        Finding {
            severity: Severity::Fault,
            code,
            message: message.into(),
            place: None,
            here: String::new(),
            labels: Vec::new(),
            sizes: Vec::new(),
            each: Vec::new(),
            help: None,
        }
    }

    /// A caution with this code and message.
    pub fn caution(code: &'static str, message: impl Into<String>) -> Self {
        Finding { severity: Severity::Caution, ..Finding::fault(code, message) }
    }

    /// A note with this code and message.
    pub fn note(code: &'static str, message: impl Into<String>) -> Self {
        Finding { severity: Severity::Note, ..Finding::fault(code, message) }
    }

    /// Sets the place and the few words shown at it.
    pub fn at(mut self, place: Place, here: impl Into<String>) -> Self {
        self.place = Some(place);
        self.here = here.into();
        self
    }

    /// Adds a second place.
    pub fn label(mut self, place: Place, text: impl Into<String>) -> Self {
        self.labels.push(Label { place, text: text.into() });
        self
    }

    /// Sets what would mend it.
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Sets the sizes it concerns.
    pub fn sizes<S: Into<String>>(mut self, sizes: impl IntoIterator<Item = S>) -> Self {
        self.sizes = sizes.into_iter().map(Into::into).collect();
        self
    }
}

/// Whether any finding is a fault.
pub fn any_fault(findings: &[Finding]) -> bool {
    findings.iter().any(|f| f.severity == Severity::Fault)
}

/// Where a decoded text came from: maps bytes of the text to bytes of its source, so that
/// a fault in a piece's written text is shown in the design file itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Origin {
    /// The source the text was read from.
    pub source: SourceId,
    /// (offset in the text, offset in the source), ascending; between two entries both
    /// advance together. Escapes and trimmed line ends each start a new entry.
    pub steps: Vec<(u32, u32)>,
}

impl Origin {
    /// A text that is its source, byte for byte.
    pub fn whole(source: SourceId) -> Self {
        Origin { source, steps: vec![(0, 0)] }
    }

    /// The place in the source of a span in the text.
    pub fn place(&self, span: Span) -> Place {
        Place {
            source: self.source,
            span: Span { start: self.map(span.start), end: self.map(span.end) },
        }
    }

    fn map(&self, offset: u32) -> u32 {
        let i = self.steps.partition_point(|(text, _)| *text <= offset);
        match i.checked_sub(1).and_then(|i| self.steps.get(i)) {
            Some((text, source)) => source + (offset - text),
            None => offset,
        }
    }
}
