//! Faces: which glyphs show a word, how wide they are, and what a face lacks.
//!
//! Parsed when first used; every word is shaped once and kept.

use super::kern::Kerning;
use super::page::{FaceFile, Glyph};
use super::theme::{Theme, Voice};
use crate::diag::Finding;
use rustybuzz::{Direction, Feature, ShapePlan, UnicodeBuffer, script, ttf_parser::Tag};
use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;

/// A word's glyphs.
#[derive(Debug)]
pub struct Shaped {
    /// The word.
    pub text: String,
    /// Its glyphs.
    pub glyphs: Vec<Glyph>,
    /// Their width in ems.
    pub ems: f64,
}

/// All faces of a theme, and every word shaped so far.
pub struct Shaper<'a> {
    theme: &'a Theme,
    faces: [Option<Box<Face<'a>>>; 5],
    missing: BTreeMap<char, String>,
    broken: BTreeMap<usize, String>,
}

struct Face<'a> {
    metrics: rusttype::Font<'a>,
    shaping: rustybuzz::Face<'a>,
    plan: ShapePlan,
    units: f64,
    /// Whether each of the first 128 characters is there.
    plain: [bool; 128],
    advances: HashMap<u16, u16>,
    words: HashMap<String, Rc<Shaped>>,
    space: Rc<Shaped>,
    pairs: Option<Pairs<'a>>,
}

/// How plain characters stand side by side. Built-in faces that kern by
/// pairs alone set plain words as their pairs say and no otherwise (a test sets all their
/// pairs and many words both ways); a face of a theme's own may do more, and is shaped word
/// by word.
struct Pairs<'a> {
    kerning: Kerning<'a>,
    /// Glyph and advance of each plain character that is there.
    alone: Vec<Option<(u16, u16)>>,
    /// What kerning adds after the first of two, by first and second, once asked.
    known: Vec<Option<i16>>,
}

const PLAIN: usize = 128;
/// Room for the words of a booklet in one face.
const WORDS: usize = 512;

/// Whether bytes are a font that words can be set in.
pub fn readable(bytes: &[u8]) -> bool {
    Face::parse(bytes, false).is_some()
}

fn features() -> [Feature; 3] {
    // One glyph a letter keeps the words readable for machines; ligatures add little here.
    [b"liga", b"clig", b"dlig"].map(|t| Feature::new(Tag::from_bytes(t), 0, ..))
}

impl<'a> Face<'a> {
    fn parse(bytes: &'a [u8], built_in: bool) -> Option<Face<'a>> {
        let metrics = rusttype::Font::try_from_bytes(bytes)?;
        let shaping = rustybuzz::Face::from_slice(bytes, 0)?;
        let plan = ShapePlan::new(
            &shaping,
            Direction::LeftToRight,
            Some(script::LATIN),
            None,
            &features(),
        );
        let units = f64::from(shaping.units_per_em());
        let mut plain = [false; 128];
        for (i, there) in plain.iter_mut().enumerate() {
            *there = metrics.glyph(char::from(i as u8)).id().0 != 0;
        }
        let empty = Rc::new(Shaped { text: String::new(), glyphs: Vec::new(), ems: 0.0 });
        let mut face = Face {
            metrics,
            shaping,
            plan,
            units,
            plain,
            advances: HashMap::new(),
            words: HashMap::with_capacity(WORDS),
            space: empty,
            pairs: None,
        };
        if built_in {
            face.pairs = face.plain_pairs();
        }
        face.space = face.word(" ");
        Some(face)
    }

    fn has(&self, c: char) -> bool {
        match self.plain.get(c as usize) {
            Some(there) => *there,
            None => self.metrics.glyph(c).id().0 != 0,
        }
    }

    /// The glyph's own advance in font units.
    fn advance(&mut self, glyph: u16) -> u16 {
        let metrics = &self.metrics;
        *self.advances.entry(glyph).or_insert_with(|| {
            // rusttype's scale is the height from ascender to descender, not the em.
            let v = metrics.v_metrics_unscaled();
            let scale = rusttype::Scale::uniform(v.ascent - v.descent);
            let h = metrics.glyph(rusttype::GlyphId(glyph)).scaled(scale).h_metrics();
            h.advance_width.round().clamp(0.0, f32::from(u16::MAX)) as u16
        })
    }

    fn word(&mut self, text: &str) -> Rc<Shaped> {
        if let Some(known) = self.words.get(text) {
            return Rc::clone(known);
        }
        let paired = self.pairs.as_mut().and_then(|pairs| pairs.word(text, self.units));
        let shaped = Rc::new(paired.unwrap_or_else(|| self.shape(text)));
        self.words.insert(text.to_string(), Rc::clone(&shaped));
        shaped
    }

    fn plain_pairs(&mut self) -> Option<Pairs<'a>> {
        let kerning = Kerning::read(&self.shaping)?;
        let each = |i: usize| {
            let c = char::from(i as u8);
            let glyph = self.metrics.glyph(c).id().0;
            (!c.is_control() && glyph != 0).then(|| (glyph, self.advance(glyph)))
        };
        let alone = (0..PLAIN).map(each).collect();
        Some(Pairs { kerning, alone, known: vec![None; PLAIN * PLAIN] })
    }

    fn shape(&mut self, text: &str) -> Shaped {
        let mut buffer = UnicodeBuffer::new();
        buffer.push_str(text);
        buffer.set_direction(Direction::LeftToRight);
        buffer.set_script(script::LATIN);
        let out = rustybuzz::shape_with_plan(&self.shaping, &self.plan, buffer);
        let (infos, positions) = (out.glyph_infos(), out.glyph_positions());
        let mut glyphs = Vec::with_capacity(infos.len());
        let mut sum = 0i64;
        for (i, (info, position)) in infos.iter().zip(positions).enumerate() {
            // The first glyph of a cluster shows all of its letters, marks after it none.
            let follows = i > 0 && infos.get(i - 1).is_some_and(|p| p.cluster == info.cluster);
            let next = infos.iter().skip(i + 1).find(|n| n.cluster != info.cluster);
            let end = next.map_or(text.len(), |n| n.cluster as usize);
            let end = if follows { info.cluster as usize } else { end };
            let id = info.glyph_id as u16;
            let advance = self.advance(id);
            let kern = position.x_advance - i32::from(advance);
            sum += i64::from(position.x_advance);
            glyphs.push(Glyph {
                id,
                bytes: end.saturating_sub(info.cluster as usize).min(255) as u8,
                advance,
                kern: kern.clamp(i32::from(i16::MIN), i32::from(i16::MAX)) as i16,
            });
        }
        Shaped { text: text.to_string(), glyphs, ems: sum as f64 / self.units }
    }
}

impl Pairs<'_> {
    /// A word of plain characters, put together of its pairs; nothing for any other.
    fn word(&mut self, text: &str, units: f64) -> Option<Shaped> {
        let bytes = text.as_bytes();
        let mut glyphs = Vec::with_capacity(bytes.len());
        let mut sum = 0i64;
        for (i, byte) in bytes.iter().enumerate() {
            let (id, advance) = self.alone(*byte)?;
            let kern = match bytes.get(i + 1) {
                None => 0,
                Some(next) => {
                    let (second, _) = self.alone(*next)?;
                    let at = usize::from(*byte) * PLAIN + usize::from(*next);
                    let known = self.known.get_mut(at)?;
                    *known.get_or_insert_with(|| self.kerning.between(id, second))
                }
            };
            sum += i64::from(advance) + i64::from(kern);
            glyphs.push(Glyph { id, bytes: 1, advance, kern });
        }
        Some(Shaped { text: text.to_string(), glyphs, ems: sum as f64 / units })
    }

    fn alone(&self, byte: u8) -> Option<(u16, u16)> {
        self.alone.get(usize::from(byte)).copied().flatten()
    }
}

/// Words cut by face. Nearly all are of one face, and need no list.
pub struct Parts<'t>(Option<(Voice, &'t str)>, std::vec::IntoIter<(Voice, &'t str)>);

impl<'t> Iterator for Parts<'t> {
    type Item = (Voice, &'t str);

    fn next(&mut self) -> Option<Self::Item> {
        self.0.take().or_else(|| self.1.next())
    }
}

impl<'a> Shaper<'a> {
    /// A shaper over a theme's faces; none is parsed yet.
    pub fn new(theme: &'a Theme) -> Self {
        Shaper {
            theme,
            faces: [None, None, None, None, None],
            missing: BTreeMap::new(),
            broken: BTreeMap::new(),
        }
    }

    fn face(&mut self, voice: Voice) -> Option<&mut Face<'a>> {
        let i = voice as usize;
        if self.faces[i].is_none() && !self.broken.contains_key(&i) {
            let theme: &'a Theme = self.theme;
            let file = theme.fonts.get(i)?;
            match Face::parse(&file.bytes, matches!(file.bytes, Cow::Borrowed(_))) {
                Some(face) => self.faces[i] = Some(Box::new(face)),
                None => {
                    self.broken.insert(i, file.name.clone());
                }
            }
        }
        self.faces[i].as_deref_mut()
    }

    /// Whether a face can show a character.
    fn has(&mut self, voice: Voice, c: char) -> bool {
        self.face(voice).is_some_and(|f| f.has(c))
    }

    /// The glyphs of a word that one face can show.
    pub fn shape(&mut self, voice: Voice, word: &str) -> Rc<Shaped> {
        match self.face(voice) {
            Some(face) if word == " " => Rc::clone(&face.space),
            Some(face) => face.word(word),
            None => Rc::new(Shaped { text: word.to_string(), glyphs: Vec::new(), ems: 0.0 }),
        }
    }

    /// Width of words in points.
    pub fn width(&mut self, voice: Voice, size: f64, words: &str) -> f64 {
        let mut sum = 0.0;
        for (voice, part) in self.by_face(voice, words) {
            sum += self.shape(voice, part).ems * size;
        }
        sum
    }

    /// Cuts words where another face must help out, and notes what no face can show.
    pub fn by_face<'t>(&mut self, voice: Voice, words: &'t str) -> Parts<'t> {
        if words.bytes().all(|b| (0x20..0x7f).contains(&b)) {
            return Parts(Some((voice, words)), Vec::new().into_iter());
        }
        let mut parts: Vec<(Voice, usize)> = Vec::new();
        for (i, c) in words.char_indices() {
            let own = self.helper(voice, c, words);
            if parts.last().is_none_or(|(last, _)| *last != own) {
                parts.push((own, i));
            }
        }
        let ends = parts.iter().skip(1).map(|(_, i)| *i).chain([words.len()]);
        let cuts: Vec<_> = parts.iter().zip(ends).map(|((v, a), b)| (*v, &words[*a..b])).collect();
        Parts(None, cuts.into_iter())
    }

    fn helper(&mut self, voice: Voice, c: char, words: &str) -> Voice {
        if self.has(voice, c) {
            return voice;
        }
        let heavy = matches!(voice, Voice::Strong | Voice::Title);
        let order = if heavy { [Voice::Strong, Voice::Text] } else { [Voice::Text, Voice::Strong] };
        match order.into_iter().find(|v| self.has(*v, c)) {
            Some(other) => other,
            None => {
                self.missing.entry(c).or_insert_with(|| words.trim().chars().take(40).collect());
                voice
            }
        }
    }

    /// What went wrong with faces: files that are no fonts, characters none can show.
    pub fn findings(&self) -> Vec<Finding> {
        let broken = self.broken.values().map(|name| {
            Finding::fault("font", format!("{name} is not a font that can be read"))
                .help("give a TrueType or OpenType file (.ttf, .otf)")
        });
        let missing = self.missing.iter().map(|(c, near)| {
            let name = format!("U+{:04X}", *c as u32);
            let shown = if c.is_control() { name.clone() } else { format!("{c} ({name})") };
            Finding::fault("missing-glyph", format!("no font here can print {shown}")).help(
                format!("write \u{201c}{near}\u{201d} without it, or give a font that has it"),
            )
        });
        broken.chain(missing).collect()
    }

    /// The font files of the faces in use, in the order of their numbers.
    pub fn files(&self) -> Vec<Option<FaceFile>> {
        let each = |(i, face): (usize, &Option<Box<Face>>)| {
            let (face, file) = (face.as_ref()?, self.theme.fonts.get(i)?);
            let name = file.name.chars().filter(char::is_ascii_alphanumeric).collect();
            Some(FaceFile { name, bytes: file.bytes.clone(), units: face.units as u16 })
        };
        self.faces.iter().enumerate().map(each).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every pair of plain characters, and every word of a long text, set of pairs and set
    /// whole by the shaper.
    #[test]
    fn plain_words_of_the_built_in_faces_are_set_as_their_pairs() {
        let theme = Theme::default();
        let plain = || (b' '..0x7f).map(char::from);
        let mut words: Vec<String> =
            plain().flat_map(|a| plain().map(move |b| format!("{a}{b}"))).collect();
        let texts = [
            include_str!("../written/GRAMMAR.md"),
            include_str!("../../templates/DESIGN-FILE.md"),
            include_str!("../../README.md"),
        ];
        for text in texts {
            words.extend(text.split_whitespace().map(str::to_owned));
            words.extend(text.lines().map(str::to_owned));
        }
        // What contextual rules of fonts are mostly about: fractions, times signs, dots.
        words.extend(
            ["1/2", "12/34", "3x4", "2x", "fi ffi ffl fj", "i.j", "1:1", "(--)", "f'"]
                .map(str::to_owned),
        );
        let mut faces = 0;
        for file in &theme.fonts {
            let mut face = Face::parse(&file.bytes, true).unwrap();
            let mut paired = 0;
            for word in &words {
                let Some(pairs) = face.pairs.as_mut() else { break };
                let Some(by_pairs) = pairs.word(word, face.units) else { continue };
                paired += 1;
                let whole = face.shape(word);
                assert_eq!(by_pairs.glyphs, whole.glyphs, "{word:?} in {}", file.name);
                assert_eq!(by_pairs.ems, whole.ems, "{word:?} in {}", file.name);
            }
            faces += usize::from(paired * 10 > words.len() * 9);
        }
        // The serif faces kern by what stands around a pair, too: they are shaped whole.
        assert_eq!(faces, 3, "faces set of pairs");
    }
}
