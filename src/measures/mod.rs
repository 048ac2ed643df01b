//! Room `measures`.
