//! Blocks to strips: headings, paragraphs, lists, asides, forms, columns.

use super::composer::{Composer, Room, baseline, bound, indented, nodes, spaced};
use super::inline::{Style, words_of};
use super::lines::text_item;
use super::page::{Area, Item, Pen, Shape, Step, Tag};
use super::sections::{Begins, aside, hold_introduction, hold_short, introduces};
use super::strip::{Columns, Frame, NEVER, Node, Pin, Strip, stacked};
use super::theme::{MM, Voice};
use crate::booklet::document::{
    Art, Aside, Block, Field, Figure, Fit, Heading, Inline, List, Marker, Paragraph, ParagraphKind,
};

/// A page break between two entries of one list.
const BETWEEN_ITEMS: u32 = 10;

/// A page break between some work and the lines to fill in about it.
const ASKED: u32 = 250;

impl Composer<'_> {
    /// The whole document as nodes; each chapter becomes a section of the structure.
    pub fn document(&mut self) -> Vec<Node> {
        let mut out = Vec::new();
        let area = self.area();
        let mut room = Room { width: area.width, hang: self.theme.hang, parent: 0 };
        let blocks = &self.doc.blocks;
        let mut rest = blocks.as_slice();
        let mut under_heading = false;
        let mut begins = Vec::new();
        while let Some(block) = rest.first() {
            if let Some(heading) = block.heading() {
                begins.push(Begins { at: out.len(), level: heading.level });
            }
            let chapter = block.heading().is_some_and(|h| h.level <= 1);
            if chapter || room.parent == 0 {
                room = room.under(self.element(Tag::Sect, 0));
            }
            rest = self.some(rest, room, &mut under_heading, &mut out);
        }
        hold_short(&mut out, &begins, self.area().height);
        out
    }

    /// Sets several blocks one below another.
    pub fn blocks(&mut self, blocks: &[Block], room: Room, out: &mut Vec<Node>) {
        let mut rest = blocks;
        let mut under_heading = false;
        while !rest.is_empty() {
            rest = self.some(rest, room, &mut under_heading, out);
        }
    }

    /// Sets the first of these blocks, or as many as belong on one line; answers the rest.
    fn some<'b>(
        &mut self,
        blocks: &'b [Block],
        room: Room,
        under_heading: &mut bool,
        out: &mut Vec<Node>,
    ) -> &'b [Block] {
        let taken = self.figures_together(blocks, room, out);
        if taken > 0 {
            *under_heading = false;
            return blocks.get(taken..).unwrap_or_default();
        }
        let Some((block, after)) = blocks.split_first() else { return &[] };
        let from = out.len();
        self.block(block, room, out);
        if *under_heading && introduces(block, after.first()) {
            hold_introduction(out, from, after.first());
        }
        *under_heading = matches!(block, Block::Heading(_)) || (*under_heading && aside(block));
        after
    }

    /// Several true-scale drawings in a row share a line where they fit side by side.
    fn figures_together(&mut self, blocks: &[Block], room: Room, out: &mut Vec<Node>) -> usize {
        let true_scale = |b: &&Block| {
            matches!(b, Block::Figure(Figure { fit: Fit::TrueScale, art: Art::Drawing(_), .. }))
        };
        let n = blocks.iter().take_while(true_scale).count();
        if n < 2 {
            return 0;
        }
        let figures = blocks.iter().take(n).filter_map(|b| match b {
            Block::Figure(f) => Some(f),
            _ => None,
        });
        self.shelves(&figures.collect::<Vec<_>>(), room, out);
        n
    }

    fn block(&mut self, block: &Block, room: Room, out: &mut Vec<Node>) {
        match block {
            Block::Cover(cover) => self.cover(cover, room, out),
            Block::Heading(heading) => self.heading(heading, room, out),
            Block::Paragraph(paragraph) => {
                let text = room.text();
                let strips = self.paragraph(paragraph, text);
                out.extend(nodes(indented(strips, room.hang)));
            }
            Block::List(list) => {
                let strips = self.list(list, room.text());
                out.extend(nodes(indented(strips, room.hang)));
            }
            Block::Rounds(rounds) => {
                let strips = self.rounds(rounds, room);
                out.extend(nodes(strips));
            }
            Block::Sized(sized) => self.sized(sized, room, out),
            Block::Table(table) => {
                self.table(table, room, out);
            }
            Block::Figure(figure) => self.figure(figure, room, out),
            Block::Columns { count, blocks } => self.columns(*count, blocks, room, out),
            Block::Keep(blocks) => self.keep(blocks, room, out),
            Block::Aside(aside) => {
                let strips = self.aside(aside, room.text());
                out.extend(nodes(indented(strips, room.hang)));
            }
            Block::Form(fields) => {
                let strips = self.form(fields, room.text());
                out.extend(nodes(indented(strips, room.hang)));
            }
            Block::PageBreak => out.push(Node::NewPage),
            Block::Contents => {
                if self.with_contents {
                    self.contents(room, out);
                }
            }
        }
    }

    /// Blocks as strips only: what stands in columns is set one below another.
    pub fn strips(&mut self, blocks: &[Block], room: Room) -> Vec<Strip> {
        let mut out = Vec::new();
        self.blocks(blocks, room, &mut out);
        let each = |node| match node {
            Node::Strip(strip) => vec![strip],
            Node::Columns(columns) => columns.strips,
            Node::NewPage => Vec::new(),
        };
        out.into_iter().flat_map(each).collect()
    }

    fn heading(&mut self, heading: &Heading, room: Room, out: &mut Vec<Node>) {
        let level = heading.level.clamp(1, 6);
        let measure = self.theme.headings[usize::from(level - 1).min(2)];
        let voice = if level <= 2 { Voice::Title } else { Voice::Strong };
        let owner = self.element(Tag::Heading(level), room.parent);
        let style = self.style(voice, measure);
        let (width, indent) =
            if level >= 3 { (room.width - room.hang, room.hang) } else { (room.width, 0.0) };
        let mut strips = indented(bound(self.set(&heading.text, style, owner, width)), indent);
        let line = self.theme.body.leading;
        let (before, after) = match level {
            1 => (2.5 * line, line),
            2 => (1.25 * line, 0.5 * line),
            _ => (line, 0.25 * line),
        };
        if level == 1 {
            self.chapter_rule(&mut strips, room.width);
        }
        let mut strips = spaced(strips, before, after);
        if let Some(first) = strips.first_mut() {
            first.on_grid = true;
            if level == 1 {
                first.pins.push(Pin::Chapter(words_of(&heading.text)));
            }
            if let Some(anchor) = &heading.anchor {
                first.pins.push(Pin::Anchor(anchor.clone()));
            }
            if heading.listed {
                self.entries.push((level, words_of(&heading.text)));
                first.pins.push(Pin::Outline(self.entries.len() - 1));
            }
        }
        let holds = strips.len();
        out.extend(nodes(strips));
        self.hold_next(out, holds);
    }

    /// A fine rule in the accent colour over a chapter's title.
    fn chapter_rule(&self, strips: &mut [Strip], width: f64) {
        let Some(first) = strips.first_mut() else { return };
        let drop = 0.5 * self.theme.body.leading;
        let mut rest = std::mem::take(first);
        let rule = Shape::line((0.0, 0.5), (width, 0.5), self.pen(0.8, true));
        rest.items.insert(0, self.ornament(rule));
        for item in rest.items.iter_mut().skip(1) {
            item.draw.shift(0.0, drop);
        }
        for link in &mut rest.links {
            link.area = link.area.moved(0.0, drop);
        }
        rest.height += drop;
        rest.baseline += drop;
        *first = rest;
    }

    /// A pen of this theme.
    pub fn pen(&self, width: f64, accent: bool) -> Pen {
        let colour = if accent { self.theme.accent } else { self.theme.quiet };
        Pen { width: self.theme.rule_width(width), colour, dash: Vec::new() }
    }

    /// Marks the nodes so that no page break comes between the last `n` and what follows.
    fn hold_next(&mut self, out: &mut [Node], n: usize) {
        let from = out.len().saturating_sub(n);
        for node in &mut out[from..] {
            if let Node::Strip(strip) = node {
                strip.holds_next = true;
            }
        }
    }

    /// A paragraph.
    pub fn paragraph(&mut self, paragraph: &Paragraph, room: Room) -> Vec<Strip> {
        let line = self.theme.body.leading;
        let (style, after) = match paragraph.kind {
            ParagraphKind::Body => (self.body_style(), 0.5 * line),
            ParagraphKind::Lead => {
                (Style { ..self.style(Voice::TitleItalic, self.theme.lead) }, 0.75 * line)
            }
            ParagraphKind::Note => {
                let style = self.style(Voice::Italic, self.theme.body);
                (Style { colour: self.theme.quiet, ..style }, 0.5 * line)
            }
            ParagraphKind::Small => (self.small_style(), 0.35 * line),
        };
        let owner = self.element(Tag::Paragraph, room.parent);
        let strips = self.set(&paragraph.text, style, owner, room.width);
        spaced(strips, 0.0, after)
    }

    fn list(&mut self, list: &List, room: Room) -> Vec<Strip> {
        let owner = self.element(Tag::List, room.parent);
        let style = self.body_style();
        let size = style.measure.size;
        let indent = match list.marker {
            Marker::Bullet => 1.1 * size,
            Marker::Number => {
                let widest = format!("{}.", list.items.len());
                self.shaper.width(Voice::Text, size, &widest) + 0.6 * size
            }
            Marker::Tick => 1.7 * size,
            Marker::Plain => 0.0,
        };
        let mut out: Vec<Strip> = Vec::new();
        for (i, blocks) in list.items.iter().enumerate() {
            let item = self.element(Tag::Item, owner);
            let label = match list.marker {
                Marker::Bullet => Some("\u{2022}".to_string()),
                Marker::Number => Some(format!("{}.", i + 1)),
                Marker::Tick | Marker::Plain => None,
            };
            let label = label.map(|l| self.label(&l, item, style));
            let body = self.element(Tag::ItemBody, item);
            let inner = Room { width: room.width - indent, hang: 0.0, parent: body };
            let mut strips = indented(self.strips(blocks, inner), indent);
            if strips.is_empty() {
                strips.push(Strip {
                    height: style.measure.leading,
                    baseline: baseline(style.measure),
                    ..Strip::default()
                });
            }
            if let Some(first) = strips.first_mut() {
                if let Some(mut mark) = label {
                    mark.draw.shift(0.0, first.baseline);
                    first.items.insert(0, mark);
                }
                if list.marker == Marker::Tick {
                    let at = first.baseline;
                    first.items.push(self.tick_box(0.0, at, size));
                }
                let edge = i == 1 || i + 1 == list.items.len();
                first.penalty = match i {
                    0 => 0,
                    _ if edge => 6 * BETWEEN_ITEMS,
                    _ => BETWEEN_ITEMS,
                };
            }
            let gap = 0.2 * style.measure.leading;
            if let Some(last) = strips.last_mut() {
                last.after = gap;
            }
            out.append(&mut strips);
        }
        spaced(out, 0.0, 0.5 * style.measure.leading)
    }

    /// A list's label at the left, on baseline 0.
    fn label(&mut self, words: &str, item: usize, style: Style) -> Item {
        let owner = self.element(Tag::ItemLabel, item);
        let order = self.next_order();
        let shaped = self.shaper.shape(style.voice, words);
        let piece = super::inline::Piece {
            voice: style.voice,
            colour: self.theme.accent,
            owner,
            order,
            link: None,
            shaped,
        };
        text_item(&piece, style.measure.size, (0.0, 0.0))
    }

    /// An empty box to tick, standing on a baseline.
    pub fn tick_box(&self, x: f64, baseline: f64, size: f64) -> Item {
        let side = 0.78 * size;
        let area = Area { x: x + 0.4, y: baseline - side + 0.04 * size, width: side, height: side };
        self.ornament(Shape::rect(area, Some(self.pen(0.7, false)), None))
    }

    fn aside(&mut self, aside: &Aside, room: Room) -> Vec<Strip> {
        let owner = self.element(Tag::Sect, room.parent);
        let pad = 0.75 * self.theme.body.leading;
        let side = 1.1 * self.theme.body.size;
        let inner = Room { width: room.width - 2.0 * side, hang: 0.0, parent: owner };
        let title = self.element(Tag::Paragraph, owner);
        let style = Style {
            colour: self.theme.accent,
            ..self.style(Voice::Strong, self.theme.headings[2])
        };
        let mut strips = bound(self.set(&aside.title, style, title, inner.width));
        let line = self.theme.body.leading;
        if let Some(last) = strips.last_mut() {
            last.after = 0.15 * line;
            last.holds_next = true;
        }
        strips.extend(self.strips(&aside.blocks, inner));
        let mut strips = indented(strips, side);
        let frame = self.frames.len();
        self.frames.push(Frame { width: room.width, pad });
        let whole = stacked(&strips) + 2.0 * pad <= self.area().height;
        for (i, strip) in strips.iter_mut().enumerate() {
            strip.frame = Some((frame, 0.0));
            if i > 0 && whole {
                strip.penalty = NEVER;
            }
        }
        if let Some(last) = strips.last_mut() {
            last.after = 0.0;
        }
        // The frame's own edges stand outside the strips: leave them room.
        spaced(strips, pad + 0.75 * line, pad + line)
    }

    fn form(&mut self, fields: &[Field], room: Room) -> Vec<Strip> {
        let owner = self.element(Tag::Div, room.parent);
        let style = self.body_style();
        let mut widest: f64 = 0.0;
        for field in fields.iter().filter(|f| f.lines <= 1) {
            let words = words_of(&field.label);
            widest = widest.max(self.shaper.width(style.voice, style.measure.size, &words));
        }
        let column = (widest + 8.0).min(0.5 * room.width);
        let mut out = Vec::new();
        for field in fields {
            out.append(&mut self.field(field, owner, column, room.width, style));
        }
        if let Some(first) = out.first_mut() {
            // What is asked stands by what it is about.
            first.penalty = first.penalty.max(ASKED);
        }
        spaced(out, 0.0, 0.75 * style.measure.leading)
    }

    fn field(
        &mut self,
        field: &Field,
        parent: usize,
        column: f64,
        width: f64,
        style: Style,
    ) -> Vec<Strip> {
        let owner = self.element(Tag::Paragraph, parent);
        let line = style.measure.leading;
        let step = line.max(8.0 * MM);
        let beside = field.lines <= 1;
        let room = if beside { column - 8.0 } else { width };
        let mut strips = bound(self.set(&field.label, style, owner, room));
        let unit = field.unit.as_ref().map(|unit| {
            let text = vec![Inline::Text(format!(" {unit}"))];
            let mut strips = self.set(&text, style, owner, width / 3.0);
            strips.truncate(1);
            (self.shaper.width(style.voice, style.measure.size, unit), strips)
        });
        let end = width - unit.as_ref().map_or(0.0, |(w, _)| w + 4.0);
        if !beside {
            if let Some(first) = strips.first_mut() {
                first.before = 0.5 * line;
            }
            let rule = Strip { height: step, penalty: NEVER, ..Strip::default() };
            strips.extend(std::iter::repeat_n(rule, usize::from(field.lines)));
        } else if let Some(first) = strips.first_mut() {
            let lift = step - line;
            first.shift(0.0, lift);
            first.height += lift;
            first.baseline += lift;
        }
        let n = strips.len();
        for (i, strip) in strips.iter_mut().enumerate() {
            let ruled = if beside { i + 1 == n } else { i + usize::from(field.lines) >= n };
            if ruled {
                let from = if beside { column } else { 0.0 };
                let stop = if i + 1 == n { end } else { width };
                let y = strip.height - (line - baseline(style.measure)) + 2.0;
                let rule = Shape::line((from, y), (stop, y), self.pen(0.4, false));
                strip.items.push(self.ornament(rule));
            }
        }
        if let (Some((_, unit)), Some(last)) = (unit, strips.last_mut()) {
            let down = last.height - line;
            for strip in unit {
                let height = last.height;
                last.absorb(strip, end + 4.0, down);
                last.height = height;
            }
        }
        strips
    }

    fn columns(&mut self, count: u8, blocks: &[Block], room: Room, out: &mut Vec<Node>) {
        let gutter = self.gutter();
        // A column narrower than this reads badly: about 22 letters.
        let least = 11.0 * self.theme.body.size;
        let text = room.text();
        let fits = ((text.width + gutter) / (least + gutter)).floor().max(1.0) as usize;
        let count = usize::from(count.max(1)).min(fits);
        if count == 1 {
            return self.blocks(blocks, room, out);
        }
        let step = (text.width + gutter) / count as f64;
        let inner = Room { width: step - gutter, ..text };
        let strips = indented(self.strips(blocks, inner), room.hang);
        let after = strips.last().map_or(0.0, |s| s.after);
        out.push(Node::Columns(Columns { count, step, strips, before: 0.0, after, tail: 0.0 }));
    }

    /// Room between columns.
    pub fn gutter(&self) -> f64 {
        1.8 * self.theme.body.size
    }

    fn keep(&mut self, blocks: &[Block], room: Room, out: &mut Vec<Node>) {
        let from = out.len();
        self.blocks(blocks, room, out);
        let height: f64 = out[from..]
            .iter()
            .map(|n| match n {
                Node::Strip(s) => s.height + s.before.max(s.after),
                Node::Columns(c) => stacked(&c.strips) / c.count as f64,
                Node::NewPage => 0.0,
            })
            .sum();
        let over = height - self.area().height;
        let mut figures = out[from..].iter_mut().filter_map(|n| match n {
            Node::Strip(s) if s.elastic > 0.0 => Some(s),
            _ => None,
        });
        let held = over <= 0.0
            || figures.any(|figure| {
                let by = (figure.height - over) / figure.height;
                let enough = by >= figure.elastic;
                if enough {
                    figure.shrink(by);
                    figure.elastic = 0.0;
                }
                enough
            });
        if held {
            let n = out.len() - from;
            self.hold_next(out, n);
            if let Some(Node::Strip(last)) = out.last_mut() {
                last.holds_next = false;
            }
        }
    }
}

/// A closed rounded box as steps of the pen.
pub fn rounded(a: Area, r: f64) -> Vec<Step> {
    let k = r * 0.552_284_75;
    let (left, top, right, foot) = (a.x, a.y, a.x + a.width, a.y + a.height);
    vec![
        Step::Move(left + r, top),
        Step::Line(right - r, top),
        Step::Curve([right - r + k, top, right, top + r - k, right, top + r]),
        Step::Line(right, foot - r),
        Step::Curve([right, foot - r + k, right - r + k, foot, right - r, foot]),
        Step::Line(left + r, foot),
        Step::Curve([left + r - k, foot, left, foot - r + k, left, foot - r]),
        Step::Line(left, top + r),
        Step::Curve([left, top + r - k, left + r - k, top, left + r, top]),
        Step::Close,
    ]
}
