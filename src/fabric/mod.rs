//! Room `fabric`.
