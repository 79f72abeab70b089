//! Networks of any size for the benches of the engine: made here, or read from a list of branches in JSON.
//!
//! A list has `nodes`, `gmin` (siemens from every node to ground), `branches` (two nodes and ohms each), `supply` (node
//! and volts), `states` (the branches open in each), `faults` and `relays` (branches of coil and contact, volts). Node 0 is ground.

use std::path::Path;

use fanloom::physics::electric::{Branch, Change, Network, Prepared, Relay};
use serde_json::Value;

use super::random::Random;

/// A network, its states and what is altered in each.
pub(crate) struct Netlist {
    pub(crate) network: Network,
    /// Nodes that are neither ground nor supply.
    pub(crate) unknown: Vec<usize>,
    /// Branches of the list: the supply's and the leaks stand after them.
    pub(crate) branches: usize,
    /// Branches open in each state.
    pub(crate) states: Vec<Vec<usize>>,
    faults: Vec<Fault>,
    pub(crate) relays: Vec<Relay>,
}

#[derive(Clone, Copy)]
enum Fault {
    Open(usize),
    Added(usize, f64),
    Ground(usize, f64),
    Supply(usize, f64),
}

impl Netlist {
    /// Reads a list.
    pub(crate) fn read(path: &Path) -> Self {
        let text = std::fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
        let json: Value = serde_json::from_str(&text).expect("JSON");
        let list = |key: &str| json[key].as_array().expect("a list").as_slice();
        let branches = list("branches").iter().map(|b| Branch::resistor(index(&b[0]), index(&b[1]), number(&b[2])));
        let states = list("states").iter().map(|s| s.as_array().expect("a list").iter().map(index).collect());
        let faults = list("faults").iter().map(|f| match f[0].as_str().expect("a word") {
            "open" => Fault::Open(index(&f[1])),
            "add" => Fault::Added(index(&f[1]), number(&f[2])),
            "gnd" => Fault::Ground(index(&f[1]), number(&f[2])),
            _ => Fault::Supply(index(&f[1]), number(&f[2])),
        });
        let relays = list("relays").iter().map(|r| Relay {
            coil: index(&r["coil"]),
            contact: index(&r["contact"]),
            pulls_in: number(&r["pick"]),
            drops_out: number(&r["drop"]),
        });
        let supply = (index(&json["supply"][0]), number(&json["supply"][1]));
        Self::of(index(&json["nodes"]), supply, number(&json["gmin"]), branches.collect()).with(
            states.collect(),
            faults.collect(),
            relays.collect(),
        )
    }

    /// A ladder of so many unknown nodes: rungs of fuse, wires, contact and coil between a rail and a ground chain, a
    /// lamp beside each coil, and bypasses to rungs near by; `leak` siemens from every node to ground. All opens, added ohms, grounds and feeds are its faults.
    pub(crate) fn ladder(unknown: usize, states: usize, leak: f64) -> Self {
        let mut random = Random::new(7);
        let mut branches = vec![Branch::resistor(1, 2, 0.01), Branch::resistor(3, 0, 0.005)];
        let (mut rail, mut ground, mut nodes) = (2, 3, 4);
        let mut rungs: Vec<[usize; 6]> = Vec::new();
        let mut contacts = Vec::new();
        let mut relays = Vec::new();
        while nodes + 4 <= unknown {
            let rung: [usize; 6] = std::array::from_fn(|i| nodes + i);
            let [r, a, b, c, d, e] = rung;
            nodes += 6;
            let wire = |random: &mut Random| random.between(0.002, 0.05);
            contacts.push(branches.len() + 3);
            let string = [
                (rail, r, wire(&mut random)),
                (r, a, 0.01),
                (a, b, wire(&mut random)),
                (b, c, 0.01),
                (c, d, wire(&mut random)),
                (d, e, random.between(20.0, 60.0)),
                (e, ground, wire(&mut random)),
                (d, e, random.between(10.0, 40.0)),
            ];
            branches.extend(string.map(|(a, b, ohms)| Branch::resistor(a, b, ohms)));
            if let Some(near) = rungs.len().checked_sub(1 + random.below(2)) {
                contacts.push(branches.len());
                // The coil of this rung closes its bypass.
                let (coil, contact) = (branches.len() - 3, branches.len());
                relays.push(Relay { coil, contact, pulls_in: 15.0, drops_out: 6.0 });
                branches.push(Branch::resistor(b, rungs[near][4], 0.01));
            }
            rungs.push(rung);
            (rail, ground) = (r, e);
        }
        let faults = (0..branches.len()).flat_map(|b| [Fault::Open(b), Fault::Added(b, 5.0)]);
        let faults = faults.chain((2..nodes).flat_map(|n| [Fault::Ground(n, 0.001), Fault::Supply(n, 0.001)]));
        let faults = faults.collect();
        let open = |random: &mut Random| contacts.iter().copied().filter(|_| random.percent(40)).collect();
        let states = (0..states).map(|_| open(&mut random)).collect();
        Self::of(nodes, (1, 24.0), leak, branches).with(states, faults, relays)
    }

    fn of(nodes: usize, (supply, volts): (usize, f64), leak: f64, mut branches: Vec<Branch>) -> Self {
        let count = branches.len();
        let unknown: Vec<usize> = (0..nodes).filter(|n| *n != 0 && *n != supply).collect();
        branches.push(Branch { from: 0, to: supply, ohms: 0.0, emf: volts });
        if leak > 0.0 {
            branches.extend(unknown.iter().map(|n| Branch::resistor(*n, 0, 1.0 / leak)));
        }
        let network = Network { nodes, branches, reference: Some(0) };
        Self { network, unknown, branches: count, states: Vec::new(), faults: Vec::new(), relays: Vec::new() }
    }

    fn with(self, states: Vec<Vec<usize>>, faults: Vec<Fault>, relays: Vec<Relay>) -> Self {
        Self { states, faults, relays, ..self }
    }

    /// Siemens of the branches in one state.
    pub(crate) fn siemens(&self, prepared: &Prepared, state: usize) -> Vec<f64> {
        let mut siemens = prepared.siemens();
        self.states[state].iter().for_each(|open| siemens[*open] = 0.0);
        siemens
    }

    /// The faults as changes of a state with these siemens.
    pub(crate) fn changes(&self, siemens: &[f64]) -> Vec<Change> {
        (0..self.faults.len()).map(|fault| self.change(fault, siemens)).collect()
    }

    /// One of them.
    pub(crate) fn change(&self, fault: usize, siemens: &[f64]) -> Change {
        let (supply, ground) = (self.network.branches[self.branches].to, 0);
        match self.faults[fault] {
            Fault::Open(branch) => Change::Branch { branch, siemens: 0.0 },
            Fault::Added(branch, ohms) if siemens[branch] > 0.0 => {
                Change::Branch { branch, siemens: 1.0 / (1.0 / siemens[branch] + ohms) }
            }
            Fault::Added(branch, _) => Change::Branch { branch, siemens: 0.0 },
            Fault::Ground(a, ohms) => Change::Tie { a, b: ground, ohms },
            Fault::Supply(a, ohms) => Change::Tie { a, b: supply, ohms },
        }
    }

    /// Unknown nodes in the order a prepared network likes to watch them.
    pub(crate) fn watched(&self, prepared: &Prepared) -> Vec<usize> {
        prepared.nodes().into_iter().filter(|node| self.unknown.binary_search(node).is_ok()).collect()
    }

    /// So many unknown nodes, evenly spaced.
    pub(crate) fn points(&self, count: usize) -> Vec<usize> {
        (0..count).map(|i| self.unknown[i * self.unknown.len() / count]).collect()
    }
}

fn index(value: &Value) -> usize {
    usize::try_from(value.as_u64().expect("a count")).expect("fits")
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}
