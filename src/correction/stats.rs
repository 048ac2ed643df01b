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

/// The confidence wanted of an interval. With fewer than six testers no interval that
/// assumes nothing about the errors can reach it: see [`STUDENT`].
pub const CONFIDENCE: f64 = 0.95;

/// How many standard errors either way of the mean hold the truth 95 times in 100, by how
/// many values there are, where errors are normal: Student's t at 0.975 with one degree of
/// freedom fewer than values. The numbers are those quantiles, derived, and stand so in any
/// table of t; a test holds them to the distribution's closed form.
pub const STUDENT: [(usize, f64); 3] = [(3, 4.302_652_730), (4, 3.182_446_305), (5, 2.776_445_105)];

/// What a set of measurements says.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Summary {
    /// The middle of the values kept.
    pub median: f64,
    /// The robust standard deviation of the values kept: scaled MAD.
    pub spread: f64,
    /// How many values were kept.
    pub kept: usize,
    /// The ranks' interval ([`median_interval`]): of few values the smallest and largest.
    /// What follows from the values is judged by this, so that three who all lie to one
    /// side of a figure can move it.
    pub agreed: (f64, f64),
    /// Lower and upper end within which the true middle lies, as stated to a person.
    pub interval: (f64, f64),
    /// How surely it does: 0.95 or better from three values on.
    pub confidence: f64,
    /// What the interval assumes.
    pub rests_on: RestsOn,
    /// The standard deviation the interval takes, where the values agree more closely than is
    /// believed: none where theirs is taken.
    pub taken: Option<f64>,
    /// Whether a value lies beyond Student's interval: then the smallest and largest are its
    /// ends.
    pub ranged: bool,
    /// What is added either way for the reading of one value.
    pub reading: f64,
    /// The values that stand apart: place in the list given, value, modified z-score.
    pub apart: Vec<Apart>,
}

/// What a stated interval assumes of how errors are spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum RestsOn {
    /// Nothing: it goes by ranks.
    Ranks,
    /// That they are normal: with three to five values ranks alone cannot reach 95 %. The
    /// standard deviation is never below what is believed ([`Summary::taken`]).
    Student,
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
    /// Whether `value` lies inside the stated interval.
    pub fn holds(&self, value: f64) -> bool {
        self.interval.0 <= value && value <= self.interval.1
    }

    /// Whether `value` lies inside the ranks' interval, or no farther from it than `off`.
    pub fn agrees(&self, value: f64, off: f64) -> bool {
        self.agreed.0 - off <= value && value <= self.agreed.1 + off
    }

    /// The same with the stated interval wider either way by what one value may be off in
    /// the reading alone.
    pub(super) fn widened(mut self, by: f64) -> Summary {
        self.interval = (self.interval.0 - by, self.interval.1 + by);
        self.reading += by;
        self
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

/// Sums values up. `floor` is the smallest spread believed: a few people who agree by chance
/// do not make the next one careless, nor themselves sure. None for no values.
pub fn summary(values: &[f64], floor: f64) -> Option<Summary> {
    let apart = apart(values, floor);
    let kept: Vec<f64> = values
        .iter()
        .enumerate()
        .filter(|(i, _)| !apart.iter().any(|a| a.index == *i))
        .map(|(_, v)| *v)
        .collect();
    let (low, high, sure) = median_interval(&kept)?;
    let stated = student(&kept, floor);
    let (interval, confidence, rests_on) = match stated {
        // Never narrower than what the ranks say without assuming anything.
        Some((a, b)) => ((a.min(low), b.max(high)), CONFIDENCE, RestsOn::Student),
        None => ((low, high), sure, RestsOn::Ranks),
    };
    let ranged = stated.is_some_and(|(a, b)| low < a || high > b);
    let taken = stated.and(deviation(&kept)).filter(|s| *s < floor).map(|_| floor);
    Some(Summary {
        median: median(&kept)?,
        spread: mad(&kept)? * MAD_TO_SIGMA,
        kept: kept.len(),
        agreed: (low, high),
        interval,
        confidence,
        rests_on,
        taken,
        ranged,
        reading: 0.0,
        apart,
    })
}

/// The interval of [`STUDENT`] where there are so few values, none otherwise. Values that
/// agree more closely than `floor` do so by chance, or because all were read to the same
/// half stitch: no smaller standard deviation is believed.
fn student(values: &[f64], floor: f64) -> Option<(f64, f64)> {
    let (_, factor) = STUDENT.iter().find(|(n, _)| *n == values.len())?;
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let half = factor * deviation(values)?.max(floor) / n.sqrt();
    Some((mean - half, mean + half))
}

/// The sample's standard deviation. None for fewer than two values.
fn deviation(values: &[f64]) -> Option<f64> {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
    (values.len() > 1).then(|| (squares / (n - 1.0)).sqrt())
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
