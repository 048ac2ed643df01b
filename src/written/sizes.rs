//! Lines for some sizes only: "Sizes child, adult-s only:", "[child] Rnd 7: …", "All sizes:".

use super::cursor::{Cursor, Read};
use super::key::{Key, keys};
use super::lexer::Tok;
use super::references::shape;

/// What a line says about sizes.
pub(super) enum Sized {
    /// From here on, for these sizes.
    From(Vec<String>),
    /// From here on, for all.
    All,
    /// This line only.
    Line(Vec<String>),
}

/// What the line says about sizes, if anything. The cursor then stands behind it.
pub(super) fn sizes(c: &mut Cursor, known: &[String]) -> Read<Option<Sized>> {
    if c.sees(keys!["all", "sizes"])
        && (c.tok(2) == Some(Tok::Sign(b':'))
            || c.tok(2).is_none()
            || c.tok(2) == Some(Tok::Sign(b'.')))
    {
        c.pos += 3;
        return Ok(Some(Sized::All));
    }
    if c.is(keys!["sizes", "size"]) {
        let colon =
            (c.pos..c.end).find(|i| c.tokens.get(*i).map(|t| t.tok()) == Some(Tok::Sign(b':')));
        let only = colon.is_some_and(|i| i > c.pos && word(c, i - 1) == "only");
        if let Some(colon) = colon.filter(|_| only) {
            let names = names(c, c.pos + 1, colon - 1, known)?;
            c.pos = colon + 1;
            return Ok(Some(if c.done() { Sized::From(names) } else { Sized::Line(names) }));
        }
        return Ok(None);
    }
    if !c.sign(b'[') || known.is_empty() {
        return Ok(None);
    }
    let Some(close) = c.closing() else { return Ok(None) };
    let labelled = shape(Key::of(word(c, close + 1))).is_some()
        || ["next", "edging", "all"].contains(&word(c, close + 1));
    let listed = names(c, c.pos + 1, close, known);
    let any_known =
        (c.pos + 1..close).any(|i| known.iter().any(|k| k.eq_ignore_ascii_case(word(c, i))));
    match listed {
        Ok(names) => {
            c.pos = close + 1;
            Ok(Some(Sized::Line(names)))
        }
        Err(stop) if labelled || any_known => Err(stop),
        Err(_) => Ok(None),
    }
}

/// "Rnd 2 (Toddler only): …", "Rnd 3 (sizes Child and Adult): …": the sizes, and the tokens of the
/// bracket. Nothing where any word in it is no size.
pub(super) fn behind_label(c: &Cursor, known: &[String]) -> Option<(Vec<String>, usize, usize)> {
    if known.is_empty() || shape(c.key(0)).is_none() {
        return None;
    }
    let is = |i: usize, sign: u8| c.tokens.get(i).map(|t| t.tok()) == Some(Tok::Sign(sign));
    let open = (c.pos + 1..(c.pos + 8).min(c.end)).find(|i| is(*i, b'(') || is(*i, b'['))?;
    let close = c.within(open, c.end).closing()?;
    let mut from = open + 1;
    let named = ["size", "sizes"].contains(&word(c, from));
    from += usize::from(named);
    let only = close > from && word(c, close - 1) == "only";
    if !(only || named) {
        return None;
    }
    let mut to = close - usize::from(only);
    if ["size", "sizes"].contains(&word(c, to - 1)) {
        to -= 1;
    }
    Some((names(c, from, to, known).ok()?, open, close))
}

fn word<'a>(c: &Cursor<'a>, i: usize) -> &'a str {
    match c.tokens.get(i) {
        Some(t) if t.tok() == Tok::Word && i < c.end => c.low.get(t.span().range()).unwrap_or(""),
        _ => "",
    }
}

/// The size names between two tokens, parted by commas and "and". Names match exactly.
fn names(c: &Cursor, from: usize, to: usize, known: &[String]) -> Read<Vec<String>> {
    let mut found = Vec::new();
    let mut at = from;
    while at < to {
        let mut end = at;
        while end < to
            && c.tokens.get(end).map(|t| t.tok()) != Some(Tok::Sign(b','))
            && word(c, end) != "and"
        {
            end += 1;
        }
        if end > at
            && let (Some(a), Some(b)) = (c.tokens.get(at), c.tokens.get(end - 1))
        {
            let span = a.span().to(b.span());
            let name = c.text.get(span.range()).unwrap_or("").trim();
            if !known.iter().any(|k| k == name) {
                let near = if known.is_empty() {
                    "this text has no sizes".to_owned()
                } else {
                    format!("the sizes are {}", known.join(", "))
                };
                return c.stop_at(
                    span,
                    "unknown-size",
                    format!("“{name}” is no size of this design: {near}"),
                );
            }
            found.push(name.to_owned());
        }
        at = end + 1;
    }
    if found.is_empty() {
        return c.stop("unknown-size", "which sizes? None is named");
    }
    Ok(found)
}
