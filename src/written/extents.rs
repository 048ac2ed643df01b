//! How far: "around", "across to last 2 sts", "to end of row", "until 8 sts remain".

use super::cursor::{Cursor, Read};
use super::key::{Keys, keys};
use super::lexer::Tok;
use super::nouns::{is_turning_chain, noun};
use super::places::{ROUND, new, until_break};
use super::reach::is_made;
use super::tree::{Extent, Number, PlaceKind, Reach, Target, Words};
use super::words;

/// Whether "around", "across" or "to", `n` further on, says how far rather than where.
pub(super) fn is_extent(c: &Cursor, n: usize) -> bool {
    let follows = |words: Keys| c.is_at(n + 1, words);
    match c.word(n) {
        "around" | "round" | "across" => {
            !(follows(keys![
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
            ]) || (follows(keys!["the"])
                && c.is_at(n + 2, keys!["post", "posts", "next", "same", "first", "last"]))
                || matches!(c.tok(n + 1), Some(Tok::Num(_) | Tok::Hole))
                || is_stitch_name(c, n + 1)
                || follows(keys!["the"]) && is_stitch_name(c, n + 2)
                || (follows(keys!["ch", "front", "back"]) && !c.is_at(n + 1, keys!["chs"])))
        }
        "to" | "until" | "till" | "up" => {
            let mut look = c.within(c.pos + n, c.end);
            matches!(far(&mut look), Some(extent) if !matches!(extent, Extent::ToNext(_)))
        }
        _ => false,
    }
}

/// Whether a stitch stands `n` further on, so that "around" goes round its post: "fpdc around
/// fpdc".
fn is_stitch_name(c: &Cursor, n: usize) -> bool {
    let mut look = c.within(c.pos + n, c.end);
    c.tok(n) == Some(Tok::Word)
        && matches!(words::stitch(&mut look), Ok(Some(words::Name::One(_))))
        && look.at_break()
}

/// How far, if it is said: "around", "across to last 2 sts", "to end of row".
pub(super) fn extent(c: &mut Cursor) -> Read<Option<Extent>> {
    let from = c.pos;
    let mut found = None;
    c.eat(keys!["all", "right", "completely", "clear"]);
    if c.sees(keys!["the", "way"]) || c.sees(keys!["the", "whole", "way"]) {
        c.eat(keys!["the"]);
        c.eat(keys!["whole"]);
        c.pos += 1;
    }
    if c.is(keys!["around", "across", "along", "round"]) && is_extent_or_along(c) {
        c.pos += 1;
        found = Some(Extent::End);
        trailing_whole(c);
    } else if c.is(keys!["down", "up"])
        && (c.is_at(1, keys!["side", "other", "the", "one", "first", "second", "each"]))
    {
        c.pos += 1;
        c.eat(keys!["the"]);
        c.eat(keys!["one", "other", "first", "second", "each"]);
        c.eat(keys!["side", "edge"]);
        found = Some(Extent::End);
    } else if c.is(keys!["over"]) && c.is_at(1, keys!["all"]) {
        c.pos += 2;
        found = Some(Extent::End);
    }
    if c.is(keys!["to", "until", "till", "up", "stopping"]) {
        let mut look = c.clone();
        if let Some(further) = far(&mut look) {
            c.pos = look.pos;
            found = Some(further);
        }
    }
    if found.is_none() {
        c.pos = from;
    }
    Ok(found)
}

/// "to last 2 sts", "until 1 st remains", "to within 2 sts of end", "to next ch-2 sp".
fn far(c: &mut Cursor) -> Option<Extent> {
    c.eat(keys!["up"]);
    let short = c.eat(keys!["stopping"]);
    if !short && !c.eat(keys!["to", "until", "till"]) {
        return None;
    }
    c.eat(keys!["you"]);
    c.eat(keys!["reach", "reaching"]);
    let within = c.eat(keys!["within"]);
    c.eat(keys!["the"]);
    if short || within || matches!(c.tok(0), Some(Tok::Num(_) | Tok::Hole | Tok::Word)) {
        let mut look = c.clone();
        if let Some(found) = before_end(&mut look) {
            c.pos = look.pos;
            return Some(found);
        }
    }
    if short {
        return None;
    }
    if c.eat(keys!["end"]) {
        of_course(c);
        return Some(Extent::End);
    }
    if is_turning_chain(c, 0) {
        noun(c).ok()?;
        return Some(Extent::ToTurningChain);
    }
    // "to marker": in a spiral it marks where the round ends.
    let mut look = c.clone();
    look.eat(keys!["st", "beg", "beginning", "rnd", "round", "stitch"]);
    if look.eat(keys!["marker"]) && (look.at_break() || look.is(keys!["and", "move", "moving"])) {
        c.pos = look.pos;
        return Some(Extent::End);
    }
    let mut look = c.clone();
    if let Some((count, place)) = until_remain(&mut look) {
        c.pos = look.pos;
        return Some(Extent::ToLast { count, place });
    }
    if c.is(keys!["last", "rem", "remaining", "final"]) && !is_made(c, 1) {
        c.pos += 1;
        // "to last 1-ch sp" holds no count.
        let sized = c.tok(1) == Some(Tok::Hyphen);
        let count = if sized { None } else { c.number() }.unwrap_or(Number::ONE);
        let rows = !c.is_at(1, keys!["end", "ends"]) && c.eat(keys!["row", "rows"]);
        let place = if rows { Some(PlaceKind::RowEnd) } else { noun(c).ok()? };
        let place = place.unwrap_or(PlaceKind::Stitch);
        of_course(c);
        return Some(Extent::ToLast { count, place });
    }
    if c.is(keys!["center", "centre", "middle"]) {
        c.pos += 1;
        let stitch = matches!(noun(c).ok()?, Some(PlaceKind::Stitch | PlaceKind::Named(_)));
        let place = PlaceKind::Fan { count: None, kind: None };
        return stitch.then_some(Extent::ToNext(place));
    }
    let next = c.eat(keys!["next", "following"]);
    let chains = words::chain_number(&mut c.clone()).is_some();
    if next || c.is(keys!["corner"]) || chains {
        let place = noun(c).ok()??;
        let apart = matches!(
            place,
            PlaceKind::ChainSpace(_) | PlaceKind::Fan { .. } | PlaceKind::Special(_)
        );
        if apart {
            return Some(Extent::ToNext(place));
        }
    }
    None
}

/// "2 sts before end", "2 sts of the end", "the last 2 sts" behind "stopping" or "to within".
fn before_end(c: &mut Cursor) -> Option<Extent> {
    let count = c.number()?;
    let place = noun(c).ok()?.unwrap_or(PlaceKind::Stitch);
    if !c.eat(keys!["before", "from", "of", "short"]) {
        return None;
    }
    c.eat(keys!["of"]);
    c.eat(keys!["the"]);
    if !c.eat(keys!["end"]) {
        return None;
    }
    of_course(c);
    Some(Extent::ToLast { count, place })
}

/// "of row", "of the rnd".
fn of_course(c: &mut Cursor) {
    if c.is(keys!["of"]) && (c.is_at(1, ROUND) || c.is_at(2, ROUND)) {
        c.pos += 1;
        c.eat(keys!["the", "this"]);
        c.eat(ROUND);
    }
}

/// "2 sts remain", "4 sts are left" behind "until".
pub(super) fn until_remain(c: &mut Cursor) -> Option<(Number, PlaceKind)> {
    c.eat(keys!["only"]);
    c.eat(keys!["you"]);
    c.eat(keys!["have"]);
    c.eat(keys!["there"]);
    c.eat(keys!["are", "is"]);
    c.eat(keys!["only"]);
    let count = c.number()?;
    let place = match c.is(keys!["remain", "remains", "rem", "left"]) {
        true => PlaceKind::Stitch,
        false => noun(c).ok()??,
    };
    c.eat(keys!["are", "is"]);
    c.eat(keys!["remain", "remains", "rem", "left", "remaining"]).then_some((count, place))
}

pub(super) fn is_extent_or_along(c: &Cursor) -> bool {
    c.is(keys!["along"]) || is_extent(c, 0)
}

/// "around the row", "across side", "around the entire edge".
pub(super) fn trailing_whole(c: &mut Cursor) {
    let from = c.pos;
    c.eat(keys!["the"]);
    c.eat(keys![
        "entire", "whole", "other", "opposite", "long", "short", "top", "bottom", "lower", "upper",
    ]);
    if c.is(keys!["row", "rnd", "round", "piece", "side", "edge", "hat", "brim", "band", "cuff"])
        && !matches!(c.tok(1), Some(Tok::Num(_)))
    {
        c.pos += 1;
    } else if c.is(keys!["foundation"]) && c.is_at(1, keys!["ch", "chain", "edge"]) {
        c.pos += 2;
    } else {
        c.pos = from;
    }
}

pub(super) fn bare_extent(c: &mut Cursor) -> Read<Option<Extent>> {
    let plain =
        c.is(keys!["around", "across", "to", "until", "till", "up", "round"]) && is_extent(c, 0);
    let whole = c.is(keys!["all", "right", "completely", "clear"])
        && (c.is_at(1, keys!["around", "across", "round"]) || c.is_at(1, keys!["the"]));
    if plain || whole {
        return extent(c);
    }
    Ok(None)
}

/// "evenly around", "evenly spaced across", "evenly along side".
pub(super) fn evenly(c: &mut Cursor) -> Read<Option<Target>> {
    if !c.eat(keys!["evenly"]) {
        return Ok(None);
    }
    let from = c.pos - 1;
    c.eat(keys!["spaced"]);
    extent(c)?;
    until_break(c);
    let words = Words(c.words_since(from));
    Ok(Some(new(Reach::Evenly(words), PlaceKind::Stitch)))
}
