//! What a design file says, typed, every value with its place.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod sound;

use brimwright::design::{Ease, PompomKind, Rule, Text, Worked, read};
use brimwright::diag::{SourceId, Span};
use brimwright::quantity::{Length, Mass, Percent, Units};
use brimwright::standards::stitches::Terms;
use proptest::prelude::*;
use sound::{SAMPLE, design};

const FULL: &str = include_str!("designs/every-key.toml");

/// The bytes of the file behind a place.
fn at(text: &str, place: brimwright::diag::Place) -> &str {
    &text[place.span.range()]
}

#[test]
fn every_value_is_typed_and_placed() {
    let d = design(FULL);
    assert_eq!(d.terms, Terms::Uk);
    assert_eq!((d.pattern.title.as_str(), d.pattern.by.as_str()), ("Every Key", "Tern & Thimble"));
    assert_eq!(at(FULL, d.pattern.title.place), "\"Every Key\"");
    assert_eq!(d.pattern.date.as_ref().unwrap().value.to_string(), "2026-10-05");
    assert_eq!(d.pattern.skill.as_ref().unwrap().value, "Intermediate");
    assert_eq!(d.pattern.units, Units::Imperial);
    let video = d.pattern.video.as_ref().unwrap();
    let chapters: Vec<(&str, u32, String)> =
        video.chapters.iter().map(|c| (c.label.as_str(), c.seconds, c.clock())).collect();
    assert_eq!(
        chapters,
        [("Top", 3765, "1:02:45".into()), ("Band", 190, "3:10".to_owned())],
        "in the file's order"
    );

    let yarns: Vec<&str> = d.yarns.iter().map(|y| y.name.as_str()).collect();
    assert_eq!(yarns, ["A", "B"]);
    let a = d.yarn("A").unwrap();
    assert_eq!(a.weight.as_ref().unwrap().value, 5);
    assert_eq!(a.ball_mass.as_ref().unwrap().value, Mass::ounces(3.5));
    assert_eq!(at(FULL, a.ball_mass.as_ref().unwrap().place), "\"3.5 oz\"");
    assert_eq!(a.ball_length.as_ref().unwrap().value, Length::yards(120.0));
    assert_eq!(a.balls_to_use.as_ref().unwrap().value, 1.5);
    assert_eq!(a.margin.as_ref().unwrap().value, Percent::new(10.0));
    assert_eq!(d.yarn("B").unwrap().weight, None);

    let hooks: Vec<(&str, f64)> =
        d.hooks.iter().map(|h| (h.name.as_str(), h.size.to_mm())).collect();
    assert_eq!(hooks, [("wide", 7.0), ("band", 6.0)]);
    assert_eq!(d.materials.notions.len(), 2);
    assert_eq!(d.materials.trims[0].value, "button");
    assert!(d.materials.covers_neck);

    let body = d.gauge("body").unwrap();
    assert_eq!((body.sts.value, body.rows.value), (10.5, 9.0));
    assert_eq!(at(FULL, body.sts.place), "10.5");
    assert!(body.stitch_width().near(Length::inches(4.0 / 10.5), Length::mm(1e-9)));
    assert!(body.row_height().near(Length::inches(4.0 / 9.0), Length::mm(1e-9)));
    assert_eq!(body.swatch(), (Length::inches(6.0), Length::inches(5.0)));
    assert_eq!(body.swatch_mass.as_ref().unwrap().value, Mass::grams(9.5));
    assert_eq!((body.washed, body.hook.as_ref().unwrap().value.as_str()), (Some(true), "wide"));
    assert_eq!(body.stretch.as_ref().unwrap().value, Percent::new(20.0));
    let band = d.gauge("band").unwrap();
    assert_eq!(band.swatch(), (Length::inches(4.0), Length::inches(4.0)));

    let sample = d.sample.as_ref().unwrap();
    assert_eq!(sample.size.value, "adult-m");
    assert_eq!(sample.mass[0].0, "A");
    assert_eq!(sample.girth.as_ref().unwrap().value, Length::cm(52.0));
    assert_eq!(d.fit.fabric.as_ref().unwrap().value, "rib");
    assert_eq!(d.fit.margin.as_ref().unwrap().value, Ease::Length(Length::cm(2.0)));

    let special = &d.specials[0];
    assert_eq!((special.name.as_str(), special.abbr.as_ref().unwrap().as_str()), ("Fan", "fan"));
    let [band, top] = &d.pieces[..] else { panic!("two pieces") };
    assert_eq!((band.worked.value, top.worked.value), (Worked::Rows, Worked::Mixed));
    assert_eq!((band.make, band.count_chains, band.sizes.len()), (2, true, 1));
    assert_eq!(band.fold.as_ref().unwrap().for_size("adult-m").unwrap().text, "5 cm");
    let until = band.until_ball_ends.as_ref().unwrap();
    assert_eq!(until.rounds.value, "band_rows");
    assert_eq!(until.keep.as_ref().unwrap().value, Mass::grams(4.0));
    assert_eq!(at(FULL, until.rounds.place), "\"band_rows\"");
    assert_eq!(top.from.as_ref().unwrap().value, "Band");
    assert_eq!(d.finishing.len(), 2);
    let pompom = d.pompom.as_ref().unwrap();
    assert_eq!(pompom.kind.value, PompomKind::Both);
    assert_eq!(pompom.pile.as_ref().unwrap().value, Length::cm(2.0));
    assert!(matches!(&pompom.diameter, Rule::PerSize(p) if p.each.len() == 1 && p.rest.is_some()));
    assert_eq!(d.history[0].change.as_str(), "First edition.");
}

#[test]
fn sizes_come_from_the_table_or_the_author() {
    let d = design(FULL);
    let ids: Vec<&str> = d.sizes.iter().map(|s| s.id.as_str()).collect();
    assert_eq!(ids, ["baby", "adult-m", "very-wide"]);
    let [baby, adult, wide] = &d.sizes[..] else { panic!("three sizes") };
    // An alias keeps its own id and takes the rest of the standard size.
    assert_eq!((baby.name.as_str(), baby.months), ("Baby 3–6 months", Some((3, 6))));
    assert!(baby.standard && baby.depth.is_some());
    // A size of the author's own may bear a standard name.
    assert_eq!(
        (adult.name.as_str(), adult.head, adult.standard),
        ("Adult M", Length::cm(56.0), false)
    );
    assert_eq!((adult.head_min, adult.head_max), (Length::cm(55.0), Length::cm(57.0)));
    assert_eq!((wide.name.as_str(), wide.head), ("Very wide", Length::inches(24.0)));
    assert_eq!((wide.head_min, wide.months), (wide.head, None));
    let ease: Vec<Ease> = d.sizes.iter().map(|s| s.ease.value).collect();
    assert_eq!(
        ease,
        [
            Ease::Length(Length::cm(-3.0)),
            Ease::Percent(Percent::new(-8.0)),
            Ease::Percent(Percent::new(-8.0))
        ]
    );
}

#[test]
fn what_is_left_out_is_as_the_reference_says() {
    let text = SAMPLE.replace("from   = \"Cuff\"\n", "");
    let d = design(&text);
    assert_eq!((d.terms, d.pattern.units), (Terms::Us, Units::Metric));
    let body = &d.pieces[1];
    assert_eq!((body.make, body.count_chains), (1, false));
    assert!(body.sizes.is_empty() && body.from.is_none() && body.hook.is_none());
    // The first gauge decides which unit system is printed first.
    let inches = text.replacen("over = \"10 cm\"", "over = \"4 in\"", 1);
    assert_eq!(design(&inches).pattern.units, Units::Imperial);
    let none = text.replace("[fit]\nease = \"-8 %\"\n", "");
    assert_eq!(design(&none).sizes[0].ease.value, Ease::Length(Length::ZERO));
    let no_depth: String =
        text.lines().filter(|l| !l.starts_with("depth")).fold(String::new(), |mut all, line| {
            all.push_str(line);
            all.push('\n');
            all
        });
    assert!(design(&no_depth).sizes.iter().all(|s| s.depth.is_none()));
}

/// Every byte of a text that stands for itself must lead back to the same byte in the file.
fn leads_back(file: &str, text: &Text) {
    for (i, c) in text.text.char_indices() {
        let place = text.origin.place(Span::new(i, i + c.len_utf8()));
        let there = file[place.span.start as usize..].chars().next().unwrap();
        if there != '\\' && there != '\r' {
            assert_eq!(there, c, "byte {i} of {:?}", text.text);
        }
    }
}

fn title(value: &str) -> (String, Text) {
    let file = SAMPLE.replacen("\"Harbour Step\"", value, 1);
    let title = design(&file).pattern.title;
    leads_back(&file, &title);
    (file, title)
}

#[test]
fn texts_lead_back_through_escapes_and_line_ends() {
    let cases = [
        ("\"Plain\"", "Plain"),
        ("'Lite\\ral'", "Lite\\ral"),
        (r#""a\tb\\c\"d""#, "a\tb\\c\"d"),
        (r#""\u00e9t\U0001F9F6x\x41y""#, "ét🧶xAy"),
        ("\"\"\"\nFirst\nSecond\"\"\"", "First\nSecond"),
        ("\"\"\"First\\\n   second\"\"\"", "Firstsecond"),
        ("\"\"\"\r\nFirst\r\nSecond\"\"\"", "First\nSecond"),
        ("'''\nFirst\\n\n'quoted' ''x'''", "First\\n\n'quoted' ''x"),
        ("\"\"\"a \"quoted\" b\"\"\"", "a \"quoted\" b"),
        ("\"\"\"ends in two \\\"\\\"\"\"\"", "ends in two \"\""),
        ("\"\"\"ends in two \"\"\"\"\"", "ends in two \"\""),
        ("'''ends in one ''''", "ends in one '"),
        ("\"\"\"é½ \\u00bd tail\"\"\"", "é½ ½ tail"),
    ];
    for (value, expected) in cases {
        let (file, title) = title(value);
        assert_eq!(title.text, expected, "{value}");
        assert_eq!(at(&file, title.place), value);
        // The last word leads to the same word in the file.
        if let Some(word) = expected
            .rsplit([' ', '\n'])
            .next()
            .filter(|w| value.contains(w) && w.chars().all(char::is_alphanumeric))
        {
            let start = expected.len() - word.len();
            let place = title.origin.place(Span::new(start, expected.len()));
            assert_eq!(at(&file, place), word, "{value}");
        }
    }
}

#[test]
fn a_whole_file_with_dos_line_ends_reads_the_same() {
    let dos = FULL.replace('\n', "\r\n");
    let (unix, dos_design) = (design(FULL), design(&dos));
    for (a, b) in unix.pieces.iter().zip(&dos_design.pieces) {
        assert_eq!(a.text.text, b.text.text);
        leads_back(&dos, &b.text);
        leads_back(FULL, &a.text);
    }
}

/// The reader's decoding of strings against the TOML library's own.
#[test]
fn texts_are_what_toml_says_they_are() {
    let values = [
        r#""a\b\t\n\f\r\e\"\\z""#,
        "\"\"\"\n\\\n\n   x \\   \n y\"\"\"",
        "'''\n\n x'''",
        "\"\"\"\"quoted\"\"\"\"",
        "''",
        "\"\"\"\"\"\"",
        "\"\\u2714\\U0001F9F6\\x7e\"",
    ];
    for value in values {
        let file = SAMPLE.replacen(
            "\"\"\"A deep-cuffed hat for windy quays, in five sizes.\"\"\"",
            value,
            1,
        );
        let ours = design(&file).pattern.about.unwrap().text;
        let theirs: toml::Table = toml::from_str(&format!("v = {value}")).unwrap();
        assert_eq!(ours, theirs["v"].as_str().unwrap(), "{value}");
    }
}

#[test]
fn all_faults_come_at_once_and_in_order() {
    let text = SAMPLE
        .replace("skill   = \"easy\"", "skill   = \"eesy\"")
        .replace("weight = 5", "weight = 55")
        .replace("rows = 12", "rows = -12")
        .replace("name   = \"Body\"", "nmae   = \"Body\"");
    let (design, findings) = read(SourceId(0), &text);
    assert!(design.is_none());
    let codes: Vec<&str> = findings.iter().map(|f| f.code).collect();
    assert_eq!(
        codes,
        ["unknown-word", "out-of-range", "out-of-range", "missing-key", "unknown-key"]
    );
    let starts: Vec<u32> = findings.iter().map(|f| f.place.unwrap().span.start).collect();
    assert!(starts.is_sorted());
}

#[test]
fn limits_are_faults() {
    let long = format!("format = 1\n# {}", "x".repeat(5_000_000));
    let (_, findings) = read(SourceId(0), &long);
    assert_eq!(findings[0].code, "limit");
    let mut many = SAMPLE.to_owned();
    for i in 0..1200 {
        many.push_str(&format!("[[history]]\nedition = \"{i}\"\nchange = \"x\"\n"));
    }
    let (_, findings) = read(SourceId(0), &many);
    assert!(findings.iter().any(|f| f.code == "limit"), "{findings:?}");
    let deep = format!("format = 1\nx = {}1{}", "[".repeat(5000), "]".repeat(5000));
    let (_, findings) = read(SourceId(0), &deep);
    assert!(!findings.is_empty());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn no_text_panics_the_reader(text in "\\PC{0,200}") {
        let _ = read(SourceId(0), &text);
    }

    /// The sample with a stretch of it cut out or written over.
    #[test]
    fn no_damage_panics_the_reader(from in 0usize..1900, len in 0usize..40, put in "[\\PC\n\"'=\\[\\]{}#0-9]{0,12}") {
        let file = FULL;
        let floor = |mut n: usize| { n = n.min(file.len()); while !file.is_char_boundary(n) { n -= 1; } n };
        let (start, end) = (floor(from), floor(from + len));
        let damaged = format!("{}{put}{}", &file[..start], &file[end..]);
        let (design, findings) = read(SourceId(0), &damaged);
        for f in &findings {
            if let Some(place) = f.place {
                prop_assert!(place.span.end as usize <= damaged.len());
            }
        }
        if let Some(design) = design {
            for piece in &design.pieces {
                leads_back(&damaged, &piece.text);
            }
            let _ = brimwright::grading::grade(&design);
        }
    }

    #[test]
    fn any_text_survives_the_way_through_the_file(text in "[a-zé½🧶\t\n\"'\\\\ ]{1,40}") {
        prop_assume!(!text.trim().is_empty());
        let value = toml::Value::String(text.clone()).to_string();
        let (_, title) = title(&value);
        prop_assert_eq!(title.text, text);
    }
}
