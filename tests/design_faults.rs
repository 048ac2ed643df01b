//! Design files that are wrong, and what the person is told: each file in `golden/design`
//! beside the text it brings. `UPDATE_GOLDEN=1` writes the texts anew; read them before
//! they are kept.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use brimwright::design::read;
use brimwright::diag::{Finding, Sources, render};
use brimwright::grading::grade;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/design")
}

fn cases() -> Vec<PathBuf> {
    let files = fs::read_dir(folder()).unwrap().map(|e| e.unwrap().path());
    let mut cases: Vec<PathBuf> =
        files.filter(|p| p.extension().is_some_and(|e| e == "toml")).collect();
    cases.sort();
    cases
}

/// Everything that reading and grading find.
fn findings(text: &str, name: &str) -> (Vec<Finding>, Sources) {
    let mut sources = Sources::default();
    let id = sources.add(name, text);
    let (design, mut findings) = read(id, text);
    if let Some(design) = design {
        findings.extend(grade(&design).1);
    }
    (findings, sources)
}

#[test]
fn each_wrong_file_is_told_as_it_should_be() {
    let update = std::env::var_os("UPDATE_GOLDEN").is_some();
    let mut wrong = Vec::new();
    for path in cases() {
        let text = fs::read_to_string(&path).unwrap();
        let name = path.file_name().unwrap().to_str().unwrap();
        let (findings, sources) = findings(&text, name);
        assert!(!findings.is_empty(), "{name} has nothing wrong");
        let told = render::text(&findings, &sources, false);
        let golden = path.with_extension("txt");
        if update {
            fs::write(&golden, &told).unwrap();
        } else if fs::read_to_string(&golden).unwrap_or_default() != told {
            wrong.push(format!("{name}:\n{told}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The cases cover the codes that reading and grading can give.
#[test]
fn the_cases_cover_the_codes() {
    let mut codes = BTreeSet::new();
    for path in cases() {
        let text = fs::read_to_string(&path).unwrap();
        codes.extend(findings(&text, "").0.iter().map(|f| f.code));
    }
    let known = [
        "bad-multiple",
        "bad-name",
        "bad-quantity",
        "bad-time",
        "bad-unit",
        "divide-by-zero",
        "duplicate",
        "ease-range",
        "empty",
        "formula-cycle",
        "formula-syntax",
        "formula-unit",
        "limit",
        "missing-key",
        "format",
        "no-alt",
        "out-of-range",
        "reserved-name",
        "size-without-depth",
        "size-without-number",
        "sizes-equal",
        "sizes-order",
        "toml",
        "unknown-gauge",
        "unknown-hook",
        "unknown-key",
        "unknown-name",
        "unknown-piece",
        "unknown-size",
        "unknown-word",
        "unknown-yarn",
        "wrong-type",
    ];
    for code in known {
        assert!(codes.contains(code), "no case has {code}");
    }
}
