//! Where a long column may be folded, so that the page suits a window.
//!
//! Vehicle circuit diagrams lead the end of a column up to the top of the page and go on beside it. A net with one
//! feeder can be cut so: what only leads to it makes a column of its own, further left, and what it feeds begins at
//! the top again; or the valve alone stands aside of all that leads to it. Yields the possible [`Cut`]s, ways to try
//! them, and [`Folds`] of chosen ones; which is best is the layout's matter.

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
    /// The valve that stands aside of all else, where it is one.
    aside: Option<usize>,
}

/// The columns of a page.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Folds {
    /// The nets cut above what they feed.
    pub(super) cuts: Vec<usize>,
    /// The valves that stand aside of all else.
    pub(super) aside: Vec<usize>,
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
        let aside = chosen.iter().filter_map(|cut| cut.aside).collect();
        let cuts = chosen.iter().filter(|cut| cut.aside.is_none()).map(|cut| cut.net).collect();
        Self { cuts, aside, band }
    }

    /// How many columns lead on to another.
    pub(super) fn count(&self) -> usize {
        self.cuts.len() + self.aside.len()
    }

    /// How many columns hold no more than one element.
    pub(super) fn lonely(&self) -> usize {
        let members = |fold: usize| self.band.iter().filter(|band| **band == Band::Fold(fold)).count();
        (0..self.count()).filter(|fold| members(*fold) < 2).count()
    }

    /// An element's column.
    pub(super) fn band(&self, element: usize) -> Band {
        self.band.get(element).copied().unwrap_or(Band::Main)
    }
}

/// Every choice of up to `most` cuts, unless those are more than `tries`.
pub(super) fn choices(cuts: &[Cut], most: usize, tries: usize) -> Option<Vec<Vec<&Cut>>> {
    let mut all: Vec<Vec<&Cut>> = vec![Vec::new()];
    let mut from = 0;
    for _ in 0..most {
        let longest = from..all.len();
        from = all.len();
        for i in longest {
            let next = all[i].last().map_or(0, |last| 1 + cuts.iter().position(|cut| cut == *last).unwrap_or(0));
            for cut in &cuts[next..] {
                let mut longer = all[i].clone();
                longer.push(cut);
                all.push(longer);
            }
            if all.len() > tries + 1 {
                return None;
            }
        }
    }
    Some(all.split_off(1))
}

/// Tries the cuts one by one, then each beside the best and so on, each looked over again as long as that helps.
pub(super) fn climb<'a>(cuts: &'a [Cut], most: usize, mut tries: usize, mut is_better: impl FnMut(&[&'a Cut]) -> bool) {
    let mut chosen: Vec<&Cut> = Vec::new();
    let mut better = true;
    while better {
        better = false;
        for place in (0..=chosen.len().min(most - 1)).rev() {
            let before = chosen.clone();
            for cut in cuts.iter().filter(|cut| !before.contains(cut)) {
                if tries == 0 {
                    return;
                }
                tries -= 1;
                let mut other = before.clone();
                if place < other.len() {
                    other[place] = cut;
                } else {
                    other.push(cut);
                }
                if is_better(&other) {
                    chosen = other;
                    better = true;
                }
            }
        }
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
    let feeds = (0..nets.len()).filter_map(|net| cut_at(circuit, elements, potential, &nets, net));
    let valves = (0..elements.len()).filter_map(|e| aside(circuit, elements, potential, &nets, e));
    feeds.chain(valves).collect()
}

/// A valve in a column of its own, right of all that leads to it.
fn aside(circuit: &Circuit, elements: &[Element], potential: &Potential, nets: &[Net], valve: usize) -> Option<Cut> {
    let element = &elements[valve];
    let is_valve = matches!(circuit.part(element.part).kind, Kind::AirValve(_));
    let [pin] = element.pins.iter().filter(|pin| pin.face == Face::Top).collect::<Vec<_>>()[..] else { return None };
    let net = potential.net[pin.terminal.index()];
    if !is_valve || nets[net].is_pole || circuit.ends_at(pin.terminal).len() != 1 {
        return None;
    }
    let wired = |e: usize| elements[e].pins.iter().map(|pin| potential.net[pin.terminal.index()]);
    let own: Vec<usize> = wired(valve).filter(|n| *n != net).collect();
    if !own.iter().all(|n| nets[*n].is_pole) {
        return None;
    }
    let stays = |e: usize| match circuit.part(elements[e].part).kind {
        Kind::Battery(_) => true,
        Kind::Ground(_) => wired(e).any(|n| own.contains(&n)),
        _ => e == valve,
    };
    let above: Vec<usize> = (0..elements.len()).filter(|e| !stays(*e)).collect();
    Some(Cut { net, above, aside: Some(valve) })
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
    Some(Cut { net, above, aside: None })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cuts(count: usize) -> Vec<Cut> {
        (0..count).map(|net| Cut { net, above: vec![net], aside: None }).collect()
    }

    #[test]
    fn every_choice_is_tried_once_where_they_are_few() {
        let cuts = cuts(5);
        let all = choices(&cuts, 3, 100).expect("25 are not too many");
        // 5 + 10 + 10 by the binomial coefficients.
        assert_eq!(all.len(), 25);
        assert!(all.iter().enumerate().all(|(i, chosen)| !all[..i].contains(chosen)));
        assert!(choices(&cuts, 3, 24).is_none());
    }

    #[test]
    fn climbing_ends_with_its_tries() {
        let cuts = cuts(40);
        let mut asked = 0;
        climb(&cuts, 3, 50, |_| {
            asked += 1;
            true
        });
        assert_eq!(asked, 50);
    }
}
