//! The fault table, a find and a hunt in the window: narrowed, talked through to the repair, and played.
//!
//! That the answers are right is tested elsewhere; here that they are shown, that readings come from the bench's own
//! meter, and that a hunt tells no more than eyes see.

use eframe::egui::{Key, Modifiers, PointerButton};
use egui_kittest::kittest::Queryable as _;

use fanloom::bench::{Action, Fault, Setting};
use fanloom::gui::tool::Tool;
use fanloom::study::answer::Standing;

use super::{
    Window, centre, changes, click, focus, is_target, names, open_from_list, press, press_with, reach, rect_of, settle,
    shown, type_into, window, window_on,
};

/// The names that begin so.
fn named(window: &Window, start: &str) -> Vec<String> {
    names(window).into_iter().filter(|name| name.starts_with(start)).collect()
}

fn planted(window: &Window) -> Vec<String> {
    window.state().bench().faults().iter().map(Fault::to_string).collect()
}

/// Pulls the fault table out and waits for it.
fn fault_table(window: &mut Window) {
    press(window, Key::W);
    settle(window);
}

/// Plants a fault from the table, by the words that narrow it and its name.
fn plant(window: &mut Window, search: &str, name: &str) {
    fault_table(window);
    type_into(window, "Search the faults", search);
    click(window, &format!("{name}: shows"));
    click(window, "Plant it on the bench: ");
}

/// How many rows are left, as the drawer says.
fn rows(window: &Window) -> usize {
    let told = names(window).into_iter().find(|name| name.contains(" faults; ")).expect("a count");
    told.split(' ').next().and_then(|n| n.parse().ok()).expect("a number")
}

#[test]
fn the_fault_table_is_narrowed_by_words_by_where_a_fault_shows_and_by_what_is_selected() {
    let mut window = window();
    fault_table(&mut window);
    let all = rows(&window);

    type_into(&mut window, "Search the faults", "b1 stuck");
    assert_eq!(rows(&window), 2, "{:?}", names(&window));
    assert!(shown(&window, "B1 stuck open: shows with "));
    assert!(shown(&window, "B1 stuck closed: shows as it stands"));
    type_into(&mut window, "Search the faults", "stuck:B1=open");
    assert_eq!(rows(&window), 1, "the grammar finds as well");

    type_into(&mut window, "Search the faults", " ");
    click(&mut window, "Only look-alikes");
    let alike = rows(&window);
    assert!(alike > 0 && alike < all);
    click(&mut window, "Only look-alikes");
    click(&mut window, "Only at what is selected");
    assert_eq!(rows(&window), 0, "nothing is selected");
    click(&mut window, "B1, coolant temperature switch");
    let here = rows(&window);
    assert!(here > 0 && here < all);
    assert!(named(&window, "B1").iter().any(|name| name.starts_with("B1 stuck closed: ")));
}

#[test]
fn a_row_says_how_a_fault_shows_and_what_tells_it_from_the_one_before() {
    let mut window = window();
    fault_table(&mut window);
    type_into(&mut window, "Search the faults", "b1 stuck");

    click(&mut window, "B1 stuck closed: ");
    assert!(shown(&window, "Told from a whole truck by"));
    assert!(shown(&window, "\u{2022} the fan as it stands: engaged or released"), "{:?}", names(&window));
    click(&mut window, "B1 stuck open: ");
    assert!(shown(&window, "Told from B1 stuck closed (the one chosen before) by:"));

    click(&mut window, "Plant it on the bench: B1 stuck open");
    assert_eq!(planted(&window), ["stuck:B1=open"]);
    click(&mut window, "Put right: B1 stuck open");
    assert!(planted(&window).is_empty());
}

/// Talks a find through with the bench's own readings until there is something to mend; how many tests that took.
fn converse(window: &mut Window) -> usize {
    for tests in 0..25 {
        settle(window);
        if !shown(window, "Next test (") {
            return tests;
        }
        reach(window, "Carry it out on the bench");
        reach(window, "Take the bench's reading: ");
    }
    panic!("no end: {:?}", names(window));
}

/// Pulls the find out and says what a driver says.
fn complain(window: &mut Window, when: &str, fan: &str) {
    press(window, Key::I);
    settle(window);
    click(window, "When it was seen");
    window.get_by(|node| is_target(node, when)).click();
    window.run();
    click(window, fan);
}

/// From the complaint to the repair and its proof.
fn find_to_the_end(window: &mut Window, when: &str, fan: &str, mended: &str) {
    complain(window, when, fan);
    let tests = converse(window);
    assert!(tests > 0);
    let mends = named(window, "Mend it: ");
    assert!(mends.iter().any(|name| name == &format!("Mend it: {mended}")), "{mends:?} after {tests}");

    reach(window, &format!("Mend it: {mended}"));
    assert!(planted(window).is_empty(), "{}", window.state().desk().said);
    press_with(window, Modifiers::COMMAND, Key::Z);
    assert_eq!(planted(window).len(), 1, "one undo takes all of it back: {}", window.state().desk().said);
    press_with(window, Modifiers::COMMAND, Key::Y);
    assert!(planted(window).is_empty(), "{}", window.state().desk().said);
    let proofs = named(window, "Prove it on the bench: ");
    assert!(proofs.len() >= 2, "{proofs:?}");
    for proof in proofs {
        reach(window, &proof);
    }
    assert!(shown(window, "Proved. Put everything back"), "{:?}", names(window));
}

#[test]
fn a_find_leads_from_the_complaint_by_the_bench_s_own_meter_to_a_repair_and_its_proof() {
    let mut window = window();
    plant(&mut window, "w7 broken", "W7 broken through");
    find_to_the_end(&mut window, "Coolant 206", "The fan was free", "W7 broken through");
}

#[test]
fn a_find_on_a_circuit_that_is_closed_at_rest_ends_as_well() {
    let mut window = window();
    open_from_list(&mut window, "Coach 41");
    settle(&mut window);
    plant(&mut window, "coil-open:Y1", "Y1's coil broken through");
    press(&mut window, Key::I);
    settle(&mut window);
    click(&mut window, "As on the bench: the fan");
    converse(&mut window);
    let mends = named(&window, "Mend it: ");
    let mine = mends.iter().find(|name| name.contains("Y1's coil broken")).unwrap_or_else(|| panic!("{mends:?}"));
    reach(&mut window, mine);
    assert!(planted(&window).is_empty());
    for proof in named(&window, "Prove it on the bench: ") {
        reach(&mut window, &proof);
    }
    assert!(shown(&window, "Proved."), "{:?}", names(&window));
}

#[test]
fn a_find_marks_suspicion_and_leads_and_takes_every_answer_back() {
    let mut window = window();
    press(&mut window, Key::I);
    settle(&mut window);
    assert!(!shown(&window, "Next test ("), "first something has to be seen");
    click(&mut window, "When it was seen");
    window.get_by(|node| is_target(node, "Coolant 206")).click();
    window.run();
    click(&mut window, "The fan was free");
    settle(&mut window);

    let with = |window: &Window, words: &str| names(window).iter().filter(|name| name.contains(words)).count();
    assert!(with(&window, ", suspicion ") > 3);
    assert_eq!((with(&window, ", the + lead goes here"), with(&window, ", the \u{2212} lead goes here")), (1, 1));
    let first = named(&window, "Next test (");
    let read = |window: &Window| names(window).into_iter().find(|name| name.contains(": read ")).expect("a test");
    let offered = read(&window);

    click(&mut window, "Not sure");
    settle(&mut window);
    assert_ne!(read(&window), offered, "what nobody could say is not asked again");
    type_into(&mut window, "What it shows", "many");
    click(&mut window, "Say so");
    assert!(names(&window).iter().any(|name| name.contains("is nothing that")), "{:?}", names(&window));

    let last = named(&window, "Take back: ").pop().expect("an answer");
    click(&mut window, &last);
    settle(&mut window);
    assert_eq!((named(&window, "Next test ("), read(&window)), (first, offered));
    click(&mut window, "Begin anew");
    settle(&mut window);
    assert!(named(&window, "Take back: ").is_empty());
}

/// Undo of a setup once left the meter where the setup had put it, and undo of a mend left it off.
#[test]
fn undo_of_a_setup_and_of_a_mend_brings_the_meter_back_where_it_was() {
    let mut window = window();
    plant(&mut window, "w7 broken", "W7 broken through");
    press(&mut window, Key::Num4);
    click(&mut window, "Terminal G1.+,");
    click(&mut window, "Terminal N1.g,");
    let mine = window.state().desk().instruments.clone();
    press(&mut window, Key::Num1);
    complain(&mut window, "Coolant 206", "The fan was free");
    settle(&mut window);

    reach(&mut window, "Carry it out on the bench");
    let laid = window.state().desk().instruments.clone();
    assert_ne!(laid, mine);
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(window.state().desk().instruments, mine);
    press_with(&mut window, Modifiers::COMMAND, Key::Y);
    assert_eq!(window.state().desk().instruments, laid);
    click(&mut window, "S2, hand switch");
    assert!(!shown(&window, "Take the bench's reading: "), "the bench stands otherwise");
    press_with(&mut window, Modifiers::COMMAND, Key::Z);

    reach(&mut window, "Take the bench's reading: ");
    converse(&mut window);
    let last = window.state().desk().instruments.clone();
    let mine = named(&window, "Mend it: ").into_iter().find(|name| name.contains("W7 broken")).expect("it remains");
    assert!(names(&window).iter().any(|name| name.contains(", suspicion ")));
    reach(&mut window, &mine);
    assert!(!names(&window).iter().any(|name| name.contains(", suspicion ")), "what is put right is not suspected");
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(window.state().desk().instruments, last);
    assert!(names(&window).iter().any(|name| name.contains(", suspicion ")), "undone, it is not put right");
}

#[test]
fn two_answers_that_cannot_both_be_are_told() {
    let mut window = window();
    press(&mut window, Key::I);
    settle(&mut window);
    click(&mut window, "The fan was free");
    settle(&mut window);
    focus(&mut window, "Say what was seen");
    press(&mut window, Key::Enter);
    click(&mut window, "The fan was driven");
    settle(&mut window);

    assert!(shown(&window, "Line 1 and line 2 cannot both be."), "{:?}", names(&window));
}

/// Begins a hunt by its number.
fn hunt(window: &mut Window, seed: u64) {
    if !shown(window, "Begin the hunt") {
        press(window, Key::H);
    }
    type_into(window, "Number of the hunt", &seed.to_string());
    click(window, "Begin the hunt");
    settle(window);
    window.run();
}

#[test]
fn a_hunt_gives_nothing_away_and_leaves_the_bench_as_before() {
    let mut window = window();
    click(&mut window, "S2, hand switch");
    let before = (window.state().verdict().standing, changes(&window));
    hunt(&mut window, 3);

    assert!(shown(&window, "Hunt 3: 0.0 min, 0 readings so far. The driver says: "), "{:?}", names(&window));
    assert!(window.state().bench().faults().is_empty(), "the truck that panels read has no fault");
    let gives_away = |window: &Window| {
        let tell_tale =
            [" volts", " V", " amps", "floating", ", fed", "at ground", "no current", "coil live", "coil dead"];
        let of_drawing = |name: &String| !name.starts_with("On the truck") && !name.starts_with("G1, battery");
        let told = names(window).into_iter().filter(of_drawing);
        told.filter(|name| tell_tale.iter().any(|word| name.contains(word))).collect::<Vec<_>>()
    };
    // What every truck of this sort is made of is known: the meter's dial, the battery's rating.
    let known = |name: &&String| !name.starts_with("Low-Z") && !name.starts_with("Volts") && !name.starts_with("Write");
    assert_eq!(gives_away(&window).iter().filter(known).collect::<Vec<_>>(), Vec::<&String>::new());
    assert!(named(&window, "Circuit: ").is_empty(), "no chain");
    assert!(shown(&window, "Terminal B1.1, not measured"));
    assert!(shown(&window, "Supply gauge"));
    assert!(!shown(&window, "Clutch gauge"));

    click(&mut window, "S2, hand switch, open");
    assert!(shown(&window, "S2, hand switch, closed"));
    assert_eq!(gives_away(&window).iter().filter(known).collect::<Vec<_>>(), Vec::<&String>::new());
    press(&mut window, Key::T);
    assert!(!shown(&window, "Put the clock away"));

    reach(&mut window, "Give up");
    reach(&mut window, "Show what it was");
    assert!(shown(&window, "Not found: it was "), "{:?}", names(&window));
    assert!(shown(&window, "The course that is shortest on average: "));
    assert!(!window.state().bench().faults().is_empty(), "now it is shown");
    reach(&mut window, "Put the hunt away");
    assert_eq!((window.state().verdict().standing, changes(&window)), before);
    assert!(planted(&window).is_empty());
}

#[test]
fn in_a_hunt_no_room_is_kept_for_a_suggestion_that_is_not_made() {
    // The conditions were cut above an empty place, for the bench behind the hunt still had one.
    let mut window = window_on(None, (1366.0, 768.0));
    hunt(&mut window, 944);
    let (bolts, hazards) = (rect_of(&window, "Lock-up bolts fitted"), rect_of(&window, "No hazard"));
    assert!(bolts.bottom() < hazards.top(), "{bolts:?} {hazards:?}");
}

#[test]
fn what_can_be_guessed_is_named_in_the_language_that_is_chosen_meanwhile() {
    // The list stayed in the language the hunt was begun in.
    let mut window = window();
    hunt(&mut window, 835);
    assert!(shown(&window, "Guess: W1 broken through"));

    click(&mut window, "Language: ");

    assert!(!shown(&window, "Guess: W1 broken through"));
    let guesses = named(&window, "Suponer: ");
    assert!(guesses.iter().any(|guess| guess.contains("W1")), "{guesses:?}");
}

// Of a truck whose fan was seen to turn nothing was told, and of one whose fan stood still that it turned: hazards were
// those of the truck without the fault.
#[test]
fn in_a_hunt_the_danger_at_the_fan_is_told_of_the_fan_that_is_seen() {
    let told = |window: &Window, words: &str| names(window).iter().any(|name| name.contains(words));
    let danger = "The clutch is in: the fan turns with the engine.";
    let mut window = window();
    hunt(&mut window, 2259);
    click(&mut window, "S2, hand switch");
    assert!(shown(&window, "Fan free"), "this one never comes in");
    assert!(!told(&window, danger), "{:?}", names(&window));
    assert!(told(&window, "S2 is not at rest"), "what is known of the circuit stays");

    reach(&mut window, "Give up");
    reach(&mut window, "Show what it was");
    reach(&mut window, "Put the hunt away");
    open_from_list(&mut window, "Low loader 4");
    hunt(&mut window, 423);
    assert!(shown(&window, "Fan driven"), "this one roars all the time");
    assert!(told(&window, danger), "{:?}", names(&window));
    assert!(!shown(&window, "No hazard in this state"));
    assert!(!told(&window, "As it would be on a truck without any fault"), "the fan is seen");
}

/// The minutes that the hunt's note tells.
fn minutes(window: &Window) -> f64 {
    let note = names(window).into_iter().find(|name| name.contains(" so far. The driver says")).expect("a note");
    let told = note.split(": ").nth(1).and_then(|rest| rest.split(' ').next()).expect("minutes");
    told.parse().expect("a number")
}

#[test]
fn readings_count_with_their_minutes_and_are_taken_only_when_asked_for() {
    let mut window = window();
    hunt(&mut window, 3);
    press(&mut window, Key::Num4);
    click(&mut window, "Terminal S2.2,");
    let there = centre(&window, "Terminal G1.-,");
    window.hover_at(there);
    window.run();
    assert!(!shown(&window, "Meter would show"), "nothing is read before it counts");
    assert!((minutes(&window)).abs() < 1e-9);

    click(&mut window, "Terminal G1.-,");
    assert!(shown(&window, "Meter shows "));
    assert!(!shown(&window, "Meter shows nothing yet"));
    let after_one = minutes(&window);
    assert!(after_one > 0.0);
    assert!(
        names(&window).iter().any(|name| name.starts_with("Read volts from S2.2 to G1.-: ")),
        "{:?}",
        names(&window)
    );

    assert!(shown(&window, "Terminal S2.2, last read: volts from S2.2 to G1.-: "), "{:?}", names(&window));
    assert!(shown(&window, "Terminal B1.1, not measured"));

    press(&mut window, Key::Num1);
    click(&mut window, "S2, hand switch, open");
    assert!(shown(&window, "Meter shows nothing yet"), "it has to be looked at again");
    click(&mut window, "Read the meter");
    assert!(!shown(&window, "Meter shows nothing yet"));
    let listed: f64 = names(&window).iter().filter_map(|name| name.strip_suffix(" min")?.parse::<f64>().ok()).sum();
    assert!(minutes(&window) > after_one);
    assert!((listed - minutes(&window)).abs() < 0.11, "{listed} and {}", minutes(&window));
}

#[test]
fn the_same_number_hides_the_same_fault_and_the_guess_is_judged_with_the_best_course_beside_one_s_own() {
    let mut window = window();
    hunt(&mut window, 3);
    reach(&mut window, "Give up");
    assert!(!shown(&window, "Not found: ") && shown(&window, "Go on hunting"), "it is asked once");
    reach(&mut window, "Go on hunting");
    reach(&mut window, "Give up");
    reach(&mut window, "Show what it was");
    let told = named(&window, "Not found: it was ").pop().expect("what it was");
    let hidden = told.trim_start_matches("Not found: it was ").to_owned();
    reach(&mut window, "Put the hunt away");

    hunt(&mut window, 3);
    // A fault that is another one for certain: a blown fuse is no broken wire.
    type_into(&mut window, "Search what it may be", "worn");
    let wrong = named(&window, "Guess: ").into_iter().next().expect("a guess");
    reach(&mut window, &wrong);
    assert!(window.state().desk().said.starts_with("Wrong: "), "{}", window.state().desk().said);
    assert!(minutes(&window) > 10.0, "mending in vain takes its time");

    type_into(&mut window, "Search what it may be", &hidden);
    let right = format!("Guess: {}", fanloom::study::wording::capital(&hidden));
    reach(&mut window, &right);
    assert!(shown(&window, &format!("Found: it was {hidden}")), "{:?}", names(&window));
    assert!(shown(&window, "Wrong guesses: "));
    assert!(shown(&window, "Your course: ") && shown(&window, "The course that is shortest on average: "));
    assert_eq!(planted(&window).len(), 1, "it is on the bench to be looked at");
}

#[test]
fn a_guess_is_made_from_a_part_of_the_drawing_too() {
    let mut window = window();
    hunt(&mut window, 3);

    window.get_by(|node| is_target(node, "B1, coolant temperature switch")).click_button(PointerButton::Secondary);
    window.run();
    assert!(shown(&window, "Guess: B1 stuck open"), "{:?}", names(&window));
    assert!(named(&window, "Plant").is_empty());
    click(&mut window, "Guess: B1 stuck open");
    assert!(!shown(&window, "What can be wrong with"));
    assert!(shown(&window, "Guessed: B1 stuck open: "), "{:?}", names(&window));
}

#[test]
fn what_a_truck_in_the_yard_knows_not_is_refused_in_a_hunt() {
    let mut window = window();
    hunt(&mut window, 3);
    press_with(&mut window, Modifiers::COMMAND, Key::Z);
    assert!(window.state().desk().said.starts_with("a truck in the yard knows no such change"));
    press(&mut window, Key::I);
    assert!(shown(&window, "While a hunt goes on the find is put away"));
    assert_eq!(window.state().desk().tool, Tool::Hand);
}

/// It ran down over the ledger and the tools, with its words out of reach.
#[test]
fn what_is_said_of_a_chosen_fault_is_scrolled_in_the_drawer_where_there_is_little_room() {
    let mut window = window_on(None, (1024.0, 700.0));
    fault_table(&mut window);
    click(&mut window, "W2 broken through: ");
    let words = "Told from a whole truck by";
    window.get_by(|node| super::name_starts(node, words)).scroll_to_me();
    window.run_steps(4);

    let told = window.get_by(|node| super::name_starts(node, words)).rect();
    let ledger = window.get_by(|node| super::name_starts(node, "Ledger")).rect();
    assert!(told.bottom() < ledger.top() && told.top() > 165.0, "{told:?} {ledger:?}");
    assert!(window.ctx.content_rect().height() - ledger.bottom() > 60.0, "the tools stay below the ledger");
}

#[test]
fn drawers_and_what_is_in_them_are_whole_on_a_small_screen() {
    let mut window = window_on(None, (1024.0, 700.0));
    for key in [Key::W, Key::I, Key::H] {
        press(&mut window, key);
        settle(&mut window);
        let about = centre(&window, "About");
        let drawer = centre(&window, "Hunt");
        assert!(about.x < 1024.0 && drawer.x < about.x);
        press(&mut window, key);
    }
    // In two lines: what is done, and below it how it is shown.
    let lines: [&[&str]; 2] =
        [&["Circuits", "Prove", "Logic", "Faults", "Find", "Hunt", "Clock", "Card"], &["About", "Volts"]];
    for buttons in lines {
        let places: Vec<f32> = buttons.iter().map(|name| centre(&window, name).x).collect();
        assert!(places.windows(2).all(|pair| pair[0] < pair[1]), "{places:?}");
    }
    assert!(centre(&window, "About").y > centre(&window, "Card").y);
}

#[test]
fn what_is_done_before_a_test_is_put_back_and_the_bench_stands_as_the_test_wants_it() {
    let mut window = window();
    click(&mut window, "S2, hand switch");
    complain(&mut window, "Coolant 206", "The fan was free");
    settle(&mut window);
    reach(&mut window, "Carry it out on the bench");

    assert!(window.state().bench().acts().count() <= 1, "S2 is back");
    assert!(shown(&window, "Take the bench's reading: "));
    let key = |action: &Action| matches!(action, Action::Set(Setting::Key(_)));
    assert!(window.state().bench().journal().any(key), "nothing is remembered from before");
    assert_ne!(window.state().verdict().standing, Standing::Unsettled);
}
