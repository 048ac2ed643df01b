//! Quantities read from text: "21.5 cm", "8 1/2 in", "8½ in", "110 m", "3.5 oz", "-8 %".

use super::{Length, Mass, Percent};
use std::fmt;

/// Why a text is no quantity.
#[derive(Clone, Debug, PartialEq)]
pub enum BadQuantity {
    /// No number where one was looked for.
    NoNumber {
        /// What was read.
        text: String,
        /// How a right one looks.
        like: &'static str,
    },
    /// A number without its unit.
    NoUnit {
        /// The units that would do.
        known: &'static [&'static str],
    },
    /// A unit that is not known here.
    UnknownUnit {
        /// What stood in the unit's place.
        unit: String,
        /// The units that would do.
        known: &'static [&'static str],
    },
    /// A number too large to mean anything.
    TooLarge,
}

impl fmt::Display for BadQuantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BadQuantity::NoNumber { text, like } => {
                write!(f, "\"{}\" does not begin with a number; write it like \"{like}\"", text)
            }
            BadQuantity::NoUnit { known } => {
                write!(f, "the number has no unit; known units are {}", known.join(", "))
            }
            BadQuantity::UnknownUnit { unit, known } => {
                write!(f, "unknown unit \"{unit}\"; known units are {}", known.join(", "))
            }
            BadQuantity::TooLarge => write!(f, "the number is too large"),
        }
    }
}

/// The units of length that are understood, as they are named to people.
pub const LENGTH_UNITS: &[&str] = &["mm", "cm", "m", "in", "yd"];
/// The units of mass that are understood, as they are named to people.
pub const MASS_UNITS: &[&str] = &["g", "kg", "oz", "lb"];

/// What a unit word measures: a length of one unit, a mass of one unit, or a hundredth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measure {
    /// One unit's length.
    Length(Length),
    /// One unit's mass.
    Mass(Mass),
    /// One in a hundred.
    Percent,
}

impl Measure {
    /// What this unit word means, if it is known.
    pub fn of(unit: &str) -> Option<Measure> {
        let lower = unit.to_ascii_lowercase();
        Some(match lower.as_str() {
            "mm" | "millimetre" | "millimetres" | "millimeter" | "millimeters" => {
                Measure::Length(Length::mm(1.0))
            }
            "cm" | "centimetre" | "centimetres" | "centimeter" | "centimeters" => {
                Measure::Length(Length::cm(1.0))
            }
            "m" | "metre" | "metres" | "meter" | "meters" => Measure::Length(Length::m(1.0)),
            "in" | "in." | "ins" | "inch" | "inches" | "\"" | "″" => {
                Measure::Length(Length::inches(1.0))
            }
            "yd" | "yds" | "yard" | "yards" => Measure::Length(Length::yards(1.0)),
            "g" | "gram" | "grams" => Measure::Mass(Mass::grams(1.0)),
            "kg" => Measure::Mass(Mass::grams(1000.0)),
            "oz" | "ounce" | "ounces" => Measure::Mass(Mass::ounces(1.0)),
            "lb" | "lbs" => Measure::Mass(Mass::ounces(16.0)),
            "%" => Measure::Percent,
            _ => return None,
        })
    }
}

/// A number with what follows it, as found at the start of a text.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scanned<'a> {
    /// The number, a mixed fraction already added up.
    pub value: f64,
    /// Whether it was written with digits alone (no point, no fraction).
    pub whole: bool,
    /// The unit word that follows, empty if none does.
    pub unit: &'a str,
    /// Where the unit word begins, in bytes.
    pub unit_at: usize,
    /// How many bytes the number takes.
    pub number_len: usize,
    /// How many bytes number and unit take together.
    pub len: usize,
}

/// Reads an unsigned number and the unit word behind it from the start of `text`.
///
/// A fraction is part of the number only where a unit follows ("8 1/2 in", "3/4 in"), so
/// that a formula may still divide plain numbers.
pub fn scan(text: &str) -> Option<Scanned<'_>> {
    let (whole_value, mut at, mut whole) = decimal(text)?;
    let mut value = whole_value;
    let bare = at;
    if let Some((part, len)) = fraction(text, at, whole && at > 0) {
        let unit = unit_at(text, at + len);
        let glyph = !text.get(at..at + len).is_some_and(|s| s.contains('/'));
        if glyph || Measure::of(unit.0).is_some() {
            value = if part.replaces { part.value } else { value + part.value };
            whole = false;
            at += len;
        }
    }
    if at == 0 {
        return None;
    }
    let (unit, begin) = unit_at(text, at);
    let len = if unit.is_empty() { at } else { begin + unit.len() };
    let number_len = if unit.is_empty() && bare > 0 { at } else { at.max(bare) };
    Some(Scanned { value, whole, unit, unit_at: begin, number_len, len })
}

/// Digits with at most one point: value, bytes, whether digits alone. A text that begins
/// with a fraction glyph answers zero bytes.
fn decimal(text: &str) -> Option<(f64, usize, bool)> {
    let bytes = text.as_bytes();
    let digits = |from: usize| bytes.iter().skip(from).take_while(|b| b.is_ascii_digit()).count();
    let mut at = digits(0);
    let mut whole = true;
    if bytes.get(at) == Some(&b'.') && (digits(at + 1) > 0) {
        at += 1 + digits(at + 1);
        whole = false;
    }
    if at == 0 {
        return text.chars().next().and_then(glyph).map(|_| (0.0, 0, true));
    }
    let value: f64 = text.get(..at)?.parse().ok()?;
    Some((value, at, whole))
}

struct Part {
    value: f64,
    /// The fraction is the whole number ("3/4 in"), not an addition to it ("8 3/4 in").
    replaces: bool,
}

fn fraction(text: &str, at: usize, after_whole: bool) -> Option<(Part, usize)> {
    let rest = text.get(at..)?;
    let spaces = rest.len() - rest.trim_start_matches(' ').len();
    let body = rest.get(spaces..)?;
    if let Some(c) = body.chars().next()
        && let Some(value) = glyph(c)
    {
        let fits = at == 0 || after_whole;
        return fits.then_some((Part { value, replaces: false }, spaces + c.len_utf8()));
    }
    if !after_whole {
        return None;
    }
    if let Some(below) = body.strip_prefix(['/', '⁄']).filter(|_| spaces == 0) {
        let above: f64 = text.get(..at)?.parse().ok()?;
        let (under, len) = natural(below)?;
        let slash = body.len() - below.len();
        return (under > 0.0)
            .then_some((Part { value: above / under, replaces: true }, slash + len));
    }
    let gap = spaces + usize::from(spaces == 0 && body.starts_with('-'));
    let body = rest.get(gap..).filter(|_| gap > 0)?;
    let (above, n) = natural(body)?;
    let below = body.get(n..)?;
    let under = below.strip_prefix(['/', '⁄'])?;
    let slash = below.len() - under.len();
    let (under, m) = natural(under)?;
    (under > 0.0 && above < under)
        .then_some((Part { value: above / under, replaces: false }, gap + n + slash + m))
}

fn natural(text: &str) -> Option<(f64, usize)> {
    let n = text.bytes().take_while(u8::is_ascii_digit).count();
    let value = text.get(..n).filter(|s| !s.is_empty())?.parse().ok()?;
    Some((value, n))
}

fn glyph(c: char) -> Option<f64> {
    Some(match c {
        '½' => 0.5,
        '¼' => 0.25,
        '¾' => 0.75,
        '⅛' => 0.125,
        '⅜' => 0.375,
        '⅝' => 0.625,
        '⅞' => 0.875,
        '⅓' => 1.0 / 3.0,
        '⅔' => 2.0 / 3.0,
        _ => return None,
    })
}

/// The unit word at or after `at` (spaces passed over), and where it begins.
fn unit_at(text: &str, at: usize) -> (&str, usize) {
    let rest = text.get(at..).unwrap_or("");
    let begin = at + (rest.len() - rest.trim_start_matches([' ', '\u{a0}']).len());
    let body = text.get(begin..).unwrap_or("");
    let mut chars = body.chars();
    let len = match chars.next() {
        Some(c @ ('%' | '"' | '″')) => c.len_utf8(),
        Some(c) if c.is_alphabetic() => body
            .char_indices()
            .find(|(_, c)| !(c.is_alphanumeric() || *c == '_'))
            .map_or(body.len(), |(i, _)| i),
        _ => 0,
    };
    (body.get(..len).unwrap_or(""), begin)
}

/// A whole text as sign, number and unit.
fn signed<'a>(
    text: &'a str,
    like: &'static str,
    known: &'static [&'static str],
) -> Result<(f64, &'a str), BadQuantity> {
    let trimmed = text.trim();
    let (sign, body) = match trimmed.strip_prefix(['-', '−', '–']) {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, trimmed.strip_prefix('+').unwrap_or(trimmed).trim_start()),
    };
    let no_number = || BadQuantity::NoNumber { text: text.trim().chars().take(40).collect(), like };
    let found = scan(body).ok_or_else(no_number)?;
    if found.value > super::LARGEST / 1e6 {
        return Err(BadQuantity::TooLarge);
    }
    let after = body.get(found.number_len..).unwrap_or("").trim();
    let whole_unit = after.strip_suffix('.').unwrap_or(after);
    if after.is_empty() {
        return Err(BadQuantity::NoUnit { known });
    }
    if whole_unit != found.unit {
        let unit = after.chars().take(40).collect();
        return Err(BadQuantity::UnknownUnit { unit, known });
    }
    Ok((sign * found.value, found.unit))
}

fn unknown(unit: &str, known: &'static [&'static str]) -> BadQuantity {
    BadQuantity::UnknownUnit { unit: unit.chars().take(40).collect(), known }
}

impl Length {
    /// Reads a length such as "21.5 cm", "8 1/2 in", "8½ in", "110 m" or "120 yd".
    ///
    /// # Errors
    /// [`BadQuantity`] for no number, no unit, or a unit that is not one of length.
    pub fn parse(text: &str) -> Result<Length, BadQuantity> {
        let (value, unit) = signed(text, "21.5 cm", LENGTH_UNITS)?;
        match Measure::of(unit) {
            Some(Measure::Length(one)) => Ok(one * value),
            _ => Err(unknown(unit, LENGTH_UNITS)),
        }
    }
}

impl Mass {
    /// Reads a mass such as "50 g" or "3.5 oz".
    ///
    /// # Errors
    /// [`BadQuantity`] for no number, no unit, or a unit that is not one of mass.
    pub fn parse(text: &str) -> Result<Mass, BadQuantity> {
        let (value, unit) = signed(text, "100 g", MASS_UNITS)?;
        match Measure::of(unit) {
            Some(Measure::Mass(one)) => Ok(one * value),
            _ => Err(unknown(unit, MASS_UNITS)),
        }
    }
}

impl Percent {
    /// Reads a percentage such as "-8 %".
    ///
    /// # Errors
    /// [`BadQuantity`] for no number or anything but the sign behind it.
    pub fn parse(text: &str) -> Result<Percent, BadQuantity> {
        let (value, unit) = signed(text, "-8 %", &["%"])?;
        match Measure::of(unit) {
            Some(Measure::Percent) => Ok(Percent::new(value)),
            _ => Err(unknown(unit, &["%"])),
        }
    }
}
