//! The whole text: cut into lines, each line read, what is wrong put down with its place.

use super::cursor::{Cursor, Stop};
use super::lexer::{self, Token};
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
    let mut tokens: Vec<Token> = Vec::with_capacity(text.len() / 4);
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
        let specials = std::mem::take(&mut self.out.piece.specials);
        let terms = self.out.piece.terms;
        let mut c = Cursor {
            text: self.text,
            low: self.low,
            tokens: self.tokens,
            pos: from,
            end: to,
            terms,
            specials: &specials,
            depth: 0,
        };
        let mut sizes = self.for_sizes.clone();
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
            if let LineKind::Work(work) = &mut kind {
                self.settle(work);
            }
            if let LineKind::Work(work) = &mut kind {
                self.joined_before(work, &sizes);
            }
            self.out.piece.lines.push(Line { at, number, sizes, kind });
        }
    }

    /// Gives a line's bare "inc" and "dec" their stitch, and says where that is a guess.
    fn settle(&mut self, work: &mut Work) {
        let settled = resolve::increases(work, self.main);
        self.main = settled.main.unwrap_or(self.main);
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
