//! Room `quantity`.
