//! A count at the end of every line, for copies that are worked from: a run of rounds states
//! its count once in the booklet, beside the hook each line needs it.

use super::{Choices, Proved};
use crate::fabric::Course;
use crate::written::say::{Bit, Length, Said, SaidKind};

/// Gives each line of one size without a count the one that the fabric has. `said` holds the
/// lines of every piece, in the design's order.
pub(super) fn on_every_line(p: &Proved, c: &Choices, size: usize, said: &mut [Vec<Said>]) {
    for (at, lines) in said.iter_mut().enumerate() {
        let counts: Vec<Option<Vec<Bit>>> =
            lines.iter().map(|line| count(p, c, (size, at), lines, line)).collect();
        for (line, count) in lines.iter_mut().zip(counts) {
            line.count = count;
        }
    }
}

/// As the text says it, else as the fabric has it.
fn count(
    p: &Proved,
    c: &Choices,
    place: (usize, usize),
    lines: &[Said],
    said: &Said,
) -> Option<Vec<Bit>> {
    if said.count.is_some() || said.kind != SaidKind::Instruction {
        return said.count.clone();
    }
    let made = made(p, place, said)?;
    // In the words of a claim for the same line, or the same work, where that is of as many
    // stitches.
    let alike = |s: &&Said| {
        (s.line == said.line || s.body == said.body)
            && s.count.is_some()
            && self::made(p, place, s) == Some(made)
    };
    let stitches = match (c.length, made) {
        (Length::Abbreviated, 1) => "st",
        (Length::Abbreviated, _) => "sts",
        (Length::SpelledOut, 1) => "stitch",
        (Length::SpelledOut, _) => "stitches",
    };
    let plainly = || Some(vec![Bit::Text(format!("({made}\u{a0}{stitches})"))]);
    lines.iter().find(alike).map_or_else(plainly, |s| s.count.clone())
}

/// The stitches of each round a said line works, read off the fabric, where all have as many.
fn made(p: &Proved, (size, piece): (usize, usize), said: &Said) -> Option<u32> {
    let (first, last) = said.rounds.first().copied().flatten()?;
    let worked = p.pieces.get(piece)?.worked.get(size)?.as_ref()?;
    let here = |c: &&Course| {
        c.number.is_some_and(|n| (first..=last).contains(&n)) && c.line as usize == said.line
    };
    let mut counts = worked.fabric.courses.iter().filter(here).map(|c| c.count);
    let count = counts.next().filter(|n| *n > 0)?;
    counts.all(|n| n == count).then_some(count)
}
