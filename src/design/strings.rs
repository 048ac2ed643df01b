//! The way back from a decoded TOML string to the bytes it was written with.

use crate::diag::{Origin, SourceId};

/// Decodes the string written as `raw` (quotes and all), which begins at byte `start` of
/// its source: the text with plain line ends, and where each stretch of it came from.
///
/// `raw` has been read by the TOML parser before, so anything odd is simply kept as it is.
pub(super) fn decode(raw: &str, start: usize, source: SourceId) -> (String, Origin) {
    let (quote, basic) = match raw {
        r if r.starts_with("\"\"\"") => ("\"\"\"", true),
        r if r.starts_with("'''") => ("'''", false),
        r if r.starts_with('"') => ("\"", true),
        r if r.starts_with('\'') => ("'", false),
        _ => return (raw.to_owned(), origin(source, vec![(0, start)])),
    };
    let inner = raw.strip_prefix(quote).unwrap_or(raw);
    let inner = inner.strip_suffix(quote).unwrap_or(inner);
    let mut d =
        Decoder { inner, base: start + quote.len(), at: 0, out: String::new(), steps: vec![] };
    if quote.len() == 3 {
        d.at += line_end(inner);
    }
    d.mark();
    while d.step(basic) {}
    (d.out, origin(source, d.steps))
}

fn origin(source: SourceId, steps: Vec<(usize, usize)>) -> Origin {
    let narrow = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    Origin { source, steps: steps.into_iter().map(|(t, s)| (narrow(t), narrow(s))).collect() }
}

/// How many bytes a line end at the start of `s` takes; none if there is no line end.
fn line_end(s: &str) -> usize {
    if s.starts_with("\r\n") { 2 } else { usize::from(s.starts_with('\n')) }
}

struct Decoder<'a> {
    inner: &'a str,
    base: usize,
    at: usize,
    out: String,
    steps: Vec<(usize, usize)>,
}

impl Decoder<'_> {
    fn rest(&self) -> &str {
        self.inner.get(self.at..).unwrap_or("")
    }

    /// From here on, text and source advance together.
    fn mark(&mut self) {
        let step = (self.out.len(), self.base + self.at);
        if self.steps.last().is_some_and(|(text, _)| *text == step.0) {
            self.steps.pop();
        }
        self.steps.push(step);
    }

    fn step(&mut self, basic: bool) -> bool {
        let Some(c) = self.rest().chars().next() else { return false };
        if c == '\r' && self.rest().starts_with("\r\n") {
            self.at += 1;
            self.mark();
        } else if c == '\\' && basic {
            self.escape();
            self.mark();
        } else {
            self.out.push(c);
            self.at += c.len_utf8();
        }
        true
    }

    fn escape(&mut self) {
        let rest = self.rest();
        let Some(c) = rest.chars().nth(1) else {
            self.at += 1;
            return;
        };
        let plain = match c {
            'b' => '\u{8}',
            't' => '\t',
            'n' => '\n',
            'f' => '\u{c}',
            'r' => '\r',
            'e' => '\u{1b}',
            '"' => '"',
            '\\' => '\\',
            'x' => return self.coded(2),
            'u' => return self.coded(4),
            'U' => return self.coded(8),
            _ => {
                // A backslash at a line's end swallows all blanks up to the next word.
                let blank = rest.get(1..).unwrap_or("");
                let swallowed =
                    blank.len() - blank.trim_start_matches([' ', '\t', '\r', '\n']).len();
                self.at += 1 + swallowed;
                return;
            }
        };
        self.out.push(plain);
        self.at += 1 + c.len_utf8();
    }

    fn coded(&mut self, digits: usize) {
        let hex = self.rest().get(2..2 + digits).unwrap_or("");
        let c = u32::from_str_radix(hex, 16).ok().and_then(char::from_u32);
        let taken = 2 + hex.len();
        self.out.push(c.unwrap_or('\u{fffd}'));
        self.at += taken;
    }
}
