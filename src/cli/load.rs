//! Reading a design and proving it: what most commands begin with.

use super::io::{self, Desk};
use super::{End, Failure};
use crate::booklet::document::Picture;
use crate::design::Design;
use crate::diag::{Finding, SourceId, any_fault};
use crate::limits;
use crate::proof::{self, Proved};
use std::path::Path;

/// What became of a design file.
pub(super) enum Loaded {
    /// Read and worked; the findings may hold faults.
    Proved(Box<Proved>, Vec<Finding>),
    /// Not even a design: only findings.
    Broken(Vec<Finding>),
    /// The file could not be read.
    Unread(Box<Finding>),
}

/// Reads, grades and proves the design at `path`.
pub(super) fn load(desk: &mut Desk, path: &Path) -> Loaded {
    let id = match desk.read_text(path) {
        Ok(id) => id,
        Err(fault) => return Loaded::Unread(fault),
    };
    prove_source(desk, id)
}

/// Reads and proves the design at `path`, and reports what was found. Findings may hold
/// faults; where there is no design at all, how the command ends.
pub(super) fn load_reported(
    desk: &mut Desk,
    path: &Path,
) -> Result<(Box<Proved>, Vec<Finding>), End> {
    let (findings, end) = match load(desk, path) {
        Loaded::Proved(proved, findings) => {
            desk.report(&findings);
            return Ok((proved, findings));
        }
        Loaded::Broken(findings) => (findings, End::Faults),
        Loaded::Unread(fault) => (vec![*fault], End::Failed),
    };
    desk.report(&findings);
    Err(end)
}

/// Reads and proves the design at `path` for work that no fault may stand in.
pub(super) fn proved(desk: &mut Desk, path: &Path) -> Result<Box<Proved>, Failure> {
    match load(desk, path) {
        Loaded::Proved(proved, findings) if !any_fault(&findings) => Ok(proved),
        Loaded::Proved(_, findings) | Loaded::Broken(findings) => Err((findings, End::Faults)),
        Loaded::Unread(fault) => Err((vec![*fault], End::Failed)),
    }
}

/// Grades and proves a design that is in no file yet, under a name for messages.
pub(super) fn prove_text(desk: &mut Desk, name: String, text: String) -> Loaded {
    let id = desk.sources.add(name, text);
    prove_source(desk, id)
}

/// The photo that the design at `path` names, if it names one.
pub(super) fn photo(path: &Path, design: &Design) -> Result<Option<Picture>, Box<Finding>> {
    let Some(named) = &design.pattern.photo else { return Ok(None) };
    let bytes = io::read_bounded(&io::beside(path, named.as_str()), limits::PICTURE_BYTES)
        .map_err(|f| Box::new(f.at(named.place, "this file")))?;
    Ok(Some(Picture { name: named.as_str().to_owned(), bytes }))
}

fn prove_source(desk: &Desk, id: SourceId) -> Loaded {
    let (design, mut findings) = crate::design::read(id, desk.text(id));
    match design {
        Some(design) => {
            let (proved, more) = proof::prove(design);
            findings.extend(more);
            Loaded::Proved(Box::new(proved), findings)
        }
        None => Loaded::Broken(findings),
    }
}
