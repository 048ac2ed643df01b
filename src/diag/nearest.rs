//! The nearest known word to one that is not known.

/// How many single-letter changes (insert, delete, replace, swap of neighbours) lead from
/// one word to the other: the optimal string alignment distance.
pub fn distance(a: &str, b: &str) -> usize {
    let a: Vec<char> = a.chars().take(64).collect();
    let b: Vec<char> = b.chars().take(64).collect();
    let mut rows = vec![(0..=b.len()).collect::<Vec<usize>>()];
    for (i, ca) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, cb) in b.iter().enumerate() {
            let at = |r: usize, c: usize| rows.get(r).and_then(|r| r.get(c)).copied().unwrap_or(0);
            let mut best = (at(i, j + 1) + 1)
                .min(row.last().copied().unwrap_or(0) + 1)
                .min(at(i, j) + usize::from(ca != cb));
            let swapped = i > 0 && j > 0 && a.get(i - 1) == Some(cb) && b.get(j - 1) == Some(ca);
            if swapped {
                best = best.min(at(i - 1, j - 1) + 1);
            }
            row.push(best);
        }
        rows.push(row);
    }
    rows.last().and_then(|r| r.last()).copied().unwrap_or(0)
}

/// The nearest of `known` to `word`, if one is near enough to be meant.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let near = word.chars().count() / 3 + 1;
    known
        .into_iter()
        .map(|k| (distance(&word.to_lowercase(), &k.to_lowercase()), k))
        .min_by_key(|(d, _)| *d)
        .filter(|(d, _)| *d <= near)
        .map(|(_, k)| k)
}

#[cfg(test)]
mod tests {
    use super::{distance, nearest};

    #[test]
    fn distance_counts_single_letter_changes() {
        for (a, b, d) in [("", "", 0), ("ch", "", 2), ("sc", "dc", 1), ("gague", "gauge", 1)] {
            assert_eq!(distance(a, b), d, "{a} {b}");
            assert_eq!(distance(b, a), d, "{b} {a}");
        }
    }

    #[test]
    fn nearest_keeps_its_counsel_when_nothing_is_near() {
        assert_eq!(nearest("titel", ["title", "terms"]), Some("title"));
        assert_eq!(nearest("furlong", ["cm", "in"]), None);
    }
}
