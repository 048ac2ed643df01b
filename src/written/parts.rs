//! Parts of a place and whose they are: "3rd dc of next shell", "centre sc", "of Rnd 2".

use super::cursor::{Cursor, Read};
use super::extents::extent;
use super::key::keys;
use super::lexer::Tok;
use super::nouns::{noun, turning_chain};
use super::places::{ROUND, new, until_break};
use super::reach::counted;
use super::tree::{Kind, Number, Part, PlaceKind, Reach, Target};

/// "2nd ch from hook", "3rd ch of ch-4", "8th st from fasten off", "3rd dc of next shell".
pub(super) fn nth(c: &mut Cursor, n: Number, from: usize) -> Read<Option<Target>> {
    let Some(place) = noun(c)? else {
        // "3rd of 3-ch" leaves the chain unsaid.
        if c.is(keys!["of"])
            && let Some(target) = chain_of(c, n)?
        {
            return Ok(Some(target));
        }
        c.pos = from;
        return Ok(None);
    };
    if c.eat_all(keys!["from", "hook"]) || c.eat_all(keys!["from", "the", "hook"]) {
        return Ok(Some(new(Reach::Nth(n), PlaceKind::Chain)));
    }
    if place == PlaceKind::Chain
        && c.is(keys!["of"])
        && let Some(target) = chain_of(c, n.clone())?
    {
        return Ok(Some(target));
    }
    if c.eat(keys!["from"]) {
        until_break(c);
        return Ok(Some(new(Reach::Nth(n), place)));
    }
    let mut target = new(Reach::Nth(n), place);
    suffix(c, &mut target)?;
    Ok(Some(target))
}

/// "of beg ch-4", "of 3-ch", "of turning ch" behind "3rd ch".
pub(super) fn chain_of(c: &mut Cursor, n: Number) -> Read<Option<Target>> {
    let from = c.pos;
    c.eat(keys!["of"]);
    c.eat(keys!["the"]);
    if let Some(PlaceKind::TurningChain(chains)) = turning_chain(c) {
        let target = Target {
            part: Part::NthChain(n),
            ..new(Reach::Last(Number::ONE), PlaceKind::TurningChain(chains))
        };
        return Ok(Some(target));
    }
    c.pos = from;
    Ok(None)
}

/// "center dc of next shell", "centre ch-2 sp of next shell", "center of next shell".
pub(super) fn centre(c: &mut Cursor) -> Read<Option<Target>> {
    let from = c.pos;
    c.pos += 1;
    let outer = noun(c)?;
    if !c.eat(keys!["of", "in"]) {
        // "center ch-2 sp", "center st": the next of that kind.
        return Ok(match outer {
            Some(place @ PlaceKind::ChainSpace(_)) => Some(new(Reach::Next(Number::ONE), place)),
            Some(PlaceKind::Stitch) => Some(Target {
                part: Part::Centre(None),
                ..new(Reach::Next(Number::ONE), PlaceKind::Fan { count: None, kind: None })
            }),
            Some(PlaceKind::Named(kind)) => Some(Target {
                part: Part::Centre(Some(kind)),
                ..new(Reach::Next(Number::ONE), PlaceKind::Fan { count: None, kind: None })
            }),
            _ => {
                c.pos = from;
                None
            }
        });
    }
    let part = match outer {
        Some(PlaceKind::ChainSpace(n)) => Part::SpaceOf(n),
        Some(PlaceKind::Named(kind)) => Part::Centre(Some(kind)),
        _ => Part::Centre(None),
    };
    let mut target = group_target(c)?;
    target.part = part;
    Ok(Some(target))
}

/// The group a part belongs to: "next shell", "each V-st around", "5-sc corner".
pub(super) fn group_target(c: &mut Cursor) -> Read<Target> {
    c.eat(keys!["the"]);
    let mut together = false;
    match counted(c, 1, &mut together)? {
        Some(mut target) => {
            if target.place == PlaceKind::Stitch {
                target.place = PlaceKind::Fan { count: None, kind: None };
            }
            Ok(target)
        }
        None => {
            c.stop("syntax", "which group is meant? Write “of next shell” or “of each V-st around”")
        }
    }
}

/// What stands behind a noun: "of Rnd 2", "of next shell", "one rnd below", "around".
pub(super) fn suffix(c: &mut Cursor, target: &mut Target) -> Read<()> {
    c.eat(keys!["worked", "made"]);
    // "in st at base of ch-3"
    if c.is(keys!["at"]) && base_of_chain(c) {
        target.reach = Reach::Same;
    }
    loop {
        if is_below(c) {
            let n = c.number().unwrap_or(Number::ONE);
            c.eat(ROUND);
            c.eat(keys!["below"]);
            target.part = Part::Below(n);
            continue;
        }
        if c.is(keys!["of", "from", "on", "in"]) && row_number(c, target)? {
            continue;
        }
        if c.is(keys!["of", "in"]) && part_of(c, target)? {
            return Ok(());
        }
        break;
    }
    if let Some(extent) = extent(c)? {
        target.reach = match std::mem::replace(&mut target.reach, Reach::Same) {
            Reach::Each(_) => Reach::Each(extent),
            // "sc in next st around" cannot be meant; "next 24 sts across" only says so.
            other => other,
        };
    }
    if c.is(keys!["of", "on"]) {
        row_number(c, target)?;
    }
    Ok(())
}

/// "at base of ch-3", "the base of beg ch": where the beginning chain stands.
pub(super) fn base_of_chain(c: &mut Cursor) -> bool {
    let from = c.pos;
    c.eat(keys!["at", "in", "into"]);
    c.eat(keys!["the"]);
    if c.eat(keys!["base", "bottom", "foot"]) && c.eat(keys!["of"]) {
        c.eat(keys!["the"]);
        if turning_chain(c).is_some() || c.eat(keys!["ch", "chs", "chain"]) {
            return true;
        }
    }
    c.pos = from;
    false
}

pub(super) fn is_below(c: &Cursor) -> bool {
    let counted = matches!(c.tok(0), Some(Tok::Num(_) | Tok::Word))
        && c.is_at(1, ROUND)
        && c.is_at(2, keys!["below"])
        && (matches!(c.tok(0), Some(Tok::Num(_)))
            || super::cursor::number_word(c.key(0)).is_some());
    counted || c.sees(keys!["below"]) || (c.is(ROUND) && c.is_at(1, keys!["below"]))
}

/// "of Rnd 2", "of foundation ch", "of previous rnd", "on last row".
pub(super) fn row_number(c: &mut Cursor, target: &mut Target) -> Read<bool> {
    let from = c.pos;
    c.pos += 1;
    c.eat(keys!["the"]);
    if c.is(keys!["row", "rnd", "round", "r"]) {
        c.pos += 1;
        if c.eat(keys!["below"]) {
            // "in row below" only says where stitches stand anyway.
            return Ok(true);
        }
        match c.number() {
            Some(n) => target.of = Some(n),
            None if matches!(target.reach, Reach::Each(_) | Reach::Last(_) | Reach::First(_)) => {}
            None => {
                c.pos = from;
                return Ok(false);
            }
        }
        return Ok(true);
    }
    if c.is(keys!["previous", "prev", "last", "preceding"]) && c.is_at(1, ROUND) {
        c.pos += 2;
        return Ok(true);
    }
    if c.eat(keys!["foundation", "starting", "beginning", "beg", "base"]) {
        c.eat(keys!["ch", "chain", "row", "edge"]);
        if matches!(target.place, PlaceKind::Chain | PlaceKind::Stitch) {
            target.of = Some(Number::Plain(0));
            target.place = PlaceKind::Chain;
            return Ok(true);
        }
    }
    c.pos = from;
    Ok(false)
}

/// "of next shell", "of each V-st around": the noun before was a part of it.
pub(super) fn part_of(c: &mut Cursor, target: &mut Target) -> Read<bool> {
    let from = c.pos;
    c.pos += 1;
    let mut look = c.clone();
    let Ok(inner) = group_target(&mut look) else {
        c.pos = from;
        return Ok(false);
    };
    let fan = matches!(inner.place, PlaceKind::Special(_) | PlaceKind::Fan { .. });
    if !fan || matches!(target.place, PlaceKind::RowEnd | PlaceKind::Ring) {
        c.pos = from;
        return Ok(false);
    }
    let kind = |place: &PlaceKind| match place {
        PlaceKind::Named(kind) => Some(*kind),
        _ => None::<Kind>,
    };
    let part = match (&target.place, &target.reach) {
        (PlaceKind::ChainSpace(n), _) => Part::SpaceOf(n.clone()),
        (place, Reach::First(_)) => Part::FirstOf(kind(place)),
        (place, Reach::Last(_)) => Part::LastOf(kind(place)),
        (place, Reach::Nth(Number::Plain(1))) => Part::FirstOf(kind(place)),
        (place, Reach::Nth(n)) => Part::NthOf(n.clone(), kind(place)),
        _ => {
            c.pos = from;
            return Ok(false);
        }
    };
    c.pos = look.pos;
    *target = Target { part, loops: target.loops, ..inner };
    Ok(true)
}
