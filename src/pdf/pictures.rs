//! Pictures: a JPEG goes in untouched, a PNG as its pixels with its own transparency.

use super::file::Whole;
use super::object::{dictionary, integer, name, reference};
use super::png_colour;
use crate::booklet::document::Document;
use crate::diag::Finding;
use crate::typeset::Pages;
use crate::typeset::page::{Draw, PictureId};
use crate::typeset::picture::{Opened, open, segments};
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat};
use lopdf::{Dictionary, Object, ObjectId, Stream};
use std::collections::BTreeSet;

/// The matrix that sets a stored picture upright in a box whose lower left corner is (x, y).
pub fn upright(turn: Orientation, x: f64, y: f64, w: f64, h: f64) -> [f64; 6] {
    match turn {
        Orientation::NoTransforms => [w, 0.0, 0.0, h, x, y],
        Orientation::FlipHorizontal => [-w, 0.0, 0.0, h, x + w, y],
        Orientation::Rotate180 => [-w, 0.0, 0.0, -h, x + w, y + h],
        Orientation::FlipVertical => [w, 0.0, 0.0, -h, x, y + h],
        Orientation::Rotate90 => [0.0, -h, w, 0.0, x, y + h],
        Orientation::Rotate270 => [0.0, h, -w, 0.0, x + w, y],
        Orientation::Rotate90FlipH => [0.0, -h, -w, 0.0, x + w, y + h],
        Orientation::Rotate270FlipH => [0.0, h, w, 0.0, x, y],
    }
}

/// A picture that some page shows, its header read.
struct Shown<'p> {
    id: PictureId,
    /// Its name in content streams.
    key: String,
    /// Its name in messages.
    label: &'p str,
    opened: Opened<'p>,
}

/// The pictures that pages show.
pub struct Pictures<'p>(Vec<Shown<'p>>);

impl<'p> Pictures<'p> {
    /// Opens each picture that a page shows, once; a broken one is a fault.
    pub fn gather(
        pages: &'p Pages,
        document: &'p Document,
        findings: &mut Vec<Finding>,
    ) -> Pictures<'p> {
        let placed =
            pages.pages.iter().flat_map(|p| &p.items).filter_map(|item| match &item.draw {
                Draw::Picture(placed) => Some(placed.picture),
                _ => None,
            });
        let mut out = Vec::new();
        for id in placed.collect::<BTreeSet<PictureId>>() {
            let (key, label, bytes) = match id {
                PictureId::Document(i) => {
                    let Some(picture) = document.pictures.get(i) else { continue };
                    (format!("Picture{i}"), picture.name.as_str(), picture.bytes.as_slice())
                }
                PictureId::Logo => {
                    let bytes = pages.logo.as_deref().unwrap_or_default();
                    ("PictureLogo".to_owned(), "the logo", bytes)
                }
            };
            match open(bytes) {
                Ok(opened) => out.push(Shown { id, key, label, opened }),
                Err(why) => findings.push(fault(label, &why)),
            }
        }
        Pictures(out)
    }

    /// A picture's name in content streams, and how it must be turned to stand upright.
    pub fn find(&self, id: PictureId) -> Option<(&str, Orientation)> {
        let shown = self.0.iter().find(|s| s.id == id)?;
        Some((&shown.key, shown.opened.header.orientation))
    }

    /// Adds all of them to a document; answers their names and objects. Those that go in as
    /// they are go to `whole`.
    pub fn write(
        self,
        pdf: &mut lopdf::Document,
        whole: &mut Vec<Whole<'p>>,
        findings: &mut Vec<Finding>,
    ) -> Vec<(String, ObjectId)> {
        let mut out = Vec::new();
        for Shown { key, label, opened, .. } in self.0 {
            let written = match opened.header.format {
                ImageFormat::Jpeg => jpeg(pdf, opened).map(|jpeg| {
                    let id = jpeg.id;
                    whole.push(jpeg);
                    id
                }),
                _ => png(pdf, opened),
            };
            match written {
                Ok(id) => out.push((key, id)),
                Err(why) => findings.push(fault(label, &why)),
            }
        }
        out
    }
}

fn fault(label: &str, why: &str) -> Finding {
    Finding::fault("picture", format!("{label} {why}")).help("save it again as an sRGB JPEG or PNG")
}

fn image_dictionary(size: (u32, u32), space: Object) -> Dictionary {
    dictionary([
        ("Type", name("XObject")),
        ("Subtype", name("Image")),
        ("Width", Object::Integer(i64::from(size.0))),
        ("Height", Object::Integer(i64::from(size.1))),
        ("BitsPerComponent", Object::Integer(8)),
        ("ColorSpace", space),
    ])
}

fn jpeg<'p>(pdf: &mut lopdf::Document, opened: Opened<'p>) -> Result<Whole<'p>, String> {
    let Opened { header, bytes, mut decoder } = opened;
    let channels = jpeg_channels(bytes).ok_or("has no picture in it")?;
    let profile = decoder.icc_profile().ok().flatten();
    let space = space(pdf, profile, channels);
    if channels == 4 && !matches!(space, Object::Array(_)) {
        return Err("is in printing colours (CMYK) without a colour profile".into());
    }
    let mut dictionary = image_dictionary(header.stored, space);
    if channels == 4 {
        // Such files hold their colours upside down when an Adobe mark says so.
        if adobe(bytes) {
            let decode = [1, 0, 1, 0, 1, 0, 1, 0].map(Object::Integer);
            dictionary.set("Decode", Object::Array(decode.to_vec()));
        }
    }
    dictionary.set("Filter", name("DCTDecode"));
    Ok(Whole { id: pdf.new_object_id(), dictionary, bytes })
}

/// The colour space of 1, 3 or 4 channels: by its own profile, if that is sound.
fn space(pdf: &mut lopdf::Document, profile: Option<Vec<u8>>, channels: u8) -> Object {
    let plain = match channels {
        1 => name("DeviceGray"),
        4 => name("DeviceCMYK"),
        _ => name("DeviceRGB"),
    };
    let Some(profile) = profile.filter(|p| sound(p, channels)) else { return plain };
    let dictionary = dictionary([("N", integer(usize::from(channels))), ("Alternate", plain)]);
    let id = pdf.add_object(Stream::new(dictionary, profile));
    Object::Array(vec![name("ICCBased"), reference(id)])
}

/// Whether an ICC profile is whole, of a version PDF 1.7 knows, and for these channels.
/// (Header fields from ICC.1:2010, section 7.2, from memory.)
fn sound(profile: &[u8], channels: u8) -> bool {
    let field = |at: usize| profile.get(at..at + 4);
    let space: &[u8] = match channels {
        1 => b"GRAY",
        4 => b"CMYK",
        _ => b"RGB ",
    };
    let size = field(0).and_then(|f| f.try_into().ok()).map(u32::from_be_bytes);
    let class =
        field(12).is_some_and(|c| [b"mntr", b"scnr", b"prtr", b"spac"].iter().any(|k| *k == c));
    size.is_some_and(|s| s as usize == profile.len())
        && profile.get(8).is_some_and(|major| (2..=4).contains(major))
        && class
        && field(16) == Some(space)
        && field(36) == Some(b"acsp")
}

/// How many colour channels a JPEG has, from its frame header.
fn jpeg_channels(bytes: &[u8]) -> Option<u8> {
    let found = segments(bytes).find(|(marker, ..)| {
        matches!(marker, 0xc0..=0xcf) && !matches!(marker, 0xc4 | 0xc8 | 0xcc)
    });
    found.and_then(|(_, data, _)| data.get(5).copied())
}

fn adobe(bytes: &[u8]) -> bool {
    segments(bytes).any(|(marker, data, _)| marker == 0xee && data.starts_with(b"Adobe"))
}

fn png(pdf: &mut lopdf::Document, opened: Opened) -> Result<ObjectId, String> {
    let Opened { header, bytes, mut decoder } = opened;
    let profile = decoder.icc_profile().ok().flatten();
    let image = DynamicImage::from_decoder(decoder).map_err(|e| format!("cannot be read: {e}"))?;
    let colour = image.color();
    let (channels, pixels) = if colour.has_color() {
        (3, image.to_rgb8().into_raw())
    } else {
        (1, image.to_luma8().into_raw())
    };
    let told = if profile.is_none() { png_colour::space(bytes, channels) } else { None };
    let space = told.unwrap_or_else(|| space(pdf, profile, channels));
    let mut dictionary = image_dictionary(header.stored, space);
    if colour.has_alpha() {
        let alpha: Vec<u8> = image.to_rgba8().pixels().map(|p| p.0[3]).collect();
        if alpha.iter().any(|a| *a < 255) {
            let mask = image_dictionary(header.stored, name("DeviceGray"));
            let id = pdf.add_object(Stream::new(mask, alpha));
            dictionary.set("SMask", reference(id));
        }
    }
    Ok(pdf.add_object(Stream::new(dictionary, pixels)))
}
