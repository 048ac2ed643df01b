//! Documents made to break pages: every kind of block, long words, many sizes.

use super::*;

/// A small generator of pseudo-random numbers (xorshift64*): same seed, same document.
pub struct Chance(u64);

impl Chance {
    pub fn new(seed: u64) -> Self {
        Chance(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) | 1)
    }

    pub fn below(&mut self, n: u64) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33) % n.max(1)
    }

    pub fn one_in(&mut self, n: u64) -> bool {
        self.below(n) == 0
    }

    pub fn of<'a>(&mut self, list: &[&'a str]) -> &'a str {
        list[self.below(list.len() as u64) as usize]
    }
}

const WORDS: [&str; 40] = [
    "work",
    "into",
    "the",
    "next",
    "stitch",
    "round",
    "increase",
    "repeat",
    "from",
    "to",
    "end",
    "chain",
    "one",
    "marker",
    "hat",
    "brim",
    "crown",
    "and",
    "then",
    "with",
    "yarn",
    "hook",
    "loop",
    "front",
    "back",
    "post",
    "only",
    "seam",
    "A",
    "gauge",
    "measure",
    "carefully",
    "notwithstanding",
    "circumference",
    "3\u{bd}",
    "\u{201c}slowly\u{201d}",
    "12\u{a0}cm",
    "5\u{2013}7",
    "yarn-over",
    "1/2",
];

pub fn words(chance: &mut Chance, n: u64) -> String {
    let mut out = String::new();
    for i in 0..n {
        if i > 0 {
            out.push(' ');
        }
        out.push_str(chance.of(&WORDS));
    }
    out + "."
}

pub fn rich(chance: &mut Chance, n: u64) -> Text {
    let mut text = Vec::new();
    let mut left = n;
    while left > 0 {
        let take = (1 + chance.below(8)).min(left);
        left -= take;
        let part = words(chance, take) + " ";
        text.push(match chance.below(9) {
            0 => Inline::Strong(plain(part)),
            1 => Inline::Emphasis(plain(part)),
            2 => {
                Inline::Abbreviation { text: "sl\u{a0}st".into(), expansion: "slip stitch".into() }
            }
            3 => Inline::Keep(plain(format!("({} sts)", chance.below(200)))),
            4 => Inline::Link {
                target: Target::Uri("https://example.org/a/rather/long/address".into()),
                content: plain("this page"),
            },
            5 => {
                Inline::Keep(vec![text_of("1 "), abbreviation("fpdc", "front post double crochet")])
            }
            _ => Inline::Text(part),
        });
        text.push(Inline::Text(" ".into()));
    }
    text
}

fn text_of(words: &str) -> Inline {
    Inline::Text(words.into())
}

/// A table of measures for this many sizes.
pub fn sizes_table(chance: &mut Chance, sizes: usize, rows: usize) -> Table {
    let names = ["Preemie", "Newborn", "Baby", "Toddler", "Child", "Teen", "Adult S", "Adult M"];
    let head: Vec<String> = std::iter::once("Measure".to_string())
        .chain((0..sizes).map(|i| match names.get(i) {
            Some(name) => name.to_string(),
            None => format!("Adult {}XL", i - names.len() + 1),
        }))
        .collect();
    let body: Vec<Vec<String>> = (0..rows)
        .map(|r| {
            let title = [
                "Head around, cm",
                "Hat around, cm",
                "Hat around, in",
                "Depth, cm",
                "Main colour, m",
            ];
            std::iter::once(title[r % title.len()].to_string())
                .chain((0..sizes).map(|_| match r % 3 {
                    0 => format!("{}\u{2013}{}", 40 + chance.below(20), 60 + chance.below(5)),
                    1 => format!("{}.5", 30 + chance.below(90)),
                    _ => format!("{}\u{bd}", 10 + chance.below(19)),
                }))
                .collect()
        })
        .collect();
    let head: Vec<&str> = head.iter().map(String::as_str).collect();
    let mut table = table(&format!("Measures in {sizes} sizes"), &head, &body);
    if chance.one_in(2) {
        table.notes = vec![rich(chance, 20)];
    }
    table
}

/// A table with words in its cells and a spanning head.
pub fn wordy_table(chance: &mut Chance, rows: usize) -> Table {
    let mut table = Table {
        caption: chance.one_in(2).then(|| rich(chance, 6)),
        columns: vec![Column { align: Align::Left }; 3],
        head: vec![
            vec![Cell::plain(""), Cell { text: plain("What to do"), span: 2 }],
            vec![cell("If"), cell("First"), cell("Then")],
        ],
        body: Vec::new(),
        row_heads: chance.one_in(2),
        notes: Vec::new(),
    };
    for _ in 0..rows {
        let row = (0..3).map(|_| {
            let n = 1 + chance.below(14);
            Cell { text: rich(chance, n), span: 1 }
        });
        table.body.push(row.collect());
    }
    table
}

pub fn rounds(chance: &mut Chance, n: usize, sizes: usize) -> Vec<Round> {
    (0..n)
        .map(|i| {
            let length = 4 + chance.below(50);
            let counts: Vec<String> =
                (0..sizes).map(|s| (60 + 4 * s as u64 + chance.below(9)).to_string()).collect();
            Round {
                label: match chance.below(6) {
                    0 => Vec::new(),
                    1 => plain(format!("Rnds {i}\u{2013}{}", i + 2)),
                    _ => plain(format!("Rnd {i}")),
                },
                body: rich(chance, length),
                count: (!chance.one_in(5))
                    .then(|| vec![Inline::Keep(plain(format!("({} sts)", counts.join(", "))))]),
                tick: chance.one_in(2),
                counter: if chance.one_in(8) { 1 + chance.below(60) as u16 } else { 0 },
                note: chance.one_in(6).then(|| rich(chance, 9)),
            }
        })
        .collect()
}

fn simple(chance: &mut Chance) -> Block {
    let n = 5 + chance.below(70);
    let kinds =
        [ParagraphKind::Body, ParagraphKind::Lead, ParagraphKind::Note, ParagraphKind::Small];
    let kind = kinds[chance.below(4) as usize];
    Block::Paragraph(Paragraph { text: rich(chance, n), kind })
}

fn list(chance: &mut Chance, deep: bool) -> Block {
    let markers = [Marker::Bullet, Marker::Number, Marker::Tick, Marker::Plain];
    let marker = markers[chance.below(4) as usize];
    let items = (0..1 + chance.below(12))
        .map(|_| {
            let mut item = vec![simple(chance)];
            if deep && chance.one_in(4) {
                item.push(list(chance, false));
            }
            item
        })
        .collect();
    Block::List(List { marker, items })
}

/// One block of any kind.
pub fn block(chance: &mut Chance) -> Block {
    match chance.below(18) {
        0..=3 => simple(chance),
        4 => list(chance, true),
        5 | 6 => {
            let (n, sizes) = (1 + chance.below(14) as usize, 1 + chance.below(16) as usize);
            Block::Rounds(rounds(chance, n, sizes))
        }
        7 | 8 => {
            let (sizes, rows) = (1 + chance.below(16) as usize, 1 + chance.below(40) as usize);
            Block::Table(sizes_table(chance, sizes, rows))
        }
        9 => {
            let rows = 1 + chance.below(25) as usize;
            Block::Table(wordy_table(chance, rows))
        }
        10 => figure(
            Art::Drawing(schematic()),
            Fit::Width(0.2 + chance.below(9) as f64 / 10.0),
            "A hat from the side.",
            Some("The hat from the side."),
        ),
        11 => figure(
            Art::Drawing(template(20.0 + chance.below(150) as f64, 20.0 + chance.below(30) as f64)),
            Fit::TrueScale,
            "A template.",
            chance.one_in(2).then_some("Full size."),
        ),
        12 => Block::Columns {
            count: 1 + chance.below(4) as u8,
            blocks: (0..1 + chance.below(14))
                .map(|_| if chance.one_in(4) { list(chance, false) } else { simple(chance) })
                .collect(),
        },
        13 => Block::Keep(vec![simple(chance), simple(chance), list(chance, false)]),
        14 => Block::Aside(Aside {
            title: rich(chance, 4),
            blocks: vec![simple(chance), list(chance, true)],
        }),
        15 => Block::Form(
            (0..1 + chance.below(8))
                .map(|_| {
                    let n = 1 + chance.below(9);
                    Field {
                        label: rich(chance, n),
                        lines: 1 + chance.below(4) as u8,
                        unit: chance.one_in(2).then(|| "cm".into()),
                    }
                })
                .collect(),
        ),
        16 => figure(
            Art::Picture(0),
            Fit::Width(0.1 + chance.below(10) as f64 / 10.0),
            "A photo.",
            None,
        ),
        _ => Block::PageBreak,
    }
}

/// A document of about this many blocks under headings.
pub fn document(seed: u64, blocks: u64) -> Document {
    let chance = &mut Chance::new(seed);
    let mut out = Vec::new();
    if chance.one_in(2) {
        out.push(super::cover());
    }
    if chance.one_in(2) {
        out.push(Block::Contents);
    }
    let mut level = 0;
    for i in 0..blocks {
        if i == 0 || chance.one_in(3) {
            level = 1 + chance.below(u64::from(level).min(2) + 1) as u8;
            let most = if chance.one_in(6) { 18 } else { 5 };
            let n = 1 + chance.below(most);
            out.push(Block::Heading(Heading {
                level,
                text: plain(words(chance, n)),
                anchor: Some(format!("h{i}")),
                listed: level < 3,
            }));
        }
        out.push(block(chance));
    }
    Document {
        meta: meta("Stress & strain <hat>"),
        blocks: out,
        pictures: vec![Picture { name: "p.jpg".into(), bytes: photo(60, 40) }],
    }
}

/// Tables of 1 to 16 sizes, one after another.
pub fn all_sizes() -> Document {
    let chance = &mut Chance::new(7);
    let mut blocks = vec![heading(1, "Tables")];
    for n in 1..=16 {
        blocks.push(Block::Table(sizes_table(chance, n, 4)));
    }
    blocks.push(heading(1, "A table that runs over"));
    blocks.push(Block::Table(sizes_table(chance, 8, 60)));
    blocks.push(Block::Table(sizes_table(chance, 16, 20)));
    blocks.push(Block::Table(wordy_table(chance, 20)));
    blocks.push(heading(1, "Rounds in sixteen sizes"));
    blocks.push(Block::Rounds(rounds(chance, 20, 16)));
    Document { meta: meta("Tables"), blocks, pictures: Vec::new() }
}

/// Drawings that fit side by side, one that fills the page, one too large for it.
pub fn templates() -> Document {
    let full = |d: f64, s: f64, alt: &str| {
        figure(Art::Drawing(template(d, s)), Fit::TrueScale, alt, Some("Full size."))
    };
    let blocks = vec![
        heading(1, "Templates"),
        body("Check the square first."),
        full(40.0, 20.0, "A ring of 40 mm."),
        full(55.0, 20.0, "A ring of 55 mm."),
        full(30.0, 20.0, "A ring of 30 mm."),
        heading(1, "The largest"),
        full(180.0, 50.0, "A ring of 180 mm and a square of 50 mm."),
        heading(1, "Too large for a page"),
        full(260.0, 50.0, "A ring of 260 mm."),
        body("After the sheets."),
    ];
    Document { meta: meta("Templates"), blocks, pictures: Vec::new() }
}
