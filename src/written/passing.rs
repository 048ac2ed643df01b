//! What is passed over, passed by, or left: "skip next 2 sts", "leave remaining 6 sts unworked".

use super::acts::walked;
use super::cursor::{Cursor, Read};
use super::key::keys;
use super::nouns;
use super::places;
use super::steps::{Acts, Run};
use super::tree::*;
use super::words;
use smallvec::smallvec;

/// "skip next 2 sts", "skip first st", "skipping ch-2".
pub(super) fn skip(c: &mut Cursor) -> Read<Option<Acts>> {
    let from = c.pos;
    c.pos += 1;
    c.eat(keys!["over"]);
    let found = places::places(c)?;
    let mut targets = found.targets;
    if targets.is_empty() {
        let mark = c.pos;
        let number = c.number();
        match nouns::noun(c)? {
            Some(place) => targets.push(Target {
                reach: Reach::Next(number.unwrap_or(Number::ONE)),
                place,
                at: c.since(mark),
                ..Target::next(Number::ONE)
            }),
            None => match number {
                Some(n) => targets.push(Target::next(n)),
                None => {
                    c.pos = from + 1;
                    return c.stop(
                        "syntax",
                        "skip what? Write “skip next 2 sts” or “skip next ch-1 sp”",
                    );
                }
            },
        }
    }
    // "skip next sc behind fptr": the stitch hidden by the one just made.
    if c.is(keys!["behind", "under", "hidden"])
        || c.is(keys!["in"]) && c.is_at(1, keys!["back", "front"])
    {
        places::until_break(c);
    }
    // "skipping ch-2" behind a join, "skip joining sl st": nothing is passed over.
    let nothing = targets
        .iter()
        .all(|t| matches!(t.place, PlaceKind::TurningChain(_) | PlaceKind::Named(Kind::SL_ST)));
    if nothing {
        places::until_break(c);
        return Ok(Some(smallvec![Act::Remark(c.words_since(from))]));
    }
    Ok(Some(targets.into_iter().map(Act::Skip).collect()))
}

/// "in front of dc just made", "behind the ch-1", "over ch-1 sp": where the hook passes. What
/// follows without a comma is worked.
pub(super) fn passes_by(c: &mut Cursor) -> bool {
    let from = c.pos;
    let over = c.eat_all(keys!["in", "front", "of"])
        || c.eat_all(keys!["in", "back", "of"])
        || c.eat(keys!["behind", "over", "around"]);
    if !over {
        return false;
    }
    c.eat(keys!["the", "last", "previous"]);
    c.number();
    let named = matches!(nouns::noun(c), Ok(Some(_)));
    c.eat(keys!["just"]);
    c.eat(keys!["made", "worked"]);
    let mut look = c.clone();
    look.number();
    let goes_on = matches!(words::stitch(&mut look), Ok(Some(_)));
    if named && goes_on {
        return true;
    }
    c.pos = from;
    false
}

/// "leave remaining 6 sts unworked"; "leaving a long tail" is a remark.
pub(super) fn leave(c: &mut Cursor, out: &mut Run) -> Read<Acts> {
    let from = c.pos;
    c.pos += 1;
    c.eat(keys!["the"]);
    c.eat(keys!["all", "any", "these", "those", "them"]);
    c.eat(keys!["the"]);
    c.eat(keys!["remaining", "rem", "last", "rest", "next", "final", "other"]);
    c.eat(keys!["of"]);
    c.eat(keys!["the"]);
    let count = c.number();
    c.eat(keys!["of"]);
    c.eat(keys!["row", "rnd", "round"]);
    nouns::noun(c)?;
    if c.sign(b'(')
        && let Some(close) = c.closing()
    {
        c.pos = close + 1;
    }
    c.eat(keys!["of"]);
    c.eat(keys!["row", "rnd", "round"]);
    if c.eat(keys!["unworked", "unmade", "free", "unhooked"]) {
        return Ok(smallvec![Act::Leave(Leave { count })]);
    }
    // "…; rep from * around, leaving 14 sts": a count; behind anything else, sts not worked.
    if let (Some(count), true) = (count, c.at_break()) {
        if !walked(out) {
            return Ok(smallvec![Act::Leave(Leave { count: Some(count) })]);
        }
        let at = c.since(from);
        let items = vec![ClaimItem { at, count, unit: Unit::Stitches }];
        out.claims.push(Claim { at, items });
        return Ok(Acts::new());
    }
    c.pos = from;
    places::until_break(c);
    let words = c.words_since(from);
    let tail =
        ["tail", "end", "length", "yarn"].iter().any(|w| words.to_ascii_lowercase().contains(w));
    if tail {
        return Ok(smallvec![Act::Remark(words)]);
    }
    c.pos = from;
    c.stop("syntax", "what is left? Write “leave remaining sts unworked”")
}
