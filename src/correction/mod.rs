//! Testers' cards come in; what they say of a design's gauge, yarn and size goes out, and
//! what a correction would move.

mod align;
pub mod edition;
pub mod errata;
pub mod stats;
mod words;
