//! What is said of words that cannot be read.

use super::cursor::{Cursor, Read};
use super::key::keys;
use super::lexer::Tok;
use super::places::{self, STITCH};

pub(super) fn unclosed<T>(c: &Cursor) -> Read<T> {
    c.stop("syntax", "this bracket is never closed, or closed by another kind").map_err(|mut s| {
        s.help = Some("close every bracket with its own kind, the inner one first".to_owned());
        s
    })
}

/// A word that is no part of the language.
pub(super) fn unknown<T>(c: &Cursor) -> Read<T> {
    let mut plain = c.clone();
    let verb = plain.eat(keys!["work", "make"]);
    if plain.eat(keys!["a", "an", "one"]) || verb {
        let mut look = plain.clone();
        look.number();
        look.pos += 1;
        if plain.tok(0) != Some(Tok::Dash) && look.is(keys!["in", "into", "around"]) {
            return unknown(&plain);
        }
    }
    let vee = usize::from(matches!(c.tok(0), Some(Tok::Num(_))));
    if c.is_at(vee, keys!["v"]) && c.tok(vee + 1) == Some(Tok::Hyphen) && c.is_at(vee + 2, STITCH) {
        let span = c.here().to(c.peek(vee + 2).map_or(c.here(), |t| t.span()));
        let message = "no V-st is defined here, and patterns differ in what they call so";
        return c.stop_at(span, "unknown-stitch", message).map_err(|mut s| {
            s.help = Some("define it, “V-st: (dc, ch 1, dc) in st indicated”".to_owned());
            s
        });
    }
    let span = c.here();
    let word = c.text.get(span.range()).unwrap_or("").to_owned();
    let stitch_like = {
        let mut look = c.clone();
        if matches!(look.tok(0), Some(Tok::Num(_))) {
            look.pos += 1;
        }
        let is_word = look.tok(0) == Some(Tok::Word) && look.word(0).len() > 1;
        let digit = look.word(0).bytes().any(|b| b.is_ascii_digit());
        look.pos += 1;
        is_word
            && (digit
                || look.at_break()
                || look.is(keys!["in", "into", "around", "next", "blo", "flo", "over", "twice"])
                || matches!(look.tok(0), Some(Tok::Num(_) | Tok::Hole))
                || (look.tok(0) == Some(Tok::Hyphen)
                    && look.is_at(1, keys!["st", "sts", "stitch"])))
    };
    if stitch_like {
        let mut look = c.clone();
        if matches!(look.tok(0), Some(Tok::Num(_))) {
            look.pos += 1;
        }
        let span = look.here();
        let mut end = span;
        if look.tok(1) == Some(Tok::Hyphen) && look.tok(2) == Some(Tok::Word) {
            end = look.peek(2).map_or(span, |t| t.span());
        }
        let word = c.text.get(span.to(end).range()).unwrap_or("").to_owned();
        return c
            .stop_at(
                span.to(end),
                "unknown-stitch",
                format!("“{word}” is no stitch of the standard list, and it is not defined"),
            )
            .map_err(|mut s| {
                s.help = Some(format!("define it (“{word}: …”), or use a known stitch"));
                s
            });
    }
    let rest = {
        let mut look = c.clone();
        places::until_break(&mut look);
        look.words_since(c.pos)
    };
    let what = if rest.is_empty() { word } else { rest };
    c.stop("syntax", format!("“{what}” cannot be read as an instruction")).map_err(|mut s| {
        s.help =
            Some("put it in the terms of the written language, or move it to a note".to_owned());
        s
    })
}
