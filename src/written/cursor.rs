//! The reader's hand: tokens of one line, and where in them we are.

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
        self.peek(n).map(|t| t.tok)
    }

    /// Whether all is read.
    pub fn done(&self) -> bool {
        self.pos >= self.end
    }

    /// The word `n` further on, in lower case; empty if it is no word.
    #[inline]
    pub fn word(&self, n: usize) -> &'a str {
        match self.peek(n) {
            Some(t) if t.tok == Tok::Word => {
                match self.low.get(t.start as usize..t.end as usize).unwrap_or("") {
                    "&" => "and",
                    word => word,
                }
            }
            _ => "",
        }
    }

    /// Whether the word `n` further on is one of these. Set in where it is asked: there the
    /// words are known, and most are ruled out by their length without being looked at.
    #[inline(always)]
    pub fn is_at(&self, n: usize, words: &[&str]) -> bool {
        let word = self.word(n);
        !word.is_empty() && words.contains(&word)
    }

    /// Whether the next word is one of these.
    #[inline(always)]
    pub fn is(&self, words: &[&str]) -> bool {
        self.is_at(0, words)
    }

    /// Passes the next word if it is one of these.
    #[inline(always)]
    pub fn eat(&mut self, words: &[&str]) -> bool {
        let hit = self.is(words);
        if hit {
            self.pos += 1;
        }
        hit
    }

    /// Passes these words if they come next, in this order ("fasten off").
    #[inline(always)]
    pub fn eat_all(&mut self, phrase: &[&str]) -> bool {
        let hit = self.sees(phrase);
        if hit {
            self.pos += phrase.len();
        }
        hit
    }

    /// Whether these words come next, in this order.
    #[inline(always)]
    pub fn sees(&self, phrase: &[&str]) -> bool {
        phrase.iter().enumerate().all(|(i, w)| self.word(i) == *w)
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
        let number = match token.tok {
            Tok::Num(n) => Number::Plain(n),
            Tok::Hole => {
                let inside =
                    self.text.get(token.start as usize + 1..token.end as usize - 1).unwrap_or("");
                let inside = inside.trim();
                match inside.parse() {
                    Ok(n) => Number::Plain(n),
                    Err(_) => Number::Hole(Hole { text: inside.to_owned(), at: At(token.span()) }),
                }
            }
            Tok::Word => {
                if let Some(tens) = tens_word(self.word(0)) {
                    let unit = match self.tok(1) {
                        Some(Tok::Hyphen) => number_word(self.word(2)).filter(|n| *n < 10),
                        _ => None,
                    };
                    self.pos += if unit.is_some() { 3 } else { 1 };
                    return Some(Number::Plain(tens + unit.unwrap_or(0)));
                }
                Number::Plain(number_word(self.word(0))?)
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
            Tok::Word => ordinal_word(self.word(0))?,
            Tok::Hole
                if self.peek(1).is_some_and(|t| t.glued)
                    && self.is_at(1, &["th", "nd", "rd", "st"]) =>
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
        let mut open: Vec<u8> = Vec::new();
        for i in self.pos..self.end {
            if let Some(Token { tok: Tok::Sign(s), .. }) = self.tokens.get(i) {
                match *s {
                    b'(' => open.push(b')'),
                    b'[' => open.push(b']'),
                    b'{' => open.push(b'}'),
                    b'<' => open.push(b'>'),
                    b')' | b']' | b'}' | b'>' => {
                        if open.pop() != Some(*s) {
                            return None;
                        }
                        if open.is_empty() {
                            return Some(i);
                        }
                    }
                    _ => {}
                }
            }
        }
        None
    }

    /// A cursor over the tokens `from..to` of the same line.
    pub fn within(&self, from: usize, to: usize) -> Cursor<'a> {
        Cursor { pos: from, end: to.min(self.end), depth: self.depth + 1, ..self.clone() }
    }
}

/// "one" … "twenty", "a".
pub(super) fn number_word(word: &str) -> Option<u64> {
    const WORDS: [&str; 20] = [
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
    // Most words are ruled out by their first letter.
    if !word.starts_with(['o', 't', 'f', 's', 'e', 'n']) {
        return None;
    }
    WORDS.iter().position(|w| *w == word).map(|i| i as u64 + 1)
}

/// "twenty" … "ninety".
fn tens_word(word: &str) -> Option<u64> {
    const WORDS: [&str; 8] =
        ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];
    if !word.ends_with("ty") {
        return None;
    }
    WORDS.iter().position(|w| *w == word).map(|i| 10 * (i as u64 + 2))
}

/// "first" … "tenth".
fn ordinal_word(word: &str) -> Option<u64> {
    const WORDS: [&str; 10] = [
        "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth",
        "tenth",
    ];
    WORDS.iter().position(|w| *w == word).map(|i| i as u64 + 1)
}

/// "once", "twice", "thrice".
pub(super) fn times_word(word: &str) -> Option<u64> {
    ["once", "twice", "thrice"].iter().position(|w| *w == word).map(|i| i as u64 + 1)
}

/// Stands for the stitch of an "inc" or "dec" until the line's own stitch is known.
pub(super) const PLAIN_STITCH: Kind = Kind::plain(super::tree::Base::Special(u8::MAX));
