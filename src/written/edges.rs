//! Other edges: the far side of the foundation, free loops, row ends, seams, the gathered top.

use super::cursor::Cursor;
use super::cursor::Read;
use super::extents;
use super::key::keys;
use super::places;
use super::tree::{Act, Edge, Loop, Number, Seam, Words};

/// An edge to go along: "along opposite side of foundation ch", "in free front loops of Rnd 2".
pub(super) fn edge(c: &mut Cursor) -> Read<Option<Edge>> {
    let from = c.pos;
    c.eat(keys!["in", "along", "across", "on", "around", "into", "down", "up", "over"]);
    c.eat(keys!["the"]);
    let opposite = c.eat(keys!["opposite", "other", "free", "second", "bottom"]);
    let free = opposite && c.tokens.get(c.pos - 1).is_some_and(|t| t.is(keys!["free"]));
    let unused = c.eat(keys!["unused", "remaining", "unworked"]) || free;
    if unused && let Some(loops) = places::loop_words(c) {
        let of = round_of(c);
        places::until_break(c);
        return Ok(Some(Edge::FreeLoops { loops, of }));
    }
    if unused && c.eat(keys!["loops", "lps"]) {
        let of = round_of(c);
        return Ok(Some(Edge::FreeLoops { loops: Loop::Front, of }));
    }
    if c.is(keys!["front", "back"])
        && let mut look = c.clone()
        && let Some(loops) = places::loop_words(&mut look)
        && look.is(keys!["of"])
        && let Some(of) = round_of(&mut look)
    {
        c.pos = look.pos;
        return Ok(Some(Edge::FreeLoops { loops, of: Some(of) }));
    }
    if opposite && !unused {
        let side = c.eat(keys!["side", "edge", "sides"]);
        if c.eat(keys!["of"]) {
            c.eat(keys!["the"]);
            if c.eat(keys!["foundation", "starting", "beginning", "beg", "base", "ch", "chain"]) {
                c.eat(keys!["ch", "chain", "row"]);
                return Ok(Some(Edge::FoundationOpposite));
            }
        }
        if side && c.at_break() {
            return Ok(Some(Edge::FoundationOpposite));
        }
        c.pos = from;
        return Ok(None);
    }
    if c.eat(keys!["foundation", "starting", "beginning"]) {
        c.eat(keys!["ch", "chain", "edge", "row"]);
        if c.at_break() {
            return Ok(Some(Edge::Foundation));
        }
    }
    if (c.eat(keys!["row"]) && (c.eat(keys!["ends", "edges"])))
        || (c.eat(keys!["ends", "sides"]) && c.eat(keys!["of"]) && c.eat(keys!["the", "rows"]))
    {
        c.eat(keys!["rows"]);
        extents::extent(c)?;
        if c.at_break() {
            return Ok(Some(Edge::Side));
        }
    }
    c.pos = from;
    Ok(None)
}

pub(super) fn round_of(c: &mut Cursor) -> Option<Number> {
    if !c.eat(keys!["of", "from", "on"]) {
        return None;
    }
    c.eat(keys!["the"]);
    if !c.eat(keys!["rnd", "round", "row", "r"]) {
        return None;
    }
    c.number()
}

/// "Thread tail through remaining sts": the top is gathered. "Weave in ends" is a remark.
pub(super) fn gather(c: &mut Cursor) -> Act {
    let from = c.pos;
    let verb = c.word(0);
    places::until_break(c);
    let words = c.words_since(from);
    let low = words.to_ascii_lowercase();
    let through = low.contains("through")
        && (low.contains("st") || low.contains("loop") || low.contains("lps"));
    if through || matches!(verb, "gather" | "cinch") {
        return Act::Gather(Words(words));
    }
    Act::Remark(words)
}

/// "whip st first and last rows together", "sew side seam".
pub(super) fn sewn(c: &mut Cursor) -> Act {
    let from = c.pos;
    places::until_break(c);
    while c.eat(keys!["and"]) {
        places::until_break(c);
    }
    let words = c.words_since(from);
    Act::Seam(Seam { with: None, count: None, to_foundation: names_both_edges(&words), words })
}

/// Whether the words name the last row and the foundation (or first row) as what is joined.
pub(super) fn names_both_edges(words: &str) -> bool {
    let low = words.to_ascii_lowercase();
    let says = |words: &[&str]| words.iter().any(|w| low.contains(w));
    let ends = ["short ends", "short edges", "short sides", "both ends", "two ends", "the ends"];
    says(&["last", "final", "ends", "edges"])
        && says(&["foundation", "first", "starting ch", "beginning"])
        || low.contains("together") && says(&ends)
}
