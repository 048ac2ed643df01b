//! Which stitch a bare "inc" or "dec" is made of; what is left to settle after reading.
//!
//! Where a line says nothing else it is of single crochet, as the trade's lists of
//! abbreviations have it. A line that counts its stitches by one name, and names no other,
//! says by that which stitch it increases in.

use super::cursor::PLAIN_STITCH;
use super::tree::*;
use crate::diag::Span;

/// What was settled in a line.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Settled {
    /// The line's main stitch, if it has one.
    pub main: Option<Kind>,
    /// A bare "inc" or "dec" taken as single crochet though the line, or the one before it,
    /// is of this other stitch.
    pub doubtful: Option<(Span, Kind)>,
}

/// Gives every bare "inc" and "dec" of a line its stitch; `before` is the main stitch of the
/// line before.
pub(super) fn increases(work: &mut Work, before: Kind) -> Settled {
    let mut named = Vec::new();
    collect(&work.steps, &mut named);
    let one = named.first().copied().filter(|first| named.iter().all(|k| k == first));
    let counted = counted(&work.claims);
    let counts = counted.filter(|k| named.is_empty() || one == Some(*k));
    let made = counts.unwrap_or(Kind::SC);
    let first = settle(&mut work.steps, made);
    // Where no other stitch is named, the line before tells what the piece is made of.
    let of = if named.is_empty() { Some(before) } else { one };
    let doubtful = first.zip(of).filter(|(_, of)| counts.is_none() && *of != Kind::SC);
    let main = named.last().copied().or(first.and(counts));
    Settled { main, doubtful }
}

/// The one stitch that a line's claims count by name.
fn counted(claims: &[Claim]) -> Option<Kind> {
    let mut items = claims.iter().flat_map(|c| &c.items);
    match (&items.next()?.unit, items.next()) {
        (Unit::Kind(kind), None) if is_plain(*kind) && kind.together == 1 => Some(*kind),
        _ => None,
    }
}

fn collect(steps: &[Step], out: &mut Vec<Kind>) {
    for step in steps {
        match &step.act {
            Act::Work(Working { made, .. }) => match made {
                Made::Stitch { kind, .. } if is_plain(*kind) => out.push(kind.single()),
                Made::Group(inner) => collect(inner, out),
                _ => {}
            },
            Act::Repeat(r) => collect(&r.steps, out),
            _ => {}
        }
    }
}

/// Stitches an increase may be made of.
fn is_plain(kind: Kind) -> bool {
    kind.is_of_a_height()
        && kind.post == Post::No
        && matches!(kind.form, Form::Plain | Form::Extended)
}

/// Settles a line's steps; answers where its first bare "inc" or "dec" stands.
fn settle(steps: &mut [Step], made_of: Kind) -> Option<Span> {
    let mut first = None;
    for step in steps {
        let found = match &mut step.act {
            Act::Work(Working { made, besides, .. }) => {
                let mut bare = settle_made(made, made_of);
                for beside in besides {
                    bare |= settle_made(&mut beside.made, made_of);
                }
                bare.then_some(step.at.0)
            }
            Act::Repeat(r) => settle(&mut r.steps, made_of),
            _ => None,
        };
        first = first.or(found);
    }
    first
}

fn settle_made(made: &mut Made, made_of: Kind) -> bool {
    match made {
        Made::Stitch { kind, .. } if kind.single() == PLAIN_STITCH => {
            *kind = made_of.tog(kind.together);
            true
        }
        Made::Group(inner) => settle(inner, made_of).is_some(),
        _ => false,
    }
}
