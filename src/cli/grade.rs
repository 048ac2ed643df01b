//! `brimwright grade`: every graded number in every size.

use super::load::load_reported;
use super::{End, io};
use crate::diag;
use crate::grading::Graded;
use crate::proof::Proved;
use crate::quantity::number;
use std::fmt::Write;
use std::path::PathBuf;

/// Show every graded number in every size.
#[derive(Debug, clap::Args)]
pub(super) struct Grade {
    /// The design file.
    design: PathBuf,
    /// Show how each number came about: head, ease, gauge, rounding, what was lost to it.
    #[arg(long)]
    trace: bool,
    /// Only this size.
    #[arg(long, value_name = "ID")]
    size: Option<String>,
    /// Answer in JSON.
    #[arg(long)]
    json: bool,
}

impl Grade {
    pub(super) fn run(self, desk: &mut io::Desk) -> End {
        let (proved, findings) = match load_reported(desk, &self.design) {
            Ok(loaded) => loaded,
            Err(end) => return end,
        };
        let graded = &proved.graded;
        let shown = match &self.size {
            None => (0..graded.sizes.len()).collect::<Vec<_>>(),
            Some(id) => match super::size_position(&proved.design, id) {
                Ok(i) => vec![i],
                Err(fault) => {
                    desk.report(&[*fault]);
                    return End::Failed;
                }
            },
        };
        io::print(&if self.json {
            let sizes: Vec<_> = shown.iter().filter_map(|i| graded.sizes.get(*i)).collect();
            format!("{:#}\n", serde_json::json!({ "sizes": sizes }))
        } else if self.trace {
            traces(&proved, &shown)
        } else {
            table(graded, &shown)
        });
        if diag::any_fault(&findings) { End::Faults } else { End::Fine }
    }
}

/// A column for each size, a row for each number.
fn table(graded: &Graded, shown: &[usize]) -> String {
    let sizes: Vec<_> = shown.iter().filter_map(|i| graded.sizes.get(*i)).collect();
    let mut rows = vec![
        row("", sizes.iter().map(|s| s.id.clone())),
        row("head", sizes.iter().map(|s| s.head.cm_text())),
        row("ease", sizes.iter().map(|s| s.ease.exact_text())),
        row("girth wished", sizes.iter().map(|s| s.girth.exact_text())),
        row("depth wished", sizes.iter().map(|s| s.depth.cm_text())),
    ];
    let names: Vec<&str> = graded
        .sizes
        .first()
        .map(|s| s.traces.iter().map(|t| t.name.as_str()).collect())
        .unwrap_or_default();
    for name in names.into_iter().filter(|n| !["girth", "depth", "ease", "head"].contains(n)) {
        rows.push(row(
            name,
            sizes.iter().map(|s| s.values.get(name).map(ToString::to_string).unwrap_or_default()),
        ));
    }
    aligned(&rows)
}

fn row(name: &str, cells: impl Iterator<Item = String>) -> Vec<String> {
    std::iter::once(name.to_owned()).chain(cells).collect()
}

/// Columns as wide as their widest cell; the first to the left, the others to the right.
pub(super) fn aligned(rows: &[Vec<String>]) -> String {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |c: usize| {
        rows.iter().filter_map(|r| r.get(c)).map(|s| s.chars().count()).max().unwrap_or(0)
    };
    let wide: Vec<usize> = (0..columns).map(width).collect();
    let mut out = String::new();
    for r in rows {
        let mut line = String::new();
        for (c, (cell, w)) in r.iter().zip(&wide).enumerate() {
            let _ = if c == 0 {
                write!(line, "{cell:w$}", w = *w)
            } else {
                write!(line, "  {cell:>w$}", w = *w)
            };
        }
        let _ = writeln!(out, "{}", line.trim_end());
    }
    out
}

/// How each number of each size came about.
fn traces(proved: &Proved, shown: &[usize]) -> String {
    let mut out = String::new();
    for (i, s) in shown.iter().filter_map(|i| Some((*i, proved.graded.sizes.get(*i)?))) {
        let _ = writeln!(out, "{} ({})", s.name, s.id);
        let _ = writeln!(out, "  head = {}", s.head.exact_text());
        let _ = writeln!(out, "  ease = {}", s.ease.exact_text());
        for g in &proved.design.gauges {
            let (st, row) = (g.stitch_width().exact_text(), g.row_height().exact_text());
            let _ = writeln!(out, "  {0}.st = {st}, {0}.row = {row}", g.name);
        }
        for t in &s.traces {
            let _ = writeln!(out, "  {}", t.line());
            if t.until_ball_ends {
                let _ = writeln!(out, "    {}", ball_end(proved, i));
            }
        }
        out.push('\n');
    }
    out
}

/// What the promised balls hold, and what is asked of them, in one size.
fn ball_end(proved: &Proved, size: usize) -> String {
    let Some((all, of)) = proved.until.as_ref().and_then(|all| {
        let of = all.sizes.get(size).copied().flatten()?;
        Some((all, of))
    }) else {
        return String::new();
    };
    let yarn = proved.design.yarns.get(all.yarn).map_or("", |y| y.name.as_str());
    format!(
        "{} g of {yarn} promised, {} % margin, {} g kept: a round takes {} g, {} rounds more than \
         the least; {} g left when they are done, {} g of it over",
        number(all.promised, 1),
        number(all.margin * 100.0, 1),
        number(all.keep, 1),
        number(of.each, 2),
        of.found - of.fewest,
        number(of.left + of.over.max(0.0), 1),
        number(of.over, 1),
    )
}
