//! Writes changes into the text of a design file, every other byte kept.
//!
//! The file is a person's own: her comments, order, blanks and line ends stay. So nothing
//! is printed anew; the few values that change are found by `toml_edit` and replaced where
//! they stand.

use super::changes::Changes;
use crate::design::{self, Date, Design};
use crate::diag::{Finding, SourceId, any_fault};
use std::ops::Range;
use toml_edit::{Document, Item, TableLike};

/// Who changes what, and when.
#[derive(Clone, Debug, PartialEq)]
pub struct Applying<'a> {
    /// What changes.
    pub changes: &'a Changes,
    /// The date of the new edition.
    pub date: Date,
    /// Said of the new edition in the design's history.
    pub reason: &'a str,
}

/// The text of the next edition.
///
/// # Errors
/// Findings where the text is no design, has no place for a change, or holds other figures
/// than the changes say it does. Nothing half-changed is ever answered.
pub fn apply(source: SourceId, text: &str, what: &Applying) -> Result<String, Vec<Finding>> {
    let (Some(old), _) = design::read(source, text) else {
        return Err(design::read(source, text).1);
    };
    let mut edits = Edits::default();
    let document = Document::parse(text).map_err(|e| vec![unread(&e.to_string())])?;
    let root = document.as_table();
    let mut faults = figures(&old, root, what.changes, &mut edits);
    let edition = match next_edition(old.pattern.edition.as_str()) {
        Some(next) => next,
        None => {
            faults.push(no_next(&old));
            String::new()
        }
    };
    if let Err(fault) = pattern(root, text, &edition, what.date, &mut edits) {
        faults.push(*fault);
    }
    history(root, text, &edition, what, &mut edits);
    if !faults.is_empty() {
        return Err(faults);
    }
    let new = edits.into_text(text);
    confirmed(source, &new, what.changes, &edition)?;
    Ok(new)
}

/// The edition after this one: the last number one higher, `1` counting as `1.0`. None
/// where there is no number to raise.
pub fn next_edition(edition: &str) -> Option<String> {
    let edition = edition.trim();
    let (head, last) = match edition.rsplit_once('.') {
        Some((head, last)) => (head, last),
        None => (edition, "0"),
    };
    let all_digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    if !head.split('.').all(all_digits) || !all_digits(last) {
        return None;
    }
    let next = last.parse::<u32>().ok()?.checked_add(1)?;
    Some(format!("{head}.{next}"))
}

/// Replacements of byte ranges, none overlapping another.
#[derive(Default)]
struct Edits(Vec<(Range<usize>, String)>);

impl Edits {
    fn replace(&mut self, range: Range<usize>, with: String) {
        self.0.push((range, with));
    }

    fn into_text(mut self, text: &str) -> String {
        self.0.sort_by_key(|(r, _)| (r.start, r.end));
        let mut out = String::with_capacity(text.len() + 256);
        let mut from = 0;
        for (range, with) in self.0 {
            out.push_str(text.get(from..range.start).unwrap_or(""));
            out.push_str(&with);
            from = range.end;
        }
        out.push_str(text.get(from..).unwrap_or(""));
        out
    }
}

/// Gauges and hooks.
fn figures(
    design: &Design,
    root: &dyn TableLike,
    changes: &Changes,
    edits: &mut Edits,
) -> Vec<Finding> {
    let mut faults = Vec::new();
    for g in &changes.gauges {
        let Some(now) = design.gauge(&g.name) else {
            faults.push(nowhere(&format!("gauge `{}`", g.name)));
            continue;
        };
        for (key, reading, found) in
            [("sts", &g.sts, now.sts.value), ("rows", &g.rows, now.rows.value)]
        {
            if reading.old == reading.new {
                continue;
            }
            if found != reading.old {
                faults.push(moved(&format!("`{key}` of gauge `{}`", g.name), found, reading.old));
            }
            match span(root, &["gauge", &g.name, key]) {
                Some(range) => edits.replace(range, figure(reading.new)),
                None => faults.push(nowhere(&format!("`{key}` of gauge `{}`", g.name))),
            }
        }
    }
    for h in &changes.hooks {
        let new = toml_edit::Value::from(h.size.new.hook_text()).to_string();
        match span(root, &["hook", &h.name]) {
            Some(range) => edits.replace(range, new),
            None => faults.push(nowhere(&format!("hook `{}`", h.name))),
        }
    }
    faults
}

/// As a person writes it: `14`, `13.5`.
fn figure(n: f64) -> String {
    crate::quantity::number(n, 4)
}

/// Where a value stands; keys may lead through headed, inline and dotted tables alike.
fn span(root: &dyn TableLike, path: &[&str]) -> Option<Range<usize>> {
    item(root, path)?.as_value()?.span()
}

fn item<'a>(root: &'a dyn TableLike, path: &[&str]) -> Option<&'a Item> {
    let (last, through) = path.split_last()?;
    let mut table = root;
    for key in through {
        table = table.get(key)?.as_table_like()?;
    }
    table.get(last)
}

fn pattern(
    root: &dyn TableLike,
    text: &str,
    edition: &str,
    date: Date,
    edits: &mut Edits,
) -> Result<(), Box<Finding>> {
    let edition_at = span(root, &["pattern", "edition"])
        .ok_or_else(|| Box::new(nowhere("`edition` in [pattern]")))?;
    let end = edition_at.end;
    edits.replace(edition_at, toml_edit::Value::from(edition).to_string());
    match span(root, &["pattern", "date"]) {
        Some(range) => edits.replace(range, date.to_string()),
        None => {
            let inline = item(root, &["pattern"]).is_some_and(Item::is_value);
            let (at, words) = if inline {
                (end, format!(", date = {date}"))
            } else {
                // A line of its own after the edition's, past any comment there.
                let line = text.get(end..).and_then(|t| t.find('\n')).map(|n| end + n + 1);
                match line {
                    Some(at) => (at, format!("date = {date}{}", line_end(text))),
                    None => (text.len(), format!("{}date = {date}", line_end(text))),
                }
            };
            edits.replace(at..at, words);
        }
    }
    Ok(())
}

/// The line end this file uses.
fn line_end(text: &str) -> &'static str {
    if text.contains("\r\n") { "\r\n" } else { "\n" }
}

/// Adds an entry after the last one, or at the end of the file.
fn history(root: &dyn TableLike, text: &str, edition: &str, what: &Applying, edits: &mut Edits) {
    let edition = toml_edit::Value::from(edition).to_string();
    let change = toml_edit::Value::from(what.reason).to_string();
    let date = what.date;
    let n = line_end(text);
    let list = root.get("history").and_then(Item::as_array);
    if let Some(list) = list
        && let Some(range) = list.span()
    {
        let close = range.end.saturating_sub(1);
        let comma = if list.is_empty() || list.trailing_comma() { "" } else { ", " };
        // Behind the last entry, not behind a comment that may follow it.
        let last = list.iter().last().and_then(toml_edit::Value::span);
        let at = match last {
            Some(span) if comma == ", " => span.end,
            _ => close,
        };
        let entry = format!("{comma}{{ edition = {edition}, date = {date}, change = {change} }}");
        edits.replace(at..at, entry);
        return;
    }
    let gap = if text.ends_with('\n') || text.is_empty() { n.to_owned() } else { n.repeat(2) };
    let entry =
        format!("{gap}[[history]]{n}edition = {edition}{n}date = {date}{n}change = {change}{n}");
    edits.replace(text.len()..text.len(), entry);
}

/// Reads the new text and makes sure that it says what it should.
fn confirmed(
    source: SourceId,
    new: &str,
    changes: &Changes,
    edition: &str,
) -> Result<(), Vec<Finding>> {
    let (design, findings) = design::read(source, new);
    let Some(design) = design.filter(|_| !any_fault(&findings)) else {
        let mut out = vec![unread("the changed text would not be a design any more")];
        out.extend(findings.into_iter().map(|f| Finding { place: None, labels: vec![], ..f }));
        return Err(out);
    };
    let gauges = changes.gauges.iter().all(|c| {
        design
            .gauge(&c.name)
            .is_some_and(|g| near(g.sts.value, c.sts.new) && near(g.rows.value, c.rows.new))
    });
    let hooks = changes
        .hooks
        .iter()
        .all(|c| design.hook(&c.name).is_some_and(|h| near(h.size.to_mm(), c.size.new.to_mm())));
    let edition = design.pattern.edition.as_str() == edition
        && design.history.iter().any(|h| h.edition.as_str() == edition);
    if gauges && hooks && edition {
        Ok(())
    } else {
        Err(vec![unread("the changed text would not say what the correction says")])
    }
}

/// Figures are written with four places, hooks with two.
fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 0.006
}

fn unread(why: &str) -> Finding {
    Finding::fault("not-applied", format!("the correction cannot be written: {why}"))
        .help("nothing was changed; please make the change in the design file by hand")
}

fn nowhere(what: &str) -> Finding {
    Finding::fault("not-applied", format!("the design file has no place for {what}"))
        .help("nothing was changed; was the file edited since the cards were read?")
}

fn moved(what: &str, found: f64, expected: f64) -> Finding {
    let message = format!("{what} is {found} in the design file, not {expected}");
    Finding::fault("not-applied", message)
        .help("nothing was changed; was the file edited since the cards were read?")
}

fn no_next(design: &Design) -> Finding {
    let edition = &design.pattern.edition;
    let message = format!("“{}” is no edition number that can be raised", edition.as_str());
    Finding::fault("edition-number", message)
        .at(edition.place, "")
        .help("number editions like \"1.0\", \"1.1\", \"2.0\"")
}
