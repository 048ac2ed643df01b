//! The printed file, read back by programs that share no code with the writer: `lopdf` for
//! its objects, `hayro` for its pixels, poppler (where it is installed) for its words.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod page_sample;

use brimwright::booklet::document::*;
use brimwright::pdf;
use brimwright::typeset::{Paper, Theme, lay_out};
use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::vello_cpu::Pixmap;
use hayro::{RenderSettings, render_pdf};
use image::{DynamicImage, metadata::Orientation};
use lopdf::content::Content;
use lopdf::{Dictionary, Object, ObjectId};
use page_sample::{body, figure, heading, meta, sample, stress, template};
use std::collections::{BTreeMap, BTreeSet};

const DPI: f32 = 300.0;

fn print(document: &Document, theme: &Theme, paper: Paper) -> Vec<u8> {
    let pages = lay_out(document, theme, paper).unwrap_or_else(|f| panic!("{:?}", f.first()));
    pdf::write(&pages, document).unwrap_or_else(|f| panic!("{:?}", f.first()))
}

fn printed(document: &Document) -> Vec<u8> {
    print(document, &Theme::default(), Paper::A4)
}

fn one(blocks: Vec<Block>, pictures: Vec<Picture>) -> Document {
    Document { meta: meta("Test"), blocks, pictures }
}

fn documents() -> Vec<Document> {
    let mut all = vec![sample(), stress::all_sizes(), stress::templates()];
    all.extend((100..112).map(|seed| stress::document(seed, 14)));
    all
}

#[test]
fn a_second_run_gives_the_same_bytes() {
    for document in documents() {
        assert_eq!(printed(&document), printed(&document));
    }
}

#[test]
fn another_edition_has_another_identity() {
    let id = |document: &Document| {
        let pdf = lopdf::Document::load_mem(&printed(document)).unwrap();
        pdf.trailer.get(b"ID").unwrap().clone()
    };
    let first = sample();
    let mut second = sample();
    second.meta.date.day += 1;
    assert_eq!(id(&first), id(&sample()));
    assert_ne!(id(&first), id(&second));
}

#[test]
fn only_streams_lie_loose_in_the_file() {
    for document in documents() {
        let bytes = printed(&document);
        assert!(bytes.starts_with(b"%PDF-1.7\n%"));
        assert!(bytes.ends_with(b"\n%%EOF\n"));
        let count = |what: &[u8]| bytes.windows(what.len()).filter(|w| *w == what).count();
        // Loose objects each begin a line; inside of packed bytes that is as good as never.
        assert_eq!(count(b" 0 obj\n<<"), count(b"\nendstream\nendobj\n"));
        assert_eq!(count(b"/Type/XRef"), 1);
        let reader = lopdf::Document::load_mem(&bytes).unwrap();
        let packed = reader.reference_table.entries.values();
        let packed = packed.filter(|e| matches!(e, lopdf::xref::XrefEntry::Compressed { .. }));
        assert!(packed.count() > 20);
        let size = reader.trailer.get(b"Size").unwrap().as_i64().unwrap();
        assert!(reader.reference_table.entries.keys().all(|id| i64::from(*id) < size));
    }
}

struct Reader(lopdf::Document);

impl Reader {
    fn dict(&self, object: &Object) -> Dictionary {
        let (_, object) = self.0.dereference(object).unwrap();
        object.as_dict().unwrap().clone()
    }

    fn get(&self, dict: &Dictionary, key: &str) -> Object {
        self.0.dereference(dict.get(key.as_bytes()).unwrap()).unwrap().1.clone()
    }
}

/// Marks listed under each element, by page and number; links by their annotation.
#[derive(Default)]
struct Tree {
    marks: BTreeMap<(ObjectId, i64), ObjectId>,
    links: BTreeMap<ObjectId, ObjectId>,
    tags: Vec<String>,
}

impl Tree {
    fn walk(&mut self, reader: &Reader, id: ObjectId) {
        let element = reader.dict(&Object::Reference(id));
        self.tags
            .push(String::from_utf8_lossy(element.get(b"S").unwrap().as_name().unwrap()).into());
        let home = element.get(b"Pg").ok().and_then(|p| p.as_reference().ok());
        let kids = match element.get(b"K") {
            Ok(Object::Array(kids)) => kids.clone(),
            Ok(kid) => vec![kid.clone()],
            Err(_) => Vec::new(),
        };
        for kid in kids {
            match kid {
                Object::Integer(number) => self.mark((home.unwrap(), number), id),
                Object::Reference(below) => {
                    let parent = reader.dict(&kid).get(b"P").unwrap().as_reference().unwrap();
                    assert_eq!(parent, id);
                    self.walk(reader, below);
                }
                Object::Dictionary(dict) if dict.has(b"MCID") => {
                    let page = dict.get(b"Pg").unwrap().as_reference().unwrap();
                    self.mark((page, dict.get(b"MCID").unwrap().as_i64().unwrap()), id);
                }
                Object::Dictionary(dict) => {
                    let object = dict.get(b"Obj").unwrap().as_reference().unwrap();
                    assert!(self.links.insert(object, id).is_none());
                }
                other => panic!("{other:?} under an element"),
            }
        }
    }

    fn mark(&mut self, key: (ObjectId, i64), element: ObjectId) {
        assert!(self.marks.insert(key, element).is_none(), "{key:?} is listed twice");
    }
}

#[test]
fn every_mark_is_tagged_or_an_artifact_and_the_index_leads_back() {
    for document in documents() {
        let reader = Reader(lopdf::Document::load_mem(&printed(&document)).unwrap());
        let catalog = reader.0.catalog().unwrap().clone();
        let root = reader.dict(catalog.get(b"StructTreeRoot").unwrap());
        let mut tree = Tree::default();
        tree.walk(&reader, root.get(b"K").unwrap().as_reference().unwrap());
        assert_eq!(tree.tags[0], "Document");
        let index = reader.dict(root.get(b"ParentTree").unwrap());
        let numbers = index.get(b"Nums").unwrap().as_array().unwrap().clone();
        let index: BTreeMap<i64, Object> =
            numbers.chunks(2).map(|p| (p[0].as_i64().unwrap(), p[1].clone())).collect();

        let mut seen = BTreeSet::new();
        for (_, page) in reader.0.get_pages() {
            let dict = reader.dict(&Object::Reference(page));
            let key = dict.get(b"StructParents").unwrap().as_i64().unwrap();
            let list = reader.0.dereference(&index[&key]).unwrap().1.as_array().unwrap().clone();
            for number in marked(&reader.0, page) {
                let element = tree.marks[&(page, number)];
                assert_eq!(list[number as usize].as_reference().unwrap(), element);
                seen.insert((page, number));
            }
            for link in dict.get(b"Annots").map_or(Vec::new(), |a| a.as_array().unwrap().clone()) {
                let id = link.as_reference().unwrap();
                let annotation = reader.dict(&link);
                let key = annotation.get(b"StructParent").unwrap().as_i64().unwrap();
                assert_eq!(index[&key].as_reference().unwrap(), tree.links[&id]);
                assert!(!annotation.get(b"Contents").unwrap().as_str().unwrap().is_empty());
            }
        }
        assert_eq!(seen.len(), tree.marks.len(), "the tree lists marks that no page has");
    }
}

/// The marked-content numbers of a page; fails if anything is painted outside of marks.
fn marked(pdf: &lopdf::Document, page: ObjectId) -> Vec<i64> {
    let content = Content::decode(&pdf.get_page_content(page)).unwrap();
    let mut open: Option<bool> = None;
    let mut numbers = Vec::new();
    for op in content.operations {
        match op.operator.as_str() {
            "BDC" | "BMC" => {
                assert!(open.is_none(), "marks do not nest here");
                let artifact = op.operands[0].as_name().unwrap() == b"Artifact";
                if !artifact {
                    let dict = op.operands[1].as_dict().unwrap();
                    numbers.push(dict.get(b"MCID").unwrap().as_i64().unwrap());
                }
                open = Some(artifact);
            }
            "EMC" => open = None,
            "TJ" | "Tj" | "S" | "f" | "B" | "Do" => {
                assert!(open.is_some(), "{} is outside", op.operator)
            }
            _ => {}
        }
    }
    numbers
}

#[test]
fn readers_are_told_what_they_need() {
    let reader = Reader(lopdf::Document::load_mem(&printed(&sample())).unwrap());
    let catalog = reader.0.catalog().unwrap().clone();
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en-US");
    assert_eq!(catalog.get(b"PageMode").unwrap().as_name().unwrap(), b"UseOutlines");
    let preferences = reader.dict(catalog.get(b"ViewerPreferences").unwrap());
    assert!(preferences.get(b"DisplayDocTitle").unwrap().as_bool().unwrap());
    assert!(preferences.get(b"PickTrayByPDFSize").unwrap().as_bool().unwrap());
    assert_eq!(preferences.get(b"PrintScaling").unwrap().as_name().unwrap(), b"None");
    let metadata = reader.get(&catalog, "Metadata");
    let xmp = String::from_utf8(metadata.as_stream().unwrap().content.clone()).unwrap();
    for part in [
        "<pdfaid:part>2</pdfaid:part>",
        "<pdfaid:conformance>A</pdfaid:conformance>",
        "<pdfuaid:part>1</pdfuaid:part>",
        "Harbour Lantern Hat",
        "2026-11-25T00:00:00Z",
    ] {
        assert!(xmp.contains(part), "{part}");
    }
    // The outline nests: chapters hold their sections.
    let outlines = reader.dict(catalog.get(b"Outlines").unwrap());
    let first = reader.dict(outlines.get(b"First").unwrap());
    assert_eq!(first.get(b"Title").unwrap().as_str().unwrap(), b"Before you begin");
    let inner = reader.dict(first.get(b"First").unwrap());
    assert_eq!(inner.get(b"Title").unwrap().as_str().unwrap(), b"Materials");
    assert_eq!(first.get(b"Count").unwrap().as_i64().unwrap(), 4);
    // Abbreviations say what they stand for, figures what they show.
    let strings = |key: &[u8]| -> Vec<String> {
        let all = reader
            .0
            .objects
            .values()
            .filter_map(|o| o.as_dict().ok()?.get(key).ok()?.as_str().ok());
        all.map(|s| String::from_utf8_lossy(s).into()).collect()
    };
    assert!(strings(b"E").contains(&"single crochet".to_string()));
    assert!(strings(b"Alt").iter().any(|a| a.starts_with("The hat in rust red")));
}

#[test]
fn pages_have_the_size_of_their_paper() {
    // ISO 216 and ANSI/ASME Y14.1 sizes, in points.
    for (paper, width, height) in [(Paper::A4, 595.276, 841.89), (Paper::Letter, 612.0, 792.0)] {
        let pdf = lopdf::Document::load_mem(&print(&sample(), &Theme::default(), paper)).unwrap();
        for (_, page) in pdf.get_pages() {
            let dict = pdf.get_dictionary(page).unwrap();
            let sides = dict.get(b"MediaBox").unwrap().as_array().unwrap();
            assert!((sides[2].as_float().unwrap() - width).abs() < 0.002);
            assert!((sides[3].as_float().unwrap() - height).abs() < 0.002);
        }
    }
}

#[test]
fn words_are_read_in_order() {
    let bytes = printed(&sample());
    let pdf = lopdf::Document::load_mem(&bytes).unwrap();
    let numbers: Vec<u32> = pdf.get_pages().keys().copied().collect();
    in_order(&pdf.extract_text(&numbers).unwrap(), "lopdf");

    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sample.pdf");
    std::fs::write(&path, &bytes).unwrap();
    match std::process::Command::new("pdftotext").arg("-raw").arg(&path).arg("-").output() {
        Ok(out) if out.status.success() => {
            in_order(&String::from_utf8_lossy(&out.stdout), "poppler")
        }
        Ok(out) => panic!("pdftotext: {}", String::from_utf8_lossy(&out.stderr)),
        Err(_) => eprintln!("SKIPPED: pdftotext is not installed; words were read by lopdf only"),
    }
}

fn in_order(text: &str, by: &str) {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let told = [
        "Harbour Lantern Hat",
        "by Ines Velden",
        "A close-fitting hat",
        "Before you begin",
        "Worsted weight wool, 100 g = 200 m: 62 (70, 78, 86, 92, 99) g",
        "Head around, cm 46\u{2013}48 49\u{2013}51",
        "14 stitches and 16 rounds",
        "For small children",
        "Abbreviations",
        "The hat",
        "Crown",
        "Rnd 1",
        "Make a magic ring. Work 6 sc into the ring. Pull the tail to close it. (6 sts)",
        "Rnd 2",
        "(72, 76, 80, 84, 88, 92 sts)",
        "Brim",
        "Making up",
        "The pompom",
        "Your notes",
    ];
    let mut from = 0;
    for part in told {
        match text[from..].find(part) {
            Some(at) => from += at + part.len(),
            None => {
                panic!("{by}: {part:?} is not after {:?}", &text[from.saturating_sub(80)..from])
            }
        }
    }
}

/// A face in few characters has codes of one byte, one in more than they tell apart of two;
/// a reader that is not ours draws the same words by either.
#[test]
fn words_look_the_same_however_long_their_codes_are() {
    let words = "Chain 3, then (2 double crochet) \\ in each \u{bd} stitch round.";
    let few = one(vec![body(words)], Vec::new());
    let letters = ('\u{c0}'..='\u{17e}').chain('\u{391}'..='\u{3a1}').chain('\u{410}'..='\u{44f}');
    let many: String = letters.collect();
    assert!(many.chars().count() > 255, "{}", many.chars().count());
    let many = one(vec![body(words), body(&many)], Vec::new());
    let mut drawn = Vec::new();
    for (document, kind) in [(&few, b"TrueType".as_slice()), (&many, b"Type0")] {
        let bytes = printed(document);
        let reader = Reader(lopdf::Document::load_mem(&bytes).unwrap());
        let page = *reader.0.get_pages().values().next().unwrap();
        let page = reader.dict(&Object::Reference(page));
        let fonts = reader.dict(reader.dict(page.get(b"Resources").unwrap()).get(b"Font").unwrap());
        let font = reader.dict(fonts.get(b"Face0").unwrap());
        assert_eq!(font.get(b"Subtype").unwrap().as_name().unwrap(), kind);
        let page = render(&bytes, 0, 150.0);
        let row = |y: u32| (0..u32::from(page.width())).map(move |x| (x, y));
        let row = |y: u32| row(y).map(|(x, y)| pixel(&page, x, y)).collect::<Vec<_>>();
        // The first line of text, without what stands below it: as high as its letters.
        let top = (0..).find(|y| row(*y).iter().any(|p| p[0] < 100)).unwrap();
        let line: Vec<[u8; 3]> = (top..top + 20).flat_map(row).collect();
        assert!(line.iter().filter(|p| p[0] < 100).count() > 500, "the words are there");
        drawn.push(line);
    }
    assert!(drawn[0] == drawn[1]);
}

fn render(bytes: &[u8], page: usize, dpi: f32) -> Pixmap {
    let pdf = Pdf::new(bytes.to_vec()).unwrap();
    let settings = InterpreterSettings::default();
    let range = Some(page..=page);
    let mut all =
        render_pdf(&pdf, dpi / 72.0, settings, &RenderSettings::default(), range).unwrap();
    all.remove(0)
}

fn pixel(map: &Pixmap, x: u32, y: u32) -> [u8; 3] {
    let at = 4 * (y as usize * usize::from(map.width()) + x as usize);
    let data = map.data_as_u8_slice();
    [data[at], data[at + 1], data[at + 2]]
}

/// How dark each pixel of a row or column is, 0 to 1.
fn darkness(map: &Pixmap, points: impl Iterator<Item = (u32, u32)>) -> Vec<f64> {
    let dark = |(x, y)| {
        let [r, g, b] = pixel(map, x, y);
        1.0 - (f64::from(r) + f64::from(g) + f64::from(b)) / 765.0
    };
    points.map(dark).collect()
}

/// From the middle of the first line crossed to the middle of the last one, in pixels.
fn span(ink: &[f64]) -> Option<f64> {
    let lines: Vec<f64> = ink
        .iter()
        .enumerate()
        .collect::<Vec<_>>()
        .chunk_by(|a, b| (*a.1 > 0.05) == (*b.1 > 0.05))
        .filter(|run| *run[0].1 > 0.05)
        .map(|run| {
            let whole: f64 = run.iter().map(|(_, d)| **d).sum();
            run.iter().map(|(i, d)| (*i as f64 + 0.5) * **d).sum::<f64>() / whole
        })
        .collect();
    (lines.len() >= 2).then(|| lines[lines.len() - 1] - lines[0])
}

#[test]
fn true_scale_is_true() {
    let mm = f64::from(DPI) / 25.4;
    for (diameter, side) in [(90.0, 50.0), (180.0, 20.0)] {
        let art = Art::Drawing(template(diameter, side));
        let blocks = vec![figure(art, Fit::TrueScale, "A circle and a square.", None)];
        let document = one(blocks, Vec::new());
        for paper in [Paper::A4, Paper::Letter] {
            let pages = lay_out(&document, &Theme::default(), paper).unwrap();
            let place = pages.elements.iter().find_map(|e| e.place).unwrap();
            let map = render(&pdf::write(&pages, &document).unwrap(), place.0, DPI);
            let px = |points: f64| (points * f64::from(DPI) / 72.0) as u32;
            let (top, left) = (px(place.1.y), px(place.1.x));
            let (foot, right) = (px(place.1.y + place.1.height), px(place.1.x + place.1.width));
            let circle_foot = top + ((diameter + 5.0) * mm) as u32;
            // The widest and the tallest way across the circle are its diameter.
            let across = (top..circle_foot)
                .filter_map(|y| span(&darkness(&map, (left..right).map(|x| (x, y)))))
                .fold(0.0, f64::max);
            let down = (left..right)
                .filter_map(|x| span(&darkness(&map, (top..circle_foot).map(|y| (x, y)))))
                .fold(0.0, f64::max);
            // A row a quarter down the square, a column a quarter across: clear of its label.
            let y = top + ((diameter + 8.0 + side / 4.0) * mm) as u32;
            let x = left + ((2.0 + side / 8.0) * mm) as u32;
            let wide = span(&darkness(&map, (left..right).map(|x| (x, y)))).unwrap();
            let tall = span(&darkness(&map, (circle_foot..foot).map(|y| (x, y)))).unwrap();
            for (found, wanted) in
                [(across, diameter), (down, diameter), (wide, side), (tall, side)]
            {
                assert!((found / mm - wanted).abs() < 0.2, "{} mm for {wanted} mm", found / mm);
            }
        }
    }
}

/// A photo whose four corners differ, with an EXIF note on how it was held.
fn held(orientation: u8) -> Vec<u8> {
    let image = corners();
    let mut out = std::io::Cursor::new(Vec::new());
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut out, 95).encode_image(&image).unwrap();
    let plain = out.into_inner();
    // EXIF: one entry, tag 0x0112 (orientation), type short (Exif 2.3, from memory).
    let mut exif = b"Exif\0\0MM\0\x2a\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0".to_vec();
    exif.extend([orientation, 0, 0, 0, 0, 0, 0]);
    let mut bytes = plain[..2].to_vec();
    bytes.extend([0xff, 0xe1]);
    bytes.extend((exif.len() as u16 + 2).to_be_bytes());
    bytes.extend(exif);
    bytes.extend(&plain[2..]);
    bytes
}

fn corners() -> DynamicImage {
    let mut image = image::RgbImage::new(96, 64);
    for (x, y, p) in image.enumerate_pixels_mut() {
        *p = image::Rgb(match (x < 48, y < 32) {
            (true, true) => [220, 30, 30],
            (false, true) => [30, 160, 30],
            (true, false) => [30, 30, 200],
            (false, false) => [230, 200, 30],
        });
    }
    DynamicImage::ImageRgb8(image)
}

fn near(a: [u8; 3], b: [u8; 3]) -> bool {
    a.iter().zip(b).all(|(a, b)| a.abs_diff(b) < 40)
}

#[test]
fn photos_stand_upright_however_the_camera_was_held() {
    for exif in 1..=8 {
        let pictures = vec![Picture { name: "held.jpg".into(), bytes: held(exif) }];
        let blocks = vec![figure(Art::Picture(0), Fit::Width(0.5), "Four corners.", None)];
        let document = one(blocks, pictures);
        let pages = lay_out(&document, &Theme::default(), Paper::A4).unwrap();
        let (page, area) = pages.elements.iter().find_map(|e| e.place).unwrap();
        let bytes = pdf::write(&pages, &document).unwrap();
        // The camera's own bytes are in the file, untouched.
        let stored = &document.pictures[0].bytes;
        assert!(bytes.windows(stored.len()).any(|w| w == stored), "recompressed");
        let map = render(&bytes, page, 72.0);
        let mut upright = corners();
        upright.apply_orientation(Orientation::from_exif(exif).unwrap());
        let upright = upright.to_rgb8();
        let shape = f64::from(upright.width()) / f64::from(upright.height());
        assert!((area.width / area.height - shape).abs() < 0.01, "orientation {exif}");
        for (fx, fy) in [(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)] {
            let shown =
                pixel(&map, (area.x + fx * area.width) as u32, (area.y + fy * area.height) as u32);
            let (w, h) = (f64::from(upright.width()), f64::from(upright.height()));
            let wanted = upright.get_pixel((fx * w) as u32, (fy * h) as u32).0;
            assert!(
                near(shown, wanted),
                "orientation {exif} at {fx},{fy}: {shown:?} for {wanted:?}"
            );
        }
    }
}

#[test]
fn paper_shows_through_where_a_picture_is_clear() {
    let mut image = image::RgbaImage::from_pixel(40, 20, image::Rgba([200, 20, 20, 255]));
    for (x, _, p) in image.enumerate_pixels_mut() {
        if x >= 20 {
            p.0[3] = 0;
        }
    }
    let mut out = std::io::Cursor::new(Vec::new());
    image.write_to(&mut out, image::ImageFormat::Png).unwrap();
    let pictures = vec![Picture { name: "clear.png".into(), bytes: out.into_inner() }];
    let document = one(vec![figure(Art::Picture(0), Fit::Width(0.5), "Half.", None)], pictures);
    let pages = lay_out(&document, &Theme::default(), Paper::A4).unwrap();
    let (page, area) = pages.elements.iter().find_map(|e| e.place).unwrap();
    let map = render(&pdf::write(&pages, &document).unwrap(), page, 72.0);
    let at = |fx: f64| {
        pixel(&map, (area.x + fx * area.width) as u32, (area.y + area.height / 2.0) as u32)
    };
    assert!(near(at(0.25), [200, 20, 20]), "{:?}", at(0.25));
    assert!(near(at(0.75), [255, 255, 255]), "{:?}", at(0.75));
}

#[test]
fn printing_colours_without_a_profile_are_a_fault() {
    let bytes = include_bytes!("page_sample/cmyk.jpg").to_vec();
    let pictures = vec![Picture { name: "press.jpg".into(), bytes }];
    let document = one(vec![figure(Art::Picture(0), Fit::Width(0.5), "Red.", None)], pictures);
    let pages = lay_out(&document, &Theme::default(), Paper::A4).unwrap();
    let findings = pdf::write(&pages, &document).unwrap_err();
    assert_eq!(findings[0].code, "picture");
    assert!(findings[0].message.contains("press.jpg"), "{}", findings[0].message);
}

/// A display profile that is not sRGB: the same primaries, but numbers in proportion to
/// light. (ICC.1:2010, sections 7 to 10, from memory.)
fn linear_profile(space: &[u8; 4]) -> Vec<u8> {
    let fixed = |v: f64| ((v * 65536.0).round() as i32).to_be_bytes();
    let point = |p: [f64; 3]| {
        let numbers = p.into_iter().flat_map(fixed);
        b"XYZ \0\0\0\0".iter().copied().chain(numbers).collect::<Vec<u8>>()
    };
    let words = b"text\0\0\0\0linear\0".to_vec();
    let mut name = b"desc\0\0\0\0\0\0\0\x07linear\0".to_vec();
    name.resize(name.len() + 78, 0);
    // A curve of no points is a straight line.
    let curve = b"curv\0\0\0\0\0\0\0\0".to_vec();
    let mut tags: Vec<(&[u8; 4], Vec<u8>)> =
        vec![(b"desc", name), (b"cprt", words), (b"wtpt", point([0.9642, 1.0, 0.8249]))];
    if space == b"GRAY" {
        tags.push((b"kTRC", curve));
    } else {
        tags.push((b"rXYZ", point([0.43607, 0.22249, 0.01392])));
        tags.push((b"gXYZ", point([0.38515, 0.71687, 0.09708])));
        tags.push((b"bXYZ", point([0.14307, 0.06061, 0.71410])));
        for channel in [b"rTRC", b"gTRC", b"bTRC"] {
            tags.push((channel, curve.clone()));
        }
    }
    let mut table = (tags.len() as u32).to_be_bytes().to_vec();
    let (start, mut data) = (128 + 4 + 12 * tags.len(), Vec::new());
    for (name, body) in tags {
        data.resize(usize::next_multiple_of(data.len(), 4), 0);
        table.extend(name);
        table.extend(((start + data.len()) as u32).to_be_bytes());
        table.extend((body.len() as u32).to_be_bytes());
        data.extend(body);
    }
    data.resize(usize::next_multiple_of(data.len(), 4), 0);
    let mut profile = ((start + data.len()) as u32).to_be_bytes().to_vec();
    profile.extend([0, 0, 0, 0, 2, 0x10, 0, 0]);
    profile.extend(b"mntr");
    profile.extend(space);
    profile.extend(b"XYZ \x07\xd0\0\x01\0\x01\0\0\0\0\0\0acsp");
    profile.resize(68, 0);
    profile.extend([0.9642, 1.0, 0.8249].into_iter().flat_map(fixed));
    profile.resize(128, 0);
    profile.extend(table);
    profile.extend(data);
    profile
}

/// One grey of these numbers, with a profile or none.
fn grey(jpeg: bool, gray: bool, profile: Option<&[u8]>) -> Vec<u8> {
    use image::ImageEncoder;
    let mut out = std::io::Cursor::new(Vec::new());
    let (colour, pixels) = if gray {
        (image::ExtendedColorType::L8, vec![128u8; 32 * 32])
    } else {
        (image::ExtendedColorType::Rgb8, vec![128u8; 3 * 32 * 32])
    };
    let profile = profile.map(<[u8]>::to_vec);
    if jpeg {
        let mut encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut out, 95);
        profile.into_iter().for_each(|p| encoder.set_icc_profile(p).unwrap());
        encoder.write_image(&pixels, 32, 32, colour).unwrap();
    } else {
        let mut encoder = image::codecs::png::PngEncoder::new(&mut out);
        profile.into_iter().for_each(|p| encoder.set_icc_profile(p).unwrap());
        encoder.write_image(&pixels, 32, 32, colour).unwrap();
    }
    out.into_inner()
}

#[test]
fn a_picture_keeps_its_own_colour_profile() {
    for jpeg in [true, false] {
        for gray in [true, false] {
            let profile = linear_profile(if gray { b"GRAY" } else { b"RGB " });
            for own in [Some(profile.as_slice()), None] {
                let bytes = grey(jpeg, gray, own);
                let name = if jpeg { "grey.jpg" } else { "grey.png" };
                let pictures = vec![Picture { name: name.into(), bytes }];
                let blocks = vec![figure(Art::Picture(0), Fit::Width(0.5), "A grey.", None)];
                let document = one(blocks, pictures);
                let pages = lay_out(&document, &Theme::default(), Paper::A4).unwrap();
                let (page, area) = pages.elements.iter().find_map(|e| e.place).unwrap();
                let written = pdf::write(&pages, &document).unwrap();
                let reader = Reader(lopdf::Document::load_mem(&written).unwrap());
                let images = reader.0.objects.values().filter_map(|o| o.as_stream().ok());
                let image = images
                    .filter(|s| s.dict.get(b"Subtype").is_ok_and(|n| *n == Object::from("Image")))
                    .find(|s| s.dict.get(b"Width").is_ok_and(|w| w.as_i64().unwrap() == 32))
                    .unwrap();
                let space = reader.get(&image.dict, "ColorSpace");
                let what = format!("{name}, gray {gray}, profile {}", own.is_some());
                match own {
                    Some(own) => {
                        let space = space.as_array().unwrap();
                        assert_eq!(space[0].as_name().unwrap(), b"ICCBased", "{what}");
                        let kept = reader.0.dereference(&space[1]).unwrap().1.as_stream().unwrap();
                        let n = kept.dict.get(b"N").unwrap().as_i64().unwrap();
                        assert_eq!(n, if gray { 1 } else { 3 }, "{what}");
                        let kept =
                            kept.decompressed_content().unwrap_or_else(|_| kept.content.clone());
                        assert_eq!(kept, own, "{what}");
                    }
                    None => assert!(space.as_name().is_ok(), "{what}"),
                }
                if jpeg {
                    let stored = &document.pictures[0].bytes;
                    assert!(written.windows(stored.len()).any(|w| w == stored), "recompressed");
                }
                // Half the light is 188 of 255 in sRGB (IEC 61966-2-1); 128 is 128.
                let shown = pixel(
                    &render(&written, page, 72.0),
                    (area.x + area.width / 2.0) as u32,
                    (area.y + area.height / 2.0) as u32,
                );
                let wanted = if own.is_some() { 188 } else { 128 };
                assert!(shown.iter().all(|c| c.abs_diff(wanted) < 6), "{what}: {shown:?}");
            }
        }
    }
}

#[test]
fn a_profile_for_other_colours_is_left_out() {
    // A camera's bytes may lie: a profile for grey cannot explain a picture in colour.
    let bytes = grey(true, false, Some(&linear_profile(b"GRAY")));
    let pictures = vec![Picture { name: "lies.jpg".into(), bytes }];
    let document = one(vec![figure(Art::Picture(0), Fit::Width(0.5), "Grey.", None)], pictures);
    let written = printed(&document);
    let reader = lopdf::Document::load_mem(&written).unwrap();
    let used = reader.objects.values().filter_map(|o| o.as_stream().ok());
    let spaces: Vec<_> = used.filter_map(|s| s.dict.get(b"ColorSpace").ok()).collect();
    assert!(spaces.iter().all(|s| s.as_name().is_ok()), "{spaces:?}");
    assert!(!spaces.is_empty());
}

#[test]
fn large_print_and_low_ink_are_written_too() {
    for theme in [Theme::large_print(), Theme::default().saving_ink()] {
        let bytes = print(&sample(), &theme, Paper::Letter);
        assert!(lopdf::Document::load_mem(&bytes).unwrap().get_pages().len() > 5);
    }
}

#[test]
fn low_ink_fills_nothing() {
    let bytes = print(&sample(), &Theme::default().saving_ink(), Paper::A4);
    let pdf = lopdf::Document::load_mem(&bytes).unwrap();
    for (_, page) in pdf.get_pages() {
        let content = Content::decode(&pdf.get_page_content(page)).unwrap();
        for op in content.operations {
            assert!(!matches!(op.operator.as_str(), "f" | "B" | "f*" | "B*"), "a fill");
        }
    }
}

#[test]
fn an_empty_document_is_still_a_file() {
    let bytes = printed(&one(vec![heading(1, "\u{a0}")], Vec::new()));
    assert!(lopdf::Document::load_mem(&bytes).is_ok());
    let bytes = printed(&Document::default());
    assert!(lopdf::Document::load_mem(&bytes).is_ok());
}

/// A chunk of a PNG: length, name, data, and its sum (CRC-32 as in ISO 3309).
fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let named: Vec<u8> = kind.iter().chain(data).copied().collect();
    let sum = !named.iter().fold(u32::MAX, |sum, byte| {
        (0..8).fold(sum ^ u32::from(*byte), |s, _| (s >> 1) ^ (0xedb8_8320 * (s & 1)))
    });
    let length = (data.len() as u32).to_be_bytes();
    length.into_iter().chain(named).chain(sum.to_be_bytes()).collect()
}

#[test]
fn a_png_keeps_the_gamma_it_tells() {
    for gray in [true, false] {
        let mut bytes = grey(false, gray, None);
        // Numbers in proportion to light; behind the signature and the header chunk.
        let told = chunk(b"gAMA", &100_000u32.to_be_bytes());
        bytes.splice(33..33, told);
        let pictures = vec![Picture { name: "grey.png".into(), bytes }];
        let blocks = vec![figure(Art::Picture(0), Fit::Width(0.5), "A grey.", None)];
        let document = one(blocks, pictures);
        let pages = lay_out(&document, &Theme::default(), Paper::A4).unwrap();
        let (page, area) = pages.elements.iter().find_map(|e| e.place).unwrap();
        let written = pdf::write(&pages, &document).unwrap();
        let middle = (area.x + area.width / 2.0, area.y + area.height / 2.0);
        let map = render(&written, page, 72.0);
        // Half the light is 188 of 255 in sRGB (IEC 61966-2-1); readers reckon a grey by its
        // lightness and come to 194.
        let shown = pixel(&map, middle.0 as u32, middle.1 as u32);
        let near = if gray { 8 } else { 6 };
        assert!(shown.iter().all(|c| c.abs_diff(188) < near), "gray {gray}: {shown:?}");
    }
}

/// Printing colours go in as they are, with the profile that says what they are. The profile
/// here is a header alone: no reader is asked to show it.
#[test]
fn printing_colours_keep_their_profile() {
    let mut profile = 132u32.to_be_bytes().to_vec();
    profile.extend([0, 0, 0, 0, 2, 0x10, 0, 0]);
    profile.extend(b"prtrCMYKLab ");
    profile.resize(36, 0);
    profile.extend(b"acsp");
    profile.resize(132, 0);
    let mut bytes = include_bytes!("page_sample/cmyk.jpg").to_vec();
    let mut told = b"ICC_PROFILE\0\x01\x01".to_vec();
    told.extend(&profile);
    let length = (told.len() as u16 + 2).to_be_bytes();
    let segment = [0xff, 0xe2].into_iter().chain(length).chain(told);
    bytes.splice(2..2, segment);
    let pictures = vec![Picture { name: "press.jpg".into(), bytes }];
    let document = one(vec![figure(Art::Picture(0), Fit::Width(0.5), "Red.", None)], pictures);
    let pages = lay_out(&document, &Theme::default(), Paper::A4).unwrap();
    let written = pdf::write(&pages, &document).unwrap();
    let stored = &document.pictures[0].bytes;
    assert!(written.windows(stored.len()).any(|w| w == stored), "recompressed");
    let reader = Reader(lopdf::Document::load_mem(&written).unwrap());
    let mut images = reader.0.objects.values().filter_map(|o| o.as_stream().ok());
    let image = images
        .find(|s| s.dict.get(b"Filter").is_ok_and(|f| *f == Object::from("DCTDecode")))
        .unwrap();
    let space = reader.get(&image.dict, "ColorSpace").as_array().unwrap().clone();
    let kept = reader.0.dereference(&space[1]).unwrap().1.as_stream().unwrap();
    assert_eq!(kept.dict.get(b"N").unwrap().as_i64().unwrap(), 4);
    let kept = kept.decompressed_content().unwrap_or_else(|_| kept.content.clone());
    assert_eq!(kept, profile);
}
