//! Sizes, fit and graded numbers: who the hat is for and how its numbers are found.

use super::model::*;
use super::names::unknown_name;
use super::parts::choice;
use super::walk::{Item, Reader, Table};
use crate::diag::{Finding, Place};
use crate::limits;
use crate::quantity::{BadQuantity, Length, Percent};
use crate::standards::{fit as styles, heads};
use toml::de::DeValue;

/// Ease as the file gives it: by size, and for the rest.
#[derive(Default)]
pub(super) struct EaseTable {
    each: Vec<(String, Placed<Ease>)>,
    rest: Option<Placed<Ease>>,
    place: Option<Place>,
}

/// The fit table and the ease in it.
pub(super) fn fit<'a>(r: &mut Reader<'a>, item: Option<Item<'a>>) -> (Fit, EaseTable) {
    let none = Fit { fabric: None, margin: None, place: None };
    let Some(mut t) = item.and_then(|i| r.table(i, "fit")) else {
        return (none, EaseTable::default());
    };
    let table = r.need(&mut t, "ease", "\"-8 %\"", ease_table).unwrap_or_default();
    let fabric = r.opt(&mut t, "fabric", fabric);
    let margin = r.opt(&mut t, "margin", |r, i| {
        let m = ease(r, i)?;
        match m.value {
            Ease::Length(l) if l < Length::ZERO => r.bad_number(i, "0 or more"),
            Ease::Percent(p) if p < Percent::ZERO => r.bad_number(i, "0 or more"),
            _ => Some(m),
        }
    });
    let place = Some(t.place);
    r.close(t);
    (Fit { fabric, margin, place }, table)
}

/// A style of fit, by its id or its name.
fn fabric<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Placed<String>> {
    let words: Vec<&str> =
        styles::styles().iter().flat_map(|s| [s.id.as_str(), s.name.as_str()]).collect();
    let word = choice(r, item, &words)?;
    let id = styles::style(&word.value).map(|s| s.id.clone())?;
    Some(Placed { value: id, place: word.place })
}

fn ease_table<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<EaseTable> {
    if !matches!(item.value, DeValue::Table(_)) {
        let rest = ease(r, item)?;
        return Some(EaseTable { each: Vec::new(), rest: Some(rest), place: Some(item.place) });
    }
    let mut t = r.table(item, "fit")?;
    let rest = r.opt(&mut t, "rest", ease);
    let each = t
        .take_all()
        .into_iter()
        .filter(|i| i.key != "rest")
        .filter_map(|i| ease(r, i).map(|e| (i.key.to_owned(), e)))
        .collect();
    Some(EaseTable { each, rest, place: Some(item.place) })
}

/// The units ease is given in.
const EASE_UNITS: &[&str] = &["%", "mm", "cm", "in"];

/// A length or a percentage.
fn ease<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Placed<Ease>> {
    let DeValue::String(s) = item.value else {
        return r.wrong_type(item, "a percentage such as \"-8 %\" or a length such as \"-4 cm\"");
    };
    let read = if s.trim_end().ends_with('%') {
        Percent::parse(s).map(Ease::Percent)
    } else {
        Length::parse(s).map(Ease::Length)
    };
    let known = |bad| match bad {
        BadQuantity::NoUnit { .. } => BadQuantity::NoUnit { known: EASE_UNITS },
        BadQuantity::UnknownUnit { unit, .. } => {
            BadQuantity::UnknownUnit { unit, known: EASE_UNITS }
        }
        other => other,
    };
    match read.map_err(known) {
        Ok(value) => Some(Placed { value, place: item.place }),
        Err(bad) => {
            r.bad_quantity(item, &bad);
            None
        }
    }
}

impl EaseTable {
    /// The ease for one size. A size without one is a fault where others have theirs.
    fn of(&self, r: &mut Reader<'_>, id: &str, head: Length, place: Place) -> Placed<Ease> {
        let found = self.each.iter().find(|(s, _)| s == id).map(|(_, e)| e).or(self.rest.as_ref());
        let Some(ease) = found else {
            if let Some(place) = self.place {
                let finding = Finding::fault("size-without-ease", format!("no ease for {id}"))
                    .at(place, "this table leaves the size out")
                    .sizes([id])
                    .help("add the size, or `rest = …` for all sizes not named");
                r.fault(finding);
            }
            return Placed { value: Ease::Length(Length::ZERO), place };
        };
        let girth = head + ease.value.on(head);
        if girth < head * 0.5 || girth > head * 2.0 {
            let message = format!(
                "this ease makes a hat of {} for a head of {}",
                girth.cm_text(),
                head.cm_text()
            );
            let finding = Finding::fault("ease-range", message)
                .at(ease.place, "less than half or more than twice the head")
                .sizes([id])
                .help("hats are usually made 0 to 15 % smaller than the head");
            if !r.findings.iter().any(|f| f.code == "ease-range" && f.place == finding.place) {
                r.fault(finding);
            }
        }
        ease.clone()
    }
}

/// A size of the author's own.
struct Own<'a> {
    id: &'a str,
    name: Option<Text>,
    head: Length,
    fits: Option<(Length, Length)>,
    months: Option<(u32, u32)>,
    depth: Option<Text>,
    place: Place,
}

pub(super) fn sizes<'a>(
    r: &mut Reader<'a>,
    item: Item<'a>,
    ease: &EaseTable,
) -> Option<(Vec<Size>, DepthRule)> {
    let mut t = r.table(item, "sizes")?;
    let from = r.opt(&mut t, "from", |r, i| choice(r, i, &["standard", "own"]));
    let from_own = from.is_some_and(|f| f.value == "own");
    let own = r.opt(&mut t, "own", owns).unwrap_or_default();
    let depth = r.opt(&mut t, "depth", depths);
    let mut wanted: Vec<Placed<String>> = match t.take("use") {
        Some(item) => r.words(item)?,
        None if own.is_empty() => {
            r.missing(&t, "use", "[\"child\", \"adult-m\"]");
            return None;
        }
        None => own.iter().map(|o| Placed { value: o.id.to_owned(), place: o.place }).collect(),
    };
    if wanted.is_empty() {
        let finding = Finding::fault("empty", "the design has no sizes").at(t.place, "");
        r.fault(finding.help("add `use = [\"child\", \"adult-m\"]`"));
    }
    if wanted.len() > limits::SIZES {
        let message = format!("{} sizes; the most is {}", wanted.len(), limits::SIZES);
        r.fault(Finding::fault("limit", message).at(t.place, "too many sizes"));
        return None;
    }
    once_each(r, &mut wanted);
    let mut list = Vec::new();
    for w in &wanted {
        if let Some(size) = one(r, w, &own, from_own, depth.as_ref(), ease) {
            list.push(size);
        }
    }
    if list.len() < wanted.len() {
        r.doubtful.push("size");
    }
    strangers(r, &wanted, depth.as_ref(), ease);
    out_of_order(r, &list);
    r.close(t);
    let rule = match depth {
        None | Some(Depths::Standard) if list.iter().all(|s| s.depth.is_none()) => {
            DepthRule::Standard
        }
        Some(Depths::Rule(Rule::All(text))) => DepthRule::Formula(text),
        _ => DepthRule::PerSize,
    };
    Some((list, rule))
}

/// Depth as the file gives it.
enum Depths {
    Standard,
    Rule(Rule),
}

fn depths<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Depths> {
    if let DeValue::String(s) = item.value
        && s.trim() == "standard"
    {
        return Some(Depths::Standard);
    }
    rule(r, item).map(Depths::Rule)
}

fn once_each(r: &mut Reader<'_>, wanted: &mut Vec<Placed<String>>) {
    let mut seen: Vec<Placed<String>> = Vec::new();
    for w in wanted.drain(..) {
        let canonical = heads::size(&w.value).map_or(w.value.as_str(), |s| s.id.as_str());
        let same = |s: &&Placed<String>| {
            s.value == w.value || heads::size(&s.value).is_some_and(|s| s.id == canonical)
        };
        if let Some(first) = seen.iter().find(same) {
            let finding = Finding::fault("duplicate", format!("size {} is listed twice", w.value))
                .at(w.place, "the second time")
                .label(first.place, "the first time")
                .sizes([w.value.clone()])
                .help("take one of them out");
            r.fault(finding);
        } else {
            seen.push(w);
        }
    }
    *wanted = seen;
}

/// Tables are printed in the file's order and read from the smallest head up.
fn out_of_order(r: &mut Reader<'_>, list: &[Size]) {
    for pair in list.windows(2) {
        let [before, after] = pair else { continue };
        if after.head < before.head {
            let message = format!(
                "{} (head {}) is listed after {} (head {})",
                after.name,
                after.head.cm_text(),
                before.name,
                before.head.cm_text(),
            );
            let finding = Finding::caution("sizes-order", message)
                .at(after.place, "a smaller head than the one before")
                .label(before.place, "the larger")
                .sizes([before.id.as_str(), after.id.as_str()])
                .help("list sizes from the smallest head to the largest");
            r.fault(finding);
        }
    }
}

/// Tables by size that name a size the design does not have.
fn strangers(
    r: &mut Reader<'_>,
    wanted: &[Placed<String>],
    depth: Option<&Depths>,
    ease: &EaseTable,
) {
    let names: Vec<&str> = wanted.iter().map(|w| w.value.as_str()).collect();
    let mut used: Vec<(&str, Place)> =
        ease.each.iter().map(|(id, e)| (id.as_str(), e.place)).collect();
    if let Some(Depths::Rule(Rule::PerSize(p))) = depth {
        used.extend(p.each.iter().map(|(id, _)| (id.value.as_str(), id.place)));
    }
    for (id, place) in used {
        if !names.contains(&id) {
            r.fault(unknown_name("size", id, place, &names));
        }
    }
}

fn one(
    r: &mut Reader<'_>,
    wanted: &Placed<String>,
    own: &[Own<'_>],
    from_own: bool,
    depth: Option<&Depths>,
    ease: &EaseTable,
) -> Option<Size> {
    let id = wanted.value.as_str();
    let mine = own.iter().find(|o| o.id == id);
    let standard = heads::size(id).filter(|_| !from_own || mine.is_some());
    if mine.is_none() && standard.is_none() {
        let mut known: Vec<&str> = own.iter().map(|o| o.id).collect();
        if !from_own {
            known.extend(heads::sizes().iter().map(|s| s.id.as_str()));
        }
        r.fault(unknown_name("size", id, wanted.place, &known));
        return None;
    }
    let head = mine.map(|o| o.head).or(standard.map(|s| s.head))?;
    let band = match (mine, standard) {
        (Some(o), _) => o.fits.unwrap_or((o.head, o.head)),
        (None, Some(s)) => (s.min, s.max),
        (None, None) => (head, head),
    };
    let given = mine.and_then(|o| o.depth.clone()).or_else(|| match depth {
        Some(Depths::Rule(rule)) => rule.for_size(id).cloned(),
        _ => None,
    });
    let table = match depth {
        Some(Depths::Rule(Rule::PerSize(p))) => Some(p.place),
        _ => None,
    };
    if given.is_none() && (table.is_some() || (mine.is_some() && depth.is_none())) {
        let finding = Finding::fault("size-without-depth", format!("size {id} has no depth"))
            .at(table.unwrap_or(wanted.place), "no depth for it here")
            .sizes([id])
            .help(format!(
                "add {id} = \"{}\", which is 0.4 of its head, or your own figure",
                heads::depth_for(head).cm_text()
            ));
        r.fault(finding);
    }
    let name = mine
        .and_then(|o| o.name.as_ref().map(|n| n.text.clone()))
        .or(standard.map(|s| s.name.clone()))
        .unwrap_or_else(|| display(id));
    Some(Size {
        id: id.to_owned(),
        name,
        head,
        head_min: band.0,
        head_max: band.1,
        months: match mine {
            Some(o) => o.months,
            None => standard.and_then(|s| s.months),
        },
        standard: mine.is_none(),
        depth: given,
        ease: ease.of(r, id, head, wanted.place),
        place: wanted.place,
    })
}

/// "extra-large" is shown as "Extra large".
fn display(id: &str) -> String {
    let words = id.replace(['-', '_'], " ");
    let mut chars = words.chars();
    chars.next().map_or(String::new(), |c| c.to_uppercase().chain(chars).collect())
}

fn owns<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Vec<Own<'a>>> {
    let mut t = r.table(item, "sizes.own")?;
    let entries = t.take_all();
    Some(entries.into_iter().filter_map(|i| own(r, i)).collect())
}

fn own<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Own<'a>> {
    let mut t = r.table(item, "sizes.own.*")?;
    let name = r.opt(&mut t, "name", Reader::some_text);
    let head = r.need(&mut t, "head", "\"56 cm\"", head);
    let fits = r.opt(&mut t, "fits", |r, i| {
        let [low, high] = r.list(i, "a list of two lengths, smallest and largest head")?[..] else {
            return r.wrong_type(i, "a list of two lengths, smallest and largest head");
        };
        let (low, high) = (r.extent(low)?.value, r.extent(high)?.value);
        if low > high { r.bad_number(i, "smallest first, then largest") } else { Some((low, high)) }
    });
    let months = r.opt(&mut t, "months", |r, i| {
        let [low, high] = r.list(i, "a list of two numbers, ages in months")?[..] else {
            return r.wrong_type(i, "a list of two numbers, ages in months");
        };
        Some((r.whole(low, 0, 1200)?.value as u32, r.whole(high, 0, 1200)?.value as u32))
    });
    let depth = r.opt(&mut t, "depth", formula);
    r.close(t);
    let place = item.key_place;
    Some(Own { id: item.key, name, head: head?, fits, months, depth, place })
}

/// A head girth; beyond 15 cm to 100 cm it is a slip of the unit.
fn head<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Length> {
    let l = r.extent(item)?.value;
    if l < Length::cm(15.0) || l > Length::cm(100.0) {
        return r.bad_number(item, "a head's girth, from 15 cm to 100 cm");
    }
    Some(l)
}

pub(super) fn counts<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Vec<Count>> {
    let mut t: Table<'a> = r.table(item, "counts")?;
    let entries = t.take_all();
    let read = |i: Item<'a>| {
        let rule = rule(r, i)?;
        r.name(i)?;
        Some(Count { name: i.key.to_owned(), name_place: i.key_place, rule })
    };
    Some(entries.into_iter().filter_map(read).collect())
}

/// What the booklet calls the graded numbers.
pub(super) fn count_names<'a>(
    r: &mut Reader<'a>,
    item: Item<'a>,
) -> Option<Vec<(Placed<String>, Text)>> {
    let entries = r.table(item, "count_names")?.take_all();
    let read = |i: Item<'a>| {
        Some((Placed { value: i.key.to_owned(), place: i.key_place }, r.some_text(i)?))
    };
    Some(entries.into_iter().filter_map(read).collect())
}

/// A number, a formula, or a table of either by size.
pub(super) fn rule<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Rule> {
    if !matches!(item.value, DeValue::Table(_)) {
        return formula(r, item).map(Rule::All);
    }
    let mut t = r.table(item, "counts")?;
    let rest = r.opt(&mut t, "rest", formula);
    let mut each = Vec::new();
    for i in t.take_all() {
        if i.key != "rest"
            && let Some(text) = formula(r, i)
        {
            each.push((Placed { value: i.key.to_owned(), place: i.key_place }, text));
        }
    }
    if each.is_empty() && rest.is_none() {
        let message = format!("`{}` has no numbers", item.key);
        r.fault(Finding::fault("empty", message).at(item.place, "an empty table"));
        return None;
    }
    Some(Rule::PerSize(PerSize { each, rest, place: t.place }))
}

fn formula<'a>(r: &mut Reader<'a>, item: Item<'a>) -> Option<Text> {
    match item.value {
        DeValue::String(_) => r.some_text(item),
        DeValue::Integer(_) | DeValue::Float(_) => {
            r.number(item)?;
            Some(r.raw_text(item))
        }
        _ => r.wrong_type(item, "a number or a formula in quotes"),
    }
}
