//! A circuit's whole network compiled once, and how a copy of it that something was done to differs.
//!
//! [`Wiring`] has a branch for everything that may join anything as the circuit is built: every contact closed, every
//! diode conducting, every wire in two halves. A state of it is a choice of those that are there now. What was done to a
//! copy (wires cut or lifted, ohms added, ties, leads, parts of other figures) is found by assembling the copy's whole
//! network and holding it against the circuit's ([`Differences`]), so that no second rule says what a fault is. What is
//! no change of a branch and no tie is not told. Which contacts stand where, and what follows, is left to
//! [`updates`](crate::physics::updates).

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::circuit::{Circuit, Kind, PartId};
use crate::physics::inputs::{Conditions, Inputs, Lead, Touch};
use crate::physics::limits::JOIN_OHMS;
use crate::physics::state::Memory;

use super::altered::Change;
use super::assemble::{Assembly, DiodeSite, Element, Mover, joins_now};
use super::network::Branch;
use super::prepared::Prepared;

/// Most contacts, and most diodes: a bit for each.
const MOST: usize = 64;

/// A circuit's whole network, compiled.
#[derive(Clone, Debug)]
pub struct Wiring {
    conditions: Conditions,
    coil_c: BTreeMap<PartId, f64>,
    whole: Assembly,
    prepared: Prepared,
    siemens: Vec<f64>,
    /// For each branch its bit where it is a contact, a fuse or a driver.
    mover_of: Vec<Option<u32>>,
    /// For each part the branch of its coil, and of its fuse.
    coils: Vec<Option<usize>>,
    fuses: Vec<Option<usize>>,
    /// Branch of the first diode; the others follow.
    diodes: usize,
}

/// How a copy of a circuit differs from it.
#[derive(Clone, Debug, Default)]
pub struct Differences {
    /// What is changed, and the bit of the contact that must be closed for it.
    changes: Vec<(Change, Option<u32>)>,
    /// Leads by number, each as the tie it is.
    leads: Vec<(u32, Change)>,
    /// Diodes that are not there, a bit for each.
    missing: u64,
    /// For each terminal the node that a lead there touches; none where it touches nothing. Empty where all touch the
    /// terminals themselves.
    touch: Arc<[Option<usize>]>,
}

impl Wiring {
    /// Compiles a circuit as it is at the temperatures of `inputs`. None where it is not one that this can be done with:
    /// without a battery or with several, with contacts or wires of no ohms, with more contacts or diodes than fit.
    pub fn of(circuit: &Circuit, inputs: &Inputs) -> Option<Self> {
        let batteries = circuit.parts().iter().filter(|part| matches!(part.kind, Kind::Battery(_))).count();
        let conditions = inputs.conditions;
        let built = Inputs { conditions, coil_c: inputs.coil_c.clone(), ..Inputs::default() };
        let whole = Assembly::whole(circuit, &built);
        let is_battery = |element: &Element| match element {
            Element::Through(id) => matches!(circuit.part(*id).kind, Kind::Battery(_)),
            _ => false,
        };
        let mut resisting =
            whole.network.branches.iter().zip(&whole.elements).filter(|(_, element)| !is_battery(element));
        if batteries != 1 || resisting.any(|(branch, _)| branch.ohms < JOIN_OHMS) {
            return None;
        }
        let mut network = whole.network.clone();
        let diodes = network.branches.len();
        network.branches.extend(whole.diodes.iter().map(DiodeSite::conducting));
        let mut coils = vec![None; circuit.parts().len()];
        for (branch, element) in whole.elements.iter().enumerate() {
            if let Element::Coil(id) = element {
                coils[id.index()] = Some(branch);
            }
        }
        let mut mover_of = vec![None; network.branches.len()];
        let mut fuses = vec![None; circuit.parts().len()];
        for (at, mover) in whole.movers.iter().enumerate() {
            mover_of[mover.branch] = u32::try_from(at).ok();
            if matches!(circuit.part(mover.part).kind, Kind::Fuse(_)) {
                fuses[mover.part.index()] = Some(mover.branch);
            }
        }
        if whole.movers.len() > MOST || whole.diodes.len() > MOST {
            return None;
        }
        let prepared = Prepared::of(&network);
        let siemens = prepared.siemens();
        let coil_c = inputs.coil_c.clone();
        Some(Self { conditions, coil_c, whole, prepared, siemens, mover_of, coils, fuses, diodes })
    }

    /// Whether it is compiled for the temperatures of these inputs.
    pub fn suits(&self, inputs: &Inputs) -> bool {
        self.conditions.ambient_c == inputs.conditions.ambient_c && self.coil_c == inputs.coil_c
    }

    /// The network, its diodes' branches after all others.
    pub fn prepared(&self) -> &Prepared {
        &self.prepared
    }

    /// How many nodes.
    pub fn nodes(&self) -> usize {
        self.whole.network.nodes
    }

    /// The diodes.
    pub fn diodes(&self) -> &[DiodeSite] {
        &self.whole.diodes
    }

    /// Branch of a diode, by its place.
    pub fn diode_branch(&self, diode: usize) -> usize {
        self.diodes + diode
    }

    /// The branch of a part's coil.
    pub fn coil(&self, part: PartId) -> Option<usize> {
        self.coils[part.index()]
    }

    /// The branch of a fuse.
    pub fn fuse(&self, part: PartId) -> Option<usize> {
        self.fuses[part.index()]
    }

    /// The two nodes of a branch.
    pub fn ends(&self, branch: usize) -> (usize, usize) {
        let Branch { from, to, .. } = self.whole.network.branches[branch];
        (from, to)
    }

    /// Whether a branch is there with these contacts closed, a bit for each.
    pub fn is_there(&self, branch: usize, closed: u64) -> bool {
        self.mover_of[branch].is_none_or(|mover| closed >> mover & 1 == 1)
    }

    /// Siemens of a branch where it is there.
    pub fn siemens_of(&self, branch: usize) -> f64 {
        self.siemens[branch]
    }

    /// Which contacts, fuses and drivers join now, a bit for each.
    pub fn closed(&self, circuit: &Circuit, inputs: &Inputs, memory: &Memory) -> u64 {
        let bit = |(at, mover): (usize, &Mover)| {
            let kind = inputs.kind(circuit, mover.part);
            u64::from(joins_now(inputs, memory, (mover.part, kind), mover.place)) << at
        };
        self.whole.movers.iter().enumerate().map(bit).fold(0, |all, bit| all | bit)
    }

    /// Siemens of every branch with these contacts closed and these diodes conducting, a bit for each.
    pub fn siemens(&self, closed: u64, conducting: u64) -> Vec<f64> {
        let mut siemens = self.siemens.clone();
        for (at, mover) in self.whole.movers.iter().enumerate() {
            if closed >> at & 1 == 0 {
                siemens[mover.branch] = 0.0;
            }
        }
        for diode in 0..self.whole.diodes.len() {
            if conducting >> diode & 1 == 0 {
                siemens[self.diodes + diode] = 0.0;
            }
        }
        siemens
    }

    /// How a copy differs that all this is imposed on, but for the leads; none where that is more than changed branches
    /// and ties between the circuit's own nodes.
    pub fn differences(&self, circuit: &Circuit, inputs: &Inputs) -> Option<Differences> {
        let copy = Assembly::whole(circuit, &Inputs { leads: Vec::new(), ..inputs.clone() });
        let mut found = Differences::default();
        // For each node that the circuit does not have the one that it hangs on, as far as it hangs on one.
        let mut hangs: Vec<Option<usize>> = vec![None; copy.network.nodes - self.nodes()];
        let (mut theirs, mut mine) = (0, 0);
        while theirs < copy.elements.len() || mine < self.whole.elements.len() {
            if theirs < copy.elements.len() && mine < self.whole.elements.len() && self.is_same(mine, &copy, theirs) {
                self.compare(mine, copy.network.branches[theirs], &mut hangs, &mut found)?;
                (theirs, mine) = (theirs + 1, mine + 1);
                continue;
            }
            let is_left = |at: &usize| self.is_same(mine, &copy, *at);
            if mine < self.whole.elements.len() && !(theirs..copy.elements.len()).any(|at| is_left(&at)) {
                found.changes.push((Change::Branch { branch: mine, siemens: 0.0 }, self.mover_of[mine]));
                mine += 1;
                continue;
            }
            let Branch { from, to, ohms, emf } = copy.network.branches[theirs];
            if emf != 0.0 || from >= self.nodes() || to >= self.nodes() {
                return None;
            }
            found.changes.push((Change::Tie { a: from, b: to, ohms }, None));
            theirs += 1;
        }
        self.compare_diodes(&copy, &mut found)?;
        if !hangs.is_empty() {
            let own = |node: &usize| match node.checked_sub(self.nodes()) {
                None => Some(*node),
                Some(extra) => hangs[extra],
            };
            found.touch = copy.touch.iter().map(own).collect();
        }
        Some(found)
    }

    /// Whether a branch of a copy is what one of the circuit's is, wherever its ends are now.
    fn is_same(&self, mine: usize, copy: &Assembly, theirs: usize) -> bool {
        let element = self.whole.elements[mine];
        let has_moved = || {
            let (a, b) = (self.whole.network.branches[mine], copy.network.branches[theirs]);
            (a.from, a.to) != (b.from, b.to)
        };
        let is_wire = matches!(element, Element::Wire(_) | Element::FarHalf(_));
        element == copy.elements[theirs] && (is_wire || !has_moved())
    }

    /// What has become of a branch; none where that cannot be told.
    fn compare(&self, mine: usize, now: Branch, hangs: &mut [Option<usize>], found: &mut Differences) -> Option<()> {
        let before = self.whole.network.branches[mine];
        if before == now {
            return Some(());
        }
        let mover = self.mover_of[mine];
        if (now.from, now.to) != (before.from, before.to) {
            // A wire's end that is off hangs on its other half.
            let (off, on) = if now.from == before.from { (now.to, now.from) } else { (now.from, now.to) };
            let hanging = hangs.get_mut(off.checked_sub(self.nodes())?)?;
            if on >= self.nodes() || hanging.replace(on).is_some() {
                return None;
            }
            found.changes.push((Change::Branch { branch: mine, siemens: 0.0 }, mover));
            return Some(());
        }
        if now.emf != before.emf || now.ohms < JOIN_OHMS || before.ohms < JOIN_OHMS {
            return None;
        }
        found.changes.push((Change::Branch { branch: mine, siemens: 1.0 / now.ohms }, mover));
        Some(())
    }

    /// Which diodes are not there; none where others are, or the same otherwise.
    fn compare_diodes(&self, copy: &Assembly, found: &mut Differences) -> Option<()> {
        let mut theirs = copy.diodes.iter().peekable();
        for (at, mine) in self.whole.diodes.iter().enumerate() {
            match theirs.peek() {
                Some(other) if *other == mine => {
                    theirs.next();
                }
                _ => found.missing |= 1 << at,
            }
        }
        theirs.next().is_none().then_some(())
    }
}

impl Differences {
    /// The same with these leads put on; none where one has a source in it or touches what is not the circuit's own.
    pub fn with_leads(&self, wiring: &Wiring, leads: &[Lead]) -> Option<Self> {
        let node = |touch: Touch| match touch {
            // Where its plug is off or its pin has backed out, a lead touches the wires there.
            Touch::Terminal(terminal) => {
                let node = terminal.index();
                (self.touch.is_empty() || self.touch[node] == Some(node)).then_some(node)
            }
            Touch::Chassis => Some(wiring.whole.chassis),
            Touch::LooseEnd(_) => None,
        };
        let tie = |lead: &Lead| {
            let (a, b, ohms) = (node(lead.a)?, node(lead.b)?, lead.ohms);
            (lead.source_volts == 0.0).then_some((lead.number, Change::Tie { a, b, ohms }))
        };
        Some(Self { leads: leads.iter().map(tie).collect::<Option<_>>()?, ..self.clone() })
    }

    /// What is changed where these contacts are closed and these leads' fuses blown.
    pub fn changes(&self, closed: u64, memory: &Memory, changes: &mut Vec<Change>) {
        changes.clear();
        let is_there = |mover: Option<u32>| mover.is_none_or(|mover| closed >> mover & 1 == 1);
        changes.extend(self.changes.iter().filter(|(_, mover)| is_there(*mover)).map(|(change, _)| *change));
        let whole = self.leads.iter().filter(|(number, _)| !memory.blown_leads.contains(number));
        changes.extend(whole.map(|(_, change)| *change));
    }

    /// Siemens that a branch has now, where they are changed.
    pub fn siemens_of(&self, branch: usize) -> Option<f64> {
        self.changes.iter().find_map(|(change, _)| match change {
            Change::Branch { branch: changed, siemens } if *changed == branch => Some(*siemens),
            Change::Branch { .. } | Change::Tie { .. } => None,
        })
    }

    /// The two nodes and the ohms of a lead.
    pub fn lead(&self, number: u32) -> Option<(usize, usize, f64)> {
        let (_, lead) = self.leads.iter().find(|(known, _)| *known == number)?;
        match *lead {
            Change::Tie { a, b, ohms } => Some((a, b, ohms)),
            Change::Branch { .. } => None,
        }
    }

    /// Diodes that are not there, a bit for each.
    pub fn missing(&self) -> u64 {
        self.missing
    }

    /// Node that a lead put here touches; none where it touches nothing that is joined to anything, or where this is
    /// not known.
    pub fn node_at(&self, wiring: &Wiring, touch: Touch) -> Option<usize> {
        match touch {
            Touch::Terminal(terminal) if self.touch.is_empty() => Some(terminal.index()),
            Touch::Terminal(terminal) => self.touch[terminal.index()],
            Touch::Chassis => Some(wiring.whole.chassis),
            Touch::LooseEnd(_) => None,
        }
    }
}
