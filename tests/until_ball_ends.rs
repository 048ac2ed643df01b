//! Rounds until the ball ends, and cuffs folded up: what is printed of them, and what
//! hinders them.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod sound;

use brimwright::booklet::{Choices, sale};
use brimwright::design::read;
use brimwright::diag::{Finding, SourceId};
use brimwright::proof::{Proved, prove};
use brimwright::reflow;
use brimwright::written::say::{Hand, Length};
use sound::proved;

const BALL: &str = include_str!("designs/last-ball.toml");

fn booklet(p: &Proved, size: Option<usize>) -> String {
    let choices = Choices {
        terms: p.design.terms,
        length: Length::Abbreviated,
        hand: Hand::Right,
        size,
        large: false,
    };
    let words = reflow::text(&sale(p, &choices, None)).replace('\u{a0}', " ");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn findings(text: &str) -> Vec<Finding> {
    let (design, mut findings) = read(SourceId(0), text);
    findings.extend(design.map(|d| prove(d).1).unwrap_or_default());
    findings
}

fn only(text: &str, code: &str) -> Finding {
    let mut found: Vec<Finding> = findings(text).into_iter().filter(|f| f.code == code).collect();
    assert_eq!(found.len(), 1, "{code}: {:?}", findings(text));
    found.remove(0)
}

/// Worked by hand, with the figures of `worked.toml` (chain 0.48 of a single crochet's yarn,
/// a tail of 15 cm) and no line of the program:
///
/// The swatch has 8 g in 10 x 10 cm, so the fabric weighs 0.08 g a square centimetre. Small
/// is 100 sts or 50 cm round and a round 0.5 cm high: 2.00 g. Large is 108 sts or 54 cm:
/// 2.16 g. Besides there are the foundation (100 ch, about 0.95 g, and 108 ch, about 1.03 g;
/// a join), two tails for each of two pieces, and the gathered end of 50 or 54 cm and a tail:
/// (0.60 + 0.65) m or (0.60 + 0.69) m at 2.5 m to the gram, 0.50 or 0.52 g.
/// Two balls hold 100 g; with 3 g kept and 10 % over, 97 / 1.1 = 88.18 g may be worked.
/// Small: (88.18 - 1.46) / 2.00 = 43.4, so 43 rounds, one of them the top's: 42, and the hat
/// is 21.5 cm deep. Large: (88.18 - 1.56) / 2.16 = 40.1, so 40 rounds: 39, and 20 cm.
/// When the body is done the top's round, the gathered end and two tails must be left, with
/// 10 % over, and 3 g: small 1.1 x (2.00 + 0.38) + 3 = 5.6 g.
#[test]
fn the_rounds_are_those_worked_out_by_hand() {
    let p = proved(BALL);
    let until = p.until.as_ref().unwrap();
    let found: Vec<_> = until.sizes.iter().map(|s| s.unwrap()).collect();
    assert_eq!(found.iter().map(|s| (s.fewest, s.found)).collect::<Vec<_>>(), [(35, 42), (37, 39)]);
    assert_eq!(
        p.graded.sizes.iter().map(|s| s.values["even"].count()).collect::<Vec<_>>(),
        [Some(42), Some(39)]
    );
    assert_eq!([0, 1].map(|i| p.depth(i).unwrap().to_cm()), [21.5, 20.0]);
    assert!((found[0].each - 2.0).abs() < 0.01 && (found[1].each - 2.16).abs() < 0.01);
    assert!((found[0].left - 5.62).abs() < 0.02, "{}", found[0].left);
    let asked: Vec<f64> = p.measures.sizes.iter().map(|m| m.yarn[0].mass * 1.1 + 3.0).collect();
    for (size, asked) in found.iter().zip(&asked) {
        // All the balls hold, and no more: one more round would not be held.
        assert!(*asked <= 100.0 && asked + 1.1 * size.each > 100.0, "{asked}");
        assert!((size.over - (100.0 - asked)).abs() < 1e-9);
    }
    let text = booklet(&p, None);
    for said in [
        "Work even until the ball ends: until about 6 g of the yarn are left",
        "From 2 balls that is about 42 (39) rounds of this part in all, those written above among them.",
        "with 10 % over for other hands, and 3 g besides.",
        "the hat is 21.5 (20) cm or 8½ (7¾) in deep.",
        "Rnds 2–42 (39): Ch 1, sc in each st around",
    ] {
        assert!(text.contains(said), "{said:?} is not in {text}");
    }
    // The tables for other heads leave out what hangs on the ball.
    assert!(text.contains("Any head") && !text.contains(" Even "), "{text}");
    assert!(booklet(&p, Some(1)).contains("that is about 39 rounds of this part in all"));
    let line = p.graded.sizes[0].traces.iter().find(|t| t.name == "even").unwrap().line();
    assert!(line.starts_with("even = until the ball ends = 42  (at least nearest("), "{line}");
}

/// More or less in the balls is rounds more or less, one round at a time.
#[test]
fn every_gram_more_gives_no_fewer_rounds() {
    let mut before = 0;
    for keep in (1..40).rev() {
        // From 9 g on even the fewest rounds of large are too many.
        let text = BALL.replace("keep = \"3 g\"", &format!("keep = \"{keep} g\""));
        let p = prove(read(SourceId(0), &text).0.unwrap()).0;
        let [small, _] = p.until.as_ref().unwrap().sizes[..] else { panic!() };
        let small = small.unwrap();
        assert!(small.found >= before.max(small.fewest), "{keep} g kept: {}", small.found);
        assert!(small.over >= 0.0 || small.found == small.fewest);
        before = small.found;
    }
    assert_eq!(before, 43, "with 1 g kept: (99 / 1.1 - 1.46) / 2.00 = 44.3, one the top's");
}

#[test]
fn even_the_fewest_may_be_too_many() {
    let short = BALL.replace("balls_to_use = 2", "balls_to_use = 1");
    let finding = only(&short, "promise");
    assert!(finding.message.contains("1 ball of A do not suffice"), "{}", finding.message);
}

/// The fewest rounds of the two sizes take 73 g and 83 g; the balls hold 100 g.
#[test]
fn what_is_kept_must_be_held_as_well() {
    let kept = |keep: &str| BALL.replace("keep = \"3 g\"", &format!("keep = \"{keep}\""));
    // Neither size has 400 g over: 73.5 x 1.1 + 400 is 381 g more than the balls hold.
    let text = kept("400 g");
    let finding = only(&text, "promise");
    assert_eq!(finding.sizes, ["small", "large"]);
    assert_eq!(&text[finding.place.unwrap().span.range()], "\"400 g\"");
    let message = &finding.message;
    assert!(message.starts_with("2 balls of A do not suffice with 10 % over and 400 g kept: small takes 73 g with the fewest rounds, in all 381 g too much; large takes 8"), "{message}");
    // 83.6 x 1.1 + 15 is more than 100, 73.5 x 1.1 + 15 is not.
    assert_eq!(only(&kept("15 g"), "promise").sizes, ["large"]);
    assert!(findings(&kept("7 g")).iter().all(|f| f.code != "promise"));
    // The margin alone may be what does not fit.
    let none =
        BALL.replace(", keep = \"3 g\" }", " }").replace("margin = \"10 %\"", "margin = \"25 %\"");
    assert_ne!(none, BALL);
    let finding = only(&none, "promise");
    assert!(
        finding.message.contains("do not suffice with 25 % over: large takes"),
        "{}",
        finding.message
    );
}

#[test]
fn what_hinders_it_is_told_at_its_place() {
    let at = |text: &str, f: &Finding| text[f.place.unwrap().span.range()].to_owned();
    let cases = [
        ("balls_to_use = 2\n", "", "does not say `balls_to_use`"),
        (
            "ball = { mass = \"50 g\", length = \"125 m\" }",
            "ball = { length = \"125 m\" }",
            "does not say the `mass`",
        ),
        // In the middle of its piece.
        (
            "({sts} sc)\n\"\"\"\n\n[[piece]]",
            "({sts} sc)\nRnd {even + 1}: Ch 1, hdc in each st around, join with sl st in first hdc. ({sts} hdc)\n\"\"\"\n\n[[piece]]",
            "to the end of Body",
        ),
    ];
    for (from, to, said) in cases {
        let mut text = BALL.replacen(from, to, 1);
        if from.starts_with("({sts}") {
            text = text.replace("Rnd {even + 1}: Ch 1, sc", "Rnd {even + 2}: Ch 1, sc");
        }
        assert_ne!(text, BALL, "{from}");
        let all = findings(&text);
        let finding = all
            .iter()
            .find(|f| f.code == "until-ball")
            .unwrap_or_else(|| panic!("{said}: {all:?}"));
        assert!(finding.message.contains(said), "{}", finding.message);
        let place = at(&text, finding);
        assert!(
            ["\"even\"", "{ rounds = \"even\", keep = \"3 g\" }"].contains(&place.as_str()),
            "{place}"
        );
    }
    let weighed =
        BALL.replace("[fit]", "[sample]\nsize = \"small\"\nmass = { A = \"88 g\" }\n\n[fit]");
    assert_eq!(at(&weighed, &only(&weighed, "until-ball")), "\"88 g\"");
    let twice = BALL
        .replace("name = \"Top\"\n", "name = \"Top\"\nuntil_ball_ends = { rounds = \"even\" }\n");
    assert_eq!(at(&twice, &only(&twice, "until-ball")), "{ rounds = \"even\" }");
    let unknown = BALL.replace("rounds = \"even\"", "rounds = \"evn\"");
    let finding = only(&unknown, "unknown-name");
    assert_eq!(at(&unknown, &finding), "\"evn\"");
    let rough = BALL.replace("swatch_mass = \"8 g\"\n", "");
    assert!(only(&rough, "until-rough").message.contains("30 %"));
}

/// A rib of 16 cm worked sideways, of which `fold` is turned up.
fn folded(fold: &str) -> String {
    BALL.replace(", keep = \"3 g\" }", " }")
        .replace("until_ball_ends = { rounds = \"even\" }\n", fold)
}

/// By hand: the tube of small is 35 rounds of 0.5 cm and one of the top, 18 cm; with 4 cm
/// turned up it is worn 14 cm deep. The fabric, and so the yarn, is the same.
#[test]
fn a_folded_cuff_is_worn_shallower_and_takes_as_much_yarn() {
    let (flat, up) = (proved(&folded("")), proved(&folded("fold = \"4 cm\"\n")));
    assert_eq!(flat.depth(0).unwrap().to_cm(), 18.0);
    assert_eq!((up.depth(0).unwrap().to_cm(), up.fold(0).unwrap().to_cm()), (14.0, 4.0));
    assert_eq!(flat.girth(0), up.girth(0));
    assert_eq!(flat.measures.sizes[0].yarn, up.measures.sizes[0].yarn);
    assert_eq!(flat.fold(0), None);
    let text = booklet(&up, None);
    for said in [
        "Depth is that of the hat as worn, its cuff folded up",
        "14 cm (5½ in) deep with 4 cm (1½ in) folded up, 18 cm",
    ] {
        assert!(text.contains(said), "{said:?} is not in {text}");
    }
    assert!(!booklet(&flat, None).contains("folded up"));
}

#[test]
fn a_cuff_folded_too_deep_or_elsewhere_is_told() {
    // 18 cm in all: folded 9 cm up it is as deep as the hat that is left.
    let deep = only(&folded("fold = \"9 cm\"\n"), "cuff-deep");
    assert!(
        deep.message.contains("folded up 9 cm deep and the hat only 9 cm as worn"),
        "{}",
        deep.message
    );
    assert!(findings(&folded("fold = \"8.5 cm\"\n")).iter().all(|f| f.code != "cuff-deep"));
    let text = folded("fold = \"17.8 cm\"\n");
    let finding = only(&text, "fold-deep");
    assert!(
        finding.message.contains("18 cm of Body are folded up, and it is 17.5 cm deep"),
        "{}",
        finding.message
    );
    assert_eq!(&text[finding.place.unwrap().span.range()], "\"17.8 cm\"");
    let top = folded("").replace("name = \"Top\"\n", "name = \"Top\"\nfold = \"0.2 cm\"\n");
    assert!(only(&top, "fold-place").message.contains("Top is not at the brim"));
    assert!(
        only(&folded("fold = \"-2 cm\"\n"), "formula-unit")
            .message
            .contains("what is folded up is a length of 0 or more")
    );
    assert_eq!(
        only(&folded("fold = { small = \"2 cm\" }\n"), "size-without-number").sizes,
        ["large"]
    );
}

/// The same yarn makes the larger size less deep, and the caution says why.
#[test]
fn a_larger_size_less_deep_is_laid_to_the_ball() {
    let caution = only(BALL, "not-ascending");
    let help = caution.help.unwrap_or_default();
    assert!(help.contains("the same yarn makes a larger size less deep"), "{help}");
}
