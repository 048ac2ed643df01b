//! What must hold of any bytes, room by room. The fuzz targets run these on bytes grown at
//! random, and `tests/fuzz_kept.rs` on those that once brought a fault to light.
//!
//! A written text begins with one byte that says what is told beside it: see [`Told`].
#![allow(dead_code, clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use crate::normal::normal;
use brimwright::correction::card;
use brimwright::design::{self, Design};
use brimwright::diag::{Finding, SourceId};
use brimwright::fabric::{Role, Standing, WorkOptions, Worked, work};
use brimwright::limits;
use brimwright::proof;
use brimwright::proof::text::{TextOptions, prove};
use brimwright::written::say::{Length, Said, SaidKind, Style};
use brimwright::written::*;
use std::sync::OnceLock;

/// What is told beside a written text.
struct Told {
    terms: Option<Terms>,
    method: Option<Method>,
}

impl Told {
    /// From the first byte: every way of terms and method has a digit or a letter.
    fn by(byte: u8) -> Told {
        Told {
            terms: [None, Some(Terms::Us), Some(Terms::Uk)][usize::from(byte % 3)],
            method: [None, Some(Method::Rows), Some(Method::Joined), Some(Method::Spiral)]
                [usize::from(byte / 3 % 4)],
        }
    }

    fn read(&self, text: &str) -> Reading {
        let options =
            ReadOptions { terms: self.terms, method: self.method, ..ReadOptions::default() };
        read(text, &options)
    }
}

/// The text, and what is told beside it.
fn text(bytes: &[u8]) -> Option<(Told, &str)> {
    let (first, rest) = bytes.split_first()?;
    Some((Told::by(*first), std::str::from_utf8(rest).ok()?))
}

/// Every place lies in the text, between letters.
fn placed(findings: &[Finding], text: &str) {
    for finding in findings {
        let places = finding.place.iter().chain(finding.labels.iter().map(|l| &l.place));
        for place in places {
            assert!(text.get(place.span.range()).is_some(), "{finding:?} lies in no word");
        }
    }
}

/// Written text is read, whatever it is, and each line and finding has its place.
pub fn reader(bytes: &[u8]) {
    let Some((told, text)) = text(bytes) else { return };
    let reading = told.read(text);
    placed(&reading.findings, text);
    for line in &reading.piece.lines {
        assert!(text.get(line.at.0.range()).is_some(), "line {} lies nowhere", line.number);
    }
}

/// Whatever can be read is worked, and the fabric is sound; and so it is in each of the sizes
/// that a text prints in brackets.
pub fn worker(bytes: &[u8]) {
    let Some((told, text)) = text(bytes) else { return };
    let reading = told.read(text);
    let worked = work(&reading.piece, "", &NoHoles, &WorkOptions::default());
    placed(&worked.findings, text);
    sound(&worked, &reading.piece);
    // A piece worked on goes on from those edges.
    let options = WorkOptions { before: Some(&worked), ..WorkOptions::default() };
    let on = work(&reading.piece, "", &NoHoles, &options);
    sound(&on, &reading.piece);
    let options = TextOptions { terms: told.terms, method: told.method, ..TextOptions::default() };
    let proof = prove(text, &options);
    placed(&proof.findings, text);
}

/// What holds of every fabric, whatever the text.
fn sound(worked: &Worked, piece: &Piece) {
    let fabric = &worked.fabric;
    assert!(fabric.stitches.len() as u64 <= limits::STITCHES, "too many stitches");
    let mut end = 0;
    for (c, course) in fabric.courses.iter().enumerate() {
        let range = &course.stitches;
        assert!(range.start >= end && range.end >= range.start, "course {c} lies out of order");
        assert!(range.end as usize <= fabric.stitches.len(), "course {c} goes too far");
        assert!((course.line as usize) < piece.lines.len(), "course {c} has no line");
        end = range.end;
    }
    for (i, stitch) in fabric.stitches.iter().enumerate() {
        let before = match stitch.base {
            Standing::Stitch(at) | Standing::Space(at) => (at as usize) < i,
            Standing::RowEnd(course) => (course as usize) < fabric.courses.len(),
            _ => true,
        };
        assert!(before, "stitch {i} stands on what is not made yet: {:?}", stitch.base);
        assert!(usize::from(stitch.colour) < fabric.colours.len(), "stitch {i} has no colour");
    }
    let sewn = |role: Role, kind: Kind| role == Role::Seam && kind != Kind::SL_ST;
    let made = fabric.stitches.iter().filter(|s| !sewn(s.role, s.kind)).count() as u64;
    assert_eq!(worked.totals.values().sum::<u64>(), made, "the totals are not the stitches");
    for line in &worked.lines {
        assert_eq!(
            line.counts.values().sum::<u64>(),
            line.count,
            "{} adds up otherwise",
            line.label
        );
    }
}

/// What is proved, said, and read again is the same piece, in every form. The designer's own
/// words are said as they stand, so a piece that has any is left out.
pub fn said(bytes: &[u8]) {
    let proved = |piece: &Piece| {
        let worked = work(piece, "", &NoHoles, &WorkOptions::default());
        worked.findings.is_empty() && !worked.fabric.stitches.is_empty()
    };
    same_again(bytes, |piece| !own_words(piece) && proved(piece));
}

/// The same for all that is read without a finding, own words and all.
pub fn said_whole(bytes: &[u8]) {
    same_again(bytes, |_| true);
}

/// Whether anything in the piece is in the designer's own words.
fn own_words(piece: &Piece) -> bool {
    fn own(steps: &[Step]) -> bool {
        steps.iter().any(|step| match &step.act {
            Act::Remark(_) | Act::Seam(_) => true,
            Act::Colour(_) | Act::Rejoin(Rejoin { colour: Some(_), .. }) => true,
            Act::Repeat(repeat) => own(&repeat.steps),
            Act::Work(Working { made: Made::Group(steps), .. }) => own(steps),
            _ => false,
        })
    }
    piece.lines.iter().any(|line| match &line.kind {
        LineKind::Work(work) => {
            let named = work.label.as_ref().is_some_and(|l| matches!(l.which, Which::Named(_)));
            named || own(&work.steps)
        }
        _ => true,
    })
}

fn same_again(bytes: &[u8], looked_at: impl Fn(&Piece) -> bool) {
    let Some((told, text)) = text(bytes) else { return };
    let reading = told.read(text);
    let whole = reading.findings.is_empty() && !reading.piece.lines.is_empty();
    if !whole || !looked_at(&reading.piece) {
        return;
    }
    let before = normal(&reading.piece);
    for terms in [Terms::Us, Terms::Uk] {
        for length in [Length::Abbreviated, Length::SpelledOut] {
            let style = Style { terms, length, ..Style::default() };
            let said = said_again(&reading.piece, &style);
            let options = ReadOptions {
                terms: Some(terms),
                method: reading.piece.method,
                ..ReadOptions::default()
            };
            let again = read(&said, &options);
            assert!(again.findings.is_empty(), "{text}\n-> {said}\n{:#?}", again.findings);
            let after = normal(&again.piece);
            for (a, b) in before.lines.iter().zip(&after.lines) {
                assert!(a == b, "{text}\n-> {said}\n{a:?}\n{b:?}");
            }
            assert_eq!(before.lines.len(), after.lines.len(), "{text}\n-> {said}");
        }
    }
}

/// What is said, as the text of a design. Definitions are announced, as the booklet does by its
/// heading.
fn said_again(piece: &Piece, style: &Style) -> String {
    let line = |s: &Said| match s.kind {
        SaidKind::Special => format!("Special stitch: {}", s.plain()),
        _ => s.plain(),
    };
    say(piece, style, &[]).iter().map(line).collect::<Vec<_>>().join("\n")
}

/// A design file is read, graded and worked, and each finding lies in it.
pub fn design(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let (design, findings) = design::read(SourceId(0), text);
    placed(&findings, text);
    if let Some(design) = design {
        let (proved, findings) = proof::prove(design);
        placed(&findings, text);
        for piece in &proved.pieces {
            for worked in piece.worked.iter().flatten() {
                sound(worked, &piece.piece);
            }
        }
    }
}

/// A tester card is read and sifted against a design.
pub fn card(bytes: &[u8]) {
    static DESIGN: OnceLock<Design> = OnceLock::new();
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let (found, findings) = card::read(SourceId(0), text);
    placed(&findings, text);
    if let Some(found) = found {
        let design = DESIGN.get_or_init(|| {
            let text = include_str!("../../templates/harbour-rib.toml");
            design::read(SourceId(1), text).0.expect("the shipped design")
        });
        card::sift(design, vec![found]);
    }
}
