//! Keys: the dialog lists what the window obeys, each does what it says, and none is obeyed that is not
//! listed.

use std::collections::BTreeSet;

use eframe::egui::accesskit::Role;
use eframe::egui::{Event, Id, Key, KeyboardShortcut, Modifiers, Pos2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use fanloom::gui::panel::keys::keys_of;
use fanloom::gui::shortcuts::{BINDINGS, words};
use fanloom::study::answer::Standing;
use fanloom::words::{Language, catalogue};

#[path = "../support/unread.rs"]
mod unread;

use unread::{Unread, button};

use super::{Window, centre, click, focus, is_target, jump, name, names, press, press_with, reach, shown, window};

/// Everything by which a pressed key could show itself.
fn stands(window: &Window) -> (Vec<String>, String) {
    let app = window.state();
    let focus = window.ctx.memory(|memory| memory.focused());
    let node = window.query_all_by(|node| is_target(node, "Terminal G1.+,")).next().expect("a battery is there");
    let numbers = window.query_all_by(|node| node.data().numeric_value().is_some());
    let numbers: Vec<_> = numbers.map(|node| node.accesskit_node().data().numeric_value()).collect();
    let switched = window.query_all_by(|node| node.toggled().is_some());
    let switched: Vec<_> = switched.map(|node| node.accesskit_node().toggled()).collect();
    let numbers = (numbers, switched);
    let rest = (app.room(), app.desk().tool.kind(), focus, node.rect(), numbers, window.ctx.zoom_factor());
    (names(window), format!("{rest:?}"))
}

fn press_all(window: &mut Window, keys: &KeyboardShortcut) {
    window.key_press_modifiers(keys.modifiers, keys.logical_key);
    // A clock that runs never comes to rest.
    window.run_steps(4);
}

/// The window in a state in which every key of the window has something to do, but for `says`, whose keys are to show
/// themselves.
fn ready(says: &str) -> Window {
    let mut window = window();
    match says {
        "shortcuts-run" | "shortcuts-step-clock" => press(&mut window, Key::T),
        "shortcuts-next-circuit" | "shortcuts-side-by-side" | "shortcuts-on-both" => {
            super::side::open_beside(&mut window, "Gravel tipper 12");
        }
        "shortcuts-next-step" | "shortcuts-last-step" | "shortcuts-first-step" => {
            jump(&mut window, "B1.1", "B1.2");
            press(&mut window, Key::S);
            reach(&mut window, "Make a demonstration of it");
            window.ctx.memory_mut(|memory| memory.stop_text_input());
            let focused = window.ctx.memory(|memory| memory.focused());
            focused.into_iter().for_each(|id| window.ctx.memory_mut(|memory| memory.surrender_focus(id)));
            window.run();
            if says == "shortcuts-next-step" {
                press(&mut window, Key::Home);
            }
        }
        "shortcuts-undo" => jump(&mut window, "B1.1", "B1.2"),
        "shortcuts-redo" => {
            jump(&mut window, "B1.1", "B1.2");
            press_with(&mut window, Modifiers::COMMAND, Key::Z);
        }
        "tray-hand" | "shortcuts-put-tool-back" => press(&mut window, Key::Num3),
        "shortcuts-whole-sheet" => press(&mut window, Key::Minus),
        "shortcuts-usual-size" => press_with(&mut window, Modifiers::COMMAND, Key::Plus),
        "shortcuts-what-can-be-wrong" | "shortcuts-press-or-use" => focus(&mut window, "S2, hand switch"),
        "shortcuts-next-or-last" | "shortcuts-what-lies-that-way" => focus(&mut window, "Terminal B2.1,"),
        of if of.contains("-step-") || of.contains("-stride-") || of.contains("-its-") => {
            super::type_into(&mut window, "Coolant value", "150");
            press(&mut window, Key::Enter);
            window.get_by_role_and_label(Role::Slider, "Coolant").focus();
            window.run();
        }
        of if of.starts_with("shortcuts-far-") || of.starts_with("shortcuts-a-bit-") => {
            press(&mut window, Key::E);
            focus(&mut window, "Y1, air valve");
            press(&mut window, Key::Enter);
            reach(&mut window, "Move Y1");
        }
        "shortcuts-take-chosen-away" => {
            press(&mut window, Key::E);
            focus(&mut window, "Y1, air valve");
            press(&mut window, Key::Enter);
        }
        _ => {}
    }
    window
}

#[test]
fn every_key_that_is_listed_does_something() {
    let mut idle = BTreeSet::new();
    for binding in BINDINGS {
        for keys in binding.keys {
            let mut window = ready(binding.says);
            let before = (stands(&window), format!("{:?}", window.state().desk()));
            press_all(&mut window, keys);
            if (stands(&window), format!("{:?}", window.state().desk())) == before {
                idle.insert(format!("{} {}", binding.says, words(keys)));
            }
        }
    }
    assert!(idle.is_empty(), "{idle:?}");
}

#[test]
fn every_key_that_is_obeyed_is_listed() {
    let mut window = window();
    let mut unlisted = BTreeSet::new();
    let mut before = stands(&window);
    for key in Key::ALL {
        for modifiers in [Modifiers::NONE, Modifiers::COMMAND, Modifiers::COMMAND | Modifiers::SHIFT] {
            let meant =
                |keys: &KeyboardShortcut| keys.logical_key == *key && modifiers.matches_logically(keys.modifiers);
            if BINDINGS.iter().flat_map(|binding| binding.keys).any(meant) {
                continue;
            }
            window.event(Event::Key { key: *key, physical_key: None, pressed: true, repeat: false, modifiers });
            window.run();
            let after = stands(&window);
            if after != before {
                unlisted.insert(format!("{modifiers:?} {key:?}"));
                before = after;
            }
        }
    }
    assert!(unlisted.is_empty(), "{unlisted:?}");
}

#[test]
fn the_dialog_lists_every_key_in_every_language() {
    for key in [Key::F2, Key::Questionmark] {
        let mut window = window();
        press(&mut window, key);
        assert!(shown(&window, "Keys"), "{:?}", names(&window));
    }
    for language in Language::ALL {
        let mut window = window();
        super::languages::speak(&mut window, language);
        press(&mut window, Key::F2);
        let said = names(&window);
        for binding in BINDINGS {
            let says = catalogue::text(language, binding.says, &[]);
            assert!(said.contains(&says), "{says:?} is not told in {language:?}");
            let keys = keys_of(binding);
            assert!(said.contains(&keys), "{keys:?} is not told in {language:?}");
        }
    }
}

#[test]
fn the_keys_are_come_to_from_the_menu_and_from_what_the_program_is_about() {
    let mut window = window();

    click(&mut window, "About");
    click(&mut window, "Keys (F2)");
    assert!(shown(&window, "Taking a tool in hand"));
    press(&mut window, Key::Escape);
    click(&mut window, "About");
    click(&mut window, "About Fanloom");
    click(&mut window, "Keys (F2)");

    assert!(shown(&window, "Taking a tool in hand"));
}

/// What the keyboard is at, and how far from the left; nothing where it is at nothing.
fn at(window: &Window) -> Option<(f32, String)> {
    let node = window.query_all_by(|node| node.is_focused()).next()?;
    Some((node.rect().left(), name(&node.accesskit_node()).unwrap_or_default()))
}

/// From the top of the window it was some forty steps to the first row of a drawer that a key had pulled out.
#[test]
fn a_drawer_pulled_out_by_a_key_has_the_keyboard_and_one_pulled_out_by_the_pointer_does_not_take_it() {
    for (key, head) in [(Key::P, "At the left: Prove"), (Key::I, "At the left: Find"), (Key::S, "At the left: Steps")] {
        let mut window = window();
        jump(&mut window, "B1.1", "B1.2");
        press(&mut window, Key::Escape);
        if key == Key::P {
            // It is out from the beginning.
            press(&mut window, key);
        }
        press(&mut window, key);
        assert_eq!(at(&window).unwrap().1, head);
        press(&mut window, Key::Tab);
        let (left, next) = at(&window).unwrap();
        assert!(left < 280.0 && next != head, "{head}: {left} {next}");
    }
    let mut window = window();
    click(&mut window, "Logic");
    assert!(at(&window).is_none_or(|(_, name)| !name.contains("At the left")), "{:?}", at(&window));
}

/// From the top line it was some fifty steps through tools, conditions and drawer to the first thing of the drawing.
#[test]
fn a_key_takes_the_keyboard_from_anywhere_to_the_drawing() {
    let mut window = window();
    focus(&mut window, "Circuits");
    press(&mut window, Key::G);
    let (_, first) = at(&window).unwrap();
    assert!(first.starts_with("G1, "), "{first}");
    press(&mut window, Key::Tab);
    let (_, next) = at(&window).unwrap();
    assert!(["Terminal ", "Wire ", "F1, "].iter().any(|start| next.starts_with(start)), "{next}");

    click(&mut window, "B2, refrigerant");
    focus(&mut window, "Circuits");
    press(&mut window, Key::G);
    assert!(at(&window).unwrap().1.starts_with("B2, "), "what is looked at: {:?}", at(&window));
}

#[test]
fn tab_goes_through_the_top_line_from_left_to_right() {
    let mut window = window();
    focus(&mut window, "Circuits");
    let mut reached = Vec::new();
    while reached.len() < 60 && !reached.last().is_some_and(|(_, name): &(f32, String)| name.starts_with("Language")) {
        press(&mut window, Key::Tab);
        reached.extend(at(&window));
    }
    assert!(reached.len() > 15 && reached.len() < 30, "{reached:?}");
    assert!(reached.is_sorted_by(|(a, _), (b, _)| a <= b), "{reached:?}");
}

/// What is done to a window frame by frame.
impl Unread {
    fn go_on(&mut self, events: &[Event]) {
        // Nobody draws it.
        self.pass(events).textures_delta.clear();
    }

    fn click(&mut self, pos: Pos2) {
        self.go_on(&[Event::PointerMoved(pos)]);
        for pressed in [true, false] {
            self.go_on(&[button(pos, pressed)]);
        }
        self.go_on(&[]);
    }

    fn press(&mut self, key: Key, modifiers: Modifiers) {
        let event = |pressed| Event::Key { key, physical_key: None, pressed, repeat: false, modifiers };
        for pressed in [true, false] {
            self.go_on(&[event(pressed)]);
        }
        self.go_on(&[]);
    }

    fn focused(&self) -> Option<Id> {
        self.ctx.memory(|memory| memory.focused())
    }
}

// What is pointed at is found without a widget for each place, which a large circuit has thousands of.
#[test]
fn with_nothing_that_reads_the_window_out_pointer_and_keyboard_go_on_from_each_other() {
    let window = window();
    let [first, switch] = ["Terminal B1.1,", "S2, hand switch"].map(|place| centre(&window, place));
    let mut window = Unread::of(window);
    window.click(switch);
    assert_eq!(window.app.verdict().standing, Standing::Engaged, "a click turns a switch");
    window.press(Key::Z, Modifiers::COMMAND);
    assert_eq!(window.app.verdict().standing, Standing::Released);

    window.press(Key::Num2, Modifiers::NONE);
    window.click(first);
    let clicked = window.focused();
    window.press(Key::Tab, Modifiers::NONE);
    let next = window.focused();
    assert!(clicked.is_some() && next.is_some() && clicked != next, "the next terminal has the keyboard");
    window.press(Key::Tab, Modifiers::SHIFT);
    assert_eq!(window.focused(), clicked, "and the one before again");
    window.press(Key::Tab, Modifiers::NONE);
    window.press(Key::Space, Modifiers::NONE);

    assert_eq!(window.app.bench().acts().count(), 1, "the lead is on both");
    window.press(Key::G, Modifiers::NONE);
    let there = window.focused();
    window.press(Key::Tab, Modifiers::NONE);
    assert!(there.is_some() && window.focused() != there, "the drawing is a key away");
    assert_eq!(window.app.verdict().standing, Standing::Engaged);
}
