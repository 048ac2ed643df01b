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
        for (what, measured, schematic) in
            [("girth", &card.girth, e.girth), ("depth", &card.depth, e.depth)]
        {
            let (Some(measured), Some(schematic)) = (measured, schematic) else { continue };
            let share = measured.value / schematic - 1.0;
            let tester = card.tester.value.clone();
            if share.abs() > OFF {
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
                        .help("her gauge says whether the hands or the pattern made it so"),
                );
            }
            let size = card.size.value.clone();
            out.push(Finished { tester, size, what, measured: measured.value, schematic });
        }
    }
    out
}
