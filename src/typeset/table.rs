//! Tables: columns are measured, then shrunk, turned or parted until they fit.

use super::composer::{Composer, Room, baseline, bound, indented, nodes, spaced};
use super::flow::SHORT;
use super::inline::{Style, words_of};
use super::page::{Item, Owner, Scope, Shape, Tag};
use super::sections::PARTED;
use super::strip::{Columns, NEVER, Node, Strip, stacked};
use super::table_plan::{Part, Plan};
use super::theme::{Measure, Voice};
use crate::booklet::document::{Align, Cell, Inline, Table};

/// A page break between two rows.
const BETWEEN_ROWS: u32 = 60;
/// What the rows of one part share.
#[derive(Clone, Copy)]
struct Look<'p> {
    part: &'p Part,
    measure: Measure,
}

impl Composer<'_> {
    /// A table with its caption and notes.
    pub fn table(&mut self, table: &Table, room: Room, out: &mut Vec<Node>) {
        if table.columns.is_empty() {
            return;
        }
        let plan = self.plan(table, room);
        if plan.beside > 1 {
            return self.beside(&plan, room, out);
        }
        let mut strips = Vec::new();
        for i in 0..plan.parts.len() {
            let (mut above, mut rows) = self.part(&plan, i, room);
            above.append(&mut rows);
            if i > 0 {
                above = spaced(above, 0.75 * self.theme.body.leading, 0.0);
            }
            strips.append(&mut above);
        }
        self.notes(&plan, room, &mut strips);
        let line = self.theme.body.leading;
        out.extend(nodes(spaced(strips, 0.35 * line, line)));
    }

    /// A narrow table that runs on beside itself.
    fn beside(&mut self, plan: &Plan, room: Room, out: &mut Vec<Node>) {
        let line = self.theme.body.leading;
        let (above, strips) = self.part(plan, 0, room);
        out.extend(nodes(above));
        let mut notes = Vec::new();
        self.notes(plan, room, &mut notes);
        let step = (room.width + self.gutter()) / plan.beside as f64;
        let after = if notes.is_empty() { line } else { 0.0 };
        let tail = if notes.is_empty() { 0.0 } else { stacked(&notes) + 0.25 * line };
        let count = plan.beside;
        out.push(Node::Columns(Columns { count, step, strips, before: 0.35 * line, after, tail }));
        out.extend(nodes(spaced(notes, 0.0, line)));
    }

    fn notes(&mut self, plan: &Plan, room: Room, out: &mut Vec<Strip>) {
        let x = plan.parts.first().map_or(0.0, |p| p.x);
        for (i, note) in plan.table.notes.iter().enumerate() {
            let owner = self.element(Tag::Paragraph, room.parent);
            let style = self.small_style();
            let mut strips = indented(self.set(note, style, owner, room.width - x), x);
            if let (0, Some(first)) = (i, strips.first_mut()) {
                first.penalty = NEVER;
                first.before = 0.25 * self.theme.body.leading;
            }
            out.extend(bound(strips));
        }
    }

    /// One table element: its caption; its head and body.
    fn part(&mut self, plan: &Plan, i: usize, room: Room) -> (Vec<Strip>, Vec<Strip>) {
        let Some(part) = plan.parts.get(i) else { return Default::default() };
        let scale = plan.size / self.theme.table.size;
        let measure = Measure { size: plan.size, leading: self.theme.table.leading * scale };
        let look = Look { part, measure };
        let owner = self.element(Tag::Table, room.parent);
        let mut above = self.caption(plan, i, owner, room);
        let mut out = Vec::new();
        let mut repeat = None;
        if !plan.table.head.is_empty() {
            let head = self.head(plan, owner, look);
            self.heads.push(repeated(&head));
            repeat = Some(self.heads.len() - 1);
            out.push(head);
        } else if let Some(last) = above.last_mut() {
            last.after = 0.2 * measure.leading;
        }
        let body = self.element(Tag::TableBody, owner);
        let n = plan.table.body.len();
        let mut rows = Vec::new();
        for (r, row) in plan.table.body.iter().enumerate() {
            let mut strip = self.row(row, body, look, false, plan.table.row_heads);
            let last = r + 1 == n;
            self.rule_below(&mut strip, part, if last { 0.6 } else { 0.25 });
            strip.repeat = repeat;
            // A row without a head of its own goes on with the row before.
            let headless = row.first().is_some_and(|c| words_of(&c.text).is_empty());
            let goes_on = plan.table.row_heads && headless;
            strip.penalty = if r <= 1 || last || goes_on { NEVER } else { BETWEEN_ROWS };
            rows.push(strip);
        }
        let short = stacked(&rows) < SHORT * self.area().height;
        if short && plan.beside == 1 {
            // Parted only where a page would else be left half empty.
            for row in rows.iter_mut().filter(|r| r.penalty != NEVER) {
                row.penalty = 3 * PARTED;
            }
        }
        if let (true, Some(first)) = (above.is_empty() && out.is_empty(), rows.first_mut()) {
            first.penalty = 0;
        }
        out.append(&mut rows);
        (above, out)
    }

    fn caption(&mut self, plan: &Plan, i: usize, table: usize, room: Room) -> Vec<Strip> {
        let Some(caption) = &plan.table.caption else { return Vec::new() };
        let x = plan.parts.get(i).map_or(0.0, |p| p.x);
        let owner = self.element(Tag::Caption, table);
        let style = self.style(Voice::Strong, self.theme.headings[2]);
        let mut text = caption.clone();
        if i > 0 {
            text.push(Inline::Text(" (continued)".into()));
        }
        let mut strips = indented(bound(self.set(&text, style, owner, room.width - x)), x);
        strips.iter_mut().for_each(|s| s.holds_next = true);
        spaced(strips, 0.0, 0.1 * self.theme.body.leading)
    }

    fn head(&mut self, plan: &Plan, table: usize, look: Look) -> Strip {
        let group = self.element(Tag::TableHead, table);
        let mut whole = Strip::default();
        for row in &plan.table.head {
            let strip = self.row(row, group, look, true, false);
            let y = whole.height;
            whole.absorb(strip, 0.0, y);
        }
        self.rule_below(&mut whole, look.part, 0.8);
        whole.holds_next = true;
        whole
    }

    fn rule_below(&self, strip: &mut Strip, part: &Part, width: f64) {
        let y = strip.height - 0.25;
        let end = part.x + part.width();
        let rule = Shape::line((part.x, y), (end, y), self.pen(width, width == 0.8));
        strip.items.push(self.ornament(rule));
    }

    fn row(
        &mut self,
        row: &[Cell],
        group: usize,
        look: Look,
        head: bool,
        row_heads: bool,
    ) -> Strip {
        let owner = self.element(Tag::Row, group);
        let pad = 0.2 * look.measure.leading;
        let mut strip = Strip::default();
        let mut lines = 1;
        let mut c = 0;
        for (i, cell) in row.iter().enumerate() {
            let span = usize::from(cell.span.max(1));
            let within = look.part.within(c, span);
            c += span;
            let Some(place) = within else { continue };
            let (x, width) = (place.x, place.width);
            let tag = match (head, i == 0 && row_heads) {
                (true, _) => Tag::HeadCell(Scope::Column),
                (_, true) => Tag::HeadCell(Scope::Row),
                _ => Tag::Cell,
            };
            let element = self.element(tag, owner);
            self.elements[element].span = u8::try_from(place.columns).unwrap_or(u8::MAX);
            let size = look.measure.size;
            let fragments = self.cell_fragments(&cell.text, head, element, size);
            let set = self.break_lines(fragments, size, width + 0.01);
            lines = lines.max(set.len());
            let align = place.align;
            for (l, line) in set.iter().enumerate() {
                let slack = (width - line.width).max(0.0);
                let x = x + match align {
                    Align::Left => 0.0,
                    Align::Right => slack,
                    Align::Centre => slack / 2.0,
                };
                let y = pad + l as f64 * look.measure.leading + baseline(look.measure);
                let style: Style = self.style(Voice::Text, look.measure);
                let mut drawn = self.draw(line, style, x, y, l + 1 < set.len());
                strip.items.append(&mut drawn.items);
                strip.links.append(&mut drawn.links);
            }
        }
        strip.height = 2.0 * pad + lines as f64 * look.measure.leading;
        strip.baseline = pad + baseline(look.measure);
        strip
    }
}

/// A head as shown again after a page break: not read out a second time.
fn repeated(head: &Strip) -> Strip {
    let mut again = head.clone();
    let each = |item: Item| Item { owner: Owner::Ornament, ..item };
    again.items = again.items.into_iter().map(each).collect();
    again.links.clear();
    again.pins.clear();
    again
}
