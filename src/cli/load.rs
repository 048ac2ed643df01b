//! Reading a design and proving it: what most commands begin with.

use super::io::Desk;
use crate::diag::Finding;
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
