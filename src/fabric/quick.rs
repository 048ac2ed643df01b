//! The common step, "fpdc around next st", worked without asking what it might be besides.

use super::edge::Spot;
use super::model::*;
use super::pass::Pass;
use super::site::{On, Site};
use super::worker::Worker;
use crate::limits;
use crate::written::tree::*;

/// The stitch of a step that works one into the next stitch, and nothing else.
fn one_in_next(working: &Working) -> Option<(Kind, Loop)> {
    let Made::Stitch { count: Number::Plain(1), kind } = working.made else { return None };
    let [t] = working.targets.as_slice() else { return None };
    let plain = kind.bases() == 1 && kind.base != Base::Picot && kind.form != Form::Foundation;
    let next = matches!(t.reach, Reach::Next(Number::Plain(1)))
        && matches!(t.place, PlaceKind::Stitch)
        && matches!(t.part, Part::Whole | Part::Post)
        && t.of.is_none();
    let more = !working.besides.is_empty() || working.counts_as.is_some();
    (plain && next && !more).then_some((kind, t.loops))
}

impl Pass {
    /// Works such a step of a repeat, if nothing about the hand is out of the common; says
    /// whether it did. What it does is what [`Pass::working`] would do.
    pub fn quick(&mut self, w: &mut Worker, working: &Working) -> bool {
        let Some((kind, loops)) = one_in_next(working) else { return false };
        let loops = if loops == Loop::Both { self.loops } else { loops };
        let common = self.depth > 0
            && matches!(self.on, On::Top | On::Chain)
            && !self.jump
            && !self.is_away()
            && !matches!(loops, Loop::Back | Loop::Front)
            && (w.fabric.stitches.len() as u64) < limits::STITCHES;
        if !common {
            return false;
        }
        let Some(i) = self.next_stitch() else { return false };
        let Some(site) = self.list.get(i).map(|s| Site::at(*s)) else { return false };
        if kind.post != Post::No && !site.post {
            return false;
        }
        self.swept = false;
        self.asks.stitches = true;
        self.use_up(i, 1);
        self.last = Some((site, i));
        self.worked = true;
        if self.chains.is_some() {
            self.settle_chains();
        }
        let at = self.push(w, kind, Role::Counted, site, loops);
        self.made.push(Spot::top(kind, at, self.group));
        self.count += 1;
        true
    }
}
