//! The errata sheet: exact, complete, and chained over editions.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use brimwright::booklet::document::{Block, Date};
use brimwright::correction::edition::{Edition, Line, Section, Size};
use brimwright::correction::errata::{compare, document, said};
use brimwright::reflow;
use proptest::prelude::*;

fn line(label: &str, words: &str) -> Line {
    Line { label: label.into(), words: words.into() }
}

type Parts<'a> = Vec<(&'a str, Vec<Line>)>;

fn edition(number: &str, sizes: Vec<(&str, Parts)>) -> Edition {
    let size = |(id, sections): (&str, Parts)| Size {
        id: id.into(),
        name: id.to_uppercase(),
        sections: sections
            .into_iter()
            .map(|(title, lines)| Section { title: title.into(), lines })
            .collect(),
        ..Size::default()
    };
    Edition {
        title: "Quarry Lane".into(),
        number: number.into(),
        date: Date { year: 2026, month: 10, day: 5 },
        sizes: sizes.into_iter().map(size).collect(),
    }
}

fn body(sts: u32, rounds: u32) -> Vec<Line> {
    let mut lines = vec![line("", &format!("Ch {sts}, join with sl st in first ch."))];
    for r in 1..=rounds {
        lines.push(line(&format!("Rnd {r}"), &format!("Hdc in each st around. ({sts} hdc)")));
    }
    lines.push(line(&format!("Rnd {}", rounds + 1), "Hdc2tog around. (7 sts)"));
    lines.push(line("", "Fasten off."));
    lines
}

fn tables(e: &brimwright::correction::errata::Errata) -> Vec<Vec<String>> {
    let doc = document(e, "Gull & Bobbin", "en-US", &[]);
    let mut rows = Vec::new();
    for b in &doc.blocks {
        if let Block::Table(t) = b {
            for r in &t.body {
                rows.push(r.iter().map(|c| reflow::words(&c.text)).collect());
            }
        }
    }
    rows
}

#[test]
fn one_more_round_is_one_new_line_and_a_new_number() {
    let old = edition("1.0", vec![("s", vec![("Body", body(70, 5))])]);
    let new = edition("1.1", vec![("s", vec![("Body", body(70, 6))])]);
    let rows = tables(&compare(&old, &new));
    assert_eq!(rows.len(), 2, "{rows:#?}");
    assert!(rows.iter().any(|r| r[2].starts_with("nothing") && r[3].contains("Hdc in each st")));
    assert!(rows.iter().any(|r| r[2].starts_with("Rnd 6: Hdc2tog") && r[3].starts_with("Rnd 7:")));
}

#[test]
fn sizes_that_change_alike_share_a_row() {
    let size = |n: u32| vec![("Body", vec![line("Rnd 1", &format!("Sc around. ({n} sc)"))])];
    let old = edition("1.0", vec![("s", size(70)), ("m", size(70)), ("l", size(84))]);
    let new = edition("1.1", vec![("s", size(72)), ("m", size(72)), ("l", size(84))]);
    let rows = tables(&compare(&old, &new));
    assert_eq!(rows, [["Rnd 1", "S and M", "Sc around. (70 sc)", "Sc around. (72 sc)"]]);
}

#[test]
fn only_the_words_that_differ_are_heavy() {
    let old = edition("1.0", vec![("s", vec![("Body", vec![line("Rnd 1", "a b c d")])])]);
    let new = edition("1.1", vec![("s", vec![("Body", vec![line("Rnd 1", "a x c d")])])]);
    let doc = document(&compare(&old, &new), "", "en-US", &[]);
    let shown = format!("{:?}", doc.blocks);
    assert!(
        shown.contains(r#"Text("a"), Text(" "), Strong([Text("x")]), Text(" "), Text("c d")"#),
        "{shown}"
    );
}

#[test]
fn rounds_that_only_move_on_are_one_row() {
    let crown = |from: u32| {
        let round = |n: u32| line(&format!("Rnd {}", from + n), &format!("Dec. ({} sts)", 60 - n));
        vec![("Crown", (0..8).map(round).collect::<Vec<_>>())]
    };
    let (old, new) =
        (edition("1.0", vec![("s", crown(14))]), edition("1.1", vec![("s", crown(16))]));
    let rows = tables(&compare(&old, &new));
    assert_eq!(rows, [["Rnds 14–21", "S", "Rnds 14–21", "Rnds 16–23, the same words"]]);
}

#[test]
fn long_runs_that_stay_are_cut_short() {
    let words = |sts: u32| {
        format!("Ch 1, hdc in each st around and then all the way back, join. ({sts} hdc)")
    };
    let body = |sts| vec![("Body", vec![line("Rnd 1", &words(sts))])];
    let (old, new) = (edition("1.0", vec![("s", body(70))]), edition("1.1", vec![("s", body(72))]));
    let rows = tables(&compare(&old, &new));
    assert_eq!(rows, [["Rnd 1", "S", "… way back, join. (70 hdc)", "… way back, join. (72 hdc)"]]);
}

#[test]
fn an_edition_that_says_the_same_says_so() {
    let old = edition("1.0", vec![("s", vec![("Body", body(70, 5))])]);
    let mut new = old.clone();
    new.number = "1.1".into();
    let e = compare(&old, &new);
    assert!(e.is_empty());
    assert!(reflow::text(&document(&e, "", "en-US", &[])).contains("nothing"));
}

#[test]
fn a_sheet_for_another_text_is_refused() {
    let a = edition("1.0", vec![("s", vec![("Body", body(70, 5))])]);
    let b = edition("1.1", vec![("s", vec![("Body", body(72, 5))])]);
    let c = edition("1.0", vec![("s", vec![("Body", body(74, 5))])]);
    assert!(compare(&a, &b).apply(&said(&c)).is_err());
}

fn lines() -> impl Strategy<Value = Vec<Line>> {
    let words = prop::sample::select(vec![
        "Hdc in each st around. (70 hdc)",
        "Hdc in each st around. (72 hdc)",
        "Hdc2tog around. (7 sts)",
        "Fasten off.",
        "",
        "Ch 1, *fpdc, bpdc; rep from * around.",
    ]);
    let label = prop::sample::select(vec!["", "Rnd 1", "Rnd 2", "Rnds 3–9", "Rnds 3–10"]);
    let one = (label, words).prop_map(|(l, w)| line(l, w));
    prop::collection::vec(one, 0..12)
}

fn editions() -> impl Strategy<Value = Edition> {
    let title = prop::sample::select(vec!["Gauge", "Cuff", "Body", "Crown"]);
    let section = (title, lines()).prop_map(|(t, lines)| Section { title: t.into(), lines });
    let id = prop::sample::subsequence(vec!["baby", "child", "adult-s", "adult-m"], 0..=4);
    let sections = prop::collection::vec(prop::collection::vec(section, 0..5), 4);
    (id, sections).prop_map(|(ids, mut all)| {
        let mut e = edition("1.0", vec![]);
        for id in ids {
            let sections = all.pop().unwrap_or_default();
            e.sizes.push(Size { id: id.into(), name: id.into(), sections, ..Size::default() });
        }
        e
    })
}

proptest! {
    /// Nothing that changed is missing: the sheet makes the new text of the old one.
    #[test]
    fn applied_to_the_old_gives_the_new(old in editions(), new in editions()) {
        let sheet = compare(&old, &new);
        prop_assert_eq!(sheet.apply(&said(&old)).unwrap(), said(&new));
        prop_assert_eq!(sheet.sizes.is_empty(), said(&old) == said(&new));
    }

    /// Sheets chain: one after the other leads where the sheet over both leads.
    #[test]
    fn sheets_chain(a in editions(), b in editions(), c in editions()) {
        let step = compare(&a, &b).apply(&said(&a)).unwrap();
        let by_two = compare(&b, &c).apply(&step).unwrap();
        prop_assert_eq!(&by_two, &compare(&a, &c).apply(&said(&a)).unwrap());
        prop_assert_eq!(by_two, said(&c));
    }

    /// Every edit of a line is on the printed sheet, in the sizes it holds in.
    #[test]
    fn every_edit_is_printed(old in editions(), new in editions()) {
        use brimwright::correction::errata::Edit;
        let sheet = compare(&old, &new);
        let printed = tables(&sheet);
        for size in &sheet.sizes {
            let Edit::Changed { change, .. } = size else { continue };
            for section in &change.sections {
                let Edit::Changed { change: s, .. } = section else { continue };
                for e in &s.lines {
                    let (from, to) = match e {
                        Edit::Changed { change: r, .. } => (r.old.words.as_str(), r.new.words.as_str()),
                        Edit::Dropped { old, .. } => (old.words.as_str(), "leave it out"),
                        Edit::Added { new, .. } => ("a new line", new.words.as_str()),
                    };
                    // Words that stay may be cut short, those that change never.
                    let gone = |a: &str, b: &str| -> Vec<String> {
                        let mut b: Vec<&str> = b.split(' ').collect();
                        let left = |w: &&str| match b.iter().position(|x| x == w) {
                            Some(i) => { b.remove(i); false }
                            None => true,
                        };
                        a.split(' ').filter(left).map(str::to_owned).collect()
                    };
                    let there = printed.iter().any(|r| {
                        let has = |cell: &str, words: Vec<String>| {
                            words.iter().all(|w| cell.contains(w.as_str()))
                        };
                        r[1].contains(&change.name.new)
                            && (r[2] == from || has(&r[2], gone(from, to)))
                            && (r[3] == to || has(&r[3], gone(to, from)))
                    });
                    prop_assert!(there, "{from} -> {to} in {} is not in {printed:#?}", change.id);
                }
            }
        }
    }
}
