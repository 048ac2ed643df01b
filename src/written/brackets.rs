//! What brackets say beside claims: what a chain counts as, colours, remarks.

use super::cursor::{Cursor, Read};
use super::joining::colour_name;
use super::key::keys;
use super::lexer::Tok;
use super::nouns;
use super::places::STITCH;
use super::steps::{self, Run};
use super::tree::*;
use super::words::{self, Name};

/// "(counts as dc and ch 1)", ", counts as first dc," behind a chain.
pub(super) fn counts_behind(c: &mut Cursor) -> Read<Option<ChainCounts>> {
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
    c.eat(keys!["this", "these", "it", "which", "ch", "that"]);
    c.eat_all(keys!["will"]);
    c.eat(keys!["here"]);
    let not = c.eat_all(keys!["does", "not"])
        || c.eat_all(keys!["do", "not"])
        || c.eat(keys!["doesn't", "don't", "doesnt", "dont"])
        || c.eat_all(keys!["will", "not"])
        || c.eat(keys!["not", "never"])
        || c.eat_all(keys!["is", "not"])
        || c.eat_all(keys!["does", "never"]);
    c.eat(keys!["now", "always"]);
    if !c.eat(keys!["count", "counts", "counted", "counting", "considered"]) {
        c.pos = from;
        return Ok(None);
    }
    let mut as_kind = None;
    if c.eat(keys!["as", "for"]) {
        c.eat(keys!["the", "a", "an", "your"]);
        c.eat(keys!["first", "one", "beg", "beginning"]);
        if c.tok(0) == Some(Tok::Num(1)) || c.tok(0) == Some(Tok::Ordinal(1)) {
            c.pos += 1;
        }
        let kind = match words::stitch(c)? {
            Some(Name::One(kind)) => Some(kind),
            _ => {
                c.eat(STITCH);
                None
            }
        };
        let mark = c.pos;
        let linked =
            c.eat(keys!["and", "plus"]) || c.eat_sign(b'+') || c.eat_sign(b',') || c.eat_sign(b'&');
        c.eat(keys!["a"]);
        let mut chains = if linked { words::chain_number(c).flatten() } else { None };
        if chains.is_none() && linked {
            // "counts as tr and 1 ch"
            let n = c.number();
            chains = if c.is(keys!["ch", "chain", "chs"]) { n } else { None };
        }
        if chains.is_none() {
            c.pos = mark;
        } else {
            c.eat(keys!["sp", "space", "lp", "ch", "chs"]);
        }
        as_kind = Some(CountsAs { kind, chains });
    }
    let mut throughout = false;
    while !c.at_break() {
        if c.is(keys!["throughout", "always"]) {
            throughout = true;
        }
        if !c.is(keys![
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

/// "(skipped chs count as first dc)" behind "in 4th ch from hook"; behind such a place, which
/// `hook` says, also "(beginning ch counts as first dc)".
pub(super) fn skipped_counts(c: &mut Cursor, hook: bool) -> Option<ChainCounts> {
    let from = c.pos;
    c.eat_sign(b',');
    let (mut inner, close) = if c.sign(b'(') || c.sign(b'[') {
        let close = c.closing()?;
        (c.within(c.pos + 1, close), Some(close))
    } else {
        (c.clone(), None)
    };
    if let Some(counts) = skipped_words(&mut inner, hook) {
        c.pos = close.map_or(inner.pos, |p| p + 1);
        return Some(counts);
    }
    c.pos = from;
    None
}

pub(super) fn skipped_words(c: &mut Cursor, hook: bool) -> Option<ChainCounts> {
    c.eat(keys!["the"]);
    let begun = c.eat(keys!["beg", "beginning", "starting", "turning"]) && hook;
    c.eat(keys!["first"]);
    let skipped = c.eat(keys!["skipped", "unused", "unworked", "missed"]);
    let number = c.number();
    c.eat(keys!["skipped", "missed"]);
    if !c.eat(keys!["ch", "chs", "chain", "chains", "sts"])
        || !(skipped || begun || number.is_some())
    {
        return None;
    }
    c.eat(keys!["skipped"]);
    counts(c).ok().flatten()
}

/// "between [ ]", "[ ]", "between brackets": the bracket before is named once more.
pub(super) fn named_again(c: &mut Cursor) -> bool {
    let from = c.pos;
    c.eat(keys!["between", "betw", "bet", "from", "inside", "in", "within"]);
    c.eat(keys!["the"]);
    c.eat(keys!["square", "round"]);
    if c.eat(keys!["brackets", "bracket", "parentheses", "parens"]) {
        return true;
    }
    let empty = c.closing().is_some_and(|close| {
        (c.pos + 1..close)
            .all(|i| matches!(c.tokens.get(i).map(|t| t.tok()), Some(Tok::Sign(b',') | Tok::Dash)))
    });
    if empty && let Some(close) = c.closing() {
        c.pos = close + 1;
        return true;
    }
    c.pos = from;
    false
}

/// A bracket that is a note: what a chain counts as, "(corner made)", "(colour B)".
pub(super) fn bracket_note(c: &mut Cursor, close: usize, out: &mut Run) -> Read<bool> {
    let from = c.pos;
    let mut inner = c.within(from + 1, close);
    let mut look = inner.clone();
    if let Some(counts) = skipped_words(&mut look, false) {
        if let Some(Act::Work(w)) =
            out.steps.iter_mut().rev().map(|s| &mut s.act).find(|a| matches!(a, Act::Work(_)))
        {
            w.skipped = Some(counts);
        }
        c.pos = close + 1;
        return Ok(true);
    }
    let mut look = inner.clone();
    nouns::turning_chain(&mut look);
    look.eat(keys!["ch", "chs"]);
    if let Some(counts) = counts(&mut look)? {
        if let Some(kind) = counts.as_kind.as_ref().and_then(|k| k.kind).filter(|k| k.together > 1)
            && let Some(Step { act: Act::Work(w), .. }) = out.steps.last_mut()
            && matches!(w.made, Made::Stitch { count: Number::ONE, .. })
        {
            w.counts_as = Some(kind);
            c.pos = close + 1;
            return Ok(true);
        }
        if let Some(Act::Chain(chain)) =
            out.steps.iter_mut().rev().map(|s| &mut s.act).find(|a| matches!(a, Act::Chain(_)))
        {
            chain.counts = Some(counts);
        }
        c.pos = close + 1;
        return Ok(true);
    }
    let mut look = inner.clone();
    look.eat(keys!["with", "using", "in"]);
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
        .any(|i| matches!(inner.tokens.get(i).map(|t| t.tok()), Some(Tok::Sign(b'(' | b'['))));
    let made = said(&["made", "formed", "completed", "complete", "done", "make", "established"]);
    let doing = said(&["in", "next", "each", "skip", "sk", "rep", "into", "join"]);
    let told = said(&["multiple", "multiples", "approx", "approximately", "cm", "mm", "inches"]);
    let numbers = (inner.pos..inner.end)
        .any(|i| matches!(inner.tokens.get(i).map(|t| t.tok()), Some(Tok::Num(_) | Tok::Hole)));
    if made
        || told
        || (!doing && !numbers && !nested && steps::run(&mut inner, true).is_err())
        || is_facing(&words)
    {
        c.pos = close + 1;
        out.steps.push(Step { at: c.since(from), act: Act::Remark(c.words_since(from)) });
        return Ok(true);
    }
    Ok(false)
}

pub(super) fn is_facing(words: &[&str]) -> bool {
    words
        .first()
        .is_some_and(|w| ["rs", "ws", "note", "see", "optional", "this", "mark"].contains(w))
}
