//! Time: an hour on the road with the fan cycling, a trace as a person asks for it, and a frame of the window while the
//! clock runs. All in CPU time.
//!
//! Wanted in a release build: the hour under 50 ms, the frame under 4 ms.

#[path = "../support/cpu.rs"]
mod cpu;
#[path = "../support/mod.rs"]
mod support;

use std::hint::black_box;
use std::time::Duration;

use cpu::CpuTime;
use criterion::{Criterion, criterion_group, criterion_main};
use fanloom::physics::clutch::ClutchState;
use fanloom::physics::time::Happening;
use support::clock::{Clock, rig};
use support::shipped_names;

fn an_hour(c: &mut Criterion<CpuTime>) {
    let mut group = c.benchmark_group("an hour");
    for name in shipped_names() {
        let road = Clock::shipped(&name, &["engine=1800"], &[]);
        let mut driven = road.clone();
        driven.run_to(3600.0);
        let engaged = driven.times(|h| *h == Happening::Clutch(ClutchState::Engaged)).len();
        if engaged < 2 {
            continue;
        }
        group.bench_function(format!("{name}, the fan cycling {engaged} times"), |b| {
            b.iter(|| black_box(road.clone().run_to(3600.0).moment()));
        });
    }
    let mut leaking = Clock::on(&rig("", ""), &["engine=1500"], &["leak:hose=1mm"]);
    leaking.will("turn:S1=on");
    group.bench_function("with a leak and the governor", |b| {
        b.iter(|| black_box(leaking.clone().run_to(3600.0).moment()));
    });
    group.finish();
}

fn a_trace(c: &mut Criterion<CpuTime>) {
    let at_rest = Clock::shipped("parallel-open", &[], &[]);
    c.bench_function("30 s at every 0.05 s", |b| {
        b.iter(|| {
            let mut clock = at_rest.clone();
            clock.run_to(2.0).will("jump:B1.1=B1.2");
            black_box(clock.sampled(30.0, 0.05))
        });
    });
}

/// One frame of the whole window, as eframe asks for it sixty times a second while the clock runs on the worked example
/// with the engine at 1,750 rpm and the drawer out: the clock's pass of a sixtieth of a second times its speed, the
/// verdict and the readings anew, strips, drawing (made anew where something it shows has changed) and egui's pass over
/// all panels, up to the list of shapes. Triangles, glyph pictures and pixels are not in it; the list for screen readers
/// is not either.
#[cfg(feature = "window")]
mod frame {
    use eframe::App as _;
    use eframe::egui::accesskit::Role;
    use eframe::egui::{Key, RawInput, Rect, Theme, vec2};
    use egui_kittest::Harness;
    use egui_kittest::kittest::Queryable as _;
    use fanloom::gui::{App, setup};

    use super::{CpuTime, Criterion, Duration, black_box};

    const SIZE: eframe::egui::Vec2 = vec2(1280.0, 800.0);

    fn running(speed: &str) -> (eframe::egui::Context, App) {
        let builder = Harness::builder().with_size(SIZE).with_theme(Theme::Light).with_max_steps(12);
        let mut window = builder.with_context_setup(setup).build_eframe(|_| App::new(None));
        window.run();
        while window.state().is_at_work() {
            std::thread::sleep(Duration::from_millis(5));
            window.run();
        }
        let ctx = window.ctx.clone();
        window.key_press(Key::T);
        window.run();
        window.get_by_label(speed).click();
        window.run();
        window.get_by_role_and_label(Role::Slider, "Engine speed").focus();
        window.run();
        for _ in 0..7 {
            window.key_press(Key::PageUp);
            window.run();
        }
        window.key_press(Key::R);
        window.step();
        ctx.disable_accesskit();
        (ctx, window.into_state())
    }

    pub(super) fn a_frame(c: &mut Criterion<CpuTime>) {
        let mut group = c.benchmark_group("a frame of the window");
        for speed in ["Speed 10 times", "Speed 300 times"] {
            let (ctx, mut app) = running(speed);
            let mut frame = eframe::Frame::_new_kittest();
            let mut at_s = 100.0;
            let began = app.bench().conditions().coolant_c;
            group.bench_function(speed, |b| {
                b.iter(|| {
                    at_s += 1.0 / 60.0;
                    let input = RawInput {
                        screen_rect: Some(Rect::from_min_size(Default::default(), SIZE)),
                        time: Some(at_s),
                        predicted_dt: 1.0 / 60.0,
                        ..RawInput::default()
                    };
                    black_box(ctx.run_ui(input, |ui| app.ui(ui, &mut frame)))
                });
            });
            assert!(app.bench().conditions().coolant_c > began, "the clock has been running");
        }
        group.finish();
    }
}

#[cfg(feature = "window")]
use frame::a_frame;

#[cfg(not(feature = "window"))]
fn a_frame(_: &mut Criterion<CpuTime>) {}

fn by_cpu() -> Criterion<CpuTime> {
    let criterion = Criterion::default().with_measurement(CpuTime);
    criterion.sample_size(20).warm_up_time(Duration::from_secs(1)).measurement_time(Duration::from_secs(4))
}

criterion_group!(name = benches; config = by_cpu(); targets = an_hour, a_trace, a_frame);
criterion_main!(benches);
