//! The forms of the written language, each worked and held against counts reckoned by hand.
//!
//! A case is a block of lines. `=> 24` behind a line is the count it must come to; `!! code`
//! the fault it must have; `totals:` the stitches of the whole piece. A line with neither
//! must have no fault. Counts: reckoned by hand from the rules in ambiguities.md.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

// Tests read files and stop at the first surprise.

use brimwright::proof::text::{TextOptions, prove};
use brimwright::standards::stitches::Terms;
use brimwright::written::Method;

fn blocks(text: &str) -> Vec<(String, Vec<String>)> {
    let mut out: Vec<(String, Vec<String>)> = Vec::new();
    for line in text.lines() {
        if let Some(name) = line.strip_prefix("## ") {
            out.push((name.to_owned(), Vec::new()));
        } else if !line.trim().is_empty()
            && !line.starts_with("//")
            && let Some((_, lines)) = out.last_mut()
        {
            lines.push(line.to_owned());
        }
    }
    out
}

/// What is wrong with a block.
fn misses(name: &str, lines: &[String]) -> Vec<String> {
    let mut text = String::new();
    let mut wanted = Vec::new();
    let mut totals = None;
    for line in lines {
        if let Some(t) = line.strip_prefix("totals:") {
            totals = Some(t.trim().to_owned());
            continue;
        }
        let (body, count) = match line.split_once(" => ") {
            Some((b, n)) => (b, Some(n.trim().parse::<u64>().unwrap())),
            None => (line.as_str(), None),
        };
        let (body, fault) = match body.split_once(" !! ") {
            Some((b, f)) => (b, Some(f.trim().to_owned())),
            None => (body, None),
        };
        text.push_str(body);
        text.push('\n');
        wanted.push((body.to_owned(), count, fault));
    }
    let options = TextOptions {
        terms: if name.contains("[uk]") { Some(Terms::Uk) } else { None },
        method: if name.contains("[joined]") { Some(Method::Joined) } else { None },
        ..TextOptions::default()
    };
    let proof = prove(&text, &options);
    let mut out = Vec::new();
    for (i, (body, count, fault)) in wanted.iter().enumerate() {
        let n = i as u32 + 1;
        let got = proof.lines.iter().find(|l| l.line == n).map(|l| l.count);
        if fault.is_none() && *count != got {
            out.push(format!("“{body}”: wanted {count:?}, got {got:?}"));
        }
        let faults: Vec<String> = proof
            .faults
            .iter()
            .filter(|f| f.line == n)
            .map(|f| format!("{}: {}", f.code, f.message))
            .collect();
        match fault {
            None if !faults.is_empty() => out.push(format!("“{body}”: {}", faults.join("; "))),
            Some(code) if !faults.iter().any(|f| f.starts_with(&format!("{code}:"))) => {
                out.push(format!("“{body}”: wanted {code}, got {faults:?}"));
            }
            _ => {}
        }
    }
    if let Some(totals) = totals {
        let got: Vec<String> = proof.totals.iter().map(|(k, n)| format!("{k} {n}")).collect();
        let mut want: Vec<&str> = totals.split(", ").collect();
        want.sort_unstable();
        if want != got {
            out.push(format!("totals: wanted {want:?}, got {got:?}"));
        }
    }
    out
}

fn run(text: &str) {
    let mut wrong = Vec::new();
    let blocks = blocks(text);
    for (name, lines) in &blocks {
        let misses = misses(name, lines);
        if !misses.is_empty() {
            wrong.push(format!("## {name}\n    {}", misses.join("\n    ")));
        }
    }
    assert!(!blocks.is_empty());
    assert!(wrong.is_empty(), "{} of {} wrong\n{}", wrong.len(), blocks.len(), wrong.join("\n"));
}

#[test]
fn every_form_is_read_and_worked() {
    run(&std::fs::read_to_string("tests/written/forms.txt").unwrap());
}

/// The grammar's examples: every fenced block of GRAMMAR.md, headed by what stands above it.
#[test]
fn every_example_of_the_grammar_is_read_and_worked() {
    let grammar = include_str!("../src/written/GRAMMAR.md");
    let mut text = String::new();
    let mut heading = "";
    let mut inside = false;
    for line in grammar.lines() {
        if line.starts_with("```") {
            inside = !inside && line == "```text";
            if inside {
                text.push_str(&format!("## {heading}\n"));
            }
        } else if inside {
            text.push_str(line);
            text.push('\n');
        } else if line.starts_with('#') {
            heading = line.trim_start_matches(['#', ' ']);
        }
    }
    run(&text);
}

/// The pages of `explain`: the bad example has the fault, the good one has none.
#[test]
fn every_page_of_explain_shows_its_fault() {
    use brimwright::diag::explain::{Kind, pages};
    let mut seen = 0;
    for page in pages().iter().filter(|p| p.example == Kind::Text && !p.bad.is_empty()) {
        let codes = |text: &str| -> Vec<String> {
            prove(text.trim(), &TextOptions::default()).faults.into_iter().map(|f| f.code).collect()
        };
        assert!(codes(&page.bad).contains(&page.code), "{}: {:?}", page.code, codes(&page.bad));
        assert!(codes(&page.good).is_empty(), "{}: {:?}", page.code, codes(&page.good));
        seen += 1;
    }
    assert!(seen >= 14);
}
