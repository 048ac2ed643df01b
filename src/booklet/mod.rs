//! The booklet: a proved design as one device-free document.
//!
//! [`document`] is the model that `typeset` (and the plain text and HTML writers) read. It
//! knows roles and reading order, never millimetres of the page.

pub mod document;
