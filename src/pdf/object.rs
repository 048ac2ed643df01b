//! Small helpers to put PDF objects together, and to write them in few characters.

use lopdf::{Dictionary, Object, ObjectId, StringFormat};
use std::io::Write;

/// A name.
pub fn name(text: &str) -> Object {
    Object::Name(text.as_bytes().to_vec())
}

/// A reference.
pub fn reference(id: ObjectId) -> Object {
    Object::Reference(id)
}

/// Words for people, in any script.
pub fn text(words: &str) -> Object {
    if words.bytes().all(|b| (0x20..0x7f).contains(&b)) {
        return Object::String(words.as_bytes().to_vec(), StringFormat::Literal);
    }
    let mut bytes = vec![0xfe, 0xff];
    bytes.extend(words.encode_utf16().flat_map(u16::to_be_bytes));
    Object::String(bytes, StringFormat::Hexadecimal)
}

/// ASCII for machines.
pub fn ascii(words: &str) -> Object {
    Object::String(words.as_bytes().to_vec(), StringFormat::Literal)
}

/// A dictionary.
pub fn dictionary<const N: usize>(entries: [(&str, Object); N]) -> Dictionary {
    Dictionary::from_iter(entries)
}

/// A length or place, to the thousandth of a point.
pub fn real(value: f64) -> Object {
    Object::Real((value * 1000.0).round() as f32 / 1000.0)
}

/// An integer.
pub fn integer(value: usize) -> Object {
    Object::Integer(i64::try_from(value).unwrap_or(i64::MAX))
}

/// Appends an object in as few characters as it takes (ISO 32000-1, 7.3).
pub fn put(out: &mut Vec<u8>, object: &Object) {
    // Writing to memory does not fail.
    let _ = match object {
        Object::Null => out.write_all(b"null"),
        Object::Boolean(value) => write!(out, "{value}"),
        Object::Integer(value) => write!(out, "{value}"),
        Object::Real(value) => write!(out, "{value}"),
        Object::Reference((id, generation)) => write!(out, "{id} {generation} R"),
        Object::Name(name) => {
            put_name(out, name);
            Ok(())
        }
        Object::String(bytes, format) => {
            put_string(out, bytes, *format);
            Ok(())
        }
        Object::Array(items) => {
            out.push(b'[');
            for (i, item) in items.iter().enumerate() {
                put_after(out, item, i > 0);
            }
            out.write_all(b"]")
        }
        Object::Dictionary(dict) => {
            put_entries(out, dict);
            Ok(())
        }
        // Never inside of another object; alone, its bytes follow its dictionary.
        Object::Stream(stream) => {
            put_entries(out, &stream.dict);
            Ok(())
        }
    };
}

/// Appends a reference and a space.
pub fn put_reference(out: &mut Vec<u8>, id: ObjectId) {
    digits(out, u64::from(id.0));
    out.extend_from_slice(b" 0 R ");
}

/// Appends words for people, in any script.
pub fn put_text(out: &mut Vec<u8>, words: &str) {
    put(out, &text(words));
}

/// Appends a dictionary.
pub fn put_entries(out: &mut Vec<u8>, dict: &Dictionary) {
    out.extend_from_slice(b"<<");
    for (key, value) in dict {
        put_name(out, key);
        put_after(out, value, true);
    }
    out.extend_from_slice(b">>");
}

/// Appends an object after another, with a space where the two would run together.
fn put_after(out: &mut Vec<u8>, object: &Object, other: bool) {
    use Object::{Array, Dictionary, Name, String};
    if other && !matches!(object, Name(_) | String(..) | Array(_) | Dictionary(_)) {
        out.push(b' ');
    }
    put(out, object);
}

fn put_name(out: &mut Vec<u8>, name: &[u8]) {
    out.push(b'/');
    for byte in name {
        if byte.is_ascii_graphic() && !b"()<>[]{}/%#".contains(byte) {
            out.push(*byte);
        } else {
            let _ = write!(out, "#{byte:02X}");
        }
    }
}

fn put_string(out: &mut Vec<u8>, bytes: &[u8], format: StringFormat) {
    if format == StringFormat::Hexadecimal {
        out.push(b'<');
        bytes.iter().for_each(|byte| drop(write!(out, "{byte:02X}")));
        out.push(b'>');
        return;
    }
    out.push(b'(');
    bytes.iter().for_each(|byte| string_byte(out, *byte));
    out.push(b')');
}

/// Appends a byte inside of a string in round brackets.
pub fn string_byte(out: &mut Vec<u8>, byte: u8) {
    match byte {
        b'(' | b')' | b'\\' => out.extend_from_slice(&[b'\\', byte]),
        // A bare one would be read as a line feed.
        b'\r' => out.extend_from_slice(b"\\r"),
        byte => out.push(byte),
    }
}

/// Appends a number to a content stream: at most three places, no exponent.
pub fn number(out: &mut Vec<u8>, value: f64) {
    let thousandths = (value * 1000.0).round();
    let thousandths = if thousandths.is_finite() { thousandths as i64 } else { 0 };
    if thousandths < 0 {
        out.push(b'-');
    }
    let whole = thousandths.unsigned_abs();
    digits(out, whole / 1000);
    let part = whole % 1000;
    if part > 0 {
        out.push(b'.');
        let places = [part / 100, part / 10 % 10, part % 10].map(|d| b'0' + d as u8);
        let end = places.iter().rposition(|d| *d != b'0').map_or(0, |i| i + 1);
        out.extend_from_slice(&places[..end]);
    }
}

/// Appends hundredths as a number to a content stream, without a needless nought.
pub fn hundredths(out: &mut Vec<u8>, value: i64) {
    if value < 0 {
        out.push(b'-');
    }
    let (whole, part) = (value.unsigned_abs() / 100, value.unsigned_abs() % 100);
    if whole > 0 || part == 0 {
        digits(out, whole);
    }
    if part > 0 {
        out.extend_from_slice(&[b'.', b'0' + (part / 10) as u8]);
        if part % 10 > 0 {
            out.push(b'0' + (part % 10) as u8);
        }
    }
}

/// Appends a whole number.
pub fn digits(out: &mut Vec<u8>, value: u64) {
    // Most numbers are short, and a digit is sooner put down alone than copied.
    match value {
        0..10 => return out.push(b'0' + value as u8),
        10..100 => return out.extend([b'0' + (value / 10) as u8, b'0' + (value % 10) as u8]),
        _ => {}
    }
    let mut buffer = [0u8; 20];
    let mut at = buffer.len();
    let mut rest = value;
    loop {
        at -= 1;
        buffer[at] = b'0' + (rest % 10) as u8;
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    out.extend_from_slice(&buffer[at..]);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn objects_are_written_in_few_characters() {
        let kids = vec![name("A b"), integer(1), reference((12, 0)), Object::Null, ascii("(\\)\r")];
        let dict = dictionary([
            ("K", Object::Array(kids)),
            ("S", name("P")),
            ("R", Object::Real(0.25)),
            ("T", text("\u{bd}")),
            ("D", Object::Dictionary(dictionary([("B", Object::Boolean(true))]))),
        ]);
        let mut out = Vec::new();
        put(&mut out, &Object::Dictionary(dict));
        let shown = String::from_utf8(out).unwrap();
        assert_eq!(
            shown,
            "<</K[/A#20b 1 12 0 R null(\\(\\\\\\)\\r)]/S/P/R 0.25/T<FEFF00BD>/D<</B true>>>>"
        );
    }

    #[test]
    fn hundredths_are_short_and_exact() {
        for (value, shown) in
            [(0, "0"), (-5, "-.05"), (50, ".5"), (-1200, "-12"), (59528, "595.28")]
        {
            let mut out = Vec::new();
            hundredths(&mut out, value);
            assert_eq!(String::from_utf8(out).unwrap(), shown);
        }
    }

    #[test]
    fn numbers_are_short_and_exact() {
        for (value, shown) in [
            (0.0, "0"),
            (-0.0001, "0"),
            (12.0, "12"),
            (0.5, "0.5"),
            (-3.25, "-3.25"),
            (595.2756, "595.276"),
            (1.005, "1.005"),
            (100.040, "100.04"),
            (f64::NAN, "0"),
        ] {
            let mut out = Vec::new();
            number(&mut out, value);
            assert_eq!(String::from_utf8(out).unwrap(), shown);
        }
    }
}
