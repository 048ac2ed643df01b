//! From strips to pages: where each page ends, and what is drawn around what stands on it.

use super::blocks::rounded;
use super::composer::Composer;
use super::page::{Area, Item, Page, Pen, Shape};
use super::strip::{Columns, NEVER, Node, Pin, Strip};
use crate::limits::PAGES;
use std::collections::VecDeque;

/// What is shorter than this share of a page is not parted, if rows or columns make it up.
pub const SHORT: f64 = 0.45;

/// Fewer rows than this of a table in columns are not left for the next page.
const FEW: usize = 4;

/// A page with more than this share of it empty is worth a line in the margin below.
const EMPTY: f64 = 0.15;

/// Pages so far, and what was noted on the way.
#[derive(Debug, Default)]
pub struct Flowed {
    /// The pages.
    pub pages: Vec<Page>,
    /// Noted places: page, distance from its top, what.
    pub pins: Vec<(usize, f64, Pin)>,
    /// Whether the most pages were passed.
    pub too_many: bool,
}

/// A strip that was set: its frame, where it begins, its height.
type Set = (Option<(usize, f64)>, f64, f64);

struct Flow<'c, 'a> {
    composer: &'c Composer<'a>,
    area: Area,
    grid: f64,
    out: Flowed,
    y: f64,
    /// Space asked for below what stands last; `None` at the top of a page.
    last_after: Option<f64>,
    /// How far this page may reach into the margin below.
    slack: f64,
}

impl Composer<'_> {
    /// Sets nodes on pages.
    pub fn flow(&self, nodes: Vec<Node>) -> Flowed {
        let area = self.area();
        let mut flow = Flow {
            composer: self,
            area,
            grid: self.theme.body.leading / 2.0,
            out: Flowed { pages: vec![Page::default()], ..Flowed::default() },
            y: area.y,
            last_after: None,
            slack: 0.0,
        };
        let mut run = Vec::new();
        for node in nodes {
            match flow.simpler(node) {
                Node::Strip(strip) => run.push(strip),
                Node::NewPage => {
                    flow.run(std::mem::take(&mut run));
                    if flow.last_after.is_some() {
                        flow.new_page();
                    }
                }
                Node::Columns(columns) => {
                    let carry = run.split_off(held_from(&run));
                    flow.run(std::mem::take(&mut run));
                    flow.columns(carry, columns);
                }
            }
            if flow.out.too_many {
                break;
            }
        }
        flow.run(run);
        if flow.last_after.is_none() && flow.out.pages.len() > 1 {
            flow.out.pages.pop();
        }
        flow.out
    }
}

impl Flow<'_, '_> {
    fn foot(&self) -> f64 {
        self.area.y + self.area.height + self.slack + 0.01
    }

    fn new_page(&mut self) {
        if self.out.pages.len() >= PAGES {
            self.out.too_many = true;
            return;
        }
        self.out.pages.push(Page::default());
        self.y = self.area.y;
        self.last_after = None;
    }

    /// A short column region becomes one strip.
    fn simpler(&self, node: Node) -> Node {
        let Node::Columns(columns) = node else { return node };
        if columns.strips.is_empty() {
            return Node::Strip(Strip::default());
        }
        let (height, cuts) = self.balanced(&columns);
        if height > SHORT * self.area.height {
            return Node::Columns(columns);
        }
        let (before, after, tail) = (columns.before, columns.after, columns.tail);
        let mut whole = self.side_by_side(columns, &cuts);
        (whole.before, whole.after, whole.holds_next) = (before, after, tail > 0.0);
        Node::Strip(whole)
    }

    /// Where a strip would begin if it came next.
    fn start(&self, y: f64, last_after: Option<f64>, strip: &Strip) -> f64 {
        let pad = self.pad(strip);
        let gap = match last_after {
            Some(after) => after.max(strip.before),
            None => pad,
        };
        let start = y + gap;
        if !strip.on_grid {
            return start;
        }
        let steps = ((start - self.area.y) / self.grid - 0.02).ceil().max(0.0);
        self.area.y + steps * self.grid
    }

    fn pad(&self, strip: &Strip) -> f64 {
        strip.frame.and_then(|f| self.composer.frames.get(f.0)).map_or(0.0, |f| f.pad)
    }

    /// Sets strips one below another over as many pages as they need.
    fn run(&mut self, strips: Vec<Strip>) {
        let mut rest: VecDeque<Strip> = strips.into();
        while !rest.is_empty() && !self.out.too_many {
            self.repeat_head(rest.front());
            let mut ends = self.ends(&rest);
            if self.squeeze(&mut rest, &ends) {
                ends = self.ends(&rest);
            }
            if ends.len() == rest.len() {
                self.place(rest.drain(..).collect());
                return;
            }
            let n = self.best_break(&rest, &ends);
            let n = self.stretched(&rest, &ends, n);
            self.place(rest.drain(..n).collect());
            self.new_page();
        }
    }

    /// How many strips this page takes if `n` would leave much of it empty and a line's room
    /// in the margin lets it hold more.
    fn stretched(&mut self, strips: &VecDeque<Strip>, ends: &[f64], n: usize) -> usize {
        let end = n.checked_sub(1).and_then(|i| ends.get(i)).copied().unwrap_or(self.y);
        if self.foot() - end < EMPTY * self.area.height {
            return n;
        }
        self.slack = self.composer.spare_below();
        let ends = self.ends(strips);
        let most = ends.len();
        let more = if most == strips.len() { most } else { self.best_break(strips, &ends) };
        self.slack = 0.0;
        more.max(n)
    }

    /// Makes the first figure that does not fit a little smaller, if that lets it fit with
    /// what is held to it.
    fn squeeze(&self, strips: &mut VecDeque<Strip>, ends: &[f64]) -> bool {
        // It may be the caption that does not fit: the figure stands a few strips before.
        let mut n = ends.len();
        while n > 0 && strips.get(n).is_some_and(|s| s.penalty == NEVER && s.elastic == 0.0) {
            n -= 1;
        }
        let Some(figure) = strips.get(n).filter(|s| s.elastic > 0.0) else { return false };
        let before = n.checked_sub(1).and_then(|i| Some((ends.get(i)?, strips.get(i)?)));
        let (y, last) = match before {
            Some((end, strip)) => (*end, Some(strip.after)),
            None => (self.y, self.last_after),
        };
        let start = self.start(y, last, figure);
        let held = strips.iter().skip(n + 1).take_while(|s| s.penalty == NEVER);
        let tail: f64 = held.map(|s| s.height + s.before.max(s.after)).sum();
        let pad = self.pad(figure);
        let by = (self.foot() - start - tail - pad - 1.0) / figure.height;
        if by >= figure.elastic
            && by < 1.0
            && let Some(figure) = strips.get_mut(n)
        {
            figure.shrink(by);
            figure.elastic = 0.0;
            return true;
        }
        false
    }

    /// Shows a table's head again if this page begins inside the table.
    fn repeat_head(&mut self, next: Option<&Strip>) {
        let again = next.filter(|s| s.penalty > 0 && self.last_after.is_none());
        let head = again.and_then(|s| s.repeat).and_then(|i| self.composer.heads.get(i)).cloned();
        if let (Some(mut head), true) = (head, self.out.pages.len() > 1) {
            head.on_grid = false;
            self.place(vec![head]);
        }
    }

    /// Where each strip would end on this page, as far as they fit.
    fn ends(&self, strips: &VecDeque<Strip>) -> Vec<f64> {
        let mut ends = Vec::new();
        let (mut y, mut last) = (self.y, self.last_after);
        for strip in strips {
            let start = self.start(y, last, strip);
            let end = start + strip.height;
            if end + self.pad(strip) > self.foot() {
                break;
            }
            ends.push(end);
            (y, last) = (end, Some(strip.after));
        }
        ends
    }

    /// How many strips this page takes.
    fn best_break(&self, strips: &VecDeque<Strip>, ends: &[f64]) -> usize {
        let most = ends.len();
        let fresh = self.last_after.is_none();
        let least = usize::from(fresh);
        let cost = |n: usize| -> Option<f64> {
            let penalty = strips.get(n).map_or(0, |s| s.penalty);
            let held = n > 0 && strips.get(n - 1).is_some_and(|s| s.holds_next);
            if penalty == NEVER || held {
                return None;
            }
            let end = if n == 0 { self.y } else { *ends.get(n - 1)? };
            let empty = (self.foot() - end) / self.area.height;
            Some(f64::from(penalty) + 4000.0 * empty * empty)
        };
        let best = (least..=most)
            .rev()
            .filter_map(|n| Some((n, cost(n)?)))
            .reduce(|a, b| if b.1 < a.1 { b } else { a });
        // A page left more than half empty for want of a good break is worse than a bad break.
        let thin = |n: usize| {
            let end = if n == 0 { self.y } else { ends.get(n - 1).copied().unwrap_or(self.y) };
            self.foot() - end > 0.55 * self.area.height
        };
        match best {
            Some((n, _)) if !thin(n) || most == 0 => n.max(least.min(1)),
            Some((n, _)) if self.next_fits_a_page(strips, n) => n,
            Some((n, _)) if n >= most => n,
            _ => most.max(1),
        }
    }

    /// Whether what may not be parted after the first `n` strips fits a page of its own.
    fn next_fits_a_page(&self, strips: &VecDeque<Strip>, n: usize) -> bool {
        let mut height = 0.0;
        for (i, strip) in strips.iter().enumerate().skip(n) {
            let held = i > n && strips.get(i - 1).is_some_and(|s| s.holds_next);
            if i > n && strip.penalty != NEVER && !held {
                return true;
            }
            height += strip.height + strip.before;
            if height > self.area.height {
                return false;
            }
        }
        true
    }

    /// Sets strips on this page, whether they fit or not.
    fn place(&mut self, strips: Vec<Strip>) {
        let mut framed: Vec<Set> = Vec::new();
        let at = self.out.pages.len() - 1;
        let x = self.area.x;
        for mut strip in strips {
            let start = self.start(self.y, self.last_after, &strip);
            strip.shift(x, start);
            framed.push((strip.frame, start, strip.height));
            self.y = start + strip.height;
            self.last_after = Some(strip.after);
            let pins = strip.pins.drain(..).map(|pin| (at, start, pin));
            self.out.pins.extend(pins);
            if let Some(page) = self.out.pages.last_mut() {
                page.items.append(&mut strip.items);
                page.links.append(&mut strip.links);
            }
        }
        let frames = self.frames(&framed, 0.0);
        if let Some(page) = self.out.pages.last_mut() {
            page.items.splice(0..0, frames);
        }
    }

    /// What is drawn behind strips that stand in frames.
    fn frames(&self, strips: &[Set], x: f64) -> Vec<Item> {
        let mut items = Vec::new();
        for part in strips.chunk_by(|a, b| a.0 == b.0) {
            let (Some((Some((id, dx)), top, _)), Some((_, start, height))) =
                (part.first(), part.last())
            else {
                continue;
            };
            let Some(frame) = self.composer.frames.get(*id) else { continue };
            let y = top - frame.pad;
            let area =
                Area { x: x + dx, y, width: frame.width, height: start + height + frame.pad - y };
            items.append(&mut self.frame(area));
        }
        items
    }

    fn frame(&self, area: Area) -> Vec<Item> {
        let theme = self.composer.theme;
        let mut items = Vec::new();
        let steps = rounded(area, 2.0);
        let shape = match theme.tint {
            Some(tint) => Shape { steps, stroke: None, fill: Some(tint) },
            None => Shape { steps, stroke: Some(self.composer.pen(0.3, false)), fill: None },
        };
        items.push(self.composer.ornament(shape));
        let bar = theme.rule_width(2.2);
        let pen = Pen { width: bar, colour: theme.accent, dash: Vec::new() };
        let at = area.x + bar / 2.0;
        let rule = Shape::line((at, area.y), (at, area.y + area.height), pen);
        items.push(self.composer.ornament(rule));
        items
    }

    /// Strips in columns over as many pages as they need, after strips held to them.
    fn columns(&mut self, carry: Vec<Strip>, columns: Columns) {
        let mut carry = carry;
        let mut columns = columns;
        let spare = self.composer.spare_below();
        let line = self.composer.theme.body.leading;
        while !columns.strips.is_empty() && !self.out.too_many {
            let held: f64 = carry.iter().map(|s| s.height + s.before.max(s.after)).sum();
            let gap = self.last_after.map_or(0.0, |a| a.max(columns.before));
            let room = self.foot() - self.y - gap - held;
            let (height, cuts) = self.balanced(&columns);
            let fresh = self.last_after.is_none();
            if height > room && !fresh && room < 8.0 * line {
                self.new_page();
                continue;
            }
            self.run(std::mem::take(&mut carry));
            let gap = self.last_after.map_or(0.0, |a| a.max(columns.before));
            let room = self.foot() - self.y - gap;
            let cuts = if height + columns.tail <= room + spare {
                // A line in the margin below is better than a few rows on a page of their own.
                cuts
            } else if height <= room {
                self.short_by(&columns, 2)
            } else {
                let cuts = self.filled(&columns.strips, columns.count, room);
                let over = columns.strips.len().saturating_sub(cuts.iter().sum());
                match over {
                    0 => cuts,
                    n if n < FEW * columns.count => self.short_by(&columns, FEW),
                    _ => cuts,
                }
            };
            let n: usize = cuts.iter().sum();
            let rest = columns.strips.split_off(n.min(columns.strips.len()));
            let part = Columns { strips: std::mem::replace(&mut columns.strips, rest), ..columns };
            let after = part.after;
            let mut whole = self.side_by_side(part, &cuts);
            whole.after = after;
            self.place(vec![whole]);
            if !columns.strips.is_empty() {
                self.new_page();
            }
        }
    }

    /// The least height at which strips fit their columns, and how many each column takes.
    fn balanced(&self, columns: &Columns) -> (f64, Vec<usize>) {
        self.level(&columns.strips, columns.count)
    }

    /// Columns that leave so many strips of each for the next page, so that neither these nor
    /// what is held below them stand there alone.
    fn short_by(&self, columns: &Columns, rows: usize) -> Vec<usize> {
        let n = columns.strips.len().saturating_sub(rows * columns.count).max(1);
        self.level(columns.strips.get(..n).unwrap_or_default(), columns.count).1
    }

    fn level(&self, strips: &[Strip], count: usize) -> (f64, Vec<usize>) {
        let whole = super::strip::stacked(strips);
        let head = strips.iter().filter_map(|s| self.head_over(s)).map(|h| h.height);
        let head = head.fold(0.0, f64::max);
        let (mut low, mut high) = (whole / count as f64 * 0.8, whole + head + 1.0);
        let all = strips.len();
        let mut best = self.filled(strips, count, high);
        for _ in 0..24 {
            let middle = (low + high) / 2.0;
            let cuts = self.filled(strips, count, middle);
            if cuts.iter().sum::<usize>() == all {
                high = middle;
                best = cuts;
            } else {
                low = middle;
            }
        }
        (high, best)
    }

    /// How many strips each column takes at this height.
    fn filled(&self, strips: &[Strip], count: usize, height: f64) -> Vec<usize> {
        let mut cuts = Vec::new();
        let mut rest = strips;
        for _ in 0..count {
            let head = rest.first().and_then(|s| self.head_over(s)).map_or(0.0, |h| h.height);
            let n = column_break(rest, height - head);
            cuts.push(n);
            rest = &rest[n..];
        }
        // What is taller than a page is set all the same.
        if let (0, Some(first)) = (cuts.iter().sum::<usize>(), cuts.first_mut()) {
            *first = strips.len().min(1);
        }
        cuts
    }

    /// The table head to be shown again over a column that begins with this strip.
    fn head_over(&self, strip: &Strip) -> Option<&Strip> {
        self.composer.heads.get(strip.repeat?)
    }

    fn side_by_side(&self, columns: Columns, cuts: &[usize]) -> Strip {
        let mut whole = Strip::default();
        let mut strips = columns.strips.into_iter();
        for (i, n) in cuts.iter().enumerate() {
            let x = columns.step * i as f64;
            let mut y = 0.0;
            let mut last = None::<f64>;
            let mut framed: Vec<Set> = Vec::new();
            let column: Vec<Strip> = strips.by_ref().take(*n).collect();
            if let Some(head) = column.first().and_then(|s| self.head_over(s)) {
                whole.absorb(head.clone(), x, 0.0);
                y = head.height;
            }
            for strip in column {
                let top = self.pad(&strip);
                y += match last {
                    Some(after) => after.max(strip.before),
                    None => top,
                };
                framed.push((strip.frame, y, strip.height));
                let (height, after) = (strip.height, strip.after);
                whole.absorb(strip, x, y);
                y += height;
                last = Some(after);
            }
            let frames = self.frames(&framed, x);
            whole.items.splice(0..0, frames);
        }
        whole
    }
}

/// From where on these strips may not be parted from what comes after them.
fn held_from(strips: &[Strip]) -> usize {
    let never = |i: usize| strips.get(i).is_some_and(|s| s.penalty == NEVER);
    let held = |i: usize| strips.get(i).is_some_and(|s| s.holds_next) || never(i + 1);
    (0..strips.len()).rev().take_while(|i| held(*i)).last().unwrap_or(strips.len())
}

/// How many strips one column of this height takes: all that fit, back to a fair break.
fn column_break(strips: &[Strip], height: f64) -> usize {
    let mut y = 0.0;
    let mut last = None::<f64>;
    let mut fit = 0;
    for strip in strips {
        y += last.map_or(0.0, |a| a.max(strip.before)) + strip.height;
        if y > height + 0.01 {
            break;
        }
        last = Some(strip.after);
        fit += 1;
    }
    let fair = |n: &usize| {
        let next = strips.get(*n).is_none_or(|s| s.penalty != NEVER);
        next && strips.get(n - 1).is_none_or(|s| !s.holds_next)
    };
    (1..=fit).rev().find(fair).unwrap_or(fit)
}
