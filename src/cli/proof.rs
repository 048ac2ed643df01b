//! `brimwright proof`: a design, or plain written text.

use super::load::{Loaded, load};
use super::{End, io};
use crate::diag::{self, Finding, Severity};
use crate::proof::text::{TextOptions, TextProof, TextSize, prove};
use crate::written::tree::{Method, Terms};
use std::collections::BTreeMap;
use std::path::PathBuf;

/// Work every stitch of every size and report everything that is wrong.
#[derive(Debug, clap::Args)]
#[command(group = clap::ArgGroup::new("what").required(true).args(["design", "text"]))]
pub(super) struct Proof {
    /// The design file.
    design: Option<PathBuf>,
    /// Prove plain written text instead: a file, or `-` for standard input.
    #[arg(long, value_name = "FILE")]
    text: Option<PathBuf>,
    /// How the text is worked, where it does not say itself.
    #[arg(long, value_enum, requires = "text")]
    worked: Option<Way>,
    /// The stitch names of the text, where it does not show itself.
    #[arg(long, value_enum, requires = "text")]
    terms: Option<super::Words>,
    /// Answer in JSON.
    #[arg(long)]
    json: bool,
}

/// How a text is worked.
#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum Way {
    /// Back and forth, turning.
    Rows,
    /// Rounds closed with a slip stitch.
    Joined,
    /// Rounds that are not closed.
    Spiral,
}

impl Proof {
    pub(super) fn run(self, desk: &mut io::Desk) -> End {
        match (&self.design, &self.text) {
            (Some(path), _) => self.design(desk, &path.clone()),
            (None, Some(path)) => self.plain(desk, &path.clone()),
            (None, None) => End::Failed,
        }
    }

    fn design(&self, desk: &mut io::Desk, path: &std::path::Path) -> End {
        let (proved, findings) = match load(desk, path) {
            Loaded::Proved(p, mut f) => {
                // The counts are proved without it, but nothing could be published.
                let missing = super::load::photo(path, &p.design).err();
                f.extend(missing.map(|fault| Finding { severity: Severity::Caution, ..*fault }));
                (Some(p), f)
            }
            Loaded::Broken(f) => (None, f),
            Loaded::Unread(fault) => {
                desk.report(&[*fault]);
                return End::Failed;
            }
        };
        let faulty = diag::any_fault(&findings);
        if self.json {
            let answer = serde_json::json!({
                "proved": !faulty,
                "findings": diag::render::json(&findings, &desk.sources),
            });
            io::print(&format!("{answer:#}\n"));
        } else {
            desk.report(&findings);
            io::print(&summary(proved.as_deref(), &findings));
        }
        if faulty { End::Faults } else { End::Fine }
    }

    fn plain(&self, desk: &mut io::Desk, path: &std::path::Path) -> End {
        let id = match desk.read_text(path) {
            Ok(id) => id,
            Err(fault) => {
                desk.report(&[*fault]);
                return End::Failed;
            }
        };
        if desk.text(id).trim().is_empty() {
            let fault = Finding::fault("empty-text", "there is nothing here to prove");
            desk.report(&[fault.help("give the written rounds, a line each")]);
            return End::Faults;
        }
        let options = TextOptions {
            method: self.worked.map(|w| match w {
                Way::Rows => Method::Rows,
                Way::Joined => Method::Joined,
                Way::Spiral => Method::Spiral,
            }),
            terms: self.terms.map(Terms::from),
            source: id,
        };
        let proof = prove(desk.text(id), &options);
        let faulty = !proof.faults.is_empty();
        if self.json {
            match serde_json::to_string(&proof) {
                Ok(line) => io::print(&format!("{line}\n")),
                Err(_) => return End::Failed,
            }
        } else {
            desk.report(&proof.findings);
            io::print(&table(&proof));
        }
        if faulty { End::Faults } else { End::Fine }
    }
}

/// The counts of each line, as a table for the terminal.
fn table(proof: &TextProof) -> String {
    let kinds = |counts: &BTreeMap<String, u64>| {
        let parts: Vec<String> = counts.iter().map(|(k, n)| format!("{n} {k}")).collect();
        parts.join(", ")
    };
    let mut out = String::new();
    if !proof.sizes.is_empty() {
        let width = proof.sizes.iter().map(|s| s.size.chars().count()).max().unwrap_or(0);
        for (line, label) in worked_lines(&proof.sizes) {
            out.push_str(&format!("{line:>4}  {label:<14} {}\n", in_sizes(&proof.sizes, line)));
        }
        for size in &proof.sizes {
            let totals = kinds(&size.totals);
            out.push_str(&format!("in all, {:<width$}  {totals}\n", format!("{}:", size.size)));
        }
        return out;
    }
    for l in &proof.lines {
        let kinds = kinds(&l.counts);
        out.push_str(&format!("{:>4}  {:<14} {:>5}  {kinds}\n", l.line, l.label, l.count));
    }
    if !proof.totals.is_empty() {
        out.push_str(&format!("in all: {}\n", kinds(&proof.totals)));
    }
    out
}

/// The lines worked in any size, each with its label in the first size that works it.
fn worked_lines(sizes: &[TextSize]) -> BTreeMap<u32, &str> {
    let lines = sizes.iter().rev().flat_map(|s| &s.lines);
    lines.map(|l| (l.line, l.label.as_str())).collect()
}

/// The counts of a line in every size, as the trade prints them: `70 (76, –)`.
fn in_sizes(sizes: &[TextSize], line: u32) -> String {
    let count = |s: &TextSize| {
        let found = s.lines.iter().rev().find(|l| l.line == line);
        found.map_or("–".to_owned(), |l| l.count.to_string())
    };
    let mut counts = sizes.iter().map(count);
    let first = counts.next().unwrap_or_default();
    format!("{first} ({})", counts.collect::<Vec<_>>().join(", "))
}

/// One line on how it went.
fn summary(proved: Option<&crate::proof::Proved>, findings: &[Finding]) -> String {
    let count = |s: Severity| findings.iter().filter(|f| f.severity == s).count();
    let (faults, cautions) = (count(Severity::Fault), count(Severity::Caution));
    let Some(p) = proved else {
        return format!("not proved: {} in the design file\n", plural(faults, "fault"));
    };
    let stitches: usize = p
        .pieces
        .iter()
        .flat_map(|piece| piece.worked.iter().flatten())
        .map(|w| w.fabric.stitches.len())
        .sum();
    let sizes = plural(p.design.sizes.len(), "size");
    let state = if faults == 0 { "proved" } else { "not proved" };
    format!(
        "{state}: {} in {sizes}, {stitches} stitches worked; {}, {}\n",
        p.design.pattern.title.as_str(),
        plural(faults, "fault"),
        plural(cautions, "caution")
    )
}

fn plural(n: usize, noun: &str) -> String {
    if n == 1 { format!("1 {noun}") } else { format!("{n} {noun}s") }
}
