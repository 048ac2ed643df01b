//! Sentences word for word. A block of a `.txt` file holds source lines (`> `), conditions
//! (`@ `) and what is said in each form (`form | sentence`). Run with BRIMWRIGHT_UPDATE=1
//! to write down what is said now; then read every change.

use crate::sheet::Sheet;
use brimwright::written::say::{Hand, Length, Said, SizeVoice, Style};
use brimwright::written::*;
use std::path::{Path, PathBuf};

#[derive(Default)]
struct Block {
    /// Comments and conditions, as written.
    head: Vec<String>,
    source: Vec<String>,
    expected: Vec<String>,
}

#[derive(Default)]
struct Conditions {
    terms: Option<Terms>,
    method: Option<Method>,
    sheets: Vec<Sheet>,
    left: bool,
    each_round: bool,
}

impl Block {
    fn conditions(&self) -> Conditions {
        let mut all = Conditions::default();
        for line in self.head.iter().filter_map(|l| l.strip_prefix("@ ")) {
            let (key, value) = line.split_once(' ').unwrap_or((line, ""));
            match key {
                "uk" => all.terms = Some(Terms::Uk),
                "rows" => all.method = Some(Method::Rows),
                "rounds" => all.method = Some(Method::Joined),
                "spiral" => all.method = Some(Method::Spiral),
                "left" => all.left = true,
                "each" => all.each_round = true,
                "sizes" => all.sheets = value.split(';').map(Sheet::parse).collect(),
                _ => panic!("no condition {key}"),
            }
        }
        all
    }

    /// What is said in each form, one line a sentence.
    fn said(&self) -> Vec<String> {
        let all = self.conditions();
        let ids: Vec<String> = all.sheets.iter().map(|s| s.id.clone()).collect();
        let options = ReadOptions {
            terms: Some(all.terms.unwrap_or(Terms::Us)),
            method: all.method,
            sizes: &ids,
            ..ReadOptions::default()
        };
        let reading = read(&self.source.join("\n"), &options);
        assert!(reading.findings.is_empty(), "{:?}: {:#?}", self.source, reading.findings);
        let voices: Vec<SizeVoice> =
            all.sheets.iter().map(|s| SizeVoice { id: &s.id, name: &s.id, numbers: s }).collect();
        let hand = if all.left { Hand::Left } else { Hand::Right };
        let style = |terms, length| Style { terms, length, hand, each_round: all.each_round };
        let forms = [
            ("us", style(Terms::Us, Length::Abbreviated)),
            ("us full", style(Terms::Us, Length::SpelledOut)),
            ("uk", style(Terms::Uk, Length::Abbreviated)),
            ("uk full", style(Terms::Uk, Length::SpelledOut)),
        ];
        let mut lines = Vec::new();
        let mut put = |form: &str, said: Vec<Said>| {
            lines.extend(said.iter().map(|s| format!("{form} | {}", s.plain())));
        };
        if voices.is_empty() {
            for (form, style) in forms {
                put(form, say(&reading.piece, &style, &[]));
            }
        } else {
            put("all", say(&reading.piece, &forms[0].1, &voices));
            put("all uk full", say(&reading.piece, &forms[3].1, &voices));
            for voice in &voices {
                put(voice.id, say(&reading.piece, &forms[0].1, std::slice::from_ref(voice)));
            }
        }
        lines
    }
}

fn blocks(text: &str) -> Vec<Block> {
    let mut all = Vec::new();
    for part in text.split("\n\n") {
        let mut block = Block::default();
        for line in part.lines().filter(|l| !l.is_empty()) {
            if let Some(source) = line.strip_prefix("> ") {
                block.source.push(source.to_owned());
            } else if line.starts_with(['@', '#']) {
                block.head.push(line.to_owned());
            } else {
                block.expected.push(line.to_owned());
            }
        }
        all.push(block);
    }
    all
}

fn files() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/say");
    let mut all: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the folder of cases")
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "txt"))
        .collect();
    all.sort();
    all
}

#[test]
#[allow(clippy::disallowed_methods)]
fn every_sentence_is_said_as_written_down() {
    let update = std::env::var_os("BRIMWRIGHT_UPDATE").is_some();
    let mut wrong = String::new();
    let mut sentences = 0;
    for path in files() {
        let text = std::fs::read_to_string(&path).expect("a file of cases");
        let mut out = Vec::new();
        for block in blocks(&text) {
            let said = if block.source.is_empty() { Vec::new() } else { block.said() };
            sentences += said.len();
            if said != block.expected {
                let source = block.source.join("\n");
                wrong += &format!(
                    "\n> {source}\nis said\n{}\nand not\n{}\n",
                    said.join("\n"),
                    block.expected.join("\n")
                );
            }
            let source = block.source.iter().map(|l| format!("> {l}"));
            let lines: Vec<String> = block.head.iter().cloned().chain(source).chain(said).collect();
            out.push(lines.join("\n"));
        }
        if update {
            std::fs::write(&path, out.join("\n\n") + "\n").expect("a file to write");
        }
    }
    assert!(update || wrong.is_empty(), "{wrong}");
    assert!(sentences > 0, "no cases were found");
}
