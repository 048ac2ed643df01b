//! Counts in brackets.

use super::bits::is_graded;
use super::phrase::Phrase;
use super::voice::Voice;
use crate::written::tree::{Claim, ClaimItem, Unit};

impl Voice<'_> {
    /// All that is claimed of a line, each claim in its brackets; square ones where a
    /// number has round ones of its own.
    pub fn claims(&self, claims: &[Claim]) -> Phrase {
        claims.iter().fold(Phrase::default(), |all, claim| all.then(self.claim(claim)))
    }

    fn claim(&self, claim: &Claim) -> Phrase {
        let mut inner = Phrase::default();
        for item in &claim.items {
            if !inner.is_empty() {
                inner = inner.glue(",");
            }
            inner = inner.then(self.claimed(item));
        }
        let (open, close) = if is_graded(inner.bits()) { ("[", "]") } else { ("(", ")") };
        let said = Phrase::default().open(open).then(inner).glue(close);
        // A long claim may break between its items, each of which holds together.
        if claim.items.len() > 1 { said } else { said.kept() }
    }

    fn claimed(&self, item: &ClaimItem) -> Phrase {
        let amount = self.amount(&item.count);
        let several = !amount.is_one();
        let unit = match &item.unit {
            Unit::Stitches => self.word_in("st", several),
            Unit::Kind(kind) => self.kind(*kind, several),
            Unit::Special(i) => self.special(*i, several),
            Unit::ChainSpaces(chains) => self.chain_space(chains.as_ref(), several),
            Unit::Chains => self.word_in("ch", several),
            Unit::Vees => Phrase::of("V-").glue_phrase(self.word_in("st", several)),
            Unit::Fans => Phrase::of(if several { "shells" } else { "shell" }),
        };
        amount.phrase().then(unit).kept()
    }
}
