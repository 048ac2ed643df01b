//! Check squares: printed beside every true-scale drawing, so that a buyer can see with any
//! ruler whether the printer kept the size.

use super::pen::{CUT, INCH, dashed, line_of, rect, words};
use super::{Anchor, Drawing, Ink, Stroke};

/// Side of the metric check square in millimetres.
pub const METRIC_SIDE: f64 = 50.0;
/// Side of the inch check square in millimetres: 2 in.
pub const INCH_SIDE: f64 = 2.0 * INCH;

/// Gap between the two squares in millimetres.
const GAP: f64 = 6.0;

/// The two check squares side by side: 5 cm with a whole line, 2 in with a broken one, so
/// that they are told apart without colour. Sides are measured at the middle of the line.
pub fn squares() -> Drawing {
    let (metric, inch) = (metric(), inch());
    let across = metric.width - CUT + GAP;
    let mut d = Drawing { width: across + inch.width, height: inch.height, marks: Vec::new() };
    d.place(&metric, 0.0, 0.0);
    d.place(&inch, across, 0.0);
    d
}

/// The two check squares one above the other.
pub fn squares_stacked() -> Drawing {
    let (metric, inch) = (metric(), inch());
    let down = metric.height - CUT + GAP;
    let mut d = Drawing { width: inch.width, height: down + inch.height, marks: Vec::new() };
    d.place(&metric, 0.0, 0.0);
    d.place(&inch, 0.0, down);
    d
}

/// What the squares are for, to be joined to the drawing's own words.
pub(super) const ALT: &str = "Beside it stand two squares to check the printed size: \
    one with a whole line measures 5 cm a side, one with a broken line 2 inches a side.";

/// The square with a whole line.
pub(super) fn metric() -> Drawing {
    square(METRIC_SIDE, line_of(CUT, Ink::Text), "5\u{a0}cm")
}

/// The square with a broken line.
pub(super) fn inch() -> Drawing {
    square(INCH_SIDE, dashed(CUT, 3.0, 1.2, Ink::Text), "2\u{a0}in")
}

fn square(side: f64, stroke: Stroke, said: &str) -> Drawing {
    let whole = side + CUT;
    let mut d = Drawing { width: whole, height: whole, marks: Vec::new() };
    d.add(rect(CUT / 2.0, CUT / 2.0, side, side, stroke));
    explain(&mut d, whole / 2.0, whole / 2.0, said);
    d
}

fn explain(d: &mut Drawing, cx: f64, cy: f64, side: &str) {
    d.say(words((cx, cy - 2.0), side, 14.0, Anchor::Middle).strong());
    d.say(words((cx, cy + 4.0), "each side, on paper.", 8.0, Anchor::Middle));
    d.say(words((cx, cy + 8.0), "If not: print at 100 %.", 8.0, Anchor::Middle));
}
