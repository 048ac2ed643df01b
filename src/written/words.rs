//! Stitch names: abbreviations, long names and the design's own, in either terms.

use super::abbreviations::{abbreviation, common, has_stem};
use super::cursor::{Cursor, PLAIN_STITCH, Read};
use super::key::{Keys, Sieve, keys};
use super::lexer::Tok;
use super::places::STITCH;
use super::tree::{Base, Form, Kind, Number, Post, Terms};

/// What a stitch name stands for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Name {
    /// One stitch.
    One(Kind),
    /// So many of a stitch in one place ("sc inc").
    Many(u64, Kind),
    /// A special stitch made of several.
    Group(usize),
}

/// A stitch name if one comes next.
pub(super) fn stitch(c: &mut Cursor) -> Read<Option<Name>> {
    let from = c.pos;
    let found = stitch_or_stay(c)?;
    if found.is_none() {
        c.pos = from;
    }
    Ok(found)
}

fn stitch_or_stay(c: &mut Cursor) -> Read<Option<Name>> {
    if let Some(special) = special(c) {
        return Ok(Some(special));
    }
    if let Some(base) = common(c.key(0), c.terms) {
        c.pos += 1;
        eat_stitch_word(c, Kind::plain(base));
        return Ok(Some(shaped_name(c, Kind::plain(base))));
    }
    // Most words begin no name of a stitch.
    if c.tok(0) == Some(Tok::Word) && !c.may_be(BEGINNINGS) && !has_stem(c.word(0)) {
        return Ok(None);
    }
    // "3-dc cluster": the number and stitch only say how the texture is made.
    if matches!(c.tok(0), Some(Tok::Num(_) | Tok::Hole)) && c.tok(1) == Some(Tok::Hyphen) {
        c.pos += 2;
        if basic(c)?.is_none() {
            return Ok(None);
        }
        c.eat_sign(b'-');
        if c.tok(0) == Some(Tok::Hyphen) {
            c.pos += 1;
        }
        return Ok(texture(c).map(Name::One));
    }
    if c.eat(BEGUN) {
        return Ok(texture(c).map(Name::One).or_else(|| special(c)));
    }
    while c.eat(MANNERS) {
        if c.tok(0) == Some(Tok::Hyphen) {
            c.pos += 1;
        }
    }
    if c.eat(INCREASES) {
        return Ok(Some(Name::Many(2, PLAIN_STITCH)));
    }
    if c.eat(DECREASES) {
        return Ok(Some(Name::One(PLAIN_STITCH.tog(2))));
    }
    if let Some(kind) = texture(c) {
        return Ok(Some(Name::One(kind)));
    }
    Ok(basic(c)?.map(|kind| shaped_name(c, kind)))
}

/// What may stand before a texture's name.
const BEGUN: Keys = keys!["beg", "beginning", "starting"];

/// What may stand before any stitch's name, and changes nothing about it.
const MANNERS: Keys = keys!["inv", "invisible", "standing", "regular"];

const INCREASES: Keys = keys!["inc", "increase", "incs"];

const DECREASES: Keys = keys!["dec", "decrease", "decs"];

/// What a basic stitch's name begins with, besides the abbreviations: see [`basic`].
const PREFIXES: Keys = keys![
    "front",
    "back",
    "fp",
    "bp",
    "extended",
    "foundation",
    "reverse",
    "rev",
    "spike",
    "long",
    "raised",
    "crab",
];

/// What a long name begins with: see [`long`].
const LONG: Keys =
    keys!["sl", "slip", "single", "half", "double", "treble", "trebles", "triple", "quadruple"];

const CLUSTERS: Keys = keys!["cl", "cls", "cluster", "clusters", "clstr"];

const PUFFS: Keys = keys!["puff", "puffs", "ps"];

const BOBBLES: Keys = keys!["bobble", "bobbles", "bob", "bo", "mb"];

const POPCORNS: Keys = keys!["pc", "pcs", "popcorn", "popcorns", "pop"];

const PICOTS: Keys = keys!["picot", "picots"];

/// Textures known without a definition.
const TEXTURES: Sieve = Sieve::of(&[CLUSTERS, PUFFS, BOBBLES, POPCORNS, PICOTS]);

/// Any word that a stitch's name can begin with, besides the abbreviations.
const BEGINNINGS: Sieve = Sieve::of(&[
    BEGUN, MANNERS, INCREASES, DECREASES, PREFIXES, LONG, CLUSTERS, PUFFS, BOBBLES, POPCORNS,
    PICOTS,
]);

/// What stands behind a stitch's name makes it an increase, a decrease, several together.
fn shaped_name(c: &mut Cursor, kind: Kind) -> Name {
    let hyphen = usize::from(c.tok(0) == Some(Tok::Hyphen));
    if c.is_at(hyphen, keys!["inc", "increase"]) {
        c.pos += hyphen + 1;
        return Name::Many(2, kind);
    }
    if c.is_at(hyphen, keys!["dec", "decrease"]) {
        c.pos += hyphen + 1;
        return Name::One(kind.tog(2));
    }
    match together(c, 0) {
        Some(n) => Name::One(kind.tog(n)),
        None => Name::One(kind),
    }
}

/// "sc st": the word for a stitch goes without saying behind its name.
fn eat_stitch_word(c: &mut Cursor, kind: Kind) {
    if kind.base != Base::SlSt {
        c.eat(STITCH);
    }
}

/// "2 tog", "two together", "2tog" after a stitch.
fn together(c: &mut Cursor, at: usize) -> Option<u8> {
    let n = match c.tok(at) {
        Some(Tok::Num(n)) => n,
        Some(Tok::Word) => super::cursor::number_word(c.key(at))?,
        _ => return None,
    };
    if !c.is_at(at + 1, keys!["tog", "together"]) {
        return None;
    }
    c.pos += at + 2;
    u8::try_from(n).ok().filter(|n| (1..=40).contains(n))
}

/// A basic stitch with its prefixes: "fpdc", "front post double crochet", "sl st".
pub(super) fn basic(c: &mut Cursor) -> Read<Option<Kind>> {
    let from = c.pos;
    let mut post = Post::No;
    let mut form = Form::Plain;
    loop {
        let hyphen = usize::from(c.tok(1) == Some(Tok::Hyphen));
        if c.is(keys!["front", "back"]) && c.is_at(1 + hyphen, keys!["post", "raised"]) {
            post = if c.word(0) == "front" { Post::Front } else { Post::Back };
            c.pos += 2 + hyphen;
        } else if c.is(keys!["fp", "bp"]) {
            post = if c.word(0) == "fp" { Post::Front } else { Post::Back };
            c.pos += 1;
        } else if c.eat(keys!["extended"]) {
            form = Form::Extended;
        } else if c.eat(keys!["foundation"]) {
            form = Form::Foundation;
        } else if c.eat(keys!["reverse"]) || (c.is(keys!["rev"]) && c.is_at(1, keys!["sc", "dc"])) {
            c.eat(keys!["rev"]);
            form = Form::Reverse;
        } else if c.eat(keys!["spike", "long"]) {
            form = Form::Spike;
        } else if c.is(keys!["raised"]) && c.is_at(1, keys!["front", "back"]) {
            post = if c.word(1) == "front" { Post::Front } else { Post::Back };
            c.pos += 2;
        } else {
            break;
        }
        if c.tok(0) == Some(Tok::Hyphen) {
            c.pos += 1;
        }
    }
    let kind = match long(c) {
        Some(base) => Some(Kind::plain(base)),
        None => match abbreviation(c.word(0), c.terms) {
            Some(Ok(kind)) => {
                c.pos += 1;
                Some(kind)
            }
            Some(Err(other)) => {
                let word = c.word(0);
                let (here, there) = match c.terms {
                    Terms::Us => ("US", "UK"),
                    Terms::Uk => ("UK", "US"),
                };
                return c
                    .stop(
                        "mixed-terms",
                        format!("“{word}” is a {there} name, and this text uses {here} terms"),
                    )
                    .map_err(|mut s| {
                        s.help = Some(format!(
                            "write “{}”, or state one set of terms",
                            other.name(c.terms, &[])
                        ));
                        s
                    });
            }
            None => None,
        },
    };
    let Some(mut kind) = kind else {
        // A spike or a crab stitch may go without a stitch word.
        if form == Form::Spike && c.pos > from && c.eat(keys!["st", "stitch", "sts"]) {
            return Ok(Some(Kind { form, ..Kind::SC }));
        }
        if c.eat_all(keys!["crab", "st"]) || c.eat_all(keys!["crab", "stitch"]) {
            return Ok(Some(Kind { form: Form::Reverse, ..Kind::SC }));
        }
        c.pos = from;
        return Ok(None);
    };
    if post != Post::No {
        kind.post = post;
    }
    if form != Form::Plain {
        kind.form = form;
    }
    eat_stitch_word(c, kind);
    Ok(Some(kind))
}

/// A long name: "single crochet", "half treble", "slip stitch".
fn long(c: &mut Cursor) -> Option<Base> {
    if !c.is(LONG) {
        return None;
    }
    if c.is(keys!["sl", "slip"]) {
        if c.is_at(1, STITCH) {
            c.pos += 2;
            return Some(Base::SlSt);
        }
        // "sl-st"
        if c.tok(1) == Some(Tok::Hyphen) && c.is_at(2, keys!["st", "sts", "stitch"]) {
            c.pos += 3;
            return Some(Base::SlSt);
        }
        return None;
    }
    let us: &[(&[&str], Base)] = &[
        (&["single", "crochet"], Base::Sc),
        (&["half", "double", "crochet"], Base::Hdc),
        (&["half", "double"], Base::Hdc),
        (&["double", "treble", "crochet"], Base::Dtr),
        (&["double", "treble"], Base::Dtr),
        (&["triple", "treble", "crochet"], Base::Trtr),
        (&["triple", "treble"], Base::Trtr),
        (&["double", "crochet"], Base::Dc),
        (&["treble", "crochet"], Base::Tr),
        (&["triple", "crochet"], Base::Tr),
        (&["treble"], Base::Tr),
    ];
    let uk: &[(&[&str], Base)] = &[
        (&["half", "treble", "crochet"], Base::Hdc),
        (&["half", "treble"], Base::Hdc),
        (&["double", "treble", "crochet"], Base::Tr),
        (&["double", "treble"], Base::Tr),
        (&["triple", "treble", "crochet"], Base::Dtr),
        (&["triple", "treble"], Base::Dtr),
        (&["quadruple", "treble", "crochet"], Base::Trtr),
        (&["quadruple", "treble"], Base::Trtr),
        (&["double", "crochet"], Base::Sc),
        (&["treble", "crochet"], Base::Dc),
        (&["treble"], Base::Dc),
    ];
    let table = match c.terms {
        Terms::Us => us,
        Terms::Uk => uk,
    };
    for (words, base) in table {
        if words
            .iter()
            .enumerate()
            .all(|(i, w)| c.word(i) == *w || c.word(i).strip_suffix('s') == Some(w))
        {
            c.pos += words.len();
            return Some(*base);
        }
    }
    None
}

/// A texture known without a definition.
fn texture(c: &mut Cursor) -> Option<Kind> {
    if !c.may_be(TEXTURES) {
        return None;
    }
    let known = [
        (CLUSTERS, Base::Cluster),
        (PUFFS, Base::Puff),
        (BOBBLES, Base::Bobble),
        (POPCORNS, Base::Popcorn),
        (PICOTS, Base::Picot),
    ];
    let (_, base) = known.into_iter().find(|(names, _)| c.is(*names))?;
    c.pos += 1;
    if c.is(STITCH) {
        c.pos += 1;
    } else if c.tok(0) == Some(Tok::Hyphen) && c.is_at(1, STITCH) {
        c.pos += 2;
    }
    Some(Kind::plain(base))
}

/// A stitch of the design's own: the longest of its names that comes next.
fn special(c: &mut Cursor) -> Option<Name> {
    let mut best: Option<(usize, usize)> = None;
    if c.specials.is_empty() {
        return None;
    }
    let token = c.peek(0)?;
    let first = c.low.as_bytes().get(token.start as usize)?;
    let begins = |name: &str| {
        let head = name.bytes().find(u8::is_ascii_alphanumeric);
        head.is_some_and(|b| b.eq_ignore_ascii_case(first))
    };
    for (i, special) in c.specials.iter().enumerate() {
        for name in [&special.name, &special.abbr] {
            if begins(name)
                && let Some(len) = matches_name(c, name)
                && best.is_none_or(|(_, l)| len > l)
            {
                best = Some((i, len));
            }
        }
    }
    let (i, len) = best?;
    c.pos += len;
    Some(special_name(c, i))
}

/// What a special stitch stands for: a group, or one stitch of its own kind.
pub(super) fn special_name(c: &Cursor, i: usize) -> Name {
    let Some(special) = c.specials.get(i) else { return Name::Group(i) };
    match (special.stands_for, &special.made) {
        (Some(kind), None) => Name::One(kind),
        (_, Some(_)) => Name::Group(i),
        (None, None) => {
            Name::One(Kind::plain(Base::Special(u8::try_from(i).unwrap_or(u8::MAX - 1))))
        }
    }
}

/// How many tokens the name takes up if it comes next. Blanks, hyphens and a plural ending
/// do not matter.
fn matches_name(c: &Cursor, name: &str) -> Option<usize> {
    let mut wanted =
        name.bytes().filter(u8::is_ascii_alphanumeric).map(|b| b.to_ascii_lowercase()).peekable();
    wanted.peek()?;
    let mut n = 0;
    while wanted.peek().is_some() {
        let token = c.peek(n)?;
        n += 1;
        match token.tok() {
            Tok::Hyphen if n > 1 => {}
            Tok::Word | Tok::Num(_) => {
                let part = c.low.get(token.start as usize..token.end as usize)?;
                for b in part.bytes() {
                    if wanted.peek().is_none() {
                        // Only a plural ending may be left over.
                        let rest = part.strip_suffix('s')?;
                        let _ = rest;
                        return (b == b's' || (b == b'e' && part.ends_with("es"))).then_some(n);
                    }
                    if wanted.next() != Some(b) {
                        return None;
                    }
                }
            }
            _ => return None,
        }
    }
    Some(n)
}

/// The number of a chain in "ch-3", "ch 3", "3-ch" before "sp", and the like; the cursor
/// stands after it. `None` if no chain comes next.
pub(super) fn chain_number(c: &mut Cursor) -> Option<Option<Number>> {
    let from = c.pos;
    if c.eat(keys!["ch", "chain", "chs", "chains"]) {
        let mark = c.pos;
        if c.tok(0) == Some(Tok::Hyphen) {
            c.pos += 1;
        }
        match c.tok(0) {
            Some(Tok::Num(_) | Tok::Hole) => return Some(c.number()),
            _ => {
                c.pos = mark;
                return Some(None);
            }
        }
    }
    if let Some(n) = c.number() {
        if c.tok(0) == Some(Tok::Hyphen) && c.is_at(1, keys!["ch", "chain", "chs"]) {
            c.pos += 2;
            return Some(Some(n));
        }
        if c.is(keys!["ch", "chain"])
            && c.is_at(1, keys!["sp", "sps", "space", "spaces", "lp", "lps", "loop", "loops"])
        {
            c.pos += 1;
            return Some(Some(n));
        }
    }
    c.pos = from;
    None
}
