//! Claims about instruments on the drawing: they change nothing of the circuit, reach what they are on, stay on the
//! page, and tell their two leads apart without colour.

use fanloom::circuit::{TerminalId, WireId};
use fanloom::drawing::{Face, Fitted, Form, Ink, Instrument, Layout, LeadPoint, Picture, Shape, Show, draw};

use super::shipped::shipped;

fn drawn(name: &str, circuit: &fanloom::circuit::Circuit, fitted: Fitted, face: Face) -> (Picture, Vec<Shape>, Layout) {
    let layout = Layout::of(circuit);
    let show = Show::as_built(circuit);
    let bare = draw(&layout, circuit, &show);
    let with = draw(&layout, circuit, &Show { instruments: vec![Instrument { face, fitted }], ..show });
    assert_eq!(bare.targets, with.targets, "{name}: what is hit is the circuit's alone");
    assert_eq!(bare.shapes[..], with.shapes[..bare.shapes.len()], "{name}: the circuit is drawn as before");
    let own = with.shapes[bare.shapes.len()..].to_vec();
    assert!(own.iter().all(|shape| shape.subject.is_none()), "{name}");
    (with, own, layout)
}

fn reaches(own: &[Shape], at: fanloom::drawing::Point) -> bool {
    own.iter()
        .any(|shape| matches!(&shape.form, Form::Line { points, .. } if points.iter().any(|p| p.distance(at) < 0.5)))
}

/// Whether every stroke is on the page.
fn is_on_page(picture: &Picture, own: &[Shape]) -> bool {
    own.iter().all(|shape| match &shape.form {
        Form::Circle { centre, radius, .. } => {
            // A lead may run near the edge; its sign then stands over it a little.
            let reach = radius - if *radius < 8.0 { 4.0 } else { 0.0 };
            centre.x >= reach && centre.y >= reach && centre.x + reach <= picture.width
        }
        Form::Line { points, .. } | Form::Polygon { points } => {
            points.iter().all(|p| p.x >= 0.0 && p.y >= 0.0 && p.x <= picture.width && p.y <= picture.height)
        }
        Form::Arc { .. } | Form::Text { .. } => true,
    })
}

#[test]
fn two_leads_reach_their_terminals_in_every_shipped_circuit_and_the_circuit_keeps_still() {
    for (name, circuit) in shipped() {
        let terminals: Vec<TerminalId> = circuit.terminals_with_ids().map(|(id, _)| id).collect();
        for pair in terminals.chunks(2).filter(|pair| pair.len() == 2) {
            let leads = [pair[0], pair[1]];
            let fitted = Fitted::Across(leads.map(|id| Some(LeadPoint::Terminal(id))));
            let (picture, own, layout) = drawn(name, &circuit, fitted, Face::Letter("V"));
            for id in leads {
                assert!(reaches(&own, layout.terminal(id)), "{name}: {}", circuit.terminal_words(id));
            }
            assert!(is_on_page(&picture, &own), "{name}: {}", circuit.terminal_words(pair[0]));
        }
    }
}

#[test]
fn a_clamp_and_a_meter_in_line_are_on_their_wire_and_on_the_page() {
    for (name, circuit) in shipped() {
        for (wire, _) in circuit.wires_with_ids() {
            for fitted in [Fitted::Around(wire), Fitted::InLine(wire)] {
                let (picture, own, layout) = drawn(name, &circuit, fitted, Face::Letter("A"));
                assert!(is_on_page(&picture, &own), "{name}: {fitted:?}");
                assert!(is_near(&own, &layout, wire), "{name}: {fitted:?}");
            }
        }
    }
}

fn is_near(own: &[Shape], layout: &Layout, wire: WireId) -> bool {
    let points = layout.wire(wire);
    let on_run = |at: fanloom::drawing::Point| {
        points.windows(2).any(|run| {
            let (low_x, high_x) = (run[0].x.min(run[1].x) - 34.0, run[0].x.max(run[1].x) + 34.0);
            let (low_y, high_y) = (run[0].y.min(run[1].y) - 34.0, run[0].y.max(run[1].y) + 34.0);
            (low_x..=high_x).contains(&at.x) && (low_y..=high_y).contains(&at.y)
        })
    };
    own.iter().any(|shape| matches!(shape.form, Form::Circle { centre, .. } if on_run(centre)))
}

#[test]
fn the_leads_are_told_apart_by_shape_and_sign() {
    let (name, circuit) = shipped().swap_remove(0);
    let leads = [TerminalId(0), TerminalId(1)].map(|id| Some(LeadPoint::Terminal(id)));
    let (_, own, _) = drawn(name, &circuit, Fitted::Across(leads), Face::Letter("V"));
    let count = |wanted: Ink, round: bool| {
        let fits = |form: &Form| match form {
            Form::Circle { filled, .. } => round && !filled,
            Form::Line { closed, .. } => !round && *closed,
            Form::Arc { .. } | Form::Polygon { .. } | Form::Text { .. } => false,
        };
        own.iter().filter(|shape| shape.ink == wanted && fits(&shape.form)).count()
    };
    assert_eq!((count(Ink::PlusLead, true), count(Ink::PlusLead, false)), (1, 0), "a ring");
    assert_eq!((count(Ink::MinusLead, true), count(Ink::MinusLead, false)), (0, 1), "a square");
}

#[test]
fn a_lamps_clips_are_numbered_and_its_light_is_seen() {
    let (name, circuit) = shipped().swap_remove(0);
    let leads = [TerminalId(0), TerminalId(1)].map(|id| Some(LeadPoint::Terminal(id)));
    for lit in [false, true] {
        let (_, own, _) = drawn(name, &circuit, Fitted::Across(leads), Face::Lamp { lit });
        let words: Vec<&str> = own
            .iter()
            .filter_map(|shape| match &shape.form {
                Form::Text { text, .. } => Some(text.as_str()),
                _ => None,
            })
            .collect();
        assert_eq!(words, ["1", "2"]);
        assert_eq!(own.iter().any(|shape| shape.ink == Ink::Glow), lit);
    }
}
