//! The stitch chart: a piece's fabric in the international symbols.
//!
//! Rows stand above each other and read as they are worked: right-side rows from right to
//! left, wrong-side rows back. Rounds are rings read anticlockwise; where the whole would
//! be too small to read, one wedge of the rings, or one repeat laid straight. Courses alike
//! the one before are drawn once, with all their numbers.

mod key;
mod lay;
mod paint;
mod slots;

use super::Anchor;
use super::Drawing;
use super::pen::{rough_width, words, wrapped};
use crate::fabric::{CourseShape, Fabric};
use crate::standards::stitches::Terms;
use paint::Shape;
use slots::Row;

/// How a chart is to be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ChartOptions {
    /// Names of stitches in the key.
    pub terms: Terms,
    /// Room in millimetres, key included.
    pub room: (f64, f64),
    /// Mirrored, as a left hand works; words stay readable.
    pub mirrored: bool,
}

impl Default for ChartOptions {
    fn default() -> Self {
        ChartOptions { terms: Terms::Us, room: (165.0, 220.0), mirrored: false }
    }
}

/// A chart with its words.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// The drawing, key included.
    pub drawing: Drawing,
    /// What it shows, for who cannot see it.
    pub alt: String,
    /// Whether it is one stitch over and over, with no shaping: a chart says no more than
    /// the words do.
    pub plain: bool,
}

/// Widest and narrowest that a stitch is drawn, in millimetres: below, slashes run together
/// on paper.
const UNIT: (f64, f64) = (3.4, 2.3);
/// Rings are drawn for rounds that grow or shrink by at least so much; others are a tube,
/// which lies straight.
const GROWS: f64 = 1.6;
/// A straight repeat is shown so often that at least this many stitches are seen.
const SEEN: usize = 8;

/// The chart of a fabric; none where it has no courses, or cannot be read at any size: too
/// wide, and not made of repeats.
pub fn chart(fabric: &Fabric, options: &ChartOptions) -> Option<Chart> {
    let rows = slots::rows(fabric);
    if rows.iter().all(|r| r.shape == CourseShape::Foundation) {
        return None;
    }
    let used = slots::used(&rows);
    let key = |width: f64| key::key(&used, fabric, options.terms, width);
    let height = options.room.1 - key(options.room.0).height - 20.0;
    let (drawn, shape, shown) = fitting(&rows, (options.room.0, height))?;
    let drawn = if options.mirrored { drawn.mirrored() } else { drawn };
    let mut said = reading(&shown, &shape, options.mirrored);
    if several_colours(fabric) {
        said.push("Colours are not drawn: they are as the written lines say.".to_owned());
    }
    let beside = explained(&said, &key(0.0), options.room.0 - drawn.width - APART);
    let d = if drawn.width + APART + beside.width <= options.room.0 {
        side_by_side(&drawn, &beside)
    } else {
        let below = explained(&said, &key(options.room.0), options.room.0);
        let width = drawn.width.max(below.width);
        let mut d = Drawing { width, height: drawn.height + 3.0 + below.height, marks: Vec::new() };
        d.place(&drawn, (d.width - drawn.width) / 2.0, 0.0);
        d.place(&below, 0.0, drawn.height + 3.0);
        d
    };
    Some(Chart {
        drawing: d,
        alt: alt(fabric, &rows, &shape, options.terms),
        plain: is_plain(&rows),
    })
}

/// Size of the words beside a chart and in its key, in points.
const WORDS: f64 = 9.0;
/// From line to line of them, in millimetres.
const LINE: f64 = 4.0;
/// Room between a chart and the words beside it, in millimetres.
const APART: f64 = 8.0;

/// How to read the chart in lines of `width` millimetres, at least 54 mm, and its key below
/// that.
fn explained(said: &[String], key: &Drawing, width: f64) -> Drawing {
    let longest = said.iter().map(|s| room_for(s, WORDS)).fold(0.0, f64::max);
    let width = key.width.max(54.0).max(longest.min(width));
    let mut d = Drawing { width, height: 0.0, marks: Vec::new() };
    for line in said.iter().flat_map(|s| wrapped(s, WORDS, width)) {
        d.height += LINE;
        d.say(words((0.0, d.height - 0.9), line, WORDS, Anchor::Start));
    }
    d.place(key, 0.0, d.height + 1.0);
    d.height += 1.0 + key.height;
    d
}

fn side_by_side(chart: &Drawing, beside: &Drawing) -> Drawing {
    let width = chart.width + APART + beside.width;
    let mut d = Drawing { width, height: chart.height.max(beside.height), marks: Vec::new() };
    d.place(chart, 0.0, (d.height - chart.height) / 2.0);
    d.place(beside, chart.width + APART, (d.height - beside.height) / 2.0);
    d
}

fn is_plain(rows: &[Row]) -> bool {
    let worked = || rows.iter().filter(|r| r.shape != CourseShape::Foundation);
    let wide = worked().next().map_or(0, Row::width);
    let first = worked().find_map(|r| r.slots.iter().find(|s| !s.riser));
    worked().all(|r| {
        r.width() == wide
            && r.slots.iter().all(|s| s.riser || first.is_some_and(|f| f.kind == s.kind))
    })
}

/// The first way of drawing the rows that can be read in the room.
fn fitting(rows: &[Row], room: (f64, f64)) -> Option<(Drawing, Shape, Vec<Row>)> {
    let mut ways: Vec<(Shape, Vec<Row>)> = Vec::new();
    let repeats = slots::repeats(rows);
    if is_ring(rows) {
        ways.push((Shape::Ring, rows.to_vec()));
        if let Some(n) = repeats {
            ways.push((Shape::Wedge { of: n }, slots::first_repeats(rows, n, 1)));
        }
    }
    ways.push((Shape::Straight { repeats: 1, shown: 1 }, rows.to_vec()));
    if let Some(n) = repeats {
        let one = rows.iter().map(Row::width).max().unwrap_or(1) / n;
        let shown = SEEN.div_ceil(one.max(1)).clamp(1, n);
        let few = slots::first_repeats(rows, n, shown);
        ways.push((Shape::Straight { repeats: n, shown }, few));
    }
    // A tube's straight chart is told best by a few of its repeats, even where all would fit.
    if rounds_only(rows) && !is_ring(rows) && ways.len() > 1 {
        ways.reverse();
    }
    for (shape, rows) in ways {
        let mut unit = UNIT.0;
        while unit >= UNIT.1 {
            let drawn = paint::paint(&rows, &shape, unit);
            if drawn.width <= room.0 && drawn.height <= room.1 {
                return Some((drawn, shape, rows));
            }
            unit -= 0.1;
        }
    }
    None
}

fn several_colours(fabric: &Fabric) -> bool {
    let mut colours = fabric.stitches.iter().map(|s| s.colour);
    colours.next().is_some_and(|first| colours.any(|c| c != first))
}

fn rounds_only(rows: &[Row]) -> bool {
    rows.iter().all(|r| r.shape != CourseShape::Row)
}

fn is_ring(rows: &[Row]) -> bool {
    let counts = || rows.iter().filter(|r| r.shape == CourseShape::Round).map(Row::width);
    let (least, most) = (counts().min().unwrap_or(0), counts().max().unwrap_or(0));
    rounds_only(rows) && whole(most) >= GROWS * whole(least)
}

fn whole(n: usize) -> f64 {
    u32::try_from(n).map_or(0.0, f64::from)
}

/// How to read the chart, sentence by sentence.
fn reading(rows: &[Row], shape: &Shape, mirrored: bool) -> Vec<String> {
    let mut said = vec![
        match (shape, rounds_only(rows)) {
            (Shape::Ring, _) if mirrored => "Rounds read clockwise from their numbers.",
            (Shape::Ring, _) => "Rounds read anticlockwise from their numbers.",
            (_, true) if mirrored => "Rounds read from left to right, from their numbers.",
            (_, true) => "Rounds read from right to left, from their numbers.",
            (_, false) => "Rows read in the direction of their arrows, from their numbers.",
        }
        .to_owned(),
    ];
    match *shape {
        Shape::Wedge { of } => said.push(format!("One of {of} wedges is shown.")),
        Shape::Straight { repeats, shown } if repeats > shown => {
            said.push(format!("What the bracket holds is worked {repeats} times in all."));
        }
        _ => {}
    }
    let run = |r: &&Row| r.label.contains(['\u{2013}', ',']);
    if let Some(row) = rows.iter().find(run) {
        said.push(format!("Where a line is numbered {}, all these are worked alike.", row.label));
    }
    said
}

fn alt(fabric: &Fabric, rows: &[Row], shape: &Shape, terms: Terms) -> String {
    let what = if rounds_only(rows) { "round" } else { "row" };
    let how = match shape {
        Shape::Ring => "as rings from the first round".to_owned(),
        Shape::Wedge { of } => format!("as one of {of} wedges"),
        Shape::Straight { repeats, shown } if repeats > shown => {
            format!("as {shown} of {repeats} repeats")
        }
        Shape::Straight { .. } => "whole".to_owned(),
    };
    let counted = rows.iter().filter(|r| !r.label.is_empty()).map(|r| {
        let name = if r.shape == CourseShape::Round { "round" } else { "row" };
        format!("{name} {} has {} stitches", r.label, stitches(r))
    });
    let names = slots::used(rows).into_iter().map(|(k, l)| key::name(k, l, fabric, terms));
    format!(
        "Stitch chart, each {what} drawn {how}: {}. Symbols used: {}. The written {what}s say the same.",
        counted.collect::<Vec<_>>().join(", "),
        names.collect::<Vec<_>>().join(", ")
    )
}

fn stitches(row: &Row) -> usize {
    use crate::standards::stitches::Base;
    row.slots.iter().filter(|s| !s.on_top && (s.riser || s.kind.base != Base::Ch)).count()
}

/// Rough room that words take, in millimetres, for the painter.
fn room_for(text: &str, size: f64) -> f64 {
    rough_width(text, size)
}
