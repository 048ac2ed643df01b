//! The reader's hand: tokens of one line, and where in them we are.

use super::key::{Key, Keys, Sieve, keys};
use super::lexer::{Tok, Token};
use super::tree::{At, Hole, Kind, Number, Special, Terms};
use crate::diag::Span;

/// What stops the reading of a line.
#[derive(Clone, Debug)]
pub(super) struct Stop {
    /// The stable code.
    pub code: &'static str,
    /// The words it is about.
    pub span: Span,
    /// What is wrong.
    pub message: String,
    /// What would mend it.
    pub help: Option<String>,
}

/// The outcome of reading a form that was begun.
pub(super) type Read<T> = Result<T, Box<Stop>>;

/// A position in the tokens of one line.
#[derive(Clone)]
pub(super) struct Cursor<'a> {
    /// The text as written.
    pub text: &'a str,
    /// The same in lower case.
    pub low: &'a str,
    /// The line's tokens.
    pub tokens: &'a [Token],
    /// The next token.
    pub pos: usize,
    /// One past the last token to be read here.
    pub end: usize,
    /// The names stitches are read under.
    pub terms: Terms,
    /// The special stitches known so far.
    pub specials: &'a [Special],
    /// How many brackets are open.
    pub depth: usize,
}

impl<'a> Cursor<'a> {
    /// The token `n` further on.
    pub fn peek(&self, n: usize) -> Option<Token> {
        if self.pos + n < self.end { self.tokens.get(self.pos + n).copied() } else { None }
    }

    /// What the token `n` further on is.
    pub fn tok(&self, n: usize) -> Option<Tok> {
        self.peek(n).map(|t| t.tok())
    }

    /// Whether all is read.
    pub fn done(&self) -> bool {
        self.pos >= self.end
    }

    /// The key of the word `n` further on.
    #[inline(always)]
    pub fn key(&self, n: usize) -> Key {
        match self.tokens.get(self.pos + n) {
            Some(t) if self.pos + n < self.end => t.key(),
            _ => Key::NONE,
        }
    }

    /// The word `n` further on, in lower case; empty if it is no word.
    #[inline]
    pub fn word(&self, n: usize) -> &'a str {
        match self.peek(n) {
            Some(t) if t.tok() == Tok::Word => {
                match self.low.get(t.start as usize..t.end as usize).unwrap_or("") {
                    "&" => "and",
                    word => word,
                }
            }
            _ => "",
        }
    }

    /// Whether the word `n` further on is one of these. Inlined, since where it is asked the
    /// words are known.
    #[inline(always)]
    pub fn is_at(&self, n: usize, words: Keys) -> bool {
        match self.tokens.get(self.pos + n) {
            Some(t) if self.pos + n < self.end => t.is(words),
            _ => false,
        }
    }

    /// Whether the next word may be one of a sieve's.
    #[inline(always)]
    pub fn may_be(&self, words: Sieve) -> bool {
        self.pos < self.end && self.tokens.get(self.pos).is_some_and(|t| t.may_be(words))
    }

    /// Whether one of these stands among the next `n` words and signs.
    pub fn near(&self, n: usize, words: Keys) -> bool {
        let tokens = self.tokens.get(self.pos..self.end.min(self.pos + n)).unwrap_or_default();
        tokens.iter().any(|t| t.is(words))
    }

    /// Whether the next word is one of these.
    #[inline(always)]
    pub fn is(&self, words: Keys) -> bool {
        self.is_at(0, words)
    }

    /// Passes the next word if it is one of these.
    #[inline(always)]
    pub fn eat(&mut self, words: Keys) -> bool {
        let hit = self.is(words);
        if hit {
            self.pos += 1;
        }
        hit
    }

    /// Passes these words if they come next, in this order ("fasten off").
    #[inline(always)]
    pub fn eat_all(&mut self, phrase: Keys) -> bool {
        let hit = self.sees(phrase);
        if hit {
            self.pos += phrase.list().len();
        }
        hit
    }

    /// Whether these words come next, in this order.
    #[inline(always)]
    pub fn sees(&self, phrase: Keys) -> bool {
        phrase.list().iter().enumerate().all(|(i, w)| self.key(i) == *w)
    }

    /// Whether the sign comes next.
    pub fn sign(&self, sign: u8) -> bool {
        self.tok(0) == Some(Tok::Sign(sign))
    }

    /// Passes the sign if it comes next.
    pub fn eat_sign(&mut self, sign: u8) -> bool {
        let hit = self.sign(sign);
        if hit {
            self.pos += 1;
        }
        hit
    }

    /// Whether a sign that parts instructions comes next, or nothing.
    pub fn at_break(&self) -> bool {
        match self.tok(0) {
            None | Some(Tok::Dash) => true,
            Some(Tok::Sign(s)) => b",;.:)]}>(".contains(&s),
            _ => false,
        }
    }

    /// The words from token `from` up to here.
    pub fn since(&self, from: usize) -> At {
        let start = self.tokens.get(from).map_or(0, |t| t.start);
        let end = self
            .pos
            .checked_sub(1)
            .filter(|p| *p >= from)
            .and_then(|p| self.tokens.get(p))
            .map_or(start, |t| t.end);
        At(Span { start, end: end.max(start) })
    }

    /// The words from token `from` up to here, as written.
    pub fn words_since(&self, from: usize) -> String {
        self.text.get(self.since(from).0.range()).unwrap_or("").to_owned()
    }

    /// The next token's place; the end of the line if there is none.
    pub fn here(&self) -> Span {
        match self.peek(0) {
            Some(t) => t.span(),
            None => {
                self.tokens.get(self.end.saturating_sub(1)).map_or(Span::default(), |t| t.span())
            }
        }
    }

    /// A stop at the next token.
    pub fn stop<T>(&self, code: &'static str, message: impl Into<String>) -> Read<T> {
        self.stop_at(self.here(), code, message)
    }

    /// A stop at these words.
    pub fn stop_at<T>(
        &self,
        span: Span,
        code: &'static str,
        message: impl Into<String>,
    ) -> Read<T> {
        Err(Box::new(Stop { code, span, message: message.into(), help: None }))
    }

    /// A number if one comes next: digits, a hole, or a number word.
    pub fn number(&mut self) -> Option<Number> {
        let token = self.peek(0)?;
        let number = match token.tok() {
            Tok::Num(n) => Number::Plain(n),
            Tok::Hole => {
                let inside =
                    self.text.get(token.start as usize + 1..token.end as usize - 1).unwrap_or("");
                let inside = inside.trim();
                match inside.parse() {
                    Ok(n) => Number::Plain(n),
                    Err(_) => Number::Hole(Box::new(Hole {
                        text: inside.to_owned(),
                        at: At(token.span()),
                    })),
                }
            }
            Tok::Word if !token.may_be(NUMBER_WORDS) => return None,
            Tok::Word => {
                if let Some(tens) = tens_word(self.key(0)) {
                    let unit = match self.tok(1) {
                        Some(Tok::Hyphen) => number_word(self.key(2)).filter(|n| *n < 10),
                        _ => None,
                    };
                    self.pos += if unit.is_some() { 3 } else { 1 };
                    return Some(Number::Plain(tens + unit.unwrap_or(0)));
                }
                Number::Plain(number_word(self.key(0))?)
            }
            _ => return None,
        };
        self.pos += 1;
        Some(number)
    }

    /// An ordinal if one comes next: "2nd", "second", "{n}th".
    pub fn ordinal(&mut self) -> Option<Number> {
        let n = match self.tok(0)? {
            Tok::Ordinal(n) => n,
            Tok::Word => ordinal_word(self.key(0))?,
            Tok::Hole
                if self.peek(1).is_some_and(|t| t.glued)
                    && self.is_at(1, keys!["th", "nd", "rd", "st"]) =>
            {
                let number = self.number()?;
                self.pos += 1;
                return Some(number);
            }
            _ => return None,
        };
        self.pos += 1;
        Some(Number::Plain(n))
    }

    /// Whether an ordinal comes next.
    pub fn ordinal_ahead(&self) -> bool {
        self.clone().ordinal().is_some()
    }

    /// The token that closes the bracket at the cursor, counted over nested brackets.
    pub fn closing(&self) -> Option<usize> {
        // The kinds of the open brackets, three bits each, the innermost lowest. There is room
        // for 42, far more than may nest; one whose bits were pushed out is closed by any kind.
        let mut kinds: u128 = 0;
        let mut depth = 0usize;
        let tokens = self.tokens.get(self.pos..self.end)?;
        for (i, token) in tokens.iter().enumerate() {
            let Tok::Sign(sign) = token.tok() else { continue };
            let (opens, kind) = match sign {
                b'(' => (true, 1),
                b'[' => (true, 2),
                b'{' => (true, 3),
                b'<' => (true, 4),
                b')' => (false, 1),
                b']' => (false, 2),
                b'}' => (false, 3),
                b'>' => (false, 4),
                _ => continue,
            };
            if opens {
                kinds = kinds << 3 | kind;
                depth += 1;
                continue;
            }
            let last = kinds & 7;
            if depth == 0 || last != kind && last != 0 {
                return None;
            }
            kinds >>= 3;
            depth -= 1;
            if depth == 0 {
                return Some(self.pos + i);
            }
        }
        None
    }

    /// A cursor over the tokens `from..to` of the same line.
    pub fn within(&self, from: usize, to: usize) -> Cursor<'a> {
        Cursor { pos: from, end: to.min(self.end), depth: self.depth + 1, ..self.clone() }
    }
}

/// "one" … "twenty".
const ONES: Keys = keys![
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
];

/// "twenty" … "ninety".
const TENS: Keys =
    keys!["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

/// What a number in words may begin with.
const NUMBER_WORDS: Sieve = Sieve::of(&[ONES, TENS]);

/// "one" … "twenty".
pub(super) fn number_word(word: Key) -> Option<u64> {
    word.place_in(ONES).map(|i| i as u64 + 1)
}

/// "twenty" … "ninety".
fn tens_word(word: Key) -> Option<u64> {
    word.place_in(TENS).map(|i| 10 * (i as u64 + 2))
}

/// "first" … "tenth".
fn ordinal_word(word: Key) -> Option<u64> {
    let words = keys![
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth",
    ];
    word.place_in(words).map(|i| i as u64 + 1)
}

/// "once", "twice", "thrice".
pub(super) fn times_word(word: Key) -> Option<u64> {
    word.place_in(keys!["once", "twice", "thrice"]).map(|i| i as u64 + 1)
}

/// Stands for the stitch of an "inc" or "dec" until the line's own stitch is known.
pub(super) const PLAIN_STITCH: Kind = Kind::plain(super::tree::Base::Special(u8::MAX));
