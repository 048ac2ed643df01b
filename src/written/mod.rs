//! Room `written`.
