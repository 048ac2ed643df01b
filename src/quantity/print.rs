//! Quantities printed by trade rounding: centimetres to the half, inches to the quarter.
//!
//! Where both are printed, the second is reckoned from the first as it stands there: a reader
//! never meets two figures in inches for one in centimetres.

use super::{Length, Mass, Percent, Units};
use std::fmt;

/// Rounds to the nearest multiple of `step`, ties away from zero.
fn to_step(n: f64, step: f64) -> f64 {
    (n / step).round() * step + 0.0
}

/// A number without needless zeros, at most `places` behind the point.
pub fn number(n: f64, places: usize) -> String {
    let mut s = format!("{n:.places$}");
    if s.contains('.') {
        s.truncate(s.trim_end_matches('0').trim_end_matches('.').len());
    }
    if s == "-0" { "0".into() } else { s.replacen('-', "−", 1) }
}

/// A number to the nearest quarter, with the glyphs ¼ ½ ¾.
pub fn quarters(n: f64) -> String {
    let quarters = (n.abs() * 4.0).round();
    let whole = (quarters / 4.0).floor();
    let glyph = match (quarters - whole * 4.0) as u8 {
        1 => "¼",
        2 => "½",
        3 => "¾",
        _ => "",
    };
    let sign = if n < 0.0 && quarters > 0.0 { "−" } else { "" };
    if whole == 0.0 && !glyph.is_empty() {
        format!("{sign}{glyph}")
    } else {
        format!("{sign}{whole}{glyph}")
    }
}

/// Inches to the quarter, with the unit.
pub fn inches_text(n: f64) -> String {
    format!("{} in", quarters(n))
}

impl Length {
    /// In centimetres to the half: "21.5 cm".
    pub fn cm_text(self) -> String {
        format!("{} cm", number(to_step(self.to_cm(), 0.5), 1))
    }
    /// In inches to the quarter: "8½ in".
    pub fn inches_text(self) -> String {
        inches_text(self.to_inches())
    }
    /// Both, the design's own first: "21.5 cm (8½ in)".
    pub fn text(self, first: Units) -> String {
        match first {
            Units::Metric => {
                let printed = Length::cm(to_step(self.to_cm(), 0.5));
                format!("{} ({})", self.cm_text(), printed.inches_text())
            }
            Units::Imperial => {
                let printed = Length::inches(to_step(self.to_inches(), 0.25));
                format!("{} ({})", self.inches_text(), printed.cm_text())
            }
        }
    }
    /// In the unit it was given in, as far as the figure tells: "10 cm", "4 in"; what is
    /// round in neither, to the hundredth of a centimetre.
    pub fn as_given_text(self) -> String {
        let dust = Length::mm(0.01);
        let is = |round: Length| self.near(round, dust);
        if is(Length::cm(to_step(self.to_cm(), 0.5))) {
            self.cm_text()
        } else if is(Length::inches(to_step(self.to_inches(), 0.25))) {
            self.inches_text()
        } else {
            self.exact_text()
        }
    }
    /// In millimetres to the tenth: "2.3 mm".
    pub fn mm_text(self) -> String {
        format!("{} mm", number(self.to_mm(), 1))
    }
    /// As a hook size in millimetres to the hundredth: "3.75 mm".
    pub fn hook_text(self) -> String {
        format!("{} mm", number(self.to_mm(), 2))
    }
    /// Whole metres: "110 m".
    pub fn metres_text(self) -> String {
        format!("{} m", number(self.to_m(), 0))
    }
    /// Whole yards: "120 yd".
    pub fn yards_text(self) -> String {
        format!("{} yd", number(self.to_yards(), 0))
    }
    /// A length of yarn in both, the design's own first: "110 m (120 yd)".
    pub fn yarn_text(self, first: Units) -> String {
        match first {
            Units::Metric => format!("{} ({})", self.metres_text(), self.yards_text()),
            Units::Imperial => format!("{} ({})", self.yards_text(), self.metres_text()),
        }
    }
    /// To the tenth of a millimetre in centimetres, for traces: "50.62 cm".
    pub fn exact_text(self) -> String {
        format!("{} cm", number(self.to_cm(), 2))
    }
}

impl Mass {
    /// Whole grams: "100 g".
    pub fn grams_text(self) -> String {
        format!("{} g", number(self.to_grams(), 0))
    }
    /// Ounces to the quarter: "3½ oz".
    pub fn ounces_text(self) -> String {
        format!("{} oz", quarters(self.to_ounces()))
    }
    /// Both, the design's own first: "100 g (3½ oz)".
    pub fn text(self, first: Units) -> String {
        match first {
            Units::Metric => format!("{} ({})", self.grams_text(), self.ounces_text()),
            Units::Imperial => format!("{} ({})", self.ounces_text(), self.grams_text()),
        }
    }
}

/// The shortest text that reads back as the same length, in millimetres.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} mm", self.to_mm())
    }
}

/// The shortest text that reads back as the same mass, in grams.
impl fmt::Display for Mass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} g", self.to_grams())
    }
}

/// The shortest text that reads back as the same percentage.
impl fmt::Display for Percent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} %", self.value())
    }
}
