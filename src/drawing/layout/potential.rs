//! Which way up each part stands: a rough potential of every terminal.
//!
//! Every contact is taken closed and every part as one unit of conductance between supply (1) and ground (0); the
//! potential is then harmonic, each net the mean of its neighbours, found by Gauss-Seidel relaxation (a standard
//! iteration; e.g. G. Golub and C. Van Loan, Matrix Computations). It is a means of drawing only and no physics.

use crate::circuit::{Circuit, Kind, part::Side};

/// Rounds of relaxation: enough for chains of dozens of parts to settle to a clear order.
const ROUNDS: usize = 400;
/// Most net updates spent, so that huge circuits stay quick.
const UPDATES: usize = 4_000_000;
/// Potential of a net that hangs on nothing.
const NOWHERE: f64 = 0.5;

/// Nets and their potentials.
pub(super) struct Potential {
    /// Net of each terminal.
    pub(super) net: Vec<usize>,
    /// Potential of each net.
    pub(super) volts: Vec<f64>,
}

impl Potential {
    /// Relaxes a circuit.
    pub(super) fn of(circuit: &Circuit) -> Self {
        let net = nets(circuit);
        let count = net.iter().max().map_or(0, |most| most + 1);
        let mut fixed: Vec<Option<f64>> = vec![None; count];
        let mut near: Vec<Vec<(usize, f64)>> = vec![Vec::new(); count];
        let mut seen_battery = false;
        for (id, part) in circuit.parts_with_ids() {
            let n = |place: usize| net[circuit.terminal_at(id, place).index()];
            match &part.kind {
                Kind::Battery(_) if !seen_battery => {
                    seen_battery = true;
                    fixed[n(0)].get_or_insert(1.0);
                    fixed[n(1)] = Some(0.0);
                }
                Kind::Battery(_) if fixed[n(0)].is_none() => {
                    let base = fixed[n(1)].unwrap_or(0.0);
                    fixed[n(1)].get_or_insert(base);
                    fixed[n(0)] = Some(base + 1.0);
                }
                Kind::Ground(_) => fixed[n(0)] = Some(0.0),
                kind => {
                    for (a, b, weight) in inner_paths(kind) {
                        near[n(a)].push((n(b), weight));
                        near[n(b)].push((n(a), weight));
                    }
                }
            }
        }
        let mut volts: Vec<f64> = fixed.iter().map(|f| f.unwrap_or(NOWHERE)).collect();
        let rounds = ROUNDS.min(UPDATES / count.max(1)).max(8);
        for _ in 0..rounds {
            for i in 0..count {
                let total: f64 = near[i].iter().map(|(_, w)| w).sum();
                if fixed[i].is_none() && total > 0.0 {
                    volts[i] = near[i].iter().map(|(j, w)| volts[*j] * w).sum::<f64>() / total;
                }
            }
        }
        Self { net, volts }
    }
}

/// Conducting paths inside a part as `(terminal place, terminal place, conductance)`.
fn inner_paths(kind: &Kind) -> Vec<(usize, usize, f64)> {
    /// Paths that only tell which end of an electronics box is the lower one.
    const FAINT: f64 = 0.05;
    match kind {
        Kind::Fuse(_)
        | Kind::HandSwitch(_)
        | Kind::TemperatureSwitch(_)
        | Kind::PressureSwitch(_)
        | Kind::AirValve(_)
        | Kind::Resistor(_)
        | Kind::Lamp(_)
        | Kind::KeySwitch(_)
        | Kind::Diode(_) => vec![(0, 1, 1.0)],
        Kind::SelectorSwitch(s) => (1..=s.positions.len()).map(|n| (0, n, 1.0)).collect(),
        Kind::Relay(_) => vec![(0, 1, 1.0), (2, 3, 1.0), (2, 4, 1.0)],
        Kind::Module(m) => {
            let driver = match m.side {
                Side::Low => (2, 1, 1.0),
                Side::High => (0, 2, 1.0),
            };
            vec![driver, (0, 1, FAINT), (3, 1, FAINT)]
        }
        Kind::Timer(_) => vec![(0, 3, 1.0), (0, 1, FAINT), (2, 1, FAINT)],
        Kind::Connector(c) => (0..c.pins as usize).map(|n| (2 * n, 2 * n + 1, 1.0)).collect(),
        Kind::Battery(_) | Kind::Splice(_) | Kind::Ground(_) => Vec::new(),
    }
}

/// Number of the net of each terminal: terminals joined by wire alone share one.
fn nets(circuit: &Circuit) -> Vec<usize> {
    let mut parent: Vec<usize> = (0..circuit.terminals().len()).collect();
    for wire in circuit.wires() {
        let (a, b) = (root(&mut parent, wire.from.index()), root(&mut parent, wire.to.index()));
        parent[a.max(b)] = a.min(b);
    }
    let mut number = vec![usize::MAX; parent.len()];
    let mut count = 0;
    (0..parent.len())
        .map(|t| {
            let r = root(&mut parent, t);
            if number[r] == usize::MAX {
                number[r] = count;
                count += 1;
            }
            number[r]
        })
        .collect()
}

fn root(parent: &mut [usize], mut at: usize) -> usize {
    while parent[at] != at {
        parent[at] = parent[parent[at]];
        at = parent[at];
    }
    at
}
