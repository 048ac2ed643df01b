//! The schematic: the shape of every size, one inside the other, with its measures.
//!
//! The hat is drawn lying flat: as wide as half its girth, as deep as its fabric is from
//! brim to top. Numbers are exact; the outline of a crown is rounded by how flat it lies,
//! since a folded crown has no outline of its own.

use super::pen::{FINE, both_units, dashed, line, line_of, rough_width, stroked, words, wrapped};
use super::{Anchor, Drawing, Ink, Segment, Stroke};
use crate::measures::{Band, Silhouette, Top};

/// One size to draw.
#[derive(Clone, Copy, Debug)]
pub struct Sized<'a> {
    /// Its printed name.
    pub name: &'a str,
    /// Its shape.
    pub shape: &'a Silhouette,
    /// Names of its pieces, by place.
    pub pieces: &'a [&'a str],
}

/// Deepest the largest outline is drawn, in mm.
const DEEP: f64 = 88.0;
/// Room of the whole drawing on an ordinary page, in mm.
pub const WIDTH: f64 = 165.0;
/// Least width that the widest hat is drawn, in mm.
const LEAST: f64 = 40.0;
/// Distance between two lines of words, in mm.
const LINE: f64 = 4.4;
const SIZE: f64 = 8.0;
/// A piece beside the hat is told when it is at least this long, in mm; less is an edging.
const FLAP: f64 = 20.0;

/// All sizes nested on one brim line, to one scale, in `width` mm; none where nothing was
/// worked. The narrower it is, the smaller the hat beside its words.
pub fn drawing(sizes: &[Sized], width: f64) -> Option<Drawing> {
    let worked: Vec<Sized> = sizes.iter().copied().filter(|s| s.shape.depth > 0.0).collect();
    let widest = worked.iter().map(|s| s.shape.widest / 2.0).fold(0.0, f64::max);
    let deepest = worked.iter().map(|s| s.shape.depth).fold(0.0, f64::max);
    if widest <= 0.0 || deepest <= 0.0 {
        return None;
    }
    let left = left_room(&worked);
    // Long names make the drawing wider rather than the hat too small to see.
    let room = (width - left - right_room(&worked)).max(LEAST);
    let width = width.max(left + room + right_room(&worked));
    let scale = (room / widest).min(DEEP / deepest);
    let brim = deepest * scale + 7.0;
    let mut d = Drawing { width, height: brim, marks: Vec::new() };
    let middle = left + widest * scale / 2.0;
    let view = View { scale, brim, middle, right: middle + widest * scale / 2.0 };
    for (i, size) in worked.iter().enumerate() {
        outline(&mut d, &view, size.shape, pen_for(i));
    }
    if let Some(largest) = worked.iter().max_by(|a, b| a.shape.depth.total_cmp(&b.shape.depth)) {
        joins(&mut d, &view, &worked, largest);
        if largest.shape.top == Top::Gathered {
            gathers(&mut d, &view, &profile(largest.shape));
        }
    }
    let below = depths(&mut d, &view, &worked);
    let end = girths(&mut d, &view, &worked, below);
    d.height = extras(&mut d, &worked, end);
    Some(d)
}

/// What the schematic shows, for who cannot see it.
pub fn alt(sizes: &[Sized]) -> String {
    let said = sizes.iter().filter(|s| s.shape.depth > 0.0).map(|s| {
        let unfolded = if s.shape.fold > 0.0 {
            let whole = both_units(s.shape.depth + s.shape.fold);
            format!(" with {} folded up, {whole} unfolded", both_units(s.shape.fold))
        } else {
            String::new()
        };
        format!(
            "{}: {} round at the brim, {} deep{unfolded}",
            s.name,
            both_units(s.shape.girth),
            both_units(s.shape.depth)
        )
    });
    let top = match sizes.iter().find(|s| s.shape.depth > 0.0).map(|s| s.shape.top) {
        Some(Top::Gathered) => "gathered at the top",
        Some(Top::Closed) => "closed at the top",
        _ => "open at the top",
    };
    format!(
        "Outlines of the hat in every size, lying flat and {top}, one inside the other with the \
         brims on one line. {}.",
        said.collect::<Vec<_>>().join("; ")
    )
}

struct View {
    scale: f64,
    brim: f64,
    middle: f64,
    /// Right edge of the widest outline.
    right: f64,
}

impl View {
    fn x(&self, mm: f64) -> f64 {
        self.middle + mm * self.scale
    }
    fn y(&self, mm: f64) -> f64 {
        self.brim - mm * self.scale
    }
}

/// Whole, long-dashed and dotted lines by turns: neighbours are told apart without colour.
fn pen_for(i: usize) -> Stroke {
    match i % 3 {
        0 => line_of(0.4, Ink::Text),
        1 => dashed(0.4, 2.6, 1.2, Ink::Text),
        _ => dashed(0.4, 0.9, 0.9, Ink::Text),
    }
}

/// Half width over the brim, from brim to top: (height, half width) in mm of the hat.
fn profile(shape: &Silhouette) -> Vec<(f64, f64)> {
    let mut out = Vec::new();
    let mut at = -shape.fold;
    for band in &shape.bands {
        out.push((at, band.lower / 4.0));
        at += band.length;
        out.push((at, band.upper / 4.0));
    }
    match shape.top {
        Top::Open => {}
        Top::Closed => rounded(&mut out, &shape.bands, shape.widest),
        Top::Gathered => gathered(&mut out, at),
    }
    out.retain(|(y, _)| *y >= -1e-6);
    out
}

/// Rounds the part above the last full width: the flatter the crown, the rounder.
fn rounded(profile: &mut Vec<(f64, f64)>, bands: &[Band], widest: f64) {
    let Some(full) = bands.iter().rposition(|b| b.upper > 0.98 * widest) else { return };
    let way: f64 = bands.iter().skip(full + 1).map(|b| b.length).sum();
    let flat = (widest / (std::f64::consts::TAU * way.max(1.0))).clamp(0.0, 1.0);
    let most = widest / 4.0;
    let crown = profile.split_off(2 * full + 2);
    for pair in crown.chunks(2) {
        let [(y0, a), (y1, b)] = pair else { continue };
        for i in 0..=6 {
            let t = f64::from(i) / 6.0;
            let share = ((a + (b - a) * t) / most).clamp(0.0, 1.0);
            let round = 1.0 - (1.0 - share).powf(1.0 + flat);
            profile.push((y0 + (y1 - y0) * t, most * round.powf(1.0 / (1.0 + flat))));
        }
    }
}

/// A gathered tube narrows towards the top over a third of its width.
fn gathered(profile: &mut Vec<(f64, f64)>, top: f64) {
    const LEFT: f64 = 0.30;
    let most = profile.iter().map(|p| p.1).fold(0.0, f64::max);
    let reach = (0.7 * most).min(0.4 * top);
    profile.retain(|(y, _)| *y < top - reach);
    let before = profile.last().map_or(most, |p| p.1);
    for i in 0..=12 {
        let t = (f64::from(i) / 12.0 * std::f64::consts::FRAC_PI_2).sin();
        let share = LEFT + (1.0 - LEFT) * (1.0 - t * t).max(0.0).sqrt();
        profile.push((top - reach + reach * t, before * share));
    }
}

fn outline(d: &mut Drawing, view: &View, shape: &Silhouette, pen: Stroke) {
    let points = profile(shape);
    let right = points.iter().map(|(y, x)| (view.x(*x), view.y(*y)));
    let left = points.iter().rev().map(|(y, x)| (view.x(-x), view.y(*y)));
    let mut segments: Vec<Segment> = right.chain(left).map(|(x, y)| Segment::Line(x, y)).collect();
    if let Some(first) = segments.first_mut()
        && let Segment::Line(x, y) = *first
    {
        *first = Segment::Move(x, y);
    }
    segments.push(Segment::Close);
    d.add(stroked(segments, pen));
}

/// Short strokes that fan from a gathered top.
fn gathers(d: &mut Drawing, view: &View, points: &[(f64, f64)]) {
    let Some((top, half)) = points.last().copied() else { return };
    let most = points.iter().map(|p| p.1).fold(0.0, f64::max);
    for i in -2..=2 {
        let t = f64::from(i) / 2.4;
        let from = (view.x(half * t), view.y(top) + 0.6);
        let to = (view.x(most * 0.6 * t), view.y(top - 0.22 * most));
        d.add(line(from, to, line_of(FINE, Ink::Quiet)));
    }
}

/// Depths at the right: one upright line with a mark at the top of each size. Answers where
/// the words end.
fn depths(d: &mut Drawing, view: &View, sizes: &[Sized]) -> f64 {
    let x = view.right + 5.0;
    let mut tops: Vec<(f64, String)> = sizes
        .iter()
        .map(|s| (s.shape.depth, format!("{}: {}", s.name, both_units(s.shape.depth))))
        .collect();
    tops.sort_by(|a, b| b.0.total_cmp(&a.0));
    let highest = tops.first().map_or(0.0, |t| t.0);
    d.add(line((x, view.y(0.0)), (x, view.y(highest)), line_of(FINE, Ink::Text)));
    tick(d, (x, view.y(0.0)));
    let mut low = f64::NEG_INFINITY;
    for (depth, said) in &tops {
        let y = view.y(*depth);
        tick(d, (x, y));
        let at = y.max(low + LINE);
        low = at;
        d.add(line((x + 1.6, y), (x + 5.0, at), line_of(FINE, Ink::Quiet)));
        d.say(words((x + 6.0, at + 1.0), said.as_str(), SIZE, Anchor::Start));
    }
    let at = (view.y(0.0) - 1.0).max(low + 1.5 * LINE);
    d.say(words((x + 6.0, at), "depth, brim to top", SIZE, Anchor::Start).strong());
    at
}

fn tick(d: &mut Drawing, (x, y): (f64, f64)) {
    d.add(line((x - 1.2, y), (x + 1.2, y), line_of(0.35, Ink::Text)));
}

/// Widths under the brim: a line for each size, as long as the size is wide lying flat.
/// Answers where it ends.
fn girths(d: &mut Drawing, view: &View, sizes: &[Sized], below: f64) -> f64 {
    let mut y = below.max(view.y(0.0)) + 3.0;
    for (i, size) in sizes.iter().enumerate() {
        y += LINE;
        let half = size.shape.girth / 4.0;
        let (a, b) = (view.x(-half), view.x(half));
        d.add(line((a, y), (b, y), pen_for(i)));
        for x in [a, b] {
            d.add(line((x, y - 1.2), (x, y + 1.2), line_of(0.35, Ink::Text)));
        }
        let said = format!("{}: {} round", size.name, both_units(size.shape.girth));
        d.say(words((view.right + 3.0, y + 1.0), said, SIZE, Anchor::Start));
    }
    y += 1.4;
    let said = "Each line is as long as the brim is wide, lying flat: half of its girth.";
    for part in wrapped(said, SIZE, d.width) {
        y += LINE;
        d.say(words((0.0, y), part, SIZE, Anchor::Start));
    }
    y + 1.6
}

/// Where one piece meets the next, on the largest size, with each size's measure.
fn joins(d: &mut Drawing, view: &View, sizes: &[Sized], largest: &Sized) {
    let Some(first) = largest.shape.brim() else { return };
    // A folded cuff ends where its fold brings its edge; its own end lies beneath.
    let folded = largest.shape.fold > 0.0;
    if !folded && first.depth > 0.6 * largest.shape.depth {
        return;
    }
    let depth = |s: &Sized| {
        let found = s.shape.pieces.iter().find(|p| p.piece == first.piece);
        if folded { Some(s.shape.fold) } else { found.map(|p| p.depth) }
    };
    let name = largest.pieces.get(first.piece).copied().unwrap_or("");
    let name = if folded { format!("{name}, folded up") } else { name.to_owned() };
    let half = first.girth / 4.0;
    let y = view.y(if folded { largest.shape.fold } else { first.depth });
    let stroke = dashed(FINE, 1.2, 0.8, Ink::Text);
    d.add(line((view.x(-half), y), (view.x(half), y), stroke));
    let x = view.x(-largest.shape.widest / 4.0) - 4.0;
    d.add(line((x, view.y(0.0)), (x, y), line_of(FINE, Ink::Text)));
    tick(d, (x, view.y(0.0)));
    tick(d, (x, y));
    let (least, most) = sizes
        .iter()
        .filter_map(depth)
        .fold((f64::INFINITY, 0.0), |(a, b), v| (f64::min(a, v), f64::max(b, v)));
    let said = if most - least < 0.5 {
        vec![both_units(most)]
    } else {
        vec![format!("{} to", both_units(least)), both_units(most)]
    };
    let mut at = (view.y(0.0) + y) / 2.0 - 1.0;
    d.say(words((x - 2.0, at), name, SIZE, Anchor::End).strong());
    for line in said {
        at += LINE;
        d.say(words((x - 2.0, at), line, SIZE, Anchor::End));
    }
}

/// Room at the left for the name and depth of the brim's piece.
fn left_room(sizes: &[Sized]) -> f64 {
    let two = sizes.iter().any(|s| s.shape.pieces.len() > 1 || s.shape.fold > 0.0);
    if two { rough_width("10.5 cm (4 1/8 in) to", SIZE) + 4.0 } else { 6.0 }
}

/// Room at the right for the longest measure.
fn right_room(sizes: &[Sized]) -> f64 {
    let said = sizes.iter().map(|s| format!("{}: 48.5 cm (19 1/8 in) round", s.name));
    said.map(|s| rough_width(&s, SIZE)).fold(0.0, f64::max) + 6.0
}

/// Pieces beside the hat, as words. Answers where they end.
fn extras(d: &mut Drawing, sizes: &[Sized], mut y: f64) -> f64 {
    for size in sizes {
        for extra in size.shape.extras.iter().filter(|e| e.length >= FLAP) {
            let name = size.pieces.get(extra.piece).copied().unwrap_or("Extra");
            let said = format!(
                "{}, {}: {} wide, {} long",
                name,
                size.name,
                both_units(extra.width),
                both_units(extra.length)
            );
            y += LINE;
            d.say(words((0.0, y), said, SIZE, Anchor::Start));
        }
    }
    y + 1.0
}
