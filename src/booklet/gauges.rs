//! The chapter for hands that hold another gauge: the design's own rules for gauges round
//! its own.

use super::document::*;
use super::heads::{cell, shown, strong};
use super::{Choices, Proved, body, chapter};
use crate::design::Gauge;
use crate::grading::{AnyGauge, along_gauge};
use crate::quantity::number;
use crate::written::say::Length;

/// How far the table goes either way: a stitch and a half by halves, as far as hands with
/// one yarn and hook differ (common practice, no source).
const STEPS: u32 = 3;
const STEP: f64 = 0.5;

/// The chapter; nothing in a copy for one size, or where no number depends on a gauge.
pub(super) fn any(p: &Proved, c: &Choices) -> Vec<Block> {
    if c.size.is_some() {
        return Vec::new();
    }
    let names = shown(p);
    let tables: Vec<Block> =
        p.design.gauges.iter().flat_map(|g| of_gauge(p, c, g, &names)).map(Block::Table).collect();
    if tables.is_empty() {
        return Vec::new();
    }
    let word = super::words::gauge(c.terms);
    let mut out = vec![
        chapter(&format!("Any {word}"), "any-gauge"),
        body(plain(format!(
            "If you like your fabric better at another {word}, these are the numbers that the \
             same rules give; take them in place of those of your size. Rows in bold are the \
             booklet's own {word}. Yarn and depth change with the {word} too."
        ))),
    ];
    out.extend(tables);
    out
}

/// For each number a table by stitches and one by rows, where it hangs on them.
fn of_gauge(p: &Proved, c: &Choices, gauge: &Gauge, names: &[String]) -> Vec<Table> {
    let (by_sts, by_rows) = along_gauge(&p.design, &gauge.name, STEPS, STEP);
    let (sts, rows) = (gauge.sts.value, gauge.rows.value);
    let mut out = Vec::new();
    for name in names {
        out.extend(table(p, c, gauge, name, "Sts", &by_sts, |g| g.sts, sts));
        out.extend(table(p, c, gauge, name, "Rows", &by_rows, |g| g.rows, rows));
    }
    out
}

/// One number over one measure of the gauge; none where the measure does not move it.
fn table(
    p: &Proved,
    c: &Choices,
    gauge: &Gauge,
    name: &str,
    measure: &str,
    line: &[AnyGauge],
    of: impl Fn(&AnyGauge) -> f64,
    own: f64,
) -> Option<Table> {
    let values = |g: &AnyGauge| g.values.iter().map(|v| cell(v.get(name))).collect::<Vec<_>>();
    let first = values(line.first()?);
    if line.iter().all(|g| values(g) == first) {
        return None;
    }
    let over = super::words::kept(&gauge.over.value.text(p.design.pattern.units));
    let which = match p.design.gauges.len() {
        1 => String::new(),
        _ => format!(" of the {}", super::materials::gauge_of(p, gauge)),
    };
    let measure_head = match (measure, c.length) {
        ("Sts", Length::SpelledOut) => "Stitches",
        _ => measure,
    };
    let mut head = vec![Cell::plain(measure_head)];
    head.extend(p.design.sizes.iter().map(|s| Cell::plain(s.name.clone())));
    let row = |g: &AnyGauge| {
        let mut row = vec![Cell::plain(number(of(g), 1))];
        row.extend(values(g).into_iter().map(Cell::plain));
        if of(g) == own { strong(row) } else { row }
    };
    Some(Table {
        caption: Some(plain(format!(
            "{}, by {} over {over}{which}",
            super::heads::called(p, c, name),
            if measure == "Sts" { "stitches" } else { "rows" }
        ))),
        columns: head.iter().map(|_| Column { align: Align::Right }).collect(),
        head: vec![head],
        body: line.iter().map(row).collect(),
        row_heads: true,
        notes: Vec::new(),
    })
}
