//! Place words: "in each of next 5 sts", "in ch-1 sp of each V-st around", "blo".

use super::cursor::{Cursor, Read};
use super::lexer::Tok;
use super::nouns::{is_turning_chain, row_ends, starts_noun, turning_chain_top};
pub(super) use super::nouns::{noun, turning_chain};
use super::tree::{Extent, Kind, Loop, Number, Part, PlaceKind, Reach, Target};
use super::words::{self};

pub(super) const STITCH: &[&str] = &["st", "sts", "stitch", "stitches"];
pub(super) const SPACE: &[&str] =
    &["sp", "sps", "space", "spaces", "lp", "lps", "loop", "loops", "arch", "arches"];
const ROUND: &[&str] = &["row", "rnd", "round", "rows", "rnds", "rounds"];

/// What a run of place words says.
#[derive(Clone, Debug, Default)]
pub(super) struct Places {
    /// The places, in order.
    pub targets: Vec<Target>,
    /// "together" stands behind them: they are drawn into one stitch.
    pub together: bool,
}

/// The place words that come next, elisions included ("in same st and next 9 sts").
pub(super) fn places(c: &mut Cursor) -> Read<Places> {
    let mut found = Places::default();
    while let Some(target) = one(c, &mut found.together)? {
        found.targets.push(target);
        let from = c.pos;
        let comma = c.eat_sign(b',');
        let joined = c.eat(&["and", "then"]) || comma;
        let further = (c.is(&["in", "into", "around"]) && !is_extent(c, 0))
            || (!comma
                && c.is(&["each", "next", "last", "first", "same", "every", "rem", "remaining"]))
            || (!comma && joined && starts_noun(c));
        // A comma may part two places only where the second cannot begin an instruction.
        if !joined || !further || (comma && !place_continues(c)) {
            c.pos = from;
            break;
        }
        // "in next 2 dc and ch-2 sp": the second place is the next of its kind.
        if starts_noun(c) && !c.is(&["next", "each", "same", "first", "last"]) {
            let at = c.pos;
            if let Some(place) = noun(c)? {
                let mut target = new(Reach::Next(Number::ONE), place);
                suffix(c, &mut target)?;
                target.at = c.since(at);
                found.targets.push(target);
                break;
            }
        }
    }
    merge_each(&mut found.targets);
    Ok(found)
}

/// After a comma, "in …" goes on with the same stitch unless stitches follow it ("in next
/// sp work 2 dc").
fn place_continues(c: &mut Cursor) -> bool {
    let mut look = c.clone();
    let mut together = false;
    if !matches!(one(&mut look, &mut together), Ok(Some(_))) {
        return false;
    }
    look.eat_sign(b',');
    let work = look.is(&["work", "make"]);
    let bracket = look.sign(b'(') || look.sign(b'[');
    let stitch = !look.is(STITCH) && matches!(words::stitch(&mut look), Ok(Some(_)));
    !(work || bracket || stitch)
}

/// "each dc and in each ch-1 sp around" is one walk over both kinds.
fn merge_each(targets: &mut Vec<Target>) {
    let mut i = 0;
    while i + 1 < targets.len() {
        let mergeable = match (targets.get(i), targets.get(i + 1)) {
            (Some(a), Some(b)) => {
                matches!(a.reach, Reach::Each(_))
                    && matches!(b.reach, Reach::Each(_))
                    && a.part == Part::Whole
                    && b.part == Part::Whole
            }
            _ => false,
        };
        if !mergeable {
            i += 1;
            continue;
        }
        let second = targets.remove(i + 1);
        if let Some(first) = targets.get_mut(i) {
            let mut kinds = match std::mem::replace(&mut first.place, PlaceKind::Stitch) {
                PlaceKind::AnyOf(kinds) => kinds,
                kind => vec![kind],
            };
            match second.place {
                PlaceKind::AnyOf(more) => kinds.extend(more),
                kind => kinds.push(kind),
            }
            first.place = PlaceKind::AnyOf(kinds);
            first.reach = second.reach;
        }
    }
}

/// One place, if one comes next; the cursor stays where it is if not.
pub(super) fn one(c: &mut Cursor, together: &mut bool) -> Read<Option<Target>> {
    let from = c.pos;
    let found = head(c, together)?;
    match found {
        Some(mut target) => {
            target.at = c.since(from);
            Ok(Some(target))
        }
        None => {
            c.pos = from;
            Ok(None)
        }
    }
}

pub(super) fn new(reach: Reach, place: PlaceKind) -> Target {
    Target { reach, place, ..Target::next(Number::ONE) }
}

fn head(c: &mut Cursor, together: &mut bool) -> Read<Option<Target>> {
    let mut loops = Loop::Both;
    let mut part = Part::Whole;
    let mut prepositions = 0;
    loop {
        if let Some(found) = loop_words(c) {
            loops = found;
            c.eat(&["of"]);
            prepositions += 1;
            continue;
        }
        if c.eat(&[
            "in", "into", "on", "through", "thru", "over", "under", "at", "from", "along", "inside",
        ]) {
            prepositions += 1;
            continue;
        }
        if c.is(&["around", "round", "across"]) && !is_extent(c, 0) {
            c.pos += 1;
            prepositions += 1;
            continue;
        }
        if prepositions == 0 && c.is(&["to"]) && !is_extent(c, 0) {
            c.pos += 1;
            prepositions += 1;
            continue;
        }
        if c.is(&["post", "posts"]) || (c.is(&["the"]) && c.is_at(1, &["post", "posts"])) {
            c.eat(&["the"]);
            c.pos += 1;
            c.eat(&["of"]);
            part = Part::Post;
            prepositions += 1;
            continue;
        }
        if c.is(&["the"]) || (c.is(&["a", "an"]) && prepositions > 0) {
            c.pos += 1;
            continue;
        }
        break;
    }
    let target = match body(c, prepositions, together)? {
        Some(mut target) => {
            if target.part == Part::Whole {
                target.part = part;
            }
            if target.loops == Loop::Both {
                target.loops = loops;
            }
            target
        }
        // "sc blo" and "hdc in back loops only" alone: the next stitch, that loop.
        None if loops != Loop::Both => {
            Target { loops, ..new(Reach::Next(Number::ONE), PlaceKind::Stitch) }
        }
        None => return Ok(None),
    };
    let mut target = target;
    // The loop may also stand behind: "in next 9 sts in blo", "each st in back loop only".
    if target.loops == Loop::Both {
        let from = c.pos;
        c.eat(&["in", "through", "working", "thru"]);
        c.eat(&["in", "through"]);
        match loop_words(c) {
            Some(found) if !c.is(&["of"]) => target.loops = found,
            _ => c.pos = from,
        }
    }
    Ok(Some(target))
}

/// "back loop only", "BLO", "both loops", "third loop".
pub(super) fn loop_words(c: &mut Cursor) -> Option<Loop> {
    let from = c.pos;
    c.eat(&["the"]);
    let short = match c.word(0) {
        "blo" => Some(Loop::Back),
        "flo" => Some(Loop::Front),
        "bl" | "bls" => Some(Loop::Back),
        "fl" | "fls" => Some(Loop::Front),
        _ => None,
    };
    if let Some(found) = short {
        c.pos += 1;
        c.eat(&["only"]);
        return Some(found);
    }
    let found = match c.word(0) {
        "back" => Some(Loop::Back),
        "front" => Some(Loop::Front),
        "both" => Some(Loop::Both),
        "third" => Some(Loop::Third),
        _ if c.tok(0) == Some(Tok::Ordinal(3)) => Some(Loop::Third),
        _ => None,
    };
    let found = found.filter(|_| {
        let hyphen = usize::from(c.tok(1) == Some(Tok::Hyphen));
        c.is_at(1 + hyphen, &["loop", "loops", "lp", "lps", "bump", "bumps"])
    });
    if let Some(mut found) = found {
        let hyphen = usize::from(c.tok(1) == Some(Tok::Hyphen));
        if c.is_at(1 + hyphen, &["bump", "bumps"]) {
            found = Loop::Bump;
        }
        c.pos += 2 + hyphen;
        c.eat(&["only"]);
        return Some(found);
    }
    c.pos = from;
    None
}

/// Whether "around", "across" or "to", `n` further on, says how far rather than where.
fn is_extent(c: &Cursor, n: usize) -> bool {
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
fn until_remain(c: &mut Cursor) -> Option<(Number, PlaceKind)> {
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

fn is_extent_or_along(c: &Cursor) -> bool {
    c.is(&["along"]) || is_extent(c, 0)
}

/// "around the row", "across side", "around the entire edge".
fn trailing_whole(c: &mut Cursor) {
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

fn body(c: &mut Cursor, prepositions: usize, together: &mut bool) -> Read<Option<Target>> {
    if let Some(target) = evenly(c)? {
        return Ok(Some(target));
    }
    if let Some(reach) = bare_extent(c)? {
        return Ok(Some(new(Reach::Each(reach), PlaceKind::Stitch)));
    }
    if c.is(&["magic", "adjustable", "ring", "mr", "circle"])
        || c.sees(&["center", "of", "ring"])
        || c.sees(&["centre", "of", "ring"])
    {
        c.eat(&["center", "centre"]);
        c.eat(&["of"]);
        c.eat(&["magic", "adjustable"]);
        if c.eat(&["ring", "mr", "circle", "loop"]) {
            return Ok(Some(new(Reach::Same, PlaceKind::Ring)));
        }
        return Ok(None);
    }
    if let Some(target) = row_ends(c)? {
        return Ok(Some(target));
    }
    if let Some(target) = turning_chain_top(c)? {
        return Ok(Some(target));
    }
    if c.is(&["center", "centre", "middle"]) {
        return centre(c);
    }
    if let Some(target) = counted(c, prepositions, together)? {
        return Ok(Some(target));
    }
    Ok(None)
}

fn bare_extent(c: &mut Cursor) -> Read<Option<Extent>> {
    if c.is(&["around", "across", "to", "until", "round"]) && is_extent(c, 0) {
        return extent(c);
    }
    Ok(None)
}

/// "evenly around", "evenly spaced across", "evenly along side".
fn evenly(c: &mut Cursor) -> Read<Option<Target>> {
    if !c.eat(&["evenly"]) {
        return Ok(None);
    }
    c.eat(&["spaced"]);
    extent(c)?;
    until_break(c);
    Ok(Some(new(Reach::Evenly, PlaceKind::Stitch)))
}

/// "same st", "next 5 sts", "each of next 5 sts", "last 2 sts", "2nd ch from hook", "5 sts".
pub(super) fn counted(
    c: &mut Cursor,
    prepositions: usize,
    together: &mut bool,
) -> Read<Option<Target>> {
    if c.eat(&["same"]) {
        c.eat(&["place"]);
        let place = noun(c)?.unwrap_or(PlaceKind::Stitch);
        let mut reach = Reach::Same;
        if c.eat(&["as"]) {
            c.eat(&["the", "last", "first", "previous", "beg"]);
            if c.is(&["join", "joining", "slip", "sl", "ss"]) {
                reach = Reach::SameAsJoin;
            }
            until_break(c);
        }
        let mut target = new(reach, place);
        suffix(c, &mut target)?;
        return Ok(Some(target));
    }
    if c.is(&["each", "every", "ea"]) || (c.is(&["all"]) && !c.is_at(1, &["around"])) {
        return each(c);
    }
    if c.is(&["any"]) && c.is_at(1, &["free", "unused", "skipped", "unworked"]) {
        c.pos += 1;
        let mut target = left_over(c, None)?;
        target.reach = Reach::Any;
        return Ok(Some(target));
    }
    if c.eat(&["any"]) {
        let place = noun(c)?.unwrap_or(PlaceKind::Stitch);
        return Ok(Some(new(Reach::Any, place)));
    }
    if c.is(&["missed", "skipped", "unworked", "free", "unused"]) {
        return Ok(Some(left_over(c, None)?));
    }
    // "sl st in last sc made": the stitch the hook stands on.
    if c.is(&["last"]) && is_made(c, 1) {
        c.pos += 1;
        let place = noun(c)?.unwrap_or(PlaceKind::Stitch);
        c.eat(&["made"]);
        return Ok(Some(new(Reach::Same, place)));
    }
    let which = c.word(0);
    if matches!(which, "next" | "following" | "first" | "last" | "remaining" | "rem" | "final") {
        c.pos += 1;
        return run(c, which, together).map(Some);
    }
    let from = c.pos;
    if let Some(n) = c.ordinal() {
        return nth(c, n, from);
    }
    plain(c, prepositions)
}

/// "next 5 sts" after its first word.
fn run(c: &mut Cursor, which: &str, together: &mut bool) -> Read<Target> {
    c.eat(&["of", "the"]);
    let from = c.pos;
    // "next 2-ch sp" holds no count; "next 2 ch-2 sps" does.
    let chained = words::chain_number(&mut c.clone()).is_some_and(|n| n.is_some());
    let named = matches!(c.tok(0), Some(Tok::Num(_) | Tok::Hole)) && c.tok(1) == Some(Tok::Hyphen);
    let number = if named || (chained && !c.is(&["ch", "chain"])) { None } else { c.number() };
    // "each of the 3 following sts"
    if number.is_some() {
        c.eat(&["following", "next", "remaining", "rem", "more", "consecutive"]);
    }
    if c.is(&["missed", "skipped", "unworked", "free", "unused"]) {
        return left_over(c, number);
    }
    let Some(place) = noun(c)? else {
        // "sc in next 5": the kind goes without saying.
        if number.is_some() && c.at_break() {
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
    suffix(c, &mut target)?;
    if c.is(&["together", "tog"]) {
        c.pos += 1;
        *together = true;
    }
    Ok(target)
}

fn reach_of(which: &str, number: Option<Number>) -> Reach {
    let one = || number.clone().unwrap_or(Number::ONE);
    match which {
        "first" => Reach::First(one()),
        "last" | "final" => Reach::Last(one()),
        "remaining" | "rem" => Reach::Remaining(number),
        _ => Reach::Next(one()),
    }
}

/// "skipped st", "10 unworked sts", "free front loops of Rnd 2".
fn left_over(c: &mut Cursor, number: Option<Number>) -> Read<Target> {
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
            let reach = number.map_or(Reach::Each(Extent::End), Reach::Next);
            Target { loops, ..new(reach, PlaceKind::Stitch) }
        }
    };
    suffix(c, &mut target)?;
    Ok(target)
}

/// "each st around", "each of next 5 sts", "each of 7 sts", "all 10 sts".
fn each(c: &mut Cursor) -> Read<Option<Target>> {
    let all = c.is(&["all"]);
    c.pos += 1;
    c.eat_all(&["and", "every"]);
    let mut together = false;
    if c.eat(&["of"]) {
        c.eat(&["the"]);
        let which = c.word(0);
        if matches!(which, "next" | "following" | "first" | "last" | "remaining" | "rem") {
            c.pos += 1;
            return run(c, which, &mut together).map(Some);
        }
        return run(c, "next", &mut together).map(Some);
    }
    if all {
        c.eat(&["the"]);
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
        c.eat(&["remaining", "rem", "single", "next"]);
    }
    if c.is(&["missed", "skipped", "unworked"]) {
        let mut target = left_over(c, None)?;
        if let Reach::Skipped(_) = target.reach {
            target.reach = Reach::Skipped(Number::Plain(0));
        }
        return Ok(Some(target));
    }
    let loops = if c.is(&["free", "unused"]) {
        return left_over(c, None).map(Some);
    } else {
        loop_words(c)
    };
    if loops.is_some() {
        c.eat(&["of"]);
        c.eat(&["each"]);
    }
    let place = match noun(c)? {
        Some(place) => place,
        None if loops.is_some() => PlaceKind::Stitch,
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
    suffix(c, &mut target)?;
    Ok(Some(target))
}

/// "… , pc and bobble" behind "each sc". A list with commas must end in "and": without it the
/// comma parts instructions.
fn further_kinds(c: &mut Cursor, kinds: &mut Vec<PlaceKind>) -> Read<()> {
    let from = c.pos;
    let mut found = Vec::new();
    loop {
        let comma = c.eat_sign(b',');
        let and = c.eat(&["and", "or"]);
        if !(comma || and) || c.is(&["in", "into", "each", "next", "last"]) {
            break;
        }
        let Some(kind) = noun(c)? else { break };
        // "sc in each sc and dc in each dc": the second is a stitch to make, not a place.
        let made = c.is(&["in", "into"]) && !c.is_at(1, &["row", "rnd", "round"]);
        if made || (c.is(&["around"]) && !is_extent(c, 0)) {
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

/// "2nd ch from hook", "3rd ch of ch-4", "8th st from fasten off", "3rd dc of next shell".
fn nth(c: &mut Cursor, n: Number, from: usize) -> Read<Option<Target>> {
    let Some(place) = noun(c)? else {
        // "3rd of 3-ch" leaves the chain unsaid.
        if c.is(&["of"])
            && let Some(target) = chain_of(c, n)?
        {
            return Ok(Some(target));
        }
        c.pos = from;
        return Ok(None);
    };
    if c.eat_all(&["from", "hook"]) || c.eat_all(&["from", "the", "hook"]) {
        return Ok(Some(new(Reach::Nth(n), PlaceKind::Chain)));
    }
    if place == PlaceKind::Chain
        && c.is(&["of"])
        && let Some(target) = chain_of(c, n.clone())?
    {
        return Ok(Some(target));
    }
    if c.eat(&["from"]) {
        until_break(c);
        return Ok(Some(new(Reach::Nth(n), place)));
    }
    let mut target = new(Reach::Nth(n), place);
    suffix(c, &mut target)?;
    Ok(Some(target))
}

/// "of beg ch-4", "of 3-ch", "of turning ch" behind "3rd ch".
fn chain_of(c: &mut Cursor, n: Number) -> Read<Option<Target>> {
    let from = c.pos;
    c.eat(&["of"]);
    c.eat(&["the"]);
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
fn centre(c: &mut Cursor) -> Read<Option<Target>> {
    let from = c.pos;
    c.pos += 1;
    let outer = noun(c)?;
    if !c.eat(&["of", "in"]) {
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
fn group_target(c: &mut Cursor) -> Read<Target> {
    c.eat(&["the"]);
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

/// A place without "next": "ch-2 sp", "corner", "5 sts", "st".
fn plain(c: &mut Cursor, prepositions: usize) -> Read<Option<Target>> {
    let from = c.pos;
    let chain_first = words::chain_number(&mut c.clone()).is_some();
    if !chain_first
        && matches!(c.tok(0), Some(Tok::Num(_) | Tok::Hole | Tok::Word))
        && c.tok(1) != Some(Tok::Hyphen)
        && let Some(n) = c.number()
    {
        // "sc 5", and "sc in 5 sts".
        if c.eat(&["more"]) || c.is(STITCH) || c.is(&["missed", "skipped", "unworked", "free"]) {
            if c.is(&["missed", "skipped", "unworked", "free"]) {
                return left_over(c, Some(n)).map(Some);
            }
            c.eat(STITCH);
            let mut target = new(Reach::Next(n), PlaceKind::Stitch);
            suffix(c, &mut target)?;
            return Ok(Some(target));
        }
        if c.is(&["more", "times", "time", "x"]) {
            c.pos = from;
            return Ok(None);
        }
        if prepositions > 0 {
            if let Some(place) = noun(c)? {
                let mut target = new(Reach::Next(n), place);
                suffix(c, &mut target)?;
                return Ok(Some(target));
            }
            c.pos = from;
            return Ok(None);
        }
        let bare = c.at_break()
            || c.is(&["blo", "flo", "in", "and", "then", "around"])
            || matches!(c.tok(0), Some(Tok::Mark(_)));
        if bare {
            let mut target = new(Reach::Next(n), PlaceKind::Stitch);
            suffix(c, &mut target)?;
            return Ok(Some(target));
        }
        c.pos = from;
        return Ok(None);
    }
    if prepositions == 0 {
        c.pos = from;
        return Ok(None);
    }
    let Some(place) = noun(c)? else {
        c.pos = from;
        return Ok(None);
    };
    let mut target = new(Reach::Next(Number::ONE), place);
    suffix(c, &mut target)?;
    Ok(Some(target))
}

/// What stands behind a noun: "of Rnd 2", "of next shell", "one rnd below", "around".
pub(super) fn suffix(c: &mut Cursor, target: &mut Target) -> Read<()> {
    c.eat(&["worked", "made"]);
    loop {
        if is_below(c) {
            let n = c.number().unwrap_or(Number::ONE);
            c.eat(ROUND);
            c.eat(&["below"]);
            target.part = Part::Below(n);
            continue;
        }
        if c.is(&["of", "from", "on", "in"]) && row_number(c, target)? {
            continue;
        }
        if c.is(&["of", "in"]) && part_of(c, target)? {
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
    if c.is(&["of", "on"]) {
        row_number(c, target)?;
    }
    Ok(())
}

fn is_below(c: &Cursor) -> bool {
    let counted = matches!(c.tok(0), Some(Tok::Num(_) | Tok::Word))
        && c.is_at(1, ROUND)
        && c.is_at(2, &["below"])
        && (matches!(c.tok(0), Some(Tok::Num(_)))
            || super::cursor::number_word(c.word(0)).is_some());
    counted || c.sees(&["below"]) || (c.is(ROUND) && c.is_at(1, &["below"]))
}

/// "of Rnd 2", "of foundation ch", "of previous rnd", "on last row".
fn row_number(c: &mut Cursor, target: &mut Target) -> Read<bool> {
    let from = c.pos;
    c.pos += 1;
    c.eat(&["the"]);
    if c.is(&["row", "rnd", "round", "r"]) {
        c.pos += 1;
        if c.eat(&["below"]) {
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
    if c.is(&["previous", "prev", "last", "preceding"]) && c.is_at(1, ROUND) {
        c.pos += 2;
        return Ok(true);
    }
    if c.eat(&["foundation", "starting", "beginning", "beg", "base"]) {
        c.eat(&["ch", "chain", "row", "edge"]);
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
fn part_of(c: &mut Cursor, target: &mut Target) -> Read<bool> {
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
        _ => {
            c.pos = from;
            return Ok(false);
        }
    };
    c.pos = look.pos;
    *target = Target { part, loops: target.loops, ..inner };
    Ok(true)
}

/// Passes everything up to the next sign that parts instructions.
pub(super) fn until_break(c: &mut Cursor) {
    while !c.at_break() && !c.is(&["and"]) {
        c.pos += 1;
    }
}

/// Whether "single" or "foundation" begins the name of a stitch rather than describing a place.
pub(super) fn names_stitch(c: &Cursor) -> bool {
    (c.is(&["single"]) && c.is_at(1, &["crochet", "crochets"]))
        || (c.is(&["foundation"])
            && c.is_at(1, &["single", "half", "double", "treble", "triple", "quadruple"]))
}

/// Whether "made" or "sc made" stands here: what was made last, not the last of the row.
fn is_made(c: &Cursor, n: usize) -> bool {
    c.is_at(n, &["made"]) || (c.tok(n) == Some(Tok::Word) && c.is_at(n + 1, &["made"]))
}
