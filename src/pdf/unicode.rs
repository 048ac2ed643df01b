//! Which words the codes of a font stand for, so that text can be searched and copied.

use std::io::Write;

/// Most entries of one list (Adobe's notes on CMaps, from memory).
const LIST: usize = 100;

/// A character map from codes, in rising order, to the words each shows
/// (ISO 32000-1, 9.10.3). Narrow codes are one byte long, others two.
pub fn map(codes: impl Iterator<Item = (u16, String)>, narrow: bool) -> Vec<u8> {
    let (long, all) = if narrow { (2, "<00> <FF>") } else { (4, "<0000> <FFFF>") };
    let mut out = b"/CIDInit/ProcSet findresource begin\n12 dict begin\nbegincmap\n\
        /CIDSystemInfo<</Registry(Adobe)/Ordering(UCS)/Supplement 0>> def\n\
        /CMapName/Adobe-Identity-UCS def\n/CMapType 2 def\n\
        1 begincodespacerange\n"
        .to_vec();
    out.extend_from_slice(all.as_bytes());
    out.extend_from_slice(b"\nendcodespacerange\n");
    let mut ranges: Vec<(u16, u16, u16)> = Vec::new();
    let mut singles: Vec<(u16, String)> = Vec::new();
    for (code, words) in codes {
        let mut units = words.encode_utf16();
        let (first, more) = (units.next(), units.next().is_some());
        match (first, more, ranges.last_mut()) {
            (None, _, _) => {}
            // A range may not pass from one high byte to the next.
            (Some(unit), false, Some((start, last, at)))
                if code == *last + 1
                    && unit.checked_sub(*at) == Some(code - *start)
                    && code >> 8 == *start >> 8
                    && unit >> 8 == *at >> 8 =>
            {
                *last = code;
            }
            (Some(unit), false, _) => ranges.push((code, code, unit)),
            (Some(_), true, _) => singles.push((code, words)),
        }
    }
    // Writing to memory does not fail.
    for list in ranges.chunks(LIST) {
        let _ = writeln!(out, "{} beginbfrange", list.len());
        for (start, last, at) in list {
            let _ = writeln!(out, "<{start:0long$X}> <{last:0long$X}> <{at:04X}>");
        }
        out.extend_from_slice(b"endbfrange\n");
    }
    for list in singles.chunks(LIST) {
        let _ = writeln!(out, "{} beginbfchar", list.len());
        for (code, words) in list {
            let _ = write!(out, "<{code:0long$X}> <");
            words.encode_utf16().for_each(|unit| drop(write!(out, "{unit:04X}")));
            out.extend_from_slice(b">\n");
        }
        out.extend_from_slice(b"endbfchar\n");
    }
    out.extend_from_slice(b"endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n");
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_that_run_on_share_an_entry() {
        let map = |codes: &[(u16, &str)], narrow| {
            map(codes.iter().map(|(code, words)| (*code, (*words).to_owned())), narrow)
        };
        let codes = [(1, " "), (2, "A"), (3, "B"), (5, "C"), (6, "ffi"), (7, "\u{1f9f6}"), (8, "")];
        let shown = String::from_utf8(map(&codes, false)).unwrap();
        let ranges =
            "3 beginbfrange\n<0001> <0001> <0020>\n<0002> <0003> <0041>\n<0005> <0005> <0043>\n";
        assert!(shown.contains(ranges), "{shown}");
        let singles = "2 beginbfchar\n<0006> <006600660069>\n<0007> <D83EDDF6>\n";
        assert!(shown.contains(singles), "{shown}");
        // Past a high byte a new range begins.
        let edge = map(&[(255, "a"), (256, "b")], false);
        assert!(String::from_utf8(edge).unwrap().contains("2 beginbfrange"));
        let narrow = String::from_utf8(map(&codes, true)).unwrap();
        assert!(narrow.contains("begincodespacerange\n<00> <FF>\n"), "{narrow}");
        assert!(narrow.contains("<02> <03> <0041>\n"), "{narrow}");
        assert!(narrow.contains("<06> <006600660069>\n"), "{narrow}");
    }
}
