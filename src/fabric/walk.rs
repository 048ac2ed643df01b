//! Walks along a row that stop or change at certain places: "to next ch-2 sp", "every 3rd st",
//! "…, working 3 sc in each corner".

use super::edge::What;
use super::fault::{Done, fault, fault_help, plural, sts};
use super::pass::{On, Pass};
use super::worker::{Known, Worker};
use crate::diag::Span;
use crate::written::tree::*;

impl Pass {
    /// Up to which place a walk goes.
    pub fn walk_end(
        &mut self,
        w: &Worker,
        t: &Target,
        extent: &Extent,
        place: &PlaceKind,
        span: Span,
    ) -> Done<usize> {
        Ok(match extent {
            Extent::End => match (self.tail, self.stop_at.take()) {
                (_, Some(stop)) => stop,
                (Some(n), None) if n > 0 => self.index_of_last(w, n, place),
                _ => self.list.len(),
            },
            Extent::ToLast { count, place: last } => {
                let n = w.value(count, t.at)?;
                self.index_of_last(w, n, last)
            }
            Extent::ToTurningChain => match self.list.last() {
                Some(s) if s.rise => self.list.len() - 1,
                _ => self.list.len(),
            },
            Extent::ToNext(next) => self.next_of_kind(w, t, next, span)?,
        })
    }

    /// Where the next place of a kind lies: of a group, its middle.
    pub fn next_of_kind(
        &self,
        w: &Worker,
        t: &Target,
        place: &PlaceKind,
        span: Span,
    ) -> Done<usize> {
        let from = self.pos.max(self.passable.min(self.list.len()));
        let found = match place {
            PlaceKind::Fan { .. } | PlaceKind::Special(_) => {
                let group = Target { place: place.clone(), at: t.at, ..Target::next(Number::ONE) };
                match self.group_from(w, &group, from)? {
                    Some((a, b)) => Some(self.part_of_group(w, &group, a, b, span)?),
                    // A corner may be a space that is no part of a group.
                    None => self.position(from, |s| s.what == What::Space),
                }
            }
            _ => self.position(from, |s| self.fits(w, *s, place)),
        };
        match found {
            Some(i) => Ok(i),
            None if w.known != Known::All => Ok(self.list.len()),
            None => {
                let what = self.place_words(w, place, true);
                let any = self.list.iter().any(|s| self.fits(w, *s, place));
                let code = if any { "overrun" } else { "wrong-place" };
                fault_help(
                    code,
                    span,
                    format!("there is no further {what} in the row below to go to"),
                    "check what the line before makes",
                )
            }
        }
    }

    fn position(&self, from: usize, fits: impl Fn(&super::edge::Spot) -> bool) -> Option<usize> {
        self.list.get(from..)?.iter().position(fits).map(|i| from + i)
    }

    /// Which places up to `limit` a target names: all of its kind, or every so many of them.
    fn named(&self, w: &Worker, t: &Target, limit: usize, span: Span) -> Done<Vec<usize>> {
        let mut found = Vec::new();
        let group = matches!(t.place, PlaceKind::Fan { .. } | PlaceKind::Special(_))
            || !matches!(t.part, Part::Whole | Part::Post | Part::Below(_));
        if group {
            let mut pos = self.pos;
            while let Some((a, b)) = self.group_from(w, t, pos)? {
                let i = self.part_of_group(w, t, a, b, span)?;
                if i < limit && i >= self.pos {
                    found.push(i);
                }
                if b <= pos {
                    break;
                }
                pos = b;
            }
            // Corners that are mere spaces.
            if found.is_empty() && matches!(t.place, PlaceKind::Fan { count: None, kind: None }) {
                found.extend(
                    (self.pos..limit)
                        .filter(|i| self.list.get(*i).is_some_and(|s| s.what == What::Space)),
                );
            }
        } else {
            found.extend(
                (self.pos..limit)
                    .filter(|i| self.list.get(*i).is_some_and(|s| self.fits(w, *s, &t.place))),
            );
        }
        if let Reach::Every(n, _) = &t.reach {
            let n = w.value(n, t.at)?.max(1);
            let mut k = 0;
            found.retain(|_| {
                k += 1;
                k % n == 0
            });
        }
        Ok(found)
    }

    /// "dc in every other st around".
    #[allow(clippy::too_many_arguments)]
    pub fn every(
        &mut self,
        w: &mut Worker,
        t: &Target,
        n: u64,
        extent: &Extent,
        made: &Made,
        loops: Loop,
        span: Span,
    ) -> Done {
        let limit = self.walk_end(w, t, extent, &t.place, span)?;
        let all = (self.pos..limit)
            .filter(|i| self.list.get(*i).is_some_and(|s| self.fits(w, *s, &t.place)))
            .count() as u64;
        if n == 0 || (!all.is_multiple_of(n) && w.known == Known::All) {
            return fault_help(
                "leftover",
                span,
                format!(
                    "{} to go along, and every {n} of them takes one: {} left over",
                    sts(all),
                    all.checked_rem(n).unwrap_or(0)
                ),
                "say what is worked at the end",
            );
        }
        for i in self.named(w, t, limit, span)? {
            let site = self.taken(i);
            self.make(w, made, self.deep(w, t, site), loops, span, false)?;
            self.free_loop_of(loops);
        }
        self.pos = self.pos.max(limit);
        self.inner = 0;
        self.swept = t.place != PlaceKind::Stitch;
        Ok(())
    }

    /// "sc in each sc around, working 3 sc in each ch-3 sp": one walk, on which each place
    /// takes what is said for it.
    pub fn walk(&mut self, w: &mut Worker, working: &Working, t: &Target, span: Span) -> Done {
        let loops = if t.loops == Loop::Both { self.loops } else { t.loops };
        self.choose_edge(w, t, span)?;
        if matches!(self.on, On::Ring | On::Nothing) && w.known == Known::All {
            return fault("wrong-place", span, "there is no row below to go along");
        }
        if std::mem::take(&mut self.jump) {
            self.pos = self.pos.max(self.passable.min(self.list.len()));
        }
        let Reach::Each(extent) = &t.reach else {
            return self.target(w, t, &working.made, span, false, None);
        };
        self.note_asks(w, t, false);
        let limit = self.walk_end(w, t, extent, &t.place, span)?;
        let mut else_where: Vec<(usize, usize)> = Vec::new();
        for (k, besides) in working.besides.iter().enumerate() {
            self.note_asks(w, &besides.target, false);
            let found = self.named(w, &besides.target, limit, span)?;
            if found.is_empty() && w.known == Known::All {
                let what = self.place_words(w, &besides.target.place, true);
                return fault_help(
                    "wrong-place",
                    span,
                    format!("there is no {what} in the row below"),
                    "check what the line before makes",
                );
            }
            else_where.extend(found.into_iter().map(|i| (i, k)));
        }
        else_where.sort_unstable();
        let mut next = else_where.into_iter().peekable();
        let mut worked = false;
        for i in self.pos..limit {
            let mut made = None;
            while let Some((_, k)) = next.next_if(|(at, _)| *at <= i) {
                made = working.besides.get(k);
            }
            let (made, t) = match made {
                Some(besides) => (&besides.made, &besides.target),
                None if self.list.get(i).is_some_and(|s| self.fits(w, *s, &t.place)) => {
                    (&working.made, t)
                }
                None => continue,
            };
            let loops = if t.loops == Loop::Both { loops } else { t.loops };
            let site = self.taken(i);
            self.make(w, made, self.deep(w, t, site), loops, span, false)?;
            self.free_loop_of(loops);
            worked = true;
        }
        if !worked && w.known == Known::All {
            return fault("overrun", span, "nothing is left of the row below to go along");
        }
        self.pos = self.pos.max(limit);
        self.inner = 0;
        self.swept = t.place != PlaceKind::Stitch;
        Ok(())
    }
}

impl Worker<'_> {
    /// Works the lines that are due before row or round `next`: those of "Row 2 and all
    /// even-numbered rows", and the later ones of "Rows 4, 6 and 8".
    pub fn work_due(&mut self, shape: Shape, next: Option<u32>) -> Done {
        loop {
            let number = self.number.saturating_add(1);
            if next.is_some_and(|n| number >= n) || self.shape != Some(shape) {
                return Ok(());
            }
            let listed = self.due.iter().position(|d| d.0 == shape && d.1 == number && !d.3);
            let found = match listed {
                Some(i) => Some(self.due.remove(i)),
                None => self
                    .due
                    .iter()
                    .rev()
                    .find(|d| {
                        next.is_some()
                            && d.0 == shape
                            && d.3
                            && number > d.1
                            && (number - d.1).is_multiple_of(2)
                    })
                    .copied(),
            };
            let Some((_, _, line, _)) = found else { return Ok(()) };
            self.due_course(line, shape, number)?;
        }
    }

    fn due_course(&mut self, line: usize, shape: Shape, number: u32) -> Done {
        let piece = self.piece;
        let Some(Line { kind: LineKind::Work(work), .. }) = piece.lines.get(line) else {
            return Ok(());
        };
        let first = self.fabric.courses.len();
        let again = work.steps.iter().find_map(|s| match &s.act {
            Act::Again(again) => Some((again, s.at)),
            _ => None,
        });
        match again {
            Some((again, at)) => self.again(again, at, Some((shape, vec![number])), work)?,
            None => {
                self.counter = Some(crate::written::Counter { round: number, step: 1 });
                self.course(line, &work.steps, Some(shape), Some(number), work.side)?;
                self.book.push(super::worker::Entry { shape, number, line, step: 1 });
            }
        }
        let Some(last) = self.fabric.courses.len().checked_sub(1).filter(|l| *l >= first) else {
            return Ok(());
        };
        let (count, counts) = self.counts_of(last);
        if let Some(result) = self.results.iter_mut().rev().find(|r| r.index as usize == line) {
            result.count = count;
            result.counts = counts;
        }
        self.check_claims(work, Some(last), first)
    }

    /// Rows or rounds named in a label whose turn never came.
    pub fn never_due(&self) -> Option<(usize, String)> {
        let (shape, number, line, _) = self.due.iter().find(|d| !d.3)?;
        let word = if *shape == Shape::Row { "Row" } else { "Rnd" };
        Some((
            *line,
            format!(
                "{word} {number} of this line never comes: the piece ends after {}",
                plural(u64::from(self.number), "row or round", "rows or rounds")
            ),
        ))
    }
}
