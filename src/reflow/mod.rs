//! The booklet without pages: the same document as plain text or as one HTML file.
//!
//! Takes a [`crate::booklet::document::Document`], gives a `String`. Neither knows crochet.

mod html;
mod svg;
mod text;

pub use html::html;
pub use svg::svg;
pub use text::text;

use crate::booklet::document::{Inline, Text};

/// The bare words of a text, markup dropped.
pub fn words(text: &Text) -> String {
    let mut out = String::new();
    gather(text, &mut out);
    out
}

fn gather(text: &[Inline], out: &mut String) {
    for piece in text {
        match piece {
            Inline::Text(t) => out.push_str(t),
            Inline::Abbreviation { text, .. } => out.push_str(text),
            Inline::Strong(t) | Inline::Emphasis(t) | Inline::Keep(t) => gather(t, out),
            Inline::Link { content, .. } => gather(content, out),
            Inline::Break => out.push('\n'),
        }
    }
}
