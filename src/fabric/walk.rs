//! Walks along a row that stop or change at certain places: "to next ch-2 sp", "every 3rd st",
//! "…, working 3 sc in each corner".

use super::edge::{Spot, What};
use super::fault::{Done, fault, fault_help, sts};
use super::making::Making;
use super::pass::Pass;
use super::recover::Known;
use super::site::On;
use super::worker::Worker;
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
            _ => self.position(from, |s| {
                w.look(1);
                self.fits(w, *s, place)
            }),
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

    fn position(&self, from: usize, fits: impl Fn(&Spot) -> bool) -> Option<usize> {
        self.list.get(from..)?.iter().position(fits).map(|i| from + i)
    }

    /// The places between the hand and `limit` that fit.
    fn ahead(&self, limit: usize, fits: impl Fn(&Spot) -> bool) -> impl Iterator<Item = usize> {
        let places = self.list.iter().enumerate().take(limit).skip(self.pos);
        places.filter(move |(_, s)| fits(s)).map(|(i, _)| i)
    }

    /// The places between the hand and `limit` that answer to what is asked.
    pub fn fitting(
        &self,
        w: &Worker,
        limit: usize,
        place: &PlaceKind,
    ) -> impl Iterator<Item = usize> {
        w.look(limit.saturating_sub(self.pos));
        self.ahead(limit, move |s| self.fits(w, *s, place))
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
                found.extend(self.ahead(limit, |s| s.what == What::Space));
            }
        } else {
            found.extend(self.fitting(w, limit, &t.place));
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
    pub fn every(
        &mut self,
        w: &mut Worker,
        t: &Target,
        n: u64,
        extent: &Extent,
        m: Making,
    ) -> Done {
        let (m, span) = (m.counted(), m.span);
        let limit = self.walk_end(w, t, extent, &t.place, span)?;
        let all = self.fitting(w, limit, &t.place).count() as u64;
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
            self.make(w, self.deep(w, t, site), m)?;
            self.free_loop_of(m.loops);
        }
        self.gone_along(t, limit);
        Ok(())
    }

    /// The hand stands behind what a walk went along.
    fn gone_along(&mut self, t: &Target, limit: usize) {
        self.pos = self.pos.max(limit);
        self.inner = 0;
        self.swept = t.place != PlaceKind::Stitch;
    }

    /// "sc in each sc around, working 3 sc in each ch-3 sp": one walk, on which each place
    /// takes what is said for it.
    pub fn walk(&mut self, w: &mut Worker, working: &Working, t: &Target, span: Span) -> Done {
        let loops = self.loops_of(t);
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
        if let [Besides { made, target }] = working.besides.as_slice()
            && let Reach::Spread(n) = &target.reach
        {
            let n = w.value(n, target.at)?;
            let plain = Making::of(&working.made, loops, span);
            self.spread(w, t, plain, (Making::of(made, loops, span), n), limit)?;
            self.gone_along(t, limit);
            return Ok(());
        }
        let elsewhere = self.besides(w, &working.besides, limit, span)?;
        let mut next = elsewhere.into_iter().peekable();
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
            self.make(w, self.deep(w, t, site), Making::of(made, loops, span))?;
            self.free_loop_of(loops);
            worked = true;
        }
        if !worked && w.known == Known::All {
            return fault("overrun", span, "nothing is left of the row below to go along");
        }
        self.gone_along(t, limit);
        Ok(())
    }

    /// Which places up to `limit` take something else, and which of the things said.
    fn besides(
        &mut self,
        w: &Worker,
        besides: &[Besides],
        limit: usize,
        span: Span,
    ) -> Done<Vec<(usize, usize)>> {
        let mut elsewhere = Vec::new();
        for (k, besides) in besides.iter().enumerate() {
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
            elsewhere.extend(found.into_iter().map(|i| (i, k)));
        }
        elsewhere.sort_unstable();
        Ok(elsewhere)
    }
}
