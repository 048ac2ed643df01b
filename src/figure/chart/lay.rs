//! Where symbols stand: each course spread over the one it stands on.

use super::slots::{Row, Slot};
use super::whole;
use crate::fabric::CourseShape;
use crate::standards::stitches::Base;
use std::collections::BTreeMap;

/// Places of stitches along their course: in stitch widths for straight charts, as a share
/// of the round for rings.
pub(super) type Along = BTreeMap<u32, f64>;

/// Lays straight rows: every stitch over its feet where there is room, in working order,
/// at least a stitch width apart. Right-side rows and rounds run right to left. Where a few
/// repeats are shown of a fabric with spaces, all rows are as wide as the widest: each has as
/// many repeats, and none leans.
pub(super) fn straight(rows: &[Row], repeated: bool) -> Along {
    let mut out = Along::new();
    let spaced = |r: &Row| {
        r.shape != CourseShape::Foundation && r.slots.iter().any(|s| s.kind.base == Base::Ch)
    };
    let level = repeated && rows.iter().any(spaced);
    let widest = rows.iter().map(Row::width).max().unwrap_or(1);
    for row in rows {
        let apart = if level { whole(widest) / whole(row.width().max(1)) } else { 1.0 };
        let way = if row.wrong_side { 1.0 } else { -1.0 };
        let wished = wishes(row, &out, way);
        for (slot, at) in row.slots.iter().zip(spread(row, &wished, way, apart)) {
            out.insert(slot.stitch, at);
        }
    }
    out
}

fn wishes(row: &Row, before: &Along, way: f64) -> Vec<f64> {
    let stood: Vec<Option<f64>> = row.slots.iter().map(|s| mean_foot(s, before)).collect();
    let mut out = Vec::new();
    let mut last: Option<f64> = None;
    for (i, at) in stood.iter().enumerate() {
        let wished = match (at, last) {
            (Some(at), _) => *at,
            (None, Some(last)) => {
                // A chain between two stitches lies half way to the next one that stands.
                match stood.iter().skip(i).flatten().next() {
                    Some(next) => last + (next - last) / 2.0,
                    None => last + way,
                }
            }
            (None, None) => 0.0,
        };
        out.push(wished);
        last = Some(wished);
    }
    out
}

fn mean_foot(slot: &Slot, before: &Along) -> Option<f64> {
    let feet: Vec<f64> = slot.feet.iter().filter_map(|f| before.get(f).copied()).collect();
    let n = f64::from(u32::try_from(feet.len()).ok().filter(|n| *n > 0)?);
    Some(feet.iter().sum::<f64>() / n)
}

/// Keeps slots in order and at least so many widths apart, as near to their wishes as that allows: least
/// squares under an order, by pooling neighbours that would overlap.
fn spread(row: &Row, wished: &[f64], way: f64, apart: f64) -> Vec<f64> {
    let gap = |s: &Slot| if s.on_top { 0.0 } else { apart };
    let mut offset = 0.0;
    let mut offsets = Vec::new();
    for (i, slot) in row.slots.iter().enumerate() {
        if i > 0 {
            offset += gap(slot);
        }
        offsets.push(offset);
    }
    // Blocks of (mean, how many): means never fall.
    let mut blocks: Vec<(f64, f64)> = Vec::new();
    for (wish, offset) in wished.iter().zip(&offsets) {
        let mut block = (wish * way - offset, 1.0);
        while let Some(last) = blocks.last().copied().filter(|l| l.0 > block.0) {
            blocks.pop();
            let n = last.1 + block.1;
            block = ((last.0 * last.1 + block.0 * block.1) / n, n);
        }
        blocks.push(block);
    }
    let means = blocks.iter().flat_map(|(mean, n)| std::iter::repeat_n(*mean, *n as usize));
    means.zip(&offsets).map(|(mean, offset)| (mean + offset) * way).collect()
}

/// Lays rounds: slots evenly over the ring, turned so that they stand over their feet.
/// `gap` is the share of the ring kept free at each round's beginning.
pub(super) fn round(rows: &[Row], gap: impl Fn(usize) -> f64) -> Along {
    let mut out = Along::new();
    for (i, row) in rows.iter().enumerate() {
        let free = gap(i);
        let n = f64::from(u32::try_from(row.width().max(1)).unwrap_or(1));
        let mut at = 0.0;
        for slot in &row.slots {
            if !slot.on_top {
                at += 1.0;
            }
            out.insert(slot.stitch, free + (1.0 - free) * (at - 0.5) / n);
        }
    }
    out
}
