//! The designer's own words, in the terms and length asked for and for the hand.
//!
//! Prose stays as it is but for stitch names and abbreviations, the few everyday words that
//! differ between the two sets of terms, and directions across the work.

use super::Hand;
use super::phrase::Phrase;
use super::voice::Voice;
use crate::written::tree::{At, Base, Form, Hole, Kind, Number, Post, Terms};
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// Everyday words: US, UK.
const EVERYDAY: [(&str, &str); 9] = [
    ("skip", "miss"),
    ("skipped", "missed"),
    ("skipping", "missing"),
    ("color", "colour"),
    ("colors", "colours"),
    ("center", "centre"),
    ("gauge", "tension"),
    ("gray", "grey"),
    ("sk", "miss"),
];

/// Directions that are exchanged for the left hand.
const DIRECTIONS: [(&str, &str); 8] = [
    ("from left to right", "from right to left"),
    ("left-hand", "right-hand"),
    ("left to right", "right to left"),
    ("to the left", "to the right"),
    ("at left", "at right"),
    ("on the left", "on the right"),
    ("counterclockwise", "clockwise"),
    ("anticlockwise", "clockwise"),
];

/// Abbreviations and long names of stitches, in lower case, under each set of terms; and
/// whether the name is a plural.
type Names = BTreeMap<String, (Kind, bool)>;

static US: LazyLock<Names> = LazyLock::new(|| names(Terms::Us));
static UK: LazyLock<Names> = LazyLock::new(|| names(Terms::Uk));

fn names(terms: Terms) -> Names {
    let mut all = Names::new();
    let bases = [Base::SlSt, Base::Sc, Base::Hdc, Base::Dc, Base::Tr, Base::Dtr, Base::Trtr];
    let posts = [Post::No, Post::Front, Post::Back];
    let forms = [Form::Plain, Form::Extended, Form::Foundation, Form::Reverse];
    for base in bases {
        for post in posts {
            for form in forms {
                for together in 1..=6 {
                    let kind = Kind { base, post, form, together };
                    if base == Base::SlSt && kind != Kind::SL_ST {
                        continue;
                    }
                    all.entry(kind.name(terms, &[])).or_insert((kind, false));
                    let long = kind.long_name(terms, &[]);
                    let plural =
                        if base == Base::SlSt { format!("{long}es") } else { format!("{long}s") };
                    all.entry(plural).or_insert((kind, true));
                    all.entry(long).or_insert((kind, false));
                }
            }
        }
    }
    all.insert("sl sts".to_owned(), (Kind::SL_ST, true));
    all
}

impl Voice<'_> {
    /// Words as the designer wrote them.
    pub fn free(&self, words: &str) -> Phrase {
        let turned = match self.style.hand {
            Hand::Right => words.to_owned(),
            Hand::Left => exchange(words),
        };
        let mut phrase = Phrase::default();
        let mut rest = turned.as_str();
        let mut in_word = false;
        while let Some(first) = rest.chars().next() {
            if let Some((number, after)) = hole(rest) {
                phrase = phrase.glue_phrase(self.amount(&number).phrase());
                rest = after;
                in_word = true;
                continue;
            }
            if !in_word
                && first.is_alphanumeric()
                && let Some((length, said)) = self.known(rest, follows_several(&turned, rest))
            {
                phrase = phrase.glue_phrase(said);
                rest = rest.get(length..).unwrap_or("");
                in_word = true;
                continue;
            }
            in_word = first.is_alphanumeric();
            let (head, tail) = rest.split_at(first.len_utf8());
            phrase = phrase.glue(head);
            rest = tail;
        }
        phrase
    }

    /// The longest name or abbreviation that stands at the start of `text`, with its bytes.
    fn known(&self, text: &str, several: bool) -> Option<(usize, Phrase)> {
        let from = self.piece.terms;
        let ends: Vec<usize> = word_ends(text).take(6).collect();
        for (i, special) in self.piece.specials.iter().enumerate() {
            for name in [&special.name, &special.abbr] {
                if !name.is_empty()
                    && text.get(..name.len()).is_some_and(|t| t.eq_ignore_ascii_case(name))
                {
                    let boundary =
                        text.get(name.len()..)?.chars().next().is_none_or(|c| !c.is_alphanumeric());
                    if boundary {
                        return Some((name.len(), self.special(i, several)));
                    }
                }
            }
        }
        let table = if from == Terms::Us { &US } else { &UK };
        for end in ends.iter().rev() {
            let written = text.get(..*end)?;
            if let Some((kind, plural)) = table.get(&written.to_ascii_lowercase()) {
                return Some((*end, self.cased(self.kind(*kind, *plural || several), written)));
            }
        }
        let end = *ends.first()?;
        let written = text.get(..end)?;
        if let Some(bit) = self.known_word(written, from) {
            let said = Phrase::bit_of(bit);
            // "RS" is no word that begins a sentence.
            let all = written.bytes().all(|b| b.is_ascii_uppercase());
            return Some((end, if all { said } else { self.cased(said, written) }));
        }
        if from == self.terms() {
            return None;
        }
        let low = written.to_ascii_lowercase();
        let (_, said) = EVERYDAY
            .iter()
            .map(|(us, uk)| if from == Terms::Us { (*us, *uk) } else { (*uk, *us) })
            .find(|(there, _)| *there == low)?;
        Some((end, self.cased(Phrase::of(said), written)))
    }

    /// The phrase with a capital if the words it stands for had one.
    fn cased(&self, phrase: Phrase, written: &str) -> Phrase {
        let capital = written.chars().next().is_some_and(char::is_uppercase);
        let mut bits = phrase.into_bits();
        if capital {
            super::bits::capitalise(&mut bits);
        }
        bits.into_iter().fold(Phrase::default(), |all, bit| all.glue_phrase(Phrase::bit_of(bit)))
    }
}

/// A graded number at the start of the text, and what follows it.
fn hole(text: &str) -> Option<(Number, &str)> {
    let (inside, after) = text.strip_prefix('{')?.split_once('}')?;
    let text = inside.trim().to_owned();
    Some((Number::Hole(Box::new(Hole { text, at: At::default() })), after))
}

/// Whether a number other than one stands before the rest of the text: "5 dc".
fn follows_several(text: &str, rest: &str) -> bool {
    let before = text.strip_suffix(rest).unwrap_or("").strip_suffix(' ').unwrap_or("");
    let number = before.rsplit(|c: char| !c.is_ascii_digit()).next().unwrap_or("");
    (!number.is_empty() && number != "1") || before.ends_with('}')
}

/// Where the words at the start of `text` end: after one word, after two…
fn word_ends(text: &str) -> impl Iterator<Item = usize> {
    let mut ends = Vec::new();
    let mut last_word = false;
    for (i, c) in text.char_indices() {
        let word = c.is_alphanumeric();
        if last_word && !word {
            ends.push(i);
        }
        if !word && c != ' ' && c != '-' {
            return ends.into_iter();
        }
        last_word = word;
    }
    if last_word {
        ends.push(text.len());
    }
    ends.into_iter()
}

/// Directions exchanged for the other hand.
fn exchange(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    let mut rest = words;
    while let Some(first) = rest.chars().next() {
        let hit = DIRECTIONS.iter().find_map(|(a, b)| {
            let at =
                |text: &str| rest.get(..text.len()).is_some_and(|t| t.eq_ignore_ascii_case(text));
            if at(a) {
                Some((a.len(), *b))
            } else if at(b) {
                Some((b.len(), *a))
            } else {
                None
            }
        });
        let (length, said) = match hit {
            Some((length, said)) => (length, said.to_owned()),
            None => (first.len_utf8(), first.to_string()),
        };
        out.push_str(&said);
        rest = rest.get(length..).unwrap_or("");
    }
    out
}
