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

/// Glyphs that codes of one byte tell apart, without the one for a missing glyph.
const NARROW: usize = 255;
/// What a font descriptor says of a font with codes of its own, and of one with those of
/// Latin (ISO 32000-1, table 123).
const SYMBOLIC: i64 = 4;
const NONSYMBOLIC: i64 = 32;

/// The glyphs in use of each face.
pub struct Fonts<'p> {
    faces: Vec<Option<Used<'p>>>,
}

struct Used<'p> {
    file: &'p FaceFile,
    codes: GlyphRemapper,
    /// Whether a code is one byte long, not two.
    narrow: bool,
    /// Code, advance in font units and words, by glyph.
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
            let narrow = ids.len() <= NARROW && font_file::is_true_type(&file.bytes);
            Some(Used { file, codes, narrow, glyphs })
        });
        Fonts { faces: faces.collect() }
    }

    /// Units per em of a face.
    pub fn units(&self, face: usize) -> f64 {
        self.used(face).map_or(1000.0, |u| f64::from(u.file.units.max(1)))
    }

    /// A glyph's code in content streams.
    pub fn code(&self, face: usize, glyph: u16) -> u16 {
        self.used(face).and_then(|u| u.codes.get(glyph)).unwrap_or(0)
    }

    /// Whether a face's codes are one byte long, not two.
    pub fn is_narrow(&self, face: usize) -> bool {
        self.used(face).is_some_and(|u| u.narrow)
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
            if used.narrow {
                let descriptor = below.get(b"FontDescriptor").cloned().unwrap_or(Object::Null);
                described = descriptor.as_reference().ok();
                used.simple(font, descriptor);
            } else {
                below.set("W", used.widths());
            }
            let words = font.get(b"ToUnicode").and_then(Object::as_reference);
            if let Ok(Some(Object::Stream(map))) = words.map(|id| pdf.objects.get_mut(&id)) {
                let shown = used.shown();
                let codes: Vec<(u16, &str)> =
                    shown.iter().map(|c| (c.gid, c.cid.as_deref().unwrap_or_default())).collect();
                *map = Stream::new(Dictionary::new(), unicode::map(&codes, used.narrow));
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
        let program = slim(
            program,
            self.narrow.then(|| font_file::map(usize::from(self.codes.num_gids()) - 1)),
        );
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
            // A mark that stands over another letter says nothing of its own.
            cid: Some(if words.is_empty() { "\u{200b}".into() } else { words.clone() }),
        };
        self.glyphs.iter().map(each).collect()
    }

    /// Makes the font one of TrueType's own, with a byte for each glyph: words are then half
    /// as long as with the codes of a composite font (ISO 32000-1, 9.6.3).
    fn simple(&self, font: &mut Dictionary, descriptor: Object) {
        let by_code = self.by_code();
        font.remove(b"DescendantFonts");
        font.remove(b"Encoding");
        font.set("Subtype", name("TrueType"));
        font.set("FontDescriptor", descriptor);
        let ends = [by_code.first(), by_code.last()].map(|e| e.map_or(0, |(code, _)| *code));
        font.set("FirstChar", integer(usize::from(ends[0])));
        font.set("LastChar", integer(usize::from(ends[1])));
        font.set("Widths", Object::Array(by_code.iter().map(|(_, a)| self.exact(*a)).collect()));
    }

    /// Advances by code, in rising order. The codes in use run on without a gap.
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
