//! Every act, and every pair of acts, that engages or releases the clutch by hand, each with its class and why.
//!
//! Complete by search: [`candidates`] lists whatever a hand could do to this circuit, what comes to the same folded
//! into one; each is settled by the physics itself, singles first, then every pair of which neither does it alone.
//! What counts is then run through the hazards and classed by [`class`]. Nothing is looked up, and nothing is left
//! out because it is dangerous: a dangerous act is listed as such, with its reason. Where there would be more pairs than
//! can be waited for, [`scope`] says which parts the hand goes to, and the answer says so.

mod candidates;
mod class;
mod describe;
mod scope;
mod search;

use crate::bench::{Act, Action, Bench, Setting, just_past};
use crate::circuit::PartId;
use crate::circuit::graph::Stretch;

use super::answer::{Hazard, Standing};
use super::explain::standing;
use super::progress::Progress;
use crate::words::Words;
pub use class::Class;
use scope::hung_on;
pub use scope::{MOST_PAIRS, Place, Scope};
use search::search;

/// One way of proving the clutch.
#[derive(Clone, Debug)]
pub struct ProvingAct {
    /// What to do, in order.
    pub acts: Vec<Act>,
    /// How fit it is.
    pub class: Class,
    /// Its dangers, gravest first.
    pub hazards: Vec<Hazard>,
    /// Why it works: what it does to coil, valve, air and clutch.
    pub because: Vec<Words>,
    /// What to mind about it, beside its hazards: that it proves nothing, what a forgotten one does.
    pub mind: Vec<Words>,
    /// Volts across the valve's coil after it.
    pub coil_volts: Option<f64>,
    /// Pressure in the clutch's chamber after it, in kPa.
    pub chamber_kpa: Option<f64>,
    /// Other ways of writing what comes to the same between the same points.
    pub same_as: Vec<String>,
}

/// The whole answer.
#[derive(Clone, Debug)]
pub struct Proof {
    /// What the clutch does under the conditions given, nothing done.
    pub at_rest: Standing,
    /// Acts that engage it from there.
    pub engage: Vec<ProvingAct>,
    /// The sensor or module that was made to act before the release was sought; none where none engages alone.
    pub release_from: Option<String>,
    /// What makes it act: the change of conditions under which [`Proof::release`] holds.
    pub release_under: Option<Setting>,
    /// Acts that release it from there.
    pub release: Vec<ProvingAct>,
    /// How many acts and pairs were settled.
    pub considered: usize,
    /// What of the circuit was left out.
    pub scope: Scope,
}

/// Searches a bench's circuit under its conditions and faults. What has been done to the bench counts as how it
/// stands.
pub fn prove(bench: &Bench) -> Proof {
    prove_while_wanted(bench, &Place::Anywhere, &Progress::default())
        .expect("nobody else holds this progress to stop it")
}

/// As [`prove`] with acts at some place, counting acts and pairs tried in `progress`; none where it was stopped.
pub fn prove_while_wanted(bench: &Bench, place: &Place, progress: &Progress) -> Option<Proof> {
    let circuit = bench.circuit();
    let pairs_at = |stretch: Option<&Stretch>| pairs(candidates::count(circuit, stretch));
    let stretch = match place {
        Place::At(stretch) => Some(stretch.clone()),
        Place::Anywhere if pairs_at(None) <= MOST_PAIRS => None,
        Place::Anywhere => Some(hung_on(circuit)),
    };
    let pairs = pairs_at(stretch.as_ref());
    let with_pairs = pairs <= MOST_PAIRS;
    let tag = |id: &PartId| circuit.part(*id).tag.clone();
    let scope = Scope {
        at: stretch.as_ref().map(|stretch| stretch.parts.iter().map(tag).collect()),
        is_asked: *place != Place::Anywhere,
        pairs_left: (!with_pairs).then_some(pairs),
    };
    let candidates = candidates::all(circuit, stretch.as_ref());
    let at_rest = standing(bench.outcome());
    let (engage, tried) = search(bench, &candidates, Standing::Engaged, with_pairs, progress);
    let hot = made_to_act(bench);
    let (release, tried_hot) = match &hot {
        Some(hot) => search(&hot.bench, &candidates, Standing::Released, with_pairs, progress),
        None => (Vec::new(), 0),
    };
    let (release_from, release_under) = hot.map(|hot| (hot.tag, hot.under)).unzip();
    let considered = tried + tried_hot;
    let proof = Proof { at_rest, engage, release_from, release_under, release, considered, scope };
    (!progress.is_stopped()).then_some(proof)
}

/// Pairs of so many acts.
fn pairs(acts: usize) -> usize {
    acts.saturating_mul(acts.saturating_sub(1)) / 2
}

/// A bench on which one sensor or module condition has been made to act.
struct MadeToAct {
    tag: String,
    under: Setting,
    bench: Bench,
}

/// Makes the first sensor or module condition, in file order, act that by itself engages the clutch.
fn made_to_act(bench: &Bench) -> Option<MadeToAct> {
    for part in bench.circuit().parts() {
        for point in part.kind.set_points() {
            let (mut acted, under) = (bench.clone(), just_past(&point).0);
            if acted.apply(Action::Set(under)).is_ok() && standing(acted.outcome()) == Standing::Engaged {
                return Some(MadeToAct { tag: part.tag.clone(), under, bench: acted });
            }
        }
    }
    None
}
