//! Edits of a list, and carrying them out.

use super::Reading;
use serde::Serialize;

/// One edit of a list. Places are places in the old list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Edit<T, C> {
    /// The item at this place changed.
    Changed {
        /// Its place.
        at: usize,
        /// How.
        change: C,
    },
    /// The item at this place went.
    Dropped {
        /// Its place.
        at: usize,
        /// What it was.
        old: T,
    },
    /// A new item stands before the one at this place (or at the end).
    Added {
        /// The place of what follows it.
        before: usize,
        /// The old item it comes after; none at the beginning.
        after: Option<T>,
        /// What it is.
        new: T,
    },
}

/// Why a sheet does not go with a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mismatch {
    /// Where the text differs from the one the sheet was made for.
    pub at: String,
}

impl std::fmt::Display for Mismatch {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "this sheet was made for another text: they differ at {}", self.at)
    }
}

/// Carries out edits made in the old list's order.
pub(super) fn apply<T: PartialEq + Clone, C>(
    old: &[T],
    edits: &[Edit<T, C>],
    at: &str,
    change: impl Fn(&T, &C) -> Result<T, Mismatch>,
) -> Result<Vec<T>, Mismatch> {
    let miss = || Mismatch { at: at.to_owned() };
    let mut out = Vec::with_capacity(old.len());
    let mut next = 0;
    for edit in edits {
        let to = match edit {
            Edit::Changed { at, .. } | Edit::Dropped { at, .. } => *at,
            Edit::Added { before, .. } => *before,
        };
        out.extend_from_slice(old.get(next..to).ok_or_else(miss)?);
        next = to;
        match edit {
            Edit::Changed { change: c, .. } => {
                out.push(change(old.get(to).ok_or_else(miss)?, c)?);
                next += 1;
            }
            Edit::Dropped { old: gone, .. } => {
                if old.get(to) != Some(gone) {
                    return Err(miss());
                }
                next += 1;
            }
            Edit::Added { new, after, .. } => {
                if to.checked_sub(1).and_then(|i| old.get(i)) != after.as_ref() {
                    return Err(miss());
                }
                out.push(new.clone());
            }
        }
    }
    out.extend_from_slice(old.get(next..).ok_or_else(miss)?);
    Ok(out)
}

/// Carries out one reading.
pub(super) fn apply_one<T: PartialEq + Clone>(
    old: &T,
    reading: &Reading<T>,
    at: &str,
) -> Result<T, Mismatch> {
    if *old == reading.old { Ok(reading.new.clone()) } else { Err(Mismatch { at: at.to_owned() }) }
}
