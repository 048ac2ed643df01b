//! The form in which trees are compared.
//!
//! What is left out, and why: the names stitches were read under, since the same piece is
//! said in both; how the piece is worked, which the caller tells; line numbers; the
//! designer's own words (remarks, notes, colour phrases, seams, definitions), which change
//! with the terms and are tested by themselves; a definition's abbreviation, which is not
//! said where all is spelled out. A run worked once is its steps, none is nothing.

use crate::sheet::Sheet;
use brimwright::written::*;

/// A piece without what saying it may change.
pub fn normal(piece: &Piece) -> Piece {
    let mut piece = piece.clone();
    piece.terms = Terms::Us;
    piece.method = None;
    for special in &mut piece.specials {
        special.abbr.clear();
        special.text.clear();
        special.name = special.name.to_lowercase();
        if special.name.ends_with("-st") || special.name.ends_with(" st") {
            special.name.push_str("itch");
        }
    }
    for line in &mut piece.lines {
        line.number = 0;
        line.at = At::default();
        match &mut line.kind {
            LineKind::Note(note) => note.words.clear(),
            LineKind::Work(work) => {
                if let Some(Label { which: Which::Range(a, b), .. }) = &work.label
                    && a == b
                {
                    let one = Which::One(a.clone());
                    work.label.as_mut().expect("a label").which = one;
                }
                work.steps = simple(&work.steps);
            }
            _ => {}
        }
    }
    piece.lines.retain(
        |l| !matches!(&l.kind, LineKind::Work(w) if w.steps.is_empty() && w.claims.is_empty()),
    );
    piece
}

const NONE: Number = Number::Plain(0);

fn simple(steps: &[Step]) -> Vec<Step> {
    steps.iter().flat_map(one).collect()
}

fn one(step: &Step) -> Vec<Step> {
    let mut step = step.clone();
    match &mut step.act {
        Act::Remark(words) => words.clear(),
        Act::Colour(colour) => {
            colour.words.clear();
            // At the head of a sentence a colour gets a capital.
            colour.to.iter_mut().for_each(|to| *to = to.to_lowercase());
        }
        Act::Seam(seam) => seam.words.clear(),
        Act::Chain(chain) if chain.count == NONE => return Vec::new(),
        Act::Leave(Leave { count: Some(n) }) if *n == NONE => return Vec::new(),
        Act::Skip(target) if is_none(target) => return Vec::new(),
        Act::Skip(target) => extent(target),
        Act::Work(working) => {
            if !some(&mut working.made) {
                return Vec::new();
            }
            if !working.targets.is_empty() {
                working.targets.retain(|t| !is_none(t));
                if working.targets.is_empty() {
                    return Vec::new();
                }
            }
            working.targets.iter_mut().for_each(extent);
            working.besides.retain_mut(|b| some(&mut b.made));
        }
        Act::Repeat(repeat) => return repeated(repeat, step.at),
        _ => {}
    }
    vec![step]
}

/// Whether anything is made at all; groups are made simple.
fn some(made: &mut Made) -> bool {
    match made {
        Made::Stitch { count, .. } | Made::Special { count, .. } => *count != NONE,
        Made::Group(steps) => {
            *steps = simple(steps);
            !steps.is_empty()
        }
    }
}

fn repeated(repeat: &Repeat, at: At) -> Vec<Step> {
    let steps = simple(&repeat.steps);
    let last_stops = repeat.last_stops.map(|n| simple(&repeat.steps[..n]).len());
    let times = match &repeat.times {
        Times::Total(n) if *n == NONE => return Vec::new(),
        Times::Total(n) if *n == Number::ONE => return steps,
        Times::More(n) if *n == NONE => return steps,
        Times::ToLast { count, .. } if *count == NONE => Times::Around,
        other => other.clone(),
    };
    if steps.is_empty() {
        return steps;
    }
    vec![Step { at, act: Act::Repeat(Repeat { mark: repeat.mark, steps, times, last_stops }) }]
}

fn extent(target: &mut Target) {
    if let Reach::Each(extent) | Reach::Every(_, extent) = &mut target.reach
        && matches!(extent, Extent::ToLast { count, .. } if *count == NONE)
    {
        *extent = Extent::End;
    }
}

fn is_none(target: &Target) -> bool {
    match &target.reach {
        Reach::Next(n) | Reach::First(n) | Reach::Last(n) | Reach::All(n) => *n == NONE,
        Reach::Remaining(Some(n)) | Reach::Unworked(Some(n)) => *n == NONE,
        _ => false,
    }
}

/// The piece as one size works it: numbers filled in, ranges that count rounds taken apart.
pub fn filled(piece: &Piece, sheet: &Sheet) -> Piece {
    let mut out = piece.clone();
    out.lines.clear();
    for line in &piece.lines {
        if line.sizes.as_ref().is_some_and(|s| !s.contains(&sheet.id)) {
            continue;
        }
        let mut line = line.clone();
        line.sizes = None;
        match &line.kind {
            LineKind::SizesOnly(_) | LineKind::AllSizes => {}
            LineKind::Work(work) => {
                for work in rounds(work, sheet) {
                    out.lines.push(Line { kind: LineKind::Work(work), ..line.clone() });
                }
            }
            _ => out.lines.push(line),
        }
    }
    out
}

fn rounds(work: &Work, sheet: &Sheet) -> Vec<Work> {
    let fill = |n: &Number| match n {
        Number::Hole(hole) => sheet.value(hole, None).expect("a label's number"),
        Number::Plain(n) => *n as i64,
    };
    let Some(Label { which: Which::Range(a, b), .. }) = &work.label else {
        let round = match work.label.as_ref().map(|l| &l.which) {
            Some(Which::One(n)) => fill(n),
            _ => 1,
        };
        let mut work = work.clone();
        put(&mut work, sheet, Counter { round: round as u32, step: 1 });
        return vec![work];
    };
    let (a, b) = (fill(a), fill(b));
    if b < a {
        return Vec::new();
    }
    let mut stepwise = false;
    let mut claims = false;
    numbers(&mut work.clone(), &mut |n, claim| {
        if let Number::Hole(hole) = n
            && (hole.text.contains("step") || hole.text.contains("round"))
        {
            stepwise = true;
            claims |= claim;
        }
    });
    if !stepwise || a == b {
        let mut work = work.clone();
        put(&mut work, sheet, Counter { round: a as u32, step: 1 });
        return vec![work];
    }
    let one = |(i, round): (usize, i64)| {
        let mut one = work.clone();
        put(&mut one, sheet, Counter { round: round as u32, step: i as u32 + 1 });
        one.label.as_mut().expect("a label").which = Which::One(Number::Plain(round as u64));
        if !claims && round != b {
            one.claims.clear();
        }
        one
    };
    (a..=b).enumerate().map(one).collect()
}

fn put(work: &mut Work, sheet: &Sheet, counter: Counter) {
    numbers(work, &mut |n, _| {
        if let Number::Hole(hole) = n {
            *n = Number::Plain(sheet.value(hole, Some(counter)).expect("a number") as u64);
        }
    });
}

/// Every number of a line. The flag tells that it stands in a claim.
fn numbers(work: &mut Work, visit: &mut dyn FnMut(&mut Number, bool)) {
    if let Some(label) = &mut work.label {
        match &mut label.which {
            Which::One(n) | Which::EveryOther(n) | Which::Onward(n) | Which::Next(n) => {
                visit(n, false)
            }
            Which::Range(a, b) => {
                visit(a, false);
                visit(b, false);
            }
            Which::List(all) => all.iter_mut().for_each(|n| visit(n, false)),
            Which::Named(_) => {}
        }
    }
    steps(&mut work.steps, &mut |n| visit(n, false));
    for item in work.claims.iter_mut().flat_map(|c| &mut c.items) {
        visit(&mut item.count, true);
        if let Unit::ChainSpaces(Some(n)) = &mut item.unit {
            visit(n, true);
        }
    }
}

fn steps(all: &mut [Step], visit: &mut dyn FnMut(&mut Number)) {
    for step in all {
        match &mut step.act {
            Act::Chain(chain) => {
                visit(&mut chain.count);
                if let Some(ChainCounts {
                    as_kind: Some(CountsAs { chains: Some(n), .. }), ..
                }) = &mut chain.counts
                {
                    visit(n);
                }
            }
            Act::Work(working) => {
                if let Some(ChainCounts {
                    as_kind: Some(CountsAs { chains: Some(n), .. }), ..
                }) = &mut working.skipped
                {
                    visit(n);
                }
                made(&mut working.made, visit);
                working.targets.iter_mut().for_each(|t| target(t, visit));
                for besides in &mut working.besides {
                    made(&mut besides.made, visit);
                    target(&mut besides.target, visit);
                }
            }
            Act::Skip(t) => target(t, visit),
            Act::Rejoin(Rejoin { target: Some(t), .. }) => target(t, visit),
            Act::Join(Join { into: Some(JoinPlace::BeginningChain { chains, nth }), .. }) => {
                chains.iter_mut().chain(nth).for_each(&mut *visit);
            }
            Act::Repeat(repeat) => {
                steps(&mut repeat.steps, visit);
                match &mut repeat.times {
                    Times::Total(n) | Times::More(n) => visit(n),
                    Times::ToLast { count, place: last } => {
                        visit(count);
                        place(last, visit);
                    }
                    Times::Around | Times::ToTurningChain => {}
                }
            }
            Act::Leave(Leave { count: Some(n) }) => visit(n),
            Act::Even(even) => {
                even.count.iter_mut().chain(&mut even.until).for_each(&mut *visit);
                match even.shaping.as_mut().map(|s| &mut s.at) {
                    Some(ShapedAt::Evenly(n)) => visit(n),
                    Some(ShapedAt::Ends { until: Some(n), .. }) => visit(n),
                    _ => {}
                }
            }
            Act::Again(again) => {
                for (a, b) in &mut again.which {
                    visit(a);
                    visit(b);
                }
                again.last.iter_mut().chain(&mut again.ending).for_each(&mut *visit);
                match &mut again.times {
                    AgainTimes::Times(n)
                    | AgainTimes::Courses(n)
                    | AgainTimes::UntilRemain(n)
                    | AgainTimes::UntilWorked(n) => visit(n),
                    AgainTimes::AsLabelled => {}
                }
            }
            _ => {}
        }
    }
}

fn made(made: &mut Made, visit: &mut dyn FnMut(&mut Number)) {
    match made {
        Made::Stitch { count, .. } | Made::Special { count, .. } => visit(count),
        Made::Group(inner) => steps(inner, visit),
    }
}

fn target(target: &mut Target, visit: &mut dyn FnMut(&mut Number)) {
    match &mut target.reach {
        Reach::Next(n) | Reach::First(n) | Reach::Last(n) | Reach::Nth(n) => visit(n),
        Reach::Skipped(n)
        | Reach::All(n)
        | Reach::Remaining(Some(n))
        | Reach::Unworked(Some(n)) => visit(n),
        Reach::Each(extent) => further(extent, visit),
        Reach::Every(n, extent) => {
            visit(n);
            further(extent, visit);
        }
        _ => {}
    }
    place(&mut target.place, visit);
    if let Part::SpaceOf(Some(n)) | Part::NthChain(n) | Part::NthOf(n, _) | Part::Below(n) =
        &mut target.part
    {
        visit(n);
    }
    target.of.iter_mut().for_each(visit);
}

fn further(extent: &mut Extent, visit: &mut dyn FnMut(&mut Number)) {
    match extent {
        Extent::ToLast { count, place: last } => {
            visit(count);
            place(last, visit);
        }
        Extent::ToNext(next) => place(next, visit),
        Extent::End | Extent::ToTurningChain => {}
    }
}

fn place(place_kind: &mut PlaceKind, visit: &mut dyn FnMut(&mut Number)) {
    match place_kind {
        PlaceKind::ChainSpace(Some(n)) | PlaceKind::TurningChain(Some(n)) => visit(n),
        PlaceKind::AnyOf(kinds) => kinds.iter_mut().for_each(|kind| place(kind, visit)),
        _ => {}
    }
}
