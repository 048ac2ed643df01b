//! Labels: "Rnd 1:", "Rows 2–{cuff_rows}:", "Next 4 rnds:", "Edging rnd:", "Rnd 2 (12 sts):".

use super::claims;
use super::cursor::{Cursor, Read};
use super::key::{Key, keys};
use super::lexer::{Tok, Token};
use super::references::shape;
use super::steps;
use super::tree::*;

/// A label and what stands between it and the colon.
pub(super) struct Labelled {
    /// The label.
    pub label: Label,
    /// "(RS)".
    pub side: Option<Side>,
    /// "(12 sts)", "— 12 sts" before the body.
    pub claim: Option<Claim>,
    /// "(colour B)".
    pub colour: Option<String>,
    /// "(3 rnds)": how many it covers.
    pub courses: Option<(Number, Shape, At)>,
}

/// Whether a label stands at a token behind a finished sentence of the same line of text:
/// "Ch 13. Row 1: Sc in 2nd ch from hook".
#[inline]
pub(super) fn begins_anew(low: &str, tokens: &[Token], from: usize, at: usize) -> bool {
    let tok = |i: usize| tokens.get(i).map(|t| t.tok());
    let stop = match tok(at - 1) {
        Some(Tok::Sign(b'.')) => true,
        // "[child] Rnd 7:" bears one label.
        Some(Tok::Sign(b')' | b']')) => !matches!(tok(from), Some(Tok::Sign(b'(' | b'['))),
        _ => false,
    };
    let word = tokens.get(at).map_or(Key::NONE, |t| t.key());
    if !stop || shape(word).is_none() || word == const { Key::of("r") } {
        return false;
    }
    let numbered = matches!(tok(at + 1), Some(Tok::Num(_) | Tok::Hole));
    let part = |i: &usize| {
        matches!(tok(*i), Some(Tok::Num(_) | Tok::Hole | Tok::Hyphen | Tok::Sign(b',')))
            || tokens.get(*i).is_some_and(|t| low.get(t.span().range()) == Some("&"))
    };
    let behind = (at + 1..at + 9).find(|i| !part(i)).unwrap_or(at + 1);
    numbered && tok(behind) == Some(Tok::Sign(b':'))
}

/// The label at the cursor, if there is one; the cursor then stands behind its colon.
pub(super) fn label(c: &mut Cursor) -> Read<Option<Labelled>> {
    let from = c.pos;
    let Some((shape, which)) = which(c) else {
        c.pos = from;
        return Ok(None);
    };
    let at = c.since(from);
    let mut found = Labelled {
        label: Label { at, shape, which },
        side: None,
        claim: None,
        colour: None,
        courses: None,
    };
    loop {
        match c.tok(0) {
            Some(Tok::Sign(b':')) => {
                c.pos += 1;
                return Ok(Some(found));
            }
            Some(Tok::Sign(b'(' | b'[' | b'<' | b'{')) => {
                let Some(close) = c.closing() else {
                    return c.stop("syntax", "this bracket is never closed");
                };
                let mut inner = c.within(c.pos + 1, close);
                if let Some(side) = steps::side(&mut inner) {
                    found.side = Some(side);
                    c.pos = close + 1;
                } else if let Some((n, shape)) = steps::so_many(&mut c.within(c.pos + 1, close)) {
                    found.courses = Some((n, shape, c.since(from)));
                    c.pos = close + 1;
                } else if let Some(claim) = claims::bracketed(c) {
                    found.claim = Some(claim);
                } else if let Some(name) = colour(&mut c.within(c.pos + 1, close)) {
                    found.colour = Some(name);
                    c.pos = close + 1;
                } else if remark(&mut c.within(c.pos + 1, close))
                    && c.tok(close + 1 - c.pos) == Some(Tok::Sign(b':'))
                {
                    c.pos = close + 1;
                } else {
                    break;
                }
            }
            Some(Tok::Sign(b',')) => {
                c.pos += 1;
            }
            Some(Tok::Dash) => {
                c.pos += 1;
                let mut look = c.clone();
                match claims::bare(&mut look) {
                    Some(claim) if look.sign(b':') => {
                        found.claim = Some(claim);
                        c.pos = look.pos;
                    }
                    // "Row 4 - CC: …"
                    _ if c.tok(1) == Some(Tok::Sign(b':')) => {
                        match colour(&mut c.within(c.pos, c.pos + 1)) {
                            Some(name) => found.colour = Some(name),
                            None => break,
                        }
                        c.pos += 1;
                    }
                    _ => break,
                }
            }
            Some(Tok::Sign(b'.' | b')')) => {
                // "Rnd 1. 6 sc in ring": a stop in place of the colon.
                c.pos += 1;
                return Ok(Some(found));
            }
            Some(Tok::Word) if c.is(keys!["rs", "ws"]) => {
                found.side = Some(if c.is(keys!["rs"]) { Side::Right } else { Side::Wrong });
                c.pos += 1;
            }
            Some(Tok::Word) if c.is(keys!["only"]) => c.pos += 1,
            _ => break,
        }
    }
    // A dash alone may stand for the colon: "Rnd 1 - 6 sc in ring".
    if matches!(
        found.label.which,
        Which::One(_) | Which::Range(..) | Which::List(_) | Which::Onward(_)
    ) && !c.done()
    {
        return Ok(Some(found));
    }
    c.pos = from;
    Ok(None)
}

/// "(dec)", "(increase round)": what a round is called. "(Toddler only)" says more than that.
fn remark(c: &mut Cursor) -> bool {
    while c.tok(0) == Some(Tok::Word) && !c.is(keys!["only"]) {
        c.pos += 1;
    }
    c.done()
}

/// "(colour B)", "(MC)", "(with A)".
fn colour(c: &mut Cursor) -> Option<String> {
    c.eat(keys!["with", "in", "using"]);
    let named = c.eat(keys!["colour", "color", "yarn"]);
    let token = c.peek(0)?;
    let word = c.text.get(token.span().range())?;
    c.pos += 1;
    let short = word.len() == 1 || ["mc", "cc"].contains(&word.to_ascii_lowercase().as_str());
    let mut name = word.to_owned();
    if let Some(Tok::Num(n)) = c.tok(0) {
        c.pos += 1;
        name.push_str(&n.to_string());
    }
    (token.tok() == Tok::Word && (named || short) && c.done()).then_some(name)
}

fn which(c: &mut Cursor) -> Option<(Shape, Which)> {
    if c.is(keys!["next", "last", "following", "final"]) {
        let last = c.is(keys!["last", "final"]);
        c.pos += 1;
        let n = c.number();
        let found = shape(c.key(0)).filter(|_| !c.is(keys!["r"]))?;
        c.pos += 1;
        // "Last rnd of brim:" still names one round.
        let _ = last;
        return (c.sign(b':') || c.sign(b'(') || c.tok(0) == Some(Tok::Dash))
            .then_some((found, Which::Next(n.unwrap_or(Number::ONE))));
    }
    if let Some(found) = shape(c.key(0)) {
        let word = c.word(0);
        c.pos += 1;
        if word == "r" && !c.peek(0)?.glued && c.tok(0) != Some(Tok::Hole) {
            return None;
        }
        if c.sign(b'.') {
            c.pos += 1;
        }
        let first = c.number()?;
        return Some((found, numbers(c, first, word)));
    }
    // "1. 6 sc in ring", "4-5) Sc around": the word goes without saying.
    if is_bare_number(c)
        && let Some(first) = c.number()
    {
        return Some((Shape::Round, numbers(c, first, "r")));
    }
    // "1st rnd:", "2nd row:"
    if let Some(n) = c.ordinal() {
        let found = shape(c.key(0)).filter(|_| !c.is(keys!["r"]))?;
        c.pos += 1;
        let ends = c.sign(b':') || c.sign(b'(') && line_has_colon(c);
        return ends.then_some((found, Which::One(n)));
    }
    named(c)
}

/// Whether a line begins with a number and a stop, and goes on.
fn is_bare_number(c: &Cursor) -> bool {
    let mut look = c.clone();
    if !matches!(look.tok(0), Some(Tok::Num(_))) {
        return false;
    }
    look.pos += 1;
    if look.tok(0) == Some(Tok::Hyphen) && matches!(look.tok(1), Some(Tok::Num(_))) {
        look.pos += 2;
    }
    (look.eat_sign(b'.') || look.eat_sign(b')') || look.eat_sign(b':')) && !look.done()
}

/// "3", "3-9", "3 and 4", "3, 5 and 7", "3 to 9".
fn numbers(c: &mut Cursor, first: Number, word: &str) -> Which {
    let from = c.pos;
    let hyphen = c.tok(0) == Some(Tok::Hyphen)
        || c.tok(0) == Some(Tok::Dash)
        || c.is(keys!["to", "through", "thru"]);
    if hyphen {
        c.pos += 1;
        // "Rnds 3–Rnd 9", "R6–R8".
        if shape(c.key(0)).is_some() {
            c.pos += 1;
        }
        if let Some(last) = c.number() {
            // "Rnd 3 — 18 sts:" is a count; a range is plural or ends in a colon.
            let plural = word.ends_with('s') || word == "r";
            if plural || c.sign(b':') || c.sign(b'(') || c.sign(b'[') {
                return Which::Range(first, last);
            }
        }
        c.pos = from;
        return Which::One(first);
    }
    if onward(c) {
        return Which::Onward(first);
    }
    let mut look = c.clone();
    if every_other(&mut look) {
        c.pos = look.pos;
        return Which::EveryOther(first);
    }
    let mut list = vec![first];
    loop {
        let from = c.pos;
        let comma = c.eat_sign(b',');
        let and = c.eat(keys!["and"]) || c.eat_sign(b'&');
        if shape(c.key(0)).is_some() {
            c.pos += 1;
        }
        match c.number() {
            Some(n) if comma || and => list.push(n),
            _ => {
                c.pos = from;
                break;
            }
        }
    }
    match (list.len(), list.pop()) {
        (1, Some(n)) => Which::One(n),
        (_, Some(n)) => {
            list.push(n);
            Which::List(list)
        }
        (_, None) => Which::List(list),
    }
}

/// "onwards", "and up", "and onward" behind the first number of a label.
fn onward(c: &mut Cursor) -> bool {
    let from = c.pos;
    let and = c.eat(keys!["and"]);
    let on =
        c.eat(keys!["onward", "onwards", "on", "upwards"]) || and && c.eat(keys!["up", "beyond"]);
    if on && (c.sign(b':') || c.sign(b'.') || c.sign(b'(')) {
        return true;
    }
    c.pos = from;
    false
}

/// "and all even-numbered rows", "and every other rnd", "and every foll alt row", "(and all WS
/// rows)" behind the first number of a label.
fn every_other(c: &mut Cursor) -> bool {
    let bracket = c.eat_sign(b'(');
    c.eat_sign(b',');
    if !c.eat(keys!["and"]) && !c.eat_sign(b'&') {
        return false;
    }
    if !c.eat(keys!["all", "every", "each"]) {
        return false;
    }
    c.eat(keys!["other"]);
    c.eat(keys!["following", "foll", "subsequent", "remaining", "rem"]);
    c.eat(keys!["other", "alternate", "alt", "even", "odd", "ws", "rs", "wrong", "right"]);
    if c.tok(0) == Some(Tok::Hyphen) {
        c.pos += 1;
    }
    c.eat(keys!["numbered", "side"]);
    if shape(c.key(0)).is_none() {
        return false;
    }
    c.pos += 1;
    c.eat(keys!["thereafter", "after", "following"]);
    !bracket || c.eat_sign(b')')
}

/// "Edging rnd:", "Border round:", "Joining row:", "Set-up row:", "Foundation row:".
fn named(c: &mut Cursor) -> Option<(Shape, Which)> {
    let from = c.pos;
    let mut n = 0;
    while n < 4 && matches!(c.tok(n), Some(Tok::Word | Tok::Hyphen)) && shape(c.key(n)).is_none() {
        n += 1;
    }
    let found = shape(c.key(n)).filter(|_| n > 0 && !c.is_at(n, keys!["r"]));
    if let Some(found) = found {
        c.pos += n;
        let name = c.words_since(from);
        c.pos += 1;
        let ends =
            c.sign(b':') || ((c.sign(b'(') || c.tok(0) == Some(Tok::Dash)) && line_has_colon(c));
        let instruction =
            ["work", "rep", "repeat", "sc", "ch", "as", "same", "join", "turn", "on", "for", "of"];
        if ends
            && !instruction.iter().any(|w| name.to_ascii_lowercase().split(' ').any(|x| x == *w))
        {
            return Some((found, Which::Named(name)));
        }
        return None;
    }
    None
}

fn line_has_colon(c: &Cursor) -> bool {
    (0..12).any(|i| c.tok(i) == Some(Tok::Sign(b':')))
}
