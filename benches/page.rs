//! How long a booklet takes from document to bytes: `cargo bench --bench page`.
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
use brimwright::typeset::{Paper, Theme, lay_out};
use criterion::{Criterion, criterion_group, criterion_main};
use std::hint::black_box;

fn pages(c: &mut Criterion) {
    let theme = Theme::default();
    // The sample without its photo, and 40 blocks from chance: tables, rounds, drawings.
    let mut sample = page_sample::sample();
    sample.pictures[0].bytes = page_sample::photo(60, 40);
    let chance = page_sample::stress::document(1, 40);
    let set: [(&str, &Document); 2] = [("sample", &sample), ("chance", &chance)];
    for (name, document) in set {
        let pages = lay_out(document, &theme, Paper::A4).expect("it sets");
        let n = pages.pages.len();
        c.bench_function(&format!("{name}: lay out {n} pages"), |b| {
            b.iter(|| lay_out(black_box(document), &theme, Paper::A4));
        });
        c.bench_function(&format!("{name}: write {n} pages"), |b| {
            b.iter(|| brimwright::pdf::write(black_box(&pages), document));
        });
    }
}

criterion_group!(benches, pages);
criterion_main!(benches);
