//! Small helpers to put PDF objects together.

use lopdf::{Dictionary, Object, ObjectId, StringFormat};

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

fn digits(out: &mut Vec<u8>, value: u64) {
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
