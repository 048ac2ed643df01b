//! What the booklet prints of its rounds, all sizes in brackets, proved again as a text that
//! somebody pasted: no fault, and the same stitches in every size.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod sound;

use brimwright::booklet::document::{Block, Document, Inline};
use brimwright::booklet::{Choices, sale};
use brimwright::proof::text::{TextOptions, prove};
use brimwright::reflow;
use brimwright::written::say::{Hand, Length};
use brimwright::written::tree::Terms;
use sound::{SHIPPED, proved};
use std::collections::BTreeMap;

/// The special stitches and the rounds of the pieces named, a line each, as they are printed.
fn printed(document: &Document, pieces: &[String]) -> String {
    let mut lines: Vec<String> = Vec::new();
    let mut chapter = String::new();
    let mut piece = String::new();
    for block in &document.blocks {
        match block {
            Block::Heading(h) if h.level == 1 => chapter = reflow::words(&h.text),
            Block::Heading(h) if h.level == 2 => piece = reflow::words(&h.text),
            // Notes on a stitch are prose; its making begins with its name in weight.
            Block::Paragraph(p)
                if chapter == "Special stitches"
                    && matches!(p.text.first(), Some(Inline::Strong(_))) =>
            {
                lines.push(reflow::words(&p.text));
            }
            Block::Rounds(rounds) if chapter == "Pattern" && pieces.contains(&piece) => {
                for round in rounds {
                    let label = reflow::words(&round.label);
                    let colon = if label.is_empty() { "" } else { ": " };
                    let count = round.count.as_ref().map(reflow::words);
                    let body = reflow::words(&round.body);
                    lines.push(format!("{label}{colon}{body} {}", count.unwrap_or_default()));
                }
            }
            _ => {}
        }
    }
    lines.join("\n").replace('\u{a0}', " ")
}

#[test]
fn the_printed_rounds_prove_as_a_pasted_text() {
    let mut seen = 0;
    for (name, text) in SHIPPED {
        let p = proved(text);
        // With more than six sizes the page has letters; and a piece that some sizes lack has
        // fewer numbers than the rest.
        if p.design.sizes.len() > 6 {
            continue;
        }
        let whole: Vec<usize> =
            (0..p.pieces.len()).filter(|i| p.design.pieces[*i].sizes.is_empty()).collect();
        let pieces: Vec<String> =
            whole.iter().map(|i| p.design.pieces[*i].name.as_str().to_owned()).collect();
        for terms in [Terms::Us, Terms::Uk] {
            for length in [Length::Abbreviated, Length::SpelledOut] {
                let choices =
                    Choices { terms, length, hand: Hand::Right, size: None, large: false };
                let pasted = printed(&sale(&p, &choices, None), &pieces);
                let options = TextOptions { terms: Some(terms), ..TextOptions::default() };
                let proof = prove(&pasted, &options);
                let what = format!("{name}, {terms:?}, {length:?}");
                assert!(proof.faults.is_empty(), "{what}: {:?}\n{pasted}", proof.faults);
                assert_eq!(proof.sizes.len(), p.design.sizes.len(), "{what}");
                for (size, found) in proof.sizes.iter().enumerate() {
                    let mut made: BTreeMap<String, u64> = BTreeMap::new();
                    for worked in whole.iter().filter_map(|i| p.pieces[*i].worked[size].as_ref()) {
                        for (kind, n) in &worked.totals {
                            *made.entry(kind.clone()).or_default() += n;
                        }
                    }
                    let all = |totals: &BTreeMap<String, u64>| totals.values().sum::<u64>();
                    assert_eq!(all(&found.totals), all(&made), "{what}, {}: {pasted}", found.size);
                    if terms == p.design.terms {
                        assert_eq!(found.totals, made, "{what}, {}", found.size);
                    }
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 150, "{seen}");
}
