//! From a design file to every number in every size.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use brimwright::design::{Design, read};
use brimwright::diag::{Finding, Sources, render};
use brimwright::grading::{Graded, grade};

const SAMPLE: &str = include_str!("designs/harbour-step.toml");

/// Reads a design that must have no finding.
fn design(text: &str) -> Design {
    let mut sources = Sources::default();
    let id = sources.add("design.toml", text);
    let (design, findings) = read(id, text);
    assert!(findings.is_empty(), "{}", render::text(&findings, &sources, false));
    design.expect("a design")
}

fn graded(text: &str) -> (Graded, Vec<Finding>) {
    grade(&design(text))
}

#[test]
fn the_sample_is_graded_in_every_size() {
    let (graded, findings) = graded(SAMPLE);
    assert!(findings.is_empty(), "{findings:?}");
    let ids: Vec<&str> = graded.sizes.iter().map(|s| s.id.as_str()).collect();
    assert_eq!(ids, ["toddler", "child", "adult-s", "adult-m", "adult-l"]);
    for size in &graded.sizes {
        for t in &size.traces {
            println!("{}: {}", size.id, t.line());
        }
    }
    // By hand: head 56.5 cm less 8 % is 51.98 cm; a cuff row is 10/12 cm; 62.376 rows; the
    // nearest multiple of 3 is 63. Depth 22.5 cm less 8 sts of 10/11 cm is 15.227 cm; a
    // round is 10/9 cm; 13.705 rounds, so 14.
    let m = &graded.sizes[3];
    let count = |name: &str| m.values[name].count();
    assert_eq!(count("cuff_rows"), Some(63));
    assert_eq!(count("motifs"), Some(21));
    assert_eq!(count("rounds"), Some(14));
    assert_eq!(graded.eval_hole(3, "cuff_sts + 2", None).map_err(|e| e.to_string()), Ok(10));
    assert_eq!(
        graded.eval_hole(3, "step * 2 + round", Some((5, 3))).map_err(|e| e.message),
        Ok(11)
    );
}
