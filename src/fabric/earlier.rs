//! Working into a round below the last one: "sc around post of next sc of Rnd 1". The hand goes
//! there and comes back; each time it finds its place again.

use super::edge::Spot;
use super::needs;
use super::pass::Pass;
use super::site::On;
use super::worker::Worker;
use crate::written::tree::*;

/// A place on a list that the hand may come back to.
#[derive(Clone, Debug, Default)]
pub(super) struct Hand {
    list: Vec<Spot>,
    on: On,
    pos: usize,
    inner: u32,
    passable: usize,
    first_used: Option<usize>,
}

/// Where the hand is beside the row below.
#[derive(Clone, Debug, Default)]
pub(super) struct Away {
    /// The round it is in, if it is away.
    round: Option<u32>,
    /// Its place on the row below meanwhile.
    home: Option<Hand>,
    /// Its places in rounds it was in before.
    visited: Vec<(u32, Hand)>,
}

/// What an earlier row or round left, for as long as the piece speaks of such.
#[derive(Clone, Debug)]
pub(super) struct Left {
    pub shape: Shape,
    pub number: u32,
    /// Its place among the courses.
    pub course: usize,
    pub spots: Vec<Spot>,
}

/// Whether any line works into a row or round by its number.
pub(super) fn names_rounds(piece: &Piece) -> bool {
    let mut found = false;
    for line in &piece.lines {
        if let LineKind::Work(work) = &line.kind {
            needs::visit(&work.steps, &mut |t, _| {
                found |= t.of.as_ref().is_some_and(|n| *n != Number::Plain(0));
            });
        }
    }
    found
}

impl Worker<'_> {
    /// The earlier round a place lies in; `None` for the row below and all else.
    pub(super) fn earlier(&self, t: &Target) -> Option<u32> {
        let n = self.value(t.of.as_ref()?, t.at).ok().and_then(|n| u32::try_from(n).ok())?;
        let loops = t.part != Part::Post && matches!(t.loops, Loop::Front | Loop::Back);
        // What was left unworked lies at hand, whatever row it is of.
        if n == 0 || loops || matches!(t.reach, Reach::Unworked(_) | Reach::Skipped(_)) {
            return None;
        }
        let left = self.earlier.iter().rfind(|l| l.number == n)?;
        (left.course + 1 != self.fabric.courses.len()).then_some(n)
    }
}

impl Pass {
    /// Goes to the round a place lies in, or back to the row below.
    pub(super) fn goes_away(&mut self, w: &Worker, t: &Target) -> bool {
        match w.earlier(t) {
            Some(n) => {
                self.go_away(w, n);
                true
            }
            None => {
                if !matches!(t.reach, Reach::Same | Reach::SameAsJoin) {
                    self.come_home();
                }
                false
            }
        }
    }

    fn go_away(&mut self, w: &Worker, n: u32) {
        if self.away.round == Some(n) {
            return;
        }
        self.come_home();
        let before = self.away.visited.iter().position(|(of, _)| *of == n);
        let hand = match before {
            Some(i) => self.away.visited.remove(i).1,
            None => {
                let Some(left) = w.earlier.iter().rfind(|l| l.number == n) else { return };
                let mut list = left.spots.clone();
                // Rows run to and fro.
                let back = left.shape == Shape::Row
                    && (w.number + 1).abs_diff(n) % 2 == 1
                    && self.shape != Some(Shape::Round);
                if back {
                    list.reverse();
                }
                Hand { list, on: On::Top, ..Hand::default() }
            }
        };
        self.away.home = Some(self.change(hand));
        self.away.round = Some(n);
    }

    /// Comes back to the row below.
    pub(super) fn come_home(&mut self) {
        let (Some(n), Some(home)) = (self.away.round.take(), self.away.home.take()) else { return };
        let hand = self.change(home);
        self.away.visited.push((n, hand));
    }

    /// Whether the hand is in another round.
    pub(super) fn is_away(&self) -> bool {
        self.away.round.is_some()
    }

    /// Whether the hand was away, and nothing of the row below was worked.
    pub(super) fn only_away(&mut self) -> bool {
        self.come_home();
        !self.away.visited.is_empty() && self.pos == 0 && self.first_used.is_none()
    }

    fn change(&mut self, to: Hand) -> Hand {
        Hand {
            list: std::mem::replace(&mut self.list, to.list),
            on: std::mem::replace(&mut self.on, to.on),
            pos: std::mem::replace(&mut self.pos, to.pos),
            inner: std::mem::replace(&mut self.inner, to.inner),
            passable: std::mem::replace(&mut self.passable, to.passable),
            first_used: std::mem::replace(&mut self.first_used, to.first_used),
        }
    }
}
