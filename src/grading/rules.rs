//! The formulas of one design, read once, and what they are worked out for.

use super::fail::HoleError;
use super::formula::{BUILT_IN, COUNTERS, Expr, FUNCTIONS};
use super::parse::parse;
use crate::design::{Design, Ease, Rule, Text};
use crate::diag::{Finding, Place};
use crate::quantity::Length;
use std::collections::BTreeMap;

/// A rule for one number with its formulas read.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum ReadRule {
    All(Formula),
    /// One for each of the design's sizes, in their order.
    PerSize(Vec<Option<Formula>>),
}

/// A formula with its text; one at fault has been reported and is empty.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Formula {
    pub text: Text,
    pub expr: Option<Expr>,
}

/// One gauge as formulas see it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct GaugeUnit {
    pub name: String,
    /// Width of a stitch.
    pub st: Length,
    /// Height of a row or round.
    pub row: Length,
}

/// Everything the numbers of a design are worked out from.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Rules {
    pub counts: Vec<NamedRule>,
    pub gauges: Vec<GaugeUnit>,
    /// Depth by size; none where the standard rule holds.
    pub depth: Vec<Option<Formula>>,
    pub pompom: Option<ReadRule>,
    /// The sizes that have a pompom; empty means all.
    pub pompom_sizes: Vec<String>,
    /// What is folded up of each piece, in the design's order.
    pub folds: Vec<Option<ReadRule>>,
    /// Numbers found otherwise than by their formula.
    pub found: Found,
}

/// Numbers found otherwise than by their formula, by name: one for each of the design's
/// sizes (see [`super::grade_with`]).
pub type Found = BTreeMap<String, Vec<i64>>;

/// A number with its name.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct NamedRule {
    pub name: String,
    pub place: Place,
    pub rule: ReadRule,
}

/// What one set of numbers is worked out for: a head, its ease and which column of the
/// design's tables serves it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Setting {
    pub size: usize,
    pub head: Length,
    pub ease: Ease,
    /// A depth found otherwise than by the size's own rule.
    pub depth: Option<Length>,
}

impl ReadRule {
    pub(super) fn for_size(&self, size: usize) -> Option<&Formula> {
        match self {
            ReadRule::All(f) => Some(f),
            ReadRule::PerSize(each) => each.get(size).and_then(Option::as_ref),
        }
    }
}

impl Rules {
    /// Reads every formula of the design; faults go to `findings`.
    pub(super) fn read(design: &Design, findings: &mut Vec<Finding>) -> Rules {
        let gauges = design
            .gauges
            .iter()
            .map(|g| GaugeUnit { name: g.name.clone(), st: g.stitch_width(), row: g.row_height() })
            .collect();
        let mut reading = Reading { design, findings, seen: Vec::new() };
        let mut counts = Vec::new();
        for c in &design.counts {
            if reading.allowed(&c.name, c.name_place) {
                let rule = reading.rule(&c.rule);
                counts.push(NamedRule { name: c.name.clone(), place: c.name_place, rule });
            }
        }
        let depth =
            design.sizes.iter().map(|s| s.depth.as_ref().map(|d| reading.formula(d))).collect();
        let pompom = design.pompom.as_ref().map(|p| reading.rule(&p.diameter));
        let folds = design.pieces.iter().map(|p| p.fold.as_ref().map(|f| reading.rule(f)));
        let folds = folds.collect();
        let own = design.pompom.iter().flat_map(|p| &p.sizes);
        let pompom_sizes = own.map(|s| s.value.clone()).collect();
        Rules { counts, gauges, depth, pompom, pompom_sizes, folds, found: Found::new() }
    }

    /// The name of some gauge, for messages.
    pub(super) fn a_gauge(&self) -> &str {
        self.gauges.first().map_or("body", |g| g.name.as_str())
    }

    /// The number found for a name in one size otherwise than by its formula.
    pub(super) fn found(&self, name: &str, size: usize) -> Option<i64> {
        self.found.get(name)?.get(size).copied()
    }

    pub(super) fn count(&self, name: &str) -> Option<&NamedRule> {
        self.counts.iter().find(|c| c.name == name)
    }

    /// Every name a formula may use.
    pub(super) fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = BUILT_IN.iter().map(|n| (*n).to_owned()).collect();
        names.extend(self.counts.iter().map(|c| c.name.clone()));
        for g in &self.gauges {
            names.push(format!("{}.st", g.name));
            names.push(format!("{}.row", g.name));
        }
        names
    }
}

struct Reading<'d, 'f> {
    design: &'d Design,
    findings: &'f mut Vec<Finding>,
    /// Places of formulas reported already: one formula may serve several sizes.
    seen: Vec<Place>,
}

impl Reading<'_, '_> {
    fn allowed(&mut self, name: &str, place: Place) -> bool {
        let taken = FUNCTIONS.contains(&name)
            || COUNTERS.contains(&name)
            || (BUILT_IN.contains(&name) && name != "girth");
        if taken {
            let message = format!("`{name}` has a meaning of its own in formulas");
            let finding = Finding::fault("reserved-name", message)
                .at(place, "")
                .help("give the number another name");
            self.findings.push(finding);
        }
        !taken
    }

    fn rule(&mut self, rule: &Rule) -> ReadRule {
        match rule {
            Rule::All(text) => ReadRule::All(self.formula(text)),
            Rule::PerSize(_) => ReadRule::PerSize(
                self.design
                    .sizes
                    .iter()
                    .map(|s| rule.for_size(&s.id).map(|text| self.formula(text)))
                    .collect(),
            ),
        }
    }

    fn formula(&mut self, text: &Text) -> Formula {
        let read: Result<Expr, HoleError> = parse(&text.text);
        if let Err(fault) = &read
            && !self.seen.contains(&text.place)
        {
            self.seen.push(text.place);
            self.findings.push(fault.finding(text));
        }
        Formula { text: text.clone(), expr: read.ok() }
    }
}
