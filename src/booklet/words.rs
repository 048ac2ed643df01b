//! Small words: how numbers, lists and sizes are put into sentences.

use super::document::{Inline, Text, plain};
use crate::written::tree::Terms;

/// "a", "a and b", "a, b and c".
pub(crate) fn list_of(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [rest @ .., last] => format!("{} and {last}", rest.join(", ")),
    }
}

/// A number with its unit kept on one line: every space becomes a no-break space.
pub(super) fn kept(words: &str) -> String {
    words.replace(' ', "\u{a0}")
}

/// The first letter made large.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// What the trade calls the stitches over a length: gauge, in Britain tension.
pub(super) fn gauge(terms: Terms) -> &'static str {
    if terms == Terms::Us { "gauge" } else { "tension" }
}

/// Words of weight followed by plain ones.
pub(super) fn led(strong: &str, rest: impl Into<String>) -> Text {
    vec![Inline::Strong(plain(strong)), Inline::Text(rest.into())]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_read_as_english() {
        let words = |w: &[&str]| list_of(&w.iter().map(|s| (*s).to_owned()).collect::<Vec<_>>());
        assert_eq!(words(&[]), "");
        assert_eq!(words(&["a"]), "a");
        assert_eq!(words(&["a", "b"]), "a and b");
        assert_eq!(words(&["a", "b", "c"]), "a, b and c");
    }
}
