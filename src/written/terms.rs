//! Which set of names a text uses, where nobody said.

use super::lexer::{Tok, Token};
use super::tree::Terms;

/// Weighs the words that only one of the two sets has. Stitch names weigh most; spelling
/// least. Where nothing tells, US.
pub(super) fn detect(low: &str, tokens: &[Token]) -> Terms {
    let mut uk: i64 = 0;
    let word = |i: usize| match tokens.get(i) {
        Some(t) if t.tok == Tok::Word => low.get(t.span().range()).unwrap_or(""),
        _ => "",
    };
    for (i, token) in tokens.iter().enumerate() {
        if token.tok != Tok::Word {
            continue;
        }
        uk += match word(i) {
            "us" | "american" if word(i + 1) == "terms" || word(i + 1) == "crochet" => -1000,
            "uk" | "british" if word(i + 1) == "terms" || word(i + 1) == "crochet" => 1000,
            "sc" | "hdc" | "fpdc" | "bpdc" | "fphdc" | "bphdc" | "esc" | "fsc" | "single" => -20,
            "htr" | "rtrf" | "rtrb" | "rdtrf" | "rdtrb" => 20,
            w if w.starts_with("sc") && w.ends_with("tog") => -20,
            w if w.starts_with("hdc") => -20,
            w if w.starts_with("htr") && w.ends_with("tog") => 20,
            "skip" | "sk" => -5,
            "miss" | "ss" | "yrh" => 5,
            "tension" | "colour" | "centre" => 1,
            "gauge" | "color" | "center" => -1,
            // A stitch named "dc" into the second chain is the short one.
            "dc" if word(i + 1) == "in" && nth(tokens, i + 2) == Some(2) => 10,
            "dc" if word(i + 1) == "in" && nth(tokens, i + 2) == Some(4) => -10,
            "tr" if word(i + 1) == "in" && nth(tokens, i + 2) == Some(4) => 10,
            "ch" if tokens.get(i + 1).is_some_and(|t| t.tok == Tok::Num(3)) => {
                match (word(i + 3), word(i + 4), word(i + 5), word(i + 6)) {
                    ("counts", "as", "tr", _) | ("counts", "as", "first", "tr") => 10,
                    ("counts", "as", "dc", _) | ("counts", "as", "first", "dc") => -10,
                    _ => 0,
                }
            }
            _ => 0,
        };
    }
    if uk > 0 { Terms::Uk } else { Terms::Us }
}

fn nth(tokens: &[Token], i: usize) -> Option<u64> {
    match tokens.get(i)?.tok {
        Tok::Ordinal(n) => Some(n),
        _ => None,
    }
}
