//! A measuring tape for heads, in strips to glue together.

use super::check;
use super::pen::{CUT, FINE, INCH, dashed, line, line_of, rect, words};
use super::{Anchor, Drawing, Ink};

/// Whole length of the joined tape in millimetres: larger than the largest head in the
/// published tables (64 cm), with a little to hold.
pub const LENGTH: f64 = 660.0;
/// How many strips.
pub const STRIPS: u8 = 4;
/// What one strip measures in millimetres.
pub const STRIP: f64 = 165.0;

const WIDTH: f64 = 24.0;
const TAB: f64 = 10.0;
const GAP: f64 = 4.0;
const TOP: f64 = 3.0;

/// Four upright strips that join to a tape of 66 cm, with centimetres along the left edge
/// and half inches along the right; the first three end in a tab to glue the next strip on.
/// Beside them the check squares. All at true scale.
pub fn head_tape() -> Drawing {
    let squares = check::squares_stacked();
    let strips = f64::from(STRIPS) * (WIDTH + GAP);
    let mut d = Drawing {
        width: strips + 2.0 + squares.width,
        height: TOP + STRIP + TAB + 0.4,
        marks: Vec::new(),
    };
    for n in 0..STRIPS {
        strip(&mut d, n);
    }
    d.place(&squares, strips + 2.0, TOP);
    let x = strips + 2.0;
    for (i, said) in (0_u8..).zip(how_to()) {
        let y = TOP + squares.height + 10.0 + 4.4 * f64::from(i);
        d.say(words((x, y), said, 8.0, Anchor::Start));
    }
    d
}

/// What the tape shows, for who cannot see it.
pub fn alt() -> String {
    format!(
        "Head tape at true size: {STRIPS} strips to cut out, lettered A to D, that join end to end \
         to measure 66 cm (26 in). Each has centimetres along its left edge and half inches along \
         its right; a tab at the end of each strip but the last goes under the next. {}",
        check::ALT
    )
}

fn how_to() -> [&'static str; 5] {
    [
        "Cut out the four strips.",
        "Glue B over the tab of A,",
        "C over B's and D over C's,",
        "so that the lines meet.",
        "Measure round the brow.",
    ]
}

fn strip(d: &mut Drawing, n: u8) {
    let x = f64::from(n) * (WIDTH + GAP) + CUT / 2.0;
    let last = n + 1 == STRIPS;
    let long = if last { STRIP } else { STRIP + TAB };
    d.add(rect(x, TOP, WIDTH, long, line_of(CUT, Ink::Text)));
    let letter = char::from(b'A' + n);
    let middle = x + WIDTH / 2.0;
    d.say(words((middle, TOP + 81.0), letter.to_string(), 13.0, Anchor::Middle).strong());
    if n == 0 {
        d.say(words((middle, TOP + 6.0), "cm | in", 7.0, Anchor::Middle));
    }
    if !last {
        let y = TOP + STRIP;
        d.add(line((x, y), (x + WIDTH, y), dashed(0.35, 1.6, 1.0, Ink::Text)));
        let next = char::from(b'A' + n + 1);
        d.say(words((middle, y + 6.2), format!("glue {next} here"), 8.0, Anchor::Middle));
    }
    centimetres(d, x, n);
    half_inches(d, x, n);
}

/// Ticks each half centimetre, numbers each whole one.
fn centimetres(d: &mut Drawing, x: f64, n: u8) {
    let start = f64::from(n) * STRIP;
    for half in 0..=(STRIP / 5.0) as u16 {
        let along = f64::from(half) * 5.0;
        let whole = (start + along) % 10.0 == 0.0;
        let long = if whole { 5.0 } else { 3.0 };
        let y = TOP + along;
        d.add(line((x, y), (x + long, y), line_of(FINE, Ink::Text)));
        let at_end = along == 0.0 || along == STRIP;
        if whole && !at_end {
            let text = format!("{:.0}", (start + along) / 10.0);
            d.say(words((x + 5.4, y + 1.1), text, 8.0, Anchor::Start));
        }
    }
}

/// Ticks each half inch, numbers each whole one.
fn half_inches(d: &mut Drawing, x: f64, n: u8) {
    let start = f64::from(n) * STRIP;
    let right = x + WIDTH;
    for half in 0..=(LENGTH / INCH * 2.0) as u16 {
        let along = f64::from(half) * INCH / 2.0 - start;
        if !(0.0..=STRIP).contains(&along) {
            continue;
        }
        let whole = half % 2 == 0;
        let long = if whole { 5.0 } else { 3.0 };
        let y = TOP + along;
        d.add(line((right, y), (right - long, y), line_of(FINE, Ink::Text)));
        if whole && (2.0..STRIP - 2.0).contains(&along) {
            d.say(words((right - 5.4, y + 1.1), format!("{}", half / 2), 8.0, Anchor::End));
        }
    }
}
