//! From a design file to every number in every size.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod sound;

use brimwright::design::{DepthRule, Design};
use brimwright::grading::{Graded, Value, along_gauge, any_gauge, any_head, found_from, grade};
use brimwright::quantity::Length;
use sound::{SAMPLE, design, plain, proved};

/// The value of a formula in a design of one size, and the design graded.
fn value(head: &str, gauge: (f64, f64, &str), formula: &str) -> Value {
    let text = plain(head, gauge, &format!("it = \"{formula}\""));
    let (graded, findings) = grade(&design(&text));
    assert!(findings.is_empty(), "{formula}: {findings:?}");
    graded.sizes[0].values["it"]
}

const GAUGE: (f64, f64, &str) = (10.0, 8.0, "10 cm");

fn count(formula: &str) -> i64 {
    value("56 cm", GAUGE, formula).count().unwrap_or_else(|| panic!("{formula} is no count"))
}

fn fault(formula: &str) -> String {
    let text = plain("56 cm", GAUGE, &format!("it = \"{formula}\""));
    let (_, findings) = grade(&design(&text));
    assert_eq!(findings.len(), 1, "{formula}: {findings:?}");
    findings[0].code.to_owned()
}

fn graded() -> (Design, Graded) {
    let design = design(SAMPLE);
    let (graded, findings) = grade(&design);
    assert!(findings.is_empty(), "{findings:?}");
    (design, graded)
}

#[test]
fn the_sample_is_graded_in_every_size() {
    let (_, graded) = graded();
    // By hand, for adult-m: head 56.5 cm less 8 % is 51.98 cm; a cuff row is 10/12 cm, so
    // 62.376 rows; the nearest multiple of 3 is 63. Depth 22.5 cm less 8 sts of 10/11 cm is
    // 15.227 cm; a round is 10/9 cm, so 13.705 rounds, worked as 14.
    let expected = [
        ("toddler", 48.0, 18.0, 5, 54, 18, 13),
        ("child", 51.0, 20.0, 6, 57, 19, 14),
        ("adult-s", 54.0, 21.5, 8, 60, 20, 13),
        ("adult-m", 56.5, 22.5, 8, 63, 21, 14),
        ("adult-l", 59.0, 24.0, 8, 66, 22, 16),
    ];
    assert_eq!(graded.sizes.len(), expected.len());
    for (size, (id, head, depth, cuff_sts, cuff_rows, motifs, rounds)) in
        graded.sizes.iter().zip(expected)
    {
        assert_eq!(
            (size.id.as_str(), size.head, size.depth),
            (id, Length::cm(head), Length::cm(depth))
        );
        assert!(size.girth.near(Length::cm(head * 0.92), Length::mm(1e-9)));
        let get = |name: &str| size.values[name].count().unwrap();
        assert_eq!(
            (get("cuff_sts"), get("cuff_rows"), get("motifs"), get("rounds")),
            (cuff_sts, cuff_rows, motifs, rounds),
            "{id}"
        );
    }
}

#[test]
fn each_number_tells_how_it_was_found() {
    let (_, graded) = graded();
    let lines: Vec<String> = graded.sizes[3].traces.iter().map(|t| t.line()).collect();
    assert_eq!(
        lines,
        [
            "girth = head + ease = 56.5 cm + −4.52 cm = 51.98 cm",
            "cuff_sts = 8",
            "cuff_rows = nearest(girth / cuff.row, 3) = nearest(51.98 cm / 0.83 cm, 3) = 63  \
             (rounding adds 5.2 mm)",
            "motifs = cuff_rows / 3 = 63 / 3 = 21",
            "rounds = up((depth - cuff_sts * cuff.st) / body.row) = \
             up((22.5 cm - 8 * 0.91 cm) / 1.11 cm) = 14  (rounding adds 3.3 mm)",
        ]
    );
    // 63 rows of 10/12 cm are 52.5 cm, 5.2 mm more than 51.98 cm.
    let lost = graded.sizes[3].traces[2].lost().unwrap();
    assert!(lost.near(Length::mm(5.2), Length::mm(1e-9)));
}

/// Worked example "gauge-to-stitches" (quiltnparty.com): 5 sts to the inch over 19 in.
#[test]
fn gauge_to_stitches() {
    let found = value("56 cm", (5.0, 5.0, "1 in"), "nearest(19 in / body.st)");
    assert_eq!(found, Value::Count(95));
}

/// Worked example "gauge-to-multiple" (common practice, no source; gauge of
/// crochetkitten.com): 14 sts over 4 in, 20 in, multiple of 6.
#[test]
fn gauge_to_a_multiple() {
    let gauge = (14.0, 16.0, "4 in");
    let of = |formula: &str| value("56 cm", gauge, formula);
    let Value::Ratio(exact) = of("20 in / body.st") else { panic!("a ratio") };
    assert!((exact - 70.0).abs() < 1e-9);
    assert_eq!(of("nearest(20 in / body.st, 6)"), Value::Count(72));
    let width = of("nearest(20 in / body.st, 6) * body.st").length().unwrap();
    assert_eq!((width.to_inches() * 100.0).round() / 100.0, 20.57);
}

/// Worked example "repeat-fit" (stitchandunwind.com): a crown of 60 in repeats of 6, 7, 9.
#[test]
fn repeats_on_a_crown() {
    for (repeat, stitches, repeats) in [(6, 60, 10), (7, 63, 9), (9, 63, 7)] {
        assert_eq!(count(&format!("nearest(60, {repeat})")), stitches);
        assert_eq!(count(&format!("nearest(60, {repeat}) / {repeat}")), repeats);
    }
}

/// Worked examples "crown-diam-a" and "-b" (hookthatyarn.wordpress.com).
#[test]
fn crown_diameters() {
    for (girth, diameter) in [(23.0, 7.32), (13.5, 4.3)] {
        let found = value("56 cm", GAUGE, &format!("{girth} in / pi")).length().unwrap();
        assert!((found.to_inches() - diameter).abs() < 0.005, "{girth}: {}", found.to_inches());
    }
}

/// Worked example "hat-size" and the shop charts: the nearest eighth of girth over pi.
#[test]
fn us_hat_sizes() {
    let chart = include_str!("facts/hat_sizes.csv");
    let rows: Vec<&str> = chart.lines().filter(|l| !l.starts_with('#')).skip(1).collect();
    assert_eq!(rows.len(), 10);
    for row in rows {
        let n: Vec<f64> = row.split(',').map(|c| c.parse().unwrap()).collect();
        let found = value("56 cm", GAUGE, &format!("nearest({} in / pi, 1/8 in)", n[0]));
        assert!((found.length().unwrap().to_inches() - n[1]).abs() < 1e-9, "{row}");
        let exact = value("56 cm", GAUGE, &format!("{} in / pi", n[0])).length().unwrap();
        assert!((exact.to_inches() - n[2]).abs() < 0.0006, "{row}");
    }
}

/// Common practice: a sideways cuff of 30, 36 or 39 rows gives as many stitches round, and
/// 10, 12 or 13 motifs at a multiple of 3.
#[test]
fn cuff_rows_become_stitches_and_motifs() {
    for (rows, motifs) in [(30, 10), (36, 12), (39, 13)] {
        let counts = format!("cuff_rows = {rows}\nsts = \"cuff_rows\"\nmotifs = \"sts / 3\"");
        let (graded, findings) = grade(&design(&plain("56 cm", GAUGE, &counts)));
        assert!(findings.is_empty());
        assert_eq!(graded.eval_hole(0, "sts", None), Ok(rows));
        assert_eq!(graded.eval_hole(0, "motifs", None), Ok(motifs));
    }
}

#[test]
fn arithmetic_goes_as_at_school() {
    let cases = [
        ("2 + 3 * 4", 14),
        ("(2 + 3) * 4", 20),
        ("2 × 3", 6),
        ("12 ÷ 4", 3),
        ("10 - 3 - 2", 5),
        ("10 − 3", 7),
        ("24 / 4 / 2", 3),
        ("-3 + 5", 2),
        ("--3", 3),
        ("min(4, 3, 5)", 3),
        ("max(4, 3, 5)", 5),
        ("clamp(9, 2, 7)", 7),
        ("clamp(1, 2, 7)", 2),
        ("if(head > 50 cm, 8, 6)", 8),
        ("if(head <= 50 cm, 8, 6)", 6),
        ("if(22 in < head, 1, 0)", 1),
        ("if(3 == 3, 1, 1 / 0)", 1),
        ("if(3 != 3, nearest(3, 0), 4)", 4),
        ("if(3 != 3, 1, 2)", 2),
        ("nearest(56 cm / body.st)", 56),
        ("nearest(50 %  * 9)", 5),
    ];
    for (formula, expected) in cases {
        assert_eq!(count(formula), expected, "{formula}");
    }
}

/// Ties go away from zero; up and down are towards more and fewer, also below zero.
#[test]
fn rounding_is_as_the_reference_says() {
    let cases = [
        ("nearest(6, 4)", 8),
        ("nearest(5.9, 4)", 4),
        ("nearest(-6, 4)", -8),
        ("nearest(2.5)", 3),
        ("nearest(-2.5)", -3),
        ("nearest(10, 4, 1)", 9),
        ("nearest(11, 4, 1)", 13),
        ("nearest(11, 4, -1)", 11),
        ("up(9, 4)", 12),
        ("up(8, 4)", 8),
        ("up(8, 4, 1)", 9),
        ("up(9.01, 4, 1)", 13),
        ("up(-9, 4)", -8),
        ("down(9, 4)", 8),
        ("down(8.99, 4, 1)", 5),
        ("down(-9, 4)", -12),
    ];
    for (formula, expected) in cases {
        assert_eq!(count(formula), expected, "{formula}");
    }
    let half = value("56 cm", GAUGE, "nearest(20.3 cm, 0.5 cm)").length().unwrap();
    assert!(half.near(Length::cm(20.5), Length::mm(1e-9)));
    // 30 rows of 10/12 cm make 25 cm: no more, though binary fractions say a hair more.
    assert_eq!(value("56 cm", (10.0, 12.0, "10 cm"), "up(25 cm / body.row)"), Value::Count(30));
    assert_eq!(value("56 cm", (10.0, 12.0, "10 cm"), "down(25 cm / body.row)"), Value::Count(30));
}

#[test]
fn units_are_checked() {
    for formula in [
        "head + 3",
        "head - body.st / body.st",
        "max(head, 3)",
        "if(head > 3, 1, 2)",
        "if(head > 3 cm, 1, 2 cm)",
        "if(head > 3 cm, 1 cm, 2)",
        "clamp(head, 3, 4)",
        "nearest(head, 4)",
        "nearest(3, 1 cm)",
        "3 * 4 g",
    ] {
        assert_eq!(fault(formula), "formula-unit", "{formula}");
    }
    assert!(matches!(value("56 cm", GAUGE, "head - 4 cm"), Value::Length(_)));
    assert!(matches!(value("56 cm", GAUGE, "head / body.st"), Value::Ratio(_)));
    assert!(matches!(value("56 cm", GAUGE, "head * 92 %"), Value::Length(_)));
    assert!(matches!(value("56 cm", GAUGE, "9 / 3"), Value::Count(3)));
    assert!(matches!(value("56 cm", GAUGE, "9 / 4"), Value::Ratio(_)));
}

#[test]
fn each_fault_has_its_code() {
    for (formula, code) in [
        ("heda", "unknown-name"),
        ("body.stitch", "unknown-name"),
        ("round", "unknown-name"),
        ("if(1 < 2, 3, heda)", "unknown-name"),
        ("it", "formula-cycle"),
        ("3 / (2 - 2)", "divide-by-zero"),
        ("head / 0 cm", "divide-by-zero"),
        ("nearest(3, 0)", "bad-multiple"),
        ("3 furlongs", "bad-unit"),
        ("2 +", "formula-syntax"),
        ("1000000000 * 1000000000", "too-large"),
        ("head * 1e", "bad-unit"),
    ] {
        assert_eq!(fault(formula), code, "{formula}");
    }
    let deep = format!("{}1{}", "(".repeat(100), ")".repeat(100));
    assert_eq!(fault(&deep), "limit");
    let wide = vec!["1"; 200].join(" + ");
    assert_eq!(fault(&wide), "limit");
    assert_eq!(fault(&format!("{} 1", " ".repeat(5000))), "limit");
}

#[test]
fn an_area_is_no_graded_number() {
    let text = plain("56 cm", GAUGE, "area = \"head * depth\"\nback = \"area / head\"");
    let (graded, findings) = grade(&design(&text));
    assert!(findings.is_empty(), "{findings:?}");
    assert_eq!(graded.sizes[0].values.get("area"), None);
    let back = graded.sizes[0].values["back"].length().unwrap();
    assert!(back.near(Length::cm(20.0), Length::mm(1e-9)));
    assert_eq!(graded.eval_hole(0, "area", None).unwrap_err().code, "formula-unit");
}

#[test]
fn a_long_chain_of_names_is_a_limit_not_a_crash() {
    let mut counts = String::new();
    for i in 0..900 {
        counts.push_str(&format!("n{i} = \"n{} + 1\"\n", i + 1));
    }
    counts.push_str("n900 = 1\n");
    let (_, findings) = grade(&design(&plain("56 cm", GAUGE, &counts)));
    assert!(findings.iter().any(|f| f.code == "limit"), "{findings:?}");
}

#[test]
fn holes_give_whole_numbers_or_say_why_not() {
    let (_, graded) = graded();
    let ok = |text: &str, counter| graded.eval_hole(3, text, counter).unwrap();
    assert_eq!(ok("cuff_sts + 2", None), 10);
    assert_eq!(ok(" motifs * 3 ", None), 63);
    assert_eq!(ok("step * 2 + round", Some((5, 3))), 11);
    assert_eq!(ok("nearest(girth / body.st)", None), 55);
    assert_eq!(ok("0", None), 0);
    let code = |text: &str| graded.eval_hole(3, text, None).unwrap_err().code;
    for (text, expected) in [
        ("girth / body.st", "graded-number"),
        ("cuff_rows / 2", "graded-number"),
        ("2.5", "graded-number"),
        ("head", "graded-number"),
        ("cuff_sts - 9", "graded-number"),
        ("cuf_sts", "unknown-name"),
        ("round", "unknown-name"),
        ("head * head", "formula-unit"),
        ("", "formula-syntax"),
        ("3 +", "formula-syntax"),
    ] {
        assert_eq!(code(text), expected, "{text}");
    }
    let told = graded.eval_hole(3, "girth / body.st", None).unwrap_err();
    assert!(told.help.unwrap().contains("nearest(girth / body.st)"));
    let told = graded.eval_hole(3, "cuf_sts", None).unwrap_err();
    assert_eq!(told.help.as_deref(), Some("perhaps `cuff_sts`?"));
    assert_eq!(told.span.range(), 0..7);
}

#[test]
fn a_girth_of_stitches_is_a_fault() {
    let text = plain("56 cm", GAUGE, "girth = \"nearest(head / body.st)\"\nhalf = \"girth / 2\"");
    let (_, findings) = grade(&design(&text));
    let codes: Vec<&str> = findings.iter().map(|f| f.code).collect();
    assert_eq!(codes, ["formula-unit"]);
}

/// A number at fault is told once; what is found from it is silent.
#[test]
fn one_fault_is_told_once() {
    let counts = "a = \"heda / body.st\"\nb = \"a * 2\"\nc = \"b + a\"";
    let (graded, findings) = grade(&design(&plain("56 cm", GAUGE, counts)));
    assert_eq!(findings.len(), 1);
    assert!(graded.eval_hole(0, "c", None).unwrap_err().follows);
}

#[test]
fn any_head_agrees_with_the_sizes_and_never_falls() {
    let (design, graded) = graded();
    assert_eq!(design.depth, DepthRule::PerSize);
    let table = any_head(&design);
    assert!(table.first().unwrap().head <= Length::cm(26.5));
    assert_eq!(table.last().unwrap().head, Length::cm(66.0));
    // Whole centimetres from 26 to 66, and half inches between.
    assert_eq!(table.iter().filter(|r| (r.head.to_cm() % 1.0) < 1e-9).count(), 41);
    let halves = |r: &&brimwright::grading::AnyHead| {
        let h = r.head.to_inches() * 2.0;
        (h - h.round()).abs() < 1e-9
    };
    assert_eq!(table.iter().filter(halves).count(), 31);
    for size in &graded.sizes {
        let row = table.iter().find(|r| r.head.near(size.head, Length::mm(1e-6))).unwrap();
        assert_eq!(row.values, size.values, "{}", size.id);
        assert_eq!((row.depth, &row.size), (size.depth, &size.id));
    }
    for pair in table.windows(2) {
        assert!(pair[0].head < pair[1].head);
        assert!(pair[0].depth <= pair[1].depth);
        let sts = |r: &brimwright::grading::AnyHead| r.values["cuff_rows"].count().unwrap();
        assert!(sts(&pair[0]) <= sts(&pair[1]), "{}", pair[1].head.cm_text());
    }
}

#[test]
fn any_gauge_holds_the_design_in_its_middle_and_never_falls() {
    let (design, graded) = graded();
    let grid = any_gauge(&design, "cuff", 3, 0.5);
    assert_eq!(grid.len(), 49);
    let middle = &grid[24];
    assert_eq!((middle.sts, middle.rows), (11.0, 12.0));
    for (size, values) in graded.sizes.iter().zip(&middle.values) {
        assert_eq!(&size.values, values);
    }
    for row in grid.chunks(7) {
        assert!(row.windows(2).all(|p| p[0].sts < p[1].sts && p[0].rows == p[1].rows));
    }
    for column in 0..7 {
        let rows: Vec<_> = grid.iter().skip(column).step_by(7).collect();
        for pair in rows.windows(2) {
            for (a, b) in pair[0].values.iter().zip(&pair[1].values) {
                assert!(a["cuff_rows"].count() <= b["cuff_rows"].count());
            }
        }
    }
    assert!(any_gauge(&design, "none", 3, 0.5).is_empty());
    // The lines through the middle are those of the whole.
    let (by_sts, by_rows) = along_gauge(&design, "cuff", 3, 0.5);
    assert_eq!(by_sts, grid[21..28]);
    assert_eq!(by_rows, grid.iter().skip(3).step_by(7).cloned().collect::<Vec<_>>());
}

#[test]
fn places_of_formulas_lead_into_the_file() {
    // Escapes before the fault, in a basic and in a literal string.
    for value in ["\"\\u0028head + 3\\u0029\"", "'(head + 3)'"] {
        let text = plain("56 cm", GAUGE, &format!("it = {value}"));
        let (_, findings) = grade(&design(&text));
        let place = findings[0].place.unwrap();
        assert_eq!(&text[place.span.range()], "head + 3", "{value}");
    }
}

/// By hand for Larch Walk: a toddler's girth is 48 cm less 7 %, 44.64 cm. At 16 sts to 10 cm
/// that is 71.4 sts, to a multiple of 4: 72; at the booklet's own 17, 75.9: 76. Adult M, 52.545
/// cm: 84.07, so 84, and 89.3, so 88.
#[test]
fn the_booklet_prints_the_numbers_at_other_gauges() {
    use brimwright::booklet::{Choices, document::Block, sale};
    use brimwright::reflow::words;
    use brimwright::written::say::{Hand, Length as Words};
    let p = proved(include_str!("../templates/larch-walk.toml"));
    let terms = p.design.terms;
    let all =
        Choices { terms, length: Words::Abbreviated, hand: Hand::Right, size: None, large: false };
    let tables = |c: &Choices| -> Vec<Vec<Vec<String>>> {
        let of = |b: Block| match b {
            Block::Table(t)
                if t.caption.as_ref().is_some_and(|c| words(c).contains(", by stitches over")) =>
            {
                Some(t.body.iter().map(|r| r.iter().map(|c| words(&c.text)).collect()).collect())
            }
            _ => None,
        };
        sale(&p, c, None).blocks.into_iter().filter_map(of).collect()
    };
    let sts = &tables(&all)[0];
    let row = |gauge: &str| sts.iter().find(|r| r[0] == gauge).unwrap();
    assert_eq!((row("16")[1].as_str(), row("16")[4].as_str()), ("72", "84"));
    assert_eq!((row("17")[1].as_str(), row("17")[4].as_str()), ("76", "88"));
    assert_eq!(sts.len(), 7);
    assert!(tables(&Choices { size: Some(0), ..all }).is_empty());
}

/// A ladder in which each number is found from the two below it has as many ways down as a
/// Fibonacci number; each number is still asked once.
#[test]
fn what_is_found_from_a_number_is_told_once_however_many_ways_lead_to_it() {
    let mut counts =
        "free = \"9\"\nn0 = \"nearest(girth / body.st)\"\nn1 = \"n0 + 1\"\n".to_owned();
    for i in 2..60 {
        counts.push_str(&format!("n{i} = \"max(n{}, n{})\"\n", i - 1, i - 2));
    }
    let design = design(&plain("56 cm", GAUGE, &counts));
    let from = found_from(&design, "n1");
    assert_eq!(from.len(), 59);
    assert!(!from.contains("n0") && !from.contains("free"));
    assert_eq!(found_from(&design, "n59").len(), 1);
}
