//! Reading back what was said gives the same tree.

use crate::grow;
use crate::normal::{filled, normal};
use crate::sheet::Sheet;
use brimwright::fabric::{WorkOptions, work};
use brimwright::written::say::{Bit, Length, Said, SaidKind, SizeVoice, Style};
use brimwright::written::*;
use proptest::prelude::*;
use serde_json::Value;

pub const FORMS: [(Terms, Length); 4] = [
    (Terms::Us, Length::Abbreviated),
    (Terms::Us, Length::SpelledOut),
    (Terms::Uk, Length::Abbreviated),
    (Terms::Uk, Length::SpelledOut),
];

pub fn style((terms, length): (Terms, Length)) -> Style {
    Style { terms, length, ..Style::default() }
}

/// What was said as the text of a design. Definitions are announced, as the booklet does by
/// its heading.
fn text(said: &[Said]) -> String {
    let line = |s: &Said| match s.kind {
        SaidKind::Special => format!("Special stitch: {}", s.plain()),
        _ => s.plain(),
    };
    said.iter().map(line).collect::<Vec<_>>().join("\n")
}

fn read_back(
    text: &str,
    terms: Terms,
    method: Option<Method>,
    sizes: &[String],
) -> Result<Piece, String> {
    let options = ReadOptions { terms: Some(terms), method, sizes, ..ReadOptions::default() };
    let reading = read(text, &options);
    match reading.findings.first() {
        None => Ok(reading.piece),
        Some(finding) => Err(format!("{}: {}\nin\n{text}", finding.code, finding.message)),
    }
}

/// Where two pieces differ, if they do.
fn same(before: &Piece, after: &Piece, text: &str) -> Result<(), String> {
    if before.specials != after.specials {
        return Err(format!("{:?}\n{:?}\nin\n{text}", before.specials, after.specials));
    }
    for (a, b) in before.lines.iter().zip(&after.lines) {
        if a != b {
            return Err(format!("{}\n{}\nin\n{text}", brief(a), brief(b)));
        }
    }
    if before.lines.len() != after.lines.len() {
        return Err(format!(
            "{} lines, then {}\nin\n{text}",
            before.lines.len(),
            after.lines.len()
        ));
    }
    Ok(())
}

/// A line without its places.
fn brief(line: &Line) -> String {
    let mut text = format!("{line:?}");
    while let Some(start) = text.find("at: At(") {
        let end = text[start..].find("), ").or_else(|| text[start..].find(")"));
        let end = end.map_or(text.len(), |e| start + e + 3);
        text.replace_range(start..end.min(text.len()), "");
    }
    text
}

/// Whether two pieces come to the same stitches in every row and round.
fn worked_alike(before: &Piece, after: &Piece) -> Result<(), String> {
    let counts = |piece: &Piece| {
        let worked = work(piece, "", &NoHoles, &WorkOptions::default());
        let courses: Vec<u32> = worked.fabric.courses.iter().map(|c| c.count).collect();
        let faults: Vec<&str> = worked.findings.iter().map(|f| f.code).collect();
        let kinds: Vec<Kind> = worked.fabric.stitches.iter().map(|s| s.kind).collect();
        (faults.join(" "), courses, kinds)
    };
    let (before, after) = (counts(before), counts(after));
    if before.2.is_empty() {
        return Err("nothing was worked".to_owned());
    }
    if before == after {
        Ok(())
    } else {
        Err(format!("{:?} {:?}\n{:?} {:?}", before.0, before.1, after.0, after.1))
    }
}

/// Closing and joining sentences that a designer wrote; none is in the house style.
const CLOSINGS: [&str; 9] = [
    "Fasten off, leaving a long tail. Thread through the remaining sts and cinch closed.",
    "Fasten off, leaving a 12-inch tail. Run the tail through the front loops of the final round, \
     cinch the top shut, and knot it on the inside.",
    "Break yarn. Draw tail through stitches of last round twice.",
    "Thread a needle. Gather the top, then sew the hole shut.",
    "Fasten off. Sew the top closed with the tail.",
    "Do not fasten off. Fold the brim in half with right sides together, matching the short ends, \
     and sl st through both layers to join. Turn the brim right side out.",
    "Change to A. Cut B.",
    "Sl st the short ends together.",
    "Joining: Sew the first row to the last row.",
];

#[test]
fn closing_sentences_are_said_as_they_were_written() {
    for written in CLOSINGS {
        let text_of = format!("Ch 12.\n{written}");
        let piece = read_back(&text_of, Terms::Us, None, &[]).unwrap();
        for form in FORMS {
            let said = say(&piece, &style(form), &[]);
            if form == FORMS[0] {
                assert_eq!(said[1].plain(), written);
            }
            let said = text(&said);
            let again = read_back(&said, form.0, None, &[]);
            let outcome = again.and_then(|again| same(&normal(&piece), &normal(&again), &said));
            assert!(outcome.is_ok(), "{form:?}: {}", outcome.unwrap_err());
        }
    }
}

struct Case {
    id: String,
    lines: String,
    terms: Terms,
    method: Option<Method>,
}

#[allow(clippy::disallowed_methods)]
fn phrasebook() -> Vec<Case> {
    let read = |name: &str| {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/phrasebook");
        std::fs::read_to_string(format!("{folder}/{name}.jsonl")).expect("the phrasebook")
    };
    // Of the further cases, those of forms that the public ones have not.
    let own = read("own");
    let forms = own.lines().filter(|l| l.contains("\"own-forms-"));
    let public = read("public");
    let case = |line: &str| {
        let case: Value = serde_json::from_str(line).expect("a case");
        let word = |key: &str| case[key].as_str().unwrap_or("").to_owned();
        let lines = case["lines"].as_array().expect("lines").iter().filter_map(Value::as_str);
        let method = match word("worked").as_str() {
            "rows" => Some(Method::Rows),
            "joined rounds" => Some(Method::Joined),
            "spiral" => Some(Method::Spiral),
            _ => None,
        };
        (case["valid"] == true).then(|| Case {
            id: word("id"),
            lines: lines.collect::<Vec<_>>().join("\n"),
            terms: if word("terms") == "UK" { Terms::Uk } else { Terms::Us },
            method,
        })
    };
    public.lines().chain(forms).filter_map(case).collect()
}

#[test]
fn the_phrasebook_is_read_back_in_every_form() {
    let cases = phrasebook();
    assert!(cases.len() > 150, "{} cases", cases.len());
    let mut wrong = Vec::new();
    let mut read = 0;
    let mut unread = Vec::new();
    for case in &cases {
        // What cannot be read is the reader's affair, and its own tests'.
        let Ok(piece) = read_back(&case.lines, case.terms, case.method, &[]) else {
            unread.push(case.id.as_str());
            continue;
        };
        read += 1;
        for form in FORMS {
            let said = text(&say(&piece, &style(form), &[]));
            let outcome = read_back(&said, form.0, case.method, &[]).and_then(|again| {
                same(&normal(&piece), &normal(&again), &said)?;
                worked_alike(&piece, &again).map_err(|e| format!("{e}\nin\n{said}"))
            });
            if let Err(fault) = outcome {
                wrong.push(format!("{} {form:?}: {fault}", case.id));
            }
        }
    }
    let all = read * FORMS.len();
    assert!(read * 100 >= cases.len() * 96, "not read at all: {unread:?}");
    assert!(wrong.is_empty(), "{} of {all}\n{}", wrong.len(), wrong.join("\n\n"));
}

fn sheets() -> [Sheet; 3] {
    [
        "S n=0 m=1 k=3 sts=40 a=12 b=12",
        "M n=1 m=4 k=3 sts=48 a=12 b=14",
        "L n=2 m=6 k=5 sts=56 a=13 b=16",
    ]
    .map(Sheet::parse)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn grown_trees_are_read_back_in_every_form(piece in grow::piece()) {
        for form in FORMS {
            let said = text(&say(&piece, &style(form), &[]));
            let ids: Vec<String> = sheets().iter().map(|s| s.id.clone()).collect();
            let outcome = read_back(&said, form.0, None, &ids)
                .and_then(|again| same(&normal(&piece), &normal(&again), &said));
            prop_assert!(outcome.is_ok(), "{}", outcome.unwrap_err());
        }
    }

    #[test]
    fn each_size_is_read_back_alone_and_out_of_the_brackets(piece in grow::piece()) {
        let sheets = sheets();
        let voices: Vec<SizeVoice> =
            sheets.iter().map(|s| SizeVoice { id: &s.id, name: &s.id, numbers: s }).collect();
        for form in FORMS {
            let all = say(&piece, &style(form), &voices);
            for (i, sheet) in sheets.iter().enumerate() {
                let expected = normal(&filled(&piece, sheet));
                let alone = text(&say(&piece, &style(form), &voices[i..=i]));
                let outcome = read_back(&alone, form.0, None, &[])
                    .and_then(|again| same(&expected, &normal(&again), &alone));
                prop_assert!(outcome.is_ok(), "alone: {}", outcome.unwrap_err());
                let instructions = all.iter().filter(|s| s.kind != SaidKind::Sizes);
                let picked: Vec<Said> = instructions.filter_map(|s| s.pick(i)).collect();
                let ids: Vec<String> = sheets.iter().map(|s| s.id.clone()).collect();
                let picked = text(&picked);
                let outcome = read_back(&picked, form.0, None, &ids).and_then(|mut again| {
                    again.lines.iter_mut().for_each(|l| l.sizes = None);
                    same(&expected, &normal(&again), &picked)
                });
                prop_assert!(outcome.is_ok(), "picked: {}", outcome.unwrap_err());
            }
        }
    }
}

/// Words that are abbreviations in either set of terms, in any number.
const SHORT: [&str; 40] = [
    "st", "sts", "ch", "chs", "sp", "sps", "rnd", "rnds", "rep", "blo", "flo", "beg", "sc", "hdc",
    "dc", "tr", "dtr", "htr", "ss", "sl", "fpdc", "bpdc", "fphdc", "fsc", "esc", "rsc", "rdc",
    "rtrf", "rtrb", "sc2tog", "dc2tog", "hdc2tog", "htr2tog", "sc3tog", "cl", "pc", "yo", "yoh",
    "tog", "rs",
];

fn loose_words(bits: &[Bit], terms: &mut usize, words: &mut Vec<String>) {
    for bit in bits {
        match bit {
            Bit::Text(text) => {
                let found = text.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase);
                words.extend(found.filter(|w| SHORT.contains(&w.as_str())));
            }
            Bit::Term { .. } => *terms += 1,
            Bit::Keep(inner) => loose_words(inner, terms, words),
            Bit::Graded(_) => {}
        }
    }
}

#[test]
fn every_abbreviation_is_marked_and_none_is_left_where_all_is_spelled_out() {
    let mut marked = 0;
    for case in phrasebook() {
        let Ok(piece) = read_back(&case.lines, case.terms, case.method, &[]) else { continue };
        for form in FORMS {
            let said = say(&piece, &style(form), &[]);
            for said in said.iter().filter(|s| s.kind != SaidKind::Heading) {
                // A definition's label shows the abbreviation it defines.
                let label = if said.kind == SaidKind::Special { &[][..] } else { &said.label };
                let mut words = Vec::new();
                let mut terms = 0;
                loose_words(label, &mut terms, &mut words);
                loose_words(&said.body, &mut terms, &mut words);
                loose_words(said.count.as_deref().unwrap_or_default(), &mut terms, &mut words);
                assert!(words.is_empty(), "{words:?} in {form:?}: {}", said.plain());
                if form.1 == Length::SpelledOut {
                    assert_eq!(terms, 0, "{}", said.plain());
                }
                marked += terms;
            }
        }
    }
    assert!(marked > 1000, "{marked} abbreviations");
}
