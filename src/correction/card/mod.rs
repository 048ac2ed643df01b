//! Tester cards: TOML comes in, [`Card`] and findings go out; and the blank card to fill in.
//!
//! A card is read by itself first ([`read`]), then beside its design and the other cards
//! ([`sift`]): only what holds against both is used.

mod blank;
mod check;
mod model;
mod plausible;
mod read;
mod roster;

pub use blank::blank;
pub use check::{Sifted, newest, sift};
pub use model::*;
pub use read::{CARD_KEYS, read};
pub use roster::{Roster, Seat, roster};
