//! The designer's own prose in a copy in the other terms: it is printed as it stands, so
//! what names a stitch there is told.

use crate::diag::Finding;
use crate::proof::Proved;
use crate::standards::stitches::{Terms, renamed};

/// What prose names stitches in the design's terms where the copy is in others: about, notes
/// and finishing, one caution for each. None in the design's own terms.
pub fn in_other_terms(p: &Proved, terms: Terms) -> Vec<Finding> {
    let design = &p.design;
    let pieces = design.pieces.iter().flat_map(|piece| [&piece.note, &piece.finishing]);
    let prose = std::iter::once(&design.pattern.about)
        .chain(pieces)
        .chain(design.pompom.iter().map(|pompom| &pompom.note))
        .flatten()
        .chain(&design.finishing);
    let name = |terms| if terms == Terms::Us { "US" } else { "UK" };
    let (own, other) = (name(design.terms), name(terms));
    prose
        .filter(|text| renamed(text.as_str(), design.terms, terms) != text.as_str())
        .map(|text| {
            let message = format!(
                "this names a stitch in {own} terms, and a copy in {other} terms prints it as it is"
            );
            Finding::caution("prose-terms", message).at(text.place, "").help(format!(
                "say it without the stitch's name, or with both names; in {other} terms it is “{}”",
                shortened(&renamed(text.as_str(), design.terms, terms))
            ))
        })
        .collect()
}

/// The first words of a longer text.
fn shortened(words: &str) -> String {
    const MOST: usize = 12;
    let all: Vec<&str> = words.split_whitespace().collect();
    match all.get(..MOST) {
        Some(first) if all.len() > MOST => format!("{} …", first.join(" ")),
        _ => all.join(" "),
    }
}
