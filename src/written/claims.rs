//! Claims: "(36 sts)", "[24 sc, 12 ch-1 sps]", "— 36 sc", "you now have 16 sts".

use super::cursor::Cursor;
use super::key::{Keys, keys};
use super::lexer::Tok;
use super::nouns;
use super::places::STITCH;
use super::references::shape;
use super::tree::{Claim, ClaimItem, Kind, PlaceKind, Unit};
use super::words::{self, Name};

/// Words that may stand between and behind the numbers of a claim.
const AROUND: Keys = keys![
    "after",
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
    bracketed_with_chain(c).map(|(claim, _)| claim)
}

/// A claim in brackets, and what chain it counts in: `None` where it says none, the inner `None`
/// where it counts as a stitch of any kind.
pub(super) fn bracketed_with_chain(c: &mut Cursor) -> Option<(Claim, Option<Option<Kind>>)> {
    let from = c.pos;
    let close = c.closing()?;
    let mut inner = c.within(from + 1, close);
    let claim = items(&mut inner)?;
    let counted = counted_in(&inner);
    if !inner.done() && counted.is_none() {
        return None;
    }
    c.pos = close + 1;
    Some((Claim { at: c.since(from), items: claim }, counted))
}

/// ", counting beg ch-3 as dc", ", turning ch included" behind a number: what a chain counts as
/// is said with the claim. The inner `None`: as a stitch of any kind.
pub(super) fn counted_in(c: &Cursor) -> Option<Option<Kind>> {
    let mut look = c.clone();
    look.eat_sign(b',');
    look.eat_sign(b';');
    if !look.eat(keys!["counting", "including", "incl", "includes", "counts"]) {
        return None;
    }
    look.eat(keys!["the", "first", "skipped"]);
    look.number();
    let chain = nouns::turning_chain(&mut look).is_some()
        || look.eat(keys!["beg", "turning", "skipped", "beginning"])
            && look.eat(keys!["ch", "chs"])
        || look.eat(keys!["ch", "chs", "chain"]);
    if !chain {
        return None;
    }
    look.eat(keys!["as", "for"]);
    look.eat(keys!["a", "one", "first"]);
    look.number();
    let kind = match words::stitch(&mut look) {
        Ok(Some(Name::One(kind))) => Some(kind),
        _ => None,
    };
    look.eat(keys!["st", "stitch"]);
    look.done().then_some(kind)
}

/// A claim without brackets, up to the end of the sentence.
pub(super) fn bare(c: &mut Cursor) -> Option<Claim> {
    let from = c.pos;
    let mut look = c.clone();
    look.eat(keys!["total"]);
    if look.eat(STITCH) {
        look.eat(keys!["count", "total"]);
    }
    if !(look.pos > from && look.eat_sign(b':')) {
        look.pos = from;
    }
    let first = look.pos;
    // Where no number comes, the sentence need not be followed to its end.
    lead_in(&mut look, true);
    look.number()?;
    look.pos = first;
    let mut end = look.pos;
    while !look.done()
        && !matches!(look.tok(0), Some(Tok::Sign(b'.' | b';' | b':' | b'(' | b'[' | b'<')))
    {
        look.pos += 1;
        end = look.pos;
    }
    let mut inner = c.within(first, end);
    let found = items(&mut inner);
    match found {
        Some(items) if inner.done() || inner.is(keys!["turn", "join"]) || inner.sign(b',') => {
            c.pos = inner.pos;
            Some(Claim { at: c.since(from), items })
        }
        _ => None,
    }
}

fn items(c: &mut Cursor) -> Option<Vec<ClaimItem>> {
    let mut found: Vec<ClaimItem> = Vec::new();
    loop {
        lead_in(c, found.is_empty());
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
        if found.is_empty() {
            found.reserve_exact(1);
        }
        found.push(ClaimItem { at: c.since(from), count, unit });
        around(c);
        let mark = c.pos;
        if c.eat_sign(b',')
            || c.eat_sign(b'/')
            || c.eat_sign(b'+')
            || c.eat_sign(b'&')
            || c.eat_sign(b';')
        {
            if !c.is(AROUND)
                && c.peek(0).is_none_or(|t| !matches!(t.tok(), Tok::Num(_) | Tok::Hole | Tok::Word))
            {
                c.pos = mark;
                break;
            }
            let mut look = c.clone();
            around(&mut look);
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

/// Passes what may stand before a number of a claim, of which it may be the `first`.
fn lead_in(c: &mut Cursor, first: bool) {
    around(c);
    while c.sign(b'=') || c.sign(b'~') || (c.sign(b':') && first) {
        c.pos += 1;
        around(c);
    }
}

/// Passes the words around a number; a row or round named among them is no count: "after Rnd 9".
fn around(c: &mut Cursor) {
    loop {
        let named = shape(c.key(0)).is_some() && matches!(c.tok(1), Some(Tok::Num(_) | Tok::Hole));
        if named {
            c.pos += 2;
        } else if c.is(AROUND) {
            c.pos += 1;
        } else {
            return;
        }
    }
}

fn unit(c: &mut Cursor) -> Option<Unit> {
    let from = c.pos;
    c.eat(keys!["total", "beg", "complete", "working", "unworked"]);
    // "12 reverse sc", "24 sc": a stitch; "8 V-sts": a group.
    if let Ok(Some(name)) = words::stitch(c) {
        return Some(match name {
            Name::One(kind) => Unit::Kind(kind),
            Name::Many(..) => return None,
            Name::Group(i) => Unit::Special(i),
        });
    }
    // "8 V-sts" where none is defined.
    c.pos = from;
    if c.is(keys!["v"]) && c.tok(1) == Some(Tok::Hyphen) && c.is_at(2, STITCH) {
        c.pos += 3;
        return Some(Unit::Vees);
    }
    c.eat(keys!["total", "corner"]);
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
