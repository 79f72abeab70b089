//! Pictures of the window, so that a change of looks is seen and meant: every drawer and dialog on every sheet, in the
//! usual window and in a small one.
//!
//! Drawn without a display and made half as large, to be looked through and not to be read.
//! `cargo test --test gui_images -- --ignored` compares them, `UPDATE_SNAPSHOTS=true` before it writes them anew; behaviour
//! is tested in `gui.rs`, by name.

use std::fs::File;
use std::path::Path;

use eframe::egui::{Key, Modifiers, Theme, Vec2, vec2};
use egui_kittest::kittest::{AccessKitNode, Queryable as _};
use egui_kittest::{Harness, SnapshotOptions, SnapshotResults, try_image_snapshot_options};
use image::RgbaImage;
use image::codecs::png::{CompressionType, FilterType, PngEncoder};

use fanloom::gui::App;

#[path = "support/raster.rs"]
mod raster;

use raster::{Raster, halved};

type Window = Harness<'static, App>;

/// Compilers differ in the last bit of an edge; so many pixels in a thousand may.
const TOLERATED: f32 = 1.2;
/// Distance between two shades of a colour that are kept apart.
const SHADE: u8 = 15;
/// Pixels of a picture to a point of the desktop.
const SCALE: f32 = 1.0;
/// The usual window and a small one.
const SIZES: [Vec2; 2] = [vec2(1280.0, 800.0), vec2(1024.0, 700.0)];

/// What the window is drawn on.
#[derive(Clone, Copy, PartialEq)]
enum Sheet {
    Light,
    Dark,
    Projector,
}

impl Sheet {
    fn word(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Dark => "dark",
            Self::Projector => "projector",
        }
    }
}

/// A window of `size` points of the desktop.
fn window(sheet: Sheet, size: Vec2) -> Window {
    let theme = if sheet == Sheet::Dark { Theme::Dark } else { Theme::Light };
    let mut window = Harness::builder()
        .with_size(size)
        .with_pixels_per_point(SCALE)
        .with_theme(theme)
        .with_max_steps(12)
        .with_context_setup(fanloom::gui::setup)
        .renderer(Raster::default())
        .build_eframe(|_| App::new(None));
    settle(&mut window);
    if sheet == Sheet::Projector {
        for sheet in ["Sheet: as desktop", "Sheet: light", "Sheet: dark"] {
            click(&mut window, sheet);
        }
        let zoom = window.ctx.zoom_factor();
        // In a real window points become fewer as they become larger.
        window.set_size(size / zoom);
        settle(&mut window);
    }
    window
}

/// The answers that come from beside the window belong in the picture.
fn settle(window: &mut Window) {
    window.run();
    while window.state().is_at_work() {
        std::thread::sleep(std::time::Duration::from_millis(5));
        window.run();
    }
}

fn starts(start: &str) -> impl Fn(&AccessKitNode<'_>) -> bool + '_ {
    move |node| node.label().is_some_and(|l| l.starts_with(start))
}

fn has(window: &Window, start: &str) -> bool {
    window.query_by(starts(start)).is_some()
}

fn click(window: &mut Window, start: &str) {
    window.get_by(starts(start)).click_accesskit();
    settle(window);
}

fn press(window: &mut Window, key: Key) {
    window.key_press(key);
    settle(window);
}

/// Compares what is seen, with the pointer where it is.
fn compare(window: &mut Window, name: &str) -> SnapshotResults {
    let full = window.render().expect("a picture");
    let mut image = halved(&full);
    // Enough shades to see by; more would only make the files large.
    for value in image.iter_mut() {
        *value = value.saturating_add(SHADE / 2) / SHADE * SHADE;
    }
    let pixels = (image.width() * image.height()) as f32 * TOLERATED / 1000.0;
    let options = SnapshotOptions::new().max_failed_pixels(pixels as usize);
    let mut results = SnapshotResults::new();
    results.add(try_image_snapshot_options(&image, name, &options));
    if std::env::var_os("UPDATE_SNAPSHOTS").is_some() {
        pack(&image, name);
    }
    results
}

/// Writes a picture anew as small as it can be, where it was just written.
fn pack(image: &RgbaImage, name: &str) {
    let path = Path::new("tests/snapshots").join(format!("{name}.png"));
    let file = File::create(&path).expect("the folder of the pictures");
    let encoder = PngEncoder::new_with_quality(file, CompressionType::Best, FilterType::NoFilter);
    image.write_with_encoder(encoder).expect("a picture that was just drawn");
}

fn picture(window: &mut Window, name: &str) -> SnapshotResults {
    window.remove_cursor();
    settle(window);
    compare(window, name)
}

/// Every drawer and dialog, one after the other in one window.
fn all_of(sheet: Sheet) {
    let mut results = SnapshotResults::new();
    for size in SIZES {
        let mut window = window(sheet, size);
        let name = |what: &str| format!("{what}-{}-{}", sheet.word(), size.x);
        let mut seen = |window: &mut Window, what: &str| results.extend(picture(window, &name(what)));
        if window.state().room().open_drawer().is_none() {
            press(&mut window, Key::P);
        }
        seen(&mut window, "prove");
        press(&mut window, Key::L);
        seen(&mut window, "logic");
        press(&mut window, Key::W);
        seen(&mut window, "faults");
        press(&mut window, Key::I);
        click(&mut window, "When it was seen");
        click(&mut window, "Coolant 206");
        click(&mut window, "The fan was free");
        seen(&mut window, "find");
        press(&mut window, Key::I);
        press(&mut window, Key::E);
        seen(&mut window, "build");
        press(&mut window, Key::E);
        for (key, what) in [(Key::C, "card"), (Key::F1, "words"), (Key::F2, "keys")] {
            press(&mut window, key);
            seen(&mut window, what);
            press(&mut window, Key::Escape);
        }
        click(&mut window, "Circuits");
        seen(&mut window, "circuits");
        click(&mut window, "Make one from answers");
        seen(&mut window, "making");
        press(&mut window, Key::Escape);
        window.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
        settle(&mut window);
        seen(&mut window, "save");
        press(&mut window, Key::Escape);
        if !has(&window, "About") {
            click(&mut window, "Look");
        }
        click(&mut window, "About");
        seen(&mut window, "menu");
        click(&mut window, "About Fanloom");
        seen(&mut window, "about");
        press(&mut window, Key::Escape);
        if has(&window, "Look") {
            seen(&mut window, "look");
            click(&mut window, "Look");
        }
        clock_and_dangers(&mut window, &mut seen);
        press(&mut window, Key::S);
        seen(&mut window, "steps");
        press(&mut window, Key::S);
        press(&mut window, Key::H);
        window.get_by(starts("Number of the hunt")).focus();
        settle(&mut window);
        window.key_press_modifiers(Modifiers::COMMAND, Key::A);
        window.get_by(starts("Number of the hunt")).type_text("7");
        settle(&mut window);
        click(&mut window, "Begin the hunt");
        seen(&mut window, "hunt");
        let mut window = self::window(sheet, size);
        two_circuits(&mut window, &mut seen);
    }
}

/// Another circuit beside the one in front, and the same done on both.
fn two_circuits(window: &mut Window, seen: &mut dyn FnMut(&mut Window, &str)) {
    window.key_press_modifiers(Modifiers::COMMAND, Key::O);
    settle(window);
    click(window, "Beside ");
    click(window, "Gravel tipper 12");
    press(window, Key::D);
    seen(window, "two");
}

/// The strips after a while with a lead on, then a short circuit foretold and done, its hazards beside the drawing.
fn clock_and_dangers(window: &mut Window, seen: &mut dyn FnMut(&mut Window, &str)) {
    press(window, Key::T);
    press(window, Key::Num2);
    click(window, "Terminal B1.1,");
    click(window, "Terminal B1.2,");
    for _ in 0..12 {
        press(window, Key::Period);
    }
    seen(window, "clock");
    press(window, Key::T);
    press(window, Key::Num4);
    click(window, "Terminal Y1.1,");
    click(window, "Terminal Y1.2,");
    seen(window, "meter");
    press(window, Key::Escape);
    press(window, Key::Num2);
    click(window, "Terminal B1.1,");
    click(window, "Terminal N1.g,");
    press(window, Key::Escape);
    if has(window, "Unfold Conditions") {
        seen(window, "dangers-folded");
        click(window, "Unfold Conditions");
    }
    seen(window, "dangers");
    click(window, "Put all back");
}

#[test]
#[ignore = "pictures are compared by themselves"]
fn drawers_and_dialogs_on_the_light_sheet() {
    all_of(Sheet::Light);
}

#[test]
#[ignore = "pictures are compared by themselves"]
fn drawers_and_dialogs_on_the_dark_sheet() {
    all_of(Sheet::Dark);
}

#[test]
#[ignore = "pictures are compared by themselves"]
fn drawers_and_dialogs_on_the_projector_sheet() {
    all_of(Sheet::Projector);
}

#[test]
#[ignore = "pictures are compared by themselves"]
fn the_window_in_spanish_and_french() {
    let mut results = SnapshotResults::new();
    let mut window = window(Sheet::Light, SIZES[0]);
    click(&mut window, "Circuit: ");
    for (button, language) in [("Language: ", "spanish"), ("Idioma: ", "french")] {
        click(&mut window, button);
        results.extend(picture(&mut window, language));
    }
}

#[test]
#[ignore = "pictures are compared by themselves"]
fn lead_on_the_sensor_on_the_dark_sheet() {
    let mut window = window(Sheet::Dark, SIZES[0]);
    press(&mut window, Key::Num2);
    click(&mut window, "Terminal B1.1,");
    click(&mut window, "Terminal B1.2,");
    click(&mut window, "Circuit: ");

    picture(&mut window, "lead-dark").unwrap();
}

#[test]
#[ignore = "pictures are compared by themselves"]
fn proving_act_pointed_at_in_its_list() {
    let mut window = window(Sheet::Light, SIZES[0]);
    window.get_by(starts("Try: Lead across B1")).focus();
    settle(&mut window);

    compare(&mut window, "proving-light").unwrap();
}

#[test]
#[ignore = "pictures are compared by themselves"]
fn danger_before_the_second_click() {
    let mut window = window(Sheet::Light, SIZES[0]);
    press(&mut window, Key::Num2);
    click(&mut window, "Terminal B1.1,");
    let at = window.get_by(starts("Terminal Y1.2,")).rect().center();
    window.hover_at(at);
    settle(&mut window);

    compare(&mut window, "danger-light").unwrap();
}
