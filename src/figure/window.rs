//! The gauge window: an opening to lay over a swatch and count through.

use super::check;
use super::pen::{CUT, FINE, INCH, dashed, line, line_of, rect, words};
use super::{Anchor, Drawing, Ink};

/// Side of the opening in millimetres: 10 cm.
pub const OPENING: f64 = 100.0;
/// Side of the inch opening in millimetres: 4 in, 1.6 mm more than 10 cm.
pub const INCH_OPENING: f64 = 4.0 * INCH;

/// Room for ticks and numbers round the opening, in millimetres.
const EDGE: f64 = 14.0;
/// Ticks keep this far from the cutting line, so that the line can be cut cleanly.
const CLEAR: f64 = 0.7;

/// A 10 cm opening (whole line) that grows to 4 in (broken line), with a centimetre ruler
/// along its top and left edge and an inch ruler along its bottom and right edge; beside it
/// the check squares. All at true scale.
pub fn gauge_window() -> Drawing {
    let squares = check::squares_stacked();
    let frame = INCH_OPENING + 2.0 * EDGE;
    let mut d = Drawing { width: frame + 6.0 + squares.width, height: frame, marks: Vec::new() };
    d.add(rect(0.2, 0.2, frame - 0.4, frame - 0.4, line_of(CUT, Ink::Text)));
    opening(&mut d);
    for i in 0..=100_u8 {
        centimetre_tick(&mut d, i);
    }
    for i in 0..=32_u8 {
        inch_tick(&mut d, i);
    }
    let middle = EDGE + OPENING / 2.0;
    d.say(words((middle, middle - 10.0), "Cut out along the whole line", 10.0, Anchor::Middle));
    d.say(words((middle, middle - 3.0), "for 10\u{a0}cm,", 10.0, Anchor::Middle).strong());
    d.say(words((middle, middle + 5.0), "or along the broken line", 10.0, Anchor::Middle));
    d.say(words((middle, middle + 12.0), "for 4\u{a0}in.", 10.0, Anchor::Middle).strong());
    d.place(&squares, frame + 6.0, (frame - squares.height) / 2.0);
    d
}

/// What the gauge window shows, for who cannot see it.
pub fn alt() -> String {
    format!(
        "Gauge window at true size: a frame to cut out with a square opening 10 cm a side, or 4 in \
         when cut along the broken line. Rulers run along the opening: centimetres and \
         millimetres at its top and left, inches and eighths at its bottom and right. {}",
        check::ALT
    )
}

fn opening(d: &mut Drawing) {
    let (a, far) = (EDGE, EDGE + INCH_OPENING);
    d.add(rect(a, a, OPENING, OPENING, line_of(CUT, Ink::Text)));
    let broken = || dashed(0.35, 2.4, 1.4, Ink::Text);
    d.add(line((far, a), (far, far), broken()));
    d.add(line((a, far), (far, far), broken()));
}

fn centimetre_tick(d: &mut Drawing, millimetre: u8) {
    let along = EDGE + f64::from(millimetre);
    let (long, number) = match (millimetre % 10, millimetre % 5) {
        (0, _) => (4.5, true),
        (_, 0) => (3.0, false),
        _ => (1.8, false),
    };
    let (near, end) = (EDGE - CLEAR, EDGE - CLEAR - long);
    d.add(line((along, near), (along, end), line_of(FINE, Ink::Text)));
    d.add(line((near, along), (end, along), line_of(FINE, Ink::Text)));
    if number {
        let text =
            if millimetre == 0 { "0\u{a0}cm".into() } else { format!("{}", millimetre / 10) };
        d.say(words((along, end - 1.2), text.as_str(), 8.0, Anchor::Middle));
        if millimetre > 0 {
            d.say(words((end - 1.0, along + 1.0), text, 8.0, Anchor::End));
        }
    }
}

fn inch_tick(d: &mut Drawing, eighth: u8) {
    let along = EDGE + f64::from(eighth) * INCH / 8.0;
    let long = match (eighth % 8, eighth % 4, eighth % 2) {
        (0, _, _) => 4.5,
        (_, 0, _) => 3.4,
        (_, _, 0) => 2.4,
        _ => 1.6,
    };
    let near = EDGE + INCH_OPENING + CLEAR;
    let end = near + long;
    d.add(line((along, near), (along, end), line_of(FINE, Ink::Text)));
    d.add(line((near, along), (end, along), line_of(FINE, Ink::Text)));
    if eighth.is_multiple_of(8) {
        let text = if eighth == 0 { "0\u{a0}in".into() } else { format!("{}", eighth / 8) };
        d.say(words((along, end + 3.6), text.as_str(), 8.0, Anchor::Middle));
        if eighth > 0 {
            d.say(words((end + 1.0, along + 1.0), text, 8.0, Anchor::Start));
        }
    }
}
