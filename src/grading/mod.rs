//! Room `grading`.
