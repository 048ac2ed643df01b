//! The pen's way in few characters: what no eye can see is left out.
//!
//! A shape written from its own first point reads the same wherever it stands, and the next
//! one like it packs to nearly nothing.

use super::object::hundredths;
use crate::typeset::page::{Shape, Step};

/// How far a line may pass by a point that is left out, in points: 0.015 mm.
const NEAR: f64 = 0.04;
/// So many curves make a shape that is worth a turn of the origin.
const CURVED: usize = 3;
/// So many lines make a long way.
const LONG: usize = 16;
/// So many rectangles are worth a look for a grid.
const SQUARES: usize = 16;
/// How far from a grid a corner on it may lie, in fields.
const ON_GRID: f64 = 0.001;

/// A point on the page or from a shape's own first point.
pub type Point = (f64, f64);

/// Where a shape begins.
pub fn begins(shape: &Shape) -> Point {
    shape.steps.first().and_then(end).unwrap_or_default()
}

/// Whether a shape is curved enough to be worth a turn of the origin to itself.
pub fn is_curved(shape: &Shape) -> bool {
    shape.steps.iter().filter(|s| matches!(s, Step::Curve(_))).count() >= CURVED
}

/// Rectangles on a grid, such as the squares of a code.
pub struct Grid {
    /// The first corner.
    pub origin: Point,
    /// The side of a field, in points.
    pub field: f64,
    /// Place from the first corner, x to the right and y up, width and height, in fields.
    pub cells: Vec<[i64; 4]>,
}

/// The grid that a shape's rectangles stand on; nothing if there are few, or anything else.
pub fn grid(shape: &Shape) -> Option<Grid> {
    if shape.steps.len() < 5 * SQUARES {
        return None;
    }
    let ([origin, across], _) = rectangle(&shape.steps)?;
    let field = (across.1 - origin.1).abs();
    let fields = |far: f64| -> Option<i64> {
        let whole = (far / field).round();
        ((far / field - whole).abs() < ON_GRID && whole.abs() < 1e6).then_some(whole as i64)
    };
    let mut cells = Vec::with_capacity(shape.steps.len() / 5);
    let mut rest = shape.steps.as_slice();
    while !rest.is_empty() {
        let ([a, b], after) = rectangle(rest)?;
        let (x, y) = (fields(a.0 - origin.0)?, fields(origin.1 - a.1)?);
        cells.push([x, y, fields(b.0 - a.0)?, fields(a.1 - b.1)?]);
        rest = after;
    }
    Some(Grid { origin, field, cells })
}

/// Whether a shape is one long way of straight lines, such as an outline row by row.
pub fn is_long(shape: &Shape) -> bool {
    let plain = |step: &Step| !matches!(step, Step::Curve(_) | Step::Move(..));
    shape.steps.len() >= LONG && shape.steps.iter().skip(1).all(plain)
}

/// Appends a shape's path; `place` gives a point's place in hundredths of a point.
pub fn path(out: &mut Vec<u8>, shape: &Shape, place: impl Fn(Point) -> (i64, i64)) {
    let mut rest = shape.steps.as_slice();
    while let Some((step, after)) = rest.split_first() {
        if let Some((corners, after)) = rectangle(rest) {
            let [(x, y), (right, top)] = corners.map(&place);
            numbers(out, &[x, y, right - x, top - y], b"re");
            rest = after;
            continue;
        }
        rest = after;
        match *step {
            Step::Move(x, y) => {
                let lines = rest.iter().take_while(|s| matches!(s, Step::Line(..))).count();
                let (run, after) = rest.split_at(lines);
                put(out, place((x, y)), b"m");
                polyline(out, (x, y), run, &place);
                rest = after;
            }
            Step::Line(x, y) => put(out, place((x, y)), b"l"),
            Step::Curve([a, b, c, d, x, y]) => {
                let (p, q, r) = (place((a, b)), place((c, d)), place((x, y)));
                numbers(out, &[p.0, p.1, q.0, q.1, r.0, r.1], b"c");
            }
            Step::Close => out.extend_from_slice(b"h\n"),
        }
    }
}

/// A length in hundredths of a point.
pub fn hundredth(value: f64) -> i64 {
    let value = (value * 100.0).round();
    if value.is_finite() { value as i64 } else { 0 }
}

/// The same to the tenth, 0.02 mm from true at most: for straight lines, where no eye sees it.
pub fn tenth(value: f64) -> i64 {
    10 * hundredth(value / 10.0)
}

fn numbers(out: &mut Vec<u8>, values: &[i64], operator: &[u8]) {
    for value in values {
        hundredths(out, *value);
        out.push(b' ');
    }
    out.extend_from_slice(operator);
    out.push(b'\n');
}

fn put(out: &mut Vec<u8>, at: (i64, i64), operator: &[u8]) {
    numbers(out, &[at.0, at.1], operator);
}

fn end(step: &Step) -> Option<Point> {
    match *step {
        Step::Move(x, y) | Step::Line(x, y) | Step::Curve([_, _, _, _, x, y]) => Some((x, y)),
        Step::Close => None,
    }
}

/// An upright rectangle at the head of a way: the first corner and the one across, and
/// what comes after.
fn rectangle(steps: &[Step]) -> Option<([Point; 2], &[Step])> {
    let [
        Step::Move(x0, y0),
        Step::Line(x1, y1),
        Step::Line(x2, y2),
        Step::Line(x3, y3),
        Step::Close,
        rest @ ..,
    ] = steps
    else {
        return None;
    };
    // Dashes begin at the first corner and run as the operator does, along x first.
    let upright = y0 == y1 && x1 == x2 && y2 == y3 && x3 == x0;
    upright.then_some(([(*x0, *y0), (*x2, *y2)], rest))
}

/// Straight lines through these points, without those that lie on the way to the next.
fn polyline(out: &mut Vec<u8>, from: Point, run: &[Step], place: &impl Fn(Point) -> (i64, i64)) {
    let points: Vec<Point> = std::iter::once(from).chain(run.iter().filter_map(end)).collect();
    let mut keep = vec![points.len() <= 2; points.len()];
    let mut open = vec![(0, points.len() - 1)];
    // The furthest point of each stretch stays, while it is far enough from the line.
    while let Some((a, b)) = open.pop() {
        keep[b] = true;
        let far = (a + 1..b).map(|i| (off(points[i], points[a], points[b]), i));
        let far = far.max_by(|p, q| p.0.total_cmp(&q.0));
        if let Some((distance, i)) = far
            && distance > NEAR
        {
            open.push((a, i));
            open.push((i, b));
        }
    }
    for (point, _) in points.iter().zip(&keep).skip(1).filter(|(_, keep)| **keep) {
        put(out, place(*point), b"l");
    }
}

/// How far a point lies from the line between two others, in points.
fn off(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let long = dx * dx + dy * dy;
    let t = if long > 0.0 { ((p.0 - a.0) * dx + (p.1 - a.1) * dy) / long } else { 0.0 };
    let t = t.clamp(0.0, 1.0);
    (p.0 - a.0 - t * dx).hypot(p.1 - a.1 - t * dy)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(steps: Vec<Step>) -> String {
        let mut out = Vec::new();
        let shape = Shape { steps, stroke: None, fill: None };
        path(&mut out, &shape, |(x, y)| (hundredth(x), hundredth(100.0 - y)));
        String::from_utf8(out).unwrap().replace('\n', ";")
    }

    #[test]
    fn points_on_the_way_are_left_out_and_corners_stay() {
        let line = |x, y| Step::Line(x, y);
        let steps = vec![
            Step::Move(0.0, 0.0),
            line(0.0, 5.0),
            line(0.0, 5.0),
            line(0.01, 10.0),
            line(0.0, 20.0),
            line(10.0, 20.0),
            line(20.0, 20.1),
            line(30.0, 20.0),
        ];
        assert_eq!(written(steps), "0 100 m;0 80 l;10 80 l;20 79.9 l;30 80 l;");
        // There and back: the turning point stays.
        assert_eq!(
            written(vec![Step::Move(0.0, 0.0), line(9.0, 0.0), line(0.0, 0.0)]),
            "0 100 m;9 100 l;0 100 l;"
        );
    }

    #[test]
    fn squares_of_a_code_stand_on_a_grid() {
        let mut steps = Vec::new();
        for n in 0..16 {
            let (x, y) = (10.0 + 1.5 * f64::from(n), 20.0 + 1.5 * f64::from(n % 3));
            steps.push(Step::Move(x, y));
            for (x, y) in [(x + 3.0, y), (x + 3.0, y + 1.5), (x, y + 1.5)] {
                steps.push(Step::Line(x, y));
            }
            steps.push(Step::Close);
        }
        let mut shape = Shape { steps, stroke: None, fill: None };
        let found = grid(&shape).unwrap();
        assert_eq!((found.origin, found.field, found.cells.len()), ((10.0, 20.0), 1.5, 16));
        assert_eq!(found.cells[..3], [[0, 0, 2, -1], [1, -1, 2, -1], [2, -2, 2, -1]]);
        // One corner off it, and there is none.
        shape.steps[5] = Step::Move(11.0, 21.5);
        assert!(grid(&shape).is_none());
    }

    #[test]
    fn rectangles_are_short() {
        let line = |x, y| Step::Line(x, y);
        let rectangle =
            [Step::Move(1.0, 1.0), line(4.0, 1.0), line(4.0, 3.5), line(1.0, 3.5), Step::Close];
        assert_eq!(written(rectangle.to_vec()), "1 99 3 -2.5 re;");
        let rounded: Vec<i64> = [0.04, 0.06, -12.37].map(tenth).to_vec();
        assert_eq!(rounded, [0, 10, -1240]);
    }
}
