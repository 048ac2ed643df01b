//! Groups worked into one place: the next of them, and their parts.

use super::edge::{Spot, What, answers};
use super::fault::{Done, fault, fault_help, sts};
use super::making::Making;
use super::model::Standing;
use super::pass::Pass;
use super::site::Site;
use super::worker::Worker;
use crate::diag::Span;
use crate::written::tree::*;

impl Pass {
    /// The next group of the kind asked for: its first place and the one behind its last.
    pub fn next_group(&self, w: &Worker, t: &Target, span: Span) -> Done<(usize, usize)> {
        match self.group_from(w, t, self.pos)?.or_else(|| self.corner_space(t)) {
            Some(found) => Ok(found),
            None => {
                let what = self.place_words(w, &t.place, true);
                if self.group_from(w, t, 0)?.is_some() {
                    let help = "count what this line asks for against the line before it";
                    return fault_help(
                        "overrun",
                        span,
                        format!("no {what} is left: all are used up"),
                        help,
                    );
                }
                fault_help(
                    "wrong-place",
                    span,
                    format!("there is no {what} in the row below"),
                    "check what the line before makes",
                )
            }
        }
    }

    /// "3 sc in corner" where the corner is a mere space.
    fn corner_space(&self, t: &Target) -> Option<(usize, usize)> {
        let corner = matches!(t.place, PlaceKind::Fan { count: None, kind: None });
        let ahead = self.list.get(self.pos..).filter(|_| corner && t.part == Part::Whole)?;
        let i = self.pos + ahead.iter().position(|s| s.what == What::Space)?;
        Some((i, i + 1))
    }

    /// The first group that fits at or behind `pos`.
    pub fn group_from(&self, w: &Worker, t: &Target, pos: usize) -> Done<Option<(usize, usize)>> {
        let wanted = match &t.place {
            PlaceKind::Fan { count: Some(n), .. } => Some(w.value(n, t.at)? as usize),
            _ => None,
        };
        // The hand may stand inside a group: begin where that one begins.
        let here = self.list.get(pos).map_or(0, |s| s.group);
        let mut i = pos.min(self.list.len());
        while here != 0 && i > 0 && self.list.get(i - 1).is_some_and(|s| s.group == here) {
            i -= 1;
        }
        while i < self.list.len() {
            let group = self.list.get(i).map_or(0, |s| s.group);
            let mut end = i + 1;
            while group != 0 && self.list.get(end).is_some_and(|s| s.group == group) {
                end += 1;
            }
            w.look(end - i);
            let stitches =
                self.list.get(i..end).unwrap_or(&[]).iter().filter(|s| s.is_stitch()).count();
            // What is worked into a ring is no corner of it.
            let in_ring = |s: &Spot| {
                let made = w.fabric.stitches.get(s.at as usize);
                made.is_some_and(|m| m.base == Standing::Ring)
            };
            let fits = group != 0
                && !self.list.get(i).is_some_and(in_ring)
                && match &t.place {
                    PlaceKind::Special(k) => w.special_of(group) == Some(*k),
                    PlaceKind::Fan { kind, .. } => {
                        wanted.map_or(stitches >= 2, |n| n == stitches)
                            && kind.is_none_or(|k| {
                                self.list
                                    .get(i..end)
                                    .unwrap_or(&[])
                                    .iter()
                                    .filter(|s| s.is_stitch())
                                    .all(|s| answers(s.kind, k))
                            })
                    }
                    _ => false,
                };
            // The centre may still lie ahead when the hand is inside the group.
            let reached = match t.part {
                // The hand may have come to the very middle of a corner.
                Part::Whole => {
                    i >= pos || matches!(t.place, PlaceKind::Fan { .. }) && i + (end - i) / 2 == pos
                }
                Part::FirstOf(_) | Part::After => i >= pos,
                Part::NthOf(ref n, _) => (i..end)
                    .filter(|k| self.list.get(*k).is_some_and(|s| s.is_stitch()))
                    .nth((w.value(n, t.at)? as usize).saturating_sub(1))
                    .is_none_or(|k| k >= pos),
                Part::Centre(_) => i + (end - i) / 2 >= pos,
                Part::SpaceOf(_) => (pos.max(i)..end)
                    .any(|k| self.list.get(k).is_some_and(|s| s.what == What::Space)),
                _ => end > pos,
            };
            if fits && reached {
                return Ok(Some((i, end)));
            }
            i = end;
        }
        Ok(None)
    }

    /// Work into groups or parts of them: "center dc of next shell", "ch-1 sp of each V-st".
    pub fn groups_into(&mut self, w: &mut Worker, t: &Target, m: Making) -> Done {
        let span = m.span;
        if matches!(t.reach, Reach::Each(_)) {
            self.back_to_stood(&t.place);
        }
        let n = match &t.reach {
            Reach::Next(n) | Reach::First(n) | Reach::Last(n) => w.value(n, t.at)?,
            Reach::Each(_) | Reach::Remaining(None) => u64::MAX,
            Reach::Same => {
                return match self.last {
                    Some((site, _)) => self.make(w, site, m),
                    None => fault(
                        "wrong-place",
                        span,
                        "“same” place, but nothing has been worked in this line yet",
                    ),
                };
            }
            _ => 1,
        };
        let leave = match &t.reach {
            Reach::Each(Extent::ToLast { count, .. }) => w.value(count, t.at)?,
            Reach::Each(_) => self.tail.unwrap_or(0),
            _ => 0,
        };
        let total = if n == u64::MAX { self.groups_left(w, t).saturating_sub(leave) } else { n };
        if n == u64::MAX && total == 0 && leave == 0 {
            // Says that there is none at all, or none left.
            self.next_group(w, t, span)?;
        }
        for _ in 0..total {
            // "Sl st in next 2 sts and in sp between groups": the hand has come to it.
            if t.part == Part::After && m.travel && self.pos > 0 {
                let site = self.list.get(self.pos - 1).map_or(Site::NOWHERE, |s| Site::at(*s));
                self.last = Some((site, self.pos - 1));
                self.make(w, site, m)?;
                continue;
            }
            let (a, b) = self.next_group(w, t, span)?;
            let i = self.part_of_group(w, t, a, b, span)?;
            let inside = self.pos > a;
            let site = self.list.get(i).map_or(Site::NOWHERE, |s| Site::at(*s));
            self.use_up(i, 1);
            self.last = Some((site, i));
            if t.part == Part::After || t.part == Part::Whole && !inside {
                self.pos = b;
            } else {
                self.passable = b;
            }
            self.make(w, site, m)?;
        }
        if n == u64::MAX {
            self.swept = true;
            // The rest of the last group is passed over, unless “skip next dc” names it.
            self.jump = leave == 0;
        }
        Ok(())
    }

    /// How many groups of the kind asked for lie ahead.
    pub fn groups_left(&self, w: &Worker, t: &Target) -> u64 {
        let mut pos = self.pos;
        let mut n = 0;
        while let Ok(Some((_, end))) = self.group_from(w, t, pos) {
            n += 1;
            if end <= pos {
                break;
            }
            pos = end;
        }
        n
    }

    /// How many groups of the kind asked for the hand has passed since it stood at `from`.
    pub fn groups_before(&self, w: &Worker, t: &Target, from: usize) -> u64 {
        let next = self.group_from(w, t, self.pos).ok().flatten();
        let mut pos = from;
        let mut n = 0;
        while let Ok(Some((start, end))) = self.group_from(w, t, pos) {
            if next.is_some_and(|(a, _)| start >= a) {
                break;
            }
            n += 1;
            if end <= pos {
                break;
            }
            pos = end;
        }
        n
    }

    /// Which place of the group `a..b` is meant.
    pub fn part_of_group(
        &self,
        w: &Worker,
        t: &Target,
        a: usize,
        b: usize,
        span: Span,
    ) -> Done<usize> {
        let group = self.list.get(a..b).unwrap_or(&[]);
        let stitches: Vec<usize> =
            group.iter().enumerate().filter(|(_, s)| s.is_stitch()).map(|(i, _)| a + i).collect();
        let spaces: Vec<usize> = group
            .iter()
            .enumerate()
            .filter(|(_, s)| s.what == What::Space)
            .map(|(i, _)| a + i)
            .collect();
        let middle = |list: &[usize]| {
            if list.len() % 2 == 1 { list.get(list.len() / 2).copied() } else { None }
        };
        let what = self.place_words(w, &t.place, true);
        let checked = |i: Option<usize>, kind: &Option<Kind>| -> Done<usize> {
            let Some(i) = i else {
                return fault_help(
                    "wrong-place",
                    span,
                    format!("a {what} of {} has no centre stitch", sts(stitches.len() as u64)),
                    "work between its stitches, or make it of an odd number",
                );
            };
            match (kind, self.list.get(i)) {
                (Some(kind), Some(spot)) if !self.fits(w, *spot, &PlaceKind::Named(*kind)) => {
                    let asked = kind.name(w.piece.terms, &w.fabric.specials);
                    fault(
                        "wrong-place",
                        span,
                        format!(
                            "that stitch of the {what} is {}, not {asked}",
                            self.spot_words(w, *spot)
                        ),
                    )
                }
                _ => Ok(i),
            }
        };
        match &t.part {
            Part::Centre(kind) => {
                checked(middle(&stitches).filter(|_| spaces.len().is_multiple_of(2)), kind)
            }
            Part::FirstOf(kind) => checked(stitches.first().copied(), kind),
            Part::After => Ok(stitches.last().copied().unwrap_or(a)),
            Part::LastOf(kind) => checked(stitches.last().copied(), kind),
            Part::NthOf(n, kind) => {
                let n = w.value(n, t.at)?;
                let i = (n as usize).checked_sub(1).and_then(|n| stitches.get(n)).copied();
                match i {
                    Some(_) => checked(i, kind),
                    None => fault(
                        "wrong-place",
                        span,
                        format!(
                            "a {what} has {}, so there is no st {n} in it",
                            sts(stitches.len() as u64)
                        ),
                    ),
                }
            }
            Part::SpaceOf(size) => {
                let size = match size {
                    Some(n) => Some(w.value(n, t.at)? as u32),
                    None => None,
                };
                let fitting: Vec<usize> = spaces
                    .iter()
                    .copied()
                    .filter(|i| self.list.get(*i).is_some_and(|s| size.is_none_or(|n| n == s.size)))
                    .collect();
                match middle(&fitting).or(fitting.first().copied()) {
                    Some(i) => Ok(i),
                    None => fault("wrong-place", span, format!("a {what} has no such chain space")),
                }
            }
            _ => Ok(middle(&spaces)
                .or_else(|| middle(&stitches))
                .or(stitches.first().copied())
                .unwrap_or(a)),
        }
    }
}
