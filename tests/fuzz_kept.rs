//! Bytes that once brought a fault to light, run again: each file in `fuzz/kept/<target>`
//! through what must hold for that target. So is every text of the phrasebook, from which the
//! seeds are made.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

#[path = "fuzz/checks.rs"]
mod checks;
#[allow(dead_code)]
#[path = "say/normal.rs"]
mod normal;
#[allow(dead_code)]
#[path = "say/sheet.rs"]
mod sheet;

use std::path::Path;

fn run(target: &str, check: fn(&[u8])) -> usize {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/kept").join(target);
    let Ok(files) = std::fs::read_dir(&folder) else { return 0 };
    let mut files: Vec<_> = files.map(|e| e.unwrap().path()).collect();
    files.sort();
    for file in &files {
        println!("{}", file.display());
        check(&std::fs::read(file).unwrap());
    }
    files.len()
}

#[test]
fn what_was_kept_holds() {
    let kept = run("reader", checks::reader)
        + run("worker", checks::worker)
        + run("said", checks::said)
        + run("design", checks::design)
        + run("card", checks::card);
    assert!(kept >= 4, "{kept} files are kept");
}

#[test]
fn the_phrasebook_holds() {
    let mut cases = 0;
    for name in ["public.jsonl", "own.jsonl"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/phrasebook").join(name);
        for line in std::fs::read_to_string(path).unwrap().lines() {
            let case: serde_json::Value = serde_json::from_str(line).unwrap();
            let lines = case["lines"].as_array().unwrap().iter().filter_map(|l| l.as_str());
            // The byte that says what is told beside the text: see `fuzz/checks.rs`.
            let terms = if case["terms"] == "UK" { 2 } else { 1 };
            let method = match case["worked"].as_str() {
                Some("rows") => 1,
                Some("joined rounds") => 2,
                Some("spiral") => 3,
                _ => 0,
            };
            let byte = (b'0'..).find(|b| b % 3 == terms && b / 3 % 4 == method).unwrap();
            let mut text = vec![byte];
            text.extend(lines.collect::<Vec<_>>().join("\n").bytes());
            println!("{}", case["id"]);
            checks::worker(&text);
            checks::said_whole(&text);
            cases += 1;
        }
    }
    assert!(cases > 800, "{cases} cases");
}
