//! Altered networks whose relays move, led to rest the plain way: wired up anew in every round and solved from the
//! beginning, so that what is found by updates can be held against it.

use fanloom::physics::electric::relays::Fate;
use fanloom::physics::electric::{Branch, Change, Network, Relay, Relays};

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

/// What came of holding copies against others led to rest the plain way.
#[derive(Debug, Default)]
pub(crate) struct Held {
    /// Copies whose relays moved before they rested.
    pub(crate) moved: usize,
    /// Copies that chatter.
    pub(crate) chattering: usize,
    /// Nodes that float, of all copies at rest.
    pub(crate) floating: usize,
    /// The worst of the volts, as a share of what they may be off.
    pub(crate) worst: f64,
}

impl Held {
    /// Holds each change of a network, begun with branches at these siemens, against the plain way: each told of once,
    /// the same contacts, volts of the watched within what they may be off, the same nodes afloat, the same chattering.
    pub(crate) fn add(
        &mut self,
        (network, list): (&Network, &[Relay]),
        relays: &mut Relays,
        watched: &[usize],
        siemens: &[f64],
        changes: &[Change],
    ) {
        let begun: Vec<bool> = list.iter().map(|relay| siemens[relay.contact] > 0.0).collect();
        let mut told = vec![false; changes.len()];
        relays.settle(siemens, changes, |number, fate| {
            let change = changes[number];
            assert!(!std::mem::replace(&mut told[number], true), "{change:?} came twice");
            match (fate, led_to_rest(network, list, siemens, change)) {
                (Fate::Chatters, None) => self.chattering += 1,
                (Fate::Rests { closed, volts }, Some(direct)) => {
                    assert_eq!(closed, direct.closed, "contacts of {change:?}");
                    self.moved += usize::from(begun.iter().enumerate().any(|(at, on)| (closed >> at & 1 == 1) != *on));
                    for (node, volts) in watched.iter().zip(volts) {
                        self.floating += usize::from(volts.is_nan());
                        self.worst = self.worst.max(off(*volts, direct.volts[*node]));
                    }
                }
                (fate, direct) => panic!("{change:?}: {fate:?}, and {direct:?}"),
            }
        });
        assert!(told.iter().all(|told| *told), "every copy is told of");
        assert!(self.worst <= 1.0, "volts off by {} times what they may be", self.worst);
    }
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
