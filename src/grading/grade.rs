//! Every number for every size, with the faults of all sizes gathered.

use super::eval::Solver;
use super::fail::HoleError;
use super::fit;
use super::formula::Expr;
use super::graded::{Graded, GradedSize, Trace};
use super::number::{Num, Value};
use super::rules::{Formula, Found, Rules, Setting};
use crate::design::{Design, Size};
use crate::diag::{Finding, Span};
use crate::quantity::Length;
use std::collections::BTreeMap;
use std::sync::Mutex;

/// Grades a design. Where a number cannot be found its fault is told once, with the sizes
/// it concerns, and the rest is still graded.
pub fn grade(design: &Design) -> (Graded, Vec<Finding>) {
    grade_with(design, &Found::new())
}

/// Grades a design with some of its numbers given, found otherwise than by their formulas:
/// how many rounds there are before the ball ends.
pub fn grade_with(design: &Design, found: &Found) -> (Graded, Vec<Finding>) {
    let mut findings = Vec::new();
    let mut rules = Rules::read(design, &mut findings);
    rules.found.clone_from(found);
    let mut sizes = Vec::new();
    let mut nums = Vec::new();
    let mut faults: Vec<(String, Formula, HoleError)> = Vec::new();
    for (i, size) in design.sizes.iter().enumerate() {
        let setting = Setting { size: i, head: size.head, ease: size.ease.value, depth: None };
        let mut solver = Solver::new(&rules, &setting);
        let found = numbers(&rules, &mut solver);
        sizes.push(graded_size(size, &rules, &setting, &mut solver, &found));
        faults.extend(solver.faults.drain(..).map(|(f, e)| (size.id.clone(), f, e)));
        nums.push(found);
    }
    findings.extend(gathered(faults, design.sizes.len()));
    let graded = Graded { sizes, rules, nums, holes: Mutex::default() };
    findings.extend(fit::too_coarse(&graded));
    (graded, findings)
}

/// Every number that can be found, by name: the built-in ones and the design's own.
pub(super) fn numbers(rules: &Rules, solver: &mut Solver<'_>) -> BTreeMap<String, Num> {
    let names = super::formula::BUILT_IN.iter().copied();
    let names = names.chain(rules.counts.iter().map(|c| c.name.as_str()));
    names.filter_map(|n| solver.value(n).map(|v| (n.to_owned(), v))).collect()
}

fn graded_size(
    size: &Size,
    rules: &Rules,
    setting: &Setting,
    solver: &mut Solver<'_>,
    found: &BTreeMap<String, Num>,
) -> GradedSize {
    let length = |name: &str, otherwise: Length| match found.get(name).and_then(Num::value) {
        Some(Value::Length(l)) => l,
        _ => otherwise,
    };
    let ease = setting.ease.on(setting.head);
    let has = rules.pompom_sizes.is_empty() || rules.pompom_sizes.contains(&size.id);
    let pompom = rules.pompom.as_ref().filter(|_| has).and_then(|p| p.for_size(setting.size));
    let pompom = pompom.and_then(|f| own_length(f, solver, "a pompom's diameter", true));
    let mut folds = Vec::new();
    for fold in &rules.folds {
        let rule = fold.as_ref().and_then(|f| f.for_size(setting.size));
        folds.push(rule.and_then(|f| own_length(f, solver, "what is folded up", false)));
    }
    GradedSize {
        id: size.id.clone(),
        name: size.name.clone(),
        head: size.head,
        head_min: size.head_min,
        head_max: size.head_max,
        months: size.months,
        depth: length("depth", Length::ZERO),
        ease,
        girth: length("girth", size.head + ease),
        values: values(rules, found),
        traces: traces(rules, setting, solver, found),
        pompom,
        folds,
    }
}

pub(super) fn values(rules: &Rules, found: &BTreeMap<String, Num>) -> BTreeMap<String, Value> {
    let own = rules.counts.iter().filter_map(|c| {
        let value = found.get(&c.name)?.value()?;
        Some((c.name.clone(), value))
    });
    own.collect()
}

/// A formula that must give a length above 0, or of 0 and more.
fn own_length(
    formula: &Formula,
    solver: &mut Solver<'_>,
    what: &str,
    above: bool,
) -> Option<Length> {
    let found = solver.formula(formula)?;
    if found.dim == 1 && (found.n > 0.0 || (!above && found.n >= 0.0)) {
        return Some(Length::mm(found.n));
    }
    let span = Span::new(0, formula.text.text.len());
    let least = if above { "above 0" } else { "of 0 or more" };
    let is = match found.dim {
        1 => Length::mm(found.n).exact_text(),
        _ => found.kind().to_string(),
    };
    let message = format!("{what} is a length {least}, not {is}");
    solver.faults.push((formula.clone(), HoleError::new("formula-unit", span, message)));
    None
}

fn traces(
    rules: &Rules,
    setting: &Setting,
    solver: &Solver<'_>,
    found: &BTreeMap<String, Num>,
) -> Vec<Trace> {
    let trace = |c: &super::rules::NamedRule| {
        let formula = c.rule.for_size(setting.size)?;
        let result = found.get(&c.name)?.value()?;
        let expr = formula.expr.as_ref()?;
        Some(Trace {
            name: c.name.clone(),
            expression: formula.text.text.trim().to_owned(),
            filled: filled(expr, &formula.text.text, rules, found).trim().to_owned(),
            result,
            roundings: solver.done.get(&c.name).cloned().unwrap_or_default(),
            until_ball_ends: rules.found(&c.name, setting.size).is_some(),
        })
    };
    rules.counts.iter().filter_map(trace).collect()
}

/// The formula's text with the value of each name in its place.
fn filled(expr: &Expr, text: &str, rules: &Rules, found: &BTreeMap<String, Num>) -> String {
    let mut names: Vec<(Span, String)> = Vec::new();
    expr.names(&mut |name, span| {
        let num = found.get(name).copied().or_else(|| {
            let (gauge, part) = name.split_once('.')?;
            super::eval::gauge_number(rules, gauge, part, span).ok()
        });
        if let Some(value) = num.and_then(|n| n.value()) {
            names.push((span, value.to_string()));
        }
    });
    names.sort_by_key(|(span, _)| *span);
    let mut out = String::new();
    let mut at = 0;
    for (span, value) in names {
        out.push_str(text.get(at..span.range().start).unwrap_or(""));
        out.push_str(&value);
        at = span.range().end;
    }
    out.push_str(text.get(at..).unwrap_or(""));
    out
}

/// One finding for each fault, with the sizes it showed in; none named means all.
fn gathered(faults: Vec<(String, Formula, HoleError)>, all: usize) -> Vec<Finding> {
    let mut list: Vec<Finding> = Vec::new();
    for (size, formula, fault) in faults {
        let finding = fault.finding(&formula.text);
        let same = |f: &&mut Finding| f.code == finding.code && f.place == finding.place;
        match list.iter_mut().find(same) {
            Some(known) => {
                if known.message != finding.message {
                    known.each.push((size.clone(), finding.message));
                }
                known.sizes.push(size);
            }
            None => list.push(finding.sizes([size])),
        }
    }
    for finding in &mut list {
        if finding.sizes.len() == all && finding.each.is_empty() {
            finding.sizes.clear();
        }
    }
    list
}
