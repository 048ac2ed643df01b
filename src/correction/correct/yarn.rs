//! What the hats took of each yarn, against what the design says they take.

use super::Expected;
use crate::correction::card::Card;
use crate::correction::stats::{self, Summary};
use crate::design::{Design, Yarn};
use crate::diag::Finding;
use crate::quantity::Mass;
use serde::Serialize;

/// One yarn.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct YarnReport {
    /// The yarn's name in the design.
    pub name: String,
    /// Every hat that was weighed, in the order of the cards.
    pub hats: Vec<Hat>,
    /// Taken over estimated, of the hats that have an estimate: 1 where the estimate is
    /// right, more where it is too low.
    pub ratio: Option<Summary>,
}

/// What one hat took.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Hat {
    /// Who made it.
    pub tester: String,
    /// In which size.
    pub size: String,
    /// What it took.
    pub used: Mass,
    /// What the design says, without its margin; none where it does not say.
    pub estimate: Option<Mass>,
}

/// A maker's own hand moves yarn by more than her gauge alone: the least spread believed
/// when judging who stands apart. Our own choice.
const HANDS: f64 = 0.05;

pub(super) fn reports(
    design: &Design,
    cards: &[&Card],
    expected: &[Expected],
    findings: &mut Vec<Finding>,
) -> Vec<YarnReport> {
    let mut out = Vec::new();
    for yarn in &design.yarns {
        let hats: Vec<Hat> = cards.iter().filter_map(|c| hat(c, yarn, expected)).collect();
        if hats.is_empty() {
            continue;
        }
        let ratios: Vec<f64> = hats.iter().filter_map(|h| h.estimate.map(|e| h.used / e)).collect();
        let ratio = stats::summary(&ratios, HANDS);
        promise(yarn, &hats, findings);
        estimate_off(yarn, ratio.as_ref(), findings);
        out.push(YarnReport { name: yarn.name.as_str().to_owned(), hats, ratio });
    }
    out
}

fn hat(card: &Card, yarn: &Yarn, expected: &[Expected]) -> Option<Hat> {
    let name = yarn.name.as_str();
    let weighed = card.yarn.iter().find(|w| w.name == name)?;
    let size = &card.size.value;
    let estimate = expected
        .iter()
        .find(|e| e.size == *size)
        .and_then(|e| e.yarn.iter().find(|(n, _)| n == name))
        .map(|(_, mass)| *mass)
        .filter(|m| m.is_positive());
    let tester = card.tester.value.clone();
    Some(Hat { tester, size: size.clone(), used: weighed.used(), estimate })
}

/// A hat that took more than the promised balls hold breaks the promise.
fn promise(yarn: &Yarn, hats: &[Hat], findings: &mut Vec<Finding>) {
    let (Some(balls), Some(ball)) = (&yarn.balls_to_use, &yarn.ball_mass) else { return };
    let most = ball.value * balls.value;
    for hat in hats.iter().filter(|h| h.used > most) {
        let message = format!(
            "{}'s hat took {} of yarn {}; the promise of {} of {} holds {}",
            hat.tester,
            hat.used.grams_text(),
            yarn.name.as_str(),
            if balls.value == 1.0 { "1 ball".into() } else { format!("{} balls", balls.value) },
            ball.value.grams_text(),
            most.grams_text()
        );
        findings.push(
            Finding::caution("promise-broken", message)
                .at(balls.place, "the promise")
                .sizes([hat.size.as_str()])
                .help("raise `balls_to_use`, or leave the size out of the promise"),
        );
    }
}

/// An estimate of yarn is worth mending beyond this share.
const WORTH: f64 = 0.1;

fn estimate_off(yarn: &Yarn, ratio: Option<&Summary>, findings: &mut Vec<Finding>) {
    let Some(r) = ratio.filter(|r| !r.agrees(1.0, 0.0) && (r.median - 1.0).abs() > WORTH) else {
        return;
    };
    let share = ((r.median - 1.0).abs() * 100.0).round();
    let way = if r.median > 1.0 { "more" } else { "less" };
    let message = format!(
        "the hats took about {share} % {way} of yarn {} than the design works out",
        yarn.name.as_str()
    );
    findings.push(Finding::caution("yarn-off", message).at(yarn.place, "").help(
        "weigh a swatch again (`swatch_mass`), or give a finished sample's weight in [sample]",
    ));
}
