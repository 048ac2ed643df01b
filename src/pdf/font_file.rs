//! A font file without what a PDF does not use.

/// Tables of words for people and printers: the PDF says a font's name itself, and its
/// glyphs go by number (ISO 32000-1, 9.9: the tables a TrueType program needs there).
const NEEDLESS: [&[u8]; 2] = [b"name", b"post"];
/// Where the check sum of the whole file lies in the table `head`.
const WHOLE_SUM: usize = 8;

/// A TrueType file without [`NEEDLESS`] tables; any other file as it is.
pub fn slim(file: Vec<u8>) -> Vec<u8> {
    slimmer(&file).unwrap_or(file)
}

/// Nothing if the file is not TrueType or cannot be followed.
fn slimmer(file: &[u8]) -> Option<Vec<u8>> {
    let count = usize::from(u16::from_be_bytes(file.get(4..6)?.try_into().ok()?));
    if file.get(..4)? != [0, 1, 0, 0] {
        return None;
    }
    let entries = file.get(12..12 + 16 * count)?.chunks_exact(16);
    let kept: Vec<&[u8]> = entries.filter(|e| !NEEDLESS.iter().any(|n| e.starts_with(n))).collect();
    let mut out = head(kept.len())?;
    let mut data = Vec::with_capacity(file.len());
    let start = 12 + 16 * kept.len();
    let mut sum_at = None;
    for entry in kept {
        let field = |at: usize| -> Option<usize> {
            let bytes: [u8; 4] = entry.get(at..at + 4)?.try_into().ok()?;
            usize::try_from(u32::from_be_bytes(bytes)).ok()
        };
        let (from, length) = (field(8)?, field(12)?);
        let at = start + data.len();
        if entry.starts_with(b"head") {
            sum_at = Some(data.len() + WHOLE_SUM);
        }
        out.extend_from_slice(entry.get(..8)?);
        out.extend_from_slice(&u32::try_from(at).ok()?.to_be_bytes());
        out.extend_from_slice(entry.get(12..16)?);
        data.extend_from_slice(file.get(from..from.checked_add(length)?)?);
        data.resize(data.len().next_multiple_of(4), 0);
    }
    out.append(&mut data);
    // The sum of the whole comes to a fixed number (OpenType 1.9, table head).
    let field = start + sum_at?..start + sum_at? + 4;
    out.get_mut(field.clone())?.fill(0);
    let words = out.chunks_exact(4).filter_map(|w| w.try_into().ok()).map(u32::from_be_bytes);
    let sum = words.fold(0u32, u32::wrapping_add);
    let whole = 0xb1b0_afba_u32.wrapping_sub(sum);
    out.get_mut(field)?.copy_from_slice(&whole.to_be_bytes());
    Some(out)
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
