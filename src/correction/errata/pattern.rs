//! Words with their figures taken out, so that lines of several sizes that say the same
//! with other figures are known as one line.

/// A piece of a line.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Piece {
    /// Words, spaces included.
    Fixed(String),
    /// A figure: `76`, `17½`, `5–16`; with `st` or `sts` where that follows, since the word
    /// goes with the figure (`next st`, `next 2 sts`).
    Figure(String),
}

impl Piece {
    /// What it says.
    pub(super) fn text(&self) -> &str {
        match self {
            Piece::Fixed(t) | Piece::Figure(t) => t,
        }
    }
}

/// The words as pieces.
pub(super) fn pieces(words: &str) -> Vec<Piece> {
    let chars: Vec<char> = words.chars().collect();
    let mut out: Vec<Piece> = Vec::new();
    let mut fixed = String::new();
    let mut i = 0;
    while let Some(c) = chars.get(i) {
        let end = figure_end(&chars, i);
        if end == i {
            fixed.push(*c);
            i += 1;
            continue;
        }
        if !fixed.is_empty() {
            out.push(Piece::Fixed(std::mem::take(&mut fixed)));
        }
        out.push(Piece::Figure(chars.get(i..end).unwrap_or_default().iter().collect()));
        i = end;
    }
    if !fixed.is_empty() {
        out.push(Piece::Fixed(fixed));
    }
    out
}

/// Where the figure that begins here ends; here where none does.
fn figure_end(chars: &[char], start: usize) -> usize {
    let at = |i: usize| chars.get(i).copied().unwrap_or(' ');
    let before = |words: &str| {
        let from = start.checked_sub(words.len());
        from.and_then(|from| chars.get(from..start))
            .is_some_and(|c| c.iter().copied().eq(words.chars()))
    };
    // `next st`: a figure of one, unsaid.
    if before("next ")
        && let Some(end) = stitches(chars, start)
    {
        return end;
    }
    let in_word = start > 0 && at(start - 1).is_alphabetic();
    let mut i = if at(start) == '−' { start + 1 } else { start };
    if in_word || !is_figure(at(i)) {
        return start;
    }
    while is_figure(at(i)) || (matches!(at(i), '.' | '/' | '–') && is_figure(at(i + 1))) {
        i += 1;
    }
    let spaced = matches!(at(i), ' ' | '\u{a0}').then(|| stitches(chars, i + 1)).flatten();
    spaced.unwrap_or(i)
}

/// The end of `st` or `sts` here.
fn stitches(chars: &[char], i: usize) -> Option<usize> {
    let at = |i: usize| chars.get(i).copied().unwrap_or(' ');
    let end = match (at(i), at(i + 1), at(i + 2)) {
        ('s', 't', 's') => i + 3,
        ('s', 't', _) => i + 2,
        _ => return None,
    };
    (!at(end).is_alphanumeric()).then_some(end)
}

fn is_figure(c: char) -> bool {
    c.is_ascii_digit() || "¼½¾⅛⅜⅝⅞".contains(c)
}

/// The words that stand between the figures: what makes two lines one.
pub(super) fn open(pieces: &[Piece]) -> Vec<Option<String>> {
    let left = |p: &Piece| match p {
        Piece::Fixed(t) => Some(t.clone()),
        Piece::Figure(_) => None,
    };
    pieces.iter().map(left).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(words: &str) -> String {
        let mark = |p: &Piece| match p {
            Piece::Fixed(t) => t.clone(),
            Piece::Figure(t) => format!("<{t}>"),
        };
        pieces(words).iter().map(mark).collect()
    }

    #[test]
    fn figures_are_found_and_words_left_alone() {
        assert_eq!(
            shown("[hdc in next 8 sts, hdc2tog] 4 times"),
            "[hdc in next <8 sts>, hdc2tog] <4> times"
        );
        assert_eq!(
            shown("hdc in next st, join in first st. (1 st)"),
            "hdc in next <st>, join in first st. (<1 st>)"
        );
        assert_eq!(
            shown("17½ in; Ease −7 %; 46.5–49.5 cm"),
            "<17½> in; Ease <−7> %; <46.5–49.5> cm"
        );
    }
}
