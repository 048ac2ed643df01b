//! A booklet as plain lines under titles: all a reader reads, nothing of how it looks.

use super::{Line, Section};
use crate::booklet::document::{Block, Cell, Document, Figure, Round, Table};
use crate::correction::words::numbered;
use crate::reflow::words;

/// Every block of a document as lines, under the headings they stand below. Sections
/// without a line are left out. The cover's line on the edition is left out too: it changes
/// with every edition and is nothing to correct.
pub fn sections(document: &Document) -> Vec<Section> {
    let mut out = vec![Section { title: "Cover".into(), lines: Vec::new() }];
    blocks(&document.blocks, &mut out);
    out.retain(|s| !s.lines.is_empty());
    out
}

fn blocks(list: &[Block], out: &mut Vec<Section>) {
    for block in list {
        one(block, out);
    }
}

fn one(block: &Block, out: &mut Vec<Section>) {
    match block {
        Block::Cover(c) => {
            say(out, "Title", c.title.clone());
            say(out, "By", c.by.clone());
            say(out, "", words(&c.about));
            c.photo.iter().for_each(|f| figure(f, out));
            for (name, value) in c.facts.iter().filter(|(name, _)| name != "Edition") {
                say(out, name, words(value));
            }
            say(out, "", words(&c.rights));
        }
        Block::Heading(h) => out.push(Section { title: words(&h.text), lines: Vec::new() }),
        Block::Paragraph(p) => say(out, "", words(&p.text)),
        Block::List(l) => l.items.iter().for_each(|item| blocks(item, out)),
        Block::Rounds(list) => rounds(list, out),
        Block::Sized(s) => blocks(&s.brackets, out),
        Block::Table(t) => table(t, out),
        Block::Figure(f) => figure(f, out),
        Block::Columns { blocks: b, .. } | Block::Keep(b) => blocks(b, out),
        Block::Aside(a) => {
            say(out, "", words(&a.title));
            blocks(&a.blocks, out);
        }
        Block::Form(fields) => fields.iter().for_each(|f| say(out, "", words(&f.label))),
        Block::PageBreak | Block::Contents => {}
    }
}

fn say(out: &mut [Section], label: &str, words: String) {
    if let Some(section) = out.last_mut()
        && !words.trim().is_empty()
    {
        section.lines.push(Line { label: label.to_owned(), words });
    }
}

/// Rounds that say the same one after the other are one line, as the booklet of all sizes
/// has them: that is the booklet most buyers hold.
fn rounds(list: &[Round], out: &mut [Section]) {
    let mut rest = list;
    while let Some(first) = rest.first() {
        let label = words(&first.label);
        let mut run = 1;
        match numbered(&label) {
            Some((word, number)) => {
                // A run states its count at its last round.
                let mut last = first;
                while let Some(r) = rest.get(run).filter(|r| {
                    (&r.body, &r.note) == (&first.body, &first.note)
                        && (last.count.is_none() || last.count == r.count)
                        && numbered(&words(&r.label)) == Some((word, number + run))
                }) {
                    last = r;
                    run += 1;
                }
                let range = format!("{word}s {number}–{}", number + run - 1);
                round(if run == 1 { &label } else { &range }, last, out);
            }
            None => round(&label, first, out),
        }
        rest = rest.get(run..).unwrap_or_default();
    }
}

fn round(label: &str, r: &Round, out: &mut [Section]) {
    let mut said = words(&r.body);
    if let Some(count) = &r.count {
        said.push(' ');
        said.push_str(&words(count));
    }
    say(out, label, said);
    r.note.iter().for_each(|n| say(out, "", words(n)));
}

fn figure(f: &Figure, out: &mut [Section]) {
    say(out, "Picture", f.alt.clone());
    f.caption.iter().for_each(|c| say(out, "", words(c)));
}

/// A row is one line: its head is the label, its cells are named by their columns.
fn table(t: &Table, out: &mut [Section]) {
    t.caption.iter().for_each(|c| say(out, "", words(c)));
    let heads: Vec<String> = t.head.last().into_iter().flatten().map(|c| words(&c.text)).collect();
    for row in &t.body {
        let mut cells = row.iter();
        let label = if t.row_heads { cells.next().map(|c| words(&c.text)) } else { None };
        let skip = usize::from(label.is_some());
        let named = |(i, cell): (usize, &Cell)| {
            let head = heads.get(i + skip).map(String::as_str).unwrap_or_default();
            let cell = words(&cell.text);
            if head.is_empty() { cell } else { format!("{head} {cell}") }
        };
        let line: Vec<String> = cells.enumerate().map(named).collect();
        say(out, &label.unwrap_or_default(), line.join("; "));
    }
    t.notes.iter().for_each(|n| say(out, "", words(n)));
}
