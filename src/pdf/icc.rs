//! The output intent's colour profile: sRGB, built from its published numbers.

/// Primaries and white adapted to D50, as in the sRGB profiles in common use
/// (IEC 61966-2-1 primaries, Bradford adaptation; from memory).
const WHITE: [f64; 3] = [0.9642, 1.0, 0.8249];
const RED: [f64; 3] = [0.43607, 0.22249, 0.01392];
const GREEN: [f64; 3] = [0.38515, 0.71687, 0.09708];
const BLUE: [f64; 3] = [0.14307, 0.06061, 0.71410];
/// From the light of day (D65) to D50, by Bradford's matrix: as in the same profiles (from
/// memory). The three rows each sum D65 to one channel of [`WHITE`].
const ADAPTED: [f64; 9] =
    [1.04788, 0.02292, -0.05022, 0.02958, 0.99048, -0.01707, -0.00925, 0.01508, 0.75168];
/// Gamma, a, b, c and d of the tone curve: (a x + b)^gamma from d on, c x below it
/// (IEC 61966-2-1, 5.2; the form is ICC.1:2010, 10.16, function type 3, from memory).
const CURVE: [f64; 5] = [2.4, 1.0 / 1.055, 0.055 / 1.055, 1.0 / 12.92, 0.04045];

/// An ICC version 4.2 display profile: that version can say the curve as a formula.
pub fn srgb() -> Vec<u8> {
    let tags: [(&[u8; 4], Vec<u8>); 10] = [
        (b"desc", words("sRGB")),
        (b"cprt", words("Free of copyright")),
        (b"wtpt", point(WHITE)),
        (b"chad", fixed_array(b"sf32", &ADAPTED)),
        (b"rXYZ", point(RED)),
        (b"gXYZ", point(GREEN)),
        (b"bXYZ", point(BLUE)),
        (b"rTRC", curve()),
        // The three channels share one curve.
        (b"gTRC", Vec::new()),
        (b"bTRC", Vec::new()),
    ];
    let start = 128 + 4 + 12 * tags.len();
    let mut table = (tags.len() as u32).to_be_bytes().to_vec();
    let mut data: Vec<u8> = Vec::new();
    let mut last = (0, 0);
    for (signature, body) in &tags {
        if !body.is_empty() {
            data.resize(data.len().next_multiple_of(4), 0);
            last = ((start + data.len()) as u32, body.len() as u32);
            data.extend(body);
        }
        table.extend(*signature);
        table.extend(last.0.to_be_bytes());
        table.extend(last.1.to_be_bytes());
    }
    data.resize(data.len().next_multiple_of(4), 0);
    let mut profile = header((start + data.len()) as u32);
    profile.extend(table);
    profile.extend(data);
    profile
}

fn header(size: u32) -> Vec<u8> {
    let mut h = size.to_be_bytes().to_vec();
    h.extend([0; 4]);
    h.extend([4, 0x20, 0, 0]);
    h.extend(b"mntrRGB XYZ ");
    // A fixed date, so that bytes repeat: 1 January 2000.
    h.extend([2000u16, 1, 1, 0, 0, 0].iter().flat_map(|v| v.to_be_bytes()));
    h.extend(b"acsp");
    h.extend([0; 28]);
    h.extend(WHITE.iter().flat_map(|v| fixed(*v)));
    h.resize(128, 0);
    h
}

fn fixed(value: f64) -> [u8; 4] {
    ((value * 65536.0).round() as i32).to_be_bytes()
}

fn fixed_array(kind: &[u8; 4], values: &[f64]) -> Vec<u8> {
    let mut body = kind.to_vec();
    body.extend([0; 4]);
    body.extend(values.iter().flat_map(|v| fixed(*v)));
    body
}

fn point(xyz: [f64; 3]) -> Vec<u8> {
    fixed_array(b"XYZ ", &xyz)
}

/// Words in one language: a table of one entry, and the words in UTF-16.
fn words(text: &str) -> Vec<u8> {
    let mut body = b"mluc\0\0\0\0".to_vec();
    let table = [1, 12, u32::from_be_bytes(*b"enUS"), 2 * text.len() as u32, 28];
    body.extend(table.iter().flat_map(|v| v.to_be_bytes()));
    body.extend(text.encode_utf16().flat_map(u16::to_be_bytes));
    body
}

fn curve() -> Vec<u8> {
    let mut body = b"para\0\0\0\0".to_vec();
    body.extend([0, 3, 0, 0]);
    body.extend(CURVE.iter().flat_map(|v| fixed(*v)));
    body
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_header_says_the_true_size_and_the_primaries_sum_to_white() {
        let profile = srgb();
        assert_eq!(u32::from_be_bytes(profile[0..4].try_into().unwrap()) as usize, profile.len());
        assert_eq!(&profile[36..40], b"acsp");
        for i in 0..3 {
            // Red, green and blue at full make white: true of any matrix profile.
            assert!((RED[i] + GREEN[i] + BLUE[i] - WHITE[i]).abs() < 5e-4);
            // D65 by its published chromaticity, x 0.3127 and y 0.3290 (IEC 61966-2-1).
            let day = [0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290];
            let adapted: f64 = (0..3).map(|j| ADAPTED[3 * i + j] * day[j]).sum();
            assert!((adapted - WHITE[i]).abs() < 1e-3, "{i}: {adapted}");
        }
        // The two parts of the curve meet.
        let [gamma, a, b, c, d] = CURVE;
        assert!(((a * d + b).powf(gamma) - c * d).abs() < 1e-6);
    }
}
