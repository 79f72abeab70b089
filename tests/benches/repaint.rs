//! From a click to its repaint: the key turned in the window, on harnesses of 60 and of 1,000 parts.
//!
//! CPU time of the window's thread at 1280 by 800 points, for three frames: the press, the release, which carries the
//! click out and settles the circuit, and what shows it. In each is the drawing, made anew where it has changed, egui's
//! pass over all panels, and the triangles. What a driver does with the triangles is not in it, nor the list for screen
//! readers. Wanted: under 16 ms at 60 parts, 33 ms at 1,000.

#[path = "../support/cpu.rs"]
mod cpu;
#[path = "../support/mod.rs"]
mod support;
#[path = "../support/unread.rs"]
mod unread;

use std::hint::black_box;
use std::path::Path;
use std::time::Duration;

use cpu::CpuTime;
use criterion::{Criterion, criterion_group, criterion_main};
use eframe::egui::{Event, Pos2, Theme};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use fanloom::gui::{App, setup};
use support::harness::harness_text;
use unread::{SIZE, Unread, button};

/// As in the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// The window on a harness of so many parts, once it has come to rest, and where its key is.
fn opened(folder: &Path, parts: usize) -> (Unread, Pos2) {
    let path = folder.join(format!("{parts}.ron"));
    std::fs::write(&path, harness_text(parts)).expect("a file can be written");
    let builder = Harness::builder().with_size(SIZE).with_theme(Theme::Light).with_max_steps(12);
    let mut window = builder.with_context_setup(setup).build_eframe(|_| App::new(Some(path)));
    window.run();
    let key = window.get_by_label("Key").rect().center();
    (Unread::of(window), key)
}

fn clicks(c: &mut Criterion<CpuTime>) {
    let folder = tempfile::tempdir().expect("a folder can be made");
    let mut group = c.benchmark_group("a click and its repaint");
    for parts in [60, 1000] {
        let (mut window, key) = opened(folder.path(), parts);
        let run = |window: &mut Unread, events: &[Event]| {
            let output = window.pass(events);
            black_box(window.ctx.tessellate(output.shapes, output.pixels_per_point));
        };
        run(&mut window, &[Event::PointerMoved(key)]);
        run(&mut window, &[]);
        let mut turned = 0;
        group.bench_function(format!("{parts} parts"), |b| {
            b.iter(|| {
                run(&mut window, &[button(key, true)]);
                run(&mut window, &[button(key, false)]);
                run(&mut window, &[]);
                turned += 1;
            });
        });
        let is_off = !window.app.bench().conditions().key_on;
        assert_eq!(is_off, turned % 2 == 1, "the key was turned at each click");
    }
    group.finish();
}

fn by_cpu() -> Criterion<CpuTime> {
    let criterion = Criterion::default().with_measurement(CpuTime);
    criterion.sample_size(20).warm_up_time(Duration::from_secs(1)).measurement_time(Duration::from_secs(4))
}

criterion_group!(name = benches; config = by_cpu(); targets = clicks);
criterion_main!(benches);
