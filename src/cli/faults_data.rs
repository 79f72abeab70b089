//! The fault table as the contract's JSON and as comma-separated values.
//!
//! CSV follows RFC 4180: a header, then a row for each fault in each state, the healthy truck first. What is in the
//! table is found by [`study::faults`](crate::study::faults).

use serde_json::{Map, Value, json};

use crate::bench::Fault;
use crate::study::faults::apart::Test;
use crate::study::faults::beyond::{Split, splits};
use crate::study::faults::looks::{APART_PSI, APART_SHARE, APART_VOLTS, Means, Readings};
use crate::study::faults::pairs::{Pair, Pairs};
use crate::study::faults::why::reasons;
use crate::study::faults::words::{means, name, names, reason, reason_word, shown, tool};
use crate::study::faults::{FaultTable, Group, Purpose, Shows, State};

use super::faults::Answer;
use super::series::field;

fn written(answer: &Value) -> String {
    serde_json::to_string_pretty(answer).expect("plain maps always make JSON") + "\n"
}

/// The contract's JSON, then what it leaves free.
pub(super) fn as_json(Answer { table, pairs }: &Answer) -> String {
    let alike = table.groups.iter().filter(|group| group.members.len() > 1 || group.is_healthy);
    let mut answer = json!({
        "faults": table.faults.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "points": table.points,
        "states": table.states.len(),
        "cases": table.faults.len() * table.states.len(),
        "groups": table.groups.iter().map(|group| names(table, &group.members)).collect::<Vec<_>>(),
        "title": table.scene.circuit.title(),
        "alike_because": alike.map(|group| group_json(table, group)).collect::<Vec<_>>(),
        "unseen": unseen_json(table),
        "chattering": chattering_json(table),
        "coverage": coverage_json(table),
        "state_list": table.states.iter().map(state_json).collect::<Vec<_>>(),
        "told_apart_beyond": {"volts": APART_VOLTS, "share": APART_SHARE, "psi": APART_PSI},
    });
    if let Some(pairs) = pairs {
        answer["pairs"] = pairs_json(table, pairs);
    }
    written(&answer)
}

fn group_json(table: &FaultTable, group: &Group) -> Value {
    let because = reasons(table, group).into_iter().map(
        |(why, faults)| json!({"because": reason_word(&why), "words": reason(&why), "faults": names(table, &faults)}),
    );
    json!({
        "faults": names(table, &group.members),
        "healthy": group.is_healthy,
        "each_like_each": group.is_close,
        "reasons": because.collect::<Vec<_>>(),
        "would_tell": splits(table, group).iter().map(|split| split_json(table, split)).collect::<Vec<_>>(),
    })
}

fn split_json(table: &FaultTable, split: &Split) -> Value {
    let fault = |fault: &Option<usize>| name(fault.map(|fault| &table.faults[fault]));
    let readings = split
        .shown
        .iter()
        .map(|(value, with)| json!({"shows": value, "faults": with.iter().map(fault).collect::<Vec<_>>()}));
    json!({
        "with": tool(table, &split.tool),
        "readings": readings.collect::<Vec<_>>(),
        "words": shown(table, split),
    })
}

fn unseen_json(table: &FaultTable) -> Value {
    let (mut asked, mut nowhere) = (Vec::new(), Vec::new());
    for (place, fault) in table.faults.iter().enumerate() {
        match table.shows(place) {
            Shows::Standing => {}
            Shows::Asked(state) => {
                let by: Vec<String> = table.apart(place, state).map(|by| means(table, by)).collect();
                asked.push(json!({"fault": fault.to_string(), "shown": table.states[state].name(), "by": by}));
            }
            Shows::Nowhere => nowhere.push(fault.to_string()),
        }
    }
    json!({"until_asked": asked, "nowhere": nowhere})
}

fn chattering_json(table: &FaultTable) -> Vec<Value> {
    let chatters = |place: usize| {
        let states: Vec<String> = table.chatters_in(place).iter().map(|s| table.states[*s].name()).collect();
        (!states.is_empty()).then(|| json!({"fault": table.faults[place].to_string(), "states": states}))
    };
    (0..table.faults.len()).filter_map(chatters).collect()
}

fn coverage_json(table: &FaultTable) -> Value {
    let all = table.states.len();
    let shows = |wanted: fn(Shows) -> bool| (0..table.faults.len()).filter(|f| wanted(table.shows(*f))).count();
    let single = |group: &&Group| group.members.len() == 1 && !group.is_healthy;
    json!({
        "faults": table.faults.len(),
        "groups": table.groups.len(),
        "told_from_every_other": table.groups.iter().filter(single).count(),
        "shown_as_it_stands": shows(|shows| shows == Shows::Standing),
        "shown_once_asked": shows(|shows| matches!(shows, Shows::Asked(_))),
        "shown_nowhere": shows(|shows| shows == Shows::Nowhere),
        "groups_by_fan": table.told_apart_by(all, Readings::fan_alone),
        "groups_by_fan_and_gauges": table.told_apart_by(all, Readings::without_volts),
        "groups_with_points": table.told_apart_by(all, Readings::clone),
        "groups_with_points_as_it_stands": table.told_apart_by(1, Readings::clone),
    })
}

fn state_json(state: &State) -> Value {
    let asks: Map<String, Value> = state.asks.iter().map(|(name, value)| (name.clone(), json!(value))).collect();
    let alone = state
        .alone
        .iter()
        .map(|alone| json!({"part": alone.tag, "level": alone.level.to_string(), "fault": alone.as_drift.to_string()}));
    json!({
        "name": state.name(),
        "purpose": purpose(state.purpose),
        "asks": asks,
        "set": state.settings.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "alone": alone.collect::<Vec<_>>(),
        "do": state.acts.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "held": state.held,
        "follows": state.follows(),
    })
}

fn purpose(purpose: Purpose) -> &'static str {
    match purpose {
        Purpose::Stands => "as-it-stands",
        Purpose::Asked => "asked",
        Purpose::Between => "between",
        Purpose::Left => "left-behind",
    }
}

fn pairs_json(table: &FaultTable, pairs: &Pairs) -> Value {
    let written = |(one, other): &Pair| json!([table.faults[*one].to_string(), table.faults[*other].to_string()]);
    let all = |some: &[Pair]| some.iter().map(written).collect::<Vec<_>>();
    let like_one =
        pairs.like_one.iter().map(|(pair, singles)| json!({"pair": written(pair), "like": names(table, singles)}));
    json!({
        "count": pairs.count,
        "cases": pairs.count * table.states.len(),
        "cancel": all(&pairs.cancel),
        "unseen": all(&pairs.unseen),
        "like_one": like_one.collect::<Vec<_>>(),
        "groups": pairs.groups.iter().map(|group| all(group)).collect::<Vec<_>>(),
    })
}

/// What tells two faults apart.
pub(super) fn apart_json(table: &FaultTable, two: [Option<&Fault>; 2], tests: &[Test]) -> String {
    let number = |readings: &Readings, by: Means| match by {
        Means::Fan => json!(readings.standing.word()),
        Means::ClutchGauge => json!(readings.clutch_psi),
        Means::SupplyGauge => json!(readings.supply_psi),
        Means::Volts(point) => json!(readings.volts.get(point)),
    };
    let test = |test: &Test| {
        let state = &table.states[test.state];
        json!({
            "read": means(table, test.means),
            "state": state.name(),
            "set": state.settings.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "do": state.acts.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "shows": test.readings.each_ref().map(|readings| number(readings, test.means)),
        })
    };
    written(&json!({
        "apart": two.map(name),
        "alike": tests.is_empty(),
        "tests": tests.iter().map(test).collect::<Vec<_>>(),
    }))
}

/// Comma-separated values.
pub(super) fn as_csv(table: &FaultTable) -> String {
    let mut header: Vec<String> =
        ["fault", "group", "state", "fan", "supply (psi)", "clutch (psi)", "differs in"].map(str::to_owned).to_vec();
    header.extend(table.points.iter().map(|point| format!("{point} (V)")));
    let mut group_of: Vec<String> = vec![String::new(); table.faults.len()];
    for (number, group) in table.groups.iter().enumerate() {
        group.members.iter().for_each(|fault| group_of[*fault] = (number + 1).to_string());
    }
    let mut out = header.iter().map(|name| field(name)).collect::<Vec<_>>().join(",") + "\r\n";
    for fault in [None].into_iter().chain((0..table.faults.len()).map(Some)) {
        for state in 0..table.states.len() {
            let readings = table.readings(fault, state);
            let psi = |psi: Option<f64>| psi.map_or_else(String::new, |psi| psi.to_string());
            let differs: Vec<String> =
                fault.iter().flat_map(|f| table.apart(*f, state)).map(|by| means(table, by)).collect();
            let mut row = vec![
                name(fault.map(|fault| &table.faults[fault])),
                fault.map_or_else(String::new, |fault| group_of[fault].clone()).into(),
                table.states[state].name().into(),
                readings.standing.word().into(),
                psi(readings.supply_psi).into(),
                psi(readings.clutch_psi).into(),
                differs.join("; ").into(),
            ];
            row.extend(
                (0..table.points.len()).map(|p| readings.volts.get(p).map_or_else(String::new, f64::to_string).into()),
            );
            out += &(row.iter().map(|cell| field(cell)).collect::<Vec<_>>().join(",") + "\r\n");
        }
    }
    out
}
