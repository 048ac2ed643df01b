//! Which hooks the testers ended with, and the case that all needed another.

use super::gauge::{GaugeReport, Verdict};
use super::{TESTERS_TO_CHANGE, Wish};
use crate::correction::card::Card;
use crate::design::{Design, Hook};
use crate::diag::Finding;
use crate::quantity::Length;
use serde::Serialize;

/// One hook of the design, and what testers used in its place.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct HookReport {
    /// The hook's name in the design.
    pub name: String,
    /// Its size in the design.
    pub design: Length,
    /// What each tester ended with, in the order of the cards.
    pub testers: Vec<(String, Length)>,
    /// The gauges it works.
    pub gauges: Vec<String>,
    /// The size all testers would have it be: the middle of theirs, where every one of at
    /// least three needed a larger hook, or every one a smaller.
    pub needed: Option<Length>,
    /// The size that would stand in the design, where it changes.
    pub change: Option<Length>,
}

/// Reports each hook; with the wish for it, and where all testers needed another, the hook
/// changes and the gauges it works stay.
pub(super) fn reports(
    design: &Design,
    cards: &[Card],
    gauges: &mut [GaugeReport],
    wish: Wish,
    findings: &mut Vec<Finding>,
) -> Vec<HookReport> {
    let mut out = Vec::new();
    for hook in &design.hooks {
        let works = |name: &str| {
            design.gauge(name).and_then(|g| g.hook.as_ref()).is_some_and(|h| h.value == hook.name)
        };
        let mut mine: Vec<&mut GaugeReport> =
            gauges.iter_mut().filter(|g| works(&g.name)).collect();
        let names: Vec<String> = mine.iter().map(|g| g.name.clone()).collect();
        let testers = used(hook, cards, &names);
        let needed = needed(hook, &testers);
        let change = needed.filter(|_| wish.hook);
        if change.is_some() {
            mine.iter_mut().for_each(|g| keep(g, hook, findings));
        }
        said(hook, &testers, needed, wish, findings);
        let name = hook.name.clone();
        out.push(HookReport { name, design: hook.size, testers, gauges: names, needed, change });
    }
    out
}

/// Hooks within this of each other are one size; published sizes lie 0.2 mm apart or more.
const SAME_HOOK_MM: f64 = 0.06;

/// What each card says of this hook; a swatch without a hook was made with the design's.
fn used(hook: &Hook, cards: &[Card], gauges: &[String]) -> Vec<(String, Length)> {
    let mut out = Vec::new();
    for card in cards {
        for swatch in gauges.iter().filter_map(|g| card.swatch(g)) {
            let size = swatch.hook.as_ref().map_or(hook.size, |h| h.value);
            let said = (card.tester.value.clone(), size);
            if !out.contains(&said) {
                out.push(said);
            }
        }
    }
    out
}

fn same(a: Length, b: Length) -> bool {
    (a - b).abs() <= Length::mm(SAME_HOOK_MM)
}

/// The lower middle of the hooks used, so that it is one that somebody did use.
fn needed(hook: &Hook, testers: &[(String, Length)]) -> Option<Length> {
    let mut people: Vec<&str> = testers.iter().map(|(who, _)| who.as_str()).collect();
    people.sort_unstable();
    people.dedup();
    let larger = |l: &Length| *l > hook.size && !same(*l, hook.size);
    let smaller = |l: &Length| *l < hook.size && !same(*l, hook.size);
    let mut sizes: Vec<Length> = testers.iter().map(|(_, l)| *l).collect();
    let agreed = sizes.iter().all(larger) || sizes.iter().all(smaller);
    if !agreed || people.len() < TESTERS_TO_CHANGE {
        return None;
    }
    sizes.sort();
    sizes.get((sizes.len() - 1) / 2).copied()
}

/// The gauge stays; where the testers' figures contradict it even with their own hooks,
/// that is said.
fn keep(gauge: &mut GaugeReport, hook: &Hook, findings: &mut Vec<Finding>) {
    for (what, m) in [("sts", &mut gauge.sts), ("rows", &mut gauge.rows)] {
        if let Verdict::Change(figure) = m.verdict {
            let message = format!(
                "even with the hooks they ended with, the testers' {what} for {} come to {figure}, \
                 not {}",
                gauge.name, m.design
            );
            findings.push(Finding::caution("hook-and-gauge", message).help(format!(
                "changing the hook `{}` alone will not mend it; without --hook the gauge is \
                 corrected",
                hook.name
            )));
        }
        m.verdict = Verdict::HookInstead;
    }
}

fn said(
    hook: &Hook,
    testers: &[(String, Length)],
    needed: Option<Length>,
    wish: Wish,
    findings: &mut Vec<Finding>,
) {
    let others: Vec<String> = testers
        .iter()
        .filter(|(_, l)| !same(*l, hook.size))
        .map(|(who, l)| format!("{who} {}", l.hook_text()))
        .collect();
    let asked = hook.size.hook_text();
    let finding = match needed {
        Some(size) if !wish.hook => Finding::caution(
            "hook-other",
            format!(
                "every tester needed another hook than the {asked} of `{}`: {}",
                hook.name,
                others.join(", ")
            ),
        )
        .help(format!("with --hook the design asks for {} and keeps its gauge", size.hook_text())),
        None if wish.hook && !others.is_empty() => Finding::caution(
            "hook-split",
            format!(
                "not every tester needed another hook than the {asked} of `{}`, or they do not \
                 agree which way; those who did: {}",
                hook.name,
                others.join(", ")
            ),
        )
        .help("the hook stays as it is and the gauge is judged instead"),
        None if !others.is_empty() => Finding::note(
            "hook-other",
            format!("other hooks than the {asked} of `{}`: {}", hook.name, others.join(", ")),
        )
        .help("a gauge met with another hook is a gauge met"),
        _ => return,
    };
    findings.push(finding.at(hook.place, "the hook asked for"));
}
