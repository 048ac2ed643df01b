//! How much yarn each size takes, as worked out from its own stitches.

use super::document::*;
use super::words::{kept, list_of};
use super::{Choices, Proved, body};
use crate::measures::{Basis, YarnUse};
use crate::quantity::{Length, Mass, number};

/// The yarn table with what it rests on; nothing where no swatch or sample was weighed.
pub(super) fn table(p: &Proved, c: &Choices) -> Vec<Block> {
    let sizes: Vec<(usize, &str)> = p
        .design
        .sizes
        .iter()
        .enumerate()
        .filter(|(i, _)| c.shows(*i))
        .map(|(i, s)| (i, s.name.as_str()))
        .collect();
    let uses = |i: usize| p.measures.sizes.get(i).map_or(&[][..], |m| &m.yarn);
    if sizes.iter().all(|(i, _)| uses(*i).iter().all(|u| u.mass <= 0.0)) {
        return Vec::new();
    }
    let several = p.design.yarns.len() > 1;
    let mut rows = Vec::new();
    for (i, name) in &sizes {
        for (n, use_) in uses(*i).iter().enumerate() {
            let mut row = Vec::new();
            row.push(Cell::plain(if n == 0 { (*name).to_owned() } else { String::new() }));
            if several {
                row.push(Cell::plain(yarn_name(p, use_.yarn)));
            }
            row.extend(amounts(use_));
            rows.push(row);
        }
    }
    let column = |align| Column { align };
    let mut columns = vec![column(Align::Left)];
    let mut head = vec![Cell::plain("Size")];
    if several {
        columns.push(column(Align::Left));
        head.push(Cell::plain("Yarn"));
    }
    for words in ["Mass", "Length", "Balls"] {
        columns.push(column(Align::Right));
        head.push(Cell::plain(words));
    }
    let table = Table {
        caption: Some(plain("Yarn for each size, pompom included where it is of yarn")),
        columns,
        head: vec![head],
        body: rows,
        row_heads: true,
        notes: vec![plain(basis(p))],
    };
    let mut out = vec![Block::Table(table)];
    if let Some(words) = promises(p) {
        out.push(body(plain(words)));
    }
    out.extend(stages(p, c));
    out
}

fn yarn_name(p: &Proved, at: usize) -> String {
    p.design.yarns.get(at).map(|y| y.name.as_str().to_owned()).unwrap_or_default()
}

fn amounts(use_: &YarnUse) -> [Cell; 3] {
    let mass = kept(&Mass::grams(use_.mass).grams_text());
    let length = match use_.length {
        Some(m) => {
            let l = Length::m(m);
            format!("{} ({})", kept(&l.metres_text()), kept(&l.yards_text()))
        }
        None => "–".to_owned(),
    };
    let balls = use_.balls.map_or_else(|| "–".to_owned(), |b| b.to_string());
    [Cell::plain(mass), Cell::plain(length), Cell::plain(balls)]
}

/// What the figures rest on, and how far they may be off.
fn basis(p: &Proved) -> String {
    let first = p.measures.sizes.iter().flat_map(|m| &m.yarn).find(|u| u.mass > 0.0);
    let Some(use_) = first else { return String::new() };
    let off = number((use_.basis.off() * 100.0).round(), 0);
    let margin = number((use_.margin * 100.0).round(), 0);
    let rests = match use_.basis {
        Basis::Sample => {
            "Worked out from each size's own stitches and set right by a weighed sample"
        }
        Basis::Swatch => "Worked out from each size's own stitches and a weighed swatch",
        Basis::Rough => "A rough figure, from each size's own stitches and its yarn's weight class",
    };
    format!(
        "{rests}; may be off by about {off}\u{a0}%. Balls are whole, with {margin}\u{a0}% over."
    )
}

/// "No size takes more than 2 balls".
fn promises(p: &Proved) -> Option<String> {
    let kept: Vec<String> = p
        .measures
        .promises
        .iter()
        .filter(|m| m.spare.iter().all(|s| *s >= 0.0))
        .map(|m| {
            let balls = if (m.balls - 1.0).abs() < 1e-9 { "ball" } else { "balls" };
            let of = if p.design.yarns.len() > 1 {
                format!(" of yarn\u{a0}{}", yarn_name(p, m.yarn))
            } else {
                String::new()
            };
            format!("{}\u{a0}{balls}{of}", number(m.balls, 2))
        })
        .collect();
    (!kept.is_empty()).then(|| format!("No size takes more than {}.", list_of(&kept)))
}

/// What must be left of the yarn after each piece: a check along the way. Only for a single
/// yarn: with several the colours tell by themselves.
fn stages(p: &Proved, c: &Choices) -> Option<Block> {
    if p.design.yarns.len() != 1 {
        return None;
    }
    let all = |i: usize| p.measures.sizes.get(i).map_or(&[][..], |m| &m.stages);
    let last = all(0).last()?.piece;
    let parts: Vec<&str> =
        p.design.pieces.iter().take(last).map(|part| part.name.as_str()).collect();
    if parts.is_empty() {
        return None;
    }
    let column = |align| Column { align };
    let mut head = vec![Cell::plain("Size")];
    head.extend(parts.iter().map(|name| Cell::plain(format!("After the {}", name.to_lowercase()))));
    let mut rows = Vec::new();
    for (i, size) in p.design.sizes.iter().enumerate().filter(|(i, _)| c.shows(*i)) {
        let mut row = vec![Cell::plain(size.name.clone())];
        row.extend((0..parts.len()).map(|piece| {
            let left = all(i).iter().find(|s| s.piece == piece).and_then(|s| s.left.first());
            let words = left.map(|g| kept(&Mass::grams(g.ceil()).grams_text()));
            Cell::plain(words.unwrap_or_else(|| "–".to_owned()))
        }));
        rows.push(row);
    }
    let mut columns = vec![column(Align::Left)];
    columns.extend(parts.iter().map(|_| column(Align::Right)));
    Some(Block::Table(Table {
        caption: Some(plain("Weigh your yarn on the way: what must be left to finish")),
        columns,
        head: vec![head],
        body: rows,
        row_heads: true,
        notes: Vec::new(),
    }))
}
