//! Findings drawn for people and for machines.

use super::{Finding, Severity, Sources, Span};
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

/// Draws findings as text with the lines they speak of. `colour` adds terminal colours.
pub fn text(findings: &[Finding], sources: &Sources, colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let mut out = String::new();
    for f in findings.iter().take(crate::limits::FINDINGS) {
        out.push_str(&renderer.render(&groups(f, sources)));
        out.push_str("\n\n");
    }
    if findings.len() > crate::limits::FINDINGS {
        let more = findings.len() - crate::limits::FINDINGS;
        out.push_str(&format!("… and {more} more\n"));
    }
    out
}

fn groups<'a>(f: &'a Finding, sources: &'a Sources) -> Vec<Group<'a>> {
    let level = match f.severity {
        Severity::Fault => Level::ERROR.with_name("fault"),
        Severity::Caution => Level::WARNING.with_name("caution"),
        Severity::Note => Level::NOTE,
    };
    let title = level.primary_title(f.message.as_str()).id(f.code);
    let mut group = Group::with_title(title);
    let mut places: Vec<_> = f.place.iter().map(|p| (*p, f.here.as_str(), true)).collect();
    places.extend(f.labels.iter().map(|l| (l.place, l.text.as_str(), false)));
    while let Some((first, _, _)) = places.first().copied() {
        let (same, rest): (Vec<_>, Vec<_>) =
            places.into_iter().partition(|(p, _, _)| p.source == first.source);
        places = rest;
        let Some(source) = sources.get(first.source) else { continue };
        let mut snippet = Snippet::source(source.text.as_str()).path(source.name.as_str());
        for (place, words, primary) in same {
            let kind = if primary { AnnotationKind::Primary } else { AnnotationKind::Context };
            let mark = kind.span(within(&source.text, place.span));
            snippet = snippet.annotation(if words.is_empty() { mark } else { mark.label(words) });
        }
        group = group.element(snippet);
    }
    if !f.sizes.is_empty() {
        let noun = if f.sizes.len() == 1 { "size" } else { "sizes" };
        group = group.element(Level::NOTE.with_name(noun).message(f.sizes.join(", ")));
    }
    for (size, message) in &f.each {
        let level = Level::NOTE.with_name(format!("in {size}"));
        group = group.element(level.message(message.as_str()));
    }
    if let Some(help) = &f.help {
        group = group.element(Level::HELP.message(help.as_str()));
    }
    vec![group]
}

/// The span as a range that surely lies on character bounds inside `text`.
fn within(text: &str, span: Span) -> std::ops::Range<usize> {
    let floor = |mut n: usize| {
        n = n.min(text.len());
        while !text.is_char_boundary(n) {
            n -= 1;
        }
        n
    };
    let start = floor(span.start as usize);
    start..floor(span.end as usize).max(start)
}

/// The 1-based line and column (in characters) of a byte offset.
pub fn line_column(text: &str, offset: u32) -> (usize, usize) {
    let at = within(text, Span { start: offset, end: offset }).start;
    let before = text.get(..at).unwrap_or("");
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    (line, column)
}

/// Findings as a JSON array: code, severity, message, file, line, column, sizes, help.
pub fn json(findings: &[Finding], sources: &Sources) -> serde_json::Value {
    findings
        .iter()
        .map(|f| {
            let place = f.place.and_then(|p| sources.get(p.source).map(|s| (p, s)));
            let (file, line, column) = match place {
                Some((p, s)) => {
                    let (l, c) = line_column(&s.text, p.span.start);
                    (Some(s.name.clone()), Some(l), Some(c))
                }
                None => (None, None, None),
            };
            serde_json::json!({
                "code": f.code, "severity": f.severity, "message": f.message,
                "file": file, "line": line, "column": column,
                "sizes": f.sizes, "each": f.each, "help": f.help,
            })
        })
        .collect()
}
