//! Puts what was loaded on the bench: in place of the circuit in front, or beside it; and takes circuits away.
//!
//! Part of [`apply`](super::apply). Reading is [`loading`](super::loading)'s, keeping and saving
//! [`filing`]'s. Whatever has to give way with something done to it is set aside first.

use super::app::App;
use super::bay::Bay;
use super::command::{Dialog, Source};
use super::filing;
use super::instrument::{Device, Handling, Instruments};
use super::kept::KeptSession;
use super::loading::{Loaded, load};
use super::papers::Papers;
use super::row::MOST;
use super::seen::{Desk, Proving};
use super::session::Session;
use super::tongue::t;
use super::{demonstrating, steps, words};

/// What was loaded, as a circuit that is open. The meter stays set and the lead fused as they were in `desk`.
pub(super) fn bay_of(mut loaded: Loaded, desk: &Desk) -> Bay {
    let suggestion = suggestion(&loaded);
    let papers = Papers::of(&mut loaded);
    let session = Session::on(loaded.bench);
    // The meter stays set as it was; its leads were on another truck.
    let dial = Handling::Dial(desk.instruments.dial);
    let instruments = match &loaded.session {
        Some(kept) => kept.instruments.as_on(session.bench()),
        None => Instruments::default().after(Device::Meter, &dial),
    };
    let mut bay = Bay::new(session, papers);
    bay.demonstrating = loaded.demonstrating;
    let bench = bay.session.bench();
    let steps = bench.journal().count() + bench.undone().count();
    // Where a step could not be done again, none is where it was.
    let whole = |kept: &&KeptSession| kept.done.len() + kept.undone.len() == steps && kept.strides.fit(steps);
    if let Some(kept) = loaded.session.as_ref().filter(whole) {
        bay.strides = kept.strides.clone();
    }
    bay.desk = Desk { suggestion, fuse: desk.fuse, instruments, ..Desk::default() };
    // Before anything is found in it, it has to be known in what.
    bay.studies.follow(bay.session.bench());
    for sight in loaded.session.iter().flat_map(|session| &session.seen) {
        // One that no longer reads, after a hand has been at the file, is left out like one never seen.
        if let Ok(sight) = sight.parse() {
            bay.studies.finding.see(sight);
        }
    }
    bay
}

/// Something worth trying on a circuit nothing has been done to.
fn suggestion(loaded: &Loaded) -> Option<String> {
    let is_new = loaded.session.as_ref().is_none_or(|session| session.done.is_empty());
    is_new.then(|| words::suggestion(&loaded.circuit)).flatten()
}

/// Puts what a source holds on the bench, in place of the circuit in front.
pub(super) fn open(app: &mut App, source: &Source) {
    match load(source) {
        Ok(mut loaded) => {
            let aside = filing::keep_before(app);
            let report = loaded.report.take();
            put(app, loaded, report);
            if let Err(why) = aside {
                app.front.desk.said = t!("filing-what-stood-on-the-bench", why);
            }
        }
        Err(unsound) => app.room.dialog = Some(unsound.into()),
    }
}

/// Puts what was loaded in place of the circuit in front.
pub(super) fn put(app: &mut App, loaded: Loaded, report: Option<Dialog>) {
    app.look.units = app.look.units_for(&app.desktop, &loaded.circuit);
    app.filing.remember_loaded(&loaded);
    let mut bay = bay_of(loaded, &app.front.desk);
    app.row.forget(app.front.number);
    app.row.name(&mut bay);
    app.front = bay;
    app.room.dialog = report;
    // Another truck is first made to engage.
    app.room.proving = Proving::default();
    demonstrating::show(app);
}

/// Puts what a source holds beside the circuit in front, and brings it there.
pub(super) fn open_beside(app: &mut App, source: &Source) {
    match load(source) {
        Ok(loaded) => put_beside(app, loaded),
        Err(unsound) => app.room.dialog = Some(unsound.into()),
    }
}

/// Puts what was loaded beside all that are open, and brings it to the front.
pub(super) fn put_beside(app: &mut App, mut loaded: Loaded) {
    app.room.dialog = loaded.report.take();
    if app.row.count() >= MOST {
        app.room.dialog = None;
        app.front.desk.said = t!("placing-circuits-are-open-as-many", most = MOST);
        return;
    }
    app.filing.remember_loaded(&loaded);
    let mut bay = bay_of(loaded, &app.front.desk);
    app.row.name_beside(&mut bay, &app.front);
    app.row.add(&mut app.front, bay);
    app.row.side_by_side = true;
    app.room.proving = Proving::default();
    demonstrating::show(app);
}

/// Takes a circuit away; what was done to it is set aside.
pub(super) fn take_away(app: &mut App, number: u32) {
    if app.row.count() < 2 {
        return;
    }
    if let Some(bay) = app.row.take(&mut app.front, number) {
        let aside = filing::keep_bay_before(app, &bay);
        app.front.desk.said = match aside {
            Err(why) => t!("placing-is-closed-and-not-at", bay = bay.name, why),
            Ok(true) => t!("placing-is-closed-circuits-takes-it", bay = bay.name),
            Ok(false) => t!("placing-is-closed", bay = bay.name),
        };
    }
    if app.row.count() < 2 {
        app.row.together = false;
    }
}

/// Leaves only the circuit in front, with nothing done, in place of all that are open.
pub(super) fn begin_anew(app: &mut App, loaded: Loaded) {
    steps::put_hunt_away(app);
    app.row = super::row::Row::default();
    put(app, loaded, None);
}
