//! How pages look: sizes, colours, faces, margins. A theme knows no document.

use super::colour::Colour;
use crate::figure::Ink;
use std::borrow::Cow;

/// Points in a millimetre.
pub const MM: f64 = 72.0 / 25.4;

/// The paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 by 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 by 11 in, 215.9 by 279.4 mm (ANSI/ASME Y14.1, size A).
    Letter,
}

impl Paper {
    /// Width and height in points.
    pub fn size(self) -> (f64, f64) {
        match self {
            Paper::A4 => (210.0 * MM, 297.0 * MM),
            Paper::Letter => (612.0, 792.0),
        }
    }
}

/// A role of type: which of the theme's faces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Voice {
    /// Text.
    Text = 0,
    /// Text said differently.
    Italic = 1,
    /// Text of weight.
    Strong = 2,
    /// Titles.
    Title = 3,
    /// Words beside titles.
    TitleItalic = 4,
}

impl Voice {
    /// All of them, in the order of their numbers.
    pub const ALL: [Voice; 5] =
        [Voice::Text, Voice::Italic, Voice::Strong, Voice::Title, Voice::TitleItalic];
}

/// A font file.
#[derive(Clone, Debug, PartialEq)]
pub struct FontFile {
    /// Name for messages.
    pub name: String,
    /// TrueType or OpenType bytes.
    pub bytes: Cow<'static, [u8]>,
}

macro_rules! built_in {
    ($name:literal) => {
        FontFile {
            name: String::from($name),
            bytes: Cow::Borrowed(include_bytes!(concat!("../../fonts/", $name, ".ttf"))),
        }
    };
}

/// Size and leading of one kind of text, in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    /// Type size.
    pub size: f64,
    /// From baseline to baseline.
    pub leading: f64,
}

/// Margins in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margins {
    /// Above the text.
    pub top: f64,
    /// Right of it.
    pub right: f64,
    /// Below it.
    pub bottom: f64,
    /// Left of it.
    pub left: f64,
}

/// How pages look.
#[derive(Clone, Debug, PartialEq)]
pub struct Theme {
    /// The one colour beside black.
    pub accent: Colour,
    /// Words.
    pub ink: Colour,
    /// Lesser words and marks.
    pub quiet: Colour,
    /// Behind words; `None` when ink is saved.
    pub tint: Option<Colour>,
    /// Ordinary text.
    pub body: Measure,
    /// A chapter's opening words.
    pub lead: Measure,
    /// Notes, captions, sources.
    pub small: Measure,
    /// Tables.
    pub table: Measure,
    /// The smallest type a table may shrink to.
    pub table_least: f64,
    /// Running heads and feet.
    pub furniture: Measure,
    /// Headings of level 1, 2, 3 and deeper.
    pub headings: [Measure; 3],
    /// The cover's title.
    pub title: Measure,
    /// Margins.
    pub margins: Margins,
    /// How far ordinary text stands in from the left, so that labels and headings hang.
    pub hang: f64,
    /// How much larger figures are set than the document asks, at most to the full width.
    pub figure_growth: f64,
    /// Said at the foot of each page instead of the document's own line.
    pub footer: Option<String>,
    /// Whether fills and tints are left out and rules drawn as hairlines.
    pub low_ink: bool,
    /// The maker's own mark for the cover: JPEG or PNG bytes.
    pub logo: Option<Vec<u8>>,
    /// Font files in the order of [`Voice::ALL`].
    pub fonts: Vec<FontFile>,
}

impl Default for Theme {
    fn default() -> Self {
        Theme::sized(10.5)
    }
}

impl Theme {
    /// The built-in look with this body size in points; all other sizes follow from it.
    pub fn sized(body: f64) -> Theme {
        let half = |v: f64| (v * 2.0).round() / 2.0;
        let leading = half(body * 1.4);
        let measure =
            |size: f64, lines: f64| Measure { size: half(size), leading: lines * leading };
        let grown = (body / 10.5).sqrt();
        Theme {
            accent: Colour(0x8a, 0x36, 0x2b),
            ink: Colour(0x1f, 0x1c, 0x1a),
            quiet: Colour(0x48, 0x43, 0x3e),
            tint: Some(Colour(0xf6, 0xf1, 0xea)),
            body: Measure { size: body, leading },
            lead: Measure { size: half(body * 1.2), leading: half(leading * 1.2) },
            small: Measure { size: half(body * 0.85), leading: half(leading * 0.84) },
            table: Measure { size: half(body * 0.91), leading: half(leading * 0.9) },
            table_least: 8.0,
            furniture: Measure { size: half(8.5 * grown), leading },
            headings: [
                measure(21.0 * grown, 1.75 * grown.min(1.15)),
                measure(14.5 * grown, 1.25),
                measure(body * 1.05, 1.0),
            ],
            title: measure(34.0 * grown, 2.65),
            margins: Margins {
                top: 25.0 * MM,
                right: 23.0 * MM,
                bottom: 25.0 * MM,
                left: 23.0 * MM,
            },
            hang: 24.0 * MM,
            figure_growth: 1.0,
            footer: None,
            low_ink: false,
            logo: None,
            fonts: vec![
                built_in!("SourceSans3-Regular"),
                built_in!("SourceSans3-Regular_Italic"),
                built_in!("SourceSans3-SemiBold"),
                built_in!("SourceSerif4-SemiBold"),
                built_in!("SourceSerif4-Regular_Italic"),
            ],
        }
    }

    /// The built-in look in large print: 18 point body, and nothing but heads and feet
    /// under 18 point. ("18 point and up" is common practice for large print, from memory.)
    pub fn large_print() -> Theme {
        Theme::default().enlarged()
    }

    /// This theme in large print.
    pub fn enlarged(self) -> Theme {
        let big = Theme::sized(self.body.size.max(18.0));
        let hang = 0.0;
        let small = Measure { size: 18.0, leading: big.body.leading };
        Theme {
            accent: self.accent,
            footer: self.footer,
            logo: self.logo,
            fonts: self.fonts,
            tint: self.tint,
            low_ink: self.low_ink,
            margins: self.margins,
            furniture: Measure { size: 14.0, leading: big.body.leading },
            table: small,
            small,
            table_least: 18.0,
            figure_growth: 1.75,
            hang,
            ..big
        }
    }

    /// This theme without fills and tints, its rules drawn as hairlines.
    pub fn saving_ink(self) -> Theme {
        Theme { low_ink: true, tint: None, ..self }
    }

    /// The colour of an ink, if it leaves a mark.
    pub fn colour(&self, ink: Ink) -> Option<Colour> {
        match ink {
            Ink::Text => Some(self.ink),
            Ink::Accent => Some(self.accent),
            Ink::Quiet => Some(self.quiet),
            Ink::Tint => self.tint,
            Ink::Paper => Some(Colour::WHITE),
        }
    }

    /// Width of a rule: as asked, or a hairline when ink is saved.
    pub fn rule_width(&self, points: f64) -> f64 {
        if self.low_ink { points.min(0.3) } else { points }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_colour_that_carries_words_reads_on_paper_and_tint() {
        for theme in [Theme::default(), Theme::large_print(), Theme::default().saving_ink()] {
            for colour in [theme.ink, theme.quiet, theme.accent] {
                for ground in [Some(Colour::WHITE), theme.tint].into_iter().flatten() {
                    // WCAG 2.2, criterion 1.4.3: 4.5 to 1.
                    assert!(colour.contrast(ground) >= 4.5, "{colour} on {ground}");
                }
            }
        }
    }

    #[test]
    fn large_print_has_no_word_under_18_points_but_heads_and_feet() {
        let t = Theme::large_print();
        for m in [t.body, t.lead, t.small, t.table, t.headings[0], t.headings[1], t.headings[2]] {
            assert!(m.size >= 18.0, "{m:?}");
        }
        assert!(t.table_least >= 18.0);
    }
}
