//! Room `proof`.
pub mod text;
