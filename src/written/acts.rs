//! Instructions that name no stitch: chains, joins, turns, skips, loops for a whole line.

use super::abbreviations::COMMONEST;
use super::beginnings::{chain, from_hook, made_ring, ring};
use super::cursor::{Cursor, Read};
use super::edges::{edge, gather, sewn};
use super::joining::{closing, colour, hook, join, slip_to_join};
use super::key::keys;
use super::lexer::Tok;
use super::passing::{leave, passes_by, skip};
use super::places;
use super::references;
use super::remarks::{REMARKS, clause_says, is_known_phrase, remark, rest_of_clause};
use super::shaping;
use super::steps::{Acts, Run};
use super::tree::*;
use super::unread;
use super::words;
use smallvec::smallvec;

/// What is done, if the next words name something other than a stitch.
pub(super) fn act(c: &mut Cursor, out: &mut Run, sentence: bool) -> Read<Option<Acts>> {
    let one = |act: Act| Ok(Some(smallvec![act]));
    // The commonest words begin nothing of this kind: they are not asked for all of it.
    if c.is(COMMONEST) {
        return Ok(None);
    }
    if let Some(chain) = chain(c)? {
        return one(Act::Chain(chain));
    }
    // "Rnd 11: flo: 2 sc in each st"
    let mut look = c.clone();
    if let Some(loops) = places::loop_words(&mut look)
        && look.at_break()
        && !look.done()
    {
        c.pos = look.pos;
        return one(Act::LineLoop(loops));
    }
    if let Some(again) = references::again(c)? {
        return one(again);
    }
    if let Some(shaped) = shaping::shaped(c)? {
        return one(shaped);
    }
    if matches!(c.tok(0), Some(Tok::Num(_) | Tok::Hole))
        && let Some(even) = references::even(c)?
    {
        return one(Act::Even(even));
    }
    match c.word(0) {
        "the" | "last" | "final" | "with" | "placing" | "putting" | "ending" | "making"
            if is_last_one(c, out) =>
        {
            remark(c).map(|r| Some(smallvec![r]))
        }
        "turn" | "turning" if !is_out(c) => {
            if c.is(keys!["turning"]) && c.is_at(1, keys!["ch", "chain"]) {
                return Ok(None);
            }
            c.pos += 1;
            c.eat(keys!["your", "the"]);
            c.eat(keys!["work", "piece"]);
            one(Act::Turn)
        }
        "turn" => remark(c).map(|r| Some(smallvec![r])),
        "rotate" | "rotating" | "continue" | "continuing" | "cont" if goes_along(c) => {
            work(c, sentence)
        }
        "magic" | "mr" | "adjustable" | "sliding" => {
            if !ring(c) {
                return Ok(None);
            }
            one(Act::Ring)
        }
        "make" | "form" | "into" | "in" | "start" | "begin" | "work" | "working" | "using"
            if made_ring(c) =>
        {
            one(Act::Ring)
        }
        "do" | "don't" | "dont" | "without" | "not" => Ok(refusal(c).map(|a| smallvec![a])),
        "place" | "placing" | "put" | "crochet" if places_stitch(c) => Ok(None),
        "join" | "rejoin" | "attach" | "joining" => join(c, out).map(Some),
        "close" | "closing" if closes_round(c) => {
            c.pos += 1;
            c.eat(keys!["the"]);
            let ring = c.eat(keys!["ring"]);
            c.eat(keys!["rnd", "round", "work"]);
            closing(c, ring).map(|j| Some(smallvec![j]))
        }
        "sl" | "slip" | "ss" | "slst" => slip_to_join(c, out),
        "skip" | "sk" | "miss" | "skipping" | "missing" | "omit" => skip(c),
        "leave" | "leaving" => Ok(Some(leave(c, out)?)),
        "fasten" | "finish" | "break" | "end" | "cut" if c.is_at(1, keys!["off", "yarn"]) => {
            c.pos += 2;
            rest_of_clause(c);
            one(Act::FastenOff)
        }
        "fo" => {
            c.pos += 1;
            one(Act::FastenOff)
        }
        "with" | "w/" | "using" | "changing" | "change" | "switch" | "switching" | "drop"
        | "dropping" | "in" => {
            if let Some(colour) = colour(c) {
                return one(Act::Colour(colour));
            }
            let from = c.pos;
            if hook(c) {
                return one(Act::Remark(c.words_since(from)));
            }
            loop_clause(c, sentence)
        }
        "through" | "working" | "work" | "along" | "now" | "down" | "up" | "on" => {
            work(c, sentence)
        }
        "until" | "till" if measured(c) => remark(c).map(|r| Some(smallvec![r])),
        "weave" | "thread" | "gather" | "run" | "draw" | "weaving" | "pull" | "cinch" => {
            Ok(Some(smallvec![gather(c)]))
        }
        "ending" | "finishing" if c.is_at(1, keys!["at"]) => remark(c).map(|r| Some(smallvec![r])),
        "ending" | "end" | "finishing" | "finish" => {
            ending(c);
            Ok(Some(Acts::new()))
        }
        "sew" | "whip" | "whipstitch" | "seam" | "mattress" | "graft" => {
            Ok(Some(smallvec![sewn(c)]))
        }
        "rs" | "ws" if !c.is_at(1, keys!["together"]) => remark(c).map(|r| Some(smallvec![r])),
        "x" => unread::unknown(c),
        "the" if clause_says(c, keys!["is", "are"]) => remark(c).map(|r| Some(smallvec![r])),
        word if c.is(REMARKS) => {
            if let Some(skipped) = from_hook(c)? {
                return one(skipped);
            }
            // "first" and "next" begin a place, never a remark of their own.
            if matches!(
                word,
                "first"
                    | "last"
                    | "next"
                    | "sts"
                    | "stitches"
                    | "across"
                    | "to"
                    | "make"
                    | "making"
                    | "for"
                    | "again"
            ) && !is_known_phrase(c)
            {
                return Ok(None);
            }
            remark(c).map(|r| Some(smallvec![r]))
        }
        _ => Ok(None),
    }
}

/// "rotate to work along …", "continue along …": the cursor then stands on what is gone along.
fn goes_along(c: &mut Cursor) -> bool {
    let from = c.pos;
    c.pos += 1;
    c.eat(keys!["piece", "work", "hat"]);
    c.eat(keys!["and", "to"]);
    c.eat(keys!["continue", "now"]);
    c.eat(keys!["to"]);
    let works = c.is(keys!["work", "working"]);
    let along = works || c.is(keys!["along", "down", "up", "on", "across"]);
    let mut look = c.clone();
    look.eat(keys!["work", "working"]);
    if along && matches!(edge(&mut look), Ok(Some(_))) {
        return true;
    }
    c.pos = from;
    false
}

/// Whether the steps so far went along all of the row.
pub(super) fn walked(out: &Run) -> bool {
    let to_end = |t: &Target| matches!(t.reach, Reach::Each(Extent::End) | Reach::Remaining(None));
    match out.steps.last().map(|s| &s.act) {
        Some(Act::Work(work)) => work.targets.last().is_some_and(to_end),
        Some(Act::Repeat(repeat)) => repeat.times == Times::Around,
        _ => false,
    }
}

/// "the last sc in top of turning ch" behind a walk to the end: it only says where the last one
/// goes.
fn is_last_one(c: &Cursor, out: &Run) -> bool {
    let mut look = c.clone();
    look.eat(keys!["with", "placing", "putting", "ending", "making"]);
    look.eat(keys!["with"]);
    look.eat(keys!["the"]);
    walked(out)
        && look.eat(keys!["last", "final"])
        && (look.eat(keys!["one", "st", "stitch"])
            || matches!(words::stitch(&mut look), Ok(Some(_))))
        && look.is(keys!["in", "into", "worked", "being", "made", "going", "goes"])
}

/// Whether "place" puts a stitch somewhere, rather than a marker.
fn places_stitch(c: &Cursor) -> bool {
    let mut look = c.clone();
    look.pos += 1;
    look.eat(keys!["a", "the", "first"]);
    look.number();
    matches!(look.tok(0), Some(Tok::Sign(b'(' | b'[')))
        || matches!(words::stitch(&mut look), Ok(Some(_)))
}

/// Whether "close" says how the round is closed: "close rnd with a sl st", "close into a ring".
fn closes_round(c: &Cursor) -> bool {
    let mut look = c.clone();
    look.pos += 1;
    look.eat(keys!["the"]);
    look.is(keys!["rnd", "round", "with", "w/", "rnds", "ring", "into", "work"])
}

/// "until the piece measures 7 in": a length, which no count tells.
fn measured(c: &Cursor) -> bool {
    let mut look = c.clone();
    let mut said = false;
    while !look.at_break() || look.sign(b'"') {
        said |= look.is(keys![
            "measures",
            "measure",
            "measuring",
            "long",
            "tall",
            "deep",
            "length",
            "depth",
        ]);
        look.pos += 1;
    }
    said
}

fn is_out(c: &Cursor) -> bool {
    let work = c.is_at(1, keys!["the"]) && c.is_at(2, keys!["work", "piece"]);
    !work
        && c.is_at(
            1,
            keys!["rs", "ws", "right", "inside", "the", "hat", "to", "up", "down", "brim", "cuff"],
        )
}

/// "do not join", "do not turn", "do not work last 3 sts".
fn refusal(c: &mut Cursor) -> Option<Act> {
    let from = c.pos;
    if c.eat(keys!["do"]) {
        c.eat(keys!["not"]);
    } else {
        c.pos += 1;
    }
    let act = match c.word(0) {
        "join" | "joining" | "close" => {
            c.pos += 1;
            c.eat(keys!["rnds", "rounds", "rnd", "round"]);
            if c.eat(keys!["or"]) {
                c.eat(keys!["turn"]);
            }
            Act::NoJoin
        }
        "turn" | "turning" => {
            c.pos += 1;
            Act::NoTurn
        }
        "work" | "working" => {
            c.pos += 1;
            c.eat(keys!["in", "into", "the"]);
            c.eat(keys!["last", "remaining", "rem", "next"]);
            let count = c.number();
            c.eat(keys!["st", "sts", "stitches", "stitch"]);
            Act::Leave(Leave { count })
        }
        _ => {
            c.pos = from;
            places::until_break(c);
            Act::Remark(c.words_since(from))
        }
    };
    Some(act)
}

/// "In back loops only," as a clause of its own: holds for the whole line.
fn loop_clause(c: &mut Cursor, _sentence: bool) -> Read<Option<Acts>> {
    let from = c.pos;
    if c.eat(keys!["in", "through"]) {
        if let Some(loops) = places::loop_words(c) {
            c.eat(keys!["throughout"]);
            if c.of_each() {
                c.pos = from;
                return Ok(None);
            }
            if c.at_break() {
                return Ok(Some(smallvec![Act::LineLoop(loops)]));
            }
        }
        c.pos = from;
        return Ok(None);
    }
    remark(c).map(|r| Some(smallvec![r]))
}

/// "work even", "working along opposite side of foundation ch", "working in blo".
fn work(c: &mut Cursor, sentence: bool) -> Read<Option<Acts>> {
    let from = c.pos;
    if let Some(even) = references::even(c)? {
        return Ok(Some(smallvec![Act::Even(even)]));
    }
    if c.is(keys!["through"]) {
        return loop_clause(c, sentence);
    }
    let gerund = c.is(keys!["working", "along", "now"]);
    c.eat(keys!["now"]);
    c.eat(keys!["work", "working"]);
    let bare = c.pos;
    // "working last dc in top of turning ch" only says where the last one goes.
    if gerund
        && (c.is(keys!["last", "first", "final"])
            || (c.is(keys!["the"]) && c.is_at(1, keys!["last", "final"])))
    {
        places::until_break(c);
        return Ok(Some(smallvec![Act::Remark(c.words_since(from))]));
    }
    if gerund && passes_by(c) {
        return Ok(Some(smallvec![Act::Remark(c.words_since(from))]));
    }
    if let Some(edge) = edge(c)? {
        return Ok(Some(smallvec![Act::Along(edge)]));
    }
    c.pos = bare;
    c.eat(keys!["in", "through", "into", "only"]);
    if let Some(loops) = places::loop_words(c) {
        if c.eat(keys!["of"]) {
            c.eat(keys!["the", "foundation", "each", "all"]);
            c.eat(keys!["ch", "chs", "chain", "chains", "sts", "st"]);
        }
        c.eat(keys!["throughout"]);
        if c.at_break() {
            return Ok(Some(smallvec![Act::LineLoop(loops)]));
        }
    }
    c.pos = bare;
    let remarkable = gerund
        || c.sees(keys!["in", "a", "spiral"])
        || (c.is(keys!["in"])
            && clause_says(c, keys!["spiral", "continuous", "rounds", "rnds", "rows"]))
        || c.sees(keys!["in", "rounds"])
        || c.sees(keys!["in", "rnds"])
        || c.sees(keys!["in", "rows"])
        || c.sees(keys!["in", "joined"])
        || c.is(keys!["back", "loosely", "tightly"]);
    if !remarkable {
        c.pos = from;
        return Ok(None);
    }
    // "working 2 sc in next st" is an instruction after all.
    let mut look = c.clone();
    look.number();
    if gerund
        && (matches!(words::stitch(&mut look), Ok(Some(_))) || look.sign(b'('))
        && c.pos < c.end
    {
        c.pos = bare;
        return Ok(Some(Acts::new()));
    }
    places::until_break(c);
    Ok(Some(smallvec![Act::Remark(c.words_since(from))]))
}

/// "ending with", "end last rep with": what follows closes the line.
fn ending(c: &mut Cursor) {
    c.pos += 1;
    c.eat(keys!["the"]);
    if c.eat(keys!["last", "final"]) {
        c.eat(keys!["rep", "repeat"]);
    }
    c.eat(keys!["with", "by", "on"]);
    c.eat(keys!["working", "a", "an"]);
}

impl Cursor<'_> {
    /// An ordinal other than "first", which names a stitch and not a chain.
    pub(super) fn ordinal_not_first(&mut self) -> Option<Number> {
        if self.is(keys!["first"]) || self.tok(0) == Some(Tok::Ordinal(1)) {
            None
        } else {
            self.ordinal()
        }
    }

    /// Whether "of each st" or the like follows a loop.
    fn of_each(&self) -> bool {
        self.is(keys!["of"])
    }
}
