//! The whole file: syntax, format, then part by part, then the names that must agree.

use super::keys::KEYS;
use super::model::*;
use super::walk::{Item, Reader, Table};
use super::{parts, sizes};
use crate::diag::nearest::nearest;
use crate::diag::{Finding, Place, SourceId, Span, any_fault};
use crate::limits;
use crate::quantity::Units;
use crate::standards::stitches::Terms;
use toml::de::DeTable;

/// The format of design files that is understood.
const FORMAT: i64 = 1;

/// Reads a design file. Every fault is found at once; where there is any, there is no design.
pub fn read(source: SourceId, text: &str) -> (Option<Design>, Vec<Finding>) {
    if text.len() as u64 > limits::FILE_BYTES {
        let message =
            format!("the design file has {} bytes; the most is {}", text.len(), limits::FILE_BYTES);
        return (None, vec![Finding::fault("limit", message)]);
    }
    let (document, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        return (None, errors.iter().map(|e| syntax(source, e)).collect());
    }
    let mut reader = Reader { source, text, findings: Vec::new(), file: "design file", keys: KEYS };
    let place = Place { source, span: Span::new(0, 0) };
    let root = reader.open(document.get_ref(), place, "");
    let design = whole(&mut reader, root);
    let mut findings = reader.findings;
    findings.sort_by_key(|f| f.place.map(|p| p.span));
    let design = design.filter(|_| !any_fault(&findings));
    (design, findings)
}

/// A fault of TOML itself.
pub(crate) fn syntax(source: SourceId, error: &toml::de::Error) -> Finding {
    let message = format!("this is not TOML: {}", error.message().replace('\n', ", "));
    let finding = Finding::fault("toml", message);
    match error.span() {
        Some(span) => finding.at(Place { source, span: span.into() }, "here"),
        None => finding,
    }
}

/// Reads the format number; a file of a newer format is not read any further.
fn format<'a>(r: &mut Reader<'a>, root: &mut Table<'a>) -> bool {
    let found = r.need(root, "format", "1", |r, i| r.whole(i, i64::MIN, i64::MAX));
    let Some(found) = found else { return true };
    if found.value == FORMAT {
        return true;
    }
    let finding = if found.value > FORMAT {
        let message = format!(
            "this design file is of format {}; this version reads format {FORMAT}",
            found.value
        );
        Finding::fault("newer-format", message).help("use a newer version of brimwright")
    } else {
        let message = format!("there is no format {}; design files are format 1", found.value);
        Finding::fault("newer-format", message).help("write `format = 1`")
    };
    r.fault(finding.at(found.place, "format"));
    false
}

fn whole<'a>(r: &mut Reader<'a>, mut root: Table<'a>) -> Option<Design> {
    if !format(r, &mut root) {
        return None;
    }
    let terms = r.opt(&mut root, "terms", terms).unwrap_or_default();
    let pattern = r.need(&mut root, "pattern", "{ … }, or a table [pattern]", parts::pattern);
    let yarns = list(r, &mut root, "yarn", parts::yarn);
    let hooks = r.opt(&mut root, "hook", parts::hooks).unwrap_or_default();
    let materials = r.opt(&mut root, "materials", parts::materials).unwrap_or_default();
    let gauges = match root.take("gauge") {
        Some(item) => parts::gauges(r, item),
        None => {
            r.missing(&root, "gauge", "…: a table [gauge.body] with sts, rows and over");
            None
        }
    };
    let fit_item = root.take("fit");
    let (fit, ease) = sizes::fit(r, fit_item);
    let sized = match root.take("sizes") {
        Some(item) => sizes::sizes(r, item, &ease),
        None => {
            r.missing(&root, "sizes", "…: a table [sizes] with from and use");
            None
        }
    };
    let sample = r.opt(&mut root, "sample", parts::sample);
    let counts = r.opt(&mut root, "counts", sizes::counts).unwrap_or_default();
    let specials = list(r, &mut root, "special", parts::special);
    let only = gauges.as_ref().and_then(|g| g.first()).map(|g| g.name.clone());
    let lone = only.filter(|_| gauges.as_ref().is_some_and(|g| g.len() == 1));
    let pieces = list(r, &mut root, "piece", |r, t| parts::piece(r, t, lone.as_deref()));
    let finishing = r.opt(&mut root, "finishing", parts::finishing).unwrap_or_default();
    let pompom = r.opt(&mut root, "pompom", parts::pompom);
    let history = list(r, &mut root, "history", parts::history);
    r.close(root);

    let mut pattern = pattern?;
    let gauges = gauges?;
    let (sizes, depth) = sized?;
    if let Some(gauge) = gauges.first()
        && pattern.1.is_none()
    {
        let written = text_of(r, gauge.over.place);
        pattern.1 = Some(if is_imperial(written) { Units::Imperial } else { Units::Metric });
    }
    let pattern = Pattern { units: pattern.1.unwrap_or_default(), ..pattern.0 };
    let design = Design {
        source: r.source,
        pattern,
        terms,
        yarns,
        hooks,
        materials,
        gauges,
        sample,
        fit,
        sizes,
        depth,
        counts,
        specials,
        pieces,
        finishing,
        pompom,
        history,
    };
    names(r, &design);
    Some(design)
}

fn text_of<'a>(r: &Reader<'a>, place: Place) -> &'a str {
    r.text.get(place.span.range()).unwrap_or("")
}

fn is_imperial(written: &str) -> bool {
    let word = written.trim_matches(['"', '\'', ' ', '.']);
    word.ends_with("in") || word.ends_with("inches") || word.ends_with("inch")
}

fn terms<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Terms> {
    let word = parts::choice(r, item, &["us", "uk"])?;
    Some(if word.value == "uk" { Terms::Uk } else { Terms::Us })
}

/// A list of tables read one by one; a table at fault is left out.
fn list<'a, T>(
    r: &mut Reader<'a>,
    root: &mut Table<'a>,
    key: &'static str,
    mut read: impl FnMut(&mut Reader<'a>, Table<'a>) -> Option<T>,
) -> Vec<T> {
    let Some(item) = root.take(key) else { return Vec::new() };
    let tables = r.tables(item, key);
    tables.into_iter().filter_map(|t| read(r, t)).collect()
}

/// Names used in one part must be given in another.
fn names(r: &mut Reader<'_>, d: &Design) {
    let hooks: Vec<&str> = d.hooks.iter().map(|h| h.name.as_str()).collect();
    let yarns: Vec<&str> = d.yarns.iter().map(|y| y.name.as_str()).collect();
    let gauges: Vec<&str> = d.gauges.iter().map(|g| g.name.as_str()).collect();
    let sizes: Vec<&str> = d.sizes.iter().map(|s| s.id.as_str()).collect();
    let pieces: Vec<&str> = d.pieces.iter().map(|p| p.name.as_str()).collect();
    for g in &d.gauges {
        known(r, "hook", g.hook.as_ref(), &hooks);
        known(r, "yarn", g.yarn.as_ref(), &yarns);
    }
    for (i, p) in d.pieces.iter().enumerate() {
        known(r, "gauge", Some(&p.gauge), &gauges);
        known(r, "hook", p.hook.as_ref(), &hooks);
        known(r, "yarn", p.yarn.as_ref(), &yarns);
        known(r, "piece", p.from.as_ref(), pieces.get(..i).unwrap_or(&[]));
        for size in &p.sizes {
            known(r, "size", Some(size), &sizes);
        }
    }
    if let Some(s) = &d.sample {
        known(r, "size", Some(&s.size), &sizes);
        for (yarn, mass) in &s.mass {
            let named = Placed { value: yarn.clone(), place: mass.place };
            known(r, "yarn", Some(&named), &yarns);
        }
    }
    if let Some(p) = &d.pompom {
        known(r, "yarn", p.yarn.as_ref(), &yarns);
        per_size(r, &p.diameter, &sizes);
    }
    for c in &d.counts {
        per_size(r, &c.rule, &sizes);
    }
    twice(r, "piece", d.pieces.iter().map(|p| (p.name.as_str(), p.name.place)));
    twice(r, "yarn", d.yarns.iter().map(|y| (y.name.as_str(), y.name.place)));
}

fn known(r: &mut Reader<'_>, what: &str, name: Option<&Placed<String>>, names: &[&str]) {
    let Some(name) = name.filter(|n| !names.contains(&n.value.as_str())) else { return };
    r.fault(unknown_name(what, &name.value, name.place, names));
}

/// A fault for a name that is given nowhere; the code is `unknown-` and what it names.
pub(crate) fn unknown_name(what: &str, name: &str, place: Place, names: &[&str]) -> Finding {
    let code = match what {
        "hook" => "unknown-hook",
        "yarn" => "unknown-yarn",
        "gauge" => "unknown-gauge",
        "piece" => "unknown-piece",
        "size" => "unknown-size",
        _ => "unknown-word",
    };
    let earlier = if what == "piece" { "earlier " } else { "" };
    let message = format!("there is no {earlier}{what} \"{name}\"");
    let likely = nearest(name, names.iter().copied());
    let here = likely.map_or(String::new(), |l| format!("perhaps \"{l}\"?"));
    let help = if names.is_empty() {
        format!("the file names no {earlier}{what}")
    } else {
        format!("known here: {}", names.join(", "))
    };
    Finding::fault(code, message).at(place, here).help(help)
}

/// A table of numbers by size must name sizes that exist and leave none out.
fn per_size(r: &mut Reader<'_>, rule: &Rule, sizes: &[&str]) {
    let Rule::PerSize(table) = rule else { return };
    for (id, text) in &table.each {
        let named = Placed { value: id.clone(), place: text.place };
        known(r, "size", Some(&named), sizes);
    }
    let missing: Vec<&str> = sizes.iter().copied().filter(|s| rule.for_size(s).is_none()).collect();
    if !missing.is_empty() {
        let message = format!("no number for {}", missing.join(", "));
        let finding = Finding::fault("size-without-number", message)
            .at(table.place, "this table leaves sizes out")
            .sizes(missing)
            .help("add the size, or `rest = …` for all sizes not named");
        r.fault(finding);
    }
}

fn twice<'n>(r: &mut Reader<'_>, what: &str, names: impl Iterator<Item = (&'n str, Place)>) {
    let mut seen: Vec<(&str, Place)> = Vec::new();
    for (name, place) in names {
        if let Some((_, first)) = seen.iter().find(|(n, _)| *n == name) {
            let finding = Finding::fault("duplicate", format!("two {what}s are named \"{name}\""))
                .at(place, "the second")
                .label(*first, "the first");
            r.fault(finding);
        } else {
            seen.push((name, place));
        }
    }
}
