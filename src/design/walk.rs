//! A walk over a parsed TOML document that keeps places and collects every fault.

use super::keys::keys_of;
use super::model::{Date, Placed, Text};
use super::strings;
use crate::diag::nearest::nearest;
use crate::diag::{Finding, Place, SourceId, Span};
use crate::limits;
use crate::quantity::{BadQuantity, Length, Mass, Percent};
use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

/// What is being read and what was found wrong so far.
pub(crate) struct Reader<'a> {
    pub source: SourceId,
    pub text: &'a str,
    pub findings: Vec<Finding>,
    /// What kind of file it is, for people: "design file".
    pub file: &'static str,
    /// The tables and keys that such a file may have.
    pub keys: &'static [(&'static str, &'static [&'static str])],
    /// Kinds of things ("yarn", "size", …) of which some could not be read: names of
    /// them are not judged, for the missing one may be the one that is meant.
    pub doubtful: Vec<&'static str>,
}

/// One value under its key.
#[derive(Clone, Copy)]
pub(crate) struct Item<'a> {
    pub key: &'a str,
    pub key_place: Place,
    pub value: &'a DeValue<'a>,
    pub place: Place,
}

/// A table whose keys are taken one by one; what is left over is unknown.
pub(crate) struct Table<'a> {
    /// How the table is named to people and in [`super::KEYS`]: "" is the file itself.
    pub name: &'static str,
    /// The table's own header, as the author wrote or would write it.
    pub shown: String,
    pub place: Place,
    entries: Vec<(Item<'a>, bool)>,
}

impl<'a> Table<'a> {
    pub(crate) fn take(&mut self, key: &str) -> Option<Item<'a>> {
        let (item, used) = self.entries.iter_mut().find(|(i, _)| i.key == key)?;
        *used = true;
        Some(*item)
    }

    /// Every entry, in the file's order; for tables whose keys the author names.
    pub(crate) fn take_all(&mut self) -> Vec<Item<'a>> {
        self.entries
            .iter_mut()
            .map(|(item, used)| {
                *used = true;
                *item
            })
            .collect()
    }
}

/// The value's kind, named for people.
fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}

impl<'a> Reader<'a> {
    /// A reader of one kind of file, which may have these tables and keys.
    pub(crate) fn new(
        source: SourceId,
        text: &'a str,
        file: &'static str,
        keys: &'static [(&'static str, &'static [&'static str])],
    ) -> Self {
        Reader { source, text, findings: Vec::new(), file, keys, doubtful: Vec::new() }
    }

    pub(crate) fn place(&self, span: std::ops::Range<usize>) -> Place {
        Place { source: self.source, span: Span::from(span) }
    }

    pub(crate) fn fault(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    /// Opens a table; `name` is its name in [`super::KEYS`].
    pub(crate) fn open(
        &mut self,
        table: &'a DeTable<'a>,
        place: Place,
        name: &'static str,
    ) -> Table<'a> {
        let mut entries: Vec<(Item<'a>, bool)> = table
            .iter()
            .map(|(key, value)| {
                let item = Item {
                    key: key.get_ref().as_ref(),
                    key_place: self.place(key.span()),
                    value: value.get_ref(),
                    place: self.place(value.span()),
                };
                (item, false)
            })
            .collect();
        entries.sort_by_key(|(item, _)| item.key_place.span);
        if let Some((item, _)) = entries.get(limits::ENTRIES) {
            self.too_many(item.key_place);
        }
        entries.truncate(limits::ENTRIES);
        let shown = format!("[{name}]");
        Table { name, shown, place, entries }
    }

    /// Reports what nobody took.
    pub(crate) fn close(&mut self, table: Table<'a>) {
        let known = keys_of(self.keys, table.name);
        for (item, used) in &table.entries {
            if *used {
                continue;
            }
            let file = format!("a {}", self.file);
            let owner = if table.name.is_empty() { &file } else { &table.shown };
            let message = format!("unknown key \"{}\" in {owner}", item.key);
            let likely = nearest(item.key, known.iter().copied());
            let here = likely.map_or("not known here".into(), |l| format!("perhaps `{l}`?"));
            let help = match likely {
                Some(likely) => format!("write `{likely}`, or take the line out"),
                None => format!("known keys here are {}", known.join(", ")),
            };
            self.fault(Finding::fault("unknown-key", message).at(item.key_place, here).help(help));
        }
    }

    /// Takes a key that may be absent and reads it.
    pub(crate) fn opt<T>(
        &mut self,
        table: &mut Table<'a>,
        key: &str,
        read: impl FnOnce(&mut Self, Item<'a>) -> Option<T>,
    ) -> Option<T> {
        let item = table.take(key)?;
        read(self, item)
    }

    /// Takes a key that must be there and reads it; `like` shows how it looks.
    pub(crate) fn need<T>(
        &mut self,
        table: &mut Table<'a>,
        key: &str,
        like: &str,
        read: impl FnOnce(&mut Self, Item<'a>) -> Option<T>,
    ) -> Option<T> {
        match table.take(key) {
            Some(item) => read(self, item),
            None => {
                self.missing(table, key, like);
                None
            }
        }
    }

    pub(crate) fn missing(&mut self, table: &Table<'a>, key: &str, like: &str) {
        let file = format!("the {}", self.file);
        let owner = if table.name.is_empty() { &file } else { &table.shown };
        let finding = Finding::fault("missing-key", format!("{owner} has no `{key}`"))
            .at(table.place, "")
            .help(format!("add a line such as `{key} = {like}`"));
        self.fault(finding);
    }

    pub(crate) fn wrong_type<T>(&mut self, item: Item<'a>, wanted: &str) -> Option<T> {
        let message = format!("`{}` must be {wanted}, not {}", item.key, kind(item.value));
        let here = format!("this is {}", kind(item.value));
        self.fault(Finding::fault("wrong-type", message).at(item.place, here));
        None
    }

    pub(crate) fn text(&mut self, item: Item<'a>) -> Option<Text> {
        match item.value {
            DeValue::String(_) => Some(self.raw_text(item)),
            _ => self.wrong_type(item, "a text in quotes"),
        }
    }

    /// The text of a string value, or of a number as it is written.
    pub(crate) fn raw_text(&self, item: Item<'a>) -> Text {
        let span = item.place.span;
        let raw = self.text.get(span.range()).unwrap_or("");
        let (text, origin) = strings::decode(raw, span.start as usize, self.source);
        Text { text, origin, place: item.place }
    }

    /// A key that formulas refer to must be a name they can read.
    pub(crate) fn name(&mut self, item: Item<'a>) -> Option<()> {
        let good = |c: char| c.is_ascii_alphanumeric() || c == '_';
        let letter = item.key.starts_with(|c: char| c.is_ascii_alphabetic() || c == '_');
        if letter && item.key.chars().all(good) {
            return Some(());
        }
        let lead = if letter { "" } else { "n" };
        let mended = item.key.chars().map(|c| if good(c) { c } else { '_' });
        let mended: String = lead.chars().chain(mended).collect();
        let message = format!("\"{}\" is no name that a formula can read", item.key);
        let finding = Finding::fault("bad-name", message)
            .at(item.key_place, "")
            .help(format!("names are letters, digits and `_`, a letter first: `{mended}`"));
        self.fault(finding);
        None
    }

    /// A text that must say something.
    pub(crate) fn some_text(&mut self, item: Item<'a>) -> Option<Text> {
        let text = self.text(item)?;
        if text.text.trim().is_empty() {
            let message = format!("`{}` is empty", item.key);
            self.fault(Finding::fault("empty", message).at(item.place, "nothing here"));
            return None;
        }
        Some(text)
    }

    pub(crate) fn texts(&mut self, item: Item<'a>) -> Option<Vec<Text>> {
        let items = self.list(item, "a list of texts")?;
        Some(items.into_iter().filter_map(|i| self.text(i)).collect())
    }

    /// A plain word with its place.
    pub(crate) fn word(&mut self, item: Item<'a>) -> Option<Placed<String>> {
        self.some_text(item).map(|t| Placed { value: t.text, place: t.place })
    }

    pub(crate) fn words(&mut self, item: Item<'a>) -> Option<Vec<Placed<String>>> {
        let items = self.list(item, "a list of names")?;
        Some(items.into_iter().filter_map(|i| self.word(i)).collect())
    }

    pub(crate) fn flag(&mut self, item: Item<'a>) -> Option<bool> {
        match item.value {
            DeValue::Boolean(b) => Some(*b),
            _ => self.wrong_type(item, "true or false"),
        }
    }

    pub(crate) fn number(&mut self, item: Item<'a>) -> Option<Placed<f64>> {
        let value = match item.value {
            DeValue::Integer(i) => integer(i).map(|n| n as f64),
            DeValue::Float(f) => f.as_str().replace('_', "").parse::<f64>().ok(),
            _ => return self.wrong_type(item, "a number"),
        };
        match value.filter(|v| v.is_finite()) {
            Some(value) => Some(Placed { value, place: item.place }),
            None => self.bad_number(item, "a finite number"),
        }
    }

    /// A number above zero.
    pub(crate) fn positive(&mut self, item: Item<'a>) -> Option<Placed<f64>> {
        let n = self.number(item)?;
        if n.value > 0.0 { Some(n) } else { self.bad_number(item, "more than 0") }
    }

    /// A whole number within bounds.
    pub(crate) fn whole(&mut self, item: Item<'a>, low: i64, high: i64) -> Option<Placed<i64>> {
        let DeValue::Integer(i) = item.value else {
            return self.wrong_type(item, "a whole number");
        };
        match integer(i).filter(|n| (low..=high).contains(n)) {
            Some(value) => Some(Placed { value, place: item.place }),
            None => self.bad_number(item, &format!("from {low} to {high}")),
        }
    }

    pub(crate) fn bad_number<T>(&mut self, item: Item<'a>, wanted: &str) -> Option<T> {
        let written = self.text.get(item.place.span.range()).unwrap_or("").trim();
        let shown: String = written.chars().take(40).collect();
        let message = format!("`{}` must be {wanted}; it is {shown}", item.key);
        self.fault(Finding::fault("out-of-range", message).at(item.place, "out of range"));
        None
    }

    fn quantity<T>(
        &mut self,
        item: Item<'a>,
        wanted: &str,
        parse: impl FnOnce(&str) -> Result<T, BadQuantity>,
    ) -> Option<Placed<T>> {
        let DeValue::String(s) = item.value else {
            return self.wrong_type(item, &format!("{wanted} in quotes"));
        };
        match parse(s) {
            Ok(value) => Some(Placed { value, place: item.place }),
            Err(bad) => {
                self.bad_quantity(item, &bad);
                None
            }
        }
    }

    pub(crate) fn bad_quantity(&mut self, item: Item<'a>, bad: &BadQuantity) {
        let code = match bad {
            BadQuantity::UnknownUnit { .. } | BadQuantity::NoUnit { .. } => "bad-unit",
            BadQuantity::NoNumber { .. } | BadQuantity::TooLarge => "bad-quantity",
        };
        let message = format!("`{}`: {bad}", item.key);
        self.fault(Finding::fault(code, message).at(item.place, ""));
    }

    pub(crate) fn length(&mut self, item: Item<'a>) -> Option<Placed<Length>> {
        self.quantity(item, "a length such as \"21.5 cm\"", Length::parse)
    }

    /// A length above zero.
    pub(crate) fn extent(&mut self, item: Item<'a>) -> Option<Placed<Length>> {
        let l = self.length(item)?;
        if l.value.is_positive() { Some(l) } else { self.bad_number(item, "more than 0") }
    }

    pub(crate) fn mass(&mut self, item: Item<'a>) -> Option<Placed<Mass>> {
        let m = self.quantity(item, "a mass such as \"100 g\"", Mass::parse)?;
        if m.value.is_positive() { Some(m) } else { self.bad_number(item, "more than 0") }
    }

    pub(crate) fn percent(&mut self, item: Item<'a>) -> Option<Placed<Percent>> {
        self.quantity(item, "a percentage such as \"10 %\"", Percent::parse)
    }

    pub(crate) fn date(&mut self, item: Item<'a>) -> Option<Placed<Date>> {
        let DeValue::Datetime(when) = item.value else {
            return self.wrong_type(item, "a date such as 2026-10-05, without quotes");
        };
        match when.date {
            Some(d) => {
                let value = Date { year: d.year, month: d.month, day: d.day };
                Some(Placed { value, place: item.place })
            }
            None => self.wrong_type(item, "a date such as 2026-10-05"),
        }
    }

    pub(crate) fn list(&mut self, item: Item<'a>, wanted: &str) -> Option<Vec<Item<'a>>> {
        let DeValue::Array(array) = item.value else { return self.wrong_type(item, wanted) };
        Some(self.elements(item, array))
    }

    fn elements(&mut self, item: Item<'a>, array: &'a DeArray<'a>) -> Vec<Item<'a>> {
        let one = |value: &'a Spanned<DeValue<'a>>| Item {
            value: value.get_ref(),
            place: self.place(value.span()),
            ..item
        };
        let items: Vec<Item<'a>> = array.iter().take(limits::ENTRIES + 1).map(one).collect();
        if let Some(item) = items.get(limits::ENTRIES) {
            self.too_many(item.place);
        }
        items.into_iter().take(limits::ENTRIES).collect()
    }

    fn too_many(&mut self, place: Place) {
        let message = format!("a table or list has at most {} entries", limits::ENTRIES);
        self.fault(Finding::fault("limit", message).at(place, "one too many"));
    }

    pub(crate) fn table(&mut self, item: Item<'a>, name: &'static str) -> Option<Table<'a>> {
        match item.value {
            DeValue::Table(table) => {
                let place = self.table_place(item);
                let mut open = self.open(table, place, name);
                open.shown = open.shown.replace('*', item.key);
                Some(open)
            }
            _ => self.wrong_type(item, &format!("a table ([{name}])")),
        }
    }

    /// A headed table's span is its header; an inline table's the whole of it.
    fn table_place(&self, item: Item<'a>) -> Place {
        if item.place.span.start == item.place.span.end { item.key_place } else { item.place }
    }

    /// A list of tables, written `[[name]]`.
    pub(crate) fn tables(&mut self, item: Item<'a>, name: &'static str) -> Vec<Table<'a>> {
        let DeValue::Array(array) = item.value else {
            let wanted = format!("a list of tables, each headed [[{name}]]");
            let _: Option<()> = self.wrong_type(item, &wanted);
            return Vec::new();
        };
        let items = self.elements(item, array);
        let mut tables: Vec<Table<'a>> =
            items.into_iter().filter_map(|i| self.table(i, name)).collect();
        tables.iter_mut().for_each(|t| t.shown = format!("[[{name}]]"));
        tables
    }
}

fn integer(i: &toml::de::DeInteger<'_>) -> Option<i64> {
    i64::from_str_radix(&i.as_str().replace('_', ""), i.radix()).ok()
}
