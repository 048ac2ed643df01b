//! One fabric's gauge as all testers measured it.

use super::TESTERS_TO_CHANGE;
use crate::correction::card::{Card, Counted};
use crate::correction::stats::{self, Summary};
use crate::design::{Design, Gauge};
use crate::diag::Finding;
use crate::quantity::{Length, number};
use serde::Serialize;

/// Half of the half stitch that people count to: how far one careful reading may be off.
const READING: f64 = 0.25;

/// Makers of one hand and mind still differ by this share: the smallest spread believed
/// when judging who stands apart. Common practice, no source.
const HANDS: f64 = 0.025;

/// One fabric's gauge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GaugeReport {
    /// The gauge's name in the design.
    pub name: String,
    /// The length counted over.
    pub over: Length,
    /// Whether the figures are those after washing.
    pub washed: bool,
    /// Stitches.
    pub sts: Measured,
    /// Rows or rounds.
    pub rows: Measured,
}

/// One figure of a gauge, over the design's length.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Measured {
    /// What the design says.
    pub design: f64,
    /// What each tester measured, in the order of the cards; one voice a tester.
    pub testers: Vec<(String, f64)>,
    /// What they say together; none where nobody measured it.
    pub summary: Option<Summary>,
    /// What follows.
    pub verdict: Verdict,
}

/// What follows from the figures.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Too few measured it.
    TooFew,
    /// The design's figure lies within what the testers' figures allow.
    Holds,
    /// It does not; this is the figure that would stand in the design.
    Change(f64),
    /// The hook is changed instead.
    HookInstead,
}

/// What all cards say of one gauge.
pub(super) fn report(
    design: &Design,
    gauge: &Gauge,
    cards: &[Card],
    findings: &mut Vec<Finding>,
) -> GaugeReport {
    let washed = after_washing(gauge, cards);
    let sts = measured(gauge, gauge.sts.value, cards, washed, |c| figure(&c.sts));
    let rows = measured(gauge, gauge.rows.value, cards, washed, |c| figure(&c.rows));
    let _ = design;
    apart(gauge, &sts, "sts", findings);
    apart(gauge, &rows, "rows", findings);
    GaugeReport { name: gauge.name.clone(), over: gauge.over.value, washed, sts, rows }
}

fn figure(placed: &Option<crate::design::Placed<f64>>) -> Option<f64> {
    placed.as_ref().map(|p| p.value)
}

/// Which figures are comparable with the design's: those taken as it says its own were
/// (`washed`); where it does not say, those after washing if every tester has them.
fn after_washing(gauge: &Gauge, cards: &[Card]) -> bool {
    gauge.washed.unwrap_or_else(|| {
        let swatches: Vec<_> = cards
            .iter()
            .filter_map(|c| c.swatch(&gauge.name))
            .filter(|s| s.before.sts.is_some() || s.after.sts.is_some())
            .collect();
        !swatches.is_empty() && swatches.iter().all(|s| s.after.sts.is_some())
    })
}

fn measured(
    gauge: &Gauge,
    design: f64,
    cards: &[Card],
    washed: bool,
    pick: impl Fn(&Counted) -> Option<f64>,
) -> Measured {
    let mut voices: Vec<(String, String, Vec<f64>)> = Vec::new();
    for card in cards {
        let Some(swatch) = card.swatch(&gauge.name) else { continue };
        let counted = if washed { &swatch.after } else { &swatch.before };
        let Some(figure) = pick(counted) else { continue };
        let over = swatch.over.as_ref().map_or(gauge.over.value, |o| o.value);
        let scaled = figure * (gauge.over.value / over);
        let who = card.who();
        match voices.iter_mut().find(|(w, _, _)| *w == who) {
            Some((_, _, figures)) => figures.push(scaled),
            None => voices.push((who, card.tester.value.clone(), vec![scaled])),
        }
    }
    // One who tests two sizes is still one pair of hands.
    let testers: Vec<(String, f64)> = voices
        .into_iter()
        .filter_map(|(_, name, figures)| stats::median(&figures).map(|m| (name, m)))
        .collect();
    let values: Vec<f64> = testers.iter().map(|(_, v)| *v).collect();
    let floor = stats::median(&values).map_or(0.0, |m| (m * HANDS).max(READING));
    // Every figure may be off by a reading, and so may what is made of them.
    let summary = stats::summary(&values, floor).map(|s| s.widened(READING));
    let verdict = summary.as_ref().map_or(Verdict::TooFew, |s| verdict(design, s));
    Measured { design, testers, summary, verdict }
}

fn verdict(design: f64, s: &Summary) -> Verdict {
    if s.kept < TESTERS_TO_CHANGE {
        return Verdict::TooFew;
    }
    let figure = written(s);
    // However well they agree, nobody counts nearer than this.
    if s.agrees(design, READING) || figure == design {
        Verdict::Holds
    } else {
        Verdict::Change(figure)
    }
}

/// The median as a pattern would print it: to the half where the cards cannot tell the
/// difference, else to the tenth.
fn written(s: &Summary) -> f64 {
    let half = (s.median * 2.0).round() / 2.0;
    if half > 0.0 && s.agrees(half, 0.0) {
        half
    } else {
        ((s.median * 10.0).round() / 10.0).max(0.1)
    }
}

/// Names each tester who stands apart, with the reason.
fn apart(gauge: &Gauge, m: &Measured, what: &str, findings: &mut Vec<Finding>) {
    let Some(summary) = &m.summary else { return };
    for a in &summary.apart {
        let Some((who, value)) = m.testers.get(a.index) else { continue };
        let message = format!(
            "{who} counted {} {what} for {}, the others about {}: {} spreads away, and more than \
             {} stands apart",
            number(*value, 1),
            gauge.name,
            number(summary.median, 1),
            number(a.score.abs(), 1),
            number(stats::APART, 1),
        );
        findings.push(
            Finding::caution("tester-apart", message).help(
                "her figure is left out here; ask her what she counted, and over what length",
            ),
        );
    }
}

impl Measured {
    /// The figure that would stand in the design.
    pub fn corrected(&self) -> f64 {
        match self.verdict {
            Verdict::Change(figure) => figure,
            Verdict::TooFew | Verdict::Holds | Verdict::HookInstead => self.design,
        }
    }
}
