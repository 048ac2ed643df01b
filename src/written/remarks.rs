//! Remarks: words to mind while working that change no count.

use super::cursor::{Cursor, Read};
use super::key::{Keys, keys};
use super::lexer::Tok;
use super::places;
use super::tree::Act;
use super::words;

/// Words that begin a remark: something to mind while working that changes no count.
pub(super) const REMARKS: Keys = keys![
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
    "including",
    "seaming",
    "sewing",
    "stitching",
    "tugging",
    "tightening",
    "hiding",
    "covering",
    "enclosing",
    "incl",
    "counting",
    "they",
    "try",
    "trying",
];

/// Words behind "to" that say how far or where rather than what for.
const TO_WHERE: Keys = keys![
    "end",
    "ends",
    "last",
    "next",
    "first",
    "same",
    "each",
    "every",
    "turning",
    "top",
    "ch",
    "chs",
    "chain",
    "beg",
    "beginning",
    "the",
    "a",
    "st",
    "sts",
    "sp",
    "corner",
    "row",
    "rnd",
    "round",
    "within",
    "rem",
    "remaining",
    "join",
    "form",
    "make",
    "start",
    "tch",
    "t",
    "marker",
    "other",
    "center",
    "centre",
    "ring",
    "back",
    "front",
    "blo",
    "flo",
    "foundation",
    "skipped",
];

/// Phrases whose first word could begin something else.
pub(super) fn is_known_phrase(c: &Cursor) -> bool {
    const PHRASES: &[Keys] = &[
        keys!["make", "sure"],
        keys!["making", "sure"],
        keys!["make", "a", "slip"],
        keys!["make", "a", "knot"],
        keys!["make", "slip"],
        keys!["to", "close"],
        keys!["to", "secure"],
        keys!["to", "finish"],
        keys!["to", "avoid"],
        keys!["to", "keep"],
        keys!["to", "mark"],
        keys!["to", "gather"],
        keys!["for", "the"],
        keys!["for", "picot"],
        keys!["for", "seam"],
        keys!["for", "first"],
        keys!["for", "second"],
        keys!["for", "right"],
        keys!["for", "left"],
    ];
    // "ch 40 for tie", but not "for 6 rnds".
    let purpose = c.is(keys!["for"])
        && c.tok(1) == Some(Tok::Word)
        && super::cursor::number_word(c.key(1)).is_none()
        && !c.is_at(1, keys!["a", "next", "each"]);
    // "to level the edge", but not "to last 2 sts".
    let end = c.is(keys!["to"]) && c.tok(1) == Some(Tok::Word) && {
        let mut look = c.clone();
        look.pos += 1;
        !look.is(TO_WHERE)
            && super::cursor::number_word(look.key(0)).is_none()
            && !matches!(words::stitch(&mut look), Ok(Some(_)))
    };
    purpose || end || PHRASES.iter().any(|p| c.sees(*p))
}

/// Whether one of these words stands in the clause, and no stitch is placed in it.
pub(super) fn clause_says(c: &Cursor, words: Keys) -> bool {
    let mut look = c.clone();
    let mut said = false;
    while !look.at_break() {
        said |= look.is(words);
        if look.is(keys!["next", "each", "same", "st", "sts"]) {
            return false;
        }
        look.pos += 1;
    }
    said
}

/// Something to mind that changes no count.
pub(super) fn remark(c: &mut Cursor) -> Read<Act> {
    let from = c.pos;
    loop {
        places::until_break(c);
        if !c.is(keys!["and"]) {
            break;
        }
        // "carrying A and working over it": the remark goes on behind "and" unless an
        // instruction begins there.
        let mut look = c.clone();
        look.pos += 1;
        look.number();
        if matches!(words::stitch(&mut look), Ok(Some(_)))
            || look.is(keys!["turn", "join", "ch", "skip", "fasten", "rep", "each", "in"])
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
        if c.is(keys!["and"]) && !c.is_at(1, keys!["turn", "join", "ch"]) {
            c.pos += 1;
            continue;
        }
        return;
    }
}
