//! Whether the hat will sit: girth, depth, ease and the heads that no size fits.

use super::graded::Graded;
use crate::design::Design;
use crate::diag::Finding;

/// What can be told from the wishes alone, before a stitch is worked.
pub(super) fn wishes(_design: &Design, _graded: &Graded) -> Vec<Finding> {
    Vec::new()
}
