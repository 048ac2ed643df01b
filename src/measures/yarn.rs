//! Yarn: every stitch weighed by its kind, put to scale by what was weighed.
//!
//! One stitch is worth its published ratio to a single crochet. What a unit of that weighs
//! comes, best first, from a finished sample, from a swatch of the gauge, from a swatch of
//! another gauge scaled to the stitch, or from the yarn's length and the stitch's width.
//! Not every stitch is fabric: chains, joins, seams, tails, the gathered end and the pompom
//! are counted besides.

use super::course::{self, OwnHeight, pieces_of, whole};
use super::{GaugeOf, Hat, PieceOf, PompomOf, SizeMeasures, SizeOf, YarnOf};
use crate::fabric::{Course, Fabric};
use crate::standards::worked;
use std::f64::consts::PI;
use std::ops::Range;

/// What a figure rests on, best first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Basis {
    /// A finished sample was weighed.
    Sample,
    /// A swatch of each gauge was weighed.
    Swatch,
    /// Some gauge had no swatch of its own.
    #[default]
    Rough,
}

impl Basis {
    /// How far the figure may be off either way, as a share.
    pub fn off(self) -> f64 {
        let margins = worked::margins();
        let figure = match self {
            Basis::Sample => &margins.weighed_sample,
            Basis::Swatch => &margins.weighed_swatch,
            Basis::Rough => &margins.no_swatch,
        };
        figure.value / 100.0
    }
}

/// What one size takes of one yarn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct YarnUse {
    /// The yarn: a place in [`Hat::yarns`].
    pub yarn: usize,
    /// Mass in g, no margin added.
    pub mass: f64,
    /// Length in m; none when the ball's length is not given.
    pub length: Option<f64>,
    /// Of the mass, the pompom, in g.
    pub pompom: f64,
    /// What it rests on.
    pub basis: Basis,
    /// Whole balls with the margin added; none when the ball's mass is not given.
    pub balls: Option<u32>,
    /// The margin added, as a share.
    pub margin: f64,
}

impl YarnUse {
    /// Least and most mass in g, by what the figure rests on.
    pub fn range(&self) -> (f64, f64) {
        (self.mass * (1.0 - self.basis.off()), self.mass * (1.0 + self.basis.off()))
    }

    /// Length in yards.
    pub fn yards(&self) -> Option<f64> {
        self.length.map(|m| m / 0.9144)
    }
}

/// What is used and left over after a piece.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stage {
    /// The piece: a place in [`SizeOf::pieces`]; one past the last for the pompom.
    pub piece: usize,
    /// What this stage takes, in g by yarn.
    pub takes: Vec<f64>,
    /// What must be left after it to finish, in g by yarn, margin added.
    pub left: Vec<f64>,
}

/// A promise to stay within so many balls, over all sizes.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Promise {
    /// The yarn.
    pub yarn: usize,
    /// Balls promised.
    pub balls: f64,
    /// For each size: what is spare of the promised balls, in g; negative when short.
    pub spare: Vec<f64>,
    /// For each size: how many more rounds like its last plain one the spare would work.
    pub rounds: Vec<u32>,
}

/// Fills the yarn of all sizes and answers the promises.
pub(super) fn measure(hat: &Hat, own: &[OwnHeight], sizes: &mut [SizeMeasures]) -> Vec<Promise> {
    let girths: Vec<f64> = sizes.iter().map(|s| s.silhouette.widest).collect();
    let scale = Scale::of(hat, own, &girths);
    for (size, out) in hat.sizes.iter().zip(sizes.iter_mut()) {
        let tails = out.silhouette.widest;
        let stages = stages(hat, &scale, size, tails);
        out.yarn = totals(hat, &scale, &stages, size);
        out.stages = with_left(hat, stages);
    }
    promises(hat, &scale, sizes)
}

/// Grams to a unit, by gauge, and a factor by yarn from the weighed sample.
struct Scale {
    /// Grams a single crochet takes at each gauge.
    unit: Vec<f64>,
    /// What each gauge's unit rests on.
    basis: Vec<Basis>,
    /// Weighed against computed for the sample's size, by yarn; 1 where nothing was weighed.
    factor: Vec<f64>,
    /// Yarns a sample was weighed for.
    weighed: Vec<bool>,
}

impl Scale {
    fn of(hat: &Hat, own: &[OwnHeight], girths: &[f64]) -> Scale {
        let from_swatch: Vec<Option<f64>> =
            (0..hat.gauges.len()).map(|g| swatch_unit(hat, own, g)).collect();
        let known: Vec<(usize, f64)> =
            from_swatch.iter().enumerate().filter_map(|(i, u)| u.map(|u| (i, u))).collect();
        let (mut unit, mut basis) = (Vec::new(), Vec::new());
        for (i, gauge) in hat.gauges.iter().enumerate() {
            let borrowed = || {
                let (from, u) = known.first()?;
                hat.gauges.get(*from).map(|other| u * size_ratio(gauge, other))
            };
            let found = from_swatch.get(i).copied().flatten();
            basis.push(if found.is_some() { Basis::Swatch } else { Basis::Rough });
            unit.push(found.or_else(borrowed).unwrap_or_else(|| published_unit(hat, i)));
        }
        let blank = vec![1.0; hat.yarns.len()];
        let weighed = vec![false; hat.yarns.len()];
        let mut scale = Scale { unit, basis, factor: blank, weighed };
        scale.calibrate(hat, girths);
        scale
    }

    fn calibrate(&mut self, hat: &Hat, girths: &[f64]) {
        let Some(sample) = &hat.sample else { return };
        let Some(size) = hat.sizes.get(sample.size) else { return };
        let girth = girths.get(sample.size).copied().unwrap_or(0.0);
        let worked = stages(hat, self, size, girth);
        for (yarn, mass) in &sample.mass {
            let computed: f64 = worked.iter().filter_map(|s| s.takes.get(*yarn)).sum();
            let (Some(factor), Some(weighed)) =
                (self.factor.get_mut(*yarn), self.weighed.get_mut(*yarn))
            else {
                continue;
            };
            if computed > 0.0 && *mass > 0.0 {
                *factor = mass / computed;
                *weighed = true;
            }
        }
    }
}

/// Grams to a unit from a gauge's own swatch: its mass by area, times the area that a unit
/// covers in the fabric itself, foundations left out as a swatch has next to none.
fn swatch_unit(hat: &Hat, own: &[OwnHeight], gauge: usize) -> Option<f64> {
    let g = hat.gauges.get(gauge)?;
    let own = own.get(gauge)?;
    let swatch = g.swatch.filter(|s| s.width > 0.0 && s.height > 0.0 && s.mass > 0.0)?;
    let (mut area, mut units) = (0.0, 0.0);
    for piece in pieces_of(hat, gauge) {
        let widths = course::widths(piece.fabric);
        for (course, wide) in piece.fabric.courses.iter().zip(&widths) {
            if !course::is_fabric(piece.fabric, course) {
                continue;
            }
            let wide = wide * g.stitch;
            area += wide * course::height_mm(piece.fabric, course, g, *own);
            units += weight(piece.fabric, &course.stitches);
        }
    }
    let by_area = swatch.mass / (swatch.width * swatch.height);
    (units > 0.0).then(|| by_area * area / units)
}

/// How much more yarn a unit takes at one gauge than at another: as the stitch's size.
fn size_ratio(gauge: &GaugeOf, other: &GaugeOf) -> f64 {
    let size = |g: &GaugeOf| (g.stitch * g.row).max(1e-6).sqrt();
    size(gauge) / size(other)
}

/// Grams to a unit where nothing was weighed: a published length of yarn for each width of
/// a single crochet, times the yarn's mass by length. Without a ball's length, 2 m to the
/// gram (from memory, a worsted yarn).
fn published_unit(hat: &Hat, gauge: usize) -> f64 {
    let Some(g) = hat.gauges.get(gauge) else { return 0.0 };
    let yarn = pieces_of(hat, gauge).next().and_then(|p| hat.yarns.get(p.yarn));
    let metres_to_gram = yarn.and_then(metres_to_gram).unwrap_or(2.0);
    worked::lengths().sc_row.value * g.stitch / 1000.0 / metres_to_gram
}

fn metres_to_gram(yarn: &YarnOf) -> Option<f64> {
    match (yarn.ball_length, yarn.ball_mass) {
        (Some(length), Some(mass)) if length > 0.0 && mass > 0.0 => Some(length / mass),
        _ => None,
    }
}

/// Yarn of a run of stitches, in single crochets.
pub(super) fn weight(fabric: &Fabric, stitches: &Range<u32>) -> f64 {
    let range = stitches.start as usize..stitches.end as usize;
    fabric.stitches.get(range).unwrap_or(&[]).iter().map(|s| worked::yarn(s.kind)).sum()
}

/// What each piece and the pompom take of each yarn, sample factor included.
fn stages(hat: &Hat, scale: &Scale, size: &SizeOf, girth: f64) -> Vec<Stage> {
    let mut out = Vec::new();
    for (at, piece) in size.pieces.iter().enumerate() {
        let mut takes = vec![0.0; hat.yarns.len()];
        piece_mass(hat, scale, piece, girth, &mut takes);
        out.push(Stage { piece: at, takes, left: Vec::new() });
    }
    if let Some(pompom) = &size.pompom {
        let mut takes = vec![0.0; hat.yarns.len()];
        let mass = pompom_mass(hat, pompom);
        add(&mut takes, pompom.yarn, mass, scale);
        out.push(Stage { piece: size.pieces.len(), takes, left: Vec::new() });
    }
    out
}

fn add(takes: &mut [f64], yarn: usize, mass: f64, scale: &Scale) {
    let factor = scale.factor.get(yarn).copied().unwrap_or(1.0);
    takes.iter_mut().skip(yarn).take(1).for_each(|t| *t += mass * factor);
}

fn piece_mass(hat: &Hat, scale: &Scale, piece: &PieceOf, girth: f64, takes: &mut [f64]) {
    let unit = scale.unit.get(piece.gauge).copied().unwrap_or(0.0);
    let make = f64::from(piece.make.max(1));
    let yarns: Vec<usize> = colour_yarns(hat, piece);
    for stitch in &piece.fabric.stitches {
        let yarn = yarns.get(usize::from(stitch.colour)).copied().unwrap_or(piece.yarn);
        add(takes, yarn, worked::yarn(stitch.kind) * unit * make, scale);
    }
    let grams = |yarn: usize, mm: f64| {
        let to_gram = hat.yarns.get(yarn).and_then(metres_to_gram).unwrap_or(2.0);
        mm / 1000.0 / to_gram
    };
    add(takes, piece.yarn, grams(piece.yarn, loose_ends(hat, piece, girth)) * make, scale);
}

/// The yarn of each of a fabric's colours.
fn colour_yarns(hat: &Hat, piece: &PieceOf) -> Vec<usize> {
    let named = |name: &String| hat.yarns.iter().position(|y| y.name.eq_ignore_ascii_case(name));
    piece.fabric.colours.iter().map(|c| named(c).unwrap_or(piece.yarn)).collect()
}

/// Yarn in mm that is no stitch: two tails for each length of yarn, sewn seams, and the end
/// that draws a gathered top together and is sewn down.
fn loose_ends(hat: &Hat, piece: &PieceOf, girth: f64) -> f64 {
    let lengths = worked::lengths();
    let fabric = piece.fabric;
    let strands = f64::from(fabric.fasten_offs.max(1)).max(whole(used_colours(fabric)));
    let sewn = fabric.seams.iter().filter(|s| s.stitches == 0).count();
    let width = hat.gauges.get(piece.gauge).map_or(0.0, |g| {
        let wide = fabric.courses.iter().map(|c| f64::from(c.count)).fold(0.0, f64::max);
        wide * g.stitch
    });
    let gathers = fabric.courses.iter().filter(|c| c.gathered).count();
    2.0 * strands * lengths.tail.value
        + whole(sewn) * lengths.sewn_seam.value * width
        + whole(gathers) * (girth + lengths.tail.value)
}

fn used_colours(fabric: &Fabric) -> usize {
    let mut used: Vec<u8> = fabric.stitches.iter().map(|s| s.colour).collect();
    used.sort_unstable();
    used.dedup();
    used.len()
}

/// Mass of a wound pompom before trimming: the ring wrapped until its hole is full. Each
/// wrap goes round the ring's two cards; the hole holds so much yarn as its density says;
/// later layers are a fifth longer.
fn pompom_mass(hat: &Hat, pompom: &PompomOf) -> f64 {
    const CARDS: f64 = 3.0;
    const GROWTH: f64 = 1.2;
    let band = (pompom.ring - pompom.hole).max(0.0) + CARDS;
    let to_gram = hat.yarns.get(pompom.yarn).and_then(metres_to_gram).unwrap_or(2.0);
    let strand = 1.0 / to_gram / worked::lengths().packed.value;
    let wraps = FILLED * PI / 4.0 * pompom.hole.powi(2) / strand;
    wraps * band * GROWTH / 1000.0 / to_gram
}

/// Share of the hole that round strands fill.
const FILLED: f64 = 0.75;

fn totals(hat: &Hat, scale: &Scale, stages: &[Stage], size: &SizeOf) -> Vec<YarnUse> {
    let mut out = Vec::new();
    for (yarn, of) in hat.yarns.iter().enumerate() {
        let mass: f64 = stages.iter().filter_map(|s| s.takes.get(yarn)).sum::<f64>() + 0.0;
        let wound = stages.iter().filter(|s| s.piece == size.pieces.len());
        // An empty sum is minus zero.
        let pompom = wound.filter_map(|s| s.takes.get(yarn)).sum::<f64>() + 0.0;
        let margin = of.margin.unwrap_or(worked::margins().usual.value / 100.0);
        let balls = of.ball_mass.filter(|b| *b > 0.0).map(|b| balls(mass * (1.0 + margin) / b));
        out.push(YarnUse {
            yarn,
            mass,
            length: metres_to_gram(of).map(|m| m * mass),
            pompom,
            basis: basis(hat, scale, yarn),
            balls,
            margin,
        });
    }
    out
}

/// Whole balls; a hair over a whole number is that number.
fn balls(exact: f64) -> u32 {
    let up = (exact - 1e-6).ceil().clamp(0.0, 1e6);
    up as u32
}

fn basis(hat: &Hat, scale: &Scale, yarn: usize) -> Basis {
    if scale.weighed.get(yarn).copied().unwrap_or(false) {
        return Basis::Sample;
    }
    let pieces = hat.sizes.iter().flat_map(|s| &s.pieces);
    let worst = pieces.filter_map(|p| scale.basis.get(p.gauge).copied()).max();
    worst.unwrap_or(Basis::Rough)
}

/// What must be left after each stage: all that follows, margin added.
fn with_left(hat: &Hat, mut stages: Vec<Stage>) -> Vec<Stage> {
    let usual = worked::margins().usual.value / 100.0;
    let margins: Vec<f64> = hat.yarns.iter().map(|y| 1.0 + y.margin.unwrap_or(usual)).collect();
    let mut after = vec![0.0; hat.yarns.len()];
    for stage in stages.iter_mut().rev() {
        stage.left = after.iter().zip(&margins).map(|(a, m)| a * m).collect();
        after.iter_mut().zip(&stage.takes).for_each(|(a, t)| *a += t);
    }
    stages
}

fn promises(hat: &Hat, scale: &Scale, sizes: &[SizeMeasures]) -> Vec<Promise> {
    let mut out = Vec::new();
    for (yarn, of) in hat.yarns.iter().enumerate() {
        let (Some(balls), Some(ball)) = (of.balls_to_use, of.ball_mass) else { continue };
        let took = |s: &SizeMeasures| s.yarn.get(yarn).map_or(0.0, |u| u.mass);
        let spare: Vec<f64> = sizes.iter().map(|s| balls * ball - took(s)).collect();
        let rounds = hat.sizes.iter().zip(&spare).map(|(size, spare)| {
            let margin = 1.0 + of.margin.unwrap_or(worked::margins().usual.value / 100.0);
            round_mass(scale, size, yarn).map_or(0, |m| (spare / margin / m).clamp(0.0, 1e4) as u32)
        });
        out.push(Promise { yarn, balls, rounds: rounds.collect(), spare });
    }
    out
}

/// Mass of a size's widest plain round or row: what "until the ball ends" would repeat.
fn round_mass(scale: &Scale, size: &SizeOf, yarn: usize) -> Option<f64> {
    let of_piece = size.pieces.iter().filter(|p| p.yarn == yarn).filter_map(|p| {
        let unit = scale.unit.get(p.gauge)? * scale.factor.get(yarn).copied().unwrap_or(1.0);
        let plain = |c: &&Course| course::is_fabric(p.fabric, c);
        let widest = p.fabric.courses.iter().filter(plain).max_by_key(|c| c.count)?;
        Some((widest.count, weight(p.fabric, &widest.stitches) * unit))
    });
    of_piece.max_by_key(|(count, _)| *count).map(|(_, mass)| mass).filter(|m| *m > 0.0)
}
