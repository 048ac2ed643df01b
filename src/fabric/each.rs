//! "Each": to the end of the row, or to its last few places.

use super::edge::{Spot, What};
use super::fault::{Done, fault, fault_help, sts};
use super::making::Making;
use super::model::*;
use super::pass::Pass;
use super::places::{Measure, measure};
use super::recover::Known;
use super::site::Site;
use super::worker::Worker;
use crate::written::tree::*;

impl Pass {
    /// "each st around", "each dc and in each ch-1 sp", to the end or to the last few.
    pub fn each(&mut self, w: &mut Worker, t: &Target, extent: &Extent, m: Making) -> Done {
        let m = m.counted();
        let Making { bases, span, .. } = m;
        let mut place = t.place.clone();
        if place == PlaceKind::Chain
            && !self.list.iter().any(|s| matches!(s.what, What::Chain | What::Space))
            && (w.referred || self.list.iter().any(|s| s.what == What::Wild))
        {
            place = PlaceKind::Stitch;
        }
        self.back_to_stood(&place);
        let mut limit = self.walk_end(w, t, extent, &place, span)?;
        if t.part == Part::After && self.shape == Some(Shape::Row) {
            limit = limit.min(self.index_of_last(w, 1, &place));
        }
        let measured = measure(&place);
        let singles = matches!(&place, PlaceKind::Chain)
            || matches!(&place, PlaceKind::AnyOf(k) if k.contains(&PlaceKind::Chain));
        // "Each ch" over a bare foundation is "each st" too.
        let plain = match place {
            PlaceKind::Stitch => matches!(t.part, Part::Whole | Part::Post),
            PlaceKind::Chain => {
                let ahead = self.list.get(self.pos..limit);
                let bare = |a: &[Spot]| a.iter().all(|s| s.what == What::Chain);
                t.part == Part::Whole && ahead.is_some_and(bare)
            }
            _ => false,
        };
        let fast = bases == 1 && plain;
        let mut worked: u64 = 0;
        if fast {
            worked = self.each_stitch(w, limit, m)?;
        } else if bases > 1 && measured == Measure::Stitches {
            worked = self.each_together(w, t, limit, m)?;
        } else {
            for i in self.pos..limit {
                let Some(spot) = self.list.get(i).copied() else { break };
                if singles && spot.what == What::Space {
                    for k in 0..spot.size {
                        self.make(w, Site::at(spot.chain_of_run(k)), m)?;
                        worked += 1;
                    }
                    self.taken(i);
                    continue;
                }
                if !self.fits(w, spot, &place) {
                    continue;
                }
                let site = self.taken(i);
                self.make(w, self.deep(w, t, site), m)?;
                self.free_loop_of(m.loops);
                worked += 1;
            }
        }
        if worked == 0
            && w.known == Known::All
            && matches!(extent, Extent::End)
            && self.tail.unwrap_or(0) == 0
        {
            let what = self.place_words(w, &place, true);
            let any = self.list.iter().any(|s| self.fits(w, *s, &place));
            return match any {
                true => fault("overrun", span, format!("no {what} is left: all are used up")),
                false => fault_help(
                    "wrong-place",
                    span,
                    format!("there is no {what} in the row below"),
                    "check what the line before makes",
                ),
            };
        }
        let all = matches!(place, PlaceKind::Stitch | PlaceKind::RowEnd);
        self.pos = if fast || all || extent == &Extent::End && self.tail.unwrap_or(0) == 0 {
            self.pos.max(limit)
        } else {
            self.pos
        };
        self.inner = 0;
        self.swept = !all;
        Ok(())
    }

    /// The hot path: one stitch or group into each stitch up to `limit`.
    fn each_stitch(&mut self, w: &mut Worker, limit: usize, m: Making) -> Done<u64> {
        let mut worked = 0;
        if !self.list.iter().take(limit).skip(self.pos).any(|s| s.is_stitch()) {
            // "Each st to last 6 sts" of six: the hand stays where it is, chains and all.
            return Ok(0);
        }
        if self.first_used.is_none() {
            self.first_used = self.next_stitch();
            self.started_at = self.first_used.unwrap_or(0);
        }
        let simple = match m.made {
            Made::Stitch { count: Number::Plain(1), kind }
                if kind.post == Post::No && kind.base != Base::Picot && self.group == 0 =>
            {
                Some(*kind)
            }
            _ => None,
        };
        if let Some(kind) = simple
            && !matches!(m.loops, Loop::Back | Loop::Front)
        {
            self.settle_chains();
            self.room(w, (limit.saturating_sub(self.pos)) as u64, m.span)?;
            let mut last = self.last;
            self.made.reserve(limit.saturating_sub(self.pos));
            w.fabric.stitches.reserve(limit.saturating_sub(self.pos));
            for (i, spot) in self.list.iter().enumerate().take(limit).skip(self.pos) {
                if !spot.is_stitch() {
                    continue;
                }
                let site = Site::at(*spot);
                let at = w.fabric.stitches.len() as u32;
                w.fabric.stitches.push(Stitch {
                    kind,
                    role: Role::Counted,
                    loops: m.loops,
                    bases: 1,
                    colour: w.colour,
                    base: site.base,
                    last: site.last,
                    group: 0,
                });
                self.made.push(Spot::top(kind, at, 0));
                last = Some((site, i));
                worked += 1;
            }
            self.last = last;
            self.count += worked as u32;
            self.worked |= worked > 0;
            return Ok(worked);
        }
        for i in self.pos..limit {
            if self.list.get(i).is_some_and(|s| s.is_stitch()) {
                let site = self.taken(i);
                self.make(w, site, m)?;
                self.free_loop_of(m.loops);
                worked += 1;
            }
        }
        Ok(worked)
    }

    /// "sc2tog around": each uses up several.
    fn each_together(&mut self, w: &mut Worker, t: &Target, limit: usize, m: Making) -> Done<u64> {
        let bases = m.bases;
        let fitting: Vec<usize> = self.fitting(w, limit, &t.place).collect();
        let n = fitting.len() as u64;
        let over = n % u64::from(bases);
        if over != 0 {
            return fault_help(
                "leftover",
                m.span,
                format!("{} to work, drawn together by {bases}: {over} left over", sts(n)),
                format!("{} or {} would fit", n - over, n - over + u64::from(bases)),
            );
        }
        let mut worked = 0;
        for pair in fitting.chunks(bases as usize) {
            let (Some(a), Some(b)) = (pair.first(), pair.last()) else { continue };
            self.worked_over(w, *a, *b, m)?;
            worked += u64::from(bases);
        }
        Ok(worked)
    }

    /// One made over all that it draws together, from place `a` to `b`.
    pub fn worked_over(&mut self, w: &mut Worker, a: usize, b: usize, m: Making) -> Done {
        let first = self.list.get(a).map_or(Site::NOWHERE, |s| Site::at(*s));
        let last = self.list.get(b).map_or(Site::NOWHERE, |s| Site::at(*s));
        let site = Site {
            last: last.last,
            bases: u8::try_from(m.bases).unwrap_or(u8::MAX),
            post: first.post && last.post,
            ..first
        };
        self.use_up(a, b - a + 1);
        self.last = Some((site, b));
        self.make(w, site, m)
    }

    /// Where the last `n` places of a kind begin.
    pub fn index_of_last(&self, w: &Worker, n: u64, place: &PlaceKind) -> usize {
        if n == 0 {
            return self.list.len();
        }
        let mut left = n;
        // Groups are counted as such, and the last few begin where the first of them does.
        if matches!(place, PlaceKind::Fan { .. } | PlaceKind::Special(_)) {
            let mut first = self.list.len();
            let mut group = 0;
            for i in (self.pos..self.list.len()).rev() {
                w.look(1);
                let Some(spot) = self.list.get(i).filter(|s| self.fits(w, **s, place)) else {
                    continue;
                };
                if spot.group != group && left == 0 {
                    return first;
                }
                left -= u64::from(spot.group != group);
                (group, first) = (spot.group, i);
            }
            return if left == 0 { first } else { self.pos };
        }
        for i in (self.pos..self.list.len()).rev() {
            w.look(1);
            if self.list.get(i).is_some_and(|s| self.fits(w, *s, place)) {
                left -= 1;
                if left == 0 {
                    return i;
                }
            }
        }
        self.pos
    }

    /// "60 sc evenly around": the printed number rules, and is not held against the edge.
    pub fn evenly(&mut self, w: &mut Worker, m: Making) -> Done {
        let m = m.counted();
        self.end.left = true;
        self.pos = self.list.len();
        let Made::Stitch { kind, count: Number::Plain(1) } = m.made else {
            return self.make(w, Site::NOWHERE, m);
        };
        let piece = w.piece;
        let claims = match piece.lines.get(self.line).map(|l| &l.kind) {
            Some(LineKind::Work(work)) => work.claims.as_slice(),
            _ => &[],
        };
        let stitches = |i: &&ClaimItem| matches!(i.unit, Unit::Stitches | Unit::Kind(_));
        let Some(item) = claims.iter().flat_map(|c| &c.items).find(stitches) else {
            return fault_help(
                "no-end",
                m.span,
                "how many are worked evenly? Neither a number nor a count is given",
                "write “60 sc evenly around”, or a count behind the line",
            );
        };
        let n = w.value(&item.count, item.at)?.saturating_sub(u64::from(self.count));
        let all = Made::Stitch { count: Number::Plain(n), kind: *kind };
        self.make(w, Site::NOWHERE, Making { made: &all, ..m })
    }
}
