//! Repeats: "rep from * around", "[…] 6 times", "to last 3 sts".

use super::brackets;
use super::cursor::{Cursor, Read, times_word};
use super::extents;
use super::key::keys;
use super::lexer::Tok;
use super::steps::Run;
use super::tree::*;

/// "6 times", "x 6", "twice", "around", "to last 3 sts", "5 more times", if it comes next.
pub(super) fn times(c: &mut Cursor) -> Read<Option<Times>> {
    let from = c.pos;
    // "repeated", "rep the section worked": the words for it may follow each other, not for ever.
    for _ in 0..4 {
        if !c.eat(keys!["rep", "repeat", "repeated", "worked", "work"]) {
            break;
        }
        c.eat(keys!["the"]);
        c.eat(keys!["instructions", "section", "pattern", "part", "sequence", "steps"]);
        if brackets::named_again(c) {
            c.eat_sign(b',');
        }
    }
    let found = how_often(c)?;
    if found.is_none() {
        c.pos = from;
    }
    Ok(found)
}

/// The times themselves: "6 times", "twice", "to last 3 sts".
fn how_often(c: &mut Cursor) -> Read<Option<Times>> {
    let from = c.pos;
    // "inc (6 times)"
    if c.sign(b'(') || c.sign(b'[') {
        let close = c.closing().filter(|close| *close < c.pos + 6);
        let Some(close) = close.filter(|_| !matches!(c.tok(1), Some(Tok::Sign(b'(' | b'['))))
        else {
            return Ok(None);
        };
        let mut inner = c.within(c.pos + 1, close);
        let found = how_often(&mut inner)?;
        let often = matches!(found, Some(Times::Total(_) | Times::More(_)));
        if often && inner.done() {
            c.pos = close + 1;
            return Ok(found);
        }
        return Ok(None);
    }
    c.eat_all(keys!["for", "a", "total", "of"]);
    c.eat(keys!["for"]);
    if c.eat(keys!["a"]) {
        c.eat(keys!["total"]);
        c.eat(keys!["of"]);
    }
    if c.is(keys!["x"]) || c.sign(b'x') {
        c.pos += 1;
        if let Some(n) = c.number() {
            c.eat(keys!["times"]);
            return Ok(Some(Times::Total(n)));
        }
        c.pos = from;
        return Ok(None);
    }
    // "(3 sc, dec)*6"
    if matches!(c.tok(0), Some(Tok::Mark(1))) && matches!(c.tok(1), Some(Tok::Num(_))) {
        c.pos += 1;
        let n = c.number().filter(|_| c.at_break());
        if n.is_none() {
            c.pos = from;
        }
        return Ok(n.map(Times::Total));
    }
    if let Some(n) = times_word(c.key(0)) {
        c.pos += 1;
        let more = c.eat(keys!["more"]);
        if c.is_at(1, keys!["all", "total"]) && c.eat(keys!["in"]) {
            c.eat(keys!["all"]);
        }
        let n = Number::Plain(n);
        return Ok(Some(if more { Times::More(n) } else { Times::Total(n) }));
    }
    // "a further 4 times", "another 4 times"
    let from_number = c.pos;
    let beforehand = c.eat(keys!["further", "another", "additional"]);
    if beforehand && c.eat(keys!["time"]) {
        return Ok(Some(Times::More(Number::ONE)));
    }
    if !beforehand {
        c.pos = from_number;
    }
    if let Some(n) = c.number() {
        let more = c.eat(keys!["more", "further", "additional"]) || beforehand;
        if c.eat(keys!["times", "time", "x"]) || c.eat_sign(b'x') || (more && c.at_break()) {
            let more = c.eat(keys!["more"]) || more;
            if c.is_at(1, keys!["all", "total"]) && c.eat(keys!["in"]) {
                c.eat(keys!["all", "total"]);
            }
            c.eat(keys!["total", "altogether"]);
            return Ok(Some(if more { Times::More(n) } else { Times::Total(n) }));
        }
        c.pos = from;
        return Ok(None);
    }
    match extents::extent(c)? {
        Some(Extent::End) => Ok(Some(Times::Around)),
        Some(Extent::ToLast { count, place }) => Ok(Some(Times::ToLast { count, place })),
        Some(Extent::ToTurningChain) => Ok(Some(Times::ToTurningChain)),
        Some(Extent::ToNext(_)) | None => {
            c.pos = from;
            Ok(None)
        }
    }
}

/// "rep from * …", "rep between * * …", "rep [A] 5 times", "rep from beg of rnd". The outer
/// `None`: no repeat of steps; the inner: a bracket follows that repeats itself.
pub(super) fn rep(c: &mut Cursor, out: &mut Run) -> Read<Option<Option<Step>>> {
    let from = c.pos;
    if !c.eat(keys!["rep", "repeat", "reps"]) {
        return Ok(None);
    }
    if matches!(c.tok(0), Some(Tok::Sign(b'(' | b'['))) {
        return Ok(Some(None));
    }
    if c.sees(keys!["the", "following"]) || c.is(keys!["following"]) {
        c.eat(keys!["the"]);
        c.pos += 1;
        c.eat(keys!["instructions", "section", "pattern", "part", "sequence", "steps"]);
        let times = times(c)?;
        let Some(times) = times.filter(|_| c.eat_sign(b':')) else {
            c.pos = from;
            return Ok(None);
        };
        return the_following(c, times).map(|step| Some(Some(step)));
    }
    c.eat(keys!["the"]);
    c.eat(keys!["instructions", "section", "pattern", "part", "sequence", "steps"]);
    // "rep around from *" says how far before it says from where.
    let mut early = None;
    if !c.is(keys!["from", "between"]) && c.tok(0) == Some(Tok::Word) {
        let mut look = c.clone();
        if let Ok(Some(Times::Around)) = times(&mut look)
            && look.is(keys!["from"])
            && matches!(look.tok(1), Some(Tok::Mark(_)))
        {
            early = Some(Times::Around);
            c.pos = look.pos;
        }
    }
    if let Some(step) = rep_of_what_stands_before(c, out)? {
        return Ok(Some(Some(step)));
    }
    let between = c.eat(keys!["between", "betw", "bet"]);
    let fromwards = !between && c.eat(keys!["from"]);
    if !between && !fromwards {
        if matches!(c.tok(0), Some(Tok::Mark(_))) {
            // "rep * 5 more times"
        } else {
            c.pos = from;
            return Ok(None);
        }
    }
    c.eat(keys!["the"]);
    if c.eat(keys!["beg", "beginning", "start"]) {
        if c.eat(keys!["of"]) {
            c.eat(keys!["the"]);
            c.eat(keys!["row", "rnd", "round"]);
        }
        let first = out.steps.iter().position(|s| {
            !matches!(s.act, Act::Chain(_) | Act::Turn | Act::Remark(_) | Act::Colour(_))
        });
        let body = out.steps.split_off(first.unwrap_or(out.steps.len()));
        return Ok(Some(Some(repeat_step(c, body, Mark::Star, None)?)));
    }
    c.eat(keys!["two", "first"]);
    let Some(mark) = mark(c, out) else {
        c.pos = from;
        return c.stop("syntax", "“rep from” what? A * must mark where the repeat begins");
    };
    let mut second = false;
    let mut look = c.clone();
    if look.eat(keys!["to", "and", "until"]) {
        look.eat(keys!["the", "next", "second"]);
        look.eat(keys!["next", "second"]);
        second = self::mark(&mut look, out).is_some();
    }
    if second {
        c.pos = look.pos;
    } else if matches!(c.tok(0), Some(Tok::Mark(_))) {
        c.pos += 1;
        second = true;
    }
    let mut starts = out.marks.iter().filter(|(m, ..)| *m == mark).map(|(_, at, _)| *at);
    let sign = || if mark > 100 { "†".to_owned() } else { "*".repeat(usize::from(mark)) };
    let Some(start) = starts.next() else {
        let sign = sign();
        c.pos = from;
        return c
            .stop(
                "syntax",
                format!("“rep from {sign}”, but no {sign} stands before it in this line"),
            )
            .map_err(|mut s| {
                s.help = Some(format!("put a {sign} before the first stitch of the repeat"));
                s
            });
    };
    let closing = starts.next().filter(|e| *e > start);
    let end = if second || between || closing.is_some() {
        closing.unwrap_or(out.steps.len())
    } else {
        out.steps.len()
    };
    let tail = out.steps.split_off(end.min(out.steps.len()));
    let body = out.steps.split_off(start.min(out.steps.len()));
    // A further mark inside the body may say where the last repeat ends.
    let inner = out.marks.iter().find(|(m, at, _)| *m != mark && *at >= start).copied();
    out.marks.retain(|(m, ..)| *m != mark);
    let mark_kind = if between || closing.is_some() { Mark::Between } else { Mark::Star };
    if body.is_empty() {
        let sign = sign();
        c.pos = from;
        return c.stop("syntax", format!("nothing stands between {sign} and “rep from {sign}”"));
    }
    let stop = inner.map(|(m, at, _)| (m, at - start));
    let step = match early {
        Some(times) => {
            let act = Act::Repeat(Repeat { mark: mark_kind, steps: body, times, last_stops: None });
            Step { at: At::default(), act }
        }
        None => repeat_step(c, body, mark_kind, stop)?,
    };
    if let (Act::Repeat(Repeat { last_stops: Some(_), .. }), Some((m, _))) = (&step.act, stop) {
        out.marks.retain(|(other, ..)| *other != m);
    }
    out.steps.extend(tail);
    Ok(Some(Some(step)))
}

/// "Repeat the following 6 times: sc in next 3 sts, sc2tog." What follows reaches to the end of
/// the sentence.
fn the_following(c: &mut Cursor, times: Times) -> Read<Step> {
    let mut end = c.pos;
    let mut open = 0i32;
    while let Some(tok) = c.tok(end - c.pos) {
        match tok {
            Tok::Sign(b'(' | b'[') => open += 1,
            Tok::Sign(b')' | b']') => open -= 1,
            Tok::Sign(b'.' | b';') if open == 0 => break,
            _ => {}
        }
        end += 1;
    }
    // A claim at the end is the line's.
    let mut inner = c.within(c.pos, end);
    if let Some(open) = opening(c, end) {
        let mut look = c.within(open, end);
        if super::claims::bracketed(&mut look).is_some() && look.done() {
            inner.end = open;
        }
    }
    let content = super::steps::run(&mut inner, false)?;
    c.pos = inner.end;
    let repeat = Repeat { mark: Mark::Bracket, steps: content.steps, times, last_stops: None };
    Ok(Step { at: At::default(), act: Act::Repeat(repeat) })
}

/// Where the bracket opens that closes just before token `end`.
fn opening(c: &Cursor, end: usize) -> Option<usize> {
    let mut depth = 0i32;
    for i in (c.pos..end).rev() {
        match c.tokens.get(i).map(|t| t.tok()) {
            Some(Tok::Sign(b')' | b']')) => depth += 1,
            Some(Tok::Sign(b'(' | b'[')) => depth -= 1,
            _ => {}
        }
        if depth <= 0 {
            return (depth == 0 && i + 1 < end).then_some(i);
        }
    }
    None
}

/// "6x (sc in next 2 sts, inc)", "6 times: sc in next 3 sts, inc": how often comes first.
pub(super) fn times_first(c: &mut Cursor) -> Read<Option<Step>> {
    let mut look = c.clone();
    let Some(n) = look.number() else { return Ok(None) };
    if !(look.eat(keys!["x", "times"]) || look.eat_sign(b'x')) {
        return Ok(None);
    }
    let times = Times::Total(n);
    if look.eat_sign(b':') {
        c.pos = look.pos;
        return the_following(c, times).map(Some);
    }
    if !(look.sign(b'(') || look.sign(b'[')) {
        return Ok(None);
    }
    let Some(close) = look.closing() else { return super::unread::unclosed(&look) };
    let content = super::steps::run(&mut look.within(look.pos + 1, close), false)?;
    c.pos = close + 1;
    let repeat = Repeat { mark: Mark::Bracket, steps: content.steps, times, last_stops: None };
    Ok(Some(Step { at: At::default(), act: Act::Repeat(repeat) }))
}

/// A mark, or one named in words: "rep from asterisk", "between asterisks".
fn mark(c: &mut Cursor, out: &Run) -> Option<u8> {
    let found = match c.tok(0) {
        Some(Tok::Mark(mark)) => Some(mark),
        _ if c.is(keys!["asterisk", "asterisks", "star", "stars"]) => {
            out.marks.first().map(|m| m.0)
        }
        _ => None,
    };
    if found.is_some() {
        c.pos += 1;
    }
    found
}

/// "*A*, repeat around", "A, repeat 6 times": neither "from" nor a mark says what is repeated,
/// so it is what stands between the marks, or else the line so far.
pub(super) fn rep_of_what_stands_before(c: &mut Cursor, out: &mut Run) -> Read<Option<Step>> {
    let mut look = c.clone();
    let Some(found) = times(&mut look)? else { return Ok(None) };
    let start = match out.marks.as_slice() {
        [] => out.steps.iter().position(|s| {
            !matches!(s.act, Act::Chain(_) | Act::Turn | Act::Remark(_) | Act::Colour(_))
        }),
        [(_, at, _)] => Some(*at),
        [(a, at, _), (b, end, _)] if a == b && *end == out.steps.len() => Some(*at),
        _ => None,
    };
    let Some(start) = start.filter(|at| *at < out.steps.len()) else { return Ok(None) };
    let closed = out.marks.len() != 1;
    if !closed && matches!(found, Times::Total(_)) {
        // Five or six in all? The words do not tell.
        return Ok(None);
    }
    out.marks.clear();
    c.pos = look.pos;
    let steps = out.steps.split_off(start);
    let repeat = Repeat { mark: Mark::Bracket, steps, times: found, last_stops: None };
    Ok(Some(Step { at: At::default(), act: Act::Repeat(repeat) }))
}

/// ", omitting last sc", ", omitting the last ch 1 on last rep": where the last time stops.
fn omitted(c: &mut Cursor, steps: &[Step]) -> Read<Option<usize>> {
    let mut look = c.clone();
    look.eat_sign(b',');
    look.eat_sign(b';');
    if !look.eat(keys!["omitting", "omit", "without"]) {
        return Ok(None);
    }
    look.eat(keys!["the"]);
    let last = look.eat(keys!["last", "final"]);
    look.number();
    let chain = matches!(super::beginnings::chain(&mut look), Ok(Some(_)));
    let stitch = !chain && super::words::stitch(&mut look)?.is_some();
    if look.eat(keys!["on", "of", "in", "at"]) {
        look.eat(keys!["the"]);
        look.eat(keys!["last", "final"]);
        look.eat(keys!["rep", "repeat"]);
    } else if !last {
        return Ok(None);
    }
    let made = |s: &Step| matches!(s.act, Act::Work(_) | Act::Chain(_));
    let stop = steps.iter().rposition(made).filter(|at| *at > 0 && (chain || stitch));
    if stop.is_some() {
        c.pos = look.pos;
    }
    Ok(stop)
}

/// The times behind "rep from *", and how the last repeat ends.
pub(super) fn repeat_step(
    c: &mut Cursor,
    steps: Vec<Step>,
    mark: Mark,
    inner: Option<(u8, usize)>,
) -> Read<Step> {
    // "between *s", "between *'s": the plural of the mark.
    if c.is_at(1, keys!["s"]) && (c.sign(b'\'') || c.sign(b'"')) {
        c.pos += 1;
    }
    c.eat(keys!["s"]);
    c.eat_sign(b',');
    c.eat(keys!["as"]);
    let from = c.pos;
    let times = match times(c)? {
        Some(times) => times,
        None => {
            c.pos = from;
            c.eat(keys!["until"]);
            if c.eat(keys!["end"]) || c.sees(keys!["in", "each"]) {
                Times::Around
            } else {
                return c
                    .stop("syntax", "how often is this repeated? Neither “around” nor a number of times is said")
                    .map_err(|mut s| {
                        s.help = Some("write “rep from * around” or “rep from * 5 more times”".to_owned());
                        s
                    });
            }
        }
    };
    // "rep from * 5 times" is read as 5 by some and as 6 by others.
    let times = match (times, mark) {
        (Times::Total(n), Mark::Star | Mark::Between) => {
            let said = c.words_since(from);
            c.eat(keys!["in"]);
            c.eat(keys!["total", "all"]);
            if said.contains("total") || said.contains("all") || said.starts_with("once") {
                Times::Total(n)
            } else {
                return c
                    .stop_at(c.since(from).0, "doubtful", format!("“{said}” after “rep from *” is read both as so many in all and as so many more"))
                    .map_err(|mut s| {
                        s.help = Some("write “more times”, or put the repeat in brackets: “[…] 6 times”".to_owned());
                        s
                    });
            }
        }
        (times, _) => times,
    };
    let mut last_stops = None;
    let mark_here = c.pos;
    c.eat_sign(b',');
    if c.eat(keys!["ending", "end", "finishing"])
        && c.eat(keys!["last"])
        && c.eat(keys!["rep", "repeat"])
        && c.eat(keys!["at"])
        && let (Some(Tok::Mark(m)), Some((want, at))) = (c.tok(0), inner)
        && m == want
    {
        c.pos += 1;
        last_stops = Some(at);
    }
    if last_stops.is_none() {
        c.pos = mark_here;
        last_stops = omitted(c, &steps)?;
    }
    let act = Act::Repeat(Repeat { mark, steps, times, last_stops });
    Ok(Step { at: At::default(), act })
}
