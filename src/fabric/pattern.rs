//! "Continue in pattern": which rows or rounds go on, and how each differs from the last.

use super::fault::{Done, Fault, fault, fault_help, sts};
use super::numbering::Entry;
use super::recover::Known;
use super::worker::Worker;
use crate::limits;
use crate::written::Counter;
use crate::written::tree::*;

/// Rows or rounds that go on in turn; each as a line works it, or with numbers that move on.
pub(super) struct Pattern {
    /// The last time through.
    last: Vec<Entry>,
    /// Their steps the time before, where some number differs.
    before: Vec<Option<Vec<Step>>>,
}

impl Worker<'_> {
    /// The rows or rounds that make up a pattern: the fewest that were worked twice over, or
    /// twice but for numbers that grow or shrink.
    pub(super) fn pattern(&self, at: At) -> Done<Pattern> {
        let shape = self.shape.unwrap_or(Shape::Round);
        let from = self.book.iter().rposition(|e| e.shape != shape).map_or(0, |i| i + 1);
        let worked = self.book.get(from..).unwrap_or(&[]);
        (1..=worked.len() / 2).find_map(|n| self.twice(worked, n)).map_or_else(
            || {
                fault_help(
                    "doubtful",
                    at.0,
                    "which rows or rounds are the pattern? None of them was worked twice yet",
                    "name them: “rep Rnds 2 and 3 until …”, or write each one out",
                )
            },
            Ok,
        )
    }

    /// The last `n` rows or rounds, if they are the `n` before them once more.
    fn twice(&self, worked: &[Entry], n: usize) -> Option<Pattern> {
        let last = worked.get(worked.len().checked_sub(n)?..)?.to_vec();
        let earlier = worked.get(worked.len().checked_sub(2 * n)?..)?;
        let mut before = Vec::new();
        for (a, b) in earlier.iter().zip(&last) {
            before.push(if a.line == b.line {
                None
            } else {
                let (a, b) = (self.steps_of(a.line)?, self.steps_of(b.line)?);
                if a != b {
                    moved_on(a, b)?;
                }
                (a != b).then(|| a.to_vec())
            });
        }
        Some(Pattern { last, before })
    }

    fn steps_of(&self, line: usize) -> Option<&[Step]> {
        match &self.piece.lines.get(line)?.kind {
            LineKind::Work(work) => Some(&work.steps),
            _ => None,
        }
    }

    /// Goes on in pattern for so many rows or rounds, or until so many stitches are left.
    pub(super) fn in_pattern(
        &mut self,
        again: &Again,
        at: At,
        labelled: Option<(Shape, Vec<u32>)>,
    ) -> Done {
        let pattern = match (&again.times, self.book.last()) {
            // "Rnd 3: Work as established" behind the one round that sets it up.
            (AgainTimes::AsLabelled, Some(last)) => self
                .pattern(at)
                .unwrap_or_else(|_| Pattern { last: vec![*last], before: vec![None] }),
            _ => self.pattern(at)?,
        };
        let shape = labelled.as_ref().map_or(self.shape.unwrap_or(again.shape), |l| l.0);
        let first =
            labelled.as_ref().and_then(|(_, n)| n.first().copied()).unwrap_or(self.number + 1);
        let courses = match &again.times {
            AgainTimes::Courses(n) => Some(self.value(n, at)?),
            AgainTimes::UntilWorked(n) => {
                Some(self.value(n, at)?.saturating_sub(u64::from(self.number)))
            }
            AgainTimes::AsLabelled => {
                Some(labelled.as_ref().map_or(1, |(_, numbers)| numbers.len() as u64))
            }
            _ => None,
        };
        let want = match &again.times {
            AgainTimes::UntilRemain(n) => Some(self.value(n, at)?),
            _ => None,
        };
        let period = pattern.last.len().max(1);
        let mut steps: Vec<Option<(Vec<Step>, Vec<Step>)>> = Vec::new();
        for (entry, before) in pattern.last.iter().zip(&pattern.before) {
            let last = self.steps_of(entry.line).unwrap_or_default().to_vec();
            steps.push(before.clone().map(|before| (before, last)));
        }
        let mut k: u32 = 0;
        let mut idle = 0;
        loop {
            let have = self.edge_count();
            if courses.is_some_and(|n| u64::from(k) >= n) || want == Some(have) {
                break;
            }
            if self.known == Known::Nothing || k > limits::ROUNDS {
                return Ok(());
            }
            let i = k as usize % period;
            let Some(entry) = pattern.last.get(i).copied() else { break };
            let number = first.saturating_add(k);
            match steps.get_mut(i).and_then(Option::as_mut) {
                None => self.once_more(entry, shape, number)?,
                Some((before, last)) => {
                    let Some(next) = moved_on(before, last) else {
                        return never(want, have, at);
                    };
                    self.counter = Some(Counter { round: number, step: k + 1 });
                    self.course(self.line, &next, Some(shape), Some(number))
                        .map_err(|f| placed(f, at, number))?;
                    self.book.push(Entry { number, ..entry });
                    *before = std::mem::replace(last, next);
                }
            }
            k += 1;
            let now = self.edge_count();
            idle = if now == have { idle + 1 } else { 0 };
            if let Some(want) = want
                && (passed(have, now, want) || idle > period)
            {
                return never(Some(want), now, at);
            }
        }
        match labelled {
            Some((_, numbers)) if numbers.len() > 1 && numbers.len() != k as usize => fault(
                "range-mismatch",
                at.0,
                format!("the label covers {}, and {k} are worked", numbers.len()),
            ),
            _ => Ok(()),
        }
    }

    /// The stitches the next row could be worked into.
    pub(super) fn edge_count(&self) -> u64 {
        self.top.iter().filter(|s| s.is_stitch()).count() as u64
    }
}

/// Whether a count that went from `have` to `now` has missed `want`.
pub(super) fn passed(have: u64, now: u64, want: u64) -> bool {
    now != want
        && now != have
        && ((have < want) != (now < want) || now.abs_diff(want) > have.abs_diff(want))
}

fn never(want: Option<u64>, have: u64, at: At) -> Done {
    fault_help(
        "count-mismatch",
        at.0,
        format!(
            "going on so never comes to exactly {}: it comes to {}",
            sts(want.unwrap_or(0)),
            sts(have)
        ),
        "mend the number, or write the rows or rounds out",
    )
}

fn placed(mut f: Box<Fault>, at: At, number: u32) -> Box<Fault> {
    f.span = at.0;
    f.message = format!("{number}: {}", f.message);
    f
}

/// The steps that come next where two runs of steps differ only in numbers: each number moves
/// on as it did. `None` where they differ otherwise, or a number would fall below nothing.
fn moved_on(before: &[Step], last: &[Step]) -> Option<Vec<Step>> {
    let mut out = Vec::new();
    let (mut i, mut k) = (0, 0);
    while let Some(b) = last.get(k) {
        let a = before.get(i)?;
        if let Some(step) = next_step(a, b)? {
            out.push(step);
        }
        i += 1;
        k += 1;
    }
    (i == before.len()).then_some(out)
}

/// The outer `None`: they differ in more than numbers; the inner: none of it is left.
fn next_step(a: &Step, b: &Step) -> Option<Option<Step>> {
    if a == b {
        return Some(Some(b.clone()));
    }
    let mut step = b.clone();
    match (&a.act, &mut step.act) {
        (Act::Work(a), Act::Work(b)) if a.made == b.made && a.targets.len() == b.targets.len() => {
            for (a, b) in a.targets.iter().zip(&mut b.targets) {
                let same = Target { reach: b.reach.clone(), ..a.clone() } == *b;
                let (Reach::Next(from), Reach::Next(to)) = (&a.reach, &b.reach) else {
                    return None;
                };
                let next = next_number(from, to).filter(|_| same)?;
                if next == Number::Plain(0) {
                    return Some(None);
                }
                b.reach = Reach::Next(next);
            }
        }
        (Act::Repeat(a), Act::Repeat(b)) => {
            b.steps = moved_on(&a.steps, &b.steps)?;
            b.times = match (&a.times, &b.times) {
                (a, b) if a == b => b.clone(),
                (Times::Total(a), Times::Total(b)) => Times::Total(next_number(a, b)?),
                (Times::More(a), Times::More(b)) => Times::More(next_number(a, b)?),
                _ => return None,
            };
        }
        _ => return None,
    }
    Some(Some(step))
}

fn next_number(a: &Number, b: &Number) -> Option<Number> {
    let (Number::Plain(a), Number::Plain(b)) = (a, b) else { return None };
    b.checked_mul(2)?.checked_sub(*a).map(Number::Plain)
}
