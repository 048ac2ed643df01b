//! `brimwright errata`: two editions of a design, and what to read instead.

use super::load::proved;
use super::publish::{PaperName, safe};
use super::{End, Failure, io};
use crate::booklet::document::{Block, Heading};
use crate::booklet::{self, Choices};
use crate::correction::card::edition_order;
use crate::correction::edition::{as_made, of};
use crate::correction::errata::{Medium, PagesOf, document};
use crate::correction::moves::{moves, notes};
use crate::diag::Finding;
use crate::proof::Proved;
use crate::typeset::{MM, Margins, Measure, Paper, Theme, lay_out};
use crate::written::say::{Hand, Length};
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
        let said = notes(&moves);
        let sheet =
            |medium, pages: &_| document(&moves.errata, author, language, &said, medium, pages);
        let text = reflow::text(&sheet(Medium::PlainText, &PagesOf::new()));
        let Some(folder) = &self.out else {
            io::print(&text);
            return Ok(());
        };
        let name = self.new.file_stem().map(|s| s.to_string_lossy().into_owned());
        let edition = |p: &Proved| safe(p.design.pattern.edition.as_str());
        let stem =
            format!("{}-errata-{}-to-{}", name.unwrap_or_default(), edition(&old), edition(&new));
        // Every file is made before the first is written.
        let mut files = vec![(format!("{stem}.txt"), text.into_bytes())];
        for paper in &self.paper {
            let (paper, tag) = paper.sheet();
            let made = pages_of(&old, paper).and_then(|pages| {
                let sheet = sheet(Medium::Print, &pages);
                let laid = lay_out(&sheet, &theme(), paper)?;
                Ok((laid.pages.len(), pdf::write(&laid, &sheet)?))
            });
            let (pages, bytes) = made.map_err(|f| (f, End::Faults))?;
            if pages > 1 {
                desk.say(&format!("so much changed that the sheet takes {pages} pages ({tag})"));
            }
            files.push((format!("{stem}-{tag}.pdf"), bytes));
        }
        for (name, bytes) in files {
            let path = folder.join(name);
            io::write_whole(&path, &bytes).map_err(|f| (vec![*f], End::Failed))?;
            desk.say(&format!("wrote {}", path.display()));
        }
        Ok(())
    }
}

/// The page each part of the booklet of all sizes begins on, by its title; a part without
/// an entry of its own counts to the chapter it stands in.
fn pages_of(p: &Proved, paper: Paper) -> Result<PagesOf, Vec<Finding>> {
    let choices = Choices {
        terms: p.design.terms,
        length: Length::Abbreviated,
        hand: Hand::Right,
        size: None,
        large: false,
    };
    let booklet = booklet::sale(p, &choices, None);
    let laid = lay_out(&booklet, &Theme::default(), paper)?;
    let mut entries = laid.outline.iter();
    let mut pages = PagesOf::new();
    let mut page = None;
    for block in &booklet.blocks {
        for heading in headings(block) {
            if heading.listed {
                page = entries.next().map(|e| e.page + 1);
            }
            if let Some(page) = page {
                pages.entry(reflow::words(&heading.text)).or_insert(page);
            }
        }
    }
    Ok(pages)
}

/// The headings of a block, in reading order.
fn headings(block: &Block) -> Vec<&Heading> {
    match block {
        Block::Heading(h) => vec![h],
        Block::Columns { blocks, .. } | Block::Keep(blocks) => {
            blocks.iter().flat_map(headings).collect()
        }
        Block::Sized(sized) => sized.brackets.iter().flat_map(headings).collect(),
        _ => Vec::new(),
    }
}

/// The built-in look made small, so that the corrections of a hat go on one page: no type
/// is under 8 points.
fn theme() -> Theme {
    let table = Measure { size: 8.0, leading: 9.2 };
    let body = Measure { size: 8.5, leading: 10.5 };
    let side = 15.0 * MM;
    Theme {
        body,
        lead: body,
        small: table,
        table,
        furniture: table,
        headings: [16.0, 11.0, 9.0].map(|size| Measure { size, leading: 1.2 * size }),
        margins: Margins { top: side, right: side, bottom: side, left: side },
        hang: 0.0,
        ..Theme::default()
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
