//! Instructions that run on over several lines of the text.
//!
//! A line goes on with the next where it is plainly unfinished (it ends in a comma, inside a
//! bracket, or in a word that cannot end a sentence), where the next begins in a small letter
//! and no stop stands between, or where the next is only the count. A line that bears a label
//! or a heading of its own never goes on another.

use super::claims;
use super::cursor::Cursor;
use super::key::{Key, Keys, keys};
use super::labels;
use super::lexer::Tok;
use super::notes;

/// Words that cannot end an instruction.
const OPEN: Keys = keys![
    "and",
    "in",
    "into",
    "next",
    "each",
    "every",
    "of",
    "from",
    "to",
    "rep",
    "repeat",
    "the",
    "last",
    "first",
    "same",
    "with",
    "then",
    "work",
    "working",
    "a",
    "an",
    "around",
    "over",
    "skip",
    "sk",
    "miss",
    "ch",
    "join",
    "until",
    "between",
    "through",
    "for",
    "as",
    "more",
    "counts",
    "not",
    "do",
    "remaining",
    "rem",
    "ending",
    "end",
    "changing",
    "or",
    "on",
    "at",
    "by",
];

/// Whether the line `c` stands on is finished only by the `next`.
pub(super) fn goes_on(c: &Cursor, next: &Cursor) -> bool {
    let (Some(last), Some(head)) = (c.tokens.get(c.end - 1), next.peek(0)) else { return false };
    let stopped =
        matches!(last.tok(), Tok::Sign(b'.' | b'!' | b'?' | b')' | b']' | b'}' | b'>' | b'"'));
    let small = next.text.as_bytes().get(head.start as usize).is_some_and(u8::is_ascii_lowercase);
    let bracket = matches!(head.tok(), Tok::Sign(b'(' | b'[' | b'<' | b'{'));
    let open = match last.tok() {
        Tok::Sign(b',' | b';') | Tok::Hyphen | Tok::Dash => true,
        Tok::Mark(_) => {
            let from = (c.end - c.pos).checked_sub(2).is_some_and(|i| c.is_at(i, keys!["from"]));
            from || !bracket && small
        }
        Tok::Word => last.is(OPEN) && (last.key() != Key::of("ch") || small),
        _ => false,
    };
    if !(open || bracket || small && !stopped || unclosed(c)) {
        return false;
    }
    if opens_anew(next) || !is_instruction(c) {
        return false;
    }
    if open || small || unclosed(c) {
        return true;
    }
    let mut look = next.clone();
    claims::bracketed(&mut look).is_some() && (look.eat_sign(b'.') || look.done())
}

/// Whether the line bears a label, a heading's colon, or begins a note.
fn opens_anew(c: &Cursor) -> bool {
    let colon = (1..7)
        .take_while(|i| {
            matches!(c.tok(*i), Some(Tok::Word | Tok::Hyphen | Tok::Num(_) | Tok::Sign(b':')))
        })
        .any(|i| c.tok(i) == Some(Tok::Sign(b':')));
    colon || notes::opens(c) || matches!(labels::label(&mut c.clone()), Ok(Some(_)))
}

/// Whether the line is one to be worked: labelled, or a chain or the like to begin with.
fn is_instruction(c: &Cursor) -> bool {
    let begins = c.is(keys![
        "ch", "chain", "with", "join", "make", "work", "rep", "repeat", "fasten", "sc", "hdc",
        "dc", "tr", "sl", "continue", "using", "seam", "turn", "in", "note",
    ]);
    let colon = (1..9).any(|i| c.tok(i) == Some(Tok::Sign(b':')));
    let numbered = matches!(c.tok(0), Some(Tok::Num(_)))
        && matches!(labels::label(&mut c.clone()), Ok(Some(_)));
    begins || numbered || colon || super::references::shape(c.key(0)).is_some()
}

/// Whether a bracket is left open at the end of the line.
fn unclosed(c: &Cursor) -> bool {
    let mut open = 0i32;
    for i in 0..c.end - c.pos {
        match c.tok(i) {
            Some(Tok::Sign(b'(' | b'[' | b'{')) => open += 1,
            Some(Tok::Sign(b')' | b']' | b'}')) => open -= 1,
            _ => {}
        }
    }
    open > 0
}
