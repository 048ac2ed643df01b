//! The table copy: what lies beside the hook of a tester. One size, every round with its
//! box and count, boxes to count repeats, room for notes, a form to fill in and a gauge
//! window. No photos: it is for working from.

use super::document::*;
use super::words::capital;
use super::{
    Choices, Proved, back, body, chapter, counts, date, front, key, materials, rounds, section,
};
use crate::design::Piece as DesignPiece;
use crate::figure::window;
use crate::proof::SizeNumbers;
use crate::written::say::{Said, SaidKind};
use crate::written::tree::{Act, LineKind, Number, Step, Times};
use crate::written::{Counter, Numbers};

/// Who a copy is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct For<'a> {
    /// The tester's name; a line to write it on where it is not known.
    pub tester: Option<&'a str>,
}

/// The most boxes for one line; a longer count is kept with a marker.
const MOST_BOXES: u32 = 120;

/// The table copy of one size. Its lines are numbered through, so that a tester can say
/// which was unclear.
pub fn table(p: &Proved, c: &Choices, size: usize, whose: For) -> Document {
    let c = Choices { size: Some(size), ..c.clone() };
    // Rounds that are alike share a line and have a box each: fewer sheets on the table.
    let mut said = rounds::said_as(p, &c, false);
    counts::on_every_line(p, &c, size, &mut said);
    let mut blocks = front_matter(p, size, whose);
    blocks.extend(materials::materials(p, &c));
    blocks.extend(materials::gauge(p, &c));
    blocks.extend(key::key(p, &c, &said));
    blocks.extend(pattern(p, size, &said));
    blocks.extend(back::finishing(p));
    blocks.extend(back::safety(p, &c));
    blocks.extend(back::pompom(p, &c));
    blocks.extend(form(p, &c));
    blocks.extend(gauge_window(&c));
    Document { meta: meta(p, &c, size, whose), blocks, pictures: Vec::new() }
}

fn size_name(p: &Proved, size: usize) -> &str {
    p.design.sizes.get(size).map_or("", |s| s.name.as_str())
}

fn meta(p: &Proved, c: &Choices, size: usize, whose: For) -> Meta {
    let meta = super::meta(p, c);
    let pattern = &p.design.pattern;
    let name = size_name(p, size);
    let of = whose.tester.map(|t| format!(" for {t}")).unwrap_or_default();
    let edition = pattern.edition.as_str();
    Meta {
        title: format!("{}, {name}: table copy{of}", pattern.title.as_str()),
        subject: "A copy for testing, not for passing on".to_owned(),
        date: pattern.date.as_ref().map(|d| date(d.value)).unwrap_or_default(),
        running_title: format!("{} · {name} · table copy{of}", pattern.title.as_str()),
        running_foot: format!("Edition {edition} · for testing, not for passing on"),
        ..meta
    }
}

fn front_matter(p: &Proved, size: usize, whose: For) -> Vec<Block> {
    let title = p.design.pattern.title.as_str();
    let mut out = vec![chapter(&format!("{title}: table copy"), "table-copy")];
    let (girth, depth) = (p.girth(size), p.depth(size));
    let units = p.design.pattern.units;
    let mut words = format!("Size {}", size_name(p, size));
    if let Some(girth) = girth {
        words.push_str(&format!(", finished girth {}", super::words::kept(&girth.text(units))));
    }
    if let Some(depth) = depth {
        words.push_str(&format!(", depth {}", super::words::kept(&depth.text(units))));
    }
    let edition = format!(". Edition {}.", front::edition(p));
    out.push(Block::Paragraph(Paragraph {
        text: vec![Inline::Strong(plain(words)), Inline::Text(edition)],
        kind: ParagraphKind::Lead,
    }));
    match whose.tester {
        Some(name) => out.push(body(vec![
            Inline::Text("This copy is for ".to_owned()),
            Inline::Strong(plain(name)),
            Inline::Text(": for testing, not for passing on.".to_owned()),
        ])),
        None => {
            out.push(Block::Form(vec![field("This copy is for", 1, None)]));
            out.push(body(plain("It is for testing, not for passing on.")));
        }
    }
    out.push(body(plain(
        "Tick each line when it is done, and a small box for each round or repeat where a line \
         has several. A line is called by the number at its side: say that \
         number where something was unclear. The form at the end and the card that came with \
         this copy ask for the same; fill in one of them.",
    )));
    out
}

fn pattern(p: &Proved, size: usize, said: &[Vec<Said>]) -> Vec<Block> {
    let mut out = vec![chapter("Pattern", "pattern")];
    let mut number = 0;
    for (at, (part, lines)) in p.design.pieces.iter().zip(said).enumerate() {
        if lines.is_empty() {
            continue;
        }
        out.push(Block::Heading(Heading {
            level: 2,
            text: plain(part.name.as_str()),
            anchor: Some(rounds::anchor(part)),
            listed: true,
        }));
        if let Some(line) = rounds::under_heading(p, part) {
            out.push(Block::Paragraph(Paragraph { text: line, kind: ParagraphKind::Small }));
        }
        out.extend(piece(p, size, at, part, lines, &mut number));
        out.push(Block::Form(vec![field(&format!("Notes on the {}", lower(part)), 2, None)]));
    }
    out
}

fn lower(part: &DesignPiece) -> String {
    part.name.as_str().to_lowercase()
}

fn piece(
    p: &Proved,
    size: usize,
    at: usize,
    part: &DesignPiece,
    lines: &[Said],
    number: &mut u32,
) -> Vec<Block> {
    let mut out: Vec<Block> = part.note.iter().map(|n| back::note_of(n.as_str())).collect();
    let mut run: Vec<Round> = Vec::new();
    for said in lines {
        match said.kind {
            SaidKind::Instruction => {
                *number += 1;
                let boxes = boxes(p, size, at, lines, said);
                run.push(round(said, *number, boxes));
            }
            SaidKind::Special => {}
            SaidKind::Heading | SaidKind::Note | SaidKind::Sizes => {
                if !run.is_empty() {
                    out.push(Block::Rounds(std::mem::take(&mut run)));
                }
                let text = rounds::text(&said.bits());
                out.push(Block::Paragraph(Paragraph { text, kind: ParagraphKind::Note }));
            }
        }
    }
    if !run.is_empty() {
        out.push(Block::Rounds(run));
    }
    out.extend(part.finishing.iter().map(|f| body(plain(f.as_str()))));
    out
}

fn round(said: &Said, number: u32, counter: u16) -> Round {
    let label = rounds::text(&said.label);
    let mut numbered = vec![Inline::Text(format!("{number}"))];
    if !label.is_empty() {
        numbered.push(Inline::Text("\u{a0}· ".to_owned()));
        numbered.push(Inline::Strong(label));
    }
    Round {
        label: numbered,
        body: rounds::text(&said.body),
        count: said.count.as_ref().map(|b| vec![Inline::Keep(rounds::text(b))]),
        tick: true,
        counter,
        note: None,
    }
}

/// The small boxes of a line: one for each of the rounds it works, else one for each time of
/// its repeat. None where there is but one, or more than anybody would tick.
fn boxes(p: &Proved, size: usize, piece: usize, lines: &[Said], said: &Said) -> u16 {
    let make = p.design.pieces.get(piece).map_or(1, |part| part.make);
    let rounds = said.rounds.first().copied().flatten().map(|(a, b)| b.saturating_sub(a) + 1);
    let many = |n: &u32| (2..=MOST_BOXES).contains(n);
    let n = match rounds.filter(|n| *n > 1) {
        Some(rounds) => Some(rounds),
        None => repeats(p, size, piece, lines, said),
    };
    // Of a piece made twice each line is worked twice.
    let n = n.map(|n| n.saturating_mul(make)).or(Some(make));
    n.filter(many).and_then(|n| u16::try_from(n).ok()).unwrap_or(0)
}

/// How often the line's most repeated steps are worked, where it says so with a number.
/// "Around" has its end in the round itself.
fn repeats(p: &Proved, size: usize, piece: usize, lines: &[Said], said: &Said) -> Option<u32> {
    let line = p.pieces.get(piece).and_then(|piece| piece.piece.lines.get(said.line));
    let Some(LineKind::Work(work)) = line.map(|l| &l.kind) else { return None };
    let first = |s: &Said| s.rounds.first().copied().flatten().map(|(first, _)| first);
    let start = lines.iter().filter(|s| s.line == said.line).find_map(first);
    let counter = first(said)
        .zip(start)
        .map(|(round, start)| Counter { round, step: round.saturating_sub(start) + 1 });
    let numbers = SizeNumbers { graded: &p.graded, size };
    let times = work.steps.iter().filter_map(|s| times(s, &numbers, counter)).max();
    times.and_then(|t| u32::try_from(t).ok())
}

fn times(step: &Step, numbers: &SizeNumbers, counter: Option<Counter>) -> Option<i64> {
    let Act::Repeat(repeat) = &step.act else { return None };
    let value = |n: &Number| match n {
        Number::Plain(n) => i64::try_from(*n).ok(),
        Number::Hole(hole) => numbers.value(hole, counter).ok(),
    };
    match &repeat.times {
        Times::Total(n) => value(n),
        Times::More(n) => value(n)?.checked_add(1),
        Times::Around | Times::ToLast { .. } | Times::ToTurningChain => None,
    }
}

fn field(label: &str, lines: u8, unit: Option<&str>) -> Field {
    Field { label: plain(label), lines, unit: unit.map(str::to_owned) }
}

/// What the tester fills in: the same that the card asks.
fn form(p: &Proved, c: &Choices) -> Vec<Block> {
    // No page of its own: beside the hook fewer sheets count for more than a tidy form.
    let mut out = vec![chapter("For the designer", "form")];
    out.push(body(plain(
        "Count half stitches and half rows too, before washing, and again when the hat is \
         washed and dry. Weigh all balls before the first stitch, and what is left at the end.",
    )));
    for gauge in &p.design.gauges {
        let over = super::words::kept(&gauge.over.value.text(p.design.pattern.units));
        let word = capital(super::words::gauge(c.terms));
        let name = if p.design.gauges.len() == 1 {
            format!("{word} over {over}")
        } else {
            format!("{word} of the {} over {over}", materials::gauge_of(p, gauge))
        };
        out.push(section(&name));
        let count = |what: &str, when: &str| field(&format!("{what} {when} washing"), 1, None);
        out.push(Block::Form(vec![
            count("Stitches", "before"),
            count("Rows", "before"),
            count("Stitches", "after"),
            count("Rows", "after"),
            field("Hook you ended with", 1, Some("mm")),
        ]));
    }
    let mut rest =
        vec![field("Finished girth", 1, Some("cm")), field("Finished depth", 1, Some("cm"))];
    for yarn in &p.design.yarns {
        let name = if p.design.yarns.len() == 1 {
            "Yarn".to_owned()
        } else {
            format!("Yarn {}", yarn.name.as_str())
        };
        rest.push(field(&format!("{name} before the first stitch"), 1, Some("g")));
        rest.push(field(&format!("{name} left at the end"), 1, Some("g")));
    }
    rest.push(field("Hours", 1, None));
    rest.push(field("What was unclear, and at which line?", 5, None));
    out.push(section("The finished hat"));
    out.push(Block::Form(rest));
    out
}

fn gauge_window(c: &Choices) -> Vec<Block> {
    let words = "Print this page at 100 %, never “fit to page”, and measure both squares before you \
                 cut. Lay the window on the fabric and count what shows in it.";
    vec![Block::Keep(vec![
        Block::Heading(Heading {
            level: 2,
            text: plain(format!("{} window", capital(super::words::gauge(c.terms)))),
            anchor: Some("gauge-window".to_owned()),
            listed: true,
        }),
        Block::Paragraph(Paragraph { text: plain(words), kind: ParagraphKind::Small }),
        Block::Figure(Figure {
            art: Art::Drawing(window::gauge_window()),
            alt: window::alt(),
            caption: None,
            fit: Fit::TrueScale,
        }),
    ])]
}
