//! Runs beside traces that SciPy's `solve_ivp` (Radau, relative error 1e-10) made of the same equations.
//!
//! The numbers are kept in traces.json and were written by traces.py, which states its versions and holds the equations
//! anew; neither is needed to run this. Values must agree to a thousandth of the largest in their column.

use std::collections::BTreeMap;

use crate::support::clock::{Clock, rig};
use crate::support::text_of;

#[derive(serde::Deserialize)]
struct Trace {
    name: String,
    spring_applied: bool,
    #[serde(default)]
    settings: Vec<String>,
    #[serde(default)]
    faults: Vec<String>,
    begins: Option<String>,
    act: Option<String>,
    time_s: Vec<f64>,
    columns: BTreeMap<String, Vec<f64>>,
}

impl Trace {
    fn clock(&self) -> Clock {
        let clutch = if self.spring_applied { "engages: WithoutAir" } else { "engages: WithAir" };
        let started = rig("", clutch);
        let settings: Vec<&str> = self.settings.iter().map(String::as_str).collect();
        let faults: Vec<&str> = self.faults.iter().map(String::as_str).collect();
        let mut clock = match &self.begins {
            Some(act) => Clock::after(&started, &settings, &faults, act),
            None => Clock::on(&started, &settings, &faults),
        };
        if let Some(act) = &self.act {
            clock.will(act);
        }
        clock
    }
}

fn columns_of(clock: &mut Clock, times: &[f64]) -> BTreeMap<&'static str, Vec<f64>> {
    let mut found: BTreeMap<&'static str, Vec<f64>> = BTreeMap::new();
    for at_s in times {
        clock.run_to(*at_s);
        let moment = clock.moment();
        let columns = [
            ("tank_kpa", moment.tank_kpa),
            ("clutch_kpa", moment.clutch_kpa),
            ("fan_rpm", moment.fan_rpm),
            ("coolant_c", moment.coolant_c),
            ("plate_c", moment.plate_c),
            ("coil_c", clock.coil_c("Y1")),
        ];
        columns.into_iter().for_each(|(name, value)| found.entry(name).or_default().push(value));
    }
    found
}

#[test]
fn runs_agree_with_solve_ivp_to_a_thousandth() {
    let traces: Vec<Trace> =
        serde_json::from_str(&text_of("tests/reference/traces.json")).expect("written by traces.py");
    assert!(traces.len() >= 10);
    let mut off = Vec::new();
    for trace in &traces {
        let found = columns_of(&mut trace.clock(), &trace.time_s);
        for (name, wanted) in &trace.columns {
            let largest = wanted.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
            let worst = wanted.iter().zip(&found[name.as_str()]).zip(&trace.time_s);
            let worst = worst.map(|((wanted, got), at_s)| ((got - wanted).abs() / largest, *at_s, *got, *wanted));
            let worst = worst.fold((0.0, 0.0, 0.0, 0.0), |most, this| if this.0 > most.0 { this } else { most });
            if worst.0 > 1e-3 {
                off.push(format!("{}, {name}: {worst:?}", trace.name));
            }
        }
    }
    assert!(off.is_empty(), "share off, at, got, wanted:\n{}", off.join("\n"));
}
