//! The errata sheet as a document: by section and line, read this instead of that.

use super::entries::{Kind, entries};
use super::rows::{Figures, InWords, PagesOf, Rows, rows};
use super::{Edit, Errata, Reading, Said};
use crate::booklet::document::{
    Align, Block, Cell, Column, Document, Heading, Inline, Meta, Paragraph, ParagraphKind, Table,
    Text, plain,
};
use crate::booklet::words::list_of;
use crate::correction::align::{ALONE, Step, align};

/// More rows than fill a page are more than a reader cares to carry over by hand.
const MANY: usize = 40;

/// What the sheet is for: how it shows which words are figures. Drawings that change are
/// named by their sections on both; who sees them reads the lines they are drawn from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Medium {
    /// Paper: letters that stand for figures are in heavy type.
    Print,
    /// Plain text, which has no heavy type: such letters stand in braces, which no line of a
    /// booklet has.
    PlainText,
}

/// The sheet as a document. `author` and `language` are the design's; `notes` are said
/// after the opening, each as a paragraph (whether a hat already made still fits); `pages`
/// are those of the old booklet on the paper this is for, empty where it has none.
pub fn document(
    errata: &Errata,
    author: &str,
    language: &str,
    notes: &[String],
    medium: Medium,
    pages: &PagesOf,
) -> Document {
    let title = &errata.title.new;
    let (from, to) = (&errata.number.old, &errata.number.new);
    let mut blocks = vec![heading(1, format!("Corrections to {title}"))];
    blocks.extend(opening(errata, medium));
    blocks.extend(notes.iter().map(|n| paragraph(n, ParagraphKind::Body)));
    let rows = rows(&entries(errata), pages);
    if rows.figures.len() + rows.words.len() > MANY {
        let words = format!(
            "So much changes that the booklet of edition {to} is easier to follow than this \
             sheet: ask for it where you bought edition {from}."
        );
        blocks.push(paragraph(&words, ParagraphKind::Body));
    }
    blocks.extend(tables(&rows, medium));
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

fn opening(errata: &Errata, medium: Medium) -> Vec<Block> {
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
        let letter = match medium {
            Medium::Print => "a letter in heavy type is a figure, and your size's column has",
            Medium::PlainText => "a letter in braces is a figure, and beside your size stand",
        };
        format!(
            "For everyone with edition {from}. Correct it by the lines below and it says what edition \
             {to} ({when}) says: {letter} the old → the new; … stands for words that stay, – for a line that stays. What is not \
             listed has not changed, but for the tables for any head and any gauge: take those \
             from edition {to}."
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

/// One table of figures and one of words; the drawings by name.
fn tables(rows: &Rows, medium: Medium) -> Vec<Block> {
    let mut out = Vec::new();
    if !rows.figures.is_empty() {
        out.push(figures(rows, medium));
    }
    if !rows.words.is_empty() {
        let heads = ["Where", "Sizes", "Instead of", "Read"];
        let body = rows.words.iter().map(words_row).collect();
        out.push(table(&heads, 0, body));
    }
    if !rows.drawings.is_empty() {
        let words = format!(
            "Drawn anew, as the lines above say: the drawings under {}.",
            list_of(&rows.drawings)
        );
        out.push(paragraph(&words, ParagraphKind::Body));
    }
    out
}

fn figures(rows: &Rows, medium: Medium) -> Block {
    let shown = |text: Text| match medium {
        Medium::Print => text,
        Medium::PlainText => text.into_iter().map(braced).collect(),
    };
    let cell = |text| Cell { text: shown(text), span: 1 };
    let row = |r: &Figures| {
        let mut cells = vec![cell(r.at.clone()), cell(r.words.clone())];
        cells.extend(r.cells.iter().map(|c| cell(c.clone().unwrap_or_else(|| plain("–")))));
        cells
    };
    let mut heads = vec!["Where", "Words, letters for figures"];
    heads.extend(rows.sizes.iter().map(String::as_str));
    table(&heads, rows.sizes.len(), rows.figures.iter().map(row).collect())
}

/// Heavy type as braces.
fn braced(inline: Inline) -> Inline {
    match inline {
        Inline::Strong(letter) => Inline::Text(format!("{{{}}}", crate::reflow::words(&letter))),
        other => other,
    }
}

/// A table whose last `centred` columns hold figures.
fn table(heads: &[&str], centred: usize, body: Vec<Vec<Cell>>) -> Block {
    let align = |i: usize| if i + centred < heads.len() { Align::Left } else { Align::Centre };
    Block::Table(Table {
        caption: None,
        columns: (0..heads.len()).map(|i| Column { align: align(i) }).collect(),
        head: vec![heads.iter().map(|h| Cell::plain(*h)).collect()],
        body,
        row_heads: true,
        notes: Vec::new(),
    })
}

fn words_row(row: &InWords) -> Vec<Cell> {
    let remark = |words: &str| vec![Inline::Emphasis(plain(words))];
    let Reading { old, new } = &row.words;
    let (instead, read) = match row.kind {
        Kind::Changed => marked(old, new),
        Kind::Moved => (plain(old.as_str()), plain(new.as_str())),
        Kind::Gone => (plain(old.as_str()), remark("nothing: leave it out")),
        Kind::Came => (remark("nothing: a new line"), plain(new.as_str())),
        Kind::NewPart => (remark("nothing: a new part"), plain(new.as_str())),
    };
    let cell = |text| Cell { text, span: 1 };
    vec![Cell::plain(&row.at), Cell::plain(list_of(&row.sizes)), cell(instead), cell(read)]
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
