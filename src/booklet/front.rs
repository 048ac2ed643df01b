//! The title page.

use super::document::*;
use super::words::list_of;
use super::{Choices, Proved};
use crate::written::say::Length;
use crate::written::tree::Terms;

/// The title page: photo, title, maker, short facts, rights.
pub(super) fn cover(p: &Proved, c: &Choices, photo: Option<usize>) -> Block {
    let pattern = &p.design.pattern;
    let about = pattern.about.as_ref().map(|a| a.as_str().to_owned()).unwrap_or_default();
    let mut facts = Vec::new();
    if let Some(skill) = &pattern.skill {
        facts.push(("Level".to_owned(), plain(level_line(&skill.value))));
    }
    facts.push((if c.size.is_some() { "Size" } else { "Sizes" }.to_owned(), plain(sizes(p, c))));
    facts.push(("Terms".to_owned(), plain(terms_line(c))));
    facts.push(("Edition".to_owned(), plain(edition(p))));
    if let Some(video) = &pattern.video {
        let url = video.url.as_str().to_owned();
        let link =
            Inline::Link { target: Target::Uri(url.clone()), content: plain(short_address(&url)) };
        facts.push(("Video".to_owned(), vec![link]));
    }
    Block::Cover(Box::new(Cover {
        title: pattern.title.as_str().to_owned(),
        by: pattern.by.as_str().to_owned(),
        about: plain(about),
        photo: photo.map(|i| Figure {
            art: Art::Picture(i),
            alt: photo_alt(p),
            caption: None,
            fit: Fit::Width(1.0),
        }),
        facts,
        rights: plain(rights(p)),
    }))
}

fn level_line(name: &str) -> String {
    match crate::standards::levels::level(name) {
        Some(level) => format!("{}: {}", level.name, level.criteria),
        None => name.to_owned(),
    }
}

/// The sizes at a glance, smallest to largest, with the heads they are for.
fn sizes(p: &Proved, c: &Choices) -> String {
    let shown: Vec<_> =
        p.design.sizes.iter().enumerate().filter(|(i, _)| c.shows(*i)).map(|(_, s)| s).collect();
    let names: Vec<String> = shown.iter().map(|s| s.name.clone()).collect();
    match (shown.first(), shown.last()) {
        (Some(a), Some(b)) => {
            let least = super::sizes::whole_or_half(a.head_min.to_cm());
            let most = super::sizes::whole_or_half(b.head_max.to_cm());
            format!("{}, for heads of {least} to {most}\u{a0}cm", list_of(&names))
        }
        _ => String::new(),
    }
}

/// Words in full need no key, and so have none.
fn terms_line(c: &Choices) -> &'static str {
    match (c.terms, c.length) {
        (Terms::Us, Length::Abbreviated) => "US crochet terms, with the UK equivalents in the key",
        (Terms::Uk, Length::Abbreviated) => "UK crochet terms, with the US equivalents in the key",
        (Terms::Us, Length::SpelledOut) => "US crochet terms, in full",
        (Terms::Uk, Length::SpelledOut) => "UK crochet terms, in full",
    }
}

/// "1.0, 5 October 2026".
pub(super) fn edition(p: &Proved) -> String {
    let pattern = &p.design.pattern;
    match &pattern.date {
        Some(d) => format!("{}, {}", pattern.edition.as_str(), super::date(d.value).words()),
        None => pattern.edition.as_str().to_owned(),
    }
}

fn photo_alt(p: &Proved) -> String {
    match &p.design.pattern.alt {
        Some(alt) => alt.as_str().to_owned(),
        None => format!("The finished hat, {}.", p.design.pattern.title.as_str()),
    }
}

fn rights(p: &Proved) -> String {
    let pattern = &p.design.pattern;
    let year = pattern.date.as_ref().map(|d| format!("{} ", d.value.year)).unwrap_or_default();
    let words = pattern.rights.as_ref().map(|r| r.as_str().trim().to_owned()).unwrap_or_default();
    format!("© {year}{}. {words}", pattern.by.as_str()).trim_end().to_owned()
}

/// An address without its scheme, as people say it.
pub(super) fn short_address(url: &str) -> String {
    let bare = url.strip_prefix("https://").or_else(|| url.strip_prefix("http://"));
    bare.unwrap_or(url).trim_end_matches('/').to_owned()
}
