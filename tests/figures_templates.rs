//! True-scale drawings, measured on their print at 300 dpi.
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

use brimwright::figure::hooks::HookRing;
use brimwright::figure::pompom::{self, FurCut, PompomPlan, Words, YarnRing};
use brimwright::figure::{Drawing, Mark, Segment, check, code, hooks, tape, window};
use drawn::{Print, keep_svg};

/// What the printed size may be off by, in mm.
const TOLERANCE: f64 = 0.2;

#[track_caller]
fn near(found: f64, asked: f64) {
    assert!((found - asked).abs() <= TOLERANCE, "measured {found:.3} mm, asked {asked:.3} mm");
}

#[track_caller]
fn span(strokes: &[f64]) -> f64 {
    assert!(strokes.len() >= 2, "no two strokes met: {strokes:?}");
    strokes[strokes.len() - 1] - strokes[0]
}

fn texts(d: &Drawing) -> Vec<String> {
    d.marks
        .iter()
        .filter_map(|m| match m {
            Mark::Label(l) => Some(l.text.replace('\u{a0}', " ")),
            Mark::Path(_) => None,
        })
        .collect()
}

/// No mark may stand outside the drawing: the page would cut it off.
#[track_caller]
fn all_inside(d: &Drawing) {
    let within = |x: f64, y: f64| {
        (-0.01..=d.width + 0.01).contains(&x) && (-0.01..=d.height + 0.01).contains(&y)
    };
    for mark in &d.marks {
        match mark {
            Mark::Path(p) => {
                for s in &p.segments {
                    let ends = match *s {
                        Segment::Move(x, y) | Segment::Line(x, y) => (x, y),
                        Segment::Curve([_, _, _, _, x, y]) => (x, y),
                        Segment::Close => continue,
                    };
                    assert!(within(ends.0, ends.1), "{s:?} in {} x {}", d.width, d.height);
                }
            }
            Mark::Label(l) => assert!(within(l.at.0, l.at.1), "{l:?}"),
        }
    }
}

/// The corners of every outline in a drawing: left, top, right, foot; and whether it is
/// round.
fn outlines(d: &Drawing) -> Vec<([f64; 4], bool)> {
    let each = d.marks.iter().filter_map(|m| match m {
        Mark::Path(p) if matches!(p.segments.last(), Some(Segment::Close)) => {
            let (mut a, mut round) = ([f64::MAX, f64::MAX, f64::MIN, f64::MIN], false);
            for s in &p.segments {
                let (x, y) = match *s {
                    Segment::Move(x, y) | Segment::Line(x, y) => (x, y),
                    Segment::Curve([_, _, _, _, x, y]) => (x, y),
                    Segment::Close => continue,
                };
                round |= matches!(s, Segment::Curve(_));
                a = [a[0].min(x), a[1].min(y), a[2].max(x), a[3].max(y)];
            }
            Some((a, round))
        }
        _ => None,
    });
    each.collect()
}

/// Where the check square of this side stands.
#[track_caller]
fn square(d: &Drawing, side: f64) -> (f64, f64) {
    let found = outlines(d)
        .into_iter()
        .find(|(a, round)| !round && (a[2] - a[0] - side).abs() < 1e-6)
        .expect("a check square");
    (found.0[0], found.0[1])
}

/// How far two outlines stand apart: negative where one reaches into the other.
fn distance((a, a_round): ([f64; 4], bool), (b, b_round): ([f64; 4], bool)) -> f64 {
    let middle = |a: [f64; 4]| (a[0].midpoint(a[2]), a[1].midpoint(a[3]));
    let radius = |a: [f64; 4]| (a[2] - a[0]) / 2.0;
    let ((ax, ay), (bx, by)) = (middle(a), middle(b));
    match (a_round, b_round) {
        (true, true) => (ax - bx).hypot(ay - by) - radius(a) - radius(b),
        (true, false) => (ax - ax.clamp(b[0], b[2])).hypot(ay - ay.clamp(b[1], b[3])) - radius(a),
        (false, true) => distance((b, true), (a, false)),
        (false, false) => (b[0] - a[2]).max(a[0] - b[2]).max((b[1] - a[3]).max(a[1] - b[3])),
    }
}

/// Pieces to cut stand apart; what lies wholly inside another (a hole, a line to sew along)
/// is part of it. Words stand in their piece or in nobody's.
#[track_caller]
fn nothing_overlaps(d: &Drawing) {
    let all = outlines(d);
    let inside = |a: [f64; 4], b: [f64; 4]| {
        a[0] > b[0] - 1e-6 && a[1] > b[1] - 1e-6 && a[2] < b[2] + 1e-6 && a[3] < b[3] + 1e-6
    };
    for (i, a) in all.iter().enumerate() {
        for b in all.iter().skip(i + 1) {
            if !inside(a.0, b.0) && !inside(b.0, a.0) {
                assert!(distance(*a, *b) > 3.0, "{a:?} meets {b:?}");
            }
        }
    }
    for mark in &d.marks {
        let Mark::Label(l) = mark else { continue };
        // About half an em a letter, both sides of the middle.
        let half = 0.25 * l.size * 0.3528 * l.text.chars().count() as f64;
        let words = [l.at.0 - half, l.at.1 - 0.6 * l.size * 0.3528, l.at.0 + half, l.at.1];
        for outline in &all {
            let apart = distance((words, false), *outline) > 0.0;
            let (a, round) = *outline;
            let r = (a[2] - a[0]) / 2.0;
            let corner = half.hypot((l.at.1 - a[1].midpoint(a[3])).abs());
            let within = if round { corner < r } else { inside(words, a) };
            let ring = l.text == "slit" || l.text == "hole";
            assert!(apart || within || ring, "{:?} at {words:?} over {a:?}", l.text);
        }
    }
}

fn fur(cut: f64) -> PompomPlan {
    PompomPlan { fur: vec![FurCut { sizes: vec![], cut, pile: 20.0 }], rings: vec![] }
}

#[test]
fn fur_circle_and_squares_print_true() {
    for cut in [60.0, 127.0, 180.0] {
        let d = pompom::template(&fur(cut));
        all_inside(&d);
        keep_svg(&format!("pompom-fur-{cut}"), &d);
        let print = Print::of(&d);
        let middle = (cut + 0.4) / 2.0;
        near(span(&print.along_row(middle, 0.0, cut + 1.0)), cut);
        near(span(&print.down_column(middle, 0.0, cut + 0.4)), cut);
        nothing_overlaps(&d);
        let (left, top) = square(&d, 50.0);
        near(span(&print.along_row(top + 20.0, left - 1.0, left + 51.0)), 50.0);
        near(span(&print.down_column(left + 25.0, top - 1.0, top + 51.0)), 50.0);
        // The broken square: its upright lines are met where a dash stands.
        let (left, top) = square(&d, 50.8);
        let two_inches = (0..20)
            .map(|i| print.along_row(top + 10.0 + f64::from(i) * 0.5, left - 1.0, left + 52.0))
            .find(|s| s.len() == 2)
            .map(|s| span(&s));
        near(two_inches.unwrap_or(0.0), 50.8);
    }
}

#[test]
fn gathering_line_runs_inside_the_edge() {
    let d = pompom::template(&fur(127.0));
    let print = Print::of(&d);
    let middle = 63.7;
    let strokes = (0..30)
        .map(|i| print.along_row(middle + f64::from(i) * 0.1, 0.0, 128.0))
        .find(|s| s.len() == 4)
        .unwrap_or_default();
    assert_eq!(strokes.len(), 4, "cut line, broken line, broken line, cut line");
    // Published inset: 1/4 to 1/2 in (tiedyedivapatterns.com); ours is 3/8 in.
    near(strokes[1] - strokes[0], 9.525);
}

#[test]
fn published_fur_sizes_come_out() {
    // tiedyedivapatterns.com: a 5 in circle makes 2.5 in in short pile and "just under 6 in"
    // with 1.5 in pile; by the formula half + twice the pile that is 5.5 in.
    let inch = 25.4;
    for (pile, finished) in [(0.0, 2.5), (1.5, 5.5)] {
        let cut = FurCut { sizes: vec![], cut: 5.0 * inch, pile: pile * inch };
        assert!((cut.finished() / inch - finished).abs() < 1e-9);
        let back = FurCut::for_pompom(finished * inch, pile * inch).unwrap();
        assert!((back.cut / inch - 5.0).abs() < 1e-9);
    }
    assert!(FurCut::for_pompom(60.0, 40.0).is_none());
}

#[test]
fn published_ring_size_comes_out() {
    // morehousefarm.com: ring = pompom + 1/2 in for trimming, hole about a third of the ring.
    let ring = YarnRing::for_pompom(2.5 * 25.4);
    near(ring.outer, 3.0 * 25.4);
    near(ring.hole, 25.4);
    near(ring.finished(), 2.5 * 25.4);
}

#[test]
fn yarn_ring_prints_true_with_a_slit() {
    let ring = YarnRing { sizes: vec!["Adult M".into()], outer: 90.0, hole: 30.0 };
    let plan = PompomPlan { fur: vec![], rings: vec![ring] };
    let d = pompom::template(&plan);
    all_inside(&d);
    keep_svg("pompom-ring", &d);
    let print = Print::of(&d);
    // Off the slit, 2 mm above the middle: chords, not diameters.
    let beside = square(&d, 50.0).0.min(square(&d, 50.8).0) - 1.0;
    let strokes = print.along_row(45.2 - 2.0, 0.0, beside);
    assert_eq!(strokes.len(), 4);
    let chord = |r: f64| 2.0 * (r * r - 4.0_f64).sqrt();
    near(strokes[3] - strokes[0], chord(45.0));
    near(strokes[2] - strokes[1], chord(15.0));
    let slit = print.down_column(strokes[0].midpoint(strokes[3]) + 31.0, 44.0, 46.4);
    assert_eq!(slit.len(), 1, "the slit crosses the ring's right half");
    assert!(texts(&d).iter().any(|t| t == "Adult M"));
}

#[test]
fn many_sizes_fill_several_sheets_each_with_squares() {
    let cut = |mm: f64, name: &str| FurCut { sizes: vec![name.into()], cut: mm, pile: 15.0 };
    let plan = PompomPlan {
        fur: vec![cut(110.0, "Child"), cut(130.0, "Adult S, Adult M"), cut(150.0, "Adult L")],
        rings: vec![YarnRing::for_pompom(70.0)],
    };
    let sheets = pompom::sheets(&plan, Words::Whole, 170.0, &[235.0]);
    assert!(sheets.len() >= 2);
    for (i, sheet) in sheets.iter().enumerate() {
        all_inside(sheet);
        nothing_overlaps(sheet);
        keep_svg(&format!("pompom-sheet-{i}"), sheet);
        assert!(
            sheet.width <= 170.0 && sheet.height <= 235.0,
            "{} x {}",
            sheet.width,
            sheet.height
        );
        for side in ["5 cm", "2 in"] {
            assert!(texts(sheet).iter().any(|t| t == side));
        }
    }
    let all: Vec<String> = sheets.iter().flat_map(texts).collect();
    for name in ["Child", "Adult S, Adult M", "Adult L"] {
        assert_eq!(all.iter().filter(|t| *t == name).count(), 1, "{name}");
    }
    let alt = pompom::alt(&plan).replace('\u{a0}', " ");
    assert!(alt.contains("13 cm (5 1/8 in)"), "{alt}");
    assert!(alt.contains("for Adult S, Adult M"), "{alt}");
}

#[test]
fn small_circles_and_rings_of_several_sizes_share_a_sheet() {
    let cut = |mm: f64, name: &str| FurCut { sizes: vec![name.into()], cut: mm, pile: 15.0 };
    let ring =
        |mm: f64, name: &str| YarnRing { sizes: vec![name.into()], outer: mm, hole: mm / 3.0 };
    let plan = PompomPlan {
        fur: vec![cut(60.0, "Toddler"), cut(75.0, "Child"), cut(90.0, "Adult M")],
        rings: vec![ring(50.0, "Toddler"), ring(58.0, "Child")],
    };
    let sheets = pompom::sheets(&plan, Words::Whole, 188.0, &[166.0, 220.0]);
    assert_eq!(sheets.len(), 2);
    for sheet in &sheets {
        all_inside(sheet);
        nothing_overlaps(sheet);
        assert_eq!(texts(sheet).iter().filter(|t| *t == "5 cm" || *t == "2 in").count(), 2);
    }
    // Every circle is as large as asked, wherever it stands.
    let mut found: Vec<f64> = sheets
        .iter()
        .flat_map(outlines)
        .filter(|(_, round)| *round)
        .map(|(a, _)| a[2] - a[0])
        .collect();
    found.sort_by(f64::total_cmp);
    for asked in [50.0, 58.0, 60.0, 75.0, 90.0] {
        assert!(found.iter().any(|d| (d - asked).abs() < 0.01), "{asked} in {found:?}");
    }
}

#[test]
fn an_empty_plan_has_no_sheet() {
    assert!(pompom::sheets(&PompomPlan::default(), Words::Whole, 170.0, &[240.0]).is_empty());
}

#[test]
fn gauge_window_opens_ten_centimetres() {
    let d = window::gauge_window();
    all_inside(&d);
    keep_svg("gauge-window", &d);
    let print = Print::of(&d);
    let opening = print.along_row(14.0 + 100.6, 0.0, 1.0);
    assert_eq!(opening.len(), 1, "the frame's own edge");
    // Between two ticks the row meets frame, opening, opening, broken line or not, frame.
    let strokes = print.along_row(14.0 + 50.5, 13.5, 114.5);
    near(span(&strokes), 100.0);
    let strokes = print.down_column(14.0 + 50.5, 13.5, 114.5);
    near(span(&strokes), 100.0);
    let broken = (0..30)
        .map(|i| print.along_row(54.0 + f64::from(i) * 0.1, 13.5, 116.0))
        .find(|s| s.len() == 3)
        .unwrap_or_default();
    near(span(&broken), 101.6);
    // Millimetre ticks on the top edge: 101 from 0 to 100.
    let ticks = print.along_row(14.0 - 0.7 - 1.0, 13.5, 114.5);
    assert_eq!(ticks.len(), 101);
    near(span(&ticks), 100.0);
    // Eighths of an inch on the bottom edge: 33 from 0 to 4.
    let ticks = print.along_row(14.0 + 101.6 + 0.7 + 1.0, 13.5, 116.0);
    assert_eq!(ticks.len(), 33);
    near(span(&ticks), 101.6);
}

#[test]
fn hook_rings_have_their_hooks_diameter() {
    // US names: Craft Yarn Council hook list as carried by the published hook table.
    let list = [(2.25, "B-1"), (5.0, "H-8"), (7.0, ""), (15.0, "P/Q"), (20.0, "")];
    let list: Vec<HookRing> =
        list.iter().map(|(mm, us)| HookRing { mm: *mm, us: (*us).into() }).collect();
    let d = hooks::rings(&list);
    all_inside(&d);
    keep_svg("hook-rings", &d);
    let print = Print::of(&d);
    for (i, mm) in [2.25, 5.0, 7.0, 15.0].iter().enumerate() {
        let x = i as f64 * 27.0;
        near(span(&print.along_row(8.5, x, x + 27.0)), *mm);
        near(span(&print.down_column(x + 13.5, 0.0, 17.0)), *mm);
    }
    let said = texts(&d);
    assert!(said.contains(&"2.25 mm".to_owned()) && said.contains(&"US H-8".to_owned()));
    assert!(!said.contains(&"20 mm".to_owned()), "larger than 15 mm is left out");
    assert!(hooks::alt(&list).contains("2.25 mm (B-1), 5 mm (H-8), 7 mm, 15 mm (P/Q)"));
}

#[test]
fn tape_strips_join_to_66_centimetres() {
    let d = tape::head_tape();
    all_inside(&d);
    keep_svg("head-tape", &d);
    assert!(d.width <= 170.0 && d.height <= 240.0);
    let print = Print::of(&d);
    let mut whole = 0.0;
    let mut inches = Vec::new();
    for n in 0..4 {
        let x = 0.2 + f64::from(n) * 28.0;
        // Ticks of whole and half centimetres, 1.5 mm inside the left edge.
        let ticks = print.down_column(x + 1.5, 2.5, 3.0 + 165.6);
        assert_eq!(ticks.len(), 34, "strip {n}");
        near(span(&ticks), 165.0);
        let right = print.down_column(x + 24.0 - 1.5, 2.5, 3.0 + 165.6);
        let first = right[0];
        inches.extend(right.iter().map(|y| whole + y - first).filter(|_| n == 0));
        whole += span(&ticks);
    }
    near(whole, 660.0);
    assert!(inches.len() >= 13, "half-inch ticks on the first strip");
    let numbers = texts(&d);
    for cm in 1..66 {
        // 33 cm stands at the join of two strips and is left to its neighbours.
        if cm != 33 {
            assert!(numbers.contains(&cm.to_string()), "{cm}");
        }
    }
}

#[test]
fn code_keeps_its_quiet_zone_and_finders() {
    let address = "https://example.org/harbour-rib";
    let d = code::link(address, 33.0).unwrap();
    all_inside(&d);
    keep_svg("code", &d);
    // The address is short enough for a version-3 code (ISO/IEC 18004): 29 modules and
    // four white ones on each side.
    let module = 33.0 / 37.0;
    let print = Print::of(&d);
    let finder = print.along_row(4.5 * module, 0.0, 33.0);
    // Top row of both upper finder patterns: seven dark modules each, middles 25 or so apart.
    near(finder[0], (4.0 + 3.5) * module);
    near(finder[finder.len() - 1], (4.0 + 29.0 - 3.5) * module);
    assert!(code::alt(address).contains(address));
    assert!(code::link(&"x".repeat(3000), 30.0).is_none());
}

#[test]
fn squares_alone_are_true() {
    for (d, name) in [(check::squares(), "across"), (check::squares_stacked(), "stacked")] {
        all_inside(&d);
        let print = Print::of(&d);
        near(span(&print.along_row(20.0, 0.0, 51.0)), 50.0);
        assert!(texts(&d).contains(&"2 in".to_owned()), "{name}");
    }
}
