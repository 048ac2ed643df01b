//! What moves, in words: a table for the terminal and notes for the errata sheet.

use super::{FitMove, Moves, SizeMoves, YarnMove};
use crate::booklet::words::list_of;
use crate::quantity::Length;
use std::fmt::Write;

/// What moves as a table for the terminal.
pub fn text(moves: &Moves) -> String {
    let mut out = String::new();
    let (from, to) = (&moves.number.old, &moves.number.new);
    let _ = writeln!(out, "{}, edition {from} to {to}", moves.title);
    if moves.is_empty() {
        out.push_str("nothing moves: no number and no line changes in any size\n");
        return out;
    }
    for size in &moves.sizes {
        let _ = writeln!(out, "\n{} ({})", size.name, size.id);
        let mut rows = numbers(size);
        rows.extend(fit_rows(size.fit.as_ref()));
        rows.extend(size.yarn.iter().map(yarn_row));
        out.push_str(&aligned(&rows));
        let _ = writeln!(out, "  {}", lines_words(size));
        if size.template {
            out.push_str("  a template changes: print it again\n");
        }
    }
    out.push('\n');
    for note in notes(moves) {
        let _ = writeln!(out, "{note}");
    }
    out
}

fn lines_words(size: &SizeMoves) -> String {
    match size.lines {
        0 => "no printed line changes".to_owned(),
        1 => "1 printed line changes".to_owned(),
        n => format!("{n} printed lines change"),
    }
}

/// One row: name, before, after, remark.
type Row = [String; 4];

fn numbers(size: &SizeMoves) -> Vec<Row> {
    let shown = |v: &Option<String>| v.clone().unwrap_or_else(|| "–".to_owned());
    size.numbers
        .iter()
        .map(|n| {
            let remark = if n.moved() { "*" } else { "" };
            [n.name.clone(), shown(&n.old), shown(&n.new), remark.to_owned()]
        })
        .collect()
}

fn cm(mm: f64) -> String {
    Length::mm(mm).cm_text()
}

fn fit_rows(fit: Option<&FitMove>) -> Vec<Row> {
    let Some(f) = fit else { return Vec::new() };
    let row = |name: &str, old: f64, new: f64| {
        let (old, new) = (cm(old), cm(new));
        let remark = if old == new { "" } else { "*" };
        [name.to_owned(), old, new, remark.to_owned()]
    };
    let mut out = vec![
        row("finished girth", f.old.girth, f.new.girth),
        row("finished depth", f.old.depth, f.new.depth),
    ];
    if let (Some(made), Some(fits)) = (f.old_as_made, f.old_still_fits) {
        let verdict = if fits { "fits" } else { "does not fit" };
        out.push(["old hat, new gauge".to_owned(), cm(made), String::new(), verdict.to_owned()]);
    }
    out
}

fn yarn_row(y: &YarnMove) -> Row {
    let remark = match (y.kept_before, y.kept_after) {
        (_, Some(false)) => "over the promised balls",
        (Some(false), Some(true)) => "within the promised balls again",
        _ if y.old.round() != y.new.round() => "*",
        _ => "",
    };
    let grams = |g: f64| format!("{} g", g.round());
    [format!("yarn {}", y.name), grams(y.old), grams(y.new), remark.to_owned()]
}

fn aligned(rows: &[Row]) -> String {
    let wide = |c: usize| {
        rows.iter().filter_map(|r| r.get(c)).map(|s| s.chars().count()).max().unwrap_or(0)
    };
    let (a, b, c) = (wide(0), wide(1), wide(2));
    let mut out = String::new();
    for [name, old, new, remark] in rows {
        let line = format!("  {name:a$}  {old:>b$}  {new:>c$}  {remark}");
        let _ = writeln!(out, "{}", line.trim_end());
    }
    out
}

/// What a buyer of the old edition must know besides the lines: whether her hat still fits
/// and whether a promise breaks. Each note is one paragraph.
pub fn notes(moves: &Moves) -> Vec<String> {
    let mut out = Vec::new();
    let names = |pick: &dyn Fn(&SizeMoves) -> bool| -> Vec<String> {
        moves.sizes.iter().filter(|s| pick(s)).map(|s| s.name.clone()).collect()
    };
    let judged =
        |s: &SizeMoves, fits: bool| s.fit.as_ref().is_some_and(|f| f.old_still_fits == Some(fits));
    let (still, not) = (names(&|s| judged(s, true)), names(&|s| judged(s, false)));
    if !still.is_empty() {
        out.push(format!("A hat made to the old edition still fits: {}.", list_of(&still)));
    }
    if !not.is_empty() {
        out.push(format!(
            "A hat made to the old edition may not fit the head of its size: {}.",
            list_of(&not)
        ));
    }
    let broken = |s: &SizeMoves| {
        s.yarn.iter().any(|y| y.kept_before != Some(false) && y.kept_after == Some(false))
    };
    let broken = names(&broken);
    if !broken.is_empty() {
        out.push(format!(
            "These sizes now take more than the promised number of balls: {}.",
            list_of(&broken)
        ));
    }
    out
}
