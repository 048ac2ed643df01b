//! Proof: a design's every piece worked in every size, its claims held against the fabric.
//!
//! Takes a [`Design`](crate::design::Design), gives a [`Proved`] design and findings; also
//! proves plain written text with no design ([`text`]).

mod design;
mod measured;
mod merge;
mod numbers;
mod series;
pub mod text;
mod until;

pub use design::{Proved, ProvedPiece, prove};
pub use measured::{hat, measured};
pub use numbers::SizeNumbers;
pub use until::{BallEnd, BallEndOf};
