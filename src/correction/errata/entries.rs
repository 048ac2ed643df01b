//! Every edit of every size as an entry of the sheet.

use super::pattern::{open, pieces};
use super::{Edit, Errata, Reading, SectionChange, SizeChange, reading};
use crate::correction::edition::{Line, Section};
use crate::correction::words::numbered;

/// One edit in one size.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Entry {
    /// Place of the section, of the line, and of the edit among those at one line.
    pub order: (usize, usize, usize),
    /// Title of the section.
    pub section: String,
    /// What it does.
    pub kind: Kind,
    /// Label of the line: as it was, and as it is.
    pub label: Reading<String>,
    /// The words: as they were, and as they are. The same twice where only one is.
    pub words: Reading<String>,
}

/// What an edit does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    /// Other words or another label.
    Changed,
    /// The line goes.
    Gone,
    /// A new line, after the one its label names.
    Came,
    /// A line of a part that is new as a whole.
    NewPart,
    /// Lines that only move on in their numbers.
    Moved,
}

/// The entries of each size that changed, by the size's printed name.
pub(super) fn entries(errata: &Errata) -> Vec<(String, Vec<Entry>)> {
    let of = |edit: &Edit<_, SizeChange>| match edit {
        Edit::Changed { change, .. } => Some((change.name.new.clone(), size(change))),
        _ => None,
    };
    errata.sizes.iter().filter_map(of).collect()
}

fn size(change: &SizeChange) -> Vec<Entry> {
    let mut out = Vec::new();
    for edit in &change.sections {
        match edit {
            Edit::Changed { at, change } => section(*at, change, &mut out),
            Edit::Dropped { at, old } => whole(*at, old, Kind::Gone, &mut out),
            Edit::Added { before, new, .. } => whole(*before, new, Kind::NewPart, &mut out),
        }
    }
    out
}

fn twice(words: &str) -> Reading<String> {
    Reading { old: words.to_owned(), new: words.to_owned() }
}

/// A section that came or went whole.
fn whole(place: usize, section: &Section, kind: Kind, out: &mut Vec<Entry>) {
    for (i, line) in section.lines.iter().enumerate() {
        out.push(Entry {
            order: (place, i, 0),
            section: section.title.clone(),
            kind,
            label: twice(&line.label),
            words: twice(&line.words),
        });
    }
}

fn section(place: usize, change: &SectionChange, out: &mut Vec<Entry>) {
    let Reading { old, new } = &change.title;
    let mut push = |line: usize, kind, label, words| {
        let order = (place, line, out.len());
        out.push(Entry { order, section: old.clone(), kind, label, words });
    };
    if old != new {
        push(0, Kind::Changed, twice("Title"), change.title.clone());
    }
    let mut rest = change.lines.as_slice();
    while let Some(edit) = rest.first() {
        let run = renumbered_run(rest);
        rest = rest.get(run.max(1)..).unwrap_or_default();
        match edit {
            Edit::Changed { at, change: Reading { old, new } } if run > 1 => {
                let label = Reading { old: range(&old.label, run), new: range(&new.label, run) };
                push(*at, Kind::Moved, label, twice(""));
            }
            Edit::Changed { at, change: Reading { old, new } } => {
                let of = |l: &Line| open(&pieces(&l.label));
                let (label, words) = if old.label == new.label {
                    (twice(&place_of(old, *at)), reading(&old.words, &new.words))
                } else if !old.label.is_empty() && of(old) == of(new) {
                    (reading(&old.label, &new.label), reading(&old.words, &new.words))
                } else {
                    (twice(&place_of(old, *at)), reading(&full(old), &full(new)))
                };
                push(*at, Kind::Changed, label, words);
            }
            Edit::Dropped { at, old } => {
                push(*at, Kind::Gone, twice(&place_of(old, *at)), twice(&old.words));
            }
            Edit::Added { before, after, new } => {
                let at = match after {
                    None => "Before the first line".to_owned(),
                    Some(line) => format!("After {}", place_of(line, before.saturating_sub(1))),
                };
                push(*before, Kind::Came, twice(&at), twice(&full(new)));
            }
        }
    }
}

/// How many of the first lines only move on together in their numbers, words unchanged.
fn renumbered_run(edits: &[Edit<Line, Reading<Line>>]) -> usize {
    let moved = |edit: &Edit<Line, Reading<Line>>| match edit {
        Edit::Changed { at, change: r } if r.old.words == r.new.words => {
            let (word, from) = numbered(&r.old.label)?;
            let (same, to) = numbered(&r.new.label)?;
            (word == same).then(|| (*at, word.to_owned(), from, to))
        }
        _ => None,
    };
    let Some((at, word, from, to)) = edits.first().and_then(moved) else { return 0 };
    let on = |(n, edit): (usize, &Edit<_, _>)| {
        moved(edit) == Some((at + n, word.clone(), from + n, to + n))
    };
    edits.iter().enumerate().take_while(|(n, edit)| on((*n, edit))).count()
}

/// `Rnds 22–25` from `Rnd 22` and how many.
fn range(label: &str, run: usize) -> String {
    match numbered(label) {
        Some((word, first)) => format!("{word}s {first}–{}", first + run - 1),
        None => label.to_owned(),
    }
}

fn full(line: &Line) -> String {
    match line.label.as_str() {
        "" => line.words.clone(),
        label => format!("{label}: {}", line.words),
    }
}

fn place_of(line: &Line, at: usize) -> String {
    match line.label.as_str() {
        "" => format!("Line {}", at + 1),
        label => label.to_owned(),
    }
}
