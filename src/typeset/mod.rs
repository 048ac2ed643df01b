//! The typesetter: a device-free document and a theme come in, positioned pages go out.
//!
//! Steps, in order: text becomes [`inline`] fragments, fragments become [`lines`], blocks
//! become strips ([`blocks`], [`rounds`], [`table`], [`figure`], [`cover`], [`contents`]),
//! strips [`flow`] down the pages, and [`furniture`] goes around them.

mod blocks;
mod colour;
mod composer;
mod contents;
mod cover;
mod face;
mod figure;
mod flow;
mod furniture;
mod inline;
mod kern;
mod lines;
pub mod page;
pub mod picture;
mod rounds;
mod sections;
mod strip;
mod table;
mod table_plan;
mod theme;
mod theme_file;

pub use colour::Colour;
pub use page::Pages;
pub use theme::{FontFile, MM, Margins, Measure, Paper, Theme, Voice};
pub use theme_file::{THEME_KEYS, ThemeFile};

use crate::booklet::document::{Block, Document, Target};
use crate::diag::{Finding, any_fault};
use crate::limits::PAGES;
use composer::{Aim, Composer};
use face::Shaper;
use flow::Flowed;
use page::{Goes, OutlineEntry, Owner};
use std::collections::BTreeMap;
use strip::Pin;

/// A contents list is printed when a booklet has more pages than this.
const PAGES_WITHOUT_CONTENTS: usize = 8;

/// Sets a document on pages.
///
/// # Errors
/// Faults: `missing-glyph` (no face shows a character), `font`, `picture` (broken or of
/// no use), `broken-link` (a link to no heading), `limit` (too many pages).
pub fn lay_out(document: &Document, theme: &Theme, paper: Paper) -> Result<Pages, Vec<Finding>> {
    let has_contents = document.blocks.iter().any(|b| matches!(b, Block::Contents));
    let (composer, flowed) = set(document, theme, paper, has_contents);
    let (composer, flowed) = if has_contents && flowed.pages.len() <= PAGES_WITHOUT_CONTENTS {
        set(document, theme, paper, false)
    } else {
        (composer, flowed)
    };
    finish(composer, flowed)
}

fn set<'a>(
    document: &'a Document,
    theme: &'a Theme,
    paper: Paper,
    contents: bool,
) -> (Composer<'a>, Flowed) {
    let mut composer = Composer::new(document, theme, Shaper::new(theme), paper.size());
    composer.with_contents = contents;
    let nodes = composer.document();
    let flowed = composer.flow(nodes);
    (composer, flowed)
}

/// Settles what refers to pages, adds heads and feet, and gathers the findings.
fn finish(mut composer: Composer, mut flowed: Flowed) -> Result<Pages, Vec<Finding>> {
    let document = composer.doc;
    let mut findings = std::mem::take(&mut composer.findings);
    if flowed.too_many {
        let words = format!("the booklet would have more than {PAGES} pages");
        findings.push(Finding::fault("limit", words).help("leave chapters or sizes out"));
    }
    let noted = note(&mut composer, &mut flowed);
    findings.extend(aim(&composer, &mut flowed, &noted));
    let cover = document.blocks.iter().any(|b| matches!(b, Block::Cover(_)));
    let top = composer.area().y + composer.theme.body.leading;
    let chapters = chapters(&noted.chapters, flowed.pages.len(), top);
    composer.furnish(&mut flowed.pages, &chapters, cover);
    findings.extend(composer.shaper.findings());
    if any_fault(&findings) {
        return Err(findings);
    }
    let outline = noted
        .entries
        .iter()
        .filter_map(|(entry, (page, y))| {
            let (level, title) = composer.entries.get(*entry)?.clone();
            Some(OutlineEntry { level, title, page: *page, y: *y })
        })
        .collect();
    Ok(Pages {
        width: composer.paper.0,
        height: composer.paper.1,
        pages: flowed.pages,
        faces: composer.shaper.files(),
        outline,
        elements: composer.elements,
        pictures: composer.pictures,
        logo: composer.theme.logo.clone(),
    })
}

/// Places that later things refer to.
#[derive(Default)]
struct Noted {
    anchors: BTreeMap<String, (usize, f64)>,
    entries: BTreeMap<usize, (usize, f64)>,
    /// Page, distance from its top, title.
    chapters: Vec<(usize, f64, String)>,
}

fn note(composer: &mut Composer, flowed: &mut Flowed) -> Noted {
    let mut noted = Noted::default();
    let mut numbers = Vec::new();
    for (page, y, pin) in flowed.pins.drain(..) {
        match pin {
            Pin::Anchor(name) => {
                noted.anchors.entry(name).or_insert((page, y));
            }
            Pin::Outline(entry) => {
                noted.entries.insert(entry, (page, y));
            }
            Pin::Chapter(title) => noted.chapters.push((page, y, title)),
            Pin::Figure(element, area) => {
                if let Some(element) = composer.elements.get_mut(element) {
                    element.place = Some((page, area));
                }
            }
            Pin::Number(x, y, element, order, entry) => {
                numbers.push((page, x, y, element, order, entry));
            }
        }
    }
    for (page, x, y, element, order, entry) in numbers {
        let Some((target, _)) = noted.entries.get(&entry) else { continue };
        let items = composer.page_number(target + 1, x, y, Owner::Element(element), order);
        if let Some(page) = flowed.pages.get_mut(page) {
            page.items.extend(items);
        }
    }
    noted
}

/// Gives every link its place; a link to nowhere is a fault.
fn aim(composer: &Composer, flowed: &mut Flowed, noted: &Noted) -> Vec<Finding> {
    let mut findings = Vec::new();
    for link in flowed.pages.iter_mut().flat_map(|p| &mut p.links) {
        let Some((aim, _)) = composer.goes.get(&link.element) else { continue };
        let place = match aim {
            Aim::Target(Target::Uri(uri)) => {
                link.goes = Goes::Uri(uri.clone());
                continue;
            }
            Aim::Target(Target::Anchor(name)) => noted.anchors.get(name),
            Aim::Entry(entry) => noted.entries.get(entry),
        };
        match (place, aim) {
            (Some((page, y)), _) => link.goes = Goes::Page(*page, *y),
            (None, Aim::Target(Target::Anchor(name))) => {
                let words = format!("a link leads to \u{201c}{name}\u{201d}, which no heading has");
                let finding = Finding::fault("broken-link", words);
                if !findings.contains(&finding) {
                    findings.push(finding);
                }
            }
            (None, _) => {}
        }
    }
    findings
}

/// The chapter of what stands at the top of each page, which is what a running head is looked
/// at for; `top` is how far down a heading still stands there.
fn chapters(begun: &[(usize, f64, String)], pages: usize, top: f64) -> Vec<String> {
    let mut current = String::new();
    let mut out = Vec::with_capacity(pages);
    for page in 0..pages {
        let mut here = begun.iter().filter(|(p, _, _)| *p == page);
        let first = here.next();
        let begins = first.filter(|(_, y, _)| *y <= top || current.is_empty());
        out.push(begins.map_or_else(|| current.clone(), |(_, _, title)| title.clone()));
        if let Some((_, _, last)) = here.next_back().or(first) {
            current.clone_from(last);
        }
    }
    out
}
