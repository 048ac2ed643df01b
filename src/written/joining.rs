//! Joins, yarn joined anew, changes of colour.

use super::cursor::{Cursor, Read};
use super::key::keys;
use super::lexer::Tok;
use super::nouns;
use super::places;
use super::remarks::rest_of_clause;
use super::steps::{Acts, Run};
use super::tree::*;
use super::words::{self, Name};
use smallvec::smallvec;

/// What a joining names: colour, stitch, place; in either order.
#[derive(Default)]
struct JoinWords {
    yarn: bool,
    colour: Option<String>,
    with: Option<Kind>,
    standing: bool,
    target: Option<Target>,
    ring: bool,
    chain: Option<(Option<Number>, Option<Number>)>,
    first_chain: bool,
}

/// "join …": closes a round, makes a ring, or joins yarn anew.
pub(super) fn join(c: &mut Cursor, out: &Run) -> Read<Acts> {
    let from = c.pos;
    let anew = !c.is(keys!["join", "joining"]);
    c.pos += 1;
    let mut w = JoinWords { yarn: anew, ..JoinWords::default() };
    c.eat(keys!["the"]);
    c.eat(keys!["rnd", "round", "rnds", "work", "ends"]);
    if c.eat(keys!["last"]) {
        // "join last st to first"
        c.eat(keys!["st", "sc"]);
    }
    yarn_words(c, &mut w);
    join_words(c, &mut w)?;
    let first = out.steps.iter().all(|s| {
        matches!(
            s.act,
            Act::Skip(_)
                | Act::Remark(_)
                | Act::Colour(_)
                | Act::Turn
                | Act::LineLoop(_)
                | Act::FastenOff
        )
    });
    let elsewhere = w.target.as_ref().is_some_and(|t| {
        let top =
            matches!(t.place, PlaceKind::TurningChain(_)) && matches!(t.reach, Reach::Last(_));
        let first = matches!(t.reach, Reach::First(_));
        !(first || top)
    });
    let stitch = w.with.is_some_and(|k| k != Kind::SL_ST);
    if w.yarn || elsewhere || (stitch && first) {
        // "sc across, join B in last st": a change of colour.
        let last = |t: &Target| matches!(t.reach, Reach::Last(_));
        let there = w.target.as_ref().is_none_or(|t| !first && last(t));
        if w.colour.is_some() && there && w.with.is_none() {
            let words = c.words_since(from);
            return Ok(smallvec![Act::Colour(Colour { to: w.colour, words })]);
        }
        let rejoin = Rejoin {
            with: w.with,
            counts: stitch || w.standing,
            target: w.target.map(Box::new),
            colour: w.colour,
        };
        return Ok(smallvec![Act::Rejoin(rejoin)]);
    }
    Ok(smallvec![Act::Join(made_join(w))])
}

/// "close rnd with sl st in first sc".
pub(super) fn closing(c: &mut Cursor, ring: bool) -> Read<Act> {
    let mut w = JoinWords { ring, ..JoinWords::default() };
    join_words(c, &mut w)?;
    Ok(Act::Join(made_join(w)))
}

fn made_join(w: JoinWords) -> Join {
    let into = if let Some((chains, nth)) = w.chain {
        Some(JoinPlace::BeginningChain { chains, nth })
    } else if w.first_chain {
        Some(JoinPlace::FirstChain)
    } else {
        // "Sl st in 9th ch from hook" after nine chains closes them just as "in first ch" does.
        w.target.map(|t| match t.place {
            PlaceKind::Chain => JoinPlace::FirstChain,
            place => JoinPlace::First(place),
        })
    };
    Join { with: w.with.unwrap_or(Kind::SL_ST), into, ring: w.ring }
}

/// "yarn", "new yarn", "B", "CC", "colour B".
fn yarn_words(c: &mut Cursor, w: &mut JoinWords) {
    c.eat(keys!["new", "the", "next", "your"]);
    if c.eat(keys!["yarn"]) {
        w.yarn = true;
    }
    if let Some(name) = colour_name(c) {
        w.yarn = true;
        w.colour = Some(name);
    }
    c.eat(keys!["yarn"]);
}

fn join_words(c: &mut Cursor, w: &mut JoinWords) -> Read<()> {
    loop {
        let before = c.pos;
        if c.is(keys!["with", "w/", "using", "by"]) {
            c.pos += 1;
            c.eat(keys!["working", "making", "means"]);
            c.eat(keys!["of"]);
            c.eat(keys!["a", "an"]);
            if c.is(keys!["standing"]) {
                w.standing = true;
            }
            match words::stitch(c)? {
                Some(Name::One(kind)) => w.with = Some(kind),
                _ => places::until_break(c),
            }
        } else if c.is(keys!["sl", "slip", "ss", "slst"]) {
            if let Some(Name::One(kind)) = words::stitch(c)? {
                w.with = Some(kind);
            }
        } else if c.is(keys!["to", "into", "in"])
            && c.is_at(1, keys!["form", "make", "ring", "a", "create"])
        {
            c.pos += 1;
            c.eat(keys!["form", "make", "create"]);
            c.eat(keys!["a", "the"]);
            c.eat(keys!["ring", "circle", "rnd", "round", "loop"]);
            w.ring = true;
        } else if c.sees(keys!["to", "join"])
            || c.sees(keys!["to", "close"])
            || c.sees(keys!["to", "complete"])
        {
            c.pos += 2;
            c.eat(keys!["the"]);
            c.eat(keys!["rnd", "round"]);
        } else if c.is(keys!["forming"]) {
            places::until_break(c);
            w.ring = true;
        } else if c.is(keys!["to", "in", "into", "at", "on", "around"])
            && w.target.is_none()
            && w.chain.is_none()
        {
            join_place(c, w)?;
        } else if w.yarn && w.target.is_none() && c.is(keys!["blo", "flo"]) {
            let mut together = false;
            w.target = places::one(c, &mut together)?;
        } else if c.is(keys!["being", "taking", "making"]) {
            places::until_break(c);
        } else if c.sees(keys!["as", "before"]) || c.sees(keys!["as", "usual"]) {
            c.pos += 2;
        }
        if c.pos == before {
            return Ok(());
        }
    }
}

fn join_place(c: &mut Cursor, w: &mut JoinWords) -> Read<()> {
    let from = c.pos;
    c.pos += 1;
    c.eat(keys!["the"]);
    let top = c.eat_all(keys!["top", "of"]);
    c.eat(keys!["the"]);
    // "in standing sc": the stitch the yarn was joined with is the first.
    if c.is(keys!["standing"])
        && let Some(Name::One(kind)) = words::stitch(c)?
    {
        w.target = Some(Target {
            reach: Reach::First(Number::ONE),
            place: PlaceKind::Named(kind),
            ..Target::next(Number::ONE)
        });
        return Ok(());
    }
    if top && let Some(PlaceKind::TurningChain(chains)) = nouns::turning_chain(c) {
        w.chain = Some((chains, None));
        return Ok(());
    }
    if top && c.is(keys!["first", "beg", "beginning"]) {
        let mut together = false;
        w.target = places::one(c, &mut together)?;
        return Ok(());
    }
    if let Some(nth) = c.ordinal_not_first() {
        let chain = c.eat(keys!["ch", "chain"]);
        // "join to 3rd ch": of the chain that the round begins with.
        if chain && (c.at_break() || c.sees(keys!["to", "join"])) {
            w.chain = Some((None, Some(nth)));
            return Ok(());
        }
        if c.eat(keys!["of"]) {
            c.eat(keys!["the"]);
            if let Some(PlaceKind::TurningChain(chains)) = nouns::turning_chain(c) {
                w.chain = Some((chains, Some(nth)));
                return Ok(());
            }
        }
        c.pos = from;
    } else if c.is(keys!["first"])
        && c.is_at(1, keys!["ch", "chain"])
        && c.tok(2) != Some(Tok::Hyphen)
        && !c.is_at(2, keys!["sp", "space"])
    {
        c.pos += 2;
        w.first_chain = true;
        return Ok(());
    } else if c.is(keys!["beg", "beginning", "starting", "turning"])
        && let Some(PlaceKind::TurningChain(chains)) = nouns::turning_chain(c)
    {
        w.chain = Some((chains, None));
        return Ok(());
    } else {
        c.pos = from;
    }
    let mut together = false;
    match places::one(c, &mut together)? {
        Some(target) => w.target = Some(target),
        None => {
            // "join to beg of rnd", "join to first".
            c.pos += 1;
            places::until_break(c);
        }
    }
    Ok(())
}

/// "sl st in first sc to join", "sl st to join": a closing said the other way round.
pub(super) fn slip_to_join(c: &mut Cursor, out: &Run) -> Read<Option<Acts>> {
    let from = c.pos;
    let Some(Name::One(kind)) = words::stitch(c)? else {
        c.pos = from;
        return Ok(None);
    };
    let mut look = c.clone();
    let mut w = JoinWords { with: Some(kind), ..JoinWords::default() };
    let mut says_join = false;
    while !look.at_break() {
        if look.sees(keys!["to", "join"])
            || look.sees(keys!["to", "close"])
            || look.is(keys!["joining"])
            || look.sees(keys!["and", "join"])
            || look.sees(keys!["to", "form"])
            || look.sees(keys!["to", "make", "a"])
            || look.sees(keys!["to", "make", "ring"])
            || look.sees(keys!["to", "complete"])
            || look.sees(keys!["to", "create"])
        {
            says_join = true;
        }
        look.pos += 1;
    }
    if !says_join {
        // "ss into top of 3-ch", "sl st in first sc" at the end of a round close it too.
        let worked = out.steps.iter().any(|s| matches!(s.act, Act::Work(_) | Act::Repeat(_)));
        let mut end = c.clone();
        let mut words = JoinWords { with: Some(kind), ..JoinWords::default() };
        let read = join_words(&mut end, &mut words).is_ok();
        let first = words.target.as_ref().is_some_and(|t| {
            t.reach == Reach::First(Number::ONE)
                && matches!(t.place, PlaceKind::Stitch | PlaceKind::Named(_))
                && t.part == Part::Whole
        });
        if read && worked && (words.chain.is_some() || first) && end.at_break() {
            c.pos = end.pos;
            return Ok(Some(smallvec![Act::Join(made_join(words))]));
        }
        c.pos = from;
        return Ok(None);
    }
    join_words(c, &mut w)?;
    if c.eat(keys!["and"]) {
        c.eat(keys!["join"]);
    }
    places::until_break(c);
    Ok(Some(smallvec![Act::Join(made_join(w))]))
}

/// The name of a colour: a single capital, MC, CC, CC1, "colour B", "yarn A".
pub(super) fn colour_name(c: &mut Cursor) -> Option<String> {
    let from = c.pos;
    let article = c.peek(0).is_some_and(|t| c.text.get(t.span().range()) == Some("a"));
    if article || c.is(keys!["the"]) {
        c.pos += 1;
    }
    let named = c.eat(keys!["colour", "color", "yarn", "shade"]);
    let token = c.peek(0)?;
    let word = c.text.get(token.span().range()).unwrap_or("");
    let single = word.len() == 1 && word.bytes().all(|b| b.is_ascii_uppercase());
    let short = matches!(c.word(0), "mc" | "cc" | "main" | "contrast" | "contrasting");
    if token.tok() == Tok::Word
        && (single || short || (named && !c.at_break() && !c.is(keys!["in", "with", "to"])))
    {
        c.pos += 1;
        let mut name = word.to_owned();
        if let Some(Tok::Num(n)) = c.tok(0)
            && c.peek(0).is_some_and(|t| t.glued)
        {
            c.pos += 1;
            name.push_str(&n.to_string());
        }
        c.eat(keys!["colour", "color"]);
        return Some(name);
    }
    // "new colour", "next colour": named only so.
    if c.is(keys!["new", "next", "other", "second", "first"])
        && c.is_at(1, keys!["colour", "color"])
    {
        let name = c.word(0).to_owned();
        c.pos += 2;
        return Some(name);
    }
    if named && (c.at_break() || c.is(keys!["in", "with"])) && c.pos > from + 1 {
        return Some("yarn".to_owned());
    }
    c.pos = from;
    None
}

/// "with larger hook", "and 5.5 mm hook", "using a size J hook": the hook changes no count.
pub(super) fn hook(c: &mut Cursor) -> bool {
    let mut look = c.clone();
    let and = look.eat(keys!["and"]) || look.eat_sign(b'&');
    let with = look.eat(keys!["with", "w/", "using", "on"]);
    if !(and || with) {
        return false;
    }
    for _ in 0..8 {
        if look.at_break() || look.is(keys!["from", "and"]) {
            return false;
        }
        if look.eat(keys!["hook", "hooks"]) {
            c.pos = look.pos;
            return true;
        }
        look.pos += 1;
    }
    false
}

/// "With A", "changing to B in last st", "drop MC".
pub(super) fn colour(c: &mut Cursor) -> Option<Colour> {
    let from = c.pos;
    let verb = c.word(0);
    c.pos += 1;
    let to = match verb {
        "changing" | "change" | "switch" | "switching" => {
            c.eat(keys!["color", "colour", "colors", "colours", "yarn"]);
            c.eat(keys!["to"]);
            let name = colour_name(c);
            if name.is_none() && !c.at_break() && !c.is(keys!["in", "on", "at"]) {
                c.pos = from;
                return None;
            }
            rest_of_clause(c);
            name
        }
        "drop" | "dropping" => {
            colour_name(c)?;
            rest_of_clause(c);
            None
        }
        _ => match colour_name(c) {
            Some(name) => Some(name),
            None => {
                c.pos = from;
                return None;
            }
        },
    };
    if to.is_some() {
        hook(c);
    }
    if verb == "in" && !c.at_break() {
        c.pos = from;
        return None;
    }
    Some(Colour { to, words: c.words_since(from) })
}
