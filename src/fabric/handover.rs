//! What a worked line hands on: its course to the fabric, its edge to the next line.

use super::earlier::Left;
use super::edge::Spot;
use super::model::*;
use super::pass::Pass;
use super::site::On;
use super::worker::Worker;
use crate::written::tree::*;

/// How the last round began and ended, for "work even".
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Frame {
    pub rise: u64,
    pub counted: bool,
    pub joined: bool,
}

impl Pass {
    /// Puts the course down in the fabric.
    pub fn record(&mut self, w: &mut Worker) {
        let to = w.fabric.stitches.len() as u32;
        if to == self.from {
            return;
        }
        let shape = match self.shape.or_else(|| self.guess(w)) {
            Some(Shape::Row) => CourseShape::Row,
            _ => CourseShape::Round,
        };
        w.fabric.courses.push(Course {
            shape,
            number: self.number,
            line: self.line as u32,
            stitches: self.from..to,
            count: self.count,
            spaces: self.spaces,
            turned: self.turned_before,
            joined: self.end.joined,
            ground: self.ground,
            colour: w.fabric.stitches.get(self.from as usize).map_or(0, |s| s.colour),
            gathered: self.end.gathered,
        });
    }

    fn guess(&self, w: &Worker) -> Option<Shape> {
        if self.end.joined || self.on == On::Ring {
            return Some(Shape::Round);
        }
        w.shape.or(Some(if w.joined_last { Shape::Round } else { Shape::Row }))
    }

    /// The new edge becomes what the next row is worked into.
    pub fn hand_over(&mut self, w: &mut Worker) {
        let shape = self.shape.or_else(|| self.guess(w)).unwrap_or(Shape::Row);
        let course = w.fabric.courses.len().saturating_sub(1) as u32;
        let mut ahead: Vec<Spot> = self.list.get(self.pos..).unwrap_or(&[]).to_vec();
        if !self.end.left {
            ahead.clear();
        }
        ahead.extend(self.beyond.get(self.used_beyond..).unwrap_or(&[]));
        let round_below = w.shape == Some(Shape::Round) && shape == Shape::Row;
        if round_below || self.rejoined && shape == Shape::Row {
            // A flap on a round: what it leaves waits for the next flap, and its own edges end.
            let mut reserve = ahead;
            reserve.extend(self.list.get(..self.started_at).unwrap_or(&[]));
            w.reserve = reserve;
            w.beyond.clear();
            w.back.clear();
            w.rows.clear();
        } else if shape == Shape::Row {
            w.beyond = ahead;
        } else {
            w.beyond.clear();
            w.back.clear();
        }
        if self.on == On::Chain && w.foundation_worked.is_empty() {
            let first = self.first_used.unwrap_or(0).min(self.list.len());
            w.foundation_worked =
                self.list.get(first..self.pos.min(self.list.len())).unwrap_or(&[]).to_vec();
            // Written in the order of the chain: from its beginning to the hook.
            if shape == Shape::Row {
                w.foundation_worked.reverse();
            }
        }
        self.free_loops(w);
        if let Some(number) = self.number.filter(|_| w.keeps) {
            let course = w.fabric.courses.len().saturating_sub(1);
            w.earlier.push(Left { shape, number, course, spots: self.made.clone() });
        }
        w.top = std::mem::take(&mut self.made);
        if shape == Shape::Row {
            if w.shape == Some(Shape::Round) || w.row_ends_before {
                w.rows.clear();
                w.row_ends_before = false;
            }
            w.rows.push(Spot::row_end(course));
        }
        w.fresh = false;
        w.turned = self.end.turned_after && shape == Shape::Round;
        w.ring = false;
        w.joined_last = self.end.joined;
        w.shape = Some(shape);
        // A foundation worked in stitches may stand before Row 1 or be Row 1.
        let own_foundation = w
            .fabric
            .stitches
            .get(self.from as usize..)
            .unwrap_or(&[])
            .iter()
            .any(|s| s.kind.form == Form::Foundation);
        w.restart = self.end.closed_off
            || own_foundation
            || (self.ground == Ground::Nothing && self.number.is_none());
        w.section_start = false;
        match self.number {
            Some(n) => w.number = n,
            None => w.number = w.number.saturating_add(1),
        }
        w.frame = Frame {
            rise: self.rise.map_or(0, |r| r.0),
            counted: self.rise.is_some_and(|r| r.1),
            joined: self.end.joined,
        };
    }

    /// Loops that a round worked in one loop only has left free in the round below it.
    fn free_loops(&mut self, w: &mut Worker) {
        let below = self.number.unwrap_or(0).saturating_sub(1);
        let front = std::mem::take(&mut self.front_loops);
        let back = std::mem::take(&mut self.back_loops);
        if !front.is_empty() {
            w.free.push((below, Loop::Front, front));
        }
        if !back.is_empty() {
            w.free.push((below, Loop::Back, back));
        }
    }
}
