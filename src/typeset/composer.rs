//! What all parts of the typesetter share while one document is set.

use super::face::Shaper;
use super::inline::Style;
use super::page::{Area, Draw, Element, Item, Owner, PictureFacts, Shape, Tag};
use super::strip::{Frame, Node, Strip};
use super::theme::{Measure, Theme, Voice};
use crate::booklet::document::{Document, Inline, Target};
use crate::diag::Finding;
use std::collections::BTreeMap;

/// Shared state: faces, structure, findings, and what later pages refer back to.
pub struct Composer<'a> {
    /// The document.
    pub doc: &'a Document,
    /// How it looks.
    pub theme: &'a Theme,
    /// Its faces.
    pub shaper: Shaper<'a>,
    /// The structure so far.
    pub elements: Vec<Element>,
    /// Where each link element leads, and what is said of it.
    pub goes: BTreeMap<usize, (Aim, String)>,
    /// Level and words of each outline entry.
    pub entries: Vec<(u8, String)>,
    /// Table heads that may be shown again.
    pub heads: Vec<Strip>,
    /// Frames of asides.
    pub frames: Vec<Frame>,
    /// What is known of the document's pictures.
    pub pictures: Vec<Option<PictureFacts>>,
    /// What went wrong.
    pub findings: Vec<Finding>,
    /// Page width and height.
    pub paper: (f64, f64),
    /// Whether the contents list is to be printed.
    pub with_contents: bool,
    order: u32,
}

/// Where a link leads.
#[derive(Clone, Debug)]
pub enum Aim {
    /// As the document says.
    Target(Target),
    /// To a heading, by its outline entry.
    Entry(usize),
}

/// The space a block is set in.
#[derive(Clone, Copy, Debug)]
pub struct Room {
    /// Width in points.
    pub width: f64,
    /// How far ordinary text stands in from the left edge.
    pub hang: f64,
    /// Element that blocks are put under.
    pub parent: usize,
}

impl Room {
    /// The room for ordinary text: without what hangs left of it.
    pub fn text(self) -> Room {
        Room { width: self.width - self.hang, hang: 0.0, ..self }
    }

    /// The same room under another element.
    pub fn under(self, parent: usize) -> Room {
        Room { parent, ..self }
    }
}

impl<'a> Composer<'a> {
    /// An empty composer for a document.
    pub fn new(doc: &'a Document, theme: &'a Theme, shaper: Shaper<'a>, paper: (f64, f64)) -> Self {
        let root = Element {
            tag: Tag::Document,
            parent: None,
            alt: None,
            expansion: None,
            span: 1,
            place: None,
        };
        Composer {
            doc,
            theme,
            shaper,
            elements: vec![root],
            goes: BTreeMap::new(),
            entries: Vec::new(),
            heads: Vec::new(),
            frames: Vec::new(),
            pictures: vec![None; doc.pictures.len()],
            findings: Vec::new(),
            paper,
            with_contents: true,
            order: 0,
        }
    }

    /// A new element under `parent`.
    pub fn element(&mut self, tag: Tag, parent: usize) -> usize {
        self.elements.push(Element {
            tag,
            parent: Some(parent),
            alt: None,
            expansion: None,
            span: 1,
            place: None,
        });
        self.elements.len() - 1
    }

    /// The next turn in the reading order.
    pub fn next_order(&mut self) -> u32 {
        self.order += 1;
        self.order
    }

    /// The text area of a page.
    pub fn area(&self) -> Area {
        let m = self.theme.margins;
        Area {
            x: m.left,
            y: m.top,
            width: self.paper.0 - m.left - m.right,
            height: self.paper.1 - m.top - m.bottom,
        }
    }

    /// A style of this theme.
    pub fn style(&self, voice: Voice, measure: Measure) -> Style {
        Style { voice, measure, colour: self.theme.ink }
    }

    /// Ordinary text.
    pub fn body_style(&self) -> Style {
        self.style(Voice::Text, self.theme.body)
    }

    /// Small, quiet text.
    pub fn small_style(&self) -> Style {
        Style { colour: self.theme.quiet, ..self.style(Voice::Text, self.theme.small) }
    }

    /// Sets text as strips of one line each, under `owner`.
    pub fn set(&mut self, text: &[Inline], style: Style, owner: usize, width: f64) -> Vec<Strip> {
        let fragments = self.fragments(text, style, owner);
        let lines = self.break_lines(fragments, style.measure.size, width);
        let n = lines.len();
        let each = |(i, line): (usize, &super::lines::Line)| {
            let y = baseline(style.measure);
            let drawn = self.draw(line, style, 0.0, y, i + 1 < n);
            Strip {
                height: style.measure.leading,
                baseline: y,
                items: drawn.items,
                links: drawn.links,
                penalty: line_penalty(i, n),
                ..Strip::default()
            }
        };
        lines.iter().enumerate().map(each).collect()
    }

    /// A mark that is not read out.
    pub fn ornament(&self, shape: Shape) -> Item {
        Item { owner: Owner::Ornament, order: 0, clip: None, draw: Draw::Shape(shape) }
    }
}

/// How far below its strip's top a line's baseline stands.
pub fn baseline(measure: Measure) -> f64 {
    // Puts the middle of the lower-case letters in the middle of the line.
    measure.leading / 2.0 + measure.size * 0.30
}

/// A page break before line `i` of `n`: never after the first or before the last one.
pub fn line_penalty(i: usize, n: usize) -> u32 {
    match i {
        0 => 0,
        1 => super::strip::NEVER,
        _ if i + 1 == n => super::strip::NEVER,
        _ => 40,
    }
}

/// Gives the first strip space above and the last one space below.
pub fn spaced(mut strips: Vec<Strip>, before: f64, after: f64) -> Vec<Strip> {
    if let Some(first) = strips.first_mut() {
        first.before = first.before.max(before);
    }
    if let Some(last) = strips.last_mut() {
        last.after = last.after.max(after);
    }
    strips
}

/// Moves strips to the right.
pub fn indented(mut strips: Vec<Strip>, dx: f64) -> Vec<Strip> {
    strips.iter_mut().for_each(|s| s.shift(dx, 0.0));
    strips
}

/// Forbids page breaks inside strips.
pub fn bound(mut strips: Vec<Strip>) -> Vec<Strip> {
    strips.iter_mut().skip(1).for_each(|s| s.penalty = super::strip::NEVER);
    strips
}

/// Strips as nodes.
pub fn nodes(strips: Vec<Strip>) -> impl Iterator<Item = Node> {
    strips.into_iter().map(Node::Strip)
}
