//! A whole design proved.

use super::measured::measured;
use super::merge::merge;
use super::numbers::SizeNumbers;
use super::until::{BallEnd, hindered, until_the_ball_ends};
use crate::design::{Design, Piece as DesignPiece, Worked as Way};
use crate::diag::{Finding, any_fault};
use crate::fabric::{self, WorkOptions, Worked};
use crate::grading::{self, Found, Graded};
use crate::measures::{Measured, SizeMeasures};
use crate::quantity::Length;
use crate::written::tree::Method;
use crate::written::{self, Piece, ReadOptions, SpecialDef};

/// A design with every stitch of every size.
#[derive(Clone, Debug)]
pub struct Proved {
    /// What the file says.
    pub design: Design,
    /// Its numbers in every size.
    pub graded: Graded,
    /// Its pieces, in the file's order.
    pub pieces: Vec<ProvedPiece>,
    /// What each size measures as worked, in the design's order.
    pub measures: Measured,
    /// What the rounds worked until the ball ends come to, where there are such.
    pub until: Option<BallEnd>,
}

impl Proved {
    /// The finished girth of a size as worked; `None` where nothing could be worked.
    pub fn girth(&self, size: usize) -> Option<Length> {
        self.worked_length(size, |m| m.silhouette.girth)
    }

    /// The finished depth of a size as worked, cuff folded as worn; `None` where nothing could be worked.
    pub fn depth(&self, size: usize) -> Option<Length> {
        self.worked_length(size, |m| m.silhouette.depth)
    }

    /// How much of a size's depth is folded up at the brim, and so not part of it; `None`
    /// where nothing is.
    pub fn fold(&self, size: usize) -> Option<Length> {
        self.worked_length(size, |m| m.silhouette.fold)
    }

    fn worked_length(&self, size: usize, of: impl Fn(&SizeMeasures) -> f64) -> Option<Length> {
        self.measures.sizes.get(size).map(of).filter(|mm| *mm > 0.0).map(Length::mm)
    }
}

/// One piece in every size.
#[derive(Clone, Debug)]
pub struct ProvedPiece {
    /// What its text says.
    pub piece: Piece,
    /// For each size what was worked; `None` where the size has no such piece.
    pub worked: Vec<Option<Worked>>,
}

/// Grades a design, reads its texts, works every piece in every size and holds the claims
/// against the fabric. The findings come in the order of the file.
pub fn prove(design: Design) -> (Proved, Vec<Finding>) {
    let (proved, findings) = once(design, &Found::new());
    // Where even the fewest rounds take too much, that is said of them, and they stay.
    if hindered(&findings) { (proved, findings) } else { until_the_ball_ends(proved, findings) }
}

/// The same with some numbers found otherwise than by their formulas.
pub(super) fn once(design: Design, found: &Found) -> (Proved, Vec<Finding>) {
    let (graded, mut findings) = grading::grade_with(&design, found);
    let specials = specials(&design);
    let sizes: Vec<String> = design.sizes.iter().map(|s| s.id.clone()).collect();
    let mut pieces: Vec<ProvedPiece> = Vec::new();
    // A number that could not be worked out has been reported once, at its formula; working
    // the texts with it missing would only repeat the fault in every line.
    let workable = !any_fault(&findings);
    for part in &design.pieces {
        let read = written::read(
            part.text.as_str(),
            &ReadOptions {
                terms: Some(design.terms),
                method: method(part.worked.value),
                specials: &specials,
                sizes: &sizes,
                origin: part.text.origin.clone(),
                wrong: &[],
            },
        );
        findings.extend(read.findings);
        let mut proved = ProvedPiece { piece: read.piece, worked: vec![None; sizes.len()] };
        if workable {
            findings.extend(work(&design, &graded, part, &pieces, &mut proved));
        }
        pieces.push(proved);
    }
    let mut proved = Proved { design, graded, pieces, measures: Measured::default(), until: None };
    // A hat with a wrong line is not the hat: its measures would only mislead.
    if !any_fault(&findings) {
        proved.measures = measured(&proved);
        findings.extend(proved.measures.findings.iter().cloned());
    }
    (proved, findings)
}

/// Works one piece in every size that has it.
fn work(
    design: &Design,
    graded: &Graded,
    part: &DesignPiece,
    earlier: &[ProvedPiece],
    proved: &mut ProvedPiece,
) -> Vec<Finding> {
    let before = from_piece(design, part, earlier);
    let mut by_size = Vec::new();
    for (i, size) in design.sizes.iter().enumerate() {
        if !part.sizes.is_empty() && !part.sizes.iter().any(|s| s.value == size.id) {
            continue;
        }
        let mut worked = fabric::work(
            &proved.piece,
            &size.id,
            &SizeNumbers { graded, size: i },
            &WorkOptions {
                before: before.and_then(|b| b.worked.get(i)).and_then(Option::as_ref),
                origin: part.text.origin.clone(),
                runs_on: false,
            },
        );
        by_size.push((size.id.clone(), std::mem::take(&mut worked.findings)));
        if let Some(place) = proved.worked.get_mut(i) {
            *place = Some(worked);
        }
    }
    merge(by_size)
}

/// The piece this one goes on from: the one it names, else the one before it in the file.
fn from_piece<'a>(
    design: &Design,
    part: &DesignPiece,
    earlier: &'a [ProvedPiece],
) -> Option<&'a ProvedPiece> {
    match &part.from {
        Some(name) => {
            let at = design.pieces.iter().position(|p| p.name.as_str() == name.value)?;
            earlier.get(at)
        }
        None => earlier.last(),
    }
}

fn method(way: Way) -> Option<Method> {
    match way {
        Way::Rows => Some(Method::Rows),
        Way::JoinedRounds => Some(Method::Joined),
        Way::Spiral => Some(Method::Spiral),
        Way::Mixed => None,
    }
}

fn specials(design: &Design) -> Vec<SpecialDef> {
    design
        .specials
        .iter()
        .map(|s| SpecialDef {
            name: s.name.as_str().to_owned(),
            abbr: s.abbr.as_ref().map(|a| a.as_str().to_owned()).unwrap_or_default(),
            definition: s.text.as_str().to_owned(),
        })
        .collect()
}
