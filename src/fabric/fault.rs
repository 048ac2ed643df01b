//! What stops the working of a line, and the words for it.

use crate::diag::Span;

/// A fault found while working, before it is placed in its source.
#[derive(Clone, Debug)]
pub(super) struct Fault {
    /// The stable code.
    pub code: &'static str,
    /// The words it is about.
    pub span: Span,
    /// What is wrong, with the numbers.
    pub message: String,
    /// What would mend it.
    pub help: Option<String>,
}

/// The outcome of working something.
pub(super) type Done<T = ()> = Result<T, Box<Fault>>;

/// A fault at these words.
pub(super) fn fault<T>(code: &'static str, span: Span, message: impl Into<String>) -> Done<T> {
    Err(Box::new(Fault { code, span, message: message.into(), help: None }))
}

/// A fault at these words, and what would mend it.
pub(super) fn fault_help<T>(
    code: &'static str,
    span: Span,
    message: impl Into<String>,
    help: impl Into<String>,
) -> Done<T> {
    Err(Box::new(Fault { code, span, message: message.into(), help: Some(help.into()) }))
}

/// "1 st", "2 sts".
pub(super) fn sts(n: u64) -> String {
    plural(n, "st", "sts")
}

/// A number with its noun.
pub(super) fn plural(n: u64, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}
