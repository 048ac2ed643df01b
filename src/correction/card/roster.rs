//! The roster: who tests which size.

use crate::design::walk::{Reader, Table};
use crate::design::{Design, Placed, syntax, unknown_name};
use crate::diag::{Finding, Place, SourceId, Span};
use toml::de::DeTable;

/// Who tests which size, in the file's order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Roster {
    /// The pairs.
    pub seats: Vec<Seat>,
}

/// One tester and one size.
#[derive(Clone, Debug, PartialEq)]
pub struct Seat {
    /// The tester's name.
    pub tester: Placed<String>,
    /// The size's id.
    pub size: Placed<String>,
}

const ROSTER_KEYS: &[(&str, &[&str])] = &[("", &["tester"]), ("tester", &["name", "size"])];

/// Reads a roster: one `[[tester]]` table with `name` and `size` for each copy wanted. A
/// tester of two sizes stands there twice.
pub fn roster(source: SourceId, text: &str, design: &Design) -> (Roster, Vec<Finding>) {
    let (document, errors) = DeTable::parse_recoverable(text);
    if !errors.is_empty() {
        let faults = errors.iter().map(|e| syntax(source, e)).collect();
        return (Roster::default(), faults);
    }
    let mut r = Reader::new(source, text, "roster", ROSTER_KEYS);
    let mut root = r.open(document.get_ref(), Place { source, span: Span::new(0, 0) }, "");
    let tables = match root.take("tester") {
        Some(item) => r.tables(item, "tester"),
        None => {
            r.missing(&root, "tester", "…: a table [[tester]] with name and size");
            Vec::new()
        }
    };
    r.close(root);
    let seats: Vec<Seat> = tables.into_iter().filter_map(|t| seat(&mut r, t)).collect();
    let mut findings = r.findings;
    let sizes: Vec<&str> = design.sizes.iter().map(|s| s.id.as_str()).collect();
    for (i, s) in seats.iter().enumerate() {
        if !sizes.contains(&s.size.value.as_str()) {
            findings.push(unknown_name("size", &s.size.value, s.size.place, &sizes));
        }
        let same = |o: &&Seat| (&o.tester.value, &o.size.value) == (&s.tester.value, &s.size.value);
        if let Some(first) = seats.get(..i).and_then(|earlier| earlier.iter().find(same)) {
            let message =
                format!("{} stands twice in the roster with {}", s.tester.value, s.size.value);
            findings.push(
                Finding::fault("duplicate", message)
                    .at(s.tester.place, "the second")
                    .label(first.tester.place, "the first"),
            );
        }
    }
    (Roster { seats }, findings)
}

fn seat<'a>(r: &mut Reader<'a>, mut t: Table<'a>) -> Option<Seat> {
    let tester = r.need(&mut t, "name", "\"Wren\"", Reader::word);
    let size = r.need(&mut t, "size", "\"adult-m\"", Reader::word);
    r.close(t);
    Some(Seat { tester: tester?, size: size? })
}
