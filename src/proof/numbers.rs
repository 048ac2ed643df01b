//! The braces of a written text, filled from the grading of one size.

use crate::grading::Graded;
use crate::written::{Counter, Hole, Numbers};

/// One size's numbers.
#[derive(Clone, Copy, Debug)]
pub struct SizeNumbers<'a> {
    /// The graded design.
    pub graded: &'a Graded,
    /// The size's position in it.
    pub size: usize,
}

impl Numbers for SizeNumbers<'_> {
    fn value(&self, hole: &Hole, counter: Option<Counter>) -> Result<i64, String> {
        let counter = counter.map(|c| (i64::from(c.round), i64::from(c.step)));
        self.graded.eval_hole(self.size, &hole.text, counter).map_err(|e| match e.help {
            Some(help) => format!("{}; {help}", e.message),
            None => e.message,
        })
    }
}
