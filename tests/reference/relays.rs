//! Copies of networks in which coils move contacts, each beside the same led to rest by solutions from the beginning.
//!
//! Ladders of relays with and without leaks, and random harnesses of which some branches are coils and contacts. Wanted:
//! the same contacts, volts to 1e-6 of themselves (1 mV where they are less), floating marks exactly, and that what
//! chatters is said to.

use fanloom::physics::electric::relays::Refused;
use fanloom::physics::electric::{Branch, Change, Network, Prepared, Relay, Relays};

use super::altered::{random_case, random_change};
use crate::support::led::Held;
use crate::support::netlist::Netlist;
use crate::support::random::Random;

#[test]
fn relays_of_ladders_come_to_rest_as_solutions_from_the_beginning_have_them() {
    let mut held = Held::default();
    for (unknown, leak) in [(20, 0.0), (20, 1e-9), (60, 0.0), (60, 1e-9)] {
        let list = Netlist::ladder(unknown, 3, leak);
        let prepared = Prepared::of(&list.network);
        let watched = list.points(12);
        let mut relays = Relays::of(&prepared, &list.relays, &watched).expect("relays that can be moved");
        for state in 0..list.states.len() {
            let siemens = list.siemens(&prepared, state);
            let mut whole = siemens.clone();
            list.relays.iter().for_each(|relay| whole[relay.contact] = prepared.siemens()[relay.contact]);
            held.add((&list.network, &list.relays), &mut relays, &watched, &siemens, &list.changes(&whole));
        }
    }
    assert!(held.moved > 500 && held.chattering > 0 && held.floating > 30, "too little was tried: {held:?}");
}

/// Some branches as coils and others as contacts, each of some ohms and between two nodes.
fn random_relays(random: &mut Random, network: &Network) -> Vec<Relay> {
    let mut free: Vec<usize> = (1..network.branches.len())
        .filter(|at| network.branches[*at].from != network.branches[*at].to && network.branches[*at].ohms > 0.0)
        .collect();
    random.shuffle(&mut free);
    let some = free.chunks_exact(2).take(1 + random.below(6));
    let relay = |pair: &[usize]| {
        let pulls_in = random.decades(-2.0, 0.9);
        Relay { coil: pair[0], contact: pair[1], pulls_in, drops_out: pulls_in * random.between(0.1, 1.0) }
    };
    some.map(relay).collect()
}

#[test]
fn relays_of_random_harnesses_come_to_rest_as_solutions_from_the_beginning_have_them() {
    let mut held = Held::default();
    for seed in 0..600 {
        let mut random = Random::new(seed);
        let mut case = random_case(&mut random);
        let list = random_relays(&mut random, &case.network);
        let prepared = Prepared::of(&case.network);
        list.iter().for_each(|relay| case.siemens[relay.coil] = prepared.siemens()[relay.coil]);
        let watched: Vec<usize> = prepared.nodes().into_iter().filter(|_| random.percent(60)).collect();
        let mut relays = Relays::of(&prepared, &list, &watched).expect("relays that can be moved");
        // More than a network has places: what many have in common is worked out in another way than for few.
        let changes: Vec<Change> = (0..60)
            .map(|_| match random_change(&mut random, &case) {
                // Joins without ohms may contradict each other, of which nothing is wanted.
                Change::Tie { a, b, ohms } => Change::Tie { a, b, ohms: ohms.max(1e-3) },
                change @ Change::Branch { .. } => change,
            })
            .collect();
        held.add((&case.network, &list), &mut relays, &watched, &case.siemens, &changes);
    }
    assert!(held.moved > 3000 && held.chattering > 300 && held.floating > 3000, "too little was tried: {held:?}");
}

/// A feed of 12 V through 10 ohms to a coil of 100 ohms and a contact beside it.
fn shunted() -> Network {
    let feed = Branch { from: 0, to: 1, ohms: 0.0, emf: 12.0 };
    let rest = [(1, 2, 10.0), (2, 0, 100.0), (2, 0, 1.0)].map(|(a, b, ohms)| Branch::resistor(a, b, ohms));
    Network { nodes: 3, branches: [feed].into_iter().chain(rest).collect(), reference: Some(0) }
}

#[test]
fn a_contact_that_takes_the_volts_from_its_own_coil_chatters_until_it_is_cut() {
    let network = shunted();
    let prepared = Prepared::of(&network);
    // Alone the coil has 10.9 V, with the contact beside it 1.08 V.
    let list = [Relay { coil: 2, contact: 3, pulls_in: 5.0, drops_out: 2.0 }];
    let mut relays = Relays::of(&prepared, &list, &[2]).expect("a relay that can be moved");
    let mut open = prepared.siemens();
    open[3] = 0.0;
    let sound = Change::Branch { branch: 1, siemens: open[1] };
    let cut = Change::Branch { branch: 3, siemens: 0.0 };
    let mut held = Held::default();
    held.add((&network, &list), &mut relays, &[2], &open, &[sound, cut]);
    assert_eq!((held.chattering, held.moved), (1, 1), "the cut one pulls in for good");
}

#[test]
fn relays_whose_contacts_cannot_be_moved_are_refused() {
    let network = shunted();
    let prepared = Prepared::of(&network);
    let sound = Relay { coil: 2, contact: 3, pulls_in: 5.0, drops_out: 2.0 };
    let refused = |list: &[Relay]| Relays::of(&prepared, list, &[]).map(|_| ()).expect_err("refused");
    assert_eq!(refused(&[Relay { contact: 0, ..sound }]), Refused::Contact(0), "without ohms");
    assert_eq!(refused(&[sound, Relay { coil: 1, ..sound }]), Refused::Contact(1), "of two");
    assert_eq!(refused(&[Relay { contact: 2, ..sound }]), Refused::Contact(0), "a coil");
    assert_eq!(refused(&[Relay { drops_out: 6.0, ..sound }]), Refused::Contact(0), "drops out above pull-in");
    assert_eq!(refused(&vec![sound; Relays::MOST + 1]), Refused::TooMany);
}
