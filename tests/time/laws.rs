//! What must hold of every run: no air made or lost, pressures within bounds, the same twice, the same at half the step's
//! error, the same however it is cut into pieces.

use std::sync::Arc;

use fanloom::circuit::Circuit;
use fanloom::physics::clutch::ClutchState;
use fanloom::physics::time::{Moment, TOLERANCE};

use crate::support::clock::{Clock, rig};
use crate::support::{near_relative, shipped};

/// A run to make: circuit, settings, faults, and acts with their moments.
type Story =
    (&'static str, Arc<Circuit>, &'static [&'static str], &'static [&'static str], &'static [(f64, &'static str)]);

fn stories() -> Vec<Story> {
    const ON_AND_OFF: &[(f64, &str)] = &[(1.0, "turn:S1=on"), (20.0, "turn:S1=off"), (25.0, "turn:S1=on")];
    let spring = "engages: WithoutAir";
    vec![
        ("sound", rig("", ""), &[], &[], ON_AND_OFF),
        ("spring", rig("", spring), &["engine=1500"], &[], ON_AND_OFF),
        ("hole in the hose", rig("", ""), &["engine=1800"], &["leak:hose=2mm"], ON_AND_OFF),
        ("hole in the chamber", rig("", spring), &[], &["leak:chamber=0.5mm"], ON_AND_OFF),
        ("clogged", rig("", ""), &["engine=900"], &["blocked:filter"], ON_AND_OFF),
        ("plugged", rig("", ""), &[], &["blocked:exhaust"], ON_AND_OFF),
        ("worn", rig("", ""), &["engine=2100"], &["worn:facing=1.8mm"], ON_AND_OFF),
        ("small tank", rig("tank_litres: 2, line_litres: 0.05", ""), &["engine=700"], &[], ON_AND_OFF),
        ("low air", rig("", ""), &["engine=2100", "air=58psi"], &[], ON_AND_OFF),
        ("on the road", shipped("parallel-open"), &["engine=1800", "coolant=200F"], &[], &[]),
    ]
}

/// Runs a story to 60 s, and hands every moment of it on.
fn run(story: &Story, tolerance: f64, mut look: impl FnMut(&Clock, &Moment)) -> Clock {
    let (_, circuit, settings, faults, acts) = story;
    let mut clock = Clock::within(circuit, settings, faults, tolerance);
    let mut acts = acts.iter();
    let mut next = acts.next();
    for tenth in 1..=600 {
        let at_s = f64::from(tenth) * 0.1;
        while let Some((_, act)) = next.filter(|(when, _)| *when < at_s) {
            clock.will(act);
            next = acts.next();
        }
        clock.run_to(at_s);
        look(&clock, &clock.moment());
    }
    clock
}

#[test]
fn what_comes_in_goes_out_or_is_there() {
    for story in stories() {
        let mut began = None;
        run(&story, TOLERANCE, |clock, _| {
            let run = clock.live.run();
            let balance = run.free_litres() + run.lost_litres() - run.brought_litres();
            let began = *began.get_or_insert(balance);
            assert!((balance / began - 1.0).abs() < 1e-9, "{}: {balance} of {began}", story.0);
        });
    }
}

#[test]
fn setting_the_supply_is_counted_as_air_brought() {
    let mut clock = Clock::on(&rig("", ""), &[], &[]);
    let began = clock.live.run().free_litres();
    clock.will("air=80psi").will("turn:S1=on").run_to(5.0);
    let run = clock.live.run();
    assert!(run.brought_litres() < -150.0, "{}", run.brought_litres());
    near_relative(run.free_litres() + run.lost_litres() - run.brought_litres(), began, 1e-12);
}

#[test]
fn pressures_stay_between_nothing_and_the_supply() {
    for story in stories() {
        run(&story, TOLERANCE, |clock, moment| {
            // Between two steps values are interpolated, within the tolerance of the steps.
            let most = moment.tank_kpa * (1.0 + TOLERANCE) + 1e-6;
            let within = |kpa: f64| (0.0..=most).contains(&kpa);
            let (at, name) = (moment.at_s, story.0);
            assert!(within(moment.supply_kpa), "{name}, {at} s: {} of {most}", moment.supply_kpa);
            // A falling supply leaves behind in the chamber what cannot flow back as fast.
            assert!(
                moment.clutch_kpa >= 0.0 && moment.clutch_kpa <= most + 0.5,
                "{name}, {at} s: {} of {most}",
                moment.clutch_kpa
            );
            assert!(moment.fan_rpm >= 0.0 && moment.fan_rpm <= clock.live.bench().conditions().engine_rpm);
        });
    }
}

#[test]
fn a_filling_chamber_never_passes_its_supply() {
    for air in ["", "filter_c: 30, valve_c: 30, hose_c: 30", "line_litres: 0.05"] {
        let mut clock = Clock::on(&rig(air, ""), &[], &[]);
        clock.will("turn:S1=on");
        for moment in clock.sampled(5.0, 0.003) {
            assert!(moment.clutch_kpa <= moment.tank_kpa + 0.01, "{air}: {moment:?}");
        }
    }
}

/// What is compared of two runs.
type Column = fn(&Moment) -> f64;

/// Largest difference of two columns, over the largest value in them.
fn apart(a: &[Moment], b: &[Moment], column: impl Fn(&Moment) -> f64) -> f64 {
    let most = a.iter().map(|m| column(m).abs()).fold(1e-9, f64::max);
    a.iter().zip(b).map(|(a, b)| (column(a) - column(b)).abs() / most).fold(0.0, f64::max)
}

#[test]
fn half_the_tolerance_changes_less_than_a_thousandth() {
    for story in stories() {
        let moments = |tolerance: f64| {
            let mut all = Vec::new();
            run(&story, tolerance, |_, moment| all.push(moment.clone()));
            all
        };
        let (usual, finer) = (moments(TOLERANCE), moments(0.5 * TOLERANCE));
        let columns: [(&str, Column); 6] = [
            ("tank", |m| m.tank_kpa),
            ("supply", |m| m.supply_kpa),
            ("clutch", |m| m.clutch_kpa),
            ("fan", |m| m.fan_rpm),
            ("coolant", |m| m.coolant_c),
            ("plate", |m| m.plate_c),
        ];
        for (name, column) in columns {
            let off = apart(&usual, &finer, column);
            assert!(off < 1e-3, "{}, {name}: {off:e}", story.0);
        }
    }
}

#[test]
fn the_same_run_comes_out_the_same_to_the_last_digit() {
    for story in stories() {
        let (one, other) = (run(&story, TOLERANCE, |_, _| ()), run(&story, TOLERANCE, |_, _| ()));
        assert_eq!(one.moment(), other.moment(), "{}", story.0);
        assert_eq!(one.live.events(), other.live.events(), "{}", story.0);
    }
}

#[test]
fn a_run_cut_in_pieces_is_the_run_in_one() {
    let whole = |every_s: f64| {
        let mut clock = Clock::on(&rig("", ""), &["engine=1800"], &["leak:hose=1mm"]);
        clock.will("turn:S1=on");
        let mut at_s = 0.0;
        while at_s < 40.0 {
            at_s = f64::min(at_s + every_s, 40.0);
            clock.run_to(at_s);
        }
        clock
    };
    let (pieces, one) = (whole(0.37), whole(40.0));
    near_relative(pieces.moment().clutch_kpa, one.moment().clutch_kpa, 1e-4);
    near_relative(pieces.moment().plate_c, one.moment().plate_c, 1e-4);
    assert_eq!(pieces.state(), ClutchState::Engaged);
    let what = |clock: &Clock| clock.live.events().iter().map(|e| e.what.clone()).collect::<Vec<_>>();
    assert_eq!(what(&pieces), what(&one));
}

#[test]
fn asking_for_samples_changes_nothing() {
    let run = |every_s: f64| {
        let mut clock = Clock::on(&rig("", ""), &["engine=1800"], &[]);
        clock.will("turn:S1=on");
        clock.sampled(20.0, every_s);
        clock.moment()
    };
    assert_eq!(run(0.01), run(5.0));
}

#[test]
fn samples_come_in_order_and_each_once() {
    let mut clock = Clock::shipped("parallel-open", &["engine=1800"], &[]);
    let moments = clock.sampled(30.0, 0.05);
    assert_eq!(moments.len(), 601);
    assert!(moments.windows(2).all(|pair| pair[0].at_s < pair[1].at_s));
}
