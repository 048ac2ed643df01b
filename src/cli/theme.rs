//! Reading a page theme with the files it names.

use super::{End, Failure, io};
use crate::typeset::{Theme, ThemeFile};
use std::path::Path;

/// The theme at `path`.
pub(super) fn read(desk: &mut io::Desk, path: &Path) -> Result<Theme, Failure> {
    let id = desk.read_text(path).map_err(|f| (vec![*f], End::Failed))?;
    let file = ThemeFile::read(id, desk.text(id)).map_err(|f| (f, End::Faults))?;
    file.with_files(|name| {
        io::read_bounded(&io::beside(path, name), crate::limits::PICTURE_BYTES).ok()
    })
    .map_err(|f| (f, End::Faults))
}
