//! Which set of names a text uses, where nobody said.

use super::key::{Keys, Sieve, keys};
use super::lexer::{Tok, Token};
use super::tree::Terms;

/// Weighs the words that only one of the two sets has. Stitch names weigh most; spelling
/// least. Where nothing tells, US.
pub(super) fn detect(low: &str, tokens: &[Token]) -> Terms {
    let mut uk: i64 = 0;
    for (i, token) in tokens.iter().enumerate() {
        if token.tok() == Tok::Word {
            uk += weight(low, tokens, i, token);
        }
    }
    if uk > 0 { Terms::Uk } else { Terms::Us }
}

/// The stitches that only one of the two sets has.
const US_STITCHES: Keys = keys!["sc", "single", "fpdc", "bpdc", "fphdc", "bphdc", "esc", "fsc"];
const UK_STITCHES: Keys = keys!["htr", "rtrf", "rtrb", "rdtrf", "rdtrb"];

/// The stitches that both have, told by their height.
const HEIGHTS: Keys = keys!["dc", "tr", "ch"];

/// "US terms", "British crochet".
const US_NAMES: Keys = keys!["us", "american"];
const UK_NAMES: Keys = keys!["uk", "british"];

const US_VERBS: Keys = keys!["skip", "sk"];
const UK_VERBS: Keys = keys!["miss", "ss", "yrh"];

const US_SPELLINGS: Keys = keys!["gauge", "color", "center"];
const UK_SPELLINGS: Keys = keys!["tension", "colour", "centre"];

/// Any word that tells something by itself.
const TELLING: Sieve = Sieve::of(&[
    US_STITCHES,
    UK_STITCHES,
    HEIGHTS,
    US_NAMES,
    UK_NAMES,
    US_VERBS,
    UK_VERBS,
    US_SPELLINGS,
    UK_SPELLINGS,
]);

/// What the word at token `i` says for UK terms; less than nothing where it says US.
fn weight(low: &str, tokens: &[Token], i: usize, token: &Token) -> i64 {
    let start = token.start as usize;
    let head = low.as_bytes().get(start..start + 3).unwrap_or_default();
    if matches!(head, b"hdc" | b"htr") || head.starts_with(b"sc") {
        match low.as_bytes().get(token.span().range()).unwrap_or_default() {
            [b's', b'c', .., b't', b'o', b'g'] | [b'h', b'd', b'c', ..] => return -20,
            [b'h', b't', b'r', .., b't', b'o', b'g'] => return 20,
            _ => {}
        }
    }
    // Most words tell nothing.
    if !token.may_be(TELLING) {
        return 0;
    }
    let next = |n: usize, words: Keys| tokens.get(i + n).is_some_and(|t| t.is(words));
    let certain = [(US_STITCHES, -20), (UK_STITCHES, 20), (US_VERBS, -5), (UK_VERBS, 5)];
    let spelt = [(US_SPELLINGS, -1), (UK_SPELLINGS, 1)];
    if let Some((_, weight)) = certain.iter().chain(&spelt).find(|(words, _)| token.is(*words)) {
        return *weight;
    }
    if next(1, keys!["terms", "crochet"]) {
        return match (token.is(US_NAMES), token.is(UK_NAMES)) {
            (true, _) => -1000,
            (_, true) => 1000,
            _ => 0,
        };
    }
    by_height(tokens, i, token)
}

/// What "dc in 2nd ch" and "ch 3 (counts as tr)" say: a stitch is as high as its chain.
fn by_height(tokens: &[Token], i: usize, token: &Token) -> i64 {
    let next = |n: usize, words: Keys| tokens.get(i + n).is_some_and(|t| t.is(words));
    let into = next(1, keys!["in"]).then(|| nth(tokens, i + 2)).flatten();
    if token.is(keys!["dc"]) {
        return match into {
            Some(2) => 10,
            Some(4) => -10,
            _ => 0,
        };
    }
    if token.is(keys!["tr"]) {
        return if into == Some(4) { 10 } else { 0 };
    }
    let three = tokens.get(i + 1).is_some_and(|t| t.tok() == Tok::Num(3));
    if !token.is(keys!["ch"]) || !three || !next(3, keys!["counts"]) || !next(4, keys!["as"]) {
        return 0;
    }
    let stitch = if next(5, keys!["first"]) { 6 } else { 5 };
    i64::from(next(stitch, keys!["tr"])) * 10 - i64::from(next(stitch, keys!["dc"])) * 10
}

fn nth(tokens: &[Token], i: usize) -> Option<u64> {
    match tokens.get(i)?.tok() {
        Tok::Ordinal(n) => Some(n),
        _ => None,
    }
}

#[cfg(test)]
#[allow(clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::written::lexer::lex;

    fn terms(text: &str) -> Terms {
        let mut tokens = Vec::new();
        lex(text, text, 0, text.len(), &mut tokens);
        detect(text, &tokens)
    }

    /// Beside a word of the weakest kind from the other side, each word still tells.
    #[test]
    fn every_word_tells() {
        for word in ["sc", "single", "fpdc", "esc", "sc2tog", "hdc", "hdc3tog", "skip", "sk"] {
            assert_eq!(terms(&format!("colour centre {word}")), Terms::Us, "{word}");
        }
        for word in ["htr", "rtrf", "rdtrb", "htr2tog", "miss", "ss", "yrh"] {
            assert_eq!(terms(&format!("color center {word}")), Terms::Uk, "{word}");
        }
        for word in ["tension", "colour", "centre", "british crochet", "uk terms"] {
            assert_eq!(terms(word), Terms::Uk, "{word}");
        }
        assert_eq!(terms("colour us terms"), Terms::Us);
        assert_eq!(terms("color color dc in 2nd ch"), Terms::Uk);
        assert_eq!(terms("colour colour dc in 4th ch"), Terms::Us);
        assert_eq!(terms("color tr in 4th ch"), Terms::Uk);
        assert_eq!(terms("color ch 3 (counts as first tr)"), Terms::Uk);
        assert_eq!(terms("colour ch 3 (counts as dc)"), Terms::Us);
    }
}
