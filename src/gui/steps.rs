//! Carries out the steps of a find and of a hunt.
//!
//! Part of [`apply`](super::apply): what a find offers is done on the bench with the same actions a hand would take, and
//! a hunt is played through the session, which keeps what is hidden. What is refused is said in the tray.

use egui::Context;

use crate::bench::script::Verb;
use crate::bench::{Act, Action, Change, Fault, Instrument, Reading, Refusal, Setting};
use crate::physics::inputs::Conditions;
use crate::study::faults::naming;
use crate::study::find::sight::Setup;
use crate::study::hunt::Hunt;
use crate::study::wording::list;

use super::app::App;
use super::filing;
use super::finding::{FindStep, settings_to};
use super::hunting::HuntStep;
use super::instrument::{Device, Dial, Handling, Instruments};
use super::seen::Drawer;
use super::tongue::{t, worded};
use super::tool::Tool;

/// One step of a find.
pub(super) fn find(app: &mut App, step: FindStep) {
    if app.front.session.eyes().is_some() {
        app.front.desk.said = t!("steps-the-find-is-put-away").to_owned();
        return;
    }
    let finding = &mut app.front.studies.finding;
    match step {
        FindStep::See(sight) => finding.see(sight),
        FindStep::TakeBack(place) => finding.take_back(place),
        FindStep::Anew => finding.begin_anew(),
        FindStep::AtHand(instrument, at_hand) => finding.have_at_hand(instrument, at_hand),
        FindStep::Stop(stopped) => finding.stop(stopped),
        FindStep::CarryOut(setup, reading) => carry_out(app, setup, reading),
        FindStep::Mend(faults) => mend(app, faults),
        FindStep::Prove(place) => prove(app, place),
    }
}

/// Sets the bench up for a test and puts its instrument on.
fn carry_out(app: &mut App, setup: Setup, reading: Reading) {
    if let Err(refusal) = stand(app, &setup) {
        app.front.desk.said = worded(&refusal.told());
        return;
    }
    app.front.desk.tool = Tool::Hand;
    app.front.desk.instruments = put_on(&app.front.desk.instruments, &reading);
    app.front.desk.said = t!("steps-the-bench-stands-as-the").to_owned();
    app.front.studies.finding.set_up(app.front.session.bench(), setup, reading);
}

/// Brings the truck as it came into a setup: everything done is put back, fuses are renewed, every condition is as
/// usual before those of the setup are brought about, with the key off meanwhile, so that nothing is remembered.
fn stand(app: &mut App, setup: &Setup) -> Result<(), Refusal> {
    let units = app.look.units;
    if app.front.session.clock().is_some() {
        app.front.session.take_clock(false, units);
    }
    let session = &mut app.front.session;
    let done: Vec<Act> = session.bench().acts().cloned().collect();
    done.into_iter().rev().try_for_each(|act| session.apply(Action::PutBack(act)))?;
    session.apply(Action::Set(Setting::Key(false)))?;
    for change in session.bench().changes() {
        if let Change::BlownFuse(tag) = change {
            session.apply(Action::ReplaceFuse(tag))?;
        }
    }
    let usual = Conditions::default();
    let now = Conditions { key_on: usual.key_on, ..*session.bench().conditions() };
    let back = settings_to(&now, &usual, units);
    let there = [Setting::Key(usual.key_on)].into_iter().chain(setup.with.iter().copied());
    back.into_iter().chain(there).try_for_each(|setting| session.apply(Action::Set(setting)))?;
    setup.after.iter().try_for_each(|act| session.apply(Action::Do(act.clone())))
}

/// The instruments with the one on that takes this reading.
fn put_on(now: &Instruments, reading: &Reading) -> Instruments {
    let off = Instruments::default().after(Device::Meter, &Handling::Dial(now.dial));
    match reading {
        Reading::Across { instrument, first, second } => {
            let (device, dial) = match instrument {
                Instrument::Voltmeter => (Device::Meter, Dial::Volts),
                Instrument::LowImpedance => (Device::Meter, Dial::LowVolts),
                Instrument::Ohmmeter => (Device::Meter, Dial::Ohms),
                Instrument::TestLamp => (Device::Lamp, now.dial),
            };
            let set = off.after(Device::Meter, &Handling::Dial(dial));
            set.after(device, &Handling::Touch(first.clone())).after(device, &Handling::Touch(second.clone()))
        }
        Reading::Amps(wire) => {
            off.after(Device::Meter, &Handling::Dial(Dial::Amps)).after(Device::Meter, &Handling::Wire(wire.clone()))
        }
        Reading::Clamp(wire) => off.after(Device::Clamp, &Handling::Wire(wire.clone())),
        Reading::Gauge(_) | Reading::Fan => off,
    }
}

/// Puts right on the bench what is wrong there of these sorts.
fn mend(app: &mut App, faults: Vec<Fault>) {
    let mut put_right = Vec::new();
    let done = stand(app, &Setup::default()).and_then(|()| {
        for fault in &faults {
            let is_same = |planted: &&Fault| planted.without_amount() == fault.without_amount();
            let planted: Vec<Fault> = app.front.session.bench().faults().iter().filter(is_same).cloned().collect();
            for planted in planted {
                put_right.push(naming::name(app.front.session.bench().circuit(), &planted));
                app.front.session.apply(Action::Repair(planted))?;
            }
        }
        stand(app, &Setup::default())
    });
    app.front.desk.instruments =
        Instruments::default().after(Device::Meter, &Handling::Dial(app.front.desk.instruments.dial));
    app.front.desk.said = match done {
        Err(refusal) => worded(&refusal.told()),
        Ok(()) if put_right.is_empty() => t!("steps-that-was-not-wrong-on").to_owned(),
        Ok(()) => t!("steps-put-right-on-the-bench", put_right = list(&put_right)),
    };
    app.front.studies.finding.mend(faults);
}

/// Goes through a step of the proof on the bench.
fn prove(app: &mut App, place: usize) {
    let super::studies::Awaited::Known(Ok(found)) = app.front.studies.finding.found() else { return };
    let Some((setup, _)) = found.proof.get(place).cloned() else { return };
    match stand(app, &setup) {
        Ok(()) => {
            let standing = app.front.session.verdict().standing;
            app.front.desk.said.clear();
            app.front.studies.finding.prove(place, standing);
        }
        Err(refusal) => app.front.desk.said = worded(&refusal.told()),
    }
}

/// One step of a hunt.
pub(super) fn hunt(app: &mut App, ctx: &Context, step: HuntStep) {
    app.front.desk.said.clear();
    if matches!(step, HuntStep::Begin(_) | HuntStep::Stop | HuntStep::End) {
        filing::drop_hunt(app);
    }
    let done = match step {
        HuntStep::Begin(seed) => {
            put_hunt_away(app);
            let circuit = app.front.session.bench().circuit_shared();
            app.front.studies.hunting.begin(ctx, circuit, seed);
            Ok(())
        }
        HuntStep::Stop => {
            app.front.studies.hunting.stop();
            Ok(())
        }
        HuntStep::Read(device) => app.front.session.read_in_hunt(&app.front.desk.instruments, device),
        HuntStep::Take(reading) => app.front.session.play(|hunt| hunt.read(&reading)).map(drop),
        HuntStep::Look(fuse) => app.front.session.play(|hunt| hunt.look(&fuse)).map(drop),
        HuntStep::Guess(fault) => guess(app, &fault),
        HuntStep::GiveUp => app.front.session.play(|hunt| {
            hunt.give_up();
            Ok(())
        }),
        HuntStep::End => {
            put_hunt_away(app);
            Ok(())
        }
    };
    if let Err(refusal) = done {
        app.front.desk.said = worded(&refusal.told());
    }
}

fn guess(app: &mut App, fault: &Fault) -> Result<(), Refusal> {
    let right = app.front.session.play(|hunt| hunt.guess(fault))?;
    let name = naming::name(app.front.session.bench().circuit(), fault);
    app.room.dialog = None;
    app.room.drawer = Some(Drawer::Hunt);
    app.front.desk.said = if right { t!("steps-right", name) } else { t!("steps-wrong-not-it-was-mended", name) };
    Ok(())
}

/// Puts the hunt on the bench that is ready.
pub(super) fn begin_hunt(app: &mut App, hunt: Hunt) {
    app.front.session.begin_hunt(hunt, app.front.desk.instruments.clone());
    let dial = Handling::Dial(app.front.desk.instruments.dial);
    app.front.desk.instruments = Instruments::default().after(Device::Meter, &dial);
    (app.front.desk.link, app.front.desk.selected, app.room.dialog) = (None, None, None);
    app.front.desk.tool = Tool::Hand;
    app.room.drawer = Some(Drawer::Hunt);
    app.front.desk.said = t!("steps-what-was-on-the-bench").to_owned();
}

/// Goes through a hunt again that has just been hidden anew, line by line as it told them.
pub(super) fn hunt_again(app: &mut App, lines: &[String], given_up: bool) {
    let mut done = lines.iter().try_for_each(|line| one_again(app, line));
    if given_up && done.is_ok() {
        done = app.front.session.play(|hunt| {
            hunt.give_up();
            Ok(())
        });
    }
    app.front.desk.said = match done {
        Ok(()) => t!("steps-the-hunt-is-taken-up").to_owned(),
        Err(refusal) => t!("steps-the-hunt-could-be-taken", refusal),
    };
}

fn one_again(app: &mut App, line: &str) -> Result<(), Refusal> {
    let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
    match word {
        "read" => {
            let reading = rest.parse()?;
            app.front.session.play(|hunt| hunt.read(&reading)).map(drop)
        }
        "look" => app.front.session.play(|hunt| hunt.look(rest)).map(drop),
        "guess" => {
            let fault = rest.parse()?;
            app.front.session.play(|hunt| hunt.guess(&fault)).map(drop)
        }
        "renew" => app.front.session.apply(Action::ReplaceFuse(rest.to_owned())),
        _ => {
            let verb = [Verb::Do, Verb::PutBack, Verb::Set].into_iter().find(|verb| verb.word() == word);
            let verb =
                verb.ok_or_else(|| Refusal::new(t!("steps-is-nothing-a-hunt-tells", line), t!("steps-begin-another")))?;
            app.front.session.apply(verb.action(rest)?)
        }
    }
}

/// Puts the hunt away, under way or over: bench and instruments are as they were before it.
pub(super) fn put_hunt_away(app: &mut App) {
    if let Some(instruments) = app.front.session.end_hunt() {
        app.front.desk.instruments = instruments;
        (app.front.desk.link, app.front.desk.selected) = (None, None);
        app.front.desk.tool = Tool::Hand;
        app.front.desk.said = t!("steps-the-bench-is-as-it").to_owned();
    }
}
