//! Words of the trade in the window: pressed where they stand, listed, searched. Which words of a sentence they are is
//! tested beside `study::terms`.

use eframe::egui::Key;
use egui_kittest::kittest::Queryable as _;

use super::{click, focus, is_target, names, press, shown, window};

#[test]
fn a_word_in_the_reasons_is_explained_where_it_stands() {
    let mut window = window();
    click(&mut window, "S2, hand switch");
    click(&mut window, "Circuit: coil live");
    click(&mut window, "pull-in: what it means");
    assert!(names(&window).iter().any(|name| name.contains("a hot coil resists more, so it needs more volts")));
    assert!(!shown(&window, "Ghost voltage"), "only the one that was asked for");
    press(&mut window, Key::Escape);
    assert!(!shown(&window, "Words of the trade"));
}

#[test]
fn all_words_are_listed_and_found_by_any_form() {
    let mut window = window();
    press(&mut window, Key::F1);
    assert!(shown(&window, "Normally open and normally closed"));
    assert!(shown(&window, "Ghost voltage"));
    focus(&mut window, "Search the words");
    window.get_by(|node| is_target(node, "Search the words")).type_text("back-fed");
    window.run();
    assert!(shown(&window, "Back-feed"));
    assert!(!shown(&window, "Ghost voltage"));
}
