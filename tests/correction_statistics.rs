//! The testers' statistics against Python's own, and against simulated testers.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use brimwright::correction::stats::{self, MAD_TO_SIGMA};
use serde_json::Value;

fn numbers(v: &Value) -> Vec<f64> {
    v.as_array().into_iter().flatten().filter_map(Value::as_f64).collect()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * (1.0 + b.abs())
}

/// Expected values: `tests/correction/statistics.json`, written by `reference.py` beside it
/// with Python's standard library.
#[test]
fn agrees_with_the_reference() {
    let book: Value = serde_json::from_str(include_str!("correction/statistics.json")).unwrap();
    assert!(near(MAD_TO_SIGMA, book["mad_to_sigma"].as_f64().unwrap()));
    let cases = book["cases"].as_array().unwrap();
    assert!(cases.len() > 40, "the data file is thin: {}", cases.len());
    for case in cases {
        let values = numbers(&case["values"]);
        let n = values.len();
        assert!(near(stats::median(&values).unwrap(), case["median"].as_f64().unwrap()), "{n}");
        let mad = stats::mad(&values).unwrap();
        assert!(near(mad, case["mad"].as_f64().unwrap()), "{n}");
        assert!(near(mad * MAD_TO_SIGMA, case["spread"].as_f64().unwrap()), "{n}");
        let (low, high, sure) = stats::median_interval(&values).unwrap();
        let want = numbers(&case["interval"]);
        assert!(
            near(low, want[0]) && near(high, want[1]) && near(sure, want[2]),
            "{n} values: [{low}, {high}] at {sure}, not {want:?}"
        );
        // Iglewicz & Hoaglin's rule (from memory) on the reference's scores.
        let beyond = |v: &Value| v.as_f64().is_some_and(|s| s.abs() > 3.5);
        let scores = case["scores"].as_array().unwrap();
        let want: Vec<usize> = (0..n).filter(|i| n >= 3 && beyond(&scores[*i])).collect();
        let got: Vec<usize> = stats::apart(&values, 0.0).iter().map(|a| a.index).collect();
        assert_eq!(got, want, "{values:?}");
    }
}

#[test]
fn nothing_and_one_are_no_sample() {
    assert_eq!(stats::summary(&[], 0.0), None);
    let one = stats::summary(&[14.0], 0.0).unwrap();
    assert_eq!((one.median, one.kept, one.confidence), (14.0, 1, 0.0));
    let two = stats::summary(&[14.0, 40.0], 0.0).unwrap();
    assert!(two.apart.is_empty(), "of two, neither stands apart");
}

/// The stated interval is Student's of the values, or, where they agree too closely to be
/// believed, of the spread that is said with it. By hand, with 4.303 (two degrees of freedom)
/// and 2.776 (four) of any table of t.
#[test]
fn what_student_takes_for_granted_is_told() {
    let of = |values: &[f64]| stats::summary(values, 0.35).unwrap();
    // A spread of its own: 0.5, and 4.303 x 0.5 / 1.732 = 1.242.
    let apart = of(&[14.0, 14.5, 15.0]);
    assert_eq!((apart.taken, apart.ranged, apart.reading), (None, false, 0.0));
    assert!((apart.interval.0 - 13.258).abs() < 1e-3 && (apart.interval.1 - 15.742).abs() < 1e-3);
    // None at all: 4.303 x 0.35 / 1.732 = 0.869.
    let alike = of(&[14.0, 14.0, 14.0]);
    assert_eq!((alike.taken, alike.ranged, alike.spread), (Some(0.35), false, 0.0));
    assert!((alike.interval.0 - 13.131).abs() < 1e-3 && (alike.interval.1 - 14.869).abs() < 1e-3);
    // 1.2 and 2.776 x 0.447 / 2.236 = 0.555 end below the largest value.
    let far = stats::summary(&[1.0, 1.0, 1.0, 1.0, 2.0], 0.4).unwrap();
    assert_eq!((far.ranged, far.taken, far.interval.1), (true, None, 2.0));
    // With six the ranks suffice, and nothing is taken for granted.
    let ranks = of(&[14.0; 6]);
    assert_eq!((ranks.taken, ranks.ranged, ranks.interval), (None, false, (14.0, 14.0)));
}

/// A small generator with a fixed seed (SplitMix64, Steele, Lea and Flood 2014, from
/// memory), so that the simulation is the same everywhere and needs no crate.
struct Dice(u64);

impl Dice {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }
    /// Normal by Box and Muller.
    fn normal(&mut self, mean: f64, sigma: f64) -> f64 {
        let (u, v) = (self.unit().max(1e-300), self.unit());
        mean + sigma * (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
    }
}

/// The factors for three to five testers against the closed forms of Student's
/// distribution with 2, 3 and 4 degrees of freedom (from memory; each is the integral of
/// the density, which a reader can differentiate).
#[test]
fn student_factors_are_the_quantiles() {
    use std::f64::consts::PI;
    for (n, t) in stats::STUDENT {
        let below = match n {
            3 => 0.5 + t / (2.0 * (2.0 + t * t).sqrt()),
            4 => {
                let x = t / 3.0_f64.sqrt();
                0.5 + (x / (1.0 + x * x) + x.atan()) / PI
            }
            5 => {
                let y = t * t / 4.0;
                0.5 + 0.375 * t / (1.0 + y).sqrt() * (1.0 - y / (3.0 * (1.0 + y)))
            }
            _ => panic!("{n}"),
        };
        assert!((below - 0.975).abs() < 1e-9, "{n}: {below}");
    }
}

/// Testers hold the designer's 14 sts 4 % tighter, 3 % apart from each other; a careless
/// few count over the wrong length (a fifth too many or few). The truth must lie within the
/// stated interval as often as stated, and each careless tester must be named.
#[test]
fn simulated_testers() {
    simulated(false);
}

/// The same where everybody counts to the half stitch, as people do: by way of the cards,
/// whose stated interval allows for it.
#[test]
fn simulated_testers_who_count_to_the_half_stitch() {
    simulated(true);
}

fn simulated(to_the_half: bool) {
    let truth = 14.0 * 1.04;
    let floor = truth * 0.025;
    let reading = if to_the_half { 0.25 } else { 0.0 };
    for (careful, careless) in [
        (3, 0),
        (4, 0),
        (5, 0),
        (6, 0),
        (4, 1),
        (5, 1),
        (6, 1),
        (7, 1),
        (9, 2),
        (12, 2),
        (30, 4),
        (95, 5),
    ] {
        let mut dice = Dice(0x0b0b_b1e5 + careful as u64 * 1000 + careless as u64);
        let (mut inside, mut named, mut slandered, mut stated) = (0, 0, 0, 0.0);
        let runs = 2000_i32;
        for _ in 0..runs {
            let mut sts: Vec<f64> =
                (0..careful).map(|_| dice.normal(truth, 0.03 * truth)).collect();
            for i in 0..careless {
                let wrong = if i % 2 == 0 { 1.25 } else { 0.75 };
                sts.push(dice.normal(truth * wrong, 0.03 * truth));
            }
            if to_the_half {
                sts.iter_mut().for_each(|s| *s = (*s * 2.0).round() / 2.0);
            }
            let s = stats::summary(&sts, floor).unwrap();
            stated += s.confidence;
            inside +=
                usize::from(s.interval.0 - reading <= truth && truth <= s.interval.1 + reading);
            named += s.apart.iter().filter(|a| a.index as i32 >= careful).count();
            slandered += s.apart.iter().filter(|a| (a.index as i32) < careful).count();
        }
        let share = inside as f64 / f64::from(runs);
        let found = named as f64 / f64::from(runs * careless.max(1));
        let wronged = slandered as f64 / f64::from(runs * careful);
        let stated = stated / f64::from(runs);
        println!(
            "{careful}+{careless}: stated {stated:.3}, inside {share:.3}, careless named \
             {found:.3}, careful named {wronged:.4}"
        );
        // Three standard errors of a share of 2000 runs.
        let noise = 3.0 * (stated * (1.0 - stated) / f64::from(runs)).sqrt();
        assert!(share >= stated - noise, "{careful}+{careless}: {share} inside, {stated} stated");
        assert!(share >= 0.95, "{careful}+{careless}: inside {share}");
        // One among four who count to the half stitch is named 887 times in 1000; from five on
        // at least nine in ten are.
        assert!(careless == 0 || found >= if careful < 5 { 0.85 } else { 0.9 }, "named {found}");
        assert!(wronged <= 0.02, "{careful}+{careless}: wronged {wronged}");
    }
}
