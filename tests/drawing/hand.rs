//! Claims about parts put somewhere by hand: they stand there, all others stay, wires stay orderly, nothing lies on
//! anything, whatever is put wherever.
//!
//! On circuits that come with the program and on seeded random ones (`FANLOOM_HAND_CIRCUITS` sets how many), some parts
//! of each put at random places.

use fanloom::circuit::{At, Circuit, Draft, Kind, Part, PartId};
use fanloom::drawing::{Ink, Layout, Show, Theme, draw, svg};
use fanloom::study::answer::Subject;

use super::shipped::shipped;
use super::support::random::Random;
use super::{Rect, check, check_words, kind_of, random_circuit, strokes, touches, words};

fn with(circuit: &Circuit, places: &[(&str, At)]) -> Circuit {
    let places = places.iter().map(|(tag, at)| ((*tag).to_owned(), *at)).collect();
    Circuit::new(Draft { places, ..circuit.draft() }).expect("only places differ")
}

/// The same circuit with so many parts in places about the page.
fn put_at_random(circuit: &Circuit, random: &mut Random, count: usize) -> Circuit {
    let (width, height) = Layout::of(circuit).size();
    let steps = |length: f32| (length / 4.0) as usize + 60;
    let mut places = Vec::new();
    for _ in 0..count {
        let tag = random.pick(circuit.parts()).tag.clone();
        let right = random.below(steps(width)) as i32 - 30;
        let down = random.below(steps(height)) as i32 - 30;
        places.push((tag, At { right, down }));
    }
    let places: Vec<(&str, At)> = places.iter().map(|(tag, at)| (tag.as_str(), *at)).collect();
    with(circuit, &places)
}

fn nothing_overlaps(name: &str, circuit: &Circuit) {
    let layout = Layout::of(circuit);
    let bodies: Vec<(PartId, _)> =
        circuit.parts_with_ids().flat_map(|(id, _)| layout.bodies(id).map(move |body| (id, body))).collect();
    for (i, (a, p)) in bodies.iter().enumerate() {
        for (b, q) in &bodies[i + 1..] {
            let meet = p.0 < q.2 && q.0 < p.2 && p.1 < q.3 && q.1 < p.3;
            assert!(!meet, "{name}: {} lies on {}", circuit.part(*a).tag, circuit.part(*b).tag);
        }
    }
}

#[test]
fn a_part_stands_where_it_was_put_and_no_other_moves_for_it() {
    for (name, circuit) in shipped() {
        let before = Layout::of(&circuit);
        let at = At { right: -20, down: 30 };
        let placed = with(&circuit, &[("Y1", at)]);
        let after = Layout::of(&placed);
        for (id, part) in circuit.parts_with_ids() {
            let wanted = if part.tag == "Y1" { Some(at) } else { before.place_of(id) };
            assert_eq!(after.place_of(id), wanted, "{name}: {}", part.tag);
        }
        check(name, &placed);
    }
}

#[test]
fn where_everything_is_put_where_it_stands_anyway_the_drawing_stays() {
    for (name, circuit) in shipped() {
        let before = Layout::of(&circuit);
        let one = |kind: &Kind| !matches!(kind, Kind::Connector(_) | Kind::Splice(_));
        let parts = circuit.parts_with_ids().filter(|(_, part)| one(&part.kind));
        let places: Vec<(&str, At)> =
            parts.map(|(id, part)| (part.tag.as_str(), before.place_of(id).expect("it is drawn"))).collect();
        let after = Layout::of(&with(&circuit, &places));
        for (id, part) in circuit.parts_with_ids() {
            assert_eq!(after.place_of(id), before.place_of(id), "{name}: {}", part.tag);
        }
    }
}

#[test]
fn what_lies_where_a_part_is_put_makes_way_for_it() {
    for (name, circuit) in shipped() {
        let before = Layout::of(&circuit);
        let under = circuit.part_named("F1").expect("every one has a fuse");
        let at = before.place_of(under).expect("it is drawn");
        let placed = with(&circuit, &[("Y1", at)]);
        let after = Layout::of(&placed);
        assert_eq!(after.place_of(circuit.part_named("Y1").expect("a valve")), Some(at), "{name}");
        assert_ne!(after.place_of(under), Some(at), "{name}");
        nothing_overlaps(name, &placed);
        check(name, &placed);
    }
}

#[test]
fn two_parts_put_on_one_place_stand_side_by_side() {
    let (name, circuit) = &shipped()[0];
    let at = At { right: 70, down: 40 };
    let placed = with(circuit, &[("Y1", at), ("F1", at), ("N1", at)]);
    nothing_overlaps(name, &placed);
    check(name, &placed);
}

#[test]
fn whatever_is_put_wherever_wires_keep_clear_and_everything_can_be_hit() {
    let seeds = std::env::var("FANLOOM_HAND_CIRCUITS").ok().and_then(|count| count.parse().ok()).unwrap_or(15);
    for seed in 1..=seeds {
        let mut random = Random::new(seed);
        let circuit = random_circuit(seed, 3 + (seed as usize * 7) % 18);
        let count = 1 + random.below(4);
        let placed = put_at_random(&circuit, &mut random, count);
        nothing_overlaps(&format!("random {seed}"), &placed);
        check(&format!("random {seed}"), &placed);
    }
    for (i, (name, circuit)) in shipped().into_iter().enumerate() {
        let placed = put_at_random(&circuit, &mut Random::new(i as u64 + 500), 3);
        nothing_overlaps(name, &placed);
        check(name, &placed);
        check_words(
            name,
            &placed,
            &Layout::of(&placed),
            &draw(&Layout::of(&placed), &placed, &Show::as_built(&placed)),
        );
    }
}

/// Words that a wire runs through, each with whether it is the number of a wire.
fn run_through(circuit: &Circuit) -> Vec<(String, bool)> {
    let layout = Layout::of(circuit);
    let picture = draw(&layout, circuit, &Show::as_built(circuit));
    let strokes = strokes(&picture);
    let on_wire = |rect: Rect| {
        strokes.iter().any(|(ink, subject, a, b)| {
            matches!(subject, Some(Subject::Wire(_))) && *ink != Ink::Halo && touches(*a, *b, rect)
        })
    };
    let words = words(&picture).into_iter().filter(|(_, ink, _, rect)| *ink != Ink::TerminalText && on_wire(*rect));
    words.map(|(text, ink, ..)| (text.to_owned(), ink == Ink::WireText)).collect()
}

/// A wire looked for its way as if words were hardly there: after one move in nine one ran through a designation. Where
/// two wires run close a number may find no room; `FANLOOM_HAND_TRIES` sets to how many places each part is put.
#[test]
fn wherever_one_part_is_put_no_wire_runs_through_designations_and_hardly_one_through_numbers() {
    let tries = std::env::var("FANLOOM_HAND_TRIES").ok().and_then(|count| count.parse().ok()).unwrap_or(3);
    let (mut tried, mut parted, mut numbers) = (0, Vec::new(), Vec::new());
    for (i, (name, circuit)) in shipped().into_iter().enumerate() {
        let mut random = Random::new(i as u64 + 900);
        let (width, height) = Layout::of(&circuit).size();
        for part in circuit.parts() {
            for _ in 0..tries {
                let steps = |length: f32| (length / 4.0) as usize;
                let at = At { right: random.below(steps(width)) as i32, down: random.below(steps(height)) as i32 };
                tried += 1;
                for (word, is_number) in run_through(&with(&circuit, &[(&part.tag, at)])) {
                    let all = if is_number { &mut numbers } else { &mut parted };
                    all.push(format!("{name}: {word} with {} at {at:?}", part.tag));
                }
            }
        }
    }
    assert!(parted.is_empty(), "{} of {tried}:\n{}", parted.len(), parted.join("\n"));
    assert!(numbers.len() * 50 <= tried, "{} of {tried}:\n{}", numbers.len(), numbers.join("\n"));
}

#[test]
fn a_place_far_away_and_parts_without_a_wire_are_drawn_too() {
    let part = |tag: &str, kind: &str| Part { tag: tag.into(), kind: kind_of(kind) };
    let parts = vec![part("G1", "battery"), part("X1", "connector4"), part("K1", "relay")];
    let circuit = Circuit::new(Draft { parts, ..Draft::default() }).expect("no wires");
    let far = [("X1", At { right: 900, down: -900 }), ("K1", At { right: -900, down: 900 })];
    let placed = with(&circuit, &far);
    nothing_overlaps("far", &placed);
    check("far", &placed);
}

#[test]
#[ignore = "writes files for looking at"]
fn write_hand_placed() {
    let Ok(folder) = std::env::var("FANLOOM_DRAWINGS") else { return };
    for (i, (name, circuit)) in shipped().into_iter().enumerate() {
        let placed = put_at_random(&circuit, &mut Random::new(i as u64 + 500), 3);
        let picture = draw(&Layout::of(&placed), &placed, &Show::as_built(&placed));
        std::fs::write(format!("{folder}/hand-{name}.svg"), svg(&picture, Theme::Light))
            .expect("the folder is writable");
    }
}
