//! Packing streams.

use super::content::Drawn;
use super::object::{integer, name};
use libdeflater::{CompressionLvl, Compressor};
use lopdf::{Dictionary, Document, Object, Stream};

/// How hard is packed, of 12, what waits for the packing: as small as zlib packs it at its
/// closest, in half the time. From ten on packing takes ten times as long.
const QUICK: i32 = 6;
/// How hard pages are packed, which nothing waits for.
const CLOSE: i32 = 8;

/// One packer for all streams: making its tables anew costs as much as a short stream.
pub struct Packer(Compressor);

impl Packer {
    /// A packer with its tables made.
    pub fn new() -> Packer {
        Packer::of_level(QUICK)
    }

    fn of_level(level: i32) -> Packer {
        Packer(Compressor::new(CompressionLvl::new(level).unwrap_or_default()))
    }

    /// Packs every stream that is not packed yet and may be.
    pub fn all(&mut self, pdf: &mut Document) {
        for object in pdf.objects.values_mut() {
            let Object::Stream(stream) = object else { continue };
            if stream.allows_compression
                && !stream.dict.has(b"Filter")
                && stream.content.len() >= 64
            {
                self.pack(stream);
            }
        }
    }

    /// Packs a stream in which a trailing space means nothing: content, character maps and
    /// packed objects; fonts, pixels and profiles have lengths of their own inside.
    ///
    /// The last byte must not be a carriage return: with the line end before `endstream` it
    /// would read as one line end, and the stream as a byte too short (PDF/A counts). The
    /// last byte is the sum of the raw bytes, so a space more there changes it (a zero byte
    /// would not, for ever).
    pub fn pack(&mut self, stream: &mut Stream) {
        while !self.exact(stream) {
            stream.content.push(b' ');
        }
    }

    /// Packs a stream, unless the last byte would be a carriage return: then it stays as it
    /// was, and the answer is no.
    pub fn exact(&mut self, stream: &mut Stream) -> bool {
        let Some(packed) = self.packed(&stream.content) else { return true };
        if packed.last() == Some(&b'\r') {
            return false;
        }
        if stream.dict.has(b"Length1") {
            stream.dict.set("Length1", integer(stream.content.len()));
        }
        stream.dict.set("Filter", name("FlateDecode"));
        stream.set_content(packed);
        true
    }

    /// Nothing only if the packer fails, which it does not with room to write to.
    fn packed(&mut self, raw: &[u8]) -> Option<Vec<u8>> {
        let mut packed = vec![0; self.0.zlib_compress_bound(raw.len())];
        let length = self.0.zlib_compress(raw, &mut packed).ok()?;
        packed.truncate(length);
        Some(packed)
    }
}

/// What pages draw, as packed streams.
pub fn contents(drawn: &[Drawn]) -> Vec<Stream> {
    let mut packer = Packer::of_level(CLOSE);
    let each = |drawn: &Drawn| {
        let mut stream = Stream::new(Dictionary::new(), drawn.stream.clone());
        packer.pack(&mut stream);
        stream
    };
    drawn.iter().map(each).collect()
}

#[cfg(test)]
mod tests {
    use super::super::object::dictionary;
    use super::*;

    #[test]
    fn no_packed_stream_ends_in_a_carriage_return() {
        let mut packer = Packer::new();
        for n in 0..2000u32 {
            let raw = format!("{n} 0 m {} 7 l S", n * 31).into_bytes();
            let mut stream = Stream::new(Dictionary::new(), raw.clone());
            packer.pack(&mut stream);
            assert_ne!(stream.content.last(), Some(&b'\r'));
            let read = stream.decompressed_content().unwrap();
            assert_eq!(read.trim_ascii_end(), raw);
        }
    }

    /// The sum begins at 1, so twelve ones and zeros after them make it 13, a carriage
    /// return; a font that ends in zero bytes can come out so.
    #[test]
    fn a_stream_that_ends_in_zeros_is_packed_too() {
        let raw = [vec![1u8; 12], vec![0u8; 88]].concat();
        let mut stream = Stream::new(dictionary([("Length1", integer(100))]), raw);
        let mut packer = Packer::new();
        assert!(!packer.exact(&mut stream), "as it is, it would end so");
        packer.pack(&mut stream);
        assert_ne!(stream.content.last(), Some(&b'\r'));
        assert_eq!(stream.dict.get(b"Length1").ok(), Some(&integer(101)), "one byte was added");
    }
}
