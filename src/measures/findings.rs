//! What the measures say that a maker should know, as findings.

use super::{Hat, Promise, SizeMeasures};
use crate::diag::Finding;
use crate::standards::worked;

/// How far the girth of two pieces may differ where they meet: a fifth. Bands and cuffs
/// are often worked tighter on purpose (common practice, no source).
pub const CUFF_SLACK: f64 = 0.20;

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

/// Pieces whose girths do not meet.
fn steps(hat: &Hat, sizes: &[SizeMeasures]) -> Vec<Finding> {
    let mut found: Vec<(String, String, Vec<String>)> = Vec::new();
    for (size, of) in sizes.iter().zip(&hat.sizes) {
        for pair in size.silhouette.bands.windows(2) {
            let [lower, upper] = pair else { continue };
            let wider = lower.upper.max(upper.lower);
            let differ = (lower.upper - upper.lower).abs() / wider.max(1e-6);
            if lower.piece == upper.piece || differ <= CUFF_SLACK {
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
