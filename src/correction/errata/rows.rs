//! Entries of all sizes as rows of the sheet: lines that differ between sizes in figures
//! alone are one row with a column for each size.

use super::Reading;
use super::entries::{Entry, Kind};
use super::pattern::{Piece, open, pieces};
use crate::booklet::document::{Inline, Text, plain};
use std::collections::BTreeMap;

/// One row with a column for each size.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Figures {
    /// Where it is said.
    pub at: Text,
    /// The words, with letters in place of the figures that change.
    pub words: Text,
    /// For each size what stands for the letters; none where nothing changes.
    pub cells: Vec<Option<Text>>,
}

/// One row that says words: read this instead of that.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct InWords {
    /// Where it is said.
    pub at: String,
    /// The sizes it holds in.
    pub sizes: Vec<String>,
    /// What it does.
    pub kind: Kind,
    /// The words.
    pub words: Reading<String>,
}

/// All rows, each kind in the booklet's order.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Rows {
    /// The printed names of the sizes that change.
    pub sizes: Vec<String>,
    /// Those with a column for each size.
    pub figures: Vec<Figures>,
    /// Those in words.
    pub words: Vec<InWords>,
    /// Drawings that change, by section.
    pub drawings: Vec<String>,
}

/// The page each part of the old booklet begins on, by its title.
pub type PagesOf = BTreeMap<String, usize>;

fn paged(section: &str, pages: &PagesOf) -> String {
    match pages.get(section) {
        Some(page) => format!("{section} (p.\u{a0}{page})"),
        None => section.to_owned(),
    }
}

/// Label of a figure's own words among the printed lines.
pub(super) const PICTURE: &str = "Picture";

/// The same line in several sizes.
struct Group<'e> {
    section: &'e str,
    kind: Kind,
    /// Size, entry.
    members: Vec<(usize, &'e Entry)>,
}

/// What makes two entries one row, besides their turn among those alike in one size.
type Key = (usize, Kind, Vec<Option<String>>, Vec<Option<String>>, Vec<Option<String>>, usize);

/// The rows of a sheet. Drawings are only named: their words say no more than the lines.
pub(super) fn rows(entries: &[(String, Vec<Entry>)], pages: &PagesOf) -> Rows {
    let mut out =
        Rows { sizes: entries.iter().map(|(name, _)| name.clone()).collect(), ..Rows::default() };
    let sections = section_names(entries);
    let mut groups: Vec<(Key, Group)> = Vec::new();
    for (size, (name, list)) in entries.iter().enumerate() {
        for entry in list {
            if entry.label.old == PICTURE {
                if !out.drawings.contains(&entry.section) {
                    out.drawings.push(entry.section.clone());
                }
                continue;
            }
            let mut key = key(entry, name, &sections);
            while let Some((_, g)) = groups.iter().find(|(k, _)| *k == key)
                && g.members.iter().any(|(s, _)| *s == size)
            {
                key.5 += 1;
            }
            match groups.iter_mut().find(|(k, _)| *k == key) {
                Some((_, group)) => group.members.push((size, entry)),
                None => groups.push((
                    key,
                    Group {
                        section: &entry.section,
                        kind: entry.kind,
                        members: vec![(size, entry)],
                    },
                )),
            }
        }
    }
    groups.sort_by_key(|(key, g)| (key.0, g.members.iter().map(|(_, e)| e.order).min()));
    for (_, group) in &groups {
        match figures(group, &out.sizes, pages) {
            Some(row) => out.figures.push(row),
            None => in_words(group, &out.sizes, pages, &mut out.words),
        }
    }
    out
}

/// Sections in the order they first come up.
fn section_names(entries: &[(String, Vec<Entry>)]) -> Vec<String> {
    let mut all: Vec<&Entry> = entries.iter().flat_map(|(_, list)| list).collect();
    all.sort_by_key(|e| e.order);
    let mut names: Vec<String> = Vec::new();
    for e in all {
        if !names.contains(&e.section) {
            names.push(e.section.clone());
        }
    }
    names
}

fn key(e: &Entry, size: &str, sections: &[String]) -> Key {
    let section = sections.iter().position(|s| *s == e.section).unwrap_or(0);
    let label = if own_row(e, size) { Vec::new() } else { open(&pieces(&e.label.old)) };
    let of = |words: &str| open(&pieces(words));
    (section, e.kind, label, of(&e.words.old), of(&e.words.new), 0)
}

/// Whether a line is the row of its size in a table of sizes.
fn own_row(e: &Entry, size: &str) -> bool {
    e.label.old == size && e.label.new == size
}

/// The figures at one place of a line, in every member: old and new.
type Slot = Vec<(String, String)>;

/// A piece of the row's pattern: words, or the place of a figure.
enum Part {
    Words(String),
    Slot(Slot),
}

/// The row with a column for each size; none where words change and not figures alone, or
/// where every size reads the same.
fn figures(group: &Group, sizes: &[String], pages: &PagesOf) -> Option<Figures> {
    let (_, first) = group.members.first()?;
    let alike = |r: &Reading<String>| open(&pieces(&r.old)) == open(&pieces(&r.new));
    if !group.members.iter().all(|(_, e)| alike(&e.label) && alike(&e.words)) {
        return None;
    }
    let same = |(_, e): &(usize, &Entry)| (&e.label, &e.words) == (&first.label, &first.words);
    if group.members.len() == sizes.len() && sizes.len() > 1 && group.members.iter().all(same) {
        return None;
    }
    let own = group.members.iter().all(|(s, e)| sizes.get(*s).is_some_and(|n| own_row(e, n)));
    let label = if own { vec![Part::Words("its row".into())] } else { parts(group, |e| &e.label) };
    let words = parts(group, |e| &e.words);
    let stays = matches!(group.kind, Kind::Changed | Kind::Moved);
    let mut letters: Vec<&Slot> = Vec::new();
    for part in label.iter().chain(&words) {
        if let Part::Slot(slot) = part
            && is_lettered(slot, !stays && words.iter().any(|w| std::ptr::eq(w, part)))
            && !letters.contains(&slot)
        {
            letters.push(slot);
        }
    }
    if letters.is_empty() {
        return None;
    }
    let mut at = plain(format!("{}, ", paged(group.section, pages)));
    at.extend(label.iter().map(|p| label_part(p, &letters, group, sizes.len())));
    let mut said: Text = Vec::new();
    match group.kind {
        Kind::Changed => {}
        Kind::Gone => said.push(Inline::Emphasis(plain("leave out: "))),
        Kind::Came | Kind::NewPart => said.push(Inline::Emphasis(plain("a new line: "))),
        Kind::Moved => said.push(Inline::Emphasis(plain("the same words"))),
    }
    said.extend(pattern(&words, &letters, stays));
    let cells = (0..sizes.len())
        .map(|size| {
            let member = group.members.iter().position(|(s, _)| *s == size)?;
            Some(cell(&letters, member))
        })
        .collect();
    Some(Figures { at, words: said, cells })
}

/// Whether the figures at a place get a letter: where one changes, and, of lines that come
/// or go, where sizes differ.
fn is_lettered(slot: &Slot, by_size: bool) -> bool {
    slot.iter().any(|(old, new)| old != new)
        || (by_size && slot.windows(2).any(|w| matches!(w, [a, b] if a != b)))
}

/// The pattern of one reading of all members.
fn parts(group: &Group, of: impl Fn(&Entry) -> &Reading<String>) -> Vec<Part> {
    let all: Vec<(Vec<Piece>, Vec<Piece>)> =
        group.members.iter().map(|(_, e)| (pieces(&of(e).old), pieces(&of(e).new))).collect();
    let Some((first, _)) = all.first() else { return Vec::new() };
    let text = |list: &[Piece], i: usize| list.get(i).map_or("", Piece::text).to_owned();
    let mut out = Vec::new();
    for (i, piece) in first.iter().enumerate() {
        match piece {
            Piece::Fixed(t) => out.push(Part::Words(t.clone())),
            Piece::Figure(_) => {
                let slot = all.iter().map(|(old, new)| (text(old, i), text(new, i))).collect();
                out.extend(without_noun(slot));
            }
        }
    }
    out
}

/// A figure and the `sts` it bears everywhere, apart.
fn without_noun(slot: Slot) -> Vec<Part> {
    for noun in [" sts", "\u{a0}sts"] {
        let bare = |s: &String| s.strip_suffix(noun).map(str::to_owned);
        let all: Option<Slot> =
            slot.iter().map(|(old, new)| Some((bare(old)?, bare(new)?))).collect();
        if let Some(all) = all {
            return vec![Part::Slot(all), Part::Words(noun.to_owned())];
        }
    }
    vec![Part::Slot(slot)]
}

/// `a`, `b`, … after `z` with a number.
fn letter(n: usize) -> String {
    let name = (b'a'..=b'z').nth(n % 26).map(char::from).unwrap_or('a');
    if n < 26 { name.to_string() } else { format!("{name}{}", n / 26) }
}

fn named(slot: &Slot, letters: &[&Slot]) -> Option<Inline> {
    let n = letters.iter().position(|l| *l == slot)?;
    Some(Inline::Strong(plain(letter(n))))
}

/// A label's figure that differs between sizes stands as in the booklet: `16 (18, –)`.
fn label_part(part: &Part, letters: &[&Slot], group: &Group, sizes: usize) -> Inline {
    let slot = match part {
        Part::Words(w) => return Inline::Text(w.clone()),
        Part::Slot(slot) => slot,
    };
    if let Some(letter) = named(slot, letters) {
        return letter;
    }
    let of = |size: usize| {
        let member = group.members.iter().position(|(s, _)| *s == size);
        member.and_then(|m| slot.get(m)).map_or("–", |(old, _)| old.as_str())
    };
    let first = slot.first().map_or("", |(old, _)| old.as_str());
    if slot.iter().all(|(old, _)| old == first) {
        return Inline::Text(first.to_owned());
    }
    let rest: Vec<&str> = (1..sizes).map(of).collect();
    Inline::Text(format!("{} ({})", of(0), rest.join(", ")))
}

/// The words with letters; of words that stay only those beside a letter where `shorten`.
fn pattern(words: &[Part], letters: &[&Slot], shorten: bool) -> Text {
    let mut out: Text = Vec::new();
    let mut run = String::new();
    let mut lettered = false;
    for part in words {
        match part {
            Part::Words(w) => run.push_str(w),
            Part::Slot(slot) => match named(slot, letters) {
                Some(letter) => {
                    out.push(Inline::Text(beside(&run, lettered, true, shorten)));
                    out.push(letter);
                    run.clear();
                    lettered = true;
                }
                // Differs between sizes and stays in each: not worth a word.
                None => match slot.first() {
                    Some(first) if slot.iter().all(|s| s == first) => run.push_str(&first.0),
                    _ => run.push('…'),
                },
            },
        }
    }
    out.push(Inline::Text(beside(&run, lettered, false, shorten)));
    out.retain(|i| *i != Inline::Text(String::new()));
    out
}

/// How many words beside a change are shown.
const BESIDE: usize = 3;

/// A run of words, cut to those beside a change before or after it.
fn beside(run: &str, before: bool, after: bool, shorten: bool) -> String {
    let words: Vec<&str> = run.split(' ').collect();
    let (head, tail) = (if before { BESIDE } else { 0 }, if after { BESIDE } else { 0 });
    // What is left out must be worth the dots.
    if !shorten || words.len() < head + tail + 2 || !(before || after) {
        return run.to_owned();
    }
    let (start, _) = words.split_at(head);
    let (_, end) = words.split_at(words.len() - tail);
    let mut shown = start.to_vec();
    shown.push("…");
    shown.extend(end);
    shown.join(" ")
}

/// `76 → 72`, or with several letters a line for each.
fn cell(letters: &[&Slot], member: usize) -> Text {
    let mut out: Text = Vec::new();
    for (n, slot) in letters.iter().enumerate() {
        let Some((old, new)) = slot.get(member) else { continue };
        if n > 0 {
            out.push(Inline::Break);
        }
        if letters.len() > 1 {
            out.push(Inline::Strong(plain(letter(n))));
            out.push(Inline::Text("\u{a0}".into()));
        }
        let said = if old == new { old.clone() } else { format!("{old}\u{a0}→\u{a0}{new}") };
        out.push(Inline::Text(said));
    }
    out
}

/// Rows in words: one for each way the members read.
fn in_words(group: &Group, sizes: &[String], pages: &PagesOf, out: &mut Vec<InWords>) {
    let mut mine: Vec<InWords> = Vec::new();
    for (size, e) in &group.members {
        let name = sizes.get(*size).cloned().unwrap_or_default();
        let label = if own_row(e, &name) { "its row" } else { e.label.old.as_str() };
        let label = if label.is_empty() { "unnumbered line" } else { label };
        let at = format!("{}, {label}", paged(&e.section, pages));
        // A label that changes is said with the words.
        let words = match group.kind {
            Kind::Moved => Reading {
                old: e.label.old.clone(),
                new: format!("{}, the same words", e.label.new),
            },
            _ if e.label.old == e.label.new => e.words.clone(),
            _ => Reading {
                old: format!("{}: {}", e.label.old, e.words.old),
                new: format!("{}: {}", e.label.new, e.words.new),
            },
        };
        match mine.iter_mut().find(|r| r.at == at && r.words == words) {
            Some(row) => row.sizes.push(name),
            None => mine.push(InWords { at, sizes: vec![name], kind: group.kind, words }),
        }
    }
    out.extend(mine);
}
