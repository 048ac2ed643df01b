//! Instructions in a row: what parts them, brackets, and words that are none.

use super::acts::{self, walked};
use super::besides::besides;
use super::brackets;
use super::claims;
use super::cursor::{Cursor, Read};
use super::key::keys;
use super::lexer::Tok;
use super::places::{self, ROUND};
use super::references::shape;
use super::repeats::{rep, times, times_first};
use super::tree::*;
use super::unread::{unclosed, unknown};
use super::working::{Making, finish, working};
use crate::limits;
use smallvec::SmallVec;

/// What one instruction comes to: nearly always one act, which then needs no memory of its own.
pub(super) type Acts = SmallVec<[Act; 1]>;

/// What a run of steps has said besides its steps.
#[derive(Clone, Debug, Default)]
pub(super) struct Run {
    /// The steps.
    pub steps: Vec<Step>,
    /// Claims that stand between or behind them.
    pub claims: Vec<Claim>,
    /// Which side faces, if a bracket says.
    pub side: Option<Side>,
    /// "for 3 rnds": how many rows or rounds are worked so.
    pub courses: Option<(Number, Shape, At)>,
    /// Marks not yet used up: which, before which step, at which token.
    pub marks: Vec<(u8, usize, usize)>,
}

/// Reads everything up to the cursor's end. `inside` tells that the run stands in a bracket
/// that may be a group, so stitches need no place.
pub(super) fn run(c: &mut Cursor, inside: bool) -> Read<Run> {
    let mut out = Run::default();
    if c.depth > limits::NESTING {
        return c.stop("limit", format!("brackets nest deeper than {}", limits::NESTING));
    }
    let mut sentence = true;
    while !c.done() {
        match c.tok(0) {
            Some(Tok::Sign(b',')) => {
                c.pos += 1;
                sentence = false;
            }
            Some(Tok::Sign(b'.' | b';' | b':' | b'=' | b'"' | b'!') | Tok::Dash) => {
                c.pos += 1;
                sentence = true;
                if let Some(claim) = claim_after_stop(c, &out) {
                    out.claims.push(claim);
                }
            }
            Some(Tok::Mark(m)) => {
                let at = c.pos;
                c.pos += 1;
                match marked(c, &mut out, m)? {
                    Some(step) => out.steps.push(step),
                    None => out.marks.push((m, out.steps.len(), at)),
                }
            }
            Some(Tok::Sign(b'(' | b'[' | b'{' | b'<')) => bracket(c, &mut out, inside)?,
            Some(Tok::Sign(b')' | b']' | b'}' | b'>')) => {
                return c.stop("syntax", "a bracket is closed here that was never opened").map_err(
                    |mut s| {
                        s.help = Some("add the opening bracket, or take this one out".to_owned());
                        s
                    },
                );
            }
            _ => {
                let before = c.pos;
                step(c, &mut out, inside, sentence)?;
                if c.pos == before {
                    return unknown(c);
                }
            }
        }
    }
    if let Some((_, _, at)) = out.marks.first() {
        let span = c.tokens.get(*at).map(|t| t.span()).unwrap_or_default();
        return c
            .stop_at(span, "syntax", "this mark opens a repeat, and no “rep from” follows")
            .map_err(|mut s| {
                s.help = Some(
                    "close it: “; rep from * around” or “; rep from * 5 more times”".to_owned(),
                );
                s
            });
    }
    Ok(out)
}

/// "*1 sc, inc* around", "*2 sc, dec* 6 times": the second mark closes what the first opened,
/// as brackets would. The cursor stands behind the second.
fn marked(c: &mut Cursor, out: &mut Run, mark: u8) -> Read<Option<Step>> {
    let Some(open) = out.marks.iter().position(|(m, at, _)| *m == mark && *at < out.steps.len())
    else {
        return Ok(None);
    };
    let mut look = c.clone();
    look.eat_sign(b',');
    look.eat_sign(b';');
    if look.is(keys!["rep", "repeat", "repeated", "reps"]) {
        return Ok(None);
    }
    let found = match look.peek(0) {
        // "*3 sc, dec*6"
        Some(t) if t.glued && matches!(t.tok(), Tok::Num(_)) => look.number().map(Times::Total),
        _ => match times(&mut look)? {
            // "*Sc2tog around*": marks round what goes all the way anyway.
            None if walked(out) => {
                look.pos = c.pos;
                Some(Times::Total(Number::ONE))
            }
            found => found,
        },
    };
    let Some(times) = found else { return Ok(None) };
    c.pos = look.pos;
    let (_, at, token) = out.marks.remove(open);
    out.marks.retain(|(_, later, _)| *later <= at);
    let steps = out.steps.split_off(at);
    let repeat = Repeat { mark: Mark::Bracket, steps, times, last_stops: None };
    let step = Step { at: c.since(token), act: Act::Repeat(repeat) };
    shallow(c, &step)?;
    Ok(Some(step))
}

/// Whether the mark stands once more further on.
fn closes_again(c: &Cursor, mark: u8) -> bool {
    (2..c.end.saturating_sub(c.pos)).any(|i| c.tok(i) == Some(Tok::Mark(mark)))
}

/// A claim may begin after a full stop, a colon or a dash: ". 36 sts", "— 36 sc".
fn claim_after_stop(c: &mut Cursor, out: &Run) -> Option<Claim> {
    if out.steps.is_empty() && !c.is(keys!["you"]) {
        return None;
    }
    let mut look = c.clone();
    let claim = claims::bare(&mut look)?;
    // "6 sc in ring" begins with a count but goes on as an instruction.
    let whole = look.done()
        || matches!(look.tok(0), Some(Tok::Sign(b'.' | b';' | b',' | b'(' | b'[')))
        || look.is(keys!["turn", "join", "fasten"]);
    if !whole {
        return None;
    }
    c.pos = look.pos;
    Some(claim)
}

/// One instruction that begins with a word or a number.
fn step(c: &mut Cursor, out: &mut Run, inside: bool, sentence: bool) -> Read<()> {
    let from = c.pos;
    if c.is(keys!["and", "then", "now"]) || (c.is(keys!["also", "again"]) && !c.at_break()) {
        c.pos += 1;
        return Ok(());
    }
    if c.is(keys!["x"]) {
        return Ok(());
    }
    // "work [sc in next 6 sts, sc2tog] 5 times"
    if c.is(keys!["work", "working", "make", "place", "rep", "repeat"])
        && (matches!(c.tok(1), Some(Tok::Sign(b'(' | b'[')))
            || matches!(c.tok(1), Some(Tok::Mark(m)) if out.marks.iter().all(|o| o.0 != m) && closes_again(c, m)))
    {
        c.pos += 1;
        return Ok(());
    }
    if c.is(keys!["for"])
        && let Some((n, shape)) = for_courses(c)
    {
        out.courses = Some((n, shape, c.since(from)));
        return Ok(());
    }
    let repeated = match times_first(c)? {
        Some(step) => Some(Some(step)),
        None => rep(c, out)?,
    };
    if let Some(repeat) = repeated {
        let Some(mut repeat) = repeat else { return Ok(()) };
        repeat.at = c.since(from);
        // "…, repeat once more, repeat once more": each holds all that stands before it.
        shallow(c, &repeat)?;
        out.steps.push(repeat);
        return Ok(());
    }
    if let Some(acts) = acts::act(c, out, sentence)? {
        let at = c.since(from);
        out.steps.extend(acts.into_iter().map(|act| Step { at, act }));
        return Ok(());
    }
    if c.is(keys!["you", "there"])
        && let Some(claim) = claims::bare(c)
    {
        out.claims.push(claim);
        return Ok(());
    }
    if let Some(act) = elided(c, out)? {
        out.steps.push(Step { at: c.since(from), act });
        return Ok(());
    }
    if let Some(mut acts) = working(c, inside)? {
        besides(c, &mut acts)?;
        let at = c.since(from);
        out.steps.extend(acts.into_iter().map(|act| Step { at, act }));
        return Ok(());
    }
    // "36 sts" at the end of a sentence is a claim wherever it stands.
    let mut look = c.clone();
    if look.number().is_some()
        && look.is(keys!["st", "sts", "stitches"])
        && let Some(claim) = claims::bare(c)
    {
        out.claims.push(claim);
        return Ok(());
    }
    c.pos = from;
    Ok(())
}

/// "1 sc in next st, 2 in next st": the stitch of the step before goes without saying.
fn elided(c: &mut Cursor, out: &Run) -> Read<Option<Act>> {
    let mut look = c.clone();
    let Some(count) = look.number() else { return Ok(None) };
    let placed = look.is(keys!["in", "into"])
        && look.is_at(
            1,
            keys!["next", "each", "same", "first", "last", "following", "foll", "every", "the"],
        );
    let before = match out.steps.last().map(|s| &s.act) {
        Some(Act::Work(Working { made: Made::Stitch { kind, .. }, .. })) => *kind,
        _ => return Ok(None),
    };
    if !placed || before.together != 1 {
        return Ok(None);
    }
    let found = places::places(&mut look)?;
    if found.targets.is_empty() || found.together {
        return Ok(None);
    }
    c.pos = look.pos;
    let made = Made::Stitch { count, kind: before };
    Ok(Some(Act::Work(Working::new(made, found.targets))))
}

/// "3 rnds", "10 rows in all" and no more: a bracket that says how many a line works.
pub(super) fn so_many(c: &mut Cursor) -> Option<(Number, Shape)> {
    let n = c.number()?;
    let shape = shape(c.key(0)).filter(|_| c.eat(ROUND))?;
    c.eat(keys!["in", "worked"]);
    c.eat(keys!["total", "all", "even", "altogether"]);
    c.done().then_some((n, shape))
}

/// "for 3 rnds", "for the next 5 rows".
fn for_courses(c: &mut Cursor) -> Option<(Number, Shape)> {
    let mut look = c.clone();
    look.pos += 1;
    look.eat(keys!["the", "a"]);
    look.eat_all(keys!["total", "of"]);
    look.eat(keys!["next", "following"]);
    let n = look.number()?;
    look.eat(keys!["more", "further"]);
    let shape = shape(look.key(0)).filter(|_| look.eat(ROUND))?;
    look.eat(keys!["more"]);
    c.pos = look.pos;
    Some((n, shape))
}

/// A bracket: a claim, a side, a remark, a group in one place, or a repeat.
fn bracket(c: &mut Cursor, out: &mut Run, inside: bool) -> Read<()> {
    let from = c.pos;
    let Some(close) = c.closing() else { return unclosed(c) };
    let mut after = c.clone();
    after.pos = close + 1;
    let mut behind = close + 1;
    let repeated = {
        let mut look = after.clone();
        let apart = look.eat_sign(b',') || look.eat_sign(b';') || look.eat_sign(b'.');
        let often = {
            let mut often = look.clone();
            often.number().is_some() && often.is(keys!["times", "x"])
        };
        if apart && !often && !look.is(keys!["rep", "repeat"]) {
            look.pos = after.pos;
        }
        let found = times(&mut look)?.is_some();
        if found && apart && look.pos > after.pos + 1 {
            after.pos += 1;
            behind = after.pos;
        }
        found
    };
    // "(3 dc, ch 2) 4 times in ring": a group, so often in one place.
    let often_placed = repeated && {
        let mut look = after.clone();
        matches!(times(&mut look)?, Some(Times::Total(_))) && is_place_next(&look)
    };
    let placed = (!repeated && is_place_next(&after)) || often_placed;
    if !repeated && !placed {
        if let Some((n, shape)) = so_many(&mut c.within(from + 1, close)) {
            c.pos = close + 1;
            out.courses = Some((n, shape, c.since(from)));
            return Ok(());
        }
        if let Some((claim, counted)) = claims::bracketed_with_chain(c) {
            if let Some(kind) = counted {
                chain_counts(out, kind);
            }
            out.claims.push(claim);
            return Ok(());
        }
        let mut inner = c.within(from + 1, close);
        if let Some(side) = side(&mut inner) {
            out.side = Some(side);
            c.pos = close + 1;
            return Ok(());
        }
        if brackets::bracket_note(c, close, out)? {
            return Ok(());
        }
    }
    let mut inner = c.within(from + 1, close);
    let content = run(&mut inner, placed || inside)?;
    c.pos = behind;
    out.claims.extend(content.claims.iter().cloned());
    if repeated {
        let times = times(c)?.unwrap_or(Times::Total(Number::ONE));
        let mut steps = content.steps;
        if often_placed {
            let acts = finish(c, Making::plain(Made::Group(steps), false), inside)?;
            let at = c.since(from);
            steps = acts.into_iter().map(|act| Step { at, act }).collect();
        }
        let repeat = Repeat { mark: Mark::Bracket, steps, times, last_stops: None };
        out.steps.push(Step { at: c.since(from), act: Act::Repeat(repeat) });
        return Ok(());
    }
    if placed {
        let acts = finish(c, Making::plain(Made::Group(content.steps), false), inside)?;
        let at = c.since(from);
        out.steps.extend(acts.into_iter().map(|act| Step { at, act }));
        return Ok(());
    }
    // A bracket with nothing behind it only holds its steps together.
    out.steps.extend(content.steps);
    Ok(())
}

/// Stops at repeats that nest too deep.
fn shallow(c: &Cursor, repeat: &Step) -> Read<()> {
    if c.depth + height(std::slice::from_ref(repeat)) > limits::NESTING {
        let message = format!("repeats nest deeper than {}", limits::NESTING);
        return c.stop_at(repeat.at.0, "limit", message);
    }
    Ok(())
}

/// How deep repeats and groups nest in the steps.
fn height(steps: &[Step]) -> usize {
    let inner = steps.iter().map(|step| match &step.act {
        Act::Repeat(repeat) => 1 + height(&repeat.steps),
        Act::Work(Working { made: Made::Group(steps), .. }) => 1 + height(steps),
        _ => 0,
    });
    inner.max().unwrap_or(0)
}

/// A claim said that the beginning chain, or the chains skipped from the hook, are counted in.
fn chain_counts(out: &mut Run, kind: Option<Kind>) {
    let as_kind = Some(CountsAs { kind, chains: None });
    let counts = ChainCounts { as_kind, throughout: false };
    for step in &mut out.steps {
        match &mut step.act {
            Act::Chain(chain) if chain.count != Number::ONE => {
                chain.counts.get_or_insert(counts);
                return;
            }
            Act::Work(work) => {
                let hook = work.targets.first().is_some_and(|t| {
                    matches!(t.reach, Reach::Nth(_)) && t.place == PlaceKind::Chain
                });
                if hook {
                    work.skipped.get_or_insert(counts);
                }
                return;
            }
            Act::Repeat(_) => return,
            _ => {}
        }
    }
}

/// "(RS)", "(WS)", "(right side)".
pub(super) fn side(c: &mut Cursor) -> Option<Side> {
    let from = c.pos;
    let side = match c.word(0) {
        "rs" => Some((Side::Right, 1)),
        "ws" => Some((Side::Wrong, 1)),
        "right" if c.is_at(1, keys!["side"]) => Some((Side::Right, 2)),
        "wrong" if c.is_at(1, keys!["side"]) => Some((Side::Wrong, 2)),
        _ => None,
    };
    let (side, len) = side?;
    c.pos += len;
    c.eat(keys!["row", "rnd", "facing"]);
    if c.done() {
        return Some(side);
    }
    c.pos = from;
    None
}

/// Whether "in next sp", "into each st" … follows a bracket.
fn is_place_next(c: &Cursor) -> bool {
    if c.is(keys!["in", "into"]) || (c.is(keys!["all"]) && c.is_at(1, keys!["in", "into"])) {
        return true;
    }
    c.is(keys!["around", "over"])
        && (c.is_at(1, keys!["next", "each", "same", "post", "first", "last"])
            || c.is_at(2, keys!["next", "post"]))
}
