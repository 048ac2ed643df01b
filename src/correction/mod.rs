//! Room `correction`.
