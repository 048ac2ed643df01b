//! A theme of the user's own: a small TOML file over the built-in look.
//!
//! ```toml
//! accent = "#1f5c5c"        # the one colour, at least 4.5:1 on white
//! body_size = 11            # points
//! footer = "Ask the maker: example.org"
//! low_ink = false
//! logo = "mark.png"         # on the cover
//!
//! [margins]                 # millimetres
//! left = 25
//! right = 20
//!
//! [fonts]                   # TrueType or OpenType files
//! text = "MyText-Regular.ttf"
//! strong = "MyText-SemiBold.ttf"
//! ```

use super::colour::Colour;
use super::face::readable;
use super::picture::open;
use super::theme::{FontFile, MM, Theme, Voice};
use crate::diag::nearest::nearest;
use crate::diag::{Finding, Place, SourceId, Span};
use crate::limits::FILE_BYTES;
use std::borrow::Cow;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Every key of a theme file, by table; the empty name is the file itself.
pub const THEME_KEYS: [(&str, &[&str]); 3] = [
    ("", &["accent", "body_size", "fonts", "footer", "logo", "low_ink", "margins"]),
    ("margins", &["top", "right", "bottom", "left"]),
    ("fonts", &["text", "italic", "strong", "title", "title_italic"]),
];

/// Colours of words need this contrast on paper (WCAG 2.2, criterion 1.4.3).
const CONTRAST: f64 = 4.5;

/// A theme file that was read; the files it names are still to come.
#[derive(Clone, Debug, PartialEq)]
pub struct ThemeFile {
    theme: Theme,
    wanted: Vec<Wanted>,
}

/// A file that a theme names.
#[derive(Clone, Debug, PartialEq)]
struct Wanted {
    name: String,
    place: Place,
    what: Want,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Want {
    Font(Voice),
    Logo,
}

impl ThemeFile {
    /// Reads a theme file.
    ///
    /// # Errors
    /// Faults at their places, all at once: `toml`, `limit`, `unknown-key` (names the
    /// nearest known one), `wrong-type`, `out-of-range`, `contrast`.
    pub fn read(source: SourceId, text: &str) -> Result<ThemeFile, Vec<Finding>> {
        if text.len() as u64 > FILE_BYTES {
            let message = format!("the theme has {} bytes; the most is {FILE_BYTES}", text.len());
            return Err(vec![Finding::fault("limit", message)]);
        }
        let (document, errors) = DeTable::parse_recoverable(text);
        if !errors.is_empty() {
            return Err(errors.iter().map(|e| syntax(source, e)).collect());
        }
        let mut reader = Reader { source, findings: Vec::new(), wanted: Vec::new() };
        let theme = reader.theme(document.get_ref());
        if reader.findings.is_empty() {
            return Ok(ThemeFile { theme, wanted: reader.wanted });
        }
        reader.findings.sort_by_key(|f| f.place.map(|p| p.span));
        Err(reader.findings)
    }

    /// The names of the files it needs, as written.
    pub fn wanted(&self) -> impl Iterator<Item = &str> {
        self.wanted.iter().map(|w| w.name.as_str())
    }

    /// The theme, with the files it names as `get` answers them.
    ///
    /// # Errors
    /// Faults at the names: `read` (`get` had nothing), `font`, `picture`.
    pub fn with_files(
        self,
        mut get: impl FnMut(&str) -> Option<Vec<u8>>,
    ) -> Result<Theme, Vec<Finding>> {
        let mut theme = self.theme;
        let mut findings = Vec::new();
        for Wanted { name, place, what } in self.wanted {
            let Some(bytes) = get(&name) else {
                let finding = Finding::fault("read", format!("{name} cannot be read"));
                findings.push(finding.at(place, "this file"));
                continue;
            };
            match what {
                Want::Font(voice) if readable(&bytes) => {
                    if let Some(slot) = theme.fonts.get_mut(voice as usize) {
                        *slot = FontFile { name, bytes: Cow::Owned(bytes) };
                    }
                }
                Want::Font(_) => findings.push(
                    Finding::fault("font", format!("{name} is not a font that can be read"))
                        .at(place, "this file")
                        .help("give a TrueType or OpenType file (.ttf, .otf)"),
                ),
                Want::Logo => match open(&bytes).map(drop) {
                    Ok(_) => theme.logo = Some(bytes),
                    Err(why) => findings.push(
                        Finding::fault("picture", format!("{name} {why}"))
                            .at(place, "this file")
                            .help("save it again as a JPEG or PNG"),
                    ),
                },
            }
        }
        if findings.is_empty() { Ok(theme) } else { Err(findings) }
    }
}

fn syntax(source: SourceId, error: &toml::de::Error) -> Finding {
    let message = format!("this is not TOML: {}", error.message().replace('\n', ", "));
    match error.span() {
        Some(span) => Finding::fault("toml", message).at(place(source, span), "here"),
        None => Finding::fault("toml", message),
    }
}

fn place(source: SourceId, span: Range<usize>) -> Place {
    Place { source, span: Span::from(span) }
}

struct Reader {
    source: SourceId,
    findings: Vec<Finding>,
    wanted: Vec<Wanted>,
}

type Value<'v> = Spanned<DeValue<'v>>;

impl Reader {
    fn theme(&mut self, table: &DeTable) -> Theme {
        self.known(table, "");
        let size = self.number(table, "body_size", 8.0..=30.0, "points");
        let mut theme = size.map_or_else(Theme::default, Theme::sized);
        if let Some(colour) = self.colour(table, "accent") {
            theme.accent = colour;
        }
        if let Some((words, _)) = self.words(table, "footer") {
            theme.footer = Some(words);
        }
        if let Some((name, place)) = self.words(table, "logo") {
            self.wanted.push(Wanted { name, place, what: Want::Logo });
        }
        if self.flag(table, "low_ink") == Some(true) {
            theme = theme.saving_ink();
        }
        if let Some(margins) = self.table(table, "margins") {
            let mut side =
                |key, old| self.number(margins, key, 10.0..=60.0, "mm").map_or(old, |mm| mm * MM);
            let m = &mut theme.margins;
            m.top = side("top", m.top);
            m.right = side("right", m.right);
            m.bottom = side("bottom", m.bottom);
            m.left = side("left", m.left);
        }
        if let Some(fonts) = self.table(table, "fonts") {
            let keys = THEME_KEYS.last().map_or(&[][..], |(_, keys)| keys);
            for (key, voice) in keys.iter().zip(Voice::ALL) {
                if let Some((name, place)) = self.words(fonts, key) {
                    self.wanted.push(Wanted { name, place, what: Want::Font(voice) });
                }
            }
        }
        theme
    }

    /// Reports keys that are not known in this table.
    fn known(&mut self, table: &DeTable, name: &str) {
        let known = THEME_KEYS.iter().find(|(n, _)| *n == name).map_or(&[][..], |(_, k)| *k);
        for (key, _) in table.iter() {
            let word = key.get_ref().as_ref();
            if known.contains(&word) {
                continue;
            }
            let owner = if name.is_empty() {
                "a theme".to_string()
            } else {
                format!("[{name}] of a theme")
            };
            let likely = nearest(word, known.iter().copied());
            let here = likely.map_or("not known here".into(), |l| format!("perhaps `{l}`?"));
            let help = match likely {
                Some(likely) => format!("write `{likely}`, or take the line out"),
                None => format!("known keys here are {}", known.join(", ")),
            };
            let finding =
                Finding::fault("unknown-key", format!("unknown key \"{word}\" in {owner}"));
            self.findings.push(finding.at(place(self.source, key.span()), here).help(help));
        }
    }

    fn wrong(&mut self, key: &str, value: &Value, wanted: &str) {
        let finding = Finding::fault("wrong-type", format!("`{key}` must be {wanted}"));
        self.findings.push(finding.at(place(self.source, value.span()), format!("not {wanted}")));
    }

    fn table<'t, 'd>(&mut self, table: &'t DeTable<'d>, name: &str) -> Option<&'t DeTable<'d>> {
        let value = table.get(name)?;
        match value.get_ref() {
            DeValue::Table(inner) => {
                self.known(inner, name);
                Some(inner)
            }
            _ => {
                self.wrong(name, value, "a table");
                None
            }
        }
    }

    fn words(&mut self, table: &DeTable, key: &str) -> Option<(String, Place)> {
        let value = table.get(key)?;
        match value.get_ref() {
            DeValue::String(words) => Some((words.to_string(), place(self.source, value.span()))),
            _ => {
                self.wrong(key, value, "a text");
                None
            }
        }
    }

    fn flag(&mut self, table: &DeTable, key: &str) -> Option<bool> {
        let value = table.get(key)?;
        match value.get_ref() {
            DeValue::Boolean(flag) => Some(*flag),
            _ => {
                self.wrong(key, value, "true or false");
                None
            }
        }
    }

    fn number(
        &mut self,
        table: &DeTable,
        key: &str,
        range: std::ops::RangeInclusive<f64>,
        unit: &str,
    ) -> Option<f64> {
        let value = table.get(key)?;
        let digits = match value.get_ref() {
            DeValue::Integer(n) => n.as_str().to_string(),
            DeValue::Float(n) => n.as_str().to_string(),
            _ => String::new(),
        };
        let Some(number) = digits.replace('_', "").parse::<f64>().ok().filter(|n| n.is_finite())
        else {
            self.wrong(key, value, "a number");
            return None;
        };
        if range.contains(&number) {
            return Some(number);
        }
        let (least, most) = (range.start(), range.end());
        let message = format!("`{key}` is {number} {unit}; it must be {least} to {most} {unit}");
        let finding = Finding::fault("out-of-range", message);
        self.findings.push(finding.at(place(self.source, value.span()), "out of range"));
        None
    }

    fn colour(&mut self, table: &DeTable, key: &str) -> Option<Colour> {
        let (words, place) = self.words(table, key)?;
        let Some(colour) = Colour::parse(&words) else {
            let finding = Finding::fault("wrong-type", format!("\"{words}\" is not a colour"));
            let finding = finding.at(place, "not a colour").help("write it like \"#1f5c5c\"");
            self.findings.push(finding);
            return None;
        };
        let contrast = colour.contrast(Colour::WHITE);
        if contrast >= CONTRAST {
            return Some(colour);
        }
        // Rounded down, so that 4.49 is not said to be 4.5.
        let shown = (contrast * 10.0).floor() / 10.0;
        let message =
            format!("{words} on white has a contrast of {shown}:1; words need {CONTRAST}:1");
        let finding = Finding::fault("contrast", message).at(place, "too light to read");
        self.findings.push(finding.help("take a darker tone of it"));
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes(text: &str) -> Vec<(&'static str, String)> {
        let findings = ThemeFile::read(SourceId(0), text).unwrap_err();
        let at = |f: &Finding| text[f.place.unwrap().span.range()].to_string();
        findings.iter().map(|f| (f.code, at(f))).collect()
    }

    #[test]
    fn reads_every_key() {
        let text = "accent = '#1f5c5c'\nbody_size = 12\nfooter = 'Ask'\nlow_ink = true\n\
                    logo = 'm.png'\n[margins]\ntop = 20\nleft = 30.5\n[fonts]\ntext = 'a.ttf'\n";
        let file = ThemeFile::read(SourceId(0), text).unwrap();
        assert_eq!(file.wanted().collect::<Vec<_>>(), ["m.png", "a.ttf"]);
        assert_eq!(file.theme.accent, Colour(0x1f, 0x5c, 0x5c));
        assert_eq!(file.theme.body.size, 12.0);
        assert!(file.theme.low_ink && file.theme.tint.is_none());
        assert!((file.theme.margins.left / MM - 30.5).abs() < 1e-9);
        assert_eq!(file.theme.margins.right, Theme::default().margins.right);
    }

    #[test]
    fn an_empty_theme_is_the_built_in_one() {
        let file = ThemeFile::read(SourceId(0), "").unwrap();
        assert_eq!(file.with_files(|_| None).unwrap(), Theme::default());
    }

    #[test]
    fn finds_every_fault_at_its_place() {
        let text = "acent = 1\naccent = '#ffcc00'\nbody_size = 5\nlow_ink = 'yes'\n\
                    [margins]\nlift = 3\ntop = 'x'\n";
        assert_eq!(
            codes(text),
            [
                ("unknown-key", "acent".to_string()),
                ("contrast", "'#ffcc00'".to_string()),
                ("out-of-range", "5".to_string()),
                ("wrong-type", "'yes'".to_string()),
                ("unknown-key", "lift".to_string()),
                ("wrong-type", "'x'".to_string()),
            ]
        );
        let findings = ThemeFile::read(SourceId(0), text).unwrap_err();
        assert!(findings[0].help.as_ref().unwrap().contains("`accent`"));
        assert!(findings[1].message.contains("1.5:1"), "{}", findings[1].message);
    }

    #[test]
    fn files_that_are_missing_or_broken_are_faults_at_their_names() {
        let text = "logo = 'm.png'\n[fonts]\ntext = 'a.ttf'\ntitle = 'b.ttf'\n";
        let file = ThemeFile::read(SourceId(0), text).unwrap();
        let get = |name: &str| (name != "b.ttf").then(|| b"no such thing".to_vec());
        let findings = file.with_files(get).unwrap_err();
        let found: Vec<_> = findings.iter().map(|f| f.code).collect();
        assert_eq!(found, ["picture", "font", "read"]);
    }
}
