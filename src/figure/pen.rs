//! The pen: small helpers that put shapes and words into a [`Drawing`].

use super::{Anchor, Drawing, Ink, Label, Mark, Path, Segment, Stroke};
use std::f64::consts::TAU;

/// One inch in millimetres (exact: international yard and pound agreement, 1959).
pub(super) const INCH: f64 = 25.4;
/// Line width of shapes to cut along or measure with, in millimetres. Wide enough to be
/// measured on a 300 dpi scan (more than four pixels).
pub(super) const CUT: f64 = 0.4;
/// Line width of ticks and lesser lines, in millimetres.
pub(super) const FINE: f64 = 0.25;
/// One typographic point in millimetres.
pub(super) const POINT: f64 = INCH / 72.0;

/// A whole line of this width and ink.
pub(super) fn line_of(width: f64, ink: Ink) -> Stroke {
    Stroke { width, dash: Vec::new(), ink }
}

/// A broken line of this width and ink.
pub(super) fn dashed(width: f64, dash: f64, gap: f64, ink: Ink) -> Stroke {
    Stroke { width, dash: vec![dash, gap], ink }
}

/// The segments of a circle: see [`ellipse_segments`].
pub(super) fn circle_segments(cx: f64, cy: f64, r: f64) -> Vec<Segment> {
    ellipse_segments(cx, cy, r, r, 0.0)
}

/// The segments of an ellipse turned clockwise by `turn` radians: four arcs, which are
/// within 0.03 % of the true radius, or for large ones eight, within 0.0001 %.
pub(super) fn ellipse_segments(cx: f64, cy: f64, rx: f64, ry: f64, turn: f64) -> Vec<Segment> {
    /// Up to this radius in millimetres four arcs are within 0.003 mm.
    const SMALL: f64 = 10.0;
    let arcs: u32 = if rx.max(ry) <= SMALL { 4 } else { 8 };
    let step = TAU / f64::from(arcs);
    let k = 4.0 / 3.0 * (step / 4.0).tan();
    let (st, ct) = turn.sin_cos();
    let place = |x: f64, y: f64| (cx + x * rx * ct - y * ry * st, cy + x * rx * st + y * ry * ct);
    let (x0, y0) = place(1.0, 0.0);
    let mut out = vec![Segment::Move(x0, y0)];
    for i in 0..arcs {
        let (s0, c0) = (f64::from(i) * step).sin_cos();
        let (s1, c1) = (f64::from(i + 1) * step).sin_cos();
        let a = place(c0 - k * s0, s0 + k * c0);
        let b = place(c1 + k * s1, s1 - k * c1);
        let e = place(c1, s1);
        out.push(Segment::Curve([a.0, a.1, b.0, b.1, e.0, e.1]));
    }
    out.push(Segment::Close);
    out
}

/// A stroked circle.
pub(super) fn circle(cx: f64, cy: f64, r: f64, stroke: Stroke) -> Mark {
    stroked(circle_segments(cx, cy, r), stroke)
}

/// A stroked rectangle.
pub(super) fn rect(x: f64, y: f64, w: f64, h: f64, stroke: Stroke) -> Mark {
    stroked(rect_segments(x, y, w, h), stroke)
}

/// The segments of a rectangle.
pub(super) fn rect_segments(x: f64, y: f64, w: f64, h: f64) -> Vec<Segment> {
    vec![
        Segment::Move(x, y),
        Segment::Line(x + w, y),
        Segment::Line(x + w, y + h),
        Segment::Line(x, y + h),
        Segment::Close,
    ]
}

/// A straight line.
pub(super) fn line(from: (f64, f64), to: (f64, f64), stroke: Stroke) -> Mark {
    stroked(vec![Segment::Move(from.0, from.1), Segment::Line(to.0, to.1)], stroke)
}

/// A shape with a line round it.
pub(super) fn stroked(segments: Vec<Segment>, stroke: Stroke) -> Mark {
    Mark::Path(Path { segments, stroke: Some(stroke), fill: None })
}

/// A filled shape.
pub(super) fn filled(segments: Vec<Segment>, ink: Ink) -> Mark {
    Mark::Path(Path { segments, stroke: None, fill: Some(ink) })
}

/// Words at a point.
pub(super) fn words(at: (f64, f64), text: impl Into<String>, size: f64, anchor: Anchor) -> Label {
    Label { at, text: text.into(), size, anchor, ink: Ink::Text, strong: false, turn: 0.0 }
}

impl Label {
    /// The same words in the heavier weight.
    pub(super) fn strong(self) -> Label {
        Label { strong: true, ..self }
    }
}

impl Drawing {
    /// Adds a mark.
    pub(super) fn add(&mut self, mark: Mark) {
        self.marks.push(mark);
    }

    /// Adds words.
    pub(super) fn say(&mut self, label: Label) {
        self.marks.push(Mark::Label(label));
    }

    /// The same drawing as a left hand works it: right is left, words stay readable.
    pub(super) fn mirrored(mut self) -> Drawing {
        let w = self.width;
        for mark in &mut self.marks {
            match mark {
                Mark::Path(p) => p.segments.iter_mut().for_each(|s| {
                    *s = match *s {
                        Segment::Move(x, y) => Segment::Move(w - x, y),
                        Segment::Line(x, y) => Segment::Line(w - x, y),
                        Segment::Curve([a, b, c, d, e, f]) => {
                            Segment::Curve([w - a, b, w - c, d, w - e, f])
                        }
                        Segment::Close => Segment::Close,
                    };
                }),
                Mark::Label(l) => {
                    l.at.0 = w - l.at.0;
                    l.anchor = match l.anchor {
                        Anchor::Start => Anchor::End,
                        Anchor::Middle => Anchor::Middle,
                        Anchor::End => Anchor::Start,
                    };
                }
            }
        }
        self
    }

    /// Adds another drawing's marks with their origin at (`x`, `y`).
    pub(super) fn place(&mut self, other: &Drawing, x: f64, y: f64) {
        for mark in &other.marks {
            self.marks.push(moved(mark, x, y));
        }
    }
}

fn moved(mark: &Mark, dx: f64, dy: f64) -> Mark {
    match mark {
        Mark::Label(l) => Mark::Label(Label { at: (l.at.0 + dx, l.at.1 + dy), ..l.clone() }),
        Mark::Path(p) => {
            let segments = p.segments.iter().map(|s| moved_segment(*s, dx, dy)).collect();
            Mark::Path(Path { segments, ..p.clone() })
        }
    }
}

fn moved_segment(segment: Segment, dx: f64, dy: f64) -> Segment {
    match segment {
        Segment::Move(x, y) => Segment::Move(x + dx, y + dy),
        Segment::Line(x, y) => Segment::Line(x + dx, y + dy),
        Segment::Curve([a, b, c, d, e, f]) => {
            Segment::Curve([a + dx, b + dy, c + dx, d + dy, e + dx, f + dy])
        }
        Segment::Close => Segment::Close,
    }
}

/// A rough width of words in millimetres, for leaving room: figures know no font. Each kind
/// of letter takes what it takes in a wide text face, so that most faces take less.
pub(super) fn rough_width(text: &str, size: f64) -> f64 {
    let ems: f64 = text
        .chars()
        .map(|c| match c {
            ' ' | '\u{a0}' | 'i' | 'j' | 'l' | 'f' | 't' | 'r' | '.' | ',' | ':' | ';' | '\''
            | '(' | ')' | '/' | '-' => 0.36,
            'm' | 'w' | 'M' | 'W' | '%' => 0.90,
            c if c.is_uppercase() => 0.68,
            _ => 0.58,
        })
        .sum();
    ems * size * POINT
}

/// Words in lines of roughly this width in millimetres at most.
pub(super) fn wrapped(text: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if rough_width(&format!("{line} {word}"), size) <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// A length on a template for reading: centimetres to the millimetre and inches to the
/// eighth, such as `8.5 cm (3 3/8 in)`. Spaces within are no-break.
pub(super) fn both_units(mm: f64) -> String {
    format!("{}\u{a0}cm ({}\u{a0}in)", trimmed(mm / 10.0), inches(mm))
}

/// Inches to the nearest eighth in words: `3 3/8`, `1/2`, `4`.
pub(super) fn inches(mm: f64) -> String {
    let eighths = (mm / INCH * 8.0).round().max(0.0);
    let (whole, rest) = ((eighths / 8.0).floor(), eighths % 8.0);
    let part = match rest as u8 {
        1 => "1/8",
        2 => "1/4",
        3 => "3/8",
        4 => "1/2",
        5 => "5/8",
        6 => "3/4",
        7 => "7/8",
        _ => "",
    };
    match (whole > 0.0, part.is_empty()) {
        (_, true) => format!("{whole:.0}"),
        (true, false) => format!("{whole:.0}\u{a0}{part}"),
        (false, false) => part.to_owned(),
    }
}

/// A number to one decimal place, without a bare `.0`.
pub(super) fn trimmed(value: f64) -> String {
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}
