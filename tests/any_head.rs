//! The table for any head against the sizes of its own booklet: one hat, one figure.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod sound;

use brimwright::booklet::document::{Block, Document, Inline, Table};
use brimwright::booklet::{Choices, sale};
use brimwright::proof::Proved;
use brimwright::quantity::number;
use brimwright::reflow;
use brimwright::written::say::{Hand, Length};
use brimwright::written::tree::Terms;
use sound::{SHIPPED, proved};

const BALL: &str = include_str!("designs/last-ball.toml");

fn booklet(p: &Proved) -> Document {
    let (length, hand, terms) = (Length::Abbreviated, Hand::Right, p.design.terms);
    sale(p, &Choices { terms, length, hand, size: None, large: false }, None)
}

/// The first table after a chapter's heading; none where there is no such chapter.
fn table_of<'d>(document: &'d Document, chapter: &str) -> Option<&'d Table> {
    let at = document.blocks.iter().position(
        |b| matches!(b, Block::Heading(h) if h.level == 1 && reflow::words(&h.text) == chapter),
    )?;
    document.blocks[at..].iter().find_map(|b| match b {
        Block::Table(t) => Some(t),
        _ => None,
    })
}

fn words(table: &Table, row: usize) -> Vec<String> {
    table.body[row].iter().map(|c| reflow::words(&c.text).replace('\u{a0}', " ")).collect()
}

#[test]
fn every_size_has_its_row_in_bold_with_the_depth_of_the_size_table() {
    let mut seen = 0;
    for (name, text) in SHIPPED {
        let p = proved(text);
        let document = booklet(&p);
        let Some(table) = table_of(&document, "Any head") else { continue };
        let sizes = table_of(&document, "Sizes").unwrap();
        let rows: Vec<Vec<String>> = (0..table.body.len()).map(|r| words(table, r)).collect();
        let bold = |r: usize| matches!(table.body[r][0].text[..], [Inline::Strong(_)]);
        for (i, size) in p.design.sizes.iter().enumerate() {
            let cm = number(size.head.to_cm(), 1);
            let at: Vec<usize> = (0..rows.len()).filter(|r| rows[*r][0] == cm).collect();
            let [at] = at[..] else { panic!("{name}: {} rows for {cm}", at.len()) };
            assert!(bold(at), "{name}: {cm} is not in bold");
            let depth = p.depth(i).unwrap().cm_text();
            assert_eq!(format!("{} cm", rows[at][2]), depth, "{name}: {}", size.id);
            assert!(words(sizes, i)[3].contains(&depth), "{name}: {:?}", words(sizes, i));
            seen += 1;
        }
        let heads: std::collections::BTreeSet<String> =
            p.design.sizes.iter().map(|s| number(s.head.to_cm(), 1)).collect();
        assert_eq!((0..rows.len()).filter(|r| bold(*r)).count(), heads.len(), "{name}");
    }
    assert!(seen > 30, "{seen}");
}

/// A buyer who knows her head in inches finds one row: that of the half inch.
#[test]
fn no_inches_stand_in_two_rows() {
    for (name, text) in SHIPPED {
        let document = booklet(&proved(text));
        let Some(table) = table_of(&document, "Any head") else { continue };
        let inches: Vec<String> = (0..table.body.len())
            .map(|r| words(table, r)[1].clone())
            .filter(|w| w != "–")
            .collect();
        let mut once = inches.clone();
        once.sort();
        once.dedup();
        assert_eq!(once.len(), inches.len(), "{name}: {inches:?}");
        // From 10½ in, the first in a newborn's range, to 25½: 66 cm is 26 in less a hair.
        assert!(inches.contains(&"10½".to_owned()) && inches.contains(&"25½".to_owned()), "{name}");
    }
}

/// The rules give no depth where the yarn does.
#[test]
fn a_hat_that_hangs_on_the_ball_has_no_depth_for_other_heads() {
    let heads = |text: &str| {
        let document = booklet(&proved(text));
        let table = table_of(&document, "Any head").unwrap();
        table.head[0].iter().map(|c| reflow::words(&c.text)).collect::<Vec<_>>()
    };
    assert_eq!(heads(BALL), ["cm", "in", "a"]);
    let without = BALL.replace("until_ball_ends = { rounds = \"even\", keep = \"3 g\" }\n", "");
    assert_eq!(heads(&without), ["cm", "in", "Depth", "a", "b"]);
    let unit = |text: &str| {
        let document = booklet(&proved(text));
        let table = table_of(&document, "Any head").unwrap();
        table.notes.iter().map(reflow::words).collect::<Vec<_>>().join(" ")
    };
    assert!(unit(&without).contains("Depth is in cm"));
    let imperial = without.replace("edition = \"1.0\"", "edition = \"1.0\"\nunits = \"imperial\"");
    assert!(unit(&imperial).contains("Depth is in inches"));
}

/// A buyer never meets a name out of the design file where the designer gave a better one.
#[test]
fn numbers_go_by_the_names_that_the_design_gives_them() {
    let named = BALL
        .replace("until_ball_ends = { rounds = \"even\", keep = \"3 g\" }\n", "")
        .replacen("[[piece]]", "[count_names]\neven = \"last rnd of sc\"\n\n[[piece]]", 1);
    let said = |terms: Terms| {
        let (length, hand) = (Length::Abbreviated, Hand::Right);
        let choices = Choices { terms, length, hand, size: None, large: false };
        reflow::text(&sale(&proved(&named), &choices, None)).replace('\u{a0}', " ")
    };
    let us = said(Terms::Us);
    assert!(us.contains("a: sts; b: last rnd of sc."), "{us}");
    assert!(us.contains("Last rnd of sc, by rows over 10"), "{us}");
    // The names of stitches in it are the reader's own.
    assert!(said(Terms::Uk).contains("b: last rnd of dc."));
}
