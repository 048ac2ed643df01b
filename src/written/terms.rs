//! Which set of names a text uses, where nobody said.

use super::key::{Key, Keys, keys};
use super::lexer::{Tok, Token};
use super::tree::Terms;

/// Weighs the words that only one of the two sets has. Stitch names weigh most; spelling
/// least. Where nothing tells, US.
pub(super) fn detect(low: &str, tokens: &[Token]) -> Terms {
    let mut uk: i64 = 0;
    for (i, token) in tokens.iter().enumerate() {
        if token.tok() == Tok::Word && tells(low, token) {
            uk += weight(low, tokens, i, token.key());
        }
    }
    if uk > 0 { Terms::Uk } else { Terms::Us }
}

/// Whether a word can tell anything: most cannot, and are told from the others at once.
fn tells(low: &str, token: &Token) -> bool {
    let words = keys![
        "sc", "single", "fpdc", "bpdc", "fphdc", "bphdc", "esc", "fsc", "dc", "tr", "ch", "us",
        "american", "uk", "british", "htr", "rtrf", "rtrb", "rdtrf", "rdtrb", "skip", "sk", "miss",
        "ss", "yrh", "tension", "colour", "centre", "gauge", "color", "center",
    ];
    let start = token.start as usize;
    token.may_be(words)
        || matches!(low.as_bytes().get(start..start + 3), Some(b"hdc" | b"htr"))
        || matches!(low.as_bytes().get(start..start + 2), Some(b"sc"))
}

/// What the word at token `i` says for UK terms; less than nothing where it says US.
fn weight(low: &str, tokens: &[Token], i: usize, word: Key) -> i64 {
    let is = |words: Keys| words.contains(word);
    let next = |n: usize, words: Keys| tokens.get(i + n).is_some_and(|t| t.is(words));
    // A stitch named into the second or fourth chain shows its height.
    let into = |n: u64| next(1, keys!["in"]) && nth(tokens, i + 2) == Some(n);
    if is(keys!["sc", "single", "fpdc", "bpdc", "fphdc", "bphdc", "esc", "fsc"]) {
        return -20;
    }
    if is(keys!["dc"]) {
        return if into(2) {
            10
        } else if into(4) {
            -10
        } else {
            0
        };
    }
    if is(keys!["tr"]) {
        return if into(4) { 10 } else { 0 };
    }
    if is(keys!["ch"]) {
        if tokens.get(i + 1).is_none_or(|t| t.tok() != Tok::Num(3))
            || !(next(3, keys!["counts"]) && next(4, keys!["as"]))
        {
            return 0;
        }
        let stitch = if next(5, keys!["first"]) { 6 } else { 5 };
        return if next(stitch, keys!["tr"]) {
            10
        } else if next(stitch, keys!["dc"]) {
            -10
        } else {
            0
        };
    }
    if is(keys!["us", "american"]) && next(1, keys!["terms", "crochet"]) {
        return -1000;
    }
    if is(keys!["uk", "british"]) && next(1, keys!["terms", "crochet"]) {
        return 1000;
    }
    if is(keys!["htr", "rtrf", "rtrb", "rdtrf", "rdtrb"]) {
        return 20;
    }
    if is(keys!["skip", "sk"]) {
        return -5;
    }
    if is(keys!["miss", "ss", "yrh"]) {
        return 5;
    }
    if is(keys!["tension", "colour", "centre"]) {
        return 1;
    }
    if is(keys!["gauge", "color", "center"]) {
        return -1;
    }
    let word = tokens.get(i).and_then(|t| low.get(t.span().range())).unwrap_or("");
    match word.as_bytes() {
        [b's', b'c', .., b't', b'o', b'g'] | [b'h', b'd', b'c', ..] => -20,
        [b'h', b't', b'r', .., b't', b'o', b'g'] => 20,
        _ => 0,
    }
}

fn nth(tokens: &[Token], i: usize) -> Option<u64> {
    match tokens.get(i)?.tok() {
        Tok::Ordinal(n) => Some(n),
        _ => None,
    }
}
