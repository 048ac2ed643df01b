//! Saying trees again: exact sentences, and reading back what was said.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod back;
mod by_hand;
mod cases;
mod designs;
mod grow;
mod normal;
mod sheet;
