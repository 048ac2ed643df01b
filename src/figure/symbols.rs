//! Stitch symbols of the international charts, drawn our own way.
//!
//! Shapes: an open oval for a chain, a dot for a slip stitch, a cross for a single crochet,
//! an upright with a bar on top for taller stitches, one slash on it for each yarn over
//! beyond the first; feet that meet for an increase, heads that meet for a decrease; a
//! curled foot for a post stitch, an arc under the foot for one loop only. The symbols are
//! those of JIS L 0201 and of the Craft Yarn Council; proportions are not standardised.

use super::pen::{circle_segments, ellipse_segments, filled, line, line_of, stroked, words};
use super::{Anchor, Ink, Mark, Segment};
use crate::fabric::Loop;
use crate::standards::stitches::{Base, Form, Kind, Post};

/// A point in millimetres.
pub(super) type Point = (f64, f64);

/// Where and how one symbol is drawn.
#[derive(Clone, Debug)]
pub(super) struct Place {
    /// Feet: one, or one for each stitch drawn together.
    pub feet: Vec<Point>,
    /// Top of the stitch.
    pub head: Point,
    /// Width of one stitch.
    pub unit: f64,
    /// Which loop it is worked through, as seen from the right side.
    pub loops: Loop,
}

/// Height of a symbol in widths of a stitch.
pub(super) fn height(kind: Kind) -> f64 {
    let base: f64 = match kind.base {
        Base::Ch => 0.55,
        Base::SlSt => 0.5,
        Base::Sc | Base::Picot => 1.0,
        Base::Hdc | Base::Puff => 1.6,
        Base::Dc | Base::Cluster | Base::Bobble | Base::Popcorn | Base::Special(_) => 2.1,
        Base::Tr => 2.7,
        Base::Dtr => 3.3,
        Base::Trtr => 3.9,
    };
    base + if kind.form == Form::Extended { 0.4 } else { 0.0 }
}

/// The marks of one stitch.
pub(super) fn draw(kind: Kind, place: &Place) -> Vec<Mark> {
    let mut pen = Pen::new(place);
    match kind.base {
        Base::Ch => pen.chain(),
        Base::SlSt => pen.dot(pen.head, 0.17),
        Base::Sc => pen.single(kind),
        Base::Hdc => pen.tall(0),
        Base::Dc => pen.tall(1),
        Base::Tr => pen.tall(2),
        Base::Dtr => pen.tall(3),
        Base::Trtr => pen.tall(4),
        Base::Puff => pen.belly(3, 0),
        Base::Cluster => pen.belly(3, 1),
        Base::Bobble => pen.belly(5, 1),
        Base::Popcorn => pen.popcorn(),
        Base::Picot => pen.picot(),
        Base::Special(i) => pen.special(i),
    }
    pen.foot_marks(kind, place.loops);
    pen.marks
}

/// Draws in the stitch's own directions: `up` from foot to head, `side` across it.
struct Pen {
    feet: Vec<Point>,
    head: Point,
    unit: f64,
    up: Point,
    side: Point,
    marks: Vec<Mark>,
}

const LINE: f64 = 0.28;

impl Pen {
    fn new(place: &Place) -> Pen {
        let feet = if place.feet.is_empty() {
            vec![(place.head.0, place.head.1 + place.unit)]
        } else {
            place.feet.clone()
        };
        let foot = middle(&feet);
        let (dx, dy) = (place.head.0 - foot.0, place.head.1 - foot.1);
        let long = dx.hypot(dy);
        let up = if long > 1e-6 { (dx / long, dy / long) } else { (0.0, -1.0) };
        let side = (-up.1, up.0);
        Pen { feet, head: place.head, unit: place.unit, up, side, marks: Vec::new() }
    }

    /// The point at `up` and `side` stitch widths from `from`.
    fn at(&self, from: Point, up: f64, side: f64) -> Point {
        let (u, s) = (up * self.unit, side * self.unit);
        (from.0 + u * self.up.0 + s * self.side.0, from.1 + u * self.up.1 + s * self.side.1)
    }

    fn line(&mut self, a: Point, b: Point) {
        self.marks.push(line(a, b, line_of(LINE, Ink::Text)));
    }

    fn curve(&mut self, a: Point, c: Point, d: Point, b: Point) {
        let way = vec![Segment::Move(a.0, a.1), Segment::Curve([c.0, c.1, d.0, d.1, b.0, b.1])];
        self.marks.push(stroked(way, line_of(LINE, Ink::Text)));
    }

    fn dot(&mut self, at: Point, radius: f64) {
        self.marks.push(filled(circle_segments(at.0, at.1, radius * self.unit), Ink::Text));
    }

    fn oval(&mut self, at: Point, long: f64, wide: f64) {
        let turn = self.side.1.atan2(self.side.0);
        let way = ellipse_segments(at.0, at.1, long * self.unit, wide * self.unit, turn);
        self.marks.push(stroked(way, line_of(LINE, Ink::Text)));
    }

    fn chain(&mut self) {
        let foot = middle(&self.feet);
        let at = ((foot.0 + self.head.0) / 2.0, (foot.1 + self.head.1) / 2.0);
        self.oval(at, 0.42, 0.20);
    }

    fn single(&mut self, kind: Kind) {
        if self.feet.len() > 1 {
            // Legs that meet at the top, a short bar across each.
            for foot in self.feet.clone() {
                self.line(foot, self.head);
                let on = between(foot, self.head, 0.45);
                self.line(self.at(on, 0.0, -0.22), self.at(on, 0.0, 0.22));
            }
            return;
        }
        let foot = self.feet.first().copied().unwrap_or(self.head);
        let long = distance(foot, self.head);
        let mid = if kind.form == Form::Spike || long > 2.4 * self.unit {
            // A spike: the leg shows how deep it goes.
            self.line(foot, self.head);
            self.at(self.head, -0.5, 0.0)
        } else {
            between(foot, self.head, 0.5)
        };
        self.line(self.at(mid, -0.38, 0.0), self.at(mid, 0.38, 0.0));
        self.line(self.at(mid, 0.0, -0.36), self.at(mid, 0.0, 0.36));
        if kind.form == Form::Reverse {
            let (a, b) = (self.at(mid, 0.55, -0.4), self.at(mid, 0.55, 0.4));
            let (c, d) = (self.at(mid, 0.95, -0.1), self.at(mid, 0.15, 0.1));
            self.curve(a, c, d, b);
        }
    }

    fn tall(&mut self, slashes: u8) {
        for foot in self.feet.clone() {
            self.line(foot, self.head);
            self.slashes(foot, slashes);
        }
        self.line(self.at(self.head, 0.0, -0.36), self.at(self.head, 0.0, 0.36));
    }

    /// One slash for each yarn over beyond the first, about the middle of the leg.
    fn slashes(&mut self, foot: Point, count: u8) {
        for i in 0..count {
            let t = 0.52 + 0.17 * (f64::from(i) - f64::from(count - 1) / 2.0);
            let on = between(foot, self.head, t);
            self.line(self.at(on, -0.13, -0.26), self.at(on, 0.13, 0.26));
        }
    }

    /// Legs that share foot and head and belly out between.
    fn belly(&mut self, legs: u8, slashes: u8) {
        let foot = middle(&self.feet);
        for i in 0..legs {
            let side = 1.1 * (f64::from(i) / f64::from(legs - 1) - 0.5);
            let low = shifted(between(foot, self.head, 0.25), self.at((0.0, 0.0), 0.0, side));
            let high = shifted(between(foot, self.head, 0.75), self.at((0.0, 0.0), 0.0, side));
            self.curve(foot, low, high, self.head);
            if slashes > 0 {
                let out = self.at((0.0, 0.0), 0.0, 0.75 * side);
                let on = shifted(between(foot, self.head, 0.5), out);
                self.line(self.at(on, -0.10, -0.16), self.at(on, 0.10, 0.16));
            }
        }
        self.line(self.at(self.head, 0.0, -0.30), self.at(self.head, 0.0, 0.30));
    }

    fn popcorn(&mut self) {
        self.belly(5, 1);
        self.oval(self.at(self.head, 0.18, 0.0), 0.36, 0.16);
    }

    fn picot(&mut self) {
        let foot = middle(&self.feet);
        self.oval(self.at(foot, 0.35, -0.32), 0.20, 0.13);
        self.oval(self.at(foot, 0.72, 0.0), 0.20, 0.13);
        self.oval(self.at(foot, 0.35, 0.32), 0.20, 0.13);
        self.dot(self.at(foot, 0.08, 0.0), 0.12);
    }

    /// A stitch of the design's own: a diamond with its number in the key.
    fn special(&mut self, i: u8) {
        let foot = middle(&self.feet);
        let mid = between(foot, self.head, 0.5);
        let corners = [(0.62, 0.0), (0.0, 0.42), (-0.62, 0.0), (0.0, -0.42)];
        let mut way = Vec::new();
        for (n, (up, side)) in corners.iter().enumerate() {
            let p = self.at(mid, *up, *side);
            way.push(if n == 0 { Segment::Move(p.0, p.1) } else { Segment::Line(p.0, p.1) });
        }
        way.push(Segment::Close);
        self.marks.push(stroked(way, line_of(LINE, Ink::Text)));
        let label =
            words((mid.0, mid.1 + 0.9), format!("{}", u32::from(i) + 1), 6.5, Anchor::Middle);
        self.marks.push(Mark::Label(label));
    }

    fn foot_marks(&mut self, kind: Kind, loops: Loop) {
        for foot in self.feet.clone() {
            match kind.post {
                Post::Front => self.hook(foot, 1.0),
                Post::Back => self.hook(foot, -1.0),
                Post::No => {}
            }
            match loops {
                Loop::Back => self.cap(foot, 1.0),
                Loop::Front => self.cap(foot, -1.0),
                Loop::Third | Loop::Bump => {
                    self.line(self.at(foot, -0.12, -0.26), self.at(foot, -0.12, 0.26));
                }
                Loop::Both => {}
            }
            match kind.form {
                Form::Foundation => self.oval(self.at(foot, -0.05, 0.0), 0.30, 0.15),
                Form::Extended => {
                    self.line(self.at(foot, 0.22, -0.20), self.at(foot, 0.22, 0.20));
                }
                _ => {}
            }
        }
    }

    /// The curled foot of a post stitch: to the right from the front, to the left from the
    /// back, as seen with the head upwards.
    fn hook(&mut self, foot: Point, way: f64) {
        let (a, b) = (self.at(foot, 0.0, 0.0), self.at(foot, 0.14, 0.42 * way));
        let (c, d) = (self.at(foot, -0.30, 0.02 * way), self.at(foot, -0.32, 0.46 * way));
        self.curve(a, c, d, b);
    }

    /// The low arc of one loop: a cap opening downwards for the back loop, a cup for the
    /// front loop.
    fn cap(&mut self, foot: Point, way: f64) {
        let (ends, rise) = (-0.12 - 0.10 * way, -0.12 + 0.14 * way);
        let (a, b) = (self.at(foot, ends, -0.32), self.at(foot, ends, 0.32));
        let (c, d) = (self.at(foot, rise, -0.18), self.at(foot, rise, 0.18));
        self.curve(a, c, d, b);
    }
}

pub(super) fn middle(points: &[Point]) -> Point {
    let n = f64::from(u32::try_from(points.len().max(1)).unwrap_or(1));
    let sum = points.iter().fold((0.0, 0.0), |s, p| (s.0 + p.0, s.1 + p.1));
    (sum.0 / n, sum.1 / n)
}

pub(super) fn between(a: Point, b: Point, t: f64) -> Point {
    (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t)
}

fn shifted(a: Point, by: Point) -> Point {
    (a.0 + by.0, a.1 + by.1)
}

fn distance(a: Point, b: Point) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}
