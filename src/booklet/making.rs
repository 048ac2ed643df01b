//! How the stitches of this hat are made, for who has not made them before: a sentence for
//! each kind that its fabric holds.

use super::document::*;
use super::words::{capital, led};
use super::{Choices, Proved, body, chapter};
use crate::fabric::Loop;
use crate::standards::making::making;
use crate::standards::stitches::Kind;
use crate::written::say::Length;
use crate::written::tree::{Act, LineKind};
use std::collections::BTreeSet;

const RING: &str = "Lay the yarn in a ring with its tail in front. Insert the hook, pull up a loop \
                    and make the chains that the line says; work the stitches over ring and tail \
                    together, and pull the tail until the ring closes.";
const BACK: &str = "Insert the hook under only the far one of the two strands at the top of the \
                    stitch.";
const FRONT: &str = "Insert the hook under only the near one of the two strands at the top of the \
                     stitch.";

/// The chapter.
pub(super) fn chapter_of(p: &Proved, c: &Choices) -> Vec<Block> {
    let mut kinds: BTreeSet<Kind> = BTreeSet::new();
    let mut loops: BTreeSet<Loop> = BTreeSet::new();
    let shown = |(i, _): &(usize, _)| c.shows(*i);
    for piece in &p.pieces {
        let worked = piece.worked.iter().enumerate().filter(shown).filter_map(|(_, w)| w.as_ref());
        for stitch in worked.flat_map(|w| &w.fabric.stitches) {
            kinds.insert(stitch.kind);
            loops.insert(stitch.loops);
        }
    }
    let short = c.length == Length::Abbreviated;
    let item = |name: &str, words: &str| vec![body(led(&format!("{name}: "), words))];
    let mut items: Vec<Vec<Block>> = Vec::new();
    if magic_ring(p) {
        items.push(item("Magic ring", RING));
    }
    for kind in kinds {
        let Some(words) = making(kind, c.terms) else { continue };
        let long = kind.long_name(c.terms, &[]);
        let name =
            if short { format!("{} ({long})", kind.name(c.terms, &[])) } else { capital(&long) };
        items.push(item(&name, &words));
    }
    for (which, name, words) in
        [(Loop::Back, "Back loop only", BACK), (Loop::Front, "Front loop only", FRONT)]
    {
        if loops.contains(&which) {
            items.push(item(name, words));
        }
    }
    if items.is_empty() {
        return Vec::new();
    }
    vec![
        chapter("How the stitches are made", "making"),
        Block::List(List { marker: Marker::Plain, items }),
    ]
}

fn magic_ring(p: &Proved) -> bool {
    let lines = p.pieces.iter().flat_map(|piece| &piece.piece.lines);
    let mut works = lines.filter_map(|line| match &line.kind {
        LineKind::Work(work) => Some(work),
        _ => None,
    });
    works.any(|work| work.steps.iter().any(|s| matches!(s.act, Act::Ring)))
}
