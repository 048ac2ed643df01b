//! The whole program, run as a person runs it: exit codes, what goes to standard output and
//! what to standard error, files written whole or not at all.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn run(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_brimwright"))
        .args(args)
        .current_dir(folder)
        .stdin(Stdio::null())
        .env_remove("NO_COLOR")
        .output()
        .expect("the program starts")
}

fn words(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("output is text")
}

/// A folder with a copy of a starter design and its photo.
fn folder_with(starter: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let made = run(folder.path(), &["new", starter, "hat.toml"]);
    assert!(made.status.success(), "{}", words(&made.stderr));
    folder
}

fn edit(folder: &Path, from: &str, to: &str) {
    let path = folder.join("hat.toml");
    let text = std::fs::read_to_string(&path).expect("the design");
    assert!(text.contains(from), "the design has no `{from}`");
    std::fs::write(&path, text.replacen(from, to, 1)).expect("written");
}

fn files(folder: &Path) -> Vec<String> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> =
        entries.flatten().map(|e| e.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn every_starter_is_shipped_listed_proved_and_copied() {
    let mut shipped: Vec<String> = files(&root().join("templates"))
        .into_iter()
        .filter_map(|f| f.strip_suffix(".toml").map(str::to_owned))
        .collect();
    shipped.sort();
    assert!(shipped.len() >= 2, "{shipped:?}");
    let listed = words(&run(&root(), &["new"]).stdout);
    for id in &shipped {
        assert!(listed.contains(&format!("  {id}: ")), "`new` does not list {id}");
        let folder = folder_with(id);
        let proof = run(folder.path(), &["proof", "hat.toml"]);
        assert_eq!(proof.status.code(), Some(0), "{id}: {}", words(&proof.stderr));
        assert!(words(&proof.stdout).starts_with("proved: "), "{}", words(&proof.stdout));
    }
}

#[test]
fn new_does_not_write_over_a_file() {
    let folder = folder_with("harbour-rib");
    let before = std::fs::read(folder.path().join("hat.toml")).expect("the design");
    let again = run(folder.path(), &["new", "larch-walk", "hat.toml"]);
    assert_eq!(again.status.code(), Some(2));
    assert!(words(&again.stderr).contains("fault[write]"));
    assert_eq!(std::fs::read(folder.path().join("hat.toml")).expect("the design"), before);
}

#[test]
fn publish_writes_both_papers_into_the_default_folder_and_says_where() {
    let folder = folder_with("harbour-rib");
    let out = run(folder.path(), &["publish", "hat.toml"]);
    assert_eq!(out.status.code(), Some(0), "{}", words(&out.stderr));
    assert_eq!(files(&folder.path().join("booklets")), ["hat-1.0-a4.pdf", "hat-1.0-letter.pdf"]);
    let said = words(&out.stderr);
    assert!(said.contains("wrote booklets/hat-1.0-a4.pdf"), "{said}");
    assert!(out.stdout.is_empty(), "results are files here; standard output stays empty");
}

#[test]
fn a_second_run_gives_the_same_bytes() {
    let folder = folder_with("larch-walk");
    let all = "pdf,text,html,csv,json";
    for out in ["one", "two"] {
        let run = run(folder.path(), &["publish", "hat.toml", "--out", out, "--format", all]);
        assert!(run.status.success(), "{}", words(&run.stderr));
    }
    let (one, two) = (folder.path().join("one"), folder.path().join("two"));
    assert_eq!(files(&one).len(), 6);
    assert_eq!(files(&one), files(&two));
    for name in files(&one) {
        let bytes = |f: &Path| std::fs::read(f.join(&name)).expect("a file");
        assert!(bytes(&one) == bytes(&two), "{name} differs");
    }
}

#[test]
fn copies_for_other_readers_are_told_apart_by_name() {
    let folder = folder_with("harbour-rib");
    let args = [
        "publish",
        "hat.toml",
        "--paper",
        "a4",
        "--terms",
        "us,uk",
        "--words",
        "short,full",
        "--size",
        "all,adult-m",
        "--hand",
        "right,left",
        "--large-print",
        "--low-ink",
    ];
    let out = run(folder.path(), &args);
    assert!(out.status.success(), "{}", words(&out.stderr));
    let names = files(&folder.path().join("booklets"));
    assert_eq!(names.len(), 16, "{names:?}");
    assert!(
        names.contains(
            &"hat-1.0-uk-full-words-adult-m-left-hand-large-print-low-ink-a4.pdf".to_owned()
        ),
        "{names:?}"
    );
}

#[test]
fn a_wrong_count_stops_publish_with_line_size_and_numbers() {
    let folder = folder_with("harbour-rib");
    assert!(run(folder.path(), &["publish", "hat.toml"]).status.success());
    let before = std::fs::read(folder.path().join("booklets/hat-1.0-a4.pdf")).expect("a PDF");
    edit(
        folder.path(),
        "join with sl st in first sc. ({cuff_rows} sc)",
        "join with sl st in first sc. (51 sc)",
    );
    let out = run(folder.path(), &["publish", "hat.toml"]);
    assert_eq!(out.status.code(), Some(1));
    let said = words(&out.stderr);
    assert!(said.contains("fault[count-mismatch]"), "{said}");
    assert!(said.contains("hat.toml:"), "the line is named: {said}");
    assert!(said.contains("(51 sc)"), "the words are shown: {said}");
    assert!(said.contains("make 52"), "the worked count is named: {said}");
    assert!(said.contains("adult-s"), "the size is named: {said}");
    let after = std::fs::read(folder.path().join("booklets/hat-1.0-a4.pdf")).expect("a PDF");
    assert!(before == after, "the older booklet is untouched");
}

#[test]
fn proof_reports_everything_at_once() {
    let folder = folder_with("larch-walk");
    edit(folder.path(), "hdc2tog around, join", "hdc9tog around, join");
    edit(folder.path(), "({sts} dc)", "({sts + 1} dc)");
    let out = run(folder.path(), &["proof", "hat.toml"]);
    assert_eq!(out.status.code(), Some(1));
    let said = words(&out.stderr);
    assert!(said.contains("fault[count-mismatch]"), "{said}");
    assert!(said.matches("fault[").count() >= 2, "{said}");
    let json = run(folder.path(), &["proof", "hat.toml", "--json"]);
    assert_eq!(json.status.code(), Some(1));
    let answer: serde_json::Value = serde_json::from_slice(&json.stdout).expect("JSON");
    assert_eq!(answer["proved"], false);
    let found = answer["findings"].as_array().expect("findings");
    assert!(found.iter().all(|f| f["line"].is_u64()), "{answer:#}");
}

#[test]
fn plain_text_is_proved_from_a_file_and_from_standard_input() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = "Rnd 1: 6 sc in magic ring. (6)\nRnd 2: 2 sc in each st around. (12)\n\
                Rnd 3: *Sc in next st, 2 sc in next st; rep from * around. (17)\n";
    std::fs::write(folder.path().join("crown.txt"), text).expect("written");
    let args = ["proof", "--text", "crown.txt", "--worked", "spiral", "--json"];
    let from_file = run(folder.path(), &args);
    assert_eq!(from_file.status.code(), Some(1));
    let answer: serde_json::Value = serde_json::from_slice(&from_file.stdout).expect("JSON");
    assert_eq!(answer["lines"][1]["count"], 12);
    assert_eq!(answer["totals"]["sc"], 6 + 12 + 18);
    assert_eq!(answer["faults"][0]["line"], 3);
    assert_eq!(answer["faults"][0]["code"], "count-mismatch");
    assert_eq!(answer["faults"].as_array().map(Vec::len), Some(1));

    use std::io::Write;
    let mut piped = Command::new(env!("CARGO_BIN_EXE_brimwright"))
        .args(["proof", "--text", "-", "--worked", "spiral", "--json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    piped.stdin.take().expect("a pipe").write_all(text.as_bytes()).expect("written");
    let piped = piped.wait_with_output().expect("it ends");
    assert_eq!(piped.stdout, from_file.stdout);
}

#[test]
fn a_pasted_text_is_proved_in_every_size_it_prints() {
    let folder = tempfile::tempdir().expect("a folder");
    let text = "Sizes: Child (Teen, Adult)\nCh 60 (66, 72), join to form a ring.\n\
                Rnd 1: Ch 1, sc in each ch around, join. 60 (66, 72) sc\n\
                Rnd 2: Ch 1, *sc in next 4 sts, sc2tog; rep from * around, join. [50 (55, 60) sts]\n\
                Rnd 3: Ch 1, *sc in next 3 sts, sc2tog; rep from * around, join. [40 (44, 49) sts]\n\
                Rnd – (4, 4): Ch 1, sc in each st around, join.\n";
    std::fs::write(folder.path().join("hat.txt"), text).expect("written");
    let out = run(folder.path(), &["proof", "--text", "hat.txt", "--json"]);
    assert_eq!(out.status.code(), Some(1));
    let answer: serde_json::Value = serde_json::from_slice(&out.stdout).expect("JSON");
    let counts = |size: usize| -> Vec<u64> {
        let lines = answer["sizes"][size]["lines"].as_array().expect("lines");
        lines.iter().map(|l| l["count"].as_u64().expect("a count")).collect()
    };
    assert_eq!(answer["sizes"][0]["size"], "Child");
    assert_eq!(counts(0), [60, 50, 40]);
    assert_eq!(counts(1), [66, 55, 44, 44]);
    // Behind a wrong number what was worked is gone on with.
    assert_eq!(counts(2), [72, 60, 48, 48]);
    // The one wrong number, in the one size that has it.
    assert_eq!(answer["faults"].as_array().map(Vec::len), Some(1), "{answer:#}");
    assert_eq!(answer["faults"][0]["line"], 5);
    assert_eq!(answer["faults"][0]["code"], "count-mismatch");
    assert_eq!(answer["faults"][0]["sizes"], serde_json::json!(["Adult"]));
    let out = run(folder.path(), &["proof", "--text", "hat.txt"]);
    let said = words(&out.stdout);
    assert!(said.contains("40 (44, 48)"), "{said}");
    assert!(said.contains("– (44, 48)"), "{said}");
}

#[test]
fn an_empty_text_is_not_called_proved() {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("empty.txt"), " \n\n").expect("written");
    let out = run(folder.path(), &["proof", "--text", "empty.txt"]);
    assert_eq!(out.status.code(), Some(1));
    assert!(words(&out.stderr).contains("fault[empty-text]"), "{}", words(&out.stderr));
}

#[test]
fn what_cannot_be_read_or_written_exits_2() {
    let folder = folder_with("harbour-rib");
    let path = folder.path();
    std::fs::write(path.join("noise.toml"), [0xff, 0xfe, 0x00, 0x80]).expect("written");
    std::fs::write(path.join("a-file"), "x").expect("written");
    for (args, code) in [
        (vec!["proof", "nowhere.toml"], "fault[read]"),
        (vec!["proof", "."], "fault[read]"),
        (vec!["proof", "noise.toml"], "fault[read]"),
        (vec!["publish", "nowhere.toml"], "fault[read]"),
        (vec!["publish", "hat.toml", "--out", "a-file/deeper"], "fault[write]"),
        (vec!["publish", "hat.toml", "--size", "giant"], "fault[usage]"),
        (vec!["new", "nothing-such"], "fault[usage]"),
        (vec!["explain", "nothing-such"], "fault[usage]"),
    ] {
        let out = run(path, &args);
        let said = words(&out.stderr);
        assert_eq!(out.status.code(), Some(2), "{args:?}: {said}");
        assert!(said.contains(code), "{args:?}: {said}");
        assert!(!said.contains("panicked"), "{said}");
    }
    assert_eq!(run(path, &["publish"]).status.code(), Some(2), "a missing argument");
}

#[test]
fn a_file_of_fifty_megabytes_is_refused_not_read() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = std::fs::File::create(folder.path().join("big.toml")).expect("made");
    file.set_len(50 * 1024 * 1024).expect("made large");
    let out = run(folder.path(), &["proof", "big.toml"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(words(&out.stderr).contains("fault[limit]"), "{}", words(&out.stderr));
}

#[test]
fn a_photo_that_is_missing_or_no_picture_is_a_fault_in_the_design() {
    let folder = folder_with("harbour-rib");
    let photo = folder.path().join("photos/harbour-rib.jpg");
    std::fs::write(&photo, "not a picture").expect("written");
    let out = run(folder.path(), &["publish", "hat.toml"]);
    assert_eq!(out.status.code(), Some(1), "{}", words(&out.stderr));
    assert!(words(&out.stderr).contains("fault[picture]"), "{}", words(&out.stderr));
    std::fs::remove_file(&photo).expect("removed");
    let out = run(folder.path(), &["publish", "hat.toml"]);
    assert_eq!(out.status.code(), Some(1), "{}", words(&out.stderr));
    let said = words(&out.stderr);
    assert!(said.contains("fault[read]") && said.contains("hat.toml:"), "{said}");
    assert!(files(&folder.path().join("booklets")).is_empty(), "nothing was written");
}

#[test]
fn explain_knows_every_code_it_lists() {
    let folder = tempfile::tempdir().expect("a folder");
    let list = words(&run(folder.path(), &["explain"]).stdout);
    let codes: Vec<&str> = list.lines().filter_map(|l| l.split_whitespace().next()).collect();
    assert!(codes.len() >= 3, "{list}");
    for code in codes {
        let page = run(folder.path(), &["explain", code]);
        assert!(page.status.success());
        assert!(words(&page.stdout).contains("Why it matters"), "{code}");
    }
}
