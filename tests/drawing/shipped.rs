//! Claims about the circuits that come with the program: their splices, folds, leads, lifted ends, readings and
//! marks, drawn as a bench leaves them in typical states.
//!
//! Whatever a state puts on the drawing, it covers nothing and can be hit.

use std::sync::Arc;

use fanloom::bench::{Action, Bench};
use fanloom::circuit::shipped::SHIPPED;
use fanloom::circuit::{Circuit, Contact, End, Kind, WireEnd};
use fanloom::drawing::{Flow, Form, Ink, Layout, LeadFuse, LeadPoint, PartState, Point, Show, TerminalState, draw};
use fanloom::study::answer::Subject;
use fanloom::study::faults::universe::every;
use fanloom::words::Measure;

use super::{check, check_words, strokes, touches, words};

/// The circuits that come with the program, by name.
pub(super) fn shipped() -> Vec<(&'static str, Arc<Circuit>)> {
    let read = |(name, text)| {
        let circuit = fanloom::circuit::format::read(text).circuit;
        (name, Arc::new(circuit.expect("every shipped circuit reads")))
    };
    SHIPPED.into_iter().map(read).collect()
}

/// A bench on which these acts and settings have been done in turn.
fn bench(circuit: &Arc<Circuit>, done: &[&str]) -> Bench {
    let mut bench = Bench::new(Arc::clone(circuit));
    for words in done {
        let action = match words.split_once(' ') {
            Some(("fault", fault)) => Action::Plant(fault.parse().expect("a fault")),
            _ if words.contains(':') => Action::Do(words.parse().expect("an act")),
            _ => Action::Set(words.parse().expect("a setting")),
        };
        bench.apply(action).unwrap_or_else(|refusal| panic!("{words}: {refusal:?}"));
    }
    bench
}

/// A shipped circuit in a few typical states: short name of each state with what the drawing shows then.
pub(super) fn states(circuit: &Arc<Circuit>) -> Vec<(&'static str, Show)> {
    let tag_of = |fits: fn(&Kind) -> bool| circuit.parts().iter().find(|p| fits(&p.kind)).map(|p| p.tag.clone());
    let sensor = tag_of(|k| matches!(k, Kind::TemperatureSwitch(_) | Kind::PressureSwitch(_)));
    let valve = tag_of(|k| matches!(k, Kind::AirValve(_))).expect("every shipped circuit has a valve");
    let fuse = tag_of(|k| matches!(k, Kind::Fuse(_))).expect("every shipped circuit has a fuse");
    let top = circuit.terminal_named(&format!("{valve}.1")).expect("a valve has a terminal 1");
    let feed = circuit.wire(circuit.ends_at(top)[0].wire).tag.clone();
    let mut list = vec![("cold", Show::of(&bench(circuit, &[])))];
    let hot = bench(circuit, &["engine=1200rpm", "coolant=240F", "refrigerant=320psi"]);
    list.push(("hot", Show::of(&hot)));
    list.push(("read", Show::of(&hot).with_readings(&hot)));
    if let Some(sensor) = sensor {
        let jump = format!("jump:{sensor}.1={sensor}.2/10A");
        list.push(("jumper", Show::of(&bench(circuit, &[&jump]))));
    }
    let lift = format!("lift:{feed}@{valve}.1");
    let onto = format!("jump:{feed}@{valve}.1=G1.-");
    let across = format!("jump:G1.+={valve}.1");
    let lifted = bench(circuit, &["coolant=240F", &lift, &across]);
    list.push(("lifted", Show::of(&lifted).with_readings(&lifted)));
    list.push(("loose", Show::of(&bench(circuit, &[&lift, &onto]))));
    let unplug = format!("unplug:{valve}");
    list.push(("unplugged", Show::of(&bench(circuit, &[&unplug, &across]))));
    let faults =
        [format!("fault blown:{fuse}"), format!("fault resist:{feed}=5ohm"), format!("fault coil-open:{valve}")];
    let faults: Vec<&str> = faults.iter().map(String::as_str).collect();
    let faulty = bench(circuit, &faults);
    list.push(("faulty", Show::of(&faulty).with_fault_marks(&faulty).with_readings(&faulty)));
    list
}

#[test]
fn readings_and_fault_marks_of_the_shipped_circuits_cover_nothing() {
    for (name, circuit) in shipped() {
        let layout = Layout::of(&circuit);
        for (state, show) in states(&circuit) {
            let name = format!("{name}, {state}");
            let picture = draw(&layout, &circuit, &show);
            check_words(&name, &circuit, &layout, &picture);
            for (text, ink, _, rect) in words(&picture) {
                if !matches!(ink, Ink::ReadingText | Ink::FaultText) {
                    continue;
                }
                for (by, subject, a, b) in strokes(&picture) {
                    let is_halo = matches!(by, Ink::Halo | Ink::Highlight);
                    assert!(is_halo || !touches(a, b, rect), "{name}: {subject:?} runs through `{text}` ({by:?})");
                }
            }
        }
    }
}

#[test]
fn ratings_lie_over_nothing_in_whosever_units_they_are_written() {
    for (name, circuit) in shipped() {
        let layout = Layout::of(&circuit);
        for measure in [Measure::Customary, Measure::Metric] {
            let picture = draw(&layout, &circuit, &Show { measure, ..Show::as_built(&circuit) });
            let name = format!("{name}, {measure:?}");
            check_words(&name, &circuit, &layout, &picture);
            for (text, _, subject, rect) in words(&picture) {
                for (by, other, a, b) in strokes(&picture) {
                    let is_other = other != subject && !matches!(by, Ink::Halo | Ink::Highlight);
                    assert!(!is_other || !touches(a, b, rect), "{name}: {other:?} runs through `{text}` ({by:?})");
                }
            }
        }
    }
}

/// How far a place is outside a rectangle.
fn outside((left, top, right, bottom): (f32, f32, f32, f32), at: Point) -> f32 {
    let (x, y) = ((left - at.x).max(at.x - right).max(0.0), (top - at.y).max(at.y - bottom).max(0.0));
    x.hypot(y)
}

// A diode's "open" stood beside the other diode, and its words parted another wire.
#[test]
fn every_mark_of_a_fault_stands_at_its_own_part_and_runs_over_nothing() {
    let mut wrong = Vec::new();
    for (name, circuit) in shipped() {
        let layout = Layout::of(&circuit);
        for fault in every(&circuit) {
            let mut faulty = Bench::new(Arc::clone(&circuit));
            faulty.apply(Action::Plant(fault.clone())).expect("a fault of this circuit");
            let mut show = Show::as_built(&circuit);
            show.faults = Show::of(&faulty).with_fault_marks(&faulty).faults;
            let picture = draw(&layout, &circuit, &show);
            let strokes = strokes(&picture);
            for (text, _, _, rect) in words(&picture).iter().filter(|word| word.1 == Ink::FaultText) {
                let crossed = |(by, _, a, b): &&(Ink, Option<Subject>, Point, Point)| {
                    !matches!(by, Ink::Halo | Ink::Highlight | Ink::Fault) && touches(*a, *b, *rect)
                };
                if let Some((by, subject, ..)) = strokes.iter().find(crossed) {
                    wrong.push(format!("{name}, {fault}: {subject:?} ({by:?}) runs through `{text}`"));
                }
            }
            for mark in &show.faults {
                let Subject::Part(own) = mark.subject else { continue };
                let flash = strokes.iter().filter(|stroke| stroke.0 == Ink::Fault);
                let ends: Vec<Point> = flash.flat_map(|(_, _, a, b)| [*a, *b]).collect();
                let count = ends.len() as f32;
                let (x, y) =
                    (ends.iter().map(|p| p.x).sum::<f32>() / count, ends.iter().map(|p| p.y).sum::<f32>() / count);
                let off = |id| layout.bodies(id).map(|body| outside(body, Point::new(x, y))).fold(f32::MAX, f32::min);
                let others = circuit.parts_with_ids().filter(|(id, _)| *id != own);
                let nearest = others.min_by(|a, b| off(a.0).total_cmp(&off(b.0))).expect("there is another part");
                if off(nearest.0) <= off(own) {
                    wrong.push(format!(
                        "{name}, {fault}: nearer to {} ({} to {})",
                        nearest.1.tag,
                        off(nearest.0),
                        off(own)
                    ));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn leads_on_the_shipped_circuits_go_around_symbols_and_words() {
    for (name, circuit) in shipped() {
        let layout = Layout::of(&circuit);
        for (state, show) in states(&circuit) {
            let picture = draw(&layout, &circuit, &show);
            for lead in &show.leads {
                let subject = Some(Subject::Lead(lead.number));
                let own = |s: &(Ink, Option<Subject>, Point, Point)| s.0 == Ink::Lead && s.1 == subject;
                let all: Vec<_> = strokes(&picture).into_iter().filter(own).collect();
                for (_, _, a, b) in &all {
                    for (id, part) in circuit.parts_with_ids() {
                        for (left, top, right, bottom) in layout.bodies(id) {
                            // A clip may reach a little way in beside the terminal it grips.
                            let inner = (left, top + 8.0, right, bottom - 8.0);
                            assert!(!touches(*a, *b, inner), "{name}, {state}: a lead runs through {}", part.tag);
                        }
                    }
                    for (text, _, _, rect) in words(&picture).iter().filter(|w| w.2 != subject) {
                        assert!(!touches(*a, *b, *rect), "{name}, {state}: a lead runs through `{text}`");
                    }
                }
                let target = picture.target(Subject::Lead(lead.number)).expect("a lead can be hit").centre();
                assert_eq!(picture.hit(target.x, target.y), subject, "{name}, {state}");
            }
        }
    }
}

#[test]
fn every_lifted_end_of_the_shipped_circuits_stands_clear_and_can_be_hit() {
    for (name, circuit) in shipped() {
        let layout = Layout::of(&circuit);
        for (id, wire) in circuit.wires_with_ids() {
            for end in End::BOTH {
                let end = WireEnd { wire: id, end };
                let mut show = Show::as_built(&circuit);
                show.lifted.insert(end);
                let picture = draw(&layout, &circuit, &show);
                let words = format!("{name}: {} of {}", circuit.end_words(end), wire.tag);
                let at = picture.target(Subject::WireEnd(end)).expect("an end can be hit").centre();
                assert_eq!(picture.hit(at.x, at.y), Some(Subject::WireEnd(end)), "{words}");
                for (terminal, _) in circuit.terminals_with_ids() {
                    let off = layout.terminal(terminal).distance(at);
                    assert!(off >= 10.0, "{words} is {off} from {}", circuit.terminal_words(terminal));
                }
                for (_, subject, a, b) in strokes(&picture) {
                    let Some(Subject::Wire(other)) = subject else { continue };
                    let near = (at.x - 10.0, at.y - 10.0, at.x + 10.0, at.y + 10.0);
                    let tag = &circuit.wire(other).tag;
                    assert!(other == id || !touches(a, b, near), "{words} is too near {tag}");
                }
            }
        }
    }
}

#[test]
fn splices_of_the_shipped_circuits_are_the_junctions_of_their_wires() {
    for (name, circuit) in shipped() {
        let layout = Layout::of(&circuit);
        let picture = draw(&layout, &circuit, &Show::as_built(&circuit));
        let dots = picture.shapes.iter().filter(|s| s.ink == Ink::Junction && s.subject.is_none());
        let dots: Vec<Point> =
            dots.filter_map(|s| if let Form::Circle { centre, .. } = &s.form { Some(*centre) } else { None }).collect();
        for (id, part) in circuit.parts_with_ids().filter(|(_, part)| matches!(part.kind, Kind::Splice(_))) {
            let terminal = circuit.terminal_at(id, 0);
            let at = layout.terminal(terminal);
            let mut ways: Vec<(i8, i8)> = Vec::new();
            for end in circuit.ends_at(terminal) {
                let points = layout.wire(end.wire);
                let next = if end.end == End::From { points[1] } else { points[points.len() - 2] };
                let sign = |v: f32| if v == 0.0 { 0 } else { v.signum() as i8 };
                ways.push((sign(next.x - at.x), sign(next.y - at.y)));
            }
            ways.sort_unstable();
            ways.dedup();
            assert!(ways.len() >= 3, "{name}: the wires of {} do not meet at it", part.tag);
            assert!(dots.iter().all(|dot| dot.distance(at) > 30.0), "{name}: a dot stands beside {}", part.tag);
            let tag = words(&picture).into_iter().find(|w| w.0 == part.tag).expect("a splice has its tag").3;
            assert!((tag.0 - at.x).abs().min((tag.2 - at.x).abs()) < 20.0, "{name}: the tag of {} strays", part.tag);
        }
    }
}

#[test]
fn shipped_circuits_suit_a_window() {
    for (name, circuit) in shipped() {
        check(name, &circuit);
        let (width, height) = Layout::of(&circuit).size();
        assert!((1.0..=2.2).contains(&(width / height)), "{name}: {width} by {height}");
        assert!(height < 800.0, "{name}: {height} high");
    }
    let coach = shipped().into_iter().find(|(name, _)| *name == "coach-24v").expect("it is shipped").1;
    let (width, height) = Layout::of(&coach).size();
    assert!((1.0..=1.5).contains(&(width / height)), "a series chain is folded: {width} by {height}");
}

#[test]
fn a_bench_shows_its_contacts_coils_fuses_and_currents() {
    let parallel = shipped().into_iter().find(|(name, _)| *name == "parallel-open").expect("it is shipped").1;
    let part = |tag: &str| parallel.part_named(tag).expect("the circuit has it");
    let terminal = |words: &str| parallel.terminal_named(words).expect("the circuit has it");
    let wire = |tag: &str| parallel.wire_named(tag).expect("the circuit has it");

    let cold = Show::of(&bench(&parallel, &[]));
    assert_eq!(cold.parts[part("B1").index()], PartState::Contact(Contact::Open));
    assert_eq!(cold.parts[part("Y1").index()], PartState::Valve { energised: false, passing: false });
    assert_eq!(cold.terminals[terminal("B1.1").index()], TerminalState::Fed);
    assert_eq!(cold.terminals[terminal("Y1.2").index()], TerminalState::Grounded);
    assert_eq!(cold.wires[wire("W4").index()].flow, Flow::Fed);
    assert_eq!(cold.wires[wire("W11").index()].flow, Flow::Grounded);
    assert!(cold.readings.iter().all(Option::is_none) && cold.faults.is_empty());

    let hot = Show::of(&bench(&parallel, &["coolant=240F"]));
    assert_eq!(hot.parts[part("B1").index()], PartState::Contact(Contact::Closed));
    assert_eq!(hot.parts[part("Y1").index()], PartState::Valve { energised: true, passing: true });
    let carrying = hot.wires[wire("W11").index()];
    // 12.6 V over 30 ohms, by Ohm's law; the wires take a little.
    assert!(carrying.flow == Flow::Carrying && (0.40..0.42).contains(&carrying.amps), "{carrying:?}");

    let off = bench(&parallel, &["key=off"]);
    // All three sensors are open: between the key and the splice nothing is joined to either pole.
    assert_eq!(Show::of(&off).wires[wire("W4").index()].flow, Flow::Floating);
    assert_eq!(Show::of(&off).terminals[terminal("X1.s").index()], TerminalState::Floating);
}

#[test]
fn arrowheads_of_the_shipped_circuits_stand_on_no_crossing() {
    for (name, circuit) in shipped() {
        let layout = Layout::of(&circuit);
        for (state, show) in states(&circuit) {
            let picture = draw(&layout, &circuit, &show);
            for arrow in picture.shapes.iter().filter(|shape| shape.ink == Ink::Arrow) {
                let Form::Polygon { points } = &arrow.form else { continue };
                let sum = points.iter().fold((0.0, 0.0), |sum, p| (sum.0 + p.x, sum.1 + p.y));
                let at = Point::new(sum.0 / points.len() as f32, sum.1 / points.len() as f32);
                for (id, wire) in circuit.wires_with_ids().filter(|(id, _)| arrow.subject != Some(Subject::Wire(*id))) {
                    for piece in layout.wire(id).windows(2) {
                        let (a, b) = (piece[0], piece[1]);
                        let (x, y) = (at.x.clamp(a.x.min(b.x), a.x.max(b.x)), at.y.clamp(a.y.min(b.y), a.y.max(b.y)));
                        let is_met = Point::new(x, y).distance(at) < 6.0;
                        assert!(!is_met, "{name} {state}: an arrowhead stands on {}", wire.tag);
                    }
                }
            }
        }
    }
}

#[test]
fn a_blown_fuse_shows_on_its_symbol_whether_it_opened_or_was_found_so() {
    let parallel = shipped().into_iter().find(|(name, _)| *name == "parallel-open").expect("it is shipped").1;
    let fuse = parallel.part_named("F1").expect("the circuit has it");
    let layout = Layout::of(&parallel);
    let state = |bench: &Bench| Show::of(bench).parts[fuse.index()];
    let strokes = |bench: &Bench| {
        let picture = draw(&layout, &parallel, &Show::of(bench));
        picture.shapes.into_iter().filter(|shape| shape.subject == Some(Subject::Part(fuse))).collect::<Vec<_>>()
    };
    let whole = bench(&parallel, &[]);
    assert_eq!(state(&whole), PartState::Fuse { blown: false });
    let found = bench(&parallel, &["fault blown:F1"]);
    let mut opened = bench(&parallel, &["fault ground:B1.1"]);
    opened.apply(Action::Repair("ground:B1.1".parse().expect("a fault"))).expect("it was planted");
    for mut blown in [found, opened] {
        assert_eq!(state(&blown), PartState::Fuse { blown: true });
        assert_ne!(strokes(&blown), strokes(&whole), "it looks whole");
        blown.apply(Action::ReplaceFuse("F1".into())).expect("it is a fuse");
        assert_eq!(state(&blown), PartState::Fuse { blown: false });
        assert_eq!(strokes(&blown), strokes(&whole));
    }
}

#[test]
fn a_bench_shows_what_was_done_by_hand_and_marks_faults_only_when_asked() {
    let parallel = shipped().into_iter().find(|(name, _)| *name == "parallel-open").expect("it is shipped").1;
    let done = bench(&parallel, &["lift:W10@Y1.1", "jump:G1.+=W10@Y1.1/none", "jump:B1.1=B1.2/10A", "unplug:S2"]);
    let show = Show::of(&done).with_readings(&done);
    let end = *show.lifted.iter().next().expect("one end is lifted");
    assert_eq!(parallel.wire(end.wire).tag, "W10");
    assert_eq!(show.leads.len(), 2);
    assert_eq!((show.leads[0].to, show.leads[0].fuse), (LeadPoint::LooseEnd(end), LeadFuse::Unfused));
    assert_eq!((show.leads[1].fuse, show.leads[1].text.as_str()), (LeadFuse::Whole, "10 A"));
    assert!(show.unplugged.contains(&parallel.part_named("S2").expect("the circuit has it")));
    let plus = parallel.terminal_named("G1.+").expect("the circuit has it");
    assert_eq!(show.reading(plus), Some("12.6 V"));

    let faulty = bench(&parallel, &["fault blown:F1", "fault open:W4", "fault leak:hose=2mm"]);
    assert!(Show::of(&faulty).faults.is_empty());
    let marks = Show::of(&faulty).with_fault_marks(&faulty).faults;
    assert_eq!(marks.iter().map(|m| m.text.as_str()).collect::<Vec<_>>(), ["blown", "broken"]);

    let blown = bench(&parallel, &["jump:G1.+=G1.-/1A"]);
    let lead = &Show::of(&blown).leads[0];
    assert_eq!((lead.fuse, lead.text.as_str()), (LeadFuse::Open, "1 A blown"));
}
