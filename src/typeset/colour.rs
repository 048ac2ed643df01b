//! Colours on screen and paper, and how well one reads on another.

use serde::Serialize;

/// A colour in sRGB, 0 to 255 a channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Colour(pub u8, pub u8, pub u8);

impl Colour {
    /// Paper white.
    pub const WHITE: Colour = Colour(255, 255, 255);
    /// Black.
    pub const BLACK: Colour = Colour(0, 0, 0);

    /// Reads `#rrggbb` or `#rgb`.
    pub fn parse(text: &str) -> Option<Colour> {
        let hex = text.strip_prefix('#')?;
        let digits: Vec<u8> =
            hex.chars().map(|c| c.to_digit(16).map(|d| d as u8)).collect::<Option<_>>()?;
        match digits.as_slice() {
            [r, g, b] => Some(Colour(r * 17, g * 17, b * 17)),
            [a, b, c, d, e, f] => Some(Colour(a * 16 + b, c * 16 + d, e * 16 + f)),
            _ => None,
        }
    }

    /// Relative luminance, 0 (black) to 1 (white), as WCAG 2.2 defines it ("relative
    /// luminance" in its glossary; the constants from memory).
    pub fn luminance(self) -> f64 {
        let linear = |v: u8| {
            let c = f64::from(v) / 255.0;
            if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
        };
        0.2126 * linear(self.0) + 0.7152 * linear(self.1) + 0.0722 * linear(self.2)
    }

    /// Contrast of two colours, 1 to 21, as WCAG 2.2 defines it ("contrast ratio").
    pub fn contrast(self, other: Colour) -> f64 {
        let (a, b) = (self.luminance(), other.luminance());
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }
}

impl std::fmt::Display for Colour {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "#{:02x}{:02x}{:02x}", self.0, self.1, self.2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn black_on_white_is_twenty_one_to_one() {
        // WCAG 2.2, glossary, "contrast ratio": the range is 1 to 21.
        assert!((Colour::BLACK.contrast(Colour::WHITE) - 21.0).abs() < 1e-9);
        assert!((Colour::WHITE.contrast(Colour::WHITE) - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_lightest_grey_that_reads_is_767676() {
        // #767676 on white is the well-known 4.5:1 border (from memory).
        assert!(Colour(0x76, 0x76, 0x76).contrast(Colour::WHITE) >= 4.5);
        assert!(Colour(0x77, 0x77, 0x77).contrast(Colour::WHITE) < 4.5);
    }

    #[test]
    fn reads_hex_both_ways() {
        assert_eq!(Colour::parse("#8c3a2b"), Some(Colour(0x8c, 0x3a, 0x2b)));
        assert_eq!(Colour::parse("#fa0"), Some(Colour(0xff, 0xaa, 0x00)));
        for bad in ["8c3a2b", "#8c3a2", "#gg0000", "", "#"] {
            assert_eq!(Colour::parse(bad), None, "{bad}");
        }
    }
}
