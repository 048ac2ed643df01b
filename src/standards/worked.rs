//! Height and yarn of stitches relative to the single crochet: `data/worked.toml`.

use super::stitches::{Base, Form, Kind, Post};
use serde::{Deserialize, Deserializer};
use std::sync::LazyLock;

#[derive(Deserialize)]
struct Row {
    #[serde(deserialize_with = "named")]
    stitch: Option<Base>,
    ratio: f64,
}

fn named<'d, D: Deserializer<'d>>(from: D) -> Result<Option<Base>, D::Error> {
    String::deserialize(from).map(|name| super::stitches::of_table(&name))
}

/// A published figure with its source.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
pub struct Figure {
    /// The figure; its unit stands in the table.
    pub value: f64,
    /// Where it is from.
    pub source: String,
    /// Whether it was seen there.
    pub seen: bool,
}

/// Lengths of yarn that are no stitches.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
pub struct Lengths {
    /// Yarn in a single crochet as a multiple of the stitch's width.
    pub sc_row: Figure,
    /// A tail left at a start or an end, in millimetres.
    pub tail: Figure,
    /// Yarn for a sewn seam as a multiple of its length.
    pub sewn_seam: Figure,
    /// Density of yarn packed in a pompom's hole, in grams per cubic centimetre.
    pub packed: Figure,
}

/// Shares added, and how far figures may be off, in per cent.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
pub struct Margins {
    /// What to add where the design says nothing.
    pub usual: Figure,
    /// Off by at most this when a finished sample was weighed.
    pub weighed_sample: Figure,
    /// Off by at most this when a swatch was weighed.
    pub weighed_swatch: Figure,
    /// Off by at most this when nothing was weighed.
    pub no_swatch: Figure,
}

/// How large to cut for a pompom.
#[derive(Clone, Debug, Default, Deserialize, PartialEq)]
pub struct Pompom {
    /// What a card ring has over the trimmed pompom, in millimetres.
    pub trim: Figure,
    /// The ring's hole as a share of the ring.
    pub hole: Figure,
    /// Share of a cut fur circle's diameter that the gathered pompom keeps, pile apart.
    pub fur: Figure,
    /// How far inside the cut edge fur is gathered, in millimetres.
    pub gather: Figure,
}

#[derive(Default, Deserialize)]
struct Table {
    height: Vec<Row>,
    yarn: Vec<Row>,
    foundation: Vec<Row>,
    lengths: Lengths,
    margins: Margins,
    pompom: Pompom,
}

static TABLE: LazyLock<Table> =
    LazyLock::new(|| toml::from_str(include_str!("data/worked.toml")).unwrap_or_default());

/// Lengths of yarn that are no stitches.
pub fn lengths() -> &'static Lengths {
    &TABLE.lengths
}

/// Shares added, and how far figures may be off.
pub fn margins() -> &'static Margins {
    &TABLE.margins
}

/// How large to cut for a pompom.
pub fn pompom() -> &'static Pompom {
    &TABLE.pompom
}

/// Height of a stitch as a multiple of a single crochet's.
///
/// Textures stand as high as the double crochets they are made of. An extended stitch is
/// half a single crochet taller. A stitch of the design's own counts as a double crochet.
pub fn height(kind: Kind) -> f64 {
    let base = match kind.base {
        Base::Cluster | Base::Puff | Base::Bobble | Base::Popcorn | Base::Special(_) => Base::Dc,
        Base::Picot => Base::Sc,
        other => other,
    };
    let extended = if kind.form == Form::Extended { 0.5 } else { 0.0 };
    find(&TABLE.height, base).unwrap_or(1.0) + extended
}

/// Yarn in a stitch as a multiple of what a single crochet takes.
///
/// Several drawn together take one stitch each; a post stitch goes round the post and
/// takes a tenth more, a spike stitch half as much again (both from memory). A stitch of
/// the design's own counts as two double crochets.
pub fn yarn(kind: Kind) -> f64 {
    let plain = match kind.base {
        Base::Special(_) => 2.0 * find(&TABLE.yarn, Base::Dc).unwrap_or(2.0),
        base => find(&TABLE.yarn, base).unwrap_or(1.0),
    };
    let one = match kind.form {
        Form::Plain | Form::Reverse => plain,
        Form::Extended => plain + find(&TABLE.yarn, Base::Ch).unwrap_or(0.5),
        Form::Spike => 1.5 * plain,
        Form::Foundation => find(&TABLE.foundation, kind.base).unwrap_or(plain + 0.5),
    };
    let round_post = if kind.post == Post::No { 1.0 } else { 1.1 };
    one * round_post * f64::from(kind.bases())
}

/// Whether the figure for this stitch is measured, not taken from memory.
pub fn yarn_is_measured(kind: Kind) -> bool {
    matches!(kind.base, Base::Ch | Base::Sc | Base::Hdc | Base::Dc)
        && kind.post == Post::No
        && matches!(kind.form, Form::Plain | Form::Foundation)
}

fn find(rows: &[Row], base: Base) -> Option<f64> {
    rows.iter().find(|r| r.stitch == Some(base)).map(|r| r.ratio)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_read_and_has_every_basic_stitch() {
        assert!(lengths().sc_row.value > 0.0 && margins().usual.value > 0.0);
        assert!(pompom().trim.value > 0.0 && pompom().gather.value > 0.0);
        for kind in super::super::stitches::basics() {
            assert!(find(&TABLE.yarn, kind.base).is_some(), "{kind:?}");
            assert!(height(kind) > 0.0);
        }
    }

    #[test]
    fn taller_stitches_are_taller_and_take_more() {
        let order = [Base::Sc, Base::Hdc, Base::Dc, Base::Tr, Base::Dtr, Base::Trtr];
        for pair in order.windows(2) {
            let (a, b) = (Kind::plain(pair[0]), Kind::plain(pair[1]));
            assert!(height(a) < height(b) && yarn(a) < yarn(b), "{a:?} {b:?}");
        }
        assert_eq!(yarn(Kind::SC.tog(2)), 2.0);
    }
}
