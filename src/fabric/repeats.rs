//! Repeats: so many times, around, or to the last few places.

use super::fault::{Done, Fault, fault, fault_help};
use super::needs::{
    all_earlier, asked, first_group, first_place, first_space, names_row_ends, need,
};
use super::pass::Pass;
use super::places::{Measure, measure};
use super::recover::Known;
use super::site::On;
use super::worker::Worker;
use crate::limits;
use crate::written::tree::*;

/// What lies ahead of a repeat that goes around.
struct Ahead {
    m: Measure,
    /// Up to which place of the row below, and of how many.
    limit: usize,
    of: usize,
    /// From which place on they are counted.
    from: usize,
    found: u64,
    /// How many are left for the repeat.
    left: u64,
}

impl Pass {
    /// A repeated run of steps.
    pub fn repeat(&mut self, w: &mut Worker, r: &Repeat, at: At, rest: &[Step]) -> Done {
        let tail = self.tail;
        self.depth += 1;
        let done = match &r.times {
            Times::Total(n) => {
                let n = w.value(n, at)?;
                self.so_often(w, r, n, at)
            }
            Times::More(n) => {
                let n = w.value(n, at)?;
                self.so_often(w, r, n.saturating_add(1), at)
            }
            Times::Around => {
                let tail = tail.unwrap_or(0);
                let said = self.only_says_the_end(w, r, tail, rest);
                let keep = if said { 0 } else { tail };
                let done = self.around(w, r, keep, &PlaceKind::Stitch, at, rest);
                self.end_said = said;
                done
            }
            Times::ToLast { count, place } => {
                let n = w.value(count, at)?;
                self.around(w, r, n, place, at, rest)
            }
            Times::ToTurningChain => {
                let n = u64::from(self.list.last().is_some_and(|s| s.rise));
                self.around(w, r, n, &PlaceKind::Stitch, at, rest)
            }
        };
        self.depth -= 1;
        done
    }

    /// "rep from * around, ending with dc in last st" where the repeats come out even: the
    /// ending only says what the last stitch is.
    fn only_says_the_end(&self, w: &Worker, r: &Repeat, tail: u64, rest: &[Step]) -> bool {
        let Some(m) = asked(w, &r.steps).filter(|_| tail > 0 && r.last_stops.is_none()) else {
            return false;
        };
        let each = need(w, &r.steps, m).unwrap_or(0);
        let start = self.ahead_of(w, m, self.list.len(), &r.steps).left;
        let even = each > 0
            && start.is_multiple_of(each)
            && start >= tail
            && !(start - tail).is_multiple_of(each);
        let last_made = |steps: &[Step]| match steps
            .iter()
            .rev()
            .find(|s| matches!(s.act, Act::Work(_) | Act::Skip(_) | Act::Repeat(_)))
        {
            Some(Step { act: Act::Work(working), .. }) => Some(working.made.clone()),
            _ => None,
        };
        let same = match (last_made(&r.steps), last_made(rest)) {
            (Some(a), Some(b)) => a == b,
            _ => false,
        };
        even && same
    }

    fn so_often(&mut self, w: &mut Worker, r: &Repeat, n: u64, at: At) -> Done {
        if n > limits::NUMBER {
            return fault(
                "limit",
                at.0,
                format!("{n} times is more than this program works ({} at most)", limits::NUMBER),
            );
        }
        for i in 0..n {
            w.spend(at.0)?;
            let last = i + 1 == n;
            let steps = match r.last_stops {
                Some(stop) if last => r.steps.get(..stop).unwrap_or(&r.steps),
                _ => &r.steps,
            };
            self.steps(w, steps).map_err(|f| within(f, i + 1, n))?;
        }
        Ok(())
    }

    /// Repeats until `keep` places are left.
    fn around(
        &mut self,
        w: &mut Worker,
        r: &Repeat,
        keep: u64,
        keep_of: &PlaceKind,
        at: At,
        rest: &[Step],
    ) -> Done {
        match all_earlier(w, &r.steps) {
            Some(t) => self.choose_edge(w, t, at.0)?,
            None => self.come_home(),
        }
        let asks = asked(w, &r.steps);
        let Some(m) = asks else {
            return fault_help(
                "no-end",
                at.0,
                "this repeat uses up no stitch, so it never comes to the end of the row",
                "say how often: “5 more times”",
            );
        };
        if self.on == On::RowEnds || m == Measure::RowEnds {
            self.enter_row_ends(w, r, at)?;
        }
        if matches!(self.on, On::Ring | On::Nothing) {
            if w.known != Known::All {
                return fault("wrong-place", at.0, "nothing is known of the row below");
            }
            return fault_help(
                "no-end",
                at.0,
                "there is no row below to go around",
                "say how often: “5 more times”",
            );
        }
        let m_keep = if keep_of == &PlaceKind::Stitch { m } else { measure(keep_of) };
        self.round_or_seam(need(w, &r.steps, m).unwrap_or(0), |p| {
            let limit = p.limit_of(w, keep, m_keep, keep_of, &r.steps);
            p.ahead_of(w, m, limit, &r.steps).left
        });
        // A place kept back is counted in its own kind; the repeat ends before it.
        let limit = self.limit_of(w, keep, m_keep, keep_of, &r.steps);
        let mut ahead = self.ahead_of(w, m, limit, &r.steps);
        let start = ahead.left;
        // Going around ends with this row; what an earlier row left is not run into.
        let behind = self.beyond.split_off(self.used_beyond.min(self.beyond.len()));
        let mut rounds = 0;
        let mut left = start;
        let mut stopped = r.last_stops.is_none();
        while left > 0 {
            w.spend(at.0)?;
            let before = (self.pos, self.inner, self.used_beyond);
            let final_one = r
                .last_stops
                .is_some_and(|stop| need(w, r.steps.get(..stop).unwrap_or(&[]), m) == Some(left));
            let steps = match r.last_stops {
                Some(stop) if final_one => r.steps.get(..stop).unwrap_or(&r.steps),
                _ => &r.steps,
            };
            let outcome = self.steps(w, steps);
            if let Err(f) = outcome {
                if f.code == "overrun" || f.code == "leftover" {
                    return self.does_not_divide(w, r, start, left, m, at);
                }
                return Err(f);
            }
            if self.pos > limit && self.pos > self.passable.max(limit) {
                return self.does_not_divide(w, r, start, left, m, at);
            }
            if before == (self.pos, self.inner, self.used_beyond) {
                return fault_help(
                    "no-end",
                    at.0,
                    "this repeat does not move on, so it never ends",
                    "say how often: “5 more times”",
                );
            }
            rounds += 1;
            if final_one {
                stopped = true;
                break;
            }
            self.go_on(w, &mut ahead, &r.steps);
            left = ahead.left;
        }
        self.beyond.extend(behind);
        if !stopped && w.known == Known::All {
            return self.does_not_divide(w, r, start, left, m, at);
        }
        if rounds == 0 && start == 0 && w.known == Known::All && keep == 0 {
            return fault("overrun", at.0, "nothing is left for this repeat to work into");
        }
        let only_spaces = m != Measure::Stitches && m != Measure::RowEnds;
        if only_spaces
            && keep == 0
            && rest.iter().all(|s| !matches!(s.act, Act::Work(_) | Act::Repeat(_) | Act::Skip(_)))
        {
            self.swept = true;
        }
        Ok(())
    }

    /// The list of row ends is chosen by the first target that names them.
    fn enter_row_ends(&mut self, w: &mut Worker, r: &Repeat, at: At) -> Done {
        if self.on == On::RowEnds || !names_row_ends(&r.steps) {
            return Ok(());
        }
        self.go_to(w, On::RowEnds, at.0)?;
        if self.list.is_empty() && w.known == Known::All {
            return fault("wrong-place", at.0, "there are no row ends: no rows were worked");
        }
        Ok(())
    }

    /// Up to which place the repeat may go.
    fn limit_of(
        &self,
        w: &Worker,
        keep: u64,
        m: Measure,
        keep_of: &PlaceKind,
        body: &[Step],
    ) -> usize {
        if keep == 0 {
            return self.list.len();
        }
        match (keep_of, m) {
            (PlaceKind::Stitch, Measure::Spaces) => {
                let place = first_place(body).unwrap_or(PlaceKind::ChainSpace(None));
                self.index_of_last(w, keep, &place)
            }
            (PlaceKind::Stitch, Measure::Groups) => self.list.len(),
            _ => self.index_of_last(w, keep, keep_of),
        }
    }

    /// The places ahead, up to `limit`, of the kind that a repeat asks for.
    fn ahead_of(&self, w: &Worker, m: Measure, limit: usize, body: &[Step]) -> Ahead {
        let limit = limit.min(self.list.len());
        let from = self.asked_from(m, body);
        let mut ahead = Ahead { m, limit, of: self.list.len(), from, found: 0, left: 0 };
        ahead.found = match m {
            Measure::Groups => first_group(body).map_or(0, |t| self.groups_left(w, t)),
            _ => self.asked_between(w, m, body, from, limit),
        };
        ahead.left = self.asked_left(&ahead);
        ahead
    }

    /// The same after one more repeat: counted on, not anew, for a round may hold thousands.
    fn go_on(&self, w: &Worker, ahead: &mut Ahead, body: &[Step]) {
        let from = self.asked_from(ahead.m, body);
        if from < ahead.from || self.list.len() != ahead.of {
            *ahead = self.ahead_of(w, ahead.m, ahead.limit, body);
            return;
        }
        let passed = match (ahead.m, first_group(body)) {
            (Measure::Groups, Some(t)) => self.groups_before(w, t, ahead.from),
            (Measure::Groups, None) => 0,
            (m, _) => self.asked_between(w, m, body, ahead.from, from.min(ahead.limit)),
        };
        ahead.from = from;
        ahead.found = ahead.found.saturating_sub(passed);
        ahead.left = self.asked_left(ahead);
    }

    /// From which place on a repeat may still find what it asks for.
    fn asked_from(&self, m: Measure, body: &[Step]) -> usize {
        match m {
            Measure::Groups => self.pos,
            // The rest of a group whose centre was worked does not count, unless the repeat
            // goes on with any stitch.
            _ if self.passable > self.pos
                && !matches!(first_place(body), Some(PlaceKind::Stitch)) =>
            {
                self.passable + usize::from(m == Measure::Spaces && self.inner > 0)
            }
            _ => self.pos + usize::from(m == Measure::Spaces && self.inner > 0),
        }
    }

    /// How many places of the kind asked for lie from one place up to another.
    fn asked_between(&self, w: &Worker, m: Measure, body: &[Step], from: usize, to: usize) -> u64 {
        let places = self.list.get(from..to).unwrap_or(&[]).iter();
        w.look(places.len());
        let n = match m {
            Measure::Spaces => {
                let place = first_space(body).unwrap_or(PlaceKind::ChainSpace(None));
                places.filter(|s| self.fits(w, **s, &place)).count()
            }
            _ => places.filter(|s| s.is_stitch()).count(),
        };
        n as u64
    }

    /// Where the repeat ends before the row does, groups are no more than the places left.
    fn asked_left(&self, ahead: &Ahead) -> u64 {
        let places = ahead.limit.saturating_sub(self.pos.max(self.passable)) as u64;
        match ahead.m {
            Measure::Groups if ahead.limit < self.list.len() => ahead.found.min(places),
            _ => ahead.found,
        }
    }

    /// The fault of a repeat that leaves places over.
    fn does_not_divide(
        &self,
        w: &Worker,
        r: &Repeat,
        start: u64,
        left: u64,
        m: Measure,
        at: At,
    ) -> Done {
        let each = need(w, &r.steps, m).unwrap_or(0);
        let have = self.counted_words(start, m);
        let others = self.list.iter().filter(|s| s.is_stitch()).count() as u64;
        let fixed = if m == Measure::Stitches { others.saturating_sub(start) } else { 0 };
        let message = if each > 0 {
            format!("the repeat uses {each} and there are {have} for it: {left} left over")
        } else {
            format!("the repeat does not come out even on {have}: {left} left over")
        };
        let mut f = Fault { code: "leftover", span: at.0, message, help: None };
        if each > 1 {
            let low = start - start % each;
            let plus = if fixed > 0 { format!(", plus {fixed}") } else { String::new() };
            let total = |n: u64| n + fixed;
            f.help = Some(if low > 0 {
                format!(
                    "{others} sts in the row below; this repeat needs a multiple of {each}{plus}: {} or {}",
                    total(low),
                    total(low + each)
                )
            } else {
                format!(
                    "{others} sts in the row below; this repeat needs a multiple of {each}{plus}: {}",
                    total(each)
                )
            });
        }
        Err(Box::new(f))
    }

    /// How many places the steps behind the one at hand need, where that one goes "around".
    pub fn need_behind(&self, w: &Worker, step: &Step, rest: &[Step]) -> Option<u64> {
        if rest.is_empty() {
            return None;
        }
        let m = match &step.act {
            Act::Work(working) => {
                let t =
                    working.targets.iter().find(|t| matches!(t.reach, Reach::Each(Extent::End)))?;
                measure(&t.place)
            }
            Act::Repeat(Repeat { times: Times::Around, steps, .. }) => asked(w, steps)?,
            _ => return None,
        };
        need(w, rest, m)
    }
}

/// Says in which repeat a fault lies.
fn within(mut f: Box<Fault>, i: u64, n: u64) -> Box<Fault> {
    if f.code == "overrun" && n > 1 && !f.message.contains("in repeat") {
        f.message = format!("{} (in repeat {i} of {n})", f.message);
    }
    f
}
