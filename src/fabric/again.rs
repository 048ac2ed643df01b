//! Lines that work other lines again, and rounds worked even.

use super::edge::What;
use super::fault::{Done, Fault, fault, fault_help, plural, sts};
use super::numbering::{Entry, course_word};
use super::pass::Pass;
use super::pattern::passed;
use super::recover::Known;
use super::worker::Worker;
use crate::limits;
use crate::written::Counter;
use crate::written::tree::*;

impl Worker<'_> {
    /// "Rnds 4-13: Rep Rnds 2 and 3 five more times."
    pub fn again(
        &mut self,
        again: &Again,
        at: At,
        labelled: Option<(Shape, Vec<u32>)>,
        work: &Work,
    ) -> Done {
        if again.last.is_none() && again.which.is_empty() && again.of.is_none() {
            self.in_pattern(again, at, labelled)?;
            self.ends(work);
            return Ok(());
        }
        let own = labelled.as_ref().map(|l| l.1.as_slice());
        let entries = match &again.of {
            Some(part) => self.of_part(again, part, at, own)?,
            None => self.entries(again, at, own)?,
        };
        let open = matches!(&work.label, Some(Label { which: Which::Onward(_), .. }));
        let label = labelled.as_ref().filter(|_| !open).map(|(_, n)| n.len() as u64);
        let shape = labelled.as_ref().map_or(again.shape, |l| l.0);
        let first =
            labelled.as_ref().and_then(|(_, n)| n.first().copied()).unwrap_or(self.number + 1);
        if labelled.as_ref().is_some_and(|(_, n)| n.is_empty()) {
            return Ok(());
        }
        let total = match &again.times {
            AgainTimes::UntilRemain(n) => {
                let n = self.value(n, at)?;
                self.until_remain(&entries, n, shape, first, at)?;
                return self.agrees(label, first, at);
            }
            _ => self.how_many(again, at, &entries, label)?,
        };
        if total > u64::from(limits::ROUNDS) {
            return fault(
                "limit",
                at.0,
                format!(
                    "{total} rows or rounds are more than this program works ({} at most)",
                    limits::ROUNDS
                ),
            );
        }
        for k in 0..total {
            let Some(entry) = entries.get((k % entries.len() as u64) as usize) else { break };
            let number = match &again.of {
                Some(_) if labelled.is_none() => entry.number,
                _ => first.saturating_add(k as u32),
            };
            self.once_more(*entry, shape, number).map_err(|f| referred(f, at, shape, number))?;
        }
        self.ends(work);
        Ok(())
    }

    /// What is said behind a repeat: the yarn is fastened off, the top drawn together.
    fn ends(&mut self, work: &Work) {
        for step in &work.steps {
            if matches!(step.act, Act::FastenOff) {
                self.fabric.fasten_offs += 1;
                self.restart = true;
            }
            if matches!(step.act, Act::Gather(_))
                && let Some(course) = self.fabric.courses.last_mut()
            {
                course.gathered = true;
            }
        }
    }

    /// The rows or rounds named, each as the line that worked it.
    fn entries(&self, again: &Again, at: At, own: Option<&[u32]>) -> Done<Vec<Entry>> {
        let mut numbers = Vec::new();
        if let Some(last) = &again.last {
            let n = self.value(last, at)? as u32;
            let from = self.number.saturating_sub(n.saturating_sub(1)).max(1);
            numbers.extend(from..=self.number);
        }
        for (a, b) in &again.which {
            let (a, b) = (self.value(a, at)? as u32, self.value(b, at)? as u32);
            if b.saturating_sub(a) > limits::ROUNDS {
                return fault("limit", at.0, "too many rows or rounds are named");
            }
            numbers.extend(a..=b);
        }
        let word = course_word(again.shape);
        let own_first = own.and_then(|o| o.first().copied());
        let mut out = Vec::new();
        for n in numbers {
            if own_first.is_some_and(|f| n >= f) && own.is_some_and(|o| o.contains(&n)) {
                return fault_help(
                    "bad-reference",
                    at.0,
                    format!("this line is itself {word} {n}, so it cannot repeat it"),
                    format!("name a {} worked before", word.to_lowercase()),
                );
            }
            let found = self.book.iter().rev().find(|e| e.shape == again.shape && e.number == n);
            let Some(entry) = found else {
                return fault_help(
                    "bad-reference",
                    at.0,
                    format!("{word} {n} is not worked before this line"),
                    match self.book.iter().rev().find(|e| e.shape == again.shape) {
                        Some(e) => format!("the last one is {word} {}", e.number),
                        None => format!("no {} is worked before it", word.to_lowercase()),
                    },
                );
            };
            out.push(*entry);
        }
        if out.is_empty() {
            return fault("bad-reference", at.0, "no row or round is named");
        }
        Ok(out)
    }

    /// How many rows or rounds the repeat makes.
    fn how_many(&self, again: &Again, at: At, entries: &[Entry], label: Option<u64>) -> Done<u64> {
        let each = entries.len() as u64;
        let word = if again.shape == Shape::Row { "rows" } else { "rounds" };
        let ending = match &again.ending {
            Some(n) => Some(self.value(n, at)? as u32),
            None => None,
        };
        let ends_at = |total: u64| {
            let last = entries.get((total.saturating_sub(1) % each) as usize).map(|e| e.number);
            ending.is_none_or(|e| last == Some(e))
        };
        match &again.times {
            AgainTimes::AsLabelled => {
                let total = label.unwrap_or(each);
                if !total.is_multiple_of(each) && ending.is_none() {
                    return fault_help(
                        "range-mismatch",
                        at.0,
                        format!("{total} {word} cannot hold whole repeats of {each}"),
                        format!(
                            "end the range {} later or {} earlier, or say “ending with …”",
                            each - total % each,
                            total % each
                        ),
                    );
                }
                if !ends_at(total) {
                    return fault(
                        "range-mismatch",
                        at.0,
                        format!("{total} {word} of this repeat do not end with the one named"),
                    );
                }
                Ok(total)
            }
            AgainTimes::Times(n) => {
                let n = self.value(n, at)?;
                let whole = n.saturating_mul(each);
                let total = match (ending, label) {
                    (Some(_), Some(l)) if ends_at(l) && l <= whole && l + each > whole => l,
                    (Some(e), _) => {
                        let i =
                            entries.iter().position(|x| x.number == e).unwrap_or(entries.len() - 1)
                                as u64;
                        whole.saturating_sub(each - 1 - i)
                    }
                    _ => whole,
                };
                self.same_range(total, label, word, at)
            }
            AgainTimes::Courses(n) => {
                let n = self.value(n, at)?;
                self.same_range(n, label, word, at)
            }
            AgainTimes::UntilWorked(n) => {
                let n = self.value(n, at)?;
                let done = u64::from(self.number);
                if n < done {
                    return fault(
                        "range-mismatch",
                        at.0,
                        format!("{done} {word} are worked already, more than {n}"),
                    );
                }
                let total = n - done;
                if !ends_at(total) {
                    return fault(
                        "range-mismatch",
                        at.0,
                        format!("{total} {word} of this repeat do not end with the one named"),
                    );
                }
                self.same_range(total, label, word, at)
            }
            AgainTimes::UntilRemain(_) => Ok(0),
        }
    }

    fn same_range(&self, total: u64, label: Option<u64>, word: &str, at: At) -> Done<u64> {
        match label {
            Some(l) if l != total => fault_help(
                "range-mismatch",
                at.0,
                format!("the label covers {l} {word}, and the repeat makes {total}"),
                format!("mend the range or the number of times: {total} {word} are worked"),
            ),
            _ => Ok(total),
        }
    }

    /// Works the lines over and over until so many stitches are left, exactly.
    fn until_remain(
        &mut self,
        entries: &[Entry],
        want: u64,
        shape: Shape,
        first: u32,
        at: At,
    ) -> Done {
        let mut k: u32 = 0;
        let mut since_change = 0;
        let mut missed = false;
        loop {
            let have = self.edge_count();
            if have == want && self.known != Known::Nothing {
                return Ok(());
            }
            if missed || self.known == Known::Nothing {
                return fault_help(
                    "count-mismatch",
                    at.0,
                    format!(
                        "the repeat never leaves exactly {want} sts: it comes to {}",
                        sts(have)
                    ),
                    format!("say “until {have} sts remain”, or mend the decreases"),
                );
            }
            if since_change > entries.len() || k > limits::ROUNDS {
                return fault_help(
                    "no-end",
                    at.0,
                    format!("the repeat stays at {} and never comes to {want}", sts(have)),
                    "repeat rows that decrease",
                );
            }
            let Some(entry) = entries.get(k as usize % entries.len()) else { return Ok(()) };
            let number = first.saturating_add(k);
            self.once_more(*entry, shape, number).map_err(|f| referred(f, at, shape, number))?;
            k += 1;
            let now = self.edge_count();
            missed = passed(have, now, want);
            since_change = if now == have { since_change + 1 } else { 0 };
        }
    }

    fn agrees(&self, label: Option<u64>, first: u32, at: At) -> Done {
        let made = u64::from(self.number.saturating_add(1).saturating_sub(first));
        match label {
            Some(l) if l != made => fault(
                "range-mismatch",
                at.0,
                format!("the label covers {l}, and {made} are worked"),
            ),
            _ => Ok(()),
        }
    }

    /// One row or round worked again.
    pub(super) fn once_more(&mut self, entry: Entry, shape: Shape, number: u32) -> Done {
        let piece = self.piece;
        let Some(Line { kind: LineKind::Work(work), .. }) = piece.lines.get(entry.line) else {
            // The line could not be read: its fault is told, and nothing more is known.
            self.known = Known::Nothing;
            self.number = number;
            return Ok(());
        };
        self.counter = Some(Counter { round: number, step: entry.step });
        self.referred = true;
        let done = self.course(self.line, &work.steps, Some(shape), Some(number));
        self.referred = false;
        self.book.push(Entry { shape, number, line: entry.line, step: entry.step });
        done
    }

    /// The shape and first number of a line that makes several rows or rounds: as its label
    /// says, else as the piece goes on; `or` where nothing has been worked.
    pub fn begins(&self, labelled: Option<&(Shape, Vec<u32>)>, or: Shape) -> (Shape, u32) {
        let shape = labelled.map(|l| l.0).or(self.shape).unwrap_or(or);
        let first = labelled.and_then(|(_, n)| n.first().copied());
        (shape, first.unwrap_or(self.number + 1))
    }

    /// "Work even for 6 rnds", "Rnds 8-13: Work even."
    pub fn even_line(
        &mut self,
        line: usize,
        even: &Even,
        at: At,
        labelled: Option<(Shape, Vec<u32>)>,
        work: &Work,
    ) -> Done {
        let (shape, first) = self.begins(labelled.as_ref(), Shape::Round);
        let total = match (&even.count, &even.until) {
            (Some(n), _) => self.value(n, at)?,
            (None, Some(n)) => self.value(n, at)?.saturating_sub(u64::from(self.number)),
            (None, None) => 1,
        };
        let word = if shape == Shape::Row { "rows" } else { "rounds" };
        let total = self.same_range(
            total,
            labelled.as_ref().map(|l| l.1.len() as u64).filter(|l| *l != 1 || total == 1),
            word,
            at,
        )?;
        if total > u64::from(limits::ROUNDS) {
            return fault(
                "limit",
                at.0,
                format!("{} are more than this program works", plural(total, "round", "rounds")),
            );
        }
        for k in 0..total {
            let number = first.saturating_add(k as u32);
            self.counter = Some(Counter { round: number, step: k as u32 + 1 });
            self.course(line, &work.steps, Some(shape), Some(number))?;
            self.book.push(Entry { shape, number, line, step: k as u32 + 1 });
        }
        Ok(())
    }
}

impl Pass {
    /// The stitch most of the row below is made of.
    pub fn main_kind(&self) -> Kind {
        let mut found: Vec<(Kind, usize)> = Vec::new();
        for spot in self.list.iter().filter(|s| s.what == What::Top) {
            let kind = Kind { post: Post::No, ..spot.kind.single() };
            match found.iter_mut().find(|(k, _)| *k == kind) {
                Some((_, n)) => *n += 1,
                None => found.push((kind, 1)),
            }
        }
        found.into_iter().max_by_key(|(_, n)| *n).map_or(Kind::SC, |(k, _)| k)
    }
}

/// What goes wrong when a line is worked again goes wrong where it is asked for.
fn referred(mut f: Box<Fault>, at: At, shape: Shape, number: u32) -> Box<Fault> {
    f.span = at.0;
    f.message = format!("{} {number}: {}", course_word(shape), f.message);
    f
}
