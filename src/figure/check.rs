//! Check squares: printed beside every true-scale drawing, so that a buyer can see with any
//! ruler whether the printer kept the size.

use super::pen::{CUT, INCH, dashed, line_of, rect, words};
use super::{Anchor, Drawing, Ink};

/// Side of the metric check square in millimetres.
pub const METRIC_SIDE: f64 = 50.0;
/// Side of the inch check square in millimetres: 2 in.
pub const INCH_SIDE: f64 = 2.0 * INCH;

/// Gap between the two squares in millimetres.
const GAP: f64 = 6.0;

/// The two check squares side by side: 5 cm with a whole line, 2 in with a broken one, so
/// that they are told apart without colour. Sides are measured at the middle of the line.
pub fn squares() -> Drawing {
    let edge = CUT / 2.0;
    let mut d = Drawing {
        width: METRIC_SIDE + GAP + INCH_SIDE + CUT,
        height: INCH_SIDE + CUT,
        marks: Vec::new(),
    };
    put_metric(&mut d, edge, edge);
    put_inch(&mut d, edge + METRIC_SIDE + GAP, edge);
    d
}

/// The two check squares one above the other.
pub fn squares_stacked() -> Drawing {
    let edge = CUT / 2.0;
    let mut d = Drawing {
        width: INCH_SIDE + CUT,
        height: METRIC_SIDE + GAP + INCH_SIDE + CUT,
        marks: Vec::new(),
    };
    put_metric(&mut d, edge, edge);
    put_inch(&mut d, edge, edge + METRIC_SIDE + GAP);
    d
}

/// What the squares are for, to be joined to the drawing's own words.
pub(super) const ALT: &str = "Beside it stand two squares to check the printed size: \
    one with a whole line measures 5 cm a side, one with a broken line 2 inches a side.";

fn put_metric(d: &mut Drawing, x: f64, y: f64) {
    d.add(rect(x, y, METRIC_SIDE, METRIC_SIDE, line_of(CUT, Ink::Text)));
    explain(d, x + METRIC_SIDE / 2.0, y + METRIC_SIDE / 2.0, "5\u{a0}cm");
}

fn put_inch(d: &mut Drawing, x: f64, y: f64) {
    d.add(rect(x, y, INCH_SIDE, INCH_SIDE, dashed(CUT, 3.0, 1.2, Ink::Text)));
    explain(d, x + INCH_SIDE / 2.0, y + INCH_SIDE / 2.0, "2\u{a0}in");
}

fn explain(d: &mut Drawing, cx: f64, cy: f64, side: &str) {
    d.say(words((cx, cy - 2.0), side, 14.0, Anchor::Middle).strong());
    d.say(words((cx, cy + 4.0), "each side, on paper.", 8.0, Anchor::Middle));
    d.say(words((cx, cy + 8.0), "If not: print at 100 %.", 8.0, Anchor::Middle));
}
