//! The whole story of a test, as a person runs it: a new design is proved and published,
//! copies go to three testers, their cards come back, the design is corrected, published
//! again, and who bought the old edition gets a sheet.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

mod sound;

use brimwright::booklet::Choices;
use brimwright::booklet::document::{Block, Document, Round, Text};
use brimwright::booklet::table::{For, table};
use brimwright::correction::edition::of;
use brimwright::correction::errata::{compare, said};
use brimwright::reflow;
use brimwright::written::say::{Hand, Length};
use sound::proved;
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn command(folder: &Path, args: &[&str]) -> Command {
    let mut c = Command::new(env!("CARGO_BIN_EXE_brimwright"));
    c.args(args).current_dir(folder).stdin(Stdio::null()).env_remove("NO_COLOR");
    c
}

/// Runs the program and holds it to an exit code.
fn run(folder: &Path, args: &[&str], code: i32) -> Output {
    let out = command(folder, args).output().expect("the program starts");
    assert_eq!(out.status.code(), Some(code), "{args:?}: {}", words(&out.stderr));
    out
}

fn words(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

fn read(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn write(folder: &Path, name: &str, text: &str) {
    std::fs::write(folder.join(name), text).expect("written");
}

const ROSTER: &str = "[[tester]]\nname = \"Ann\"\nsize = \"adult-m\"\n\n[[tester]]\n\
                      name = \"Bea Lo\"\nsize = \"child\"\n\n[[tester]]\nname = \"Cat\"\nsize = \"adult-m\"\n";

const CARDS: [&str; 3] = [
    "table/hat-1.0-table-adult-m-ann-card.toml",
    "table/hat-1.0-table-child-bea-lo-card.toml",
    "table/hat-1.0-table-adult-m-cat-card.toml",
];

fn pages(folder: &Path, name: &str) -> usize {
    lopdf::Document::load(folder.join(name)).expect("a PDF").get_pages().len()
}

/// Where another hat altogether stands under the name of the next edition, the sheet takes
/// more than a page, and the command says so.
#[test]
fn a_sheet_of_more_than_a_page_says_so() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    run(at, &["new", "larch-walk", "old.toml"], 0);
    run(at, &["new", "tide-pool", "new.toml"], 0);
    let out = run(at, &["errata", "old.toml", "new.toml", "--out", "sheet", "--paper", "a4"], 0);
    let said = words(&out.stderr);
    let pages = pages(at, "sheet/new-errata-1.0-to-1.0-a4.pdf");
    assert!(pages > 1, "{pages}");
    let told = format!("so much changed that the sheet takes {pages} pages (a4)");
    assert!(said.contains(&told), "{said}");
}

/// A folder with the starter Larch Walk (17 sts, 13 rows in 10 cm) and three cards filled
/// in by looser hands.
fn tested() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let at = folder.path();
    run(at, &["new", "larch-walk", "hat.toml"], 0);
    write(at, "roster.toml", ROSTER);
    let paper = ["table", "hat.toml", "--roster", "roster.toml", "--paper", "a4"];
    run(at, &paper, 0);
    for (card, (sts, rows)) in CARDS.iter().zip([("15.5", "13"), ("16", "12.5"), ("16.5", "13.5")])
    {
        let blank = read(at, card);
        let counted = format!("sts = {sts}, rows = {rows}");
        let filled = blank
            .replace("sts = 0, rows = 0", &counted)
            .replace("date = 2000-01-01", "date = 2026-11-02")
            .replace("girth = \"\"", "girth = \"57 cm\"");
        assert_ne!(filled, blank);
        write(at, card, &filled);
    }
    folder
}

#[test]
fn the_whole_story() {
    let folder = tested();
    let at = folder.path();
    run(at, &["proof", "hat.toml"], 0);
    run(at, &["publish", "hat.toml", "--paper", "a4", "--out", "sold"], 0);
    assert!(at.join("sold/hat-1.0-a4.pdf").is_file());
    for card in CARDS {
        assert!(at.join(card.replace("card.toml", "a4.pdf")).is_file());
    }

    let old = read(at, "hat.toml");
    let looked = words(&run(at, &["correct", "hat.toml", "table/*-card.toml"], 0).stdout);
    assert!(looked.contains("3 cards from 3 testers"), "{looked}");
    assert!(looked.contains("would change: gauge body 17 to 16 sts\n"), "{looked}");
    // 15.5, 16 and 16.5: a spread of their own, 0.5, and a reading of a quarter stitch.
    let rests = "with 95 % confidence by Student's t; 0.25 either way is for counting";
    assert!(looked.contains(rests), "{looked}");
    // Cat's 16.5 sts are as wide as the design's 17: a girth 17 / 16.5 of the schematic's.
    let p = proved(&old);
    let schematic = p.design.size("adult-m").and_then(|(i, _)| p.girth(i)).expect("a girth");
    let cat = format!(
        "Cat, adult-m: girth 57 cm, schematic {}, by her gauge {}",
        schematic.cm_text(),
        (schematic * (17.0 / 16.5)).cm_text()
    );
    assert!(looked.contains(&cat), "{cat} is not in\n{looked}");
    assert_eq!(read(at, "hat.toml"), old, "looking writes nothing");

    let apply = ["correct", "hat.toml", "table/*-card.toml", "--apply", "--json"];
    let json: serde_json::Value = serde_json::from_slice(&run(at, &apply, 0).stdout).expect("JSON");
    assert_eq!(json["moves"]["number"]["new"], "1.1");
    assert_eq!(json["correction"]["gauges"][0]["sts"]["summary"]["median"], 16.0);
    assert_eq!(read(at, "hat-1.0.toml"), old, "the old edition is kept");
    let new = read(at, "hat.toml");
    // The newest card's day is the edition's.
    assert!(new.contains("\nedition = \"1.1\"") && new.contains("\ndate = 2026-11-02"), "{new}");
    assert!(new.contains("\nsts = 16\n") && new.contains("\nrows = 13\n"));

    run(at, &["proof", "hat.toml"], 0);
    run(at, &["publish", "hat.toml", "--paper", "a4", "--out", "sold"], 0);
    assert!(at.join("sold/hat-1.1-a4.pdf").is_file());

    let sheet = words(&run(at, &["errata", "hat-1.0.toml", "hat.toml"], 0).stdout);
    assert!(sheet.starts_with("Corrections to Larch Walk"), "{sheet}");
    let spoken = sheet.replace('\u{a0}', " ");
    for line in ["Instead of: 17 sts and", "Read: 16 sts and", "a letter in braces is a figure"] {
        assert!(spoken.contains(line), "{line} is not in\n{sheet}");
    }
    // Plain text has no heavy type; the drawings are named, and their words left out.
    assert!(sheet.contains("Drawn anew, as the lines above say: the drawings under"), "{sheet}");
    assert!(!sheet.contains("heavy") && !sheet.contains("Picture"), "{sheet}");
    // A changed gauge moves a figure in most lines of six sizes, and goes on one page.
    let wrote = run(at, &["errata", "hat-1.0.toml", "hat.toml", "--out", "sheet"], 0);
    assert_eq!(read(at, "sheet/hat-errata-1.0-to-1.1.txt"), sheet);
    for paper in ["a4", "letter"] {
        assert_eq!(pages(at, &format!("sheet/hat-errata-1.0-to-1.1-{paper}.pdf")), 1, "{paper}");
    }
    assert!(!words(&wrote.stderr).contains("so much changed"), "{}", words(&wrote.stderr));

    // The sheet is exact: it makes the new booklet of the old one, in every size.
    let (was, is) = (of(&proved(&old)), of(&proved(&new)));
    let errata = compare(&was, &is);
    assert!(!errata.is_empty());
    assert_eq!(errata.apply(&said(&was)), Ok(said(&is)));

    // The same cards say nothing new to the corrected design.
    let again = run(at, &["correct", "hat.toml", "table/*-card.toml", "--apply"], 0);
    assert!(words(&again.stdout).contains("nothing would change"), "{}", words(&again.stdout));
    assert_eq!(read(at, "hat.toml"), new);
}

#[test]
fn exit_codes_and_what_is_left_untouched() {
    let folder = tested();
    let at = folder.path();
    let old = read(at, "hat.toml");
    // 2: the work could not be done.
    run(at, &["correct", "hat.toml", "no-such-card.toml"], 2);
    run(at, &["correct", "hat.toml", "no-such/*.toml"], 2);
    run(at, &["correct", "none.toml", CARDS[0]], 2);
    run(at, &["correct", "hat.toml", CARDS[0], "--date", "tomorrow"], 2);
    run(at, &["correct", "hat.toml"], 2);
    run(at, &["table", "hat.toml", "--size", "giant"], 2);
    run(at, &["table", "hat.toml"], 2);
    run(at, &["errata", "hat.toml", "none.toml"], 2);
    // 1: what was read has faults; nothing is written.
    let card = read(at, CARDS[0]);
    write(at, CARDS[0], &card.replace("size = \"adult-m\"", "size = \"adult-xm\""));
    let out = run(at, &["correct", "hat.toml", "table/*-card.toml", "--apply"], 1);
    assert!(words(&out.stderr).contains("fault[unknown-size]"), "{}", words(&out.stderr));
    write(at, CARDS[0], &card);
    write(at, "roster.toml", &ROSTER.replace("child", "chidl"));
    run(at, &["table", "hat.toml", "--roster", "roster.toml", "--out", "other"], 1);
    assert!(!at.join("other").exists());
    // 2: another text stands where the old edition would be kept.
    write(at, "hat-1.0.toml", "not the old edition");
    let out = run(at, &["correct", "hat.toml", "table/*-card.toml", "--apply"], 2);
    assert!(words(&out.stderr).contains("fault[write]"));
    assert_eq!(read(at, "hat-1.0.toml"), "not the old edition");
    assert_eq!(read(at, "hat.toml"), old);
}

/// A sold edition made read-only stays as it is, though its folder may be written.
#[test]
fn a_read_only_design_is_refused() {
    let folder = tested();
    let at = folder.path();
    let old = read(at, "hat.toml");
    let lock = |locked: bool| {
        let path = at.join("hat.toml");
        let mut rights = std::fs::metadata(&path).expect("its rights").permissions();
        rights.set_readonly(locked);
        std::fs::set_permissions(&path, rights).expect("set");
    };
    lock(true);
    let args = ["correct", "hat.toml", "table/*-card.toml", "--apply"];
    let out = run(at, &args, 2);
    let told = words(&out.stderr);
    assert!(told.contains("fault[write]") && told.contains("the file is read-only"), "{told}");
    assert_eq!(read(at, "hat.toml"), old);
    assert!(!at.join("hat-1.0.toml").exists(), "nothing at all is written");
    run(at, &["correct", "hat.toml", "table/*-card.toml"], 0);
    lock(false);
    run(at, &args, 0);
    assert_ne!(read(at, "hat.toml"), old);
}

/// Killed at any moment, the design file is the old or the new one.
#[test]
fn killed_at_any_moment_the_design_is_whole() {
    let folder = tested();
    let at = folder.path();
    let old = read(at, "hat.toml");
    let args = ["correct", "hat.toml", "table/*-card.toml", "--apply"];
    let before = std::time::Duration::from_millis(1);
    run(at, &args, 0);
    let new = read(at, "hat.toml");
    assert_ne!(old, new);
    let mut seen = [0, 0];
    let mut wait = before;
    // Wait longer each time until the work is done before it can be killed.
    for _ in 0..200 {
        write(at, "hat.toml", &old);
        let _ = std::fs::remove_file(at.join("hat-1.0.toml"));
        let mut child = command(at, &args)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        std::thread::sleep(wait);
        let done = child.try_wait().expect("its state").is_some();
        child.kill().ok();
        child.wait().expect("it ends");
        let now = read(at, "hat.toml");
        assert!(now == old || now == new, "neither old nor new after {wait:?}:\n{now}");
        seen[usize::from(now == new)] += 1;
        if done {
            break;
        }
        wait = wait * 5 / 4;
    }
    assert!(seen[0] > 0 && seen[1] > 0, "killed before and after: {seen:?}");
}

fn rounds(document: &Document) -> Vec<&Round> {
    document
        .blocks
        .iter()
        .flat_map(|b| match b {
            Block::Rounds(rounds) => rounds.iter().collect(),
            _ => Vec::new(),
        })
        .collect()
}

/// The rows or rounds of a line, read off its label: `7 · Rnds 3–11`.
fn span(round: &Round) -> Option<(u32, u32)> {
    let label = reflow::words(&round.label);
    let numbers = label.rsplit([' ', '\u{a0}']).next()?;
    let (a, b) = numbers.split_once('–').unwrap_or((numbers, numbers));
    Some((a.parse().ok()?, b.parse().ok()?))
}

/// Whether a printed count is of so many stitches; V-sts and spaces are counted otherwise.
fn says(count: &Text, stitches: u32) -> bool {
    let count = reflow::words(count);
    let other = ["V-st", "sp"].iter().any(|w| count.contains(w));
    other || count.split(|c: char| !c.is_ascii_digit()).any(|n| n == stitches.to_string())
}

/// Beside the hook every round has its box, its number and its count, as the fabric has it.
#[test]
fn a_table_copy_has_every_round_with_box_and_count() {
    for starter in ["larch-walk", "harbour-rib"] {
        let file = format!("{}/templates/{starter}.toml", env!("CARGO_MANIFEST_DIR"));
        let p = proved(&std::fs::read_to_string(file).expect("a starter"));
        let choices = Choices {
            terms: p.design.terms,
            length: Length::Abbreviated,
            hand: Hand::Right,
            size: None,
            large: false,
        };
        for size in 0..p.design.sizes.len() {
            let copy = table(&p, &choices, size, For { tester: Some("Wren") });
            let lines = rounds(&copy);
            for (i, line) in lines.iter().enumerate() {
                let label = reflow::words(&line.label);
                assert!(line.tick, "{label} has no box");
                assert!(label.starts_with(&format!("{}", i + 1)), "{label} is line {}", i + 1);
            }
            // Every numbered course of the fabric is on a line with its count, and a line of
            // several has a box for each.
            for piece in &p.pieces {
                let Some(worked) = piece.worked[size].as_ref() else { continue };
                for c in worked.fabric.courses.iter().filter(|c| c.number.is_some()) {
                    let n = c.number.expect("filtered");
                    let here = |r: &&Round| {
                        let told = r.count.as_ref().is_some_and(|t| says(t, c.count));
                        span(r).is_some_and(|(a, b)| (a..=b).contains(&n)) && told
                    };
                    assert!(
                        lines.iter().copied().any(|r| here(&r)),
                        "{starter} {size}: no round {n} with a count of {}",
                        c.count
                    );
                }
            }
            for line in &lines {
                if let Some((a, b)) = span(line).filter(|(a, b)| a < b) {
                    assert_eq!(
                        u32::from(line.counter),
                        b - a + 1,
                        "{}",
                        reflow::words(&line.label)
                    );
                }
            }
            let text = reflow::text(&copy);
            for said in
                ["Wren", "not for passing on", "Hook you ended with", "Gauge window", "line"]
            {
                assert!(text.contains(said), "{said:?} is not in the copy");
            }
            assert!(copy.pictures.is_empty());
        }
    }
}
