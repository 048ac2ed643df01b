//! Finished hats against the schematic.

use super::Expected;
use crate::correction::card::Card;
use crate::diag::Finding;
use crate::quantity::Length;
use serde::Serialize;

/// One length of one finished hat.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finished {
    /// Who made it.
    pub tester: String,
    /// In which size.
    pub size: String,
    /// `girth` or `depth`.
    pub what: &'static str,
    /// As she measured it.
    pub measured: Length,
    /// As the schematic says.
    pub schematic: Length,
    /// What these counts come to at her own gauge, where she measured it.
    pub by_gauge: Option<Length>,
}

/// Beyond this share of the schematic a finished length is worth a word: sizes lie some
/// 4 to 8 % apart, so that a hat this far off is on its way to another size. Our own choice.
const OFF: f64 = 0.05;

pub(super) fn reports(
    cards: &[&Card],
    expected: &[Expected],
    findings: &mut Vec<Finding>,
) -> Vec<Finished> {
    let mut out = Vec::new();
    for card in cards {
        let Some(e) = expected.iter().find(|e| e.size == card.size.value) else { continue };
        let who = card.who();
        let hands = e.hands.iter().find(|h| h.who == who);
        for (what, measured, schematic, by_gauge) in [
            ("girth", &card.girth, e.girth, hands.and_then(|h| h.girth)),
            ("depth", &card.depth, e.depth, hands.and_then(|h| h.depth)),
        ] {
            let (Some(measured), Some(schematic)) = (measured, schematic) else { continue };
            let tester = card.tester.value.clone();
            if off(measured.value, schematic).abs() > OFF {
                let share = off(measured.value, schematic);
                let way = if share > 0.0 { "larger" } else { "smaller" };
                let message = format!(
                    "{tester}'s {what} is {}, {} % {way} than the {} of the schematic",
                    measured.value.cm_text(),
                    (share.abs() * 100.0).round(),
                    schematic.cm_text()
                );
                findings.push(
                    Finding::caution("finished-off", message)
                        .at(measured.place, "")
                        .sizes([card.size.value.as_str()])
                        .help(reason(measured.value, by_gauge)),
                );
            }
            let size = card.size.value.clone();
            out.push(Finished {
                tester,
                size,
                what,
                measured: measured.value,
                schematic,
                by_gauge,
            });
        }
    }
    out
}

fn off(measured: Length, wished: Length) -> f64 {
    measured / wished - 1.0
}

/// Whether her hands explain it.
fn reason(measured: Length, by_gauge: Option<Length>) -> String {
    match by_gauge {
        None => "she did not measure the gauge that would explain it".to_owned(),
        Some(by) if off(measured, by).abs() <= OFF => {
            format!("her own gauge explains it: by that these counts make {}", by.cm_text())
        }
        Some(by) => format!(
            "her own gauge does not explain it: by that these counts make {}; ask how she measured",
            by.cm_text()
        ),
    }
}
