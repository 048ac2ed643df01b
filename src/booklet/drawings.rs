//! Schematic and stitch charts, read off the worked fabrics.

use super::document::*;
use super::{Choices, Proved, chapter, section};
use crate::figure::Drawing;
use crate::figure::chart::{self, ChartOptions};
use crate::figure::schematic::{self, Look, Sized};
use crate::written::say::Hand;

/// What both papers have room for beside a heading and its words, in millimetres.
const ROOM: (f64, f64) = (WIDTH, 150.0);
/// How wide ordinary text is set, about, in millimetres: a drawing of this width is shown
/// at its own size.
const WIDTH: f64 = 140.0;
/// The same in large print, where a drawing is set larger, to the whole width of the page,
/// and its words with it.
const LARGE: (f64, f64) = (84.0, 95.0);
/// How high the first chart may be there, to stand under the chapter's heading.
const LARGE_FIRST: f64 = 86.0;
/// Size of a schematic's words in large print, in points, before it is set larger.
const LARGE_WORDS: f64 = 9.5;

/// The shapes of the sizes in this copy, nested to one scale; nothing before measures are
/// known.
pub(super) fn shape(p: &Proved, c: &Choices) -> Vec<Block> {
    let pieces: Vec<Vec<&str>> = (0..p.design.sizes.len())
        .map(|i| {
            let worked = p.pieces.iter().zip(&p.design.pieces);
            let own = worked.filter(|(piece, _)| piece.worked.get(i).is_some_and(Option::is_some));
            own.map(|(_, part)| part.name.as_str()).collect()
        })
        .collect();
    let sizes: Vec<Sized> = p
        .design
        .sizes
        .iter()
        .zip(&p.measures.sizes)
        .zip(&pieces)
        .enumerate()
        .filter(|(i, _)| c.shows(*i))
        .map(|(_, ((size, m), pieces))| Sized { name: &size.name, shape: &m.silhouette, pieces })
        .collect();
    let units = p.design.pattern.units;
    let look = if c.large {
        Look { width: LARGE.0, size: LARGE_WORDS, numbers: true, units }
    } else {
        Look::ordinary(units)
    };
    let Some(drawing) = schematic::drawing(&sizes, &look) else { return Vec::new() };
    let mut words = "The hat lying flat, as these stitches make it. Each line under it is as long \
                     as the brim is wide: half the girth."
        .to_owned();
    for sentence in schematic::besides(&sizes, &look) {
        words.push(' ');
        words.push_str(&sentence);
    }
    vec![Block::Figure(Figure {
        fit: across(&drawing, c),
        art: Art::Drawing(drawing),
        alt: schematic::alt(&sizes, units),
        caption: Some(plain(words)),
    })]
}

/// A chart of each piece that one can be read of: of the size this copy is for, or of the
/// smallest. Pieces that look like one before them are not drawn again.
pub(super) fn charts(p: &Proved, c: &Choices) -> Vec<Block> {
    let size = c.size.unwrap_or(0);
    let mirrored = c.hand == Hand::Left;
    let room = if c.large { LARGE } else { ROOM };
    let options = ChartOptions { terms: c.terms, room, mirrored };
    let lower = ChartOptions { room: (room.0, LARGE_FIRST), ..options };
    let mut out: Vec<Block> = Vec::new();
    let mut without: Vec<String> = Vec::new();
    for (piece, part) in p.pieces.iter().zip(&p.design.pieces) {
        let Some(worked) = piece.worked.get(size).and_then(Option::as_ref) else { continue };
        let first = (c.large && out.is_empty()).then(|| chart::chart(&worked.fabric, &lower));
        let whole = || chart::chart(&worked.fabric, &options);
        let Some(made) = first.flatten().or_else(whole) else {
            without.push(part.name.as_str().to_lowercase());
            continue;
        };
        let drawing = made.drawing;
        out.push(Block::Keep(vec![
            section(part.name.as_str()),
            Block::Figure(Figure {
                fit: across(&drawing, c),
                art: Art::Drawing(drawing),
                alt: made.alt,
                caption: None,
            }),
        ]));
    }
    if out.is_empty() {
        return out;
    }
    let name = p.design.sizes.get(size).map_or("", |s| s.name.as_str());
    let mut words = format!(
        "Charts for {name}, in the international symbols. Where the whole would be too small \
         to read, one repeat is drawn."
    );
    if !without.is_empty() {
        words.push_str(&format!(" Too large for one: the {}.", super::words::list_of(&without)));
    }
    if mirrored {
        words.push_str(" They are mirrored for the left hand.");
    }
    let words = super::body(plain(words));
    if let Some(Block::Keep(first)) = out.first_mut() {
        first.insert(0, chapter("Charts", "charts"));
        if c.large {
            // A large chart fills the page that it begins on: the words come after it.
            out.insert(1, words);
        } else {
            first.insert(1, words);
        }
    }
    out
}

/// As wide as it was drawn, so that all are to one scale; in large print so much wider as it
/// was drawn narrower.
fn across(d: &Drawing, c: &Choices) -> Fit {
    let room = if c.large { LARGE.0 } else { WIDTH };
    Fit::Width((d.width / room).max(0.1))
}
