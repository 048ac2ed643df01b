//! A font file without what a PDF does not use.

use std::collections::BTreeMap;

/// Tables of words for people and printers: the PDF says a font's name itself, and its
/// glyphs go by number (ISO 32000-1, 9.9: the tables a TrueType program needs there).
const NEEDLESS: [&[u8]; 2] = [b"name", b"post"];
/// Where the check sum of the whole file lies in the table `head`.
const WHOLE_SUM: usize = 8;

/// Where the codes of a symbol font begin in its map (OpenType 1.9, table cmap).
const SYMBOLS: u16 = 0xf000;

/// Whether a file holds outlines of TrueType.
pub fn is_true_type(file: &[u8]) -> bool {
    file.starts_with(&[0, 1, 0, 0])
}

/// A TrueType file without [`NEEDLESS`] tables and with this map from codes to glyphs; any
/// other file as it is.
pub fn slim(file: Vec<u8>, map: Option<Vec<u8>>) -> Vec<u8> {
    slimmer(&file, map.as_deref()).unwrap_or(file)
}

/// A symbol font's map from codes to glyphs (OpenType 1.9, table cmap, format 4): the one map
/// PDF/A asks for in such a font. Nothing without codes.
pub fn map(glyphs: &BTreeMap<u8, u16>) -> Option<Vec<u8>> {
    let first = *glyphs.keys().next()?;
    let last = *glyphs.keys().last()?;
    let [begins, ends] = [first, last].map(|code| SYMBOLS + u16::from(code));
    let listed = (first..=last).map(|code| glyphs.get(&code).copied().unwrap_or(0));
    let length = 32 + 2 * (ends - begins + 1);
    let head = [0, 1, 3, 0, 0, 12];
    let said = [4, length, 0, 4, 4, 1, 0];
    // Two stretches, the second of which closes the list: ends, beginnings, what is added to
    // a glyph's number, and how far on the list of glyphs begins.
    let stretches = [ends, u16::MAX, 0, begins, u16::MAX, 0, 1, 4, 0];
    let all = head.into_iter().chain(said).chain(stretches).chain(listed);
    let mut map: Vec<u8> = all.flat_map(u16::to_be_bytes).collect();
    map.resize(map.len().next_multiple_of(4), 0);
    Some(map)
}

/// Nothing if the file is not TrueType or cannot be followed.
fn slimmer(file: &[u8], map: Option<&[u8]>) -> Option<Vec<u8>> {
    let count = usize::from(u16::from_be_bytes(file.get(4..6)?.try_into().ok()?));
    if !is_true_type(file) {
        return None;
    }
    // Tag, check sum and bytes of each table.
    let mut kept: Vec<(&[u8], u32, &[u8])> = Vec::with_capacity(count + 1);
    for entry in file.get(12..12 + 16 * count)?.chunks_exact(16) {
        let field = |at: usize| -> Option<u32> {
            Some(u32::from_be_bytes(entry.get(at..at + 4)?.try_into().ok()?))
        };
        let (from, length) = (field(8)? as usize, field(12)? as usize);
        kept.push((entry.get(..4)?, field(4)?, file.get(from..from.checked_add(length)?)?));
    }
    kept.retain(|(tag, ..)| !NEEDLESS.iter().any(|n| n == tag));
    if let Some(map) = map {
        kept.retain(|(tag, ..)| *tag != b"cmap");
        let before = kept.partition_point(|(tag, ..)| *tag < b"cmap".as_slice());
        kept.insert(before, (b"cmap", sum(map), map));
    }
    let mut out = head(kept.len())?;
    let mut data = Vec::with_capacity(file.len());
    let start = 12 + 16 * kept.len();
    let mut sum_at = None;
    for (tag, check, bytes) in kept {
        if tag == b"head" {
            sum_at = Some(data.len() + WHOLE_SUM);
        }
        out.extend_from_slice(tag);
        for field in
            [check, u32::try_from(start + data.len()).ok()?, u32::try_from(bytes.len()).ok()?]
        {
            out.extend_from_slice(&field.to_be_bytes());
        }
        data.extend_from_slice(bytes);
        data.resize(data.len().next_multiple_of(4), 0);
    }
    out.append(&mut data);
    // The sum of the whole comes to a fixed number (OpenType 1.9, table head).
    let field = start + sum_at?..start + sum_at? + 4;
    out.get_mut(field.clone())?.fill(0);
    let whole = 0xb1b0_afba_u32.wrapping_sub(sum(&out));
    out.get_mut(field)?.copy_from_slice(&whole.to_be_bytes());
    Some(out)
}

/// The sum of the bytes, four by four. All lengths here are whole fours.
fn sum(bytes: &[u8]) -> u32 {
    let words = bytes.chunks_exact(4).filter_map(|w| w.try_into().ok()).map(u32::from_be_bytes);
    words.fold(0, u32::wrapping_add)
}

/// The head of a file of so many tables, with the numbers a search by halves asks for.
fn head(tables: usize) -> Option<Vec<u8>> {
    let tables = u16::try_from(tables).ok()?;
    let halvings = u16::try_from(tables.checked_ilog2()?).ok()?;
    let range = 16u16.checked_shl(u32::from(halvings))?;
    let mut out = vec![0, 1, 0, 0];
    let rest = (16 * tables).checked_sub(range)?;
    out.extend([tables, range, halvings, rest].iter().flat_map(|v| v.to_be_bytes()));
    Some(out)
}
