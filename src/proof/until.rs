//! Until the ball ends: how many rounds the yarn gives, found by working them.
//!
//! The hat is worked with the fewest rounds, then with one more in each size; the
//! difference is what a round takes, and the promised balls less the margin and what is to
//! be kept say how many more there are. Then the hat is worked so, and rounds are added or
//! taken off until one more would not be held: the number is proved, not estimated.

use super::design::{Proved, once};
use crate::design::{Design, UntilBallEnds, yarn_of};
use crate::diag::{Finding, Severity};
use crate::fabric::Fabric;
use crate::grading::Found;
use crate::measures::Basis;
use crate::quantity::{Mass, number};
use crate::standards::stitches::Kind;

/// What one design's rounds until the ball ends come to.
#[derive(Clone, Debug, PartialEq)]
pub struct BallEnd {
    /// The piece: a place in the design.
    pub piece: usize,
    /// The number found.
    pub rounds: String,
    /// The yarn: a place in the design.
    pub yarn: usize,
    /// The promised balls, in g.
    pub promised: f64,
    /// Kept over besides what finishes the hat, in g.
    pub keep: f64,
    /// The margin over all that is worked, as a share.
    pub margin: f64,
    /// What each size comes to; none where it has no such piece.
    pub sizes: Vec<Option<BallEndOf>>,
}

/// What one size's rounds come to.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BallEndOf {
    /// The number its formula gives: no fewer are worked.
    pub fewest: i64,
    /// The number as worked.
    pub found: i64,
    /// What one round takes, in g.
    pub each: f64,
    /// What must be left when the piece is done, in g: what follows with its margin, and
    /// what is kept.
    pub left: f64,
    /// What the promised balls hold beyond all that is asked of them, in g: less than one
    /// more round with its margin; below zero where even the fewest are too many.
    pub over: f64,
    /// Rounds of the piece, of all its kinds.
    pub courses: usize,
}

/// Works this many hats before it gives up adding and only takes off.
const TRIES: usize = 12;
/// A number of rounds beyond which no ball reaches: a slip in a mass.
const MOST: i64 = 500;
/// Less than this over or short, in g, is arithmetic's dust.
const DUST: f64 = 1e-6;

/// Works a sound design's rounds until the ball ends; one without such rounds comes back
/// as it is.
pub(super) fn until_the_ball_ends(
    mut proved: Proved,
    findings: Vec<Finding>,
) -> (Proved, Vec<Finding>) {
    let design = &proved.design;
    let place = design.pieces.iter().position(|p| p.until_ball_ends.is_some());
    let Some((piece, until)) =
        place.and_then(|i| Some((i, design.pieces.get(i)?.until_ball_ends.clone()?)))
    else {
        return (proved, findings);
    };
    let Some(mut search) = Search::new(&proved, piece, &until) else {
        let finding = not_whole(&until);
        return (proved, with(findings, finding));
    };
    let fewest = search.counts.clone();
    // One more in every size shows what a round takes.
    let before = masses(&proved, search.yarn);
    let old: Vec<Vec<Option<Fabric>>> = fabrics(&proved);
    let one_more: Vec<i64> = fewest.iter().map(|n| n + 1).collect();
    let (more, more_findings) = search.work(proved.design, &one_more);
    if hindered(&more_findings) || !only_adds(&old, &fabrics(&more), piece) {
        let finding = not_at_the_end(&more.design, piece, &until);
        let (proved, findings) = search.work(more.design, &fewest);
        return (proved, with(findings, finding));
    }
    search.each = masses(&more, search.yarn).iter().zip(&before).map(|(a, b)| a - b).collect();
    let mut counts: Vec<i64> =
        (0..fewest.len()).map(|i| search.next(i, &before, &fewest, true)).collect();
    let (mut now, mut found) = search.work(more.design, &counts);
    for n in 0..10 * TRIES {
        if hindered(&found) {
            return (now, found);
        }
        let taken = masses(&now, search.yarn);
        let next: Vec<i64> =
            (0..counts.len()).map(|i| search.next(i, &taken, &counts, n < TRIES)).collect();
        if next == counts {
            break;
        }
        counts = next;
        (now, found) = search.work(now.design, &counts);
    }
    proved = now;
    let told = search.told(&proved, &counts);
    if let Some(fault) = over_the_balls(&proved, &told, &until) {
        // The fault says more of its sizes than the caution on the margin does.
        let covers = |f: &Finding| f.sizes.iter().all(|s| fault.sizes.contains(s));
        found.retain(|f| f.code != "promise" || f.severity == Severity::Fault || !covers(f));
        found.push(fault);
    }
    proved.until = Some(told);
    found.extend(rough(&proved, &until));
    (proved, found)
}

/// Whether the hat could not be worked. A promise that is not kept hinders no working.
pub(super) fn hindered(findings: &[Finding]) -> bool {
    findings.iter().any(|f| f.severity == Severity::Fault && f.code != "promise")
}

fn with(mut findings: Vec<Finding>, finding: Finding) -> Vec<Finding> {
    findings.push(finding);
    findings
}

/// All that stays the same while the rounds are looked for.
struct Search {
    piece: usize,
    name: String,
    yarn: usize,
    promised: f64,
    keep: f64,
    margin: f64,
    /// The fewest rounds of each size.
    counts: Vec<i64>,
    /// Which sizes have the piece.
    has: Vec<bool>,
    /// What a round takes in each size.
    each: Vec<f64>,
}

impl Search {
    /// None where the number is not whole in some size.
    fn new(proved: &Proved, piece: usize, until: &UntilBallEnds) -> Option<Search> {
        let design = &proved.design;
        let part = design.pieces.get(piece)?;
        let name = until.rounds.value.clone();
        let count = |s: &crate::grading::GradedSize| s.values.get(&name)?.count();
        let counts: Option<Vec<i64>> = proved.graded.sizes.iter().map(count).collect();
        let yarn = yarn_of(part, &design.gauges, &design.yarns);
        let of = design.yarns.get(yarn)?;
        let ball = of.ball_mass.as_ref()?.value.to_grams();
        let margin = proved.measures.sizes.first()?.yarn.get(yarn)?.margin;
        let worked = proved.pieces.get(piece)?;
        Some(Search {
            piece,
            name,
            yarn,
            promised: of.balls_to_use.as_ref()?.value * ball,
            keep: until.keep.as_ref().map_or(0.0, |k| k.value.to_grams()),
            margin,
            counts: counts?,
            has: worked.worked.iter().map(Option::is_some).collect(),
            each: Vec::new(),
        })
    }

    fn work(&self, design: Design, counts: &[i64]) -> (Proved, Vec<Finding>) {
        once(design, &Found::from([(self.name.clone(), counts.to_vec())]))
    }

    /// What is asked of the balls beyond what they hold, in g; below zero what they have over.
    fn short(&self, taken: f64) -> f64 {
        taken * (1.0 + self.margin) + self.keep - self.promised
    }

    /// The next number of rounds to try for one size: by what is over, or one fewer.
    fn next(&self, i: usize, taken: &[f64], counts: &[i64], adding: bool) -> i64 {
        let at = |list: &[i64]| list.get(i).copied().unwrap_or(0);
        let (now, fewest) = (at(counts), at(&self.counts));
        let each = self.each.get(i).copied().unwrap_or(0.0) * (1.0 + self.margin);
        let short = self.short(taken.get(i).copied().unwrap_or(0.0));
        if !self.has.get(i).copied().unwrap_or(false) || each <= 0.0 {
            return now;
        }
        // Whole rounds down; a hair under a whole number is that number.
        let by = (-short / each + 1e-9).floor().clamp(-MOST as f64, MOST as f64) as i64;
        let by = if adding { by } else { by.min(0) };
        (now + by).clamp(fewest, fewest + MOST)
    }

    fn told(&self, proved: &Proved, counts: &[i64]) -> BallEnd {
        let of = |i: usize| {
            let m = proved.measures.sizes.get(i)?;
            let worked = proved.pieces.get(self.piece)?.worked.get(i)?.as_ref()?;
            // Pieces of a size are numbered among those it has.
            let stage = proved
                .pieces
                .iter()
                .take(self.piece)
                .filter(|p| p.worked.get(i).is_some_and(Option::is_some))
                .count();
            let left = m.stages.iter().find(|s| s.piece == stage)?.left.get(self.yarn)?;
            Some(BallEndOf {
                fewest: *self.counts.get(i)?,
                found: *counts.get(i)?,
                each: *self.each.get(i)?,
                left: left + self.keep,
                over: -self.short(m.yarn.get(self.yarn)?.mass),
                courses: worked.fabric.courses.iter().filter(|c| c.number.is_some()).count(),
            })
        };
        BallEnd {
            piece: self.piece,
            rounds: self.name.clone(),
            yarn: self.yarn,
            promised: self.promised,
            keep: self.keep,
            margin: self.margin,
            sizes: (0..counts.len()).map(of).collect(),
        }
    }
}

fn masses(proved: &Proved, yarn: usize) -> Vec<f64> {
    let of = |m: &crate::measures::SizeMeasures| m.yarn.get(yarn).map_or(0.0, |u| u.mass);
    proved.measures.sizes.iter().map(of).collect()
}

fn fabrics(proved: &Proved) -> Vec<Vec<Option<Fabric>>> {
    let of = |w: &Option<crate::fabric::Worked>| w.as_ref().map(|w| w.fabric.clone());
    proved.pieces.iter().map(|p| p.worked.iter().map(of).collect()).collect()
}

/// Whether one more adds rounds at the end of the piece, and nowhere else.
fn only_adds(old: &[Vec<Option<Fabric>>], new: &[Vec<Option<Fabric>>], piece: usize) -> bool {
    let mut all = old.iter().zip(new).enumerate();
    all.all(|(p, (old, new))| {
        old.iter().zip(new).all(|(a, b)| match (a, b) {
            (Some(a), Some(b)) if p == piece => {
                let (a, b) = (stitches(a), stitches(b));
                b.len() > a.len() && b.starts_with(&a)
            }
            (Some(a), Some(b)) => stitches(a) == stitches(b),
            (a, b) => a.is_none() && b.is_none(),
        })
    })
}

/// The stitches of each round or row, by kind.
fn stitches(fabric: &Fabric) -> Vec<Vec<Kind>> {
    let kinds = |c| fabric.of(c).iter().map(|s| s.kind).collect();
    fabric.courses.iter().map(kinds).collect()
}

fn not_whole(until: &UntilBallEnds) -> Finding {
    let name = &until.rounds.value;
    Finding::fault("until-ball", format!("`{name}` is not a whole number in every size"))
        .at(until.rounds.place, "the rounds until the ball ends")
        .help(format!("round its formula: `nearest(…)`; it is the fewest rounds there will be, and `{name}` the number found"))
}

fn not_at_the_end(design: &Design, piece: usize, until: &UntilBallEnds) -> Finding {
    let name = &until.rounds.value;
    let piece = design.pieces.get(piece).map_or("", |p| p.name.as_str());
    let message =
        format!("one more `{name}` does not add a round to the end of {piece} and nothing else");
    Finding::fault("until-ball", message)
        .at(until.rounds.place, "the rounds until the ball ends")
        .help(format!(
            "end {piece} with a run of rounds up to {{{name}}}, and put what follows in a piece of its own"
        ))
}

/// Sizes whose fewest rounds, with the margin and what is to be kept, ask more than the
/// promised balls hold. Those that take more than the balls by themselves have been told.
fn over_the_balls(proved: &Proved, told: &BallEnd, until: &UntilBallEnds) -> Option<Finding> {
    let yarn = proved.design.yarns.get(told.yarn)?;
    let sizes = proved.design.sizes.iter().zip(&told.sizes).zip(&proved.measures.sizes);
    let short: Vec<(&str, f64, f64)> = sizes
        .filter_map(|((size, of), m)| {
            let took = m.yarn.get(told.yarn)?.mass;
            let over = of.as_ref()?.over;
            (over < -DUST && took <= told.promised).then_some((size.id.as_str(), took, over))
        })
        .collect();
    if short.is_empty() {
        return None;
    }
    let keep = match told.keep {
        keep if keep > 0.0 => format!(" and {} kept", Mass::grams(keep).grams_text()),
        _ => String::new(),
    };
    let each: Vec<String> = short
        .iter()
        .map(|(id, took, over)| {
            let [took, over] = [*took, -over].map(|g| Mass::grams(g).grams_text());
            format!("{id} takes {took} with the fewest rounds, in all {over} too much")
        })
        .collect();
    let balls = number(yarn.balls_to_use.as_ref()?.value, 2);
    let message = format!(
        "{balls} {} of {} do not suffice with {} % over{keep}: {}",
        if balls == "1" { "ball" } else { "balls" },
        yarn.name.text,
        number(told.margin * 100.0, 1),
        each.join("; ")
    );
    let place = until.keep.as_ref().map_or(until.place, |k| k.place);
    let fault = Finding::fault("promise", message)
        .at(place, "more than the balls hold")
        .sizes(short.iter().map(|(id, _, _)| *id))
        .help("promise more balls, keep less, or work fewer rounds at the least");
    Some(fault)
}

/// Without a weighed swatch the number of rounds is as rough as the yarn.
fn rough(proved: &Proved, until: &UntilBallEnds) -> Option<Finding> {
    let yarn = proved.until.as_ref()?.yarn;
    let basis = proved.measures.sizes.first()?.yarn.get(yarn)?.basis;
    if basis != Basis::Rough {
        return None;
    }
    let off = (basis.off() * 100.0).round();
    let message = format!(
        "no swatch of every gauge was weighed: what a round takes may be off by {off} %, and so \
         may the rounds until the ball ends"
    );
    let finding = Finding::caution("until-rough", message)
        .at(until.place, "")
        .help("weigh a swatch of each gauge and give it as `swatch_mass`");
    Some(finding)
}
