//! What the cards say of a design, and what would change for it.
//!
//! Takes a [`Design`], the cards that hold against it, and what the design says each size
//! should take and measure; gives a [`Correction`]. Nothing is changed here: see
//! [`super::apply`].

mod finished;
mod gauge;
mod hook;
mod yarn;

pub use finished::Finished;
pub use gauge::{GaugeReport, Measured, Verdict};
pub use hook::HookReport;
pub use yarn::YarnReport;

use super::card::{Card, Sifted, Unclear};
use super::changes::Changes;
use crate::design::Design;
use crate::diag::Finding;
use crate::quantity::{Length, Mass};
use serde::Serialize;

/// Fewer testers than this move no gauge: two can only disagree.
pub const TESTERS_TO_CHANGE: usize = 3;

/// From this many testers on an interval of 95 % confidence exists that assumes nothing
/// about their errors: with five, smallest to largest is 93.75 % (1 - 2 / 2⁵). Below it one
/// is stated that takes their errors for normal ([`STUDENT`](super::stats::STUDENT)).
pub const TESTERS_TO_BE_SURE: usize = 6;

/// What the design says one size takes and measures.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Expected {
    /// The size's id.
    pub size: String,
    /// Finished girth.
    pub girth: Option<Length>,
    /// Finished depth.
    pub depth: Option<Length>,
    /// What it takes of each yarn, without the margin for safety.
    pub yarn: Vec<(String, Mass)>,
    /// What these counts come to at each tester's own gauge.
    pub hands: Vec<Hands>,
}

/// What one size's counts come to in one tester's hands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hands {
    /// Who, as [`Card::who`] says.
    pub who: String,
    /// Finished girth.
    pub girth: Option<Length>,
    /// Finished depth.
    pub depth: Option<Length>,
}

/// How to correct.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Wish {
    /// Change the hook, not the gauge, where all testers needed another hook.
    pub hook: bool,
}

/// What the cards say of a design.
#[derive(Clone, Debug, Serialize)]
pub struct Correction {
    /// The design's title.
    pub title: String,
    /// The edition the cards are held against.
    pub edition: String,
    /// How many testers sent how many cards.
    pub testers: usize,
    /// How many cards are used.
    pub cards: usize,
    /// Each fabric's gauge, in the design's order.
    pub gauges: Vec<GaugeReport>,
    /// Each hook that a gauge was measured with, in the design's order.
    pub hooks: Vec<HookReport>,
    /// What each yarn took.
    pub yarn: Vec<YarnReport>,
    /// Finished sizes.
    pub finished: Vec<Finished>,
    /// What was unclear: tester, size, line and words.
    pub unclear: Vec<UnclearReport>,
    /// What testers wrote besides: tester and words.
    pub notes: Vec<(String, String)>,
    /// What would change in the design file.
    pub changes: Changes,
    /// Cautions and notes.
    #[serde(skip)]
    pub findings: Vec<Finding>,
}

/// Something a tester found unclear.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct UnclearReport {
    /// Who.
    pub tester: String,
    /// In which size.
    pub size: String,
    /// At which line of the table copy, if one.
    pub line: Option<u32>,
    /// In her words.
    pub words: String,
}

/// Weighs cards that [`sift`](super::card::sift) let pass.
pub fn correct(design: &Design, sifted: &Sifted, expected: &[Expected], wish: Wish) -> Correction {
    let cards = &sifted.cards;
    let mut findings = Vec::new();
    let mut gauges: Vec<GaugeReport> =
        design.gauges.iter().map(|g| gauge::report(design, g, cards, &mut findings)).collect();
    let hooks = hook::reports(design, cards, &mut gauges, wish, &mut findings);
    let present: Vec<&Card> = cards
        .iter()
        .zip(&sifted.present)
        .filter_map(|(card, present)| present.then_some(card))
        .collect();
    let yarn = yarn::reports(design, &present, expected, &mut findings);
    let finished = finished::reports(&present, expected, &mut findings);
    let testers = testers(cards);
    few(testers, &mut findings);
    Correction {
        title: design.pattern.title.as_str().to_owned(),
        edition: design.pattern.edition.as_str().to_owned(),
        testers,
        cards: cards.len(),
        changes: Changes::of(&gauges, &hooks),
        gauges,
        hooks,
        yarn,
        finished,
        unclear: unclear(cards),
        notes: notes(cards),
        findings,
    }
}

/// How many people sent cards.
fn testers(cards: &[Card]) -> usize {
    let mut who: Vec<String> = cards.iter().map(Card::who).collect();
    who.sort();
    who.dedup();
    who.len()
}

fn few(testers: usize, findings: &mut Vec<Finding>) {
    let people = if testers == 1 { "tester" } else { "testers" };
    if testers < TESTERS_TO_CHANGE {
        let message = format!(
            "cards of {testers} {people}: too few to change a gauge by; {TESTERS_TO_CHANGE} are needed"
        );
        findings.push(
            Finding::caution("few-testers", message)
                .help("wait for more cards, or change the design file by hand"),
        );
    } else if testers < TESTERS_TO_BE_SURE {
        let message = format!(
            "cards of {testers} {people}: with fewer than {TESTERS_TO_BE_SURE} a gauge changes where all \
             lie to one side of the design's, and the 95 % spread beside it is wide: it takes hands \
             to differ in the normal way, and may still hold the design's figure"
        );
        findings.push(Finding::caution("few-testers", message).help("more cards make it surer"));
    }
}

fn unclear(cards: &[Card]) -> Vec<UnclearReport> {
    let report = |card: &Card, u: &Unclear| UnclearReport {
        tester: card.tester.value.clone(),
        size: card.size.value.clone(),
        line: u.line,
        words: u.words.trim().to_owned(),
    };
    let mut all: Vec<UnclearReport> =
        cards.iter().flat_map(|c| c.unclear.iter().map(|u| report(c, u))).collect();
    all.sort_by(|a, b| (&a.size, a.line).cmp(&(&b.size, b.line)));
    all
}

fn notes(cards: &[Card]) -> Vec<(String, String)> {
    cards
        .iter()
        .filter(|c| !c.notes.trim().is_empty())
        .map(|c| (c.tester.value.clone(), c.notes.trim().to_owned()))
        .collect()
}
