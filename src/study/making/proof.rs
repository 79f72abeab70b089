//! A made circuit on the bench: led through all that asks, and what became of the fan told.
//!
//! Nothing here knows how the circuit was drawn up. A style that would free a hot fan, or drive a cold one, ends as a
//! refusal.

use std::sync::Arc;

use crate::bench::{Act, Action, Bench, Refusal, Setting, just_past};
use crate::circuit::part::SetPoint;
use crate::circuit::{Circuit, Contact, Kind};
use crate::study::answer::Standing;
use crate::study::explain::standing;
use crate::study::wording::{list, quantity_name};

use super::{Answers, Override};
use crate::words::{Words, say};

/// Speed at which the engine is not stopped, in rpm: as at idle.
const IDLE_RPM: f64 = 600.0;

/// Leads the circuit through all that asks and gives what it did.
///
/// # Errors
/// The first thing it does that it is not for.
pub(super) fn prove(circuit: &Arc<Circuit>, answers: &Answers) -> Result<Vec<Words>, Refusal> {
    let mut bench = Bench::new(Arc::clone(circuit));
    bench.apply(Action::Set(Setting::Engine(IDLE_RPM)))?;
    must(&bench, Standing::Released, &say!("making-with-nothing-asking"))?;
    let mut drives = Vec::new();
    for request in &answers.requests {
        let name = quantity_name(request.senses);
        let point = SetPoint { senses: request.senses, acts: request.acts, resets: request.resets, rising: true };
        let (acts, returns) = just_past(&point);
        let mut asked = bench.clone();
        asked.apply(Action::Set(acts))?;
        must(&asked, Standing::Engaged, &say!("making-with-past", name, acts = request.acts))?;
        asked.apply(Action::Set(returns))?;
        must(&asked, Standing::Released, &say!("making-with-back-below", name, resets = request.resets))?;
        drives.push(say!("making-from-until-below", name, acts = request.acts, resets = request.resets));
    }
    let mut says = vec![say!("making-the-fan-is-driven-by", drives = list(&drives))];
    says.extend(by_hand(&bench, circuit, answers)?);
    let mut off = bench.clone();
    off.apply(Action::Set(Setting::Key(false)))?;
    says.push(say!("making-with-the-key-off-the", word = standing(off.outcome()).said()));
    let mut unplugged = bench.clone();
    let valve = circuit.parts().iter().find(|part| matches!(part.kind, Kind::AirValve(_)));
    if let Some(valve) = valve {
        unplugged.apply(Action::Do(Act::Unplug { part: valve.tag.clone() }))?;
        let word = standing(unplugged.outcome()).said();
        says.push(say!("making-with-unplugged-it-is", tag = valve.tag, word));
    }
    Ok(says)
}

/// What the driver's switch does.
fn by_hand(bench: &Bench, circuit: &Circuit, answers: &Answers) -> Result<Option<Words>, Refusal> {
    let tag = |wanted: &dyn Fn(&Kind) -> bool| {
        let part = circuit.parts().iter().find(|part| wanted(&part.kind));
        part.map(|part| part.tag.clone())
            .ok_or_else(|| Refusal::new(say!("making-the-switch-is-missing"), say!("making-answer-anew")))
    };
    let is_button = |rest: Contact| move |kind: &Kind| matches!(kind, Kind::HandSwitch(switch) if switch.momentary && switch.rest == rest);
    let mut tried = bench.clone();
    Ok(match answers.force {
        Override::Nothing => None,
        Override::Switch => {
            let switch = tag(&|kind| matches!(kind, Kind::HandSwitch(_)))?;
            tried.apply(turn(&switch, "on"))?;
            must(&tried, Standing::Engaged, &say!("making-with-at", switch, position = "on"))?;
            Some(say!("making-at-on-drives-it-too", switch))
        }
        Override::Selector => {
            let selector = tag(&|kind| matches!(kind, Kind::SelectorSwitch(_)))?;
            tried.apply(turn(&selector, "ON"))?;
            must(&tried, Standing::Engaged, &say!("making-with-at", switch = selector, position = "ON"))?;
            tried.apply(turn(&selector, "OFF"))?;
            must(&tried, Standing::Released, &say!("making-with-at", switch = selector, position = "OFF"))?;
            Some(say!("making-at-on-drives-it-too-2", selector))
        }
        Override::Buttons => {
            let (start, stop) = (tag(&is_button(Contact::Open))?, tag(&is_button(Contact::Closed))?);
            tried.apply(Action::Do(Act::Press { switch: start.clone() }))?;
            must(&tried, Standing::Engaged, &say!("making-once-pressed", switch = start))?;
            tried.apply(Action::Do(Act::Press { switch: stop.clone() }))?;
            must(&tried, Standing::Released, &say!("making-once-pressed", switch = stop))?;
            Some(say!("making-pressed-once-drives-it-until", start, stop))
        }
    })
}

fn turn(switch: &str, to: &str) -> Action {
    Action::Do(Act::Turn { switch: switch.to_owned(), to: to.to_owned() })
}

fn must(bench: &Bench, wanted: Standing, when: &Words) -> Result<(), Refusal> {
    let came = standing(bench.outcome());
    if came == wanted {
        return Ok(());
    }
    Err(Refusal::new(
        say!("making-the-clutch-would-be", when, came = came.said(), wanted = wanted.said()),
        say!("making-see-that-a-running-engine"),
    ))
}
