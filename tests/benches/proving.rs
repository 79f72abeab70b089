//! What a technician waits for: every proving act of a circuit, the forecast of one act, a fleet of files checked.
//!
//! Times are of the machine; what is wanted of them stands beside each (release, two cores).

#[path = "../support/mod.rs"]
mod support;

use std::hint::black_box;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use fanloom::bench::{Act, Action, Bench};
use fanloom::circuit::format::{read, write};
use fanloom::study::preview;
use fanloom::study::prove::prove;
use rayon::prelude::*;
use support::harness::harness_text;
use support::{Stand, circuit, shipped, shipped_names};

/// The shipped circuit with the most to try: by its terminals, since leads go between any two.
fn largest() -> String {
    let terminals = |name: &String| shipped(name).terminals_with_ids().count();
    shipped_names().into_iter().max_by_key(terminals).expect("some are shipped")
}

/// Wanted: under 1 s on the largest shipped circuit, under 5 s on one of 60 parts.
fn proving(c: &mut Criterion) {
    let name = largest();
    let stand = Stand::shipped(&name);
    let mut group = c.benchmark_group("prove");
    group.sample_size(10).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(5));
    group.bench_function(format!("singles and pairs on {name}"), |b| b.iter(|| black_box(prove(&stand.bench))));
    let sixty = Bench::new(circuit(&harness_text(60)));
    group.measurement_time(Duration::from_secs(30));
    group.bench_function("singles and pairs on 60 parts", |b| b.iter(|| black_box(prove(&sixty))));
    group.finish();
}

/// Wanted: under 2 ms.
fn foreseeing(c: &mut Criterion) {
    let name = largest();
    let stand = Stand::shipped(&name);
    let acts: Vec<Act> = prove(&stand.bench).engage.into_iter().map(|answer| answer.acts[0].clone()).collect();
    c.bench_function(&format!("forecast of one act on {name}"), |b| {
        let mut next = acts.iter().cycle();
        b.iter(|| black_box(preview(&stand.bench, std::slice::from_ref(next.next().expect("a cycle has no end")))));
    });
    let mut hot = stand.bench.clone();
    hot.apply(Action::Set("coolant=230F".parse().expect("a setting"))).expect("always possible");
    c.bench_function(&format!("forecast of a short on {name}"), |b| {
        let short: Act = "jump:G1.+=N1.g/none".parse().expect("an act");
        b.iter(|| black_box(preview(&hot, std::slice::from_ref(&short))));
    });
}

/// Wanted: a thousand files in a run of `check` under 10 s; here without the disk.
fn checking(c: &mut Criterion) {
    let texts: Vec<String> = shipped_names().iter().map(|name| write(&shipped(name))).collect();
    let fleet: Vec<&String> = texts.iter().cycle().take(1000).collect();
    let mut group = c.benchmark_group("check");
    group.sample_size(10).warm_up_time(Duration::from_millis(500)).measurement_time(Duration::from_secs(5));
    group.bench_function("1000 circuits", |b| {
        b.iter(|| fleet.par_iter().map(|text| read(text).findings.len()).sum::<usize>());
    });
    group.finish();
}

criterion_group!(benches, proving, foreseeing, checking);
criterion_main!(benches);
