//! The schematic: the shape of every size, one inside the other, with its measures.
//!
//! The hat is drawn lying flat: as wide as half its girth, as deep as its fabric is from
//! brim to top. Numbers are exact; the outline of a crown is rounded by how flat it lies,
//! since a folded crown has no outline of its own.

use super::pen::{FINE, dashed, line, line_of, rough_width, stroked, words};
use super::{Anchor, Drawing, Ink, Segment, Stroke};
use crate::measures::{Band, Silhouette, Top};
use crate::quantity::{Length, Units};

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

/// How the words of a schematic are set.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    /// Room of the whole drawing, in mm. The narrower, the smaller the hat beside its words.
    pub width: f64,
    /// Size of its words, in points.
    pub size: f64,
    /// A number for each size in the place of names and measures, which the page then says
    /// in its own type.
    pub numbers: bool,
    /// Which unit comes first.
    pub units: Units,
}

/// Deepest the largest outline is drawn, in mm.
const DEEP: f64 = 88.0;
/// Room of the whole drawing on an ordinary page, in mm.
const WIDTH: f64 = 165.0;
/// Size of its words there, in points.
const SIZE: f64 = 8.0;
/// Least width that the widest hat is drawn, in mm.
const LEAST: f64 = 40.0;
/// Distance between two lines of words, for each point of their size, in mm.
const LEAD: f64 = 0.55;
/// A piece beside the hat is told when it is at least this long, in mm; less is an edging.
const FLAP: f64 = 20.0;
/// A hat is told to be wider than its brim from this share on: less is the give of a brim.
const WIDER: f64 = 1.08;

impl Look {
    /// As on an ordinary page.
    pub fn ordinary(units: Units) -> Look {
        Look { width: WIDTH, size: SIZE, numbers: false, units }
    }

    fn line(&self) -> f64 {
        LEAD * self.size
    }

    /// A measure as the size table prints it.
    fn measure(&self, mm: f64) -> String {
        measure(mm, self.units)
    }

    /// What a size is called beside its line.
    fn name(&self, i: usize, size: &Sized) -> String {
        if self.numbers { number(i) } else { size.name.to_owned() }
    }
}

fn measure(mm: f64, units: Units) -> String {
    Length::mm(mm)
        .text(units)
        .replacen(' ', "\u{a0}", 1)
        .replace(" in", "\u{a0}in")
        .replace(" cm", "\u{a0}cm")
}

/// The number that stands for a size: 1 for the first. (Letters stand for yarns.)
fn number(i: usize) -> String {
    (i + 1).to_string()
}

/// All sizes nested on one brim line, to one scale; none where nothing was worked.
pub fn drawing(sizes: &[Sized], look: &Look) -> Option<Drawing> {
    let worked: Vec<Sized> = sizes.iter().copied().filter(|s| s.shape.depth > 0.0).collect();
    let widest = worked.iter().map(|s| s.shape.widest / 2.0).fold(0.0, f64::max);
    let deepest = worked.iter().map(|s| s.shape.depth).fold(0.0, f64::max);
    if widest <= 0.0 || deepest <= 0.0 {
        return None;
    }
    let left = left_room(&worked, look);
    // Long names make the drawing wider rather than the hat too small to see.
    let room = (look.width - left - right_room(&worked, look)).max(LEAST);
    let width = look.width.max(left + room + right_room(&worked, look));
    let scale = (room / widest).min(DEEP / deepest);
    let brim = deepest * scale + 2.0 * look.line();
    let mut d = Drawing { width, height: brim, marks: Vec::new() };
    let middle = left + widest * scale / 2.0;
    let view = View { scale, brim, middle, right: middle + widest * scale / 2.0 };
    for (i, size) in worked.iter().enumerate() {
        outline(&mut d, &view, size.shape, pen_for(i));
    }
    if let Some(largest) = worked.iter().max_by(|a, b| a.shape.depth.total_cmp(&b.shape.depth)) {
        joins(&mut d, &view, &worked, largest, look);
        if largest.shape.top == Top::Gathered {
            gathers(&mut d, &view, &profile(largest.shape));
        }
    }
    let below = depths(&mut d, &view, &worked, look);
    d.height = girths(&mut d, &view, &worked, below, look);
    Some(d)
}

/// What the schematic shows, for who cannot see it.
pub fn alt(sizes: &[Sized], units: Units) -> String {
    let said = sizes.iter().filter(|s| s.shape.depth > 0.0).map(|s| {
        let unfolded = if s.shape.fold > 0.0 {
            let whole = measure(s.shape.depth + s.shape.fold, units);
            format!(" with {} folded up, {whole} unfolded", measure(s.shape.fold, units))
        } else {
            String::new()
        };
        let (girth, depth) = (measure(s.shape.girth, units), measure(s.shape.depth, units));
        format!("{}: {girth} round at the brim, {depth} deep{unfolded}", s.name)
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

/// What has no place in the drawing, a sentence each: which number is which size, how wide a
/// hat lies that is wider than its brim, and the pieces beside it. Sizes with the same
/// measures are told together.
pub fn besides(sizes: &[Sized], look: &Look) -> Vec<String> {
    let units = look.units;
    let mut said: Vec<(String, Vec<(String, String)>)> = Vec::new();
    let mut tell = |what: &str, size: &str, words: String| {
        let at = said.iter().position(|(w, _)| w == what).unwrap_or_else(|| {
            said.push((what.to_owned(), Vec::new()));
            said.len() - 1
        });
        let Some((_, told)) = said.get_mut(at) else { return };
        match told.iter_mut().find(|(_, w)| *w == words) {
            Some((sizes, _)) => sizes.push_str(&format!(", {size}")),
            None => told.push((size.to_owned(), words)),
        }
    };
    for s in sizes.iter().filter(|s| s.shape.depth > 0.0) {
        if let (true, Some(brim)) = (look.numbers, brim_piece(s)) {
            tell(brim.0, s.name, measure(brim.1, units));
        }
        if s.shape.widest > WIDER * s.shape.girth {
            tell("Across at the widest", s.name, measure(s.shape.widest / 2.0, units));
        }
        for extra in s.shape.extras.iter().filter(|e| e.length >= FLAP) {
            let name = s.pieces.get(extra.piece).copied().unwrap_or("Extra");
            let words = format!(
                "{} wide, {} long",
                measure(extra.width, units),
                measure(extra.length, units)
            );
            tell(name, s.name, words);
        }
    }
    let worked = || sizes.iter().filter(|s| s.shape.depth > 0.0);
    let key = worked().enumerate().map(|(i, s)| format!("{}\u{a0}{}", number(i), s.name));
    let key = look.numbers.then(|| {
        let key = key.collect::<Vec<_>>().join(", ");
        format!("{key}: the table of sizes has their measures.")
    });
    let one = |(what, told): (String, Vec<(String, String)>)| match told.as_slice() {
        [(_, words)] => format!("{what}: {words}."),
        _ => {
            let told = told.iter().map(|(sizes, words)| format!("{sizes} {words}"));
            format!("{what}: {}.", told.collect::<Vec<_>>().join("; "))
        }
    };
    key.into_iter().chain(said.into_iter().map(one)).collect()
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

/// Depths at the right: one upright line with a mark at the top of each size; sizes as deep
/// as each other share theirs. Answers where the words end.
fn depths(d: &mut Drawing, view: &View, sizes: &[Sized], look: &Look) -> f64 {
    let x = view.right + 5.0;
    let step = look.line();
    let mut tops: Vec<(f64, String, Vec<String>)> = Vec::new();
    for (i, s) in sizes.iter().enumerate() {
        let said = look.measure(s.shape.depth);
        match tops.iter_mut().find(|(_, deep, _)| *deep == said) {
            Some((_, _, names)) => names.push(look.name(i, s)),
            None => tops.push((s.shape.depth, said, vec![look.name(i, s)])),
        }
    }
    tops.sort_by(|a, b| b.0.total_cmp(&a.0));
    let highest = tops.first().map_or(0.0, |t| t.0);
    d.add(line((x, view.y(0.0)), (x, view.y(highest)), line_of(FINE, Ink::Text)));
    tick(d, (x, view.y(0.0)));
    if !look.numbers {
        let at = (x + 6.0, view.y(highest) + 1.0 - step);
        d.say(words(at, "Depth, brim to top", look.size, Anchor::Start).strong());
    }
    let mut low = f64::NEG_INFINITY;
    for (depth, said, names) in &tops {
        let y = view.y(*depth);
        tick(d, (x, y));
        let mut at = y.max(low + step);
        d.add(line((x + 1.6, y), (x + 5.0, at), line_of(FINE, Ink::Quiet)));
        for said in depth_words(names, said, look) {
            low = at;
            d.say(words((x + 6.0, at + 1.0), said, look.size, Anchor::Start));
            at += step;
        }
    }
    low
}

/// The sizes of one depth and the depth: on one line, or its own where the names are many.
fn depth_words(names: &[String], depth: &str, look: &Look) -> Vec<String> {
    if look.numbers {
        return vec![names.join(", ")];
    }
    match names {
        [one] => vec![format!("{one}: {depth}")],
        several => several
            .chunks(2)
            .map(|two| format!("{},", two.join(", ")))
            .enumerate()
            .map(|(i, two)| {
                let last = (i + 1) * 2 >= several.len();
                if last { format!("{}: {depth}", two.trim_end_matches(',')) } else { two }
            })
            .collect(),
    }
}

fn tick(d: &mut Drawing, (x, y): (f64, f64)) {
    d.add(line((x - 1.2, y), (x + 1.2, y), line_of(0.35, Ink::Text)));
}

/// Widths under the brim: a line for each size, as long as the size is wide lying flat.
/// Answers where it ends.
fn girths(d: &mut Drawing, view: &View, sizes: &[Sized], below: f64, look: &Look) -> f64 {
    let mut y = below.max(view.y(0.0)) + 3.0;
    for (i, size) in sizes.iter().enumerate() {
        y += look.line();
        let half = size.shape.girth / 4.0;
        let (a, b) = (view.x(-half), view.x(half));
        d.add(line((a, y), (b, y), pen_for(i)));
        for x in [a, b] {
            d.add(line((x, y - 1.2), (x, y + 1.2), line_of(0.35, Ink::Text)));
        }
        let said = match look.numbers {
            true => number(i),
            false => format!("{}: {} round", size.name, look.measure(size.shape.girth)),
        };
        d.say(words((view.right + 3.0, y + 1.0), said, look.size, Anchor::Start));
    }
    y + 2.0
}

/// Name and depth of the piece at the brim, where others follow.
fn brim_piece<'a>(size: &Sized<'a>) -> Option<(&'a str, f64)> {
    let first = size.shape.brim()?;
    let drawn = first.depth <= 0.6 * size.shape.depth;
    let depth = if size.shape.fold > 0.0 { size.shape.fold } else { first.depth };
    (drawn || size.shape.fold > 0.0).then_some((size.pieces.get(first.piece).copied()?, depth))
}

/// Where one piece meets the next, on the largest size, with each size's measure.
fn joins(d: &mut Drawing, view: &View, sizes: &[Sized], largest: &Sized, look: &Look) {
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
    let (least, most) = (look.measure(least), look.measure(most));
    let said = match look.numbers {
        true => Vec::new(),
        false if least == most => vec![most],
        false => vec![format!("{least} to"), most],
    };
    let mut at = (view.y(0.0) + y) / 2.0 - 1.0;
    d.say(words((x - 2.0, at), name, look.size, Anchor::End).strong());
    for line in said {
        at += look.line();
        d.say(words((x - 2.0, at), line, look.size, Anchor::End));
    }
}

/// Room at the left for the name and depth of the brim's piece.
fn left_room(sizes: &[Sized], look: &Look) -> f64 {
    let two = sizes.iter().any(|s| s.shape.pieces.len() > 1 || s.shape.fold > 0.0);
    if !two {
        return 6.0;
    }
    let names = sizes.iter().flat_map(|s| s.pieces.iter().take(1));
    let name = names.map(|n| rough_width(n, look.size)).fold(0.0, f64::max) * 1.1;
    let depth = if look.numbers { 0.0 } else { rough_width("10.5 cm (4¼ in) to", look.size) };
    name.max(depth) + 6.0
}

/// Room at the right for the longest measure.
fn right_room(sizes: &[Sized], look: &Look) -> f64 {
    if look.numbers {
        let all = "1, ".repeat(sizes.len());
        return 11.0 + rough_width(&all, look.size);
    }
    let said = sizes.iter().map(|s| format!("{}: 48.5 cm (19¼ in) round", s.name));
    said.map(|s| rough_width(&s, look.size)).fold(0.0, f64::max) + 6.0
}
