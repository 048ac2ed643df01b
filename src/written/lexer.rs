//! Text into tokens. Words are compared in lower case; places are kept as bytes.

use super::key::{Key, Keys, Marks, Sieve};
use crate::diag::Span;

/// What a token is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tok {
    /// Letters, with digits inside (`sc2tog`) and apostrophes.
    Word,
    /// Digits.
    Num(u64),
    /// `2nd`, `3rd`, `15th`.
    Ordinal(u64),
    /// `{expression}`.
    Hole,
    /// `*`, `**`, `†`: which mark (stars, or 100 and more for daggers).
    Mark(u8),
    /// A hyphen between two glued tokens, or an en dash.
    Hyphen,
    /// A dash that stands apart: ` — `, ` – `, ` - `.
    Dash,
    /// Any other single sign.
    Sign(u8),
}

/// One token. Kept small, since a long text has hundreds of thousands.
#[derive(Clone, Copy, Debug)]
pub(super) struct Token {
    /// The key of a word; of a number or ordinal, how much; of a mark or sign, which.
    held: u64,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
    sort: Sort,
    /// Whether no blank stands before it.
    pub glued: bool,
    /// The marks of a word's key.
    marks: Marks,
}

/// Which [`Tok`] a token is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    Word,
    Num,
    Ordinal,
    Hole,
    Mark,
    Hyphen,
    Dash,
    Sign,
}

impl Token {
    fn new(tok: Tok, word: Key, start: usize, end: usize, glued: bool) -> Token {
        let (sort, held) = match tok {
            Tok::Word => (Sort::Word, word.number()),
            Tok::Num(n) => (Sort::Num, n),
            Tok::Ordinal(n) => (Sort::Ordinal, n),
            Tok::Hole => (Sort::Hole, 0),
            Tok::Mark(mark) => (Sort::Mark, u64::from(mark)),
            Tok::Hyphen => (Sort::Hyphen, 0),
            Tok::Dash => (Sort::Dash, 0),
            Tok::Sign(sign) => (Sort::Sign, u64::from(sign)),
        };
        let marks = word.marks();
        Token { held, start: start as u32, end: end as u32, sort, glued, marks }
    }

    /// What it is.
    #[inline(always)]
    pub fn tok(self) -> Tok {
        match self.sort {
            Sort::Word => Tok::Word,
            Sort::Num => Tok::Num(self.held),
            Sort::Ordinal => Tok::Ordinal(self.held),
            Sort::Hole => Tok::Hole,
            Sort::Mark => Tok::Mark(self.held as u8),
            Sort::Hyphen => Tok::Hyphen,
            Sort::Dash => Tok::Dash,
            Sort::Sign => Tok::Sign(self.held as u8),
        }
    }

    /// The word it is; none if it is no word.
    #[inline(always)]
    pub fn key(self) -> Key {
        if self.sort == Sort::Word { Key::of_number(self.held) } else { Key::NONE }
    }

    /// Whether it is one of these words.
    #[inline(always)]
    pub fn is(&self, words: Keys) -> bool {
        self.may_be(words.sieve())
            && self.sort == Sort::Word
            && words.lists(Key::of_number(self.held))
    }

    /// Whether it may be one of a sieve's words.
    #[inline(always)]
    pub fn may_be(&self, words: Sieve) -> bool {
        words.lets_pass(self.marks)
    }

    /// Its bytes.
    pub fn span(self) -> Span {
        Span { start: self.start, end: self.end }
    }
}

/// Cuts `text[start..end]` into tokens, added to `out`. Offsets are those of `text`.
/// `low` is the same text in lower case (ASCII only, so that bytes agree).
pub(super) fn lex(text: &str, low: &str, start: usize, end: usize, out: &mut Vec<Token>) {
    let bytes = low.as_bytes().get(..end).unwrap_or(low.as_bytes());
    let mut i = start;
    let mut blank = true;
    let mut push = |tok: Tok, from: usize, to: usize, glued: bool| {
        let key = match tok {
            Tok::Word => match bytes.get(from..to).unwrap_or_default() {
                b"&" => const { Key::of("and") },
                word => Key::of_bytes(word),
            },
            _ => Key::NONE,
        };
        out.push(Token::new(tok, key, from, to, glued));
    };
    while let Some(&b) = bytes.get(i) {
        let glued = !blank;
        blank = false;
        match b {
            b' ' | b'\t' | b'\r' | b'\n' => {
                blank = true;
                i += 1;
            }
            b'0'..=b'9' => {
                let (tok, next) = match decimal(bytes, i) {
                    // "5.5 mm": no number of stitches.
                    Some(next) => (Tok::Word, next),
                    None => number(bytes, i),
                };
                push(tok, i, next, glued);
                i = next;
            }
            b'a'..=b'z' => {
                let mut next = word(bytes, i);
                // "w/": with.
                if b == b'w' && next == i + 1 && bytes.get(next) == Some(&b'/') {
                    next += 1;
                }
                push(Tok::Word, i, next, glued);
                i = next;
            }
            b'{' => {
                let close = bytes.get(i..).unwrap_or_default().iter().position(|c| *c == b'}');
                match close.filter(|n| is_hole(text.get(i + 1..i + n).unwrap_or_default())) {
                    Some(n) => {
                        push(Tok::Hole, i, i + n + 1, glued);
                        i += n + 1;
                    }
                    None => {
                        push(Tok::Sign(b'{'), i, i + 1, glued);
                        i += 1;
                    }
                }
            }
            b'*' => {
                let n =
                    bytes.get(i..).unwrap_or_default().iter().take_while(|c| **c == b'*').count();
                push(Tok::Mark(n.min(99) as u8), i, i + n, glued);
                i += n;
            }
            b'-' => {
                let tight = glued && bytes.get(i + 1).is_some_and(|c| !c.is_ascii_whitespace());
                let loose = !tight && i + 1 < bytes.len();
                push(if loose { Tok::Dash } else { Tok::Hyphen }, i, i + 1, glued);
                i += 1;
            }
            0x80.. => {
                let c = text.get(i..).and_then(|s| s.chars().next()).unwrap_or('\u{fffd}');
                let next = i + c.len_utf8();
                match c {
                    '\u{a0}' | '\u{2009}' | '\u{202f}' | '\u{feff}' | '\u{200b}' => blank = true,
                    '–' | '—' | '−' | '‑' => {
                        let tight = glued
                            && text
                                .get(next..)
                                .and_then(|s| s.chars().next())
                                .is_some_and(|c| !c.is_whitespace());
                        push(if tight { Tok::Hyphen } else { Tok::Dash }, i, next, glued);
                    }
                    '†' | '‡' => {
                        push(Tok::Mark(if c == '†' { 101 } else { 102 }), i, next, glued)
                    }
                    '×' => push(Tok::Sign(b'x'), i, next, glued),
                    '’' | '‘' | '“' | '”' => push(Tok::Sign(b'"'), i, next, glued),
                    '…' => push(Tok::Sign(b'.'), i, next, glued),
                    c if c.is_alphabetic() => push(Tok::Word, i, next, glued),
                    _ => push(Tok::Sign(b'?'), i, next, glued),
                }
                i = next;
            }
            // "&": and.
            b'&' => {
                push(Tok::Word, i, i + 1, glued);
                i += 1;
            }
            other => {
                push(Tok::Sign(other), i, i + 1, glued);
                i += 1;
            }
        }
    }
}

/// Braces hold a claim, as `{36 sts}`, when a number and plain words are all there is.
fn is_hole(inside: &str) -> bool {
    let inside = inside.trim();
    let rest = inside.trim_start_matches(|c: char| c.is_ascii_digit());
    let claim = rest.len() < inside.len()
        && rest.starts_with(' ')
        && rest.bytes().all(|b| b.is_ascii_alphanumeric() || b" ,-&.".contains(&b))
        && !rest.trim_start().starts_with('-')
        && rest.bytes().any(|b| b.is_ascii_alphabetic());
    !inside.is_empty() && !claim && inside.len() < 400
}

/// Where a decimal number ends, if one begins here: digits on both sides of a point.
fn decimal(bytes: &[u8], start: usize) -> Option<usize> {
    let digits = |from: usize| {
        bytes.get(from..).unwrap_or_default().iter().take_while(|b| b.is_ascii_digit()).count()
    };
    let point = start + digits(start);
    let after = digits(point + 1);
    (bytes.get(point) == Some(&b'.') && after > 0).then_some(point + 1 + after)
}

/// A number or an ordinal. Numbers too large to hold are held at the largest.
fn number(bytes: &[u8], start: usize) -> (Tok, usize) {
    let mut i = start;
    let mut n: u64 = 0;
    while let Some(d) = bytes.get(i).filter(|b| b.is_ascii_digit()) {
        n = n.saturating_mul(10).saturating_add(u64::from(d - b'0'));
        i += 1;
    }
    let suffix = bytes.get(i..i + 2).unwrap_or_default();
    let after = bytes.get(i + 2).is_some_and(u8::is_ascii_alphanumeric);
    match suffix {
        b"st" | b"nd" | b"rd" | b"th" if !after => (Tok::Ordinal(n), i + 2),
        _ => (Tok::Num(n), i),
    }
}

/// A word ends before trailing digits ("ch3", "R12", "x6"), but holds inner ones ("sc2tog").
fn word(bytes: &[u8], start: usize) -> usize {
    let mut i = start;
    let mut letters_end = start;
    while let Some(b) = bytes.get(i) {
        match b {
            b'a'..=b'z' => {
                i += 1;
                letters_end = i;
            }
            b'0'..=b'9' => i += 1,
            b'\'' if bytes.get(i + 1).is_some_and(|c| c.is_ascii_lowercase()) => i += 1,
            _ => break,
        }
    }
    letters_end
}
