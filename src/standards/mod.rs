//! Published tables.
pub mod stitches;
