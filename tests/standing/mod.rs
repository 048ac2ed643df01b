//! What must hold of every page: nothing leaves it, no words lie over other words, words
//! keep to the margins.
#![allow(dead_code)]

use brimwright::typeset::page::{Area, Draw, Owner, Page, Run, Tag};
use brimwright::typeset::{Pages, Theme};

fn cut(area: Area, clip: Area) -> Area {
    let (x, y) = (area.x.max(clip.x), area.y.max(clip.y));
    let right = (area.x + area.width).min(clip.x + clip.width);
    let foot = (area.y + area.height).min(clip.y + clip.height);
    Area { x, y, width: (right - x).max(0.0), height: (foot - y).max(0.0) }
}

/// Every mark lies on its page: words wholly, shapes with half a line's width to spare.
pub fn inside(pages: &Pages, what: &str) {
    for (n, page) in pages.pages.iter().enumerate() {
        for item in &page.items {
            let Some(area) = item.draw.area() else { continue };
            let area = item.clip.map_or(area, |clip| cut(area, clip));
            let fits = area.x >= -0.5
                && area.y >= -0.5
                && area.x + area.width <= pages.width + 0.5
                && area.y + area.height <= pages.height + 0.5;
            assert!(fits, "{what}: page {}: {:?} at {area:?}", n + 1, words(&item.draw));
        }
        for link in &page.links {
            let a = link.area;
            assert!(a.x >= 0.0 && a.x + a.width <= pages.width, "{what}: link at {a:?}");
        }
    }
}

pub fn words(draw: &Draw) -> &str {
    match draw {
        Draw::Text(run) => &run.text,
        Draw::Shape(_) => "a shape",
        Draw::Picture(_) => "a picture",
    }
}

/// The box of the small letters: what must never lie over other words.
fn core(run: &Run) -> Area {
    let (x, y) = run.at;
    Area { x, y: y - 0.5 * run.size, width: run.width, height: 0.55 * run.size }
}

fn none_over_another(runs: &[&Run], page: usize, what: &str) {
    for (i, a) in runs.iter().enumerate() {
        for b in runs.iter().skip(i + 1) {
            let shared = cut(core(a), core(b));
            assert!(
                shared.width < 0.1 || shared.height < 0.1,
                "{what}: page {}: {:?} at {:?} over {:?} at {:?}",
                page + 1,
                a.text,
                a.at,
                b.text,
                b.at,
            );
        }
    }
}

/// No two runs of words lie over each other, labels in drawings left out.
pub fn apart(pages: &Pages, what: &str) {
    for (n, page) in pages.pages.iter().enumerate() {
        let runs: Vec<&Run> = upright(pages, page).collect();
        none_over_another(&runs, n, what);
    }
}

fn upright<'p>(pages: &'p Pages, page: &'p Page) -> impl Iterator<Item = &'p Run> {
    page.items.iter().filter_map(|item| {
        let drawn = match item.owner {
            Owner::Element(e) => pages.elements[e].tag == Tag::Figure,
            _ => false,
        };
        match &item.draw {
            Draw::Text(run) if !drawn && run.turn == 0.0 && !run.text.trim().is_empty() => {
                Some(run)
            }
            _ => None,
        }
    })
}

/// Words stay between the margins.
pub fn within_margins(pages: &Pages, theme: &Theme, what: &str) {
    let (left, right) = (theme.margins.left, pages.width - theme.margins.right);
    for (n, page) in pages.pages.iter().enumerate() {
        for run in upright(pages, page) {
            let fits = run.at.0 >= left - 0.1 && run.at.0 + run.width <= right + 0.1;
            assert!(
                fits,
                "{what}: page {}: {:?} at {:?} width {}",
                n + 1,
                run.text,
                run.at,
                run.width
            );
        }
    }
}

/// No two labels of a page lie over each other, upright ones in drawings included.
pub fn labels_apart(pages: &Pages, what: &str) {
    for (n, page) in pages.pages.iter().enumerate() {
        let runs: Vec<&Run> = page
            .items
            .iter()
            .filter_map(|item| match &item.draw {
                Draw::Text(run) if run.turn == 0.0 && !run.text.trim().is_empty() => Some(run),
                _ => None,
            })
            .collect();
        none_over_another(&runs, n, what);
    }
}

/// Everything that was said is on a page: each row, paragraph, heading, entry and figure.
pub fn nothing_lost(pages: &Pages, what: &str) {
    let mut shown = vec![false; pages.elements.len()];
    for item in pages.pages.iter().flat_map(|p| &p.items) {
        let mut at = match item.owner {
            Owner::Element(e) => Some(e),
            _ => None,
        };
        while let Some(e) = at.filter(|e| !shown[*e]) {
            shown[e] = true;
            at = pages.elements[e].parent;
        }
    }
    let told = [Tag::Row, Tag::Paragraph, Tag::Item, Tag::Figure, Tag::ContentsItem];
    for (e, element) in pages.elements.iter().enumerate() {
        let speaks = told.contains(&element.tag) || matches!(element.tag, Tag::Heading(_));
        assert!(shown[e] || !speaks, "{what}: element {e}, {:?}, is on no page", element.tag);
    }
}
