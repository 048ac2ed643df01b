//! The pages of the design file's and grading's codes: each bad example has its fault, each
//! good one has not.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use brimwright::design::read;
use brimwright::diag::SourceId;
use brimwright::diag::explain::{Kind, Page, pages};
use brimwright::grading::{fit, grade};
use brimwright::proof::prove;
use std::collections::BTreeSet;
use toml::{Table, Value};

/// The smallest whole design.
const SMALLEST: &str = r#"
format = 1
[pattern]
title = "Cap"
by = "Tern & Thimble"
edition = "1.0"
[gauge.body]
sts = 14
rows = 10
over = "10 cm"
[fit]
ease = "-8 %"
[sizes]
use = ["child", "adult-s", "adult-m"]
"#;

/// A plain tube in one size, for pages on what is known only when the hat is worked.
const HAT: &str = r#"
format = 1
[pattern]
title = "Cap"
by = "Tern & Thimble"
edition = "1.0"
[[yarn]]
name = "A"
ball = { mass = "50 g", length = "125 m" }
[gauge.body]
sts = 20
rows = 20
over = "10 cm"
swatch_mass = "8 g"
[fit]
ease = "0 %"
[sizes]
from = "own"
use = ["one"]
[sizes.own.one]
head = "50 cm"
depth = "20 cm"
[counts]
sts = "nearest(girth / body.st)"
rnds = "nearest(depth / body.row)"
[[piece]]
name = "Body"
worked = "joined rounds"
text = """
Ch {sts}, join with sl st in first ch to form a ring.
Rnd 1: Ch 1, sc in each ch around, join with sl st in first sc. ({sts} sc)
Rnds 2-{rnds}: Ch 1, sc in each st around, join with sl st in first sc. ({sts} sc)
"""
"#;

/// The codes of the pages in this file's care.
fn codes() -> BTreeSet<String> {
    let files = [
        include_str!("../src/diag/explain/design.toml"),
        include_str!("../src/diag/explain/grading.toml"),
        include_str!("../src/diag/explain/measures.toml"),
    ];
    files
        .iter()
        .flat_map(|f| toml::from_str::<Table>(f).unwrap()["page"].as_array().unwrap().clone())
        .map(|p| p["code"].as_str().unwrap().to_owned())
        .collect()
}

/// Lays `part` over `whole`, table by table.
fn lay(whole: &mut Table, part: Table) {
    for (key, value) in part {
        match (whole.get_mut(&key), value) {
            (Some(Value::Table(under)), Value::Table(over)) if key != "depth" => lay(under, over),
            (_, value) => {
                whole.insert(key, value);
            }
        }
    }
}

/// The codes that an example brings: read, graded, its braces worked out, its fit judged.
fn told(example: &str) -> BTreeSet<&'static str> {
    let Ok(part) = toml::from_str::<Table>(example) else {
        let (_, findings) = read(SourceId(0), &format!("{SMALLEST}\n{example}"));
        return findings.iter().map(|f| f.code).collect();
    };
    let mut whole: Table = toml::from_str(SMALLEST).unwrap();
    lay(&mut whole, part);
    let text = toml::to_string(&whole).unwrap();
    let (design, findings) = read(SourceId(0), &text);
    let mut codes: BTreeSet<&str> = findings.iter().map(|f| f.code).collect();
    let Some(design) = design else { return codes };
    let (graded, findings) = grade(&design);
    codes.extend(findings.iter().map(|f| f.code));
    for piece in &design.pieces {
        for hole in piece.text.text.split('{').skip(1) {
            let hole = hole.split('}').next().unwrap();
            for size in 0..graded.sizes.len() {
                codes.extend(graded.eval_hole(size, hole, None).err().map(|e| e.code));
            }
        }
    }
    let made: Vec<fit::Made> = graded.sizes.iter().map(fit::Made::from).collect();
    codes.extend(fit::check(&design, &made).iter().map(|f| f.code));
    codes
}

/// All that a hat brings, laid over [`HAT`], read and worked.
fn worked(example: &str) -> BTreeSet<&'static str> {
    let mut whole: Table = toml::from_str(HAT).unwrap();
    lay(&mut whole, toml::from_str(example).unwrap());
    let (design, findings) = read(SourceId(0), &toml::to_string(&whole).unwrap());
    let more = prove(design.unwrap_or_else(|| panic!("{findings:#?}"))).1;
    findings.iter().chain(&more).map(|f| f.code).collect()
}

fn ours() -> Vec<&'static Page> {
    let codes = codes();
    pages().iter().filter(|p| codes.contains(&p.code)).collect()
}

#[test]
fn the_smallest_design_has_nothing_wrong() {
    assert_eq!(told(""), BTreeSet::new());
}

/// A tube has no top, so nothing is asked of its depth but what an example changes.
#[test]
fn the_small_hat_has_no_fault() {
    assert_eq!(worked(""), BTreeSet::new());
}

#[test]
fn bad_examples_are_bad_and_good_ones_good() {
    let pages = ours();
    assert!(pages.len() >= 40, "{}", pages.len());
    for page in pages {
        let told = match page.example {
            Kind::Design => told,
            Kind::Hat => worked,
            _ => {
                assert!(page.bad.is_empty());
                continue;
            }
        };
        let bad = told(&page.bad);
        assert!(bad.contains(page.code.as_str()), "{}: {bad:?}", page.code);
        let good = told(&page.good);
        // What is mended has nothing else wrong with it, where a whole hat was worked; the
        // pages on crowns show a crown alone.
        let whole = page.example == Kind::Hat && !page.code.starts_with("crown-");
        let clean = !whole || good.is_empty();
        assert!(clean && !good.contains(page.code.as_str()), "{}: {good:?}", page.code);
    }
}

#[test]
fn every_code_has_one_page() {
    let all: Vec<&str> = pages().iter().map(|p| p.code.as_str()).collect();
    for code in codes() {
        assert_eq!(all.iter().filter(|c| **c == code).count(), 1, "{code}");
    }
    // Codes found in the sources of the rooms.
    let sources = [
        include_str!("../src/design/read.rs"),
        include_str!("../src/design/names.rs"),
        include_str!("../src/design/parts.rs"),
        include_str!("../src/design/sizes.rs"),
        include_str!("../src/design/walk.rs"),
        include_str!("../src/grading/eval.rs"),
        include_str!("../src/grading/fit.rs"),
        include_str!("../src/grading/graded.rs"),
        include_str!("../src/grading/parse.rs"),
        include_str!("../src/grading/rules.rs"),
        include_str!("../src/proof/measured.rs"),
        include_str!("../src/proof/until.rs"),
    ];
    let mut seen = 0;
    for source in sources {
        for call in ["Finding::fault(", "Finding::caution(", "HoleError::new("] {
            for rest in source.split(call).skip(1) {
                let Some(code) = rest.trim_start().strip_prefix('"') else { continue };
                let code = code.split('"').next().unwrap();
                assert!(all.contains(&code), "{code} has no page");
                seen += 1;
            }
        }
    }
    assert!(seen > 50, "{seen}");
}
