//! The abbreviations key and the special stitches: exactly what the rounds use.

use super::document::*;
use super::words::{capital, led};
use super::{Choices, Proved, chapter};
use crate::written::say::{Length, Said, SaidKind, has_cell, plain as as_words, terms_used};
use crate::written::tree::Terms;

/// How the signs of these lines are to be read: those that stand there.
fn signs(said: &[Said]) -> String {
    let lines = || said.iter().filter(|s| s.kind == SaidKind::Instruction);
    let any = |sign: &str| lines().any(|s| as_words(&s.body).contains(sign));
    let mut words = match (any("*"), any("[")) {
        (true, true) => {
            "Work the steps after the * once, and then again as the line says; work those in \
             square brackets as often as the line says. "
        }
        (true, false) => "Work the steps after the * once, and then again as the line says. ",
        (false, true) => "Work the steps in square brackets as often as the line says. ",
        (false, false) => "",
    }
    .to_owned();
    if any(") in ") {
        words.push_str("Steps in round brackets are all worked into one place. ");
    }
    words.push_str("The number in brackets at the end of a line is what you should then have.");
    if lines().any(|s| has_cell(&s.body, "0")) {
        words.push_str(" Where your size's number in a step is 0, leave the step out.");
    }
    words
}

/// The chapter: the key, or where all words are spelled out what the signs mean; and the
/// special stitches.
pub(super) fn key(p: &Proved, c: &Choices, said: &[Vec<Said>]) -> Vec<Block> {
    let mut out = Vec::new();
    let all: Vec<Said> = said.iter().flatten().cloned().collect();
    if c.length == Length::Abbreviated {
        out.push(chapter("Abbreviations", "abbreviations"));
        out.push(Block::Table(table(c, &all)));
    } else {
        out.push(chapter("How to read the lines", "reading"));
        out.push(super::body(plain(signs(&all))));
    }
    out.extend(specials(p, c));
    out
}

fn table(c: &Choices, said: &[Said]) -> Table {
    let (own, other) = match c.terms {
        Terms::Us => ("US", "UK"),
        Terms::Uk => ("UK", "US"),
    };
    let body = terms_used(said)
        .into_iter()
        .map(|t| {
            let same = t.abbr == t.other && t.meaning == t.other_meaning;
            let elsewhere = if same {
                "the same".to_owned()
            } else {
                format!("{}, {}", t.other, t.other_meaning)
            };
            vec![Cell::plain(t.abbr), Cell::plain(t.meaning), Cell::plain(elsewhere)]
        })
        .collect();
    let left = Column { align: Align::Left };
    Table {
        caption: None,
        columns: vec![left, left, left],
        head: vec![vec![
            Cell::plain("Short"),
            Cell::plain(format!("Meaning ({own} terms)")),
            Cell::plain(format!("In {other} terms")),
        ]],
        body,
        row_heads: true,
        notes: vec![plain(signs(said))],
    }
}

fn specials(p: &Proved, c: &Choices) -> Vec<Block> {
    if p.design.specials.is_empty() {
        return Vec::new();
    }
    let mut out = vec![chapter("Special stitches", "special-stitches")];
    for (special, words) in p.design.specials.iter().zip(super::rounds::special_words(p, c)) {
        let abbr = special.abbr.as_ref().map(|a| a.as_str());
        let name = capital(special.name.as_str());
        let head = match abbr {
            Some(a) => format!("{name} ({a}): "),
            None => format!("{name}: "),
        };
        let mut line = led(&head, String::new());
        line.extend(words);
        out.push(super::body(line));
        if let Some(note) = &special.note {
            out.push(super::back::note_of(note.as_str()));
        }
    }
    out
}
