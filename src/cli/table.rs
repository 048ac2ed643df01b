//! `brimwright table`: copies to test from, and the cards that come back.

use super::load::proved;
use super::publish::{PaperName, safe};
use super::{End, Failure, io};
use crate::booklet::Choices;
use crate::booklet::table::{For, table};
use crate::correction::card::{self, blank, roster};
use crate::diag::{Finding, any_fault};
use crate::pdf;
use crate::proof::Proved;
use crate::typeset::{Theme, lay_out};
use crate::written::say::{Hand, Length};
use std::path::PathBuf;

/// Print copies for testers, to lie beside the hook, and blank cards to send back.
#[derive(Debug, clap::Args)]
#[command(group = clap::ArgGroup::new("whose").required(true).args(["size", "roster"]))]
pub(super) struct Table {
    /// The design file.
    design: PathBuf,
    /// One copy in this size, with a line for the tester's name.
    #[arg(long, value_name = "ID")]
    size: Option<String>,
    /// A copy for each tester in this file.
    #[arg(long, value_name = "FILE")]
    roster: Option<PathBuf>,
    /// The folder to write to.
    #[arg(long, value_name = "FOLDER", default_value = "table")]
    out: PathBuf,
    /// Paper sizes.
    #[arg(long, value_enum, value_delimiter = ',', default_value = "a4,letter")]
    paper: Vec<PaperName>,
    /// Ordinary type instead of large.
    #[arg(long)]
    small_print: bool,
}

/// A file to write: its name, and what.
type Sheet = (String, Vec<u8>);

/// A tester, if she is known by name, and the position of her size.
type Seat = (Option<String>, usize);

impl Table {
    pub(super) fn run(self, desk: &mut io::Desk) -> End {
        let result = self.work(desk).map(|()| End::Fine);
        super::ended(desk, result)
    }

    fn work(&self, desk: &mut io::Desk) -> Result<(), Failure> {
        let proved = proved(desk, &self.design)?;
        let mut files: Vec<Sheet> = Vec::new();
        for (tester, size) in self.seats(desk, &proved)? {
            let made = self.copy(&proved, tester.as_deref(), size);
            for (name, bytes) in made.map_err(|f| (f, End::Faults))? {
                let name = free(name, &files);
                files.push((name, bytes));
            }
        }
        for (name, bytes) in &files {
            let path = self.out.join(name);
            io::write_whole(&path, bytes).map_err(|f| (vec![*f], End::Failed))?;
            desk.say(&format!("wrote {}", path.display()));
        }
        Ok(())
    }

    /// Who gets which size.
    fn seats(&self, desk: &mut io::Desk, proved: &Proved) -> Result<Vec<Seat>, Failure> {
        let Some(file) = &self.roster else {
            let id = self.size.as_deref().unwrap_or_default();
            let at = super::size_position(&proved.design, id);
            return Ok(vec![(None, at.map_err(|f| (vec![*f], End::Failed))?)]);
        };
        let id = desk.read_text(file).map_err(|f| (vec![*f], End::Failed))?;
        let (roster, findings) = roster(id, desk.text(id), &proved.design);
        if any_fault(&findings) {
            return Err((findings, End::Faults));
        }
        let seat = |s: card::Seat| {
            let (at, _) = proved.design.size(&s.size.value)?;
            Some((Some(s.tester.value), at))
        };
        Ok(roster.seats.into_iter().filter_map(seat).collect())
    }

    /// One tester's copy on each paper, and her card.
    fn copy(
        &self,
        proved: &Proved,
        tester: Option<&str>,
        size: usize,
    ) -> Result<Vec<Sheet>, Vec<Finding>> {
        let choices = Choices {
            terms: proved.design.terms,
            length: Length::Abbreviated,
            hand: Hand::Right,
            size: Some(size),
            large: !self.small_print,
        };
        let document = table(proved, &choices, size, For { tester });
        let theme = if self.small_print { Theme::default() } else { Theme::large_print() };
        let id = proved.design.sizes.get(size).map_or("", |s| s.id.as_str());
        let mut stem = format!("{}-table-{}", self.base(proved), safe(id));
        if let Some(tester) = tester {
            stem.push_str(&format!("-{}", safe(&tester.to_lowercase())));
        }
        let mut out = Vec::new();
        for paper in &self.paper {
            let (paper, tag) = paper.sheet();
            let pages = lay_out(&document, &theme, paper)?;
            out.push((format!("{stem}-{tag}.pdf"), pdf::write(&pages, &document)?));
        }
        let card = blank(&proved.design, id, tester.unwrap_or_default());
        out.push((format!("{stem}-card.toml"), card.into_bytes()));
        Ok(out)
    }

    fn base(&self, proved: &Proved) -> String {
        let name = self.design.file_stem().map(|s| s.to_string_lossy().into_owned());
        let edition = safe(proved.design.pattern.edition.as_str());
        format!("{}-{edition}", name.unwrap_or_default())
    }
}

/// A name no other file of this run has: two testers' names may come to the same letters.
fn free(name: String, files: &[Sheet]) -> String {
    let taken = |name: &str| files.iter().any(|(n, _)| n == name);
    let mut out = name.clone();
    let mut n = 2;
    while taken(&out) {
        out = match name.rsplit_once('.') {
            Some((stem, ending)) => format!("{stem}-{n}.{ending}"),
            None => format!("{name}-{n}"),
        };
        n += 1;
    }
    out
}
