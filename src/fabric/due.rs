//! Rows and rounds named beforehand: "Row 2 and all even-numbered rows", "Rows 4, 6 and 8".

use super::fault::{Done, plural};
use super::numbering::{Entry, course_word};
use super::worker::Worker;
use crate::written::Counter;
use crate::written::tree::*;

/// A row or round named beforehand, to be worked when its turn comes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Due {
    pub shape: Shape,
    pub number: u32,
    /// The line that names it: a place in the piece's lines.
    pub line: usize,
    /// Every other one from there on is meant too.
    pub every_other: bool,
}

impl Due {
    /// Whether this row or round is the one named.
    fn is(&self, shape: Shape, number: u32) -> bool {
        !self.every_other && self.shape == shape && self.number == number
    }

    /// Whether this row or round is a later one of "all even-numbered rows".
    fn goes_on_to(&self, shape: Shape, number: u32) -> bool {
        self.every_other
            && self.shape == shape
            && number > self.number
            && (number - self.number).is_multiple_of(2)
    }
}

impl Worker<'_> {
    /// Puts aside what a label names beyond the next rows or rounds: "Rows 4, 6 and 8".
    pub fn set_due(&mut self, label: &Label, numbers: &mut Vec<u32>, line: usize) {
        if let (Which::EveryOther(_), Some(n)) = (&label.which, numbers.first()) {
            self.due.push(Due { shape: label.shape, number: *n, line, every_other: true });
        }
        if !matches!(label.which, Which::List(_)) {
            return;
        }
        let together =
            1 + numbers.windows(2).take_while(|p| p[1] == p[0].saturating_add(1)).count();
        if together < numbers.len() {
            for n in numbers.split_off(together) {
                self.due.push(Due { shape: label.shape, number: n, line, every_other: false });
            }
        }
    }

    /// Works the lines that are due before row or round `next`: those of "Row 2 and all
    /// even-numbered rows", and the later ones of "Rows 4, 6 and 8".
    pub fn work_due(&mut self, shape: Shape, next: Option<u32>) -> Done {
        loop {
            let number = self.number.saturating_add(1);
            if next.is_some_and(|n| number >= n) || self.shape != Some(shape) {
                return Ok(());
            }
            let found = match self.due.iter().position(|d| d.is(shape, number)) {
                Some(i) => self.due.remove(i),
                // The last lines go on only as far as a numbered one comes after them: a line, or
                // a later row of "Rows 5, 7 and 9".
                None if next.is_none() && !self.listed_after(shape, number) => return Ok(()),
                None => match self.due.iter().rfind(|d| d.goes_on_to(shape, number)) {
                    Some(due) => *due,
                    None => return Ok(()),
                },
            };
            self.due_course(found.line, shape, number)?;
        }
    }

    /// Whether a row or round beyond `number` was named in a list.
    fn listed_after(&self, shape: Shape, number: u32) -> bool {
        self.due.iter().any(|d| d.shape == shape && !d.every_other && d.number > number)
    }

    fn due_course(&mut self, line: usize, shape: Shape, number: u32) -> Done {
        let piece = self.piece;
        let Some(Line { kind: LineKind::Work(work), .. }) = piece.lines.get(line) else {
            return Ok(());
        };
        let first = self.fabric.courses.len();
        let again = work.steps.iter().find_map(|s| match &s.act {
            Act::Again(again) => Some((again, s.at)),
            _ => None,
        });
        match again {
            Some((again, at)) => self.again(again, at, Some((shape, vec![number])), work)?,
            None => {
                self.counter = Some(Counter { round: number, step: 1 });
                self.course(line, &work.steps, Some(shape), Some(number))?;
                self.book.push(Entry { shape, number, line, step: 1 });
            }
        }
        let Some(last) = self.fabric.courses.len().checked_sub(1).filter(|l| *l >= first) else {
            return Ok(());
        };
        let (count, counts) = self.counts_of(last);
        if let Some(result) = self.results.iter_mut().rev().find(|r| r.index as usize == line) {
            result.count = count;
            result.counts = counts;
        }
        self.check_claims(work, Some(last), first)
    }

    /// Rows or rounds named in a label whose turn never came.
    pub fn never_due(&self) -> Option<(usize, String)> {
        let due = self.due.iter().find(|d| !d.every_other)?;
        Some((
            due.line,
            format!(
                "{} {} of this line never comes: the piece ends after {}",
                course_word(due.shape),
                due.number,
                plural(u64::from(self.number), "row or round", "rows or rounds")
            ),
        ))
    }
}
