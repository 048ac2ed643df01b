//! How fast text is read and worked. Run with `cargo bench --bench written`.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr
)]
#![allow(missing_docs)]

use brimwright::fabric::{WorkOptions, work};
use brimwright::written::{NoHoles, Piece, ReadOptions, Terms, read};
use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use std::hint::black_box;

fn piece(text: &str) -> Piece {
    let reading = read(text, &ReadOptions::default());
    assert!(reading.findings.is_empty(), "{:?}", reading.findings);
    reading.piece
}

/// 1000 stitches a round, from one round to a thousand: the cost of a stitch should not grow.
fn plain_rounds(c: &mut Criterion) {
    let mut group = c.benchmark_group("work plain rounds");
    group.sample_size(10);
    for rounds in [1u64, 10, 100, 1000] {
        let text = format!(
            "Ch 1000; join.\nRnd 1: Ch 1, sc in each ch around. Do not join.\nRnds 2-{}: Sc in each st around.",
            rounds + 1
        );
        let piece = piece(&text);
        group.throughput(Throughput::Elements(1000 * (rounds + 1)));
        group.bench_with_input(BenchmarkId::from_parameter(rounds * 1000), &piece, |b, piece| {
            b.iter(|| black_box(work(piece, "", &NoHoles, &WorkOptions::default())));
        });
    }
    group.finish();
}

/// Ribbing in a starred repeat: each stitch is asked for by its own words.
fn repeats(c: &mut Criterion) {
    let text = "Ch 1000; join.\nRnd 1: Ch 1, dc in each ch around; join.\n\
                Rnds 2-101: Ch 2, *fpdc around next st, bpdc around next st; rep from * around; join.";
    let piece = piece(text);
    let mut group = c.benchmark_group("work repeats");
    group.sample_size(10);
    group.throughput(Throughput::Elements(101_000));
    group.bench_function("ribbing", |b| {
        b.iter(|| black_box(work(&piece, "", &NoHoles, &WorkOptions::default())));
    });
    group.finish();
}

/// Text read and not worked: a megabyte of a decreasing crown's lines, and the phrasebook's.
fn reading(c: &mut Criterion) {
    let mut text = String::from("Ch 60; join with sl st in first ch to form a ring.\n");
    let mut n = 1;
    while text.len() < 1_000_000 {
        text.push_str(&format!("Rnd {n}: Ch 1, *sc in each of next 8 sts, sc2tog over next 2 sts; rep from * around; join with sl st in first sc. (54 sts)\n"));
        n += 1;
    }
    let mut group = c.benchmark_group("read");
    group.sample_size(10);
    group.throughput(Throughput::Bytes(text.len() as u64));
    group.bench_function("crown lines", |b| {
        b.iter(|| black_box(read(&text, &ReadOptions::default())));
    });
    // The forms of the phrasebook, each case a text of its own.
    let cases = std::fs::read_to_string("tests/phrasebook/public.jsonl").unwrap();
    let texts: Vec<String> = cases
        .lines()
        .map(|l| serde_json::from_str::<serde_json::Value>(l).unwrap())
        .filter(|case| case["terms"] == "US")
        .map(|case| {
            let lines = case["lines"].as_array().unwrap().iter();
            lines.map(|l| l.as_str().unwrap()).collect::<Vec<_>>().join("\n")
        })
        .collect();
    let options = ReadOptions { terms: Some(Terms::Us), ..ReadOptions::default() };
    group.throughput(Throughput::Bytes(texts.iter().map(|t| t.len() as u64).sum()));
    group.bench_function("phrasebook", |b| {
        b.iter(|| texts.iter().map(|text| read(text, &options).piece.lines.len()).sum::<usize>());
    });
    group.finish();
}

criterion_group!(benches, plain_rounds, repeats, reading);
criterion_main!(benches);
