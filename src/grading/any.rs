//! The design's own rules for any head and any gauge.

use super::eval::Solver;
use super::grade::{numbers, values};
use super::number::Value;
use super::rules::{Rules, Setting};
use crate::design::{DepthRule, Design};
use crate::quantity::Length;
use serde::Serialize;
use std::collections::BTreeMap;

/// The numbers for one head.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AnyHead {
    /// The head.
    pub head: Length,
    /// The depth for it.
    pub depth: Length,
    /// The size whose column of the design's tables serves it: the one nearest in head.
    pub size: String,
    /// The design's numbers by name.
    pub values: BTreeMap<String, Value>,
}

/// The numbers of one size at one gauge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct AnyGauge {
    /// Stitches over the gauge's own length.
    pub sts: f64,
    /// Rows over the gauge's own length.
    pub rows: f64,
    /// For each size, in the design's order, the design's numbers by name.
    pub values: Vec<BTreeMap<String, Value>>,
}

/// The smallest head of the table: the smallest standard size's.
fn smallest() -> Length {
    crate::standards::heads::sizes().first().map_or(Length::cm(26.0), |s| s.min)
}

/// The largest head of the table: as large as measured heads go, and a little more.
const LARGEST: f64 = 66.0;

/// The numbers for every whole centimetre and every half inch of head, from the smallest
/// standard size to 66 cm, and for the head of every size, by the design's own rules. A table by size gives the column of
/// the size nearest in head; depths given by size are drawn out in proportion between them.
pub fn any_head(design: &Design) -> Vec<AnyHead> {
    let rules = Rules::read(design, &mut Vec::new());
    let depths = known_depths(design, &rules);
    steps(design).into_iter().filter_map(|head| at_head(design, &rules, &depths, head)).collect()
}

fn steps(design: &Design) -> Vec<Length> {
    let (low, high) = (smallest(), Length::cm(LARGEST));
    let whole = |n: i32| Length::cm(f64::from(n));
    let half = |n: i32| Length::inches(f64::from(n) / 2.0);
    let mut all: Vec<Length> =
        (0..=200).flat_map(|n| [whole(n), half(n)]).filter(|l| *l >= low && *l <= high).collect();
    all.extend(design.sizes.iter().map(|s| s.head));
    all.sort();
    all.dedup_by(|a, b| a.near(*b, Length::mm(1e-6)));
    all
}

/// Head and depth of each size, smallest head first; empty where a rule serves any head.
fn known_depths(design: &Design, rules: &Rules) -> Vec<(Length, Length)> {
    if design.depth != DepthRule::PerSize {
        return Vec::new();
    }
    let mut known: Vec<(Length, Length)> = Vec::new();
    for (i, size) in design.sizes.iter().enumerate() {
        let setting = Setting { size: i, head: size.head, ease: size.ease.value, depth: None };
        let mut solver = Solver::new(rules, &setting);
        if let Some(Value::Length(depth)) = solver.value("depth").and_then(|n| n.value()) {
            known.push((size.head, depth));
        }
    }
    known.sort();
    known
}

/// On a straight line between neighbours; in proportion to the head beyond the ends.
/// `known` are heads, smallest first, each with its measure; none where there are none.
pub fn between(known: &[(Length, Length)], head: Length) -> Option<Length> {
    let (first, last) = (known.first()?, known.last()?);
    if head <= first.0 {
        return Some(first.1 * (head / first.0));
    }
    if head >= last.0 {
        return Some(last.1 * (head / last.0));
    }
    known.windows(2).find_map(|pair| match pair {
        [a, b] if head >= a.0 && head <= b.0 && b.0 > a.0 => {
            Some(a.1 + (b.1 - a.1) * ((head - a.0) / (b.0 - a.0)))
        }
        _ => None,
    })
}

fn at_head(
    design: &Design,
    rules: &Rules,
    depths: &[(Length, Length)],
    head: Length,
) -> Option<AnyHead> {
    let nearest = design.sizes.iter().enumerate().min_by_key(|(_, s)| (s.head - head).abs());
    let (index, size) = nearest?;
    let setting =
        Setting { size: index, head, ease: size.ease.value, depth: between(depths, head) };
    let mut solver = Solver::new(rules, &setting);
    let found = numbers(rules, &mut solver);
    let depth = found.get("depth")?.value()?.length()?;
    Some(AnyHead { head, depth, size: size.id.clone(), values: values(rules, &found) })
}

/// The numbers of every size at gauges round one of the design's own: `steps` either way in
/// stitches and in rows, each `step` apart. Gauges of zero or less are left out. Answers
/// row by row: fewest rows first, and in each fewest stitches first.
pub fn any_gauge(design: &Design, gauge: &str, steps: u32, step: f64) -> Vec<AnyGauge> {
    gauges(design, gauge, steps, step, |_, _| true)
}

/// The same where only one measure of the gauge is another: by stitches and by rows.
pub fn along_gauge(
    design: &Design,
    gauge: &str,
    steps: u32,
    step: f64,
) -> (Vec<AnyGauge>, Vec<AnyGauge>) {
    let by_sts = gauges(design, gauge, steps, step, |own, (_, rows)| rows == own.1);
    let by_rows = gauges(design, gauge, steps, step, |own, (sts, _)| sts == own.0);
    (by_sts, by_rows)
}

/// Those of the gauges round the design's own that are wanted: asked with the design's own
/// stitches and rows, and with those of each.
fn gauges(
    design: &Design,
    gauge: &str,
    steps: u32,
    step: f64,
    wanted: impl Fn((f64, f64), (f64, f64)) -> bool,
) -> Vec<AnyGauge> {
    let Some(own) = design.gauge(gauge) else { return Vec::new() };
    let rules = Rules::read(design, &mut Vec::new());
    let around = |n: f64| {
        let steps = i64::from(steps.min(50));
        (-steps..=steps).map(move |k| n + k as f64 * step).filter(|n| *n > 0.0)
    };
    let mut grid = Vec::new();
    for rows in around(own.rows.value) {
        for sts in around(own.sts.value) {
            if !wanted((own.sts.value, own.rows.value), (sts, rows)) {
                continue;
            }
            let mut changed = rules.clone();
            for g in changed.gauges.iter_mut().filter(|g| g.name == gauge) {
                g.st = own.over.value / sts;
                g.row = own.over.value / rows;
            }
            let values = all_sizes(design, &changed);
            grid.push(AnyGauge { sts, rows, values });
        }
    }
    grid
}

fn all_sizes(design: &Design, rules: &Rules) -> Vec<BTreeMap<String, Value>> {
    let one = |(i, size): (usize, &crate::design::Size)| {
        let setting = Setting { size: i, head: size.head, ease: size.ease.value, depth: None };
        let mut solver = Solver::new(rules, &setting);
        let found = numbers(rules, &mut solver);
        values(rules, &found)
    };
    design.sizes.iter().enumerate().map(one).collect()
}
