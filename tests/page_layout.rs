//! Pages as data: nothing leaves its page, nothing lies over other words, what belongs
//! together stays together. Over documents made to break pages, and over the sample booklet.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod page_sample;
mod standing;

use brimwright::booklet::document::*;
use brimwright::diag::Finding;
use brimwright::typeset::page::{Draw, Owner, Tag};
use brimwright::typeset::{Pages, Paper, Theme, lay_out};
use page_sample::{body, figure, heading, meta, sample, stress};
use standing::{apart, inside, within_margins, words};

fn set(document: &Document) -> Pages {
    set_in(document, &Theme::default(), Paper::A4)
}

fn set_in(document: &Document, theme: &Theme, paper: Paper) -> Pages {
    lay_out(document, theme, paper).unwrap_or_else(|f| panic!("{:?}", f.first()))
}

fn codes(document: &Document) -> Vec<&'static str> {
    let findings: Vec<Finding> = lay_out(document, &Theme::default(), Paper::A4).unwrap_err();
    findings.iter().map(|f| f.code).collect()
}

fn one(blocks: Vec<Block>) -> Document {
    Document { meta: meta("Test"), blocks, pictures: Vec::new() }
}

fn check(document: &Document, theme: &Theme, paper: Paper, what: &str) -> Pages {
    let pages = set_in(document, theme, paper);
    inside(&pages, what);
    apart(&pages, what);
    within_margins(&pages, theme, what);
    pages
}

#[test]
fn the_sample_stands_well_in_every_theme_and_on_both_papers() {
    let document = sample();
    for theme in [Theme::default(), Theme::large_print(), Theme::default().saving_ink()] {
        for paper in [Paper::A4, Paper::Letter] {
            check(&document, &theme, paper, "sample");
        }
    }
}

#[test]
fn tables_of_one_to_sixteen_sizes_stand_well() {
    for theme in [Theme::default(), Theme::large_print()] {
        check(&stress::all_sizes(), &theme, Paper::A4, "tables");
        check(&stress::all_sizes(), &theme, Paper::Letter, "tables");
    }
}

#[test]
fn two_hundred_chance_documents_stand_well() {
    let theme = Theme::default();
    let large = Theme::large_print();
    for seed in 0..200 {
        let document = stress::document(seed, 4 + seed % 14);
        let paper = if seed % 2 == 0 { Paper::A4 } else { Paper::Letter };
        let theme = if seed % 5 == 4 { &large } else { &theme };
        check(&document, theme, paper, &format!("seed {seed}"));
    }
}

#[test]
fn a_document_of_forty_pages_stands_well() {
    let document = stress::document(40, 150);
    let pages = check(&document, &Theme::default(), Paper::A4, "forty");
    assert!(pages.pages.len() >= 40, "{} pages", pages.pages.len());
}

#[test]
fn the_same_document_gives_the_same_pages() {
    assert_eq!(set(&sample()), set(&sample()));
}

/// All words of a document's elements in reading order, spaces evened out.
fn read(pages: &Pages) -> String {
    let mut marks: Vec<(usize, u32, usize, String)> = Vec::new();
    for (n, page) in pages.pages.iter().enumerate() {
        for item in &page.items {
            if let (Owner::Element(e), Draw::Text(run)) = (item.owner, &item.draw) {
                marks.push((e, item.order, n, run.text.clone()));
            }
        }
    }
    marks.sort_by_key(|(_, order, page, _)| (*order, *page));
    let all: String = marks.iter().map(|(.., words)| words.as_str()).collect::<Vec<_>>().join(" ");
    all.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn marks_are_read_in_the_order_of_the_document() {
    let all = read(&set(&sample()));
    let told = [
        "Harbour Lantern Hat",
        "by Ines Velden",
        "A close-fitting hat",
        "Level",
        "Easy: single",
        "Sizes Toddler",
        "\u{a9} 2026",
        "Before you begin",
        "Read this chapter",
        "Materials",
        "\u{2022} Worsted",
        "Sizes and finished measures",
        "Toddler Child Teen",
        "Head around, cm 46\u{2013}48 49\u{2013}51",
        "The hat is made",
        "Gauge",
        "14 stitches",
        "Finished measures of size",
        "For small children",
        "Abbreviations",
        "bpdc back post",
        "yo yarn over",
        "The hat",
        "Crown",
        "Rnd 1 Make a magic ring. Work 6 sc into the ring.",
        "(6 sts) Video from",
        "Rnd 12",
        "(72 sts)",
        "Rnds 13\u{2013}30 Work 1 sc",
        "(72, 76, 80, 84, 88, 92 sts)",
        "If the crown",
        "Brim",
        "Rnd 42",
        "Making up",
        "1. Cut",
        "2. Weave",
        "3. Wash",
        "The pompom",
        "Your notes",
        "My gauge",
        "sts Hook mm",
        "Sizes follow",
    ];
    let mut from = 0;
    for part in told {
        match all[from..].find(part) {
            Some(at) => from += at + part.len(),
            None => panic!("{part:?} not after {:?} in {all}", &all[from.saturating_sub(60)..from]),
        }
    }
}

/// Pages on which any mark under an element stands.
fn pages_of(pages: &Pages, root: usize) -> Vec<usize> {
    let under = |mut e: usize| loop {
        if e == root {
            return true;
        }
        match pages.elements[e].parent {
            Some(parent) => e = parent,
            None => return false,
        }
    };
    let mut found = Vec::new();
    for (n, page) in pages.pages.iter().enumerate() {
        if page.items.iter().any(|i| matches!(i.owner, Owner::Element(e) if under(e))) {
            found.push(n);
        }
    }
    found
}

#[test]
fn no_short_round_runs_over_a_page_and_no_count_stands_on_another_page_than_its_words() {
    let rounds: Vec<Round> = (1..=120)
        .map(|n| Round {
            label: plain(format!("Rnd {n}")),
            body: plain("Work one stitch in each stitch around, ".repeat(1 + n % 4)),
            count: Some(plain(format!("({} sts)", n * 6))),
            tick: n % 3 == 0,
            counter: 0,
            note: None,
        })
        .collect();
    let pages = set(&one(vec![heading(1, "Rounds"), Block::Rounds(rounds)]));
    assert!(pages.pages.len() > 3);
    let items = pages.elements.iter().enumerate().filter(|(_, e)| e.tag == Tag::Item);
    for (item, _) in items {
        assert_eq!(pages_of(&pages, item).len(), 1);
    }
}

#[test]
fn a_heading_stands_on_the_page_of_what_follows() {
    for seed in 0..40 {
        let mut blocks = Vec::new();
        for i in 0..30u64 {
            blocks.push(heading(1 + (i > 0) as u8, &format!("Part {i}")));
            blocks.push(body(&stress::words(
                &mut stress::Chance::new(seed * 100 + i),
                20 + (seed * 7 + i * 13) % 90,
            )));
        }
        let pages = set(&one(blocks));
        let mut last: Option<usize> = None;
        for (e, element) in pages.elements.iter().enumerate() {
            let at = pages_of(&pages, e);
            match element.tag {
                Tag::Heading(_) => last = at.last().copied(),
                Tag::Paragraph => {
                    assert_eq!(last, at.first().copied(), "seed {seed}");
                    // Neither a first nor a last line alone.
                    if at.len() == 2 {
                        for page in &at {
                            let lines = pages.pages[*page].items.iter();
                            let lines = lines.filter(|i| i.owner == Owner::Element(e)).count();
                            assert!(lines >= 2, "seed {seed}: {lines} line alone");
                        }
                    }
                }
                _ => {}
            }
        }
    }
}

#[test]
fn a_table_shows_its_head_on_every_page_and_parts_no_row() {
    let chance = &mut stress::Chance::new(3);
    let pages = set(&one(vec![Block::Table(stress::wordy_table(chance, 60))]));
    assert!(pages.pages.len() > 1);
    for (n, page) in pages.pages.iter().enumerate() {
        let shown = page.items.iter().any(|i| words(&i.draw) == "Then");
        assert!(shown, "page {} has no head", n + 1);
    }
    for (e, element) in pages.elements.iter().enumerate() {
        if element.tag == Tag::Row {
            assert!(pages_of(&pages, e).len() <= 1);
        }
    }
}

#[test]
fn words_that_belong_together_stay_on_one_line() {
    let mut text = Vec::new();
    for i in 0..60 {
        text.push(Inline::Text("now work ".into()));
        text.push(Inline::Keep(plain(format!("{i} sc in next"))));
        text.push(Inline::Text(" and 10\u{a0}mm or ".into()));
    }
    let paragraph = Paragraph { text, kind: ParagraphKind::Body };
    let pages = set(&one(vec![heading(1, "A"), Block::Paragraph(paragraph)]));
    let lines: Vec<&str> =
        pages.pages.iter().flat_map(|p| &p.items).map(|i| words(&i.draw)).collect();
    let all = lines.join("\n");
    for i in 0..60 {
        assert!(all.contains(&format!("{i} sc in next")), "{i} in {all}");
    }
    assert_eq!(all.matches("10 mm").count(), 60);
}

#[test]
fn a_contents_list_is_printed_only_past_eight_pages() {
    let document = |chapters: usize| {
        let mut blocks = vec![Block::Contents];
        for i in 0..chapters {
            blocks.push(heading(1, &format!("Chapter {i}")));
            blocks.push(body("Words."));
            blocks.push(Block::PageBreak);
        }
        one(blocks)
    };
    let has = |pages: &Pages| pages.elements.iter().any(|e| e.tag == Tag::Contents);
    assert!(!has(&set(&document(8))));
    let long = set(&document(12));
    assert!(has(&long));
    // Every line of it names the page its chapter begins on.
    let all = read(&long);
    for entry in &long.outline {
        assert!(all.contains(&format!("{} {}", entry.title, entry.page + 1)), "{entry:?} in {all}");
    }
    let inner = long.pages.iter().flat_map(|p| &p.links).count();
    assert_eq!(inner, 12);
}

#[test]
fn faults_are_named() {
    let missing = one(vec![body("A snowman \u{2603} and \u{4e2d}.")]);
    let findings = lay_out(&missing, &Theme::default(), Paper::A4).unwrap_err();
    let said: Vec<&str> = findings.iter().map(|f| f.message.as_str()).collect();
    assert_eq!(codes(&missing), ["missing-glyph", "missing-glyph"]);
    assert!(said[0].contains('\u{2603}') && said[0].contains("U+2603"), "{said:?}");

    let mut broken = one(vec![figure(Art::Picture(0), Fit::Width(1.0), "A photo.", None)]);
    for bytes in [Vec::new(), b"not a picture".to_vec(), page_sample::photo(40, 40)[..300].to_vec()]
    {
        broken.pictures = vec![Picture { name: "p.jpg".into(), bytes }];
        assert_eq!(codes(&broken), ["picture"]);
    }
    let lost = one(vec![figure(Art::Picture(3), Fit::Width(1.0), "A photo.", None)]);
    assert_eq!(codes(&lost), ["picture"]);

    let link = Inline::Link { target: Target::Anchor("nowhere".into()), content: plain("there") };
    let astray =
        one(vec![Block::Paragraph(Paragraph { text: vec![link], kind: ParagraphKind::Body })]);
    assert_eq!(codes(&astray), ["broken-link"]);

    let mut long = Vec::new();
    for _ in 0..=brimwright::limits::PAGES {
        long.push(body("A page."));
        long.push(Block::PageBreak);
    }
    assert_eq!(codes(&one(long)), ["limit"]);
}

#[test]
fn odd_blocks_do_no_harm() {
    let nothing = || Figure {
        art: Art::Drawing(brimwright::figure::Drawing::default()),
        alt: "Nothing.".into(),
        caption: None,
        fit: Fit::Width(f64::NAN),
    };
    assert_eq!(codes(&one(vec![Block::Figure(nothing())])), ["picture"]);
    let blocks = vec![
        Block::Columns { count: 0, blocks: vec![] },
        Block::Columns { count: 9, blocks: vec![body("One.")] },
        Block::Keep(vec![]),
        Block::List(List { marker: Marker::Number, items: vec![vec![]] }),
        Block::Rounds(vec![]),
        Block::Form(vec![]),
        Block::Aside(Aside { title: vec![], blocks: vec![] }),
        Block::Table(Table {
            caption: None,
            columns: vec![],
            head: vec![],
            body: vec![],
            row_heads: true,
            notes: vec![],
        }),
        Block::Table(Table {
            caption: None,
            columns: vec![Column { align: Align::Left }; 2],
            head: vec![],
            body: vec![
                vec![],
                vec![Cell { text: plain("wide"), span: 200 }],
                vec![Cell { text: plain("none"), span: 0 }],
            ],
            row_heads: true,
            notes: vec![],
        }),
        Block::PageBreak,
        Block::PageBreak,
        body(""),
        body(&"long".repeat(400)),
        Block::Contents,
        Block::PageBreak,
    ];
    let pages = set(&one(blocks));
    inside(&pages, "odd");
    apart(&pages, "odd");
    assert_eq!(set(&one(vec![])).pages.len(), 1);
}

#[test]
fn no_text_however_odd_stops_the_typesetter() {
    let odd: Vec<char> = "ab \u{a0}\u{ad}\u{200b}\u{2060}\u{feff}\u{301}\u{65}\u{308}\u{2014}\u{2011}\u{1f9f6}\u{5d0}\u{4e2d}\t\n\r\u{0}\u{7}\u{2028}(*-/.,\u{bd}\u{e9}\u{fb01}"
        .chars()
        .collect();
    let plain_ones: Vec<char> =
        odd.iter().copied().filter(|c| !"\u{1f9f6}\u{5d0}\u{4e2d}".contains(*c)).collect();
    for seed in 0..300 {
        let chance = &mut stress::Chance::new(seed);
        let from = if seed % 3 == 0 { &odd } else { &plain_ones };
        let mut text = Vec::new();
        for _ in 0..1 + chance.below(12) {
            let part: String = (0..chance.below(30))
                .map(|_| from[chance.below(from.len() as u64) as usize])
                .collect();
            text.push(match chance.below(5) {
                0 => Inline::Strong(plain(part)),
                1 => Inline::Keep(vec![Inline::Text(part), Inline::Break]),
                2 => Inline::Break,
                3 => Inline::Abbreviation { text: part, expansion: "x".into() },
                _ => Inline::Text(part),
            });
        }
        let paragraph = Paragraph { text: text.clone(), kind: ParagraphKind::Body };
        let round = Round {
            label: text.clone(),
            body: text.clone(),
            count: Some(text.clone()),
            tick: true,
            counter: 3,
            note: Some(text),
        };
        let document = one(vec![Block::Paragraph(paragraph), Block::Rounds(vec![round])]);
        match lay_out(&document, &Theme::default(), Paper::A4) {
            Ok(pages) => {
                inside(&pages, &format!("odd text {seed}"));
                assert!(brimwright::pdf::write(&pages, &document).is_ok());
            }
            Err(findings) => {
                assert!(findings.iter().all(|f| f.code == "missing-glyph"), "{findings:?}")
            }
        }
    }
}
