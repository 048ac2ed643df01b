//! Materials and gauge.

use super::document::*;
use super::words::{capital, kept, led, list_of};
use super::{Choices, Proved, body, chapter, section};
use crate::design::{Gauge, Hook, Yarn};
use crate::standards::stitches::renamed;
use crate::standards::{hooks, yarns};

/// Yarn, hooks, notions.
pub(super) fn materials(p: &Proved, c: &Choices) -> Vec<Block> {
    let mut out = vec![chapter("Materials", "materials")];
    out.push(Block::Keep(vec![section("Yarn"), yarn_list(p)]));
    out.extend(super::yarn::table(p, c));
    out.push(Block::Keep(vec![
        section(if p.design.hooks.len() == 1 { "Hook" } else { "Hooks" }),
        hook_list(p),
    ]));
    let notions = &p.design.materials.notions;
    if !notions.is_empty() {
        let items = notions.iter().map(|n| vec![body(plain(capital(n.as_str())))]).collect();
        out.push(Block::Keep(vec![
            section("You also need"),
            Block::List(List { marker: Marker::Bullet, items }),
        ]));
    }
    out
}

fn yarn_list(p: &Proved) -> Block {
    let items = p.design.yarns.iter().map(|y| vec![body(yarn_line(p, y))]).collect();
    Block::List(List { marker: Marker::Bullet, items })
}

fn yarn_line(p: &Proved, y: &Yarn) -> Text {
    let mut words = Vec::new();
    if let Some(about) = &y.about {
        words.push(about.as_str().to_owned());
    }
    if let Some(colour) = &y.colour {
        words.push(format!("in {}", colour.as_str()));
    }
    if let Some(w) = &y.weight
        && let Some(row) = yarns::weight(w.value)
    {
        words.push(format!("weight category\u{a0}{} ({})", row.category, row.name));
    }
    let units = p.design.pattern.units;
    let ball: Vec<String> = [
        y.ball_mass.as_ref().map(|m| kept(&m.value.text(units))),
        y.ball_length.as_ref().map(|l| kept(&l.value.yarn_text(units))),
    ]
    .into_iter()
    .flatten()
    .collect();
    if !ball.is_empty() {
        words.push(format!("{} a ball", ball.join(", ")));
    }
    let name = if p.design.yarns.len() == 1 {
        String::new()
    } else {
        format!("Yarn {}: ", y.name.as_str())
    };
    if name.is_empty() {
        plain(format!("{}.", capital(&words.join(", "))))
    } else {
        led(&name, format!("{}.", words.join(", ")))
    }
}

fn hook_list(p: &Proved) -> Block {
    let items = p
        .design
        .hooks
        .iter()
        .map(|h| {
            let used = hook_use(p, h);
            let line = if p.design.hooks.len() == 1 || used.is_empty() {
                hook_size(h)
            } else {
                format!("{} for the {}", hook_size(h), used)
            };
            vec![body(plain(format!("{line}.")))]
        })
        .collect();
    Block::List(List { marker: Marker::Bullet, items })
}

/// "6 mm (US J-10, old UK 4)".
pub(super) fn hook_size(h: &Hook) -> String {
    let mm = kept(&h.size.hook_text());
    let Some(row) = hooks::hook(h.size) else { return mm };
    let mut names = Vec::new();
    if !row.us.is_empty() {
        names.push(kept(&format!("US {}", row.us)));
    }
    if !row.uk_old.is_empty() {
        names.push(kept(&format!("old UK {}", row.uk_old)));
    }
    if names.is_empty() { mm } else { format!("{mm} ({})", names.join(", ")) }
}

/// Which pieces a hook is for, as words.
fn hook_use(p: &Proved, h: &Hook) -> String {
    let names: Vec<String> = p
        .design
        .pieces
        .iter()
        .filter(|piece| piece_hook(p, piece).is_some_and(|n| n == h.name))
        .map(|piece| piece.name.as_str().to_lowercase())
        .collect();
    if names.is_empty() { h.name.clone() } else { list_of(&names) }
}

/// The hook a piece is worked with: its own, or its gauge's.
pub(super) fn piece_hook<'a>(p: &'a Proved, piece: &'a crate::design::Piece) -> Option<&'a str> {
    match &piece.hook {
        Some(h) => Some(h.value.as_str()),
        None => p.design.gauge(&piece.gauge.value)?.hook.as_ref().map(|h| h.value.as_str()),
    }
}

/// The gauge chapter: what to measure, and what to do when it differs.
pub(super) fn gauge(p: &Proved, c: &Choices) -> Vec<Block> {
    let mut out = vec![chapter(&capital(super::words::gauge(c.terms)), "gauge")];
    let items = p.design.gauges.iter().map(|g| vec![body(gauge_line(p, c, g))]).collect();
    out.push(Block::List(List { marker: Marker::Bullet, items }));
    let washed = p.design.gauges.iter().any(|g| g.washed == Some(true));
    let how = if washed { ", washed and dried as the hat will be," } else { "" };
    out.push(body(plain(format!(
        "Work a swatch a little larger than this{how} and count in its middle. More stitches \
         than given means a tight hand: go up a hook size. Fewer means a loose hand: go down \
         one. The right count matters more than the hook's number."
    ))));
    out
}

/// What a gauge is of: the pieces that are worked at it, "crown and sides".
pub(super) fn gauge_of(p: &Proved, g: &Gauge) -> String {
    let pieces = p.design.pieces.iter().filter(|part| part.gauge.value == g.name);
    let names: Vec<String> = pieces.map(|part| part.name.as_str().to_lowercase()).collect();
    if names.is_empty() { g.name.replace('_', " ") } else { list_of(&names) }
}

fn gauge_line(p: &Proved, c: &Choices, g: &Gauge) -> Text {
    let n = |v: f64| crate::quantity::number(v, 1);
    let over = kept(&g.over.value.text(p.design.pattern.units));
    // A gauge told in the other terms' stitch would be another gauge.
    let what = g
        .about
        .as_ref()
        .map(|s| format!(" in {}", renamed(s.as_str(), p.design.terms, c.terms)))
        .unwrap_or_default();
    let hook = g
        .hook
        .as_ref()
        .and_then(|h| p.design.hook(&h.value))
        .map(|h| format!(", {}\u{a0}hook", kept(&h.size.hook_text())))
        .unwrap_or_default();
    let head = match p.design.gauges.len() {
        1 => String::new(),
        _ => format!("{}: ", capital(&gauge_of(p, g))),
    };
    let line = format!(
        "{}\u{a0}sts and {}\u{a0}rows to {over}{what}{hook}.",
        n(g.sts.value),
        n(g.rows.value)
    );
    if head.is_empty() { plain(line) } else { led(&head, line) }
}
