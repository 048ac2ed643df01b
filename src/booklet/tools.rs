//! Sheets to print at true size beside the pompom: gauge window, hook rings, head tape.

use super::document::*;
use super::words::{capital, gauge};
use super::{Choices, body, chapter};
use crate::figure::hooks::{self, HookRing};
use crate::figure::{Drawing, tape, window};
use crate::standards;

/// A chapter for each sheet.
pub(super) fn sheets(c: &Choices) -> Vec<Block> {
    let window = format!("{} window", capital(gauge(c.terms)));
    let rings: Vec<HookRing> = standards::hooks::hooks()
        .rows
        .iter()
        .map(|h| HookRing { mm: h.mm, us: h.us.clone() })
        .collect();
    let mut out = sheet(
        (window.as_str(), "gauge-window"),
        "Cut out the square, lay the window on your swatch and count what shows.",
        window::gauge_window(),
        window::alt(),
    );
    out.extend(sheet(
        ("Hook rings", "hook-rings"),
        "A hook whose mark has worn off is the size of the ring that its shaft just fills.",
        hooks::rings(&rings),
        hooks::alt(&rings),
    ));
    out.extend(sheet(
        ("Head tape", "head-tape"),
        "Cut out the strips and glue them end to end on their tabs. An adult holds the tape \
         when a child is measured.",
        tape::head_tape(),
        tape::alt(),
    ));
    out
}

/// One sheet, whole on a page: print it at 100 %, then use it.
fn sheet((title, anchor): (&str, &str), words: &str, art: Drawing, alt: String) -> Vec<Block> {
    let words = format!("Print at 100 %, never “fit to page”, and measure both squares. {words}");
    vec![Block::Keep(vec![
        chapter(title, anchor),
        body(plain(words)),
        Block::Figure(Figure { art: Art::Drawing(art), alt, caption: None, fit: Fit::TrueScale }),
    ])]
}
