//! From a [`Design`](crate::design::Design) to [`Graded`]: every named number, for every
//! size, with units checked.
//!
//! A formula is ordinary arithmetic over lengths and counts. Names may refer to later
//! ones; each value carries a [`Trace`] of how it was found and what rounding cost.

mod any;
mod depends;
mod eval;
mod fail;
pub mod fit;
mod formula;
mod grade;
mod graded;
mod number;
mod parse;
mod rules;

pub use any::{AnyGauge, AnyHead, along_gauge, any_gauge, any_head, between};
pub use depends::{found_from, told_by};
pub use fail::HoleError;
pub use grade::{grade, grade_with};
pub use graded::{Graded, GradedSize, Hole, Trace};
pub use number::{Rounding, Value};
pub use rules::Found;
