//! The output intent's colour profile: sRGB, built from its published numbers.

/// Primaries and white adapted to D50, as in the sRGB profiles in common use
/// (IEC 61966-2-1 primaries, Bradford adaptation; from memory).
const WHITE: [f64; 3] = [0.9642, 1.0, 0.8249];
const RED: [f64; 3] = [0.43607, 0.22249, 0.01392];
const GREEN: [f64; 3] = [0.38515, 0.71687, 0.09708];
const BLUE: [f64; 3] = [0.14307, 0.06061, 0.71410];
/// Points of the tone curve.
const CURVE: u32 = 1024;

/// An ICC version 2.1 display profile.
pub fn srgb() -> Vec<u8> {
    let tags: [(&[u8; 4], Vec<u8>); 9] = [
        (b"desc", description("sRGB")),
        (b"cprt", words("Free of copyright")),
        (b"wtpt", point(WHITE)),
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
    h.extend([2, 0x10, 0, 0]);
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

fn point(xyz: [f64; 3]) -> Vec<u8> {
    let mut body = b"XYZ \0\0\0\0".to_vec();
    body.extend(xyz.iter().flat_map(|v| fixed(*v)));
    body
}

fn words(text: &str) -> Vec<u8> {
    let mut body = b"text\0\0\0\0".to_vec();
    body.extend(text.as_bytes());
    body.push(0);
    body
}

fn description(text: &str) -> Vec<u8> {
    let mut body = b"desc\0\0\0\0".to_vec();
    body.extend((text.len() as u32 + 1).to_be_bytes());
    body.extend(text.as_bytes());
    // An end mark, then empty fields for two other scripts.
    body.resize(body.len() + 1 + 8 + 3 + 67, 0);
    body
}

fn curve() -> Vec<u8> {
    let mut body = b"curv\0\0\0\0".to_vec();
    body.extend(CURVE.to_be_bytes());
    for i in 0..CURVE {
        let c = f64::from(i) / f64::from(CURVE - 1);
        let light = if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) };
        body.extend(((light * 65535.0).round() as u16).to_be_bytes());
    }
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
        }
    }
}
