//! Whether a state hangs on a wire's drop: a fuse, coil, module or timer that stands near its limit.
//!
//! For searches that let one pair of terminals stand for all on the same nets: where nothing is near its limit, the
//! few milliohms between those terminals decide nothing. Which drop there may be is said by who asks.

use crate::circuit::{Circuit, Kind};

use super::electric::assemble::Element;
use super::inputs::Inputs;
use super::limits::{FED_SHARE, FUSE_OPENS_AT, TIMER_WORKS_FROM};
use super::moves::Looked;
use super::settle::Rest;
use super::state::{Opened, Settling};

/// How near to what a fuse bears, as a factor either way, its load must be for a wire's drop to decide.
const NEAR: f64 = 1.25;

/// Whether it could rest otherwise if a lead's current ran through `between_ohms` more or less of wire. What does not
/// rest is never sure.
pub(super) fn is_close(rest: &Rest<impl Looked>, circuit: &Circuit, inputs: &Inputs, between_ohms: f64) -> bool {
    let state = &rest.state;
    let fuse_near = |rating: f64, amps: f64| {
        let load = amps.abs() / rating;
        load > FUSE_OPENS_AT / NEAR && load < FUSE_OPENS_AT * NEAR
    };
    let opened_near = |opened: &Opened| opened.is_close || fuse_near(opened.rating_amps, opened.amps);
    if rest.settling != Settling::Settled || rest.opened.iter().any(opened_near) {
        return true;
    }
    let most = |most: f64, lead: u32| most.max(state.amps(Element::Lead(lead)).abs());
    let drop_volts = between_ohms * inputs.leads.iter().map(|lead| lead.number).fold(0.0, most);
    let near = |volts: f64, limit: f64| (volts - limit).abs() <= drop_volts;
    circuit.parts_with_ids().any(|(id, _)| {
        let across = |a: usize, b: usize| state.across(circuit, id, (a, b));
        let coil_near = |a: usize, b: usize, (pulls_in, drops_out): (f64, f64)| {
            let copper = inputs.coil_copper(id);
            let volts = across(a, b).unwrap_or(0.0).abs();
            near(volts, pulls_in * copper) || near(volts, drops_out * copper)
        };
        let fed_near = |input: usize, works_from: f64| {
            let supply = across(0, 1).unwrap_or(0.0);
            near(supply, works_from) || across(input, 1).is_some_and(|volts| near(volts, FED_SHARE * supply))
        };
        match inputs.kind(circuit, id) {
            Kind::Fuse(fuse) => fuse_near(fuse.amps, state.amps(Element::Through(id))),
            Kind::Relay(relay) => coil_near(1, 0, (relay.pulls_in, relay.drops_out)),
            Kind::AirValve(valve) => coil_near(0, 1, (valve.pulls_in, valve.drops_out)),
            Kind::Module(module) => fed_near(3, module.works_from),
            Kind::Timer(_) => fed_near(2, TIMER_WORKS_FROM),
            Kind::Battery(_)
            | Kind::KeySwitch(_)
            | Kind::HandSwitch(_)
            | Kind::SelectorSwitch(_)
            | Kind::TemperatureSwitch(_)
            | Kind::PressureSwitch(_)
            | Kind::Diode(_)
            | Kind::Resistor(_)
            | Kind::Lamp(_)
            | Kind::Connector(_)
            | Kind::Splice(_)
            | Kind::Ground(_) => false,
        }
    })
}
