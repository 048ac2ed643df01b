//! Small ways of saying things that several parts of this room share.

use crate::booklet::document::Date;

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// `5 October 2026`.
pub(super) fn date_words(date: Date) -> String {
    let month = usize::from(date.month).checked_sub(1).and_then(|m| MONTHS.get(m));
    match month {
        Some(m) => format!("{} {m} {}", date.day, date.year),
        None => format!("{:04}-{:02}-{:02}", date.year, date.month, date.day),
    }
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// `Rnd 4` as its word and number.
pub(super) fn numbered(label: &str) -> Option<(&str, usize)> {
    let (word, number) = label.split_once(['\u{a0}', ' '])?;
    Some((word, number.parse().ok()?))
}
