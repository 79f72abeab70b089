//! Time: an hour on the road with the fan cycling, and a trace as a person asks for it.
//!
//! Wanted in a release build: the hour under 50 ms.

#[path = "../support/mod.rs"]
mod support;

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use support::clock::{Clock, rig};

fn an_hour(c: &mut Criterion) {
    let road = Clock::shipped("parallel-open", &["engine=1800"], &[]);
    c.bench_function("an hour with the fan cycling", |b| {
        b.iter(|| black_box(road.clone().run_to(3600.0).moment()));
    });
    let mut leaking = Clock::on(&rig("", ""), &["engine=1500"], &["leak:hose=1mm"]);
    leaking.will("turn:S1=on");
    c.bench_function("an hour with a leak and the governor", |b| {
        b.iter(|| black_box(leaking.clone().run_to(3600.0).moment()));
    });
}

fn a_trace(c: &mut Criterion) {
    let at_rest = Clock::shipped("parallel-open", &[], &[]);
    c.bench_function("30 s at every 0.05 s", |b| {
        b.iter(|| {
            let mut clock = at_rest.clone();
            clock.run_to(2.0).will("jump:B1.1=B1.2");
            black_box(clock.sampled(30.0, 0.05))
        });
    });
}

criterion_group!(benches, an_hour, a_trace);
criterion_main!(benches);
