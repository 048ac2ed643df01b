//! What sentences are made of.

use super::terms::Term;

/// A piece of a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Bit {
    /// Words and signs as they are.
    Text(String),
    /// An abbreviation.
    Term {
        /// As shown: capitalised at the head of a sentence, in the plural where needed.
        text: String,
        /// What it stands for here, in the same number.
        expansion: String,
        /// Its entry in the list of abbreviations.
        term: Box<Term>,
    },
    /// What must stay on one line: `next 5 sts`, `(36 sts)`.
    Keep(Vec<Bit>),
    /// A number that differs between sizes, as shown for each in order: `60 (66, 72)`.
    /// Sizes that do not work the line have `–`.
    Graded(Vec<String>),
}

/// Whether a number that differs between sizes is shown as `cell` in one of them.
pub fn has_cell(bits: &[Bit], cell: &str) -> bool {
    bits.iter().any(|bit| match bit {
        Bit::Graded(cells) => cells.iter().any(|c| c == cell),
        Bit::Keep(inner) => has_cell(inner, cell),
        Bit::Text(_) | Bit::Term { .. } => false,
    })
}

/// Bits as plain text.
pub fn plain(bits: &[Bit]) -> String {
    let mut out = String::new();
    write(bits, &mut out);
    out
}

fn write(bits: &[Bit], out: &mut String) {
    for bit in bits {
        match bit {
            Bit::Text(text) | Bit::Term { text, .. } => out.push_str(text),
            Bit::Keep(bits) => write(bits, out),
            Bit::Graded(cells) => write_graded(cells, out),
        }
    }
}

fn write_graded(cells: &[String], out: &mut String) {
    let Some((first, others)) = cells.split_first() else { return };
    out.push_str(first);
    if !others.is_empty() {
        out.push_str(" (");
        out.push_str(&others.join(", "));
        out.push(')');
    }
}

/// The words for one size, by its place among the sizes.
pub fn pick(bits: &[Bit], size: usize) -> Vec<Bit> {
    let mut out = Vec::with_capacity(bits.len());
    for bit in bits {
        match bit {
            Bit::Text(_) | Bit::Term { .. } => out.push(bit.clone()),
            Bit::Keep(inner) => out.push(Bit::Keep(pick(inner, size))),
            Bit::Graded(cells) => out.push(Bit::Text(cells.get(size).cloned().unwrap_or_default())),
        }
    }
    out
}

/// Whether any number in it differs between sizes.
pub(super) fn is_graded(bits: &[Bit]) -> bool {
    bits.iter().any(|bit| match bit {
        Bit::Graded(cells) => cells.len() > 1,
        Bit::Keep(inner) => is_graded(inner),
        Bit::Text(_) | Bit::Term { .. } => false,
    })
}

/// Whether a number in it says that it is not for this size.
pub(super) fn is_absent(bits: &[Bit], size: usize) -> bool {
    bits.iter().any(|bit| match bit {
        Bit::Graded(cells) => cells.get(size).is_some_and(|c| c == super::numbers::ABSENT),
        Bit::Keep(inner) => is_absent(inner, size),
        Bit::Text(_) | Bit::Term { .. } => false,
    })
}

/// Gives the first word a capital. Signs that may stand before it are passed over; if a
/// number comes first, nothing changes.
pub(super) fn capitalise(bits: &mut [Bit]) {
    for bit in bits {
        let done = match bit {
            Bit::Text(text) | Bit::Term { text, .. } => capitalise_text(text),
            Bit::Keep(inner) => {
                capitalise(inner);
                true
            }
            Bit::Graded(_) => true,
        };
        if done {
            return;
        }
    }
}

/// Whether the end of the search is reached.
fn capitalise_text(text: &mut String) -> bool {
    let Some((at, first)) = text.char_indices().find(|(_, c)| !"*[(†‡ ".contains(*c)) else {
        return false;
    };
    let upper: String = first.to_uppercase().collect();
    text.replace_range(at..at + first.len_utf8(), &upper);
    true
}
