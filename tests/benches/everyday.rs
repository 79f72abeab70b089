//! What a person waits for: reading a very large file, and one act on the largest shipped circuit.
//!
//! Times are of the machine; only what is said beside each is wanted of them.

#[path = "../support/mod.rs"]
mod support;

use std::hint::black_box;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use fanloom::circuit::format::{read, write};
use fanloom::study::verdict;
use support::harness::harness_text;
use support::{Stand, action, circuit, shipped_names};

fn reading(c: &mut Criterion) {
    let text = harness_text(10_000);
    let mut group = c.benchmark_group("format");
    group.sample_size(10).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(5));
    group.bench_function("read 10000 parts", |b| b.iter(|| black_box(read(black_box(&text)))));
    let large = circuit(&text);
    group.bench_function("write 10000 parts", |b| b.iter(|| black_box(write(black_box(&large)))));
    group.finish();
}

fn acting(c: &mut Criterion) {
    let largest = shipped_names()
        .into_iter()
        .max_by_key(|name| Stand::shipped(name).bench.circuit().wires().len())
        .expect("some are shipped");
    let stand = Stand::shipped(&largest);
    let act = action("coolant=230F").expect("a setting");
    c.bench_function(&format!("one change on {largest}"), |b| {
        b.iter_batched(
            || stand.bench.clone(),
            |mut bench| {
                bench.apply(act.clone()).expect("always possible");
                black_box(bench)
            },
            criterion::BatchSize::SmallInput,
        );
    });
}

/// Wanted: under 1 ms, reasons in words included.
fn clicking(c: &mut Criterion) {
    let largest = shipped_names()
        .into_iter()
        .max_by_key(|name| Stand::shipped(name).bench.circuit().wires().len())
        .expect("some are shipped");
    let stand = Stand::shipped(&largest);
    let act = action("coolant=230F").expect("a setting");
    c.bench_function(&format!("one change on {largest} with its reasons"), |b| {
        b.iter_batched(
            || stand.bench.clone(),
            |mut bench| {
                bench.apply(act.clone()).expect("always possible");
                black_box(verdict(&bench))
            },
            criterion::BatchSize::SmallInput,
        );
    });
}

criterion_group!(benches, reading, acting, clicking);
criterion_main!(benches);
