//! A few pictures of the window, so that a change of looks is seen and meant.
//!
//! Drawn by a software renderer without a display. `UPDATE_SNAPSHOTS=true` writes them anew; behaviour is tested in
//! `gui.rs`, by name.
#![cfg(feature = "image-tests")]

use eframe::egui::{Key, Theme, vec2};
use egui_kittest::kittest::Queryable as _;
use egui_kittest::{Harness, SnapshotOptions};

use fanloom::gui::App;

type Window = Harness<'static, App>;

/// Renderers differ in the last bit of an edge; so many pixels in a thousand may.
const TOLERATED: f32 = 1.2;

fn window(theme: Theme, pixels_per_point: f32) -> Window {
    let mut window = Harness::builder()
        .with_size(vec2(1280.0, 800.0))
        .with_pixels_per_point(pixels_per_point)
        .with_theme(theme)
        .with_max_steps(12)
        .with_context_setup(fanloom::gui::setup)
        .wgpu()
        .build_eframe(|_| App::new(None));
    window.run();
    // The answers that come from beside the window belong in the picture.
    while window.state().is_at_work() {
        std::thread::sleep(std::time::Duration::from_millis(5));
        window.run();
    }
    window
}

fn click(window: &mut Window, start: &str) {
    let target = |node: &egui_kittest::kittest::AccessKitNode<'_>| node.label().is_some_and(|l| l.starts_with(start));
    window.get_by(target).click();
    window.run();
}

fn picture(window: &mut Window, name: &str) {
    window.remove_cursor();
    window.run();
    let pixels = (1280 * 800) as f32 * TOLERATED / 1000.0;
    window.snapshot_options(name, &SnapshotOptions::new().max_failed_pixels(pixels as usize));
}

#[test]
fn worked_example_on_the_light_sheet() {
    picture(&mut window(Theme::Light, 1.0), "example-light");
}

#[test]
fn lead_on_the_sensor_on_the_dark_sheet() {
    let mut window = window(Theme::Dark, 1.0);
    window.key_press(Key::Num2);
    window.run();
    click(&mut window, "Terminal B1.1,");
    click(&mut window, "Terminal B1.2,");
    click(&mut window, "Circuit: ");

    picture(&mut window, "lead-dark");
}

#[test]
fn proving_act_pointed_at_in_its_list() {
    let mut window = window(Theme::Light, 1.0);
    let row =
        |n: &egui_kittest::kittest::AccessKitNode<'_>| n.label().is_some_and(|l| l.starts_with("Try: Lead across B1"));
    window.get_by(row).focus();
    window.run();

    let pixels = (1280 * 800) as f32 * TOLERATED / 1000.0;
    window.snapshot_options("proving-light", &SnapshotOptions::new().max_failed_pixels(pixels as usize));
}

#[test]
fn danger_before_the_second_click() {
    let mut window = window(Theme::Light, 1.0);
    window.key_press(Key::Num2);
    window.run();
    click(&mut window, "Terminal B1.1,");
    let at = window.get_by(|n: &egui_kittest::kittest::AccessKitNode<'_>| {
        n.label().is_some_and(|l| l.starts_with("Terminal Y1.2,"))
    });
    let at = at.rect().center();
    window.hover_at(at);
    window.run();

    let pixels = (1280 * 800) as f32 * TOLERATED / 1000.0;
    window.snapshot_options("danger-light", &SnapshotOptions::new().max_failed_pixels(pixels as usize));
}

#[test]
fn list_of_circuits() {
    let mut window = window(Theme::Dark, 1.0);
    click(&mut window, "Circuits");

    picture(&mut window, "circuits-dark");
}
