//! Testers' cards come in; what they say of a design's gauge, yarn and size goes out, and
//! what a correction would move.

pub mod stats;
