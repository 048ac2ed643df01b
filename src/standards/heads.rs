//! Head sizes: the published tables and the standard sizes built on them.
//!
//! Two trade tables exist. The older gives one figure a size and reads as finished hats
//! (its woman is 20 in, a girth that 0.2 % of measured women have); the newer gives ranges
//! but calls children one age band too small against WHO (its baby, 14–16 in, is smaller
//! than the median head at six months, 16.6–17.1 in). So children's bands here follow WHO
//! by age, adult bands follow measured adults (ANSUR II), and the trade lends the words.

use super::{Published, embedded, load};
use crate::quantity::Length;
use serde::Deserialize;
use std::sync::LazyLock;

/// One standard size: the heads it is for.
#[derive(Clone, Debug, PartialEq)]
pub struct StandardSize {
    /// The id used in a design file, such as `adult-m`.
    pub id: String,
    /// Other ids that mean the same.
    pub aliases: Vec<String>,
    /// The name printed for people, such as "Adult M".
    pub name: String,
    /// The smallest head it is for.
    pub min: Length,
    /// The largest head it is for.
    pub max: Length,
    /// The head it is graded for.
    pub head: Length,
    /// Age in months from and to, where it is a child's size.
    pub months: Option<(u32, u32)>,
    /// The ages in words, empty for an adult's size.
    pub ages: String,
    /// Which published figures the band rests on.
    pub basis: String,
}

/// One row of the WHO child growth standards, head circumference-for-age.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct WhoRow {
    /// "boys" or "girls".
    pub sex: String,
    /// Age in whole months.
    pub age_months: u32,
    /// Age in days, as the table is kept.
    pub age_days: u32,
    /// Box-Cox power.
    #[serde(rename = "L")]
    pub l: f64,
    /// Median in centimetres.
    pub median_cm: f64,
    /// Coefficient of variation.
    #[serde(rename = "S")]
    pub s: f64,
    /// 3rd percentile in centimetres, as printed.
    pub p3_cm: f64,
    /// 97th percentile in centimetres, as printed.
    pub p97_cm: f64,
    /// Two standard deviations below, in centimetres.
    pub minus2sd_cm: f64,
    /// Two standard deviations above, in centimetres.
    pub plus2sd_cm: f64,
}

impl WhoRow {
    /// The head girth so many standard deviations from the median (the LMS formula).
    pub fn at_z(&self, z: f64) -> Length {
        let m = self.median_cm;
        Length::cm(if self.l == 0.0 {
            m * (self.s * z).exp()
        } else {
            m * (1.0 + self.l * self.s * z).powf(1.0 / self.l)
        })
    }
}

/// One band of the trade's current table.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct TradeRange {
    /// The trade's word for the size.
    pub size: String,
    /// Smallest head in inches.
    pub min_in: f64,
    /// Largest head in inches.
    pub max_in: f64,
    /// Smallest head in centimetres, as printed.
    pub min_cm: f64,
    /// Largest head in centimetres, as printed.
    pub max_cm: f64,
}

/// One row of the trade's older table of single figures.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct TradeSingle {
    /// The trade's word for the size.
    pub size: String,
    /// The figure in inches.
    pub head_in: f64,
    /// The figure in centimetres, as printed.
    pub head_cm: f64,
}

/// Median head of a newborn by weeks of gestation.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct NewbornRow {
    /// Completed weeks of gestation.
    pub gestation_weeks: u32,
    /// "boys" or "girls".
    pub sex: String,
    /// Median in centimetres.
    pub median_cm: f64,
}

/// Measured adult heads of one sex, in millimetres.
#[derive(Clone, Debug, PartialEq, Deserialize)]
pub struct AdultRow {
    /// "male" or "female".
    pub sex: String,
    /// How many were measured.
    pub n: u32,
    /// Mean.
    pub mean_mm: f64,
    /// Sample standard deviation.
    pub sd_mm: f64,
    /// Smallest.
    pub min_mm: f64,
    /// Largest.
    pub max_mm: f64,
    /// 1st percentile.
    pub p1_mm: f64,
    /// 5th percentile.
    pub p5_mm: f64,
    /// 10th percentile.
    pub p10_mm: f64,
    /// 25th percentile.
    pub p25_mm: f64,
    /// Median.
    pub p50_mm: f64,
    /// 75th percentile.
    pub p75_mm: f64,
    /// 90th percentile.
    pub p90_mm: f64,
    /// 95th percentile.
    pub p95_mm: f64,
    /// 99th percentile.
    pub p99_mm: f64,
}

impl AdultRow {
    /// The share of these heads from `low` to `high`, by a straight line between the
    /// percentiles kept (a few parts in a hundred from the full data).
    pub fn share(&self, low: Length, high: Length) -> f64 {
        (self.below(high.to_mm()) - self.below(low.to_mm())).max(0.0)
    }

    fn below(&self, mm: f64) -> f64 {
        let points = [
            (self.min_mm, 0.0),
            (self.p1_mm, 0.01),
            (self.p5_mm, 0.05),
            (self.p10_mm, 0.10),
            (self.p25_mm, 0.25),
            (self.p50_mm, 0.50),
            (self.p75_mm, 0.75),
            (self.p90_mm, 0.90),
            (self.p95_mm, 0.95),
            (self.p99_mm, 0.99),
            (self.max_mm, 1.0),
        ];
        let mut share = 0.0;
        for pair in points.windows(2) {
            if let [(x0, y0), (x1, y1)] = pair
                && mm >= *x0
            {
                share = y0 + (y1 - y0) * ((mm - x0) / (x1 - x0)).min(1.0);
            }
        }
        share
    }
}

/// The published head tables.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
pub struct Heads {
    /// The trade's current ranges.
    pub trade_ranges: Published<TradeRange>,
    /// The trade's older single figures; kept to show the difference, not used.
    pub trade_single_older: Published<TradeSingle>,
    /// WHO by age.
    pub who: Published<WhoRow>,
    /// Newborns by weeks of gestation.
    pub newborn: Published<NewbornRow>,
    /// Measured adults.
    pub adult: Published<AdultRow>,
}

#[derive(Default, Deserialize)]
struct SizesFile {
    sizes: Published<SizeRow>,
    depth: DepthRule,
}

#[derive(Deserialize)]
struct SizeRow {
    id: String,
    name: String,
    #[serde(default)]
    aliases: Vec<String>,
    min_cm: f64,
    max_cm: f64,
    head_cm: f64,
    from_months: Option<u32>,
    to_months: Option<u32>,
    #[serde(default)]
    ages: String,
    basis: String,
}

/// How deep a hat is by rule.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
pub struct DepthRule {
    /// Where the rule is from.
    pub source: String,
    /// Whether it was seen there.
    pub seen: bool,
    /// Depth from the middle of the top to the base of the ear, as a share of the head.
    pub share_of_head: f64,
}

impl From<SizeRow> for StandardSize {
    fn from(row: SizeRow) -> Self {
        StandardSize {
            id: row.id,
            aliases: row.aliases,
            name: row.name,
            min: Length::cm(row.min_cm),
            max: Length::cm(row.max_cm),
            head: Length::cm(row.head_cm),
            months: row.from_months.zip(row.to_months),
            ages: row.ages,
            basis: row.basis,
        }
    }
}

static FILE: LazyLock<SizesFile> = LazyLock::new(|| load(embedded::SIZES));
static HEADS: LazyLock<Heads> = LazyLock::new(|| load(embedded::HEADS));
static SIZES: LazyLock<Vec<StandardSize>> = LazyLock::new(|| {
    let file: SizesFile = load(embedded::SIZES);
    file.sizes.rows.into_iter().map(StandardSize::from).collect()
});

/// The published head tables.
pub fn heads() -> &'static Heads {
    &HEADS
}

/// The standard sizes, smallest first.
pub fn sizes() -> &'static [StandardSize] {
    &SIZES
}

/// The standard size of this id or alias.
pub fn size(id: &str) -> Option<&'static StandardSize> {
    sizes().iter().find(|s| s.id == id || s.aliases.iter().any(|a| a == id))
}

/// The rule for a hat's depth.
pub fn depth_rule() -> &'static DepthRule {
    &FILE.depth
}

/// The customary depth of a hat without its turned-up cuff, for a head: 0.4 of its girth.
pub fn depth_for(head: Length) -> Length {
    head * FILE.depth.share_of_head
}
