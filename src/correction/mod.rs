//! Testers' cards come in; what they say of a design's gauge, yarn and size goes out, and
//! what a correction would move.

mod align;
mod apply;
pub mod card;
mod changes;
pub mod correct;
pub mod edition;
pub mod errata;
pub mod moves;
pub mod report;
pub mod stats;
mod words;

pub use apply::{Applying, apply, next_edition};
pub use changes::{Changes, GaugeChange, HookChange};
pub use correct::{Correction, Expected, Hands, Wish, correct};
