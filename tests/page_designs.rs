//! Booklets of real designs as data: every shipped design in every edition, and designs by
//! chance. Nothing leaves its page and no words lie over others, labels in drawings included.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod page_sample;
mod sound;
mod standing;

use brimwright::booklet::document::{Document, Picture};
use brimwright::booklet::table::{For, table};
use brimwright::booklet::{Choices, sale};
use brimwright::design::read;
use brimwright::diag::{SourceId, any_fault};
use brimwright::proof::{Proved, prove};
use brimwright::typeset::page::Draw;
use brimwright::typeset::{Pages, Paper, Theme, lay_out};
use brimwright::written::say::{Hand, Length};
use brimwright::written::tree::Terms;
use page_sample::stress::{Chance, words};
use sound::{SHIPPED, proved};
use standing::{inside, labels_apart, nothing_lost, within_margins};

const SIXTEEN: &str = include_str!("designs/sixteen-sizes.toml");

fn set(document: &Document, theme: &Theme, paper: Paper, what: &str) -> Pages {
    let pages = lay_out(document, theme, paper).unwrap_or_else(|f| panic!("{what}: {f:?}"));
    inside(&pages, what);
    labels_apart(&pages, what);
    nothing_lost(&pages, what);
    within_margins(&pages, theme, what);
    pages
}

fn looks() -> [(&'static str, Theme); 3] {
    [
        ("plain", Theme::default()),
        ("large print", Theme::large_print()),
        ("low ink", Theme::default().saving_ink()),
    ]
}

/// Every way to choose a copy of a design.
fn choices(p: &Proved) -> Vec<Choices> {
    let mut out = Vec::new();
    let middle = p.design.sizes.len() / 2;
    for terms in [Terms::Us, Terms::Uk] {
        for length in [Length::Abbreviated, Length::SpelledOut] {
            for hand in [Hand::Right, Hand::Left] {
                for size in [None, Some(0), Some(middle)] {
                    for large in [false, true] {
                        out.push(Choices { terms, length, hand, size, large });
                    }
                }
            }
        }
    }
    out
}

#[test]
fn every_edition_of_every_shipped_design_stands_well() {
    for (name, text) in SHIPPED.into_iter().chain([("sixteen sizes", SIXTEEN)]) {
        let p = proved(text);
        for c in choices(&p) {
            let document = sale(&p, &c, None);
            for (look, theme) in looks() {
                if c.large != (look == "large print") {
                    continue;
                }
                for paper in [Paper::A4, Paper::Letter] {
                    set(&document, &theme, paper, &format!("{name}, {look}, {paper:?}, {c:?}"));
                }
            }
        }
        let c = Choices {
            terms: Terms::Us,
            length: Length::Abbreviated,
            hand: Hand::Right,
            size: None,
            large: false,
        };
        for size in 0..p.design.sizes.len() {
            let document = table(&p, &c, size, For::default());
            for (look, theme) in looks() {
                set(&document, &theme, Paper::A4, &format!("table copy of {name} {size}, {look}"));
            }
        }
    }
}

/// A shipped design with other sizes, gauges and words, by chance.
/// With its photo, as it is sold, a booklet stays a file to send by mail. Most of what is
/// not the photo is tables, cell by cell with its tag.
#[test]
fn a_sale_edition_is_little_larger_than_its_photo() {
    for (name, text) in SHIPPED {
        let p = proved(text);
        let file = std::path::Path::new("templates/photos").join(name).with_extension("jpg");
        let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
        let bytes = std::fs::read(root.join(file)).unwrap();
        let photo = Picture { name: format!("{name}.jpg"), bytes };
        let length = photo.bytes.len();
        let c = Choices {
            terms: p.design.terms,
            length: Length::Abbreviated,
            hand: Hand::Right,
            size: None,
            large: false,
        };
        let document = sale(&p, &c, Some(photo));
        for paper in [Paper::A4, Paper::Letter] {
            let pages = lay_out(&document, &Theme::default(), paper).unwrap();
            let written = brimwright::pdf::write(&pages, &document).unwrap().len();
            let over = written - length;
            assert!(over <= 90_000, "{name}: {over} bytes more than its photo");
        }
    }
}

fn by_chance(seed: u64) -> String {
    let chance = &mut Chance::new(seed);
    let (_, text) = SHIPPED[chance.below(9) as usize];
    let mut design: toml::Table = text.parse().unwrap();
    let n = 1 + chance.below(16);
    let (first, step) = (360 + chance.below(120), 8 + chance.below(30));
    let mut own = toml::Table::new();
    let mut used = Vec::new();
    for i in 0..n {
        let head = (first + i * step) as f64 / 10.0;
        let depth = (head * 0.75).round() / 2.0;
        let mut size = toml::Table::new();
        let m = 1 + chance.below(3);
        size.insert("name".into(), format!("{} {}", words(chance, m), i + 1).into());
        size.insert("head".into(), format!("{head} cm").into());
        size.insert("depth".into(), format!("{depth} cm").into());
        own.insert(format!("s{i}"), size.into());
        used.push(format!("s{i}"));
    }
    let mut sizes = toml::Table::new();
    sizes.insert("from".into(), "own".into());
    sizes.insert("use".into(), used.into());
    sizes.insert("own".into(), own.into());
    design.insert("sizes".into(), sizes.into());
    // What was given size by size is one value for all.
    for part in ["counts", "pompom"] {
        let Some(values) = design.get_mut(part).and_then(|v| v.as_table_mut()) else { continue };
        for (_, value) in values.iter_mut() {
            let by_size = value.as_table().and_then(|t| t.get("rest").or(t.values().next_back()));
            if let Some(one) = by_size.cloned() {
                *value = one;
            }
        }
    }
    let tight = 0.8 + chance.below(50) as f64 / 100.0;
    for (_, gauge) in design["gauge"].as_table_mut().unwrap().iter_mut() {
        for key in ["sts", "rows"] {
            let value = gauge[key]
                .as_integer()
                .map_or_else(|| gauge[key].as_float().unwrap(), |i| i as f64);
            gauge[key] = ((value * tight * 2.0).round() / 2.0).into();
        }
    }
    let m = 1 + chance.below(9);
    design["pattern"]["title"] = words(chance, m).into();
    for piece in design["piece"].as_array_mut().unwrap() {
        let piece = piece.as_table_mut().unwrap();
        piece.remove("sizes");
        if chance.one_in(2) {
            let m = 4 + chance.below(60);
            piece.insert("note".into(), words(chance, m).into());
        }
    }
    toml::to_string(&design).unwrap()
}

#[test]
fn two_hundred_designs_by_chance_stand_well() {
    let (mut proved, mut with_brackets) = (0, 0);
    let mut seed = 0;
    while proved < 200 {
        assert!(seed < 2000, "only {proved} of {seed} designs are sound");
        seed += 1;
        let (design, findings) = read(SourceId(0), &by_chance(seed));
        let Some(design) = design.filter(|_| !any_fault(&findings)) else { continue };
        let (p, findings) = prove(design);
        if any_fault(&findings) {
            continue;
        }
        proved += 1;
        with_brackets += usize::from(p.design.sizes.len() > 6);
        let all = choices(&p);
        let chance = &mut Chance::new(seed);
        let c = &all[chance.below(all.len() as u64) as usize];
        let (look, theme) = &looks()[chance.below(3) as usize];
        let paper = if chance.one_in(2) { Paper::A4 } else { Paper::Letter };
        set(&sale(&p, c, None), theme, paper, &format!("seed {seed}, {look}, {paper:?}, {c:?}"));
    }
    assert!(with_brackets > 30, "{with_brackets} of more than six sizes");
}

fn text(pages: &Pages) -> String {
    let runs = pages.pages.iter().flat_map(|p| &p.items).filter_map(|i| match &i.draw {
        Draw::Text(run) => Some(run.text.as_str()),
        _ => None,
    });
    runs.collect::<Vec<_>>().join(" ").split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn brackets_too_wide_for_a_line_become_a_table_by_size() {
    let c = Choices {
        terms: Terms::Us,
        length: Length::Abbreviated,
        hand: Hand::Right,
        size: None,
        large: false,
    };
    let p = proved(SIXTEEN);
    let said = text(&set(&sale(&p, &c, None), &Theme::default(), Paper::A4, "sixteen"));
    // Stitches at the brim of the first and the last size, from the worked fabric.
    let count = |size: usize| p.pieces[0].worked[size].as_ref().unwrap().lines[1].count;
    let (first, last) = (count(0), count(15));
    assert!(said.contains("A letter in the lines below stands for your size\u{2019}s number"));
    assert!(said.contains(&format!("30 cm {first} 32.5 cm")), "{said}");
    assert!(said.contains(&format!("67.5 cm {last}")), "{said}");
    assert!(said.contains("[A dc ]"), "{said}");
    // One size alone has its numbers in the lines.
    let one = Choices { size: Some(3), ..c };
    let said = text(&set(&sale(&p, &one, None), &Theme::default(), Paper::A4, "one of sixteen"));
    assert!(!said.contains("A letter in the lines"), "{said}");
    // Six sizes keep their brackets.
    let six = proved(include_str!("../templates/larch-walk.toml"));
    let c = Choices { size: None, ..c };
    let said = text(&set(&sale(&six, &c, None), &Theme::default(), Paper::A4, "six"));
    assert!(
        !said.contains("A letter in the lines") && said.contains("(80, 84, 88, 92, 96)"),
        "{said}"
    );
}
