//! What was worked: the result of one line, and of the whole piece.

use super::edge::What;
use super::fault::Done;
use super::model::*;
use super::numbering::course_word;
use super::recover::Known;
use super::worker::Worker;
use super::{Edges, LineResult, Worked};
use crate::written::tree::*;
use std::collections::BTreeMap;

impl Worker<'_> {
    /// The result and the claims of a line whose courses are worked.
    pub fn conclude(&mut self, i: usize, line: &Line, work: &Work, first_course: usize) -> Done {
        let made: Vec<usize> = (first_course..self.fabric.courses.len())
            .filter(|c| {
                self.fabric.courses.get(*c).is_some_and(|c| c.shape != CourseShape::Foundation)
            })
            .collect();
        if let Some(last) = made.last().copied().filter(|_| self.known != Known::Nothing) {
            let label =
                work.label.as_ref().map_or_else(String::new, |l| self.label_words(l, first_course));
            let (count, counts) = self.counts_of(last);
            self.results.push(LineResult {
                index: i as u32,
                line: line.number,
                label,
                count,
                counts,
                courses: first_course as u32..self.fabric.courses.len() as u32,
            });
        }
        let claims = self.check_claims(work, made.last().copied(), first_course);
        if !made.is_empty() {
            let stated =
                work.claims.iter().flat_map(|c| &c.items).any(|i| i.unit == Unit::Stitches);
            if claims.is_ok()
                && stated
                && self.known != Known::All
                && self.top.iter().all(|s| s.what != What::Wild)
            {
                self.known = Known::All;
            }
        }
        claims
    }

    fn label_words(&self, label: &Label, first_course: usize) -> String {
        let courses = self.fabric.courses.get(first_course..).unwrap_or(&[]);
        let numbers: Vec<u32> = courses.iter().filter_map(|c| c.number).collect();
        let one = course_word(label.shape);
        match (&label.which, numbers.first(), numbers.last()) {
            (Which::Named(name), ..) => format!("{name} {}", one.to_lowercase()),
            (_, Some(a), Some(b)) if a == b => format!("{one} {a}"),
            (_, Some(a), Some(b)) => format!("{one}s {a}-{b}"),
            _ => one.to_owned(),
        }
    }

    pub fn finish(mut self) -> Worked {
        let mut totals = BTreeMap::new();
        let made = |s: &&Stitch| s.role != Role::Seam || s.kind == Kind::SL_ST;
        for (kind, n) in tally(self.fabric.stitches.iter().filter(made)) {
            *totals.entry(kind.name(self.piece.terms, &self.fabric.specials)).or_default() += n;
        }
        let edges = Edges {
            top: std::mem::take(&mut self.top),
            rows: std::mem::take(&mut self.rows),
            foundation: std::mem::take(&mut self.foundation_worked),
            joined: self.joined_last,
            shape: self.shape,
            number: self.number,
            lost: self.known == Known::Nothing,
        };
        let steps = self.cost();
        Worked {
            steps,
            fabric: self.fabric,
            lines: self.results,
            totals,
            findings: self.findings,
            edges,
        }
    }
}
