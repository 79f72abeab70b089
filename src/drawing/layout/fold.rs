//! Where a long column may be folded, so that the page suits a window.
//!
//! Vehicle circuit diagrams lead the end of a column up to the top of the page and go on beside it. A net with one
//! feeder can be cut so: what only leads to it makes a column of its own, further left, and what it feeds begins at
//! the top again. Yields the possible [`Cut`]s, and [`Folds`] of chosen ones; which to choose is the layout's matter.

use crate::circuit::{Circuit, Kind};

use super::element::{Element, Face};
use super::graph::Band;
use super::potential::Potential;

/// A net at which a column can end.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cut {
    pub(super) net: usize,
    /// The elements that lead there and nowhere else.
    above: Vec<usize>,
}

/// The columns of a page.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Folds {
    /// The nets cut.
    pub(super) cuts: Vec<usize>,
    /// Each element's column; all in the main one where it is empty.
    band: Vec<Band>,
}

impl Folds {
    /// The columns that these cuts make, the one with least above it first.
    pub(super) fn new(elements: usize, chosen: &[&Cut]) -> Self {
        let mut chosen = chosen.to_vec();
        chosen.sort_by_key(|cut| (cut.above.len(), cut.net));
        let mut band = vec![Band::Main; elements];
        for (i, cut) in chosen.iter().enumerate().rev() {
            for &e in &cut.above {
                band[e] = Band::Fold(i);
            }
        }
        Self { cuts: chosen.iter().map(|cut| cut.net).collect(), band }
    }

    /// How many columns hold no more than one element.
    pub(super) fn lonely(&self) -> usize {
        let members = |fold: usize| self.band.iter().filter(|band| **band == Band::Fold(fold)).count();
        (0..self.cuts.len()).filter(|fold| members(*fold) < 2).count()
    }

    /// An element's column.
    pub(super) fn band(&self, element: usize) -> Band {
        self.band.get(element).copied().unwrap_or(Band::Main)
    }
}

/// What hangs on a net.
#[derive(Clone, Default)]
struct Net {
    feeders: Vec<usize>,
    fed: Vec<usize>,
    dots: Vec<usize>,
    /// It ends in a ground or at the battery.
    is_pole: bool,
}

/// The nets at which this circuit can be folded, in the order of the nets.
pub(super) fn cuts(circuit: &Circuit, elements: &[Element], potential: &Potential) -> Vec<Cut> {
    let nets = nets(circuit, elements, potential);
    (0..nets.len()).filter_map(|net| cut_at(circuit, elements, potential, &nets, net)).collect()
}

fn nets(circuit: &Circuit, elements: &[Element], potential: &Potential) -> Vec<Net> {
    let mut nets = vec![Net::default(); potential.volts.len()];
    for (e, element) in elements.iter().enumerate() {
        for pin in &element.pins {
            let net = &mut nets[potential.net[pin.terminal.index()]];
            match pin.face {
                Face::Top => net.fed.push(e),
                Face::Bottom => net.feeders.push(e),
                Face::Both => net.dots.push(e),
            }
            let kind = &circuit.part(element.part).kind;
            net.is_pole |= matches!(kind, Kind::Battery(_) | Kind::Ground(_));
        }
    }
    nets
}

fn cut_at(circuit: &Circuit, elements: &[Element], potential: &Potential, nets: &[Net], net: usize) -> Option<Cut> {
    let here = &nets[net];
    if here.is_pole || here.feeders.len() != 1 || here.fed.is_empty() {
        return None;
    }
    let mut is_above = vec![false; elements.len()];
    let mut above = Vec::new();
    // What feeds the cut, then what feeds only that, and so on up.
    let mut asked = here.feeders.clone();
    while let Some(e) = asked.pop() {
        let kind = &circuit.part(elements[e].part).kind;
        // A fold belongs into the feed: below a valve or lamp the way to ground is to be plain.
        if is_above[e] || matches!(kind, Kind::Battery(_) | Kind::AirValve(_) | Kind::Lamp(_)) {
            continue;
        }
        let leads_on = |n: usize| {
            n == net || (!nets[n].is_pole && !nets[n].fed.is_empty() && nets[n].fed.iter().all(|f| is_above[*f]))
        };
        let mut outs = elements[e]
            .pins
            .iter()
            .filter(|pin| pin.face != Face::Top && !circuit.ends_at(pin.terminal).is_empty())
            .map(|pin| potential.net[pin.terminal.index()]);
        if !outs.all(leads_on) {
            continue;
        }
        is_above[e] = true;
        above.push(e);
        for pin in elements[e].pins.iter().filter(|pin| pin.face != Face::Bottom) {
            let up = &nets[potential.net[pin.terminal.index()]];
            asked.extend(up.feeders.iter().chain(&up.dots).filter(|f| !is_above[**f]));
        }
    }
    if above.is_empty() || here.fed.iter().any(|e| is_above[*e]) {
        return None;
    }
    // One part of a branch alone would stand astray; the first of the feed stands beside its battery.
    let is_feed = |e: usize| {
        let ups = elements[e].pins.iter().filter(|pin| pin.face == Face::Top);
        ups.map(|pin| &nets[potential.net[pin.terminal.index()]]).any(|net| net.is_pole)
    };
    if above.len() < 2 && !above.iter().any(|e| is_feed(*e)) {
        return None;
    }
    above.sort_unstable();
    Some(Cut { net, above })
}
