//! The errata sheet: exact, complete, and chained over editions.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod sound;

use brimwright::booklet::document::{Block, Cell, Date, Inline};
use brimwright::correction::edition::{Edition, Line, Section, Size, of};
use brimwright::correction::errata::{Edit, Errata, Medium, PagesOf, compare, said};
use brimwright::reflow;
use proptest::prelude::*;
use sound::proved;

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

fn document(e: &Errata) -> brimwright::booklet::document::Document {
    use brimwright::correction::errata::document;
    document(e, "Gull & Bobbin", "en-US", &[], Medium::Print, &PagesOf::new())
}

/// Every table of a sheet: its head and its rows.
fn printed(e: &Errata) -> Vec<(Vec<String>, Vec<Vec<Cell>>)> {
    let head = |row: &[Cell]| row.iter().map(|c| reflow::words(&c.text)).collect();
    let table = |b: &Block| match b {
        Block::Table(t) => Some((head(&t.head[0]), t.body.clone())),
        _ => None,
    };
    document(e).blocks.iter().filter_map(table).collect()
}

fn tables(e: &Errata) -> Vec<Vec<String>> {
    let rows = printed(e).into_iter().flat_map(|(_, rows)| rows);
    rows.map(|r| r.iter().map(|c| reflow::words(&c.text).replace('\u{a0}', " ")).collect())
        .collect()
}

#[test]
fn one_more_round_is_one_new_line_and_a_new_number() {
    let old = edition("1.0", vec![("s", vec![("Body", body(70, 5))])]);
    let new = edition("1.1", vec![("s", vec![("Body", body(70, 6))])]);
    let rows = tables(&compare(&old, &new));
    assert_eq!(rows.len(), 2, "{rows:#?}");
    assert_eq!(rows[0], ["Body, Rnd a", "Hdc2tog around. (7 sts)", "6 → 7"]);
    let new = "Rnd 6: Hdc in each st around. (70 hdc)";
    assert_eq!(rows[1], ["Body, After Rnd 5", "S", "nothing: a new line", new]);
}

#[test]
fn sizes_that_change_alike_share_a_row() {
    let size = |n: u32| vec![("Body", vec![line("Rnd 1", &format!("Sc around. ({n} sc)"))])];
    let old = edition("1.0", vec![("s", size(70)), ("m", size(70)), ("l", size(84))]);
    let new = edition("1.1", vec![("s", size(72)), ("m", size(72)), ("l", size(84))]);
    let rows = tables(&compare(&old, &new));
    assert_eq!(rows, [["Body, Rnd 1", "S and M", "Sc around. (70 sc)", "Sc around. (72 sc)"]]);
}

#[test]
fn only_the_words_that_differ_are_heavy() {
    let old = edition("1.0", vec![("s", vec![("Body", vec![line("Rnd 1", "a b c d")])])]);
    let new = edition("1.1", vec![("s", vec![("Body", vec![line("Rnd 1", "a x c d")])])]);
    let doc = document(&compare(&old, &new));
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
    assert_eq!(rows, [["Crown, Rnds a", "the same words", "14–21 → 16–23"]]);
}

#[test]
fn long_runs_that_stay_are_cut_short() {
    let words = |sts: u32| {
        format!("Ch 1, hdc in each st around and then all the way back, join. ({sts} hdc)")
    };
    let body = |sts| vec![("Body", vec![line("Rnd 1", &words(sts))])];
    let (old, new) = (edition("1.0", vec![("s", body(70))]), edition("1.1", vec![("s", body(72))]));
    let rows = tables(&compare(&old, &new));
    assert_eq!(rows, [["Body, Rnd 1", "… back, join. (a hdc)", "70 → 72"]]);
}

#[test]
fn an_edition_that_says_the_same_says_so() {
    let old = edition("1.0", vec![("s", vec![("Body", body(70, 5))])]);
    let mut new = old.clone();
    new.number = "1.1".into();
    let e = compare(&old, &new);
    assert!(e.is_empty());
    assert!(reflow::text(&document(&e)).contains("nothing"));
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
        "Ch 1, [hdc in next 8 sts, hdc2tog, hdc in next 8 sts, hdc2tog] 4 times. (68 sts)",
        "Ch 1, [hdc in next 7 sts, hdc2tog, hdc in next 8 sts, hdc2tog] 4 times. (64 sts)",
        "Ch 1, [hdc in next st, hdc2tog, hdc in next st, hdc2tog] 4 times. (16 sts)",
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

    /// Every edit of a line is on the printed sheet, in the sizes it holds in: with the
    /// letters filled in from the size's column, or in words, the sheet says the old line
    /// and the new one.
    #[test]
    fn every_edit_is_printed(old in editions(), new in editions()) {
        let missing = missing(&compare(&old, &new));
        prop_assert!(missing.is_none(), "{}", missing.unwrap_or_default());
    }
}

/// A shipped design in six sizes whose gauge changes: all of it is on the sheet.
#[test]
fn a_changed_gauge_is_printed_whole() {
    for (name, from, to) in [
        ("larch-walk", "sts = 17", "sts = 16"),
        ("harbour-rib", "rows = 11", "rows = 12"),
        ("causeway", "sts = 16", "sts = 15"),
    ] {
        let file = format!("{}/templates/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        let old = std::fs::read_to_string(file).unwrap();
        let new = old.replacen(from, to, 1);
        assert_ne!(old, new);
        let sheet = compare(&of(&proved(&old)), &of(&proved(&new)));
        assert_eq!(sheet.sizes.len(), 6);
        assert_eq!(missing(&sheet), None);
    }
}

/// An edit that is not on the printed sheet, and the sheet.
fn missing(sheet: &Errata) -> Option<String> {
    let tables = printed(sheet);
    for size in &sheet.sizes {
        let Edit::Changed { change, .. } = size else { continue };
        for section in &change.sections {
            let Edit::Changed { change: s, .. } = section else { continue };
            for e in s.lines.iter().filter(|e| !drawing(e)) {
                let (from, to) = match e {
                    Edit::Changed { change: r, .. } => (Some(&r.old), Some(&r.new)),
                    Edit::Dropped { old, .. } => (Some(old), None),
                    Edit::Added { new, .. } => (None, Some(new)),
                };
                let row = |head: &[String], r: &[Cell]| {
                    says(head, r, &change.name.new, &s.title.old, from, to)
                };
                if !tables.iter().any(|(head, rows)| rows.iter().any(|r| row(head, r))) {
                    let all = self::tables(sheet);
                    return Some(format!("{from:?} -> {to:?} in {} is not in {all:#?}", change.id));
                }
            }
        }
    }
    None
}

/// Whether only a drawing's own words change: those are not on the sheet, which names the
/// drawing.
fn drawing(e: &Edit<Line, brimwright::correction::errata::Reading<Line>>) -> bool {
    let old = match e {
        Edit::Changed { change, .. } => &change.old,
        Edit::Dropped { old, .. } => old,
        Edit::Added { new, .. } => new,
    };
    old.label == "Picture"
}

/// In plain text a letter for a figure stands in braces, and no other word changes.
#[test]
fn plain_text_has_its_letters_in_braces() {
    let of = |sts| edition("1.0", vec![("s", vec![("Body", body(sts, 5))])]);
    let sheet = compare(&of(70), &of(72));
    let text = |medium| {
        use brimwright::correction::errata::document;
        reflow::text(&document(&sheet, "Gull & Bobbin", "en-US", &[], medium, &PagesOf::new()))
    };
    let (plain, print) = (text(Medium::PlainText), text(Medium::Print));
    assert!(plain.contains("({a} hdc)") && plain.contains("70\u{a0}→\u{a0}72"), "{plain}");
    assert!(print.contains("(a hdc)") && print.contains("heavy type"), "{print}");
    assert!(!plain.contains("heavy type"), "{plain}");
    let tables = |text: &str| {
        let (_, rest) = text.split_once("\n\n").unwrap();
        rest.split_once("\n\n").unwrap().1.replace(['{', '}'], "").split_whitespace().count()
    };
    assert_eq!(tables(&plain), tables(&print));
}

/// Words with `…` for any that are left out.
fn fits(pattern: &str, words: &str) -> bool {
    let mut rest = words;
    let parts: Vec<&str> = pattern.split('…').collect();
    for (i, part) in parts.iter().enumerate() {
        let part = part.trim();
        let found = if i == 0 {
            rest.starts_with(part).then_some(0)
        } else if i + 1 == parts.len() {
            rest.ends_with(part).then(|| rest.len() - part.len())
        } else {
            rest.find(part)
        };
        let Some(at) = found else { return false };
        rest = &rest[at + part.len()..];
    }
    parts.len() > 1 || rest.trim().is_empty()
}

/// A cell's text with each letter in heavy type filled in; words said differently (remarks)
/// left out.
fn filled(cell: &Cell, letters: &[(String, String)]) -> String {
    let one = |i: &Inline| match i {
        Inline::Strong(t) => {
            let name = reflow::words(t);
            letters.iter().find(|(l, _)| *l == name).map_or(name, |(_, v)| v.clone())
        }
        Inline::Emphasis(_) => String::new(),
        other => reflow::words(&vec![other.clone()]),
    };
    cell.text.iter().map(one).collect()
}

/// What a size's column has for each letter: as it was, or as it is.
fn column(cell: &Cell, new: bool) -> Vec<(String, String)> {
    let said = reflow::words(&cell.text).replace('\u{a0}', " ");
    let one = |line: &str| {
        let (letter, value) = match line.split_once(' ') {
            Some((l, v)) if l.chars().all(char::is_alphabetic) && l != "st" => (l, v),
            _ => ("a", line),
        };
        let mut ways = value.split(" → ");
        let first = ways.next().unwrap().to_owned();
        let last = ways.next().map_or(first.clone(), str::to_owned);
        (letter.to_owned(), if new { last } else { first })
    };
    said.lines().map(one).collect()
}

/// Whether a row of the sheet tells of this edit in this size.
fn says(
    head: &[String],
    row: &[Cell],
    size: &str,
    section: &str,
    from: Option<&Line>,
    to: Option<&Line>,
) -> bool {
    let spaced = |words: &str| words.replace('\u{a0}', " ");
    let text = |c: &Cell| spaced(&reflow::words(&c.text));
    let ways = |l: &Line| [spaced(&l.words), spaced(&format!("{}: {}", l.label, l.words))];
    if !text(&row[0]).starts_with(&format!("{section}, ")) {
        return false;
    }
    if head.get(1).is_some_and(|h| h == "Sizes") {
        // Words that stay may be cut short, those that change never.
        let sizes = text(&row[1]);
        let named = sizes.split(" and ").flat_map(|s| s.split(", ")).any(|s| s == size);
        let has = |cell: &Cell, line: Option<&Line>, none: &str| match line {
            None => text(cell).starts_with(none),
            Some(l) => ways(l).iter().any(|w| fits(&text(cell), w)),
        };
        return named && has(&row[2], from, "nothing: a new") && has(&row[3], to, "nothing: leave");
    }
    let Some(at) = head.iter().position(|h| h == size) else { return false };
    if text(&row[at]) == "–" {
        return false;
    }
    let said = |line: Option<&Line>, new: bool| {
        let Some(l) = line else { return true };
        let letters = column(&row[at], new);
        let (place, words) =
            (spaced(&filled(&row[0], &letters)), spaced(&filled(&row[1], &letters)));
        // A new line is said whole, and its place is the line before it.
        let [short, full] = ways(l);
        if from.is_none() {
            return fits(&words, &full) || (l.label.is_empty() && fits(&words, &short));
        }
        let label = spaced(&l.label);
        let here = label.is_empty()
            || place.contains(&label)
            || graded(&place, &label)
            || (label == size && place.ends_with("its row"));
        // A run that only moves on in its numbers says none of its words.
        let moved = text(&row[1]) == "the same words"
            && from.zip(to).is_some_and(|(a, b)| a.words == b.words);
        moved || fits(&words, &full) || (here && fits(&words, &short))
    };
    said(from, false) && said(to, true)
}

/// Whether a label of all sizes, `Rnd 16 (17, –)`, holds this one.
fn graded(all: &str, label: &str) -> bool {
    let Some((word, number)) = label.split_once(' ') else { return false };
    let figures = all.replace(['(', ')', ','], " ");
    all.contains(word) && figures.split_whitespace().any(|f| f == number)
}
