//! A count that is not what the instructions make: either may be the slip. What was worked is
//! gone on with; where the lines that follow do not come out on it, and come out on the count,
//! the instructions were wrong and the count is gone on with.

use super::worker::Worker;
use crate::written::tree::*;

/// How many lines the question stays open.
const LINES: usize = 12;
/// How often a piece is looked at in both ways.
const OFTEN: u32 = 16;

/// The piece as the count has it.
pub(super) struct Doubt<'a> {
    other: Box<Worker<'a>>,
    /// The line whose count is in doubt.
    line: usize,
}

impl<'a> Doubt<'a> {
    /// Behind line `i`, with `told` findings before it: whether the question is open still.
    pub fn weigh(
        doubt: Option<Doubt<'a>>,
        w: &mut Worker<'a>,
        i: usize,
        told: usize,
    ) -> Option<Doubt<'a>> {
        let faulty = w.findings.len() > told;
        if let Some(doubt) = doubt {
            if !faulty {
                return (!w.counted(i) && i < doubt.line + LINES).then_some(doubt);
            }
            let mut other = *doubt.other;
            let before = other.findings.len();
            for line in doubt.line + 1..=i {
                other.line = line;
                other.line_at(line);
            }
            if other.findings.len() == before && !other.over {
                *w = other;
                return None;
            }
        }
        if !(faulty && w.claim_failed) || w.over || w.doubts >= OFTEN {
            return None;
        }
        w.doubts += 1;
        let mut other = Box::new(w.clone());
        let piece = w.piece;
        let line = piece.lines.get(i)?;
        if let LineKind::Work(work) = &line.kind {
            other.recover(line, work);
        }
        Some(Doubt { other, line: i })
    }
}

impl Worker<'_> {
    /// Whether a line counts its stitches, and so bears out what was worked before it.
    fn counted(&self, i: usize) -> bool {
        let made = self.results.last().is_some_and(|r| r.index as usize == i);
        match self.piece.lines.get(i).map(|l| &l.kind) {
            Some(LineKind::Work(work)) => {
                let stitches = |i: &ClaimItem| matches!(i.unit, Unit::Stitches | Unit::Kind(_));
                made && work.claims.iter().flat_map(|c| &c.items).any(stitches)
            }
            _ => false,
        }
    }
}
