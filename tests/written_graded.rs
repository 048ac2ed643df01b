//! Graded text: numbers in braces, lines for some sizes, pieces that go on from pieces.
//!
//! The numbers are filled in by a small evaluator that shares no code with the program's
//! own grading. Counts are reckoned by hand.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

// Tests read files and stop at the first surprise.

use brimwright::diag::Severity;
use brimwright::fabric::{WorkOptions, Worked, work};
use brimwright::written::{Counter, Hole, Numbers, ReadOptions, Reading, SpecialDef, read};
use std::collections::BTreeMap;

/// Sums, differences and products of names and numbers, with brackets.
struct Names(BTreeMap<&'static str, i64>);

impl Numbers for Names {
    fn value(&self, hole: &Hole, counter: Option<Counter>) -> Result<i64, String> {
        let text: String = hole.text.chars().filter(|c| !c.is_whitespace()).collect();
        let mut at = 0;
        let n = self.sum(text.as_bytes(), &mut at, counter)?;
        if at == text.len() { Ok(n) } else { Err(format!("“{}” is no formula", hole.text)) }
    }
}

impl Names {
    fn sum(&self, t: &[u8], at: &mut usize, c: Option<Counter>) -> Result<i64, String> {
        let mut n = self.product(t, at, c)?;
        while let Some(op @ (b'+' | b'-')) = t.get(*at) {
            *at += 1;
            let m = self.product(t, at, c)?;
            n = if *op == b'+' { n + m } else { n - m };
        }
        Ok(n)
    }

    fn product(&self, t: &[u8], at: &mut usize, c: Option<Counter>) -> Result<i64, String> {
        let mut n = self.term(t, at, c)?;
        while t.get(*at) == Some(&b'*') {
            *at += 1;
            n *= self.term(t, at, c)?;
        }
        Ok(n)
    }

    fn term(&self, t: &[u8], at: &mut usize, c: Option<Counter>) -> Result<i64, String> {
        if t.get(*at) == Some(&b'(') {
            *at += 1;
            let n = self.sum(t, at, c)?;
            *at += 1;
            return Ok(n);
        }
        let from = *at;
        while t.get(*at).is_some_and(|b| b.is_ascii_alphanumeric() || *b == b'_') {
            *at += 1;
        }
        let word = std::str::from_utf8(&t[from..*at]).unwrap();
        match (word, c) {
            ("round", Some(c)) => Ok(i64::from(c.round)),
            ("step", Some(c)) => Ok(i64::from(c.step)),
            _ => word.parse().ok().or(self.0.get(word).copied()).ok_or(format!("{word}?")),
        }
    }
}

const SIZES: [&str; 3] = ["child", "adult-s", "adult-m"];

fn reading(text: &str, specials: &[SpecialDef]) -> Reading {
    let sizes: Vec<String> = SIZES.iter().map(|s| s.to_string()).collect();
    let options = ReadOptions { specials, sizes: &sizes, ..ReadOptions::default() };
    read(text, &options)
}

fn worked(
    text: &str,
    size: &str,
    names: &[(&'static str, i64)],
    before: Option<&Worked>,
) -> Worked {
    let reading = reading(text, &[]);
    assert!(reading.findings.is_empty(), "{:?}", reading.findings);
    let options = WorkOptions { before, ..WorkOptions::default() };
    work(&reading.piece, size, &Names(names.iter().copied().collect()), &options)
}

fn clean(w: &Worked) {
    let faults: Vec<&str> = w
        .findings
        .iter()
        .filter(|f| f.severity == Severity::Fault)
        .map(|f| f.message.as_str())
        .collect();
    assert!(faults.is_empty(), "{faults:?}");
}

const CUFF: &str = "\
Ch {cuff_sts + 1}.
Row 1: Sc in 2nd ch from hook and in each ch across, turn. ({cuff_sts} sts)
Rows 2-{cuff_rows}: Ch 1, sc blo in each st across, turn. ({cuff_sts} sts)
Fold, and sl st the last row to the foundation ch through both layers.";

const BODY: &str = "\
Rnd 1: Ch 1, sc in the end of each row around, join with sl st in first sc. ({cuff_rows} sts)
Rnds 2-{body}: Ch 1, *hdc in next st, fpdc around next st; rep from * around, join. ({cuff_rows} sts)
Rnds {body + 1}-{last}: Ch 1, [hdc in next {last - round + 1} sts, hdc2tog] {wedges} times, join. ({wedges * (last - round + 2)} sts)
Rnd {last + 1}: Ch 1, hdc2tog around, join. ({wedges} sts)
Fasten off, leaving a long tail. Thread tail through remaining sts, pull tight to close.";

/// A hat of 8 wedges: 40 and 56 sts round, closed from there. By hand: with 40 sts the first
/// crown round leaves 8*(k+1), where k plain stitches stand before each decrease.
#[test]
fn a_cuff_and_a_body_in_two_sizes() {
    for (size, rows, body, last) in [("child", 40, 10, 13), ("adult-m", 56, 14, 19)] {
        let names =
            [("cuff_sts", 8), ("cuff_rows", rows), ("body", body), ("last", last), ("wedges", 8)];
        let cuff = worked(CUFF, size, &names, None);
        clean(&cuff);
        assert_eq!(cuff.lines.last().unwrap().count, 8);
        assert_eq!(cuff.fabric.seams.len(), 1);
        let body_worked = worked(BODY, size, &names, Some(&cuff));
        clean(&body_worked);
        let counts: Vec<u64> = body_worked.lines.iter().map(|l| l.count).collect();
        assert_eq!(counts, [rows as u64, rows as u64, 16, 8]);
        assert_eq!(body_worked.lines[2].label, format!("Rnds {}-{last}", body + 1));
        assert!(body_worked.fabric.courses.last().unwrap().gathered);
        // One course for each round, and the crown evaluated anew each round.
        assert_eq!(body_worked.fabric.courses.len() as i64, last + 1);
        let crown: Vec<u32> = body_worked.fabric.courses[body as usize..last as usize]
            .iter()
            .map(|c| c.count)
            .collect();
        let by_hand: Vec<u32> = (1..=(last - body) as u32).rev().map(|k| 8 * (k + 1)).collect();
        assert_eq!(crown, by_hand);
    }
}

#[test]
fn an_empty_range_is_not_worked_and_numbering_goes_on() {
    let text = "\
Rnd 1: 6 sc in magic ring. (6)
Rnd 2: 2 sc in each st around. (12)
Rnds 3-{last}: Sc in each st around. (12)
Rnd {last + 1}: (Sc, inc) 6 times. (18)";
    for last in [2, 3, 9] {
        let w = worked(text, "child", &[("last", last)], None);
        clean(&w);
        assert_eq!(w.fabric.courses.len() as i64, last + 1);
    }
    let w = worked(text, "child", &[("last", 1)], None);
    assert_eq!(w.findings[0].code, "numbering");
}

#[test]
fn lines_for_some_sizes() {
    let text = "\
Rnd 1: 6 sc in magic ring. (6)
Rnd 2: 2 sc in each st around. (12)
Sizes adult-s, adult-m only:
Rnd 3: (Sc, inc) 6 times. (18)
All sizes:
[adult-m] Rnd 4: (Sc 2, inc) 6 times. (24)
Rnd {k}: Sc in each st around. ({n})";
    for (size, k, n) in [("child", 3, 12), ("adult-s", 4, 18), ("adult-m", 5, 24)] {
        let w = worked(text, size, &[("k", k), ("n", n)], None);
        clean(&w);
        assert_eq!(w.lines.last().unwrap().count, n as u64);
    }
}

#[test]
fn an_unknown_size_is_named() {
    let reading = reading("[adult-xl] Rnd 1: 6 sc in magic ring.", &[]);
    assert_eq!(reading.findings[0].code, "unknown-size");
    let other = self::reading("Sizes chidl only:", &[]);
    assert_eq!(other.findings[0].code, "unknown-size");
}

#[test]
fn a_fault_names_its_size_and_its_number() {
    let text = "\
Ch {n}; join.
Rnd 1: Ch 1, sc in each ch around; join. ({n})
Rnd 2: Ch 1, *sc in next 3 sts, ch 1, skip next st; rep from * around; join.";
    clean(&worked(text, "child", &[("n", 36)], None));
    let w = worked(text, "adult-s", &[("n", 35)], None);
    let f = &w.findings[0];
    assert_eq!((f.code, f.sizes.as_slice()), ("leftover", ["adult-s".to_owned()].as_slice()));
    assert!(f.help.as_ref().unwrap().contains("32 or 36"), "{:?}", f.help);
}

#[test]
fn a_stitch_defined_by_the_design() {
    let defs = [
        SpecialDef {
            name: "V-stitch".into(),
            abbr: "V-st".into(),
            definition: "(dc, ch 1, dc) in same st".into(),
        },
        SpecialDef {
            name: "Pebble".into(),
            abbr: "peb".into(),
            definition: "Insert hook, yo, draw up a loop, ch 3, yo, draw through both loops."
                .into(),
        },
    ];
    let reading = reading(
        "Ch 20; join.\nRnd 1: Ch 1, sc in each ch around; join. (20)\nRnd 2: Ch 1, *V-st in next st, skip next st, peb in next 2 sts; rep from * around; join. (5 V-sts, 10 peb)",
        &defs,
    );
    assert!(reading.findings.is_empty(), "{:?}", reading.findings);
    let w = work(&reading.piece, "child", &Names(BTreeMap::new()), &WorkOptions::default());
    clean(&w);
    assert_eq!(w.totals["peb"], 10);
    assert_eq!(w.totals["dc"], 10);
}

#[test]
fn a_hole_that_cannot_be_filled_is_a_fault_and_does_not_stop_the_rest() {
    let w = worked(
        "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: (Sc, inc) {nothing} times. (9)\nRnd 3: Sc in each st around. (9)",
        "child",
        &[],
        None,
    );
    let codes: Vec<&str> = w.findings.iter().map(|f| f.code).collect();
    assert_eq!(codes, ["graded-number"]);
}
