//! Packing streams.

use flate2::{Compress, Compression, FlushCompress, Status};
use lopdf::{Document, Object};

/// Six packs nearly as well as nine in a third of the time.
const LEVEL: u32 = 6;

/// Packs every stream that is not packed yet and may be.
pub fn pack(pdf: &mut Document) {
    // One packer for all streams: making its tables anew costs as much as a short stream.
    let mut packer = Compress::new(Compression::new(LEVEL), true);
    for object in pdf.objects.values_mut() {
        let Object::Stream(stream) = object else { continue };
        if !stream.allows_compression || stream.dict.has(b"Filter") || stream.content.len() < 64 {
            continue;
        }
        let Some((packed, length)) = packed(&mut packer, &mut stream.content) else { continue };
        if stream.dict.has(b"Length1") {
            stream.dict.set("Length1", Object::Integer(length));
        }
        stream.dict.set("Filter", Object::Name(b"FlateDecode".to_vec()));
        stream.set_content(packed);
    }
}

/// Packed bytes and the length they had before.
///
/// The last byte must not be a carriage return: with the line end before `endstream` it
/// would read as one line end, and the stream as a byte too short (PDF/A counts). The
/// last byte is the sum of the raw bytes, so a space more there changes it (a zero byte would
/// not, for ever). A trailing space means nothing in the streams written here: content and
/// character maps; fonts, pixels and profiles have lengths of their own inside.
fn packed(packer: &mut Compress, raw: &mut Vec<u8>) -> Option<(Vec<u8>, i64)> {
    loop {
        packer.reset();
        let mut packed = Vec::with_capacity(raw.len() / 2 + 64);
        loop {
            let rest = raw.get(packer.total_in() as usize..)?;
            match packer.compress_vec(rest, &mut packed, FlushCompress::Finish).ok()? {
                Status::StreamEnd => break,
                Status::Ok | Status::BufError => packed.reserve(packed.capacity()),
            }
        }
        if packed.last() != Some(&b'\r') {
            return Some((packed, i64::try_from(raw.len()).ok()?));
        }
        raw.push(b' ');
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_packed_stream_ends_in_a_carriage_return() {
        let mut packer = Compress::new(Compression::new(LEVEL), true);
        for n in 0..2000u32 {
            let mut raw = format!("{n} 0 m {} 7 l S", n * 31).into_bytes();
            let before = raw.len();
            let (bytes, length) = packed(&mut packer, &mut raw).unwrap();
            assert_ne!(bytes.last(), Some(&b'\r'));
            assert_eq!(length as usize, raw.len());
            assert!(raw.len() >= before);
        }
    }

    /// The sum begins at 1, so twelve ones and zeros after them make it 13, a carriage
    /// return; a font that ends in zero bytes can come out so.
    #[test]
    fn a_stream_that_ends_in_zeros_is_packed_too() {
        let mut packer = Compress::new(Compression::new(LEVEL), true);
        let mut raw = [vec![1u8; 12], vec![0u8; 88]].concat();
        let (bytes, length) = packed(&mut packer, &mut raw).unwrap();
        assert_ne!(bytes.last(), Some(&b'\r'));
        assert_eq!(length, 101, "one byte was added");
    }
}
