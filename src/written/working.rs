//! Stitches and where they go: "2 dc in next st", "in next sp work (2 dc, ch 2, 2 dc)".

use super::brackets;
use super::cursor::{Cursor, PLAIN_STITCH, Read};
use super::extents;
use super::key::keys;
use super::lexer::Tok;
use super::places;
use super::repeats::times;
use super::steps::{Acts, run};
use super::tree::*;
use super::unread::unclosed;
use super::words::{self, Name};
use smallvec::smallvec;

/// Stitches and where they go. `inside` a group they need no place.
pub(super) fn working(c: &mut Cursor, inside: bool) -> Read<Option<Acts>> {
    let from = c.pos;
    c.eat(keys!["work", "make", "working", "place", "placing", "put", "crochet", "making"]);
    // "in next ch-2 sp work (2 dc, ch 2, 2 dc)": the place first.
    if c.is(keys!["in", "into"]) && !c.is_at(1, keys!["back", "front", "blo", "flo"]) {
        let mut look = c.clone();
        let places = places::places(&mut look)?;
        look.eat_sign(b',');
        look.eat(keys!["work", "make"]);
        if !places.targets.is_empty() {
            let mark = look.pos;
            if let Some(made) = made(&mut look)?
                && look.pos > mark
            {
                let ring = says_magic(&Cursor { pos: mark, ..c.clone() }, c.pos);
                c.pos = look.pos;
                let work = Act::Work(Working::new(made.in_one(), places.targets));
                return Ok(Some(if ring { smallvec![Act::Ring, work] } else { smallvec![work] }));
            }
        }
        c.pos = from;
        return Ok(None);
    }
    // "BLO sc in each st": the loop before the stitch.
    let early = places::loop_words(c);
    let Some(making) = made(c)? else {
        c.pos = from;
        if let Some(work) = next_together(c)? {
            return Ok(Some(smallvec![work]));
        }
        c.pos = from;
        return Ok(None);
    };
    let mut acts = finish(c, making, inside)?;
    if let (Some(loops), Some(Act::Work(work))) = (early, acts.last_mut()) {
        for target in work.targets.iter_mut().filter(|t| t.loops == Loop::Both) {
            target.loops = loops;
        }
    }
    Ok(Some(acts))
}

/// "work next 2 sts together", "work the next 2 sts together in hdc".
fn next_together(c: &mut Cursor) -> Read<Option<Act>> {
    if !c.eat(keys!["work"]) {
        return Ok(None);
    }
    c.eat(keys!["the"]);
    if !c.is(keys!["next", "first", "last", "following"]) {
        return Ok(None);
    }
    let found = places::places(c)?;
    let [Target { reach: Reach::Next(n) | Reach::First(n) | Reach::Last(n), .. }] =
        found.targets.as_slice()
    else {
        return Ok(None);
    };
    let (true, Number::Plain(n)) = (found.together, n) else { return Ok(None) };
    let n = u8::try_from(*n).unwrap_or(u8::MAX).max(1);
    let mut kind = PLAIN_STITCH.tog(n);
    let mut look = c.clone();
    if look.eat(keys!["in", "as", "with"])
        && let Some(Name::One(named)) = words::stitch(&mut look)?
    {
        kind = named.tog(n);
        c.pos = look.pos;
    }
    let made = Made::Stitch { count: Number::ONE, kind };
    Ok(Some(Act::Work(Working::new(made, vec![Target::next(Number::ONE)]))))
}

/// What is made, and how that was said.
pub(super) struct Making {
    /// What goes into each place.
    pub made: Made,
    /// Whether a number stood before the stitch.
    pub counted: bool,
    /// Of an "inc": how often, which the number before it says.
    pub increases: Option<Number>,
}

impl Making {
    /// Something said without a number, or with one that counts stitches.
    pub fn plain(made: Made, counted: bool) -> Making {
        Making { made, counted, increases: None }
    }

    fn named(count: Number, name: Name, counted: bool) -> Making {
        match name {
            Name::One(kind) => Making::plain(Made::Stitch { count, kind }, counted),
            Name::Many(n, kind) => Making {
                made: Made::Stitch { count: Number::Plain(n), kind },
                counted,
                increases: Some(count),
            },
            Name::Group(special) => Making::plain(Made::Special { count, special }, counted),
        }
    }

    /// All of it in one place: "2 inc" are 4 sts.
    pub(super) fn in_one(self) -> Made {
        match (self.made, self.increases) {
            (Made::Stitch { count: Number::Plain(n), kind }, Some(Number::Plain(k))) => {
                Made::Stitch { count: Number::Plain(n.saturating_mul(k)), kind }
            }
            (made, _) => made,
        }
    }
}

/// What is made: "2 dc", "sc2tog", "V-st", "(2 dc, ch 2, 2 dc)".
pub(super) fn made(c: &mut Cursor) -> Read<Option<Making>> {
    let from = c.pos;
    if c.sign(b'(') || c.sign(b'[') {
        let Some(close) = c.closing() else { return unclosed(c) };
        let mut inner = c.within(c.pos + 1, close);
        let group = run(&mut inner, true)?;
        c.pos = close + 1;
        return Ok(Some(Making::plain(Made::Group(group.steps), false)));
    }
    // "first sc in same st as join", "the first dc in next st"
    let first = {
        let mut look = c.clone();
        look.eat(keys!["the", "your"]);
        let ordinal = look.tok(0) == Some(Tok::Ordinal(1));
        if (ordinal || look.is(keys!["first", "last"])) && look.tok(1) == Some(Tok::Word) {
            look.pos += 1;
            let named = matches!(words::stitch(&mut look), Ok(Some(Name::One(_))));
            (named && look.is(keys!["in", "into", "around"])).then_some(())
        } else {
            None
        }
    };
    if first.is_some() {
        c.eat(keys!["the", "your"]);
        c.pos += 1;
    }
    c.eat(keys!["a", "an"]);
    // "3-dc cluster" begins with a number that is part of the name.
    if let Some(name) = words::stitch(c)? {
        return Ok(Some(Making::named(Number::ONE, name, false)));
    }
    if let Some(n) = c.number() {
        c.eat(keys!["more"]);
        if let Some(name) = words::stitch(c)? {
            return Ok(Some(Making::named(n, name, true)));
        }
    }
    c.pos = from;
    Ok(None)
}

/// "inc (2 sc in next st)": the bracket only says how it is made.
fn explained(c: &mut Cursor, making: &Making) -> Read<Option<Made>> {
    let Made::Stitch { kind, count } = &making.made else { return Ok(None) };
    if making.increases.is_none() && kind.together < 2 || !(c.sign(b'(') || c.sign(b'[')) {
        return Ok(None);
    }
    let Some(close) = c.closing().filter(|close| *close < c.pos + 14) else { return Ok(None) };
    let nested = (c.pos + 1..close)
        .any(|i| matches!(c.tokens.get(i).map(|t| t.tok()), Some(Tok::Sign(b'(' | b'['))));
    if nested {
        return Ok(None);
    }
    let Ok(inside) = run(&mut c.within(c.pos + 1, close), true) else { return Ok(None) };
    let [Step { act: Act::Work(Working { made: said, .. }), .. }] = inside.steps.as_slice() else {
        return Ok(None);
    };
    let Made::Stitch { kind: of, count: n } = said else { return Ok(None) };
    let same = n == count && of.together == kind.together && of.single() != PLAIN_STITCH;
    if !same || inside.claims.len() + inside.marks.len() > 0 {
        return Ok(None);
    }
    c.pos = close + 1;
    let kind = if kind.single() == PLAIN_STITCH { *of } else { *kind };
    Ok(Some(Made::Stitch { kind, count: count.clone() }))
}

/// "twice", "3 times" before the one place they all go into.
fn times_in(c: &mut Cursor) -> Option<Number> {
    let mut look = c.clone();
    let n = match super::cursor::times_word(look.key(0)) {
        Some(n) => {
            look.pos += 1;
            Number::Plain(n)
        }
        None => look.number().filter(|_| look.eat(keys!["times"]))?,
    };
    let one = look.is(keys!["in", "into"])
        && (look.is_at(1, keys!["same", "next", "first", "last"])
            || look.is_at(1, keys!["the"])
                && look.is_at(2, keys!["same", "next", "first", "last"]))
        && !matches!(look.tok(2), Some(Tok::Num(_)));
    if one {
        c.pos = look.pos;
    }
    one.then_some(n)
}

/// Reads the places behind what is made, and settles what goes without saying.
pub(super) fn finish(c: &mut Cursor, making: Making, inside: bool) -> Read<Acts> {
    let counted = making.counted;
    let mut increases = making.increases.clone();
    let mut made = explained(c, &making)?.unwrap_or(making.made);
    // "sc twice in next st", "dc 3 times in same st"
    if let (Some(n), Made::Stitch { count, .. }) = (times_in(c), &mut made)
        && let (Number::Plain(n), Number::Plain(k)) = (&n, &*count)
    {
        *count = Number::Plain(n.saturating_mul(*k));
    }
    // "foundation single crochet (fsc)": the abbreviation is said once more.
    if c.sign(b'(')
        && let (Made::Stitch { kind, .. }, Some(close)) = (&made, c.closing())
    {
        let mut inner = c.within(c.pos + 1, close);
        if matches!(words::stitch(&mut inner), Ok(Some(Name::One(k))) if k == *kind) && inner.done()
        {
            c.pos = close + 1;
        }
    }
    if c.is(keys!["once"]) && c.is_at(1, keys!["in", "into"]) {
        c.pos += 1;
    }
    let from = c.pos;
    let slip = matches!(&made, Made::Stitch { kind, .. } if *kind == Kind::SL_ST);
    // "sl st across to ch-2 sp": it goes there.
    if slip && c.is(keys!["across", "over", "along"]) && c.is_at(1, keys!["to"]) {
        let mut look = c.clone();
        look.pos += 2;
        look.eat(keys!["the", "next"]);
        if words::chain_number(&mut look).is_some() || look.is(keys!["corner"]) {
            c.pos += 1;
        }
    }
    // "sc to next corner" goes along; "sl st to next sp" goes there.
    let mut found = match c.is(keys!["to", "up"]) && !slip {
        true => match extents::extent(c)? {
            Some(extent) => places::Places {
                targets: vec![places::new(Reach::Each(extent), PlaceKind::Stitch)],
                together: false,
            },
            None => places::places(c)?,
        },
        false => places::places(c)?,
    };
    let hook = found
        .targets
        .first()
        .is_some_and(|t| matches!(t.reach, Reach::Nth(_)) && t.place == PlaceKind::Chain);
    let skipped = brackets::skipped_counts(c, hook);
    // "in 3rd ch from hook (skipped chs do not count) and in each ch across".
    if skipped.is_some() && c.is(keys!["and"]) && c.is_at(1, keys!["in", "each", "next", "across"])
    {
        c.pos += 1;
        found.targets.extend(places::places(c)?.targets);
    }
    settle_together(&made, &mut found.targets);
    if let Some(walk) = every_so_many(&made, &increases, &found.targets) {
        return Ok(smallvec![walk]);
    }
    let magic = says_magic(c, from);
    // "inc x 6", "sc2tog twice", "V-st 3 times".
    if found.targets.is_empty()
        && let Some(times) = times(c)?
    {
        let ornament = ornament(&made);
        match (times, &mut made) {
            (Times::Total(n), Made::Stitch { count, .. }) if ornament && *count == Number::ONE => {
                *count = n;
            }
            (Times::Total(n), Made::Stitch { .. } | Made::Special { .. }) if !ornament => {
                found.targets.push(Target::next(n));
            }
            (times, made) => {
                let next = if ornament { vec![] } else { vec![Target::next(Number::ONE)] };
                let step = Act::Work(Working::new(made.clone(), next));
                let steps = vec![Step { at: At::default(), act: step }];
                return Ok(smallvec![Act::Repeat(Repeat {
                    mark: Mark::Bracket,
                    steps,
                    times,
                    last_stops: None,
                })]);
            }
        }
    }
    if c.eat(keys!["together", "tog"]) {
        found.together = true;
    }
    if found.together
        && let Made::Stitch { kind, .. } = &mut made
        && let Some(Target { reach, .. }) = found.targets.first_mut()
        && let Reach::Next(n) | Reach::First(n) | Reach::Last(n) = reach
        && let Number::Plain(several) = *n
        && kind.together == 1
    {
        *kind = kind.tog(u8::try_from(several).unwrap_or(u8::MAX).max(1));
        *n = Number::ONE;
    }
    if found.targets.is_empty() && !inside && !ornament(&made) {
        // A stitch alone goes into the next place; "5 sc" into the next five.
        let count = match &mut made {
            _ if increases.is_some() => increases.take().unwrap_or(Number::ONE),
            Made::Stitch { count, .. } | Made::Special { count, .. } if counted => {
                std::mem::replace(count, Number::ONE)
            }
            _ => Number::ONE,
        };
        found.targets.push(Target::next(count));
    }
    let made = Making { made, counted, increases }.in_one();
    let work = Act::Work(Working { skipped, ..Working::new(made, found.targets) });
    // "6 sc in magic ring" makes the ring too.
    Ok(if magic { smallvec![Act::Ring, work] } else { smallvec![work] })
}

/// Whether it needs no place: a picot stands on the stitch before it.
fn ornament(made: &Made) -> bool {
    matches!(made, Made::Stitch { kind, .. } if kind.base == Base::Picot)
}

/// "inc in every 3rd st": the others take one each, which goes without saying.
fn every_so_many(made: &Made, increases: &Option<Number>, targets: &[Target]) -> Option<Act> {
    let (Made::Stitch { kind, .. }, Some(Number::ONE), [target]) = (made, increases, targets)
    else {
        return None;
    };
    let Reach::Every(_, extent) = &target.reach else { return None };
    let each = Target { reach: Reach::Each(extent.clone()), ..target.clone() };
    let one = Made::Stitch { count: Number::ONE, kind: *kind };
    let mut every = target.clone();
    if let Reach::Every(_, extent) = &mut every.reach {
        *extent = Extent::End;
    }
    let besides = vec![Besides { made: made.clone(), target: every }];
    Some(Act::Work(Working { besides, ..Working::new(one, vec![each]) }))
}

/// Whether the place read since `from` is a ring made on the spot.
pub(super) fn says_magic(c: &Cursor, from: usize) -> bool {
    let magic = keys!["magic", "mr", "adjustable", "sliding"];
    let tokens = c.tokens.get(from..c.pos).unwrap_or_default();
    tokens.iter().any(|t| t.is(magic))
}

/// "sc2tog over next 2 sts" names the two places one stitch uses up: that is one stitch.
pub(super) fn settle_together(made: &Made, targets: &mut [Target]) {
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
