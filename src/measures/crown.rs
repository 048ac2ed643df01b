//! Crown flatness: does a crown worked in rounds lie flat, cup or ruffle?

use super::course::{self, OwnHeight};
use super::strips::Strip;
use super::{GaugeOf, Hat, SizeOf};
use crate::fabric::CourseShape;
use std::f64::consts::TAU;

/// A top drawn together while this much fuller than a disc, after no more than so many
/// rounds, is gathered on purpose and no crown (common practice, no source).
const GATHERED_FULL: f64 = 1.2;
const GATHERED_ROUNDS: usize = 4;

/// One round of a crown, counted from the middle outwards.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CrownRound {
    /// Stitches of the round.
    pub stitches: f64,
    /// Way from the middle to its outer edge along the fabric, in mm.
    pub out: f64,
    /// Its girth against a flat disc of that radius: 1 lies flat, less cups, more ruffles.
    pub flatness: f64,
}

/// A crown from its middle to the first round of full width.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Crown {
    /// The piece it belongs to.
    pub piece: usize,
    /// Its rounds from the middle outwards.
    pub rounds: Vec<CrownRound>,
    /// Increases a round that would lie flat at this gauge: 2 pi h / w.
    pub flat: f64,
    /// Increases a round as worked, from the middle to full width, on average.
    pub per_round: f64,
    /// Way from the middle to full width along the fabric, in mm.
    pub depth: f64,
    /// Whether it was worked from its middle; otherwise it narrows to it.
    pub outwards: bool,
}

impl Crown {
    /// Flatness of the outermost round.
    pub fn edge(&self) -> f64 {
        self.rounds.last().map_or(0.0, |r| r.flatness)
    }

    /// Increases a round, or more where some round grows faster than that and would ruffle.
    pub fn growth(&self) -> f64 {
        if self.fullest() > 1.0 {
            self.per_round.max(self.fullest() * self.flat)
        } else {
            self.per_round
        }
    }

    /// The largest flatness once the crown is large enough to ruffle (its third round on).
    pub fn fullest(&self) -> f64 {
        self.rounds.iter().skip(2).map(|r| r.flatness).fold(0.0, f64::max)
    }
}

/// Increases in each round that keep a circle flat, for a stitch of this width and height:
/// each round adds its height to the radius, so 2 pi h to the edge.
pub fn flat_increase(stitch: f64, row: f64) -> f64 {
    TAU * row / stitch
}

/// Girth of `stitches` against that of a flat disc whose edge is `out` from its middle.
pub fn flatness(stitches: f64, stitch: f64, out: f64) -> f64 {
    if out > 0.0 { stitches * stitch / (TAU * out) } else { 0.0 }
}

/// The crown of one size, where rounds grow from a ring or shrink to a closed top.
pub(super) fn of(hat: &Hat, own: &[OwnHeight], size: &SizeOf, strips: &[Strip]) -> Option<Crown> {
    strips.iter().find_map(|strip| {
        let piece = size.pieces.get(strip.piece)?;
        let gauge = hat.gauges.get(piece.gauge)?;
        let own = own.get(piece.gauge).copied()?;
        let widths = course::widths(piece.fabric);
        let courses = strip
            .courses
            .iter()
            .filter_map(|c| Some((piece.fabric.courses.get(*c)?, widths.get(*c)?)));
        let mut rounds: Vec<(f64, f64, bool)> = courses
            .filter(|(c, _)| course::is_fabric(piece.fabric, c))
            .filter(|(c, _)| c.shape == CourseShape::Round)
            .map(|(c, wide)| {
                let high = course::height_mm(piece.fabric, c, gauge, own);
                (*wide, high, c.gathered)
            })
            .collect();
        let outwards = strip.ring;
        if !outwards {
            rounds.reverse();
        }
        let closed = outwards || narrow(&rounds);
        let crown = closed.then(|| crown(strip.piece, &rounds, gauge)).flatten();
        crown.map(|c| Crown { outwards, ..c })
    })
}

/// Whether rounds are worked down to a fifth of their widest: less is a tube that is drawn
/// together, whose folds take up what a disc would ruffle.
fn narrow(rounds: &[(f64, f64, bool)]) -> bool {
    let widest = rounds.iter().map(|(n, _, _)| *n).fold(0.0, f64::max);
    rounds.first().is_some_and(|(first, _, _)| *first <= 0.2 * widest)
}

fn crown(piece: usize, rounds: &[(f64, f64, bool)], gauge: &GaugeOf) -> Option<Crown> {
    let widest = rounds.iter().map(|(n, _, _)| *n).fold(0.0, f64::max);
    let (_, _, gathered) = rounds.first()?;
    let full = rounds.iter().position(|(n, _, _)| *n > 0.98 * widest)?;
    let mut out = 0.0;
    let mut made = Vec::new();
    for (stitches, high, _) in rounds.iter().take(full + 1) {
        out += high;
        let flatness = flatness(*stitches, gauge.stitch, out);
        made.push(CrownRound { stitches: *stitches, out, flatness });
    }
    let inmost = made.first().map_or(0.0, |r| r.flatness);
    if *gathered && inmost > GATHERED_FULL && full <= GATHERED_ROUNDS {
        return None;
    }
    let per_round = made.last().map_or(0.0, |r| r.stitches) / course::whole(made.len());
    let flat = flat_increase(gauge.stitch, gauge.row);
    Some(Crown { piece, rounds: made, flat, per_round, depth: out, outwards: true })
}
