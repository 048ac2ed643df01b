//! Which numbers are found from which.

use super::formula::{COUNTERS, Expr, Node, Op};
use super::parse::parse;
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

/// Whether who knows the numbers of these names can tell what the braces of a text hold: one of
/// them, with others of them or whole numbers added and taken away; or nothing that differs by
/// size. What cannot be read is not told.
pub fn told_by(formula: &str, names: &[String]) -> bool {
    let Ok(formula) = parse(formula) else { return false };
    let mut differs = false;
    formula.names(&mut |name, _| differs |= !COUNTERS.contains(&name));
    !differs || is_sum_of(&formula, names)
}

fn is_sum_of(formula: &Expr, names: &[String]) -> bool {
    let named = |e: &Expr| matches!(&e.node, Node::Name(name) if names.contains(name));
    match &formula.node {
        Node::Binary(Op::Add | Op::Subtract, first, then) => {
            is_sum_of(first, names) && (named(then) || matches!(then.node, Node::Number(_, true)))
        }
        _ => named(formula),
    }
}

#[cfg(test)]
mod tests {
    use super::told_by;

    #[test]
    fn sums_of_known_numbers_are_told() {
        let names = ["body".to_owned(), "cuff.st".to_owned()];
        for formula in ["body", "body - 1", "body+cuff.st - 12", "round", "2 * step + 6", "48"] {
            assert!(told_by(formula, &names), "{formula}");
        }
        for formula in ["crown", "body / 2", "12 - body", "body - round", "body * 2", "body +"] {
            assert!(!told_by(formula, &names), "{formula}");
        }
    }
}
