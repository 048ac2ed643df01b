//! The numbers of rows and rounds: what a label stands for, and whether it follows.

use super::fault::{Done, Fault, fault, fault_help};
use super::worker::Worker;
use crate::limits;
use crate::written::tree::*;

/// A row or round that was worked, for references to it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    pub shape: Shape,
    pub number: u32,
    pub line: usize,
    pub step: u32,
}

impl Worker<'_> {
    /// The numbers a label stands for in this size. May be empty: a range that ends just
    /// before it begins is not worked in this size.
    pub fn label_numbers(&self, label: &Label) -> Done<Vec<u32>> {
        let at = label.at;
        let small = |n: u64| u32::try_from(n).unwrap_or(u32::MAX);
        Ok(match &label.which {
            Which::One(n) => vec![small(self.value(n, at)?)],
            Which::Range(a, b) => {
                let (first, last) = (small(self.value(a, at)?), small(self.value(b, at)?));
                if last.saturating_sub(first) > limits::ROUNDS {
                    return fault(
                        "limit",
                        at.0,
                        format!("more than {} rows or rounds in one line", limits::ROUNDS),
                    );
                }
                let graded = matches!(a, Number::Hole(_)) || matches!(b, Number::Hole(_));
                if first > last && !(graded && first == last + 1) {
                    return fault_help(
                        "numbering",
                        at.0,
                        format!("the range runs from {first} down to {last}"),
                        "write the smaller number first",
                    );
                }
                (first..=last).collect()
            }
            Which::List(list) => {
                let mut out = Vec::new();
                for n in list {
                    out.push(small(self.value(n, at)?));
                }
                out
            }
            Which::Next(n) => {
                let n = small(self.value(n, at)?).min(limits::ROUNDS);
                (1..=n).map(|i| self.number.saturating_add(i)).collect()
            }
            Which::EveryOther(n) | Which::Onward(n) => vec![small(self.value(n, at)?)],
            Which::Named(_) => vec![self.number.saturating_add(1)],
        })
    }

    /// Whether the label follows the last row or round; tells it if not.
    pub fn check_numbering(&mut self, label: &Label, numbers: &[u32], line: &Line) -> Done {
        let Some(&first) = numbers.first() else { return Ok(()) };
        if matches!(label.which, Which::Next(_) | Which::Named(_)) {
            return Ok(());
        }
        let changed = self.shape.is_some_and(|s| s != label.shape);
        let follows = first == self.number.saturating_add(1);
        let begins = first == 1 && (self.restart || changed || self.number == 0);
        let zero = first == 0 && self.number == 0;
        let word = course_word(label.shape);
        for pair in numbers.windows(2) {
            if let [a, b] = pair
                && *b <= *a
            {
                return fault(
                    "numbering",
                    label.at.0,
                    format!("{word} {b} follows {word} {a} in one label"),
                );
            }
        }
        // An unnumbered line that could not be worked may have made any number of them.
        let unsure = std::mem::take(&mut self.miscounted) && first > self.number;
        let passed = std::mem::take(&mut self.passed);
        let ok = follows || begins || zero || unsure || passed > 0 && first == passed + 1;
        if begins || zero {
            self.section_start = true;
            if self.restart || changed {
                self.number = first.saturating_sub(1);
            }
        }
        if !ok {
            let gap = if self.number == 0 {
                format!("the first {} is numbered {first}", word.to_lowercase())
            } else {
                format!("{word} {first} follows {word} {}", self.number)
            };
            let f = Fault {
                code: "numbering",
                span: label.at.0,
                message: gap,
                help: Some(format!(
                    "this should be {word} {}, or a line is missing",
                    self.number.saturating_add(1)
                )),
            };
            // Told at once and worked all the same: the stitches may well be right.
            self.tell(&f, line);
        }
        Ok(())
    }

    /// A line for other sizes: its numbers are left out in this one.
    pub fn pass_over(&mut self, line: &Line) {
        let LineKind::Work(Work { label: Some(label), .. }) = &line.kind else { return };
        let Ok(numbers) = self.label_numbers(label) else { return };
        if let (Some(first), Some(last)) = (numbers.first(), numbers.last())
            && matches!(label.which, Which::One(_) | Which::Range(..) | Which::List(_))
            && (*first == self.number.saturating_add(1) || *first == self.passed.saturating_add(1))
        {
            self.passed = *last;
        }
    }

    /// A line that failed is counted all the same, so that the next one follows it.
    pub fn keep_numbering(&mut self, work: &Work) {
        let Some(label) = &work.label else {
            self.miscounted = true;
            return;
        };
        self.counter = None;
        self.rows_lost |= label.shape == Shape::Row;
        if self.shape.is_some_and(|s| s != label.shape)
            && matches!(label.which, Which::Next(_) | Which::Named(_))
        {
            self.number = 0;
        }
        let Ok(numbers) = self.label_numbers(label) else { return };
        for n in &numbers {
            if !self
                .book
                .iter()
                .rev()
                .any(|e| e.shape == label.shape && e.number == *n && e.line == self.line)
            {
                self.book.push(Entry { shape: label.shape, number: *n, line: self.line, step: 1 });
            }
        }
        let named = matches!(label.which, Which::Next(_) | Which::Named(_));
        if let Some(n) = numbers.last()
            && !named
        {
            self.number = *n;
        }
        self.shape = Some(label.shape);
        self.restart = false;
    }
}

/// "Row" or "Rnd".
pub(super) fn course_word(shape: Shape) -> &'static str {
    match shape {
        Shape::Row => "Row",
        Shape::Round => "Rnd",
    }
}
