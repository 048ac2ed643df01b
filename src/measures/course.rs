//! One course: how wide, how high, how much yarn, in units of the gauge.

use super::{GaugeOf, Hat, PieceOf};
use crate::fabric::{Course, CourseShape, Fabric, Ground, Role, Stitch};
use crate::standards::stitches::Base;
use crate::standards::worked;

/// A height that makes up this share of a gauge's courses is taken for the swatch's own.
const MOSTLY: f64 = 0.6;

/// The height of a gauge's own stitch relative to a single crochet.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct OwnHeight {
    /// Relative to a single crochet.
    pub ratio: f64,
    /// Whether the design named the stitch; otherwise it was taken from the pieces.
    pub named: bool,
}

/// Width of every course in stitches, in the fabric's order.
///
/// A gauge says how many stitches go over a length, and leaves open what the chains between
/// them are worth: in a mesh one chain stands for the stitch it skips, in a V-stitch it
/// squeezes in between. So a course with chain spaces is as near to the width of the course
/// it stands on as its stitches alone, or with all its chains, allow.
pub fn widths(fabric: &Fabric) -> Vec<f64> {
    let mut out: Vec<f64> = Vec::new();
    for course in &fabric.courses {
        let before = match course.ground {
            Ground::Course(j) => out.get(j as usize).copied(),
            Ground::Chain => out.last().copied(),
            _ => None,
        };
        let least = f64::from(course.count);
        out.push(match before {
            Some(before) if course.spaces > 0 => {
                before.clamp(least, least + chains(fabric, course))
            }
            _ if course.shape == CourseShape::Foundation => foundation(fabric, course),
            _ => least,
        });
    }
    out
}

/// The chains of a course's spaces.
fn chains(fabric: &Fabric, course: &Course) -> f64 {
    whole(fabric.of(course).iter().filter(|s| s.role == Role::Space).count())
}

fn foundation(fabric: &Fabric, course: &Course) -> f64 {
    whole(fabric.of(course).iter().filter(|s| s.role == Role::Foundation).count())
}

/// Height of a course relative to a single crochet: the mean of its counted stitches.
pub fn height(fabric: &Fabric, course: &Course) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for stitch in fabric.of(course).iter().filter(|s| has_body(s)) {
        sum += worked::height(stitch.kind);
        count += 1.0;
    }
    if count > 0.0 { sum / count } else { 1.0 }
}

fn has_body(stitch: &Stitch) -> bool {
    stitch.role == Role::Counted && stitch.kind.base != Base::Ch
}

/// Height of a course in mm at a gauge whose own stitch has this height.
pub fn height_mm(fabric: &Fabric, course: &Course, gauge: &GaugeOf, own: OwnHeight) -> f64 {
    if is_fabric(fabric, course) { gauge.row * height(fabric, course) / own.ratio } else { 0.0 }
}

/// Whether a course adds to the fabric: no foundation chain, and not a seam alone.
pub fn is_fabric(fabric: &Fabric, course: &Course) -> bool {
    course.shape != CourseShape::Foundation
        && fabric.of(course).iter().any(|s| matches!(s.role, Role::Counted | Role::CountedRise))
}

/// The height of each gauge's own stitch. Where the design does not name it, it is what
/// most courses of its pieces are, in all sizes together; where none is most, their mean.
pub(super) fn own_heights(hat: &Hat) -> Vec<OwnHeight> {
    (0..hat.gauges.len()).map(|i| own_height(hat, i)).collect()
}

fn own_height(hat: &Hat, gauge: usize) -> OwnHeight {
    if let Some(kind) = hat.gauges.get(gauge).and_then(|g| g.own) {
        return OwnHeight { ratio: worked::height(kind), named: true };
    }
    let mut heights: Vec<f64> = Vec::new();
    for piece in pieces_of(hat, gauge) {
        let courses = piece.fabric.courses.iter().filter(|c| is_fabric(piece.fabric, c));
        heights.extend(courses.map(|c| height(piece.fabric, c)));
    }
    OwnHeight { ratio: middle(heights), named: false }
}

fn middle(mut heights: Vec<f64>) -> f64 {
    heights.sort_by(f64::total_cmp);
    let all = heights.len();
    let same = |a: &f64, b: &f64| (a - b).abs() < 1e-6;
    let most = heights.chunk_by(same).max_by_key(|chunk| chunk.len());
    match most {
        Some(chunk) if whole(chunk.len()) >= MOSTLY * whole(all) => chunk.first().copied(),
        Some(_) => Some(heights.iter().sum::<f64>() / whole(all)),
        None => None,
    }
    .unwrap_or(1.0)
}

/// A count as a number to reckon with.
pub(super) fn whole(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::from(u32::MAX), f64::from)
}

/// All pieces worked at a gauge, in all sizes.
pub(super) fn pieces_of<'h, 'a>(
    hat: &'h Hat<'a>,
    gauge: usize,
) -> impl Iterator<Item = &'h PieceOf<'a>> {
    hat.sizes.iter().flat_map(|s| &s.pieces).filter(move |p| p.gauge == gauge)
}
