//! What must be known of a picture before its page stands: size and turn.

use super::composer::Composer;
use super::page::PictureFacts;
use crate::diag::Finding;
use crate::limits::PICTURE_PIXELS;
use image::metadata::Orientation;
use image::{ImageDecoder, ImageFormat, ImageReader};
use std::io::Cursor;

/// A picture's header.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Header {
    /// JPEG or PNG.
    pub format: ImageFormat,
    /// Size in pixels as stored.
    pub stored: (u32, u32),
    /// How it must be turned to stand upright.
    pub orientation: Orientation,
}

impl Header {
    /// Size in pixels as shown.
    pub fn upright(self) -> PictureFacts {
        let (width, height) = match self.orientation {
            Orientation::Rotate90
            | Orientation::Rotate270
            | Orientation::Rotate90FlipH
            | Orientation::Rotate270FlipH => (self.stored.1, self.stored.0),
            _ => self.stored,
        };
        PictureFacts { width, height }
    }
}

/// A picture whose header was read and whose pixels were not.
pub struct Opened<'b> {
    /// Its header.
    pub header: Header,
    /// The whole file.
    pub bytes: &'b [u8],
    /// What reads the rest of it.
    pub decoder: Box<dyn ImageDecoder + 'b>,
}

/// Reads the header of a JPEG or PNG.
///
/// # Errors
/// One line on what is wrong with it.
pub fn open(bytes: &[u8]) -> Result<Opened<'_>, String> {
    let format = image::guess_format(bytes).map_err(|_| "is neither a JPEG nor a PNG")?;
    if !matches!(format, ImageFormat::Jpeg | ImageFormat::Png) {
        return Err("is neither a JPEG nor a PNG".into());
    }
    // The decoder of a JPEG copies all it is given to come to the head.
    let read = if format == ImageFormat::Jpeg { head(bytes) } else { bytes };
    let reader = ImageReader::with_format(Cursor::new(read), format);
    let mut decoder = reader.into_decoder().map_err(|e| format!("cannot be read: {e}"))?;
    let stored = decoder.dimensions();
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    if stored.0 == 0 || stored.1 == 0 {
        return Err("has no size".into());
    }
    let pixels = u64::from(stored.0) * u64::from(stored.1);
    if pixels > PICTURE_PIXELS {
        return Err(format!("has {pixels} pixels; {PICTURE_PIXELS} is the most"));
    }
    if format == ImageFormat::Jpeg && !ends(bytes) {
        return Err("breaks off before its end".into());
    }
    let header = Header { format, stored, orientation };
    Ok(Opened { header, bytes, decoder: Box::new(decoder) })
}

/// A JPEG up to its pixels; the whole of one that is not as it should be.
fn head(bytes: &[u8]) -> &[u8] {
    let scan = segments(bytes).last().map_or(2, |(.., next)| next);
    let length = match bytes.get(scan..scan + 4) {
        Some(&[0xff, 0xda, high, low]) => usize::from(u16::from_be_bytes([high, low])),
        _ => return bytes,
    };
    bytes.get(..scan + 2 + length).unwrap_or(bytes)
}

/// The marker segments of a JPEG up to its scan: marker, data, and where the next one is.
pub fn segments(bytes: &[u8]) -> impl Iterator<Item = (u8, &[u8], usize)> {
    let mut at = 2;
    std::iter::from_fn(move || {
        while bytes.get(at) == Some(&0xff) && bytes.get(at + 1) == Some(&0xff) {
            at += 1;
        }
        let [0xff, marker, high, low] = *bytes.get(at..at + 4)? else { return None };
        if marker == 0xda {
            return None;
        }
        let length = usize::from(u16::from_be_bytes([high, low]));
        let data = bytes.get(at + 4..at + 2 + length)?;
        at += 2 + length;
        Some((marker, data, at))
    })
}

/// Whether a JPEG has its end mark; cameras may leave other bytes after it.
fn ends(bytes: &[u8]) -> bool {
    let tail = bytes.len().saturating_sub(64 * 1024).max(2);
    bytes.get(tail..).is_some_and(|t| t.windows(2).rev().any(|w| w == [0xff, 0xd9]))
        || bytes.windows(2).rev().any(|w| w == [0xff, 0xd9])
}

impl Composer<'_> {
    /// What is known of a picture of the document; notes a finding once if it is broken.
    pub fn picture(&mut self, index: usize) -> Option<PictureFacts> {
        if let Some(Some(known)) = self.pictures.get(index) {
            return Some(*known);
        }
        let Some(picture) = self.doc.pictures.get(index) else {
            let words = format!("picture {} is not in the document", index + 1);
            self.findings.push(Finding::fault("picture", words));
            return None;
        };
        match open(&picture.bytes) {
            Ok(opened) => {
                let facts = opened.header.upright();
                if let Some(slot) = self.pictures.get_mut(index) {
                    *slot = Some(facts);
                }
                Some(facts)
            }
            Err(why) => {
                let finding = Finding::fault("picture", format!("{} {why}", picture.name))
                    .help("save it again as a JPEG or PNG");
                if !self.findings.contains(&finding) {
                    self.findings.push(finding);
                }
                None
            }
        }
    }

    /// What is known of the theme's own mark.
    pub fn logo_facts(&mut self) -> Option<PictureFacts> {
        let bytes = self.theme.logo.as_ref()?;
        match open(bytes) {
            Ok(opened) => Some(opened.header.upright()),
            Err(why) => {
                self.findings.push(Finding::fault("picture", format!("the logo {why}")));
                None
            }
        }
    }
}
