//! The proof of a plain written text: counts of each line, totals, faults.

use crate::diag::{Finding, Origin, Severity, SourceId};
use crate::fabric::{self, WorkOptions};
use crate::written::{self, Method, NoHoles, ReadOptions, Terms};
use serde::Serialize;
use std::collections::BTreeMap;

/// What is known beside the text.
#[derive(Clone, Copy, Debug, Default)]
pub struct TextOptions {
    /// How it is worked; found out where not given.
    pub method: Option<Method>,
    /// The names of stitches; found out where not given.
    pub terms: Option<Terms>,
    /// The text's source, for the places of findings.
    pub source: SourceId,
}

/// The proof of one text.
#[derive(Clone, Debug, Default, Serialize)]
pub struct TextProof {
    /// One entry for each line that works rows or rounds.
    pub lines: Vec<TextLine>,
    /// How many of each stitch were made, by name in the text's terms.
    pub totals: BTreeMap<String, u64>,
    /// What is wrong: by line of the text.
    pub faults: Vec<TextFault>,
    /// The same and lesser findings with places and help, for people.
    #[serde(skip)]
    pub findings: Vec<Finding>,
}

/// What one line makes.
#[derive(Clone, Debug, Serialize)]
pub struct TextLine {
    /// The line of the text, from 1.
    pub line: u32,
    /// Its label.
    pub label: String,
    /// The stitches of its last row or round.
    pub count: u64,
    /// The same by kind.
    pub counts: BTreeMap<String, u64>,
}

/// One fault.
#[derive(Clone, Debug, Serialize)]
pub struct TextFault {
    /// The line of the text, from 1.
    pub line: u32,
    /// The stable code.
    pub code: String,
    /// What is wrong.
    pub message: String,
}

/// Proves a plain text.
pub fn prove(text: &str, options: &TextOptions) -> TextProof {
    let origin = Origin::whole(options.source);
    let reading = written::read(
        text,
        &ReadOptions {
            terms: options.terms,
            method: options.method,
            origin: origin.clone(),
            ..ReadOptions::default()
        },
    );
    let worked = fabric::work(
        &reading.piece,
        "",
        &NoHoles,
        &WorkOptions { origin, ..WorkOptions::default() },
    );
    let mut findings = reading.findings;
    findings.extend(worked.findings);
    // In the order of the text: working goes down the lines, and so does the reader's eye.
    findings.sort_by_key(|f| f.place.map(|p| p.span.start));
    let faults = findings
        .iter()
        .filter(|f| f.severity == Severity::Fault)
        .map(|f| TextFault {
            line: f.place.map_or(1, |p| line_of(text, p.span.start as usize)),
            code: f.code.to_owned(),
            message: f.message.clone(),
        })
        .collect();
    let lines = worked
        .lines
        .into_iter()
        .map(|l| TextLine { line: l.line, label: l.label, count: l.count, counts: l.counts })
        .collect();
    TextProof { lines, totals: worked.totals, faults, findings }
}

/// The line of the text, from 1, in which a byte lies.
fn line_of(text: &str, byte: usize) -> u32 {
    let before = text.as_bytes().get(..byte.min(text.len())).unwrap_or_default();
    u32::try_from(before.iter().filter(|b| **b == b'\n').count())
        .unwrap_or(u32::MAX)
        .saturating_add(1)
}
