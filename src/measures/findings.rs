//! What the measures say that a maker should know, as findings.

use super::course::is_fabric;
use super::{Band, Hat, PieceOf, Promise, SizeMeasures, SizeOf};
use crate::diag::Finding;
use crate::fabric::{Ground, Role, Standing};
use crate::standards::worked;

/// How much wider than the body the brim may be where they meet: a tenth, which stitches
/// take up (common practice, no source).
pub const BRIM_WIDER: f64 = 0.10;

/// How much narrower than the body the brim may be: a fifth. A band on a smaller hook or in
/// a firmer stitch is meant to draw in (common practice, no source).
pub const BRIM_NARROWER: f64 = 0.20;

/// All findings, sizes that share one told together.
pub(super) fn all(hat: &Hat, sizes: &[SizeMeasures], promises: &[Promise]) -> Vec<Finding> {
    let mut out = Vec::new();
    out.extend(promises.iter().flat_map(|p| promise(hat, sizes, p)));
    out.extend(steps(hat, sizes));
    out
}

/// The promise of balls, proved for every size.
fn promise(hat: &Hat, sizes: &[SizeMeasures], promise: &Promise) -> Vec<Finding> {
    let Some(yarn) = hat.yarns.get(promise.yarn) else { return Vec::new() };
    let margin = yarn.margin.unwrap_or(worked::margins().usual.value / 100.0);
    let (mut short, mut tight) = (Vec::new(), Vec::new());
    for (size, spare) in sizes.iter().zip(&promise.spare) {
        let took = size.yarn.get(promise.yarn).map_or(0.0, |u| u.mass);
        let said = format!("{} takes {:.0} g", size.id, took);
        if *spare < 0.0 {
            short.push((size.id.clone(), format!("{said}, {:.0} g too much", -spare)));
        } else if *spare < took * margin {
            tight.push((size.id.clone(), format!("{said}, {spare:.0} g spare")));
        }
    }
    let balls = if promise.balls == 1.0 { "ball" } else { "balls" };
    let what = format!("{} {balls} of {}", count(promise.balls), yarn.name);
    let finding = |finding: Finding, sizes: Vec<(String, String)>| {
        let (ids, _): (Vec<String>, Vec<String>) = sizes.into_iter().unzip();
        let finding = finding.sizes(ids);
        match yarn.place {
            Some(place) => finding.at(place, "the promise"),
            None => finding,
        }
    };
    let told = |list: &[(String, String)]| {
        list.iter().map(|(_, s)| s.as_str()).collect::<Vec<_>>().join("; ")
    };
    let mut out = Vec::new();
    if !short.is_empty() {
        let message = format!("{what} do not suffice: {}", told(&short));
        let fault = Finding::fault("promise", message)
            .help("promise more balls, or name the sizes the promise is for, or shorten them");
        out.push(finding(fault, short));
    }
    if !tight.is_empty() {
        let message = format!(
            "{what} suffice with less than the {:.0} % kept for tails and other hands: {}",
            margin * 100.0,
            told(&tight)
        );
        out.push(finding(Finding::caution("promise", message), tight));
    }
    out
}

fn count(balls: f64) -> String {
    if balls.fract() == 0.0 { format!("{balls:.0}") } else { format!("{balls}") }
}

/// Pieces whose girths do not meet though one is worked stitch for stitch on the other: it
/// is then the gauges that do not agree. Where the first round decreases or increases, the
/// girth changes because the design says so.
fn steps(hat: &Hat, sizes: &[SizeMeasures]) -> Vec<Finding> {
    let mut found: Vec<(String, String, Vec<String>)> = Vec::new();
    for (size, of) in sizes.iter().zip(&hat.sizes) {
        for pair in size.silhouette.bands.windows(2) {
            let [lower, upper] = pair else { continue };
            if !is_step(of, lower, upper) {
                continue;
            }
            let name = |p: usize| of.pieces.get(p).map_or("", |p| p.name);
            let pieces = format!("{} and {}", name(lower.piece), name(upper.piece));
            let said = format!(
                "{}: {:.1} against {:.1} cm",
                size.id,
                lower.upper / 10.0,
                upper.lower / 10.0
            );
            match found.iter_mut().find(|(p, _, _)| *p == pieces) {
                Some((_, all, ids)) => {
                    all.push_str("; ");
                    all.push_str(&said);
                    ids.push(size.id.clone());
                }
                None => found.push((pieces, said, vec![size.id.clone()])),
            }
        }
    }
    let findings = found.into_iter().map(|(pieces, said, ids)| {
        Finding::caution("girth-step", format!("{pieces} differ in girth where they meet ({said})"))
            .sizes(ids)
            .help(
                "bring the stitch counts nearer, or say in a note that one is eased into the other",
            )
    });
    findings.collect()
}

/// Whether the girth jumps between two bands of different pieces, `lower` at the brim side.
fn is_step(of: &SizeOf, lower: &Band, upper: &Band) -> bool {
    let wider = lower.upper.max(upper.lower).max(1e-6);
    let over = (lower.upper - upper.lower) / wider;
    if lower.piece == upper.piece || (-BRIM_NARROWER..=BRIM_WIDER).contains(&over) {
        return false;
    }
    let (before, after) = (lower.piece.min(upper.piece), lower.piece.max(upper.piece));
    let (before, after) = (of.pieces.get(before), of.pieces.get(after));
    before.zip(after).is_some_and(|(before, after)| !begins_with_shaping(before, after))
}

/// Whether a piece's first course decreases or increases on the piece before it.
fn begins_with_shaping(before: &PieceOf, piece: &PieceOf) -> bool {
    let fabric = piece.fabric;
    let Some(first) = fabric.courses.iter().find(|c| is_fabric(fabric, c)) else { return false };
    if first.ground != Ground::Before {
        return false;
    }
    let counted = || fabric.of(first).iter().filter(|s| s.role == Role::Counted);
    let mut stood: Vec<Standing> = counted().map(|s| s.base).collect();
    stood.sort_unstable_by_key(|s| match s {
        Standing::Before(i) | Standing::BeforeRowEnd(i) => *i,
        _ => 0,
    });
    let shared = stood.windows(2).any(|pair| matches!(pair, [a, b] if a == b));
    // On a course of stitches each must be used; row ends may be taken up at any rate.
    let on_stitches = stood.iter().any(|s| matches!(s, Standing::Before(_)));
    let edge = before.fabric.courses.iter().rfind(|c| is_fabric(before.fabric, c));
    let missed = on_stitches && edge.is_some_and(|c| c.count > first.count);
    shared || missed || counted().any(|s| s.bases > 1)
}
