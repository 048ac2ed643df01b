//! Designs that read without a finding, for tests of what follows from them.
#![allow(dead_code)]

use brimwright::design::{Design, read};
use brimwright::diag::{SourceId, Sources, any_fault, render};
use brimwright::proof::{Proved, prove};

/// A whole design in five sizes that has nothing wrong with it.
pub const SAMPLE: &str = include_str!("../designs/harbour-step.toml");

/// Every shipped design, by name.
pub const SHIPPED: [(&str, &str); 9] = [
    ("causeway", include_str!("../../templates/causeway.toml")),
    ("fell-gate", include_str!("../../templates/fell-gate.toml")),
    ("harbour-rib", include_str!("../../templates/harbour-rib.toml")),
    ("larch-walk", include_str!("../../templates/larch-walk.toml")),
    ("millstone", include_str!("../../templates/millstone.toml")),
    ("post-road", include_str!("../../templates/post-road.toml")),
    ("signal-box", include_str!("../../templates/signal-box.toml")),
    ("tide-pool", include_str!("../../templates/tide-pool.toml")),
    ("weir-turn", include_str!("../../templates/weir-turn.toml")),
];

/// Reads a design that must have no finding.
pub fn design(text: &str) -> Design {
    let mut sources = Sources::default();
    let id = sources.add("design.toml", text);
    let (design, findings) = read(id, text);
    assert!(findings.is_empty(), "{}", render::text(&findings, &sources, false));
    design.expect("a design")
}

/// A design of one size with these counts; `gauge` is stitches, rows and over.
pub fn plain(head: &str, gauge: (f64, f64, &str), counts: &str) -> String {
    let (sts, rows, over) = gauge;
    format!(
        r#"format = 1
[pattern]
title = "T"
by = "B"
edition = "1"
[gauge.body]
sts = {sts}
rows = {rows}
over = "{over}"
[sizes]
from = "own"
use = ["one"]
[sizes.own.one]
head = "{head}"
depth = "20 cm"
[counts]
{counts}
"#
    )
}

/// Reads and works a design that must have no fault.
pub fn proved(text: &str) -> Proved {
    let (design, findings) = read(SourceId(0), text);
    let (proved, more) = prove(design.unwrap_or_else(|| panic!("{findings:#?}")));
    assert!(!any_fault(&findings) && !any_fault(&more), "{findings:#?} {more:#?}");
    proved
}
