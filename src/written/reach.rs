//! Which places and how many: "next 5 sts", "each of next 3 sts", "each st around", "last 2 sts".

use super::cursor::{Cursor, Read};
use super::extents::is_extent;
use super::key::keys;
use super::lexer::Tok;
use super::nouns::noun;
use super::parts::{nth, suffix};
use super::places::{ROUND, SPACE, loop_words, names_stitch, new, plain, until_break};
use super::tree::{Extent, Loop, Number, PlaceKind, Reach, Target};
use super::words;

/// "same st", "next 5 sts", "each of next 5 sts", "last 2 sts", "2nd ch from hook", "5 sts".
pub(super) fn counted(
    c: &mut Cursor,
    prepositions: usize,
    together: &mut bool,
) -> Read<Option<Target>> {
    if c.eat(keys!["same"]) {
        c.eat(keys!["place"]);
        let place = noun(c)?.unwrap_or(PlaceKind::Stitch);
        let mut reach = Reach::Same;
        if c.eat(keys!["as"]) {
            c.eat(keys!["the", "last", "first", "previous", "beg"]);
            if c.is(keys!["join", "joining", "slip", "sl", "ss"]) {
                reach = Reach::SameAsJoin;
            }
            until_break(c);
        }
        let mut target = new(reach, place);
        suffix(c, &mut target)?;
        return Ok(Some(target));
    }
    if c.is(keys!["each", "every", "ea"]) || (c.is(keys!["all"]) && !c.is_at(1, keys!["around"])) {
        return each(c);
    }
    if c.is(keys!["any"]) && c.is_at(1, keys!["free", "unused", "skipped", "unworked"]) {
        c.pos += 1;
        let mut target = left_over(c, None)?;
        target.reach = Reach::Any;
        return Ok(Some(target));
    }
    if c.eat(keys!["any"]) {
        let place = noun(c)?.unwrap_or(PlaceKind::Stitch);
        return Ok(Some(new(Reach::Any, place)));
    }
    if c.is(keys!["missed", "skipped", "unworked", "free", "unused"]) {
        return Ok(Some(left_over(c, None)?));
    }
    if c.sees(keys!["rest", "of"]) {
        c.pos += 2;
        c.eat(keys!["the"]);
        if c.eat(ROUND) {
            return Ok(Some(new(Reach::Each(Extent::End), PlaceKind::Stitch)));
        }
        return run(c, "remaining", together).map(Some);
    }
    // "sl st in last sc made": the stitch the hook stands on.
    if c.is(keys!["last"]) && is_made(c, 1) {
        c.pos += 1;
        let place = noun(c)?.unwrap_or(PlaceKind::Stitch);
        c.eat(keys!["made"]);
        return Ok(Some(new(Reach::Same, place)));
    }
    if c.is(keys!["next", "following", "foll", "first", "last", "remaining", "rem", "final"]) {
        let which = c.word(0);
        c.pos += 1;
        return run(c, which, together).map(Some);
    }
    let from = c.pos;
    if c.tok(0) == Some(Tok::Ordinal(1)) && !c.is_at(1, keys!["ch", "chain"]) {
        c.pos += 1;
        return run(c, "first", together).map(Some);
    }
    if let Some(n) = c.ordinal() {
        return nth(c, n, from);
    }
    plain(c, prepositions)
}

/// "next 5 sts" after its first word.
pub(super) fn run(c: &mut Cursor, which: &str, together: &mut bool) -> Read<Target> {
    c.eat(keys!["of", "the"]);
    let from = c.pos;
    // "next 2-ch sp" holds no count; "next 2 ch-2 sps" does.
    let chained = words::chain_number(&mut c.clone()).is_some_and(|n| n.is_some());
    let named = matches!(c.tok(0), Some(Tok::Num(_) | Tok::Hole)) && c.tok(1) == Some(Tok::Hyphen);
    let number = if named || (chained && !c.is(keys!["ch", "chain"])) { None } else { c.number() };
    // "each of the 3 following sts"
    if number.is_some() {
        c.eat(keys!["following", "next", "remaining", "rem", "more", "consecutive"]);
    }
    if c.is(keys!["missed", "skipped", "unworked", "free", "unused"]) {
        return left_over(c, number);
    }
    let Some(place) = noun(c)? else {
        // "sc in next 5", "inc in the next one": the kind goes without saying.
        let one = number.is_none() && c.eat(keys!["one"]);
        let marked = matches!(c.tok(0), Some(Tok::Mark(_)));
        if one
            || (number.is_some() || which != "last")
                && (c.at_break() || marked)
                && (!c.done() || c.depth > 0)
        {
            return Ok(new(reach_of(which, number), PlaceKind::Stitch));
        }
        if which == "remaining" || which == "rem" {
            return Ok(new(Reach::Each(Extent::End), PlaceKind::Stitch));
        }
        c.pos = from;
        return c
            .stop("syntax", format!("a place is wanted after “{which}”: a st, a ch-1 sp, a dc…"));
    };
    let mut target = new(reach_of(which, number), place);
    left_behind(c, &mut target);
    suffix(c, &mut target)?;
    if c.is(keys!["together", "tog"]) {
        c.pos += 1;
        *together = true;
    }
    Ok(target)
}

/// "4 sts left unworked", "sts that were skipped": said behind the noun.
fn left_behind(c: &mut Cursor, target: &mut Target) {
    let from = c.pos;
    c.eat(keys!["that", "which"]);
    c.eat(keys!["were", "was", "are"]);
    c.eat(keys!["left", "previously"]);
    let number = match &target.reach {
        Reach::Next(n) => Some(n.clone()),
        _ => None,
    };
    if c.eat(keys!["unworked"]) {
        target.reach = Reach::Unworked(number.filter(|n| *n != Number::ONE));
    } else if c.eat(keys!["skipped", "missed"]) {
        target.reach = Reach::Skipped(number.unwrap_or(Number::Plain(0)));
    } else {
        c.pos = from;
        return;
    }
    if c.is(keys!["in", "on", "at", "of", "from"]) && (c.is_at(1, ROUND) || c.is_at(2, ROUND)) {
        until_break(c);
    }
}

pub(super) fn reach_of(which: &str, number: Option<Number>) -> Reach {
    let one = || number.clone().unwrap_or(Number::ONE);
    match which {
        "first" => Reach::First(one()),
        "last" | "final" => Reach::Last(one()),
        "remaining" | "rem" => Reach::Remaining(number),
        _ => Reach::Next(one()),
    }
}

/// "skipped st", "10 unworked sts", "free front loops of Rnd 2".
pub(super) fn left_over(c: &mut Cursor, number: Option<Number>) -> Read<Target> {
    let word = c.word(0);
    c.pos += 1;
    let mut target = match word {
        "skipped" | "missed" => {
            let place = noun(c)?.unwrap_or(PlaceKind::Stitch);
            new(Reach::Skipped(number.unwrap_or(Number::ONE)), place)
        }
        "unworked" => {
            let place = noun(c)?.unwrap_or(PlaceKind::Stitch);
            new(Reach::Unworked(number), place)
        }
        _ => {
            let loops = match loop_words(c) {
                Some(found) => found,
                None => {
                    c.eat(SPACE);
                    Loop::Front
                }
            };
            // "free back loop of each sc of Rnd 4"
            if c.is(keys!["of"]) && c.is_at(1, keys!["each", "next", "every", "first", "last"]) {
                c.pos += 1;
                let mut together = false;
                if let Some(target) = counted(c, 1, &mut together)? {
                    return Ok(Target { loops, ..target });
                }
            }
            let reach = number.map_or(Reach::Each(Extent::End), Reach::Next);
            Target { loops, ..new(reach, PlaceKind::Stitch) }
        }
    };
    suffix(c, &mut target)?;
    Ok(target)
}

/// "each st around", "each of next 5 sts", "each of 7 sts", "all 10 sts".
pub(super) fn each(c: &mut Cursor) -> Read<Option<Target>> {
    let all = c.is(keys!["all"]);
    c.pos += 1;
    c.eat_all(keys!["and", "every"]);
    let mut together = false;
    if c.eat(keys!["of"]) {
        c.eat(keys!["the"]);
        let which = c.word(0);
        if matches!(which, "next" | "following" | "first" | "last" | "remaining" | "rem") {
            c.pos += 1;
            return run(c, which, &mut together).map(Some);
        }
        return run(c, "next", &mut together).map(Some);
    }
    if let Some(n) = every_nth(c) {
        let place = noun(c)?.unwrap_or(PlaceKind::Stitch);
        let mut target = new(Reach::Each(Extent::End), place);
        suffix(c, &mut target)?;
        let extent = match target.reach {
            Reach::Each(extent) => extent,
            _ => Extent::End,
        };
        return Ok(Some(Target { reach: Reach::Every(n, extent), ..target }));
    }
    if all {
        c.eat(keys!["the"]);
        if c.is(keys!["remaining", "rem"]) {
            c.pos += 1;
            return run(c, "remaining", &mut together).map(Some);
        }
        let Some(n) = c.number() else {
            let place = noun(c)?.unwrap_or(PlaceKind::Stitch);
            let mut target = new(Reach::Each(Extent::End), place);
            suffix(c, &mut target)?;
            return Ok(Some(target));
        };
        let place = noun(c)?.unwrap_or(PlaceKind::Stitch);
        let mut target = new(Reach::All(n), place);
        suffix(c, &mut target)?;
        return Ok(Some(target));
    }
    if !names_stitch(c) {
        c.eat(keys!["remaining", "rem", "single", "next"]);
    }
    if c.is(keys!["missed", "skipped", "unworked"]) {
        let mut target = left_over(c, None)?;
        if let Reach::Skipped(_) = target.reach {
            target.reach = Reach::Skipped(Number::Plain(0));
        }
        return Ok(Some(target));
    }
    let loops = if c.is(keys!["free", "unused"]) {
        return left_over(c, None).map(Some);
    } else {
        loop_words(c)
    };
    if loops.is_some() {
        c.eat(keys!["of"]);
        c.eat(keys!["each"]);
    }
    let place = match noun(c)? {
        Some(place) => place,
        None if loops.is_some() => PlaceKind::Stitch,
        // "2 sc in each around", "2 sc in each (12)"
        None if is_extent(c, 0) || c.eat(keys!["one"]) || c.at_break() && !c.done() => {
            PlaceKind::Stitch
        }
        None => {
            return c
                .stop("syntax", "a place is wanted after “each”: each st, each ch-1 sp, each dc…");
        }
    };
    let mut kinds = vec![place];
    further_kinds(c, &mut kinds)?;
    let place = if kinds.len() == 1 { kinds.remove(0) } else { PlaceKind::AnyOf(kinds) };
    let mut target = new(Reach::Each(Extent::End), place);
    target.loops = loops.unwrap_or_default();
    left_behind(c, &mut target);
    suffix(c, &mut target)?;
    Ok(Some(target))
}

/// "other", "2nd", "alternate" behind "every".
fn every_nth(c: &mut Cursor) -> Option<Number> {
    if c.eat(keys!["other", "alternate"]) {
        return Some(Number::Plain(2));
    }
    let from = c.pos;
    match c.ordinal() {
        Some(Number::Plain(1)) | None => {
            c.pos = from;
            None
        }
        found => found,
    }
}

/// "… , pc and bobble" behind "each sc". A list with commas must end in "and": without it the
/// comma parts instructions.
pub(super) fn further_kinds(c: &mut Cursor, kinds: &mut Vec<PlaceKind>) -> Read<()> {
    let from = c.pos;
    let mut found = Vec::new();
    loop {
        let comma = c.eat_sign(b',');
        let and = c.eat(keys!["and", "or"]);
        if !(comma || and) || c.is(keys!["in", "into", "each", "next", "last"]) {
            break;
        }
        let Some(kind) = noun(c)? else { break };
        // "sc in each sc and dc in each dc": the second is a stitch to make, not a place.
        let made = c.is(keys!["in", "into"]) && !c.is_at(1, keys!["row", "rnd", "round"]);
        if made || (c.is(keys!["around"]) && !is_extent(c, 0)) {
            break;
        }
        found.push(kind);
        if and {
            kinds.append(&mut found);
            return Ok(());
        }
    }
    c.pos = from;
    Ok(())
}

/// Whether "made" or "sc made" stands here: what was made last, not the last of the row.
pub(super) fn is_made(c: &Cursor, n: usize) -> bool {
    c.is_at(n, keys!["made"]) || (c.tok(n) == Some(Tok::Word) && c.is_at(n + 1, keys!["made"]))
}
