//! Instructions that name no stitch: chains, joins, turns, skips, colours, seams, remarks.

use super::brackets::counts_behind;
use super::cursor::{Cursor, Read};
use super::joining::{closing, colour, join, slip_to_join};
use super::lexer::Tok;
use super::places;
use super::references;
use super::steps::{self, Run};
use super::tree::*;
use super::words::{self};

/// Words that begin a remark: something to mind while working that changes no count.
const REMARKS: &[&str] = &[
    "being",
    "be",
    "taking",
    "take",
    "careful",
    "carefully",
    "making",
    "make",
    "holding",
    "hold",
    "carrying",
    "carry",
    "place",
    "placing",
    "pm",
    "move",
    "moving",
    "mark",
    "marking",
    "remove",
    "removing",
    "use",
    "using",
    "weave",
    "weaving",
    "loosely",
    "tightly",
    "cut",
    "trim",
    "hide",
    "secure",
    "securing",
    "pull",
    "pulling",
    "draw",
    "drawing",
    "tighten",
    "insert",
    "drop",
    "dropping",
    "pick",
    "keeping",
    "keep",
    "continue",
    "cont",
    "continuing",
    "rs",
    "ws",
    "right",
    "wrong",
    "fold",
    "folding",
    "pin",
    "flip",
    "rotate",
    "rotating",
    "lay",
    "line",
    "block",
    "stuff",
    "see",
    "note",
    "begin",
    "start",
    "marker",
    "attach",
    "rejoin",
    "position",
    "this",
    "these",
    "it",
    "piece",
    "push",
    "pushing",
    "maintaining",
    "tie",
    "knot",
    "alternating",
    "alternate",
    "matching",
    "repeating",
    "starting",
    "beginning",
    "steam",
    "wash",
    "lightly",
    "firmly",
    "neatly",
    "enlarge",
    "adjust",
    "check",
    "mind",
    "sts",
    "stitches",
    "for",
    "from",
    "to",
    "close",
    "closing",
    "always",
    "first",
    "last",
    "next",
    "hat",
    "crown",
    "brim",
    "edges",
    "ends",
    "tail",
    "yarn",
    "thread",
    "run",
    "gather",
    "gathering",
    "across",
    "without",
    "only",
    "twist",
    "wrong-side",
    "unused",
    "not",
    "throughout",
    "again",
    "adjusting",
];

/// What is done, if the next words name something other than a stitch.
pub(super) fn act(c: &mut Cursor, out: &mut Run, sentence: bool) -> Read<Option<Vec<Act>>> {
    let one = |act: Act| Ok(Some(vec![act]));
    if let Some(chain) = chain(c)? {
        return one(Act::Chain(chain));
    }
    if let Some(again) = references::again(c)? {
        return one(again);
    }
    match c.word(0) {
        "turn" | "turning" if !is_out(c) => {
            if c.is(&["turning"]) && c.is_at(1, &["ch", "chain"]) {
                return Ok(None);
            }
            c.pos += 1;
            c.eat(&["work", "piece"]);
            one(Act::Turn)
        }
        "turn" => remark(c).map(|r| Some(vec![r])),
        "magic" | "mr" | "adjustable" => {
            if !ring(c) {
                return Ok(None);
            }
            one(Act::Ring)
        }
        "make" | "form" | "into" | "start" | "begin" if made_ring(c) => one(Act::Ring),
        "do" | "don't" | "dont" | "without" | "not" => Ok(refusal(c).map(|a| vec![a])),
        "join" | "rejoin" | "attach" | "joining" => join(c, out).map(Some),
        "close" if c.is_at(1, &["rnd", "round", "with", "rnds", "ring"]) => {
            c.pos += 1;
            c.eat(&["rnd", "round", "ring"]);
            closing(c, false).map(|j| Some(vec![j]))
        }
        "sl" | "slip" | "ss" => slip_to_join(c, out),
        "skip" | "sk" | "miss" | "skipping" | "missing" | "omit" => skip(c),
        "leave" | "leaving" => Ok(Some(vec![leave(c)?])),
        "fasten" | "finish" | "break" | "end" | "cut" if c.is_at(1, &["off", "yarn"]) => {
            c.pos += 2;
            rest_of_clause(c);
            one(Act::FastenOff)
        }
        "fo" => {
            c.pos += 1;
            one(Act::FastenOff)
        }
        "with" | "using" | "changing" | "change" | "switch" | "switching" | "drop" | "dropping"
        | "in" => {
            if let Some(colour) = colour(c) {
                return one(Act::Colour(colour));
            }
            loop_clause(c, sentence)
        }
        "through" | "working" | "work" | "along" | "now" => work(c, sentence),
        "weave" | "thread" | "gather" | "run" | "draw" | "weaving" | "pull" | "cinch" => {
            Ok(Some(vec![gather(c)]))
        }
        "ending" | "end" | "finishing" | "finish" => {
            ending(c);
            Ok(Some(Vec::new()))
        }
        "sew" | "whip" | "whipstitch" | "seam" | "mattress" | "graft" => Ok(Some(vec![sewn(c)])),
        "rs" | "ws" if !c.is_at(1, &["together"]) => remark(c).map(|r| Some(vec![r])),
        "x" => steps::unknown(c),
        word if REMARKS.contains(&word) => {
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
            remark(c).map(|r| Some(vec![r]))
        }
        _ => Ok(None),
    }
}

/// "beginning in 2nd ch from hook": the chains before it are passed over.
fn from_hook(c: &mut Cursor) -> Read<Option<Act>> {
    if !c.is(&["beginning", "starting", "begin", "start"]) {
        return Ok(None);
    }
    let from = c.pos;
    c.pos += 1;
    c.eat(&["in", "with", "at"]);
    c.eat(&["the"]);
    let start = c.pos;
    if let Some(Number::Plain(n)) = c.ordinal()
        && n > 1
        && c.eat(&["ch", "chain"])
        && c.eat_all(&["from", "hook"])
    {
        let place = PlaceKind::Chain;
        let reach = Reach::Next(Number::Plain(n - 1));
        return Ok(Some(Act::Skip(Target {
            reach,
            place,
            at: c.since(start),
            ..Target::next(Number::ONE)
        })));
    }
    c.pos = from;
    Ok(None)
}

/// Phrases whose first word could begin something else.
fn is_known_phrase(c: &Cursor) -> bool {
    const PHRASES: &[&[&str]] = &[
        &["make", "sure"],
        &["making", "sure"],
        &["make", "a", "slip"],
        &["make", "a", "knot"],
        &["make", "slip"],
        &["make", "2"],
        &["to", "close"],
        &["to", "secure"],
        &["to", "finish"],
        &["to", "avoid"],
        &["to", "keep"],
        &["to", "mark"],
        &["to", "gather"],
        &["for", "the"],
        &["for", "picot"],
        &["for", "seam"],
        &["for", "first"],
        &["for", "second"],
        &["for", "right"],
        &["for", "left"],
    ];
    // "ch 40 for tie", but not "for 6 rnds".
    let purpose = c.is(&["for"])
        && c.tok(1) == Some(Tok::Word)
        && super::cursor::number_word(c.word(1)).is_none()
        && !c.is_at(1, &["a", "next", "each"]);
    purpose || PHRASES.iter().any(|p| c.sees(p))
}

/// A chain: "ch 3", "chain 24", "24 ch", with what is said of its counting.
fn chain(c: &mut Cursor) -> Read<Option<Chain>> {
    let numbered = !matches!(c.tok(0), Some(Tok::Word));
    if !numbered
        && !c.is(&["make", "work", "a", "ch", "chain"])
        && super::cursor::number_word(c.word(0)).is_none()
    {
        return Ok(None);
    }
    let from = c.pos;
    c.eat(&["make", "work"]);
    c.eat(&["a"]);
    let count = if c.eat(&["ch", "chain"]) {
        c.eat(&["of"]);
        if c.tok(0) == Some(Tok::Hyphen) {
            c.pos += 1;
        }
        match c.number() {
            Some(n) => n,
            // "sc, ch, sc": one chain.
            None if c.at_break() || c.is(&["and"]) => Number::ONE,
            None => {
                c.pos = from;
                return Ok(None);
            }
        }
    } else if let Some(n) = c.number() {
        c.eat(&["foundation"]);
        if !c.eat(&["ch", "chs", "chain", "chains"])
            || c.is(&["sp", "sps", "space", "spaces", "lp", "lps"])
            || c.tok(0) == Some(Tok::Hyphen)
        {
            c.pos = from;
            return Ok(None);
        }
        n
    } else {
        c.pos = from;
        return Ok(None);
    };
    if c.is(&["sp", "sps", "space", "lp"]) {
        c.pos = from;
        return Ok(None);
    }
    c.eat(&["more", "loosely"]);
    // "make a chain of 22 sts"
    c.eat(&["st", "sts", "stitches"]);
    let counts = counts_behind(c)?;
    Ok(Some(Chain { count, counts }))
}

fn is_out(c: &Cursor) -> bool {
    c.is_at(1, &["rs", "ws", "right", "inside", "the", "hat", "to", "up", "down", "brim", "cuff"])
}

/// "magic ring", "MR".
fn ring(c: &mut Cursor) -> bool {
    if c.eat(&["mr"]) {
        return true;
    }
    if c.is(&["magic", "adjustable"]) && c.is_at(1, &["ring", "circle", "loop"]) {
        c.pos += 2;
        return true;
    }
    false
}

/// "make a magic ring", "start with a MR".
fn made_ring(c: &mut Cursor) -> bool {
    let from = c.pos;
    c.pos += 1;
    c.eat(&["with", "in", "by"]);
    c.eat(&["making"]);
    c.eat(&["a", "an", "the"]);
    if ring(c) {
        return true;
    }
    c.pos = from;
    false
}

/// "do not join", "do not turn", "do not work last 3 sts".
fn refusal(c: &mut Cursor) -> Option<Act> {
    let from = c.pos;
    if c.eat(&["do"]) {
        c.eat(&["not"]);
    } else {
        c.pos += 1;
    }
    let act = match c.word(0) {
        "join" | "joining" | "close" => {
            c.pos += 1;
            c.eat(&["rnds", "rounds", "rnd", "round"]);
            if c.eat(&["or"]) {
                c.eat(&["turn"]);
            }
            Act::NoJoin
        }
        "turn" | "turning" => {
            c.pos += 1;
            Act::NoTurn
        }
        "work" | "working" => {
            c.pos += 1;
            c.eat(&["in", "into", "the"]);
            c.eat(&["last", "remaining", "rem", "next"]);
            let count = c.number();
            c.eat(&["st", "sts", "stitches", "stitch"]);
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

/// "skip next 2 sts", "skip first st", "skipping ch-2".
fn skip(c: &mut Cursor) -> Read<Option<Vec<Act>>> {
    let from = c.pos;
    c.pos += 1;
    c.eat(&["over"]);
    let found = places::places(c)?;
    let mut targets = found.targets;
    if targets.is_empty() {
        let mark = c.pos;
        let number = c.number();
        match places::noun(c)? {
            Some(place) => targets.push(Target {
                reach: Reach::Next(number.unwrap_or(Number::ONE)),
                place,
                at: c.since(mark),
                ..Target::next(Number::ONE)
            }),
            None => match number {
                Some(n) => targets.push(Target::next(n)),
                None => {
                    c.pos = from + 1;
                    return c.stop(
                        "syntax",
                        "skip what? Write “skip next 2 sts” or “skip next ch-1 sp”",
                    );
                }
            },
        }
    }
    // "skipping ch-2" behind a join, "skip joining sl st": nothing is passed over.
    let nothing = targets
        .iter()
        .all(|t| matches!(t.place, PlaceKind::TurningChain(_) | PlaceKind::Named(Kind::SL_ST)));
    if nothing {
        places::until_break(c);
        return Ok(Some(vec![Act::Remark(c.words_since(from))]));
    }
    Ok(Some(targets.into_iter().map(Act::Skip).collect()))
}

/// "leave remaining 6 sts unworked"; "leaving a long tail" is a remark.
fn leave(c: &mut Cursor) -> Read<Act> {
    let from = c.pos;
    c.pos += 1;
    c.eat(&["the"]);
    c.eat(&["all", "any"]);
    c.eat(&["remaining", "rem", "last", "rest", "next", "final", "other"]);
    c.eat(&["of"]);
    c.eat(&["the"]);
    let count = c.number();
    c.eat(&["of"]);
    c.eat(&["row", "rnd", "round"]);
    places::noun(c)?;
    if c.sign(b'(')
        && let Some(close) = c.closing()
    {
        c.pos = close + 1;
    }
    c.eat(&["of"]);
    c.eat(&["row", "rnd", "round"]);
    if c.eat(&["unworked", "unmade", "free", "unhooked"]) {
        return Ok(Act::Leave(Leave { count }));
    }
    c.pos = from;
    places::until_break(c);
    let words = c.words_since(from);
    let tail =
        ["tail", "end", "length", "yarn"].iter().any(|w| words.to_ascii_lowercase().contains(w));
    if tail {
        return Ok(Act::Remark(words));
    }
    c.pos = from;
    c.stop("syntax", "what is left? Write “leave remaining sts unworked”")
}

/// "In back loops only," as a clause of its own: holds for the whole line.
fn loop_clause(c: &mut Cursor, _sentence: bool) -> Read<Option<Vec<Act>>> {
    let from = c.pos;
    if c.eat(&["in", "through"]) {
        if let Some(loops) = places::loop_words(c) {
            c.eat(&["throughout"]);
            if c.of_each() {
                c.pos = from;
                return Ok(None);
            }
            if c.at_break() {
                return Ok(Some(vec![Act::LineLoop(loops)]));
            }
        }
        c.pos = from;
        return Ok(None);
    }
    remark(c).map(|r| Some(vec![r]))
}

/// "work even", "working along opposite side of foundation ch", "working in blo".
fn work(c: &mut Cursor, sentence: bool) -> Read<Option<Vec<Act>>> {
    let from = c.pos;
    if let Some(even) = references::even(c)? {
        return Ok(Some(vec![Act::Even(even)]));
    }
    if c.is(&["through"]) {
        return loop_clause(c, sentence);
    }
    let gerund = c.is(&["working", "along", "now"]);
    c.eat(&["now"]);
    c.eat(&["work", "working"]);
    let bare = c.pos;
    // "working last dc in top of turning ch" only says where the last one goes.
    if gerund && c.is(&["last", "first", "final"]) {
        places::until_break(c);
        return Ok(Some(vec![Act::Remark(c.words_since(from))]));
    }
    if let Some(edge) = edge(c)? {
        return Ok(Some(vec![Act::Along(edge)]));
    }
    c.pos = bare;
    c.eat(&["in", "through", "into", "only"]);
    if let Some(loops) = places::loop_words(c) {
        if c.eat(&["of"]) {
            c.eat(&["the", "foundation", "each", "all"]);
            c.eat(&["ch", "chs", "chain", "chains", "sts", "st"]);
        }
        c.eat(&["throughout"]);
        if c.at_break() {
            return Ok(Some(vec![Act::LineLoop(loops)]));
        }
    }
    c.pos = bare;
    let remarkable = gerund
        || c.sees(&["in", "a", "spiral"])
        || (c.is(&["in"]) && clause_says(c, &["spiral", "continuous", "rounds", "rnds", "rows"]))
        || c.sees(&["in", "rounds"])
        || c.sees(&["in", "rnds"])
        || c.sees(&["in", "rows"])
        || c.sees(&["in", "joined"])
        || c.is(&["back", "loosely", "tightly"]);
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
        return Ok(Some(Vec::new()));
    }
    places::until_break(c);
    Ok(Some(vec![Act::Remark(c.words_since(from))]))
}

/// Whether one of these words stands in the clause, and no stitch is placed in it.
pub(super) fn clause_says(c: &Cursor, words: &[&str]) -> bool {
    let mut look = c.clone();
    let mut said = false;
    while !look.at_break() {
        said |= look.is(words);
        if look.is(&["next", "each", "same", "st", "sts"]) {
            return false;
        }
        look.pos += 1;
    }
    said
}

/// An edge to go along: "along opposite side of foundation ch", "in free front loops of Rnd 2".
fn edge(c: &mut Cursor) -> Read<Option<Edge>> {
    let from = c.pos;
    c.eat(&["in", "along", "across", "on", "around", "into", "down", "up", "over"]);
    c.eat(&["the"]);
    let opposite = c.eat(&["opposite", "other", "free", "second", "bottom"]);
    let free = opposite
        && matches!(
            c.tokens.get(c.pos - 1).and_then(|t| c.low.get(t.start as usize..t.end as usize)),
            Some("free")
        );
    let unused = c.eat(&["unused", "remaining", "unworked"]) || free;
    if unused && let Some(loops) = places::loop_words(c) {
        let of = round_of(c);
        places::until_break(c);
        return Ok(Some(Edge::FreeLoops { loops, of }));
    }
    if unused && c.eat(&["loops", "lps"]) {
        let of = round_of(c);
        return Ok(Some(Edge::FreeLoops { loops: Loop::Front, of }));
    }
    if c.is(&["front", "back"])
        && let mut look = c.clone()
        && let Some(loops) = places::loop_words(&mut look)
        && look.is(&["of"])
        && let Some(of) = round_of(&mut look)
    {
        c.pos = look.pos;
        return Ok(Some(Edge::FreeLoops { loops, of: Some(of) }));
    }
    if opposite && !unused {
        let side = c.eat(&["side", "edge", "sides"]);
        if c.eat(&["of"]) {
            c.eat(&["the"]);
            if c.eat(&["foundation", "starting", "beginning", "beg", "base", "ch", "chain"]) {
                c.eat(&["ch", "chain", "row"]);
                return Ok(Some(Edge::FoundationOpposite));
            }
        }
        if side && c.at_break() {
            return Ok(Some(Edge::FoundationOpposite));
        }
        c.pos = from;
        return Ok(None);
    }
    if c.eat(&["foundation", "starting", "beginning"]) {
        c.eat(&["ch", "chain", "edge", "row"]);
        if c.at_break() {
            return Ok(Some(Edge::Foundation));
        }
    }
    if (c.eat(&["row"]) && (c.eat(&["ends", "edges"])))
        || (c.eat(&["ends", "sides"]) && c.eat(&["of"]) && c.eat(&["the", "rows"]))
    {
        c.eat(&["rows"]);
        places::extent(c)?;
        if c.at_break() {
            return Ok(Some(Edge::Side));
        }
    }
    c.pos = from;
    Ok(None)
}

fn round_of(c: &mut Cursor) -> Option<Number> {
    if !c.eat(&["of", "from", "on"]) {
        return None;
    }
    c.eat(&["the"]);
    if !c.eat(&["rnd", "round", "row", "r"]) {
        return None;
    }
    c.number()
}

/// "Thread tail through remaining sts": the top is gathered. "Weave in ends" is a remark.
fn gather(c: &mut Cursor) -> Act {
    let from = c.pos;
    let verb = c.word(0);
    places::until_break(c);
    let words = c.words_since(from);
    let low = words.to_ascii_lowercase();
    let through = low.contains("through")
        && (low.contains("st") || low.contains("loop") || low.contains("lps"));
    if through || matches!(verb, "gather" | "cinch") {
        return Act::Gather;
    }
    Act::Remark(words)
}

/// "ending with", "end last rep with": what follows closes the line.
fn ending(c: &mut Cursor) {
    c.pos += 1;
    c.eat(&["the"]);
    if c.eat(&["last", "final"]) {
        c.eat(&["rep", "repeat"]);
    }
    c.eat(&["with", "by", "on"]);
    c.eat(&["working", "a", "an"]);
}

/// "whip st first and last rows together", "sew side seam".
fn sewn(c: &mut Cursor) -> Act {
    let from = c.pos;
    places::until_break(c);
    while c.eat(&["and"]) {
        places::until_break(c);
    }
    let words = c.words_since(from);
    Act::Seam(Seam { with: None, count: None, to_foundation: names_both_edges(&words), words })
}

/// Whether the words name the last row and the foundation (or first row) as what is joined.
pub(super) fn names_both_edges(words: &str) -> bool {
    let low = words.to_ascii_lowercase();
    let last = low.contains("last")
        || low.contains("final")
        || low.contains("ends")
        || low.contains("edges");
    let first = low.contains("foundation")
        || low.contains("first")
        || low.contains("starting ch")
        || low.contains("beginning");
    last && first
}

/// Something to mind that changes no count.
fn remark(c: &mut Cursor) -> Read<Act> {
    let from = c.pos;
    loop {
        places::until_break(c);
        if !c.is(&["and"]) {
            break;
        }
        // "carrying A and working over it": the remark goes on behind "and" unless an
        // instruction begins there.
        let mut look = c.clone();
        look.pos += 1;
        look.number();
        if matches!(words::stitch(&mut look), Ok(Some(_)))
            || look.is(&["turn", "join", "ch", "skip", "fasten", "rep", "each", "in"])
        {
            break;
        }
        c.pos += 1;
    }
    if c.pos == from {
        c.pos += 1;
    }
    Ok(Act::Remark(c.words_since(from)))
}

pub(super) fn rest_of_clause(c: &mut Cursor) {
    loop {
        places::until_break(c);
        if c.is(&["and"]) && !c.is_at(1, &["turn", "join", "ch"]) {
            c.pos += 1;
            continue;
        }
        return;
    }
}

impl Cursor<'_> {
    /// An ordinal other than "first", which names a stitch and not a chain.
    pub(super) fn ordinal_not_first(&mut self) -> Option<Number> {
        if self.is(&["first"]) || self.tok(0) == Some(Tok::Ordinal(1)) {
            None
        } else {
            self.ordinal()
        }
    }

    /// Whether "of each st" or the like follows a loop.
    fn of_each(&self) -> bool {
        self.is(&["of"])
    }
}
