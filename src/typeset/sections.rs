//! What belongs together under a heading: an introduction and what it leads up to, and a
//! section so short that it is not parted for a few lines' sake.

use super::strip::{NEVER, Node};
use crate::booklet::document::{Block, Paragraph, ParagraphKind};

/// A section up to this share of a page is kept together.
const SHORT: f64 = 0.3;
/// How bad it is to part one: as bad as leaving a third of the page empty.
pub const PARTED: u32 = 450;

/// Where a heading's strips begin among the nodes, and its level.
pub struct Begins {
    /// Index of the first node.
    pub at: usize,
    /// 1 for chapters.
    pub level: u8,
}

/// Makes page breaks dear within every section that is short. A section ends before the next
/// heading of its level or a higher one; `page` is the height of a page's text.
pub fn hold_short(nodes: &mut [Node], begins: &[Begins], page: f64) {
    for (i, section) in begins.iter().enumerate() {
        let end = begins.iter().skip(i + 1).find(|b| b.level <= section.level);
        let end = end.map_or(nodes.len(), |b| b.at);
        let Some(own) = nodes.get_mut(section.at..end) else { continue };
        if own.iter().map(height).sum::<f64>() > SHORT * page {
            continue;
        }
        for node in own.iter_mut().skip(1) {
            if let Node::Strip(strip) = node
                && strip.penalty != NEVER
            {
                strip.penalty = strip.penalty.max(PARTED);
            }
        }
    }
}

/// About how high a node is; what does not stand below the rest is no part of a short section.
fn height(node: &Node) -> f64 {
    match node {
        Node::Strip(strip) => strip.height + strip.before.max(strip.after),
        Node::Columns(_) | Node::NewPage => f64::INFINITY,
    }
}

/// Whether a paragraph under a heading leads up to a table, figure or list: a heading and
/// its introduction alone at the foot of a page promise what is not there.
pub fn introduces(block: &Block, next: Option<&Block>) -> bool {
    let leads = match next {
        None | Some(Block::Heading(_) | Block::PageBreak) => false,
        Some(Block::Paragraph(_)) => aside(block),
        Some(_) => true,
    };
    leads && matches!(block, Block::Paragraph(_))
}

/// A short line under a heading: which hook, a designer's note.
pub fn aside(block: &Block) -> bool {
    matches!(
        block,
        Block::Paragraph(Paragraph { kind: ParagraphKind::Small | ParagraphKind::Note, .. })
    )
}

/// Up to so many lines an introduction goes with what it leads up to; with a table, which
/// is looked up by its words, up to more.
const SHORT_INTRODUCTION: usize = 3;
const OF_A_TABLE: usize = 12;
/// A page break within a longer one.
const INTRODUCED: u32 = 700;

/// A short introduction stays with what follows; a longer one may stand at the foot of a page
/// with its heading, but whole.
pub fn hold_introduction(out: &mut [Node], from: usize, next: Option<&Block>) {
    let short = if matches!(next, Some(Block::Table(_))) { OF_A_TABLE } else { SHORT_INTRODUCTION };
    let Some(own) = out.get_mut(from..) else { return };
    let lines = own.len();
    for (i, node) in own.iter_mut().enumerate() {
        let Node::Strip(strip) = node else { continue };
        if i > 0 && strip.penalty != NEVER {
            // Held whole, so that all of it goes with what it is held to.
            strip.penalty = if lines <= short { NEVER } else { strip.penalty.max(INTRODUCED) };
        }
        strip.holds_next |= i + 1 == lines && lines <= short;
    }
}
