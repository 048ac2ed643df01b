//! "Work as for first earflap": the rows of a part worked before.

use super::fault::{Done, fault_help};
use super::numbering::{Entry, course_word};
use super::worker::Worker;
use crate::written::tree::*;

impl Worker<'_> {
    /// The rows or rounds of a part: those named, else those the label asks for, else what is
    /// still to come of it here.
    pub(super) fn of_part(
        &self,
        again: &Again,
        part: &str,
        at: At,
        own: Option<&[u32]>,
    ) -> Done<Vec<Entry>> {
        let Some(lines) = self.lines_of(part) else {
            return fault_help(
                "bad-reference",
                at.0,
                format!("no part before this line is headed “{part}”"),
                "name it as its heading does",
            );
        };
        let there: Vec<Entry> =
            self.book.iter().filter(|e| lines.contains(&e.line)).copied().collect();
        let begun = if self.section_start { 0 } else { self.number };
        let mut numbers = Vec::new();
        for (a, b) in &again.which {
            numbers.extend(self.value(a, at)? as u32..=self.value(b, at)? as u32);
        }
        if numbers.is_empty() {
            numbers = match own {
                Some(own) => own.to_vec(),
                None => there.iter().map(|e| e.number).filter(|n| *n > begun).collect(),
            };
        }
        let mut out = Vec::new();
        for n in numbers {
            match there.iter().rfind(|e| e.number == n) {
                Some(entry) => out.push(*entry),
                None => {
                    return fault_help(
                        "bad-reference",
                        at.0,
                        format!("“{part}” has no {} {n}", course_word(again.shape)),
                        "name rows or rounds that are worked there",
                    );
                }
            }
        }
        if out.is_empty() {
            return fault_help(
                "bad-reference",
                at.0,
                format!("nothing of “{part}” is left to be worked"),
                "name the rows or rounds",
            );
        }
        Ok(out)
    }

    /// The lines under the last heading that names a part, before the part worked now.
    fn lines_of(&self, part: &str) -> Option<std::ops::Range<usize>> {
        let wanted = words(part);
        let headings: Vec<(usize, Vec<String>)> = self
            .piece
            .lines
            .iter()
            .enumerate()
            .take(self.line)
            .filter_map(|(i, l)| match &l.kind {
                LineKind::Heading(h) => Some((i, words(h))),
                _ => None,
            })
            .collect();
        let (own, before) = headings.split_last()?;
        let named = before.iter().rfind(|(_, h)| wanted.iter().all(|w| h.contains(w)));
        // "Same as first flap" may stand where the other is headed "Left flap".
        let noun = wanted.last()?;
        let (i, _) = named.or_else(|| before.iter().rfind(|(_, h)| h.contains(noun)))?;
        let end = headings.iter().map(|(k, _)| *k).find(|k| k > i).unwrap_or(own.0);
        Some(*i..end)
    }
}

/// The words of a heading, so that "EARFLAP 1", "1st earflap" and "first earflap" are the same.
fn words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !["", "the", "for", "of", "a"].contains(w))
        .map(|w| match w {
            "1" | "1st" | "one" => "first".to_owned(),
            "2" | "2nd" | "two" => "second".to_owned(),
            w => w.strip_suffix('s').unwrap_or(w).to_owned(),
        })
        .collect()
}
