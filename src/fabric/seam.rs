//! A round that begins off the seam: "sl st in next 2 sts and into ch-2 sp, ch 3, 2 dc in same
//! sp, …". It goes on round to where it began, over the places that the slip stitches passed.

use super::edge::{Spot, What};
use super::pass::Pass;
use super::site::On;
use super::worker::Worker;
use crate::written::tree::*;

impl Pass {
    /// Slip stitches have travelled, and now the round begins: what they passed lies at its end.
    pub fn begin_off_the_seam(&mut self, w: &Worker, step: &Step) {
        if self.worked || self.pos == 0 {
            return;
        }
        let begins = match &step.act {
            Act::Chain(_) | Act::Repeat(_) => true,
            Act::Work(working) => !self.travels(working),
            _ => false,
        };
        let travelled = self.pos > 0
            && self.wrapped == 0
            && self.last.is_some_and(|(_, i)| i + 1 == self.pos)
            && !self.worked
            && self.rise.is_none()
            && !self.rejoined;
        let round = w.joined_last && self.on == On::Top && self.shape == Some(Shape::Round);
        if !begins || !travelled || !round || self.passable > self.pos || self.nesting > 1 {
            return;
        }
        // What lies before a space in its own group goes with it, as do those behind it.
        let i = self.pos - 1;
        let own = |s: &Spot| s.what == What::Space && s.group != 0;
        let group = self.list.get(i).filter(|s| own(s)).map(|s| s.group);
        let start = match group {
            Some(g) => self.list.iter().position(|s| s.group == g).unwrap_or(i),
            None => self.pos,
        };
        self.list.rotate_left(start);
        self.wrapped = start;
        self.stands = group.is_none();
        self.pos -= start;
        self.passable = 0;
        let stood = if self.stands { self.list.len().saturating_sub(1) } else { i - start };
        self.first_used = (!self.stands).then_some(stood);
        self.last = self.last.map(|(site, _)| (site, stood));
    }

    /// "Sl st in ch-1 sp of first V-st, ch 1, V-st in each V-st around": where nothing is worked
    /// into the place that the slip stitch led to, it is the first of those walked over.
    pub fn back_to_stood(&mut self, place: &PlaceKind) {
        let groups = matches!(place, PlaceKind::Special(_) | PlaceKind::Fan { .. });
        let spaces = matches!(place, PlaceKind::ChainSpace(_));
        let round = self.on == On::Top && self.shape == Some(Shape::Round);
        if !(groups || spaces) || !round || self.worked || self.rejoined {
            return;
        }
        let Some(stood) = self.last.map(|(_, i)| i).filter(|i| i + 1 == self.pos) else { return };
        let Some(spot) = self.list.get(stood).filter(|s| s.what == What::Space) else { return };
        self.pos = match spot.group {
            0 if spaces => stood,
            0 => return,
            group => self.list.iter().position(|s| s.group == group).unwrap_or(stood),
        };
    }

    /// Something is worked where the slip stitches led: the round does not come back to it.
    pub fn stand_used(&mut self) {
        if std::mem::take(&mut self.stands) {
            self.list.pop();
            self.wrapped = self.wrapped.saturating_sub(1);
        }
    }

    /// Of the places slipped over, none is worked: the round ends before them.
    pub fn end_at_the_seam(&mut self) {
        let end = self.list.len().saturating_sub(self.wrapped);
        if self.pos <= end {
            self.list.truncate(end);
            (self.wrapped, self.stands) = (0, false);
        }
    }

    /// "sc in last 2 sts" where the last two are those before the seam.
    pub fn last_before_the_seam(&mut self, w: &Worker, place: &PlaceKind, need: u64) {
        if self.wrapped == 0 {
            return;
        }
        let end = self.list.len().saturating_sub(self.wrapped);
        let fit = |from: usize, to: usize| {
            let places = self.list.get(from..to).unwrap_or(&[]);
            places.iter().filter(|s| self.fits(w, **s, place)).count() as u64
        };
        let (before, behind) = (fit(self.pos, end), fit(end, self.list.len()));
        if before == need && behind > 0 {
            self.end_at_the_seam();
        }
    }

    /// A repeat goes all the way round if it comes out even so; else to the seam if it comes
    /// out even there.
    pub fn round_or_seam(&mut self, each: u64, left: impl Fn(&Pass) -> u64) {
        let even = |n: u64| each < 2 || n.is_multiple_of(each);
        if self.wrapped == 0 || even(left(self)) {
            return;
        }
        let whole = (self.list.clone(), self.wrapped, self.stands);
        self.end_at_the_seam();
        if !even(left(self)) {
            (self.list, self.wrapped, self.stands) = whole;
        }
    }
}
