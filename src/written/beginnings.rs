//! How a piece or row begins: chains, rings, chains passed over from the hook.

use super::brackets::counts_behind;
use super::cursor::{Cursor, Read};
use super::key::keys;
use super::lexer::Tok;
use super::places;
use super::tree::*;

/// A chain: "ch 3", "chain 24", "24 ch", with what is said of its counting.
pub(super) fn chain(c: &mut Cursor) -> Read<Option<Chain>> {
    let numbered = !matches!(c.tok(0), Some(Tok::Word));
    if !numbered
        && !c.is(keys!["make", "work", "a", "ch", "chain"])
        && super::cursor::number_word(c.key(0)).is_none()
    {
        return Ok(None);
    }
    let from = c.pos;
    c.eat(keys!["make", "work"]);
    c.eat(keys!["a"]);
    let count = if c.eat(keys!["ch", "chain"]) {
        c.eat(keys!["of"]);
        if c.tok(0) == Some(Tok::Hyphen) {
            c.pos += 1;
        }
        match c.number() {
            Some(n) => n,
            // "sc, ch, sc": one chain.
            None if c.at_break() || c.is(keys!["and"]) => Number::ONE,
            None => {
                c.pos = from;
                return Ok(None);
            }
        }
    } else if let Some(n) = c.number() {
        c.eat(keys!["foundation"]);
        if !c.eat(keys!["ch", "chs", "chain", "chains"])
            || c.is(keys!["sp", "sps", "space", "spaces", "lp", "lps"])
            || c.tok(0) == Some(Tok::Hyphen)
        {
            c.pos = from;
            return Ok(None);
        }
        n
    } else {
        c.pos = from;
        return Ok(None);
    };
    if c.is(keys!["sp", "sps", "space", "lp"]) {
        c.pos = from;
        return Ok(None);
    }
    let count = and_for_turning(c, count);
    c.eat(keys!["more", "loosely"]);
    // "make a chain of 22 sts"
    c.eat(keys!["st", "sts", "stitches"]);
    let counts = counts_behind(c)?;
    Ok(Some(Chain { count, counts }))
}

/// "ch 18 + 3 for turning", "ch 20 (plus 1 for turning ch)": the chains are made in one.
fn and_for_turning(c: &mut Cursor, count: Number) -> Number {
    let mut look = c.clone();
    let bracket = look.eat_sign(b'(');
    let plus = look.eat_sign(b'+') || look.eat(keys!["plus"]);
    let and = !plus && look.eat(keys!["and"]);
    let Some(more) = (plus || and).then(|| look.number()).flatten() else { return count };
    let extra = look.eat(keys!["more", "extra"]);
    look.eat(keys!["turning"]);
    let chain = look.eat(keys!["ch", "chs", "chain", "chains"]);
    let turning = look.is(keys!["for", "to"]);
    if turning {
        places::until_break(&mut look);
    }
    let closed = !bracket || look.eat_sign(b')');
    if !closed || !(turning || extra || chain && plus || plus && look.at_break()) {
        return count;
    }
    c.pos = look.pos;
    match (count, more) {
        (Number::Plain(a), Number::Plain(b)) => Number::Plain(a.saturating_add(b)),
        (a, b) => {
            let words = |n: &Number| match n {
                Number::Plain(n) => n.to_string(),
                Number::Hole(hole) => format!("({})", hole.text),
            };
            let at = [&a, &b].into_iter().find_map(|n| match n {
                Number::Hole(hole) => Some(hole.at),
                Number::Plain(_) => None,
            });
            let text = format!("{} + {}", words(&a), words(&b));
            Number::Hole(Box::new(Hole { text, at: at.unwrap_or_default() }))
        }
    }
}

/// "beginning in 2nd ch from hook": the chains before it are passed over.
pub(super) fn from_hook(c: &mut Cursor) -> Read<Option<Act>> {
    if !c.is(keys!["beginning", "starting", "begin", "start"]) {
        return Ok(None);
    }
    let from = c.pos;
    c.pos += 1;
    c.eat(keys!["in", "with", "at"]);
    c.eat(keys!["the"]);
    let start = c.pos;
    if let Some(Number::Plain(n)) = c.ordinal()
        && n > 1
        && c.eat(keys!["ch", "chain"])
        && (c.eat_all(keys!["from", "hook"]) || c.eat_all(keys!["from", "the", "hook"]))
    {
        let place = PlaceKind::Chain;
        let reach = Reach::Next(Number::Plain(n - 1));
        return Ok(Some(Act::Skip(Target {
            reach,
            place,
            at: c.since(start),
            ..Target::next(Number::ONE)
        })));
    }
    c.pos = from;
    Ok(None)
}

/// "magic ring", "MR".
pub(super) fn ring(c: &mut Cursor) -> bool {
    if c.eat(keys!["mr"]) {
        return true;
    }
    let of = c.is(keys!["magic", "adjustable", "sliding"])
        && c.is_at(1, keys!["ring", "circle", "loop"]);
    if of || c.sees(keys!["slip", "ring"]) {
        c.pos += 2;
        c.eat(keys!["method", "technique"]);
        return true;
    }
    false
}

/// "make a magic ring", "start with a MR".
pub(super) fn made_ring(c: &mut Cursor) -> bool {
    let from = c.pos;
    let place = c.is(keys!["into", "in", "work"]);
    c.pos += 1;
    c.eat(keys!["with", "in", "by", "into"]);
    c.eat(keys!["making"]);
    c.eat(keys!["a", "an", "the"]);
    // "into a magic ring work 6 sc" names a place for what follows.
    if ring(c) && (!place || c.at_break()) {
        return true;
    }
    c.pos = from;
    false
}
