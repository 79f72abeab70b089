//! Words of the trade in the window: pressed where they stand, listed, searched. Which words of a sentence they are is
//! tested beside `study::terms`.

use eframe::egui::Key;
use egui_kittest::kittest::Queryable as _;

use super::{Window, centre, click, focus, is_target, jump, names, press, shown, window};

/// The words that can be pressed.
fn terms(window: &Window) -> Vec<String> {
    names(window).into_iter().filter(|name| name.ends_with(": what it means")).collect()
}

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
fn a_word_in_a_hazard_is_explained_where_it_stands() {
    let mut window = window();
    jump(&mut window, "B1.1", "N1.g");
    let pressed = terms(&window).into_iter().next().expect("the danger speaks of a fuse");

    window.query_all_by(|node| is_target(node, &pressed)).next().expect("it is there").click();
    window.run();

    assert!(shown(&window, "Words of the trade"), "{:?}", names(&window));
    assert!(names(&window).iter().any(|name| name.starts_with("DANGER: ")), "the danger is still told");
}

#[test]
fn what_stands_beside_the_pointer_offers_nothing_to_press() {
    let mut window = window();
    press(&mut window, Key::Num2);
    click(&mut window, "Terminal B1.1,");
    let before = terms(&window);

    let at = centre(&window, "Terminal N1.g,");
    window.hover_at(at);
    window.run();

    assert!(names(&window).iter().any(|name| name.starts_with("DANGER: ")));
    assert_eq!(terms(&window), before);
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
