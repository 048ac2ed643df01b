//! A booklet as the `booklet` room would make it, for looking at pages. All of it is invented.
#![allow(dead_code, missing_docs, clippy::unwrap_used, clippy::expect_used)]

pub mod stress;

use brimwright::booklet::document::*;
use brimwright::figure::{Anchor, Drawing, Ink, Label, Mark, Path, Segment, Stroke};

pub const SIZES: [&str; 6] = ["Toddler", "Child", "Teen", "Adult S", "Adult M", "Adult L"];

pub fn text(words: &str) -> Inline {
    Inline::Text(words.into())
}

pub fn body(words: &str) -> Block {
    Block::Paragraph(Paragraph { text: plain(words), kind: ParagraphKind::Body })
}

pub fn kind(kind: ParagraphKind, words: &str) -> Block {
    Block::Paragraph(Paragraph { text: plain(words), kind })
}

pub fn heading(level: u8, words: &str) -> Block {
    Block::Heading(Heading {
        level,
        text: plain(words),
        anchor: Some(words.to_lowercase().replace(' ', "-")),
        listed: level <= 2,
    })
}

pub fn abbreviation(short: &str, long: &str) -> Inline {
    Inline::Abbreviation { text: short.into(), expansion: long.into() }
}

pub fn keep(words: &str) -> Inline {
    Inline::Keep(plain(words))
}

pub fn cell(words: &str) -> Cell {
    Cell::plain(words)
}

pub fn table(caption: &str, head: &[&str], rows: &[Vec<String>]) -> Table {
    let mut columns = vec![Column { align: Align::Left }];
    columns.resize(head.len(), Column { align: Align::Right });
    Table {
        caption: Some(plain(caption)),
        columns,
        head: vec![head.iter().map(|h| cell(h)).collect()],
        body: rows.iter().map(|r| r.iter().map(Cell::plain).collect()).collect(),
        row_heads: true,
        notes: Vec::new(),
    }
}

pub fn stroke(width: f64, ink: Ink) -> Option<Stroke> {
    Some(Stroke { width, dash: Vec::new(), ink })
}

pub fn circle(cx: f64, cy: f64, r: f64) -> Vec<Segment> {
    let k = r * 0.552_284_749_8;
    vec![
        Segment::Move(cx + r, cy),
        Segment::Curve([cx + r, cy + k, cx + k, cy + r, cx, cy + r]),
        Segment::Curve([cx - k, cy + r, cx - r, cy + k, cx - r, cy]),
        Segment::Curve([cx - r, cy - k, cx - k, cy - r, cx, cy - r]),
        Segment::Curve([cx + k, cy - r, cx + r, cy - k, cx + r, cy]),
        Segment::Close,
    ]
}

pub fn square(x: f64, y: f64, side: f64) -> Vec<Segment> {
    vec![
        Segment::Move(x, y),
        Segment::Line(x + side, y),
        Segment::Line(x + side, y + side),
        Segment::Line(x, y + side),
        Segment::Close,
    ]
}

pub fn label(x: f64, y: f64, words: &str, size: f64) -> Mark {
    Mark::Label(Label {
        at: (x, y),
        text: words.into(),
        size,
        anchor: Anchor::Middle,
        ink: Ink::Text,
        strong: false,
        turn: 0.0,
    })
}

/// A circle and a square with their sizes, in a frame of `width` by `height` millimetres.
pub fn template(diameter: f64, side: f64) -> Drawing {
    let r = diameter / 2.0;
    let width = diameter + 4.0;
    let height = diameter + side + 12.0;
    let path =
        |segments| Mark::Path(Path { segments, stroke: stroke(0.35, Ink::Text), fill: None });
    let mut ring = circle(r + 2.0, r + 2.0, r / 3.0);
    ring.truncate(6);
    Drawing {
        width,
        height,
        marks: vec![
            path(circle(r + 2.0, r + 2.0, r)),
            Mark::Path(Path {
                segments: ring,
                stroke: stroke(0.25, Ink::Accent),
                fill: Some(Ink::Tint),
            }),
            label(r + 2.0, r + 3.0, &format!("{diameter} mm"), 9.0),
            path(square(2.0, diameter + 8.0, side)),
            label(2.0 + side / 2.0, diameter + 8.0 + side / 2.0 + 1.0, &format!("{side} mm"), 9.0),
        ],
    }
}

/// A hat's outline with measures.
pub fn schematic() -> Drawing {
    let outline = vec![
        Segment::Move(20.0, 70.0),
        Segment::Line(20.0, 45.0),
        Segment::Curve([20.0, 15.0, 45.0, 8.0, 60.0, 8.0]),
        Segment::Curve([75.0, 8.0, 100.0, 15.0, 100.0, 45.0]),
        Segment::Line(100.0, 70.0),
        Segment::Close,
    ];
    let brim = vec![Segment::Move(20.0, 58.0), Segment::Line(100.0, 58.0)];
    let mut turned = label(14.0, 40.0, "depth 21.5 cm", 9.0);
    if let Mark::Label(l) = &mut turned {
        l.turn = -90.0;
    }
    Drawing {
        width: 120.0,
        height: 82.0,
        marks: vec![
            Mark::Path(Path {
                segments: outline,
                stroke: stroke(0.5, Ink::Text),
                fill: Some(Ink::Tint),
            }),
            Mark::Path(Path {
                segments: brim,
                stroke: Some(Stroke { width: 0.3, dash: vec![1.5, 1.0], ink: Ink::Accent }),
                fill: None,
            }),
            label(60.0, 78.0, "brim 52 cm around", 9.0),
            turned,
        ],
    }
}

pub fn figure(art: Art, fit: Fit, alt: &str, caption: Option<&str>) -> Block {
    Block::Figure(Figure { art, alt: alt.into(), caption: caption.map(plain), fit })
}

/// A picture of coloured bands, so that its sides can be told apart.
pub fn photo(width: u32, height: u32) -> Vec<u8> {
    let mut image = image::RgbImage::new(width, height);
    for (x, y, p) in image.enumerate_pixels_mut() {
        let (fx, fy) = (x as f64 / width as f64, y as f64 / height as f64);
        let knit = ((fx * 60.0).sin() * (fy * 40.0).cos() * 14.0) as i32;
        let v = |base: f64, k: f64| (base + k * fx + 40.0 * (1.0 - fy)) as i32 + knit;
        *p = image::Rgb([
            v(120.0, 60.0).clamp(0, 255) as u8,
            v(90.0, 30.0).clamp(0, 255) as u8,
            v(80.0, 10.0).clamp(0, 255) as u8,
        ]);
    }
    let mut out = std::io::Cursor::new(Vec::new());
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut out, 82).encode_image(&image).unwrap();
    out.into_inner()
}

fn counts(base: u32, step: u32) -> String {
    let each: Vec<String> = (0..6).map(|i| (base + i * step).to_string()).collect();
    format!("({} sts)", each.join(", "))
}

fn round(label: &str, body: Text, count: Option<String>) -> Round {
    Round {
        label: plain(label),
        body,
        count: count.map(|c| vec![Inline::Keep(plain(c))]),
        tick: true,
        counter: 0,
        note: None,
    }
}

fn crown() -> Vec<Round> {
    let sc = || abbreviation("sc", "single crochet");
    let inc = || abbreviation("inc", "increase");
    let mut rounds = vec![Round {
        note: Some(plain("Video from 3:20. Leave a tail of 15 cm to close the ring with.")),
        ..round(
            "Rnd 1",
            vec![
                text("Make a magic ring. Work 6 "),
                sc(),
                text(" into the ring. Pull the tail to close it."),
            ],
            Some("(6 sts)".into()),
        )
    }];
    for n in 2..=12 {
        rounds.push(round(
            &format!("Rnd {n}"),
            vec![
                text("*"),
                keep(&format!("{} sc", n - 2)),
                text(" in the next stitches, "),
                keep("1 inc"),
                text(" in the stitch after; repeat from * five times more. Do not join; move the marker up."),
                inc(),
            ],
            Some(format!("({} sts)", 6 * n)),
        ));
    }
    rounds.push(Round {
        counter: 18,
        ..round(
            "Rnds 13\u{2013}30",
            vec![
                text("Work "),
                keep("1 sc"),
                text(" in each stitch around, for 14 (16, 16, 18, 18, 18) rounds. Work the last one a little looser than the others, so that the brim can turn up without pulling in."),
            ],
            Some(counts(72, 4)),
        )
    });
    rounds
}

fn brim() -> Vec<Round> {
    (31..=42)
        .map(|n| {
            round(
                &format!("Rnd {n}"),
                vec![
                    text("Ch 1 (does not count as a stitch). *"),
                    keep("1 fpdc"),
                    text(" around the next stitch, "),
                    keep("1 bpdc"),
                    text(" around the stitch after; repeat from * to the end. Join with a "),
                    abbreviation("sl\u{a0}st", "slip stitch"),
                    text(" to the first stitch."),
                ],
                Some(counts(72, 4)),
            )
        })
        .collect()
}

pub fn cover() -> Block {
    Block::Cover(Box::new(Cover {
        title: "Harbour Lantern Hat".into(),
        by: "by Ines Velden".into(),
        about: plain(
            "A close-fitting hat worked from the crown down in one piece, with a ribbed brim to turn up and a pompom to match. Six sizes, from toddler to large adult.",
        ),
        photo: Some(Figure {
            art: Art::Picture(0),
            alt: "The hat in rust red on a wooden table, its brim turned up once.".into(),
            caption: None,
            fit: Fit::Width(1.0),
        }),
        facts: vec![
            ("Level".into(), plain("Easy: single crochet, increases, post stitches")),
            ("Sizes".into(), plain("Toddler (Child, Teen, Adult S, Adult M, Adult L)")),
            ("Terms".into(), plain("US crochet terms; measures in centimetres")),
            ("Edition".into(), plain("1.2, 25 November 2026")),
        ],
        rights: plain(
            "\u{a9} 2026 Ines Velden. Hats made from this booklet may be sold; the booklet itself may not be copied.",
        ),
    }))
}

fn materials(doc: &mut Vec<Block>) {
    doc.push(heading(1, "Before you begin"));
    doc.push(kind(ParagraphKind::Lead, "Read this chapter once from end to end. It names everything the hat needs, and what to do if your hook or your hand says otherwise."));
    doc.push(heading(2, "Materials"));
    doc.push(Block::List(List {
        marker: Marker::Bullet,
        items: vec![
            vec![body("Worsted weight wool, 100 g = 200 m: 62 (70, 78, 86, 92, 99) g of the main colour, and 12 g of a second colour for the stripes.")],
            vec![body("Hook 5.0\u{a0}mm, or the size that gives you the gauge; hook 4.5\u{a0}mm for the brim.")],
            vec![body("A stitch marker, a blunt needle, card for the pompom.")],
        ],
    }));
    doc.push(heading(2, "Sizes"));
    let rows = [
        (
            "Head around, cm",
            [
                "46\u{2013}48",
                "49\u{2013}51",
                "52\u{2013}54",
                "54\u{2013}56",
                "57\u{2013}59",
                "60\u{2013}62",
            ],
        ),
        ("Hat around, cm", ["44", "47", "50", "52", "55", "58"]),
        ("Depth, cm", ["17.5", "18.5", "20", "21", "21.5", "22.5"]),
        ("Main colour, g", ["62", "70", "78", "86", "92", "99"]),
        ("Second colour, g", ["9", "10", "11", "12", "12", "13"]),
    ];
    let rows: Vec<Vec<String>> = rows
        .iter()
        .map(|(h, r)| {
            std::iter::once(h.to_string()).chain(r.iter().map(|s| s.to_string())).collect()
        })
        .collect();
    let head: Vec<&str> = std::iter::once("").chain(SIZES).collect();
    let mut sizes = table("Sizes and finished measures", &head, &rows);
    sizes.notes = vec![plain(
        "The hat is made 2 to 4 cm smaller around than the head, and stretches to fit.",
    )];
    doc.push(Block::Table(sizes));
    doc.push(heading(2, "Gauge"));
    doc.push(body("14 stitches and 16 rounds in single crochet make a square of 10\u{a0}cm, measured after washing. Too many stitches in the square: take a larger hook. Too few: take a smaller one. Half a stitch more or less over 10 cm makes the hat about 2 cm smaller or larger around."));
    doc.push(figure(
        Art::Drawing(schematic()),
        Fit::Width(0.7),
        "Outline of the hat from the side: depth 21.5 cm, brim 52 cm around.",
        Some("Finished measures of size Adult S. The broken line shows where the brim turns up."),
    ));
    doc.push(Block::Aside(Aside {
        title: plain("For small children"),
        blocks: vec![body("A pompom or a button that comes loose can choke a small child. Sew them on firmly, check them often, and leave them off hats for children under three. Follow the safety rules that hold where you live.")],
    }));
}

fn key(doc: &mut Vec<Block>) {
    doc.push(heading(2, "Abbreviations"));
    let all = [
        ("bpdc", "back post double crochet"),
        ("ch", "chain"),
        ("dc", "double crochet"),
        ("fpdc", "front post double crochet"),
        ("inc", "increase: two stitches in one"),
        ("rnd", "round"),
        ("sc", "single crochet"),
        ("sl\u{a0}st", "slip stitch"),
        ("st, sts", "stitch, stitches"),
        ("yo", "yarn over"),
    ];
    let rows: Vec<Vec<Cell>> = all.iter().map(|(a, b)| vec![cell(a), cell(b)]).collect();
    doc.push(Block::Columns {
        count: 2,
        blocks: rows
            .chunks(5)
            .map(|part| {
                Block::Table(Table {
                    caption: None,
                    columns: vec![Column { align: Align::Left }; 2],
                    head: vec![vec![cell("Short"), cell("In full")]],
                    body: part.to_vec(),
                    row_heads: true,
                    notes: vec![],
                })
            })
            .collect(),
    });
}

pub fn sample() -> Document {
    let mut blocks = vec![cover(), Block::Contents];
    materials(&mut blocks);
    key(&mut blocks);
    blocks.push(Block::PageBreak);
    blocks.push(heading(1, "The hat"));
    blocks.push(kind(ParagraphKind::Lead, "Worked in a spiral from the top of the crown. Numbers for the larger sizes stand in brackets; one number holds for all sizes."));
    blocks.push(heading(2, "Crown"));
    blocks.push(Block::Rounds(crown()));
    blocks.push(kind(ParagraphKind::Note, "If the crown ruffles, your stitches are wider than they are tall: take a smaller hook and begin again from round 4."));
    blocks.push(heading(2, "Brim"));
    blocks.push(Block::Paragraph(Paragraph {
        kind: ParagraphKind::Body,
        text: vec![
            text("Change to the smaller hook. The stitches are explained under "),
            Inline::Link {
                target: Target::Anchor("abbreviations".into()),
                content: plain("Abbreviations"),
            },
            text(" and shown at "),
            Inline::Link {
                target: Target::Uri("https://example.org/lantern".into()),
                content: plain("example.org/lantern"),
            },
            text("."),
        ],
    }));
    blocks.push(Block::Rounds(brim()));
    blocks.push(heading(2, "Making up"));
    blocks.push(Block::List(List {
        marker: Marker::Number,
        items: vec![
            vec![body("Cut the yarn, leaving 20 cm; draw it through the last stitch.")],
            vec![body("Weave in both ends on the wrong side, along the rib, for at least 5 cm each way.")],
            vec![body("Wash in lukewarm water as the yarn label says. Press in a towel, lay flat, pull the brim to its measure, leave it to dry.")],
        ],
    }));
    blocks.push(heading(1, "The pompom"));
    blocks.push(body("Trace the template on card twice and cut both pieces out. Measure the square before you cut: if its sides are not 50 mm, the page was printed at another size. Print it again at 100 %."));
    blocks.push(figure(
        Art::Drawing(template(90.0, 50.0)),
        Fit::TrueScale,
        "Pompom template: a ring 90 mm across with a hole of 30 mm, and a test square of 50 mm.",
        Some("Template, full size."),
    ));
    blocks.push(heading(1, "Your notes"));
    blocks.push(Block::Form(vec![
        Field { label: plain("My gauge, stitches in 10 cm"), lines: 1, unit: Some("sts".into()) },
        Field { label: plain("Hook"), lines: 1, unit: Some("mm".into()) },
        Field { label: plain("Yarn and colour"), lines: 1, unit: None },
        Field { label: plain("What I would change"), lines: 3, unit: None },
    ]));
    blocks.push(heading(2, "Check before you begin"));
    blocks.push(Block::List(List {
        marker: Marker::Tick,
        items: vec![
            vec![body("My square is 10 cm by 10 cm.")],
            vec![body("I have marked my size in every bracket.")],
        ],
    }));
    blocks.push(kind(
        ParagraphKind::Small,
        "Sizes follow head measures in common use. Set in Source Sans 3 and Source Serif 4.",
    ));
    Document {
        meta: meta("Harbour Lantern Hat"),
        blocks,
        pictures: vec![Picture { name: "lantern.jpg".into(), bytes: photo(1200, 800) }],
    }
}

pub fn meta(title: &str) -> Meta {
    Meta {
        title: title.into(),
        author: "Ines Velden".into(),
        subject: "A crochet hat in six sizes".into(),
        keywords: vec!["crochet".into(), "hat".into()],
        language: "en-US".into(),
        edition: "1.2".into(),
        date: Date { year: 2026, month: 11, day: 25 },
        running_title: title.into(),
        running_foot: format!("{title} \u{b7} Edition 1.2"),
    }
}
