//! From text with meaning to fragments: the pieces a line may not be broken in.

use super::colour::Colour;
use super::composer::{Aim, Composer};
use super::face::Shaped;
use super::page::Tag;
use super::theme::{Measure, Voice};
use crate::booklet::document::{Inline, Target};
use std::rc::Rc;
use unicode_linebreak::{BreakOpportunity, linebreaks};

/// How words look.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// The face when nothing is said.
    pub voice: Voice,
    /// Size and leading.
    pub measure: Measure,
    /// Colour.
    pub colour: Colour,
}

/// Shaped words of one face, colour and element.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Face.
    pub voice: Voice,
    /// Colour.
    pub colour: Colour,
    /// The element the words belong to.
    pub owner: usize,
    /// Their turn in the reading order.
    pub order: u32,
    /// The link they stand in: its element.
    pub link: Option<usize>,
    /// The glyphs.
    pub shaped: Rc<Shaped>,
}

/// What a line may not be broken in.
#[derive(Clone, Debug, Default)]
pub struct Fragment {
    /// Its words.
    pub pieces: Vec<Piece>,
    /// Their width in points.
    pub width: f64,
    /// The space after it, shown unless the line ends here.
    pub space: Option<Piece>,
    /// Width of that space in points.
    pub space_width: f64,
    /// Width of the hyphen shown if the line ends here.
    pub hyphen_width: f64,
    /// The line ends here, whatever its length.
    pub ends_line: bool,
}

impl Fragment {
    /// Fragments as one, so that no line ends inside.
    pub fn joined(parts: Vec<Fragment>) -> Fragment {
        let mut whole = Fragment::default();
        for part in parts {
            if let Some(space) = whole.space.take() {
                whole.pieces.push(space);
                whole.width += whole.space_width;
            }
            whole.pieces.extend(part.pieces);
            whole.width += part.width;
            whole.space = part.space;
            whole.space_width = part.space_width;
            whole.hyphen_width = part.hyphen_width;
            whole.ends_line = part.ends_line;
        }
        whole
    }
}

impl textwrap::core::Fragment for Fragment {
    fn width(&self) -> f64 {
        self.width
    }
    fn whitespace_width(&self) -> f64 {
        self.space_width
    }
    fn penalty_width(&self) -> f64 {
        self.hyphen_width
    }
}

/// A stretch of the flat text with one look.
#[derive(Clone, Copy)]
struct Stretch {
    end: usize,
    look: Look,
}

#[derive(Clone, Copy)]
struct Look {
    voice: Voice,
    colour: Colour,
    owner: usize,
    link: Option<usize>,
    /// Not 0: stretches with the same number stay on one line.
    keep: u32,
}

#[derive(Default)]
struct Flat {
    text: String,
    stretches: Vec<Stretch>,
    keeps: u32,
}

impl Flat {
    fn push(&mut self, words: &str, look: Look) {
        for c in words.chars() {
            match c {
                '\u{a0}' | '\u{202f}' | '\u{2007}' => self.text.push('\u{a0}'),
                c if c.is_whitespace() => self.space(),
                // Joiners and soft hyphens steer line breaks; other controls say nothing.
                '\u{ad}' | '\u{200b}' | '\u{2060}' => self.text.push(c),
                '\u{feff}' => {}
                c if c.is_control() => {}
                c => self.text.push(c),
            }
        }
        self.close(look);
    }

    fn space(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with([' ', '\n']) {
            self.text.push(' ');
        }
    }

    fn line_end(&mut self, look: Look) {
        while self.text.ends_with(' ') {
            self.text.pop();
        }
        let end = self.text.len();
        self.stretches.iter_mut().for_each(|s| s.end = s.end.min(end));
        self.text.push('\n');
        self.close(look);
    }

    fn close(&mut self, look: Look) {
        let end = self.text.len();
        if self.stretches.last().map_or(0, |s| s.end) < end {
            self.stretches.push(Stretch { end, look });
        }
    }

    fn look(&self, at: usize) -> Option<Look> {
        let i = self.stretches.partition_point(|s| s.end <= at);
        self.stretches.get(i).map(|s| s.look)
    }

    /// Whether a line may end before byte `at`.
    fn may_break(&self, at: usize) -> bool {
        // A dash belongs to the word before it.
        if self.text[at..].starts_with(['\u{2013}', '\u{2014}']) {
            return false;
        }
        let keep = |i: usize| self.look(i).map_or(0, |l| l.keep);
        let before = keep(at.saturating_sub(1));
        before == 0 || before != keep(at)
    }
}

/// What is printed of a piece of flat text.
fn printed(words: &str) -> String {
    let each = |c: char| match c {
        '\u{a0}' => Some(' '),
        '\u{2011}' => Some('-'),
        '\u{ad}' | '\u{200b}' | '\u{2060}' | '\n' => None,
        c => Some(c),
    };
    words.chars().filter_map(each).collect()
}

impl Composer<'_> {
    /// Cuts text into fragments; makes the elements of links and abbreviations under `owner`.
    pub fn fragments(&mut self, text: &[Inline], style: Style, owner: usize) -> Vec<Fragment> {
        let mut flat = Flat::default();
        let look = Look { voice: style.voice, colour: style.colour, owner, link: None, keep: 0 };
        self.flatten(text, look, &mut flat);
        let mut fragments = Vec::new();
        let mut start = 0;
        for (at, opportunity) in linebreaks(&flat.text) {
            let last = at == flat.text.len();
            let forced = opportunity == BreakOpportunity::Mandatory && !last;
            if !last && !forced && !flat.may_break(at) {
                continue;
            }
            let mut fragment = self.fragment(&flat, start, at, style.measure.size);
            fragment.ends_line = forced || (last && flat.text.ends_with('\n'));
            fragments.push(fragment);
            start = at;
        }
        fragments
    }

    fn flatten(&mut self, text: &[Inline], look: Look, flat: &mut Flat) {
        for inline in text {
            match inline {
                Inline::Text(words) => flat.push(words, look),
                Inline::Strong(inner) => {
                    let voice = match look.voice {
                        Voice::Title | Voice::TitleItalic => Voice::Title,
                        _ => Voice::Strong,
                    };
                    self.flatten(inner, Look { voice, ..look }, flat);
                }
                Inline::Emphasis(inner) => {
                    let voice = match look.voice {
                        Voice::Title | Voice::TitleItalic => Voice::TitleItalic,
                        Voice::Strong => Voice::Strong,
                        _ => Voice::Italic,
                    };
                    self.flatten(inner, Look { voice, ..look }, flat);
                }
                Inline::Abbreviation { text, expansion } => {
                    let owner = self.element(Tag::Span, look.owner);
                    self.elements[owner].expansion = Some(expansion.clone());
                    let keep = flat.next_keep(look);
                    flat.push(text, Look { owner, keep, ..look });
                }
                Inline::Link { target, content } => {
                    let owner = self.element(Tag::Link, look.owner);
                    let look = Look { owner, link: Some(owner), colour: self.theme.accent, ..look };
                    self.goes
                        .insert(owner, (Aim::Target(target.clone()), link_words(target, content)));
                    self.flatten(content, look, flat);
                }
                Inline::Keep(inner) => {
                    let keep = flat.next_keep(look);
                    self.flatten(inner, Look { keep, ..look }, flat);
                }
                Inline::Break => flat.line_end(look),
            }
        }
    }

    fn fragment(&mut self, flat: &Flat, start: usize, end: usize, size: f64) -> Fragment {
        let whole = &flat.text[start..end];
        let words = whole.trim_end_matches([' ', '\n']);
        let mut fragment = Fragment::default();
        let stop = start + words.len();
        let mut at = start;
        let first = flat.stretches.partition_point(|s| s.end <= start);
        for stretch in &flat.stretches[first..] {
            if at >= stop {
                break;
            }
            let to = stretch.end.min(stop);
            self.pieces(&printed(&flat.text[at..to]), stretch.look, size, &mut fragment);
            at = to;
        }
        if words.ends_with('\u{ad}')
            && let Some(last) = fragment.pieces.last()
        {
            fragment.hyphen_width = self.shaper.shape(last.voice, "-").ems * size;
        }
        if whole[words.len()..].starts_with(' ')
            && let Some(look) = flat.look(stop)
        {
            let shaped = self.shaper.shape(look.voice, " ");
            fragment.space_width = shaped.ems * size;
            fragment.space = Some(self.piece(look.voice, look, shaped));
        }
        fragment
    }

    fn pieces(&mut self, words: &str, look: Look, size: f64, fragment: &mut Fragment) {
        for (voice, part) in self.shaper.by_face(look.voice, words) {
            let shaped = self.shaper.shape(voice, part);
            fragment.width += shaped.ems * size;
            let piece = self.piece(voice, look, shaped);
            fragment.pieces.push(piece);
        }
    }

    fn piece(&mut self, voice: Voice, look: Look, shaped: Rc<Shaped>) -> Piece {
        let order = self.next_order();
        let Look { colour, owner, link, .. } = look;
        Piece { voice, colour, owner, order, link, shaped }
    }
}

impl Flat {
    /// A new number for words that stay together, unless they already do.
    fn next_keep(&mut self, look: Look) -> u32 {
        if look.keep != 0 {
            return look.keep;
        }
        self.keeps += 1;
        self.keeps
    }
}

fn link_words(target: &Target, content: &[Inline]) -> String {
    let words = words_of(content);
    match target {
        Target::Anchor(_) => format!("Go to: {words}"),
        Target::Uri(uri) if *uri == words => words,
        Target::Uri(uri) => format!("{words} ({uri})"),
    }
}

/// The bare words of text with meaning.
pub fn words_of(text: &[Inline]) -> String {
    let mut out = String::new();
    gather(text, &mut out);
    out
}

fn gather(text: &[Inline], out: &mut String) {
    for inline in text {
        match inline {
            Inline::Text(words) => out.push_str(words),
            Inline::Abbreviation { text, .. } => out.push_str(text),
            Inline::Strong(inner) | Inline::Emphasis(inner) | Inline::Keep(inner) => {
                gather(inner, out);
            }
            Inline::Link { content, .. } => gather(content, out),
            Inline::Break => out.push(' '),
        }
    }
}
