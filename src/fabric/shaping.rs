//! Rows and rounds worked even but for a few stitches more or less: evenly spaced, or at the
//! ends.

use super::fault::{Done, fault, fault_help, sts};
use super::making::Making;
use super::numbering::Entry;
use super::pass::Pass;
use super::recover::Known;
use super::site::On;
use super::worker::Worker;
use crate::limits;
use crate::written::Counter;
use crate::written::tree::*;

impl Pass {
    /// One row or round in the stitch of the one below, begun and closed as that was.
    pub fn even(&mut self, w: &mut Worker, even: &Even, at: At, rest: &[Step]) -> Done {
        if self.on == On::Nothing {
            return fault("wrong-place", at.0, "there is no row below to work even on");
        }
        let frame = w.frame;
        let again = frame.joined || self.shape != Some(Shape::Round);
        if self.rise.is_none() && frame.rise > 0 && !self.worked && again {
            let counts = ChainCounts {
                as_kind: frame.counted.then_some(CountsAs { kind: None, chains: None }),
                throughout: false,
            };
            let chain = Chain { count: Number::Plain(frame.rise), counts: Some(counts) };
            self.chain(w, &chain, at, &[])?;
        }
        let kind = even.kind.unwrap_or_else(|| self.main_kind());
        let each = |extent| Target { reach: Reach::Each(extent), ..Target::next(Number::ONE) };
        let plain = Made::Stitch { count: Number::ONE, kind };
        match &even.shaping {
            None => self.target(w, &each(Extent::End), &plain, at.0, false, None)?,
            Some(Shaping { grows, at: ShapedAt::Evenly(n) }) => {
                let besides = Besides {
                    made: shaped(kind, *grows),
                    target: Target { reach: Reach::Spread(n.clone()), ..Target::next(Number::ONE) },
                };
                let walk = Working {
                    besides: vec![besides],
                    ..Working::new(plain, vec![each(Extent::End)])
                };
                self.working(w, &walk, at)?;
            }
            Some(Shaping { grows, at: ShapedAt::Ends { .. } }) => {
                let end = Target::next(Number::ONE);
                let made = shaped(kind, *grows);
                let kept = Number::Plain(if *grows { 1 } else { 2 });
                let between = Extent::ToLast { count: kept, place: PlaceKind::Stitch };
                self.target(w, &end, &made, at.0, false, None)?;
                self.target(w, &each(between), &plain, at.0, false, None)?;
                self.target(w, &end, &made, at.0, false, None)?;
            }
        }
        let said = rest.iter().any(|s| matches!(s.act, Act::Join(_) | Act::NoJoin));
        if frame.joined && !self.end.joined && !said {
            self.join(w, &Join { with: Kind::SL_ST, into: None, ring: false }, at)?;
        }
        Ok(())
    }

    /// A walk on which so many places, evenly spaced, take something else: "decreasing 6 sts
    /// evenly".
    pub fn spread(
        &mut self,
        w: &mut Worker,
        t: &Target,
        plain: Making,
        shaped: (Making, u64),
        limit: usize,
    ) -> Done {
        let (made, times) = shaped;
        let bases = made.bases.max(1) as usize;
        let fitting: Vec<usize> = self.fitting(w, limit, &t.place).collect();
        let all = fitting.len() as u64;
        let need = times.saturating_mul(bases as u64);
        if need > all && w.known == Known::All {
            return fault_help(
                "overrun",
                made.span,
                format!("{times} times need {}, and there are {all}", sts(need)),
                "shape fewer stitches",
            );
        }
        let mut done: u64 = 0;
        let mut k = 0;
        while let Some(first) = fitting.get(k) {
            // The last of each of so many equal parts is shaped.
            let due = ((k + bases) as u64).saturating_mul(times) >= (done + 1).saturating_mul(all);
            let here = due && done < times;
            let n = if here { bases } else { 1 };
            let last = fitting.get(k + n - 1).unwrap_or(first);
            self.worked_over(w, *first, *last, if here { made } else { plain })?;
            done += u64::from(here);
            k += n;
        }
        Ok(())
    }
}

/// The stitch that gains or loses one.
fn shaped(kind: Kind, grows: bool) -> Made {
    if grows {
        Made::Stitch { count: Number::Plain(2), kind }
    } else {
        Made::Stitch { count: Number::ONE, kind: kind.tog(2) }
    }
}

impl Worker<'_> {
    /// "Dec 1 st at each end of next and every other row until 4 sts remain."
    pub fn shaped_line(
        &mut self,
        line: usize,
        even: &Even,
        at: At,
        labelled: Option<(Shape, Vec<u32>)>,
        work: &Work,
    ) -> Done {
        let (shape, first) = self.begins(labelled.as_ref(), Shape::Row);
        let (every, until) = match &even.shaping {
            Some(Shaping { at: ShapedAt::Ends { every, until }, .. }) => (*every, until.as_ref()),
            _ => (1, None),
        };
        let times = match &even.count {
            Some(n) => Some(self.value(n, at)?),
            None => None,
        };
        let until = match until {
            Some(n) => Some(self.value(n, at)?),
            None => None,
        };
        let plain: Vec<Step> = work.steps.iter().map(unshaped).collect();
        let mut shaped_rows = 0;
        let mut k: u32 = 0;
        loop {
            let before = self.edge_count();
            let turn = u64::from(k).is_multiple_of(every);
            match (times, until) {
                (Some(n), _) if shaped_rows >= n => break,
                (None, Some(n)) if before == n => break,
                (None, None) if k > 0 => break,
                _ => {}
            }
            if k > limits::ROUNDS || self.known == Known::Nothing && times.is_none() {
                return Ok(());
            }
            let number = first.saturating_add(k);
            self.counter = Some(Counter { round: number, step: k + 1 });
            let steps = if turn { &work.steps } else { &plain };
            self.course(line, steps, Some(shape), Some(number))?;
            self.book.push(Entry { shape, number, line, step: k + 1 });
            shaped_rows += u64::from(turn);
            k += 1;
            let now = self.edge_count();
            if let (None, Some(n)) = (times, until)
                && (super::pattern::passed(before, now, n) || turn && now == before)
            {
                return fault_help(
                    "count-mismatch",
                    at.0,
                    format!("this never leaves exactly {n} sts: it comes to {}", sts(now)),
                    "mend the number, or the stitches begun with",
                );
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
}

impl Even {
    /// Whether a label alone says how many rows are shaped, each of them.
    pub(super) fn each_row(&self) -> bool {
        let each = ShapedAt::Ends { every: 1, until: None };
        self.count.is_none() && self.shaping.as_ref().is_some_and(|s| s.at == each)
    }
}

/// The step of a row between two shaped ones.
fn unshaped(step: &Step) -> Step {
    let mut step = step.clone();
    if let Act::Even(even) = &mut step.act {
        even.shaping = None;
    }
    step
}
