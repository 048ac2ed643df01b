//! How to measure a head, and the size table.

use super::document::*;
use super::{Choices, Proved, body, chapter};
use crate::quantity::{Length, Units};
use crate::written::say::{Said, has_cell};

/// The chapter on sizes.
pub(super) fn sizes(p: &Proved, c: &Choices, said: &[Vec<Said>]) -> Vec<Block> {
    let mut out = vec![chapter("Sizes", "sizes")];
    let mut words =
        "Measure the head with a soft tape round its widest part: across the middle of the \
         forehead, above the ears, and over the fullest part at the back. The tape lies flat \
         and snug, with room for one finger."
            .to_owned();
    if c.size.is_none() {
        words.push_str(
            " Choose the size whose range holds your figure; between two sizes, take the larger \
             one.",
        );
    }
    out.push(body(plain(words)));
    out.push(Block::Table(table(p, c)));
    if c.size.is_none() && p.design.sizes.len() > 1 {
        out.push(body(plain(order(p, said))));
    }
    out
}

/// How numbers in brackets are to be read.
fn order(p: &Proved, said: &[Vec<Said>]) -> String {
    let names: Vec<&str> = p.design.sizes.iter().map(|s| s.name.as_str()).collect();
    let (first, rest) = match names.split_first() {
        Some((f, r)) => (*f, r.join(", ")),
        None => ("", String::new()),
    };
    let missing = said.iter().flatten().any(|s| has_cell(&s.label, "–") || has_cell(&s.body, "–"));
    let dash = if missing { "; a dash means that the size does not work that line" } else { "" };
    let letters = if names.len() > super::rounds::SHORT_BRACKETS {
        " Where such a bracket would not fit a line, a letter stands for it, and a table \
         before the lines gives each size's number."
    } else {
        ""
    };
    format!(
        "Throughout, the smallest size comes first and the others follow in brackets: {first} \
         ({rest}). Where there is only one number it is for every size{dash}.{letters} Mark your size through the booklet before \
         you begin."
    )
}

fn table(p: &Proved, c: &Choices) -> Table {
    let column = |align| Column { align };
    let head = |w: &str| Cell::plain(w);
    let folded = (0..p.design.sizes.len()).any(|i| p.fold(i).is_some());
    let mut body = Vec::new();
    for (i, size) in p.design.sizes.iter().enumerate().filter(|(i, _)| c.shows(*i)) {
        let units = p.design.pattern.units;
        let both = |l: Option<Length>| match l {
            Some(l) => Cell::plain(two_lines(l, units)),
            None => Cell::plain("–"),
        };
        let mut row = vec![
            Cell::plain(size.name.clone()),
            Cell { text: range(size.head_min, size.head_max, units), span: 1 },
            both(p.girth(i)),
            both(p.depth(i)),
        ];
        if folded {
            row.push(both(p.depth(i).map(|d| d + p.fold(i).unwrap_or(Length::ZERO))));
        }
        row.push(Cell::plain(p.girth(i).map(|g| ease(g, size.head)).unwrap_or_default()));
        body.push(row);
    }
    let standard = p.design.sizes.iter().all(|s| s.standard);
    let mut notes = vec![plain(format!(
        "Girth and depth are those of the finished hat as these stitches make it, lying \
             relaxed{}. Ease is the girth against the head that the size is reckoned for, near \
             the middle of its range: with a minus sign the hat is smaller than the head and \
             stretches to hold.",
        if p.design.pompom.is_some() { ", pompom not counted" } else { "" }
    ))];
    if folded {
        notes.push(plain(
            "Depth is that of the hat as worn, its cuff folded up; the whole length of the fabric \
             is beside it.",
        ));
    }
    if standard {
        notes.push(plain(
            "Heads: children's sizes follow the WHO Child Growth Standards (head \
             circumference-for-age, 2007), adults' the measured heads of ANSUR II (2012).",
        ));
    }
    let mut heads = vec!["Size", "Head", "Finished girth", "Depth"];
    if folded {
        heads.push("Unfolded");
    }
    let mut columns: Vec<Column> = heads.iter().map(|_| column(Align::Left)).collect();
    columns.push(column(Align::Right));
    heads.push("Ease");
    Table {
        caption: None,
        columns,
        head: vec![heads.into_iter().map(head).collect()],
        body,
        row_heads: true,
        notes,
    }
}

/// A range in both units; a line may end between them, not within one.
fn range(from: Length, to: Length, units: Units) -> Text {
    let cm = |from: Length, to: Length| {
        format!("{}–{}\u{a0}cm", whole_or_half(from.to_cm()), whole_or_half(to.to_cm()))
    };
    let quarters = |l: Length| crate::quantity::quarters(l.to_inches());
    let inch = |from: Length, to: Length| format!("{}–{}\u{a0}in", quarters(from), quarters(to));
    // The second unit is reckoned from the first as printed.
    let (first, second) = match units {
        Units::Metric => {
            let half = |l: Length| Length::cm((l.to_cm() * 2.0).round() / 2.0);
            (cm(from, to), inch(half(from), half(to)))
        }
        Units::Imperial => {
            let quarter = |l: Length| Length::inches((l.to_inches() * 4.0).round() / 4.0);
            (inch(from, to), cm(quarter(from), quarter(to)))
        }
    };
    let kept = |words: String| Inline::Keep(plain(words));
    vec![kept(first), Inline::Text(" ".to_owned()), kept(format!("({second})"))]
}

/// "46.5" from 46.4 cm: heads are printed to the half centimetre.
pub(super) fn whole_or_half(cm: f64) -> String {
    crate::quantity::number((cm * 2.0).round() / 2.0, 1)
}

fn two_lines(l: Length, units: Units) -> String {
    l.text(units).replacen(' ', "\u{a0}", 1).replace(" in", "\u{a0}in").replace(" cm", "\u{a0}cm")
}

fn ease(girth: Length, head: Length) -> String {
    let share = (girth - head) / head * 100.0;
    format!("{}\u{a0}%", crate::quantity::number(share.round(), 0))
}
