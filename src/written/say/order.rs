//! Steps one after the other: what parts them, and where a sentence ends.

use super::phrase::Phrase;
use super::repeats::Depth;
use super::voice::Voice;
use crate::written::tree::*;

/// Whether a remark or a way of closing is the last of several things to do: ", and secure".
fn closes(before: Option<&Act>, after: Option<&Step>, words: &str) -> bool {
    let told = matches!(before, Some(Act::Gather(_) | Act::Remark(_)));
    let last = match after.map(|s| &s.act) {
        None => true,
        Some(Act::Gather(Words(next)) | Act::Remark(next)) => begins(next),
        Some(_) => false,
    };
    let first = words.split(' ').next().unwrap_or("");
    told && last && !first.ends_with("ing") && !first.starts_with('(')
}

/// Whether the author began a sentence with these words: "Cut B", but not "MC".
fn begins(words: &str) -> bool {
    let mut chars = words.chars();
    chars.next().is_some_and(char::is_uppercase) && chars.next().is_some_and(char::is_lowercase)
}

/// Whether these words say what the step before them is for: "ss in next st to finish".
fn tells_purpose(before: &Act, words: &str) -> bool {
    let near = |t: &Target| matches!(t.reach, Reach::Next(_) | Reach::Same);
    let placed = match before {
        Act::Work(working) => working.targets.last().is_some_and(near),
        Act::Join(_) => true,
        _ => false,
    };
    placed && ["to finish", "to close", "to secure"].iter().any(|w| words.starts_with(w))
}

/// Whether it goes along a row: "in each st around", "in every other st".
fn walks(act: &Act) -> bool {
    let Act::Work(Working { targets, .. }) = act else { return false };
    targets.iter().any(|t| matches!(t.reach, Reach::Each(_) | Reach::Every(..)))
}

/// Whether its last step walks: what is repeated once in some size is said as it stands.
fn ends_walking(act: &Act) -> bool {
    match act {
        Act::Repeat(repeat) => repeat.steps.last().is_some_and(|s| ends_walking(&s.act)),
        act => walks(act),
    }
}

/// Whether its first step walks.
fn begins_walking(act: &Act) -> bool {
    match act {
        Act::Repeat(repeat) => repeat.steps.first().is_some_and(|s| begins_walking(&s.act)),
        act => walks(act),
    }
}

impl Voice<'_> {
    /// Steps in order, parted by commas. Finishing off is a sentence of its own,
    /// and so is what the author began as one.
    pub fn steps(&self, steps: &[Step], depth: Depth) -> Phrase {
        let mut all = Phrase::default();
        // The step said last: what a size has none of parts nothing.
        let mut before = None;
        for (i, step) in steps.iter().enumerate() {
            // "6 sc in magic ring" makes the ring and works into it.
            if step.act == Act::Ring
                && steps.get(i + 1).is_some_and(|s| self.goes_into_ring(&s.act))
            {
                self.makes_ring.set(true);
                continue;
            }
            let Some(said) = self.act(&step.act, depth) else { continue };
            if said.is_empty() {
                continue;
            }
            all = match &step.act {
                _ if all.is_empty() => said,
                Act::FastenOff => all.glue(".").then(capital(said)),
                Act::Gather(Words(words)) if words.is_empty() => all.glue(".").then(capital(said)),
                Act::Remark(words)
                | Act::Gather(Words(words))
                | Act::Seam(Seam { words, .. })
                | Act::Colour(Colour { words, .. })
                    if begins(words) =>
                {
                    all.glue(".").then(said)
                }
                Act::Remark(words) if before.is_some_and(|act| tells_purpose(act, words)) => {
                    all.then(said)
                }
                Act::Remark(words) | Act::Gather(Words(words))
                    if closes(before, steps.get(i + 1), words) =>
                {
                    all.glue(",").text("and").then(said)
                }
                // A remark in brackets belongs to what it follows.
                Act::Remark(words) | Act::Colour(Colour { words, .. })
                    if words.starts_with('(') =>
                {
                    all.then(said)
                }
                // Said one after the other, two walks would be one, with something else for some
                // of its places.
                act if before.is_some_and(ends_walking) && begins_walking(act) => {
                    all.glue(",").text("then").then(said)
                }
                // "With A, magic ring" would say what is there, not what is done.
                Act::Ring => all.glue(",").text("make a").then(said),
                _ => all.glue(",").then(said),
            };
            before = Some(&step.act);
        }
        all
    }

    fn goes_into_ring(&self, act: &Act) -> bool {
        let Act::Work(Working { made, targets, .. }) = act else { return false };
        let some = match made {
            Made::Stitch { count, .. } => !self.amount(count).is_zero(),
            _ => false,
        };
        some && matches!(targets.as_slice(), [target] if target.place == PlaceKind::Ring)
    }
}

/// The phrase with a capital at its head.
pub(super) fn capital(phrase: Phrase) -> Phrase {
    let mut bits = phrase.into_bits();
    super::bits::capitalise(&mut bits);
    let mut all = Phrase::default();
    for bit in bits {
        all = all.glue_phrase(Phrase::bit_of(bit));
    }
    all
}
