//! Reading one card by itself: syntax, keys, types and the bounds no figure may pass.

use super::model::*;
use crate::design::walk::{Item, Reader, Table};
use crate::design::{Placed, syntax};
use crate::diag::{Finding, Place, SourceId, Span, any_fault};
use crate::limits;
use crate::quantity::{Length, Mass};
use toml::de::{DeTable, DeValue};

/// The tables and keys of a card. `*` stands for a name of the design's.
pub const CARD_KEYS: &[(&str, &[&str])] = &[
    (
        "",
        &[
            "card", "tester", "title", "edition", "size", "date", "hours", "notes", "unclear",
            "gauge", "finished", "yarn",
        ],
    ),
    ("gauge.*", &["over", "hook", "before", "after"]),
    ("gauge.*.before", &["sts", "rows"]),
    ("gauge.*.after", &["sts", "rows"]),
    ("finished", &["girth", "depth"]),
    ("yarn.*", &["before", "after"]),
    ("unclear", &["line", "words"]),
];

/// The format of cards that is understood.
const FORMAT: i64 = 1;

/// Reads a card. Every fault is found at once; where there is any, there is no card.
pub fn read(source: SourceId, text: &str) -> (Option<Card>, Vec<Finding>) {
    if text.len() as u64 > limits::FILE_BYTES {
        let most = limits::FILE_BYTES;
        let message = format!("the card has {} bytes; the most is {most}", text.len());
        return (None, vec![Finding::fault("limit", message)]);
    }
    let (document, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        return (None, errors.iter().map(|e| syntax(source, e)).collect());
    }
    let mut reader = Reader::new(source, text, "tester card", CARD_KEYS);
    let place = Place { source, span: Span::new(0, 0) };
    let root = reader.open(document.get_ref(), place, "");
    let card = whole(&mut reader, root);
    let mut findings = reader.findings;
    findings.sort_by_key(|f| f.place.map(|p| p.span));
    let card = card.filter(|_| !any_fault(&findings));
    (card, findings)
}

fn whole<'a>(r: &mut Reader<'a>, mut t: Table<'a>) -> Option<Card> {
    r.need(&mut t, "card", "1", |r, i| r.whole(i, FORMAT, FORMAT));
    let tester = r.need(&mut t, "tester", "\"Wren\"", Reader::word);
    let title = r.need(&mut t, "title", "\"Quarry Lane\"", Reader::word);
    let edition = r.need(&mut t, "edition", "\"1.0\"", Reader::word);
    let size = r.need(&mut t, "size", "\"adult-m\"", Reader::word);
    let date = r.need(&mut t, "date", "2026-10-20", Reader::date);
    let hours = r.opt(&mut t, "hours", |r, i| figure(r, i, 500.0)).flatten();
    let notes = r.opt(&mut t, "notes", Reader::text).map(|n| n.text).unwrap_or_default();
    let unclear = t.take("unclear").map(|i| unclear(r, i)).unwrap_or_default();
    let gauges = match t.take("gauge") {
        Some(item) => named(r, item, "gauge", swatch),
        None => {
            r.missing(
                &t,
                "gauge",
                "…: a table [gauge.body] with `before = { sts = 14, rows = 9 }`",
            );
            Vec::new()
        }
    };
    let finished = r.opt(&mut t, "finished", |r, i| {
        let mut f = r.table(i, "finished")?;
        let girth = r.opt(&mut f, "girth", length).flatten();
        let depth = r.opt(&mut f, "depth", length).flatten();
        r.close(f);
        Some((girth, depth))
    });
    let (girth, depth) = finished.unwrap_or_default();
    let yarn = t.take("yarn").map(|i| named(r, i, "yarn", weighed)).unwrap_or_default();
    r.close(t);
    Some(Card {
        source: r.source,
        tester: tester?,
        title: title?,
        edition: edition?,
        size: size?,
        date: date?,
        gauges,
        girth,
        depth,
        yarn: yarn.into_iter().flatten().collect(),
        hours,
        unclear,
        notes,
    })
}

/// Every table under `key`, each named by the author.
fn named<'a, T>(
    r: &mut Reader<'a>,
    item: Item<'a>,
    key: &'static str,
    mut read: impl FnMut(&mut Reader<'a>, Item<'a>) -> Option<T>,
) -> Vec<T> {
    let Some(mut table) = r.table(item, key) else { return Vec::new() };
    table.take_all().into_iter().filter_map(|i| read(r, i)).collect()
}

fn swatch<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Swatch> {
    let mut t = r.table(item, "gauge.*")?;
    let over = r.opt(&mut t, "over", length).flatten();
    let hook = r.opt(&mut t, "hook", length).flatten();
    let before = r.opt(&mut t, "before", |r, i| counted(r, i, "gauge.*.before"));
    let after = r.opt(&mut t, "after", |r, i| counted(r, i, "gauge.*.after"));
    r.close(t);
    if let Some(over) = &over {
        bounded(r, over, (Length::cm(2.0), Length::cm(60.0)), "over");
    }
    if let Some(hook) = &hook {
        bounded(r, hook, (Length::mm(0.5), Length::mm(50.0)), "hook");
    }
    Some(Swatch {
        name: item.key.to_owned(),
        place: item.key_place,
        over,
        hook,
        before: before.unwrap_or_default(),
        after: after.unwrap_or_default(),
    })
}

/// A slip of the unit shows itself here.
fn bounded(r: &mut Reader<'_>, l: &Placed<Length>, (low, high): (Length, Length), what: &str) {
    if l.value < low || l.value > high {
        let shown = l.value.hook_text();
        let message = format!("`{what}` is {shown}: no {what} is that size");
        let help = format!("it lies between {} and {}", low.hook_text(), high.hook_text());
        r.fault(Finding::fault("card-impossible", message).at(l.place, "").help(help));
    }
}

fn counted<'a>(r: &mut Reader<'a>, item: Item<'a>, name: &'static str) -> Option<Counted> {
    let mut t = r.table(item, name)?;
    let sts = r.opt(&mut t, "sts", |r, i| figure(r, i, 1000.0)).flatten();
    let rows = r.opt(&mut t, "rows", |r, i| figure(r, i, 1000.0)).flatten();
    r.close(t);
    Some(Counted { sts, rows })
}

/// A figure above zero; 0 and "" are how the blank card says that nothing was filled in.
fn figure<'a>(r: &mut Reader<'a>, item: Item<'a>, most: f64) -> Option<Option<Placed<f64>>> {
    if is_blank(item) {
        return Some(None);
    }
    let n = r.number(item)?;
    match n.value {
        0.0 => Some(None),
        v if v > 0.0 && v <= most => Some(Some(n)),
        _ => r.bad_number(item, &format!("more than 0 and at most {most}")),
    }
}

fn length<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Option<Placed<Length>>> {
    if is_blank(item) { Some(None) } else { r.extent(item).map(Some) }
}

/// None where the yarn was not weighed twice.
fn weighed<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Option<Weighed>> {
    let mut t = r.table(item, "yarn.*")?;
    let before = r.opt(&mut t, "before", mass).flatten();
    let after = r.opt(&mut t, "after", mass).flatten();
    r.close(t);
    let (Some(before), Some(after)) = (before, after) else { return Some(None) };
    if after.value >= before.value {
        let message = format!(
            "the card says {} of yarn {} before and {} after: that hat took no yarn",
            before.value.grams_text(),
            item.key,
            after.value.grams_text()
        );
        let finding = Finding::fault("card-impossible", message)
            .at(after.place, "what was left")
            .label(before.place, "what there was")
            .help("weigh all balls before the first stitch, and what is left at the end");
        r.fault(finding);
    }
    let name = item.key.to_owned();
    Some(Some(Weighed { name, place: item.key_place, before, after }))
}

/// A mass of nothing left over is a fair answer here.
fn mass<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Option<Placed<Mass>>> {
    if is_blank(item) {
        return Some(None);
    }
    if let DeValue::String(s) = item.value
        && Mass::parse(s).is_ok_and(Mass::is_zero)
    {
        return Some(Some(Placed { value: Mass::ZERO, place: item.place }));
    }
    r.mass(item).map(Some)
}

fn unclear<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Vec<Unclear> {
    let read = |r: &mut Reader<'a>, mut t: Table<'a>| {
        let line = r.opt(&mut t, "line", |r, i| r.whole(i, 0, 100_000));
        let words = r.opt(&mut t, "words", Reader::text).map(|w| w.text).unwrap_or_default();
        let place = t.place;
        r.close(t);
        let line = line.and_then(|l| u32::try_from(l.value).ok()).filter(|l| *l > 0);
        (line.is_some() || !words.trim().is_empty()).then_some(Unclear { line, words, place })
    };
    let tables = r.tables(item, "unclear");
    tables.into_iter().filter_map(|t| read(r, t)).collect()
}

fn is_blank(item: Item<'_>) -> bool {
    matches!(item.value, DeValue::String(s) if s.trim().is_empty())
}
