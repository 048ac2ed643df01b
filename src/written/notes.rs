//! Notes with their conventions, and definitions of special stitches.

use super::brackets;
use super::cursor::Cursor;
use super::key::{Keys, keys};
use super::lexer::Tok;
use super::lines;
use super::nouns;
use super::tree::*;
use super::words::{self, Name};

/// Openings of lines that tell rather than instruct.
const OPENINGS: Keys = keys![
    "note",
    "notes",
    "gauge",
    "tension",
    "materials",
    "yarn",
    "hook",
    "hooks",
    "size",
    "sizes",
    "finished",
    "skill",
    "abbreviations",
    "terms",
    "pattern",
    "designer",
    "level",
    "measurements",
    "needle",
    "notions",
    "tip",
    "hint",
    "stitches",
];

/// Whether the line opens as a note does: "Note:", "Gauge:", "Hook size:".
pub(super) fn opens(c: &Cursor) -> bool {
    let colon = (1..4).any(|i| c.tok(i) == Some(Tok::Sign(b':')));
    c.is(OPENINGS) && (colon || c.is(keys!["note", "notes"]))
}

/// A note, if the line is one. The caller has looked for a label, and found none or one that
/// cannot be read.
pub(super) fn note(c: &Cursor) -> Option<Note> {
    if is_numbered(c) {
        return None;
    }
    let opens = opens(c);
    let terms =
        c.is(keys!["us", "uk", "american", "british"]) && c.is_at(1, keys!["terms", "crochet"]);
    let says = conventions(c);
    let told = opens || terms || !says.is_empty() || is_told(c);
    if !told {
        return None;
    }
    let start = c.peek(0)?.start as usize;
    let end = c.tokens.get(c.end.checked_sub(1)?)?.end as usize;
    Some(Note { words: c.text.get(start..end)?.to_owned(), says })
}

/// "Work in continuous rounds; do not join", "All rounds are worked on the RS".
fn is_told(c: &Cursor) -> bool {
    c.is(keys!["all"]) && c.is_at(1, keys!["rnds", "rounds", "rows"])
        || c.sees(keys!["hat", "is", "worked"])
        || (c.is(keys!["this", "the"]) && (1..5).any(|i| c.is_at(i, keys!["is", "are"])))
        || (c.is(keys!["worked", "written"])
            && c.is_at(1, keys!["in", "from", "flat", "using", "with"]))
        || (c.is(keys!["rnds", "rounds", "rows"]) && c.is_at(1, keys!["are"]))
}

fn is_numbered(c: &Cursor) -> bool {
    super::references::shape(c.key(0)).is_some()
        && matches!(c.tok(1), Some(Tok::Num(_) | Tok::Hole))
}

fn has_colon_label(c: &Cursor) -> bool {
    // "Next rnd:", "Edging rnd:"
    is_numbered(c) || matches!(super::labels::label(&mut c.clone()), Ok(Some(_)))
}

/// The conventions a line states, read sentence by sentence.
fn conventions(c: &Cursor) -> Vec<Convention> {
    let mut found = Vec::new();
    let mut at = c.pos;
    while at < c.end {
        let mut end = at;
        while end < c.end
            && !matches!(c.tokens.get(end).map(|t| t.tok()), Some(Tok::Sign(b'.' | b';' | b':')))
        {
            end += 1;
        }
        let mut sentence = c.within(at, end);
        found.extend(convention(&mut sentence));
        at = end + 1;
    }
    found
}

fn convention(c: &mut Cursor) -> Option<Convention> {
    let from = c.pos;
    c.eat(keys!["the", "a", "all", "throughout", "each", "any"]);
    c.eat(keys!["beg", "beginning", "turning", "starting", "first"]);
    let tch = nouns::turning_chain(c);
    if tch.is_none() {
        c.eat(keys!["ch", "chs", "chain", "chains"]);
    }
    let said = c.pos > from;
    c.eat_all(keys!["at", "beg", "of", "rnd"]);
    while said
        && !c.is(keys![
            "counts", "count", "does", "do", "doesn't", "will", "is", "are", "never", "not",
            "always",
        ])
        && !c.done()
        && c.pos < from + 12
    {
        c.pos += 1;
    }
    if said && let Ok(Some(counts)) = brackets::counts(c) {
        let chains = match tch {
            Some(PlaceKind::TurningChain(Some(Number::Plain(n)))) => Some(n),
            _ => None,
        };
        let counts_as = counts.as_kind.map(|k| k.kind.unwrap_or(Kind::plain(Base::Dc)));
        return Some(Convention::BeginningChain { chains, counts_as });
    }
    c.pos = from;
    let rest = c.low.get(c.peek(0)?.start as usize..c.tokens.get(c.end - 1)?.end as usize)?;
    if rest.contains("spiral") || rest.contains("continuous") || rest.contains("do not join") {
        return only_told(c).then_some(Convention::Method(Method::Spiral));
    }
    if rest.contains("joined rounds") || rest.contains("joined rnds") {
        return only_told(c).then_some(Convention::Method(Method::Joined));
    }
    if rest.contains("count chs as sts")
        || rest.contains("chs count as sts")
        || rest.contains("count each ch as a st")
    {
        return Some(Convention::CountChains);
    }
    None
}

/// Whether the line holds no stitch to work, so that it can only be a note.
fn only_told(c: &Cursor) -> bool {
    !(0..c.end - c.pos).any(|i| {
        c.is_at(
            i,
            keys!["sc", "hdc", "dc", "tr", "htr", "ch", "st", "sts", "next", "each", "inc", "dec"],
        )
    }) && !has_colon_label(c)
}

/// A special stitch, if the line defines one. `headed`: it stands under "Special stitches:".
pub(super) fn definition(c: &mut Cursor, headed: bool) -> Option<Special> {
    let from = c.pos;
    let found = define(c, headed);
    if found.is_none() {
        c.pos = from;
    }
    found
}

fn define(c: &mut Cursor, headed: bool) -> Option<Special> {
    let from = c.pos;
    let mut announced = headed;
    if c.is(keys!["special", "stitch", "pattern"])
        && c.is_at(
            1,
            keys!["stitch", "stitches", "st", "sts", "abbreviation", "abbreviations", "pattern"],
        )
    {
        c.pos += 2;
        announced = true;
        c.eat(keys!["used"]);
        // "Special stitch - Bobble: …"
        if c.tok(0) == Some(Tok::Dash) {
            c.pos += 1;
        } else if !c.eat_sign(b':') {
            return None;
        }
    }
    let name_from = c.pos;
    let mut n = 0;
    while n < 7 && matches!(c.tok(n), Some(Tok::Word | Tok::Hyphen | Tok::Num(_))) {
        n += 1;
    }
    if n == 0 {
        return None;
    }
    c.pos += n;
    let name = c.words_since(name_from);
    let mut abbr = String::new();
    if c.sign(b'(')
        && let Some(close) = c.closing()
    {
        let inner = c.within(c.pos + 1, close);
        abbr = c
            .text
            .get(inner.peek(0)?.start as usize..inner.tokens.get(close - 1)?.end as usize)?
            .to_owned();
        c.pos = close + 1;
    }
    let equals = c.sign(b'=');
    let dash = announced && c.tok(0) == Some(Tok::Dash);
    if !(equals || dash || c.sign(b':')) {
        return None;
    }
    c.pos += 1;
    if !announced
        && !equals
        && abbr.is_empty()
        && !names_a_stitch(c, name_from, n)
        && !says_place(c)
    {
        return None;
    }
    // "Seam:", "Foundation:", "Joining:" open instructions.
    let low = name.to_ascii_lowercase();
    let opens = [
        "seam",
        "join",
        "foundation",
        "finish",
        "setup",
        "set-up",
        "brim",
        "crown",
        "body",
        "edging",
        "earflap",
        "cuff",
        "band",
        "top",
        "fold",
    ];
    if !announced && !equals && opens.iter().any(|w| low.contains(w)) {
        return None;
    }
    let end = next_definition(c).unwrap_or(c.end);
    let mut body = c.within(c.pos, end);
    body.depth = 0;
    let text =
        c.text.get(body.peek(0)?.start as usize..c.tokens.get(end - 1)?.end as usize)?.to_owned();
    let made = made_of(&body);
    let stands_for =
        if made.is_some() { None } else { standard(&c.within(name_from, name_from + n)) };
    let picot = stands_for.filter(|k| k.base == Base::Picot).and(picot_chains(&body));
    c.pos = end;
    if abbr.is_empty() {
        abbr = name.clone();
    }
    Some(Special { name, abbr, made, stands_for, picot, text, at: c.since(from) })
}

/// Where the next definition of the same line begins: behind a stop, "Name (abbr):".
fn next_definition(c: &Cursor) -> Option<usize> {
    (c.pos..c.end)
        .filter(|i| matches!(c.tokens.get(*i).map(|t| t.tok()), Some(Tok::Sign(b'.' | b';'))))
        .map(|i| i + 1)
        .find(|i| {
            let mut look = c.within(*i, c.end);
            let mut n = 0;
            while n < 6 && matches!(look.tok(n), Some(Tok::Word | Tok::Hyphen | Tok::Num(_))) {
                n += 1;
            }
            look.pos += n;
            if n > 0
                && look.sign(b'(')
                && let Some(close) = look.closing()
            {
                look.pos = close + 1;
            }
            n > 0 && (look.sign(b':') || look.sign(b'='))
        })
}

/// Whether the words name a stitch already known, as "Popcorn (pc): …" does.
fn names_a_stitch(c: &Cursor, from: usize, n: usize) -> bool {
    let mut look = c.within(from, from + n);
    look.eat(keys!["beg", "beginning"]);
    let last =
        c.low.get(c.tokens.get(from + n - 1).map_or(0..0, |t| t.span().range())).unwrap_or("");
    let known = matches!(words::stitch(&mut look), Ok(Some(_))) && look.done();
    known
        || [
            "st", "stitch", "shell", "fan", "cluster", "picot", "bobble", "puff", "popcorn",
            "group",
        ]
        .contains(&last)
}

/// "… in indicated st", "in st or sp indicated" at the end of a definition.
fn says_place(c: &Cursor) -> bool {
    (0..c.end - c.pos).any(|i| c.is_at(i, keys!["indicated", "specified", "stated"]))
}

/// The stitches of one place, where the definition is made of stitches that count.
pub(super) fn made_of(c: &Cursor) -> Option<Vec<Step>> {
    const MAKING: Keys = keys![
        "yo", "yrh", "yoh", "insert", "draw", "pull", "drop", "hook", "loops", "loop", "lps",
        "holding", "leaving", "bring",
    ];
    let mut look = c.clone();
    look.eat(keys!["work", "make"]);
    if (0..look.end - look.pos).any(|i| look.is_at(i, MAKING)) {
        return None;
    }
    let mut end = look.end;
    while end > look.pos
        && matches!(look.tokens.get(end - 1).map(|t| t.tok()), Some(Tok::Sign(b'.')))
    {
        end -= 1;
    }
    // The place it names is whatever place the line will name.
    let mut stop = look.pos;
    let mut depth = 0;
    while stop < end {
        match look.tokens.get(stop).map(|t| t.tok()) {
            Some(Tok::Sign(b'(' | b'[')) => depth += 1,
            Some(Tok::Sign(b')' | b']')) => depth -= 1,
            Some(Tok::Word) if depth == 0 => {
                let place = look.tokens.get(stop)?.is(keys!["in", "into", "all", "to"]);
                let places = keys![
                    "same",
                    "indicated",
                    "st",
                    "sp",
                    "place",
                    "specified",
                    "next",
                    "stated",
                    "stitch",
                    "space",
                ];
                let near = look.tokens.get(stop..(stop + 9).min(end)).unwrap_or_default();
                let ahead = near.iter().any(|t| t.is(places));
                if place && ahead {
                    break;
                }
            }
            _ => {}
        }
        stop += 1;
    }
    let bracket = look.sign(b'(') || look.sign(b'[');
    let mut inner = match look.closing() {
        Some(close) if bracket && close + 1 == stop => look.within(look.pos + 1, close),
        _ => look.within(look.pos, stop),
    };
    let steps = lines::made_of(&mut inner).ok()?;
    let plain = |s: &Step| {
        matches!(&s.act, Act::Chain(_)) || matches!(&s.act, Act::Work(w) if w.targets.is_empty())
    };
    let worked = steps.iter().any(|s| matches!(s.act, Act::Work(_)));
    (worked && steps.iter().all(plain) && is_several(&steps)).then_some(steps)
}

/// A stitch that only renames one known stitch is no group.
fn is_several(steps: &[Step]) -> bool {
    match steps {
        [Step { act: Act::Work(Working { made: Made::Stitch { count, kind }, .. }), .. }] => {
            *count != Number::ONE && kind.together == 1
        }
        _ => true,
    }
}

/// The chains of a picot: "ch 4, sl st in 4th ch from hook".
pub(super) fn picot_chains(c: &Cursor) -> Option<u64> {
    let mut look = c.clone();
    look.eat(keys!["work", "make"]);
    let n = match super::beginnings::chain(&mut look).ok()?? {
        Chain { count: Number::Plain(n), .. } => n,
        _ => return None,
    };
    look.eat_sign(b',');
    let slip = matches!(words::stitch(&mut look), Ok(Some(Name::One(Kind::SL_ST))));
    (slip && n < 100).then_some(n)
}

/// The stitch a name stands for, if it is one of the standard list.
pub(super) fn standard(c: &Cursor) -> Option<Kind> {
    let mut look = c.clone();
    match words::stitch(&mut look) {
        Ok(Some(Name::One(kind))) if look.done() => Some(kind),
        _ => None,
    }
}
