//! Properties of the worked fabric: a mirrored piece is the mirror image, and the work goes
//! up with the stitches and no faster.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use brimwright::fabric::{CourseShape, Fabric, Role, Standing, WorkOptions, Worked, work};
use brimwright::written::say::{Hand, Style};
use brimwright::written::{NoHoles, Piece, ReadOptions, Terms, read, say};
use proptest::prelude::*;

fn piece(text: &str) -> Piece {
    let reading = read(text, &ReadOptions { terms: Some(Terms::Us), ..ReadOptions::default() });
    assert!(reading.findings.is_empty(), "{text}\n{:?}", reading.findings);
    reading.piece
}

fn proved(text: &str) -> Worked {
    let worked = work(&piece(text), "", &NoHoles, &WorkOptions::default());
    assert!(worked.findings.is_empty(), "{text}\n{:#?}", worked.findings);
    worked
}

/// One thing done along a row: its words, the stitches it uses up, those it makes.
type Done = (&'static str, usize, usize);

const THINGS: [Done; 9] = [
    ("sc in next st", 1, 1),
    ("dc in next 3 sts", 3, 3),
    ("2 sc in next st", 1, 2),
    ("3 dc in next st", 1, 3),
    ("sc2tog", 2, 1),
    ("dc3tog", 3, 1),
    ("skip next 2 sts", 2, 0),
    ("(dc, ch 2, dc) in next st", 1, 2),
    ("fpdc around next st", 1, 1),
];

/// What each row does: from the stitches of the row below, by the numbers drawn.
fn rows(width: usize, drawn: &[Vec<usize>]) -> Vec<(Vec<&'static str>, usize)> {
    let mut all = Vec::new();
    let mut below = width;
    for row in drawn {
        // The ends are plain, so that a row begins and ends with a stitch whichever way.
        let (mut left, mut made) = (below.saturating_sub(2), 2);
        let mut words = vec!["sc in next st"];
        for k in row {
            let (thing, uses, makes) = THINGS[k % THINGS.len()];
            if uses <= left {
                words.push(thing);
                left -= uses;
                made += makes;
            }
        }
        words.extend(std::iter::repeat_n("hdc in next st", left));
        made += left;
        words.push("sc in next st");
        all.push((words, made));
        below = made;
    }
    all
}

fn text(width: usize, rows: &[(Vec<&str>, usize)], mirrored: bool) -> String {
    let mut out = format!(
        "Ch {}.\nRow 1: Sc in 2nd ch from hook and in each ch across. ({width} sc)\n",
        width + 1
    );
    for (i, (words, made)) in rows.iter().enumerate() {
        let mut words = words.clone();
        if mirrored {
            words.reverse();
        }
        out += &format!("Row {}: Ch 1, turn, {}. ({made} sts)\n", i + 2, words.join(", "));
    }
    out
}

/// Of each row: its counted stitches in order, and where in the row below each stands.
fn shape(fabric: &Fabric) -> Vec<Vec<(String, usize, usize)>> {
    let mut all: Vec<Vec<(String, usize, usize)>> = Vec::new();
    let mut below: Vec<u32> = Vec::new();
    for course in fabric.courses.iter().filter(|c| c.shape == CourseShape::Row) {
        let counted: Vec<u32> = (course.stitches.start..course.stitches.end)
            .filter(|i| fabric.stitches[*i as usize].role == Role::Counted)
            .collect();
        let at = |i: u32| below.iter().position(|b| *b == i);
        let row = counted.iter().map(|i| {
            let stitch = fabric.stitches[*i as usize];
            let base = match stitch.base {
                Standing::Stitch(base) => at(base),
                other => panic!("{other:?}"),
            };
            (stitch.kind.name(Terms::Us, &[]), base.unwrap_or(0), at(stitch.last).unwrap_or(0))
        });
        all.push(row.collect());
        below = counted;
    }
    all
}

/// A picture of rows turned round: what was first is last.
fn turned_round(rows: &[Vec<(String, usize, usize)>]) -> Vec<Vec<(String, usize, usize)>> {
    let mut out = Vec::new();
    for (r, row) in rows.iter().enumerate() {
        let below = if r == 0 { 0 } else { rows[r - 1].len() };
        // Row 1 stands on the chain, which is the same from both sides.
        let turn = |i: usize| if r == 0 { i } else { below - 1 - i };
        let row = row.iter().rev().map(|(name, a, b)| (name.clone(), turn(*b), turn(*a)));
        out.push(row.collect());
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(300) })]

    /// A piece worked mirrored, each row from its other end, is proved with the same counts,
    /// and every stitch stands where its mirror image does.
    #[test]
    fn a_mirrored_piece_is_the_mirror_image(
        width in 4usize..24,
        drawn in prop::collection::vec(prop::collection::vec(0usize..THINGS.len(), 0..12), 1..6),
    ) {
        let rows = rows(width, &drawn);
        let plain = proved(&text(width, &rows, false));
        let mirrored = proved(&text(width, &rows, true));
        prop_assert_eq!(&plain.totals, &mirrored.totals);
        for (a, b) in plain.lines.iter().zip(&mirrored.lines) {
            prop_assert_eq!(a.count, b.count);
            prop_assert_eq!(&a.counts, &b.counts);
        }
        prop_assert_eq!(turned_round(&shape(&plain.fabric)), shape(&mirrored.fabric));
    }

    /// What is said for the left hand is worked to the same counts as what was read.
    #[test]
    fn the_left_hand_comes_to_the_same_counts(
        width in 4usize..24,
        drawn in prop::collection::vec(prop::collection::vec(0usize..THINGS.len(), 0..12), 1..4),
    ) {
        let rows = rows(width, &drawn);
        let text = text(width, &rows, false);
        let style = Style { hand: Hand::Left, ..Style::default() };
        let said: Vec<String> = say(&piece(&text), &style, &[]).iter().map(|s| s.plain()).collect();
        let (right, left) = (proved(&text), proved(&said.join("\n")));
        prop_assert_eq!(&right.totals, &left.totals);
        prop_assert_eq!(shape(&right.fabric), shape(&left.fabric));
    }
}

/// Pieces of every build, `n` times as wide as the smallest.
fn builds(n: usize) -> Vec<(&'static str, String)> {
    let ring = |sts: usize| {
        format!("Ch {sts}; join.\nRnd 1: Ch 1, sc in each ch around; join. ({sts} sc)\n")
    };
    let flat = |sts: usize| {
        format!("Ch {}.\nRow 1: Sc in 2nd ch from hook and in each ch across.\n", sts + 1)
    };
    let v = "Special stitch: V-st: (dc, ch 1, dc) in st or sp indicated.\n";
    vec![
        ("each stitch", ring(6 * n) + "Rnds 2-9: Ch 1, sc in each st around; join.\n"),
        (
            "increases",
            ring(6 * n) + "Rnd 2: *Sc in next 2 sts, 2 sc in next st; rep from * around.\n",
        ),
        (
            "decreases",
            ring(6 * n)
                + "Rnd 2: *Sc in next st, sc2tog; rep from * around.\nRnd 3: Sc2tog around.\n",
        ),
        (
            "brackets",
            ring(6 * n)
                + &format!("Rnd 2: [[sc in next st, hdc in next st] twice, sc2tog] {n} times.\n"),
        ),
        (
            "to the last",
            ring(6 * n)
                + "Rnd 2: *Sc in next st, dc in next st; rep from * to last 2 sts, sc in last 2 sts.\n",
        ),
        ("every other", ring(6 * n) + "Rnd 2: Dc in every other st around.\n"),
        ("one walk", ring(6 * n) + "Rnd 2: Sc in each st around, working 2 sc in every 3rd st.\n"),
        (
            "mesh",
            ring(6 * n)
                + "Rnd 2: Ch 1, *sc in next st, ch 2, skip next st; rep from * around; join.\nRnd 3: Ch 1, *3 sc in next ch-2 sp; rep from * around; join.\n",
        ),
        (
            "mesh, each space",
            ring(6 * n)
                + "Rnd 2: Ch 1, *sc in next st, ch 2, skip next st; rep from * around; join.\nRnd 3: Ch 1, 3 sc in each ch-2 sp around; join.\n",
        ),
        (
            "mesh and stitches",
            ring(6 * n)
                + "Rnd 2: Ch 1, *sc in next st, ch 2, skip next st; rep from * around; join.\nRnd 3: Ch 1, *sc in next sc, sc in next ch-2 sp; rep from * around; join.\n",
        ),
        (
            "groups",
            v.to_owned()
                + &ring(6 * n)
                + "Rnd 2: *V-st in next st, skip next 2 sts; rep from * around.\nRnd 3: *V-st in next V-st; rep from * around.\nRnd 4: V-st in each V-st around.\nRnd 5: *V-st in ch-1 sp of next V-st; rep from * around.\n",
        ),
        (
            "shells",
            ring(6 * n)
                + "Rnd 2: *(2 dc, ch 1, 2 dc) in next st, skip next 2 sts; rep from * around.\nRnd 3: *(2 dc, ch 1, 2 dc) in next ch-1 sp; rep from * around.\n",
        ),
        ("rows", flat(6 * n) + "Rows 2-7: Ch 1, turn, sc blo in each st across.\n"),
        (
            "rows again",
            flat(6 * n)
                + "Row 2: Ch 1, turn, sc in each st across.\nRow 3: Ch 1, turn, hdc in each st across.\nRows 4-9: Rep Rows 2 and 3.\n",
        ),
        (
            "the other side",
            format!(
                "Ch {}.\nRnd 1: Sc in 2nd ch from hook and in next {} chs, 3 sc in last ch, working along opposite side of foundation ch, sc in next {} chs, 2 sc in last ch.\n",
                6 * n + 1,
                6 * n - 2,
                6 * n - 2
            ),
        ),
    ]
}

/// How many steps, places looked at among them, a stitch may cost; a round's fixed ones apart.
/// Measured: 5.4 at most. It is a bound on growth, so that no row is gone over once a stitch.
const EACH: f64 = 8.0;

#[test]
fn the_work_goes_up_with_the_stitches() {
    for n in [4, 40, 400, 4000] {
        for (name, text) in builds(n) {
            let worked = proved(&text);
            let stitches = worked.fabric.stitches.len() as f64;
            let each = worked.steps as f64 / stitches;
            println!("{n:5} {name:18} {stitches:7} stitches, {each:.2} steps each");
            assert!(
                worked.steps as f64 <= EACH * stitches + 100.0,
                "{name}: {} steps for {stitches} stitches",
                worked.steps
            );
        }
    }
}
