//! Room `design`.
