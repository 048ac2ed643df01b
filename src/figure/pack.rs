//! Sets pieces to cut out close together on a sheet, round ones into each other's corners.

use super::Drawing;

/// Room between two pieces, for the scissors, in millimetres.
const GAP: f64 = 4.0;
/// Places are tried this far apart, in millimetres.
const STEP: f64 = 2.0;

/// What a piece covers of the paper, from its upper left corner, in millimetres.
#[derive(Clone, Copy, Debug)]
pub(super) enum Cover {
    /// A disc: middle and radius.
    Disc(f64, f64, f64),
    /// A box: left, top, width, height.
    Box(f64, f64, f64, f64),
}

impl Cover {
    fn moved(self, dx: f64, dy: f64) -> Cover {
        match self {
            Cover::Disc(x, y, r) => Cover::Disc(x + dx, y + dy, r),
            Cover::Box(x, y, w, h) => Cover::Box(x + dx, y + dy, w, h),
        }
    }

    /// How far two covers stand apart; not more than 0 if they meet.
    fn apart(self, other: Cover) -> f64 {
        match (self, other) {
            (Cover::Disc(x, y, r), Cover::Disc(a, b, s)) => (a - x).hypot(b - y) - r - s,
            (Cover::Disc(x, y, r), Cover::Box(a, b, w, h))
            | (Cover::Box(a, b, w, h), Cover::Disc(x, y, r)) => {
                (x - x.clamp(a, a + w)).hypot(y - y.clamp(b, b + h)) - r
            }
            (Cover::Box(x, y, w, h), Cover::Box(a, b, v, k)) => {
                let across = (a - x - w).max(x - a - v);
                let down = (b - y - h).max(y - b - k);
                across.max(down)
            }
        }
    }
}

/// A drawing to cut out, and what it covers.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub(super) drawing: Drawing,
    pub(super) covers: Vec<Cover>,
}

impl Piece {
    /// A piece that covers its whole box.
    pub(super) fn boxed(drawing: Drawing) -> Piece {
        let covers = vec![Cover::Box(0.0, 0.0, drawing.width, drawing.height)];
        Piece { drawing, covers }
    }
}

/// All pieces on one sheet, each as high up as it goes and then as far left; none if they
/// do not fit.
pub(super) fn sheet(pieces: &[&Piece], width: f64, height: f64) -> Option<Drawing> {
    let mut taken: Vec<Cover> = Vec::new();
    let mut out = Drawing::default();
    for piece in pieces {
        let (x, y) = place(piece, &taken, (width, height))?;
        taken.extend(piece.covers.iter().map(|c| c.moved(x, y)));
        out.place(&piece.drawing, x, y);
        out.width = out.width.max(x + piece.drawing.width);
        out.height = out.height.max(y + piece.drawing.height);
    }
    Some(out)
}

fn place(piece: &Piece, taken: &[Cover], sheet: (f64, f64)) -> Option<(f64, f64)> {
    let room = (sheet.0 - piece.drawing.width, sheet.1 - piece.drawing.height);
    if room.0 < 0.0 || room.1 < 0.0 {
        return None;
    }
    let free = |(x, y): &(f64, f64)| {
        let mut own = piece.covers.iter().map(|c| c.moved(*x, *y));
        own.all(|c| taken.iter().all(|t| t.apart(c) >= GAP))
    };
    // The right edge is tried besides: there, a disc goes highest beside another.
    let row = |y: f64| steps(room.0).chain([room.0]).map(move |x| (x, y));
    steps(room.1).flat_map(row).find(free)
}

fn steps(room: f64) -> impl Iterator<Item = f64> {
    let n = (room / STEP).min(10_000.0) as u32;
    (0..=n).map(|i| f64::from(i) * STEP)
}
