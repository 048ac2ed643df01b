//! A square code that opens an address when photographed (QR code, ISO/IEC 18004).

use super::pen::filled;
use super::{Drawing, Ink, Segment};
use qrcode::{Color, EcLevel, QrCode};

/// Width of the white edge in modules: ISO/IEC 18004 asks for four.
pub const QUIET: usize = 4;

/// The code for an address, `side` millimetres wide with its quiet zone. None when the
/// address is longer than a code can hold (2331 bytes at this level of repair).
pub fn link(address: &str, side: f64) -> Option<Drawing> {
    let code = QrCode::with_error_correction_level(address, EcLevel::M).ok()?;
    let modules = code.width();
    let colors = code.to_colors();
    let whole = u32::try_from(modules + 2 * QUIET).ok()?;
    let module = side / f64::from(whole);
    let at = |n: usize| f64::from(u32::try_from(n + QUIET).unwrap_or(0)) * module;
    let mut segments = Vec::new();
    for (y, row) in colors.chunks(modules).enumerate() {
        for (from, to) in runs(row) {
            let (x0, x1, y0, y1) = (at(from), at(to), at(y), at(y + 1));
            segments.push(Segment::Move(x0, y0));
            segments.push(Segment::Line(x1, y0));
            segments.push(Segment::Line(x1, y1));
            segments.push(Segment::Line(x0, y1));
            segments.push(Segment::Close);
        }
    }
    // One path for all modules: no hairlines show between neighbouring rows.
    Some(Drawing { width: side, height: side, marks: vec![filled(segments, Ink::Text)] })
}

/// What the code opens, for who cannot photograph it.
pub fn alt(address: &str) -> String {
    format!("Code to photograph with a phone; it opens {address}")
}

/// Runs of dark modules in one row, as half-open ranges.
fn runs(row: &[Color]) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    let mut start = None;
    for (x, color) in row.iter().chain(std::iter::once(&Color::Light)).enumerate() {
        match (color, start) {
            (Color::Dark, None) => start = Some(x),
            (Color::Light, Some(from)) => {
                out.push((from, x));
                start = None;
            }
            _ => {}
        }
    }
    out
}
