//! Hook rings: circles to measure a hook's shaft with.

use super::check;
use super::pen::{CUT, circle, line_of, trimmed, words};
use super::{Anchor, Drawing, Ink};

/// One hook size with its trade name.
#[derive(Clone, Debug, PartialEq)]
pub struct HookRing {
    /// Diameter of the shaft in millimetres.
    pub mm: f64,
    /// The US name, such as `H-8`; empty where there is none.
    pub us: String,
}

const ACROSS: usize = 6;
const CELL: (f64, f64) = (27.0, 27.0);

/// Rings of 2 to 15 mm in the order given, each labelled; others are left out. The inner
/// edge of the line stands on the shaft's diameter plus nothing: measured at the middle of
/// the line, each circle has the hook's diameter.
pub fn rings(hooks: &[HookRing]) -> Drawing {
    let shown: Vec<&HookRing> = hooks.iter().filter(|h| (2.0..=15.0).contains(&h.mm)).collect();
    let rows = shown.chunks(ACROSS).count();
    let squares = check::squares();
    let last = f64::from(u32::try_from(shown.len() % ACROSS).unwrap_or(0));
    let across = f64::from(u32::try_from(ACROSS.min(shown.len()).max(1)).unwrap_or(1));
    let width = (CELL.0 * across).max(squares.width);
    // The squares stand beside the last row if that is short, or else below it.
    let beside = last > 0.0 && rows > 1 && CELL.0 * last + squares.width <= width;
    let above = f64::from(u32::try_from(if beside { rows - 1 } else { rows }).unwrap_or(0));
    let top = CELL.1 * above + 4.0;
    let left = if beside { width - squares.width } else { (width - squares.width) / 2.0 };
    let mut d = Drawing { width, height: top + squares.height, marks: Vec::new() };
    for (y, row) in (0_u32..).zip(shown.chunks(ACROSS)) {
        for (x, hook) in (0_u32..).zip(row) {
            let at = ((f64::from(x) + 0.5) * CELL.0, f64::from(y) * CELL.1 + 8.5);
            ring(&mut d, at, hook);
        }
    }
    d.place(&squares, left, top);
    d
}

/// What the hook rings show, for who cannot see it.
pub fn alt(hooks: &[HookRing]) -> String {
    let named: Vec<String> = hooks
        .iter()
        .filter(|h| (2.0..=15.0).contains(&h.mm))
        .map(|h| match h.us.as_str() {
            "" => format!("{} mm", size(h.mm)),
            us => format!("{} mm ({us})", size(h.mm)),
        })
        .collect();
    format!("Circles at true size to measure a hook's shaft: {}. {}", named.join(", "), check::ALT)
}

fn ring(d: &mut Drawing, (x, y): (f64, f64), hook: &HookRing) {
    d.add(circle(x, y, hook.mm / 2.0, line_of(CUT.min(0.35), Ink::Text)));
    d.say(words((x, y + 11.6), format!("{}\u{a0}mm", size(hook.mm)), 9.0, Anchor::Middle).strong());
    if !hook.us.is_empty() {
        d.say(words((x, y + 15.4), format!("US {}", hook.us), 8.0, Anchor::Middle));
    }
}

/// 2.25, 2.5, 3: as hooks are marked.
fn size(mm: f64) -> String {
    let hundredths = format!("{mm:.2}");
    match hundredths.strip_suffix('0') {
        Some(tenths) => match tenths.strip_suffix(".0") {
            Some(whole) => whole.to_owned(),
            None => tenths.to_owned(),
        },
        None if mm.fract() == 0.0 => trimmed(mm),
        None => hundredths,
    }
}
