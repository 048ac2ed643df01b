//! What moves between two editions, told in numbers, words and JSON.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use brimwright::booklet::document::{Block, Document, Heading, Round, plain};
use brimwright::correction::edition::{Edition, Fit, Line, Number, Section, Size, Yarn, sections};
use brimwright::correction::moves::{moves, notes, text};

fn size(sts: u32, girth: f64, grams: f64) -> Size {
    Size {
        id: "adult-m".into(),
        name: "Adult M".into(),
        sections: vec![Section {
            title: "Body".into(),
            lines: vec![
                Line { label: "Rnd 1".into(), words: format!("Hdc around. ({sts} hdc)") },
                Line { label: "Picture".into(), words: "Template of 8 cm.".into() },
            ],
        }],
        numbers: vec![
            Number { name: "sts".into(), shown: sts.to_string() },
            Number { name: "wedges".into(), shown: "7".into() },
        ],
        fit: Some(Fit { girth, depth: 215.0, least: 520.0, most: 550.0 }),
        yarn: vec![Yarn { name: "A".into(), grams, needed: grams * 1.1, promised: Some(100.0) }],
    }
}

fn edition(number: &str, size: Size) -> Edition {
    Edition {
        title: "Quarry Lane".into(),
        number: number.into(),
        sizes: vec![size],
        ..Edition::default()
    }
}

#[test]
fn every_number_is_there_before_and_after() {
    let (old, new) = (edition("1.0", size(84, 530.0, 88.0)), edition("1.1", size(77, 532.0, 93.0)));
    // 84 stitches at the new gauge: 532 mm × 84 / 77, by hand.
    let m = moves(&old, &new, &[("adult-m".into(), 580.4)]);
    let s = &m.sizes[0];
    assert_eq!(s.numbers.len(), 2);
    assert!(s.numbers[0].moved() && !s.numbers[1].moved());
    assert_eq!((s.lines, s.template), (1, false));
    let fit = s.fit.unwrap();
    assert_eq!(fit.old_still_fits, Some(false));
    // 88 g and a tenth is 96.8 g of 100 g; 93 g and a tenth is 102.3 g.
    assert_eq!((s.yarn[0].kept_before, s.yarn[0].kept_after), (Some(true), Some(false)));
    let shown = text(&m);
    for words in [
        "edition 1.0 to 1.1",
        "     84       77  *",
        "      7        7\n",
        "does not fit",
        "over the promised balls",
        "1 printed line changes",
        "may not fit the head of its size: Adult M",
        "more than the promised number of balls: Adult M",
    ] {
        assert!(shown.contains(words), "{words:?} is not in\n{shown}");
    }
    let json = serde_json::to_value(&m).unwrap();
    assert_eq!(json["sizes"][0]["numbers"][0]["old"], "84");
    assert_eq!(json["sizes"][0]["fit"]["old_still_fits"], false);
    assert_eq!(json["sizes"][0]["yarn"][0]["kept_after"], false);
}

#[test]
fn an_old_hat_that_still_fits_is_said_to() {
    let (old, new) = (edition("1.0", size(84, 530.0, 70.0)), edition("1.1", size(82, 532.0, 70.0)));
    let m = moves(&old, &new, &[("adult-m".into(), 545.0)]);
    assert_eq!(notes(&m), ["A hat made to the old edition still fits: Adult M."]);
}

/// Another hook moves no number: of a hat that lies outside its style's ease in both
/// editions the correction has nothing to say.
#[test]
fn a_hat_that_stays_as_it_was_is_not_judged() {
    let wide = |number| {
        let mut e = edition(number, size(84, 600.0, 70.0));
        e.sizes[0].sections[0].lines[0].words.push_str(" 5.5 mm hook.");
        e
    };
    let (old, mut new) = (wide("1.0"), wide("1.1"));
    new.sizes[0].sections[0].lines[0].words.push_str(" With it.");
    let m = moves(&old, &new, &[("adult-m".into(), 600.0)]);
    assert_eq!((m.sizes[0].lines, m.sizes[0].fit.unwrap().old_still_fits), (1, None));
    assert!(notes(&m).is_empty() && !text(&m).contains("fit"), "{}", text(&m));
    // The same hat by a gauge that moves is another hat.
    let m = moves(&old, &new, &[("adult-m".into(), 590.0)]);
    assert_eq!(m.sizes[0].fit.unwrap().old_still_fits, Some(false));
}

#[test]
fn nothing_moves_between_twins() {
    let m =
        moves(&edition("1.0", size(84, 530.0, 70.0)), &edition("1.1", size(84, 530.0, 70.0)), &[]);
    assert!(m.is_empty());
    assert!(text(&m).contains("nothing moves"));
    assert!(notes(&m).is_empty());
}

#[test]
fn a_changed_template_and_a_lost_size_are_seen() {
    let mut other = size(84, 530.0, 70.0);
    other.sections[0].lines[1].words = "Template of 9 cm.".into();
    let m = moves(&edition("1.0", size(84, 530.0, 70.0)), &edition("1.1", other.clone()), &[]);
    assert!(m.sizes[0].template);
    other.id = "adult-l".into();
    let m = moves(&edition("1.0", size(84, 530.0, 70.0)), &edition("1.1", other), &[]);
    let ids: Vec<&str> = m.sizes.iter().map(|s| s.id.as_str()).collect();
    assert_eq!(ids, ["adult-l", "adult-m"]);
    assert_eq!(m.sizes[1].numbers[0].new, None);
}

#[test]
fn like_rounds_are_one_line() {
    let round = |label: &str, body: &str| Round {
        label: plain(label),
        body: plain(body),
        count: Some(plain("(7 sts)")),
        tick: true,
        counter: 0,
        note: None,
    };
    let document = Document {
        blocks: vec![
            Block::Heading(Heading { level: 2, text: plain("Body"), anchor: None, listed: true }),
            Block::Rounds(vec![
                round("", "Ch 7."),
                round("Rnd 1", "Sc."),
                round("Rnd 2", "Hdc."),
                round("Rnd\u{a0}3", "Hdc."),
                round("Rnd 4", "Hdc."),
                round("Rnd 6", "Hdc."),
                round("Row 7", "Hdc."),
            ]),
        ],
        ..Document::default()
    };
    let got = sections(&document);
    let labels: Vec<&str> = got[0].lines.iter().map(|l| l.label.as_str()).collect();
    assert_eq!(labels, ["", "Rnd 1", "Rnds 2–4", "Rnd 6", "Row 7"]);
    assert_eq!(got[0].lines[2].words, "Hdc. (7 sts)");
    // A run of rounds states its count at its end only.
    let mut run: Vec<Round> = (1..=4).map(|n| round(&format!("Rnd {n}"), "Hdc.")).collect();
    run[0].count = None;
    run[1].count = None;
    run[3].count = Some(plain("(8 sts)"));
    let document = Document { blocks: vec![Block::Rounds(run)], ..Document::default() };
    let got = sections(&document);
    let lines: Vec<(&str, &str)> =
        got[0].lines.iter().map(|l| (l.label.as_str(), l.words.as_str())).collect();
    assert_eq!(lines, [("Rnds 1–3", "Hdc. (7 sts)"), ("Rnd 4", "Hdc. (8 sts)")]);
}
