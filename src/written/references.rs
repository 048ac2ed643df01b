//! References to other lines: "Rep Rnds 3 and 4 five more times", "work even for 6 rnds".

use super::cursor::{Cursor, Read, times_word};
use super::extents;
use super::key::{Key, Keys, keys};
use super::lexer::Tok;
use super::nouns;
use super::places;
use super::tree::*;
use super::words::{self, Name};

const COURSE: Keys = keys!["row", "rows", "rnd", "rnds", "round", "rounds", "r"];

/// Row or round, by the word at the cursor.
pub(super) fn shape(word: Key) -> Option<Shape> {
    if keys!["rnd", "rnds", "round", "rounds", "r"].contains(word) {
        Some(Shape::Round)
    } else {
        keys!["row", "rows"].contains(word).then_some(Shape::Row)
    }
}

/// "Rep Rnd 3", "As Rnd 3", "Same as Rnds 2-4", "Work as for Rnd 3", if it comes next.
pub(super) fn again(c: &mut Cursor) -> Read<Option<Act>> {
    if !c.is(keys![
        "rep",
        "repeat",
        "reps",
        "repeating",
        "work",
        "same",
        "as",
        "continue",
        "continuing",
        "cont",
        "keep",
        "now",
        "complete",
        "make",
    ]) {
        return Ok(None);
    }
    let from = c.pos;
    // "Continue to rep Row 2 until …", "keep repeating Rnds 2 and 3 …"
    if c.is(keys!["continue", "continuing", "cont", "work", "keep"])
        && let Some(again) = in_pattern(c)?
    {
        return Ok(Some(Act::Again(again)));
    }
    if c.eat(keys!["continue", "continuing", "cont", "keep", "now"]) {
        c.eat(keys!["to", "in", "pattern", "by"]);
        c.eat(keys!["pattern", "patt"]);
        c.eat_sign(b',');
        if !c.is(keys!["rep", "repeat", "reps", "repeating", "working", "work", "as"]) {
            c.pos = from;
            return Ok(None);
        }
        c.eat(keys!["working"]);
    }
    let verb = c.eat_all(keys!["complete", "as", "for"])
        || c.eat_all(keys!["complete", "same", "as"])
        || c.eat_all(keys!["complete", "as"])
        || c.eat_all(keys!["make", "as", "for"])
        || c.eat(keys!["rep", "repeat", "reps", "repeating"])
        || c.eat_all(keys!["work", "as", "for"])
        || c.eat_all(keys!["work", "as", "in"])
        || c.eat_all(keys!["work", "same", "as"])
        || c.eat_all(keys!["same", "as", "for"])
        || c.eat_all(keys!["same", "as"])
        || c.eat_all(keys!["as", "for"])
        || c.eat_all(keys!["work", "as"])
        || c.eat(keys!["as", "work"]);
    if !verb {
        c.pos = from;
        return Ok(None);
    }
    c.eat(keys!["the"]);
    if let Some(again) = as_part(c) {
        return Ok(Some(Act::Again(again)));
    }
    let again = references(c, from)?;
    if again.is_none() {
        c.pos = from;
    }
    Ok(again.map(Act::Again))
}

/// Words for parts of a hat that may be worked twice.
const PARTS: Keys = keys![
    "earflap", "earflaps", "flap", "flaps", "side", "ear", "piece", "band", "half", "tie", "strap",
    "panel",
];

/// "first earflap", "1st side": the other piece that is worked so too.
fn as_part(c: &mut Cursor) -> Option<Again> {
    let part = (0..3).any(|i| c.is_at(i, PARTS)) && shape(c.key(0)).is_none();
    let which = c.is(keys!["first", "1st", "other", "right", "left", "previous", "second"])
        || c.ordinal_ahead()
        || (0..3).any(|i| matches!(c.tok(i), Some(Tok::Num(_))));
    if !(part && which) {
        return None;
    }
    let of = Some(part_words(c));
    let times = AgainTimes::AsLabelled;
    Some(Again { shape: Shape::Row, which: Vec::new(), last: None, of, times, ending: None })
}

fn part_words(c: &mut Cursor) -> String {
    c.eat(keys!["the"]);
    let from = c.pos;
    while !c.at_break()
        && !c.is(keys!["and", "until", "for", "from", "beginning", "starting", "but"])
    {
        c.pos += 1;
    }
    let words = c.words_since(from);
    if c.is(keys!["from"]) && shape(c.key(1)).is_some() {
        places::until_break(c);
    }
    words
}

/// "Continue in pattern for 6 more rows", "cont as established until 12 sts remain": which rows
/// make up the pattern is seen from those worked.
fn in_pattern(c: &mut Cursor) -> Read<Option<Again>> {
    let mut look = c.clone();
    look.pos += 1;
    look.eat(keys!["working", "to"]);
    look.eat(keys!["work"]);
    look.eat(keys!["even"]);
    let from = look.pos;
    if super::shaping::shapes(&look).is_some() {
        look.pos += 1;
    }
    // "work 3 more rnds as established"
    let mut counted = look.clone();
    let courses = counted.number().filter(|_| {
        counted.eat(keys!["more", "further"]);
        !counted.is(keys!["r"]) && counted.eat(COURSE)
    });
    if courses.is_some() {
        look.pos = counted.pos;
    }
    look.eat(keys!["rounds", "rnds", "rows"]);
    loop {
        let said =
            look.eat(keys!["in", "the", "this", "same", "as", "established", "set", "given"]);
        if !(said || look.eat(keys!["pattern", "patt", "manner", "way", "sequence", "pat"])) {
            break;
        }
    }
    let told = (from..look.pos).any(|i| {
        look.within(i, look.end).is(keys![
            "pattern",
            "patt",
            "manner",
            "way",
            "pat",
            "established",
            "set",
        ])
    });
    if !told {
        return Ok(None);
    }
    look.eat_sign(b',');
    // "…, working 1 less sc between decs each rnd, until 6 sts remain"
    if look.is(keys![
        "working",
        "with",
        "having",
        "dec",
        "decreasing",
        "inc",
        "increasing",
        "making"
    ]) {
        let mut until = look.clone();
        while !until.done() && !until.is(keys!["until", "till"]) && !until.sign(b'.') {
            until.pos += 1;
        }
        if until.is(keys!["until", "till"]) {
            look.pos = until.pos;
        }
    }
    let times = AgainTimes::AsLabelled;
    let shape = Shape::Round;
    let mut again = Again { shape, which: Vec::new(), last: None, of: None, times, ending: None };
    let at = look.pos;
    let mut often = how_often(&mut look, &mut again)?;
    if let Some(n) = courses.filter(|_| !often) {
        again.times = AgainTimes::Courses(n);
        often = true;
    }
    let whole = !often && look.at_break() && c.is(keys!["work", "continue", "continuing", "cont"]);
    if !often && !whole || matches!(again.times, AgainTimes::Times(_)) {
        return Ok(None);
    }
    let row = (from.min(at)..look.pos).any(|i| look.within(i, look.end).is(keys!["row", "rows"]));
    if row {
        again.shape = Shape::Row;
    }
    c.pos = look.pos;
    Ok(Some(again))
}

fn references(c: &mut Cursor, from: usize) -> Read<Option<Again>> {
    let mut which = Vec::new();
    let mut last = None;
    let word_shape;
    if c.is(keys!["last", "previous", "preceding", "these", "those"]) {
        c.pos += 1;
        let n = c.number();
        let Some(found) = shape(c.key(0)) else { return Ok(None) };
        word_shape = found;
        c.pos += 1;
        last = Some(n.unwrap_or(Number::ONE));
    } else {
        let Some(found) = shape(c.key(0)) else { return Ok(None) };
        word_shape = found;
        c.pos += 1;
        while let Some(a) = c.number() {
            let mut b = a.clone();
            let joined = c.tok(0) == Some(Tok::Hyphen) || c.is(keys!["to", "through", "thru"]);
            // "Rep Rnd 10 — 72 hdc" ends in a count; "Rnds 2 – 5" is a range.
            let apart = c.tok(0) == Some(Tok::Dash) && {
                let mut look = c.clone();
                look.pos += 1;
                look.number().is_some()
                    && (look.at_break() || look.is(keys!["and", "until", "for"]))
            };
            if joined || apart {
                let mark = c.pos;
                c.pos += 1;
                match c.number() {
                    Some(n) => b = n,
                    None => c.pos = mark,
                }
            }
            which.push((a, b));
            let mark = c.pos;
            c.eat_sign(b',');
            c.eat(keys!["and", "then"]);
            c.eat_sign(b'&');
            c.eat(COURSE);
            let numeral = matches!(c.tok(0), Some(Tok::Num(_) | Tok::Hole));
            // "Rnds 3 and 4 five more times", "Row 2, 4 more times": a number of times.
            let mut look = c.clone();
            look.number();
            if c.pos == mark || !numeral || look.is(keys!["more", "times", "time", "x"]) {
                c.pos = mark;
                break;
            }
        }
        if which.is_empty() {
            c.pos = from;
            return Ok(None);
        }
    }
    let times = AgainTimes::AsLabelled;
    let mut again = Again { shape: word_shape, which, last, of: None, times, ending: None };
    if c.is(keys!["of", "from", "for"])
        && (c.is_at(1, PARTS) || c.is_at(2, PARTS) || c.is_at(3, PARTS))
    {
        c.pos += 1;
        again.of = Some(part_words(c));
    }
    loop {
        let mark = c.pos;
        c.eat_sign(b',');
        if again.ending.is_none() && ending(c, &mut again) {
            continue;
        }
        if again.times == AgainTimes::AsLabelled && how_often(c, &mut again)? {
            continue;
        }
        if c.eat(keys!["as", "in"])
            && c.eat(keys!["established", "pattern", "patt", "order", "sequence"])
        {
            continue;
        }
        c.pos = mark;
        break;
    }
    Ok(Some(again))
}

/// "ending with a Row 3".
fn ending(c: &mut Cursor, again: &mut Again) -> bool {
    let from = c.pos;
    if c.eat(keys!["ending", "end", "finishing"]) && c.eat(keys!["with", "after", "on"]) {
        c.eat(keys!["a", "an"]);
        if shape(c.key(0)).is_some() {
            c.pos += 1;
            if let Some(n) = c.number() {
                again.ending = Some(n);
                return true;
            }
        }
    }
    c.pos = from;
    false
}

fn how_often(c: &mut Cursor, again: &mut Again) -> Read<bool> {
    let from = c.pos;
    if c.eat(keys!["until", "till", "to"]) {
        c.eat(keys!["you", "there"]);
        c.eat(keys!["have", "are", "is", "a", "total", "of", "only"]);
        c.eat(keys!["only", "a"]);
        c.eat(keys!["total"]);
        c.eat(keys!["of"]);
        if let Some(n) = c.number() {
            if c.is(COURSE) {
                places::until_break(c);
                again.times = AgainTimes::UntilWorked(n);
                return Ok(true);
            }
            if nouns::noun(c)?.is_some() || c.at_break() || c.is(keys!["remain", "rem", "left"]) {
                places::until_break(c);
                again.times = AgainTimes::UntilRemain(n);
                return Ok(true);
            }
        }
        c.pos = from;
        return Ok(false);
    }
    if c.eat(keys!["for"]) {
        c.eat(keys!["a", "total", "the", "next", "another"]);
        c.eat(keys!["total", "further"]);
        c.eat(keys!["of"]);
        if let Some(n) = c.number() {
            c.eat(keys!["more", "further", "additional"]);
            if c.eat(COURSE) {
                again.times = AgainTimes::Courses(n);
                return Ok(true);
            }
            if c.eat(keys!["times"]) {
                again.times = AgainTimes::Times(n);
                return Ok(true);
            }
        }
        c.pos = from;
        return Ok(false);
    }
    c.eat(keys!["a"]);
    c.eat(keys!["further", "another", "additional"]);
    let n = match times_word(c.key(0)) {
        Some(n) => {
            c.pos += 1;
            c.eat(keys!["more"]);
            Some(Number::Plain(n))
        }
        None => match c.number() {
            Some(n) => {
                let more = c.eat(keys!["more", "further", "additional"]);
                if c.eat(COURSE) {
                    again.times = AgainTimes::Courses(n);
                    return Ok(true);
                }
                (c.eat(keys!["times", "time", "x"]) || (more && c.at_break())).then(|| {
                    c.eat(keys!["more"]);
                    n
                })
            }
            None => None,
        },
    };
    match n {
        Some(n) => {
            again.times = AgainTimes::Times(n);
            Ok(true)
        }
        None => {
            c.pos = from;
            Ok(false)
        }
    }
}

/// "work even for 6 rnds", "work 6 rnds even", "work even until 20 rnds in all".
pub(super) fn even(c: &mut Cursor) -> Read<Option<Even>> {
    let from = c.pos;
    let verb = c.eat(keys!["work", "working", "continue", "cont"]);
    if !verb && !matches!(c.tok(0), Some(Tok::Num(_) | Tok::Hole)) {
        return Ok(None);
    }
    let mut even = Even { count: None, until: None, kind: None, shaping: None };
    if verb && c.eat(keys!["even", "straight", "evenly"]) {
        loop {
            if c.eat(keys!["in"]) {
                match words::stitch(c)? {
                    Some(Name::One(kind)) => even.kind = Some(kind),
                    _ => places::until_break(c),
                }
            } else if c.eat(keys!["for"]) {
                c.eat(keys!["the", "next"]);
                even.count = c.number();
                c.eat(keys!["more", "further"]);
                c.eat(COURSE);
            } else if c.eat(keys!["until", "till", "to"]) {
                c.eat(keys!["you", "there"]);
                c.eat(keys!["have", "are"]);
                even.until = c.number();
                places::until_break(c);
            } else if extents::extent(c)?.is_none() {
                break;
            }
        }
        return Ok(Some(even));
    }
    if let Some(n) = c.number() {
        c.eat(keys!["more", "further"]);
        if c.eat(COURSE) {
            let said = c.eat(keys!["even", "straight"]) || c.eat_all(keys!["without", "shaping"]);
            // "5 more rounds of sc"
            let of = if said { c.eat(keys!["in"]) } else { c.eat(keys!["in", "of"]) };
            if of && let Some(Name::One(kind)) = words::stitch(c)? {
                even.kind = Some(kind);
            }
            if said || even.kind.is_some() && c.at_break() {
                even.count = Some(n);
                return Ok(Some(even));
            }
        }
    }
    c.pos = from;
    Ok(None)
}
