//! Room `typeset`.
