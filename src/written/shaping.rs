//! Shaping in so many words: "dec 6 sts evenly around", "dec 1 st at each end of every row
//! until 4 sts remain".

use super::cursor::{Cursor, Read};
use super::extents::{extent, until_remain};
use super::key::{Keys, keys};
use super::nouns::noun;
use super::places::{ROUND, STITCH, until_break};
use super::references::shape;
use super::tree::{Act, Even, Number, ShapedAt, Shaping};

const SHAPES: Keys = keys![
    "dec",
    "decs",
    "decrease",
    "decreasing",
    "inc",
    "incs",
    "increase",
    "increasing",
    "decreased",
    "increased",
];

/// Whether the word at the cursor gains or loses stitches; `None` if it does neither.
pub(super) fn shapes(c: &Cursor) -> Option<bool> {
    c.is(SHAPES).then(|| c.word(0).starts_with("inc"))
}

/// A whole row in so many words, if it comes next.
pub(super) fn shaped(c: &mut Cursor) -> Read<Option<Act>> {
    let from = c.pos;
    c.eat(keys!["continue", "continuing", "cont", "keep", "work", "working"]);
    c.eat(keys!["to"]);
    c.eat(keys!["even", "in"]);
    c.eat(keys!["pattern", "patt"]);
    c.eat_sign(b',');
    let Some(grows) = shapes(c) else {
        c.pos = from;
        return Ok(None);
    };
    c.pos += 1;
    if let Some(n) = evenly(c)? {
        let shaping = Some(Shaping { grows, at: ShapedAt::Evenly(n) });
        return Ok(Some(Act::Even(Even { count: None, until: None, kind: None, shaping })));
    }
    if let Some((count, at)) = at_ends(c)? {
        let shaping = Some(Shaping { grows, at });
        return Ok(Some(Act::Even(Even { count, until: None, kind: None, shaping })));
    }
    c.pos = from;
    Ok(None)
}

/// "6 sts evenly spaced around", "6 times evenly", "evenly" behind a number.
pub(super) fn evenly(c: &mut Cursor) -> Read<Option<Number>> {
    let from = c.pos;
    c.eat(keys!["by"]);
    let Some(n) = c.number() else { return Ok(None) };
    c.eat(STITCH);
    c.eat(keys!["times", "decreases", "increases", "decs", "incs"]);
    if !spaced(c)? {
        c.pos = from;
        return Ok(None);
    }
    Ok(Some(n))
}

/// "evenly", "evenly spaced", "spaced evenly around".
pub(super) fn spaced(c: &mut Cursor) -> Read<bool> {
    let from = c.pos;
    c.eat(keys!["spaced"]);
    if !c.eat(keys!["evenly"]) {
        c.pos = from;
        return Ok(false);
    }
    c.eat(keys!["spaced", "spread", "distributed"]);
    c.eat(keys!["out"]);
    extent(c)?;
    if c.is(keys!["in", "over", "along"]) && c.is_at(1, keys!["this", "the", "next"]) {
        until_break(c);
    }
    Ok(true)
}

/// "1 st at each end", "1 st each side of next 3 rows", "at both ends of every row until 4 sts
/// remain".
pub(super) fn at_ends(c: &mut Cursor) -> Read<Option<(Option<Number>, ShapedAt)>> {
    let from = c.pos;
    if let Some(n) = c.number() {
        if n != Number::ONE {
            c.pos = from;
            return Ok(None);
        }
        c.eat(STITCH);
    }
    c.eat(keys!["at", "on"]);
    let each = c.eat(keys!["each", "both"])
        && c.eat(keys!["end", "ends", "side", "sides", "edge", "edges"]);
    let named = !each && {
        c.eat(keys!["the"]);
        c.eat(keys!["beg", "beginning", "start"]) && c.eat(keys!["and"]) && {
            c.eat(keys!["at", "the"]);
            c.eat(keys!["the"]);
            c.eat(keys!["end"])
        }
    };
    if !(each || named) {
        c.pos = from;
        return Ok(None);
    }
    let mut every = 1;
    let mut count = None;
    let mut until = None;
    if c.eat(keys!["of", "on", "in"]) {
        c.eat(keys!["the", "this"]);
        let next = c.eat(keys!["next", "following", "foll"]);
        let n = c.number();
        let course = shape(c.key(0)).is_some();
        if course {
            c.pos += 1;
        }
        let and = c.eat(keys!["and"]);
        if and || !next && !course {
            c.eat(keys!["then"]);
            let all = c.eat(keys!["every", "each", "all"]);
            c.eat(keys!["following", "foll"]);
            if c.eat(keys!["other", "alternate", "alt", "2nd", "second"]) || c.ordinal().is_some() {
                if all && !next {
                    c.pos = from;
                    let said = "“every other row” does not say whether the next row is one of them";
                    return c.stop("doubtful", said).map_err(|mut stop| {
                        stop.help = Some(
                            "write “of next and every other row”, or write the rows out".to_owned(),
                        );
                        stop
                    });
                }
                every = 2;
            }
            c.eat(keys!["following", "foll"]);
            c.eat(ROUND);
            c.eat(keys!["thereafter"]);
        } else if next {
            count = Some(n.unwrap_or(Number::ONE));
        }
    }
    loop {
        let mark = c.pos;
        c.eat_sign(b',');
        if until.is_none() && c.eat(keys!["until", "till"]) {
            if let Some((n, _)) = until_remain(c) {
                until = Some(n);
                continue;
            }
            c.eat(keys!["you", "there"]);
            c.eat(keys!["have", "are"]);
            if let Some(n) = c.number()
                && noun(c)?.is_some()
            {
                until = Some(n);
                continue;
            }
        } else if count.is_none() && until.is_none() {
            c.eat(keys!["for"]);
            let n = match super::cursor::times_word(c.key(0)) {
                Some(n) => {
                    c.pos += 1;
                    Some(Number::Plain(n))
                }
                None => c.number().filter(|_| c.eat(keys!["times"]) || c.eat(ROUND)),
            };
            if n.is_some() {
                count = n;
                c.eat(keys!["in"]);
                c.eat(keys!["all", "total"]);
                continue;
            }
        }
        c.pos = mark;
        break;
    }
    Ok(Some((count, ShapedAt::Ends { every, until })))
}
