//! Room `proof`.
