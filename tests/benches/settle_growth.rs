//! How the time of one settled verdict grows with the number of parts, in one run on one machine.
//!
//! Made-up harnesses of 100 to 10,000 parts are settled from nothing. What counts is the exponent fitted to the
//! times (least squares on logarithms): it is to stay at or below 1.3, and 10,000 parts below 200 ms.

#[path = "../support/mod.rs"]
mod support;

use std::hint::black_box;
use std::sync::Arc;
use std::time::{Duration, Instant};

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use fanloom::bench::Bench;
use support::harness::harness_text;
use support::{circuit, exponent};

const SIZES: [usize; 5] = [100, 300, 1_000, 3_000, 10_000];

fn settle(c: &mut Criterion) {
    let mut group = c.benchmark_group("settle");
    group.sample_size(10).warm_up_time(Duration::from_millis(300)).measurement_time(Duration::from_secs(2));
    let mut times = Vec::new();
    for size in SIZES {
        let harness = circuit(&harness_text(size));
        let parts = harness.parts().len();
        group.bench_with_input(BenchmarkId::from_parameter(parts), &harness, |b, harness| {
            b.iter(|| black_box(Bench::new(Arc::clone(harness))));
        });
        times.push((parts, best_of(5, || drop(black_box(Bench::new(Arc::clone(&harness)))))));
    }
    group.finish();
    for (parts, seconds) in &times {
        println!(
            "settled {parts:>6} parts in {:>9.3} ms, {:.2} us a part",
            1e3 * seconds,
            1e6 * seconds / *parts as f64
        );
    }
    println!("exponent from 100 parts on: {:.3} (to stay at or below 1.3)", exponent(&times));
    println!("exponent from 1000 parts on: {:.3}", exponent(&times[2..]));
}

#[expect(clippy::disallowed_methods, reason = "the bench is about time")]
fn now() -> Instant {
    Instant::now()
}

/// Shortest of so many times, in seconds: what other work on the machine disturbs least.
fn best_of(times: usize, mut f: impl FnMut()) -> f64 {
    let measured = (0..times).map(|_| {
        let begun = now();
        f();
        begun.elapsed().as_secs_f64()
    });
    measured.fold(f64::INFINITY, f64::min)
}

criterion_group!(benches, settle);
criterion_main!(benches);
