//! Kerning of two glyphs side by side, read straight from a face's table of positions
//! (OpenType 1.9, GPOS, lookup type 2).

use rustybuzz::ttf_parser::gpos::{PairAdjustment, PositioningSubtable};
use rustybuzz::ttf_parser::{GlyphId, Tag};

/// The pairs that a face kerns by: lists asked one after the other, each of parts of which
/// the first that knows the pair answers.
pub struct Kerning<'a>(Vec<Vec<PairAdjustment<'a>>>);

impl<'a> Kerning<'a> {
    /// Nothing if the face kerns Latin otherwise than by pairs, or not at all.
    pub fn read(face: &rustybuzz::Face<'a>) -> Option<Kerning<'a>> {
        let gpos = face.tables().gpos?;
        let script = [b"latn", b"DFLT"].iter().find_map(|t| gpos.scripts.find(Tag::from_bytes(t)));
        let language = script?.default_language?;
        let features = language.feature_indices.into_iter().filter_map(|i| gpos.features.get(i));
        let mut wanted: Vec<u16> = features
            .filter(|f| f.tag == Tag::from_bytes(b"kern"))
            .flat_map(|f| f.lookup_indices.into_iter())
            .collect();
        wanted.sort_unstable();
        wanted.dedup();
        let pairs = |subtable| match subtable {
            PositioningSubtable::Pair(pair) => Some(pair),
            _ => None,
        };
        let lists = wanted.into_iter().map(|i| {
            let subtables = gpos.lookups.get(i)?.subtables;
            subtables.into_iter::<PositioningSubtable>().map(pairs).collect()
        });
        lists.collect::<Option<Vec<_>>>().map(Kerning)
    }

    /// What is added after the first of two glyphs, in font units.
    pub fn between(&self, first: u16, second: u16) -> i16 {
        let pair = (GlyphId(first), GlyphId(second));
        let each = |list: &Vec<PairAdjustment>| list.iter().find_map(|part| advance(part, pair));
        self.0.iter().filter_map(each).fold(0, i16::saturating_add)
    }
}

fn advance(part: &PairAdjustment, (first, second): (GlyphId, GlyphId)) -> Option<i16> {
    let found = match part {
        PairAdjustment::Format1 { coverage, sets } => {
            sets.get(coverage.get(first)?)?.get(second)?
        }
        PairAdjustment::Format2 { coverage, classes, matrix } => {
            coverage.get(first)?;
            matrix.get((classes.0.get(first), classes.1.get(second)))?
        }
    };
    Some(found.0.x_advance)
}
