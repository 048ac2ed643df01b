//! A pasted text that prints its sizes, as the trade does: `70 (76, 82) sts`, `[70, 76, 82] sts`,
//! `70/76/82 sts`.
//!
//! Takes the text, gives one text for each size. What is not for a size is filled with
//! blanks, so that every byte stays where it was, and a place found in any size's text is a
//! place in the whole.

use crate::diag::{Finding, Origin, Span};
use crate::limits;
use std::ops::Range;

/// The sizes of a text.
pub(super) struct Series {
    /// Their names as the text gives them, else "size 1", "size 2", …
    pub names: Vec<String>,
    sets: Vec<Set>,
}

/// One set of numbers: `70 (76, 82)`.
struct Set {
    /// From the first number to behind the bracket.
    whole: Range<usize>,
    /// The number of each size; `None` for a dash, which says "not in this size".
    numbers: Vec<Option<Range<usize>>>,
    /// The line it stands in, without its end.
    line: Range<usize>,
    /// Whether it stands in the line's label: nothing but the label's words before it.
    label: bool,
    /// Two numbers, `80 (84)`, that can be nothing but those of sizes: a unit follows, or a chain
    /// is made of so many. Else the second may be a count.
    plainly: bool,
}

/// The sizes of `text`, if it prints any; and a fault for each set that has more or fewer
/// numbers than most.
pub(super) fn series(text: &str, origin: &Origin) -> Option<(Series, Vec<Finding>)> {
    let mut names = Vec::new();
    let mut sets = Vec::new();
    let mut start = 0;
    for line in text.split('\n') {
        match listed(line) {
            Some(listed) => names = listed,
            None => sets_in(line, start, &mut sets),
        }
        start += line.len() + 1;
    }
    // One number in a bracket is a count as a rule, "12 (12)": only a list of two sizes makes
    // it a size, or what stands about it in a text of more.
    let sizes = match names.len() {
        2 => usual(sets.iter())?,
        _ => usual(sets.iter().filter(|s| s.numbers.len() > 2))?,
    };
    sets.retain(|s| s.numbers.len() > 2 || sizes == 2 || s.plainly);
    let findings = sets
        .iter()
        .filter(|s| s.numbers.len() != sizes)
        .map(|s| {
            let message = format!(
                "“{}” has {} numbers, and this text has {sizes} sizes",
                text.get(s.whole.clone()).unwrap_or_default(),
                s.numbers.len()
            );
            let span = Span::new(s.whole.start, s.whole.end);
            Finding::fault("size-numbers", message)
                .at(origin.place(span), "here")
                .help("give one number for each size, and a dash where a size has none")
        })
        .collect();
    if names.len() != sizes {
        names = (1..=sizes).map(|n| format!("size {n}")).collect();
    }
    Some((Series { names, sets }, findings))
}

impl Series {
    /// The sets that have more or fewer numbers than there are sizes.
    pub(super) fn unlike(&self) -> Vec<Span> {
        let sizes = self.names.len();
        let unlike = self.sets.iter().filter(|s| s.numbers.len() != sizes);
        unlike.map(|s| Span::new(s.whole.start, s.whole.end)).collect()
    }

    /// The text of one size, as long in bytes as the whole.
    pub(super) fn text(&self, whole: &str, size: usize) -> String {
        let mut bytes = whole.as_bytes().to_vec();
        // A set too short has its own fault: its last number stands in for what is missing.
        let number = |s: &Set| s.numbers.get(size).or(s.numbers.last()).cloned().flatten();
        for set in &self.sets {
            let kept = number(set).and_then(|n| whole.get(n)).unwrap_or("0");
            fill(&mut bytes, &set.whole, kept);
        }
        for set in self.sets.iter().filter(|s| s.label && number(s).is_none()) {
            fill(&mut bytes, &set.line, "");
        }
        String::from_utf8(bytes).unwrap_or_default()
    }
}

/// Puts `kept` at the start of a range, and blanks behind it.
fn fill(bytes: &mut [u8], range: &Range<usize>, kept: &str) {
    let padded = kept.bytes().chain(std::iter::repeat(b' '));
    for (byte, new) in bytes.get_mut(range.clone()).unwrap_or_default().iter_mut().zip(padded) {
        *byte = new;
    }
}

/// How many sizes most sets give; of two as frequent, the more.
fn usual<'a>(sets: impl Iterator<Item = &'a Set>) -> Option<usize> {
    let mut tally = [0_usize; limits::SIZES + 1];
    for set in sets {
        if let Some(n) = tally.get_mut(set.numbers.len()) {
            *n += 1;
        }
    }
    (0..tally.len()).filter(|n| tally.get(*n) > Some(&0)).max_by_key(|n| (tally.get(*n), *n))
}

/// The names in "Sizes: Child (Teen, Adult)", if the line is such a list.
fn listed(line: &str) -> Option<Vec<String>> {
    let (label, list) = line.split_once(':')?;
    if !["size", "sizes"].contains(&label.trim().to_ascii_lowercase().as_str()) {
        return None;
    }
    let list = list.trim().trim_end_matches('.');
    let short = |n: &&str| !n.trim().is_empty() && n.len() < 24;
    // "Sizes: S/M/L", "Sizes: Child, Teen, Adult"
    if !list.contains(['(', '[']) {
        let sign = if list.contains('/') { '/' } else { ',' };
        let names: Vec<&str> = list.split(sign).collect();
        let listed = names.len() > 1 && names.iter().all(short);
        return listed.then(|| names.iter().map(|n| n.trim().to_owned()).collect());
    }
    let (first, rest) = list.strip_suffix([')', ']'])?.split_once(['(', '['])?;
    let names: Vec<String> = std::iter::once(first)
        .chain(rest.split([',', ';']))
        .map(|name| name.trim().to_owned())
        .collect();
    names.iter().all(|n| !n.is_empty()).then_some(names)
}

/// The sets of numbers in a line that starts at a byte of the text.
fn sets_in(line: &str, start: usize, out: &mut Vec<Set>) {
    let whole_line = start..start + line.len();
    let mut after = 0;
    // "12/05/2024" in a title is no set.
    let mut words = line.split(|c: char| !c.is_alphanumeric());
    let works = words.any(|w| {
        UNITS
            .iter()
            .chain(&["rnd", "row", "round", "work", "join"])
            .any(|u| u.eq_ignore_ascii_case(w))
    });
    if works {
        slashed(line, start, out);
    }
    for (open, _) in line.match_indices(['(', '[']) {
        if open < after {
            continue;
        }
        let before = line.get(..open).unwrap_or_default().trim_end();
        if last_number(before).is_none() {
            if works && let Some((set, end)) = alone(line, start, open) {
                out.push(set);
                after = end;
            }
            continue;
        }
        let Some((rest, end)) = numbers(line, open) else { continue };
        let spans = rest.iter().any(|r| line.get(r.clone()).is_some_and(is_span));
        let Some(first) = first_number(before, spans) else { continue };
        let at = |r: Range<usize>| start + r.start..start + r.end;
        let is_dash = |r: &Range<usize>| {
            line.get(r.clone()).is_some_and(|n| !n.contains(|c: char| c.is_ascii_digit()))
        };
        let given: Vec<_> = std::iter::once(first.clone())
            .chain(rest)
            .map(|r| if is_dash(&r) { None } else { Some(at(r)) })
            .collect();
        after = end;
        if given.len() > limits::SIZES || given.iter().all(Option::is_none) {
            continue;
        }
        let words = line.get(..first.start).unwrap_or_default();
        let label = is_label(words);
        let whole = at(first.start..end);
        let plainly =
            !label && (ends_in(words, &["ch", "chain"]) || begins_in(line.get(end..), UNITS));
        out.push(Set { whole, numbers: given, line: whole_line.clone(), label, plainly });
    }
}

/// What numbers of sizes count.
const UNITS: &[&str] = &[
    "st", "sts", "stitches", "sc", "hdc", "dc", "tr", "htr", "dtr", "ch", "chs", "times", "more",
    "rnds", "rounds", "rows", "sps",
];

/// Whether these words end in one of a list.
fn ends_in(words: &str, list: &[&str]) -> bool {
    let last = words.split(|c: char| !c.is_alphanumeric()).rfind(|w| !w.is_empty());
    last.is_some_and(|w| list.iter().any(|l| l.eq_ignore_ascii_case(w)))
}

/// Whether a word of a list comes next.
fn begins_in(words: Option<&str>, list: &[&str]) -> bool {
    let words = words.unwrap_or_default().trim_start();
    let first = words.split(|c: char| !c.is_alphanumeric()).next().unwrap_or_default();
    list.iter().any(|l| l.eq_ignore_ascii_case(first))
}

/// A bracket with no number before it: "ch [80, 84, 88]", "(80, 84, 88 sts)". At the end of a
/// sentence, or with its unit inside, the bracket stays, for it holds a count.
fn alone(line: &str, start: usize, open: usize) -> Option<(Set, usize)> {
    let close = if line.as_bytes().get(open) == Some(&b'(') { ')' } else { ']' };
    let inside = line.get(open + 1..)?;
    let inside = inside.get(..inside.find(close)?)?;
    let end = open + 1 + inside.len() + 1;
    let bare = inside.trim_end_matches(|c: char| c.is_alphabetic() || c == ' ' || c == '.');
    let unit = inside.get(bare.len()..).is_some_and(|u| u.contains(char::is_alphabetic));
    let mut at = start + open + 1;
    let mut found = Vec::new();
    for part in bare.split([',', '/', ';']) {
        let word = part.trim();
        if word.is_empty() || !word.bytes().all(|b| b.is_ascii_digit()) {
            return None;
        }
        let from = at + (part.len() - part.trim_start().len());
        found.push(Some(from..from + word.len()));
        at += part.len() + 1;
    }
    if !(3..=limits::SIZES).contains(&found.len()) {
        return None;
    }
    let words = line.get(..open)?;
    let counts = ["ch", "chain", "next", "last", "first", "of", "x", "work", "to", "for", "skip"];
    let behind = line.get(end..)?.trim_start();
    let kept = unit
        || !ends_in(words, &counts)
            && !words.trim_end().ends_with(['-', '–'])
            && !begins_in(Some(behind), UNITS);
    let whole = match kept {
        true => start + open + 1..start + open + 1 + bare.len(),
        false => start + open..start + end,
    };
    let line = start..start + line.len();
    Some((Set { whole, numbers: found, line, label: is_label(words), plainly: true }, end))
}

/// "80/84/88".
fn slashed(line: &str, start: usize, out: &mut Vec<Set>) {
    let bytes = line.as_bytes();
    let mut i = 0;
    while i < bytes.len() {
        let end = bytes
            .iter()
            .skip(i)
            .position(|b| !b.is_ascii_digit() && *b != b'/')
            .map_or(bytes.len(), |n| i + n);
        let run = line.get(i..end).unwrap_or_default();
        let apart = !line.get(..i).unwrap_or_default().ends_with(|c: char| c.is_alphanumeric());
        let mut at = start + i;
        let mut numbers = Vec::new();
        for part in run.split('/') {
            numbers.push(Some(at..at + part.len()));
            at += part.len() + 1;
        }
        let whole = run.split('/').all(|p| !p.is_empty()) && apart;
        let bracket = line.get(..i).is_some_and(|w| w.trim_end().ends_with(['(', '[']));
        if whole && numbers.len() > 2 && numbers.len() <= limits::SIZES && !bracket {
            out.push(Set {
                whole: start + i..start + end,
                numbers,
                line: start..start + line.len(),
                label: is_label(line.get(..i).unwrap_or_default()),
                plainly: true,
            });
        }
        i = end.max(i + 1);
    }
}

/// Whether a set behind these words is the number of a row or round.
fn is_label(before: &str) -> bool {
    let mut words = before.trim_end_matches(|c: char| !c.is_alphabetic()).split_whitespace();
    let low = words.next().unwrap_or_default().to_ascii_lowercase();
    words.next().is_none()
        && ["row", "rows", "rnd", "rnds", "round", "rounds"].contains(&low.as_str())
}

/// Whether these are the first and last number of some rows: `7–9`.
fn is_span(word: &str) -> bool {
    let whole = |n: &str| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit());
    word.split_once(['-', '–']).is_some_and(|(a, b)| whole(a) && whole(b))
}

/// The first size's number before a bracket; with the number before it where the bracket has
/// spans of rows: `2–5 (2–6, 3–7)`.
fn first_number(before: &str, spans: bool) -> Option<Range<usize>> {
    let last = last_number(before)?;
    let from = before.get(..last.start).and_then(|b| b.strip_suffix(['-', '–']));
    match from.filter(|_| spans).and_then(last_number) {
        Some(first) if before.get(first.start..last.end).is_some_and(is_span) => {
            Some(first.start..last.end)
        }
        _ => Some(last),
    }
}

/// A number without the ending that makes an ordinal of it: `6` of "6th".
fn cardinal(word: &str) -> &str {
    let bare = ["st", "nd", "rd", "th"].iter().find_map(|end| word.strip_suffix(end));
    bare.filter(|n| n.ends_with(|c: char| c.is_ascii_digit())).unwrap_or(word)
}

/// The number, ordinal or dash that `before` ends with, standing apart.
fn last_number(before: &str) -> Option<Range<usize>> {
    let bare = cardinal(before);
    let digits = bare.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    if digits < bare.len() {
        let apart = !before.get(..digits)?.ends_with(|c: char| c.is_alphanumeric());
        return apart.then_some(digits..before.len());
    }
    let dash = before.trim_end_matches(['-', '–', '—']).len();
    let apart = before.get(..dash)?.ends_with(|c: char| c.is_whitespace() || "([".contains(c));
    (dash < before.len() && apart).then_some(dash..before.len())
}

/// The numbers, spans and dashes of the bracket that opens at a byte, and where it ends; nothing if
/// there is anything else in it.
fn numbers(line: &str, open: usize) -> Option<(Vec<Range<usize>>, usize)> {
    let inside = line.get(open + 1..)?;
    let close = if line.as_bytes().get(open) == Some(&b'(') { ')' } else { ']' };
    let inside = inside.get(..inside.find(close)?)?;
    let mut at = open + 1;
    let mut found = Vec::new();
    for part in inside.split([',', ';']) {
        let word = part.trim();
        let dash = !word.is_empty() && word.trim_matches(['-', '–', '—']).is_empty();
        let bare = cardinal(word);
        let whole = !bare.is_empty() && bare.bytes().all(|b| b.is_ascii_digit());
        if !dash && !whole && !is_span(word) {
            return None;
        }
        let from = at + (part.len() - part.trim_start().len());
        found.push(from..from + word.len());
        at += part.len() + 1;
    }
    Some((found, open + 1 + inside.len() + 1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(text: &str) -> (Vec<String>, Vec<String>, usize) {
        let (series, findings) = series(text, &Origin::default()).unwrap();
        let texts = (0..series.names.len()).map(|i| series.text(text, i)).collect();
        (series.names, texts, findings.len())
    }

    #[test]
    fn each_size_has_its_numbers_where_they_stood() {
        let text = "Sizes: Child (Teen, Adult)\nCh 70 (76, 102).\nRnd 1: (sc, inc) x 2. [70 (76; 102) sts]";
        let (names, texts, faults) = texts(text);
        assert_eq!(names, ["Child", "Teen", "Adult"]);
        assert_eq!(faults, 0);
        assert_eq!(
            texts[0],
            "Sizes: Child (Teen, Adult)\nCh 70          .\nRnd 1: (sc, inc) x 2. [70           sts]"
        );
        assert_eq!(
            texts[2],
            "Sizes: Child (Teen, Adult)\nCh 102         .\nRnd 1: (sc, inc) x 2. [102          sts]"
        );
    }

    #[test]
    fn all_numbers_may_stand_in_the_bracket_or_between_strokes() {
        let text = "Sizes: S/M/L\nCh [70, 76, 102], join.\nRnd 1: sc around. [70, 76, 102]\nRnds 2-5/6/7: Sc. 70/76/102 sts";
        let (names, texts, faults) = texts(text);
        assert_eq!((names, faults), (vec!["S".into(), "M".into(), "L".into()], 0));
        assert_eq!(
            texts[1],
            "Sizes: S/M/L\nCh 76           , join.\nRnd 1: sc around. [76         ]\nRnds 2-6    : Sc. 76        sts"
        );
    }

    #[test]
    fn a_set_too_short_is_told_and_a_count_behind_a_number_is_not() {
        let text = "Ch 70 (76), join.\nRnd 1: sc in next 12 (12).\nRnd 2: inc x 6 (12)\nRnd 3: 70 (76, 82) sts, 8 (8) sts";
        let (series, findings) = series(text, &Origin::default()).unwrap();
        let words: Vec<&str> = series.unlike().iter().map(|s| &text[s.range()]).collect();
        assert_eq!(words, ["70 (76)", "8 (8)"]);
        assert!(findings[0].message.contains("has 2 numbers, and this text has 3 sizes"));
    }

    #[test]
    fn ordinals_and_claims_that_begin_with_a_dash() {
        let text = "Sc in 6th (6th, 7th) st. [– (16, 20) sts]";
        let (_, texts, faults) = texts(text);
        assert_eq!(faults, 0);
        let squeezed = |t: &str| t.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(squeezed(&texts[0]), "Sc in 6th st. [0 sts]");
        assert_eq!(squeezed(&texts[2]), "Sc in 7th st. [20 sts]");
    }

    #[test]
    fn a_dash_in_a_label_leaves_the_line_out() {
        let text = "Ch 9 (10, 11).\nRnd – (7, 8): sc in next 3 (4, 5) sts.\nSc – (1, 2).";
        let (names, texts, _) = texts(text);
        assert_eq!(names, ["size 1", "size 2", "size 3"]);
        let lines: Vec<&str> = texts[0].lines().collect();
        assert_eq!(lines[1].trim(), "");
        assert_eq!(lines[2].trim_end_matches(['.', ' ']), "Sc 0");
        assert!(texts.iter().all(|t| t.len() == text.len()));
        assert!(texts[1].contains("Rnd 7"));
    }

    #[test]
    fn spans_of_rows_have_each_size_together() {
        let text = "Rows 2–5 (2–6, 3–7): sc.\nRep Rows 2–4 (6, 7) once.\nRnds – (6, 7–9): sc.";
        let (_, texts, faults) = texts(text);
        assert_eq!(faults, 0);
        let squeezed = |t: &str| t.split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(squeezed(&texts[0]), "Rows 2–5 : sc. Rep Rows 2–4 once.");
        assert_eq!(squeezed(&texts[1]), "Rows 2–6 : sc. Rep Rows 2–6 once. Rnds 6 : sc.");
        assert_eq!(squeezed(&texts[2]), "Rows 3–7 : sc. Rep Rows 2–7 once. Rnds 7–9 : sc.");
    }

    #[test]
    fn a_count_in_brackets_is_no_size() {
        for text in ["Rnd 1: Sc in next 12 (12)", "Ch 4 (counts as dc, ch 1)", "Rnd 2: inc x6 (12)"]
        {
            assert!(series(text, &Origin::default()).is_none(), "{text}");
        }
        let two = "Sizes: S (L)\nCh 12 (14).";
        assert_eq!(texts(two).1[1].lines().nth(1), Some("Ch 14     ."));
    }

    #[test]
    fn a_missing_number_is_a_fault() {
        let text = "Ch 9 (10, 11, 12).\nCh 9 (10, 11, 12).\nCh 9 (10, 11).";
        let (_, texts, faults) = texts(text);
        assert_eq!(faults, 1);
        assert!(texts[3].ends_with("Ch 11        ."), "{}", texts[3]);
    }
}
