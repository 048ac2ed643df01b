//! One finding for what several sizes share.

use crate::diag::Finding;

/// Merges the findings of each size, in the design's order of sizes: the same code at the
/// same place becomes one finding that names its sizes, and says what differs in each.
pub(super) fn merge(by_size: Vec<(String, Vec<Finding>)>) -> Vec<Finding> {
    let mut out: Vec<Finding> = Vec::new();
    let all = by_size.len();
    for (size, findings) in by_size {
        for mut f in findings {
            let same = |o: &&mut Finding| o.code == f.code && o.place == f.place;
            match out.iter_mut().find(same) {
                Some(first) if first.sizes.contains(&size) => {}
                Some(first) => {
                    if first.message != f.message {
                        first.each.push((size.clone(), f.message));
                    }
                    first.sizes.push(size.clone());
                }
                None => {
                    f.sizes = vec![size.clone()];
                    out.push(f);
                }
            }
        }
    }
    for f in &mut out {
        if f.sizes.len() == all && f.each.is_empty() {
            f.sizes.clear();
        }
    }
    out.sort_by_key(|f| f.place);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_sizes_share_is_said_once() {
        let f = |m: &str| Finding::fault("leftover", m);
        let merged = merge(vec![
            ("child".into(), vec![f("2 sts left over")]),
            ("adult-m".into(), vec![f("3 sts left over")]),
            ("adult-l".into(), vec![]),
        ]);
        assert_eq!(merged.len(), 1);
        assert_eq!(merged[0].sizes, ["child", "adult-m"]);
        assert_eq!(merged[0].each, [("adult-m".to_owned(), "3 sts left over".to_owned())]);
        let everywhere = merge(vec![("s".into(), vec![f("x")]), ("l".into(), vec![f("x")])]);
        assert!(everywhere[0].sizes.is_empty(), "a fault of every size names none");
    }
}
