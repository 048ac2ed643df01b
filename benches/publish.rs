//! How long a whole run takes, and how the time of a page grows with the booklet:
//! `cargo bench --bench publish`.
//!
//! The first is the program as it is called: it starts, proves every size, and prints one
//! paper. The second sets and writes booklets of chance blocks, short and long; criterion
//! says pages a second for each, which a long booklet must not lower.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]
#![allow(missing_docs)]

#[path = "../tests/page_sample/mod.rs"]
mod page_sample;

use brimwright::booklet::document::Document;
use brimwright::pdf;
use brimwright::typeset::{Pages, Paper, Theme, lay_out};
use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;
use std::path::Path;
use std::process::Command;

fn whole_process(c: &mut Criterion) {
    let folder = tempfile::tempdir().unwrap();
    let templates = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates");
    for design in ["harbour-rib", "fell-gate"] {
        let file = templates.join(design).with_extension("toml");
        c.bench_function(&format!("{design}: publish, whole process"), |b| {
            b.iter(|| {
                let mut command = Command::new(env!("CARGO_BIN_EXE_brimwright"));
                command.args(["publish", "--quiet", "--paper", "a4", "--out"]);
                let done = command.arg(folder.path()).arg(&file).status().unwrap();
                assert!(done.success(), "{design}");
            });
        });
    }
    // What of that is the system starting any program of this size.
    c.bench_function("nothing, whole process", |b| {
        b.iter(|| {
            let out = Command::new(env!("CARGO_BIN_EXE_brimwright")).arg("--version").output();
            assert!(out.unwrap().status.success());
        });
    });
}

/// A booklet of chance blocks with this many pages, or the fewest above.
fn of_pages(least: usize) -> (Document, Pages) {
    for blocks in (8..).step_by(4) {
        let document = page_sample::stress::document(1, blocks);
        let pages = lay_out(&document, &Theme::default(), Paper::A4).expect("it sets");
        if pages.pages.len() >= least {
            return (document, pages);
        }
    }
    panic!("no booklet is that long");
}

fn per_page(c: &mut Criterion) {
    let theme = Theme::default();
    let mut group = c.benchmark_group("pages");
    for least in [12, 40] {
        let (document, pages) = of_pages(least);
        let n = pages.pages.len();
        group.throughput(Throughput::Elements(n as u64));
        group.bench_function(format!("set and write {n}"), |b| {
            b.iter(|| {
                let pages = lay_out(black_box(&document), &theme, Paper::A4).expect("it sets");
                pdf::write(&pages, &document).expect("it writes")
            });
        });
    }
    group.finish();
}

criterion_group!(benches, whole_process, per_page);
criterion_main!(benches);
