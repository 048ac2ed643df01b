//! The end of a line: what may be left over, and whether the round is closed as the piece asks.

use super::edge::{Spot, What};
use super::fault::{Done, fault, fault_help, plural, sts};
use super::model::*;
use super::pass::Pass;
use super::recover::Known;
use super::site::{On, Site};
use super::worker::Worker;
use crate::diag::Span;
use crate::written::tree::*;

/// Whether rounds are closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Closing {
    Unknown,
    Joined,
    Spiral,
}

impl Closing {
    /// As the piece says beforehand.
    pub fn of(piece: &Piece) -> Closing {
        match piece.method {
            Some(Method::Joined) => Closing::Joined,
            Some(Method::Spiral) => Closing::Spiral,
            _ => Closing::Unknown,
        }
    }
}

/// What a line says, or has done, of its end.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Ending {
    /// The rest of the row below stays unworked.
    pub left: bool,
    /// The round is closed with a slip stitch.
    pub joined: bool,
    /// The round is not to be closed.
    pub no_join: bool,
    /// The yarn is fastened off.
    pub closed_off: bool,
    pub turned_after: bool,
    /// The stitches are drawn together and closed.
    pub gathered: bool,
    /// A seam is made.
    pub seam: bool,
    /// A ring is made, for the next line to work into.
    pub ring_made: bool,
}

impl Pass {
    /// Checks what is left over, then hands the new edge to the worker.
    pub fn close(&mut self, w: &mut Worker, steps: &[Step]) -> Done {
        self.settle_chains();
        if self.foundation {
            return self.close_foundation(w);
        }
        if self.count == 0 && (!self.worked || self.shape.is_none()) {
            self.close_idle(w);
            return Ok(());
        }
        if self.only_away() {
            self.end.left = true;
        }
        self.left_over(w)?;
        self.closing(w, steps)?;
        self.mark_beginning_group(w);
        self.record(w);
        self.hand_over(w);
        Ok(())
    }

    /// A foundation chain was made.
    fn close_foundation(&mut self, w: &mut Worker) -> Done {
        let to = w.fabric.stitches.len() as u32;
        w.foundation = (self.from..to)
            .filter(|i| w.fabric.stitches.get(*i as usize).is_some_and(|s| s.kind == Kind::CH))
            .map(Spot::chain)
            .collect();
        w.foundation_worked.clear();
        w.top.clear();
        w.rows.clear();
        w.rows_lost = false;
        w.back.clear();
        w.beyond.clear();
        w.reserve.clear();
        w.ring = self.end.joined;
        w.joined_last = self.end.joined;
        w.fresh = true;
        w.restart = true;
        w.known = Known::All;
        w.shape = None;
        w.closing = Closing::of(w.piece);
        let course = Course {
            shape: CourseShape::Foundation,
            line: self.line as u32,
            stitches: self.from..to,
            joined: self.end.joined,
            colour: w.colour,
            ..Course::default()
        };
        w.fabric.courses.push(course);
        Ok(())
    }

    /// A line without a row of its own: fastening off, a travelling slip stitch, a seam.
    fn close_idle(&mut self, w: &mut Worker) {
        if self.end.turned_after || self.turned_before {
            w.turned = true;
        }
        if self.end.no_join && w.closing == Closing::Unknown {
            w.closing = Closing::Spiral;
        }
        if self.end.closed_off || self.end.seam || self.end.ring_made {
            w.restart = true;
        }
    }

    /// Faults if places are left that nothing excuses.
    pub fn left_over(&mut self, w: &Worker) -> Done {
        if self.end.left
            || w.known == Known::Nothing
            || matches!(self.on, On::Ring | On::Nothing | On::RowEnds) && !self.row_ends_used()
        {
            return Ok(());
        }
        if self.passable > self.pos {
            self.pos = self.passable.min(self.list.len());
            self.inner = 0;
        }
        // What slip stitches passed at the beginning need not be worked.
        let end = self.list.len().saturating_sub(self.wrapped);
        let mut rest = self.list.get(self.pos..end).unwrap_or(&[]);
        // Between so many stitches of a row lies one space less.
        if self.gaps && self.shape == Some(Shape::Row) && rest.len() == 1 {
            rest = &[];
        }
        // Round the foundation and back: the first chain may have had its corner at the start.
        if self.on == On::Opposite
            && rest.len() == 1
            && self.made.get(1).is_some_and(|s| s.group != 0)
        {
            rest = &[];
        }
        let stitches = rest.iter().filter(|s| s.is_stitch()).count() as u64;
        let spaces = rest
            .iter()
            .filter(|s| {
                s.what == What::Space
                    && (self.asks.sizes.is_empty() || self.asks.sizes.contains(&s.size))
            })
            .count() as u64;
        let wanted_spaces = if self.asks.spaces && !self.swept { spaces } else { 0 };
        let wanted =
            if (self.asks.stitches || !self.asks.spaces && !self.asks.groups) && !self.swept {
                stitches
            } else {
                0
            };
        if wanted == 0 && wanted_spaces == 0 {
            return Ok(());
        }
        let row_end = self.on == On::RowEnds;
        let what = match (wanted, wanted_spaces) {
            (n, 0) if row_end => plural(n, "row end is", "row ends are"),
            (n, 0) => format!("{} {}", sts(n), if n == 1 { "is" } else { "are" }),
            (0, n) => plural(n, "chain space is", "chain spaces are"),
            (n, m) => format!("{} and {} are", sts(n), plural(m, "chain space", "chain spaces")),
        };
        let total = self.list.iter().filter(|s| s.is_stitch()).count();
        fault_help(
            "leftover",
            Span::default(),
            format!("{what} left unworked of {total} in the row below"),
            "work them, or say “leave remaining sts unworked”",
        )
    }

    fn row_ends_used(&self) -> bool {
        self.on == On::RowEnds && self.pos > 0
    }

    /// "leave remaining 6 sts unworked".
    pub fn leave(&mut self, w: &mut Worker, leave: &Leave, at: At) -> Done {
        let rest = self.stitches_left();
        if let Some(count) = &leave.count {
            let n = w.value(count, at)?;
            let beyond = (self.beyond.len() - self.used_beyond.min(self.beyond.len())) as u64;
            if w.known == Known::All && matches!(self.on, On::Top | On::Chain) && rest + beyond < n
            {
                return fault(
                    "overrun",
                    at.0,
                    format!("{} to be left, but only {} not worked", sts(n), rest),
                );
            }
            if w.known == Known::All && matches!(self.on, On::Top | On::Chain) && rest > n {
                return fault_help(
                    "leftover",
                    at.0,
                    format!("{} left unworked, and the text speaks of {n}", sts(rest)),
                    format!("work {} more, or leave {rest}", sts(rest - n)),
                );
            }
        }
        self.end.left = true;
        Ok(())
    }

    /// How many stitches of the row below are not yet worked.
    pub fn stitches_left(&self) -> u64 {
        self.list.get(self.pos..).unwrap_or(&[]).iter().filter(|s| s.is_stitch()).count() as u64
    }

    /// Whether the round is closed as the piece asks.
    fn closing(&mut self, w: &mut Worker, steps: &[Step]) -> Done {
        let round = self.shape == Some(Shape::Round);
        if !round {
            return Ok(());
        }
        if self.end.no_join {
            w.closing = Closing::Spiral;
        } else if self.end.joined {
            w.closing = Closing::Joined;
        } else if w.closing == Closing::Joined && self.rise.is_some() && w.known != Known::Nothing {
            let begins = steps.iter().find(|s| !matches!(s.act, Act::Colour(_) | Act::Remark(_)));
            if self.end.closed_off {
                // Fastened off without a word of joining: the end is closed with a slip stitch.
                self.room(w, 1, steps.last().map_or(Span::default(), |s| s.at.0))?;
                self.push(w, Kind::SL_ST, Role::Join, Site::NOWHERE, Loop::Both);
                self.end.joined = true;
                w.fabric.joins += 1;
            } else if begins.is_some_and(|s| matches!(s.act, Act::Chain(_)))
                && (self.end.turned_after || self.more_rounds(w))
            {
                let span = steps.last().map_or(Span::default(), |s| s.at.0);
                return fault_help(
                    "missing-join",
                    span,
                    "this round is not closed, although the piece is worked in joined rounds",
                    "add “join with sl st in first st”, or “do not join”",
                );
            }
        }
        Ok(())
    }

    /// Whether a round follows that begins as joined rounds do.
    fn more_rounds(&self, w: &Worker) -> bool {
        let next =
            w.piece.lines.get(self.line + 1..).unwrap_or(&[]).iter().find_map(|l| match &l.kind {
                LineKind::Work(work) | LineKind::Unread(work) => Some(work),
                _ => None,
            });
        next.is_some_and(|work| {
            work.label.as_ref().is_some_and(|l| l.shape == Shape::Round)
                && work
                    .steps
                    .iter()
                    .any(|s| matches!(s.act, Act::Chain(_) | Act::Again(_) | Act::Even(_)))
        })
    }
}
