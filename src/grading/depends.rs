//! Which numbers are found from which.

use super::rules::{Formula, ReadRule, Rules};
use crate::design::Design;
use std::collections::BTreeSet;

/// The number `name` of the design's `[counts]`, and every other that is found from it, in
/// any size, by itself or through others.
pub fn found_from(design: &Design, name: &str) -> BTreeSet<String> {
    let rules = Rules::read(design, &mut Vec::new());
    let mut all = BTreeSet::from([name.to_owned()]);
    // Each pass adds what is found from the pass before, until nothing is.
    loop {
        let before = all.len();
        for count in &rules.counts {
            let formulas: Vec<&Formula> = match &count.rule {
                ReadRule::All(formula) => vec![formula],
                ReadRule::PerSize(each) => each.iter().flatten().collect(),
            };
            let mut from = false;
            for expr in formulas.iter().filter_map(|f| f.expr.as_ref()) {
                expr.names(&mut |used, _| from |= all.contains(used));
            }
            if from {
                all.insert(count.name.clone());
            }
        }
        if all.len() == before {
            return all;
        }
    }
}
