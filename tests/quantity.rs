//! Numbers with units: read, converted, printed.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use brimwright::quantity::{Area, BadQuantity, Length, Mass, Percent, Units, number, quarters};
use proptest::prelude::*;
use uom::si::f64 as si;
use uom::si::{length, mass};

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs()).max(1.0)
}

#[test]
fn lengths_are_read() {
    // Millimetres worked out by hand: 25.4 mm an inch, 914.4 mm a yard.
    let cases = [
        ("21.5 cm", 215.0),
        ("21.5cm", 215.0),
        ("  7 mm ", 7.0),
        ("110 m", 110_000.0),
        ("120 yd", 109_728.0),
        ("8 1/2 in", 215.9),
        ("8-1/2 in", 215.9),
        ("8½ in", 215.9),
        ("8 ½ in", 215.9),
        ("8.5\"", 215.9),
        ("½ in", 12.7),
        ("3/4 in", 19.05),
        ("8⅜ in", 212.725),
        ("1 inch", 25.4),
        ("4 in.", 101.6),
        ("-4 cm", -40.0),
        ("−4 cm", -40.0),
        ("+1 IN", 25.4),
    ];
    for (text, mm) in cases {
        let read = Length::parse(text).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(close(read.to_mm(), mm), "{text}: {} mm", read.to_mm());
    }
}

#[test]
fn masses_and_percentages_are_read() {
    for (text, grams) in
        [("50 g", 50.0), ("0.1 kg", 100.0), ("3.5 oz", 99.223_330_937_5), ("1 lb", 453.592_37)]
    {
        assert!(close(Mass::parse(text).unwrap().to_grams(), grams), "{text}");
    }
    for (text, n) in [("-8 %", -8.0), ("8%", 8.0), ("−12.5 %", -12.5), ("0 %", 0.0)] {
        assert_eq!(Percent::parse(text).unwrap().value(), n, "{text}");
    }
}

#[test]
fn what_is_no_quantity_is_told_so() {
    let length = |t: &str| Length::parse(t).unwrap_err().to_string();
    assert_eq!(
        length("3 furlongs"),
        "unknown unit \"furlongs\"; known units are mm, cm, m, in, yd"
    );
    assert_eq!(length("3"), "the number has no unit; known units are mm, cm, m, in, yd");
    assert_eq!(length("wide"), "\"wide\" does not begin with a number; write it like \"21.5 cm\"");
    assert_eq!(length("3 g"), "unknown unit \"g\"; known units are mm, cm, m, in, yd");
    assert_eq!(length("3 cm 2"), "unknown unit \"cm 2\"; known units are mm, cm, m, in, yd");
    assert_eq!(length("8 1/0 in"), "unknown unit \"1/0 in\"; known units are mm, cm, m, in, yd");
    assert_eq!(Length::parse(&format!("{} cm", "9".repeat(400))), Err(BadQuantity::TooLarge));
    assert!(matches!(Length::parse(""), Err(BadQuantity::NoNumber { .. })));
    assert!(matches!(Percent::parse("8 cm"), Err(BadQuantity::UnknownUnit { .. })));
    assert!(matches!(Length::parse("nan cm"), Err(BadQuantity::NoNumber { .. })));
    assert!(matches!(Length::parse("inf cm"), Err(BadQuantity::NoNumber { .. })));
}

/// Trade rounding (common practice; seen in published charts): centimetres to the half,
/// inches to the quarter, each from the held value.
#[test]
fn lengths_are_printed_by_trade_rounding() {
    let cases = [
        (21.5, "21.5 cm", "8½ in"),
        (22.0, "22 cm", "8¾ in"),
        (56.0, "56 cm", "22 in"),
        (55.88, "56 cm", "22 in"),
        (10.0, "10 cm", "4 in"),
        (21.24, "21 cm", "8¼ in"),
        (21.25, "21.5 cm", "8¼ in"),
        (0.6, "0.5 cm", "¼ in"),
        (0.0, "0 cm", "0 in"),
        (-4.0, "−4 cm", "−1½ in"),
        (-0.1, "0 cm", "0 in"),
    ];
    for (cm, metric, inches) in cases {
        let l = Length::cm(cm);
        assert_eq!((l.cm_text().as_str(), l.inches_text().as_str()), (metric, inches), "{cm}");
    }
    let l = Length::inches(8.5);
    assert_eq!(l.text(Units::Metric), "21.5 cm (8½ in)");
    assert_eq!(l.text(Units::Imperial), "8½ in (21.5 cm)");
    assert_eq!(Length::m(110.0).yarn_text(Units::Metric), "110 m (120 yd)");
    assert_eq!(Length::yards(200.0).yarn_text(Units::Imperial), "200 yd (183 m)");
    assert_eq!(Mass::grams(100.0).text(Units::Metric), "100 g (3½ oz)");
    assert_eq!(Mass::ounces(3.5).text(Units::Imperial), "3½ oz (99 g)");
    assert_eq!(Length::mm(3.75).hook_text(), "3.75 mm");
    assert_eq!((number(1.50, 2), number(-0.001, 2)), ("1.5".into(), "0".into()));
    assert_eq!((quarters(2.99), quarters(0.1)), ("3".into(), "0".into()));
}

/// Worked example "conv" (1959 international yard and pound agreement; 200 yd = 183 m on a
/// printed ball band).
#[test]
fn conversions_are_the_agreed_ones() {
    assert!(close(Length::inches(4.0).to_cm(), 10.16));
    assert!(close(Length::inches(22.0).to_cm(), 55.88));
    assert!(close(Length::yards(200.0).to_m(), 182.88));
    assert_eq!((Mass::ounces(3.5).to_grams() * 100.0).round() / 100.0, 99.22);
}

#[test]
fn nothing_is_ever_infinite_or_no_number() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
        for l in [Length::mm(bad), Length::inches(bad), Length::m(1.0) * bad, Length::m(1.0) / bad]
        {
            assert!(l.to_mm().is_finite());
        }
        assert!((Length::mm(bad) / Length::mm(1e-300)).is_finite());
        assert!((Length::mm(bad) * Length::mm(bad)).to_square_mm().is_finite());
        assert!(Percent::new(bad).share().is_finite());
    }
    assert_eq!(Length::m(1.0) / 0.0, Length::ZERO);
    assert_eq!(Length::m(1.0) / Length::ZERO, 0.0);
    assert_eq!(Length::mm(-0.0), Length::ZERO);
    assert_eq!(Area::square_mm(200.0).to_square_cm(), 2.0);
}

proptest! {
    /// The factors against the units library `uom`.
    #[test]
    fn factors_agree_with_uom(n in -1e6..1e6f64) {
        let l = |si: si::Length| si.get::<length::millimeter>();
        prop_assert!(close(Length::mm(n).to_mm(), l(si::Length::new::<length::millimeter>(n))));
        prop_assert!(close(Length::cm(n).to_mm(), l(si::Length::new::<length::centimeter>(n))));
        prop_assert!(close(Length::m(n).to_mm(), l(si::Length::new::<length::meter>(n))));
        prop_assert!(close(Length::inches(n).to_mm(), l(si::Length::new::<length::inch>(n))));
        prop_assert!(close(Length::yards(n).to_mm(), l(si::Length::new::<length::yard>(n))));
        let inch = si::Length::new::<length::millimeter>(n);
        prop_assert!(close(Length::mm(n).to_inches(), inch.get::<length::inch>()));
        prop_assert!(close(Length::mm(n).to_yards(), inch.get::<length::yard>()));
        prop_assert!(close(Length::mm(n).to_cm(), inch.get::<length::centimeter>()));
        prop_assert!(close(Length::mm(n).to_m(), inch.get::<length::meter>()));
        let g = |si: si::Mass| si.get::<mass::gram>();
        // uom keeps the ounce to seven figures.
        let ounces = g(si::Mass::new::<mass::ounce>(n));
        prop_assert!((Mass::ounces(n).to_grams() - ounces).abs() <= 1e-6 * ounces.abs().max(1.0));
        prop_assert!(close(Mass::grams(n).to_grams(), g(si::Mass::new::<mass::gram>(n))));
    }

    #[test]
    fn print_then_parse_is_the_same(n in -1e9..1e9f64) {
        prop_assert_eq!(Length::parse(&Length::mm(n).to_string()).unwrap(), Length::mm(n));
        prop_assert_eq!(Mass::parse(&Mass::grams(n).to_string()).unwrap(), Mass::grams(n));
        prop_assert_eq!(Percent::parse(&Percent::new(n).to_string()).unwrap(), Percent::new(n));
    }

    /// What is printed for people reads back to within the rounding.
    #[test]
    fn printed_lengths_read_back(mm in 0.0..2000.0f64) {
        let l = Length::mm(mm);
        let metric = Length::parse(&l.cm_text()).unwrap();
        prop_assert!(metric.near(l, Length::mm(2.5 + 1e-9)), "{} as {}", mm, l.cm_text());
        let inches = Length::parse(&l.inches_text()).unwrap();
        prop_assert!(inches.near(l, Length::inches(0.125 + 1e-9)), "{} as {}", mm, l.inches_text());
    }

    #[test]
    fn adding_then_taking_away_is_nothing(a in -1e6..1e6f64, b in -1e6..1e6f64) {
        let (a, b) = (Length::mm(a), Length::mm(b));
        prop_assert!((a + b - b).near(a, Length::mm(1e-8)));
        prop_assert_eq!(a.cmp(&b), b.cmp(&a).reverse());
    }

    #[test]
    fn no_text_panics_the_reader(text in "\\PC*") {
        let _ = Length::parse(&text);
        let _ = Mass::parse(&text);
        let _ = Percent::parse(&text);
    }

    #[test]
    fn no_text_like_a_quantity_panics_the_reader(text in "[-−+]?[0-9 ./½¼⁄]{0,8}(in|cm|%|\"|x|⁄|é)?[ .]?") {
        let _ = Length::parse(&text);
    }
}

#[test]
fn a_length_is_told_in_the_unit_it_was_given_in() {
    let told = |l: Length| l.as_given_text();
    assert_eq!(told(Length::inches(4.0)), "4 in");
    assert_eq!(told(Length::inches(2.25)), "2¼ in");
    assert_eq!(told(Length::cm(10.0)), "10 cm");
    assert_eq!(told(Length::cm(7.5)), "7.5 cm");
    assert_eq!(told(Length::cm(10.2)), "10.2 cm");
}
