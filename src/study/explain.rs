//! The chain of causes from the demand to the fan, link by link, with numbers.
//!
//! Each link says what it is, whether that drives the fan, and whether it follows from the link before. What *should*
//! follow is not looked up: the call is what this very circuit, whole and untouched, would ask of its valve under the
//! same conditions, found by settling it. Sentences come from [`wording`]; dangers are left to
//! [`hazard`](super::hazard).

use crate::bench::{Act, Bench};
use crate::circuit::part::{AirValve, Coil, Demand, SetPoint, ValveRest};
use crate::circuit::quantity::Level;
use crate::circuit::{Circuit, Contact, Engages, Kind, Part, PartId, Telling};
use crate::physics::clutch::{ClutchReading, ClutchState};
use crate::physics::inputs::{Conditions, Inputs};
use crate::physics::limits::IDLE_RPM;
use crate::physics::state::{CoilReading, Memory, Outcome, Settling};

use super::answer::{Link, LinkName, Standing, Subject};
use super::paths::{Break, Possible, Solved, stations};
use super::wording;
use crate::words::{Words, fixed, say};

/// Least share of a coil's current, on either side of all or nothing, that counts as dividing it.
const LEAST_SHARE: f64 = 0.01;

/// Pressure in kPa above which a chamber that is being vented is not empty yet: what a gauge would show.
const STILL_KPA: f64 = 1.0;

/// What the clutch does, and the five links that lead there; no links where there is no air valve.
pub fn chain(bench: &Bench) -> (Standing, Vec<Link>) {
    let Some(story) = Story::of(bench) else {
        return (standing(bench.outcome()), Vec::new());
    };
    let call = story.call();
    let circuit = story.circuit_link(call.drives);
    let valve = story.valve_link(circuit.drives);
    let air = story.air_link(valve.drives);
    let clutch = story.clutch_link(air.drives);
    (standing(bench.outcome()), vec![call, circuit, valve, air, clutch])
}

/// What the clutch does in one state.
pub fn standing(outcome: &Outcome) -> Standing {
    standing_of(&outcome.settling, outcome.clutch.as_ref())
}

/// The same where only this much is known of a state.
pub fn standing_of(settling: &Settling, clutch: Option<&ClutchReading>) -> Standing {
    match (settling, clutch.map(|clutch| clutch.state)) {
        (Settling::Chattering { .. } | Settling::GaveUp { .. }, _) => Standing::Unsettled,
        (Settling::Settled, Some(ClutchState::Engaged)) => Standing::Engaged,
        (Settling::Settled, Some(ClutchState::Released)) => Standing::Released,
        (Settling::Settled, Some(ClutchState::Slipping)) => Standing::Slipping,
        (Settling::Settled, None) => Standing::None,
    }
}

/// All reasons in order, beginning with why the circuit does not rest, if it doesn't.
pub fn because(bench: &Bench, chain: &[Link]) -> Vec<Words> {
    let circuit = bench.circuit();
    let tags =
        |parts: &[PartId]| wording::list(&parts.iter().map(|id| circuit.part(*id).tag.clone()).collect::<Vec<_>>());
    let restless = match &bench.outcome().settling {
        Settling::Settled => None,
        Settling::Chattering { parts, period } => {
            Some(say!("explain-never-to-rest-the-same", tags = tags(parts), count = parts.len(), period))
        }
        Settling::GaveUp { parts } => Some(say!("explain-the-circuit-had-not-come", tags = tags(parts))),
    };
    restless.into_iter().chain(chain.iter().flat_map(|link| link.because.iter().cloned())).collect()
}

/// What every link looks at.
pub(super) struct Story<'a> {
    pub(super) bench: &'a Bench,
    pub(super) circuit: &'a Circuit,
    pub(super) valve_id: PartId,
    valve: &'a AirValve,
    pub(super) coil: CoilReading,
    pub(super) passing: bool,
}

impl<'a> Story<'a> {
    pub(super) fn of(bench: &'a Bench) -> Option<Self> {
        let circuit = bench.circuit();
        let (valve_id, valve) = circuit.clutch_valve()?;
        let outcome = bench.outcome();
        let coil = *outcome.coils.get(&valve_id)?;
        let passing = outcome.valves.iter().find(|v| v.part == valve_id)?.passing;
        Some(Self { bench, circuit, valve_id, valve, coil, passing })
    }

    pub(super) fn tag(&self, id: PartId) -> &str {
        &self.circuit.part(id).tag
    }

    /// Whether a valve of the kind built in drives the fan with its coil live or dead.
    fn drives_when(&self, energised: bool) -> bool {
        self.drives_passing((self.valve.rest == ValveRest::Passing) != energised)
    }

    /// Whether the fan is to be driven with supply air at the clutch, or without.
    fn drives_passing(&self, passing: bool) -> bool {
        passing == (self.circuit.engages() == Engages::WithAir)
    }

    /// Does this circuit, whole and untouched but for its own switches, ask for the fan?
    fn call(&self) -> Link {
        let now = self.bench.inputs();
        let untouched = Inputs { conditions: now.conditions, turned: now.turned.clone(), ..Inputs::default() };
        let mut memory = self.bench.outcome().memory.clone();
        memory.parts.iter_mut().for_each(|part| part.blown = false);
        // That one has acted is the doing of its moved set point, maybe, and not of the circuit as built.
        now.altered.drift.keys().for_each(|id| memory.parts[id.index()].acted = false);
        let intended = self.bench.engine().settle(&untouched, &memory);
        let drives = self.drives_when(intended.memory.of(self.valve_id).on);
        let askers = self.askers();
        let nearest = askers.iter().max_by(|a, b| a.nearness().total_cmp(&b.nearness()));
        let mut because = self.call_reasons(&askers);
        if drives && because.is_empty() {
            because.push(say!("explain-the-circuit-as-built-asks"));
        } else if !drives && because.is_empty() {
            because.push(say!("explain-nothing-asks-for-the-fan"));
        }
        let number = match nearest {
            _ if drives && self.is_called_by_stopping(&untouched, &memory, &askers) => say!("explain-engine-stopped"),
            Some(nearest) => nearest.number(),
            None => say!("explain-no-sensor"),
        };
        Link {
            name: LinkName::Call,
            word: if drives { say!("explain-fan-called") } else { say!("explain-no-call") },
            number,
            drives,
            holds: true,
            because,
            rests_on: askers.iter().map(|a| Subject::Part(a.part)).collect(),
        }
    }

    /// Whether nothing but the engine's standing still calls the fan: with it idling nothing would.
    fn is_called_by_stopping(&self, untouched: &Inputs, memory: &Memory, askers: &[Asker<'_>]) -> bool {
        let is_asked = untouched.conditions.engine_rpm > 0.0 || askers.iter().any(|asker| asker.acted);
        if is_asked || !self.circuit.parts().iter().any(acts_on_stopping) {
            return false;
        }
        let conditions = Conditions { engine_rpm: IDLE_RPM, ..untouched.conditions };
        let idling = self.bench.engine().settle(&Inputs { conditions, ..untouched.clone() }, memory);
        !self.drives_when(idling.memory.of(self.valve_id).on)
    }

    /// Everything with a set point, with what it feels.
    fn askers(&self) -> Vec<Asker<'a>> {
        let inputs = self.bench.inputs();
        let memory = &self.bench.outcome().memory;
        let mut askers = Vec::new();
        for (id, part) in self.circuit.parts_with_ids() {
            let remembered = memory.of(id);
            let acted = |bit: u64| match part.kind.sensor() {
                Some(_) => remembered.acted,
                None => remembered.points >> bit & 1 == 1,
            };
            let by = inputs.altered.drift.get(&id).copied().unwrap_or(0.0);
            let points = part.kind.set_points().into_iter().zip(0..64).map(|(point, bit)| (point, acted(bit)));
            askers.extend(points.map(|(point, acted)| Asker {
                tag: &part.tag,
                part: id,
                point: SetPoint { acts: moved(point.acts, by), resets: moved(point.resets, by), ..point },
                as_built: (by != 0.0).then_some(point.acts),
                felt: inputs.conditions.felt(point.senses),
                acted,
            }));
        }
        askers
    }

    fn call_reasons(&self, askers: &[Asker<'_>]) -> Vec<Words> {
        let mut because: Vec<Words> = Vec::new();
        if !self.bench.conditions().key_on {
            because.push(say!("explain-the-key-is-off"));
        }
        for (id, part) in self.circuit.parts_with_ids() {
            match (&part.kind, self.bench.inputs().turned.get(&id)) {
                (Kind::SelectorSwitch(selector), Some(place)) => {
                    because.push(say!("explain-is-turned-to", tag = part.tag, place = selector.positions[*place]));
                }
                (_, Some(_)) => because.push(say!("explain-is-turned-from-rest", tag = part.tag)),
                (_, None) => {}
            }
        }
        if self.bench.conditions().engine_rpm == 0.0 {
            let modules = self.circuit.parts().iter().filter(|part| acts_on_stopping(part));
            because.extend(modules.map(|part| say!("explain-the-engine-is-stopped-so", tag = part.tag)));
        }
        let acted: Vec<&Asker<'_>> = askers.iter().filter(|a| a.acted).collect();
        if acted.is_empty() {
            because.extend(askers.iter().map(Asker::sentence));
        } else {
            because.extend(acted.into_iter().map(Asker::sentence));
        }
        because
    }

    fn circuit_link(&self, called: bool) -> Link {
        let energised = self.coil.energised;
        let drives = self.drives_when(energised);
        let tag = self.tag(self.valve_id);
        let volts = self.coil.volts;
        let shown = volts.map_or_else(|| say!("explain-floating"), wording::volts);
        let mut because = Vec::new();
        let mut rests_on = vec![Subject::Part(self.valve_id)];
        let pull = wording::volts(self.coil.pulls_in_now);
        let hold = wording::volts(self.coil.drops_out_now);
        let size = volts.unwrap_or(0.0).abs();
        because.push(if energised && size >= self.coil.pulls_in_now {
            say!("explain-s-coil-has-at-or", tag, shown, pull)
        } else if energised {
            say!("explain-s-coil-has-less-than", tag, shown, pull, hold)
        } else if size > 0.05 {
            say!("explain-s-coil-has-too-little", tag, shown, pull)
        } else {
            say!("explain-s-coil-has-no-voltage", tag)
        });
        if self.bench.inputs().altered.coil_open.contains(&self.valve_id) {
            because.push(say!("explain-s-winding-is-broken", tag));
        }
        self.coil_reasons(self.valve_id, 3, &mut because, &mut rests_on);
        let holds = drives == called && self.bench.outcome().settled();
        if drives != called {
            because.push(if drives {
                say!("explain-the-circuit-drives-the-fan")
            } else {
                say!("explain-the-circuit-does-not-answer")
            });
        }
        let word = match (self.bench.outcome().settled(), energised) {
            (false, _) => say!("explain-chattering"),
            (true, true) => say!("explain-coil-live"),
            // What would hold it in is not nothing, and one who is told "dead" looks for a break.
            (true, false) if size >= self.coil.drops_out_now => say!("explain-coil-too-few-volts"),
            (true, false) => say!("explain-coil-dead"),
        };
        Link { name: LinkName::Circuit, word: word.to_owned(), number: shown, drives, holds, because, rests_on }
    }

    /// Why a coil is fed or not: the way its current takes, or what breaks the way; relays on the way in turn.
    pub(super) fn coil_reasons(
        &self,
        coil: PartId,
        depth: usize,
        because: &mut Vec<Words>,
        rests_on: &mut Vec<Subject>,
    ) {
        let outcome = self.bench.outcome();
        let inputs = self.bench.inputs();
        let amps = outcome.coils.get(&coil).map_or(0.0, |c| c.amps);
        if amps.abs() > 1e-4 {
            let solved = Solved::of(self.circuit, inputs, &outcome.memory);
            let way = stations(self.circuit, &solved.way_through(self.circuit, coil));
            let names: Vec<Words> = way.iter().filter_map(|s| self.station_name(*s)).collect();
            because.push(say!("explain-runs-through", amps = wording::amps(amps), names = wording::list(&names)));
            because.extend(self.shares_sentence(&solved, coil, amps));
            rests_on.extend(way.iter().filter(|s| !rests_on.contains(s)).copied().collect::<Vec<_>>());
            return;
        }
        let Some(Coil { enters, leaves, .. }) = self.circuit.part(coil).kind.coil() else { return };
        let possible = Possible::of(self.circuit, inputs, outcome);
        let ends = (self.circuit.terminal_at(coil, enters), self.circuit.terminal_at(coil, leaves));
        let Some(breaks) = possible.breaks_around(ends.0, ends.1) else {
            because.push(say!("explain-no-way-leads-from-supply", coil = self.tag(coil)));
            return;
        };
        for group in breaks {
            match group.as_slice() {
                [alone] => because.push(self.break_sentence(*alone)),
                several => {
                    let names: Vec<Words> = several.iter().map(|b| self.break_name(*b)).collect();
                    because.push(say!("explain-any-one-of-would-close", names = wording::list(&names)));
                }
            }
            for broken in group {
                rests_on.push(broken_subject(broken));
                self.relay_reasons(broken, depth, because, rests_on);
            }
        }
    }

    /// Where the current of a coil divides: how much of it each part carries, if any carries less than all.
    fn shares_sentence(&self, solved: &Solved, coil: PartId, amps: f64) -> Option<Words> {
        let mut shares: Vec<(Subject, f64)> = Vec::new();
        for (element, share) in solved.shares_of(coil) {
            for subject in stations(self.circuit, &[element]) {
                match shares.iter_mut().find(|(known, _)| *known == subject) {
                    // A part with two ways through it, like a connector, carries what both carry.
                    Some((_, so_far)) => *so_far += share,
                    None => shares.push((subject, share)),
                }
            }
        }
        let divided = |share: f64| (LEAST_SHARE..=1.0 - LEAST_SHARE).contains(&share);
        let said: Vec<Words> = shares
            .iter()
            .filter(|(_, amps_of_it)| divided(amps_of_it / amps.abs()))
            .filter_map(|(subject, amps_of_it)| {
                let percent = 100.0 * amps_of_it / amps.abs();
                Some(say!("explain-through", percent = fixed(percent, 0), subject = self.station_name(*subject)?))
            })
            .collect();
        (!said.is_empty()).then(|| say!("explain-it-divides", said = wording::list(&said)))
    }

    /// Why a relay whose contact breaks the way stands as it does.
    fn relay_reasons(&self, broken: Break, depth: usize, because: &mut Vec<Words>, rests_on: &mut Vec<Subject>) {
        let Break::Contact(relay, Some(_)) = broken else { return };
        let Kind::Relay(_) = &self.circuit.part(relay).kind else { return };
        let Some(reading) = self.bench.outcome().coils.get(&relay) else { return };
        if depth == 0 {
            return;
        }
        let volts = reading.volts.map_or_else(|| say!("explain-nothing"), wording::volts);
        let state = if reading.energised { say!("explain-pulled-in") } else { say!("explain-at-rest") };
        because.push(say!("explain-is-its-coil-has", relay = self.tag(relay), state, volts));
        self.coil_reasons(relay, depth - 1, because, rests_on);
    }

    /// How a person names something the current runs through; wires go without saying.
    fn station_name(&self, subject: Subject) -> Option<Words> {
        match subject {
            Subject::Part(id) => Some(self.tag(id).into()),
            Subject::Lead(number) => Some(match self.bench.act_of_lead(number) {
                Some(Act::Jump { a, b, .. }) => say!("explain-the-lead", a, b),
                _ => say!("explain-a-lead"),
            }),
            Subject::Terminal(_) | Subject::Wire(_) | Subject::WireEnd(_) => None,
        }
    }

    /// What breaks a way, by name.
    fn break_name(&self, broken: Break) -> Words {
        match broken {
            Break::Contact(_, Some(terminal)) => self.circuit.terminal_words(terminal).into(),
            Break::Contact(id, None) | Break::Fuse(id) | Break::Unplugged(id) | Break::Diode(id) => self.tag(id).into(),
            Break::PinOut(terminal) => self.circuit.terminal_words(terminal).into(),
            Break::Lifted(end) => self.circuit.end_words(end).into(),
            Break::Cut(id) => self.circuit.wire(id).tag.as_str().into(),
        }
    }

    fn break_sentence(&self, broken: Break) -> Words {
        let name = self.break_name(broken);
        match broken {
            Break::Contact(id, _) => match &self.circuit.part(id).kind {
                Kind::KeySwitch(_) => say!("explain-is-open-the-key-is", name),
                Kind::Module(_) => say!("explain-s-driver-is-off", name),
                Kind::Relay(_) => say!("explain-30-is-not-joined-to", tag = self.tag(id), name),
                Kind::SelectorSwitch(_) => say!("explain-c-is-not-joined-to", tag = self.tag(id), name),
                _ => say!("explain-s-contact-is", name, position_word = wording::position_word(Contact::Open)),
            },
            Break::Fuse(_) => say!("explain-is-blown", name),
            Break::Lifted(_) => say!("explain-is-lifted", name),
            Break::Unplugged(_) => say!("explain-is-unplugged", name),
            Break::Cut(_) => say!("explain-is-broken-through", name),
            Break::PinOut(_) => say!("explain-s-pin-has-backed-out", name),
            Break::Diode(_) => say!("explain-blocks-that-way", name),
        }
    }

    fn valve_link(&self, coil_drives: bool) -> Link {
        let tag = self.tag(self.valve_id);
        let drives = self.drives_passing(self.passing);
        let holds = drives == coil_drives;
        let rests =
            if self.valve.rest == ValveRest::Passing { say!("explain-passing") } else { say!("explain-blocking") };
        let does = if self.passing {
            say!("explain-supply-air-reaches-the-clutch")
        } else {
            say!("explain-supply-is-blocked-and-the")
        };
        let live = if self.coil.energised { say!("explain-energised") } else { say!("explain-not-energised") };
        let mut because = vec![say!("explain-at-rest-and", tag, rests, live, does)];
        if !holds {
            because.push(say!("explain-does-not-stand-where-its", tag));
        }
        Link {
            name: LinkName::Valve,
            word: if self.passing { say!("explain-passing") } else { say!("explain-venting") },
            number: if self.passing { say!("explain-supply-to-clutch") } else { say!("explain-clutch-to-exhaust") },
            drives,
            holds,
            because,
            rests_on: vec![Subject::Part(self.valve_id)],
        }
    }

    fn air_link(&self, valve_drives: bool) -> Link {
        let kpa = self.bench.outcome().chamber_kpa.unwrap_or(0.0);
        let minimum = self.circuit.minimum_kpa();
        let full = kpa >= minimum;
        let drives = self.drives_passing(full);
        let holds = drives == valve_drives && (!self.passing || full);
        // On its way, or between what comes in and what leaks out, it hangs on flow figures; at rest it is the supply's.
        let is_supply = kpa == 0.0 || (kpa - self.bench.conditions().air_kpa).abs() < STILL_KPA;
        let number = wording::psi(kpa);
        let number = if is_supply { number } else { wording::marked(self.circuit, Telling::Air, number) };
        let least = wording::marked(self.circuit, Telling::Minimum, wording::psi(minimum));
        let (word, sentence) = if !self.passing && kpa > STILL_KPA {
            (say!("explain-emptying"), say!("explain-still-in-the-chamber-on", number))
        } else if !self.passing {
            (say!("explain-vented"), say!("explain-the-clutch-is-vented-no"))
        } else if full {
            (say!("explain-full"), say!("explain-in-the-chamber-at-or", number, least))
        } else {
            (say!("explain-low"), say!("explain-in-the-chamber-less-than", number, least))
        };
        Link {
            name: LinkName::Air,
            word,
            number,
            drives,
            holds,
            because: vec![sentence],
            rests_on: vec![Subject::Part(self.valve_id)],
        }
    }

    fn clutch_link(&self, air_drives: bool) -> Link {
        let reading = self.bench.outcome().clutch;
        let state = reading.map_or(ClutchState::Released, |c| c.state);
        let margin = reading.map_or(0.0, |c| c.torque_margin);
        let rpm = self.bench.conditions().engine_rpm;
        let speed = if rpm > 0.0 { say!("explain-rpm", rpm = fixed(rpm, 0)) } else { say!("explain-governed-speed") };
        let principle = match self.circuit.engages() {
            Engages::WithAir => say!("explain-air-applies-it-a-spring"),
            Engages::WithoutAir => say!("explain-a-spring-applies-it-air"),
        };
        if self.bench.conditions().bolted {
            return self.bolted_link(air_drives);
        }
        let margin = wording::marked(self.circuit, Telling::Margin, wording::number(margin, 2));
        let (word, does) = match state {
            ClutchState::Engaged => {
                (say!("explain-engaged"), say!("explain-carries-times-what-the-fan", margin, speed))
            }
            ClutchState::Released => (say!("explain-released"), say!("explain-has-no-clamp-the-fan")),
            ClutchState::Slipping => (say!("explain-slipping"), say!("explain-carries-of-what-the-fan", margin, speed)),
        };
        Link {
            name: LinkName::Clutch,
            word,
            number: say!("explain-margin", margin),
            drives: state == ClutchState::Engaged,
            holds: (state == ClutchState::Engaged) == air_drives && state != ClutchState::Slipping,
            because: vec![say!("explain-the-clutch", principle, does)],
            rests_on: vec![Subject::Part(self.valve_id)],
        }
    }

    /// The last link where lock-up bolts are fitted: nothing before it matters to the fan.
    fn bolted_link(&self, air_drives: bool) -> Link {
        Link {
            name: LinkName::Clutch,
            word: say!("explain-bolted-up"),
            number: say!("explain-fan-always-driven"),
            drives: true,
            holds: air_drives,
            because: vec![say!("explain-lock-up-bolts-tie-the"), wording::lock_up_bolts()],
            rests_on: vec![Subject::Part(self.valve_id)],
        }
    }
}

fn broken_subject(broken: Break) -> Subject {
    match broken {
        Break::Contact(id, _) | Break::Fuse(id) | Break::Unplugged(id) | Break::Diode(id) => Subject::Part(id),
        Break::Lifted(end) => Subject::WireEnd(end),
        Break::Cut(id) => Subject::Wire(id),
        Break::PinOut(terminal) => Subject::Terminal(terminal),
    }
}

/// Something that asks for the fan at a set point.
struct Asker<'a> {
    tag: &'a str,
    part: PartId,
    /// Where it acts and returns now.
    point: SetPoint,
    /// Where it acts as built, if that has moved.
    as_built: Option<Level>,
    felt: f64,
    acted: bool,
}

/// A level so many K or kPa higher, in its own unit. What the way there and back leaves of a millionth is dropped.
fn moved(level: Level, by: f64) -> Level {
    let to_a_millionth = |number: f64| (number * 1e6).round() / 1e6;
    let moved = Level::written_like(level.value() + by, level);
    if by == 0.0 { level } else { moved.raised(to_a_millionth(moved.written()) - moved.written()) }
}

impl Asker<'_> {
    /// How far the felt value has come from its reset point to its set point; 1 at the set point.
    fn nearness(&self) -> f64 {
        let (acts, resets) = (self.point.acts.value(), self.point.resets.value());
        (self.felt - resets) / (acts - resets)
    }

    fn number(&self) -> Words {
        let like = self.point.acts;
        say!("explain-of", tag = self.tag, like = wording::number_like(self.felt, like), level = like)
    }

    fn sentence(&self) -> Words {
        let like = self.point.acts;
        let felt = wording::value_like(self.felt, like);
        let what = wording::quantity_name(self.point.senses);
        let tag = self.tag;
        let (past, short) = if self.point.rising {
            (say!("explain-at-or-above"), say!("explain-below"))
        } else {
            (say!("explain-at-or-below"), say!("explain-above"))
        };
        let beyond = if self.point.rising { self.felt >= like.value() } else { self.felt <= like.value() };
        let told = match (self.acted, beyond) {
            (true, true) => say!("explain-feels-at-its-set-point", tag, what, felt, past, like),
            (true, false) => {
                say!("explain-feels-at-and-has-not", tag, what, felt, resets = self.point.resets)
            }
            (false, _) => say!("explain-feels-at-its-set-point-2", tag, what, felt, short, like),
        };
        match self.as_built {
            Some(as_built) => say!("explain-its-set-point-has-moved", told, as_built),
            None => told,
        }
    }
}

/// Whether a part is a module that does something else while the engine stands still.
fn acts_on_stopping(part: &Part) -> bool {
    matches!(&part.kind, Kind::Module(module) if knows_stopped(&module.on_when))
}

fn knows_stopped(demand: &Demand) -> bool {
    match demand {
        Demand::EngineStopped => true,
        Demand::Any(list) | Demand::All(list) => list.iter().any(knows_stopped),
        Demand::Not(inner) => knows_stopped(inner),
        Demand::Above(..) | Demand::Below(..) | Demand::Fed | Demand::Always | Demand::Never => false,
    }
}
