//! Instructions in a row: stitches, brackets, starred repeats.

use super::acts;
use super::brackets;
use super::claims;
use super::cursor::{Cursor, PLAIN_STITCH, Read, times_word};
use super::lexer::Tok;
use super::places;
use super::tree::*;
use super::words::{self, Name};
use crate::limits;

/// What a run of steps has said besides its steps.
#[derive(Clone, Debug, Default)]
pub(super) struct Run {
    /// The steps.
    pub steps: Vec<Step>,
    /// Claims that stand between or behind them.
    pub claims: Vec<Claim>,
    /// Which side faces, if a bracket says.
    pub side: Option<Side>,
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
                out.marks.push((m, out.steps.len(), at));
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

/// A claim may begin after a full stop, a colon or a dash: ". 36 sts", "— 36 sc".
fn claim_after_stop(c: &mut Cursor, out: &Run) -> Option<Claim> {
    if out.steps.is_empty() && !c.is(&["you"]) {
        return None;
    }
    let mut look = c.clone();
    let claim = claims::bare(&mut look)?;
    // "6 sc in ring" begins with a count but goes on as an instruction.
    let whole = look.done()
        || matches!(look.tok(0), Some(Tok::Sign(b'.' | b';' | b',' | b'(' | b'[')))
        || look.is(&["turn", "join", "fasten"]);
    if !whole {
        return None;
    }
    c.pos = look.pos;
    Some(claim)
}

/// One instruction that begins with a word or a number.
fn step(c: &mut Cursor, out: &mut Run, inside: bool, sentence: bool) -> Read<()> {
    let from = c.pos;
    if c.is(&["and", "then", "now"]) || (c.is(&["also", "again"]) && !c.at_break()) {
        c.pos += 1;
        return Ok(());
    }
    if c.is(&["x"]) {
        return Ok(());
    }
    if let Some(repeat) = rep(c, out)? {
        let Some(mut repeat) = repeat else { return Ok(()) };
        repeat.at = c.since(from);
        out.steps.push(repeat);
        return Ok(());
    }
    if let Some(acts) = acts::act(c, out, sentence)? {
        let at = c.since(from);
        out.steps.extend(acts.into_iter().map(|act| Step { at, act }));
        return Ok(());
    }
    if c.is(&["you", "there"])
        && let Some(claim) = claims::bare(c)
    {
        out.claims.push(claim);
        return Ok(());
    }
    if let Some(acts) = working(c, inside)? {
        let at = c.since(from);
        out.steps.extend(acts.into_iter().map(|act| Step { at, act }));
        return Ok(());
    }
    // "36 sts" at the end of a sentence is a claim wherever it stands.
    let mut look = c.clone();
    if look.number().is_some()
        && look.is(&["st", "sts", "stitches"])
        && let Some(claim) = claims::bare(c)
    {
        out.claims.push(claim);
        return Ok(());
    }
    c.pos = from;
    Ok(())
}

/// Stitches and where they go. `inside` a group they need no place.
fn working(c: &mut Cursor, inside: bool) -> Read<Option<Vec<Act>>> {
    let from = c.pos;
    c.eat(&["work", "make", "working"]);
    // "in next ch-2 sp work (2 dc, ch 2, 2 dc)": the place first.
    if c.is(&["in", "into"]) && !c.is_at(1, &["back", "front", "blo", "flo"]) {
        let mut look = c.clone();
        let places = places::places(&mut look)?;
        look.eat_sign(b',');
        look.eat(&["work", "make"]);
        if !places.targets.is_empty() {
            let mark = look.pos;
            if let Some(made) = made(&mut look, inside)?
                && look.pos > mark
            {
                let ring = says_magic(&Cursor { pos: mark, ..c.clone() }, c.pos);
                c.pos = look.pos;
                let (made, _) = made;
                let work = Act::Work(Working { made, targets: places.targets, skipped: None });
                return Ok(Some(if ring { vec![Act::Ring, work] } else { vec![work] }));
            }
        }
        c.pos = from;
        return Ok(None);
    }
    // "BLO sc in each st": the loop before the stitch.
    let early = places::loop_words(c);
    let Some((made, counted)) = made(c, inside)? else {
        c.pos = from;
        // "work next 2 sts together"
        if c.eat(&["work"])
            && c.is(&["next", "first", "last"])
            && let found = places::places(c)?
            && found.together
            && let [Target { reach, .. }] = found.targets.as_slice()
            && let Reach::Next(n) | Reach::First(n) | Reach::Last(n) = reach
            && let Number::Plain(n) = n
        {
            let kind = PLAIN_STITCH.tog(u8::try_from(*n).unwrap_or(u8::MAX).max(1));
            let made = Made::Stitch { count: Number::ONE, kind };
            let targets = vec![Target::next(Number::ONE)];
            return Ok(Some(vec![Act::Work(Working { made, targets, skipped: None })]));
        }
        c.pos = from;
        return Ok(None);
    };
    let mut acts = finish(c, made, counted, inside)?;
    if let (Some(loops), Some(Act::Work(work))) = (early, acts.last_mut()) {
        for target in work.targets.iter_mut().filter(|t| t.loops == Loop::Both) {
            target.loops = loops;
        }
    }
    Ok(Some(acts))
}

/// What is made: "2 dc", "sc2tog", "V-st", "(2 dc, ch 2, 2 dc)". The flag tells that a
/// number stood before the stitch.
fn made(c: &mut Cursor, inside: bool) -> Read<Option<(Made, bool)>> {
    let from = c.pos;
    if c.sign(b'(') || c.sign(b'[') {
        let Some(close) = c.closing() else { return unclosed(c) };
        let mut inner = c.within(c.pos + 1, close);
        let group = run(&mut inner, true)?;
        c.pos = close + 1;
        return Ok(Some((Made::Group(group.steps), false)));
    }
    let _ = inside;
    // "3-dc cluster" begins with a number that is part of the name.
    if let Some(name) = words::stitch(c)? {
        return Ok(Some((named(Number::ONE, name), false)));
    }
    if let Some(n) = c.number() {
        c.eat(&["more"]);
        if let Some(name) = words::stitch(c)? {
            return Ok(Some((named(n, name), true)));
        }
    }
    c.pos = from;
    Ok(None)
}

fn named(count: Number, name: Name) -> Made {
    match name {
        Name::One(kind) => Made::Stitch { count, kind },
        Name::Many(n, kind) => {
            let count = match count {
                Number::Plain(k) => Number::Plain(n.saturating_mul(k)),
                other => other,
            };
            Made::Stitch { count, kind }
        }
        Name::Group(special) => Made::Special { count, special },
    }
}

/// Reads the places behind what is made, and settles what goes without saying.
fn finish(c: &mut Cursor, made: Made, counted: bool, inside: bool) -> Read<Vec<Act>> {
    // "foundation single crochet (fsc)": the abbreviation is said once more.
    if let (Made::Stitch { kind, .. }, Some(close)) = (&made, c.closing().filter(|_| c.sign(b'(')))
    {
        let mut inner = c.within(c.pos + 1, close);
        if matches!(words::stitch(&mut inner), Ok(Some(Name::One(k))) if k == *kind) && inner.done()
        {
            c.pos = close + 1;
        }
    }
    if c.is(&["once"]) && c.is_at(1, &["in", "into"]) {
        c.pos += 1;
    }
    let from = c.pos;
    let mut found = places::places(c)?;
    let mut made = made;
    let skipped = brackets::skipped_counts(c);
    // "in 3rd ch from hook (skipped chs do not count) and in each ch across".
    if skipped.is_some() && c.is(&["and"]) && c.is_at(1, &["in", "each", "next"]) {
        c.pos += 1;
        found.targets.extend(places::places(c)?.targets);
    }
    settle_together(&made, &mut found.targets);
    let magic = says_magic(c, from);
    // "inc x 6", "sc2tog twice", "V-st 3 times".
    if found.targets.is_empty()
        && let Some(times) = times(c)?
    {
        match (times, &mut made) {
            (Times::Total(n), Made::Stitch { .. } | Made::Special { .. }) => {
                found.targets.push(Target::next(n));
            }
            (times, made) => {
                let step = Act::Work(Working {
                    made: made.clone(),
                    targets: vec![Target::next(Number::ONE)],
                    skipped: None,
                });
                let steps = vec![Step { at: At::default(), act: step }];
                return Ok(vec![Act::Repeat(Repeat {
                    mark: Mark::Bracket,
                    steps,
                    times,
                    last_stops: None,
                })]);
            }
        }
    }
    if c.eat(&["together", "tog"]) {
        found.together = true;
    }
    if found.together
        && let Made::Stitch { kind, .. } = &mut made
        && let Some(Target { reach, .. }) = found.targets.first_mut()
        && let Reach::Next(Number::Plain(n)) = reach.clone()
        && kind.together == 1
    {
        *kind = kind.tog(u8::try_from(n).unwrap_or(u8::MAX).max(1));
        *reach = Reach::Next(Number::ONE);
    }
    if found.targets.is_empty() && !inside {
        // A stitch alone goes into the next place; "5 sc" into the next five.
        let count = match &mut made {
            Made::Stitch { count, .. } | Made::Special { count, .. } if counted => {
                std::mem::replace(count, Number::ONE)
            }
            _ => Number::ONE,
        };
        found.targets.push(Target::next(count));
    }
    let work = Act::Work(Working { made, targets: found.targets, skipped });
    // "6 sc in magic ring" makes the ring too.
    Ok(if magic { vec![Act::Ring, work] } else { vec![work] })
}

/// Whether the place read since `from` is a ring made on the spot.
fn says_magic(c: &Cursor, from: usize) -> bool {
    (from..c.pos).any(|i| {
        let word = c.tokens.get(i).and_then(|t| c.low.get(t.span().range())).unwrap_or("");
        ["magic", "mr", "adjustable"].contains(&word)
    })
}

/// "sc2tog over next 2 sts" names the two places one stitch uses up: that is one stitch.
fn settle_together(made: &Made, targets: &mut [Target]) {
    let Made::Stitch { kind, .. } = made else { return };
    if kind.together < 2 {
        return;
    }
    for target in targets {
        let stitches =
            matches!(target.place, PlaceKind::Stitch | PlaceKind::Named(_) | PlaceKind::Chain);
        for reach in [&mut target.reach] {
            match reach {
                Reach::Next(Number::Plain(n))
                | Reach::First(Number::Plain(n))
                | Reach::Last(Number::Plain(n))
                    if stitches
                        && *n > 1
                        && *n % u64::from(kind.together) == 0
                        && target.part == Part::Whole =>
                {
                    // "over next 2 sts": one; "sc2tog 4 times" never comes here.
                    *n /= u64::from(kind.together);
                }
                _ => {}
            }
        }
    }
}

/// A bracket: a claim, a side, a remark, a group in one place, or a repeat.
fn bracket(c: &mut Cursor, out: &mut Run, inside: bool) -> Read<()> {
    let from = c.pos;
    let Some(close) = c.closing() else { return unclosed(c) };
    let mut after = c.clone();
    after.pos = close + 1;
    let repeated = {
        let mut look = after.clone();
        let apart = look.eat_sign(b',') || look.eat_sign(b';') || look.eat_sign(b'.');
        if apart && !look.is(&["rep", "repeat"]) {
            look.pos = after.pos;
        }
        let found = times(&mut look)?.is_some();
        if found && apart && look.pos > after.pos + 1 {
            after.pos += 1;
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
        if let Some(claim) = claims::bracketed(c) {
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
    c.pos = close + 1;
    out.claims.extend(content.claims.iter().cloned());
    if repeated {
        let times = times(c)?.unwrap_or(Times::Total(Number::ONE));
        let mut steps = content.steps;
        if often_placed {
            let acts = finish(c, Made::Group(steps), false, inside)?;
            let at = c.since(from);
            steps = acts.into_iter().map(|act| Step { at, act }).collect();
        }
        let repeat = Repeat { mark: Mark::Bracket, steps, times, last_stops: None };
        out.steps.push(Step { at: c.since(from), act: Act::Repeat(repeat) });
        return Ok(());
    }
    if placed {
        let acts = finish(c, Made::Group(content.steps), false, inside)?;
        let at = c.since(from);
        out.steps.extend(acts.into_iter().map(|act| Step { at, act }));
        return Ok(());
    }
    // A bracket with nothing behind it only holds its steps together.
    out.steps.extend(content.steps);
    Ok(())
}

/// "(RS)", "(WS)", "(right side)".
pub(super) fn side(c: &mut Cursor) -> Option<Side> {
    let from = c.pos;
    let side = match c.word(0) {
        "rs" => Some((Side::Right, 1)),
        "ws" => Some((Side::Wrong, 1)),
        "right" if c.is_at(1, &["side"]) => Some((Side::Right, 2)),
        "wrong" if c.is_at(1, &["side"]) => Some((Side::Wrong, 2)),
        _ => None,
    };
    let (side, len) = side?;
    c.pos += len;
    c.eat(&["row", "rnd", "facing"]);
    if c.done() {
        return Some(side);
    }
    c.pos = from;
    None
}

/// Whether "in next sp", "into each st" … follows a bracket.
fn is_place_next(c: &Cursor) -> bool {
    if c.is(&["in", "into"]) {
        return true;
    }
    c.is(&["around", "over"])
        && (c.is_at(1, &["next", "each", "same", "post", "first", "last"])
            || c.is_at(2, &["next", "post"]))
}

/// "6 times", "x 6", "twice", "around", "to last 3 sts", "5 more times", if it comes next.
pub(super) fn times(c: &mut Cursor) -> Read<Option<Times>> {
    let from = c.pos;
    if c.is(&["rep", "repeat", "repeated", "worked", "work"]) {
        c.pos += 1;
        if brackets::named_again(c) {
            c.eat_sign(b',');
        }
        let found = times(c)?;
        if found.is_none() {
            c.pos = from;
        }
        return Ok(found);
    }
    c.eat_all(&["for", "a", "total", "of"]);
    if c.eat(&["a"]) {
        c.eat(&["total"]);
        c.eat(&["of"]);
    }
    if c.is(&["x"]) || c.sign(b'x') {
        c.pos += 1;
        if let Some(n) = c.number() {
            c.eat(&["times"]);
            return Ok(Some(Times::Total(n)));
        }
        c.pos = from;
        return Ok(None);
    }
    if let Some(n) = times_word(c.word(0)) {
        c.pos += 1;
        let more = c.eat(&["more"]);
        if c.is_at(1, &["all", "total"]) && c.eat(&["in"]) {
            c.eat(&["all"]);
        }
        let n = Number::Plain(n);
        return Ok(Some(if more { Times::More(n) } else { Times::Total(n) }));
    }
    if let Some(n) = c.number() {
        let more = c.eat(&["more", "further", "additional"]);
        if c.eat(&["times", "time", "x"]) || c.eat_sign(b'x') || (more && c.at_break()) {
            let more = c.eat(&["more"]) || more;
            if c.is_at(1, &["all", "total"]) && c.eat(&["in"]) {
                c.eat(&["all", "total"]);
            }
            c.eat(&["total", "altogether"]);
            return Ok(Some(if more { Times::More(n) } else { Times::Total(n) }));
        }
        c.pos = from;
        return Ok(None);
    }
    match places::extent(c)? {
        Some(Extent::End) => Ok(Some(Times::Around)),
        Some(Extent::ToLast { count, place }) => Ok(Some(Times::ToLast { count, place })),
        Some(Extent::ToTurningChain) => Ok(Some(Times::ToTurningChain)),
        None => {
            c.pos = from;
            Ok(None)
        }
    }
}

/// "rep from * …", "rep between * * …", "rep [A] 5 times", "rep from beg of rnd". The outer
/// `None`: no repeat of steps; the inner: a bracket follows that repeats itself.
fn rep(c: &mut Cursor, out: &mut Run) -> Read<Option<Option<Step>>> {
    let from = c.pos;
    if !c.eat(&["rep", "repeat", "reps"]) {
        return Ok(None);
    }
    if matches!(c.tok(0), Some(Tok::Sign(b'(' | b'['))) {
        return Ok(Some(None));
    }
    c.eat(&["instructions", "section", "pattern"]);
    // "rep around from *" says how far before it says from where.
    let mut early = None;
    if !c.is(&["from", "between"]) && c.tok(0) == Some(Tok::Word) {
        let mut look = c.clone();
        if let Ok(Some(Times::Around)) = times(&mut look)
            && look.is(&["from"])
            && matches!(look.tok(1), Some(Tok::Mark(_)))
        {
            early = Some(Times::Around);
            c.pos = look.pos;
        }
    }
    if let Some(step) = rep_of_what_stands_before(c, out)? {
        return Ok(Some(Some(step)));
    }
    let between = c.eat(&["between", "betw", "bet"]);
    let fromwards = !between && c.eat(&["from"]);
    if !between && !fromwards {
        if matches!(c.tok(0), Some(Tok::Mark(_))) {
            // "rep * 5 more times"
        } else {
            c.pos = from;
            return Ok(None);
        }
    }
    c.eat(&["the"]);
    if c.eat(&["beg", "beginning", "start"]) {
        if c.eat(&["of"]) {
            c.eat(&["the"]);
            c.eat(&["row", "rnd", "round"]);
        }
        let first = out.steps.iter().position(|s| {
            !matches!(s.act, Act::Chain(_) | Act::Turn | Act::Remark(_) | Act::Colour(_))
        });
        let body = out.steps.split_off(first.unwrap_or(out.steps.len()));
        return Ok(Some(Some(repeat_step(c, body, Mark::Star, None)?)));
    }
    let Some(Tok::Mark(mark)) = c.tok(0) else {
        c.pos = from;
        return c.stop("syntax", "“rep from” what? A * must mark where the repeat begins");
    };
    c.pos += 1;
    let mut second = false;
    if c.is(&["to", "and", "until"]) && matches!(c.tok(1), Some(Tok::Mark(_))) {
        c.pos += 2;
        second = true;
    } else if matches!(c.tok(0), Some(Tok::Mark(_))) {
        c.pos += 1;
        second = true;
    }
    let starts: Vec<usize> =
        out.marks.iter().filter(|(m, ..)| *m == mark).map(|(_, at, _)| *at).collect();
    let sign = if mark > 100 { "†".to_owned() } else { "*".repeat(usize::from(mark)) };
    let Some(&start) = starts.first() else {
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
    let closing = starts.get(1).copied().filter(|e| *e > start);
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

/// "*A*, repeat around", "A, repeat 6 times": neither "from" nor a mark says what is repeated,
/// so it is what stands between the marks, or else the line so far.
fn rep_of_what_stands_before(c: &mut Cursor, out: &mut Run) -> Read<Option<Step>> {
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

/// The times behind "rep from *", and how the last repeat ends.
fn repeat_step(
    c: &mut Cursor,
    steps: Vec<Step>,
    mark: Mark,
    inner: Option<(u8, usize)>,
) -> Read<Step> {
    // "between *s": the plural of the mark.
    c.eat(&["s"]);
    c.eat_sign(b',');
    c.eat(&["as"]);
    let from = c.pos;
    let times = match times(c)? {
        Some(times) => times,
        None => {
            c.pos = from;
            c.eat(&["until"]);
            if c.eat(&["end"]) || c.sees(&["in", "each"]) {
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
    if c.eat(&["ending", "end", "finishing"])
        && c.eat(&["last"])
        && c.eat(&["rep", "repeat"])
        && c.eat(&["at"])
        && let (Some(Tok::Mark(m)), Some((want, at))) = (c.tok(0), inner)
        && m == want
    {
        c.pos += 1;
        last_stops = Some(at);
    }
    if last_stops.is_none() {
        c.pos = mark_here;
    }
    let act = Act::Repeat(Repeat { mark, steps, times, last_stops });
    Ok(Step { at: At::default(), act })
}

fn unclosed<T>(c: &Cursor) -> Read<T> {
    c.stop("syntax", "this bracket is never closed, or closed by another kind").map_err(|mut s| {
        s.help = Some("close every bracket with its own kind, the inner one first".to_owned());
        s
    })
}

/// A word that is no part of the language.
pub(super) fn unknown<T>(c: &Cursor) -> Read<T> {
    let span = c.here();
    let word = c.text.get(span.range()).unwrap_or("").to_owned();
    let stitch_like = {
        let mut look = c.clone();
        if matches!(look.tok(0), Some(Tok::Num(_))) {
            look.pos += 1;
        }
        let is_word = look.tok(0) == Some(Tok::Word) && look.word(0).len() > 1;
        let digit = look.word(0).bytes().any(|b| b.is_ascii_digit());
        look.pos += 1;
        is_word
            && (digit
                || look.at_break()
                || look.is(&["in", "into", "around", "next", "blo", "flo", "over", "twice"])
                || matches!(look.tok(0), Some(Tok::Num(_) | Tok::Hole))
                || (look.tok(0) == Some(Tok::Hyphen) && look.is_at(1, &["st", "sts", "stitch"])))
    };
    if stitch_like {
        let mut look = c.clone();
        if matches!(look.tok(0), Some(Tok::Num(_))) {
            look.pos += 1;
        }
        let span = look.here();
        let mut end = span;
        if look.tok(1) == Some(Tok::Hyphen) && look.tok(2) == Some(Tok::Word) {
            end = look.peek(2).map_or(span, |t| t.span());
        }
        let word = c.text.get(span.to(end).range()).unwrap_or("").to_owned();
        return c
            .stop_at(
                span.to(end),
                "unknown-stitch",
                format!("“{word}” is no stitch of the standard list, and it is not defined"),
            )
            .map_err(|mut s| {
                s.help = Some(format!("define it (“{word}: …”), or use a known stitch"));
                s
            });
    }
    let rest = {
        let mut look = c.clone();
        places::until_break(&mut look);
        look.words_since(c.pos)
    };
    let what = if rest.is_empty() { word } else { rest };
    c.stop("syntax", format!("“{what}” cannot be read as an instruction")).map_err(|mut s| {
        s.help =
            Some("put it in the terms of the written language, or move it to a note".to_owned());
        s
    })
}
