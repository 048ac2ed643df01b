//! Fonts: only the glyphs in use are embedded, with their exact widths.

use super::font_file::{self, slim};
use super::object::{integer, name, real};
use super::unicode;
use crate::diag::Finding;
use crate::typeset::page::{Draw, FaceFile};
use crate::typeset::{MM, Pages};
use lopdf::{Dictionary, Object, ObjectId, Stream};
use printpdf::{
    Codepoint, FontId, FontMetrics, FontType, Mm, Op, ParsedFont, PdfDocument, PdfFont,
    PdfFontHandle, PdfFontMetricsStub, PdfPage, PdfSaveOptions, Pt, TextItem,
};
use rustybuzz::ttf_parser;
use std::collections::BTreeMap;
use subsetter::GlyphRemapper;

/// The name a face has in content streams.
pub fn resource(face: usize) -> &'static str {
    ["/Face0", "/Face1", "/Face2", "/Face3", "/Face4"].get(face).copied().unwrap_or("/Face0")
}

/// Words that codes of one byte tell apart, without the code 0.
const NARROW: usize = 255;
/// What a font descriptor says of a font with codes of its own, and of one with those of
/// Latin (ISO 32000-1, table 123).
const SYMBOLIC: i64 = 4;
const NONSYMBOLIC: i64 = 32;

/// The glyphs in use of each face.
pub struct Fonts<'p> {
    faces: Vec<Option<Used<'p>>>,
    /// What the codes of one byte stand for, from 1 on: the same in every face that has them.
    common: Vec<String>,
}

struct Used<'p> {
    file: &'p FaceFile,
    codes: GlyphRemapper,
    /// The glyphs' codes of one byte; none in a face whose codes are two bytes long.
    narrow: BTreeMap<u16, u8>,
    /// Advance in font units and words, by glyph.
    glyphs: BTreeMap<u16, (u16, String)>,
}

impl<'p> Fonts<'p> {
    /// Walks all pages once.
    pub fn gather(pages: &'p Pages) -> Fonts<'p> {
        let mut used: Vec<BTreeMap<u16, (u16, String)>> = vec![BTreeMap::new(); pages.faces.len()];
        let runs = pages.pages.iter().flat_map(|p| &p.items).filter_map(|i| match &i.draw {
            Draw::Text(run) => Some(run),
            _ => None,
        });
        for run in runs {
            let Some(glyphs) = used.get_mut(run.face) else { continue };
            let mut at = 0;
            for glyph in &run.glyphs {
                let end = at + usize::from(glyph.bytes);
                let words = run.text.get(at..end).unwrap_or_default();
                let known =
                    glyphs.entry(glyph.id).or_insert_with(|| (glyph.advance, String::new()));
                if known.1.is_empty() {
                    known.1.push_str(words);
                }
                at = end;
            }
        }
        let faces = pages.faces.iter().zip(used).map(|(file, glyphs)| {
            let file = file.as_ref().filter(|_| !glyphs.is_empty())?;
            let ids: Vec<u16> = glyphs.keys().copied().filter(|g| *g != 0).collect();
            let codes = GlyphRemapper::new_from_glyphs_sorted(&ids);
            Some(Used { file, codes, narrow: BTreeMap::new(), glyphs })
        });
        let mut fonts = Fonts { faces: faces.collect(), common: Vec::new() };
        fonts.narrow();
        fonts
    }

    /// Gives TrueType faces codes of one byte: one for all that stands for the same words, so
    /// that one list says what they mean. Where these are too many, none has any.
    fn narrow(&mut self) {
        let simple = |used: &&mut Used| font_file::is_true_type(&used.file.bytes);
        let mut all: BTreeMap<(String, usize), Vec<(usize, u16)>> = BTreeMap::new();
        let mut faces: Vec<&mut Used> = self.faces.iter_mut().flatten().filter(simple).collect();
        for (face, used) in faces.iter().enumerate() {
            // Two glyphs of a face may show the same words.
            let mut turns: BTreeMap<&str, usize> = BTreeMap::new();
            for (glyph, (_, words)) in &used.glyphs {
                let turn = turns.entry(words).or_default();
                all.entry((words.clone(), *turn)).or_default().push((face, *glyph));
                *turn += 1;
            }
        }
        if all.len() > NARROW {
            return;
        }
        for (code, ((words, _), glyphs)) in (1..=u8::MAX).zip(all) {
            for (face, glyph) in glyphs {
                faces[face].narrow.insert(glyph, code);
            }
            self.common.push(words);
        }
    }

    /// Units per em of a face.
    pub fn units(&self, face: usize) -> f64 {
        self.used(face).map_or(1000.0, |u| f64::from(u.file.units.max(1)))
    }

    /// A glyph's code in content streams.
    pub fn code(&self, face: usize, glyph: u16) -> u16 {
        let Some(used) = self.used(face) else { return 0 };
        match used.narrow.get(&glyph) {
            Some(code) => u16::from(*code),
            None => used.codes.get(glyph).unwrap_or(0),
        }
    }

    /// Whether a face's codes are one byte long, not two.
    pub fn is_narrow(&self, face: usize) -> bool {
        self.used(face).is_some_and(|u| !u.narrow.is_empty())
    }

    fn used(&self, face: usize) -> Option<&Used<'p>> {
        self.faces.get(face).and_then(Option::as_ref)
    }

    /// A document of empty pages with all fonts in it. The first page says one glyph of each,
    /// so that none is left out: the streams of all pages, and what the fonts say of their
    /// glyphs, are put in afterwards.
    ///
    /// # Errors
    /// `font`: a file that cannot be cut down to the glyphs in use.
    pub fn skeleton(&self, pages: &Pages, title: &str) -> Result<lopdf::Document, Vec<Finding>> {
        let mut document = PdfDocument::new(title);
        let mut said = vec![Op::StartTextSection];
        for (face, used) in self.faces.iter().enumerate() {
            let Some(used) = used else { continue };
            let id = FontId(resource(face).trim_start_matches('/').to_string());
            let font = used.embedded(face)?;
            document.resources.fonts.map.insert(id.clone(), PdfFont::new(font));
            said.push(Op::SetFont { font: PdfFontHandle::External(id), size: Pt(1.0) });
            let one = used.shown().into_iter().take(1).collect();
            said.push(Op::ShowText { items: vec![TextItem::GlyphIds(one)] });
        }
        said.push(Op::EndTextSection);
        let size = |points: f64| Mm((points / MM) as f32);
        let mut empty = vec![said];
        empty.resize(pages.pages.len().max(1), Vec::new());
        let all =
            empty.into_iter().map(|ops| PdfPage::new(size(pages.width), size(pages.height), ops));
        document.with_pages(all.collect());
        let options = PdfSaveOptions {
            optimize: false,
            subset_fonts: false,
            image_optimization: None,
            ..PdfSaveOptions::default()
        };
        Ok(document.to_lopdf_document(&options, &mut Vec::new()))
    }

    /// Puts exact widths in, which the library cuts down to whole thousandths of an em, and
    /// a shorter map from codes to words.
    pub fn exact(&self, pdf: &mut lopdf::Document, fonts: Option<ObjectId>) {
        let mut shared = None;
        for (face, used) in self.faces.iter().enumerate() {
            let Some(used) = used else { continue };
            let key = resource(face).trim_start_matches('/').as_bytes();
            let font = fonts
                .and_then(|id| pdf.objects.get(&id))
                .and_then(|o| o.as_dict().ok()?.get(key).ok()?.as_reference().ok());
            let Some(Object::Dictionary(font)) = font.and_then(|id| pdf.objects.get_mut(&id))
            else {
                continue;
            };
            let below = font.get_mut(b"DescendantFonts").and_then(Object::as_array_mut);
            let below = below.ok().and_then(|b| b.first_mut()?.as_dict_mut().ok());
            let Some(below) = below else { continue };
            let mut described = None;
            if !used.narrow.is_empty() {
                let descriptor = below.get(b"FontDescriptor").cloned().unwrap_or(Object::Null);
                described = descriptor.as_reference().ok();
                used.simple(font, descriptor);
            } else {
                below.set("W", used.widths());
            }
            let words = font.get(b"ToUnicode").and_then(Object::as_reference).ok();
            match (words, shared) {
                (Some(own), Some(shared)) if !used.narrow.is_empty() => {
                    font.set("ToUnicode", Object::Reference(shared));
                    pdf.objects.remove(&own);
                }
                (Some(own), _) => {
                    let map = if used.narrow.is_empty() {
                        let shown = used.shown();
                        let words = |c: &Codepoint| c.cid.clone().unwrap_or_default();
                        let codes = shown.iter().map(|c| (c.gid, words(c)));
                        unicode::map(codes, false)
                    } else {
                        shared = Some(own);
                        unicode::map((1..).zip(self.common.iter().map(|w| shown(w))), true)
                    };
                    pdf.objects.insert(own, Stream::new(Dictionary::new(), map).into());
                }
                _ => {}
            }
            if let Some(Object::Dictionary(said)) =
                described.and_then(|id| pdf.objects.get_mut(&id))
            {
                let flags = said.get(b"Flags").and_then(Object::as_i64).unwrap_or(0);
                said.set("Flags", Object::Integer(flags & !NONSYMBOLIC | SYMBOLIC));
            }
        }
    }
}

impl Used<'_> {
    fn embedded(&self, face: usize) -> Result<ParsedFont, Vec<Finding>> {
        let words = format!("{} cannot be embedded", self.file.name);
        let broken = || vec![Finding::fault("font", words.clone())];
        let program = subsetter::subset(&self.file.bytes, 0, &self.codes).map_err(|_| broken())?;
        let program = slim(program, self.map());
        let table = ttf_parser::Face::parse(&self.file.bytes, 0).map_err(|_| broken())?;
        let bounds = table.global_bounding_box();
        let slant = f64::from(table.italic_angle()).to_radians().tan();
        Ok(ParsedFont {
            original_bytes: program,
            font_index: 0,
            font_name: Some(format!(
                "BRIM{}A+{}",
                ["A", "B", "C", "D", "E"].get(face).unwrap_or(&"F"),
                self.file.name
            )),
            codepoint_to_glyph: BTreeMap::new(),
            glyph_widths: self
                .glyphs
                .iter()
                .map(|(glyph, (advance, _))| (self.codes.get(*glyph).unwrap_or(0), *advance))
                .collect(),
            units_per_em: self.file.units,
            font_metrics: FontMetrics { ascent: table.ascender(), descent: table.descender() },
            font_type: FontType::TrueType,
            pdf_font_metrics: PdfFontMetricsStub {
                units_per_em: self.file.units,
                x_min: bounds.x_min,
                y_min: bounds.y_min,
                x_max: bounds.x_max,
                y_max: bounds.y_max,
                caret_slope_rise: 1000,
                caret_slope_run: (-slant * 1000.0).round() as i16,
                us_weight_class: table.weight().to_number(),
            },
        })
    }

    /// Every glyph in use with its words.
    fn shown(&self) -> Vec<Codepoint> {
        let each = |(glyph, (_, words)): (&u16, &(u16, String))| Codepoint {
            gid: self.codes.get(*glyph).unwrap_or(0),
            offset: 0.0,
            cid: Some(shown(words)),
        };
        self.glyphs.iter().map(each).collect()
    }

    /// The map from codes of one byte to glyphs, for the font's program.
    fn map(&self) -> Option<Vec<u8>> {
        let gid = |glyph: &u16| self.codes.get(*glyph).unwrap_or(0);
        let glyphs: BTreeMap<u8, u16> = self.narrow.iter().map(|(g, c)| (*c, gid(g))).collect();
        font_file::map(&glyphs)
    }

    /// Makes the font one of TrueType's own, with a byte for each glyph: words are then half
    /// as long as with the codes of a composite font (ISO 32000-1, 9.6.3).
    fn simple(&self, font: &mut Dictionary, descriptor: Object) {
        let advance = |glyph: &u16| self.glyphs.get(glyph).map_or(0, |(advance, _)| *advance);
        let by_code: BTreeMap<u8, u16> =
            self.narrow.iter().map(|(glyph, code)| (*code, advance(glyph))).collect();
        let first = by_code.keys().next().copied().unwrap_or(0);
        let last = by_code.keys().last().copied().unwrap_or(0);
        let width = |code| self.exact(by_code.get(&code).copied().unwrap_or(0));
        font.remove(b"DescendantFonts");
        font.remove(b"Encoding");
        font.set("Subtype", name("TrueType"));
        font.set("FontDescriptor", descriptor);
        font.set("FirstChar", integer(usize::from(first)));
        font.set("LastChar", integer(usize::from(last)));
        font.set("Widths", Object::Array((first..=last).map(width).collect()));
    }

    /// Advances by code of two bytes, in rising order.
    fn by_code(&self) -> Vec<(u16, u16)> {
        let each = |(glyph, (advance, _)): (&u16, &(u16, String))| {
            (self.codes.get(*glyph).unwrap_or(0), *advance)
        };
        let sorted: BTreeMap<u16, u16> = self.glyphs.iter().map(each).collect();
        sorted.into_iter().collect()
    }

    /// An advance in thousandths of an em.
    fn exact(&self, advance: u16) -> Object {
        match f64::from(advance) * 1000.0 / f64::from(self.file.units.max(1)) {
            whole if whole.fract() == 0.0 => integer(whole as usize),
            part => real(part),
        }
    }

    fn widths(&self) -> Object {
        let mut out = Vec::new();
        for run in self.by_code().chunk_by(|a, b| a.0 + 1 == b.0) {
            let Some((first, _)) = run.first() else { continue };
            out.push(integer(usize::from(*first)));
            out.push(Object::Array(run.iter().map(|(_, a)| self.exact(*a)).collect()));
        }
        Object::Array(out)
    }
}

/// The words a glyph is said to show: a mark that stands over another letter says nothing of
/// its own.
fn shown(words: &str) -> String {
    if words.is_empty() { "\u{200b}".into() } else { words.to_owned() }
}
