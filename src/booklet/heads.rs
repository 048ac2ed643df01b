//! The chapter for heads that are none of the sizes: the design's own rules for every
//! centimetre and half inch.

use super::document::*;
use super::rounds::letter;
use super::words::{capital, list_of};
use super::{Choices, Proved, body, chapter};
use crate::grading::{AnyHead, Value, any_head, between, found_from, told_by};
use crate::quantity::{Length, Units, number, quarters};
use crate::standards::stitches::renamed;

/// The most numbers a row shows; more would not be legible.
const MOST: usize = 6;

/// The chapter; nothing in a copy for one size, or where no number depends on the head.
pub(super) fn any(p: &Proved, c: &Choices) -> Vec<Block> {
    if c.size.is_some() {
        return Vec::new();
    }
    let names = shown(p);
    let heads = apart(p, any_head(&p.design));
    if names.is_empty() || heads.is_empty() {
        return Vec::new();
    }
    let mut words = "For a head between the sizes, or beyond them, these are the numbers that the \
                     same rules give. Find the head, then put its numbers where the rounds have \
                     those of the nearest size."
        .to_owned();
    let formed = formed(p, &names);
    if !formed.is_empty() {
        words.push_str(&format!(
            " Not all numbers of the {} have a column: those that change from round to round \
             have none.",
            list_of(&formed)
        ));
    }
    let mut text = plain(words);
    for (i, name) in names.iter().enumerate() {
        text.push(if i == 0 { Inline::Break } else { Inline::Text("; ".to_owned()) });
        text.push(Inline::Strong(plain(letter(i).to_lowercase())));
        text.push(Inline::Text(format!(":\u{a0}{}", renamed_count(p, c, name))));
    }
    text.push(Inline::Text(".".to_owned()));
    vec![chapter("Any head", "any-head"), body(text), Block::Table(table(p, &names, &heads))]
}

/// What the copy's reader knows a graded number as: "Last rnd of the body".
pub(super) fn called(p: &Proved, c: &Choices, name: &str) -> String {
    capital(&renamed_count(p, c, name))
}

fn renamed_count(p: &Proved, c: &Choices, name: &str) -> String {
    renamed(&p.design.printed_count(name), p.design.terms, c.terms)
}

/// The pieces with numbers that no column gives: worked out in the text's braces from others,
/// other than by adding or taking away a few.
fn formed(p: &Proved, names: &[String]) -> Vec<String> {
    let braces = |text: &str| {
        let holes = text.split('{').skip(1).filter_map(|rest| rest.split_once('}'));
        holes.map(|(formula, _)| formula.to_owned()).collect::<Vec<_>>()
    };
    p.design
        .pieces
        .iter()
        .filter(|part| !braces(part.text.as_str()).iter().all(|f| told_by(f, names)))
        .map(|part| part.name.as_str().to_lowercase())
        .collect()
}

/// Heads nearer than this to each other print alike (33 cm and 13 in) and are one row.
const ALIKE: f64 = 0.5;

fn alike(a: Length, b: Length) -> bool {
    a.near(b, Length::mm(ALIKE))
}

/// Heads without those that print as their neighbour does; the head of a size stays.
fn apart(p: &Proved, heads: Vec<AnyHead>) -> Vec<AnyHead> {
    let mut out: Vec<AnyHead> = Vec::new();
    for h in heads {
        match out.last_mut().filter(|last| alike(last.head, h.head)) {
            Some(last) if graded_for(p, h.head) => *last = h,
            Some(_) => {}
            None => out.push(h),
        }
    }
    out
}

/// Whether a size is graded for just this head.
fn graded_for(p: &Proved, head: Length) -> bool {
    p.design.sizes.iter().any(|s| s.head.near(head, Length::mm(0.01)))
}

/// Depths as worked by size, smallest head first; none where a size has none, or where the
/// yarn sets them: then the rules give no depth for other heads.
fn depths(p: &Proved) -> Option<Vec<(Length, Length)>> {
    if p.until.is_some() {
        return None;
    }
    let sizes = p.design.sizes.iter().enumerate();
    let known: Option<Vec<_>> = sizes.map(|(i, s)| Some((s.head, p.depth(i)?))).collect();
    known.map(|mut k| {
        k.sort();
        k
    })
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
    let depths = depths(p);
    let inches = p.design.pattern.units == Units::Imperial;
    let mut head = vec![Cell::plain("cm"), Cell::plain("in")];
    if depths.is_some() {
        head.push(Cell::plain("Depth"));
    }
    head.extend((0..names.len()).map(|i| Cell::plain(letter(i).to_lowercase())));
    let columns = head.iter().map(|_| Column { align: Align::Right }).collect();
    let deep = |l: Length| if inches { l.inches_text() } else { l.cm_text() };
    let deep = |l: Length| deep(l).split(' ').next().unwrap_or_default().to_owned();
    let body = heads
        .iter()
        .map(|h| {
            let mut row =
                vec![Cell::plain(exact(h.head.to_cm())), Cell::plain(half_inches(h.head))];
            if let Some(depths) = &depths {
                let depth = between(depths, h.head).map(deep);
                row.push(Cell::plain(depth.unwrap_or_else(|| "–".to_owned())));
            }
            row.extend(names.iter().map(|n| Cell::plain(cell(h.values.get(n)))));
            if graded_for(p, h.head) { strong(row) } else { row }
        })
        .collect();
    let mut own: Vec<Length> = p.design.sizes.iter().map(|s| s.head).collect();
    own.sort();
    let mut own: Vec<String> = own.into_iter().map(|l| exact(l.to_cm())).collect();
    own.dedup();
    let mut notes =
        vec![plain(format!("Rows in bold are the heads of the sizes: {} cm.", list_of(&own)))];
    if depths.is_some() {
        let unit = if inches { "inches" } else { "cm" };
        notes.push(plain(format!(
            "Depth is in {unit}: that of the sizes as worked, and between them in proportion, \
             where it may come out a round or row more or less.",
        )));
    }
    Table { caption: None, columns, head: vec![head], body, row_heads: true, notes }
}

/// Inches where the row is a half inch; a dash where it is not, so that no figure stands in
/// two rows.
fn half_inches(head: Length) -> String {
    let half = (head.to_inches() * 2.0).round() / 2.0;
    if alike(head, Length::inches(half)) { quarters(half) } else { "–".to_owned() }
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
