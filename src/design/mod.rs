//! From the bytes of a design file to a typed [`Design`].
//!
//! What comes in is TOML as a person would write it; what goes out is every value typed
//! and with its place in the file, and every fault at once. Formulas and written text are
//! kept as texts here: `grading` reads the first, `written` the second. The reference of
//! all keys is `templates/DESIGN-FILE.md`.

mod keys;
mod model;
mod names;
mod parts;
mod read;
mod sizes;
mod strings;
pub(crate) mod walk;

pub use keys::{FREE_TABLES, KEYS};
pub use model::*;
pub use names::yarn_of;
pub use read::read;

pub(crate) use names::unknown_name;
pub(crate) use read::syntax;
