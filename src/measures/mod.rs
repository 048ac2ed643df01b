//! Measures: worked fabrics, gauges and yarns come in; girth, depth, silhouette, crown
//! flatness and yarn by colour and stage go out, for each size.
//!
//! Everything is read off the fabrics: what was worked, not what was wished for. Lengths
//! are millimetres, masses grams, lengths of yarn metres, unless a name says otherwise.

pub mod course;
mod crown;
mod findings;
mod silhouette;
mod strips;
mod yarn;

use crate::diag::{Finding, Place};
use crate::fabric::Fabric;
use crate::standards::stitches::Kind;

pub use course::OwnHeight;
pub use crown::{Crown, CrownRound, flat_increase, flatness};
pub use findings::{BRIM_NARROWER, BRIM_WIDER};
pub use silhouette::{Band, Extra, PieceMeasure, Silhouette, Top};
pub use yarn::{Basis, Promise, Stage, YarnUse};

/// A gauge as measured on a swatch.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GaugeOf {
    /// Its name in the design.
    pub name: String,
    /// Width of a stitch.
    pub stitch: f64,
    /// Height of a row or round of the swatch's own stitch.
    pub row: f64,
    /// The swatch's own stitch; none to take what the pieces of this gauge mostly are.
    pub own: Option<Kind>,
    /// The swatch, if it was weighed.
    pub swatch: Option<Swatch>,
}

/// A weighed swatch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swatch {
    /// Width in mm.
    pub width: f64,
    /// Height in mm.
    pub height: f64,
    /// Mass in g.
    pub mass: f64,
}

/// A yarn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct YarnOf {
    /// Its name in the design: also a colour's name in the fabrics.
    pub name: String,
    /// Mass of a ball in g.
    pub ball_mass: Option<f64>,
    /// Length on a ball in m.
    pub ball_length: Option<f64>,
    /// How many balls the design promises to stay within.
    pub balls_to_use: Option<f64>,
    /// What to add for safety, as a share (0.1 is ten per cent); none for the usual share.
    pub margin: Option<f64>,
    /// Where the promise stands in the design, for findings.
    pub place: Option<Place>,
}

/// A finished sample that was weighed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SampleOf {
    /// Its size: a place in [`Hat::sizes`].
    pub size: usize,
    /// What it took of each yarn in g, by place in [`Hat::yarns`].
    pub mass: Vec<(usize, f64)>,
}

/// One piece as worked in one size.
#[derive(Clone, Copy, Debug)]
pub struct PieceOf<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its stitches.
    pub fabric: &'a Fabric,
    /// Its gauge: a place in [`Hat::gauges`].
    pub gauge: usize,
    /// Its yarn where a colour names none: a place in [`Hat::yarns`].
    pub yarn: usize,
    /// How many are made.
    pub make: u32,
    /// The piece it continues from: a place in [`SizeOf::pieces`].
    pub from: Option<usize>,
    /// How much of its depth is folded up on the outside, in mm; 0 for none.
    pub fold: f64,
    /// Whether it hangs outside the head, and so is no part of the hat's girth and depth.
    pub beyond: bool,
}

/// A wound pompom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PompomOf {
    /// Its yarn: a place in [`Hat::yarns`].
    pub yarn: usize,
    /// Diameter of the card ring in mm.
    pub ring: f64,
    /// Diameter of its hole in mm.
    pub hole: f64,
}

/// One size as worked.
#[derive(Clone, Debug, Default)]
pub struct SizeOf<'a> {
    /// The size's id, as findings name it.
    pub id: &'a str,
    /// Its pieces in working order.
    pub pieces: Vec<PieceOf<'a>>,
    /// Its pompom, if wound from yarn.
    pub pompom: Option<PompomOf>,
}

/// All sizes of one design as worked.
#[derive(Clone, Debug, Default)]
pub struct Hat<'a> {
    /// The gauges.
    pub gauges: Vec<GaugeOf>,
    /// The yarns.
    pub yarns: Vec<YarnOf>,
    /// A weighed sample, if there is one.
    pub sample: Option<SampleOf>,
    /// The sizes, in the design's order.
    pub sizes: Vec<SizeOf<'a>>,
}

/// What was measured.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measured {
    /// The sizes, in the same order.
    pub sizes: Vec<SizeMeasures>,
    /// The height of each gauge's own stitch, and how it was found.
    pub own: Vec<OwnHeight>,
    /// Promises of balls: kept or not, in the yarns' order.
    pub promises: Vec<Promise>,
    /// What is wrong or worth knowing.
    pub findings: Vec<Finding>,
}

/// What was measured of one size.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SizeMeasures {
    /// The size's id.
    pub id: String,
    /// Girth, depth and shape.
    pub silhouette: Silhouette,
    /// The crown, where it is worked round by round from or to a closed top.
    pub crown: Option<Crown>,
    /// Yarn by yarn, in the yarns' order.
    pub yarn: Vec<YarnUse>,
    /// What is used and what must be left after each piece, in working order.
    pub stages: Vec<Stage>,
}

/// Measures all sizes of a design.
pub fn measure(hat: &Hat) -> Measured {
    let own = course::own_heights(hat);
    let mut sizes: Vec<SizeMeasures> =
        hat.sizes.iter().map(|size| shape_of(hat, &own, size)).collect();
    let promises = yarn::measure(hat, &own, &mut sizes);
    let findings = findings::all(hat, &sizes, &promises);
    Measured { sizes, own, promises, findings }
}

fn shape_of(hat: &Hat, own: &[OwnHeight], size: &SizeOf) -> SizeMeasures {
    let strips = strips::of(size);
    let silhouette = silhouette::of(hat, own, size, &strips);
    let crown = crown::of(hat, own, size, &strips);
    SizeMeasures { id: size.id.to_owned(), silhouette, crown, ..SizeMeasures::default() }
}
