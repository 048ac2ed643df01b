//! Properties of reading and working: nothing panics, nothing hangs, sums agree.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

// Tests read files and stop at the first surprise.

use brimwright::fabric::{Role, Worked, work};
use brimwright::proof::text::{TextOptions, prove};
use brimwright::written::{NoHoles, ReadOptions, read};
use proptest::prelude::*;

fn phrases() -> Vec<String> {
    let mut out = Vec::new();
    let cases = std::fs::read_to_string("tests/phrasebook/public.jsonl").unwrap();
    for case in cases.lines() {
        let case: serde_json::Value = serde_json::from_str(case).unwrap();
        let lines: Vec<&str> =
            case["lines"].as_array().unwrap().iter().filter_map(|l| l.as_str()).collect();
        out.push(lines.join("\n"));
    }
    out
}

fn worked(text: &str) -> Worked {
    let reading = read(text, &ReadOptions::default());
    assert!(reading.findings.is_empty(), "{text}\n{:?}", reading.findings);
    work(&reading.piece, "", &NoHoles, &Default::default())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn any_text_is_read_and_worked_without_a_panic(text in "\\PC{0,200}") {
        prove(&text, &TextOptions::default());
    }

    #[test]
    fn words_of_the_trade_in_any_order(words in prop::collection::vec(prop::sample::select(vec![
        "Rnd 1:", "Rnds 2-9:", "Row 3:", "\n", "ch", "3", "sc", "2", "in", "next", "each", "st", "sts", "around", "across",
        "*", "**", ";", "rep from *", "(", ")", "[", "]", ",", ".", "ch-2 sp", "skip", "turn", "join", "magic ring", "6",
        "times", "more", "to last", "same", "sc2tog", "V-st", "shell", "of", "and", "rep Rnd 2", "first", "{n}", "until",
        "remain", "fpdc", "last", "ring", "from hook", "2nd", "(36 sts)", "work even", "for", "rnds", "blo", "Fasten off",
        "counts as dc", "leave", "unworked", "picot", "dc", "with", "A", "end of", "row", "opposite side of foundation ch",
    ]), 0..60)) {
        prove(&words.join(" "), &TextOptions::default());
    }

    /// A piece of whole repeats is proved, and so is the same with one repeat more.
    #[test]
    fn one_repeat_more_is_proved_too(plain in 1u32..12, times in 1u32..20) {
        for n in [times, times + 1] {
            let around = n * (plain + 2);
            let text = format!(
                "Ch {around}; join with sl st in first ch to form a ring.\n\
                 Rnd 1: Ch 1, sc in each ch around; join. ({around} sc)\n\
                 Rnd 2: Ch 1, *sc in next {plain} sts, sc2tog; rep from * around; join. ({} sts)",
                n * (plain + 1));
            let proof = prove(&text, &TextOptions::default());
            prop_assert!(proof.faults.is_empty(), "{:?}", proof.faults);
        }
    }

    /// A wedge crown counts down by the closed form: wedges * plain stitches.
    #[test]
    fn a_wedge_crown_counts_by_its_closed_form(wedges in 3u64..12, rounds in 1u64..15) {
        let first = wedges * (rounds + 1);
        let mut text = format!("Ch {first}; join.\nRnd 1: Ch 1, sc in each ch around. Do not join. ({first})\n");
        for k in 1..=rounds {
            let plain = rounds - k;
            let body = if plain == 0 { "sc2tog".to_owned() } else { format!("sc in next {plain} sts, sc2tog") };
            text.push_str(&format!("Rnd {}: [{body}] {wedges} times. ({})\n", k + 1, wedges * (rounds + 1 - k)));
        }
        let w = worked(&text);
        prop_assert!(w.findings.is_empty(), "{:?}", w.findings);
        let decreases = w.totals.get("sc2tog").copied().unwrap_or(0);
        prop_assert_eq!(decreases, wedges * rounds);
        // All counted stitches are those of the courses, and those of the totals.
        let counted = w.fabric.stitches.iter().filter(|s| s.role == Role::Counted).count() as u64;
        let courses: u64 = w.fabric.courses.iter().map(|c| u64::from(c.count)).sum();
        prop_assert_eq!(counted, courses);
        prop_assert_eq!(counted, w.totals["sc"] + decreases);
    }
}

/// Lines of the phrasebook with bytes dropped, doubled, swapped or overwritten.
#[test]
fn mutated_phrases_are_read_and_worked_without_a_panic() {
    let phrases = phrases();
    let mut seed: u64 = 0x9e37_79b9_7f4a_7c15;
    let mut next = move || {
        seed ^= seed << 13;
        seed ^= seed >> 7;
        seed ^= seed << 17;
        seed
    };
    for round in 0..6 {
        for phrase in &phrases {
            let mut text: Vec<char> = phrase.chars().collect();
            for _ in 0..=round {
                let n = text.len() as u64;
                if n < 4 {
                    break;
                }
                let i = (next() % n) as usize;
                let j = (next() % n) as usize;
                match next() % 6 {
                    0 => {
                        text.remove(i);
                    }
                    1 => text.insert(
                        i,
                        "()[]{}*;:,.9 \n–x".chars().nth((next() % 16) as usize).unwrap(),
                    ),
                    2 => text.swap(i, j),
                    3 => text.truncate(i.max(4)),
                    4 => {
                        let (a, b) = (i.min(j), i.max(j).min(i.min(j) + 30));
                        let part: Vec<char> = text[a..b].to_vec();
                        text.splice(a..a, part);
                    }
                    _ => {
                        let (a, b) = (i.min(j), i.max(j).min(i.min(j) + 20));
                        text.drain(a..b);
                    }
                }
            }
            prove(&text.iter().collect::<String>(), &TextOptions::default());
        }
    }
}

/// Closed forms of flat discs: n stitches in the ring, n more each round. The counts of the
/// first three are in print: sc 6 (a 2007 hat), hdc 8 (Journal Gazette, 24 Jan 2010), dc 12
/// (a 2022 bulky hat); see the worked examples of the facts the project was given.
#[test]
fn flat_discs() {
    for (stitch, n, rounds) in [("sc", 6u64, 14u64), ("hdc", 8, 8), ("dc", 12, 4), ("dc", 15, 6)] {
        let mut text = format!(
            "Rnd 1: {n} {stitch} in magic ring. Do not join. ({n})\nRnd 2: 2 {stitch} in each st around. ({})\n",
            2 * n
        );
        for k in 3..=rounds {
            text.push_str(&format!("Rnd {k}: *{stitch} in next {} sts, 2 {stitch} in next st; rep from * around. ({})\n", k - 2, n * k));
        }
        let w = worked(&text);
        assert!(w.findings.is_empty(), "{:?}", w.findings);
        assert_eq!(w.totals[stitch], n * rounds * (rounds + 1) / 2);
    }
}

/// Even decreases with a remainder, as printed: 75 sts and 10 decreases leave 65 (5 groups of
/// 6 plain, 5 of 5); 42 and 6 leave 36; 100 sts and 16 increases make 116.
#[test]
fn shaping_spread_evenly() {
    for (start, body, after) in [
        (42, "(5 sc, dec) x 6", 36),
        (75, "[sc in next 6 sts, sc2tog, sc in next 5 sts, sc2tog] 5 times", 65),
        (100, "[sc in next 5 sts, inc] 12 times, [sc in next 6 sts, inc] 4 times", 116),
        (48, "[sc in next 3 sts, inc] 12 times", 60),
        (24, "(3 sc, inc) x 6", 30),
        (30, "2 sc, inc, (4 sc, inc) x 5, 2 sc", 36),
    ] {
        let text = format!(
            "Ch {start}; join.\nRnd 1: Ch 1, sc in each ch around. Do not join. ({start})\nRnd 2: {body}. ({after})"
        );
        let w = worked(&text);
        assert!(w.findings.is_empty(), "{body}: {:?}", w.findings);
        assert_eq!(w.lines.last().unwrap().count, after);
    }
}

#[test]
fn too_much_is_refused_at_once() {
    for text in [
        "Rnd 1: 6 sc in magic ring.\nRnd 2: *Sc in next st; rep from * 4000000000 more times.",
        "Ch 99999999999999999999999.",
        "Rnd 1: 6 sc in magic ring.\nRnds 2-4000000000: Sc in each st around.",
        "Ch 1000000.\nRow 1: Sc in 2nd ch from hook and in each ch across.\nRows 2-9000: Ch 1, turn, 3 sc in each st across.",
        "Rnd 1: [[[[[[ch 1] 1000000 times] 1000000 times] 1000000 times] 1000000 times] 1000000 times] 1000000 times.",
        "Rnd 1: [[[[turn] 1000000 times] 1000000 times] 1000000 times] 1000000 times.",
    ] {
        let proof = prove(text, &TextOptions::default());
        assert!(proof.faults.iter().any(|f| f.code == "limit"), "{text}: {:?}", proof.faults);
    }
    // Lines that fail, each of which claims an edge as wide as can be.
    let wide = "Row 9: Sc in next bogle. (1000000 sts)\n".repeat(1000);
    // More colours than a stitch can tell apart.
    let mut gaudy = String::from("Rnd 1: 6 sc in magic ring.\n");
    for n in 2..300 {
        gaudy += &format!("Rnd {n}: With C{n}, sc in each st around.\n");
    }
    for text in [wide, gaudy] {
        let proof = prove(&text, &TextOptions::default());
        let limits = proof.faults.iter().filter(|f| f.code == "limit").count();
        assert_eq!(limits, 1, "{:?}", proof.faults.last());
    }
    let deep = format!("Rnd 1: {}sc{}.", "(".repeat(400), ")".repeat(400));
    assert!(prove(&deep, &TextOptions::default()).faults.iter().any(|f| f.code == "limit"));
}

/// A line of a single mark is asked whether it goes on, as any line is.
#[test]
fn a_lone_mark_before_a_line_is_no_surprise() {
    for text in ["*\nsc in next st", "**\n(sc)", "Rnd 1: *\nrep from *", "†\n†"] {
        let proof = prove(text, &TextOptions::default());
        assert!(!proof.faults.is_empty(), "{text:?} is no whole instruction");
    }
}

/// A count is held against what is worked; where nothing is, there is nothing to prove.
#[test]
fn a_count_alone_is_no_round() {
    for (code, text) in [
        ("syntax", "Rnd 2: (12 sts)"),
        ("syntax", "Rnd 2: There are now 12 sts."),
        ("syntax", "Row 2 (WS): 6 sts"),
        ("count-mismatch", "Rnd 2: [2 sc in next st] 0 times. (12 sts)"),
        ("count-mismatch", "Rnd 2: 0 sc in each st around. (12 sc)"),
    ] {
        let text = format!("Rnd 1: 6 sc in magic ring. (6 sc)\n{text}");
        let proof = prove(&text, &TextOptions::default());
        assert!(proof.faults.iter().any(|f| f.code == code), "{text}: {:?}", proof.faults);
    }
}
