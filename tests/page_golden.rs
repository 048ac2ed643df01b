//! A few pages as they were last looked at: their words with places, and a small picture.
//!
//! When a page has changed on purpose, look at what the failure names, then accept it:
//! `UPDATE_GOLDEN=1 cargo test --test page_golden`.
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

use brimwright::booklet::document::Document;
use brimwright::booklet::{Choices, sale};
use brimwright::pdf;
use brimwright::typeset::page::{Draw, Page};
use brimwright::typeset::{Pages, Paper, Theme, lay_out};
use brimwright::written::say::{Hand, Length};
use brimwright::written::tree::Terms;
use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::{RenderSettings, render_pdf};
use image::{GrayImage, Luma};
use std::fmt::Write;
use std::path::{Path, PathBuf};

const DPI: f32 = 40.0;
/// Greys this far apart are different: less is the rounding of another machine.
const NEAR: u8 = 40;
/// So many pixels in a thousand may be different.
const STRAY: f64 = 0.5;

/// What is kept: a name, a booklet, its look, and a heading on the page.
fn kept() -> Vec<(&'static str, Document, Theme, &'static str)> {
    let design = |text: &str| {
        let c = Choices {
            terms: Terms::Us,
            length: Length::Abbreviated,
            hand: Hand::Right,
            size: None,
            large: false,
        };
        sale(&sound::proved(text), &c, None)
    };
    let harbour = || design(include_str!("../templates/harbour-rib.toml"));
    let sixteen = || design(include_str!("designs/sixteen-sizes.toml"));
    vec![
        ("cover", page_sample::sample(), Theme::default(), "Harbour Lantern Hat"),
        ("rounds", harbour(), Theme::default(), "Finishing"),
        ("charts", harbour(), Theme::default(), "Charts"),
        ("any-head", harbour(), Theme::default(), "Any head"),
        ("pompom", harbour(), Theme::default().saving_ink(), "Pompom"),
        ("sizes-large-print", harbour(), Theme::large_print(), "Finished girth"),
        ("letters", sixteen(), Theme::default(), "Pattern"),
    ]
}

fn words(page: &Page) -> impl Iterator<Item = &brimwright::typeset::page::Run> {
    page.items.iter().filter_map(|item| match &item.draw {
        Draw::Text(run) => Some(run),
        _ => None,
    })
}

/// The last page that shows these words alone in a run: the contents list stands before.
fn find(pages: &Pages, said: &str) -> usize {
    let shows = |page: &Page| words(page).any(|r| r.text.trim() == said && r.size > 9.0);
    pages.pages.iter().rposition(shows).unwrap_or_else(|| panic!("no page says {said:?}"))
}

/// Every run of words of a page: left edge, baseline, width, size, and what it says.
fn told(page: &Page) -> String {
    let mut out = String::new();
    for run in words(page).filter(|r| !r.text.trim().is_empty()) {
        let (x, y) = run.at;
        let turn = if run.turn == 0.0 { String::new() } else { format!(" turned {}", run.turn) };
        writeln!(
            out,
            "{x:6.1} {y:6.1} {:6.1} {:4.1}{turn}  {}",
            run.width,
            run.size,
            run.text.trim_end()
        )
        .unwrap();
    }
    out
}

fn picture(bytes: &[u8], page: usize) -> GrayImage {
    let pdf = Pdf::new(bytes.to_vec()).unwrap();
    let settings = InterpreterSettings::default();
    let drawn =
        render_pdf(&pdf, DPI / 72.0, settings, &RenderSettings::default(), Some(page..=page))
            .unwrap()
            .remove(0);
    let (width, data) = (u32::from(drawn.width()), drawn.data_as_u8_slice());
    GrayImage::from_fn(width, u32::from(drawn.height()), |x, y| {
        let at = 4 * (y * width + x) as usize;
        // The usual weights for how bright red, green and blue look (ITU-R BT.601, from memory).
        let [r, g, b] = [data[at], data[at + 1], data[at + 2]].map(f64::from);
        Luma([(0.299 * r + 0.587 * g + 0.114 * b).round() as u8])
    })
}

/// How many pixels in a thousand differ; all of them where the sizes do.
fn difference(a: &GrayImage, b: &GrayImage) -> f64 {
    if a.dimensions() != b.dimensions() {
        return 1000.0;
    }
    let far = a.pixels().zip(b.pixels()).filter(|(a, b)| a.0[0].abs_diff(b.0[0]) > NEAR).count();
    1000.0 * far as f64 / a.pixels().len() as f64
}

fn golden(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/golden/page").join(name)
}

fn updating() -> bool {
    std::env::var_os("UPDATE_GOLDEN").is_some()
}

/// Where what was drawn now can be looked at.
fn looked_at(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("pages");
    std::fs::create_dir_all(&folder).unwrap();
    folder.join(name)
}

#[test]
fn pages_are_as_they_were_looked_at() {
    let mut changed = Vec::new();
    for (name, document, theme, said) in kept() {
        let pages = lay_out(&document, &theme, Paper::A4).unwrap();
        let page = find(&pages, said);
        let (text, shown) =
            (told(&pages.pages[page]), picture(&pdf::write(&pages, &document).unwrap(), page));
        let (text_file, image_file) =
            (golden(&format!("{name}.txt")), golden(&format!("{name}.png")));
        if updating() {
            std::fs::write(&text_file, &text).unwrap();
            shown.save(&image_file).unwrap();
            continue;
        }
        let before = std::fs::read_to_string(&text_file).unwrap_or_default();
        if before != text {
            let now = looked_at(&format!("{name}.txt"));
            std::fs::write(&now, &text).unwrap();
            let line = before.lines().zip(text.lines()).position(|(a, b)| a != b);
            let line = line.unwrap_or_else(|| before.lines().count().min(text.lines().count()));
            changed.push(format!(
                "{name}: words or places changed from line {}: compare {} with {}",
                line + 1,
                text_file.display(),
                now.display()
            ));
        }
        let far = image::open(&image_file).map_or(1000.0, |i| difference(&i.to_luma8(), &shown));
        if far > STRAY {
            let now = looked_at(&format!("{name}.png"));
            shown.save(&now).unwrap();
            changed.push(format!(
                "{name}: {far:.1} pixels in 1000 changed: look at {} beside {}",
                now.display(),
                image_file.display()
            ));
        }
    }
    assert!(
        changed.is_empty(),
        "pages changed; if each looks right, UPDATE_GOLDEN=1 cargo test --test page_golden\n{}",
        changed.join("\n")
    );
}

#[test]
fn a_line_moved_by_a_point_is_seen() {
    let document = page_sample::sample();
    let mut pages = lay_out(&document, &Theme::default(), Paper::A4).unwrap();
    let page = find(&pages, "Gauge");
    let before = picture(&pdf::write(&pages, &document).unwrap(), page);
    assert_eq!(difference(&before, &before), 0.0);
    for item in &mut pages.pages[page].items {
        if matches!(item.draw, Draw::Text(_)) {
            item.draw.shift(0.0, 1.0);
        }
    }
    let after = picture(&pdf::write(&pages, &document).unwrap(), page);
    let far = difference(&before, &after);
    assert!(far > 10.0 * STRAY, "{far} in 1000");
}
