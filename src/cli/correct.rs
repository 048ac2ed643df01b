//! `brimwright correct`: testers' cards in, the design corrected from them.

use super::load::{Loaded, prove_text, proved};
use super::publish::safe;
use super::{End, Failure, io};
use crate::correction::card::{self, Card, newest, sift};
use crate::correction::edition::{as_made, expected, of};
use crate::correction::moves::{self, Moves};
use crate::correction::{Applying, Correction, Wish, apply, correct, report};
use crate::design::Date;
use crate::diag::{self, Finding, SourceId, any_fault};
use crate::proof::Proved;
use std::path::{Path, PathBuf};

/// Correct a design's gauge from its testers' cards.
///
/// Without --apply nothing is written: the answer is what the cards say and what would
/// move. With it the design file becomes the next edition, and the old one stays beside it.
#[derive(Debug, clap::Args)]
pub(super) struct Correct {
    /// The design file.
    design: PathBuf,
    /// The cards; patterns such as `cards/*.toml` are allowed.
    #[arg(required = true)]
    cards: Vec<PathBuf>,
    /// Write the corrected design.
    #[arg(long)]
    apply: bool,
    /// Where all testers needed another hook, change the hook and keep the gauge.
    #[arg(long)]
    hook: bool,
    /// The new edition's date, as 2026-11-03; the newest card's if left out.
    #[arg(long, value_name = "DATE", value_parser = day)]
    date: Option<Date>,
    /// Answer in JSON.
    #[arg(long)]
    json: bool,
}

/// The byte order mark some editors put first: not text, but a byte of the file.
const MARK: &[u8] = "\u{feff}".as_bytes();

/// The corrected design: its text, its proof and what moves.
struct Next {
    text: String,
    sentence: String,
    edition: String,
    moves: Moves,
}

impl Correct {
    pub(super) fn run(self, desk: &mut io::Desk) -> End {
        let result = self.work(desk);
        super::ended(desk, result)
    }

    fn work(&self, desk: &mut io::Desk) -> Result<End, Failure> {
        let proved = proved(desk, &self.design)?;
        let source = proved.design.source;
        let (cards, mut findings) = self.cards(desk)?;
        let sifted = sift(&proved.design, cards);
        findings.extend(sifted.findings.iter().cloned());
        let wish = Wish { hook: self.hook };
        let correction = correct(&proved.design, &sifted, &expected(&proved, &sifted.cards), wish);
        findings.extend(correction.findings.iter().cloned());
        let date = self.date.or_else(|| newest(&sifted.cards));
        let next = if correction.changes.is_empty() {
            None
        } else {
            // Only looking needs no day of its own.
            let looking = proved.design.pattern.date.as_ref().filter(|_| !self.apply);
            let date = date.or(looking.map(|d| d.value));
            let date = date.ok_or_else(|| (vec![undated()], End::Failed))?;
            Some(next(desk, &proved, source, &correction, date)?)
        };
        desk.report(&findings);
        self.answer(desk, &correction, next.as_ref(), &findings);
        let faulty = any_fault(&findings);
        if self.apply {
            if faulty {
                desk.say("nothing was written: mend the cards with faults or leave them out");
            } else if let Some(next) = &next {
                self.write(desk, &proved, source, next)?;
            }
        }
        Ok(if faulty { End::Faults } else { End::Fine })
    }

    /// Every card that can be read, and what is wrong with the others.
    fn cards(&self, desk: &mut io::Desk) -> Result<(Vec<Card>, Vec<Finding>), Failure> {
        let (mut cards, mut findings) = (Vec::new(), Vec::new());
        for path in self.paths().map_err(|f| (vec![*f], End::Failed))? {
            let id = desk.read_text(&path).map_err(|f| (vec![*f], End::Failed))?;
            let (card, found) = card::read(id, desk.text(id));
            cards.extend(card);
            findings.extend(found);
        }
        Ok((cards, findings))
    }

    /// The files named, patterns resolved in the order of their names.
    fn paths(&self) -> Result<Vec<PathBuf>, Box<Finding>> {
        let mut out: Vec<PathBuf> = Vec::new();
        for named in &self.cards {
            let words = named.to_string_lossy();
            if io::exists(named) || !words.contains(['*', '?', '[']) {
                out.push(named.clone());
                continue;
            }
            let found = io::matching(&words)?;
            out.extend(found.into_iter().filter(|p| *p != self.design));
        }
        let mut seen = std::collections::BTreeSet::new();
        out.retain(|p| seen.insert(p.clone()));
        Ok(out)
    }

    fn answer(
        &self,
        desk: &io::Desk,
        correction: &Correction,
        next: Option<&Next>,
        findings: &[Finding],
    ) {
        io::print(&if self.json {
            let answer = serde_json::json!({
                "correction": correction,
                "moves": next.map(|n| &n.moves),
                "findings": diag::render::json(findings, &desk.sources),
            });
            format!("{answer:#}\n")
        } else {
            let mut out = report::text(correction);
            if let Some(next) = next {
                out.push('\n');
                out.push_str(&moves::text(&next.moves));
            }
            out
        });
    }

    /// Keeps the old edition beside the new one, then writes the new one whole: whenever
    /// this is cut short, the design file is the old or the new one.
    fn write(
        &self,
        desk: &io::Desk,
        proved: &Proved,
        source: SourceId,
        next: &Next,
    ) -> Result<(), Failure> {
        let failed = |f: Box<Finding>| (vec![*f], End::Failed);
        let old = io::read_bytes(&self.design).map_err(failed)?;
        let bare = old.strip_prefix(MARK).unwrap_or(&old);
        if bare != desk.text(source).as_bytes() {
            let message = format!("{} was changed meanwhile", self.design.display());
            let fault = Finding::fault("write", message).help("nothing was written; run it again");
            return Err((vec![fault], End::Failed));
        }
        let kept = beside_with(&self.design, proved.design.pattern.edition.as_str());
        if io::exists(&kept) && io::read_bytes(&kept).map_err(failed)? != old {
            let message = format!("{} is there already and is another text", kept.display());
            let fault = Finding::fault("write", message)
                .help("the old edition would be kept there; move that file away first");
            return Err((vec![fault], End::Failed));
        }
        // Before the old edition is kept: refused, nothing at all is written.
        io::replaceable(&self.design).map_err(failed)?;
        let mark = if bare.len() < old.len() { MARK } else { b"" };
        let new = [mark, next.text.as_bytes()].concat();
        io::write_whole(&kept, &old).map_err(failed)?;
        io::write_whole(&self.design, &new).map_err(failed)?;
        desk.say(&format!(
            "wrote {}, edition {}: {}",
            self.design.display(),
            next.edition,
            next.sentence
        ));
        desk.say(&format!("the old edition is {}", kept.display()));
        Ok(())
    }
}

/// The next edition's text, proved.
fn next(
    desk: &mut io::Desk,
    proved: &Proved,
    source: SourceId,
    correction: &Correction,
    date: Date,
) -> Result<Next, Failure> {
    let changes = &correction.changes;
    let sentence =
        format!("Corrected from {} testers: {}.", correction.testers, changes.sentence());
    let what = Applying { changes, date, reason: &sentence };
    let text = apply(source, desk.text(source), &what).map_err(|f| (f, End::Faults))?;
    let name = "the corrected design".to_owned();
    let new = match prove_text(desk, name, text.clone()) {
        Loaded::Proved(new, f) if !any_fault(&f) => new,
        Loaded::Proved(_, f) | Loaded::Broken(f) => {
            desk.say("the corrected design would have faults:");
            return Err((f, End::Faults));
        }
        Loaded::Unread(fault) => return Err((vec![*fault], End::Failed)),
    };
    let moves = moves::moves(&of(proved), &of(&new), &as_made(proved, &new.design));
    let edition = new.design.pattern.edition.as_str().to_owned();
    Ok(Next { text, sentence: changes.sentence(), edition, moves })
}

/// `hat.toml` and `1.0` make `hat-1.0.toml`.
fn beside_with(design: &Path, edition: &str) -> PathBuf {
    let stem = design.file_stem().map(|s| s.to_string_lossy().into_owned()).unwrap_or_default();
    let ending = design.extension().map(|e| format!(".{}", e.to_string_lossy()));
    let name = format!("{stem}-{}{}", safe(edition), ending.unwrap_or_default());
    design.with_file_name(name)
}

/// No card, no option and no design says a day.
fn undated() -> Finding {
    Finding::fault("usage", "no card says on what day it was filled in")
        .help("give the new edition's with --date, as 2026-11-03")
}

/// A date as `2026-11-03`.
fn day(words: &str) -> Result<Date, String> {
    let wrong = || format!("`{words}` is no date such as 2026-11-03");
    let date: toml::value::Datetime = words.parse().map_err(|_| wrong())?;
    match (date.date, date.time, date.offset) {
        (Some(d), None, None) => Ok(Date { year: d.year, month: d.month, day: d.day }),
        _ => Err(wrong()),
    }
}
