//! Robust statistics for a handful of testers: middle, spread, doubt, and who stands apart.
//!
//! A mean would follow one careless tester wherever she went; the median does not move
//! until half of the testers are careless.

use serde::Serialize;

/// Makes the median absolute deviation an estimate of the standard deviation where errors
/// are normal: 1 / Φ⁻¹(3/4). The number is that quantile's, derived, not a table's.
pub const MAD_TO_SIGMA: f64 = 1.482_602_218_505_602;

/// A modified z-score beyond this stands apart. From memory: Iglewicz & Hoaglin, "How to
/// Detect and Handle Outliers", ASQC 1993, who also give the 0.6745 in the score, which is
/// 1 / [`MAD_TO_SIGMA`].
pub const APART: f64 = 3.5;

/// The confidence wanted of an interval; with fewer than six testers no interval that
/// assumes nothing about the errors can reach it, and a lower one is stated instead.
pub const CONFIDENCE: f64 = 0.95;

/// What a set of measurements says.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Summary {
    /// The middle of the values kept.
    pub median: f64,
    /// The robust standard deviation of the values kept: scaled MAD.
    pub spread: f64,
    /// How many values were kept.
    pub kept: usize,
    /// Lower and upper end within which the true middle lies.
    pub interval: (f64, f64),
    /// How surely it does: 0.95 or better from six values on, else the share stated here.
    pub confidence: f64,
    /// The values that stand apart: place in the list given, value, modified z-score.
    pub apart: Vec<Apart>,
}

/// One value that stands apart from the others.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Apart {
    /// Its place in the list given.
    pub index: usize,
    /// The value.
    pub value: f64,
    /// Its modified z-score: how many robust standard deviations it lies from the median.
    pub score: f64,
}

impl Summary {
    /// Whether `value` lies inside the interval.
    pub fn holds(&self, value: f64) -> bool {
        self.interval.0 <= value && value <= self.interval.1
    }
}

/// The middle value, or the mean of the two middle ones. None for no values.
pub fn median(values: &[f64]) -> Option<f64> {
    let sorted = sorted(values);
    let n = sorted.len();
    let at = |i: usize| sorted.get(i).copied();
    match n {
        0 => None,
        n if n % 2 == 1 => at(n / 2),
        n => Some((at(n / 2 - 1)? + at(n / 2)?) / 2.0),
    }
}

/// The median absolute deviation from the median, unscaled. None for no values.
pub fn mad(values: &[f64]) -> Option<f64> {
    let middle = median(values)?;
    median(&values.iter().map(|v| (v - middle).abs()).collect::<Vec<_>>())
}

/// The interval for the true median that assumes nothing of how errors are spread: the
/// k-th smallest and k-th largest value, with the largest k whose binomial coverage is at
/// least [`CONFIDENCE`], or k = 1 (smallest and largest) where none is. Answers the ends
/// and the coverage. None for no values.
///
/// Source: the sign test turned round; coverage = 1 - 2 P(B < k) for B ~ Binomial(n, 1/2),
/// derived, not from a table.
pub fn median_interval(values: &[f64]) -> Option<(f64, f64, f64)> {
    let sorted = sorted(values);
    let n = sorted.len();
    let first = sorted.first()?;
    let last = sorted.last()?;
    let mut best = (*first, *last, coverage(n, 1));
    for k in 2..=n / 2 {
        let c = coverage(n, k);
        if c < CONFIDENCE {
            break;
        }
        if let (Some(low), Some(high)) = (sorted.get(k - 1), sorted.get(n - k)) {
            best = (*low, *high, c);
        }
    }
    Some(best)
}

/// 1 - 2 P(Binomial(n, 1/2) < k).
fn coverage(n: usize, k: usize) -> f64 {
    // A product of small factors, since 2^n overflows long before a hundred testers' does.
    let mut term = 0.5_f64.powi(i32::try_from(n).unwrap_or(i32::MAX));
    let mut below = 0.0;
    for i in 0..k {
        below += term;
        term *= (n - i) as f64 / (i + 1) as f64;
    }
    (1.0 - 2.0 * below).max(0.0)
}

/// Sums values up. `floor` is the smallest spread believed when judging who stands apart:
/// a few people who agree by chance do not make the next one careless. None for no values.
pub fn summary(values: &[f64], floor: f64) -> Option<Summary> {
    let apart = apart(values, floor);
    let kept: Vec<f64> = values
        .iter()
        .enumerate()
        .filter(|(i, _)| !apart.iter().any(|a| a.index == *i))
        .map(|(_, v)| *v)
        .collect();
    let (low, high, confidence) = median_interval(&kept)?;
    Some(Summary {
        median: median(&kept)?,
        spread: mad(&kept)? * MAD_TO_SIGMA,
        kept: kept.len(),
        interval: (low, high),
        confidence,
        apart,
    })
}

/// The values whose modified z-score passes [`APART`]. With fewer than three values there
/// is no majority to stand apart from, and none is named.
pub fn apart(values: &[f64], floor: f64) -> Vec<Apart> {
    let (Some(middle), Some(mad)) = (median(values), mad(values)) else { return Vec::new() };
    let spread = (mad * MAD_TO_SIGMA).max(floor);
    if values.len() < 3 || spread <= 0.0 {
        return Vec::new();
    }
    values
        .iter()
        .enumerate()
        .map(|(index, value)| Apart { index, value: *value, score: (value - middle) / spread })
        .filter(|a| a.score.abs() > APART)
        .collect()
}

fn sorted(values: &[f64]) -> Vec<f64> {
    let mut v: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
    v.sort_by(f64::total_cmp);
    v
}
