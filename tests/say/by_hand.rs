//! Trees built by hand.

use brimwright::written::say::{Bit, Length, Said, SaidKind, SizeVoice, Style, terms_used};
use brimwright::written::*;

fn step(act: Act) -> Step {
    Step { at: At::default(), act }
}

fn hole(text: &str) -> Number {
    Number::Hole(Box::new(Hole { text: text.to_owned(), at: At::default() }))
}

fn sc(count: u64, target: Target) -> Step {
    let made = Made::Stitch { count: Number::Plain(count), kind: Kind::SC };
    step(Act::Work(Working::new(made, vec![target])))
}

fn round(which: Which, steps: Vec<Step>, count: Number) -> Line {
    let item = ClaimItem { at: At::default(), count, unit: Unit::Kind(Kind::SC) };
    let claims = vec![Claim { at: At::default(), items: vec![item] }];
    let label = Some(Label { at: At::default(), shape: Shape::Round, which });
    Line {
        at: At::default(),
        number: 1,
        sizes: None,
        kind: LineKind::Work(Work { label, steps, claims, ..Work::default() }),
    }
}

/// Holes are looked up by their words; `step` and `round` count.
struct Table(&'static [(&'static str, i64)]);

impl Numbers for Table {
    fn value(&self, hole: &Hole, counter: Option<Counter>) -> Result<i64, String> {
        match hole.text.as_str() {
            "crown - step" => {
                let crown = self.0.iter().find(|(n, _)| *n == "crown").map_or(0, |(_, v)| *v);
                Ok(crown - counter.map_or(0, |c| i64::from(c.step)))
            }
            text => self
                .0
                .iter()
                .find(|(n, _)| *n == text)
                .map(|(_, v)| *v)
                .ok_or_else(|| text.to_owned()),
        }
    }
}

const SMALL: Table = Table(&[("n", 3), ("sts", 60), ("end", 12), ("crown", 8), ("last", 13)]);
const LARGE: Table = Table(&[("n", 3), ("sts", 66), ("end", 14), ("crown", 9), ("last", 16)]);

fn sizes() -> [SizeVoice<'static>; 2] {
    [
        SizeVoice { id: "small", name: "Small", numbers: &SMALL },
        SizeVoice { id: "large", name: "Large", numbers: &LARGE },
    ]
}

fn increase_round(which: Which, count: Number) -> Line {
    let repeat = Repeat {
        mark: Mark::Star,
        steps: vec![sc(1, Target::next(hole("n"))), sc(2, Target::next(Number::ONE))],
        times: Times::Around,
        last_stops: None,
    };
    let join = Join {
        with: Kind::SL_ST,
        into: Some(JoinPlace::First(PlaceKind::Named(Kind::SC))),
        ring: false,
    };
    let chain = Chain { count: Number::ONE, counts: None };
    let steps = vec![step(Act::Chain(chain)), step(Act::Repeat(repeat)), step(Act::Join(join))];
    round(which, steps, count)
}

fn said(line: Line, style: Style, sizes: &[SizeVoice]) -> Vec<Said> {
    let piece = Piece { lines: vec![line], ..Piece::default() };
    say(&piece, &style, sizes)
}

fn lines(said: &[Said]) -> Vec<String> {
    said.iter().map(Said::plain).collect()
}

#[test]
fn one_round_in_each_form() {
    let line = increase_round(Which::One(Number::Plain(4)), hole("sts"));
    let all = said(line.clone(), Style::default(), &sizes());
    assert_eq!(
        lines(&all),
        [
            "Rnd 4: Ch 1, *sc in next 3 sts, 2 sc in next st; rep from * around, join with sl st in first sc. [60 (66) sc]"
        ]
    );
    assert_eq!(all[0].kind, SaidKind::Instruction);
    assert_eq!(all[0].rounds, [Some((4, 4)), Some((4, 4))]);
    let large = all[0].pick(1).map(|s| s.plain()).unwrap_or_default();
    assert!(large.ends_with("in first sc. [66 sc]"), "{large}");
    let uk = Style { terms: Terms::Uk, ..Style::default() };
    assert_eq!(
        lines(&said(line.clone(), uk, &sizes()[..1])),
        [
            "Rnd 4: Ch 1, *dc in next 3 sts, 2 dc in next st; rep from * around, join with ss in first dc. (60 dc)"
        ]
    );
    let full = Style { length: Length::SpelledOut, ..Style::default() };
    assert_eq!(
        lines(&said(line.clone(), full, &sizes()[1..])),
        [
            "Round 4: Chain 1, *single crochet in each of the next 3 stitches, 2 single crochets in the next stitch; \
          repeat from * around, join with a slip stitch in the first single crochet. (66 single crochets)"
        ]
    );
    assert_eq!(
        lines(&said(line, Style::default(), &[])),
        [
            "Rnd 4: Ch 1, *sc in next {n} sts, 2 sc in next st; rep from * around, join with sl st in first sc. ({sts} sc)"
        ]
    );
}

#[test]
fn the_key_lists_each_abbreviation_once() {
    let line = increase_round(Which::One(Number::Plain(4)), hole("sts"));
    let used = terms_used(&said(line, Style::default(), &sizes()));
    let abbrs: Vec<&str> = used.iter().map(|t| t.abbr.as_str()).collect();
    assert_eq!(abbrs, ["ch", "rep", "rnd", "sc", "sl st", "st"]);
    let sc = &used[3];
    assert_eq!(
        (sc.meaning.as_str(), sc.other.as_str(), sc.other_meaning.as_str()),
        ("single crochet", "dc", "double crochet")
    );
}

#[test]
fn a_range_may_end_or_begin_apart() {
    let plain = |which| {
        round(
            which,
            vec![sc(1, Target { reach: Reach::Each(Extent::End), ..Target::next(Number::ONE) })],
            hole("sts"),
        )
    };
    let end = plain(Which::Range(Number::Plain(3), hole("end")));
    assert_eq!(
        lines(&said(end, Style::default(), &sizes())),
        ["Rnds 3–12 (14): Sc in each st around. [60 (66) sc]"]
    );
    let both = plain(Which::Range(hole("end"), hole("last")));
    let all = said(both, Style::default(), &sizes());
    assert_eq!(lines(&all), ["Rnds 12–13 (14–16): Sc in each st around. [60 (66) sc]"]);
    assert_eq!(all[0].rounds, [Some((12, 13)), Some((14, 16))]);
    let some = plain(Which::Range(Number::Plain(13), hole("end")));
    let all = said(some, Style::default(), &sizes());
    assert_eq!(lines(&all), ["Rnds – (13–14): Sc in each st around. (66 sc)"]);
    assert_eq!(all[0].worked, [false, true]);
    assert!(all[0].pick(0).is_none());
}

#[test]
fn numbers_that_count_rounds_are_said_round_by_round() {
    let line = round(
        Which::Range(hole("end"), hole("last")),
        vec![sc(1, Target::next(hole("crown - step")))],
        hole("crown - step"),
    );
    let all = said(line, Style::default(), &sizes());
    assert_eq!(
        lines(&all),
        [
            "Rnd 12 (14): Sc in next 7 (8) sts. [7 (8) sc]",
            "Rnd 13 (15): Sc in next 6 (7) sts. [6 (7) sc]",
            "Rnd – (16): Sc in next 6 sts. (6 sc)",
        ]
    );
    assert!(matches!(all[0].label[0], Bit::Keep(_)));
}
