//! `brimwright errata`: two editions of a design, and what to read instead.

use super::load::proved;
use super::publish::{PaperName, safe};
use super::{End, Failure, io};
use crate::booklet::document::Document;
use crate::correction::card::edition_order;
use crate::correction::edition::{as_made, of};
use crate::correction::errata::document;
use crate::correction::moves::{moves, notes};
use crate::diag::Finding;
use crate::proof::Proved;
use crate::typeset::{Theme, lay_out};
use crate::written::tree::Terms;
use crate::{pdf, reflow};
use std::path::PathBuf;

/// Compare two editions of a design: an errata sheet for who bought the old one.
///
/// Prints the sheet as plain text; with --out it is written as PDF and text instead.
#[derive(Debug, clap::Args)]
pub(super) struct Errata {
    /// The edition that was sold.
    old: PathBuf,
    /// The edition as it is now.
    new: PathBuf,
    /// The folder to write PDF and text to.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Paper sizes.
    #[arg(long, value_enum, value_delimiter = ',', default_value = "a4,letter")]
    paper: Vec<PaperName>,
    /// Answer in JSON.
    #[arg(long, conflicts_with = "out")]
    json: bool,
}

impl Errata {
    pub(super) fn run(self, desk: &mut io::Desk) -> End {
        let result = self.work(desk).map(|()| End::Fine);
        super::ended(desk, result)
    }

    fn work(&self, desk: &mut io::Desk) -> Result<(), Failure> {
        let (old, new) = (proved(desk, &self.old)?, proved(desk, &self.new)?);
        desk.report(&order(&old, &new));
        let moves = moves(&of(&old), &of(&new), &as_made(&old, &new.design));
        if self.json {
            io::print(&format!("{:#}\n", serde_json::json!({ "moves": moves })));
            return Ok(());
        }
        let language = match new.design.terms {
            Terms::Us => "en-US",
            Terms::Uk => "en-GB",
        };
        let author = new.design.pattern.by.as_str();
        let sheet = document(&moves.errata, author, language, &notes(&moves));
        let Some(folder) = &self.out else {
            io::print(&reflow::text(&sheet));
            return Ok(());
        };
        let files = self.files(&sheet, &old, &new).map_err(|f| (f, End::Faults))?;
        for (name, bytes) in files {
            let path = folder.join(name);
            io::write_whole(&path, &bytes).map_err(|f| (vec![*f], End::Failed))?;
            desk.say(&format!("wrote {}", path.display()));
        }
        Ok(())
    }

    /// Every file, made before the first is written.
    fn files(
        &self,
        sheet: &Document,
        old: &Proved,
        new: &Proved,
    ) -> Result<Vec<(String, Vec<u8>)>, Vec<Finding>> {
        let name = self.new.file_stem().map(|s| s.to_string_lossy().into_owned());
        let edition = |p: &Proved| safe(p.design.pattern.edition.as_str());
        let stem =
            format!("{}-errata-{}-to-{}", name.unwrap_or_default(), edition(old), edition(new));
        let mut files = vec![(format!("{stem}.txt"), reflow::text(sheet).into_bytes())];
        for paper in &self.paper {
            let (paper, tag) = paper.sheet();
            let pages = lay_out(sheet, &Theme::default(), paper)?;
            files.push((format!("{stem}-{tag}.pdf"), pdf::write(&pages, sheet)?));
        }
        Ok(files)
    }
}

/// Says where the two may have been given the wrong way round, or are two designs.
fn order(old: &Proved, new: &Proved) -> Vec<Finding> {
    let (a, b) = (&old.design.pattern, &new.design.pattern);
    let mut out = Vec::new();
    if edition_order(a.edition.as_str()) >= edition_order(b.edition.as_str()) {
        let message = format!(
            "the first file is edition {}, the second {}: the second should be newer",
            a.edition.as_str(),
            b.edition.as_str()
        );
        out.push(
            Finding::caution("edition-order", message)
                .at(b.edition.place, "should be newer")
                .help("give the edition that was sold first; raise the number of the other"),
        );
    }
    if a.title.as_str() != b.title.as_str() {
        let message = format!(
            "the first file is “{}”, the second “{}”: are these editions of one design?",
            a.title.as_str(),
            b.title.as_str()
        );
        out.push(Finding::caution("edition-order", message).at(b.title.place, "another title"));
    }
    out
}
