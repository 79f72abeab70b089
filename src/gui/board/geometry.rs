//! Where the things of a drawing are, in which order the keyboard visits them, and what a tool hits.
//!
//! Yields [`Sheet`]. All in units of the page; no egui, no state of the window, so it is tested without either.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, OnceLock};

use crate::bench::Bench;
use crate::circuit::{Circuit, PartId, WireEnd};
use crate::drawing::{Form, Picture, Target, text_rect};
use crate::study::answer::Subject;

use super::super::tool::Aim;
use super::super::words;

/// How near the dot of a terminal the bare hand must be to mean the terminal and not its part, in units.
const HAND_MEANS_TERMINAL: f32 = 10.0;

/// Least distance between the areas of one wire's two ends, in units.
const ENDS_APART: f32 = 18.0;

/// A drawing with everything a person can point at.
#[derive(Clone, Debug, Default)]
pub struct Sheet {
    /// The shapes.
    pub picture: Picture,
    /// Where everything is. Most of what is done to a circuit changes what is drawn there and moves nothing.
    set_out: Arc<SetOut>,
    /// What the places are called, each once it has been asked for: there are thousands, and a pointer asks for one.
    labels: Vec<OnceLock<String>>,
    loose: BTreeSet<WireEnd>,
    /// Its own: what was worked out for another drawing is not taken for this one's.
    pub(super) token: Arc<()>,
}

/// Where the things of a circuit are.
#[derive(Clone, Debug, Default)]
struct SetOut {
    circuit: Option<Arc<Circuit>>,
    /// Areas as drawn, and with those of a short wire's ends drawn apart.
    drawn: Vec<Target>,
    targets: Vec<Target>,
    places: Vec<Place>,
    by_subject: BTreeMap<Subject, usize>,
}

/// A rectangle of the page: left, top, right, bottom, in units.
pub type Extent = [f32; 4];

/// What of its page a picture really covers.
pub fn extent(picture: &Picture) -> Extent {
    let mut reach = [f32::INFINITY, f32::INFINITY, f32::NEG_INFINITY, f32::NEG_INFINITY];
    let mut add = |x: f32, y: f32, half_x: f32, half_y: f32| {
        reach =
            [reach[0].min(x - half_x), reach[1].min(y - half_y), reach[2].max(x + half_x), reach[3].max(y + half_y)];
    };
    for shape in &picture.shapes {
        match &shape.form {
            Form::Line { points, .. } | Form::Polygon { points } => points.iter().for_each(|p| add(p.x, p.y, 0.0, 0.0)),
            Form::Circle { centre, radius, .. } | Form::Arc { centre, radius, .. } => {
                add(centre.x, centre.y, *radius, *radius);
            }
            Form::Text { at, text, size, anchor } => {
                let (left, top, right, bottom) = text_rect(*at, text, *size, *anchor);
                add(left, top, 0.0, 0.0);
                add(right, bottom, 0.0, 0.0);
            }
        }
    }
    if reach[0] > reach[2] { [0.0, 0.0, picture.width, picture.height] } else { reach }
}

/// One thing that can be pointed at.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// What.
    pub subject: Subject,
    /// Where: its first hit area.
    pub target: Target,
}

impl SetOut {
    /// Sorts out the areas of a drawing of what is on the bench.
    fn of(drawn: Vec<Target>, bench: &Bench) -> Self {
        let mut areas: BTreeMap<Subject, usize> = BTreeMap::new();
        for (area, target) in drawn.iter().enumerate() {
            areas.entry(target.subject).or_insert(area);
        }
        let mut targets = drawn.clone();
        part_ends(&mut targets, &areas, bench);
        let first = |subject: Subject| areas.get(&subject).map(|area| targets[*area]);
        let circuit = bench.circuit();
        let mut parts: Vec<PartId> = circuit.parts_with_ids().map(|(id, _)| id).collect();
        let key = |id: &PartId| first(Subject::Part(*id)).map_or((0.0, 0.0), |t| (t.y, t.x));
        parts.sort_by(|a, b| {
            let ((ay, ax), (by, bx)) = (key(a), key(b));
            ay.total_cmp(&by).then(ax.total_cmp(&bx))
        });
        let mut order = Vec::new();
        for part in parts {
            order.push(Subject::Part(part));
            for terminal in circuit.terminals_of(part) {
                order.push(Subject::Terminal(terminal));
                order.extend(circuit.ends_at(terminal).iter().map(|end| Subject::WireEnd(*end)));
            }
        }
        order.extend(circuit.wires_with_ids().map(|(id, _)| Subject::Wire(id)));
        order.extend(bench.inputs().leads.iter().map(|lead| Subject::Lead(lead.number)));
        let place = |subject: Subject| first(subject).map(|target| Place { subject, target });
        let places: Vec<Place> = order.into_iter().filter_map(place).collect();
        let by_subject = places.iter().enumerate().map(|(i, place)| (place.subject, i)).collect();
        Self { circuit: Some(bench.circuit_shared()), drawn, targets, places, by_subject }
    }

    /// Whether it is what these areas of a drawing of what is on the bench come to.
    fn is_of(&self, drawn: &[Target], bench: &Bench) -> bool {
        self.circuit.as_ref().is_some_and(|circuit| Arc::ptr_eq(circuit, &bench.circuit_shared()))
            && self.drawn == drawn
    }
}

impl Sheet {
    /// Sorts out a picture of what is on the bench; where everything is where it was `before`, that is taken over.
    pub fn of(mut picture: Picture, bench: &Bench, before: &Self) -> Self {
        let set_out = match before.set_out.is_of(&picture.targets, bench) {
            true => Arc::clone(&before.set_out),
            false => Arc::new(SetOut::of(std::mem::take(&mut picture.targets), bench)),
        };
        picture.targets.clone_from(&set_out.targets);
        let labels = vec![OnceLock::new(); set_out.places.len()];
        Self { picture, set_out, labels, loose: bench.inputs().lifted.clone(), token: Arc::default() }
    }

    /// What can be pointed at, in the order the keyboard visits it: part after part down the page, each with its terminals
    /// and their wires' ends, then the wires, then the leads.
    pub fn places(&self) -> &[Place] {
        &self.set_out.places
    }

    /// What a thing is called, with its state; `made` says so where it was not asked before. None of what is not drawn.
    pub fn label(&self, subject: Subject, made: impl FnOnce() -> String) -> Option<&str> {
        let number = self.set_out.by_subject.get(&subject)?;
        Some(self.labels[*number].get_or_init(made))
    }

    /// What is meant at a place on the page. `slack` widens every area, for fingers on a small drawing, and each is at least
    /// `least` wide and high.
    pub fn hit(&self, aim: Aim, x: f32, y: f32, (slack, least): (f32, f32)) -> Option<Subject> {
        let mut best: Option<((u8, f32), Subject)> = None;
        for target in &self.picture.targets {
            let wide = |side: f32| slack.max((least - side) / 2.0);
            let (across, down) = (wide(target.width), wide(target.height));
            let inside = x >= target.x - across
                && x <= target.x + target.width + across
                && y >= target.y - down
                && y <= target.y + target.height + down;
            if !inside {
                continue;
            }
            let middle = target.centre();
            let away = (middle.x - x).hypot(middle.y - y);
            let key = (self.rank(aim, target.subject, away), away);
            if best.is_none_or(|(b, _)| key.0 < b.0 || (key.0 == b.0 && key.1 < b.1)) {
                best = Some((key, target.subject));
            }
        }
        let (_, subject) = best?;
        // Lift on the middle of a wire means the end nearer by.
        match subject {
            Subject::Wire(id) if aim == Aim::Ends => Some(self.nearer_end(id, x, y).unwrap_or(subject)),
            _ => Some(subject),
        }
    }

    fn nearer_end(&self, wire: crate::circuit::WireId, x: f32, y: f32) -> Option<Subject> {
        let ends = words::ends_of(wire).into_iter().filter_map(|end| self.picture.target(Subject::WireEnd(end)));
        let away = |t: &&Target| (t.centre().x - x).hypot(t.centre().y - y);
        ends.min_by(|a, b| away(a).total_cmp(&away(b))).map(|target| target.subject)
    }

    /// Smaller is meant rather.
    fn rank(&self, aim: Aim, subject: Subject, away: f32) -> u8 {
        match (aim, subject) {
            (_, Subject::Lead(_)) => 1,
            (Aim::Things, Subject::Terminal(_)) if away <= HAND_MEANS_TERMINAL => 0,
            (Aim::Things, Subject::Part(_)) => 2,
            (Aim::Things, Subject::Wire(_)) => 3,
            (Aim::Things, Subject::Terminal(_)) => 4,
            (Aim::Things, Subject::WireEnd(_)) => 5,
            (Aim::Points, Subject::Terminal(_)) => 0,
            // Beside its terminal, the bare end is what is nearer.
            (Aim::Points, Subject::WireEnd(end)) if self.loose.contains(&end) => 0,
            (Aim::Points, Subject::WireEnd(_)) => 2,
            (Aim::Points, Subject::Part(_)) => 3,
            (Aim::Points, Subject::Wire(_)) => 4,
            (Aim::Ends, Subject::WireEnd(_)) => 0,
            (Aim::Ends, Subject::Part(_)) => 2,
            (Aim::Ends, Subject::Terminal(_)) => 3,
            (Aim::Ends, Subject::Wire(_)) => 4,
            (Aim::Wires, Subject::Wire(_)) => 0,
            (Aim::Wires, Subject::WireEnd(_)) => 2,
            (Aim::Wires, Subject::Terminal(_)) => 3,
            (Aim::Wires, Subject::Part(_)) => 4,
        }
    }

    /// A place by what is there.
    pub fn place(&self, subject: Subject) -> Option<&Place> {
        self.set_out.by_subject.get(&subject).map(|i| &self.set_out.places[*i])
    }
}

/// Draws the areas of a short wire's two ends apart, each towards its own terminal, where they lie over each other.
fn part_ends(targets: &mut [Target], areas: &BTreeMap<Subject, usize>, bench: &Bench) {
    let circuit = bench.circuit();
    for (id, _) in circuit.wires_with_ids() {
        let ends = words::ends_of(id);
        let places = ends.map(|end| {
            let area = areas.get(&Subject::WireEnd(end))?;
            let terminal = areas.get(&Subject::Terminal(circuit.terminal_of_end(end)))?;
            Some((*area, targets[*terminal].centre()))
        });
        let [Some((a, at_a)), Some((b, at_b))] = places else { continue };
        if targets[a].centre().distance(targets[b].centre()) >= ENDS_APART {
            continue;
        }
        for (area, own, other) in [(a, at_a, at_b), (b, at_b, at_a)] {
            let target = &mut targets[area];
            target.x = own.x + (other.x - own.x) * 0.3 - target.width / 2.0;
            target.y = own.y + (other.y - own.y) * 0.3 - target.height / 2.0;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circuit::{End, TerminalId, WireId};

    fn target(subject: Subject, x: f32, y: f32, side: f32) -> Target {
        Target { subject, x: x - side / 2.0, y: y - side / 2.0, width: side, height: side }
    }

    fn crowded() -> Sheet {
        let end = WireEnd { wire: WireId(0), end: End::From };
        let targets = vec![
            target(Subject::Part(PartId(0)), 0.0, 0.0, 60.0),
            target(Subject::Terminal(TerminalId(0)), 0.0, -30.0, 44.0),
            target(Subject::WireEnd(end), 0.0, -50.0, 24.0),
        ];
        Sheet { picture: Picture { targets, ..Picture::default() }, ..Sheet::default() }
    }

    #[test]
    fn each_tool_means_what_it_is_for_where_areas_overlap() {
        let sheet = crowded();
        let at = |aim, y| sheet.hit(aim, 0.0, y, (0.0, 0.0));
        assert_eq!(at(Aim::Things, -20.0), Some(Subject::Terminal(TerminalId(0))));
        assert_eq!(at(Aim::Things, -12.0), Some(Subject::Part(PartId(0))));
        assert_eq!(at(Aim::Points, -12.0), Some(Subject::Terminal(TerminalId(0))));
        assert!(matches!(at(Aim::Ends, -45.0), Some(Subject::WireEnd(_))));
        assert_eq!(at(Aim::Ends, 100.0), None);
        assert!(matches!(at(Aim::Points, -47.0), Some(Subject::Terminal(_))));
    }

    #[test]
    fn a_clip_goes_on_a_bare_end_where_it_is_nearer_than_its_terminal() {
        let mut sheet = crowded();
        sheet.loose.insert(WireEnd { wire: WireId(0), end: End::From });
        assert!(matches!(sheet.hit(Aim::Points, 0.0, -47.0, (0.0, 0.0)), Some(Subject::WireEnd(_))));
        assert!(matches!(sheet.hit(Aim::Points, 0.0, -33.0, (0.0, 0.0)), Some(Subject::Terminal(_))));
    }
}
