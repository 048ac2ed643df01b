//! Stitches named in one word: "sc", "fpdc2tog", "rtrf", in US and UK terms.

use super::key::{Key, Keys, keys};
use super::tree::{Base, Form, Kind, Post, Terms};

/// Abbreviations that stand first in most steps.
pub(super) const COMMONEST: Keys =
    keys!["sc", "hdc", "dc", "tr", "htr", "sc2tog", "hdc2tog", "dc2tog"];

/// The stitch of the commonest abbreviations, which are asked for more than all else.
pub(super) fn common(word: Key, terms: Terms) -> Option<Base> {
    let us = terms == Terms::Us;
    Some(match word {
        SC if us => Base::Sc,
        HDC if us => Base::Hdc,
        DC if us => Base::Dc,
        TR if us => Base::Tr,
        DC => Base::Sc,
        HTR if !us => Base::Hdc,
        TR => Base::Dc,
        _ => return None,
    })
}

const SC: Key = Key::of("sc");
const HDC: Key = Key::of("hdc");
const DC: Key = Key::of("dc");
const TR: Key = Key::of("tr");
const HTR: Key = Key::of("htr");

/// An abbreviation in one word: "sc", "fpdc2tog", "rtrf", "esc". `Err` holds the stitch a
/// word means in the other terms.
pub(super) fn abbreviation(word: &str, terms: Terms) -> Option<Result<Kind, Kind>> {
    if word.len() < 2 || word.len() > 24 || !has_stem(word) {
        return None;
    }
    let (stem, tog) = split_together(word)?;
    let singular =
        stem.strip_suffix("'s").or_else(|| stem.strip_suffix('s')).filter(|s| s.len() > 1);
    for stem in std::iter::once(stem).chain(singular) {
        if let Some(kind) = stem_kind(stem, terms) {
            return Some(Ok(kind.tog(tog)));
        }
        let other = match terms {
            Terms::Us => Terms::Uk,
            Terms::Uk => Terms::Us,
        };
        if let Some(kind) = stem_kind(stem, other) {
            return Some(Err(kind.tog(tog)));
        }
    }
    None
}

/// Whether two letters stand together in it as in every stitch's name; most words have none such.
pub(super) fn has_stem(word: &str) -> bool {
    word.as_bytes().windows(2).any(|two| matches!(two, b"sc" | b"dc" | b"tr" | b"ss" | b"sl"))
}

/// "sc3tog" into "sc" and 3; any other word whole, and 1.
fn split_together(word: &str) -> Option<(&str, u8)> {
    let Some(head) = word.strip_suffix("tog") else { return Some((word, 1)) };
    let stem = head.trim_end_matches(|ch: char| ch.is_ascii_digit());
    let n: u8 = head.get(stem.len()..)?.parse().ok()?;
    (1..=40).contains(&n).then_some((stem, n))
}

fn stem_kind(stem: &str, terms: Terms) -> Option<Kind> {
    if let Some(base) = base_word(stem, terms) {
        return Some(Kind::plain(base));
    }
    for (prefix, post) in
        [("fp", Post::Front), ("bp", Post::Back), ("rf", Post::Front), ("rb", Post::Back)]
    {
        if let Some(base) = stem.strip_prefix(prefix).and_then(|s| worked_base(s, terms)) {
            return Some(Kind { post, ..base });
        }
    }
    // British raised stitches enclose the stitch: rtrf, rdtrb.
    if let Some(inner) = stem.strip_prefix('r') {
        for (suffix, post) in [('f', Post::Front), ('b', Post::Back)] {
            if let Some(base) = inner.strip_suffix(suffix).and_then(|s| worked_base(s, terms))
                && terms == Terms::Uk
            {
                return Some(Kind { post, ..base });
            }
        }
    }
    for (prefix, form) in [('e', Form::Extended), ('f', Form::Foundation), ('r', Form::Reverse)] {
        if let Some(base) = stem.strip_prefix(prefix).and_then(|s| base_word(s, terms))
            && !matches!(base, Base::SlSt | Base::Ch)
        {
            return Some(Kind { form, ..Kind::plain(base) });
        }
    }
    None
}

fn worked_base(word: &str, terms: Terms) -> Option<Kind> {
    let base = base_word(word, terms)?;
    (!matches!(base, Base::SlSt | Base::Ch)).then(|| Kind::plain(base))
}

/// The stitches of the abbreviations, in US and in UK terms.
const BASES: [(&str, Option<Base>, Option<Base>); 14] = [
    ("sc", Some(Base::Sc), None),
    ("dc", Some(Base::Dc), Some(Base::Sc)),
    ("hdc", Some(Base::Hdc), None),
    ("htr", None, Some(Base::Hdc)),
    ("tr", Some(Base::Tr), Some(Base::Dc)),
    ("trc", Some(Base::Tr), None),
    ("treb", None, Some(Base::Dc)),
    ("dtr", Some(Base::Dtr), Some(Base::Tr)),
    ("trtr", Some(Base::Trtr), Some(Base::Dtr)),
    ("ttr", None, Some(Base::Dtr)),
    ("qtr", None, Some(Base::Trtr)),
    ("quadtr", None, Some(Base::Trtr)),
    ("ss", Some(Base::SlSt), Some(Base::SlSt)),
    ("slst", Some(Base::SlSt), Some(Base::SlSt)),
];

fn base_word(word: &str, terms: Terms) -> Option<Base> {
    let (_, us, uk) = BASES.iter().find(|(name, ..)| *name == word)?;
    match terms {
        Terms::Us => *us,
        Terms::Uk => *uk,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is asked first says of every abbreviation what the table says.
    #[test]
    fn what_is_asked_first_is_in_the_table() {
        let mut first = 0;
        for (word, us, uk) in BASES {
            assert!(has_stem(word), "“{word}” is never looked up");
            for (terms, base) in [(Terms::Us, us), (Terms::Uk, uk)] {
                if let Some(found) = common(Key::of(word), terms) {
                    assert_eq!(Some(found), base, "“{word}” in {terms:?}");
                    first += 1;
                }
            }
        }
        assert_eq!(first, 7);
        let names = ["sc", "hdc", "dc", "tr", "htr", "sc2tog", "hdc2tog", "dc2tog"];
        assert_eq!(COMMONEST.list(), names.map(Key::of));
        assert!(names.iter().all(|name| abbreviation(name, Terms::Us).is_some()));
    }
}
