//! Room `pdf`.
