//! What a run of steps asks for: places of which kind, and how many.

use super::places::{Measure, measure};
use super::worker::Worker;
use crate::written::tree::*;

/// What a run of steps is measured in: stitches if it asks for any, else spaces or groups.
pub(super) fn asked(w: &Worker, steps: &[Step]) -> Option<Measure> {
    let all = all_earlier(w, steps).is_some();
    let mut found: Option<Measure> = None;
    let mut see = |m: Measure| {
        found = match (found, m) {
            (None, m) => Some(m),
            (Some(Measure::RowEnds), _) | (_, Measure::RowEnds) => Some(Measure::RowEnds),
            (Some(Measure::Stitches), _) | (_, Measure::Stitches) => Some(Measure::Stitches),
            (Some(m), _) => Some(m),
        }
    };
    visit(steps, &mut |t, _| {
        let same = matches!(t.reach, Reach::Same | Reach::SameAsJoin | Reach::Skipped(_));
        if !same && (all || w.earlier(t).is_none()) {
            see(if matches!(t.part, Part::Whole | Part::Post | Part::After) {
                measure(&t.place)
            } else if matches!(t.part, Part::Below(_)) {
                Measure::Stitches
            } else {
                Measure::Groups
            });
        }
    });
    found
}

/// The first place of a run of steps that all go into earlier rounds.
pub(super) fn all_earlier<'t>(w: &Worker, steps: &'t [Step]) -> Option<&'t Target> {
    if w.earlier.is_empty() {
        return None;
    }
    let mut first = None;
    let mut all = true;
    visit(steps, &mut |t, _| {
        let same = matches!(t.reach, Reach::Same | Reach::SameAsJoin | Reach::Skipped(_));
        match w.earlier(t) {
            Some(_) => first = first.or(Some(t)),
            None => all &= same,
        }
    });
    first.filter(|_| all)
}

/// Calls `f` with every target of the steps, and how many stitches each draws together.
pub(super) fn visit<'t>(steps: &'t [Step], f: &mut dyn FnMut(&'t Target, u32)) {
    for step in steps {
        match &step.act {
            Act::Work(working) => {
                let bases = match &working.made {
                    Made::Stitch { kind, .. } => kind.bases(),
                    _ => 1,
                };
                for t in &working.targets {
                    f(t, bases);
                }
            }
            Act::Skip(t) => f(t, 1),
            Act::Repeat(r) => visit(&r.steps, f),
            _ => {}
        }
    }
}

pub(super) fn first_place(steps: &[Step]) -> Option<PlaceKind> {
    let mut found = None;
    visit(steps, &mut |t, _| {
        if found.is_none()
            && !matches!(t.reach, Reach::Same | Reach::SameAsJoin | Reach::Skipped(_))
        {
            found = Some(t.place.clone());
        }
    });
    found
}

pub(super) fn first_space(steps: &[Step]) -> Option<PlaceKind> {
    let mut found: Option<PlaceKind> = None;
    let mut mixed = false;
    visit(steps, &mut |t, _| {
        if matches!(t.place, PlaceKind::ChainSpace(_)) && !matches!(t.reach, Reach::Same) {
            match &found {
                None => found = Some(t.place.clone()),
                Some(f) if *f != t.place => mixed = true,
                Some(_) => {}
            }
        }
    });
    if mixed { Some(PlaceKind::ChainSpace(None)) } else { found }
}

pub(super) fn first_group(steps: &[Step]) -> Option<&Target> {
    let mut found = None;
    visit(steps, &mut |t, _| {
        if found.is_none() && matches!(t.place, PlaceKind::Special(_) | PlaceKind::Fan { .. }) {
            found = Some(t);
        }
    });
    found
}

pub(super) fn names_row_ends(steps: &[Step]) -> bool {
    let mut found = false;
    visit(steps, &mut |t, _| found |= t.place == PlaceKind::RowEnd);
    found
}

/// How many places of a kind the steps use up, where that can be told beforehand.
pub(super) fn need(w: &Worker, steps: &[Step], m: Measure) -> Option<u64> {
    let mut total: u64 = 0;
    let all = all_earlier(w, steps).is_some();
    for step in steps {
        match &step.act {
            Act::Work(working) => {
                let (bases, slip) = match &working.made {
                    Made::Stitch { kind, .. } => (u64::from(kind.bases()), *kind == Kind::SL_ST),
                    _ => (1, false),
                };
                if slip {
                    continue;
                }
                for t in &working.targets {
                    let earlier = w.earlier(t).is_some();
                    if earlier && !all {
                        continue;
                    }
                    if measure(&t.place) != m && !(m == Measure::Groups && t.part != Part::Whole) {
                        if measure(&t.place) == Measure::RowEnds
                            || m == Measure::RowEnds
                            || t.of.is_some() && !earlier
                        {
                            return Some(total);
                        }
                        continue;
                    }
                    if t.of.is_some() && !earlier {
                        return Some(total);
                    }
                    match &t.reach {
                        Reach::Next(n)
                        | Reach::First(n)
                        | Reach::Last(n)
                        | Reach::Remaining(Some(n)) => {
                            let n = w.value(n, t.at).ok()?;
                            total = total.saturating_add(n.saturating_mul(bases));
                        }
                        Reach::Each(_)
                        | Reach::Every(..)
                        | Reach::Remaining(None)
                        | Reach::All(_) => {
                            return None;
                        }
                        _ => {}
                    }
                }
            }
            Act::Skip(t) => {
                if measure(&t.place) == m
                    && (all || w.earlier(t).is_none())
                    && let Reach::Next(n) | Reach::First(n) | Reach::Last(n) = &t.reach
                {
                    total = total.saturating_add(w.value(n, t.at).ok()?);
                }
            }
            Act::Repeat(r) => {
                let n = match &r.times {
                    Times::Total(n) => w.value(n, step.at).ok()?,
                    Times::More(n) => w.value(n, step.at).ok()?.saturating_add(1),
                    _ => return None,
                };
                total = total.saturating_add(n.saturating_mul(need(w, &r.steps, m)?));
            }
            Act::Along(_) | Act::Rejoin(_) | Act::Leave(_) | Act::Join(_) => return Some(total),
            _ => {}
        }
    }
    Some(total)
}
