//! A copy in the other terms: no stitch may keep a name that means another stitch there.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod sound;

use brimwright::booklet::{Choices, prose, sale};
use brimwright::reflow;
use brimwright::written::say::{Hand, Length};
use brimwright::written::tree::Terms;
use sound::{SHIPPED, proved};

fn copy(text: &str, terms: Terms) -> String {
    let (length, hand) = (Length::Abbreviated, Hand::Right);
    let p = proved(text);
    let words =
        reflow::text(&sale(&p, &Choices { terms, length, hand, size: None, large: false }, None));
    words.replace('\u{a0}', " ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_stitch_of_a_gauge_is_told_in_the_terms_of_the_copy() {
    let (_, text) = SHIPPED.iter().find(|(name, _)| *name == "harbour-rib").unwrap();
    let (us, uk) = (copy(text, Terms::Us), copy(text, Terms::Uk));
    assert!(us.contains("in half double crochet in the back loop only"), "{us}");
    assert!(uk.contains("in half treble crochet in the back loop only"), "{uk}");
    assert!(!uk.contains("in half double crochet"), "{uk}");
}

/// Prose is the designer's own and stays; that it names a stitch is told.
#[test]
fn prose_that_names_a_stitch_is_told_in_the_other_terms_only() {
    let (_, text) = SHIPPED.iter().find(|(name, _)| *name == "harbour-rib").unwrap();
    let dry = "Wash as the ball band says and dry flat.";
    assert!(text.contains(dry));
    let p = proved(&text.replace(dry, "Sc once around the brim."));
    assert!(prose::in_other_terms(&p, Terms::Us).is_empty());
    let told = prose::in_other_terms(&p, Terms::Uk);
    let help: Vec<&str> = told.iter().filter_map(|f| f.help.as_deref()).collect();
    assert!(help.iter().any(|h| h.contains("“Dc once around the brim.”")), "{help:?}");
    assert!(!help.iter().any(|h| h.contains("ends along")), "{help:?}");
}
