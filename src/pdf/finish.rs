//! What catalogues and readers need: titles, dates, outline, preferences, identity.

use super::content::Drawn;
use super::object::{ascii, dictionary, integer, name, real, reference, text};
use super::tags::{Structure, destination};
use super::{icc, xmp};
use crate::booklet::document::{Date, Document};
use crate::typeset::Pages;
use crate::typeset::page::OutlineEntry;
use lopdf::{Dictionary, Object, ObjectId, Stream, StringFormat};

/// What the information dictionary and the metadata packet both say.
#[derive(Debug)]
pub struct Facts {
    /// Title.
    pub title: String,
    /// Author.
    pub author: String,
    /// What the document is.
    pub subject: String,
    /// Search words, in one line.
    pub keywords: String,
    /// Language tag.
    pub language: String,
    /// What wrote the file.
    pub producer: String,
    /// `2026-01-31T00:00:00Z`.
    pub iso_date: String,
    /// `D:20260131000000Z`.
    pub pdf_date: String,
}

impl Facts {
    fn of(document: &Document) -> Facts {
        let meta = &document.meta;
        let Date { year, month, day } = meta.date;
        let (year, month, day) = (year.clamp(1, 9999), month.clamp(1, 12), day.clamp(1, 31));
        let or = |words: &str, else_: &str| {
            if words.trim().is_empty() { else_.to_string() } else { words.trim().to_string() }
        };
        Facts {
            title: or(&meta.title, "Untitled"),
            author: meta.author.trim().to_string(),
            subject: meta.subject.trim().to_string(),
            keywords: meta.keywords.join(", "),
            language: or(&meta.language, "en"),
            producer: concat!("brimwright ", env!("CARGO_PKG_VERSION")).to_string(),
            iso_date: format!("{year:04}-{month:02}-{day:02}T00:00:00Z"),
            pdf_date: format!("D:{year:04}{month:02}{day:02}000000Z"),
        }
    }
}

/// Finishes the document.
pub fn write(
    pdf: &mut lopdf::Document,
    pages: &Pages,
    document: &Document,
    drawn: &[Drawn],
    page_ids: &[ObjectId],
    structure: Structure,
) {
    let facts = Facts::of(document);
    pdf.version = "1.7".to_string();
    // Four bytes over 127 tell transfer programs that the file is binary.
    pdf.binary_mark = vec![0xe2, 0xe3, 0xcf, 0xd3];
    identity(pdf, &facts, drawn, document);
    page_dictionaries(pdf, pages, page_ids, &structure);
    information(pdf, &facts);
    let outline = outline(pdf, pages, page_ids);
    let metadata = Stream::new(
        dictionary([("Type", name("Metadata")), ("Subtype", name("XML"))]),
        xmp::packet(&facts),
    );
    let metadata = pdf.add_object(metadata.with_compression(false));
    let intent = intent(pdf);
    let preferences = dictionary([
        ("DisplayDocTitle", Object::Boolean(true)),
        ("PrintScaling", name("None")),
        ("PickTrayByPDFSize", Object::Boolean(true)),
    ]);
    let Ok(catalog) = pdf.catalog_mut() else { return };
    catalog.set("Lang", ascii(&facts.language));
    catalog.set("MarkInfo", Object::Dictionary(dictionary([("Marked", Object::Boolean(true))])));
    catalog.set("StructTreeRoot", reference(structure.root));
    catalog.set("Metadata", reference(metadata));
    catalog.set("OutputIntents", Object::Array(vec![reference(intent)]));
    catalog.set("ViewerPreferences", Object::Dictionary(preferences));
    catalog.set("PageLayout", name("SinglePage"));
    match outline {
        Some(outline) => {
            catalog.set("Outlines", reference(outline));
            catalog.set("PageMode", name("UseOutlines"));
        }
        None => catalog.set("PageMode", name("UseNone")),
    }
}

fn page_dictionaries(
    pdf: &mut lopdf::Document,
    pages: &Pages,
    page_ids: &[ObjectId],
    structure: &Structure,
) {
    let sides = [0.0, 0.0, pages.width, pages.height].map(real);
    for (i, id) in page_ids.iter().enumerate() {
        let mut empty = None;
        if let Some(Object::Dictionary(page)) = pdf.objects.get_mut(id) {
            for side in ["MediaBox", "CropBox", "TrimBox"] {
                page.set(side, Object::Array(sides.to_vec()));
            }
            page.set("StructParents", integer(i));
            let annotations = structure.annotations.get(i).map_or(&[][..], Vec::as_slice);
            if annotations.is_empty() {
                page.remove(b"Annots");
            } else {
                let list = annotations.iter().map(|a| reference(*a)).collect();
                page.set("Annots", Object::Array(list));
            }
            empty = page.get(b"Contents").and_then(Object::as_reference).ok();
        }
        if let Some(empty) = empty {
            pdf.objects.remove(&empty);
        }
    }
}

/// Gives each page what it draws.
pub fn contents(pdf: &mut lopdf::Document, page_ids: &[ObjectId], streams: Vec<Stream>) {
    for (id, stream) in page_ids.iter().zip(streams) {
        let page = pdf.get_dictionary(*id);
        if let Ok(to) = page.and_then(|p| p.get(b"Contents")).and_then(Object::as_reference) {
            pdf.objects.insert(to, stream.into());
        }
    }
}

fn information(pdf: &mut lopdf::Document, facts: &Facts) {
    let mut info = dictionary([
        ("Title", text(&facts.title)),
        ("Creator", text(&facts.producer)),
        ("Producer", text(&facts.producer)),
        ("CreationDate", ascii(&facts.pdf_date)),
        ("ModDate", ascii(&facts.pdf_date)),
    ]);
    let more =
        [("Author", &facts.author), ("Subject", &facts.subject), ("Keywords", &facts.keywords)];
    for (key, words) in more {
        if !words.is_empty() {
            info.set(key, text(words));
        }
    }
    let id = pdf.trailer.get(b"Info").and_then(Object::as_reference);
    let id = id.unwrap_or_else(|_| pdf.new_object_id());
    pdf.objects.insert(id, Object::Dictionary(info));
    pdf.trailer.set("Info", reference(id));
}

fn intent(pdf: &mut lopdf::Document) -> ObjectId {
    let profile = dictionary([("N", Object::Integer(3)), ("Alternate", name("DeviceRGB"))]);
    let profile = pdf.add_object(Stream::new(profile, icc::srgb()));
    pdf.add_object(dictionary([
        ("Type", name("OutputIntent")),
        ("S", name("GTS_PDFA1")),
        ("OutputConditionIdentifier", ascii("sRGB")),
        ("Info", ascii("sRGB IEC61966-2.1")),
        ("RegistryName", ascii("http://www.color.org")),
        ("DestOutputProfile", reference(profile)),
    ]))
}

/// The outline, nested by level; nothing if no heading is listed.
fn outline(pdf: &mut lopdf::Document, pages: &Pages, page_ids: &[ObjectId]) -> Option<ObjectId> {
    let entries = &pages.outline;
    if entries.is_empty() {
        return None;
    }
    let root = pdf.new_object_id();
    let ids: Vec<ObjectId> = entries.iter().map(|_| pdf.new_object_id()).collect();
    let parents = nesting(entries);
    let family = |parent: Option<usize>| -> Vec<usize> {
        (0..entries.len()).filter(|i| parents.get(*i) == Some(&parent)).collect()
    };
    for (i, entry) in entries.iter().enumerate() {
        let parent = parents.get(i).copied().flatten();
        let siblings = family(parent);
        let at = siblings.iter().position(|s| *s == i).unwrap_or(0);
        let mut dict = dictionary([
            ("Title", text(&entry.title)),
            ("Parent", reference(parent.and_then(|p| ids.get(p).copied()).unwrap_or(root))),
        ]);
        if let Some(page) = page_ids.get(entry.page) {
            dict.set("Dest", destination(*page, pages.height - entry.y + 6.0));
        }
        let link = |dict: &mut Dictionary, key: &str, to: Option<&usize>| {
            if let Some(id) = to.and_then(|i| ids.get(*i)) {
                dict.set(key, reference(*id));
            }
        };
        link(&mut dict, "Prev", at.checked_sub(1).and_then(|p| siblings.get(p)));
        link(&mut dict, "Next", siblings.get(at + 1));
        let kids = family(Some(i));
        if !kids.is_empty() {
            link(&mut dict, "First", kids.first());
            link(&mut dict, "Last", kids.last());
            // Chapters open, sections closed would hide little: all stand open.
            dict.set("Count", integer(below(&parents, i)));
        }
        if let Some(id) = ids.get(i) {
            pdf.objects.insert(*id, Object::Dictionary(dict));
        }
    }
    let top = family(None);
    let mut dict = dictionary([("Type", name("Outlines")), ("Count", integer(entries.len()))]);
    if let (Some(first), Some(last)) =
        (top.first().and_then(|i| ids.get(*i)), top.last().and_then(|i| ids.get(*i)))
    {
        dict.set("First", reference(*first));
        dict.set("Last", reference(*last));
    }
    pdf.objects.insert(root, Object::Dictionary(dict));
    Some(root)
}

/// Each entry's parent: the nearest one before it of a lesser level.
fn nesting(entries: &[OutlineEntry]) -> Vec<Option<usize>> {
    let mut open: Vec<usize> = Vec::new();
    let mut parents = Vec::with_capacity(entries.len());
    for (i, entry) in entries.iter().enumerate() {
        while open.last().is_some_and(|o| entries.get(*o).is_some_and(|o| o.level >= entry.level)) {
            open.pop();
        }
        parents.push(open.last().copied());
        open.push(i);
    }
    parents
}

/// How many entries stand under one, at any depth.
fn below(parents: &[Option<usize>], of: usize) -> usize {
    let mut inside = vec![false; parents.len()];
    for (i, parent) in parents.iter().enumerate().skip(of + 1) {
        inside[i] = parent.is_some_and(|p| p == of || inside.get(p) == Some(&true));
    }
    inside.iter().filter(|i| **i).count()
}

/// The file's identity: a hash of everything it shows.
fn identity(pdf: &mut lopdf::Document, facts: &Facts, drawn: &[Drawn], document: &Document) {
    let mut hash = Hash::default();
    for words in [&facts.title, &facts.author, &facts.subject, &facts.keywords, &facts.language] {
        hash.add(words.as_bytes());
    }
    hash.add(facts.pdf_date.as_bytes());
    hash.add(facts.producer.as_bytes());
    drawn.iter().for_each(|d| hash.add(&d.stream));
    document.pictures.iter().for_each(|p| hash.add(&p.bytes));
    let id = Object::String(hash.bytes().to_vec(), StringFormat::Hexadecimal);
    pdf.trailer.set("ID", Object::Array(vec![id.clone(), id]));
}

/// Two running sums over checksums: enough to tell editions apart, not to seal them.
struct Hash(u64, u64);

impl Default for Hash {
    fn default() -> Self {
        // The start of FNV-1a, and the same turned about.
        Hash(0xcbf2_9ce4_8422_2325, 0x2325_8422_9ce4_cbf2)
    }
}

impl Hash {
    fn add(&mut self, bytes: &[u8]) {
        let mut crc = libdeflater::Crc::new();
        crc.update(bytes);
        for byte in crc.sum().to_be_bytes().into_iter().chain((bytes.len() as u64).to_be_bytes()) {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
            self.1 = (self.1 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3).rotate_left(7);
        }
    }

    fn bytes(&self) -> [u8; 16] {
        let mut out = [0; 16];
        out[..8].copy_from_slice(&self.0.to_be_bytes());
        out[8..].copy_from_slice(&self.1.to_be_bytes());
        out
    }
}
