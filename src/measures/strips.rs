//! Strips: runs of courses that stand one on the other, and how strips hang together.
//!
//! A hat is one or more strips along the way from brim to top. A cuff worked sideways is a
//! strip, the body on its row ends is another, an edging on the foundation a third.

use super::SizeOf;
use crate::fabric::{Course, CourseShape, Fabric, Ground, Standing};

/// A run of courses of one piece, each on the one before.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Strip {
    /// The piece: a place in [`SizeOf::pieces`].
    pub piece: usize,
    /// Its courses that are rows or rounds: places in the fabric's courses.
    pub courses: Vec<usize>,
    /// Its foundation chain, if it has one.
    pub foundation: Option<usize>,
    /// What it stands on.
    pub root: Root,
    /// Whether it begins in a ring.
    pub ring: bool,
    /// Whether it is closed to a tube or built upon along its row ends.
    pub sideways: bool,
}

/// What a strip stands on; the number is a place in the list of strips.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Root {
    /// Nothing, a chain of its own, or a ring.
    Free,
    /// The last course of a strip.
    Top(usize),
    /// The first course or the foundation of a strip.
    Bottom(usize),
    /// Row ends of a strip.
    RowEnds(usize),
    /// Somewhere in the middle of a strip: a layer over it.
    Middle(usize),
}

/// The strips of one size, in working order.
pub(super) fn of(size: &SizeOf) -> Vec<Strip> {
    let mut strips: Vec<Strip> = Vec::new();
    for (at, piece) in size.pieces.iter().enumerate() {
        let before = piece.from.filter(|f| *f < at).or(at.checked_sub(1));
        let first = strips.len();
        for i in 0..piece.fabric.courses.len() {
            put(&mut strips, at, first, before, piece.fabric, size, i);
        }
        mark_sideways(&mut strips, first, piece.fabric);
    }
    strips.retain(|s| !s.courses.is_empty() || s.foundation.is_some());
    strips
}

fn put(
    strips: &mut Vec<Strip>,
    piece: usize,
    first: usize,
    before: Option<usize>,
    fabric: &Fabric,
    size: &SizeOf,
    i: usize,
) {
    let Some(course) = fabric.courses.get(i) else { return };
    let new = |root: Root| Strip {
        piece,
        courses: vec![i],
        foundation: None,
        root,
        ring: course.ground == Ground::Ring,
        sideways: false,
    };
    let own = |s: &Strip| s.piece == piece;
    let current = strips.len().checked_sub(1).filter(|c| *c >= first);
    if course.shape == CourseShape::Foundation {
        let strip = Strip { courses: Vec::new(), foundation: Some(i), ..new(Root::Free) };
        strips.push(strip);
        return;
    }
    if let Some(strip) = strips.last_mut().filter(|s| own(s)) {
        let follows = match course.ground {
            Ground::Course(j) => follows(strip, j as usize),
            Ground::Chain | Ground::Nothing => {
                strip.courses.is_empty() && strip.foundation.is_some()
            }
            _ => false,
        };
        if follows {
            strip.courses.push(i);
            return;
        }
    }
    let root = match course.ground {
        Ground::Course(j) => edge(strips, piece, j as usize),
        Ground::Chain => chain_edge(strips, first),
        Ground::RowEnds => current.map_or(Root::Free, Root::RowEnds),
        Ground::FreeLoops => loops_edge(strips, piece, fabric, course),
        Ground::Before => before_edge(strips, before, fabric, course, size),
        Ground::Nothing | Ground::Ring => Root::Free,
    };
    if let Root::RowEnds(s) = root {
        strips.iter_mut().skip(s).take(1).for_each(|strip| strip.sideways = true);
    }
    strips.push(new(root));
}

fn follows(strip: &Strip, course: usize) -> bool {
    strip.courses.last().or(strip.foundation.as_ref()) == Some(&course)
}

/// The edge of a piece's strip that a course is, or the middle.
fn edge(strips: &[Strip], piece: usize, course: usize) -> Root {
    let holds = |s: &Strip| s.courses.contains(&course) || s.foundation == Some(course);
    let found = strips.iter().rposition(|s| s.piece == piece && holds(s));
    match found.and_then(|at| strips.get(at).map(|s| (at, s))) {
        Some((at, s)) if s.courses.last() == Some(&course) => Root::Top(at),
        Some((at, s)) if s.foundation == Some(course) || s.courses.first() == Some(&course) => {
            Root::Bottom(at)
        }
        Some((at, _)) => Root::Middle(at),
        None => Root::Free,
    }
}

/// The other side of the foundation chain made last in this piece.
fn chain_edge(strips: &[Strip], first: usize) -> Root {
    let found = strips.iter().enumerate().skip(first).rev().find(|(_, s)| s.foundation.is_some());
    found.map_or(Root::Free, |(at, _)| Root::Bottom(at))
}

fn loops_edge(strips: &[Strip], piece: usize, fabric: &Fabric, course: &Course) -> Root {
    let stood_on = fabric.of(course).iter().find_map(|s| match s.base {
        Standing::Stitch(i) | Standing::Space(i) => course_of(fabric, i),
        _ => None,
    });
    match stood_on.map(|j| edge(strips, piece, j)) {
        // The free loops of a last course do not go on from its edge.
        Some(Root::Top(at)) => Root::Middle(at),
        Some(root) => root,
        None => Root::Free,
    }
}

fn before_edge(
    strips: &[Strip],
    before: Option<usize>,
    fabric: &Fabric,
    course: &Course,
    size: &SizeOf,
) -> Root {
    let Some(before) = before else { return Root::Free };
    let last_of = strips.iter().rposition(|s| s.piece == before && !s.courses.is_empty());
    let stood_on = fabric.of(course).iter().find_map(|s| match s.base {
        Standing::BeforeRowEnd(_) => Some(None),
        Standing::Before(i) => Some(Some(i)),
        _ => None,
    });
    match (stood_on, size.pieces.get(before)) {
        (Some(None), _) => last_of.map_or(Root::Free, Root::RowEnds),
        (Some(Some(i)), Some(p)) => match course_of(p.fabric, i) {
            Some(j) => edge(strips, before, j),
            None => last_of.map_or(Root::Free, Root::Top),
        },
        _ => last_of.map_or(Root::Free, Root::Top),
    }
}

/// The course that holds a stitch.
pub(super) fn course_of(fabric: &Fabric, stitch: u32) -> Option<usize> {
    let at = fabric.courses.partition_point(|c| c.stitches.end <= stitch);
    fabric.courses.get(at).filter(|c| c.stitches.contains(&stitch)).map(|_| at)
}

/// A seam of the last row to the foundation makes the rows go round the head.
fn mark_sideways(strips: &mut [Strip], first: usize, fabric: &Fabric) {
    if !fabric.seams.iter().any(|s| s.to_foundation) {
        return;
    }
    let rows = |s: &Strip| {
        let mut shapes = s.courses.iter().filter_map(|c| fabric.courses.get(*c));
        shapes.all(|c| c.shape == CourseShape::Row)
    };
    for strip in strips.iter_mut().skip(first) {
        let is_rows = rows(strip);
        strip.sideways |= is_rows && strip.foundation.is_some();
    }
}
