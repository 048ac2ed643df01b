//! Reading a design and proving it: what most commands begin with.

use super::io::Desk;
use crate::diag::{Finding, SourceId};
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

/// Grades and proves a design that is in no file yet, under a name for messages.
pub(super) fn prove_text(desk: &mut Desk, name: String, text: String) -> Loaded {
    let id = desk.sources.add(name, text);
    prove_source(desk, id)
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
