//! Errata: two editions as said come in; what to read instead of what goes out.
//!
//! The sheet is exact: [`Errata::apply`] makes the new said text of the old one, so that
//! nothing that changed can be missing from it.

mod edit;
mod entries;
mod pattern;
mod rows;
mod sheet;

pub use edit::{Edit, Mismatch};
pub use rows::PagesOf;
pub use sheet::{Medium, document};

use super::align::{ALONE, Step, align, unlike};
use super::edition::{Edition, Line, Section, Size};
use crate::booklet::document::Date;
use edit::{apply, apply_one};
use serde::Serialize;

/// What changed from one edition to another.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Errata {
    /// Title of the old and the new edition; the same unless it was renamed.
    pub title: Reading<String>,
    /// Edition numbers.
    pub number: Reading<String>,
    /// Dates of the editions.
    pub date: Reading<Date>,
    /// What changed, size by size. Sizes without a change are not listed.
    pub sizes: Vec<Edit<Said, SizeChange>>,
}

/// Instead of the old, read the new.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Reading<T> {
    /// As it stood.
    pub old: T,
    /// As it is to be read.
    pub new: T,
}

/// One size as said, its numbers left aside.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Said {
    /// The id used in the file.
    pub id: String,
    /// The name printed.
    pub name: String,
    /// All its lines.
    pub sections: Vec<Section>,
}

impl From<&Size> for Said {
    fn from(s: &Size) -> Self {
        Said { id: s.id.clone(), name: s.name.clone(), sections: s.sections.clone() }
    }
}

/// What changed in a size that both editions have.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SizeChange {
    /// The id used in the file.
    pub id: String,
    /// The name printed.
    pub name: Reading<String>,
    /// What changed, section by section.
    pub sections: Vec<Edit<Section, SectionChange>>,
}

/// What changed in a section that both editions have.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SectionChange {
    /// Its title.
    pub title: Reading<String>,
    /// What changed, line by line.
    pub lines: Vec<Edit<Line, Reading<Line>>>,
}

impl Errata {
    /// Whether nothing a buyer reads has changed.
    pub fn is_empty(&self) -> bool {
        self.sizes.is_empty() && self.title.old == self.title.new
    }

    /// The old sizes as said, corrected by this sheet.
    ///
    /// # Errors
    /// Where the old text is not the one this sheet was made for.
    pub fn apply(&self, old: &[Said]) -> Result<Vec<Said>, Mismatch> {
        apply(old, &self.sizes, "the sizes", |size, change| {
            let name = apply_one(&size.name, &change.name, &change.id)?;
            let sections = apply(&size.sections, &change.sections, &change.id, apply_section)?;
            Ok(Said { id: size.id.clone(), name, sections })
        })
    }
}

fn apply_section(section: &Section, change: &SectionChange) -> Result<Section, Mismatch> {
    let title = apply_one(&section.title, &change.title, &section.title)?;
    let lines = apply(&section.lines, &change.lines, &section.title, |line, reading| {
        apply_one(line, reading, &line.label)
    })?;
    Ok(Section { title, lines })
}

/// Compares two editions of one design.
pub fn compare(old: &Edition, new: &Edition) -> Errata {
    let (was, is) = (said(old), said(new));
    let cost = |a: &Said, b: &Said| if a.id == b.id { 0 } else { 2 * ALONE + 1 };
    Errata {
        title: reading(&old.title, &new.title),
        number: reading(&old.number, &new.number),
        date: reading(&old.date, &new.date),
        sizes: edits(&was, &is, cost, |a, b| SizeChange {
            id: a.id.clone(),
            name: reading(&a.name, &b.name),
            sections: sections(&a.sections, &b.sections),
        }),
    }
}

/// Every size of an edition as said.
pub fn said(edition: &Edition) -> Vec<Said> {
    edition.sizes.iter().map(Said::from).collect()
}

fn sections(old: &[Section], new: &[Section]) -> Vec<Edit<Section, SectionChange>> {
    let cost = |a: &Section, b: &Section| {
        let far = unlike(&words(a), &words(b));
        if a.title == b.title { far / 4 } else { far + ALONE / 2 }
    };
    edits(old, new, cost, |a, b| SectionChange {
        title: reading(&a.title, &b.title),
        lines: edits(&a.lines, &b.lines, line_cost, reading),
    })
}

/// A line is the same line where its words are alike, more so where its label stayed.
fn line_cost(a: &Line, b: &Line) -> u32 {
    let far = unlike(&a.words, &b.words);
    if a.label == b.label { far * 3 / 4 } else { far + ALONE / 4 }
}

fn words(section: &Section) -> String {
    section.lines.iter().map(|l| l.words.as_str()).collect::<Vec<_>>().join(" ")
}

fn reading<T: Clone>(old: &T, new: &T) -> Reading<T> {
    Reading { old: old.clone(), new: new.clone() }
}

/// The edits that lead from one list to another, unchanged items left out.
fn edits<T: PartialEq + Clone, C>(
    old: &[T],
    new: &[T],
    cost: impl Fn(&T, &T) -> u32,
    change: impl Fn(&T, &T) -> C,
) -> Vec<Edit<T, C>> {
    let mut before = 0;
    let mut out = Vec::new();
    for step in align(old, new, cost) {
        match step {
            Step::Both(i, j) => {
                before = i + 1;
                if let (Some(a), Some(b)) = (old.get(i), new.get(j))
                    && a != b
                {
                    out.push(Edit::Changed { at: i, change: change(a, b) });
                }
            }
            Step::Old(i) => {
                before = i + 1;
                out.extend(old.get(i).map(|a| Edit::Dropped { at: i, old: a.clone() }));
            }
            Step::New(j) => {
                let after = before.checked_sub(1).and_then(|i| old.get(i)).cloned();
                out.extend(new.get(j).map(|b| Edit::Added { before, after, new: b.clone() }));
            }
        }
    }
    out
}
