//! Saying trees again: exact sentences, and reading back what was said.

mod back;
mod by_hand;
mod cases;
mod grow;
mod normal;
mod sheet;
