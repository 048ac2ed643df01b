//! Tester cards: blank, filled in, wrong, and many.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use brimwright::correction::card::{self, Card, blank, edition_order, read, roster, sift};
use brimwright::design::{self, Design};
use brimwright::diag::{Finding, Severity, SourceId};

const LARCH: &str = include_str!("correction/larch-walk.toml");

fn design() -> Design {
    let (design, findings) = design::read(SourceId(0), LARCH);
    design.unwrap_or_else(|| panic!("{findings:#?}"))
}

/// A filled-in card of Larch Walk; `body` are the stitches and rows of gauge `body`.
fn filled(tester: &str, date: &str, sts: &str, rows: &str) -> String {
    format!(
        r#"
card = 1
tester = "{tester}"
title = "Larch Walk"
edition = "1.0"
size = "adult-m"
date = {date}
hours = 5.5
notes = "Lovely."

[gauge.body]
over = "10 cm"
hook = "4 mm"
before = {{ sts = {sts}, rows = {rows} }}
after = {{ sts = {sts}, rows = {rows} }}

[finished]
girth = "52 cm"
depth = "21.5 cm"

[yarn.A]
before = "100 g"
after = "31 g"

[[unclear]]
line = 12
words = "Is the join counted?"
"#
    )
}

fn card(text: &str) -> Card {
    let (card, findings) = read(SourceId(1), text);
    card.unwrap_or_else(|| panic!("{findings:#?}\n{text}"))
}

fn codes(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|f| f.code).collect()
}

#[test]
fn a_filled_card_is_read() {
    let c = card(&filled("Wren", "2026-10-20", "16.5", "13"));
    assert_eq!(c.tester.value, "Wren");
    assert_eq!(c.swatch("body").unwrap().after.sts.as_ref().unwrap().value, 16.5);
    assert_eq!(c.yarn[0].used().to_grams(), 69.0);
    assert_eq!(c.unclear[0].line, Some(12));
    let s = sift(&design(), vec![c]);
    assert_eq!((s.cards.len(), s.findings), (1, vec![]));
}

#[test]
fn the_blank_card_can_be_read_and_says_that_nothing_was_measured() {
    let d = design();
    for size in &d.sizes {
        let text = blank(&d, &size.id, "Wren \"the quick\"\nO'Hara = 1 # \\ é");
        let c = card(&text);
        assert_eq!(c.size.value, size.id);
        assert_eq!(c.tester.value, "Wren \"the quick\"\nO'Hara = 1 # \\ é");
        assert!(c.unclear.is_empty() && c.yarn.is_empty() && c.girth.is_none());
        assert_eq!(codes(&sift(&d, vec![c]).findings), ["card-incomplete", "card-incomplete"]);
    }
}

#[test]
fn bad_input_is_named() {
    let good = filled("Wren", "2026-10-20", "17", "13");
    let cases: &[(&str, &str, &str)] = &[
        ("size = \"adult-m\"", "size = \"adult-xxl\"", "unknown-size"),
        ("edition = \"1.0\"", "edition = \"1.1\"", "card-edition"),
        ("edition = \"1.0\"", "edition = \"0.9\"", "card-edition"),
        ("title = \"Larch Walk\"", "title = \"Elm Walk\"", "card-title"),
        ("gauge.body", "gauge.boddy", "unknown-gauge"),
        ("yarn.A", "yarn.B", "unknown-yarn"),
        ("sts = 17", "sts = 170", "card-impossible"),
        ("rows = 13", "rows = 0.5", "card-impossible"),
        ("sts = 17", "sts = -17", "out-of-range"),
        ("sts = 17", "sts = nan", "out-of-range"),
        ("sts = 17", "sts = \"many\"", "wrong-type"),
        ("\"31 g\"", "\"131 g\"", "card-impossible"),
        ("\"31 g\"", "\"31 cm\"", "bad-unit"),
        ("girth = \"52 cm\"", "girth = \"52 in\"", "card-impossible"),
        ("depth = \"21.5 cm\"", "depth = \"21.5 mm\"", "card-impossible"),
        ("hook = \"4 mm\"", "hook = \"4 m\"", "card-impossible"),
        ("over = \"10 cm\"", "over = \"1 cm\"", "card-impossible"),
        ("tester = \"Wren\"", "", "missing-key"),
        ("date = 2026-10-20", "", "missing-key"),
        ("date = 2026-10-20", "date = \"yesterday\"", "wrong-type"),
        ("size = \"adult-m\"", "", "missing-key"),
        ("tester = \"Wren\"", "tester = \"\"", "empty"),
        ("hours = 5.5", "hors = 5.5", "unknown-key"),
        ("hours = 5.5", "hours = 5.5.5", "toml"),
    ];
    for (from, to, code) in cases {
        let text = good.replace(from, to);
        assert_ne!(text, good, "{from}");
        let (card, mut findings) = read(SourceId(1), &text);
        if let Some(card) = card {
            findings.extend(sift(&design(), vec![card]).findings);
        }
        assert!(codes(&findings).contains(code), "{from} -> {to}: {findings:#?}");
        let named = findings.iter().find(|f| f.code == *code).unwrap();
        assert!(named.place.is_some(), "{code} has no place");
    }
}

/// 6 to 9 sc in 4 in: Craft Yarn Council, class 6 (see the standards table).
#[test]
fn forty_stitches_of_super_bulky_are_impossible() {
    let (d, _) = design::read(SourceId(0), &LARCH.replace("weight = 3", "weight = 6"));
    let d = d.unwrap();
    let with = |sts: &str| sift(&d, vec![card(&filled("Wren", "2026-10-20", sts, "7"))]);
    assert_eq!(with("40").cards.len(), 0);
    let faults = with("40").findings;
    assert_eq!(codes(&faults)[0], "card-impossible");
    assert!(faults[0].message.contains("weight 6"), "{}", faults[0].message);
    assert_eq!(with("8").cards.len(), 1);
}

#[test]
fn of_two_cards_of_one_tester_the_later_is_used() {
    let old = card(&filled("Wren", "2026-10-20", "17", "13"));
    let new = card(&filled(" wren ", "2026-10-27", "16", "12"));
    for pair in [[old.clone(), new.clone()], [new.clone(), old.clone()]] {
        let s = sift(&design(), pair.to_vec());
        assert_eq!(s.cards.len(), 1);
        assert_eq!(s.cards[0].date.value.to_string(), "2026-10-27");
        assert_eq!(codes(&s.findings), ["card-twice"]);
        assert_eq!(s.findings[0].severity, Severity::Caution);
    }
}

#[test]
fn a_hundred_cards_are_read_and_more_than_the_limit_are_refused() {
    let many = |n: usize| -> Vec<Card> {
        (0..n).map(|i| card(&filled(&format!("T{i}"), "2026-10-20", "17", "13"))).collect()
    };
    let s = sift(&design(), many(100));
    assert_eq!((s.cards.len(), s.findings.len()), (100, 0));
    assert_eq!(codes(&sift(&design(), many(501)).findings), ["limit"]);
}

#[test]
fn editions_are_ordered_by_their_numbers() {
    assert!(edition_order("1.10") > edition_order("1.9"));
    assert!(edition_order("2") > edition_order("1.10"));
    assert_eq!(edition_order("1"), edition_order("1.0"));
}

#[test]
fn the_roster_names_its_faults() {
    let d = design();
    let good = "[[tester]]\nname = \"Wren\"\nsize = \"child\"\n\n[[tester]]\nname = \"Wren\"\nsize = \"toddler\"\n";
    let (r, findings) = roster(SourceId(2), good, &d);
    assert_eq!((r.seats.len(), findings), (2, vec![]));
    for (from, to, code) in [
        ("toddler", "todler", "unknown-size"),
        ("toddler", "child", "duplicate"),
        ("name = \"Wren\"\nsize = \"child\"", "name = \"Wren\"", "missing-key"),
        ("tester", "testers", "missing-key"),
        ("[[tester]]\n", "[tester]\n", "toml"),
    ] {
        let text = good.replace(from, to);
        let (_, findings) = roster(SourceId(2), &text, &d);
        assert!(codes(&findings).contains(&code), "{from}: {findings:#?}");
    }
}

/// No bytes make the reader panic, and none pass as a card by chance.
#[test]
fn odd_bytes_are_no_card() {
    for text in ["", "\0", "card = 1", "[[[", "card = 99999999999999999999", "\u{feff}card = 1"] {
        let (card, findings) = card::read(SourceId(0), text);
        assert!(card.is_none() && !findings.is_empty(), "{text:?}");
    }
    let good = filled("Wren", "2026-10-20", "17", "13");
    for cut in (0..good.len()).filter(|i| good.is_char_boundary(*i)) {
        let _ = card::read(SourceId(0), &good[..cut]);
    }
}

/// The card on the page of a code has the fault, and its mended twin has none.
#[test]
fn examples_of_explain_are_true() {
    use brimwright::diag::explain::{Kind, pages};
    let cards: Vec<_> = pages().iter().filter(|p| p.example == Kind::Card).collect();
    assert!(!cards.is_empty());
    for page in cards {
        let (bad, good) = (read(SourceId(0), &page.bad), read(SourceId(0), &page.good));
        assert!(codes(&bad.1).contains(&page.code.as_str()), "{}: {:?}", page.code, bad.1);
        assert!(good.0.is_some() && good.1.is_empty(), "{}: {:?}", page.code, good.1);
    }
}
