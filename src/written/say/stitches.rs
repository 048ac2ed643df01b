//! Stitch names as said.

use super::bits::Bit;
use super::phrase::Phrase;
use super::terms::{Term, other};
use super::voice::Voice;
use crate::written::tree::{Base, Kind};

impl Voice<'_> {
    /// The name of a stitch.
    pub fn kind(&self, kind: Kind, plural: bool) -> Phrase {
        if kind == Kind::CH {
            return self.word_in("ch", plural);
        }
        // A known stitch that the design describes goes by the design's name for it.
        if let Some(i) = self.piece.specials.iter().position(|s| s.stands_for == Some(kind)) {
            return self.special(i, plural);
        }
        let terms = self.terms();
        let abbr = kind.name(terms, &self.abbrs);
        let meaning = kind.long_name(terms, &self.names);
        let long = if plural { several(&meaning) } else { meaning.clone() };
        if self.full() {
            return Phrase::of(&long);
        }
        let text = if plural { several_abbr(kind, &abbr) } else { abbr.clone() };
        // A name without a shorter form is no abbreviation.
        if abbr == meaning {
            return Phrase::of(&text);
        }
        let term = Term {
            id: kind.name(crate::written::Terms::Us, &self.abbrs),
            other: kind.name(other(terms), &self.abbrs),
            other_meaning: kind.long_name(other(terms), &self.names),
            abbr,
            meaning,
        };
        Phrase::bit_of(Bit::Term { text, expansion: long, term: Box::new(term) })
    }

    /// The name of a special stitch, by its place in the list.
    pub fn special(&self, index: usize, plural: bool) -> Phrase {
        let base = Base::Special(u8::try_from(index).unwrap_or(u8::MAX));
        self.kind(Kind::plain(base), plural)
    }
}

/// The plural of a name in full.
fn several(name: &str) -> String {
    if name.ends_with("together") || name.ends_with('s') {
        name.to_owned()
    } else if name.ends_with("ch") || name.ends_with("sh") {
        format!("{name}es")
    } else {
        format!("{name}s")
    }
}

/// The plural of an abbreviation: most stay as they are (`20 sc`).
fn several_abbr(kind: Kind, abbr: &str) -> String {
    let worded = match kind.base {
        Base::Puff | Base::Bobble | Base::Picot => kind.together <= 1,
        Base::SlSt => abbr.ends_with("st"),
        Base::Special(_) => abbr.ends_with("st") || (abbr.len() > 3 && !abbr.ends_with('s')),
        _ => false,
    };
    if worded { format!("{abbr}s") } else { abbr.to_owned() }
}
