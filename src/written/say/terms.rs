//! Abbreviations: what they stand for, and their list for the booklet.

use super::bits::Bit;
use super::phrase::Phrase;
use super::voice::Voice;
use super::{Said, Terms};

/// One entry of the list of abbreviations.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Term {
    /// The same for a stitch in both sets of terms: its US abbreviation.
    pub id: String,
    /// The abbreviation as it stands in the text, in the singular.
    pub abbr: String,
    /// What it stands for.
    pub meaning: String,
    /// The abbreviation in the other set of terms.
    pub other: String,
    /// What that one stands for.
    pub other_meaning: String,
}

/// An abbreviated word that is no stitch.
struct Word {
    /// Abbreviation, US; it is also the id.
    us: &'static str,
    uk: &'static str,
    us_long: &'static str,
    uk_long: &'static str,
    /// Abbreviation and word for several; empty where there is none.
    plural: (&'static str, &'static str),
}

const fn same(
    abbr: &'static str,
    long: &'static str,
    plural: (&'static str, &'static str),
) -> Word {
    Word { us: abbr, uk: abbr, us_long: long, uk_long: long, plural }
}

/// The words the house style abbreviates, and those it leaves abbreviated in a designer's
/// own prose. Common practice; the list of the Craft Yarn Council, from memory.
const WORDS: [Word; 17] = [
    same("st", "stitch", ("sts", "stitches")),
    same("ch", "chain", ("chs", "chains")),
    same("sp", "space", ("sps", "spaces")),
    same("rnd", "round", ("rnds", "rounds")),
    same("rep", "repeat", ("", "")),
    same("blo", "back loop only", ("", "")),
    same("flo", "front loop only", ("", "")),
    same("RS", "right side", ("", "")),
    same("WS", "wrong side", ("", "")),
    same("beg", "beginning", ("", "")),
    same("t-ch", "turning chain", ("", "")),
    same("tog", "together", ("", "")),
    same("rem", "remaining", ("", "")),
    same("lp", "loop", ("lps", "loops")),
    Word { us: "yo", uk: "yoh", us_long: "yarn over", uk_long: "yarn over hook", plural: ("", "") },
    Word { us: "MC", uk: "MC", us_long: "main color", uk_long: "main colour", plural: ("", "") },
    Word {
        us: "CC",
        uk: "CC",
        us_long: "contrasting color",
        uk_long: "contrasting colour",
        plural: ("", ""),
    },
];

/// Abbreviations that name a yarn.
const COLOURS: [&str; 2] = ["MC", "CC"];

impl Word {
    fn abbr(&self, terms: Terms) -> &'static str {
        if terms == Terms::Us { self.us } else { self.uk }
    }

    fn long(&self, terms: Terms) -> &'static str {
        if terms == Terms::Us { self.us_long } else { self.uk_long }
    }

    fn term(&self, terms: Terms) -> Term {
        Term {
            id: self.us.to_owned(),
            abbr: self.abbr(terms).to_owned(),
            meaning: self.long(terms).to_owned(),
            other: self.abbr(other(terms)).to_owned(),
            other_meaning: self.long(other(terms)).to_owned(),
        }
    }

    fn bit(&self, voice: &Voice, plural: bool) -> Bit {
        let terms = voice.terms();
        let several = plural && !self.plural.0.is_empty();
        let (text, long) = if several { self.plural } else { (self.abbr(terms), self.long(terms)) };
        // Capitals name a yarn of the pattern's list, which is not spelled out.
        if voice.full() && COLOURS.contains(&self.us) {
            return Bit::Text(text.to_owned());
        }
        if voice.full() {
            return Bit::Text(long.to_owned());
        }
        Bit::Term {
            text: text.to_owned(),
            expansion: long.to_owned(),
            term: Box::new(self.term(terms)),
        }
    }
}

/// The other set of terms.
pub(super) fn other(terms: Terms) -> Terms {
    match terms {
        Terms::Us => Terms::Uk,
        Terms::Uk => Terms::Us,
    }
}

impl Voice<'_> {
    /// A word of the list, by its id, in the singular.
    pub fn word(&self, id: &str) -> Phrase {
        self.word_in(id, false)
    }

    /// A word of the list in the number asked for.
    pub fn word_in(&self, id: &str, plural: bool) -> Phrase {
        match WORDS.iter().find(|w| w.us == id) {
            Some(word) => Phrase::bit_of(word.bit(self, plural)),
            None => Phrase::of(id),
        }
    }

    /// The word of the list that a designer's own prose has here, under the terms it was
    /// written in. Capitals matter only to words that have them.
    pub fn known_word(&self, written: &str, terms: Terms) -> Option<Bit> {
        let low = written.to_ascii_lowercase();
        let is = |text: &str| {
            if text.bytes().any(|b| b.is_ascii_uppercase()) {
                text == written
            } else {
                !text.is_empty() && text == low
            }
        };
        WORDS.iter().find_map(|word| {
            // Everyday loops are not abbreviated anew.
            if is(word.abbr(terms)) {
                Some(word.bit(self, false))
            } else if is(word.plural.0) {
                Some(word.bit(self, true))
            } else {
                None
            }
        })
    }
}

/// The abbreviations used in these lines, each once, in the order of the alphabet.
pub fn terms_used(lines: &[Said]) -> Vec<Term> {
    let mut found: Vec<Term> = Vec::new();
    for line in lines {
        collect(&line.label, &mut found);
        collect(&line.body, &mut found);
        if let Some(count) = &line.count {
            collect(count, &mut found);
        }
    }
    found.sort_by_cached_key(|t| (t.abbr.to_lowercase(), t.id.clone()));
    found
}

fn collect(bits: &[Bit], found: &mut Vec<Term>) {
    for bit in bits {
        match bit {
            Bit::Term { term, .. } if !found.iter().any(|t| t.id == term.id) => {
                found.push((**term).clone())
            }
            Bit::Keep(inner) => collect(inner, found),
            _ => {}
        }
    }
}
