//! Instructions that name no stitch: chains, joins, turns, skips, colours, seams, remarks.

use super::cursor::{Cursor, Read};
use super::lexer::Tok;
use super::places;
use super::references;
use super::steps::{self, Run};
use super::tree::*;
use super::words::{self, Name};

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
    let counts = counts_behind(c)?;
    Ok(Some(Chain { count, counts }))
}

/// "(counts as dc and ch 1)", ", counts as first dc," behind a chain.
fn counts_behind(c: &mut Cursor) -> Read<Option<ChainCounts>> {
    let from = c.pos;
    c.eat_sign(b',');
    if (c.sign(b'(') || c.sign(b'['))
        && let Some(close) = c.closing()
    {
        let mut inner = c.within(c.pos + 1, close);
        if let Some(counts) = counts(&mut inner)? {
            c.pos = close + 1;
            return Ok(Some(counts));
        }
    } else if let Some(counts) = counts(c)? {
        return Ok(Some(counts));
    }
    c.pos = from;
    Ok(None)
}

/// "counts as first dc here and throughout", "does not count as a st".
pub(super) fn counts(c: &mut Cursor) -> Read<Option<ChainCounts>> {
    let from = c.pos;
    c.eat(&["this", "these", "it", "which", "ch", "that"]);
    c.eat_all(&["will"]);
    c.eat(&["here"]);
    let not = c.eat_all(&["does", "not"])
        || c.eat_all(&["do", "not"])
        || c.eat(&["doesn't", "don't", "doesnt", "dont"])
        || c.eat_all(&["will", "not"])
        || c.eat(&["not", "never"])
        || c.eat_all(&["is", "not"])
        || c.eat_all(&["does", "never"]);
    c.eat(&["now", "always"]);
    if !c.eat(&["count", "counts", "counted", "counting", "considered"]) {
        c.pos = from;
        return Ok(None);
    }
    let mut as_kind = None;
    if c.eat(&["as", "for"]) {
        c.eat(&["the", "a", "an", "your"]);
        c.eat(&["first", "one", "beg", "beginning"]);
        if c.tok(0) == Some(Tok::Num(1)) || c.tok(0) == Some(Tok::Ordinal(1)) {
            c.pos += 1;
        }
        let kind = match words::stitch(c)? {
            Some(Name::One(kind)) => Some(kind),
            _ => {
                c.eat(&["st", "sts", "stitch", "stitches"]);
                None
            }
        };
        let mark = c.pos;
        let linked =
            c.eat(&["and", "plus"]) || c.eat_sign(b'+') || c.eat_sign(b',') || c.eat_sign(b'&');
        c.eat(&["a"]);
        let mut chains = if linked { words::chain_number(c).flatten() } else { None };
        if chains.is_none() && linked {
            // "counts as tr and 1 ch"
            let n = c.number();
            chains = if c.is(&["ch", "chain", "chs"]) { n } else { None };
        }
        if chains.is_none() {
            c.pos = mark;
        } else {
            c.eat(&["sp", "space", "lp", "ch", "chs"]);
        }
        as_kind = Some(CountsAs { kind, chains });
    }
    let mut throughout = false;
    while !c.at_break() {
        if c.is(&["throughout", "always"]) {
            throughout = true;
        }
        if !c.is(&[
            "here",
            "and",
            "now",
            "throughout",
            "always",
            "in",
            "all",
            "rows",
            "rnds",
            "rounds",
            "this",
            "pattern",
            "the",
            "on",
            "each",
            "every",
            "row",
            "rnd",
            "round",
            "of",
            "st",
            "count",
            "from",
        ]) {
            break;
        }
        c.pos += 1;
    }
    let as_kind =
        if not { None } else { Some(as_kind.unwrap_or(CountsAs { kind: None, chains: None })) };
    Ok(Some(ChainCounts { as_kind, throughout }))
}

/// "(skipped chs count as first dc)" behind "in 4th ch from hook".
pub(super) fn skipped_counts(c: &mut Cursor) -> Option<ChainCounts> {
    let from = c.pos;
    c.eat_sign(b',');
    let (mut inner, close) = if c.sign(b'(') || c.sign(b'[') {
        let close = c.closing()?;
        (c.within(c.pos + 1, close), Some(close))
    } else {
        (c.clone(), None)
    };
    if let Some(counts) = skipped_words(&mut inner) {
        c.pos = close.map_or(inner.pos, |p| p + 1);
        return Some(counts);
    }
    c.pos = from;
    None
}

fn skipped_words(c: &mut Cursor) -> Option<ChainCounts> {
    c.eat(&["the", "beg", "beginning", "first"]);
    let skipped = c.eat(&["skipped", "unused", "unworked", "missed"]);
    let number = c.number();
    c.eat(&["skipped", "missed"]);
    if !c.eat(&["ch", "chs", "chain", "chains", "sts"]) || (!skipped && number.is_none()) {
        return None;
    }
    c.eat(&["skipped"]);
    counts(c).ok().flatten()
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

/// What a joining names: colour, stitch, place; in either order.
#[derive(Default)]
struct JoinWords {
    yarn: bool,
    colour: Option<String>,
    with: Option<Kind>,
    standing: bool,
    target: Option<Target>,
    ring: bool,
    chain: Option<(Option<Number>, Option<Number>)>,
    first_chain: bool,
}

/// "join …": closes a round, makes a ring, or joins yarn anew.
fn join(c: &mut Cursor, out: &Run) -> Read<Vec<Act>> {
    let from = c.pos;
    let anew = !c.is(&["join", "joining"]);
    c.pos += 1;
    let mut w = JoinWords { yarn: anew, ..JoinWords::default() };
    c.eat(&["the"]);
    c.eat(&["rnd", "round", "rnds", "work", "ends"]);
    if c.eat(&["last"]) {
        // "join last st to first"
        c.eat(&["st", "sc"]);
    }
    yarn_words(c, &mut w);
    join_words(c, &mut w)?;
    let first = out.steps.iter().all(|s| {
        matches!(
            s.act,
            Act::Skip(_)
                | Act::Remark(_)
                | Act::Colour(_)
                | Act::Turn
                | Act::LineLoop(_)
                | Act::FastenOff
        )
    });
    let elsewhere = w.target.as_ref().is_some_and(|t| {
        let top =
            matches!(t.place, PlaceKind::TurningChain(_)) && matches!(t.reach, Reach::Last(_));
        let first = matches!(t.reach, Reach::First(_));
        !(first || top)
    });
    let stitch = w.with.is_some_and(|k| k != Kind::SL_ST);
    if w.yarn || elsewhere || (stitch && first) {
        if w.colour.is_some() && w.target.is_none() && w.with.is_none() {
            let words = c.words_since(from);
            return Ok(vec![Act::Colour(Colour { to: w.colour, words })]);
        }
        let rejoin = Rejoin {
            with: w.with,
            counts: stitch || w.standing,
            target: w.target,
            colour: w.colour,
        };
        return Ok(vec![Act::Rejoin(rejoin)]);
    }
    Ok(vec![Act::Join(made_join(w))])
}

/// "close rnd with sl st in first sc".
fn closing(c: &mut Cursor, ring: bool) -> Read<Act> {
    let mut w = JoinWords { ring, ..JoinWords::default() };
    join_words(c, &mut w)?;
    Ok(Act::Join(made_join(w)))
}

fn made_join(w: JoinWords) -> Join {
    let into = if let Some((chains, nth)) = w.chain {
        Some(JoinPlace::BeginningChain { chains, nth })
    } else if w.first_chain {
        Some(JoinPlace::FirstChain)
    } else {
        w.target.map(|t| JoinPlace::First(t.place))
    };
    Join { with: w.with.unwrap_or(Kind::SL_ST), into, ring: w.ring }
}

/// "yarn", "new yarn", "B", "CC", "colour B".
fn yarn_words(c: &mut Cursor, w: &mut JoinWords) {
    c.eat(&["new", "the", "next"]);
    if c.eat(&["yarn"]) {
        w.yarn = true;
    }
    if let Some(name) = colour_name(c) {
        w.yarn = true;
        w.colour = Some(name);
    }
    c.eat(&["yarn"]);
}

fn join_words(c: &mut Cursor, w: &mut JoinWords) -> Read<()> {
    loop {
        let before = c.pos;
        if c.is(&["with", "using", "by"]) {
            c.pos += 1;
            c.eat(&["a", "an"]);
            if c.is(&["standing"]) {
                w.standing = true;
            }
            match words::stitch(c)? {
                Some(Name::One(kind)) => w.with = Some(kind),
                _ => places::until_break(c),
            }
        } else if c.is(&["sl", "slip", "ss"]) {
            if let Some(Name::One(kind)) = words::stitch(c)? {
                w.with = Some(kind);
            }
        } else if c.is(&["to", "into", "in"])
            && (c.is_at(1, &["form", "make", "ring", "a"]) || c.sees(&["into", "ring"]))
        {
            c.pos += 1;
            c.eat(&["form", "make"]);
            c.eat(&["a", "the"]);
            c.eat(&["ring", "circle", "rnd", "round", "loop"]);
            w.ring = true;
        } else if c.sees(&["to", "join"]) || c.sees(&["to", "close"]) {
            c.pos += 2;
            c.eat(&["rnd", "round"]);
        } else if c.is(&["forming"]) {
            places::until_break(c);
            w.ring = true;
        } else if c.is(&["to", "in", "into", "at", "on", "around"])
            && w.target.is_none()
            && w.chain.is_none()
        {
            join_place(c, w)?;
        } else if w.yarn && w.target.is_none() && c.is(&["blo", "flo"]) {
            let mut together = false;
            w.target = places::one(c, &mut together)?;
        } else if c.is(&["being", "taking", "making"]) {
            places::until_break(c);
        }
        if c.pos == before {
            return Ok(());
        }
    }
}

fn join_place(c: &mut Cursor, w: &mut JoinWords) -> Read<()> {
    let from = c.pos;
    c.pos += 1;
    c.eat(&["the"]);
    let top = c.eat_all(&["top", "of"]);
    c.eat(&["the"]);
    if top && let Some(PlaceKind::TurningChain(chains)) = places::turning_chain(c) {
        w.chain = Some((chains, None));
        return Ok(());
    }
    if top && c.is(&["first", "beg", "beginning"]) {
        let mut together = false;
        w.target = places::one(c, &mut together)?;
        return Ok(());
    }
    if let Some(nth) = c.ordinal_not_first() {
        c.eat(&["ch", "chain"]);
        if c.eat(&["of"]) {
            c.eat(&["the"]);
            if let Some(PlaceKind::TurningChain(chains)) = places::turning_chain(c) {
                w.chain = Some((chains, Some(nth)));
                return Ok(());
            }
        }
        c.pos = from;
    } else if c.is(&["first"])
        && c.is_at(1, &["ch", "chain"])
        && c.tok(2) != Some(Tok::Hyphen)
        && !c.is_at(2, &["sp", "space"])
    {
        c.pos += 2;
        w.first_chain = true;
        return Ok(());
    } else if c.is(&["beg", "beginning", "starting", "turning"])
        && let Some(PlaceKind::TurningChain(chains)) = places::turning_chain(c)
    {
        w.chain = Some((chains, None));
        return Ok(());
    } else {
        c.pos = from;
    }
    let mut together = false;
    match places::one(c, &mut together)? {
        Some(target) => w.target = Some(target),
        None => {
            // "join to beg of rnd", "join to first".
            c.pos += 1;
            places::until_break(c);
        }
    }
    Ok(())
}

/// "sl st in first sc to join", "sl st to join": a closing said the other way round.
fn slip_to_join(c: &mut Cursor, out: &Run) -> Read<Option<Vec<Act>>> {
    let from = c.pos;
    let Some(Name::One(kind)) = words::stitch(c)? else {
        c.pos = from;
        return Ok(None);
    };
    let mut look = c.clone();
    let mut w = JoinWords { with: Some(kind), ..JoinWords::default() };
    let mut says_join = false;
    while !look.at_break() {
        if look.sees(&["to", "join"])
            || look.sees(&["to", "close"])
            || look.is(&["joining"])
            || look.sees(&["and", "join"])
            || look.sees(&["to", "form"])
        {
            says_join = true;
        }
        look.pos += 1;
    }
    if !says_join {
        // "ss into top of 3-ch", "sl st in first sc" at the end of a round close it too.
        let worked = out.steps.iter().any(|s| matches!(s.act, Act::Work(_) | Act::Repeat(_)));
        let mut end = c.clone();
        let mut words = JoinWords { with: Some(kind), ..JoinWords::default() };
        let read = join_words(&mut end, &mut words).is_ok();
        let first = words.target.as_ref().is_some_and(|t| {
            t.reach == Reach::First(Number::ONE)
                && matches!(t.place, PlaceKind::Stitch | PlaceKind::Named(_))
                && t.part == Part::Whole
        });
        if read && worked && (words.chain.is_some() || first) && end.at_break() {
            c.pos = end.pos;
            return Ok(Some(vec![Act::Join(made_join(words))]));
        }
        c.pos = from;
        return Ok(None);
    }
    join_words(c, &mut w)?;
    if c.eat(&["and"]) {
        c.eat(&["join"]);
    }
    places::until_break(c);
    Ok(Some(vec![Act::Join(made_join(w))]))
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

/// The name of a colour: a single capital, MC, CC, CC1, "colour B", "yarn A".
fn colour_name(c: &mut Cursor) -> Option<String> {
    let from = c.pos;
    let article = c.peek(0).is_some_and(|t| c.text.get(t.span().range()) == Some("a"));
    if article || c.is(&["the"]) {
        c.pos += 1;
    }
    let named = c.eat(&["colour", "color", "yarn", "shade"]);
    let token = c.peek(0)?;
    let word = c.text.get(token.span().range()).unwrap_or("");
    let single = word.len() == 1 && word.bytes().all(|b| b.is_ascii_uppercase());
    let short = matches!(c.word(0), "mc" | "cc" | "main" | "contrast" | "contrasting");
    if token.tok == Tok::Word
        && (single || short || (named && !c.at_break() && !c.is(&["in", "with", "to"])))
    {
        c.pos += 1;
        let mut name = word.to_owned();
        if let Some(Tok::Num(n)) = c.tok(0)
            && c.peek(0).is_some_and(|t| t.glued)
        {
            c.pos += 1;
            name.push_str(&n.to_string());
        }
        c.eat(&["colour", "color"]);
        return Some(name);
    }
    // "new colour", "next colour": named only so.
    if c.is(&["new", "next", "other", "second", "first"]) && c.is_at(1, &["colour", "color"]) {
        let name = c.word(0).to_owned();
        c.pos += 2;
        return Some(name);
    }
    if named && (c.at_break() || c.is(&["in", "with"])) && c.pos > from + 1 {
        return Some("yarn".to_owned());
    }
    c.pos = from;
    None
}

/// "With A", "changing to B in last st", "drop MC".
fn colour(c: &mut Cursor) -> Option<Colour> {
    let from = c.pos;
    let verb = c.word(0);
    c.pos += 1;
    let to = match verb {
        "changing" | "change" | "switch" | "switching" => {
            c.eat(&["color", "colour", "colors", "colours", "yarn"]);
            c.eat(&["to"]);
            let name = colour_name(c);
            if name.is_none() && !c.at_break() && !c.is(&["in", "on", "at"]) {
                c.pos = from;
                return None;
            }
            rest_of_clause(c);
            name
        }
        "drop" | "dropping" => {
            colour_name(c)?;
            rest_of_clause(c);
            None
        }
        _ => match colour_name(c) {
            Some(name) => Some(name),
            None => {
                c.pos = from;
                return None;
            }
        },
    };
    if verb == "in" && !c.at_break() {
        c.pos = from;
        return None;
    }
    Some(Colour { to, words: c.words_since(from) })
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
fn clause_says(c: &Cursor, words: &[&str]) -> bool {
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

fn rest_of_clause(c: &mut Cursor) {
    loop {
        places::until_break(c);
        if c.is(&["and"]) && !c.is_at(1, &["turn", "join", "ch"]) {
            c.pos += 1;
            continue;
        }
        return;
    }
}

/// A bracket that is a note: what a chain counts as, "(corner made)", "(colour B)".
pub(super) fn bracket_note(c: &mut Cursor, close: usize, out: &mut Run) -> Read<bool> {
    let from = c.pos;
    let mut inner = c.within(from + 1, close);
    let mut look = inner.clone();
    if let Some(counts) = skipped_words(&mut look) {
        if let Some(Act::Work(w)) =
            out.steps.iter_mut().rev().map(|s| &mut s.act).find(|a| matches!(a, Act::Work(_)))
        {
            w.skipped = Some(counts);
        }
        c.pos = close + 1;
        return Ok(true);
    }
    let mut look = inner.clone();
    places::turning_chain(&mut look);
    look.eat(&["ch", "chs"]);
    if let Some(counts) = counts(&mut look)? {
        if let Some(Act::Chain(chain)) =
            out.steps.iter_mut().rev().map(|s| &mut s.act).find(|a| matches!(a, Act::Chain(_)))
        {
            chain.counts = Some(counts);
        }
        c.pos = close + 1;
        return Ok(true);
    }
    let mut look = inner.clone();
    look.eat(&["with", "using", "in"]);
    if let Some(name) = colour_name(&mut look)
        && look.done()
    {
        c.pos = close + 1;
        let step = Step {
            at: c.since(from),
            act: Act::Colour(Colour { to: Some(name), words: c.words_since(from) }),
        };
        out.steps.push(step);
        return Ok(true);
    }
    let words: Vec<&str> = (0..inner.end - inner.pos).map(|i| inner.word(i)).collect();
    let said = |w: &[&str]| words.iter().any(|x| w.contains(x));
    // A bracket that holds brackets is no remark; trying it would cost double at every depth.
    let nested = (inner.pos..inner.end)
        .any(|i| matches!(inner.tokens.get(i).map(|t| t.tok), Some(Tok::Sign(b'(' | b'['))));
    let made = said(&["made", "formed", "completed", "complete", "done", "make", "established"]);
    let doing = said(&["in", "next", "each", "skip", "sk", "rep", "into", "join"]);
    let numbers = (inner.pos..inner.end)
        .any(|i| matches!(inner.tokens.get(i).map(|t| t.tok), Some(Tok::Num(_) | Tok::Hole)));
    if made
        || (!doing && !numbers && !nested && steps::run(&mut inner, true).is_err())
        || is_facing(&words)
    {
        c.pos = close + 1;
        out.steps.push(Step { at: c.since(from), act: Act::Remark(c.words_since(from)) });
        return Ok(true);
    }
    Ok(false)
}

fn is_facing(words: &[&str]) -> bool {
    words
        .first()
        .is_some_and(|w| ["rs", "ws", "note", "see", "optional", "this", "mark"].contains(w))
}

impl Cursor<'_> {
    /// An ordinal other than "first", which names a stitch and not a chain.
    fn ordinal_not_first(&mut self) -> Option<Number> {
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
