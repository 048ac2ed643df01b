//! The chapter for heads that are none of the sizes: the design's own rules for every
//! centimetre and half inch.

use super::document::*;
use super::{Choices, Proved, body, chapter};
use crate::grading::{AnyHead, Value, any_head, found_from};
use crate::quantity::{Length, number, quarters};

/// The most numbers a row shows; more would not be legible.
const MOST: usize = 6;

/// The chapter; nothing in a copy for one size, or where no number depends on the head.
pub(super) fn any(p: &Proved, c: &Choices) -> Vec<Block> {
    if c.size.is_some() {
        return Vec::new();
    }
    let names = shown(p);
    let heads = apart(any_head(&p.design));
    if names.is_empty() || heads.is_empty() {
        return Vec::new();
    }
    vec![
        chapter("Any head", "any-head"),
        body(plain(
            "For a head that is none of the sizes, these are the numbers that the same rules \
             give. Find the head, then put its numbers where the rounds have those of the \
             nearest size.",
        )),
        Block::Table(table(p, &names, &heads)),
    ]
}

/// Heads without those that print as their neighbour does (33 cm and 13 in).
fn apart(heads: Vec<AnyHead>) -> Vec<AnyHead> {
    let mut out: Vec<AnyHead> = Vec::new();
    for h in heads {
        if !out.last().is_some_and(|last| last.head.near(h.head, Length::mm(0.5))) {
            out.push(h);
        }
    }
    out
}

/// The graded numbers that stand alone in the braces of a text, in the design's order. What
/// hangs on the end of a ball is left out: the rules alone do not give it.
pub(super) fn shown(p: &Proved) -> Vec<String> {
    let to_the_end = p.until.as_ref().map(|u| found_from(&p.design, &u.rounds)).unwrap_or_default();
    p.design
        .counts
        .iter()
        .map(|count| count.name.clone())
        .filter(|name| {
            let braces = format!("{{{name}}}");
            p.design.pieces.iter().any(|part| part.text.as_str().contains(&braces))
        })
        .filter(|name| any_number(p, name))
        .filter(|name| !to_the_end.contains(name))
        .take(MOST)
        .collect()
}

/// Whether a number is a count in every size.
fn any_number(p: &Proved, name: &str) -> bool {
    p.graded.sizes.iter().all(|s| s.values.get(name).is_some_and(|v| v.count().is_some()))
}

fn table(p: &Proved, names: &[String], heads: &[AnyHead]) -> Table {
    let column = |align| Column { align };
    let mut columns = vec![column(Align::Right), column(Align::Right), column(Align::Right)];
    columns.extend(names.iter().map(|_| column(Align::Right)));
    let mut head = vec![Cell::plain("cm"), Cell::plain("in"), Cell::plain("Depth, cm")];
    head.extend(names.iter().map(|n| Cell::plain(spoken(n))));
    let body = heads
        .iter()
        .map(|h| {
            let mut row = vec![
                Cell::plain(exact(h.head.to_cm())),
                Cell::plain(quarters(h.head.to_inches())),
                Cell::plain(number((h.depth.to_cm() * 2.0).round() / 2.0, 1)),
            ];
            row.extend(names.iter().map(|n| Cell::plain(cell(h.values.get(n)))));
            mark(p, h.head, row)
        })
        .collect();
    Table {
        caption: None,
        columns,
        head: vec![head],
        body,
        row_heads: true,
        notes: vec![plain("Rows in bold are heads that a size of this booklet is graded for.")],
    }
}

/// A row in bold where a size is graded for just this head.
fn mark(p: &Proved, head: Length, row: Vec<Cell>) -> Vec<Cell> {
    if !p.design.sizes.iter().any(|s| s.head.near(head, Length::mm(0.01))) {
        return row;
    }
    strong(row)
}

/// Centimetres as they are, to the tenth.
fn exact(cm: f64) -> String {
    number(cm, 1)
}

/// A row in bold.
pub(super) fn strong(row: Vec<Cell>) -> Vec<Cell> {
    row.into_iter().map(|c| Cell { text: vec![Inline::Strong(c.text)], span: c.span }).collect()
}

pub(super) fn cell(value: Option<&Value>) -> String {
    match value {
        Some(v) => v.count().map_or_else(|| "–".to_owned(), |n| n.to_string()),
        None => "–".to_owned(),
    }
}

/// A number's name as words: "cuff rows".
pub(super) fn spoken(name: &str) -> String {
    super::words::capital(&name.replace('_', " "))
}
