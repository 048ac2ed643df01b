//! Place words: "in each of next 5 sts", "in ch-1 sp of each V-st around", "blo".

use super::cursor::{Cursor, Read};
use super::extents::{bare_extent, evenly, is_extent};
use super::key::{Keys, Sieve, keys};
use super::lexer::Tok;
use super::nouns::{noun, row_ends, starts_noun, turning_chain_top};
use super::parts::{base_of_chain, centre, suffix};
use super::reach::{counted, left_over};
use super::tree::{Loop, Number, Part, PlaceKind, Reach, Target};
use super::words;

pub(super) const STITCH: Keys = keys!["st", "sts", "stitch", "stitches"];

pub(super) const SPACE: Keys =
    keys!["sp", "sps", "space", "spaces", "lp", "lps", "loop", "loops", "arch", "arches"];

pub(super) const ROUND: Keys = keys!["row", "rnd", "round", "rows", "rnds", "rounds"];

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
        if found.targets.is_empty() {
            // Nearly always there is one, and four would be made room for.
            found.targets.reserve_exact(1);
        }
        found.targets.push(target);
        let from = c.pos;
        let comma = c.eat_sign(b',');
        let joined = c.eat(keys!["and", "then"]) || comma;
        let further = (c.is(keys!["in", "into", "around"]) && !is_extent(c, 0))
            || (!comma
                && c.is(keys![
                    "each",
                    "next",
                    "last",
                    "first",
                    "same",
                    "every",
                    "rem",
                    "remaining"
                ]))
            // "in 2nd ch from hook and across"
            || (!comma && joined && c.is(keys!["across", "around"]) && is_extent(c, 0))
            || (!comma && joined && starts_noun(c));
        // A comma may part two places only where the second cannot begin an instruction.
        if !joined || !further || (comma && !place_continues(c)) {
            c.pos = from;
            break;
        }
        // "in next 2 dc and ch-2 sp": the second place is the next of its kind.
        if starts_noun(c) && !c.is(keys!["next", "each", "same", "first", "last"]) {
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
    let work = look.is(keys!["work", "make"]);
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

/// How the hook goes, before a place.
const PREPOSITIONS: Keys =
    keys!["in", "into", "on", "through", "thru", "over", "under", "at", "from", "along", "inside"];

/// Any word that may stand before a place, besides ordinals: what [`head`] passes.
const LEADING: Sieve = Sieve::of(&[
    LOOPS,
    PREPOSITIONS,
    keys!["all", "around", "round", "across", "to", "post", "posts", "the", "a", "an"],
]);

fn head(c: &mut Cursor, together: &mut bool) -> Read<Option<Target>> {
    let mut loops = Loop::Both;
    let mut part = Part::Whole;
    let mut prepositions = 0;
    while c.may_be(LEADING) || c.tok(0) == Some(Tok::Ordinal(3)) {
        if let Some(found) = loop_words(c) {
            loops = found;
            c.eat(keys!["of"]);
            prepositions += 1;
            continue;
        }
        if prepositions == 0 && c.is(keys!["all"]) && c.is_at(1, keys!["in", "into"]) {
            c.pos += 1;
        }
        if c.eat(PREPOSITIONS) {
            prepositions += 1;
            continue;
        }
        if c.is(keys!["around", "round", "across"]) && !is_extent(c, 0) {
            c.pos += 1;
            prepositions += 1;
            continue;
        }
        if prepositions == 0 && c.is(keys!["to"]) && !is_extent(c, 0) {
            c.pos += 1;
            prepositions += 1;
            continue;
        }
        if c.is(keys!["post", "posts"])
            || (c.is(keys!["the"]) && c.is_at(1, keys!["post", "posts"]))
        {
            c.eat(keys!["the"]);
            c.pos += 1;
            c.eat(keys!["of"]);
            part = Part::Post;
            prepositions += 1;
            continue;
        }
        if c.is(keys!["the"]) || (c.is(keys!["a", "an"]) && prepositions > 0) {
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
        c.eat(keys!["in", "through", "working", "thru"]);
        c.eat(keys!["in", "through"]);
        match loop_words(c) {
            Some(found) if !c.is(keys!["of"]) => target.loops = found,
            _ => c.pos = from,
        }
    }
    Ok(Some(target))
}

/// What the name of a loop begins with, besides "3rd".
const LOOPS: Keys =
    keys!["the", "blo", "flo", "bl", "bls", "fl", "fls", "back", "front", "both", "third"];

/// "back loop only", "BLO", "both loops", "third loop".
pub(super) fn loop_words(c: &mut Cursor) -> Option<Loop> {
    if !c.is(LOOPS) && c.tok(0) != Some(Tok::Ordinal(3)) {
        return None;
    }
    let from = c.pos;
    c.eat(keys!["the"]);
    let short = match c.word(0) {
        "blo" => Some(Loop::Back),
        "flo" => Some(Loop::Front),
        "bl" | "bls" => Some(Loop::Back),
        "fl" | "fls" => Some(Loop::Front),
        _ => None,
    };
    if let Some(found) = short {
        c.pos += 1;
        c.eat(keys!["only"]);
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
        c.is_at(1 + hyphen, keys!["loop", "loops", "lp", "lps", "bump", "bumps"])
    });
    if let Some(mut found) = found {
        let hyphen = usize::from(c.tok(1) == Some(Tok::Hyphen));
        if c.is_at(1 + hyphen, keys!["bump", "bumps"]) {
            found = Loop::Bump;
        }
        c.pos += 2 + hyphen;
        c.eat(keys!["only"]);
        return Some(found);
    }
    c.pos = from;
    None
}

fn body(c: &mut Cursor, prepositions: usize, together: &mut bool) -> Read<Option<Target>> {
    if let Some(target) = evenly(c)? {
        return Ok(Some(target));
    }
    if let Some(reach) = bare_extent(c)? {
        return Ok(Some(new(Reach::Each(reach), PlaceKind::Stitch)));
    }
    if c.is(keys!["magic", "adjustable", "sliding", "ring", "mr", "circle"])
        || c.sees(keys!["slip", "ring"])
        || c.sees(keys!["center", "of", "ring"])
        || c.sees(keys!["centre", "of", "ring"])
    {
        c.eat(keys!["center", "centre"]);
        c.eat(keys!["of"]);
        c.eat(keys!["magic", "adjustable", "sliding", "slip"]);
        if c.eat(keys!["ring", "mr", "circle", "loop"]) {
            return Ok(Some(new(Reach::Same, PlaceKind::Ring)));
        }
        return Ok(None);
    }
    // "make a magic ring and work 6 sc into it"
    if prepositions > 0 && c.eat(keys!["it"]) {
        return Ok(Some(new(Reach::Same, PlaceKind::Stitch)));
    }
    // "in joining st", "in joined st"
    if c.is(keys!["joining", "joined"]) && !c.is_at(1, keys!["sl", "slip", "ss", "slst"]) {
        let from = c.pos;
        c.pos += 1;
        if matches!(noun(c)?, Some(PlaceKind::Stitch | PlaceKind::Named(_))) {
            return Ok(Some(new(Reach::SameAsJoin, PlaceKind::Stitch)));
        }
        c.pos = from;
    }
    if c.is(keys!["base", "bottom", "foot"]) && base_of_chain(c) {
        return Ok(Some(new(Reach::Same, PlaceKind::Stitch)));
    }
    if let Some(target) = between(c)? {
        return Ok(Some(target));
    }
    if let Some(target) = row_ends(c)? {
        return Ok(Some(target));
    }
    if let Some(target) = turning_chain_top(c)? {
        return Ok(Some(target));
    }
    if c.is(keys!["center", "centre", "middle"]) {
        return centre(c);
    }
    if let Some(target) = counted(c, prepositions, together)? {
        return Ok(Some(target));
    }
    Ok(None)
}

/// "next sp between 2 dc", "each sp between groups around", "between next 2 sts".
fn between(c: &mut Cursor) -> Read<Option<Target>> {
    // The longest that can come before it is "each of next twenty-five the sps".
    if !c.near(10, keys!["between", "betw", "bet"]) {
        return Ok(None);
    }
    let mut look = c.clone();
    let all = look.eat(keys!["each", "every", "all", "ea"]);
    look.eat(keys!["of"]);
    let next = look.eat(keys!["next", "following", "first"]);
    let mut number = if all || next { look.number() } else { None };
    look.eat(keys!["the"]);
    let several = look.is(keys!["sps", "spaces"]);
    let space = look.eat(SPACE);
    if !look.eat(keys!["between", "betw", "bet"]) || !space && (all || next) {
        return Ok(None);
    }
    look.eat(keys!["the"]);
    let each = look.eat(keys!["each", "every", "all", "any"]);
    let following = look.eat(keys!["next", "following", "first", "last"]);
    let sized = look.tok(1) == Some(Tok::Hyphen);
    let flanks = if sized { None } else { look.number() };
    let Some(place) = noun(&mut look)? else { return Ok(None) };
    // "between next st and following st"
    if look.is(keys!["and"]) && look.is_at(1, keys!["next", "following", "the", "st"]) {
        look.pos += 1;
        look.eat(keys!["the"]);
        look.eat(keys!["next", "following", "one"]);
        noun(&mut look)?;
    }
    c.pos = look.pos;
    let one = flanks.is_some() || following;
    // "sc in sp between sts around"
    let around = !next && flanks.is_none() && c.is(keys!["around", "across"]) && is_extent(c, 0);
    let reach = if all || around && !following || each || several && !one && number.is_none() {
        Reach::Each(super::tree::Extent::End)
    } else {
        Reach::Next(number.take().unwrap_or(Number::ONE))
    };
    let mut target = new(reach, place);
    suffix(c, &mut target)?;
    target.part = Part::After;
    Ok(Some(target))
}

/// A place without "next": "ch-2 sp", "corner", "5 sts", "st".
pub(super) fn plain(c: &mut Cursor, prepositions: usize) -> Read<Option<Target>> {
    let from = c.pos;
    let chain_first = words::chain_number(&mut c.clone()).is_some();
    if !chain_first
        && matches!(c.tok(0), Some(Tok::Num(_) | Tok::Hole | Tok::Word))
        && c.tok(1) != Some(Tok::Hyphen)
        && let Some(n) = c.number()
    {
        // "sc 5", and "sc in 5 sts".
        if c.eat(keys!["more"])
            || c.is(STITCH)
            || c.is(keys!["missed", "skipped", "unworked", "free"])
        {
            if c.is(keys!["missed", "skipped", "unworked", "free"]) {
                return left_over(c, Some(n)).map(Some);
            }
            c.eat(STITCH);
            let mut target = new(Reach::Next(n), PlaceKind::Stitch);
            suffix(c, &mut target)?;
            return Ok(Some(target));
        }
        if c.is(keys!["more", "times", "time", "x"]) {
            c.pos = from;
            return Ok(None);
        }
        if prepositions > 0 {
            if let Some(place) = noun(c)? {
                let mut target = new(Reach::Next(n), place);
                suffix(c, &mut target)?;
                return Ok(Some(target));
            }
            // "sc in 2, inc"
            if c.at_break() && !c.done() || matches!(c.tok(0), Some(Tok::Mark(_))) {
                return Ok(Some(new(Reach::Next(n), PlaceKind::Stitch)));
            }
            c.pos = from;
            return Ok(None);
        }
        let bare = c.at_break()
            || c.is(keys!["blo", "flo", "in", "and", "then", "around"])
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

/// Passes everything up to the next sign that parts instructions.
pub(super) fn until_break(c: &mut Cursor) {
    while !c.at_break() && !c.is(keys!["and"]) {
        c.pos += 1;
    }
}

/// Whether "single" or "foundation" begins the name of a stitch rather than describing a place.
pub(super) fn names_stitch(c: &Cursor) -> bool {
    (c.is(keys!["single"]) && c.is_at(1, keys!["crochet", "crochets"]))
        || (c.is(keys!["foundation"])
            && c.is_at(1, keys!["single", "half", "double", "treble", "triple", "quadruple"]))
}
