//! A circuit made from answers in the window: questions that follow from answers, what comes of them, and the bench.
//! That made circuits do what they are for is tested in `make.rs`.

use eframe::egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};

use super::{Window, click, focus, is_target, names, press_with, reach, shown, type_into, window, window_on};

fn questions(window: &mut Window) {
    click(window, "Circuits");
    click(window, "Make one from answers");
}

#[test]
fn answers_make_a_circuit_that_is_put_on_the_bench() {
    let mut window = window();
    questions(&mut window);
    assert!(shown(&window, "The fan is driven by coolant from 205 °F (until below 195 °F) and refrigerant"));
    reach(&mut window, "Cold and without pressure, how are the contacts? closed");
    reach(&mut window, "What has the driver at the dash? a switch");
    assert!(names(&window).iter().any(|name| name.contains("With the key off the clutch is engaged")));
    click(&mut window, "Put it on the bench");

    let circuit = window.state().bench().circuit();
    assert_eq!(circuit.title(), "My truck");
    assert!(shown(&window, "S2, hand switch, closed"), "{:?}", names(&window));
    assert!(!shown(&window, "Put it on the bench"));
}

#[test]
fn answers_that_do_not_go_together_say_what_would_mend_them_and_come_to_nothing() {
    let mut window = window();
    questions(&mut window);
    reach(&mut window, "What has the driver at the dash? a button");
    reach(&mut window, "Cold and without pressure, how are the contacts? closed");
    let told = names(&window).into_iter().find(|name| name.contains("a selector or buttons go with"));
    assert!(told.is_some_and(|told| told.contains("choose a switch")), "{:?}", names(&window));
    let before = window.state().bench().circuit().title().to_owned();
    click(&mut window, "Put it on the bench");
    assert_eq!(window.state().bench().circuit().title(), before);
}

#[test]
fn only_questions_that_the_other_answers_leave_open_are_asked() {
    let mut window = window_on(None, (1024.0, 700.0));
    questions(&mut window);
    assert!(!shown(&window, "With its coil dead, what does the valve do?"));
    assert!(shown(&window, "How does the refrigerant's request get to the coil?"));
    reach(&mut window, "Where is the valve's coil switched? by an engine module that feeds");
    assert!(shown(&window, "With its coil dead, what does the valve do?"));
    assert!(!shown(&window, "How does the refrigerant's request get to the coil?"));
}

#[test]
fn points_are_typed_as_on_the_command_line_and_refused_where_they_make_no_sense() {
    let mut window = window();
    questions(&mut window);
    let mut points = |text: &str| {
        focus(&mut window, "Points of coolant");
        press_with(&mut window, Modifiers::COMMAND, Key::A);
        window.get_by(|node| is_target(node, "Points of coolant")).type_text(text);
        window.run();
        names(&window)
    };
    let told = points("99C/90C");
    assert!(told.iter().any(|name| name.contains("coolant from 99 °C (until below 90 °C)")), "{told:?}");
    let told = points("hot");
    assert!(told.iter().any(|name| name.contains("like coolant=210F/195F")), "{told:?}");
}

// What was typed last that could be read stood behind the field and was put on the bench.
#[test]
fn nothing_is_put_on_the_bench_while_points_that_are_typed_cannot_be_read() {
    let mut window = window();
    questions(&mut window);
    let can_be_put = |window: &Window| !window.get_by_label("Put it on the bench").accesskit_node().is_disabled();
    type_into(&mut window, "Points of coolant", "220F/210F");
    assert!(can_be_put(&window) && shown(&window, "The fan is driven by coolant from 220 °F"), "{:?}", names(&window));

    type_into(&mut window, "Points of coolant", "190/180");
    assert!(!can_be_put(&window) && shown(&window, "Nothing is made while points above cannot be read"));
    click(&mut window, "intake air");
    let field = window.get_by(|node| is_target(node, "Points of coolant")).value();
    assert_eq!(field.as_deref(), Some("190/180"), "it stays to be put right");
    assert!(!can_be_put(&window));

    type_into(&mut window, "Points of coolant", "190F/180F");
    assert!(can_be_put(&window), "{:?}", names(&window));
}

#[test]
fn the_figures_are_at_first_in_the_units_of_who_asks() {
    let mut window = window();
    click(&mut window, "°F psi");
    questions(&mut window);
    let field = window.get_by(|node| is_target(node, "Points of coolant")).value();
    assert!(field.as_deref().is_some_and(|points| points.contains("\u{a0}°C / ")), "{field:?}");
}
