//! What a finger presses: 44 points of the desktop high and wide, wherever it stands, once a finger has touched the window
//! or somebody has asked for it, and nothing out of reach for all that.

use std::collections::BTreeSet;

use eframe::egui::accesskit::{Action, Role};
use eframe::egui::{Key, Modifiers, Vec2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use super::sizes::{SLACK, is_in_the_drawing, nothing_is_out_of_reach, projected, walk};
use super::{
    Window, click, focus, is_target, jump, name, names, press, press_with, reach, settle, shown, tap, type_into,
    window, window_on,
};

/// What a finger needs, in points of the desktop (WCAG 2.1, success criterion 2.5.5), less rounding.
const FINGER: f32 = 44.0 - 0.1;

/// The button that asks for it.
const BUTTON: &str = "Big buttons for gloves and fingers";

/// A window of `size` points of the desktop with letters of `scale` times their size, made large by the window itself.
fn lettered(size: Vec2, scale: f32) -> Window {
    let mut window = window_on(None, (size.x, size.y));
    while window.ctx.zoom_factor() < scale {
        press_with(&mut window, Modifiers::COMMAND, Key::Plus);
    }
    window.set_size(size / window.ctx.zoom_factor());
    settle(&mut window);
    window.run();
    window
}

fn ask_for_it(window: &mut Window) {
    let folded = !shown(window, BUTTON);
    if folded {
        click(window, "Look");
    }
    click(window, BUTTON);
    if folded {
        click(window, "Look");
    }
}

/// What can be pressed and is smaller than a finger, with its size in points of the desktop. Left out are bars beside
/// what is scrolled, which a finger drags itself, and the line of letters inside a field that is large enough.
fn too_small(window: &Window) -> Vec<String> {
    let zoom = window.ctx.zoom_factor();
    let fields: Vec<_> = window.query_all_by(|node| node.role() == Role::TextInput).map(|node| node.rect()).collect();
    let nodes = window.query_all_by(|node| node.data().supports_action(Action::Click));
    let sized = nodes.filter_map(|node| {
        let (role, rect) = (node.accesskit_node().role(), node.rect());
        let in_a_field = role == Role::Unknown && fields.iter().any(|field| field.contains_rect(rect));
        let size = rect.size() * zoom;
        let small = (size.x < FINGER || size.y < FINGER) && role != Role::ScrollBar && !in_a_field;
        let named = name(&node.accesskit_node()).unwrap_or_default();
        small.then(|| format!("{role:?} {named:?} {:.0} x {:.0}", size.x, size.y))
    });
    sized.collect()
}

/// What can be pressed, stands in a panel that is not scrolled, and reaches over its edge.
fn cut_off(window: &Window) -> Vec<String> {
    let nodes = window.query_all_by(|node| node.data().supports_action(Action::Click) && name(node).is_some());
    let named = nodes.filter(|node| !is_in_the_drawing(window, &name(&node.accesskit_node()).unwrap_or_default()));
    let cut = named.filter(|node| {
        let mut around = node.parent();
        while let Some(of) = around {
            match of.accesskit_node().role() {
                Role::ScrollView => return false,
                Role::Pane if of.accesskit_node().bounding_box().is_some() => {
                    return !of.rect().expand(1.0).contains_rect(node.rect());
                }
                _ => around = of.parent(),
            }
        }
        false
    });
    cut.map(|node| format!("{:?} reaches out: {:?}", name(&node.accesskit_node()), node.rect())).collect()
}

/// Goes through the whole window: everything that is pressed is large enough, and nothing is out of reach.
#[track_caller]
fn everything_is_for_fingers(window: &mut Window, what: &str) {
    let mut small = BTreeSet::new();
    walk(window, &mut |window, stop| {
        nothing_is_out_of_reach(window, &format!("{stop} {what}"));
        let found = too_small(window).into_iter().chain(cut_off(window));
        small.extend(found.map(|of| format!("{stop}: {of}")));
    });
    assert!(small.is_empty(), "{what}:\n{}", small.into_iter().collect::<Vec<_>>().join("\n"));
}

#[test]
fn at_100_per_cent_everything_is_large_enough_for_fingers_and_in_reach() {
    for size in [vec2(1280.0, 800.0), vec2(1024.0, 700.0)] {
        let mut window = lettered(size, 1.0);
        ask_for_it(&mut window);
        everything_is_for_fingers(&mut window, &format!("in {size:?}"));
    }
}

#[test]
fn at_200_per_cent_everything_is_large_enough_for_fingers_and_in_reach() {
    for size in [vec2(1280.0, 800.0), vec2(1024.0, 700.0)] {
        let mut window = lettered(size, 2.0);
        ask_for_it(&mut window);
        everything_is_for_fingers(&mut window, &format!("in {size:?} at 200 %"));
    }
}

#[test]
fn the_projector_sheet_is_for_fingers_by_itself() {
    for size in [vec2(1280.0, 800.0), vec2(1024.0, 700.0)] {
        everything_is_for_fingers(&mut projected(size), &format!("on the projector in {size:?}"));
    }
}

#[test]
fn the_first_touch_makes_everything_large_enough_and_a_mouse_does_not() {
    let mut window = window();
    let high = |window: &Window| window.get_by(|node| is_target(node, "Card")).rect().height();
    click(&mut window, "S2, hand switch");
    assert!(high(&window) < 32.0);

    tap(&mut window, "S2, hand switch");

    assert!(high(&window) >= FINGER, "{}", high(&window));
}

#[test]
fn what_somebody_chose_outlives_a_touch() {
    let mut window = window();
    ask_for_it(&mut window);
    click(&mut window, BUTTON);

    tap(&mut window, "S2, hand switch");

    assert!(!too_small(&window).is_empty(), "asked to be small, it stays so");
}

#[test]
fn with_two_circuits_open_everything_is_large_enough_for_fingers_and_in_reach() {
    for size in [vec2(1280.0, 800.0), vec2(1024.0, 700.0)] {
        let mut window = lettered(size, 1.0);
        ask_for_it(&mut window);
        super::side::open_beside(&mut window, "Gravel tipper 12");
        for stop in ["two circuits", "and the drawer"] {
            let what = format!("{stop} in {size:?}");
            nothing_is_out_of_reach(&mut window, &what);
            assert_eq!(too_small(&window), Vec::<String>::new(), "{what}");
            press(&mut window, Key::P);
            settle(&mut window);
        }
    }
}

#[test]
fn in_a_find_a_hunt_and_a_demonstration_everything_is_large_enough_for_fingers_and_in_reach() {
    let mut window = lettered(vec2(1024.0, 700.0), 1.0);
    ask_for_it(&mut window);
    let stop = |window: &mut Window, what: &str| {
        settle(window);
        window.run();
        nothing_is_out_of_reach(window, what);
        assert_eq!(too_small(window), Vec::<String>::new(), "{what}");
    };
    jump(&mut window, "B1.1", "B1.2");
    press(&mut window, Key::S);
    reach(&mut window, "Make a demonstration of it");
    stop(&mut window, "a demonstration");
    press(&mut window, Key::I);
    stop(&mut window, "a find");
    press(&mut window, Key::H);
    reach(&mut window, "Begin the hunt");
    stop(&mut window, "a hunt");
    press(&mut window, Key::Num4);
    click(&mut window, "Terminal B1.1,");
    click(&mut window, "Terminal B1.2,");
    // So few that the list is not scrolled by itself.
    type_into(&mut window, "Search what it may be", "W10");
    stop(&mut window, "a meter in the hunt");
    reach(&mut window, "Give up");
    reach(&mut window, "Show what it was");
    stop(&mut window, "the hunt is over");
}

/// On a small drawing areas of terminals lie over each other: the nearer terminal is meant, so that each can be pressed at
/// its own place.
#[test]
fn zoomed_out_a_terminal_is_still_as_large_as_a_finger_and_the_nearer_one_is_meant() {
    let mut window = window();
    ask_for_it(&mut window);
    for _ in 0..6 {
        press(&mut window, Key::Minus);
    }
    let terminals: Vec<String> = names(&window).into_iter().filter(|name| name.starts_with("Terminal ")).collect();
    let centres: Vec<_> = terminals.iter().map(|name| super::centre(&window, name)).collect();
    let gap = |at: usize| {
        let others = centres.iter().enumerate().filter(|(other, _)| *other != at);
        others.map(|(_, other)| (*other - centres[at]).length()).fold(f32::INFINITY, f32::min)
    };
    assert!((0..centres.len()).any(|at| gap(at) < 30.0), "some are closer to each other than a finger is wide");
    for name in &terminals {
        let size = window.get_by(|node| is_target(node, name)).rect().size();
        assert!(size.x >= FINGER && size.y >= FINGER, "{name}: {size:?}");
        press(&mut window, Key::Num2);
        click(&mut window, name);
        let point = name.trim_start_matches("Terminal ").split(',').next().unwrap_or_default();
        assert!(shown(&window, &format!("Jumper lead on {point}")), "{name}: {:?}", names(&window));
        press(&mut window, Key::Escape);
    }
}

/// What the keyboard is at, where less of it is in sight than there is of it.
fn half_hidden(window: &Window) -> Option<String> {
    let at = window.ctx.memory(|memory| memory.focused())?;
    let place = window.ctx.read_response(at)?;
    if place.interact_rect.expand(SLACK).contains_rect(place.rect) {
        return None;
    }
    let node = window.query_all_by(|node| node.is_focused()).next()?;
    Some(format!("{:?}: {:?} of {:?}", name(&node.accesskit_node()), place.interact_rect, place.rect))
}

#[test]
fn whatever_the_keyboard_comes_to_in_a_long_list_is_brought_into_sight() {
    for size in [vec2(1280.0, 800.0), vec2(1024.0, 640.0)] {
        let mut window = lettered(size, 1.0);
        for (key, word) in [(Key::W, "the faults"), (Key::P, "the proving acts"), (Key::I, "the find")] {
            press(&mut window, key);
            settle(&mut window);
            focus(&mut window, if key == Key::W { "Search the faults" } else { "Circuits" });
            let mut come_to = BTreeSet::new();
            for tab in 0..90 {
                press(&mut window, Key::Tab);
                // A list that scrolls is where it comes to a frame or two later.
                window.run_steps(3);
                assert_eq!(half_hidden(&window), None, "{word} in {size:?} after {tab}");
                come_to.extend(window.ctx.memory(|memory| memory.focused()).map(|id| id.value()));
            }
            assert!(come_to.len() > 40, "{word} in {size:?}: {} places", come_to.len());
            press(&mut window, key);
        }
    }
}
