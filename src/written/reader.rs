//! The whole text: cut into lines, each line read, what is wrong put down with its place.

use super::cursor::{Cursor, Stop};
use super::key::{Keys, keys};
use super::lexer::{self, Tok, Token};
use super::lines::{self, Found};
use super::sizes::{self, Sized};
use super::tree::*;
use super::{ReadOptions, Reading, SpecialDef, labels, notes, resolve, terms, wraps};
use crate::diag::{Finding, Span};
use crate::limits;

/// Reads one piece's text.
pub(super) fn read(text: &str, options: &ReadOptions) -> Reading {
    let mut out = Reading::default();
    if text.len() > limits::TEXT_BYTES {
        let message =
            format!("the text has {} bytes; at most {} are read", text.len(), limits::TEXT_BYTES);
        out.findings.push(
            Finding::fault("limit", message).at(options.origin.place(Span::new(0, 0)), "too long"),
        );
        return out;
    }
    let low = text.to_ascii_lowercase();
    let mut tokens: Vec<Token> = Vec::with_capacity(text.len() / 3);
    let mut rows = Vec::new();
    let mut start = 0;
    for (i, row) in text.split('\n').enumerate() {
        let from = tokens.len();
        lexer::lex(text, &low, start, start + row.len(), &mut tokens);
        if tokens.len() > from {
            let mut begin = from;
            for at in from + 1..tokens.len() {
                if labels::begins_anew(&low, &tokens, begin, at) {
                    rows.push((i as u32 + 1, begin, at));
                    begin = at;
                }
            }
            rows.push((i as u32 + 1, begin, tokens.len()));
        }
        start += row.len() + 1;
    }
    let terms = options.terms.unwrap_or_else(|| terms::detect(&low, &tokens));
    out.piece = Piece {
        terms,
        method: options.method,
        specials: Vec::new(),
        lines: Vec::with_capacity(rows.len()),
    };
    for def in options.specials {
        if let Some(special) = defined(def, terms, &out.piece.specials) {
            out.piece.specials.push(special);
        }
    }
    let mut reader = Reader {
        text,
        low: &low,
        tokens: &tokens,
        options,
        out,
        main: Kind::SC,
        for_sizes: None,
        headed: false,
        begun: false,
        numbered: None,
        undefined: Vec::new(),
    };
    let mut rows = rows.into_iter().peekable();
    while let Some((number, from, mut to)) = rows.next() {
        // A line may run on over the next ones.
        while let Some((_, _, end)) = rows.next_if(|(_, next, end)| {
            to - from <= limits::LINE_WORDS
                && wraps::goes_on(&reader.cursor(from, to), &reader.cursor(*next, *end))
        }) {
            to = end;
        }
        reader.row(number, from, to);
    }
    reader.out
}

/// A special stitch of the design file.
fn defined(def: &SpecialDef, terms: Terms, before: &[Special]) -> Option<Special> {
    let abbr = if def.abbr.is_empty() { &def.name } else { &def.abbr };
    let joined = format!("{}: {}", abbr, def.definition.trim());
    let low = joined.to_ascii_lowercase();
    let mut tokens = Vec::new();
    let colon = abbr.len();
    lexer::lex(&joined, &low, 0, joined.len(), &mut tokens);
    let body = tokens.iter().position(|t| t.start as usize >= colon)? + 1;
    let cursor = Cursor {
        text: &joined,
        low: &low,
        tokens: &tokens,
        pos: body,
        end: tokens.len(),
        terms,
        specials: before,
        depth: 0,
    };
    let made = notes::made_of(&cursor);
    let name = Cursor { pos: 0, end: body.saturating_sub(1), ..cursor.clone() };
    let stands_for = if made.is_some() { None } else { notes::standard(&name) };
    Some(Special {
        name: def.name.clone(),
        abbr: abbr.clone(),
        made: made.map(spanless),
        stands_for,
        picot: stands_for.filter(|k| k.base == Base::Picot).and(notes::picot_chains(&cursor)),
        text: def.definition.clone(),
        at: At::default(),
    })
}

/// Steps of a definition outside the text: their places mean nothing here.
fn spanless(mut steps: Vec<Step>) -> Vec<Step> {
    for step in &mut steps {
        step.at = At::default();
    }
    steps
}

struct Reader<'a> {
    text: &'a str,
    low: &'a str,
    tokens: &'a [Token],
    options: &'a ReadOptions<'a>,
    out: Reading,
    /// The main stitch of the last line that had one.
    main: Kind,
    /// The sizes the lines are for at present.
    for_sizes: Option<Vec<String>>,
    /// Whether we stand under "Special stitches:".
    headed: bool,
    /// Whether a line to be worked was read.
    begun: bool,
    /// What lines are that bear a number alone: rows or rounds.
    numbered: Option<Shape>,
    /// Stitches told of as not defined: each is told once.
    undefined: Vec<String>,
}

impl Reader<'_> {
    /// A cursor over some of the tokens, for a look at them.
    fn cursor(&self, from: usize, to: usize) -> Cursor<'_> {
        Cursor {
            text: self.text,
            low: self.low,
            tokens: self.tokens,
            pos: from,
            end: to,
            terms: self.out.piece.terms,
            specials: &self.out.piece.specials,
            depth: 0,
        }
    }

    fn row(&mut self, number: u32, from: usize, to: usize) {
        let span = match (self.tokens.get(from), self.tokens.get(to - 1)) {
            (Some(a), Some(b)) => a.span().to(b.span()),
            _ => return,
        };
        let at = At(span);
        if to - from > limits::LINE_WORDS {
            let message = format!(
                "this line has {} words and signs; at most {} are read",
                to - from,
                limits::LINE_WORDS
            );
            self.fault(&Stop { code: "limit", span, message, help: None });
            let kind = LineKind::Unread(Work::default());
            self.out.piece.lines.push(Line { at, number, sizes: self.for_sizes.clone(), kind });
            return;
        }
        let mut sizes = self.for_sizes.clone();
        // "Rnd 2 (Toddler only):" is read without its bracket.
        let mut own = Vec::new();
        if let Some((names, open, close)) =
            sizes::behind_label(&self.cursor(from, to), self.options.sizes)
        {
            sizes = Some(names);
            own.extend_from_slice(self.tokens.get(from..open).unwrap_or_default());
            own.extend_from_slice(self.tokens.get(close + 1..to).unwrap_or_default());
        }
        let specials = std::mem::take(&mut self.out.piece.specials);
        let terms = self.out.piece.terms;
        let mut c = Cursor {
            text: self.text,
            low: self.low,
            tokens: if own.is_empty() { self.tokens } else { &own },
            pos: if own.is_empty() { from } else { 0 },
            end: if own.is_empty() { to } else { own.len() },
            terms,
            specials: &specials,
            depth: 0,
        };
        let mut kinds = Vec::new();
        match sizes::sizes(&mut c, self.options.sizes) {
            Ok(Some(Sized::From(names))) => {
                self.for_sizes = Some(names.clone());
                kinds.push((None, LineKind::SizesOnly(names)));
            }
            Ok(Some(Sized::All)) => {
                self.for_sizes = None;
                kinds.push((None, LineKind::AllSizes));
            }
            Ok(Some(Sized::Line(names))) => sizes = Some(names),
            Ok(None) => {}
            Err(stop) => self.fault(&stop),
        }
        let mut defined = Vec::new();
        let mut faults = Vec::new();
        while !c.done() {
            match lines::line(&mut c, self.headed) {
                Ok(Found::Kind(kind)) => {
                    self.headed = matches!(&kind, LineKind::Heading(h) if is_special_heading(h));
                    kinds.push((sizes.clone(), kind));
                    break;
                }
                Ok(Found::Define(special)) => {
                    kinds.push((sizes.clone(), LineKind::Special(specials.len() + defined.len())));
                    defined.push(special);
                }
                Err(_) if !self.begun && tells(&self.cursor(from, to)) => {
                    let words = self.text.get(span.range()).unwrap_or("").to_owned();
                    kinds.push((sizes.clone(), LineKind::Note(Note { words, says: Vec::new() })));
                    break;
                }
                Err(failed) => {
                    let (stop, work) = *failed;
                    faults.push(stop);
                    kinds.push((sizes.clone(), LineKind::Unread(work)));
                    break;
                }
            }
        }
        self.out.piece.specials = specials;
        self.out.piece.specials.extend(defined);
        for stop in faults {
            self.fault(&stop);
        }
        for (sizes, mut kind) in kinds {
            self.begun |= matches!(kind, LineKind::Work(_) | LineKind::Unread(_));
            if let LineKind::Work(work) | LineKind::Unread(work) = &mut kind {
                self.bare_number(work);
            }
            if let LineKind::Work(work) = &mut kind {
                self.settle(work);
                if self.is_wrong(span, work) {
                    work.steps.retain(|s| matches!(s.act, Act::Join(_)));
                    kind = LineKind::Unread(std::mem::take(work));
                }
            }
            if let LineKind::Work(work) = &mut kind {
                self.joined_before(work, &sizes);
            }
            self.out.piece.lines.push(Line { at, number, sizes, kind });
        }
    }

    /// Whether the line is known to be wrong; of a wrong count alone it is rid.
    fn is_wrong(&self, line: Span, work: &mut Work) -> bool {
        let within = |a: Span, b: Span| a.start >= b.start && a.end <= b.end;
        let wrong = self.options.wrong;
        let of_line = wrong.iter().filter(|w| within(**w, line));
        let elsewhere =
            of_line.filter(|w| !work.claims.iter().any(|c| within(**w, c.at.0))).count() > 0;
        work.claims.retain(|c| !wrong.iter().any(|w| within(*w, c.at.0)));
        elsewhere
    }

    /// "1. 6 sc in ring": a row where it is worked as rows are, else as the lines before it.
    fn bare_number(&mut self, work: &mut Work) {
        let Some(label) = &mut work.label else { return };
        let words = self.text.get(label.at.0.range()).unwrap_or("x");
        if words.is_empty() || words.contains(|c: char| c.is_alphabetic()) {
            return;
        }
        let row = |s: &Step| match &s.act {
            Act::Turn => true,
            Act::Work(w) => w
                .targets
                .first()
                .is_some_and(|t| matches!(t.reach, Reach::Nth(_)) && t.place == PlaceKind::Chain),
            _ => false,
        };
        if self.options.method == Some(Method::Rows) || work.steps.iter().any(row) {
            self.numbered = Some(Shape::Row);
        }
        label.shape = self.numbered.unwrap_or(Shape::Round);
    }

    /// Gives a line's bare "inc" and "dec" their stitch, and says where that is a guess.
    fn settle(&mut self, work: &mut Work) {
        let settled = resolve::increases(work, self.main);
        self.main = settled.main.unwrap_or(self.main);
        self.length_alone(work);
        let Some((span, kind)) = settled.doubtful else { return };
        if self.out.findings.len() >= limits::FINDINGS {
            return;
        }
        let name = |kind: Kind| kind.name(self.out.piece.terms, &[]);
        let (sc, other) = (name(Kind::SC), name(kind));
        let message = format!("this is taken as {sc}, and the stitches about it are {other}");
        let help =
            format!("say which is meant: “2 {other} in next st”, “{other} inc” or “{other}2tog”");
        self.out.findings.push(
            Finding::caution("doubtful", message)
                .at(self.options.origin.place(span), "here")
                .help(help),
        );
    }

    /// "until the piece measures 7 in": how many rows that takes, the words do not say.
    fn length_alone(&mut self, work: &Work) {
        let one = match work.label.as_ref().map(|l| &l.which) {
            None | Some(Which::One(_) | Which::Onward(_)) => true,
            Some(Which::Next(n)) => *n == Number::ONE,
            _ => false,
        };
        let said = work.steps.iter().find(|s| match &s.act {
            Act::Remark(words) => {
                let low = words.to_ascii_lowercase();
                low.starts_with("until ") || low.starts_with("till ")
            }
            _ => false,
        });
        let Some(step) = said.filter(|_| one && self.out.findings.len() < limits::FINDINGS) else {
            return;
        };
        let message = "how many rows or rounds come to this length, the words do not say";
        self.out.findings.push(
            Finding::caution("doubtful", message)
                .at(self.options.origin.place(step.at.0), "one is worked here")
                .help("name their number in the label: “Rnds 5-20: …”"),
        );
    }

    /// Yarn joined on a line of its own is joined where the next row begins.
    fn joined_before(&mut self, work: &mut Work, sizes: &Option<Vec<String>>) {
        let one = match work.label.as_ref().map(|l| &l.which) {
            Some(Which::One(_) | Which::Named(_)) => true,
            Some(Which::Next(n)) => *n == Number::ONE,
            _ => false,
        };
        let Some(Line { sizes: before, kind: LineKind::Work(joining), .. }) =
            self.out.piece.lines.last_mut()
        else {
            return;
        };
        let idle = |s: &Step| {
            matches!(s.act, Act::Rejoin(_) | Act::Skip(_) | Act::Colour(_) | Act::Remark(_))
        };
        let joins = joining.steps.iter().any(|s| matches!(s.act, Act::Rejoin(_)));
        if !one || before != sizes || joining.label.is_some() || !joins {
            return;
        }
        if joining.claims.is_empty() && joining.steps.iter().all(idle) {
            let mut steps = std::mem::take(&mut joining.steps);
            steps.append(&mut work.steps);
            work.steps = steps;
            self.out.piece.lines.pop();
        }
    }

    fn fault(&mut self, stop: &Stop) {
        if self.out.findings.len() >= limits::FINDINGS {
            return;
        }
        if stop.code == "unknown-stitch" {
            let word = self.low.get(stop.span.range()).unwrap_or("").trim_end_matches('s');
            if self.undefined.iter().any(|w| w == word) {
                return;
            }
            self.undefined.push(word.to_owned());
        }
        let mut finding = Finding::fault(stop.code, stop.message.clone())
            .at(self.options.origin.place(stop.span), "here");
        if let Some(help) = &stop.help {
            finding = finding.help(help.clone());
        }
        self.out.findings.push(finding);
    }
}

fn is_special_heading(heading: &str) -> bool {
    let low = heading.to_ascii_lowercase();
    low.starts_with("special stitch")
        || low.starts_with("stitches used")
        || low.starts_with("stitch guide")
}

/// "A quick hat for beginners.": words before the instructions, with no stitch, place or number
/// among them.
fn tells(c: &Cursor) -> bool {
    const WORK: Keys = keys![
        "ch", "chain", "join", "st", "sts", "stitch", "stitches", "ring", "circle", "loop", "rnd",
        "round", "row", "rnds", "rows", "inc", "dec", "sp", "next", "each", "turn", "rep",
        "repeat", "magic", "mr", "skip",
    ];
    let plain = (c.pos..c.end).all(|i| {
        let mut look = c.within(i, c.end);
        match look.tok(0) {
            Some(Tok::Word) => {
                !look.is(WORK) && matches!(super::words::stitch(&mut look), Ok(None))
            }
            Some(Tok::Sign(b'.' | b',' | b'!' | b'"' | b':' | b';') | Tok::Hyphen | Tok::Dash) => {
                true
            }
            _ => false,
        }
    });
    plain && c.end - c.pos > 3
}
