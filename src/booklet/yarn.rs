//! How much yarn each size takes, as worked out from its own stitches.

use super::document::*;
use super::rounds::graded;
use super::words::{kept, list_of};
use super::{Choices, Proved, body};
use crate::design::{Piece, PompomKind};
use crate::measures::{Basis, Promise, YarnUse};
use crate::proof::BallEndOf;
use crate::quantity::{Length, Mass, Units, number};

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
    let promised = kept_promises(p);
    let mut rows = Vec::new();
    for (i, name) in &sizes {
        for (n, use_) in uses(*i).iter().enumerate() {
            let mut row = Vec::new();
            row.push(Cell::plain(if n == 0 { (*name).to_owned() } else { String::new() }));
            if several {
                row.push(Cell::plain(yarn_name(p, use_.yarn)));
            }
            row.extend(amounts(use_));
            if !promised.is_empty() {
                row.push(Cell::plain(spare(p, use_)));
            }
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
    let spare = (!promised.is_empty()).then_some("Left over");
    for words in ["Mass", "Length", "Balls"].into_iter().chain(spare) {
        columns.push(column(Align::Right));
        head.push(Cell::plain(words));
    }
    let table = Table {
        caption: Some(plain(caption(p, c))),
        columns,
        head: vec![head],
        body: rows,
        row_heads: true,
        notes: vec![plain(basis(p, c))],
    };
    let mut out = vec![Block::Table(table)];
    if let Some(words) = promises(p, c, &promised) {
        out.push(body(plain(words)));
    }
    out.extend(stages(p, c));
    out
}

/// What the table is of.
fn caption(p: &Proved, c: &Choices) -> String {
    let whose = if c.size.is_some() { "Yarn for this size" } else { "Yarn for each size" };
    let pompom = match p.design.pompom.as_ref().map(|wish| wish.kind.value) {
        Some(PompomKind::Yarn) => ", pompom included",
        Some(PompomKind::Both) => ", pompom included where it is of yarn",
        Some(PompomKind::Fur) | None => "",
    };
    format!("{whose}{pompom}")
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
fn basis(p: &Proved, c: &Choices) -> String {
    let first = p.measures.sizes.iter().flat_map(|m| &m.yarn).find(|u| u.mass > 0.0);
    let Some(use_) = first else { return String::new() };
    let off = number((use_.basis.off() * 100.0).round(), 0);
    let margin = number((use_.margin * 100.0).round(), 0);
    let own = if c.size.is_some() { "this size's" } else { "each size's own" };
    let rests = match use_.basis {
        Basis::Sample => {
            format!("Worked out from {own} stitches and set right by a weighed sample")
        }
        Basis::Swatch => format!("Worked out from {own} stitches and a weighed swatch"),
        Basis::Rough => format!("A rough figure, from {own} stitches and the yarn's weight class"),
    };
    format!(
        "{rests}; may be off by about {off}\u{a0}%. Balls are rounded up, {margin}\u{a0}% added."
    )
}

/// The promises of balls that every size keeps: only those are spoken of.
fn kept_promises(p: &Proved) -> Vec<&Promise> {
    p.measures.promises.iter().filter(|m| m.spare.iter().all(|s| *s >= 0.0)).collect()
}

/// What a size leaves of its own balls: what they hold less what is printed as taken.
fn spare(p: &Proved, use_: &YarnUse) -> String {
    let ball = p.design.yarns.get(use_.yarn).and_then(|y| y.ball_mass.as_ref());
    let left = ball
        .zip(use_.balls)
        .map(|(ball, n)| ball.value.to_grams() * f64::from(n) - use_.mass.round());
    let left = left.filter(|g| *g >= 0.0);
    left.map_or_else(|| "–".to_owned(), |g| kept(&Mass::grams(g).grams_text()))
}

/// "1 ball", "2 balls".
fn balls_text(n: f64) -> String {
    let word = if (n - 1.0).abs() < 1e-9 { "ball" } else { "balls" };
    format!("{}\u{a0}{word}", number(n, 2))
}

/// Balls that no size takes more of: the promise, or fewer where none needs so many.
fn most(p: &Proved, promise: &Promise) -> f64 {
    let uses = p.measures.sizes.iter().flat_map(|m| &m.yarn).filter(|u| u.yarn == promise.yarn);
    let needed = uses.filter_map(|u| u.balls).max();
    needed.map_or(promise.balls, |n| promise.balls.min(f64::from(n)))
}

/// "No size takes more than 2 balls; what should be left is in the last column".
fn promises(p: &Proved, c: &Choices, promised: &[&Promise]) -> Option<String> {
    // In a copy for one size the table itself says as much.
    if c.size.is_some() {
        return None;
    }
    let words: Vec<String> = promised
        .iter()
        .map(|m| {
            let of = if p.design.yarns.len() > 1 {
                format!(" of yarn\u{a0}{}", yarn_name(p, m.yarn))
            } else {
                String::new()
            };
            format!("{}{of}", balls_text(most(p, m)))
        })
        .collect();
    (!words.is_empty()).then(|| {
        format!(
            "No size takes more than {}. The last column is what should be left.",
            list_of(&words)
        )
    })
}

/// What must be left of the yarn after each piece: a check along the way. Only for a single
/// yarn: with several the colours tell by themselves.
fn stages(p: &Proved, c: &Choices) -> Option<Block> {
    if p.design.yarns.len() != 1 {
        return None;
    }
    let all = |i: usize| p.measures.sizes.get(i).map_or(&[][..], |m| &m.stages);
    let margin = p.measures.sizes.first().and_then(|m| m.yarn.first()).map_or(0.0, |u| u.margin);
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
            let left = left.map(|g| g + p.until.as_ref().map_or(0.0, |u| u.keep));
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
        notes: vec![plain(format!(
            "With {}\u{a0}% over for other hands.",
            number((margin * 100.0).round(), 0)
        ))],
    }))
}

/// Where a piece goes on until the ball ends: what must be left when it stops, about how
/// many rounds that is, and the depth that follows. Nothing for other pieces.
pub(super) fn until_ball_ends(p: &Proved, c: &Choices, part: &Piece) -> Option<Block> {
    let all = p.until.as_ref()?;
    if p.design.pieces.get(all.piece).is_none_or(|own| own.place != part.place) {
        return None;
    }
    let shown: Vec<(usize, &BallEndOf)> = all
        .sizes
        .iter()
        .enumerate()
        .filter(|(i, _)| c.shows(*i))
        .filter_map(|(i, of)| Some((i, of.as_ref()?)))
        .collect();
    let each = |of: &dyn Fn(usize, &BallEndOf) -> String| {
        let cells: Vec<String> = shown.iter().map(|(i, end)| of(*i, end)).collect();
        match cells.first() {
            Some(first) if cells.iter().all(|c| c == first) => first.clone(),
            _ => graded(&cells),
        }
    };
    let yarn = match p.design.yarns.len() {
        1 => "the yarn".to_owned(),
        _ => format!("yarn\u{a0}{}", yarn_name(p, all.yarn)),
    };
    let balls = p.design.yarns.get(all.yarn).and_then(|y| y.balls_to_use.as_ref());
    let balls = balls.map_or(0.0, |b| b.value);
    let grams = |g: f64| number(g.ceil(), 0);
    // Rounded as the size table rounds it: one hat, one figure.
    let deep = |i: usize| p.depth(i).unwrap_or(Length::ZERO);
    let bare = |words: String| words.split(' ').next().unwrap_or_default().to_owned();
    let cm = each(&|i, _| bare(deep(i).cm_text()));
    let inches = each(&|i, _| bare(deep(i).inches_text()));
    let depth = match p.design.pattern.units {
        Units::Metric => format!("{cm}\u{a0}cm or {inches}\u{a0}in"),
        Units::Imperial => format!("{inches}\u{a0}in or {cm}\u{a0}cm"),
    };
    let keep = match all.keep {
        0.0 => String::new(),
        keep => format!(", and {}\u{a0}g besides", number(keep, 1)),
    };
    let words = format!(
        "Work even until the ball ends: until about {}\u{a0}g of {yarn} are left, or less would be \
         left after one more round. From {} that is about {} rounds of this part in \
         all, those written above among them. What is left finishes the hat, with {}\u{a0}% over for other hands{keep}. Worked so, the hat \
         is {} deep.",
        each(&|_, end| grams(end.left)),
        balls_text(balls),
        each(&|_, end| end.courses.to_string()),
        number((all.margin * 100.0).round(), 0),
        depth,
    );
    Some(Block::Paragraph(Paragraph { text: plain(words), kind: ParagraphKind::Note }))
}
