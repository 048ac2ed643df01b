//! Sheets to print at true size beside the pompom: gauge window, hook rings, head tape.

use super::document::*;
use super::{body, chapter};
use crate::figure::hooks::{self, HookRing};
use crate::figure::{Drawing, tape, window};
use crate::standards;

/// The chapter, a page for each sheet.
pub(super) fn sheets() -> Vec<Block> {
    let rings: Vec<HookRing> = standards::hooks::hooks()
        .rows
        .iter()
        .map(|h| HookRing { mm: h.mm, us: h.us.clone() })
        .collect();
    let mut out = vec![Block::PageBreak, chapter("Tools to print", "tools")];
    out.push(body(plain(
        "These sheets are at true size when they are printed at 100 %, never “fit to page”. \
         Measure the check squares before you trust the rest.",
    )));
    out.extend(sheet(
        "Gauge window",
        "Cut out the square, lay the window on your swatch and count what shows.",
        window::gauge_window(),
        window::alt(),
    ));
    out.push(Block::PageBreak);
    out.extend(sheet(
        "Hook rings",
        "A hook whose mark has worn off is the size of the ring that its shaft just fills.",
        hooks::rings(&rings),
        hooks::alt(&rings),
    ));
    out.push(Block::PageBreak);
    out.extend(sheet(
        "Head tape",
        "Cut out the strips, glue them end to end on their tabs and check them against the \
         squares. For a child, measure with an adult's hand on the tape.",
        tape::head_tape(),
        tape::alt(),
    ));
    out
}

fn sheet(title: &str, words: &str, art: Drawing, alt: String) -> Vec<Block> {
    let heading = Heading { level: 2, text: plain(title), anchor: None, listed: false };
    vec![
        Block::Heading(heading),
        body(plain(words)),
        Block::Figure(Figure { art: Art::Drawing(art), alt, caption: None, fit: Fit::TrueScale }),
    ]
}
