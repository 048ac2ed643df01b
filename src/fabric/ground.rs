//! Which edge a line goes on with, and whether the work is turned before it.

use super::model::*;
use super::pass::Pass;
use super::site::On;
use super::worker::Worker;
use crate::written::tree::*;

impl Pass {
    /// Chooses the edge the line goes on with.
    pub fn lay_out(&mut self, w: &mut Worker, steps: &[Step]) {
        let rejoins = steps.iter().take(4).any(|s| matches!(s.act, Act::Rejoin(_)));
        let unworked = rejoins && w.section_start && !w.reserve.is_empty();
        if unworked {
            self.list = std::mem::take(&mut w.reserve);
            self.on = On::Top;
            self.ground = Ground::Course(w.fabric.courses.len().saturating_sub(1) as u32);
            w.beyond.clear();
            w.back.clear();
            return;
        }
        if !w.top.is_empty() {
            let turn = self.turns(w, steps);
            self.turned_before = turn;
            self.list = w.top.clone();
            if turn {
                self.list.reverse();
                // After the turn, what lay behind lies ahead.
                self.beyond = std::mem::take(&mut w.back);
                w.back = std::mem::take(&mut w.beyond);
            } else {
                self.beyond = w.beyond.clone();
            }
            self.on = On::Top;
            self.ground = match w.options.before {
                Some(_) if w.fabric.courses.is_empty() => Ground::Before,
                _ => Ground::Course(w.fabric.courses.len().saturating_sub(1) as u32),
            };
        } else if !w.foundation.is_empty() {
            self.list = w.foundation.clone();
            // Worked back from the hook unless the chain was joined into a ring.
            if !w.joined_last {
                self.list.reverse();
            }
            self.on = On::Chain;
            self.ground = Ground::Chain;
        } else if w.ring {
            self.on = On::Ring;
            self.ground = Ground::Ring;
        }
    }

    /// Whether the work is turned before this line: always between rows, in rounds where it
    /// was written.
    fn turns(&self, w: &Worker, steps: &[Step]) -> bool {
        let shape = self.shape.or(w.shape);
        let refused = steps.iter().take(3).any(|s| matches!(s.act, Act::NoTurn));
        let said = steps
            .iter()
            .take_while(|s| !matches!(s.act, Act::Work(_) | Act::Repeat(_)))
            .any(|s| matches!(s.act, Act::Turn));
        match (shape, w.shape) {
            (Some(Shape::Row), Some(Shape::Row)) if !refused => !w.fresh || said || w.turned,
            (Some(Shape::Round), Some(Shape::Row)) => (said || w.turned) && !refused,
            (Some(Shape::Row), Some(Shape::Round)) => w.turned || said,
            _ => w.turned || said,
        }
    }
}
