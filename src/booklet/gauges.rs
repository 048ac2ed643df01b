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

/// One of the two measures of a gauge.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Measure {
    Sts,
    Rows,
}

impl Measure {
    fn words(self) -> &'static str {
        if self == Measure::Sts { "stitches" } else { "rows" }
    }

    fn head(self, length: Length) -> &'static str {
        match (self, length) {
            (Measure::Sts, Length::Abbreviated) => "Sts",
            (Measure::Sts, Length::SpelledOut) => "Stitches",
            (Measure::Rows, _) => "Rows",
        }
    }

    fn of(self, gauge: &AnyGauge) -> f64 {
        if self == Measure::Sts { gauge.sts } else { gauge.rows }
    }
}

/// For each number a table by stitches and one by rows, where it hangs on them.
fn of_gauge(p: &Proved, c: &Choices, gauge: &Gauge, names: &[String]) -> Vec<Table> {
    let (by_sts, by_rows) = along_gauge(&p.design, &gauge.name, STEPS, STEP);
    let mut out = Vec::new();
    for name in names {
        out.extend(table(p, c, gauge, name, (Measure::Sts, &by_sts)));
        out.extend(table(p, c, gauge, name, (Measure::Rows, &by_rows)));
    }
    out
}

/// One number over one measure of the gauge; none where the measure does not move it.
fn table(
    p: &Proved,
    c: &Choices,
    gauge: &Gauge,
    name: &str,
    (measure, line): (Measure, &[AnyGauge]),
) -> Option<Table> {
    let own = if measure == Measure::Sts { gauge.sts.value } else { gauge.rows.value };
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
    let mut head = vec![Cell::plain(measure.head(c.length))];
    head.extend(p.design.sizes.iter().map(|s| Cell::plain(s.name.clone())));
    let row = |g: &AnyGauge| {
        let mut row = vec![Cell::plain(number(measure.of(g), 1))];
        row.extend(values(g).into_iter().map(Cell::plain));
        if measure.of(g) == own { strong(row) } else { row }
    };
    Some(Table {
        caption: Some(plain(format!(
            "{}, by {} over {over}{which}",
            super::heads::called(p, c, name),
            measure.words()
        ))),
        columns: head.iter().map(|_| Column { align: Align::Right }).collect(),
        head: vec![head],
        body: line.iter().map(row).collect(),
        row_heads: true,
        notes: Vec::new(),
    })
}
