//! The contents list, from the headings that are listed.

use super::composer::{Aim, Composer, Room, baseline, bound, indented, nodes, spaced};
use super::inline::words_of;
use super::page::{Pen, Shape, Tag};
use super::strip::{Columns, NEVER, Node, Pin, Strip};
use super::theme::Voice;
use crate::booklet::document::{Block, Heading, Inline};

/// A contents list with more lines than this is set in two columns.
const SHORT_LIST: usize = 10;

impl Composer<'_> {
    /// One line for each listed heading of the first two levels; a long list in two columns.
    pub fn contents(&mut self, room: Room, out: &mut Vec<Node>) {
        let mut headings = Vec::new();
        let doc = self.doc;
        listed(&doc.blocks, &mut headings);
        if headings.is_empty() {
            return;
        }
        let line = self.theme.body.leading;
        let title = self.element(Tag::Paragraph, room.parent);
        let style = self.style(Voice::Title, self.theme.headings[1]);
        let words = [Inline::Text("Contents".into())];
        let mut above = spaced(bound(self.set(&words, style, title, room.width)), line, 0.5 * line);
        above.iter_mut().for_each(|s| s.holds_next = true);
        out.extend(nodes(above));
        let list = self.element(Tag::Contents, room.parent);
        let count = if headings.len() > SHORT_LIST { 2 } else { 1 };
        let text = room.text();
        let step = (text.width + self.gutter()) / count as f64;
        let column = Room { width: step - self.gutter(), ..text };
        let mut strips = Vec::new();
        for (entry, heading) in headings.iter().enumerate() {
            if heading.level <= 2 {
                strips.append(&mut self.contents_line(entry, heading, list, column));
            }
        }
        if let (1, Some(second)) = (count, strips.get_mut(1)) {
            second.penalty = NEVER;
        }
        let strips = spaced(indented(strips, room.hang), 0.0, line);
        if count == 1 {
            out.extend(nodes(strips));
        } else {
            let (before, after, tail) = (0.0, line, 0.0);
            out.push(Node::Columns(Columns { count, step, strips, before, after, tail }));
        }
    }

    fn contents_line(
        &mut self,
        entry: usize,
        heading: &Heading,
        list: usize,
        room: Room,
    ) -> Vec<Strip> {
        let chapter = heading.level <= 1;
        let voice = if chapter { Voice::Strong } else { Voice::Text };
        let style = self.style(voice, self.theme.body);
        let size = style.measure.size;
        let item = self.element(Tag::ContentsItem, list);
        let reference = self.element(Tag::Reference, item);
        let link = self.element(Tag::Link, reference);
        let words = words_of(&heading.text);
        self.goes.insert(link, (Aim::Entry(entry), format!("Go to: {words}")));
        let indent = if chapter { 0.0 } else { 1.2 * size };
        let numbers = 2.5 * size;
        let width = room.width - indent - numbers;
        let fragments = self.fragments(&[Inline::Text(words)], style, link);
        let mut lines = self.break_lines(fragments, size, width);
        for (_, piece) in lines.iter_mut().flat_map(|l| &mut l.pieces) {
            piece.link = Some(link);
        }
        let n = lines.len();
        let y = baseline(style.measure);
        let mut strips = Vec::new();
        for (i, line) in lines.iter().enumerate() {
            let drawn = self.draw(line, style, 0.0, y, true);
            let mut strip = Strip {
                height: style.measure.leading,
                baseline: y,
                items: drawn.items,
                links: drawn.links,
                // A section is not parted from its chapter.
                penalty: if i > 0 || !chapter { NEVER } else { 20 },
                ..Strip::default()
            };
            if i + 1 == n {
                self.leader(&mut strip, line.width + 0.5 * size, width, y);
                let order = self.next_order();
                strip.pins.push(Pin::Number(width + numbers, y, link, order, entry));
            }
            strips.push(strip);
        }
        let strips = indented(strips, indent);
        if chapter { spaced(strips, 0.3 * style.measure.leading, 0.0) } else { strips }
    }

    fn leader(&self, strip: &mut Strip, from: f64, to: f64, y: f64) {
        if to - from > 8.0 {
            let mut pen: Pen = self.pen(0.5, false);
            pen.dash = vec![0.6, 3.4];
            strip.items.push(self.ornament(Shape::line((from, y - 0.4), (to, y - 0.4), pen)));
        }
    }
}

/// The listed headings in the order they will be set.
fn listed<'b>(blocks: &'b [Block], out: &mut Vec<&'b Heading>) {
    for block in blocks {
        match block {
            Block::Heading(heading) if heading.listed => out.push(heading),
            Block::Columns { blocks, .. } | Block::Keep(blocks) => listed(blocks, out),
            Block::Aside(aside) => listed(&aside.blocks, out),
            Block::List(list) => list.items.iter().for_each(|i| listed(i, out)),
            _ => {}
        }
    }
}
