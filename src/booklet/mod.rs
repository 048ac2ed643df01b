//! The booklet: a proved design as one device-free document.
//!
//! Takes a [`Proved`] design and the reader's [`Choices`], gives a
//! [`document::Document`]: what is said, with roles and reading order, never millimetres of
//! the page. Each chapter has a file of its own. No sentence about making a stitch is put
//! together here: those come from [`crate::written::say`]. No figure is typed: each is
//! read off the design, its grading, or its worked fabric.

mod back;
mod counts;
pub mod document;
mod drawings;
mod front;
mod gauges;
mod heads;
mod key;
mod making;
mod materials;
pub mod prose;
mod rounds;
mod sizes;
pub mod table;
pub mod tables;
mod tools;
pub(crate) mod words;
mod yarn;

use crate::proof::Proved;
use crate::written::say::{Hand, Length};
use crate::written::tree::Terms;
use document::*;

/// What the reader of one copy gets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choices {
    /// Stitch names.
    pub terms: Terms,
    /// Abbreviated or spelled out.
    pub length: Length,
    /// Which hand holds the hook.
    pub hand: Hand,
    /// One size (its position in the design), or all of them.
    pub size: Option<usize>,
    /// For large print: drawings are laid out narrow, to be set larger with their words.
    pub large: bool,
}

impl Choices {
    /// Whether a size is in this copy.
    pub fn shows(&self, size: usize) -> bool {
        self.size.is_none_or(|s| s == size)
    }
}

/// The sale edition.
pub fn sale(p: &Proved, c: &Choices, photo: Option<Picture>) -> Document {
    let picture = photo.is_some().then_some(0);
    let said = rounds::said(p, c);
    let mut blocks = vec![front::cover(p, c, picture), Block::PageBreak, Block::Contents];
    blocks.extend(materials::materials(p, c));
    blocks.extend(materials::gauge(p, c));
    blocks.extend(sizes::sizes(p, c, &said));
    blocks.extend(drawings::shape(p, c));
    blocks.extend(key::key(p, c, &said));
    blocks.extend(rounds::pattern(p, c, &said));
    blocks.extend(back::finishing(p));
    blocks.extend(back::safety(p, c));
    blocks.extend(drawings::charts(p, c));
    blocks.extend(making::chapter_of(p, c));
    blocks.extend(heads::any(p, c));
    blocks.extend(gauges::any(p, c));
    blocks.extend(back::pompom(p, c));
    blocks.extend(back::help(p));
    blocks.extend(tools::sheets(c));
    Document { meta: meta(p, c), blocks, pictures: photo.into_iter().collect() }
}

fn meta(p: &Proved, c: &Choices) -> Meta {
    let pattern = &p.design.pattern;
    let title = pattern.title.as_str();
    let by = pattern.by.as_str();
    let size = c.size.and_then(|i| p.design.sizes.get(i)).map(|s| s.name.as_str());
    let shown = match size {
        Some(name) => format!("{title}, {name}"),
        None => title.to_owned(),
    };
    Meta {
        title: shown.clone(),
        author: by.to_owned(),
        subject: format!("A crochet hat pattern by {by}"),
        keywords: vec!["crochet".to_owned(), "hat".to_owned(), "pattern".to_owned()],
        language: match c.terms {
            Terms::Us => "en-US".to_owned(),
            Terms::Uk => "en-GB".to_owned(),
        },
        edition: pattern.edition.as_str().to_owned(),
        date: pattern.date.as_ref().map(|d| date(d.value)).unwrap_or_default(),
        running_title: shown,
        running_foot: format!("{by} · edition {}", pattern.edition.as_str()),
    }
}

fn date(d: crate::design::Date) -> Date {
    Date { year: d.year, month: d.month, day: d.day }
}

/// A chapter's heading.
fn chapter(words: &str, anchor: &str) -> Block {
    Block::Heading(Heading {
        level: 1,
        text: plain(words),
        anchor: Some(anchor.to_owned()),
        listed: true,
    })
}

/// A heading within a chapter.
fn section(words: &str) -> Block {
    Block::Heading(Heading { level: 2, text: plain(words), anchor: None, listed: false })
}

/// An ordinary paragraph.
fn body(text: Text) -> Block {
    Block::Paragraph(Paragraph { text, kind: ParagraphKind::Body })
}
