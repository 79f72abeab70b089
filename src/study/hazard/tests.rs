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

#[track_caller]
fn check(name: &str, actions: &[&str], expected: &[(HazardKind, Level, &str)]) {
    let found: Vec<(HazardKind, Level, String)> =
        all(&bench(name, actions)).into_iter().map(|h| (h.kind, h.level, h.at)).collect();
    let found: Vec<(HazardKind, Level, &str)> = found.iter().map(|(k, l, a)| (*k, *l, a.as_str())).collect();
    assert_eq!(found, expected, "{name} after {actions:?}");
}

use HazardKind::{CoilBridged, FuseBypassed, FuseWouldOpen, LeftChanged, LiveEnd, SupplyShorted};
use Level::{Caution, Danger, Warning};

#[test]
fn every_shipped_circuit_is_without_hazard_as_built() {
    for (name, _) in SHIPPED {
        check(name, &[], &[]);
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
