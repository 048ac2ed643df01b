//! Claims: "(36 sts)", "[24 sc, 12 ch-1 sps]", "— 36 sc", "you now have 16 sts".

use super::cursor::Cursor;
use super::lexer::Tok;
use super::nouns;
use super::tree::{Claim, ClaimItem, PlaceKind, Unit};
use super::words::{self, Name};

/// Words that may stand between and behind the numbers of a claim.
const AROUND: &[&str] = &[
    "will",
    "total",
    "in",
    "made",
    "rem",
    "remain",
    "remaining",
    "left",
    "worked",
    "all",
    "and",
    "counting",
    "including",
    "incl",
    "each",
    "side",
    "now",
    "have",
    "you",
    "on",
    "the",
    "at",
    "end",
    "of",
    "row",
    "rnd",
    "round",
    "around",
    "across",
    "should",
    "be",
    "there",
    "are",
    "count",
    "increased",
    "decreased",
    "for",
    "this",
    "inc",
    "a",
    "plus",
];

/// A claim in brackets, if the bracket at the cursor holds nothing else.
pub(super) fn bracketed(c: &mut Cursor) -> Option<Claim> {
    let from = c.pos;
    let close = c.closing()?;
    let mut inner = c.within(from + 1, close);
    let claim = items(&mut inner)?;
    if !inner.done() {
        return None;
    }
    c.pos = close + 1;
    Some(Claim { at: c.since(from), items: claim })
}

/// A claim without brackets, up to the end of the sentence. `unit` says that a unit must be
/// named, since a bare number there would mean something else.
pub(super) fn bare(c: &mut Cursor) -> Option<Claim> {
    let from = c.pos;
    let mut look = c.clone();
    if look.is(&["total"]) && look.tok(1) == Some(Tok::Sign(b':')) {
        look.pos += 2;
    }
    let mut end = look.pos;
    while !look.done()
        && !matches!(look.tok(0), Some(Tok::Sign(b'.' | b';' | b':' | b'(' | b'[' | b'<')))
    {
        look.pos += 1;
        end = look.pos;
    }
    let mut inner = c.within(from, end);
    let found = items(&mut inner);
    match found {
        Some(items) if inner.done() || inner.is(&["turn", "join"]) || inner.sign(b',') => {
            c.pos = inner.pos;
            Some(Claim { at: c.since(from), items })
        }
        _ => None,
    }
}

fn items(c: &mut Cursor) -> Option<Vec<ClaimItem>> {
    let mut found: Vec<ClaimItem> = Vec::new();
    loop {
        while c.is(AROUND) || c.sign(b'=') || c.sign(b'~') || (c.sign(b':') && found.is_empty()) {
            c.pos += 1;
        }
        let from = c.pos;
        let Some(count) = c.number() else { break };
        // A hyphen behind the number means "5-sc corner" or a range: no claim.
        if c.tok(0) == Some(Tok::Hyphen) {
            c.pos = from;
            return None;
        }
        let unit = match unit(c) {
            Some(unit) => unit,
            None if found.is_empty() && (c.done() || c.is(AROUND)) => Unit::Stitches,
            None => return None,
        };
        found.push(ClaimItem { at: c.since(from), count, unit });
        while c.is(AROUND) {
            c.pos += 1;
        }
        let mark = c.pos;
        if c.eat_sign(b',')
            || c.eat_sign(b'/')
            || c.eat_sign(b'+')
            || c.eat_sign(b'&')
            || c.eat_sign(b';')
        {
            if !c.is(AROUND)
                && c.peek(0).is_none_or(|t| !matches!(t.tok, Tok::Num(_) | Tok::Hole | Tok::Word))
            {
                c.pos = mark;
                break;
            }
            let mut look = c.clone();
            while look.is(AROUND) {
                look.pos += 1;
            }
            if look.number().is_none() {
                c.pos = mark;
                break;
            }
        }
    }
    while c.is(AROUND) || c.eat_sign(b'.') {
        if c.is(AROUND) {
            c.pos += 1;
        }
    }
    (!found.is_empty()).then_some(found)
}

fn unit(c: &mut Cursor) -> Option<Unit> {
    let from = c.pos;
    c.eat(&["total", "beg", "complete", "working", "unworked"]);
    // "12 reverse sc", "24 sc": a stitch; "8 V-sts": a group.
    if let Ok(Some(name)) = words::stitch(c) {
        return Some(match name {
            Name::One(kind) => Unit::Kind(kind),
            Name::Many(..) => return None,
            Name::Group(i) => Unit::Special(i),
        });
    }
    c.pos = from;
    c.eat(&["total", "corner"]);
    match nouns::noun(c).ok()?? {
        PlaceKind::Stitch => Some(Unit::Stitches),
        PlaceKind::ChainSpace(n) => Some(Unit::ChainSpaces(n)),
        PlaceKind::Chain => Some(Unit::Chains),
        PlaceKind::Fan { .. } => Some(Unit::Fans),
        _ => {
            c.pos = from;
            None
        }
    }
}
