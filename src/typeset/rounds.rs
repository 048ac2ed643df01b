//! Written rounds: the label hangs at the left, the count closes the line at the right.

use super::composer::{Composer, Room, baseline, indented, spaced};
use super::inline::{Style, words_of};
use super::lines::Line;
use super::page::{Area, Shape, Tag};
use super::strip::{NEVER, Strip};
use super::theme::{MM, Voice};
use crate::booklet::document::Round;

/// A page break inside a round: allowed, but only for want of better.
const INSIDE: u32 = 400;
/// A page break between two rounds.
const BETWEEN: u32 = 5;

/// Where the parts of every round in one block stand.
#[derive(Clone, Copy)]
struct Columns {
    /// Where labels begin: after the boxes to tick.
    label: f64,
    /// Where words begin.
    words: f64,
    /// Where lines end.
    end: f64,
}

impl Composer<'_> {
    /// Written rounds, one below another.
    pub fn rounds(&mut self, rounds: &[Round], room: Room) -> Vec<Strip> {
        let owner = self.element(Tag::List, room.parent);
        let columns = self.round_columns(rounds, room);
        let line = self.theme.body.leading;
        let mut out = Vec::new();
        for (i, round) in rounds.iter().enumerate() {
            let mut strips = self.round(round, owner, columns);
            if let Some(first) = strips.first_mut() {
                first.penalty = if i == 0 || i + 1 == rounds.len() { 40 } else { BETWEEN };
            }
            if let Some(last) = strips.last_mut() {
                last.after = 0.3 * line;
            }
            out.append(&mut strips);
        }
        spaced(out, 0.0, 0.6 * line)
    }

    fn round_columns(&mut self, rounds: &[Round], room: Room) -> Columns {
        let size = self.theme.body.size;
        let label = if rounds.iter().any(|r| r.tick) { 1.5 * size } else { 0.0 };
        let mut widest: f64 = 0.0;
        for round in rounds {
            let words = words_of(&round.label);
            widest = widest.max(self.shaper.width(Voice::Strong, size, &words));
        }
        let needed = label + if widest > 0.0 { widest + 0.9 * size } else { 0.0 };
        let most = 0.34 * room.width;
        Columns { label, words: needed.min(most).max(room.hang).max(label), end: room.width }
    }

    fn round(&mut self, round: &Round, list: usize, columns: Columns) -> Vec<Strip> {
        let item = self.element(Tag::Item, list);
        let style = self.body_style();
        let label = self.round_label(round, item, columns);
        let body = self.element(Tag::ItemBody, item);
        let mut strips = self.round_words(round, body, columns, style);
        for (i, part) in label.into_iter().enumerate() {
            match strips.get_mut(i) {
                Some(strip) => {
                    let height = strip.height.max(part.height);
                    strip.absorb(part, columns.label, 0.0);
                    strip.height = height;
                }
                None => {
                    let mut strip = part;
                    strip.shift(columns.label, 0.0);
                    strip.penalty = NEVER;
                    strips.push(strip);
                }
            }
        }
        if round.tick
            && let Some(first) = strips.first_mut()
        {
            let at = first.baseline;
            let mark = self.tick_box(0.0, at, style.measure.size);
            first.items.push(mark);
        }
        self.round_extras(round, body, columns, &mut strips);
        strips
    }

    fn round_label(&mut self, round: &Round, item: usize, columns: Columns) -> Vec<Strip> {
        if round.label.is_empty() {
            return Vec::new();
        }
        let owner = self.element(Tag::ItemLabel, item);
        let style = self.style(Voice::Strong, self.theme.body);
        let room = columns.words - columns.label - 0.4 * style.measure.size;
        self.set(&round.label, style, owner, room)
    }

    /// The words with the count at the right end of the last line, or on a line of its own.
    fn round_words(
        &mut self,
        round: &Round,
        owner: usize,
        columns: Columns,
        style: Style,
    ) -> Vec<Strip> {
        let width = columns.end - columns.words;
        let size = style.measure.size;
        let fragments = self.fragments(&round.body, style, owner);
        let mut lines = self.break_lines(fragments, size, width);
        if lines.is_empty() {
            lines.push(Line::default());
        }
        let strong = self.style(Voice::Strong, style.measure);
        let count = match &round.count {
            Some(count) => {
                let fragments = self.fragments(count, strong, owner);
                self.break_lines(fragments, size, width)
            }
            None => Vec::new(),
        };
        let beside = match (lines.last(), count.as_slice()) {
            (Some(last), [one]) => last.width + 1.2 * size + one.width <= width,
            _ => false,
        };
        let y = baseline(style.measure);
        let n = lines.len();
        let mut out: Vec<Strip> = Vec::new();
        for (i, line) in lines.iter().enumerate() {
            let more = i + 1 < n || !count.is_empty();
            let drawn = self.draw(line, style, columns.words, y, more);
            out.push(Strip {
                height: style.measure.leading,
                baseline: y,
                items: drawn.items,
                links: drawn.links,
                penalty: if i == 1 || i + 1 == n { NEVER } else { INSIDE },
                ..Strip::default()
            });
        }
        for (i, line) in count.iter().enumerate() {
            let x = columns.end - line.width;
            let drawn = self.draw(line, strong, x, y, i + 1 < count.len());
            let mut strip = Strip {
                height: style.measure.leading,
                baseline: y,
                items: drawn.items,
                links: drawn.links,
                penalty: NEVER,
                ..Strip::default()
            };
            if beside && let Some(last) = out.last_mut() {
                strip.height = 0.0;
                last.absorb(strip, 0.0, 0.0);
            } else {
                out.push(strip);
            }
        }
        out
    }

    /// The line in small type and the boxes to count with.
    fn round_extras(
        &mut self,
        round: &Round,
        owner: usize,
        columns: Columns,
        strips: &mut Vec<Strip>,
    ) {
        let width = columns.end - columns.words;
        if let Some(note) = &round.note {
            let style = self.small_style();
            let mut note = indented(self.set(note, style, owner, width), columns.words);
            note.iter_mut().for_each(|s| s.penalty = NEVER);
            strips.append(&mut note);
        }
        if round.counter > 0 {
            let mut boxes = self.counter(round.counter, width);
            boxes.iter_mut().for_each(|s| s.shift(columns.words, 0.0));
            strips.append(&mut boxes);
        }
    }

    /// Rows of small boxes, in fives.
    fn counter(&self, n: u16, width: f64) -> Vec<Strip> {
        let side = 4.0 * MM;
        let (step, group) = (side + 1.2 * MM, 2.4 * MM);
        let five = 5.0 * step + group;
        let fives = ((width + group) / five).floor().max(1.0) as u16;
        let a_row = fives.min(6) * 5;
        let mut out = Vec::new();
        let mut left = n;
        while left > 0 {
            let here = left.min(a_row);
            let mut strip = Strip { height: side + 2.4 * MM, penalty: INSIDE, ..Strip::default() };
            if out.is_empty() {
                strip.penalty = NEVER;
            }
            for i in 0..here {
                let x = f64::from(i) * step + f64::from(i / 5) * group;
                let area = Area { x, y: 1.2 * MM, width: side, height: side };
                let mark = self.ornament(Shape::rect(area, Some(self.pen(0.5, false)), None));
                strip.items.push(mark);
            }
            out.push(strip);
            left -= here;
        }
        out
    }
}
