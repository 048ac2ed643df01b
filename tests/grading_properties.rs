//! What holds for every head, every gauge and every formula.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod sound;

use brimwright::design::read;
use brimwright::diag::SourceId;
use brimwright::grading::grade;
use proptest::prelude::*;
use sound::{design, plain};

const GAUGE: (f64, f64, &str) = (10.0, 8.0, "10 cm");

/// A design whose counts are of the forms that designs use.
fn forms(head_mm: f64, sts: f64, rows: f64, over_mm: f64, scale: f64) -> Vec<i64> {
    let text = format!(
        r#"format = 1
[pattern]
title = "T"
by = "B"
edition = "1"
[gauge.body]
sts = {sts}
rows = {rows}
over = "{over} mm"
[fit]
ease = "-8 %"
[sizes]
from = "own"
use = ["one"]
[sizes.own.one]
head = "{head} mm"
depth = "head * 0.4"
[counts]
sts = "nearest(girth / body.st, 6)"
odd = "nearest(girth / body.st, 4, 1)"
wide = "up(head / body.st, 3)"
less = "down((girth - {trim} mm) / body.st, 2)"
rounds = "up(depth / body.row)"
crown = "nearest(girth / (2 * pi * body.row))"
"#,
        over = over_mm * scale,
        head = head_mm * scale,
        trim = 20.0 * scale,
    );
    let (design, findings) = read(SourceId(0), &text);
    assert!(findings.is_empty(), "{findings:?}");
    let (graded, findings) = grade(&design.unwrap());
    assert!(findings.is_empty(), "{findings:?}");
    ["sts", "odd", "wide", "less", "rounds", "crown"]
        .iter()
        .map(|n| graded.sizes[0].values[*n].count().unwrap())
        .collect()
}

fn never_fewer(a: &[i64], b: &[i64]) -> bool {
    a.iter().zip(b).all(|(x, y)| x <= y)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn a_larger_head_never_has_fewer_stitches(head in 250.0..600.0f64, more in 0.0..60.0f64,
                                              sts in 5.0..30.0f64, rows in 4.0..30.0f64) {
        let a = forms(head, sts, rows, 100.0, 1.0);
        let b = forms(head + more, sts, rows, 100.0, 1.0);
        prop_assert!(never_fewer(&a, &b), "{a:?} {b:?}");
    }

    #[test]
    fn a_denser_gauge_never_has_fewer_stitches(head in 250.0..660.0f64, sts in 5.0..30.0f64,
                                               rows in 4.0..30.0f64, more in 0.0..5.0f64) {
        let a = forms(head, sts, rows, 100.0, 1.0);
        let b = forms(head, sts + more, rows + more, 100.0, 1.0);
        prop_assert!(never_fewer(&a, &b), "{a:?} {b:?}");
    }

    /// Also at the very edge of a step: quarter stitches and whole millimetres.
    #[test]
    fn scaling_every_length_changes_no_count(head in 300u32..600, sts in 20u32..100,
                                             rows in 20u32..100, scale in 0.7..1.5f64) {
        let (head, sts, rows) = (f64::from(head), f64::from(sts) / 4.0, f64::from(rows) / 4.0);
        prop_assert_eq!(forms(head, sts, rows, 100.0, 1.0), forms(head, sts, rows, 100.0, scale));
    }

    #[test]
    fn centimetres_and_inches_give_the_same_counts(quarters in 60u32..100, sts in 20u32..100,
                                                   rows in 20u32..100, over in 1u32..6) {
        let (sts, rows) = (f64::from(sts) / 4.0, f64::from(rows) / 4.0);
        let inches = f64::from(quarters) / 4.0;
        let counts = "a = \"nearest(head / body.st, 6)\"\nb = \"up(head * 0.4 / body.row)\"\n\
                      c = \"down(head / body.st, 4, 1)\"";
        let metric = plain(&format!("{} cm", inches * 2.54),
                           (sts, rows, &format!("{} cm", f64::from(over) * 2.54)), counts);
        let imperial = plain(&format!("{inches} in"), (sts, rows, &format!("{over} in")), counts);
        let of = |text: &str| grade(&design(text)).0.sizes[0].values.clone();
        prop_assert_eq!(of(&metric), of(&imperial));
    }

    #[test]
    fn no_formula_panics(text in "[a-z0-9 ()+*/.,<>=!%×½{}-]{0,40}|\\PC{0,40}") {
        let quoted = toml::Value::String(text.clone()).to_string();
        let design = plain("56 cm", GAUGE, &format!("it = {quoted}"));
        let (read, _) = read(SourceId(0), &design);
        if let Some(read) = read {
            let (graded, _) = grade(&read);
            let _ = graded.eval_hole(0, &text, Some((3, 1)));
        }
    }

    #[test]
    fn no_likely_formula_panics(parts in proptest::collection::vec(
        prop_oneof![Just("head"), Just("+"), Just("-"), Just("*"), Just("/"), Just("("), Just(")"),
                    Just("nearest("), Just("if("), Just(","), Just("<"), Just("0"), Just("3"),
                    Just("2.5"), Just("4 cm"), Just("body.st"), Just("it"), Just("pi")], 0..14)) {
        let text = parts.join(" ");
        let design = plain("56 cm", GAUGE, &format!("it = \"{text}\""));
        if let (Some(read), _) = read(SourceId(0), &design) {
            let (graded, _) = grade(&read);
            let _ = graded.eval_hole(0, &text, None);
        }
    }
}
