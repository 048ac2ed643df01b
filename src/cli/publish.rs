//! `brimwright publish`: a proved design becomes its booklets.

use super::load::load_reported;
use super::{End, Failure, Words, io};
use crate::booklet::document::{Document, Picture};
use crate::booklet::{self, Choices};
use crate::diag::{Finding, any_fault};
use crate::proof::Proved;
use crate::typeset::{Paper, Theme, lay_out};
use crate::written::say::{Hand, Length};
use crate::written::tree::Terms;
use crate::{pdf, reflow};
use std::path::{Path, PathBuf};

/// Prove a design and print its booklet.
///
/// Where an option takes several values, a booklet is made for every combination; file
/// names tell them apart.
#[derive(Debug, clap::Args)]
pub(super) struct Publish {
    /// The design file.
    design: PathBuf,
    /// The folder to write to.
    #[arg(long, value_name = "FOLDER", default_value = "booklets")]
    out: PathBuf,
    /// Paper sizes.
    #[arg(long, value_enum, value_delimiter = ',', default_value = "a4,letter")]
    paper: Vec<PaperName>,
    /// Stitch names; the design's own if left out.
    #[arg(long, value_enum, value_delimiter = ',')]
    terms: Vec<Words>,
    /// Abbreviated or spelled out.
    #[arg(long, value_enum, value_delimiter = ',', default_value = "short")]
    words: Vec<WordLength>,
    /// `all` sizes in brackets, `each` size in a booklet of its own, or size ids.
    #[arg(long, value_name = "IDS", value_delimiter = ',', default_value = "all")]
    size: Vec<String>,
    /// The hand that holds the hook.
    #[arg(long, value_enum, value_delimiter = ',', default_value = "right")]
    hand: Vec<HandName>,
    /// Large print: at least 18 point.
    #[arg(long)]
    large_print: bool,
    /// No fills, thin rules.
    #[arg(long)]
    low_ink: bool,
    /// Leave the photo out.
    #[arg(long)]
    no_photo: bool,
    /// A page theme of your own.
    #[arg(long, value_name = "FILE")]
    theme: Option<PathBuf>,
    /// What to write.
    #[arg(long, value_enum, value_delimiter = ',', default_value = "pdf")]
    format: Vec<Format>,
}

/// A file to write: where, and what.
type Sheet = (PathBuf, Vec<u8>);

/// Paper by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum PaperName {
    /// ISO 216: 210 by 297 mm.
    A4,
    /// ANSI A: 8½ by 11 in.
    Letter,
}

impl PaperName {
    /// The paper, and its name in file names.
    pub(super) fn sheet(self) -> (Paper, &'static str) {
        match self {
            PaperName::A4 => (Paper::A4, "a4"),
            PaperName::Letter => (Paper::Letter, "letter"),
        }
    }
}

/// How long words are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum WordLength {
    /// Abbreviated.
    Short,
    /// Spelled out.
    Full,
}

/// A hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum HandName {
    /// The right hand.
    Right,
    /// The left hand.
    Left,
}

/// What is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
enum Format {
    /// The booklet to print and to sell.
    Pdf,
    /// Plain text.
    Text,
    /// One self-contained web page.
    Html,
    /// The size table.
    Csv,
    /// Everything, for other programs.
    Json,
}

impl Publish {
    pub(super) fn run(self, desk: &mut io::Desk) -> End {
        let (proved, findings) = match load_reported(desk, &self.design) {
            Ok(loaded) => loaded,
            Err(end) => return end,
        };
        if any_fault(&findings) {
            desk.say("nothing was printed: mend the faults first");
            return End::Faults;
        }
        match self.print(desk, &proved) {
            Ok(files) => write_all(desk, &files),
            Err((faults, end)) => {
                desk.report(&faults);
                end
            }
        }
    }

    /// Every file of this run, made in memory before the first is written.
    fn print(&self, desk: &mut io::Desk, proved: &Proved) -> Result<Vec<Sheet>, Failure> {
        let photo = self.photo(proved).map_err(|f| (vec![*f], End::Faults))?;
        let theme = self.theme(desk)?;
        let sizes = self.sizes(proved).map_err(|f| (vec![*f], End::Failed))?;
        let mut files: Vec<Sheet> = Vec::new();
        let copies = self.copies(proved, &sizes);
        if let Some(other) = copies.iter().find(|c| c.terms != proved.design.terms) {
            desk.report(&booklet::prose::in_other_terms(proved, other.terms));
        }
        for choices in copies {
            let document = booklet::sale(proved, &choices, photo.clone());
            for format in &self.format {
                for (name, bytes) in self
                    .written(*format, &document, proved, &choices, &theme)
                    .map_err(|f| (f, End::Faults))?
                {
                    let path = self.out.join(name);
                    if !files.iter().any(|(p, _)| *p == path) {
                        files.push((path, bytes));
                    }
                }
            }
        }
        Ok(files)
    }

    fn copies(&self, proved: &Proved, sizes: &[Option<usize>]) -> Vec<Choices> {
        let own = [proved.design.terms];
        let asked: Vec<Terms> = self.terms.iter().map(|w| Terms::from(*w)).collect();
        let terms: &[Terms] = if asked.is_empty() { &own } else { &asked };
        let mut out = Vec::new();
        for terms in terms {
            for words in &self.words {
                for size in sizes {
                    for hand in &self.hand {
                        let copy = Choices {
                            terms: *terms,
                            length: match words {
                                WordLength::Short => Length::Abbreviated,
                                WordLength::Full => Length::SpelledOut,
                            },
                            hand: match hand {
                                HandName::Right => Hand::Right,
                                HandName::Left => Hand::Left,
                            },
                            size: *size,
                            large: self.large_print,
                        };
                        if !out.contains(&copy) {
                            out.push(copy);
                        }
                    }
                }
            }
        }
        out
    }

    fn sizes(&self, proved: &Proved) -> Result<Vec<Option<usize>>, Box<Finding>> {
        let mut out = Vec::new();
        for word in &self.size {
            match word.as_str() {
                "all" => out.push(None),
                "each" => out.extend((0..proved.design.sizes.len()).map(Some)),
                id => out.push(Some(super::size_position(&proved.design, id)?)),
            }
        }
        Ok(out)
    }

    fn photo(&self, proved: &Proved) -> Result<Option<Picture>, Box<Finding>> {
        if self.no_photo { Ok(None) } else { super::load::photo(&self.design, &proved.design) }
    }

    fn theme(&self, desk: &mut io::Desk) -> Result<Theme, Failure> {
        let mut theme = match &self.theme {
            Some(path) => super::theme::read(desk, path)?,
            None => Theme::default(),
        };
        if self.large_print {
            theme = theme.enlarged();
        }
        if self.low_ink {
            theme = theme.saving_ink();
        }
        Ok(theme)
    }

    /// One booklet on each paper: they have nothing in common but what they are made of, and
    /// are made side by side.
    fn pdfs(
        &self,
        stem: &str,
        document: &Document,
        theme: &Theme,
    ) -> Result<Vec<(String, Vec<u8>)>, Vec<Finding>> {
        let sheet = |paper: &PaperName| {
            let (paper, tag) = paper.sheet();
            let pages = lay_out(document, theme, paper)?;
            Ok((format!("{stem}-{tag}.pdf"), pdf::write(&pages, document)?))
        };
        let Some((last, others)) = self.paper.split_last() else { return Ok(Vec::new()) };
        std::thread::scope(|scope| {
            let others: Vec<_> = others.iter().map(|p| scope.spawn(|| sheet(p))).collect();
            let last = sheet(last);
            let lost = |_| vec![Finding::fault("internal", "a booklet was not made")];
            let done = others.into_iter().map(|o| o.join().map_err(lost)?);
            done.chain([last]).collect()
        })
    }

    /// One booklet in one format: a file, or one for each paper.
    fn written(
        &self,
        format: Format,
        document: &Document,
        proved: &Proved,
        choices: &Choices,
        theme: &Theme,
    ) -> Result<Vec<(String, Vec<u8>)>, Vec<Finding>> {
        let stem = self.stem(proved, choices);
        Ok(match format {
            Format::Pdf => self.pdfs(&stem, document, theme)?,
            Format::Text => vec![(format!("{stem}.txt"), reflow::text(document).into_bytes())],
            Format::Html => vec![(format!("{stem}.html"), reflow::html(document).into_bytes())],
            Format::Csv => {
                let csv = booklet::tables::size_csv(proved)?;
                vec![(format!("{}-sizes.csv", self.base(proved)), csv.into_bytes())]
            }
            Format::Json => {
                let json = booklet::tables::json(proved, document);
                vec![(format!("{stem}.json"), format!("{json:#}\n").into_bytes())]
            }
        })
    }

    /// `harbour-rib-1.0`: the design file's own name and the edition.
    fn base(&self, proved: &Proved) -> String {
        let name = self.design.file_stem().map(|s| s.to_string_lossy().into_owned());
        let edition = proved.design.pattern.edition.as_str();
        format!("{}-{}", name.unwrap_or_default(), safe(edition))
    }

    /// The base and whatever is not as usual in this copy.
    fn stem(&self, proved: &Proved, c: &Choices) -> String {
        let mut stem = self.base(proved);
        let mut tag = |words: &str| {
            stem.push('-');
            stem.push_str(words);
        };
        if c.terms != proved.design.terms || self.terms.len() > 1 {
            tag(match c.terms {
                Terms::Us => "us",
                Terms::Uk => "uk",
            });
        }
        if c.length == Length::SpelledOut {
            tag("full-words");
        }
        if let Some(size) = c.size.and_then(|i| proved.design.sizes.get(i)) {
            tag(&safe(&size.id));
        }
        if c.hand == Hand::Left {
            tag("left-hand");
        }
        if self.large_print {
            tag("large-print");
        }
        if self.low_ink {
            tag("low-ink");
        }
        stem
    }
}

/// Letters, digits, dots and hyphens only: fit for a file name everywhere.
pub(super) fn safe(words: &str) -> String {
    words
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() || c == '.' || c == '-' { c } else { '-' })
        .collect()
}

/// Writes the files and says where they are. All were made before the first is written, so
/// only the disk can fail here; then what stood there is untouched.
fn write_all(desk: &io::Desk, files: &[Sheet]) -> End {
    for (path, bytes) in files {
        if let Err(fault) = io::write_whole(path, bytes) {
            desk.report(&[*fault]);
            return End::Failed;
        }
        desk.say(&format!("wrote {} ({} kB)", shown(path), bytes.len().div_ceil(1000)));
    }
    End::Fine
}

fn shown(path: &Path) -> String {
    path.display().to_string()
}
