//! Published crowns and the classic sums of even shaping, worked stitch by stitch.
//!
//! Each text is read and worked as a maker would; the counts asked for are those the named
//! source prints, never our own.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use brimwright::proof::text::{TextOptions, prove};

/// The count of each line; a fault is shown and fails.
#[track_caller]
fn counts(text: &str) -> Vec<u64> {
    let proof = prove(text, &TextOptions::default());
    assert!(proof.faults.is_empty(), "{text}\n{:?}", proof.faults);
    proof.lines.iter().map(|l| l.count).collect()
}

/// A disc of `n` stitches more each round, in rounds closed with a slip stitch.
fn disc(n: u32, st: &str, rounds: u32) -> String {
    let mut text =
        format!("Rnd 1: Magic ring, ch 1, {n} {st} in ring, join with sl st in first {st}.\n");
    for r in 2..=rounds {
        let step = match r {
            2 => format!("2 {st} in each st around"),
            3 => format!("[{st} in next st, 2 {st} in next st] {n} times"),
            _ => format!("[{st} in next {} sts, 2 {st} in next st] {n} times", r - 2),
        };
        text += &format!("Rnd {r}: Ch 1, {step}, join with sl st in first {st}.\n");
    }
    text
}

/// firebrunette.wordpress.com, hat of 2007: 6 in the ring, then rounds 1-13 to 84.
#[test]
fn a_disc_of_single_crochet_grows_by_six() {
    let asked = [6, 12, 18, 24, 30, 36, 42, 48, 54, 60, 66, 72, 78, 84];
    assert_eq!(counts(&disc(6, "sc", 14)), asked);
}

/// journalgazette.net, hat of 24 Jan 2010.
#[test]
fn a_disc_of_half_double_crochet_grows_by_eight() {
    assert_eq!(counts(&disc(8, "hdc", 8)), [8, 16, 24, 32, 40, 48, 56, 64]);
}

/// gracefullymadecrochet.com (2022): 48 dc for a 20 in hat.
#[test]
fn a_disc_of_double_crochet_grows_by_twelve() {
    assert_eq!(counts(&disc(12, "dc", 4)), [12, 24, 36, 48]);
}

/// missjuliaspatterns.blogspot.com, transcribed from a hat of 1945: 15 a round to 75, then
/// an increase in every 5th stitch.
#[test]
fn a_disc_of_1945_grows_by_fifteen_to_ninety() {
    let more = "Rnd 6: Ch 1, [dc in next 4 sts, 2 dc in next st] 15 times, join with sl st in \
        first dc.\n";
    let text = disc(15, "dc", 5) + more;
    assert_eq!(counts(&text), [15, 30, 45, 60, 75, 90]);
}

/// A tutorial by ahooka, as copied in a public corpus: round 5 is (3 sc, inc) x 6 to 30,
/// round 6 staggered, 2 sc, inc, (4 sc, inc) x 5, 2 sc, to 36.
#[test]
fn staggered_increases_count_as_plain_ones() {
    let text = disc(6, "sc", 4)
        + "Rnd 5: Ch 1, [sc in next 3 sts, 2 sc in next st] 6 times, join with sl st in first sc. (30 sc)\n\
           Rnd 6: Ch 1, sc in next 2 sts, 2 sc in next st, [sc in next 4 sts, 2 sc in next st] 5 times, \
           sc in next 2 sts, join with sl st in first sc. (36 sc)\n";
    assert_eq!(counts(&text)[3..], [24, 30, 36]);
}

/// One round over a ring of `before` stitches.
fn over(before: u32, step: &str) -> u64 {
    let text = format!(
        "Ch {before}, join with sl st in first ch to form a ring.\n\
         Rnd 1: Ch 1, sc in each ch around, join with sl st in first sc. ({before} sc)\n\
         Rnd 2: Ch 1, {step}, join with sl st in first st.\n"
    );
    *counts(&text).last().unwrap()
}

/// ibrakeforyarnhooksandbooks.blogspot.com (2008): 42 less 6, and 75 less 10, whose two
/// kinds of group are interleaved.
#[test]
fn decreases_lie_evenly() {
    assert_eq!(over(42, "[sc in next 5 sts, sc2tog] 6 times"), 36);
    let both = "[sc in next 6 sts, sc2tog, sc in next 5 sts, sc2tog] 5 times";
    assert_eq!(over(75, both), 65);
}

/// wilmade.com: 186 less 8. Its text says eight groups of 23, which leaves two over; six of
/// 23 and two of 24 use them up.
#[test]
fn decreases_with_a_remainder_use_every_stitch() {
    let groups = "[sc in next 21 sts, sc2tog] 6 times, [sc in next 22 sts, sc2tog] 2 times";
    assert_eq!(over(186, groups), 178);
    let slip = "Ch 186, join with sl st in first ch to form a ring.\n\
        Rnd 1: Ch 1, sc in each ch around, join with sl st in first sc. (186 sc)\n\
        Rnd 2: Ch 1, [sc in next 21 sts, sc2tog] 8 times, join with sl st in first sc.\n";
    let proof = prove(slip, &TextOptions::default());
    assert!(!proof.faults.is_empty(), "two stitches are left over");
}

/// A yarn firm's lesson, read in a copy: 100 with 16 more, whose even split is ours, and 48
/// with 12 more in every fourth.
#[test]
fn increases_lie_evenly() {
    let groups =
        "[sc in next 5 sts, 2 sc in next st] 12 times, [sc in next 6 sts, 2 sc in next st] 4 times";
    assert_eq!(over(100, groups), 116);
    assert_eq!(over(48, "[sc in next 3 sts, 2 sc in next st] 12 times"), 60);
}

/// Columbia Yarns, c. 1922 (thecostumersmanifesto.com): a tam's disc of about 30 rounds, 12 in
/// across, then every fifth stitch skipped until the opening measures 24 in. The disc has
/// 180 stitches of 12 in x pi / 180, and two passes come to the opening within a stitch or two.
#[test]
fn a_tam_of_1922_closes_to_its_opening() {
    let disc = counts(&disc(6, "sc", 30)).pop().unwrap();
    assert_eq!(disc, 180);
    let first = over(180, "[sc in next 4 sts, skip next st] 36 times");
    assert_eq!(first, 144);
    let second = over(144, "[sc in next 4 sts, skip next st] 28 times, sc in next 4 sts");
    let width = 12.0 * std::f64::consts::PI / 180.0;
    assert!((width - 0.2094_f64).abs() < 0.0001);
    let opening = second as f64 * width;
    assert!((opening - 24.0).abs() < 2.0 * width, "{second} stitches are {opening:.2} in");
}
