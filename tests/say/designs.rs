//! The starter designs, said for each size and worked again: every row and round must come
//! to the same stitches as the design's own words.

use crate::back::{FORMS, style};
use brimwright::design;
use brimwright::diag::{SourceId, any_fault};
use brimwright::fabric::{WorkOptions, Worked, work};
use brimwright::proof::{Proved, SizeNumbers, prove};
use brimwright::written::say::{Length, SizeVoice, Style};
use brimwright::written::*;
use std::collections::BTreeMap;
use std::path::Path;

#[allow(clippy::disallowed_methods)]
fn designs() -> Vec<(String, Proved)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates");
    let mut paths: Vec<_> = std::fs::read_dir(folder)
        .expect("the starter designs")
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    paths.sort();
    let mut out = Vec::new();
    for path in paths {
        let text = std::fs::read_to_string(&path).expect("a design");
        let (design, findings) = design::read(SourceId(0), &text);
        assert!(!any_fault(&findings), "{path:?}: {findings:#?}");
        let (proved, findings) = prove(design.expect("a design"));
        assert!(!any_fault(&findings), "{path:?}: {findings:#?}");
        out.push((path.display().to_string(), proved));
    }
    out
}

/// The stitches of every foundation, row and round, and the totals by US name.
fn made(worked: &Worked, specials: &[String]) -> (Vec<u32>, BTreeMap<String, u64>) {
    let mut totals = BTreeMap::new();
    for stitch in &worked.fabric.stitches {
        *totals.entry(stitch.kind.name(Terms::Us, specials)).or_default() += 1;
    }
    (worked.fabric.courses.iter().map(|c| c.count).collect(), totals)
}

/// The design's own stitches in the words of this style.
fn specials(piece: &Piece, style: &Style) -> Vec<SpecialDef> {
    let lines = (0..piece.specials.len())
        .map(|i| Line { at: At::default(), number: 0, sizes: None, kind: LineKind::Special(i) })
        .collect();
    let said = say(&Piece { lines, ..piece.clone() }, style, &[]);
    let named = piece.specials.iter().zip(said);
    named
        .map(|(special, said)| SpecialDef {
            name: special.name.clone(),
            abbr: special.abbr.clone(),
            definition: say::plain(&said.body),
        })
        .collect()
}

/// Says a design in one size, reads that and works it; the words where it came out otherwise.
fn again(proved: &Proved, size: usize, style: &Style) -> Result<usize, String> {
    let numbers = SizeNumbers { graded: &proved.graded, size };
    let id = &proved.design.sizes[size].id;
    let mut before: Vec<Option<Worked>> = Vec::new();
    let mut courses = 0;
    for (piece, part) in proved.pieces.iter().zip(&proved.design.pieces) {
        let Some(own) = &piece.worked[size] else {
            before.push(None);
            continue;
        };
        let voice = SizeVoice { id, name: id, numbers: &numbers };
        let said = say(&piece.piece, style, &[voice]);
        let text = said.iter().map(say::Said::plain).collect::<Vec<_>>().join("\n");
        let options = ReadOptions {
            terms: Some(style.terms),
            method: piece.piece.method,
            specials: &specials(&piece.piece, style),
            ..ReadOptions::default()
        };
        let reading = read(&text, &options);
        if let Some(finding) = reading.findings.first() {
            return Err(format!("{}: {}\nin\n{text}", finding.code, finding.message));
        }
        let from = part.from.as_ref().map_or(before.last(), |from| {
            let at = proved.design.pieces.iter().position(|p| p.name.as_str() == from.value);
            at.and_then(|at| before.get(at))
        });
        let options =
            WorkOptions { before: from.and_then(Option::as_ref), ..WorkOptions::default() };
        let worked = work(&reading.piece, id, &NoHoles, &options);
        if let Some(finding) = worked.findings.iter().find(|f| any_fault(std::slice::from_ref(*f)))
        {
            return Err(format!("{}: {}\nin\n{text}", finding.code, finding.message));
        }
        let abbrs: Vec<String> = piece.piece.specials.iter().map(|s| s.abbr.clone()).collect();
        if made(&worked, &abbrs) != made(own, &abbrs) {
            let (a, b) = (made(own, &abbrs), made(&worked, &abbrs));
            return Err(format!("{a:?}\n{b:?}\nin\n{text}"));
        }
        courses += worked.fabric.courses.len();
        before.push(Some(worked));
    }
    Ok(courses)
}

#[test]
fn starter_designs_are_worked_alike_from_what_is_said() {
    let mut wrong = Vec::new();
    let mut courses = 0;
    for (name, proved) in designs() {
        for size in 0..proved.design.sizes.len() {
            for each_round in [false, true] {
                for form in FORMS {
                    let style = Style { each_round, ..style(form) };
                    match again(&proved, size, &style) {
                        Ok(n) => courses += n,
                        Err(e) => wrong.push(format!("{name} {size} {form:?} {each_round}: {e}")),
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} go wrong\n{}", wrong.len(), wrong.join("\n\n"));
    assert!(courses > 1000, "only {courses} rows and rounds were compared");
}

/// Prints every starter design as said, for a reader with a pencil.
#[test]
#[ignore = "prints; asserts nothing but that something is said"]
fn print_the_starter_designs() {
    let mut lines = 0;
    for (name, proved) in designs() {
        println!("\n##### {name}");
        let numbers: Vec<SizeNumbers> = (0..proved.design.sizes.len())
            .map(|size| SizeNumbers { graded: &proved.graded, size })
            .collect();
        let voices: Vec<SizeVoice> = proved
            .design
            .sizes
            .iter()
            .zip(&numbers)
            .map(|(s, n)| SizeVoice { id: &s.id, name: &s.name, numbers: n })
            .collect();
        let full = Style { length: Length::SpelledOut, terms: Terms::Uk, ..Style::default() };
        for piece in &proved.pieces {
            for style in [Style::default(), full] {
                for said in say(&piece.piece, &style, &voices) {
                    lines += 1;
                    println!("{}", said.plain());
                }
            }
            println!("-- one size");
            for said in
                say(&piece.piece, &Style { each_round: true, ..Style::default() }, &voices[..1])
            {
                println!("{}", said.plain());
            }
            println!();
        }
    }
    assert!(lines > 0);
}
