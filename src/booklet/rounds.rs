//! The written rounds, as `written::say` words them, laid out as lines with label and count.

use super::back::note_of;
use super::document::*;
use super::{Choices, Proved, chapter};
use crate::design::Piece as DesignPiece;
use crate::proof::SizeNumbers;
use crate::written::say::{Bit, Said, SaidKind, SizeVoice, Style, say};
use crate::written::tree::{At, Line, LineKind, Piece};

/// What every piece says, in the design's order; in a copy for one size each round on a line
/// of its own.
pub(super) fn said(p: &Proved, c: &Choices) -> Vec<Vec<Said>> {
    let mut said = said_as(p, c, c.size.is_some());
    if let Some(size) = c.size {
        said.iter_mut().for_each(|lines| written_out(lines));
        super::counts::on_every_line(p, c, size, &mut said);
    }
    said
}

/// Where each round has its line and its box, "Rep Rnd 11" would send the eye up the page
/// for what there is room to say: the words of that round, as they stand there.
fn written_out(lines: &mut [Said]) {
    for i in 0..lines.len() {
        let (before, rest) = lines.split_at_mut(i);
        let Some(said) = rest.first_mut() else { continue };
        let Some(n) = said.again else { continue };
        let is = |s: &&Said| s.rounds.first().copied().flatten() == Some((n, n));
        if let Some(first) = before.iter().rev().find(is) {
            said.body.clone_from(&first.body);
        }
    }
}

/// The same, with rounds that are alike on one line unless `each_round`.
pub(super) fn said_as(p: &Proved, c: &Choices, each_round: bool) -> Vec<Vec<Said>> {
    let numbers: Vec<SizeNumbers> =
        (0..p.design.sizes.len()).map(|size| SizeNumbers { graded: &p.graded, size }).collect();
    let style = Style { terms: c.terms, length: c.length, hand: c.hand, each_round };
    p.pieces
        .iter()
        .zip(&p.design.pieces)
        .map(|(proved, part)| {
            let voices: Vec<SizeVoice> = p
                .design
                .sizes
                .iter()
                .zip(&numbers)
                .enumerate()
                .filter(|(i, (s, _))| c.shows(*i) && has(part, &s.id))
                .map(|(_, (s, n))| SizeVoice { id: &s.id, name: &s.name, numbers: n })
                .collect();
            if voices.is_empty() { Vec::new() } else { say(&proved.piece, &style, &voices) }
        })
        .collect()
}

/// Whether a size has this piece.
fn has(part: &DesignPiece, size: &str) -> bool {
    part.sizes.is_empty() || part.sizes.iter().any(|s| s.value == size)
}

/// The chapter with every piece.
pub(super) fn pattern(p: &Proved, c: &Choices, said: &[Vec<Said>]) -> Vec<Block> {
    let mut out = vec![chapter("Pattern", "pattern")];
    for (part, lines) in p.design.pieces.iter().zip(said) {
        if lines.is_empty() {
            continue;
        }
        out.push(Block::Heading(Heading {
            level: 2,
            text: plain(part.name.as_str()),
            anchor: Some(anchor(part)),
            listed: true,
        }));
        if let Some(line) = under_heading(p, part) {
            out.push(Block::Paragraph(Paragraph { text: line, kind: ParagraphKind::Small }));
        }
        if let Some(note) = &part.note {
            out.push(note_of(note.as_str()));
        }
        out.extend(sized(p, part, lines, c));
        out.extend(super::yarn::until_ball_ends(p, c, part));
        if let Some(after) = &part.finishing {
            out.push(super::body(plain(after.as_str())));
        }
    }
    out
}

/// The name links use for a piece.
pub(super) fn anchor(part: &DesignPiece) -> String {
    let word = part.name.as_str().to_lowercase();
    let word: String = word.chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    format!("piece-{word}")
}

/// Hook, yarn, how many to make, and the video time of a piece, in one small line.
pub(super) fn under_heading(p: &Proved, part: &DesignPiece) -> Option<Text> {
    let mut words: Vec<String> = Vec::new();
    if part.make > 1 {
        words.push(format!("make {}", part.make));
    }
    if p.design.hooks.len() > 1
        && let Some(hook) = super::materials::piece_hook(p, part).and_then(|n| p.design.hook(n))
    {
        words.push(format!("{} hook", hook.size.hook_text().replace(' ', "\u{a0}")));
    }
    if p.design.yarns.len() > 1
        && let Some(yarn) = &part.yarn
    {
        words.push(format!("yarn\u{a0}{}", yarn.value));
    }
    if let Some(video) = &p.design.pattern.video
        && let Some(at) =
            video.chapters.iter().find(|v| v.label.eq_ignore_ascii_case(part.name.as_str()))
    {
        words.push(format!("video from {}", at.clock()));
    }
    (!words.is_empty()).then(|| plain(super::words::capital(&words.join(" · "))))
}

/// With more sizes than this, brackets may grow wider than a line.
pub(super) const SHORT_BRACKETS: usize = 6;

/// A piece's lines; with many sizes in two ways.
fn sized(p: &Proved, part: &DesignPiece, lines: &[Said], c: &Choices) -> Vec<Block> {
    let sizes = p.design.sizes.iter().enumerate();
    let names: Vec<&str> = sizes
        .filter(|(i, s)| c.shows(*i) && has(part, &s.id))
        .map(|(_, s)| s.name.as_str())
        .collect();
    let brackets = blocks(lines, c, &mut text);
    if names.len() <= SHORT_BRACKETS {
        return brackets;
    }
    // Letters stand for yarns too: those are not used again.
    let yarns = p.design.yarns.iter().filter(|_| p.design.yarns.len() > 1);
    let taken = yarns.map(|y| y.name.as_str().to_owned()).collect();
    let mut letters = Letters { taken, numbers: Vec::new() };
    let mut by_size = blocks(lines, c, &mut |bits| letters.text(bits));
    let Some(widest) = letters.widest() else { return brackets };
    by_size.insert(0, Block::Table(letters.table(&names)));
    vec![Block::Sized(Sized { brackets, widest, by_size })]
}

/// Numbers that differ by size, each told by a letter.
struct Letters {
    /// Letters that mean something else.
    taken: Vec<String>,
    numbers: Vec<Vec<String>>,
}

impl Letters {
    /// A sentence's bits with letters in the place of brackets.
    fn text(&mut self, bits: &[Bit]) -> Text {
        let each = |bit: &Bit| match bit {
            Bit::Graded(cells) if cells.len() > 1 => {
                let i = self.number(cells);
                Inline::Strong(plain(self.letter(i)))
            }
            Bit::Keep(inner) => Inline::Keep(self.text(inner)),
            other => inline(other),
        };
        bits.iter().map(each).collect()
    }

    /// Which number this is: the same for the same figures.
    fn number(&mut self, cells: &[String]) -> usize {
        self.numbers.iter().position(|n| n == cells).unwrap_or_else(|| {
            self.numbers.push(cells.to_vec());
            self.numbers.len() - 1
        })
    }

    fn letter(&self, i: usize) -> String {
        let mut free = (0..).map(letter).filter(|l| !self.taken.contains(l));
        free.nth(i).unwrap_or_default()
    }

    fn widest(&self) -> Option<String> {
        self.numbers.iter().map(|n| graded(n)).max_by_key(|b| b.chars().count())
    }

    fn table(&self, names: &[&str]) -> Table {
        let column = |align| Column { align };
        let mut columns = vec![column(Align::Left)];
        columns.extend(self.numbers.iter().map(|_| column(Align::Right)));
        let mut head = vec![Cell::plain("Size")];
        head.extend((0..self.numbers.len()).map(|i| Cell::plain(self.letter(i))));
        let row = |(i, name): (usize, &&str)| {
            let cells = self.numbers.iter().map(|n| n.get(i).cloned().unwrap_or_default());
            std::iter::once((*name).to_owned()).chain(cells).map(Cell::plain).collect()
        };
        Table {
            caption: Some(plain(
                "A letter in the lines below stands for your size\u{2019}s number",
            )),
            columns,
            head: vec![head],
            body: names.iter().enumerate().map(row).collect(),
            row_heads: true,
            notes: Vec::new(),
        }
    }
}

/// A, B … Z, AA, AB and so on.
pub(super) fn letter(i: usize) -> String {
    let last = char::from(b'A' + u8::try_from(i % 26).unwrap_or(0));
    let before = (i / 26).checked_sub(1).map(letter);
    format!("{}{last}", before.unwrap_or_default())
}

/// Lines as blocks: rounds run together, headings and notes stand between them.
fn blocks(lines: &[Said], c: &Choices, text: &mut dyn FnMut(&[Bit]) -> Text) -> Vec<Block> {
    let mut out: Vec<Block> = Vec::new();
    let mut run: Vec<Round> = Vec::new();
    let flush = |run: &mut Vec<Round>, out: &mut Vec<Block>| {
        if !run.is_empty() {
            out.push(Block::Rounds(std::mem::take(run)));
        }
    };
    for said in lines {
        match said.kind {
            SaidKind::Instruction => run.push(Round {
                label: text(&said.label),
                body: text(&said.body),
                count: said.count.as_ref().map(|b| vec![Inline::Keep(text(b))]),
                tick: c.size.is_some(),
                counter: 0,
                note: None,
            }),
            SaidKind::Heading => {
                flush(&mut run, &mut out);
                out.push(Block::Heading(Heading {
                    level: 3,
                    text: text(&said.body),
                    anchor: None,
                    listed: false,
                }));
            }
            SaidKind::Note | SaidKind::Sizes => {
                flush(&mut run, &mut out);
                let words = text(&said.bits());
                out.push(Block::Paragraph(Paragraph { text: words, kind: ParagraphKind::Note }));
            }
            // Special stitches have a chapter of their own.
            SaidKind::Special => {}
        }
    }
    flush(&mut run, &mut out);
    out
}

/// A sentence's bits as text with meaning.
pub(super) fn text(bits: &[Bit]) -> Text {
    bits.iter().map(inline).collect()
}

fn inline(bit: &Bit) -> Inline {
    match bit {
        Bit::Text(t) => Inline::Text(t.clone()),
        Bit::Term { text, expansion, .. } => {
            Inline::Abbreviation { text: text.clone(), expansion: expansion.clone() }
        }
        Bit::Keep(inner) => Inline::Keep(text(inner)),
        Bit::Graded(cells) => Inline::Text(graded(cells)),
    }
}

/// `60 (66, 72)`: the first size's number, the others in brackets. A line may break only
/// after a comma of a long bracket.
pub(super) fn graded(cells: &[String]) -> String {
    match cells {
        [] => String::new(),
        [one] => one.clone(),
        [first, others @ ..] if others.len() <= 3 => {
            format!("{first}\u{a0}({})", others.join(",\u{a0}"))
        }
        [first, others @ ..] => format!("{first}\u{a0}({})", others.join(", ")),
    }
}

/// The words of each special stitch of the design, in its order, as the copy's reader
/// knows stitches.
pub(super) fn special_words(p: &Proved, c: &Choices) -> Vec<Text> {
    let style =
        Style { terms: c.terms, length: c.length, hand: c.hand, each_round: c.size.is_some() };
    let Some(first) = p.pieces.first() else { return Vec::new() };
    // The design's own stitches stand first among a piece's; said as lines of their own.
    let lines = (0..p.design.specials.len())
        .map(|i| Line { at: At::default(), number: 0, sizes: None, kind: LineKind::Special(i) })
        .collect();
    let alone = Piece { lines, ..first.piece.clone() };
    say(&alone, &style, &[]).iter().map(|said| text(&said.body)).collect()
}
