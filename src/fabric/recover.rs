//! Going on after a fault: it is told once, and the line's own claim is trusted for what follows.

use super::edge::Spot;
use super::fault::{Done, Fault};
use super::needs;
use super::places::{Measure, measure};
use super::worker::Worker;
use crate::diag::{Finding, Span};
use crate::limits;
use crate::written::tree::*;

/// How much is known of the edge after a fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Known {
    /// All of it.
    All,
    /// How many stitches it has, by the claim of a line that failed.
    Count,
    /// Nothing.
    Nothing,
}

/// Codes that hold whatever the state of the edge.
const SURE: [&str; 4] = ["bad-reference", "range-mismatch", "numbering", "graded-number"];

impl Worker<'_> {
    /// Puts a fault down, and trusts the line's claim for what follows.
    pub fn fail(&mut self, f: &Fault, line: &Line, work: &Work) {
        // Rows that could not be worked may have left stitches to go on with.
        let short = self.rows_lost && f.code == "overrun";
        if self.known == Known::All
            || f.code == "limit"
            || (self.known == Known::Count && f.code != "wrong-place" && !short)
            || SURE.contains(&f.code)
        {
            self.tell(f, line);
        }
        if self.claim_failed && f.code == "count-mismatch" {
            // What was worked stands, unless the lines that follow show otherwise.
            return;
        }
        if f.code == "limit" {
            self.over = true;
        }
        self.keep_numbering(work);
        self.recover(line, work);
    }

    /// Puts a fault down.
    pub fn tell(&mut self, f: &Fault, line: &Line) {
        if self.findings.len() >= limits::FINDINGS {
            return;
        }
        let span = if f.span == Span::default() { line.at.0 } else { f.span };
        let mut finding =
            Finding::fault(f.code, f.message.clone()).at(self.options.origin.place(span), "here");
        if let Some(help) = &f.help {
            finding = finding.help(help.clone());
        }
        if !self.size.is_empty() {
            finding = finding.sizes([self.size]);
        }
        self.findings.push(finding);
    }

    /// The edge is taken from what the failed line claims, if it claims anything.
    pub fn recover(&mut self, line: &Line, work: &Work) {
        self.carried = None;
        self.back.clear();
        self.beyond.clear();
        self.ring = false;
        self.fresh = true;
        if work.steps.iter().any(|s| matches!(s.act, Act::Join(_))) {
            self.joined_last = true;
        }
        self.known = Known::Nothing;
        if let Some(n) = self.claimed(work)
            && let Err(f) = self.suppose(n)
            && !self.over
        {
            self.tell(&f, line);
            self.over = true;
        }
    }

    /// After a fault nothing is known but what a line claims.
    pub fn trust(&mut self, work: &Work) -> Done {
        match self.claimed(work) {
            Some(n) if n > 0 => self.suppose(n),
            _ => Ok(()),
        }
    }

    /// Whether a line asks for what a count does not tell: spaces and groups of a line that
    /// could not be worked, and whether its beginning chain counts as one before it did.
    pub fn unseen(&self, work: &Work, said: u64, made: u64) -> bool {
        let mut spaces = false;
        needs::visit(&work.steps, &mut |t, _| {
            let of =
                |place: &PlaceKind| matches!(measure(place), Measure::Spaces | Measure::Groups);
            spaces |= match &t.place {
                PlaceKind::AnyOf(kinds) => kinds.iter().any(of),
                place => of(place) || !matches!(t.part, Part::Whole | Part::Post),
            };
        });
        let chain = work.steps.iter().find_map(|s| match &s.act {
            Act::Chain(Chain { count: Number::Plain(n), counts: None }) => Some(*n),
            _ => None,
        });
        let unsaid = chain.is_some_and(|n| {
            n > 1
                && !self.conventions.by_height.contains_key(&n)
                && self.conventions.any_height.is_none()
        });
        spaces || unsaid && said == made + 1
    }

    /// How many stitches a line claims, if it claims any that a piece can hold.
    pub fn claimed(&self, work: &Work) -> Option<u64> {
        let stitches = |i: &&ClaimItem| matches!(i.unit, Unit::Stitches | Unit::Kind(_));
        let items = work.claims.iter().flat_map(|c| &c.items).filter(stitches);
        let numbers = items.filter_map(|i| self.value(&i.count, i.at).ok());
        let sum =
            numbers.fold(None, |sum: Option<u64>, n| Some(sum.unwrap_or(0).saturating_add(n)));
        sum.filter(|n| *n <= limits::STITCHES)
    }

    /// The edge is `n` stitches of which no more is known.
    fn suppose(&mut self, n: u64) -> Done {
        self.spend_on(n as usize, Span::default())?;
        self.top = vec![Spot::wild(); n as usize];
        self.known = Known::Count;
        Ok(())
    }
}
