//! Silhouette: the hat as bands from brim to top, each with its girth and its length.

use super::course::{self, OwnHeight};
use super::strips::{Root, Strip};
use super::{GaugeOf, Hat, PieceOf, SizeOf};
use crate::fabric::{CourseShape, Fabric, Role, Standing, Stitch};
use crate::standards::stitches::Base;
use std::collections::VecDeque;
use std::f64::consts::TAU;

/// A top whose girth is under this share of the widest counts as worked closed.
const CLOSED: f64 = 0.2;
/// A sideways end under this share of the other is drawn together.
const DRAWN_IN: f64 = 0.8;
/// A row strip that goes round less than this share of the edge it stands on is a flap.
const FLAP: f64 = 0.7;

/// One band of the hat, brim side first.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Band {
    /// Length along the fabric, in mm.
    pub length: f64,
    /// Girth at its brim side, in mm.
    pub lower: f64,
    /// Girth at its top side, in mm.
    pub upper: f64,
    /// Its piece.
    pub piece: usize,
}

impl Band {
    fn turned(self) -> Band {
        Band { lower: self.upper, upper: self.lower, ..self }
    }
}

/// How the hat ends at the top.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Top {
    /// Open: a headband, a cowl.
    #[default]
    Open,
    /// A tube drawn together.
    Gathered,
    /// Worked closed, or begun in a ring.
    Closed,
}

/// A piece beside the hat's own body: an earflap, a strap.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Extra {
    /// The piece.
    pub piece: usize,
    /// Its width along its rows, in mm.
    pub width: f64,
    /// Its length across its rows, in mm.
    pub length: f64,
}

/// Measures of one piece by itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PieceMeasure {
    /// The piece.
    pub piece: usize,
    /// Girth at its brim side, in mm; 0 for a flat piece.
    pub girth: f64,
    /// Its share of the depth, fold not taken off, in mm.
    pub depth: f64,
}

/// A hat's shape in one size.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Silhouette {
    /// Bands from brim to top.
    pub bands: Vec<Band>,
    /// How it ends at the top.
    pub top: Top,
    /// Finished girth at the brim as worn, folded cuff folded, in mm: what must fit the head.
    pub girth: f64,
    /// Largest girth, in mm.
    pub widest: f64,
    /// Finished depth along the fabric from brim to the top's middle, as worn, in mm.
    pub depth: f64,
    /// Depth folded up at the brim, in mm; not part of `depth`.
    pub fold: f64,
    /// Height of the hat standing as a body of revolution, flat crowns flat, in mm.
    pub rise: f64,
    /// The pieces that make the body, in working order.
    pub pieces: Vec<PieceMeasure>,
    /// The pieces beside it.
    pub extras: Vec<Extra>,
}

impl Silhouette {
    /// The piece at the brim.
    pub fn brim(&self) -> Option<&PieceMeasure> {
        let piece = self.bands.first()?.piece;
        self.pieces.iter().find(|m| m.piece == piece)
    }
}

/// The shape of one size.
pub(super) fn of(hat: &Hat, own: &[OwnHeight], size: &SizeOf, strips: &[Strip]) -> Silhouette {
    let measured: Vec<Vec<Band>> =
        strips.iter().map(|s| bands(hat, own, size, strips, s)).collect();
    let order = assemble(size, strips, &measured);
    let mut body: Vec<Band> = Vec::new();
    for (at, turned) in &order {
        let Some(bands) = measured.get(*at) else { continue };
        if *turned {
            body.extend(bands.iter().rev().map(|b| b.turned()));
        } else {
            body.extend(bands);
        }
    }
    let (lower, upper) = (end_is_closed(&body, false), end_is_closed(&body, true));
    let gathered = narrow_end(strips, &order, &body).or_else(|| gathered_end(size, strips, &order));
    if gathered == Some(false) || (lower && !upper && gathered.is_none()) {
        body.reverse();
        body.iter_mut().for_each(|b| *b = b.turned());
    }
    let extras = extras(hat, own, size, strips, &order);
    finish(size, body, gathered.is_some(), lower || upper, extras)
}

fn finish(
    size: &SizeOf,
    bands: Vec<Band>,
    gathered: bool,
    closed: bool,
    extras: Vec<Extra>,
) -> Silhouette {
    let top = match (gathered, closed) {
        (true, _) => Top::Gathered,
        (_, true) => Top::Closed,
        _ => Top::Open,
    };
    let widest = bands.iter().map(|b| b.lower.max(b.upper)).fold(0.0, f64::max);
    let pieces = pieces(size, &bands);
    let in_body = |p: usize| pieces.iter().any(|m| m.piece == p);
    let folds = size.pieces.iter().enumerate().filter(|(i, _)| in_body(*i)).map(|(_, p)| p.fold);
    let fold: f64 = folds.sum();
    let length: f64 = bands.iter().map(|b| b.length).sum();
    Silhouette {
        top,
        girth: girth_at(&bands, fold),
        widest,
        depth: (length - fold).max(0.0),
        fold,
        rise: (bands.iter().map(rise).sum::<f64>() - fold).max(0.0),
        pieces,
        extras,
        bands,
    }
}

/// Girth this far above the lower edge: where a cuff is folded, that is the brim.
fn girth_at(bands: &[Band], height: f64) -> f64 {
    let mut at = 0.0;
    for band in bands {
        if at + band.length > height {
            return band.lower + (band.upper - band.lower) * (height - at) / band.length;
        }
        at += band.length;
    }
    bands.last().map_or(0.0, |b| b.upper)
}

/// Height a band adds to a standing body: what its length has left after the change of
/// radius. A disc's rounds spend all of it and add nothing.
fn rise(band: &Band) -> f64 {
    let out = (band.upper - band.lower) / TAU;
    (band.length.powi(2) - out.powi(2)).max(0.0).sqrt()
}

fn pieces(size: &SizeOf, bands: &[Band]) -> Vec<PieceMeasure> {
    let mut out = Vec::new();
    for piece in 0..size.pieces.len() {
        let own = bands.iter().filter(|b| b.piece == piece);
        if let Some(first) = own.clone().next() {
            let depth = own.map(|b| b.length).sum();
            out.push(PieceMeasure { piece, girth: first.lower, depth });
        }
    }
    out
}

fn end_is_closed(bands: &[Band], top: bool) -> bool {
    let widest = bands.iter().map(|b| b.lower.max(b.upper)).fold(0.0, f64::max);
    let end = if top { bands.last().map(|b| b.upper) } else { bands.first().map(|b| b.lower) };
    end.is_some_and(|girth| girth < CLOSED * widest)
}

/// A body worked sideways alone, its short rows leaving one end narrower: that end is drawn
/// together, and is the top. Whether it is the last end; none where both are alike.
fn narrow_end(strips: &[Strip], order: &[(usize, bool)], body: &[Band]) -> Option<bool> {
    let [(only, _)] = order else { return None };
    if !strips.get(*only)?.sideways {
        return None;
    }
    let (first, last) = (body.first()?.lower, body.last()?.upper);
    (first.min(last) < DRAWN_IN * first.max(last)).then_some(last < first)
}

/// Whether the body is gathered at its last end (true), its first (false) or not.
fn gathered_end(size: &SizeOf, strips: &[Strip], order: &[(usize, bool)]) -> Option<bool> {
    let gathered = |at: usize| {
        strips.get(at).is_some_and(|s| {
            let fabric = size.pieces.get(s.piece).map(|p| p.fabric);
            let mut courses = s.courses.iter().filter_map(|c| fabric?.courses.get(*c));
            courses.any(|c| c.gathered)
        })
    };
    let at = order.iter().position(|(s, _)| gathered(*s))?;
    let alone = order.len() == 1;
    let turned = order.get(at).is_some_and(|(_, t)| *t);
    Some(if alone { !turned } else { at + 1 == order.len() })
}

/// The strips of the hat's body in order along the fabric, and which are turned over.
fn assemble(size: &SizeOf, strips: &[Strip], bands: &[Vec<Band>]) -> Vec<(usize, bool)> {
    let mut chains: Vec<VecDeque<(usize, bool)>> = Vec::new();
    for (at, strip) in strips.iter().enumerate() {
        let outside = beyond(size, strip) || is_flap(size, strips, bands, at);
        if strip.courses.is_empty() || outside {
            continue;
        }
        let hold =
            |s: usize| move |c: &&mut VecDeque<(usize, bool)>| c.iter().any(|(held, _)| *held == s);
        match strip.root {
            Root::Free => {
                if is_tube(size, strip) || strips.len() == 1 {
                    chains.push(VecDeque::from([(at, false)]));
                }
            }
            Root::Middle(_) => {}
            // The body begins on a brim that was worked first.
            Root::Top(s) | Root::RowEnds(s) | Root::Bottom(s)
                if strips.get(s).is_some_and(|ground| beyond(size, ground)) =>
            {
                chains.push(VecDeque::from([(at, false)]));
            }
            Root::Top(s) | Root::RowEnds(s) | Root::Bottom(s) => {
                let bottom = matches!(strip.root, Root::Bottom(_));
                let Some(chain) = chains.iter_mut().find(hold(s)) else {
                    // It stands on a flat piece, which turns out to be part of the body.
                    chains.push(VecDeque::from([(s, false), (at, false)]));
                    continue;
                };
                // A strip's free edge is its end at the back, and at the front its beginning,
                // unless it stands there turned over.
                let row_ends = matches!(strip.root, Root::RowEnds(_));
                let free = |end: Option<&(usize, bool)>, back: bool| {
                    end.is_some_and(|(held, turned)| {
                        *held == s && (row_ends || bottom == (*turned == back))
                    })
                };
                if free(chain.back(), true) {
                    chain.push_back((at, false));
                } else if free(chain.front(), false) {
                    chain.push_front((at, true));
                }
            }
        }
    }
    if chains.is_empty() {
        let long = |i: &usize| bands.get(*i).map_or(0.0, |b| b.iter().map(|b| b.length).sum());
        let longest = (0..strips.len()).max_by(|a, b| f64::total_cmp(&long(a), &long(b)));
        return longest.map(|i| (i, false)).into_iter().collect();
    }
    // Tubes made by themselves are sewn on to each other in working order.
    chains.into_iter().flatten().collect()
}

/// Whether a strip's piece is said to hang outside the head.
fn beyond(size: &SizeOf, strip: &Strip) -> bool {
    size.pieces.get(strip.piece).is_some_and(|p| p.beyond)
}

/// A row strip on part of an edge: an earflap.
fn is_flap(size: &SizeOf, strips: &[Strip], bands: &[Vec<Band>], at: usize) -> bool {
    let (Some(strip), Some(own)) = (strips.get(at), bands.get(at)) else { return false };
    let (Root::Top(s) | Root::Bottom(s) | Root::RowEnds(s)) = strip.root else { return false };
    if !all_rows(size, strip) {
        return false;
    }
    // Its first row's own width: the edge below it is the ground's.
    let row = own.first().map_or(0.0, |b| b.upper);
    let ground = bands.get(s).map_or(0.0, |b| b.iter().map(|b| b.upper).fold(0.0, f64::max));
    row < FLAP * ground
}

fn all_rows(size: &SizeOf, strip: &Strip) -> bool {
    let fabric = size.pieces.get(strip.piece).map(|p| p.fabric);
    let mut shapes = strip.courses.iter().filter_map(|c| fabric?.courses.get(*c));
    shapes.all(|c| c.shape == CourseShape::Row)
}

/// Whether a strip closes round the head.
fn is_tube(size: &SizeOf, strip: &Strip) -> bool {
    let Some(piece) = size.pieces.get(strip.piece) else { return false };
    strip.sideways || !piece.fabric.seams.is_empty() || !all_rows(size, strip)
}

fn extras(
    hat: &Hat,
    own: &[OwnHeight],
    size: &SizeOf,
    strips: &[Strip],
    order: &[(usize, bool)],
) -> Vec<Extra> {
    let beside = |at: &usize| !order.iter().any(|(held, _)| held == at);
    let flat = strips.iter().enumerate().filter(|(at, s)| beside(at) && !s.courses.is_empty());
    let measured = flat.filter_map(|(_, strip)| {
        let piece = size.pieces.get(strip.piece)?;
        let gauge = hat.gauges.get(piece.gauge)?;
        let own = own.get(piece.gauge).copied().unwrap_or_default();
        let courses = || strip.courses.iter().filter_map(|c| piece.fabric.courses.get(*c));
        let widest = widest(piece, strip);
        let length = courses().map(|c| course::height_mm(piece.fabric, c, gauge, own)).sum();
        Some(Extra { piece: strip.piece, width: widest * gauge.stitch, length })
    });
    measured.collect()
}

/// The bands of one strip in working order.
fn bands(
    hat: &Hat,
    own: &[OwnHeight],
    size: &SizeOf,
    strips: &[Strip],
    strip: &Strip,
) -> Vec<Band> {
    let Some(piece) = size.pieces.get(strip.piece) else { return Vec::new() };
    let Some(gauge) = hat.gauges.get(piece.gauge) else { return Vec::new() };
    let own = own.get(piece.gauge).copied().unwrap_or(OwnHeight { ratio: 1.0, named: false });
    let alone = size.pieces.len() == 1 && !is_tube(size, strip);
    if all_rows(size, strip) && (strip.sideways || (alone && is_long(piece, strip, gauge))) {
        sideways(piece, strip, gauge, own)
    } else {
        let ground = ground_width(size, strips, strip).map(|w| w * gauge.stitch);
        around(piece, strip, gauge, own, ground)
    }
}

/// Stitches of the course that a strip stands on: at its own gauge they are its first edge.
fn ground_width(size: &SizeOf, strips: &[Strip], strip: &Strip) -> Option<f64> {
    let Root::Top(ground) = strip.root else { return None };
    let ground = strips.get(ground)?;
    let piece = size.pieces.get(ground.piece)?;
    course::widths(piece.fabric).get(*ground.courses.last()?).copied()
}

/// A lone flat strip is a headband: it is sewn along its shorter side.
fn is_long(piece: &PieceOf, strip: &Strip, gauge: &GaugeOf) -> bool {
    let rows = course::whole(strip.courses.len()) * gauge.row;
    rows > widest(piece, strip) * gauge.stitch
}

/// The widest course of a strip, in stitches.
fn widest(piece: &PieceOf, strip: &Strip) -> f64 {
    let widths = course::widths(piece.fabric);
    strip.courses.iter().filter_map(|c| widths.get(*c)).copied().fold(0.0, f64::max)
}

fn around(
    piece: &PieceOf,
    strip: &Strip,
    gauge: &GaugeOf,
    own: OwnHeight,
    ground: Option<f64>,
) -> Vec<Band> {
    let mut out: Vec<Band> = Vec::new();
    let mut before = if strip.ring { Some(0.0) } else { ground };
    let widths = course::widths(piece.fabric);
    for at in &strip.courses {
        let (Some(course), Some(wide)) = (piece.fabric.courses.get(*at), widths.get(*at)) else {
            continue;
        };
        if !course::is_fabric(piece.fabric, course) {
            continue;
        }
        let girth = wide * gauge.stitch;
        let length = course::height_mm(piece.fabric, course, gauge, own);
        out.push(Band { length, lower: before.unwrap_or(girth), upper: girth, piece: strip.piece });
        before = Some(girth);
    }
    out
}

/// A strip worked sideways: each column of stitches is a band as long as a stitch is wide,
/// and its girth is the height of all rows that reach it. Short rows reach fewer.
fn sideways(piece: &PieceOf, strip: &Strip, gauge: &GaugeOf, own: OwnHeight) -> Vec<Band> {
    let at = positions(piece.fabric, strip);
    let mut columns: Vec<(i64, f64)> = Vec::new();
    for (course, span) in strip.courses.iter().zip(&at) {
        let (Some(course), Some((from, to))) = (piece.fabric.courses.get(*course), span) else {
            continue;
        };
        let high = course::height_mm(piece.fabric, course, gauge, own);
        for column in *from..=*to {
            match columns.binary_search_by_key(&column, |(c, _)| *c) {
                Ok(i) => columns.iter_mut().skip(i).take(1).for_each(|(_, g)| *g += high),
                Err(i) => columns.insert(i, (column, high)),
            }
        }
    }
    let band =
        |girth: f64| Band { length: gauge.stitch, lower: girth, upper: girth, piece: strip.piece };
    columns.iter().map(|(_, girth)| band(*girth)).collect()
}

/// First and last column each course of a sideways strip covers.
fn positions(fabric: &Fabric, strip: &Strip) -> Vec<Option<(i64, i64)>> {
    let start = strip.foundation.and_then(|f| fabric.courses.get(f));
    let first = start.or_else(|| fabric.courses.get(*strip.courses.first()?));
    let offset = first.map_or(0, |c| c.stitches.start as usize);
    let mut place: Vec<f64> = Vec::new();
    let set = |place: &mut Vec<f64>, i: usize, at: f64| {
        let i = i.saturating_sub(offset);
        if place.len() <= i {
            place.resize(i + 1, 0.0);
        }
        place.iter_mut().skip(i).take(1).for_each(|p| *p = at);
    };
    if let Some(chain) = start {
        for (n, i) in chain.stitches.clone().enumerate() {
            set(&mut place, i as usize, course::whole(n));
        }
    }
    let mut spans = Vec::new();
    let (mut last, mut way) = (-1.0, 1.0);
    for course in strip.courses.iter().filter_map(|c| fabric.courses.get(*c)) {
        if course.turned {
            way = -way;
        }
        let mut span: Option<(f64, f64)> = None;
        for i in course.stitches.clone() {
            let Some(stitch) = fabric.stitches.get(i as usize) else { continue };
            let look = |s: u32| place.get((s as usize).saturating_sub(offset)).copied();
            let stood = match stitch.base {
                Standing::Stitch(b) => look(b).map(|p| p.midpoint(look(stitch.last).unwrap_or(p))),
                Standing::Space(b) => look(b),
                _ => None,
            };
            last = match stood {
                Some(at) => {
                    if (at - last).abs() > 0.5 {
                        way = (at - last).signum();
                    }
                    at
                }
                None if moves(stitch) => last + way,
                None => last,
            };
            set(&mut place, i as usize, last);
            if matches!(stitch.role, Role::Counted | Role::CountedRise) {
                span = Some(span.map_or((last, last), |(a, b)| (a.min(last), b.max(last))));
            }
        }
        spans.push(span.map(|(a, b)| (a.round() as i64, b.round() as i64)));
    }
    spans
}

/// Whether a stitch with nothing under it lengthens the row.
fn moves(stitch: &Stitch) -> bool {
    matches!(stitch.role, Role::Counted | Role::Space | Role::Foundation)
        || stitch.kind.base != Base::Ch && stitch.role != Role::Join
}
