//! What certain places take on the same walk: "…, working 2 sc in every 3rd st", "…, decreasing 6
//! sts evenly".

use super::cursor::{Cursor, Read};
use super::key::keys;
use super::places;
use super::shaping;
use super::steps::Acts;
use super::tree::*;
use super::working::{Making, made};

/// "… and 2 sc in each ch-1 sp around", "…, working 2 sc in every 3rd st" behind "sc in each
/// sc": other places of the same walk.
pub(super) fn besides(c: &mut Cursor, acts: &mut Acts) -> Read<()> {
    if shaped_besides(c, acts)? {
        return Ok(());
    }
    let [Act::Work(work)] = acts.as_mut_slice() else { return Ok(()) };
    let [target] = work.targets.as_mut_slice() else { return Ok(()) };
    let single = |made: &Made| !matches!(made, Made::Stitch { kind, .. } if kind.together != 1);
    let none = |made: &Made| {
        matches!(
            made,
            Made::Stitch { count: Number::Plain(0), .. }
                | Made::Special { count: Number::Plain(0), .. }
        )
    };
    if !matches!(target.reach, Reach::Each(_))
        || target.part != Part::Whole && target.part != Part::Post
        || target.place == PlaceKind::RowEnd
        || !single(&work.made)
        || none(&work.made)
    {
        return Ok(());
    }
    loop {
        let mut look = c.clone();
        let comma = look.eat_sign(b',');
        let and = look.eat(keys!["and", "with", "but", "while", "also"]);
        let verb = look.eat(keys![
            "working",
            "making",
            "placing",
            "work",
            "make",
            "putting",
            "increasing",
            "inc",
        ]);
        if !(comma || and || verb) {
            return Ok(());
        }
        // A bracket is read here only where its places follow, for it would be read again.
        if (look.sign(b'(') || look.sign(b'['))
            && !look.closing().is_some_and(|close| {
                let behind = look.within(close + 1, look.end);
                behind.is(keys!["in", "into", "around"])
                    && behind.is_at(1, keys!["each", "every", "ea", "all", "the"])
            })
        {
            return Ok(());
        }
        let increase = ["increasing", "inc"].contains(
            &look
                .tokens
                .get(look.pos.saturating_sub(1))
                .and_then(|t| c.low.get(t.span().range()))
                .unwrap_or(""),
        );
        let made = match (&work.made, increase) {
            (Made::Stitch { kind, .. }, true) => {
                Some(Made::Stitch { count: Number::Plain(2), kind: *kind })
            }
            _ => made(&mut look)?.map(Making::in_one),
        };
        let Some(made) = made.filter(single) else { return Ok(()) };
        let from = look.pos;
        let Ok(found) = places::places(&mut look) else { return Ok(()) };
        let [other] = found.targets.as_slice() else { return Ok(()) };
        let every = matches!(other.reach, Reach::Every(..));
        // A bare comma joins the two only where the first is said to go all the way.
        if !and && !verb && (target.reach != Reach::Each(Extent::End) || none(&made)) {
            return Ok(());
        }
        let apart =
            other.place != target.place && other.place != PlaceKind::RowEnd && other.of.is_none();
        if look.pos == from || !(every || matches!(other.reach, Reach::Each(_)) && apart) {
            return Ok(());
        }
        let mut other = other.clone();
        let extent = match &mut other.reach {
            Reach::Each(extent) | Reach::Every(_, extent) => std::mem::replace(extent, Extent::End),
            _ => Extent::End,
        };
        if target.reach == Reach::Each(Extent::End) {
            target.reach = Reach::Each(extent);
        }
        c.pos = look.pos;
        work.besides.push(Besides { made, target: other });
    }
}

/// "…, decreasing 6 sts evenly", "…, dec 1 st at each end", "…, working 6 decs evenly spaced"
/// behind a walk along the whole row.
fn shaped_besides(c: &mut Cursor, acts: &mut Acts) -> Read<bool> {
    let [Act::Work(work)] = acts.as_mut_slice() else { return Ok(false) };
    let Made::Stitch { count: Number::ONE, kind } = &work.made else { return Ok(false) };
    let [target] = work.targets.as_mut_slice() else { return Ok(false) };
    if kind.together != 1 || !matches!(target.reach, Reach::Each(Extent::End)) {
        return Ok(false);
    }
    let kind = *kind;
    let by = |grows: bool| match grows {
        true => Made::Stitch { count: Number::Plain(2), kind },
        false => Made::Stitch { count: Number::ONE, kind: kind.tog(2) },
    };
    let mut look = c.clone();
    look.eat_sign(b',');
    look.eat_sign(b';');
    look.eat(keys!["and", "while", "with", "but"]);
    look.eat(keys!["at", "the"]);
    look.eat(keys!["the"]);
    look.eat_all(keys!["same", "time"]);
    let spread = if let Some(grows) = shaping::shapes(&look) {
        look.pos += 1;
        match shaping::evenly(&mut look)? {
            Some(n) => Some((by(grows), n)),
            None => {
                let ends = ShapedAt::Ends { every: 1, until: None };
                if shaping::at_ends(&mut look)? != Some((None, ends)) {
                    return Ok(false);
                }
                c.pos = look.pos;
                let end = Act::Work(Working::new(by(grows), vec![Target::next(Number::ONE)]));
                let count = Number::Plain(if grows { 1 } else { 2 });
                let place = PlaceKind::Stitch;
                target.reach = Reach::Each(Extent::ToLast { count, place });
                acts.insert(0, end.clone());
                acts.push(end);
                return Ok(true);
            }
        }
    } else if look.eat(keys!["working", "making", "placing", "work", "make"]) {
        // What stands in brackets is read once, by what comes behind.
        if look.sign(b'(') || look.sign(b'[') { None } else { spread_stitch(&mut look)? }
    } else {
        None
    };
    let Some((made, n)) = spread else { return Ok(false) };
    c.pos = look.pos;
    let target = Target { reach: Reach::Spread(n), ..Target::next(Number::ONE) };
    work.besides.push(Besides { made, target });
    Ok(true)
}

/// "6 decs evenly spaced", "sc2tog 6 times evenly", "2 sc in 6 sts evenly spaced".
fn spread_stitch(c: &mut Cursor) -> Read<Option<(Made, Number)>> {
    let Some(making) = made(c)? else { return Ok(None) };
    let together = matches!(&making.made, Made::Stitch { kind, .. } if kind.together > 1);
    let number = match making.made.clone() {
        _ if making.increases.is_some() => making.increases.clone(),
        Made::Stitch { count, .. } if together => Some(count),
        _ => None,
    };
    if let Some(n) = number
        && shaping::spaced(c)?
    {
        let made = match making.made {
            Made::Stitch { kind, .. } if together => Made::Stitch { count: Number::ONE, kind },
            made => made,
        };
        return Ok(Some((made, n)));
    }
    c.eat(keys!["in"]);
    Ok(shaping::evenly(c)?.map(|n| (making.made, n)))
}
