//! `brimwright` grades, works, proves and prints crochet hat patterns.
//!
//! One design file goes in; a booklet comes out. Data flows one way through the rooms
//! below, each handing plain data to the next. Files, the terminal and the clock are
//! touched in [`cli`] only (and, for published tables, at compile time in [`standards`]).
//!
//! ```text
//! design.toml -> design -> grading --+
//!                                    +-> fabric -> proof -> booklet -> typeset -> pdf
//! written text -> written -----------+      |                 ^
//!                                           +-> measures -----+
//! ```

pub mod booklet;
pub mod cli;
pub mod correction;
pub mod design;
pub mod diag;
pub mod fabric;
pub mod figure;
pub mod grading;
pub mod limits;
pub mod measures;
pub mod pdf;
pub mod proof;
pub mod quantity;
pub mod reflow;
pub mod standards;
pub mod typeset;
pub mod written;
