//! The reference of the design file against the reader: every key is documented, every
//! documented example reads, and every key is really read.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use brimwright::design::{FREE_TABLES, KEYS, read};
use brimwright::diag::{SourceId, Sources, render};
use brimwright::grading::grade;
use std::collections::BTreeMap;
use toml::{Table, Value};

const REFERENCE: &str = include_str!("../templates/DESIGN-FILE.md");

/// The TOML examples of the reference.
fn examples() -> Vec<&'static str> {
    let fenced = REFERENCE.split("```toml\n").skip(1);
    fenced.map(|rest| rest.split("```").next().unwrap()).collect()
}

/// A whole design that the examples are laid over, table by table.
const WHOLE: &str = r#"
format = 1
[pattern]
title = "T"
by = "B"
edition = "1"
[[yarn]]
name = "A"
[hook]
body = "7 mm"
cuff = "6 mm"
[gauge.body]
sts = 10
rows = 9
over = "10 cm"
[fit]
ease = "-8 %"
[sizes]
use = ["toddler", "child", "adult-m"]
[counts]
cuff_sts = 8
cuff_rows = 60
[[piece]]
name = "Cuff"
gauge = "body"
worked = "rows"
text = "Ch {cuff_sts}."
"#;

/// The example laid over the whole design. An example with sizes of its own brings no
/// numbers for the standard ones.
fn laid_over(example: &str) -> String {
    let mut whole: Table = toml::from_str(WHOLE).unwrap();
    let part: Table = toml::from_str(example).unwrap();
    for (key, value) in part {
        whole.insert(key, value);
    }
    toml::to_string(&whole).unwrap()
}

#[test]
fn every_example_reads() {
    let examples = examples();
    assert!(examples.len() >= 16, "{}", examples.len());
    for example in examples {
        let text = laid_over(example);
        let mut sources = Sources::default();
        let id = sources.add("example.toml", text.as_str());
        let (design, findings) = read(id, &text);
        let told = render::text(&findings, &sources, false);
        assert!(findings.is_empty(), "{example}\n{told}");
        let (_, findings) = grade(&design.unwrap());
        let told = render::text(&findings, &sources, false);
        assert!(!brimwright::diag::any_fault(&findings), "{example}\n{told}");
    }
}

/// Where in a parsed document the keys of a table of [`KEYS`] stand.
fn tables<'v>(document: &'v Table, path: &str) -> Vec<&'v Table> {
    fn descend<'v>(value: &'v Value, steps: &[&str], found: &mut Vec<&'v Table>) {
        if let Value::Array(list) = value {
            list.iter().for_each(|v| descend(v, steps, found));
            return;
        }
        let Value::Table(table) = value else { return };
        match steps.split_first() {
            None => found.push(table),
            Some((&"*", rest)) => table.values().for_each(|v| descend(v, rest, found)),
            Some((step, rest)) => {
                if let Some(v) = table.get(*step) {
                    descend(v, rest, found);
                }
            }
        }
    }
    let steps: Vec<&str> = path.split('.').filter(|s| !s.is_empty()).collect();
    let mut found = Vec::new();
    let Some((first, rest)) = steps.split_first() else { return vec![document] };
    if let Some(v) = document.get(*first) {
        descend(v, rest, &mut found);
    }
    found
}

#[test]
fn every_key_is_documented_with_an_example() {
    let documents: Vec<Table> =
        examples().into_iter().map(|e| toml::from_str(e).unwrap()).collect();
    for (table, keys) in KEYS {
        for key in *keys {
            assert!(REFERENCE.contains(&format!("`{key}`")) || table.is_empty(), "`{key}`");
            let shown =
                documents.iter().any(|d| tables(d, table).iter().any(|t| t.contains_key(*key)));
            assert!(shown, "no example has `{key}` of [{table}]");
        }
    }
    for table in FREE_TABLES {
        let shown = documents.iter().any(|d| tables(d, table).iter().any(|t| !t.is_empty()));
        assert!(shown, "no example has [{table}]");
    }
}

/// A design in which every table of [`KEYS`] stands.
fn everything() -> Table {
    let mut whole: Table = toml::from_str(WHOLE).unwrap();
    for example in examples() {
        let part: Table = toml::from_str(example).unwrap();
        for (key, value) in part {
            whole.insert(key, value);
        }
    }
    whole
}

/// Puts a value under a key in the first table of this path.
fn put(table: &mut Table, steps: &[&str], key: &str, value: Value) -> bool {
    let Some((step, rest)) = steps.split_first() else {
        table.insert(key.to_owned(), value);
        return true;
    };
    let next = match *step {
        "*" => table.iter_mut().next().map(|(_, v)| v),
        step => table.get_mut(step),
    };
    match next {
        Some(Value::Table(inner)) => put(inner, rest, key, value),
        Some(Value::Array(list)) => match list.first_mut() {
            Some(Value::Table(inner)) => put(inner, rest, key, value),
            _ => false,
        },
        _ => false,
    }
}

/// No key is known and then passed over: a value of a type that no key takes is a fault at
/// each.
#[test]
fn every_known_key_is_read() {
    let odd: Value = toml::from_str::<Table>("v = 07:32:00").unwrap()["v"].clone();
    for (table, keys) in KEYS {
        for key in *keys {
            let mut whole = everything();
            let steps: Vec<&str> = table.split('.').filter(|s| !s.is_empty()).collect();
            assert!(put(&mut whole, &steps, key, odd.clone()), "[{table}] in the examples");
            let text = toml::to_string(&whole).unwrap();
            let (design, findings) = read(SourceId(0), &text);
            assert!(design.is_none(), "`{key}` of [{table}] is not read");
            let at = text.find("07:32:00").unwrap() as u32;
            assert!(
                findings
                    .iter()
                    .any(|f| f.code == "wrong-type" && f.place.is_some_and(|p| p.span.start == at)),
                "`{key}` of [{table}]: {findings:?}"
            );
        }
    }
}

#[test]
fn an_unknown_key_names_the_nearest_known_one() {
    for (table, keys) in KEYS {
        for key in *keys {
            let wrong = format!("{key}x");
            if keys.contains(&wrong.as_str()) || *table == "fit" {
                continue;
            }
            let mut whole = everything();
            let steps: Vec<&str> = table.split('.').filter(|s| !s.is_empty()).collect();
            assert!(put(&mut whole, &steps, &wrong, Value::Integer(1)));
            let text = toml::to_string(&whole).unwrap();
            let (_, findings) = read(SourceId(0), &text);
            let unknown: Vec<_> = findings.iter().filter(|f| f.code == "unknown-key").collect();
            assert_eq!(unknown.len(), 1, "{wrong} of [{table}]: {findings:?}");
            assert!(unknown[0].help.as_ref().unwrap().contains(key), "{unknown:?}");
            let place = unknown[0].place.unwrap();
            assert_eq!(&text[place.span.range()], wrong);
        }
    }
}

/// The standard sizes named in the reference are the ones there are.
#[test]
fn the_reference_names_every_standard_size() {
    let ids: BTreeMap<&str, _> =
        brimwright::standards::heads::sizes().iter().map(|s| (s.id.as_str(), s)).collect();
    let list = REFERENCE.split("The standard sizes:").nth(1).unwrap();
    let list = list.split("```").next().unwrap();
    let listed = list.lines().filter(|l| l.starts_with("| `")).count();
    assert_eq!(listed, ids.len());
    for size in ids.values() {
        let cm = |l: brimwright::quantity::Length| brimwright::quantity::number(l.to_cm(), 1);
        let row = format!(
            "| {} | {}–{} cm | {} cm | {} |",
            size.name,
            cm(size.min),
            cm(size.max),
            cm(size.head),
            size.ages
        );
        assert!(list.contains(&format!("| `{}`", size.id)) && list.contains(&row), "{row}");
    }
}

/// The designs that ship beside the reference read and grade without a fault.
#[test]
#[allow(clippy::disallowed_methods)]
fn every_shipped_design_reads_and_grades() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("templates");
    let mut seen = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let text = match path.extension().is_some_and(|e| e == "toml") {
            true => std::fs::read_to_string(&path).unwrap(),
            false => continue,
        };
        if !text.contains("format = 1") {
            continue;
        }
        let mut sources = Sources::default();
        let id = sources.add(path.display().to_string(), text.as_str());
        let (design, mut findings) = read(id, &text);
        if let Some(design) = design {
            findings.extend(grade(&design).1);
        }
        let told = render::text(&findings, &sources, false);
        assert!(!brimwright::diag::any_fault(&findings), "{told}");
        seen += 1;
    }
    assert!(seen >= 2, "{seen}");
}
