//! The file itself: small objects packed together, and a table that says where each lies.
//!
//! Object streams and the cross-reference stream are those of ISO 32000-1, 7.5.7 and 7.5.8
//! (PDF 1.5 and later; PDF/A-2 allows both). Loose, the thousands of small objects of a
//! structure tree take more room than the pages they describe.

use super::deflate::Packer;
use super::object::{dictionary, digits, integer, name, put, put_entries};
use lopdf::{Dictionary, Document, Object, ObjectId, Stream};
use std::io::Write;

/// Objects in one packed stream. More pack little better, and a reader must unpack a whole
/// stream to get at one object.
const TOGETHER: usize = 1000;
/// A cell of a table is as many bytes long, or a multiple of it.
const FIELD: usize = 50;

/// Where an object lies.
#[derive(Clone, Copy)]
enum Place {
    /// Nowhere: the number is not used.
    Free,
    /// At this byte of the file.
    Byte(usize),
    /// In a packed stream (its object number), so many objects from its start.
    Packed(u32, usize),
}

/// A file being written.
struct File<'p> {
    out: Vec<u8>,
    /// By object number.
    places: Vec<Place>,
    packer: &'p mut Packer,
}

/// Small objects, as they will stand in the file. Those that are alike stand together: then
/// each packs to little more than what tells it from the one before.
#[derive(Default)]
pub struct Small {
    others: Group,
    cells: Group,
    head_cells: Group,
}

/// Small objects one after another.
#[derive(Default)]
struct Group {
    bytes: Vec<u8>,
    /// Number and first byte.
    begun: Vec<(u32, usize)>,
}

impl Small {
    /// Begins an object: what is appended until the next begins belongs to it.
    pub fn begin(&mut self, id: ObjectId) -> &mut Vec<u8> {
        self.others.begin(id)
    }

    /// Begins a cell of a table. Cells begin at multiples of so many bytes, and where each
    /// begins packs to less, too.
    pub fn begin_cell(&mut self, id: ObjectId) -> &mut Vec<u8> {
        let begun = self.cells.begun.last().map_or(0, |(_, start)| *start);
        let length = self.cells.bytes.len() + 1 - begun;
        let end = begun + length.next_multiple_of(FIELD) - 1;
        if begun > 0 {
            self.cells.bytes.resize(end, b' ');
        }
        self.cells.begin(id)
    }

    /// Begins a head cell of a table.
    pub fn begin_head_cell(&mut self, id: ObjectId) -> &mut Vec<u8> {
        self.head_cells.begin(id)
    }
}

impl Group {
    fn begin(&mut self, id: ObjectId) -> &mut Vec<u8> {
        self.bytes.push(b'\n');
        self.begun.push((id.0, self.bytes.len()));
        &mut self.bytes
    }
}

/// A stream whose bytes go in as they are, without a copy before.
pub struct Whole<'p> {
    /// Its object.
    pub id: ObjectId,
    /// What is said of it.
    pub dictionary: Dictionary,
    /// Its bytes.
    pub bytes: &'p [u8],
}

/// Writes a finished document, its streams already packed, with these objects besides its
/// own.
pub fn write(pdf: &Document, mut small: Small, whole: &[Whole], packer: &mut Packer) -> Vec<u8> {
    let streams: usize = pdf.objects.values().map(|o| o.as_stream().map_or(0, length)).sum();
    let streams = streams + whole.iter().map(|w| w.bytes.len()).sum::<usize>();
    let mut file = File {
        out: Vec::with_capacity(streams + 128 * 1024),
        places: vec![Place::Free; pdf.max_id as usize + 1],
        packer,
    };
    let _ = write!(file.out, "%PDF-{}\n%", pdf.version);
    file.out.extend_from_slice(&pdf.binary_mark);
    file.out.push(b'\n');
    for (id, object) in &pdf.objects {
        match object {
            Object::Stream(stream) => file.stream(id.0, &stream.dict, &stream.content),
            object => put(small.begin(*id), object),
        }
    }
    for stream in whole {
        file.stream(stream.id.0, &stream.dictionary, stream.bytes);
    }
    for group in [small.others, small.cells, small.head_cells] {
        for (n, begun) in group.begun.chunks(TOGETHER).enumerate() {
            let next = group.begun.get((n + 1) * TOGETHER);
            let end = next.map_or(group.bytes.len(), |(_, start)| *start);
            file.packed(begun, &group.bytes, end);
        }
    }
    file.end(&pdf.trailer);
    file.out
}

fn length(stream: &Stream) -> usize {
    stream.content.len() + 200
}

impl File<'_> {
    fn stream(&mut self, id: u32, dict: &Dictionary, content: &[u8]) {
        self.lies(id, Place::Byte(self.out.len()));
        let _ = writeln!(self.out, "{id} 0 obj");
        let mut dict = dict.clone();
        dict.set("Length", integer(content.len()));
        put_entries(&mut self.out, &dict);
        self.out.extend_from_slice(b"\nstream\n");
        self.out.extend_from_slice(content);
        self.out.extend_from_slice(b"\nendstream\nendobj\n");
    }

    fn lies(&mut self, id: u32, place: Place) {
        if let Some(known) = self.places.get_mut(id as usize) {
            *known = place;
        }
    }

    /// A number that no object has yet.
    fn number(&mut self) -> u32 {
        self.places.push(Place::Free);
        u32::try_from(self.places.len() - 1).unwrap_or(u32::MAX)
    }

    /// A stream of objects: first where each begins, then the objects, up to `end`.
    fn packed(&mut self, begun: &[(u32, usize)], bytes: &[u8], end: usize) {
        let Some((_, first)) = begun.first() else { return };
        let container = self.number();
        let mut content = Vec::with_capacity(12 * begun.len() + end - first);
        for (turn, (id, start)) in begun.iter().enumerate() {
            digits(&mut content, u64::from(*id));
            content.push(b' ');
            digits(&mut content, (start - first) as u64);
            content.push(b' ');
            self.lies(*id, Place::Packed(container, turn));
        }
        let dict = dictionary([
            ("Type", name("ObjStm")),
            ("N", integer(begun.len())),
            ("First", integer(content.len())),
        ]);
        content.extend_from_slice(bytes.get(*first..end).unwrap_or_default());
        let mut stream = Stream::new(dict, content);
        self.packer.pack(&mut stream);
        self.stream(container, &stream.dict, &stream.content);
    }

    /// The cross-reference stream, which is the trailer too.
    fn end(&mut self, trailer: &Dictionary) {
        let own = self.number();
        loop {
            let start = self.out.len();
            self.lies(own, Place::Byte(start));
            let mut stream = Stream::new(trailer.clone(), self.table());
            stream.dict.set("Type", name("XRef"));
            stream.dict.set("Size", integer(self.places.len()));
            stream.dict.set("W", Object::Array(WIDTHS.map(integer).to_vec()));
            let parms = [("Columns", integer(ROW)), ("Predictor", integer(12))];
            stream.dict.set("DecodeParms", Object::Dictionary(dictionary(parms)));
            if self.packer.exact(&mut stream) {
                self.stream(own, &stream.dict, &stream.content);
                let _ = write!(self.out, "startxref\n{start}\n%%EOF\n");
                return;
            }
            // One line more before it: the table then says another place for itself.
            self.out.push(b'\n');
        }
    }

    /// A row for each number, written as what differs from the row above (the predictor
    /// "up" of PNG): rows that count on are then alike, and pack to nearly nothing.
    fn table(&self) -> Vec<u8> {
        let mut out = Vec::with_capacity((ROW + 1) * self.places.len());
        let mut above = [0u8; ROW];
        for (number, place) in self.places.iter().enumerate() {
            let (kind, first, second) = match *place {
                // The first number heads the list of free ones, and is never used.
                Place::Free => (0, 0, if number == 0 { 0xffff } else { 0 }),
                Place::Byte(at) => (1, at, 0),
                Place::Packed(container, turn) => (2, container as usize, turn),
            };
            let mut row = [0u8; ROW];
            row[0] = kind;
            row[1..5].copy_from_slice(&u32::try_from(first).unwrap_or(u32::MAX).to_be_bytes());
            row[5..].copy_from_slice(&u16::try_from(second).unwrap_or(u16::MAX).to_be_bytes());
            out.push(2);
            out.extend(row.iter().zip(above).map(|(here, above)| here.wrapping_sub(above)));
            above = row;
        }
        out
    }
}

/// Bytes of each column of the table: kind, place, and turn or generation.
const WIDTHS: [usize; 3] = [1, 4, 2];
const ROW: usize = 7;
