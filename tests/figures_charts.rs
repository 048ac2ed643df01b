//! Stitch charts and schematics from fabrics.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod drawn;
#[allow(clippy::unwrap_used)]
mod loom;

use brimwright::fabric::{CourseShape, Fabric, Loop, Role, Standing};
use brimwright::figure::chart::{Chart, ChartOptions, chart};
use brimwright::figure::{Drawing, Mark, Segment};
use brimwright::standards::stitches::{Base, Kind, Post};
use loom::{Loom, stitch};

fn kind(base: Base) -> Kind {
    Kind::plain(base)
}

#[track_caller]
fn charted(name: &str, fabric: &Fabric) -> Chart {
    let made = chart(fabric, &ChartOptions::default()).expect("a chart");
    drawn::keep_svg(name, &made.drawing);
    assert!(made.drawing.width <= 165.01 && made.drawing.height <= 220.01);
    made
}

fn texts(d: &Drawing) -> Vec<String> {
    let of = |m: &Mark| match m {
        Mark::Label(l) => Some(l.text.clone()),
        Mark::Path(_) => None,
    };
    d.marks.iter().filter_map(of).collect()
}

/// How many filled shapes of a drawing are dots, and how many open ones ovals: both are
/// made of eight arcs.
fn arcs(d: &Drawing, filled: bool) -> usize {
    let round = |m: &&Mark| match m {
        Mark::Path(p) => {
            let curves = p.segments.iter().filter(|s| matches!(s, Segment::Curve(_))).count();
            curves == 4 && p.fill.is_some() == filled
        }
        Mark::Label(_) => false,
    };
    d.marks.iter().filter(round).count()
}

/// A disc: 8 dc in a ring, then increases in every place, every second, every third…
fn disc(per: u32, rounds: u32, of: Kind) -> Fabric {
    let mut loom = Loom::default().round(per, of);
    for k in 2..=rounds {
        let before = loom.fabric.courses.last().unwrap().stitches.clone();
        let mut stitches = Vec::new();
        for i in before.clone() {
            let twice = (i - before.start) % (k - 1) == k - 2;
            for _ in 0..(if twice { 2 } else { 1 }) {
                stitches.push(stitch(of, Role::Counted, Standing::Stitch(i)));
            }
        }
        let ground = loom.ground();
        loom.push(CourseShape::Round, ground, stitches);
    }
    numbered(loom.done())
}

fn numbered(mut fabric: Fabric) -> Fabric {
    let mut n = 0;
    for course in fabric.courses.iter_mut().filter(|c| c.shape != CourseShape::Foundation) {
        n += 1;
        course.number = Some(n);
    }
    fabric
}

#[test]
fn a_small_disc_is_drawn_as_rings() {
    let made = charted("chart-disc", &disc(8, 5, kind(Base::Dc)));
    let said = texts(&made.drawing);
    for n in ["1", "2", "3", "4", "5"] {
        assert!(said.iter().any(|t| t == n), "round number {n}");
    }
    assert!(said.iter().any(|t| t.contains("anticlockwise")));
    // A slip stitch closes each of the five rounds; one more stands in the key.
    assert_eq!(arcs(&made.drawing, true), 6);
    assert!(made.alt.contains("round 5 has 40 stitches"), "{}", made.alt);
    assert!(made.alt.contains("dc: double crochet"), "{}", made.alt);
}

#[test]
fn a_large_disc_is_drawn_as_one_wedge() {
    let made = charted("chart-wedge", &disc(8, 18, kind(Base::Hdc)));
    assert!(made.alt.contains("one of 8 wedges"), "{}", made.alt);
    assert!(made.alt.contains("round 18 has 144 stitches"), "{}", made.alt);
}

#[test]
fn a_closing_crown_is_drawn_with_its_decreases() {
    let mut loom = Loom::default().chain(48).rounds(1, 48, kind(Base::Hdc));
    for k in (1..6).rev() {
        let before = loom.fabric.courses.last().unwrap().stitches.clone();
        let (mut i, mut stitches) = (before.start, Vec::new());
        while i < before.end {
            for _ in 0..k - 1 {
                stitches.push(stitch(kind(Base::Hdc), Role::Counted, Standing::Stitch(i)));
                i += 1;
            }
            let two = kind(Base::Hdc).tog(2);
            let mut dec = stitch(two, Role::Counted, Standing::Stitch(i));
            (dec.last, dec.bases) = (i + 1, 2);
            stitches.push(dec);
            i += 2;
        }
        let ground = loom.ground();
        loom.push(CourseShape::Round, ground, stitches);
    }
    let made = charted("chart-crown", &numbered(loom.done()));
    assert!(made.alt.contains("hdc2tog"), "{}", made.alt);
    assert!(made.alt.contains("round 6 has 8 stitches"), "{}", made.alt);
}

#[test]
fn rows_show_arrows_and_swap_loops_on_the_wrong_side() {
    let mut loom = Loom::default().chain(10);
    for _ in 0..6 {
        loom = loom.row(10, kind(Base::Hdc));
        let range = loom.fabric.courses.last().unwrap().stitches.clone();
        for s in &mut loom.fabric.stitches[range.start as usize..range.end as usize] {
            s.loops = Loop::Back;
        }
    }
    let made = charted("chart-rows", &numbered(loom.done()));
    assert!(made.alt.contains("back loop only") && made.alt.contains("front loop only"));
    let said = texts(&made.drawing);
    for label in ["1, 3, 5", "2, 4, 6"] {
        assert!(said.iter().any(|t| t == label), "{label}: {said:?}");
    }
}

#[test]
fn a_tube_is_drawn_as_a_few_repeats() {
    let post = |post| Kind { post, ..kind(Base::Dc) };
    let mut loom = Loom::default().chain(60).round(60, kind(Base::Dc));
    for _ in 0..5 {
        let before = loom.fabric.courses.last().unwrap().stitches.clone();
        let of = |i: u32| post(if i.is_multiple_of(2) { Post::Front } else { Post::Back });
        let stitches = before
            .clone()
            .map(|i| stitch(of(i - before.start), Role::Counted, Standing::Stitch(i)))
            .collect();
        let ground = loom.ground();
        loom.push(CourseShape::Round, ground, stitches);
    }
    let made = charted("chart-rib", &numbered(loom.done()));
    assert!(made.alt.contains("4 of 30 repeats"), "{}", made.alt);
    assert!(made.alt.contains("fpdc") && made.alt.contains("bpdc"), "{}", made.alt);
    assert!(texts(&made.drawing).iter().any(|t| t == "\u{d7} 30"));
}

#[test]
fn v_stitches_stand_in_the_space_below() {
    let mut loom = Loom::default().chain(24).round(24, Kind::SC);
    for n in 0..4 {
        let before = loom.fabric.courses.last().unwrap().stitches.clone();
        let mut stitches = Vec::new();
        for g in 0..12 {
            let on = match n {
                0 => Standing::Stitch(before.start + 2 * g),
                _ => Standing::Space(before.start + 3 * g + 1),
            };
            let mut push = |k: Kind, role, base| {
                let mut s = stitch(k, role, base);
                s.group = g + 1;
                stitches.push(s);
            };
            push(kind(Base::Hdc), Role::Counted, on);
            push(Kind::CH, Role::Space, Standing::Nothing);
            push(kind(Base::Hdc), Role::Counted, on);
        }
        let ground = loom.ground();
        loom.push(CourseShape::Round, ground, stitches).spaces = 12;
    }
    let made = charted("chart-vees", &numbered(loom.done()));
    assert!(made.alt.contains("of 12 repeats"), "{}", made.alt);
    assert!(made.alt.contains("round 3–5 has 24 stitches"), "{}", made.alt);
}

#[test]
fn every_symbol_can_be_drawn() {
    let bases = [
        Base::Sc,
        Base::Hdc,
        Base::Dc,
        Base::Tr,
        Base::Dtr,
        Base::Trtr,
        Base::Cluster,
        Base::Puff,
        Base::Bobble,
        Base::Popcorn,
        Base::Picot,
        Base::SlSt,
        Base::Special(0),
    ];
    let mut loom = Loom::default().chain(26);
    let before = loom.fabric.courses.last().unwrap().stitches.clone();
    let mut stitches = Vec::new();
    for (i, b) in (0..).zip(bases) {
        stitches.push(stitch(kind(b), Role::Counted, Standing::Stitch(before.end - 1 - i)));
    }
    use brimwright::standards::stitches::Form;
    for (i, form) in (13..).zip([Form::Extended, Form::Foundation, Form::Reverse, Form::Spike]) {
        let k = Kind { form, ..Kind::SC };
        stitches.push(stitch(k, Role::Counted, Standing::Stitch(before.end - 1 - i)));
    }
    for (i, base) in (17..).step_by(3).zip([Base::Sc, Base::Hdc, Base::Dc]) {
        let mut s = stitch(kind(base).tog(3), Role::Counted, Standing::Stitch(before.end - 1 - i));
        (s.last, s.bases) = (before.end - 3 - i, 3);
        stitches.push(s);
    }
    let ground = loom.ground();
    loom.push(CourseShape::Row, ground, stitches);
    let mut fabric = numbered(loom.done());
    fabric.specials = vec!["fan".into()];
    let made = charted("chart-symbols", &fabric);
    for name in ["pc: popcorn", "dc3tog", "fan", "rsc", "esc"] {
        assert!(made.alt.contains(name), "{name}: {}", made.alt);
    }
}

#[test]
fn nothing_to_draw_gives_no_chart() {
    assert_eq!(chart(&Fabric::default(), &ChartOptions::default()), None);
    let chain = Loom::default().chain(20).done();
    assert_eq!(chart(&chain, &ChartOptions::default()), None);
}

mod schematics {
    use super::*;
    use brimwright::figure::schematic::{self, Look, Sized};
    use brimwright::measures::{Band, PieceMeasure, Silhouette, Top};
    use brimwright::quantity::Units;

    fn tube(girth: f64, depth: f64, top: Top) -> Silhouette {
        let cuff = 0.3 * depth;
        let band = |piece, length| Band { length, lower: girth, upper: girth, piece };
        let mut bands = vec![band(0, cuff), band(1, depth - cuff)];
        if top == Top::Closed {
            let crown = girth / std::f64::consts::TAU;
            bands[1].length -= crown;
            let n = 9;
            bands.extend((0..n).map(|i| Band {
                length: crown / f64::from(n),
                lower: girth * f64::from(n - i) / f64::from(n),
                upper: girth * f64::from(n - i - 1) / f64::from(n),
                piece: 1,
            }));
        }
        Silhouette {
            bands,
            top,
            girth,
            widest: girth,
            depth,
            pieces: vec![
                PieceMeasure { piece: 0, girth, depth: cuff },
                PieceMeasure { piece: 1, girth, depth: depth - cuff },
            ],
            ..Silhouette::default()
        }
    }

    #[test]
    fn sizes_are_nested_to_one_scale_with_both_units() {
        for (top, name) in
            [(Top::Gathered, "gathered"), (Top::Closed, "closed"), (Top::Open, "open")]
        {
            let shapes = [
                tube(440.0, 185.0, top),
                tube(480.0, 195.0, top),
                tube(510.0, 210.0, top),
                tube(540.0, 220.0, top),
                tube(570.0, 230.0, top),
            ];
            let names = ["Toddler", "Child", "Adult S", "Adult M", "Adult L"];
            let sized: Vec<Sized> = shapes
                .iter()
                .zip(names)
                .map(|(shape, name)| Sized { name, shape, pieces: &["Cuff", "Body"] })
                .collect();
            let d = schematic::drawing(&sized, &Look::ordinary(Units::Metric)).unwrap();
            drawn::keep_svg(&format!("schematic-{name}"), &d);
            let said = texts(&d);
            for words in
                ["Adult M: 54\u{a0}cm (21¼\u{a0}in) round", "Child: 19.5\u{a0}cm (7¾\u{a0}in)"]
            {
                assert!(said.iter().any(|t| t == words), "{words}: {said:?}");
            }
            // Brim lines, as drawn, stand to each other as the girths do.
            let wide = |i: usize| match &d.marks[i] {
                Mark::Path(p) => {
                    let xs = p.segments.iter().filter_map(|s| match s {
                        Segment::Move(x, _) | Segment::Line(x, _) => Some(*x),
                        _ => None,
                    });
                    xs.clone().fold(0.0, f64::max) - xs.fold(1e9, f64::min)
                }
                Mark::Label(_) => 0.0,
            };
            let outlines: Vec<usize> = (0..d.marks.len())
                .filter(|i| matches!(&d.marks[*i], Mark::Path(p) if p.segments.len() > 6))
                .collect();
            if top != Top::Open {
                let ratio = wide(outlines[0]) / wide(outlines[4]);
                assert!((ratio - 440.0 / 570.0).abs() < 1e-6, "{ratio}");
            }
            assert!(schematic::alt(&sized, Units::Metric).contains("Adult L: 57"));
        }
    }

    #[test]
    fn nothing_worked_has_no_schematic() {
        let shape = Silhouette::default();
        assert!(
            schematic::drawing(
                &[Sized { name: "S", shape: &shape, pieces: &[] }],
                &Look::ordinary(Units::Metric)
            )
            .is_none()
        );
    }
}
