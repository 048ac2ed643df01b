//! Themes of the user's own: what `explain` shows of them is true, and the pages obey them.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use brimwright::booklet::document::{Block, Document, Paragraph, ParagraphKind, plain};
use brimwright::diag::SourceId;
use brimwright::diag::explain::{Kind, pages};
use brimwright::typeset::page::Draw;
use brimwright::typeset::{Colour, MM, Paper, THEME_KEYS, Theme, ThemeFile, lay_out};

/// What is written of theme files for their authors.
const REFERENCE: &str = include_str!("../templates/THEME-FILE.md");

#[test]
fn every_example_of_a_theme_shows_what_it_says() {
    let examples: Vec<_> = pages().iter().filter(|p| p.example == Kind::Theme).collect();
    assert!(!examples.is_empty());
    for page in examples {
        let findings = ThemeFile::read(SourceId(0), &page.bad).unwrap_err();
        assert!(findings.iter().any(|f| f.code == page.code), "{}: {findings:?}", page.code);
        assert!(ThemeFile::read(SourceId(0), &page.good).is_ok(), "{}", page.code);
    }
}

#[test]
fn the_reference_of_themes_is_whole_and_its_examples_read() {
    for (table, keys) in THEME_KEYS {
        for key in keys {
            let documented = REFERENCE.contains(&format!("`{key}`"))
                || REFERENCE.contains(&format!("`[{key}]`"));
            assert!(documented, "[{table}] {key}");
        }
    }
    let examples: Vec<&str> = REFERENCE
        .split("```toml\n")
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap())
        .collect();
    assert_eq!(examples.len(), 2);
    for example in examples {
        ThemeFile::read(SourceId(0), example).unwrap();
    }
    // The bounds it names are those that hold.
    for (wrong, code) in [
        ("body_size = 7.9", "out-of-range"),
        ("body_size = 30.1", "out-of-range"),
        ("[margins]\ntop = 9.9", "out-of-range"),
        ("[margins]\ntop = 60.1", "out-of-range"),
        ("accent = '#808080'", "contrast"),
    ] {
        assert_eq!(ThemeFile::read(SourceId(0), wrong).unwrap_err()[0].code, code, "{wrong}");
    }
}

#[test]
fn pages_obey_a_theme() {
    let text = "accent = '#204060'\nbody_size = 12\nfooter = 'Ask the maker'\n\
                [margins]\nleft = 40\nright = 30\n";
    let theme = ThemeFile::read(SourceId(0), text).unwrap().with_files(|_| None).unwrap();
    let text = plain("Words enough for several lines of the text. ".repeat(20));
    let block = Block::Paragraph(Paragraph { text, kind: ParagraphKind::Body });
    let document = Document { blocks: vec![block], ..Document::default() };
    let pages = lay_out(&document, &theme, Paper::A4).unwrap();
    let mut foot = false;
    for item in &pages.pages[0].items {
        let Draw::Text(run) = &item.draw else { continue };
        assert!(run.at.0 >= 40.0 * MM - 0.01);
        assert!(run.at.0 + run.width <= (210.0 - 30.0) * MM + 0.01);
        foot |= run.text == "Ask the maker";
        if run.text.starts_with("Words") {
            assert_eq!(run.size, 12.0);
        }
    }
    assert!(foot);
    assert_eq!(theme.accent, Colour(0x20, 0x40, 0x60));
}

#[test]
fn a_font_of_ones_own_is_used_and_embedded() {
    // The built-in italic stands in for a font of the user's own.
    let italic = Theme::default().fonts[1].bytes.to_vec();
    let file = ThemeFile::read(SourceId(0), "[fonts]\ntext = 'own.ttf'\n").unwrap();
    let theme = file.with_files(|name| (name == "own.ttf").then(|| italic.clone())).unwrap();
    let block = Block::Paragraph(Paragraph { text: plain("Words."), kind: ParagraphKind::Body });
    let document = Document { blocks: vec![block], ..Document::default() };
    let pages = lay_out(&document, &theme, Paper::A4).unwrap();
    let bytes = brimwright::pdf::write(&pages, &document).unwrap();
    let pdf = lopdf::Document::load_mem(&bytes).unwrap();
    let named = pdf
        .objects
        .values()
        .filter_map(|o| o.as_dict().ok()?.get(b"FontName").ok()?.as_name().ok());
    let names: Vec<String> = named.map(|n| String::from_utf8_lossy(n).into()).collect();
    assert_eq!(names, ["BRIMAA+ownttf"]);
}
