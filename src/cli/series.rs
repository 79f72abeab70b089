//! A trace as the contract's JSON and as comma-separated values.
//!
//! Both write the same numbers in the same digits. CSV follows RFC 4180: a header with units, a row a sample, and a
//! last column with what has happened since the row before. What is in a trace is found by
//! [`study::trace`](crate::study::trace).

use std::fmt::Write;

use serde::Serialize;
use serde_json::{Value as Json, json};

use crate::study::meter::Value;
use crate::study::trace::{Told, Trace};

use super::verdict::value_json;

/// The contract's JSON, then what it leaves free, a key a line.
pub(super) fn as_json(title: &str, trace: &Trace) -> String {
    let series = &trace.series;
    let states: Vec<&str> = series.state.iter().map(|state| state.word()).collect();
    let events = trace.told.iter().map(|told| json!({"at_s": told.at_s, "what": told.what}).to_string());
    let mut keys = vec![
        ("time_s", written(&series.time_s)),
        ("supply_psi", written(&series.supply_psi)),
        ("clutch_psi", written(&series.clutch_psi)),
        ("coil_volts", map(series.coil_volts.iter().map(|(tag, volts)| (tag.clone(), written(volts))))),
        ("state", written(&states)),
        ("events", format!("[\n    {}\n  ]", events.collect::<Vec<_>>().join(",\n    "))),
        ("title", written(&title)),
        ("tank_psi", written(&series.tank_psi)),
        ("engine_rpm", written(&series.engine_rpm)),
        ("fan_rpm", written(&series.fan_rpm)),
        ("slip", written(&series.slip)),
        ("coolant_c", written(&series.coolant_c)),
        ("plate_c", written(&series.plate_c)),
    ];
    if trace.told.is_empty() {
        keys[5].1 = "[]".to_owned();
    }
    if !series.readings.is_empty() {
        let readings = series.readings.iter().map(|(reading, values)| {
            let values: Vec<Json> = values.iter().map(|value| value.as_ref().map_or(Json::Null, number)).collect();
            (reading.to_string(), written(&values))
        });
        keys.push(("readings", map(readings)));
    }
    let lines: Vec<String> = keys.into_iter().map(|(key, value)| format!("  \"{key}\": {value}")).collect();
    format!("{{\n{}\n}}\n", lines.join(",\n"))
}

fn written<T: Serialize + ?Sized>(value: &T) -> String {
    serde_json::to_string(value).expect("plain numbers and words always make JSON")
}

fn map(entries: impl Iterator<Item = (String, String)>) -> String {
    let entries: Vec<String> = entries.map(|(key, value)| format!("{}: {value}", written(&key))).collect();
    format!("{{{}}}", entries.join(", "))
}

/// A reading without the rounding's leftovers.
fn number(value: &Value) -> Json {
    match value_json(value) {
        Json::Number(number) => {
            let value = number.as_f64().unwrap_or_default();
            json!((value * 1e6).round() / 1e6 + 0.0)
        }
        other => other,
    }
}

/// Comma-separated values.
pub(super) fn as_csv(trace: &Trace) -> String {
    let series = &trace.series;
    let mut columns: Vec<(String, Column<'_>)> = vec![
        ("time_s".into(), Box::new(|i| series.time_s[i].to_string())),
        ("supply_psi".into(), Box::new(|i| series.supply_psi[i].to_string())),
        ("clutch_psi".into(), Box::new(|i| blank(series.clutch_psi[i]))),
    ];
    for (tag, volts) in &series.coil_volts {
        columns.push((format!("{tag}_volts"), Box::new(|i| blank(volts[i]))));
    }
    let more: [(&str, Column<'_>); 7] = [
        ("state", Box::new(|i| series.state[i].word().to_owned())),
        ("tank_psi", Box::new(|i| series.tank_psi[i].to_string())),
        ("engine_rpm", Box::new(|i| series.engine_rpm[i].to_string())),
        ("fan_rpm", Box::new(|i| series.fan_rpm[i].to_string())),
        ("slip", Box::new(|i| series.slip[i].to_string())),
        ("coolant_c", Box::new(|i| series.coolant_c[i].to_string())),
        ("plate_c", Box::new(|i| series.plate_c[i].to_string())),
    ];
    columns.extend(more.map(|(name, column)| (name.to_owned(), column)));
    for (reading, values) in &series.readings {
        let unit = values.iter().flatten().next().map_or("", unit);
        columns.push((format!("{reading}{unit}"), Box::new(|i| values[i].as_ref().map_or_else(String::new, cell))));
    }
    let header: Vec<String> = columns.iter().map(|(name, _)| field(name)).collect();
    let mut out = header.join(",") + ",event\r\n";
    let mut events = trace.told.as_slice();
    for i in 0..series.time_s.len() {
        for (_, column) in &columns {
            out.push_str(&field(&column(i)));
            out.push(',');
        }
        let is_last = i + 1 == series.time_s.len();
        let by_now = if is_last { events.len() } else { events.partition_point(|e| e.at_s <= series.time_s[i]) };
        let (now, later) = events.split_at(by_now);
        events = later;
        out.push_str(&field(&happened(now)));
        out.push_str("\r\n");
    }
    out
}

/// What stands in a row of a column.
type Column<'a> = Box<dyn Fn(usize) -> String + 'a>;

fn happened(events: &[Told]) -> String {
    let mut out = String::new();
    for told in events {
        let gap = if out.is_empty() { "" } else { "; " };
        let _ = write!(out, "{gap}{} s: {}", told.at_s, told.what);
    }
    out
}

fn blank(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

fn unit(value: &Value) -> &'static str {
    match value {
        Value::Volts(_) => " (V)",
        Value::Ohms(_) => " (ohm)",
        Value::Amps(_) => " (A)",
        Value::Psi(_) => " (psi)",
        Value::Lamp(_) | Value::Fan(_) => "",
    }
}

fn cell(value: &Value) -> String {
    match number(value) {
        Json::Null => String::new(),
        Json::String(word) => word,
        other => other.to_string(),
    }
}

/// A field, in quotes where it must be.
pub(super) fn field(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text.to_owned() }
}
