//! Whether a hat will sit, told with the numbers.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod sound;

use brimwright::design::Design;
use brimwright::grading::{fit, grade};
use brimwright::quantity::Length;
use sound::{SAMPLE, design};

/// The one gauge of a design.
fn gauge(sts: f64, rows: f64, over: &str) -> brimwright::design::Gauge {
    let mut changed = design(SAMPLE).gauge("body").unwrap().clone();
    changed.sts.value = sts;
    changed.rows.value = rows;
    changed.over.value = Length::parse(over).unwrap();
    changed
}

/// Worked example "flat-number": gauges of published swatches, 2 pi h / w by geometry. The
/// chart worked from heights over widths printed to three places.
#[test]
fn flat_circles_grow_by_the_gauge() {
    let chart = include_str!("facts/flat_increases.csv");
    let mut reader = csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(chart.as_bytes());
    let mut seen = 0;
    for row in reader.records().map(Result::unwrap) {
        let n = |i: usize| row[i].parse::<f64>().unwrap();
        let flat = fit::flat_increases(&gauge(n(1), n(2), "4 in"));
        assert!((flat - n(3)).abs() < 0.011, "{row:?}: {flat}");
        seen += 1;
    }
    assert_eq!(seen, 7);
}

fn codes(made: &[fit::Made], design: &Design) -> Vec<&'static str> {
    fit::check(design, made).iter().map(|f| f.code).collect()
}

#[test]
fn a_sound_hat_has_no_caution() {
    let design = design(SAMPLE);
    let (graded, _) = grade(&design);
    let made: Vec<fit::Made> = graded.sizes.iter().map(fit::Made::from).collect();
    assert_eq!(codes(&made, &design), Vec::<&str>::new());
}

#[test]
fn fit_is_told_with_the_numbers() {
    let with_style = SAMPLE.replace("ease = \"-8 %\"", "ease = \"-8 %\"\nfabric = \"beanie\"");
    let design = design(&with_style);
    let (graded, _) = grade(&design);
    let sound: Vec<fit::Made> = graded.sizes.iter().map(fit::Made::from).collect();
    assert_eq!(codes(&sound, &design), Vec::<&str>::new());

    // A beanie is 1 to 3 in smaller than a 22 in head (motherhoodday.com): 13.6 to 4.5 %.
    // As wide as the head is too wide, 20 % smaller too tight.
    let mut made = sound.clone();
    made[3].girth = made[3].head;
    let told = fit::check(&design, &made);
    assert_eq!(
        told.iter().map(|f| f.code).collect::<Vec<_>>(),
        ["ease-outside", "girth-off", "not-ascending"]
    );
    assert_eq!(
        told[0].message,
        "Adult M is 56.5 cm round on a head of 56.5 cm (0 %); a fitted beanie is usually \
         −13.6 % to −4.5 %, here 49 cm to 54 cm"
    );

    let mut made = sound.clone();
    made[1].depth = Length::cm(11.0);
    made[1].cuff = Some(Length::cm(12.0));
    assert_eq!(codes(&made, &design), ["depth-off", "depth-short", "cuff-deep", "not-ascending"]);

    // 2 cm off is within what is allowed, a hair more is not; a row's height is, where it is
    // more, and what the yarn sets is not asked.
    let mut made = sound.clone();
    let off = |made: &[fit::Made]| codes(made, &design).contains(&"depth-off");
    made[4].depth = made[4].depth + Length::cm(2.0);
    assert!(!off(&made));
    made[4].depth = made[4].depth + Length::cm(0.1);
    assert!(off(&made));
    made[4].row = Length::cm(2.5);
    assert!(!off(&made));
    made[4].row = Length::ZERO;
    made[4].by_ball = true;
    assert!(!off(&made));

    let mut made = sound.clone();
    made.remove(1);
    let told = fit::check(&design, &made[..2]);
    // Toddler 44.2 cm and Adult S 49.7 cm round, each for heads 4.5 to 13.6 % larger: the
    // first up to 51 cm, the second from 52 cm.
    assert_eq!(told.iter().map(|f| f.code).collect::<Vec<_>>(), ["heads-between"]);
    assert!(told[0].message.contains("from 51 cm to 52 cm"), "{}", told[0].message);
}

/// What every size shares is said once, with what differs in each.
#[test]
fn sizes_are_judged_together() {
    let wide = SAMPLE.replace("ease = \"-8 %\"", "ease = \"4 %\"\nfabric = \"firm\"");
    let design = design(&wide);
    let (graded, _) = grade(&design);
    let made: Vec<fit::Made> = graded.sizes.iter().map(fit::Made::from).collect();
    let told = fit::check(&design, &made);
    assert_eq!(told.len(), 1, "{told:?}");
    assert_eq!((told[0].code, told[0].sizes.len(), told[0].each.len()), ("ease-outside", 5, 4));
    assert_eq!(told[0].each[3].0, "adult-l");
}

/// Sizes that do not say which heads they are for leave no gap that could be known.
#[test]
fn own_sizes_without_bands_leave_no_gap() {
    let mut made: Vec<fit::Made> =
        grade(&design(SAMPLE)).0.sizes.iter().map(fit::Made::from).collect();
    made.drain(1..4);
    assert_eq!(codes(&made, &design(SAMPLE)), ["heads-between"]);
    for m in &mut made {
        (m.head_min, m.head_max) = (m.head, m.head);
    }
    assert_eq!(codes(&made, &design(SAMPLE)), Vec::<&str>::new());
}

/// Six rounds of sc at 1-4 a round make cones, 5 and 6 cup, 7 and 8 lie flat, 9 crowds, 10
/// ruffles (revedreams.com shaping study); here on a gauge whose flat number is 7.5.
#[test]
fn crowns_ruffle_and_point() {
    let h_over_w = 7.5 / std::f64::consts::TAU;
    let gauge = gauge(10.0 * h_over_w, 10.0, "10 cm");
    let told =
        |n: f64| fit::crown("Crown", "adult-m", n, fit::CrownWay::Grows, &gauge).map(|f| f.code);
    for (per_round, expected) in [
        (3.0, Some("crown-points")),
        (4.0, Some("crown-points")),
        (5.0, None),
        (6.0, None),
        (7.0, None),
        (8.0, None),
        (9.0, None),
        (10.0, Some("crown-ruffles")),
    ] {
        assert_eq!(told(per_round), expected, "{per_round}");
    }
}
