//! What raises each hazard and what does not, on the shipped circuits and on small ones made for a limit.
//!
//! Each kind is shown raised, and not raised just inside its limit. Cautions that go with nearly every act (the fan
//! is coupled, the coil has no suppressor) are compared only where a test is about them.

use std::sync::Arc;

use super::all;
use crate::bench::{Action, Bench};
use crate::circuit::format::read;
use crate::circuit::shipped::SHIPPED;
use crate::study::answer::{HazardKind, Level};

fn bench(name: &str, actions: &[&str]) -> Bench {
    let text = SHIPPED.iter().find(|(n, _)| *n == name).unwrap().1;
    let mut bench = Bench::new(Arc::new(read(text).circuit.unwrap()));
    for action in actions {
        let action = match action.parse() {
            Ok(act) => Action::Do(act),
            Err(_) => Action::Set(action.parse().unwrap()),
        };
        bench.apply(action).unwrap();
    }
    bench
}

/// Hazards but for those that go with nearly every act: the fan is coupled, the coil has no suppressor.
#[track_caller]
fn check(name: &str, actions: &[&str], expected: &[(HazardKind, Level, &str)]) {
    let found: Vec<(HazardKind, Level, String)> = all(&bench(name, actions))
        .into_iter()
        .filter(|h| !matches!(h.kind, FanMayStart | NoSuppressor))
        .map(|h| (h.kind, h.level, h.at))
        .collect();
    let found: Vec<(HazardKind, Level, &str)> = found.iter().map(|(k, l, a)| (*k, *l, a.as_str())).collect();
    assert_eq!(found, expected, "{name} after {actions:?}");
}

/// A bench of a circuit made for a limit: what `parts` and `wires` list, with battery, fuse and ground.
fn made(parts: &str, wires: &str, actions: &[&str]) -> Bench {
    let text = format!(
        r#"Circuit(format: 1, title: "limit", parts: {{
            "G1": Battery(volts: 12, internal_ohms: 0.001), "F1": Fuse(amps: 10, ohms: 0.001), "N1": Ground(ohms: 0.001), {parts}
        }}, wires: {{
            "W1": Wire(from: "G1.+", to: "F1.1", gauge: Awg(4), length: Metre(0.1)),
            "W2": Wire(from: "G1.-", to: "N1.g", gauge: Awg(4), length: Metre(0.1)), {wires}
        }})"#
    );
    let mut bench = Bench::new(Arc::new(read(&text).circuit.expect("a sound circuit")));
    for action in actions {
        let action = match action.parse() {
            Ok(act) => Action::Do(act),
            Err(_) => Action::Set(action.parse().unwrap()),
        };
        bench.apply(action).unwrap();
    }
    bench
}

/// A closed loop of F1, the `part` B1 with terminals `ends`, and a resistor of so many ohms.
fn loop_of(part: &str, ends: [&str; 2], ohms: f64, gauge: &str, actions: &[&str]) -> Bench {
    let [one, other] = ends;
    made(
        &format!(r#""B1": {part}, "R1": Resistor(ohms: {ohms})"#),
        &format!(
            r#""W3": Wire(from: "F1.2", to: "B1.{one}", gauge: Awg(4), length: Metre(0.1)),
               "W4": Wire(from: "B1.{other}", to: "R1.1", gauge: {gauge}, length: Metre(0.1)),
               "W5": Wire(from: "R1.2", to: "N1.g", gauge: Awg(4), length: Metre(0.1))"#
        ),
        actions,
    )
}

/// Where hazards of one kind are raised, and how grave.
fn raised(bench: &Bench, kind: HazardKind) -> Vec<(Level, String)> {
    all(bench).into_iter().filter(|h| h.kind == kind).map(|h| (h.level, h.at)).collect()
}

use HazardKind::{
    CoilBridged, ContactOverloaded, FanMayStart, FuseBypassed, FuseWouldOpen, LeadOverheated, LeftChanged, LiveEnd,
    ModuleBackfed, ModuleOverloaded, NoSuppressor, SupplyShorted, WireOverheated,
};
use Level::{Caution, Danger, Warning};

#[test]
fn no_shipped_circuit_has_a_hazard_as_built_but_a_fan_that_is_called_with_the_engine_stopped() {
    for (name, _) in SHIPPED {
        let found: Vec<HazardKind> = all(&bench(name, &[])).iter().map(|h| h.kind).collect();
        let expected: &[HazardKind] = if name == "module-high-side" { &[FanMayStart] } else { &[] };
        assert_eq!(found, expected, "{name}");
    }
}

#[test]
fn bridging_an_open_sensor_is_only_something_to_put_back() {
    check("parallel-open", &["jump:B1.1=B1.2"], &[(LeftChanged, Caution, "jump:B1.1=B1.2/5A")]);
}

#[test]
fn grounding_the_feed_of_a_sensor_shorts_the_supply_and_opens_a_fuse() {
    check(
        "parallel-open",
        &["jump:B1.1=N1.g"],
        &[
            (SupplyShorted, Danger, "jump:B1.1=N1.g/5A"),
            (FuseWouldOpen, Warning, "jump:B1.1=N1.g/5A"),
            (ContactOverloaded, Warning, "S1"),
            (LeftChanged, Caution, "jump:B1.1=N1.g/5A"),
        ],
    );
}

#[test]
fn a_bare_lead_to_ground_opens_the_circuits_own_fuse() {
    check(
        "parallel-open",
        &["jump:B1.1=N1.g/none"],
        &[
            (SupplyShorted, Danger, "jump:B1.1=N1.g/none"),
            (FuseWouldOpen, Danger, "F1"),
            (ContactOverloaded, Warning, "S1"),
            (LeftChanged, Caution, "F1"),
            (LeftChanged, Caution, "jump:B1.1=N1.g/none"),
        ],
    );
}

#[test]
fn grounding_the_coil_feed_while_it_is_dead_bridges_the_coil_and_nothing_more() {
    check(
        "parallel-open",
        &["jump:Y1.1=N1.g"],
        &[(CoilBridged, Danger, "Y1"), (LeftChanged, Caution, "jump:Y1.1=N1.g/5A")],
    );
}

#[test]
fn grounding_a_ground_side_sensor_wire_is_right_and_raises_no_danger() {
    check("ground-side", &["jump:B1.1=N2.g"], &[(LeftChanged, Caution, "jump:B1.1=N2.g/5A")]);
}

#[test]
fn feeding_the_coil_straight_from_the_battery_goes_past_the_fuse() {
    check(
        "parallel-open",
        &["jump:G1.+=Y1.1/none"],
        &[(FuseBypassed, Danger, "jump:G1.+=Y1.1/none"), (LeftChanged, Caution, "jump:G1.+=Y1.1/none")],
    );
    check(
        "parallel-open",
        &["jump:G1.+=Y1.1"],
        &[(FuseBypassed, Caution, "jump:G1.+=Y1.1/5A"), (LeftChanged, Caution, "jump:G1.+=Y1.1/5A")],
    );
    check(
        "parallel-open",
        &["jump:G1.+=Y1.1/20A"],
        &[(FuseBypassed, Warning, "jump:G1.+=Y1.1/20A"), (LeftChanged, Caution, "jump:G1.+=Y1.1/20A")],
    );
}

#[test]
fn a_lead_behind_the_fuse_bypasses_nothing() {
    check("parallel-open", &["jump:F1.2=Y1.1"], &[(LeftChanged, Caution, "jump:F1.2=Y1.1/5A")]);
}

#[test]
fn the_fed_end_of_a_lifted_wire_is_live_and_the_other_is_not() {
    check("series-closed", &["lift:W4@B1.1"], &[(LiveEnd, Warning, "W4@B1.1"), (LeftChanged, Caution, "lift:W4@B1.1")]);
    check("series-closed", &["lift:W5@B1.2"], &[(LeftChanged, Caution, "lift:W5@B1.2")]);
    check("series-closed", &["key=off", "lift:W4@B1.1"], &[(LeftChanged, Caution, "lift:W4@B1.1")]);
}

#[test]
fn a_live_plug_wants_care_and_a_dead_one_nothing() {
    check("series-closed", &["unplug:B1"], &[(LiveEnd, Caution, "B1.1"), (LeftChanged, Caution, "unplug:B1")]);
}

#[test]
fn a_grounded_hot_point_in_a_closed_at_rest_circuit_engages_by_blowing_a_fuse() {
    let bench = bench("series-closed", &["jump:Y1.1=N1.g/none"]);
    let kinds: Vec<_> = all(&bench).into_iter().map(|h| (h.kind, h.level)).collect();
    assert!(kinds.contains(&(SupplyShorted, Danger)), "{kinds:?}");
    assert!(kinds.contains(&(FuseWouldOpen, Danger)), "{kinds:?}");
    assert!(kinds.contains(&(CoilBridged, Danger)), "{kinds:?}");
}

/// Amps at which a wire of this copper gets just so warm at 20 °C, by halving.
fn amps_for(celsius: f64, square_mm: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1000.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        let cooler = crate::physics::heat::steady_celsius(middle, square_mm, 20.0).is_some_and(|t| t < celsius);
        if cooler { low = middle } else { high = middle }
    }
    low
}

#[test]
fn a_fuse_is_told_of_from_135_percent_of_its_rating_and_not_just_below() {
    let at = |amps: f64| raised(&loop_of("Splice", ["s", "s"], 12.0 / amps, "Awg(4)", &[]), FuseWouldOpen);
    assert_eq!(at(13.7), [(Danger, "F1".to_owned())]);
    assert_eq!(at(13.4), []);
}

#[test]
fn a_sensor_contact_is_overloaded_above_8_amps_a_hand_switch_above_15_and_a_key_above_30() {
    let sensor = "TemperatureSwitch(rest: Closed, senses: Coolant, acts_at: Celsius(99), resets_at: Celsius(90))";
    let at = |part, ends, amps: f64| raised(&loop_of(part, ends, 12.0 / amps, "Awg(4)", &[]), ContactOverloaded);
    let told = || [(Warning, "B1".to_owned())];
    assert_eq!(at(sensor, ["1", "2"], 8.2), told());
    assert_eq!(at(sensor, ["1", "2"], 7.9), []);
    assert_eq!(at("HandSwitch(rest: Closed)", ["1", "2"], 15.5), told());
    assert_eq!(at("HandSwitch(rest: Closed)", ["1", "2"], 14.8), []);
    assert_eq!(at("KeySwitch", ["30", "15"], 32.0), told());
    assert_eq!(at("KeySwitch", ["30", "15"], 29.0), []);
}

#[test]
fn a_wire_is_told_of_when_it_gets_warmer_than_its_insulation_bears_and_not_just_below() {
    let at =
        |amps: f64| raised(&loop_of("Splice", ["s", "s"], 12.0 / amps, "SquareMillimetre(0.35)", &[]), WireOverheated);
    let (warm, smoking) = (amps_for(100.0, 0.35), amps_for(160.0, 0.35));
    assert!(smoking < 13.0, "the fuse would spoil this test: {smoking} A");
    assert_eq!(at(1.03 * warm), [(Warning, "W4".to_owned())]);
    assert_eq!(at(0.97 * warm), []);
    assert_eq!(at(1.03 * smoking), [(Danger, "W4".to_owned())]);
}

#[test]
fn a_wire_as_warm_as_the_air_around_it_is_nobodys_overload() {
    assert_eq!(
        raised(&loop_of("Splice", ["s", "s"], 100.0, "SquareMillimetre(0.35)", &["ambient=110C"]), WireOverheated),
        []
    );
}

#[test]
fn a_test_lead_is_told_of_when_it_gets_too_warm_for_a_hand_and_not_just_below() {
    let open = "HandSwitch(rest: Open)";
    let at =
        |amps: f64| raised(&loop_of(open, ["1", "2"], 12.0 / amps, "Awg(4)", &["jump:B1.1=B1.2/20A"]), LeadOverheated);
    let warm = amps_for(70.0, 1.0);
    assert_eq!(at(1.04 * warm), [(Warning, "jump:B1.1=B1.2/20A".to_owned())]);
    assert_eq!(at(0.97 * warm), []);
}

/// A module of this side, its limit 2 A, driving a coil of so many ohms.
fn driven(side: &str, ohms: f64, on_when: &str, actions: &[&str]) -> Bench {
    let coil = match side {
        "Low" => [("F1.2", "Y1.1"), ("Y1.2", "A1.out")],
        _ => [("A1.out", "Y1.1"), ("Y1.2", "N1.g")],
    };
    let wire = |tag: &str, (from, to): (&str, &str)| {
        format!(r#""{tag}": Wire(from: "{from}", to: "{to}", gauge: Awg(4), length: Metre(0.1)),"#)
    };
    made(
        &format!(
            r#""A1": Module(side: {side}, on_when: {on_when}, limit_amps: 2.0, on_ohms: 0.01),
               "Y1": AirValve(coil_ohms: {ohms}, pulls_in: 8, drops_out: 2, rest: Blocking)"#
        ),
        &[
            wire("W3", ("F1.2", "A1.supply")),
            wire("W4", ("A1.ground", "N1.g")),
            wire("W5", coil[0]),
            wire("W6", coil[1]),
        ]
        .concat(),
        actions,
    )
}

#[test]
fn a_driver_above_its_limit_is_told_of_on_or_off_and_one_just_inside_is_not() {
    for side in ["Low", "High"] {
        for on_when in ["Always", "Never"] {
            assert_eq!(raised(&driven(side, 5.9, on_when, &[]), ModuleOverloaded), [(Danger, "A1".to_owned())]);
            assert_eq!(raised(&driven(side, 6.1, on_when, &[]), ModuleOverloaded), [], "{side} {on_when}");
        }
    }
}

#[test]
fn grounding_the_output_of_a_high_side_driver_overloads_it_the_moment_it_turns_on() {
    let bench = driven("High", 30.0, "Never", &["jump:A1.out=N1.g"]);
    assert_eq!(raised(&bench, ModuleOverloaded), [(Danger, "A1".to_owned())]);
}

#[test]
fn supply_on_a_modules_output_is_told_of_with_the_module_in_place_and_not_with_it_unplugged() {
    let backfed = || [(Danger, "A1".to_owned())];
    for side in ["Low", "High"] {
        assert_eq!(raised(&driven(side, 30.0, "Never", &["jump:G1.+=A1.out"]), ModuleBackfed), backfed());
        assert_eq!(raised(&driven(side, 30.0, "Never", &["jump:F1.2=A1.out"]), ModuleBackfed), backfed());
        assert_eq!(raised(&driven(side, 30.0, "Never", &["unplug:A1", "jump:F1.2=A1.out"]), ModuleBackfed), []);
        assert_eq!(raised(&driven(side, 30.0, "Never", &["jump:A1.out=N1.g"]), ModuleBackfed), []);
    }
}

#[test]
fn supply_through_a_coil_as_built_feeds_no_output_backwards() {
    assert_eq!(raised(&driven("Low", 30.0, "Never", &[]), ModuleBackfed), []);
}

/// An open end behind a resistor of so many ohms, a second resistor to ground beside it.
fn hanging(ohms: f64, to_ground: &str) -> Bench {
    made(
        &format!(r#""R1": Resistor(ohms: {ohms}), "R2": Resistor(ohms: 1), "R3": Resistor(ohms: {to_ground})"#),
        r#""W3": Wire(from: "F1.2", to: "R1.1", gauge: Awg(4), length: Metre(0.1)),
           "W4": Wire(from: "R1.2", to: "R2.1", gauge: Awg(4), length: Metre(0.1)),
           "W5": Wire(from: "R2.2", to: "N1.g", gauge: Awg(4), length: Metre(0.1)),
           "W6": Wire(from: "R1.2", to: "R3.1", gauge: Awg(4), length: Metre(0.1)),
           "W7": Wire(from: "R3.2", to: "N1.g", gauge: Awg(4), length: Metre(0.1))"#,
        &["lift:W4@R2.1"],
    )
}

#[test]
fn a_bare_end_is_a_warning_where_it_delivers_an_amp_a_caution_below_and_nothing_under_a_volt() {
    assert_eq!(raised(&hanging(11.5, "1000"), LiveEnd), [(Warning, "W4@R2.1".to_owned())]);
    assert_eq!(raised(&hanging(12.5, "1000"), LiveEnd), [(Caution, "W4@R2.1".to_owned())]);
    assert_eq!(raised(&hanging(100.0, "9.5"), LiveEnd), [(Caution, "W4@R2.1".to_owned())]);
    assert_eq!(raised(&hanging(100.0, "8.5"), LiveEnd), []);
}

#[test]
fn a_lead_with_a_fuse_no_larger_than_the_one_it_passes_is_a_caution_and_a_larger_one_a_warning() {
    let at = |lead| {
        raised(&bench("parallel-open", &[lead]), FuseBypassed).into_iter().map(|(level, _)| level).collect::<Vec<_>>()
    };
    assert_eq!(at("jump:G1.+=Y1.1/10A"), [Caution]);
    assert_eq!(at("jump:G1.+=Y1.1/11A"), [Warning]);
}

#[test]
fn a_load_between_supply_and_ground_is_no_short_and_a_lead_from_coil_to_sensor_bridges_no_coil() {
    let bench = bench("parallel-open", &["jump:B1.1=B1.2"]);
    assert_eq!(raised(&bench, SupplyShorted), []);
    assert_eq!(raised(&bench, CoilBridged), []);
}

#[test]
fn the_fan_is_told_of_while_the_clutch_bites_at_all_and_gravely_with_the_engine_running() {
    let told = |actions: &[&str]| raised(&bench("parallel-open", actions), FanMayStart);
    assert_eq!(told(&["coolant=225F"]), [(Caution, "Y1".to_owned())]);
    assert_eq!(told(&["coolant=225F", "engine=600"]), [(Warning, "Y1".to_owned())]);
    // An air-applied clutch bites from a third of its minimum: 30 of 90 psi.
    assert_eq!(told(&["coolant=225F", "air=32psi"]), [(Caution, "Y1".to_owned())]);
    assert_eq!(told(&["coolant=225F", "air=29psi"]), []);
    assert_eq!(told(&[]), []);
}

#[test]
fn a_key_that_would_start_the_fan_is_told_of_before_it_is_turned() {
    let told = |actions: &[&str]| raised(&bench("module-high-side", actions), FanMayStart);
    let with_key_off = told(&["key=off", "air=0psi"]);
    assert_eq!(with_key_off, [], "without air no key starts it");
    assert_eq!(
        raised(&bench("parallel-open", &["key=off", "coolant=225F"]), FanMayStart),
        [(Caution, "Y1".to_owned())]
    );
    assert_eq!(raised(&bench("parallel-open", &["key=off"]), FanMayStart), []);
    assert_eq!(told(&["key=off"]), [(Caution, "Y1".to_owned())], "a dead coil engages this one");
}

#[test]
fn a_bare_coil_is_told_of_where_a_lead_or_a_lifted_end_carries_or_breaks_its_current() {
    let told = |name, actions: &[&str]| raised(&bench(name, actions), NoSuppressor);
    let y1 = || [(Caution, "Y1".to_owned())];
    assert_eq!(told("parallel-open", &["jump:B1.1=B1.2"]), y1());
    assert_eq!(told("series-closed", &["lift:W4@S2.2"]), y1());
    assert_eq!(told("series-closed", &["unplug:Y1"]), y1());
}

#[test]
fn a_coil_with_a_suppressor_or_without_current_at_the_hand_is_not_told_of() {
    let told = |name, actions: &[&str]| raised(&bench(name, actions), NoSuppressor);
    assert_eq!(told("module-low-side", &["coolant=225F", "unplug:Y1"]), []);
    // The sensors' own contacts carry it; the lead beside an open one does not.
    assert_eq!(told("parallel-open", &["lift:W4@B1.1"]), []);
    assert_eq!(told("parallel-open", &["coolant=225F"]), []);
}

#[test]
fn what_is_put_back_is_no_longer_left_changed() {
    let mut bench = bench("parallel-open", &["jump:B1.1=B1.2", "lift:W4@B1.1"]);
    assert_eq!(raised(&bench, LeftChanged).len(), 2);
    bench.apply(Action::PutAllBack).unwrap();
    assert_eq!(raised(&bench, LeftChanged), []);
}
