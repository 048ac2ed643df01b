//! The errata sheet as a document: by section and line, read this instead of that.

use super::{Edit, Errata, Reading, Said, SectionChange, SizeChange};
use crate::booklet::document::{
    Align, Block, Cell, Column, Document, Heading, Inline, Meta, Paragraph, ParagraphKind, Table,
    Text, plain,
};
use crate::booklet::words::list_of;
use crate::correction::align::{ALONE, Step, align};
use crate::correction::edition::{Line, Section};
use crate::correction::words::numbered;

/// One row of the sheet, for every size it holds in.
#[derive(Clone, Debug, PartialEq)]
struct Row {
    /// Place of the section, of the line, and of the edit among those at one line.
    order: (usize, usize, usize),
    section: String,
    at: String,
    instead: Words,
    read: Words,
    sizes: Vec<String>,
}

#[derive(Clone, Debug, PartialEq)]
enum Words {
    Said(String),
    Remark(&'static str),
}

/// More rows than fill a page are more than a reader cares to carry over by hand.
const MANY: usize = 40;

/// The sheet as a document. `author` and `language` are the design's; `notes` are said
/// after the opening, each as a paragraph (whether a hat already made still fits).
pub fn document(errata: &Errata, author: &str, language: &str, notes: &[String]) -> Document {
    let title = &errata.title.new;
    let (from, to) = (&errata.number.old, &errata.number.new);
    let mut blocks = vec![heading(1, format!("Corrections to {title}"))];
    blocks.extend(opening(errata));
    blocks.extend(notes.iter().map(|n| paragraph(n, ParagraphKind::Body)));
    let rows = rows(errata);
    if rows.len() > MANY {
        let words = format!(
            "So much changes that the booklet of edition {to} is easier to follow than this \
             sheet: ask for it where you bought edition {from}."
        );
        blocks.push(paragraph(&words, ParagraphKind::Body));
    }
    blocks.extend(sections(&rows));
    Document {
        meta: Meta {
            title: format!("{title}: corrections to edition {from}"),
            author: author.to_owned(),
            subject: format!("What changes from edition {from} to edition {to}."),
            keywords: vec!["crochet".into(), "errata".into()],
            language: language.to_owned(),
            edition: to.clone(),
            date: errata.date.new,
            running_title: format!("{title}: corrections"),
            running_foot: format!("{title} · edition {from} to {to}"),
        },
        blocks,
        pictures: Vec::new(),
    }
}

fn opening(errata: &Errata) -> Vec<Block> {
    let (from, to) = (&errata.number.old, &errata.number.new);
    let when = errata.date.new.words();
    let mut out = Vec::new();
    if errata.title.old != errata.title.new {
        let old = &errata.title.old;
        out.push(paragraph(&format!("This design was called {old} before."), ParagraphKind::Body));
    }
    let words = if errata.sizes.is_empty() {
        format!(
            "Edition {to} ({when}) says the same as edition {from} in every size: there is nothing \
             to correct."
        )
    } else {
        format!(
            "For who has edition {from}. Read the lines below in place of the old ones and your \
             booklet says what edition {to} ({when}) says. Words that differ are in heavy type; … \
             stands for words that stay. What is not listed has not changed."
        )
    };
    out.push(paragraph(&words, ParagraphKind::Lead));
    for size in &errata.sizes {
        let (name, tail) = match size {
            Edit::Added { new, .. } => {
                (&new.name, format!("is new; edition {to} of the booklet has its instructions."))
            }
            Edit::Dropped { old, .. } => (&old.name, format!("is no longer part of edition {to}.")),
            Edit::Changed { change, .. } if change.name.old != change.name.new => {
                (&change.name.old, format!("is now called {}.", change.name.new))
            }
            Edit::Changed { .. } => continue,
        };
        out.push(paragraph(&format!("Size {name} {tail}"), ParagraphKind::Body));
    }
    out
}

fn sections(rows: &[Row]) -> Vec<Block> {
    let mut out = Vec::new();
    let mut rest = rows;
    while let Some(first) = rest.first() {
        let count = rest.iter().take_while(|r| r.section == first.section).count();
        let (these, later) = rest.split_at(count);
        out.push(heading(2, first.section.clone()));
        out.push(table(these));
        rest = later;
    }
    out
}

fn table(rows: &[Row]) -> Block {
    let heads = ["Where", "Sizes", "Instead of", "Read"];
    Block::Table(Table {
        caption: None,
        columns: heads.map(|_| Column { align: Align::Left }).to_vec(),
        head: vec![heads.map(Cell::plain).to_vec()],
        body: rows.iter().map(cells).collect(),
        row_heads: true,
        notes: Vec::new(),
    })
}

fn cells(row: &Row) -> Vec<Cell> {
    let (instead, read) = match (&row.instead, &row.read) {
        (Words::Said(old), Words::Said(new)) => marked(old, new),
        (old, new) => (bare(old), bare(new)),
    };
    let cell = |text| Cell { text, span: 1 };
    vec![Cell::plain(&row.at), Cell::plain(list_of(&row.sizes)), cell(instead), cell(read)]
}

fn bare(words: &Words) -> Text {
    match words {
        Words::Said(w) => plain(w.as_str()),
        Words::Remark(r) => vec![Inline::Emphasis(plain(*r))],
    }
}

/// Every row, those that say the same for several sizes as one, in the booklet's order.
fn rows(errata: &Errata) -> Vec<Row> {
    let mut rows: Vec<Row> = Vec::new();
    for size in &errata.sizes {
        let Edit::Changed { change, .. } = size else { continue };
        for row in size_rows(change) {
            let same = |r: &&mut Row| {
                (&r.section, &r.at, &r.instead, &r.read)
                    == (&row.section, &row.at, &row.instead, &row.read)
                    && !r.sizes.contains(&change.name.new)
            };
            match rows.iter_mut().find(same) {
                Some(r) => r.sizes.push(change.name.new.clone()),
                None => rows.push(row),
            }
        }
    }
    rows.sort_by_key(|r| r.order);
    by_section(rows)
}

/// Rows of one section stand together even where sizes have different sections before it.
fn by_section(rows: Vec<Row>) -> Vec<Row> {
    let mut names: Vec<String> = Vec::new();
    for r in &rows {
        if !names.contains(&r.section) {
            names.push(r.section.clone());
        }
    }
    let mut rows = rows;
    rows.sort_by_key(|r| (names.iter().position(|n| *n == r.section), r.order));
    rows
}

fn size_rows(change: &SizeChange) -> Vec<Row> {
    let mut rows = Vec::new();
    for edit in &change.sections {
        match edit {
            Edit::Changed { at, change: section } => section_rows(*at, section, &mut rows),
            Edit::Dropped { at, old } => whole(*at, old, false, &mut rows),
            Edit::Added { before, new, .. } => whole(*before, new, true, &mut rows),
        }
    }
    for row in &mut rows {
        row.sizes = vec![change.name.new.clone()];
    }
    rows
}

/// A section that came or went whole.
fn whole(place: usize, section: &Section, came: bool, rows: &mut Vec<Row>) {
    for (i, line) in section.lines.iter().enumerate() {
        let said = Words::Said(line.words.clone());
        let (instead, read) = if came {
            (Words::Remark("nothing: a new part"), said)
        } else {
            (said, Words::Remark("nothing: leave it out"))
        };
        let at = if line.label.is_empty() { "Unnumbered line".into() } else { line.label.clone() };
        let order = (place, i, 0);
        let section = section.title.clone();
        rows.push(Row { order, section, at, instead, read, sizes: Vec::new() });
    }
}

fn section_rows(place: usize, change: &SectionChange, rows: &mut Vec<Row>) {
    let Reading { old, new } = &change.title;
    let mut push = |line: usize, at: String, instead, read| {
        let order = (place, line, rows.len());
        rows.push(Row { order, section: old.clone(), at, instead, read, sizes: Vec::new() });
    };
    if old != new {
        push(0, "Title".into(), Words::Said(old.clone()), Words::Said(new.clone()));
    }
    let mut rest = change.lines.as_slice();
    while let Some(edit) = rest.first() {
        let run = renumbered_run(rest);
        rest = rest.get(run.max(1)..).unwrap_or_default();
        match edit {
            Edit::Changed { at, change: Reading { old, new } } if run > 1 => {
                let (a, b) = (range(&old.label, run), range(&new.label, run));
                push(*at, a.clone(), Words::Said(a), Words::Said(format!("{b}, the same words")));
            }
            Edit::Changed { at, change: Reading { old, new } } => {
                let (a, b) = both(old, new);
                push(*at, place_of(old, *at), Words::Said(a), Words::Said(b));
            }
            Edit::Dropped { at, old } => {
                let gone = Words::Remark("nothing: leave it out");
                push(*at, place_of(old, *at), Words::Said(full(old)), gone);
            }
            Edit::Added { before, after, new } => {
                let at = match after {
                    None => "Before the first line".to_owned(),
                    Some(line) => format!("After {}", place_of(line, before.saturating_sub(1))),
                };
                push(*before, at, Words::Remark("nothing: a new line"), Words::Said(full(new)));
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

/// Labels are said in the words too where they changed.
fn both(old: &Line, new: &Line) -> (String, String) {
    if old.label == new.label {
        (old.words.clone(), new.words.clone())
    } else {
        (full(old), full(new))
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

/// Both texts with the words that differ in heavy type.
fn marked(old: &str, new: &str) -> (Text, Text) {
    let (a, b): (Vec<&str>, Vec<&str>) = (old.split(' ').collect(), new.split(' ').collect());
    let same = |x: &&str, y: &&str| if x == y { 0 } else { 2 * ALONE + 1 };
    let (mut keep_a, mut keep_b) = (vec![false; a.len()], vec![false; b.len()]);
    for step in align(&a, &b, same) {
        if let Step::Both(i, j) = step
            && a.get(i) == b.get(j)
        {
            keep_a.get_mut(i).into_iter().chain(keep_b.get_mut(j)).for_each(|k| *k = true);
        }
    }
    (runs(&a, &keep_a), runs(&b, &keep_b))
}

/// Runs of like words as text: what changed in heavy type, and of what stays only the words
/// beside it, so that the eye falls on the change.
fn runs(words: &[&str], same: &[bool]) -> Text {
    let mut runs: Vec<(bool, Vec<&str>)> = Vec::new();
    for (word, same) in words.iter().zip(same) {
        match runs.last_mut() {
            Some((kind, run)) if kind == same => run.push(word),
            _ => runs.push((*same, vec![word])),
        }
    }
    let last = runs.len().saturating_sub(1);
    let mut out: Text = Vec::new();
    for (i, (same, run)) in runs.into_iter().enumerate() {
        if i > 0 {
            out.push(Inline::Text(" ".to_owned()));
        }
        out.push(if same {
            Inline::Text(shortened(&run, i > 0, i < last))
        } else {
            Inline::Strong(plain(run.join(" ")))
        });
    }
    out
}

/// A run of words that stay, cut to those beside a change before or after it.
fn shortened(run: &[&str], change_before: bool, change_after: bool) -> String {
    let (head, tail) = match (change_before, change_after) {
        (true, true) => (2, 2),
        (true, false) => (3, 0),
        (false, true) => (0, 3),
        (false, false) => return run.join(" "),
    };
    // What is left out must be worth the dots.
    if run.len() < head + tail + 3 {
        return run.join(" ");
    }
    let (start, _) = run.split_at(head);
    let (_, end) = run.split_at(run.len() - tail);
    let mut words: Vec<&str> = start.to_vec();
    words.push("…");
    words.extend(end);
    words.join(" ")
}

fn heading(level: u8, words: String) -> Block {
    Block::Heading(Heading { level, text: plain(words), anchor: None, listed: false })
}

fn paragraph(words: &str, kind: ParagraphKind) -> Block {
    Block::Paragraph(Paragraph { text: plain(words), kind })
}

impl Said {
    /// How many lines it has in all.
    pub fn lines(&self) -> usize {
        self.sections.iter().map(|s| s.lines.len()).sum()
    }
}
