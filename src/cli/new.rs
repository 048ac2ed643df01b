//! `brimwright new`: the starter designs, and a commented copy of one.

use super::{End, io};
use crate::diag::Finding;
use std::path::{Path, PathBuf};

/// List the starter designs, or write a commented copy of one.
#[derive(Debug, clap::Args)]
pub(super) struct New {
    /// Which starter; leave it out for the list.
    starter: Option<String>,
    /// The file to write [default: STARTER.toml in this folder].
    file: Option<PathBuf>,
}

/// A starter design as it is shipped.
pub struct Starter {
    /// What the person types.
    pub id: &'static str,
    /// How it is made, in a line.
    pub line: &'static str,
    /// A small sketch for the terminal.
    pub sketch: &'static str,
    /// The commented design file.
    pub design: &'static str,
    /// The photo's path as the design names it.
    pub photo_path: &'static str,
    /// The photo's bytes.
    pub photo: &'static [u8],
}

macro_rules! starter {
    ($id:literal, $line:literal, $sketch:literal) => {
        Starter {
            id: $id,
            line: $line,
            sketch: $sketch,
            design: include_str!(concat!("../../templates/", $id, ".toml")),
            photo_path: concat!("photos/", $id, ".jpg"),
            photo: include_bytes!(concat!("../../templates/photos/", $id, ".jpg")),
        }
    };
}

/// All starter designs, in the order they are listed.
pub static STARTERS: &[Starter] = &[
    starter!(
        "harbour-rib",
        "sideways ribbed cuff, fans worked into its row ends, gathered top",
        r"
    .-o-.
   /v v v\
  | v v v |
  |=======|
  |=======|"
    ),
    starter!(
        "larch-walk",
        "brim up in joined rounds, post-stitch brim, wedge crown",
        r"
     _o_
    /.|.\
   / .|. \
  |  .|.  |
  ||||||||||"
    ),
    starter!(
        "fell-gate",
        "earflap hat from the top down, two ties",
        r"
    .---.
   /- - -\
  |- - - -|
  \ /   \ /
   S     S"
    ),
    starter!(
        "tide-pool",
        "top down: a disc that grows, straight sides, firm edge",
        r"
    _____
  /( (o) )\
 |  -----  |
 |- - - - -|
 |=========|"
    ),
    starter!(
        "signal-box",
        "stripes in three colours, brim up, gathered top",
        r"
     (@)
   .-----.
  /#######\
 |---------|
 |=========|"
    ),
    starter!(
        "causeway",
        "post-stitch ribs from brim to crown",
        r"
     .^.
   ./ | \.
  / |   | \
 || || || ||
 ||_||_||_||"
    ),
    starter!(
        "post-road",
        "ear-warmer worked sideways, seamed",
        r"
   .-------.
 .(_________).
 |||||||||||||
 |||||||||||||
  '|||||||||'"
    ),
    starter!(
        "millstone",
        "beret: past the head and back to a band",
        r"
    .--'--.
 .-(   o   )-.
(  '-------'  )
 '-._     _.-'
    |=====|"
    ),
    starter!(
        "weir-turn",
        "worked sideways in short rows, gathered crown",
        r"
     .*.
   ./|||\.
  /|'|||'|\
 |||||||||||
 |||||||||||"
    ),
];

impl New {
    pub(super) fn run(self, desk: &mut io::Desk) -> End {
        let Some(id) = self.starter else {
            io::print(&list());
            return End::Fine;
        };
        let Some(starter) = STARTERS.iter().find(|s| s.id == id) else {
            let known: Vec<&str> = STARTERS.iter().map(|s| s.id).collect();
            desk.report(&[Finding::fault("usage", format!("there is no starter `{id}`"))
                .help(format!("the starters are {}", known.join(", ")))]);
            return End::Failed;
        };
        let file = self.file.unwrap_or_else(|| PathBuf::from(format!("{id}.toml")));
        match write(starter, &file) {
            Ok(photo) => {
                desk.say(&format!("wrote {} and {}", file.display(), photo.display()));
                desk.say(&format!("next: brimwright publish {}", file.display()));
                End::Fine
            }
            Err(fault) => {
                desk.report(&[*fault]);
                End::Failed
            }
        }
    }
}

/// Writes the design and, unless one is there already, its photo beside it.
fn write(starter: &Starter, file: &Path) -> Result<PathBuf, Box<Finding>> {
    if io::exists(file) {
        return Err(Box::new(
            Finding::fault("write", format!("{} is there already", file.display()))
                .help("give another file name; nothing was written"),
        ));
    }
    let photo = io::beside(file, starter.photo_path);
    if !io::exists(&photo) {
        io::write_whole(&photo, starter.photo)?;
    }
    io::write_whole(file, starter.design.as_bytes())?;
    Ok(photo)
}

fn list() -> String {
    let mut out = String::from("Starter designs (brimwright new NAME [FILE]):\n");
    for s in STARTERS {
        out.push_str(&format!("\n{}\n  {}: {}\n", s.sketch.trim_start_matches('\n'), s.id, s.line));
    }
    out
}
