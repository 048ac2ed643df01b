//! How far: "around", "across to last 2 sts", "to end of row", "until 8 sts remain".

use super::cursor::{Cursor, Read};
use super::lexer::Tok;
use super::nouns::{is_turning_chain, noun};
use super::places::{ROUND, new, until_break};
use super::reach::is_made;
use super::tree::{Extent, Number, PlaceKind, Reach, Target};

/// Whether "around", "across" or "to", `n` further on, says how far rather than where.
pub(super) fn is_extent(c: &Cursor, n: usize) -> bool {
    let follows = |words: &[&str]| c.is_at(n + 1, words);
    match c.word(n) {
        "around" | "round" | "across" => {
            !(follows(&[
                "next",
                "each",
                "post",
                "posts",
                "first",
                "last",
                "same",
                "every",
                "all",
                "rem",
                "remaining",
            ]) || (follows(&["the"])
                && c.is_at(n + 2, &["post", "posts", "next", "same", "first", "last"]))
                || matches!(c.tok(n + 1), Some(Tok::Num(_) | Tok::Hole))
                || (follows(&["ch", "front", "back"]) && !c.is_at(n + 1, &["chs"])))
        }
        "to" | "until" => {
            let skip = usize::from(follows(&["the", "within"]))
                + usize::from(follows(&["within"]) && c.is_at(n + 2, &["the"]));
            let at = n + 1 + skip;
            c.is_at(at, &["end"])
                || (c.is_at(at, &["last"]) && !is_made(c, at + 1))
                || c.is_at(at, &["rem", "remaining"])
                || is_turning_chain(c, at)
                || until_remain(&mut c.within(at, c.end)).is_some()
        }
        "till" => true,
        _ => false,
    }
}

/// How far, if it is said: "around", "across to last 2 sts", "to end of row".
pub(super) fn extent(c: &mut Cursor) -> Read<Option<Extent>> {
    let from = c.pos;
    let mut found = None;
    c.eat(&["all"]);
    if c.is(&["around", "across", "along", "round"]) && is_extent_or_along(c) {
        c.pos += 1;
        found = Some(Extent::End);
        trailing_whole(c);
    } else if c.is(&["down", "up"])
        && (c.is_at(1, &["side", "other", "the", "one", "first", "second", "each"]))
    {
        c.pos += 1;
        c.eat(&["the"]);
        c.eat(&["one", "other", "first", "second", "each"]);
        c.eat(&["side", "edge"]);
        found = Some(Extent::End);
    } else if c.is(&["over"]) && c.is_at(1, &["all"]) {
        c.pos += 2;
        found = Some(Extent::End);
    }
    if c.is(&["to", "until", "till"]) && is_extent(c, 0) {
        c.pos += 1;
        c.eat(&["within"]);
        c.eat(&["the"]);
        if c.eat(&["end"]) {
            found = Some(Extent::End);
            if c.eat(&["of"]) {
                c.eat(&["the"]);
                c.eat(ROUND);
            }
        } else if is_turning_chain(c, 0) {
            noun(c)?;
            found = Some(Extent::ToTurningChain);
        } else if let mut look = c.clone()
            && let Some((count, place)) = until_remain(&mut look)
        {
            c.pos = look.pos;
            found = Some(Extent::ToLast { count, place });
        } else if c.eat(&["last", "rem", "remaining"]) {
            // "to last 1-ch sp" holds no count.
            let sized = c.tok(1) == Some(Tok::Hyphen);
            let count = if sized { None } else { c.number() }.unwrap_or(Number::ONE);
            let rows = !c.is_at(1, &["end", "ends"]) && c.eat(&["row", "rows"]);
            let place = if rows { Some(PlaceKind::RowEnd) } else { noun(c)? };
            let place = place.unwrap_or(PlaceKind::Stitch);
            found = Some(Extent::ToLast { count, place });
            if c.is(&["of"]) && (c.is_at(1, ROUND) || c.is_at(2, ROUND)) {
                c.pos += 1;
                c.eat(&["the"]);
                c.pos += 1;
            }
        }
    }
    if found.is_none() {
        c.pos = from;
    }
    Ok(found)
}

/// "2 sts remain", "4 sts are left" behind "until".
pub(super) fn until_remain(c: &mut Cursor) -> Option<(Number, PlaceKind)> {
    c.eat(&["there"]);
    c.eat(&["are", "only"]);
    let count = c.number()?;
    let place = match c.is(&["remain", "rem", "left"]) {
        true => PlaceKind::Stitch,
        false => noun(c).ok()??,
    };
    c.eat(&["are"]);
    c.eat(&["remain", "rem", "left", "remaining"]).then_some((count, place))
}

pub(super) fn is_extent_or_along(c: &Cursor) -> bool {
    c.is(&["along"]) || is_extent(c, 0)
}

/// "around the row", "across side", "around the entire edge".
pub(super) fn trailing_whole(c: &mut Cursor) {
    let from = c.pos;
    c.eat(&["the"]);
    c.eat(&[
        "entire", "whole", "other", "opposite", "long", "short", "top", "bottom", "lower", "upper",
    ]);
    if c.is(&["row", "rnd", "round", "piece", "side", "edge", "hat", "brim", "band", "cuff"])
        && !matches!(c.tok(1), Some(Tok::Num(_)))
    {
        c.pos += 1;
    } else if c.is(&["foundation"]) && c.is_at(1, &["ch", "chain", "edge"]) {
        c.pos += 2;
    } else {
        c.pos = from;
    }
}

pub(super) fn bare_extent(c: &mut Cursor) -> Read<Option<Extent>> {
    if c.is(&["around", "across", "to", "until", "round"]) && is_extent(c, 0) {
        return extent(c);
    }
    Ok(None)
}

/// "evenly around", "evenly spaced across", "evenly along side".
pub(super) fn evenly(c: &mut Cursor) -> Read<Option<Target>> {
    if !c.eat(&["evenly"]) {
        return Ok(None);
    }
    c.eat(&["spaced"]);
    extent(c)?;
    until_break(c);
    Ok(Some(new(Reach::Evenly, PlaceKind::Stitch)))
}
