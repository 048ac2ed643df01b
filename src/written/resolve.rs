//! "inc" and "dec" take the stitch of their line; what is left to settle after reading.

use super::cursor::PLAIN_STITCH;
use super::tree::*;

/// Gives every bare "inc" and "dec" the stitch the line is worked in: the nearest one named
/// before it, else the next one, else `before`. Answers the line's main stitch, if it has one.
pub(super) fn increases(steps: &mut [Step], before: Kind) -> Option<Kind> {
    let mut named = Vec::new();
    collect(steps, &mut named);
    let first = named.first().copied();
    let mut current = first.unwrap_or(before);
    settle(steps, &mut current);
    named.last().copied().or(first)
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
    matches!(kind.base, Base::Sc | Base::Hdc | Base::Dc | Base::Tr | Base::Dtr | Base::Trtr)
        && kind.post == Post::No
        && matches!(kind.form, Form::Plain | Form::Extended)
}

fn settle(steps: &mut [Step], current: &mut Kind) {
    for step in steps {
        match &mut step.act {
            Act::Work(Working { made, besides, .. }) => {
                settle_made(made, current);
                besides.iter_mut().for_each(|b| settle_made(&mut b.made, current));
            }
            Act::Repeat(r) => settle(&mut r.steps, current),
            _ => {}
        }
    }
}

fn settle_made(made: &mut Made, current: &mut Kind) {
    match made {
        Made::Stitch { kind, .. } if kind.single() == PLAIN_STITCH => {
            *kind = Kind::SC.tog(kind.together)
        }
        Made::Stitch { kind, .. } if is_plain(*kind) => *current = kind.single(),
        Made::Group(inner) => settle(inner, current),
        _ => {}
    }
}
