//! The whole file: syntax, format, then part by part, then the names that must agree.

use super::keys::KEYS;
use super::model::*;
use super::names::{self, Read};
use super::walk::{Item, Reader, Table};
use super::{parts, sizes};
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
        let mut findings: Vec<Finding> = errors.iter().map(|e| syntax(source, e)).collect();
        findings.sort_by_key(|f| f.place.map(|p| p.span));
        return (None, findings);
    }
    let mut reader = Reader::new(source, text, "design file", KEYS);
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
        Finding::fault("format", message).help("use a newer version of brimwright")
    } else {
        let message = format!("there is no format {}; design files are format 1", found.value);
        Finding::fault("format", message).help("write `format = 1`")
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
    if gauges.is_none() {
        r.doubtful.push("gauge");
    }
    if sized.is_none() {
        r.doubtful.push("size");
    }
    let sample = r.opt(&mut root, "sample", parts::sample);
    let counts = r.opt(&mut root, "counts", sizes::counts).unwrap_or_default();
    let count_names = r.opt(&mut root, "count_names", sizes::count_names).unwrap_or_default();
    let specials = list(r, &mut root, "special", parts::special);
    let gauge_names = gauges.as_ref().map(|g| g.names.clone()).unwrap_or_default();
    let pieces = list(r, &mut root, "piece", |r, t| parts::piece(r, t, &gauge_names));
    let finishing = r.opt(&mut root, "finishing", parts::finishing).unwrap_or_default();
    let pompom = r.opt(&mut root, "pompom", parts::pompom);
    let history = list(r, &mut root, "history", parts::history);
    r.close(root);

    let gauges = gauges.map(|g| g.list).unwrap_or_default();
    let sized_well = sized.is_some();
    let (sizes, depth) = sized.unwrap_or((Vec::new(), DepthRule::Standard));
    let (pattern, units) = pattern.map_or((None, None), |(p, u)| (Some(p), u));
    let units = units.unwrap_or_else(|| first_units(r, &gauges));
    let read = Read {
        yarns: &yarns,
        hooks: &hooks,
        gauges: &gauges,
        sizes: &sizes,
        pieces: &pieces,
        sample: sample.as_ref(),
        pompom: pompom.as_ref(),
        counts: &counts,
        count_names: &count_names,
    };
    names::check(r, &read);
    if !sized_well {
        return None;
    }
    Some(Design {
        source: r.source,
        pattern: Pattern { units, ..pattern? },
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
        count_names,
        specials,
        pieces,
        finishing,
        pompom,
        history,
    })
}

/// The unit system of the first gauge.
fn first_units(r: &Reader<'_>, gauges: &[Gauge]) -> Units {
    let written = gauges.first().map_or("", |g| text_of(r, g.over.place));
    if is_imperial(written) { Units::Imperial } else { Units::Metric }
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
    let count = tables.len();
    let list: Vec<T> = tables.into_iter().filter_map(|t| read(r, t)).collect();
    if list.len() < count || count == 0 {
        r.doubtful.push(key);
    }
    list
}
