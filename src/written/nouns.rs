//! What kind of place a word names: a stitch, a chain space, a row's end, a turning chain.

use super::cursor::{Cursor, Read};
use super::key::keys;
use super::lexer::Tok;
use super::parts::suffix;
use super::places::{SPACE, STITCH, names_stitch, new};
use super::reach::counted;
use super::tree::*;
use super::words::{self, Name};

/// What kind of place a word names.
pub(super) fn noun(c: &mut Cursor) -> Read<Option<PlaceKind>> {
    let from = c.pos;
    if !names_stitch(c) {
        c.eat(keys!["single", "corner", "edge", "new", "foundation", "base", "actual"]);
    }
    let corner = c.pos > from && c.tokens.get(from).is_some_and(|t| t.is(keys!["corner"]));
    if c.is(STITCH) {
        c.pos += 1;
        return Ok(Some(PlaceKind::Stitch));
    }
    if c.is(keys!["row", "rows"]) {
        let hyphen = usize::from(c.tok(1) == Some(Tok::Hyphen));
        if c.is_at(1 + hyphen, keys!["end", "ends", "edge", "edges"]) {
            c.pos += 2 + hyphen;
            return Ok(Some(PlaceKind::RowEnd));
        }
    }
    if let Some(place) = fan(c)? {
        return Ok(Some(place));
    }
    let mark = c.pos;
    if let Some(chains) = words::chain_number(c) {
        let hyphen = usize::from(c.tok(0) == Some(Tok::Hyphen));
        if c.is_at(hyphen, SPACE) {
            c.pos += hyphen + 1;
            return Ok(Some(PlaceKind::ChainSpace(chains)));
        }
        return Ok(Some(match chains {
            Some(n) => PlaceKind::TurningChain(Some(n)),
            None => {
                c.eat(STITCH);
                PlaceKind::Chain
            }
        }));
    }
    c.pos = mark;
    if is_turning_chain(c, 0)
        && let Some(place) = turning_chain(c)
    {
        return Ok(Some(place));
    }
    if c.eat(SPACE) {
        c.eat(keys!["between"]);
        return Ok(Some(PlaceKind::ChainSpace(None)));
    }
    if let Some(name) = words::stitch(c)? {
        return Ok(Some(match name {
            Name::One(kind) => PlaceKind::Named(kind),
            Name::Many(..) => PlaceKind::Fan { count: Some(Number::Plain(2)), kind: None },
            Name::Group(i) => PlaceKind::Special(i),
        }));
    }
    if corner
        || c.is(keys!["corner", "corners", "fan", "fans", "group", "groups", "shell", "shells"])
    {
        if !corner {
            // An undefined shell or fan: any run of stitches in one place.
            c.pos += 1;
        }
        return Ok(Some(PlaceKind::Fan { count: None, kind: None }));
    }
    c.pos = from;
    Ok(None)
}

/// "5-sc corner", "3-dc group", "5-dc shell".
pub(super) fn fan(c: &mut Cursor) -> Read<Option<PlaceKind>> {
    let from = c.pos;
    if let Some(n) = c.number()
        && c.tok(0) == Some(Tok::Hyphen)
    {
        c.pos += 1;
        if let Some(kind) = words::basic(c)? {
            if c.tok(0) == Some(Tok::Hyphen) {
                c.pos += 1;
            }
            if c.eat(keys![
                "corner", "corners", "group", "groups", "shell", "shells", "fan", "fans"
            ]) {
                return Ok(Some(PlaceKind::Fan { count: Some(n), kind: Some(kind) }));
            }
        }
    }
    c.pos = from;
    Ok(None)
}

/// "beg ch-3", "turning ch", "t-ch", "ch-3", "3-ch", without "top of".
pub(super) fn turning_chain(c: &mut Cursor) -> Option<PlaceKind> {
    let from = c.pos;
    let mut look = c.clone();
    look.eat(keys!["beg", "beginning"]);
    let _ = look.number();
    if look.eat(keys!["skipped", "missed"]) && look.eat(keys!["ch", "chs", "chain", "chains"]) {
        if look.tok(0) == Some(Tok::Hyphen) {
            look.pos += 1;
        }
        let _ = look.number();
        c.pos = look.pos;
        return Some(PlaceKind::TurningChain(None));
    }
    let named = c.eat(keys!["beg", "beginning", "starting", "turning", "initial", "first"]);
    if c.eat(keys!["tch"]) {
        return Some(PlaceKind::TurningChain(None));
    }
    if c.is(keys!["t"]) && c.tok(1) == Some(Tok::Hyphen) && c.is_at(2, keys!["ch"]) {
        c.pos += 3;
        return Some(PlaceKind::TurningChain(None));
    }
    // "3rd of 3 ch"
    let mut look = c.clone();
    if let Some(n) = look.number()
        && look.eat(keys!["ch", "chs", "chain", "chains"])
        && !look.is(SPACE)
        && look.tok(0) != Some(Tok::Hyphen)
    {
        c.pos = look.pos;
        return Some(PlaceKind::TurningChain(Some(n)));
    }
    match words::chain_number(c) {
        Some(n) if (named || n.is_some()) && !c.is(SPACE) && c.tok(0) != Some(Tok::Hyphen) => {
            Some(PlaceKind::TurningChain(n))
        }
        _ => {
            c.pos = from;
            None
        }
    }
}

pub(super) fn is_turning_chain(c: &Cursor, n: usize) -> bool {
    let at = n;
    (c.is_at(at, keys!["turning", "beg", "beginning", "starting"])
        && c.is_at(at + 1, keys!["ch", "chain"]))
        || (c.is_at(at, keys!["t"])
            && c.tok(at + 1) == Some(Tok::Hyphen)
            && c.is_at(at + 2, keys!["ch"]))
        || c.is_at(at, keys!["tch"])
}

/// "end of each row", "side of next 3 rows", "each row end", "row ends".
pub(super) fn row_ends(c: &mut Cursor) -> Read<Option<Target>> {
    // The longest that can come before it is "each of the next twenty-five".
    if !c.near(10, keys!["row", "rows", "end", "ends", "side", "sides", "edge"]) {
        return Ok(None);
    }
    let from = c.pos;
    let side = c.eat(keys!["end", "ends", "side", "sides", "edge"]);
    if side && c.eat(keys!["of"]) {
        c.eat(keys!["the"]);
        let mut reach = None;
        if c.eat(keys!["each", "every"]) {
            c.eat(keys!["of"]);
            c.eat(keys!["the"]);
            let next = c.eat(keys!["next", "first", "last"]);
            reach = Some(match c.number() {
                Some(n) => Reach::Next(n),
                None if next => Reach::Next(Number::ONE),
                None => Reach::Each(Extent::End),
            });
        } else if c.eat(keys!["next", "first", "following"]) {
            reach = Some(Reach::Next(c.number().unwrap_or(Number::ONE)));
        } else if c.eat(keys!["last"]) {
            reach = Some(Reach::Last(c.number().unwrap_or(Number::ONE)));
        } else if c.is(keys!["rows"]) {
            reach = Some(Reach::Each(Extent::End));
        } else if let Some(n) = c.number() {
            reach = Some(Reach::Next(n));
        }
        let sized = c.eat(keys!["sc", "hdc", "dc"]);
        if let Some(reach) = reach
            && (c.eat(keys!["row", "rows"]) || sized)
        {
            let mut target = new(reach, PlaceKind::RowEnd);
            suffix(c, &mut target)?;
            return Ok(Some(target));
        }
    }
    c.pos = from;
    let reach = if c.eat(keys!["each", "every"]) {
        c.eat(keys!["of"]);
        c.eat(keys!["the"]);
        let next = c.eat(keys!["next", "first"]);
        match c.number() {
            Some(n) => Some(Reach::Next(n)),
            None if next => Some(Reach::Next(Number::ONE)),
            None => Some(Reach::Each(Extent::End)),
        }
    } else if c.eat(keys!["next", "first"]) {
        Some(Reach::Next(c.number().unwrap_or(Number::ONE)))
    } else if c.eat(keys!["last"]) {
        Some(Reach::Last(c.number().unwrap_or(Number::ONE)))
    } else {
        c.eat(keys!["the"]);
        Some(Reach::Each(Extent::End))
    };
    if c.is(keys!["row", "rows"]) {
        let hyphen = usize::from(c.tok(1) == Some(Tok::Hyphen));
        if c.is_at(1 + hyphen, keys!["end", "ends", "edge", "edges", "side", "sides"]) {
            c.pos += 2 + hyphen;
            if let Some(reach) = reach {
                let mut target = new(reach, PlaceKind::RowEnd);
                suffix(c, &mut target)?;
                return Ok(Some(target));
            }
        }
        // "sc in each row around": the rows' ends, since a row itself is no place.
        if c.pos > from && !matches!(c.tok(1), Some(Tok::Num(_))) && !c.is_at(1, keys!["below"]) {
            c.pos += 1;
            if let Some(reach) = reach {
                let mut target = new(reach, PlaceKind::RowEnd);
                suffix(c, &mut target)?;
                return Ok(Some(target));
            }
        }
    }
    c.pos = from;
    Ok(None)
}

/// "top of turning ch", "t-ch".
pub(super) fn turning_chain_top(c: &mut Cursor) -> Read<Option<Target>> {
    if !c.is(keys!["top", "the"]) && !is_turning_chain(c, 0) {
        return Ok(None);
    }
    let from = c.pos;
    let top = c.eat_all(keys!["top", "of"])
        || c.eat_all(keys!["top", "ch", "of"])
        || c.eat_all(keys!["top", "chain", "of"]);
    c.eat(keys!["the"]);
    if top {
        if let Some(place) = turning_chain(c) {
            return Ok(Some(new(Reach::Last(Number::ONE), place)));
        }
        // "top of next st"
        if c.is(keys!["next", "each", "first", "last", "same"]) {
            let mut together = false;
            return counted(c, 1, &mut together);
        }
    } else if is_turning_chain(c, 0)
        && let Some(place) = turning_chain(c)
        && !c.is(SPACE)
    {
        return Ok(Some(new(Reach::Last(Number::ONE), place)));
    }
    c.pos = from;
    Ok(None)
}

/// Whether a noun could come next.
pub(super) fn starts_noun(c: &Cursor) -> bool {
    let mut look = c.clone();
    matches!(noun(&mut look), Ok(Some(_)))
        && !look.is(keys!["in", "into"])
        && (!look.is(keys!["around"]) || super::extents::is_extent(&look, 0))
}
