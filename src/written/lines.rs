//! What each line of the text is: heading, note, definition, or something to work.

use super::claims;
use super::cursor::{Cursor, Read, Stop};
use super::edges;
use super::key::keys;
use super::labels;
use super::lexer::Tok;
use super::notes;
use super::steps;
use super::tree::*;
use super::words;

/// What a line turned out to be, before it is placed in the piece.
pub(super) enum Found {
    /// A line of the piece.
    Kind(LineKind),
    /// A definition of a special stitch.
    Define(Special),
}

/// Reads one line. `headed` tells that the line stands under "Special stitches:".
pub(super) fn line(c: &mut Cursor, headed: bool) -> Result<Found, Box<(Box<Stop>, Work)>> {
    let start = c.peek(0).map_or(0, |t| t.start as usize);
    let from = c.pos;
    let label = labels::label(c);
    if !matches!(label, Ok(Some(_))) {
        let here = Cursor { pos: from, ..c.clone() };
        if let Some(note) = notes::note(&here) {
            return Ok(Found::Kind(LineKind::Note(note)));
        }
    }
    let label = match label {
        Ok(label) => label,
        Err(stop) => return Err(Box::new((stop, Work::default()))),
    };
    if label.is_none() {
        if let Some(special) = notes::definition(c, headed) {
            return Ok(Found::Define(special));
        }
        if let Some(text) = heading(c) {
            return Ok(Found::Kind(LineKind::Heading(text)));
        }
        prefix(c);
    }
    let mut work = Work { label: label.as_ref().map(|l| l.label.clone()), ..Work::default() };
    let mut courses = None;
    if let Some(label) = label {
        courses = label.courses;
        work.side = label.side;
        work.claims.extend(label.claim);
        work.steps.extend(label.colour.map(|to| Step {
            at: work.label.as_ref().map(|l| l.at).unwrap_or_default(),
            act: Act::Colour(Colour { words: to.clone(), to: Some(to) }),
        }));
    }
    let body = c.pos;
    if let Some((n, shape, at)) = courses
        && let Err(stop) = worked_so_often(c, &mut work, n, shape, at)
    {
        return Err(Box::new((stop, work)));
    }
    if let Some(steps) = seam(c, &work, start) {
        work.claims.extend(steps.1);
        work.steps.extend(steps.0);
        work.words = own_words(c, start, &work);
        return Ok(Found::Kind(LineKind::Work(work)));
    }
    match steps::run(c, false) {
        Ok(run) => {
            if let Some(side) = run.side {
                work.side = Some(side);
            }
            append(&mut work.steps, run.steps);
            append(&mut work.claims, run.claims);
            if let Some((n, shape, at)) = run.courses
                && let Err(stop) = worked_so_often(c, &mut work, n, shape, at)
            {
                return Err(Box::new((stop, work)));
            }
            if work.label.is_none() {
                only_told(c, &mut work.steps);
            }
            if let (Some(label), true) = (&work.label, work.steps.is_empty()) {
                let stop = Box::new(nothing_to_do(c, label.at));
                return Err(Box::new((stop, work)));
            }
            if work.label.is_none()
                && work.steps.iter().all(|s| matches!(s.act, Act::Remark(_)))
                && work.claims.is_empty()
            {
                let words = c.text.get(c.since(body).0.range()).unwrap_or("").to_owned();
                return Ok(Found::Kind(LineKind::Note(Note { words, says: Vec::new() })));
            }
            if work.steps.iter().all(|s| finishes(&s.act)) {
                work.words = own_words(c, start, &work);
            }
            Ok(Found::Kind(LineKind::Work(work)))
        }
        Err(stop) => {
            work.claims.extend(salvage(c, body));
            let words = c.low.get(start..).map_or("", |w| w.lines().next().unwrap_or(""));
            let sewn = ["seam", "sew", "whip", "mattress", "weave", "fasten", "pompom"];
            if work.label.is_none()
                && work.claims.is_empty()
                && sewn.iter().any(|w| words.contains(w))
            {
                // It makes up what is worked, and leaves the edge as it is.
                work.steps = vec![Step { at: c.since(body), act: Act::Remark(words.to_owned()) }];
            }
            Err(Box::new((stop, work)))
        }
    }
}

/// Puts some behind others; where there are no others, without moving them.
fn append<T>(all: &mut Vec<T>, more: Vec<T>) {
    if all.is_empty() {
        *all = more;
    } else {
        all.extend(more);
    }
}

/// "Continue in pattern as established." with neither a label nor a number works nothing.
fn only_told(c: &Cursor, steps: &mut [Step]) {
    for step in steps {
        if let Act::Again(again) = &step.act
            && again.times == AgainTimes::AsLabelled
            && again.which.is_empty()
            && again.last.is_none()
            && again.of.is_none()
        {
            let words = c.text.get(step.at.0.range()).unwrap_or("").to_owned();
            step.act = Act::Remark(words);
        }
    }
}

/// "Rnd 2: (12 sts)": a count is no instruction, and nothing would be held against it.
fn nothing_to_do(c: &Cursor, label: At) -> Stop {
    let end = c.end.checked_sub(1).and_then(|i| c.tokens.get(i)).map(|t| t.span());
    Stop {
        code: "syntax",
        span: end.map_or(label.0, |end| label.0.to(end)),
        message: "this line has a label, and says nothing to do".to_owned(),
        help: Some("say how it is worked: “Rnd 2: Sc in each st around. (12 sts)”".to_owned()),
    }
}

/// Whether a step is a remark, a change of yarn or a way of finishing.
fn finishes(act: &Act) -> bool {
    matches!(
        act,
        Act::Remark(_)
            | Act::Colour(_)
            | Act::Gather(_)
            | Act::Seam(_)
            | Act::FastenOff
            | Act::NoTurn
            | Act::NoJoin
    )
}

/// The line as its author wrote it, its count left out: that is said apart.
fn own_words(c: &Cursor, start: usize, work: &Work) -> Words {
    let end = c.tokens.get(c.end.saturating_sub(1)).map_or(start, |t| t.end as usize);
    let mut text = c.text.get(start..end).unwrap_or("");
    if let [_] = work.claims.as_slice() {
        let bare = text.trim_end_matches('.');
        let Some(open) = bare.rfind(['(', '[']).filter(|_| bare.ends_with([')', ']'])) else {
            return Words::default();
        };
        let (before, count) = bare.split_at(open);
        if before.contains(['(', '[']) || !count.contains(|c: char| c.is_ascii_digit() || c == '{')
        {
            return Words::default();
        }
        text = before;
    }
    // Letters that stand for words are said in the house style, so that they are explained.
    let short = |w: &str| ["fo", "pm", "mr"].iter().any(|s| w.eq_ignore_ascii_case(s));
    let kept = work.label.is_none()
        && work.side.is_none()
        && work.claims.len() < 2
        && work.steps.iter().any(|s| s.act != Act::FastenOff)
        && !text.split(|c: char| !c.is_alphanumeric()).any(short);
    if !kept {
        return Words::default();
    }
    Words(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// "Sc around for 3 rnds" works as many as "Next 3 rnds: Sc around"; a label must agree.
fn worked_so_often(c: &Cursor, work: &mut Work, n: Number, shape: Shape, at: At) -> Read<()> {
    let Some(label) = &work.label else {
        work.label = Some(Label { at, shape, which: Which::Next(n) });
        return Ok(());
    };
    let covered = match &label.which {
        Which::One(_) => Some(1),
        Which::Range(Number::Plain(a), Number::Plain(b)) => Some(b.saturating_sub(*a) + 1),
        Which::List(all) => Some(all.len() as u64),
        Which::Next(Number::Plain(k)) => Some(*k),
        _ => None,
    };
    match (covered, n) {
        (Some(covered), Number::Plain(n)) if covered != n => c
            .stop_at(
                at.0,
                "range-mismatch",
                format!("the label covers {covered}, and {n} are to be worked"),
            )
            .map_err(|mut stop| {
                stop.help = Some("let the label cover them all: “Rnds 4–6: …”".to_owned());
                stop
            }),
        _ => Ok(()),
    }
}

/// The claim of a line that cannot be read: its last bracket that is one.
fn salvage(c: &Cursor, body: usize) -> Option<Claim> {
    let mut found = None;
    for i in body..c.end {
        let mut look = c.within(i, c.end);
        if matches!(look.tok(0), Some(Tok::Sign(b'(' | b'[' | b'{' | b'<'))) {
            found = claims::bracketed(&mut look).or(found);
        }
    }
    found
}

/// A heading: a short line with no instruction in it, and no stop at its end.
fn heading(c: &Cursor) -> Option<String> {
    let last = c.tokens.get(c.end.checked_sub(1)?)?;
    if last.tok() == Tok::Sign(b'.') {
        return None;
    }
    let count = c.end - c.pos;
    let words = (0..count).filter(|i| c.tok(*i) == Some(Tok::Word)).count();
    let commas =
        (0..count).any(|i| matches!(c.tok(i), Some(Tok::Sign(b',' | b';') | Tok::Mark(_))));
    let colon = last.tok() == Tok::Sign(b':');
    let inner_colon = (0..count.saturating_sub(1)).any(|i| c.tok(i) == Some(Tok::Sign(b':')));
    if words == 0 || words > 9 || commas || inner_colon {
        return None;
    }
    // "Do not turn. Working along row ends:" is done, whatever stands at its end.
    let stop = (0..count).any(|i| c.tok(i) == Some(Tok::Sign(b'.')));
    if colon && stop && steps::run(&mut c.clone(), false).is_ok_and(|run| !run.steps.is_empty()) {
        return None;
    }
    if !colon {
        let mut look = c.clone();
        if steps::run(&mut look, false).is_ok()
            && !(words <= 2 && look.text.get(look.since(c.pos).0.range()).is_some_and(is_title))
        {
            return None;
        }
        // An instruction with a slip in it is no heading.
        let works = (0..count).any(|i| {
            c.is_at(
                i,
                keys![
                    "ch", "sc", "hdc", "dc", "tr", "htr", "dtr", "st", "sts", "next", "each",
                    "join", "rep", "skip", "miss", "turn",
                ],
            )
        }) || (0..count).any(|i| c.tok(i) == Some(Tok::Sign(b'[')));
        let named_after_stitch = c
            .text
            .get(c.tokens.get(c.pos)?.start as usize..last.end as usize)
            .is_some_and(is_title);
        if works && !named_after_stitch {
            return None;
        }
    }
    let start = c.tokens.get(c.pos)?.start as usize;
    let end = if colon { last.start } else { last.end } as usize;
    Some(c.text.get(start..end)?.trim().to_owned())
}

/// Words that each begin with a capital, or all in capitals, with no digit among them.
fn is_title(words: &str) -> bool {
    let capital =
        |w: &str| w.chars().next().is_some_and(|ch| ch.is_uppercase() || !ch.is_alphabetic());
    !words.bytes().any(|b| b.is_ascii_digit())
        && !words.eq_ignore_ascii_case("turn")
        && words.split_whitespace().filter(|w| w.len() > 3).all(capital)
        && words.split_whitespace().next().is_some_and(capital)
        && words.split_whitespace().count() > 1
        || (words.len() > 3
            && words.chars().all(|ch| !ch.is_lowercase())
            && !words.bytes().any(|b| b.is_ascii_digit()))
}

/// "Seam:", "Finishing:", "Joining:", "Set-up:", "Foundation:" before an unnumbered line.
fn prefix(c: &mut Cursor) {
    let mut n = 0;
    while n < 5 && matches!(c.tok(n), Some(Tok::Word | Tok::Hyphen)) {
        n += 1;
    }
    if n > 0 && c.tok(n) == Some(Tok::Sign(b':')) && n < c.end - c.pos - 1 {
        c.pos += n + 1;
    }
}

/// A line that joins two edges. Its clauses are read for the seam, the chains and the end;
/// the rest says how the work is held.
fn seam(c: &mut Cursor, work: &Work, start: usize) -> Option<(Vec<Step>, Option<Claim>)> {
    let joining = match &work.label {
        None => true,
        Some(label) => {
            matches!(&label.which, Which::Named(name) if name.to_ascii_lowercase().contains("join") || name.to_ascii_lowercase().contains("seam"))
        }
    };
    if !joining {
        return None;
    }
    let body = c.low.get(c.peek(0)?.start as usize..c.tokens.get(c.end - 1)?.end as usize)?;
    let whole = c.low.get(start..c.tokens.get(c.end - 1)?.end as usize)?;
    let both = edges::names_both_edges(body);
    let layers = ["thicknesses", "both layers", "through both", "layers", "at once"]
        .iter()
        .any(|w| body.contains(w));
    let sewn = ["seam", "sew ", "whip", "mattress"].iter().any(|w| whole.contains(w));
    // "3 sc in first ch, …, sl st to first sc to join": an edging, worked all round.
    let edging = (0..c.end - c.pos).any(|i| {
        c.is_at(i, keys!["sc", "hdc", "dc", "htr", "tr"]) && c.is_at(i + 1, keys!["in", "into"])
    });
    if !(layers
        || (sewn && both)
        || (both
            && !edging
            && (goes_to(body) || body.contains("together"))
            && ["sl st", "slip st", "ss "].iter().any(|w| body.contains(w)))
        || sewn)
    {
        return None;
    }
    // "Work 60 fsc, join, seaming the ends with the tail": stitches are made first of all.
    let mut look = c.clone();
    look.eat(keys!["work", "make"]);
    let counted = look.number().is_some();
    let stitch = matches!(
        words::stitch(&mut look),
        Ok(Some(name)) if name != words::Name::One(Kind::SL_ST)
    );
    let run =
        look.is_at(1, keys!["next"]) || look.is_at(1, keys!["each"]) && look.is_at(2, keys!["of"]);
    let makes = stitch && (counted || look.is(keys!["in", "into"]) && run);
    if makes && !layers {
        return None;
    }
    let mut steps = Vec::new();
    let mut claim = None;
    let mut made = false;
    while !c.done() {
        let from = c.pos;
        match c.tok(0) {
            Some(Tok::Sign(b'(' | b'[' | b'{' | b'<')) => {
                if let Some(found) = claims::bracketed(c) {
                    claim = Some(found);
                } else {
                    c.pos = c.closing()? + 1;
                }
                continue;
            }
            Some(Tok::Sign(_) | Tok::Dash | Tok::Hyphen) => {
                c.pos += 1;
                continue;
            }
            _ => {}
        }
        c.eat(keys!["and", "then"]);
        let act = if c.is(keys!["ch", "chain"]) && matches!(c.tok(1), Some(Tok::Num(_))) {
            c.pos += 1;
            c.number().map(|count| Act::Chain(Chain { count, counts: None }))
        } else if (c.is(keys!["fasten", "finish"]) && c.is_at(1, keys!["off"])) || c.is(keys!["fo"])
        {
            clause(c);
            Some(Act::FastenOff)
        } else if c.is(keys!["gather", "cinch"])
            || (c.is(keys!["weave", "thread", "run"]) && c.is_at(1, keys!["tail", "yarn", "end"]))
        {
            let words = c.pos;
            clause(c);
            Some(Act::Gather(Words(c.words_since(words))))
        } else if !made && let Some(seam) = seam_stitch(c, both) {
            made = true;
            Some(Act::Seam(seam))
        } else {
            None
        };
        if act.is_none() {
            clause(c);
        }
        if c.pos == from {
            c.pos += 1;
        }
        let at = c.since(from);
        steps.push(Step { at, act: act.unwrap_or_else(|| Act::Remark(c.words_since(from))) });
    }
    made.then_some((steps, claim))
}

/// "The last row to the foundation", not "each row to end".
fn goes_to(words: &str) -> bool {
    words.split(" to ").skip(1).any(|rest| !rest.starts_with("end"))
}

fn clause(c: &mut Cursor) {
    while !matches!(
        c.tok(0),
        None | Some(Tok::Sign(b',' | b';' | b'.' | b':' | b'(' | b'[') | Tok::Dash)
    ) {
        // "bring the foundation up behind the last row and sl st across": two things done.
        if c.is(keys!["and"])
            && c.is_at(
                1,
                keys!["sl", "slip", "ss", "sc", "dc", "sew", "whip", "join", "fasten", "weave"],
            )
        {
            return;
        }
        c.pos += 1;
    }
}

/// "sl st in each st", "sl st 14 sts", "sc through both layers", "whip st".
fn seam_stitch(c: &mut Cursor, to_foundation: bool) -> Option<Seam> {
    let from = c.pos;
    if c.is(keys!["sew", "whip", "whipstitch", "seam", "mattress", "graft", "join"])
        && !c.sees(keys!["seam", "as"])
    {
        clause(c);
        let words = c.words_since(from);
        let low = words.to_ascii_lowercase();
        let slip = ["sl st", "slip stitch", "slip-stitch"].iter().any(|w| low.contains(w));
        let with = slip.then_some(Kind::SL_ST);
        return Some(Seam { with, count: None, to_foundation, words });
    }
    let mut look = c.clone();
    look.eat(keys!["work"]);
    let counted = look.number();
    let Ok(Some(words::Name::One(kind))) = words::stitch(&mut look) else { return None };
    look.eat(keys!["in", "into", "through", "the", "next", "each", "of"]);
    look.eat(keys!["each", "next", "of", "the"]);
    look.eat(keys!["of"]);
    look.eat(keys!["the", "next"]);
    let count = counted.or_else(|| look.number());
    c.pos = look.pos;
    clause(c);
    Some(Seam { with: Some(kind), count, to_foundation, words: c.words_since(from) })
}

/// Reads definitions' made part the way lines are read.
pub(super) fn made_of(c: &mut Cursor) -> Read<Vec<Step>> {
    steps::run(c, true).map(|r| r.steps)
}
