//! The chart itself: symbols set at their places, with numbers and marks.

use super::lay::{self, Along};
use super::slots::{Row, Slot};
use super::{room_for, whole};
use crate::fabric::{CourseShape, Loop};
use crate::figure::pen::{FINE, circle, filled, line, line_of, words};
use crate::figure::symbols::{self, Place, Point};
use crate::figure::{Anchor, Drawing, Ink, Label, Mark, Path, Segment};
use crate::standards::stitches::{Base, Kind};
use std::collections::BTreeMap;
use std::f64::consts::TAU;

/// How the rows are laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Shape {
    /// Whole rings.
    Ring,
    /// One wedge of so many.
    Wedge {
        /// How many wedges make the round.
        of: usize,
    },
    /// Straight, `shown` of so many repeats.
    Straight {
        /// How many repeats the courses have; 1 for none.
        repeats: usize,
        /// How many of them are shown.
        shown: usize,
    },
}

/// Paints the rows with stitches `unit` millimetres wide.
pub(super) fn paint(rows: &[Row], shape: &Shape, unit: f64) -> Drawing {
    let plane = match shape {
        Shape::Straight { repeats, shown } => Plane::straight(rows, unit, repeats > shown),
        Shape::Ring => Plane::round(rows, unit, TAU),
        Shape::Wedge { of } => Plane::round(rows, unit, TAU / whole(*of)),
    };
    let mut painter = Painter { plane, rows_of: rows_of(rows), out: Vec::new() };
    painter.ring_mark(rows);
    for (i, row) in rows.iter().enumerate() {
        painter.row(i, row);
    }
    painter.start_mark(rows);
    painter.repeat_mark(rows, shape);
    framed(painter.out)
}

/// Which row each stitch stands in.
fn rows_of(rows: &[Row]) -> BTreeMap<u32, usize> {
    let of = |(i, r): (usize, &Row)| r.slots.iter().map(move |s| (s.stitch, i)).collect::<Vec<_>>();
    rows.iter().enumerate().flat_map(of).collect()
}

/// Turns places on the fabric into places on paper.
struct Plane {
    unit: f64,
    along: Along,
    /// Straight: height over the bottom. Round: distance from the middle. One more than
    /// there are rows: row `i` stands between `i` and `i + 1`.
    levels: Vec<f64>,
    /// The angle the rounds fill; 0 for straight.
    angle: f64,
}

/// Free share of a ring's first radius for numbers and beginning chains, in stitch widths.
const GAP: f64 = 3.0;

impl Plane {
    fn straight(rows: &[Row], unit: f64, repeated: bool) -> Plane {
        let mut levels = vec![0.0];
        for row in rows {
            levels.push(levels.last().copied().unwrap_or(0.0) + high(row) * unit);
        }
        Plane { unit, along: lay::straight(rows, repeated), levels, angle: 0.0 }
    }

    fn round(rows: &[Row], unit: f64, angle: f64) -> Plane {
        let whole_ring = angle > 6.0;
        let gap = if whole_ring { GAP } else { 0.0 };
        let room = |r: &Row| (whole(r.width()) * 0.98 + gap) * unit / angle;
        let first = rows.first().map_or(0, Row::width);
        let last = rows.last().map_or(0, Row::width);
        let mut levels: Vec<f64> = Vec::new();
        if last >= first {
            let mut r = rows.first().map_or(0.0, |r| room(r) - high(r) * unit).max(1.3 * unit);
            levels.push(r);
            for row in rows {
                r = (r + high(row) * unit).max(room(row));
                levels.push(r);
            }
        } else {
            let mut r = rows.last().map_or(0.0, room).max(2.0 * unit);
            levels.push(r);
            for i in (0..rows.len()).rev() {
                let outer = i.checked_sub(1).and_then(|before| rows.get(before));
                let tall = rows.get(i).map_or(0.0, high);
                r = (r + tall * unit).max(outer.map_or(0.0, room));
                levels.push(r);
            }
            levels.reverse();
        }
        let level = levels.clone();
        let free = move |i: usize| {
            let r = level.get(i + 1).copied().unwrap_or(1.0);
            (gap * unit / (angle * r.max(0.1))).min(0.4)
        };
        let along = lay::round(rows, free);
        Plane { unit, along, levels, angle }
    }

    fn level(&self, i: usize) -> f64 {
        self.levels.get(i).or(self.levels.last()).copied().unwrap_or(0.0)
    }

    /// The point at a place along a course and a level in millimetres.
    fn at(&self, along: f64, level: f64) -> Point {
        if self.angle == 0.0 {
            return (along * self.unit, -level);
        }
        let turn = if self.angle > 6.0 { 0.0 } else { -self.angle / 2.0 };
        let phi = turn + self.angle * along;
        (-level * phi.sin(), -level * phi.cos())
    }

    /// A place so many stitch widths further on than `along`, at a level.
    fn on(&self, along: f64, widths: f64, level: f64) -> f64 {
        if self.angle == 0.0 {
            along + widths
        } else {
            along + widths * self.unit / (self.angle * level.max(0.1))
        }
    }
}

/// Room between a row's heads and the feet of the next, in stitch widths.
const CLEAR: f64 = 0.30;

/// Height of a row in stitch widths.
fn high(row: &Row) -> f64 {
    let tall = row.slots.iter().map(|s| symbols::height(s.kind)).fold(0.55, f64::max);
    if row.shape == CourseShape::Foundation { 0.55 + CLEAR } else { tall + CLEAR }
}

struct Painter {
    plane: Plane,
    rows_of: BTreeMap<u32, usize>,
    out: Vec<Mark>,
}

impl Painter {
    fn row(&mut self, i: usize, row: &Row) {
        let mut last_at = None;
        for slot in &row.slots {
            if slot.riser {
                last_at = self.plane.along.get(&slot.stitch).copied();
                self.column(i, row, last_at);
                continue;
            }
            self.slot(i, row, slot);
            last_at = self.plane.along.get(&slot.stitch).copied();
        }
        let riser = row.slots.first().is_some_and(|s| s.riser);
        if row.rise > 0 && !riser {
            let first = self.first_along(row).map(|a| self.before(row, i, a, 1.0));
            self.column(i, row, first);
        }
        if let (true, Some(last)) = (row.joined, last_at) {
            let level = self.plane.level(i + 1);
            let at = self.after(row, i, last, 0.75);
            let (head, foot) = (self.plane.at(at, level), self.plane.at(at, level - 0.4));
            let unit = self.plane.unit;
            let place = Place { feet: vec![foot], head, unit, loops: Loop::Both };
            self.out.extend(symbols::draw(Kind::SL_ST, &place));
        }
        self.number(i, row);
    }

    /// Where a row begins: at its first stitch, or on straight charts at the outermost of that
    /// stitch's feet, so that what stands before it does not stand on its legs.
    fn first_along(&self, row: &Row) -> Option<f64> {
        let first = row.slots.first()?;
        let own = self.plane.along.get(&first.stitch).copied()?;
        if self.plane.angle > 0.0 {
            return Some(own);
        }
        let feet = first.feet.iter().filter_map(|f| self.plane.along.get(f).copied());
        Some(if row.wrong_side { feet.fold(own, f64::min) } else { feet.fold(own, f64::max) })
    }

    /// Further back than the beginning of a row, against its direction.
    fn before(&self, row: &Row, i: usize, along: f64, widths: f64) -> f64 {
        self.after(row, i, along, -widths)
    }

    fn after(&self, row: &Row, i: usize, along: f64, widths: f64) -> f64 {
        let way = match (self.plane.angle > 0.0, row.wrong_side) {
            (true, _) | (false, true) => 1.0,
            (false, false) => -1.0,
        };
        self.plane.on(along, widths * way, self.plane.level(i + 1))
    }

    fn slot(&mut self, i: usize, row: &Row, slot: &Slot) {
        let Some(along) = self.plane.along.get(&slot.stitch).copied() else { return };
        let (low, top) = (self.plane.level(i), self.plane.level(i + 1));
        let inward = top < low && self.plane.angle > 0.0;
        // Where a ring lies further out than its stitches are tall, they are drawn longer, so
        // that heads and the feet on them still meet.
        let stretch = ((top - low).abs() / self.plane.unit - CLEAR) / (high(row) - CLEAR);
        let tall = symbols::height(slot.kind) * self.plane.unit * stretch;
        let clear = 0.5 * CLEAR * self.plane.unit;
        // A chain between two stitches leads from head to head.
        let lift = if slot.kind.base == Base::Ch && row.shape != CourseShape::Foundation {
            (high(row) - CLEAR) * self.plane.unit * stretch - tall
        } else {
            0.0
        };
        let (foot_level, head_level) = if slot.on_top {
            (top, top + 0.9 * self.plane.unit)
        } else if inward {
            (low - clear - lift, low - clear - lift - tall)
        } else {
            (low + clear + lift, low + clear + lift + tall)
        };
        let mut feet: Vec<Point> = Vec::new();
        for foot in &slot.feet {
            let Some(at) = self.plane.along.get(foot).copied() else { continue };
            // A spike reaches down to the top of the row it stands on.
            let row = self.rows_of.get(foot).copied().filter(|r| *r + 1 < i);
            let level = row.map_or(foot_level, |r| self.plane.level(r + 1) - clear);
            feet.push(self.plane.at(at, level));
        }
        if feet.is_empty() {
            feet.push(self.plane.at(along, foot_level));
        }
        let place = Place {
            feet,
            head: self.plane.at(along, head_level),
            unit: self.plane.unit,
            loops: slot.loops,
        };
        self.out.extend(symbols::draw(slot.kind, &place));
    }

    /// The column of chains at a row's beginning, as tall as the row.
    fn column(&mut self, i: usize, row: &Row, along: Option<f64>) {
        let Some(along) = along else { return };
        let (low, top) = (self.plane.level(i), self.plane.level(i + 1));
        let n = f64::from(row.rise.max(1));
        for k in 0..row.rise {
            let t = (f64::from(k) + 0.5) / n;
            let (a, b) = (low + (top - low) * (t - 0.3 / n), low + (top - low) * (t + 0.3 / n));
            let (foot, head) = (self.plane.at(along, a), self.plane.at(along, b));
            // Rising chains lie along the way up: their long side is turned.
            let mid = symbols::between(foot, head, 0.5);
            let away = self.plane.on(along, 0.2, (low + top) / 2.0);
            let across = self.plane.at(away, (low + top) / 2.0);
            let side = (
                across.0 - self.plane.at(along, (low + top) / 2.0).0,
                across.1 - self.plane.at(along, (low + top) / 2.0).1,
            );
            let feet = vec![(mid.0 - side.0, mid.1 - side.1)];
            let unit = (self.plane.unit * 0.9).min((top - low).abs() / n * 1.15);
            let place =
                Place { feet, head: (mid.0 + side.0, mid.1 + side.1), unit, loops: Loop::Both };
            self.out.extend(symbols::draw(Kind::CH, &place));
        }
    }

    /// The row's number at its beginning, with an arrow where rows go to and fro.
    fn number(&mut self, i: usize, row: &Row) {
        let Some(first) = self.first_along(row).filter(|_| !row.label.is_empty()) else { return };
        let (low, top) = (self.plane.level(i), self.plane.level(i + 1));
        let riser = row.slots.first().is_some_and(|s| s.riser);
        let back = if row.rise > 0 && !riser { 2.0 } else { 1.1 };
        let at = self.before(row, i, first, back);
        let (x, y) = self.plane.at(at, (low + top) / 2.0);
        let label = |anchor| words((x, y + 1.0), row.label.as_str(), 7.5, anchor).strong();
        if self.plane.angle > 0.0 {
            let anchor = if self.plane.angle > 6.0 { Anchor::Middle } else { Anchor::Start };
            self.out.push(Mark::Label(label(anchor)));
            return;
        }
        let way = if row.wrong_side { 1.0 } else { -1.0 };
        let anchor = if row.wrong_side { Anchor::End } else { Anchor::Start };
        self.out.push(Mark::Label(label(anchor)));
        if row.shape == CourseShape::Row {
            let tail = x - way * (room_for(&row.label, 7.5) + 5.2);
            self.arrow((tail, y), (tail + way * 3.6, y));
        }
    }

    fn arrow(&mut self, from: Point, to: Point) {
        let way = (to.0 - from.0).signum();
        self.out.push(line(from, to, line_of(FINE, Ink::Text)));
        self.out.push(line((to.0 - way * 1.2, to.1 - 0.8), to, line_of(FINE, Ink::Text)));
        self.out.push(line((to.0 - way * 1.2, to.1 + 0.8), to, line_of(FINE, Ink::Text)));
    }

    /// The ring that the first round stands in.
    fn ring_mark(&mut self, rows: &[Row]) {
        if self.plane.angle > 6.0 && rows.first().is_some_and(|r| r.in_ring) {
            let r = (self.plane.level(0) * 0.8).min(2.2 * self.plane.unit);
            self.out.push(circle(0.0, 0.0, r, line_of(0.3, Ink::Text)));
        }
    }

    /// A filled triangle where the work begins, pointing at the first stitch.
    fn start_mark(&mut self, rows: &[Row]) {
        let Some((row, first)) = rows.first().and_then(|r| Some((r, self.first_along(r)?))) else {
            return;
        };
        let middle = (self.plane.level(0) + self.plane.level(1)) / 2.0;
        let (at, to) = if row.label.is_empty() {
            // Before the first chain, in the direction of work.
            let at = self.plane.at(self.before(row, 0, first, 1.0), middle);
            (at, self.plane.at(first, middle))
        } else if self.plane.angle > 6.0 && row.in_ring {
            ((0.0, 0.35 * self.plane.unit), (0.0, -1.0))
        } else if self.plane.angle == 0.0 {
            // Beyond the number, in the direction of work.
            let back = if row.rise > 0 { 2.0 } else { 1.1 };
            let clear = (room_for(&row.label, 7.5) + 9.0) / self.plane.unit;
            let at = self.plane.at(self.before(row, 0, first, back + clear), middle);
            (at, self.plane.at(first, middle))
        } else {
            // Under the first stitch.
            let inward = self.plane.level(1) < self.plane.level(0);
            let under = self.plane.unit * if inward { 0.9 } else { -0.9 };
            let low = self.plane.level(0);
            (self.plane.at(first, low + under), self.plane.at(first, low))
        };
        let (dx, dy) = (to.0 - at.0, to.1 - at.1);
        let long = dx.hypot(dy).max(1e-6);
        let (ux, uy) = (dx / long, dy / long);
        let s = 0.42 * self.plane.unit;
        let corner = |up: f64, side: f64| {
            (at.0 + s * (up * ux - side * uy), at.1 + s * (up * uy + side * ux))
        };
        let (a, b, c) = (corner(0.9, 0.0), corner(-0.7, 0.8), corner(-0.7, -0.8));
        let segments = vec![
            Segment::Move(a.0, a.1),
            Segment::Line(b.0, b.1),
            Segment::Line(c.0, c.1),
            Segment::Close,
        ];
        self.out.push(filled(segments, Ink::Text));
    }

    /// A bracket under one repeat of a straight chart.
    fn repeat_mark(&mut self, rows: &[Row], shape: &Shape) {
        let Shape::Straight { repeats, shown } = *shape else { return };
        if repeats <= shown {
            return;
        }
        // Under the lowest row, from half way to its stitch before to half way to the next.
        let Some(row) = rows.first() else { return };
        let along = |s: &Slot| self.plane.along.get(&s.stitch).map(|a| a * self.plane.unit);
        let all: Vec<f64> = row.slots.iter().filter_map(along).collect();
        let apart = all.windows(2).map(|w| (w[1] - w[0]).abs()).fold(self.plane.unit, f64::max);
        let xs = all.iter().copied().take(all.len() / shown);
        let left = xs.clone().fold(f64::INFINITY, f64::min) - 0.45 * apart;
        let right = xs.fold(f64::NEG_INFINITY, f64::max) + 0.45 * apart;
        let y = 3.4;
        for (a, b) in
            [((left, y - 1.2), (left, y)), ((left, y), (right, y)), ((right, y), (right, y - 1.2))]
        {
            self.out.push(line(a, b, line_of(0.35, Ink::Text)));
        }
        let said = format!("\u{d7} {repeats}");
        let label = words(((left + right) / 2.0, y + 3.4), said, 8.0, Anchor::Middle);
        self.out.push(Mark::Label(label.strong()));
    }
}

/// Marks moved so that they lie at the origin, with the size they take.
fn framed(marks: Vec<Mark>) -> Drawing {
    const EDGE: f64 = 1.0;
    let (mut x0, mut y0, mut x1, mut y1) =
        (f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY);
    let mut see = |x: f64, y: f64| {
        (x0, y0, x1, y1) = (x0.min(x), y0.min(y), x1.max(x), y1.max(y));
    };
    for mark in &marks {
        match mark {
            Mark::Path(p) => see_path(p, &mut see),
            Mark::Label(l) => see_label(l, &mut see),
        }
    }
    if marks.is_empty() {
        return Drawing::default();
    }
    let mut out =
        Drawing { width: x1 - x0 + 2.0 * EDGE, height: y1 - y0 + 2.0 * EDGE, marks: Vec::new() };
    out.place(&Drawing { marks, ..Drawing::default() }, EDGE - x0, EDGE - y0);
    out
}

fn see_path(path: &Path, see: &mut impl FnMut(f64, f64)) {
    for segment in &path.segments {
        match *segment {
            Segment::Move(x, y) | Segment::Line(x, y) => see(x, y),
            Segment::Curve([a, b, c, d, x, y]) => {
                see((a + c) / 2.0, (b + d) / 2.0);
                see(x, y);
            }
            Segment::Close => {}
        }
    }
}

fn see_label(label: &Label, see: &mut impl FnMut(f64, f64)) {
    let wide = room_for(&label.text, label.size);
    let from = match label.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -wide / 2.0,
        Anchor::End => -wide,
    };
    see(label.at.0 + from, label.at.1 - 2.6);
    see(label.at.0 + from + wide, label.at.1 + 0.6);
}
