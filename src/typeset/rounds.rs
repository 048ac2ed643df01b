//! Written rounds: the label hangs at the left, the count closes the line at the right.

use super::composer::{Composer, Room, baseline, indented, spaced};
use super::inline::{Fragment, Piece, Style, words_of};
use super::lines::Line;
use super::page::{Area, Shape, Tag};
use super::strip::{NEVER, Node, Strip};
use super::theme::{MM, Voice};
use crate::booklet::document::{Block, Round, Sized};

/// A page break inside a round of more lines than [`WHOLE`]: only for want of better.
const INSIDE: u32 = 400;
/// A round of up to so many lines is never parted.
const WHOLE: usize = 8;
/// A bracket shares its line with words: it may take this much of it.
const SHARE: f64 = 0.6;
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

    /// Rounds of several sizes, the way that this page has room for.
    pub fn sized(&mut self, sized: &Sized, room: Room, out: &mut Vec<Node>) {
        let wide = self.shaper.width(Voice::Strong, self.theme.body.size, &sized.widest);
        let fits = sized.brackets.iter().all(|block| match block {
            Block::Rounds(rounds) => {
                let columns = self.round_columns(rounds, room);
                wide <= SHARE * (columns.end - columns.words)
            }
            _ => true,
        });
        self.blocks(if fits { &sized.brackets } else { &sized.by_size }, room, out);
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
                    let marks = part.items.len();
                    strip.absorb(part, columns.label, 0.0);
                    strip.items.rotate_right(marks);
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

    /// The words with the count at the right end of the last line.
    fn round_words(
        &mut self,
        round: &Round,
        owner: usize,
        columns: Columns,
        style: Style,
    ) -> Vec<Strip> {
        let width = columns.end - columns.words;
        let size = style.measure.size;
        let words = self.fragments(&round.body, style, owner);
        let strong = self.style(Voice::Strong, style.measure);
        let count = match &round.count {
            Some(count) => self.fragments(count, strong, owner),
            None => Vec::new(),
        };
        let mut words = words;
        if let (Some(last), Some(first)) = (words.last_mut(), count.first()) {
            // A true space stands between them, for who copies or hears the line.
            let order = first.pieces.first().map_or(0, |p| p.order);
            let shaped = self.shaper.shape(style.voice, " ");
            let (voice, colour) = (style.voice, style.colour);
            last.space = Some(Piece { voice, colour, owner, order, link: None, shaped });
        }
        let mut lines = self.counted(words, count, size, width);
        if lines.is_empty() {
            lines.push(Line::default());
        }
        let y = baseline(style.measure);
        let n = lines.len();
        let mut out = Vec::new();
        for (i, line) in lines.iter().enumerate() {
            let drawn = self.draw(line, style, columns.words, y, i + 1 < n);
            out.push(Strip {
                height: style.measure.leading,
                baseline: y,
                items: drawn.items,
                links: drawn.links,
                penalty: if i == 1 || i + 1 == n || n <= WHOLE { NEVER } else { INSIDE },
                ..Strip::default()
            });
        }
        out
    }

    /// Lines of words that end with the count, flush right. If the count would stand alone,
    /// the last words go down to it.
    fn counted(
        &mut self,
        words: Vec<Fragment>,
        count: Vec<Fragment>,
        size: f64,
        width: f64,
    ) -> Vec<Line> {
        if count.is_empty() {
            return self.break_lines(words, size, width);
        }
        let count = Fragment::joined(count);
        if words.is_empty() || count.width > width {
            let mut lines = self.break_lines(words, size, width);
            lines.extend(self.break_lines(vec![count], size, width));
            return lines;
        }
        let parts = count.pieces.len();
        let set = |this: &mut Self, company: usize| {
            let all = with_count(words.clone(), count.clone(), company, 1.2 * size);
            let fits = all.last().is_some_and(|f| f.width <= width);
            let mut lines = this.break_lines(all, size, width);
            if let Some(last) = lines.last_mut() {
                let slack = (width - last.width).max(0.0);
                let from = last.pieces.len().saturating_sub(parts);
                last.pieces.iter_mut().skip(from).for_each(|(x, _)| *x += slack);
            }
            (lines, fits)
        };
        let (lines, _) = set(self, 0);
        let alone = lines.len() > 1 && lines.last().is_some_and(|l| l.pieces.len() <= parts);
        let most = if alone { 3.min(words.len()) } else { 0 };
        for company in (1..=most).rev() {
            let (better, fits) = set(self, company);
            if fits && better.len() <= lines.len() {
                return better;
            }
        }
        lines
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

/// Words with the count after them, `company` of the last ones tied to it.
fn with_count(
    mut words: Vec<Fragment>,
    count: Fragment,
    company: usize,
    gap: f64,
) -> Vec<Fragment> {
    let company = company.min(words.len().saturating_sub(1));
    let mut tied = words.split_off(words.len() - company.max(1));
    if let Some(last) = tied.last_mut() {
        last.space_width = last.space_width.max(gap);
        last.ends_line = false;
    }
    if company == 0 {
        words.append(&mut tied);
        words.push(count);
    } else {
        tied.push(count);
        words.push(Fragment::joined(tied));
    }
    words
}
