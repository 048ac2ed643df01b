//! What a PNG says of its colours besides a profile: primaries, white and gamma of the screen
//! it was made for, as a colour space of PDF's own.
//!
//! Chunks as in the PNG specification (W3C Recommendation, third edition, 11.3.2); CalRGB and
//! CalGray as in ISO 32000-1, 8.6.5. Both from memory.

use super::object::{dictionary, name};
use lopdf::Object;

/// x and y of white, red, green and blue, as sRGB has them (IEC 61966-2-1, from memory).
const SRGB: [f64; 8] = [0.3127, 0.3290, 0.64, 0.33, 0.30, 0.60, 0.15, 0.06];
/// The file gamma of sRGB as PNG rounds it.
const SRGB_GAMMA: f64 = 0.45455;
/// Nearer than this, two places are one: what a screen shows of it nobody sees.
const ALIKE: f64 = 0.002;

/// The colour space that a PNG's own chunks describe; none where it is sRGB, says nothing,
/// or says what cannot be.
pub fn space(png: &[u8], channels: u8) -> Option<Object> {
    let mut gamma = None;
    let mut places = None;
    for (kind, data) in chunks(png) {
        match kind {
            // These say more than the other two, which are then only for old readers.
            b"sRGB" | b"iCCP" => return None,
            b"gAMA" => gamma = parts(data).first().copied(),
            b"cHRM" => places = <[f64; 8]>::try_from(parts(data)).ok(),
            _ => {}
        }
    }
    let same_gamma = gamma.is_none_or(|g| (g - SRGB_GAMMA).abs() < ALIKE);
    let places = places.filter(|_| channels == 3).unwrap_or(SRGB);
    let same_places = places.iter().zip(SRGB).all(|(a, b)| (a - b).abs() < ALIKE);
    if same_gamma && same_places {
        return None;
    }
    let power = 1.0 / gamma.filter(|g| *g > 0.0).unwrap_or(SRGB_GAMMA);
    let reals =
        |values: &[f64]| Object::Array(values.iter().map(|v| Object::Real(*v as f32)).collect());
    let (white, matrix) = matrix(&places)?;
    let told = if channels == 3 {
        dictionary([
            ("WhitePoint", reals(&white)),
            ("Gamma", reals(&[power; 3])),
            ("Matrix", reals(matrix.as_flattened())),
        ])
    } else {
        dictionary([("WhitePoint", reals(&white)), ("Gamma", Object::Real(power as f32))])
    };
    let kind = if channels == 3 { "CalRGB" } else { "CalGray" };
    Some(Object::Array(vec![name(kind), Object::Dictionary(told)]))
}

/// White, and what red, green and blue come to, each as X, Y and Z with white's Y at 1: the
/// three of them make white. None where the places lie on one line.
fn matrix(places: &[f64; 8]) -> Option<([f64; 3], [[f64; 3]; 3])> {
    let [wx, wy, rx, ry, gx, gy, bx, by] = *places;
    let tall = |x: f64, y: f64| [x / y, 1.0, (1.0 - x - y) / y];
    let white = tall(wx, wy);
    let own = [tall(rx, ry), tall(gx, gy), tall(bx, by)];
    let [r, g, b] = own;
    let whole = determinant(r, g, b);
    let shares = [
        determinant(white, g, b) / whole,
        determinant(r, white, b) / whole,
        determinant(r, g, white) / whole,
    ];
    let mut out = own;
    for (colour, share) in out.iter_mut().zip(shares) {
        colour.iter_mut().for_each(|v| *v *= share);
    }
    let sound = white.iter().chain(out.as_flattened()).all(|v| v.is_finite());
    sound.then_some((white, out))
}

/// Of three columns.
fn determinant(a: [f64; 3], b: [f64; 3], c: [f64; 3]) -> f64 {
    a[0] * (b[1] * c[2] - b[2] * c[1]) - b[0] * (a[1] * c[2] - a[2] * c[1])
        + c[0] * (a[1] * b[2] - a[2] * b[1])
}

/// Whole hundred-thousandths, as both chunks hold their numbers.
fn parts(data: &[u8]) -> Vec<f64> {
    let (words, _) = data.as_chunks::<4>();
    words.iter().map(|w| f64::from(u32::from_be_bytes(*w)) / 100_000.0).collect()
}

/// The chunks before the pixels.
fn chunks(png: &[u8]) -> impl Iterator<Item = (&[u8], &[u8])> {
    let mut at = 8;
    std::iter::from_fn(move || {
        let length = png.get(at..at + 4)?.try_into().ok().map(u32::from_be_bytes)? as usize;
        let kind = png.get(at + 4..at + 8)?;
        let data = png.get(at + 8..(at + 8).checked_add(length)?)?;
        at += length + 12;
        (kind != b"IDAT").then_some((kind, data))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn png(told: &[(&[u8; 4], &[f64])]) -> Vec<u8> {
        let mut out = vec![0; 8];
        for (kind, values) in told {
            out.extend((4 * values.len() as u32).to_be_bytes());
            out.extend(*kind);
            out.extend(values.iter().flat_map(|v| ((v * 1e5).round() as u32).to_be_bytes()));
            out.extend([0; 4]);
        }
        out.extend([0, 0, 0, 0]);
        out.extend(b"IDAT");
        out
    }

    #[test]
    fn primaries_make_the_published_matrix() {
        // IEC 61966-2-1, the matrix from linear sRGB to XYZ (from memory).
        let published =
            [[0.4124, 0.2126, 0.0193], [0.3576, 0.7152, 0.1192], [0.1805, 0.0722, 0.9505]];
        let (_, found) = matrix(&SRGB).unwrap();
        for (a, b) in found.as_flattened().iter().zip(published.as_flattened()) {
            assert!((a - b).abs() < 5e-4, "{found:?}");
        }
    }

    #[test]
    fn only_what_differs_from_srgb_is_told() {
        assert_eq!(space(&png(&[]), 3), None);
        assert_eq!(space(&png(&[(b"gAMA", &[0.45455]), (b"cHRM", &SRGB)]), 3), None);
        // Adobe RGB (1998), sections 4.3.1.1 and 4.3.1.2 (from memory).
        let wide = [0.3127, 0.3290, 0.64, 0.33, 0.21, 0.71, 0.15, 0.06];
        let told: [(&[u8; 4], &[f64]); 2] = [(b"gAMA", &[0.45471]), (b"cHRM", &wide)];
        let Some(Object::Array(parts)) = space(&png(&told), 3) else { panic!("nothing told") };
        assert_eq!(parts.first(), Some(&name("CalRGB")));
        let Some(Object::Dictionary(said)) = parts.get(1) else { panic!("{parts:?}") };
        let matrix = said.get(b"Matrix").unwrap().as_array().unwrap();
        let first = matrix[0].as_float().unwrap();
        assert!((first - 0.5767).abs() < 1e-3, "{first}");
        // Where the file says sRGB, or has a profile, the rest is for old readers.
        let both: [(&[u8; 4], &[f64]); 3] = [(b"sRGB", &[]), told[0], told[1]];
        assert_eq!(space(&png(&both), 3), None);
        // Grey has no primaries: only its gamma counts.
        assert_eq!(space(&png(&told), 1), None);
        let dark: [(&[u8; 4], &[f64]); 1] = [(b"gAMA", &[1.0])];
        assert!(space(&png(&dark), 1).is_some());
    }

    #[test]
    fn what_cannot_be_is_left_out() {
        for places in [[0.0; 8], [0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3]] {
            assert_eq!(space(&png(&[(b"cHRM", &places)]), 3), None);
        }
        let whole = png(&[(b"gAMA", &[1.0]), (b"cHRM", &SRGB)]);
        for end in 0..whole.len() {
            let _ = space(&whole[..end], 3);
        }
    }
}
