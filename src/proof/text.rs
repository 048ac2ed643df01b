//! The proof of a plain written text: counts of each line, totals, faults.

use super::merge::merge;
use super::series::series;
use crate::diag::{Finding, Origin, Severity, SourceId, Span};
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
    /// One entry for each line that works rows or rounds. Of a text in several sizes: those
    /// of its first size.
    pub lines: Vec<TextLine>,
    /// How many of each stitch were made, by name in the text's terms. Of a text in several
    /// sizes: in its first size.
    pub totals: BTreeMap<String, u64>,
    /// What is wrong: by line of the text.
    pub faults: Vec<TextFault>,
    /// Each size of a text that prints its sizes in brackets, `70 (76, 82)`; else empty.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sizes: Vec<TextSize>,
    /// The instructions that run over several lines: where each lies, and its first line.
    #[serde(skip)]
    wrapped: Vec<(Span, u32)>,
    /// The same and lesser findings with places and help, for people.
    #[serde(skip)]
    pub findings: Vec<Finding>,
}

/// What a text makes in one size.
#[derive(Clone, Debug, Serialize)]
pub struct TextSize {
    /// Its name in the text, or "size 2".
    pub size: String,
    /// One entry for each line that works rows or rounds in this size.
    pub lines: Vec<TextLine>,
    /// How many of each stitch were made.
    pub totals: BTreeMap<String, u64>,
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
    /// The sizes it concerns, where it does not concern all.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sizes: Vec<String>,
}

/// Proves a plain text, in each of its sizes if it prints several.
pub fn prove(text: &str, options: &TextOptions) -> TextProof {
    let origin = Origin::whole(options.source);
    let mut proof = match series(text, &origin) {
        None => one(text, "", &[], &[], options),
        Some((series, unlike)) => {
            let mut proof = TextProof::default();
            let mut found = Vec::new();
            let wrong = series.unlike();
            for (i, size) in series.names.iter().enumerate() {
                let of = one(&series.text(text, i), size, &series.names, &wrong, options);
                found.push((size.clone(), of.findings));
                proof.wrapped = of.wrapped;
                let size = size.clone();
                proof.sizes.push(TextSize { size, lines: of.lines, totals: of.totals });
            }
            if let Some(first) = proof.sizes.first() {
                proof.lines = first.lines.clone();
                proof.totals = first.totals.clone();
            }
            proof.findings = merge(found);
            proof.findings.extend(unlike);
            proof
        }
    };
    // In the order of the text: working goes down the lines, and so does the reader's eye.
    proof.findings.sort_by_key(|f| f.place.map(|p| p.span.start));
    let faults = proof.findings.iter().filter(|f| f.severity == Severity::Fault);
    proof.faults = faults
        .map(|f| TextFault {
            line: f.place.map_or(1, |p| first_line(text, &proof.wrapped, p.span.start)),
            code: f.code.to_owned(),
            message: f.message.clone(),
            sizes: f.sizes.clone(),
        })
        .collect();
    proof
}

/// The text worked in one size: its counts, and its findings as they come.
fn one(
    text: &str,
    size: &str,
    sizes: &[String],
    wrong: &[Span],
    options: &TextOptions,
) -> TextProof {
    let origin = Origin::whole(options.source);
    let reading = written::read(
        text,
        &ReadOptions {
            terms: options.terms,
            method: options.method,
            sizes,
            wrong,
            origin: origin.clone(),
            ..ReadOptions::default()
        },
    );
    let worked = fabric::work(
        &reading.piece,
        size,
        &NoHoles,
        &WorkOptions { origin, runs_on: true, ..WorkOptions::default() },
    );
    let mut findings = reading.findings;
    findings.extend(worked.findings);
    let lines = worked
        .lines
        .into_iter()
        .map(|l| TextLine { line: l.line, label: l.label, count: l.count, counts: l.counts })
        .collect();
    let wrapped = reading
        .piece
        .lines
        .iter()
        .filter(|l| text.get(l.at.0.range()).is_some_and(|words| words.contains('\n')))
        .map(|l| (l.at.0, l.number))
        .collect();
    TextProof { lines, totals: worked.totals, findings, wrapped, ..TextProof::default() }
}

/// The line on which the instruction begins in which a byte lies.
fn first_line(text: &str, wrapped: &[(Span, u32)], byte: u32) -> u32 {
    match wrapped.iter().find(|(span, _)| (span.start..span.end).contains(&byte)) {
        Some((_, line)) => *line,
        None => line_of(text, byte as usize),
    }
}

/// The line of the text, from 1, in which a byte lies.
fn line_of(text: &str, byte: usize) -> u32 {
    let before = text.as_bytes().get(..byte.min(text.len())).unwrap_or_default();
    u32::try_from(before.iter().filter(|b| **b == b'\n').count())
        .unwrap_or(u32::MAX)
        .saturating_add(1)
}
