//! Altered networks whose relays move, led to rest the plain way: wired up anew in every round and solved from the
//! beginning, so that what is found by updates can be held against it.

use fanloom::physics::electric::{Branch, Change, Network, Relay};

/// A network led to rest.
#[derive(Debug)]
pub(crate) struct Led {
    /// Contacts closed, a bit for each relay.
    pub(crate) closed: u64,
    /// Volts of each node; none where it floats.
    pub(crate) volts: Vec<Option<f64>>,
}

/// Leads a network with one change to rest, begun with its branches at these siemens; none where it chatters.
pub(crate) fn led_to_rest(network: &Network, relays: &[Relay], siemens: &[f64], change: Change) -> Option<Led> {
    let is_closed = |(place, relay): (usize, &Relay)| u64::from(siemens[relay.contact] > 0.0) << place;
    let mut closed: u64 = relays.iter().enumerate().map(is_closed).sum();
    let mut seen = vec![closed];
    loop {
        let (wired, number) = wired(network, relays, siemens, change, closed);
        let solution = wired.solve();
        let next = next(relays, &solution.amps, &number, network, closed);
        if next == closed {
            return Some(Led { closed, volts: solution.volts });
        }
        if seen.contains(&next) {
            return None;
        }
        seen.push(next);
        closed = next;
    }
}

/// The network with the change and contacts as they stand, and where each branch of the first is in it; none where open.
fn wired(
    network: &Network,
    relays: &[Relay],
    siemens: &[f64],
    change: Change,
    closed: u64,
) -> (Network, Vec<Option<usize>>) {
    let mut siemens = siemens.to_vec();
    for relay in relays {
        siemens[relay.contact] = 1.0 / network.branches[relay.contact].ohms;
    }
    if let Change::Branch { branch, siemens: now } = change {
        siemens[branch] = now;
    }
    for (_, relay) in relays.iter().enumerate().filter(|(place, _)| closed >> place & 1 == 0) {
        siemens[relay.contact] = 0.0;
    }
    let mut wired = Network { branches: Vec::new(), ..network.clone() };
    let mut number = Vec::new();
    for (branch, siemens) in network.branches.iter().zip(siemens) {
        number.push((siemens > 0.0).then_some(wired.branches.len()));
        if siemens > 0.0 {
            let ohms = if branch.ohms == 0.0 { 0.0 } else { 1.0 / siemens };
            wired.branches.push(Branch { ohms, ..*branch });
        }
    }
    if let Change::Tie { a, b, ohms } = change {
        wired.branches.push(Branch::resistor(a, b, ohms));
    }
    (wired, number)
}

/// How relays stand next: by the amps through their coils, as volts of a sound coil.
fn next(relays: &[Relay], amps: &[f64], number: &[Option<usize>], network: &Network, closed: u64) -> u64 {
    let mut next = 0;
    for (place, relay) in relays.iter().enumerate() {
        let volts = number[relay.coil].map_or(0.0, |at| amps[at].abs() * network.branches[relay.coil].ohms);
        let limit = if closed >> place & 1 == 1 { relay.drops_out } else { relay.pulls_in };
        next |= u64::from(volts >= limit) << place;
    }
    next
}

/// How far volts found by updates are off, as a share of what they may be: a millionth, of a millivolt at least.
/// Without end where one floats and the other does not.
pub(crate) fn off(got: f64, wanted: Option<f64>) -> f64 {
    match wanted {
        Some(wanted) if !got.is_nan() => (got - wanted).abs() / (1e-6 * wanted.abs().max(1e-3)),
        None if got.is_nan() => 0.0,
        _ => f64::INFINITY,
    }
}
