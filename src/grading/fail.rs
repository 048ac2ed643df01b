//! What can go wrong in a formula, before its place in the file is known.

use crate::design::Text;
use crate::diag::{Finding, Span};
use std::fmt;

/// What is wrong with a formula, and where in its own text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoleError {
    /// The stable slug of the finding this makes.
    pub code: &'static str,
    /// One line for the person.
    pub message: String,
    /// Where in the formula's text, in bytes.
    pub span: Span,
    /// What would mend it.
    pub help: Option<String>,
    /// Whether the true fault is elsewhere and has been reported there.
    pub follows: bool,
}

impl fmt::Display for HoleError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl HoleError {
    pub(super) fn new(code: &'static str, span: Span, message: impl Into<String>) -> Self {
        HoleError { code, message: message.into(), span, help: None, follows: false }
    }

    pub(super) fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// A formula that cannot be worked out because a name in it has a fault of its own.
    pub(super) fn follows(span: Span, name: &str) -> Self {
        let message = format!("`{name}` has a fault of its own");
        HoleError { follows: true, ..HoleError::new("follows", span, message) }
    }

    /// The finding this makes for a formula that stands in a design file.
    pub fn finding(&self, formula: &Text) -> Finding {
        let finding =
            Finding::fault(self.code, self.message.clone()).at(formula.origin.place(self.span), "");
        match &self.help {
            Some(help) => finding.help(help.clone()),
            None => finding,
        }
    }
}
