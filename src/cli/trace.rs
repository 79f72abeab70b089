//! `fanloom trace`: what happens over time, as a list of events, JSON, CSV or a chart.
//!
//! Brings options and script into one order and shapes the answer; the run itself is made by
//! [`study::trace`](crate::study::trace), the chart by [`report`](crate::report).

use std::ops::Range;
use std::path::{Path, PathBuf};

use crate::bench::script::{self, Verb};
use crate::bench::{Reading, Timed};
use crate::circuit::Telling;
use crate::circuit::diagnostic::{Finding, Subject};
use crate::circuit::format::render;
use crate::report::embed::with_font;
use crate::report::{Size, chart, paper};
use crate::study::explain::standing;
use crate::study::happening::pressure;
use crate::study::trace::{Plan, SHORTEST_S, Trace, Unfit, trace};
use crate::study::wording::{self, capital, marked};

use super::args::{Paper, TimelineArgs, TraceArgs, TraceForm};
use super::deliver::{all_places, deliver};
use super::exit::{Ending, complain, print};
use super::plan::{Complaint, SCRIPT, circuit_in, text_of, understood};
use super::series::{as_csv, as_json};
use super::verdict::{close, headline};

pub(super) fn run(args: &TraceArgs, colour: bool) -> Ending {
    match answered(args, colour) {
        Ok(()) => Ending::Done,
        Err(complaints) => complain(&complaints),
    }
}

fn answered(args: &TraceArgs, colour: bool) -> Result<(), Vec<Complaint>> {
    let asked = Asked::of(args, colour)?;
    let places = places(args)?;
    let circuit = circuit_in(&args.file, colour).map_err(|complaint| vec![complaint])?;
    let title = circuit.title().to_owned();
    let traced = trace(circuit, &asked.plan).map_err(|unfit| vec![asked.complaint(unfit, args, colour)])?;
    // Everything is made before anything is written.
    let made: Result<Vec<Vec<u8>>, Complaint> =
        places.iter().map(|(_, form)| bytes(&title, &traced, *form, args)).collect();
    let made = made.map_err(|complaint| vec![complaint])?;
    for (bytes, (to, _)) in made.iter().zip(&places) {
        deliver(bytes, to).map_err(|complaint| vec![complaint])?;
    }
    if args.json {
        print(&as_json(&title, &traced));
    } else if places.is_empty() {
        print(&as_text(&title, &traced));
    }
    Ok(())
}

/// Where a step comes from, to be named when it is refused.
enum Origin {
    Option(&'static str, String),
    Script(Range<usize>),
}

/// What was typed, understood.
struct Asked {
    plan: Plan,
    origins: Vec<Origin>,
    script: String,
}

impl Asked {
    fn of(args: &TraceArgs, colour: bool) -> Result<Self, Vec<Complaint>> {
        let mut complaints = Vec::new();
        let mut time = |option: &str, words: &str| {
            script::seconds(words).map_err(|refusal| complaints.push(Complaint::of(&refusal, option, words))).ok()
        };
        let (for_s, every_s) = (time("--for", &args.length), time("--every", &args.every));
        let readings: Vec<Reading> = understood(&args.readings, "--read", &mut complaints);
        let (mut timed, mut origins, mut text) = (Vec::new(), Vec::new(), String::new());
        if let Some(path) = &args.script {
            match scripted(path, colour) {
                Ok((lines, whole)) => {
                    text = whole;
                    for line in lines {
                        timed.push(line.timed);
                        origins.push(Origin::Script(line.span));
                    }
                }
                Err(complaint) => complaints.push(complaint),
            }
        }
        for (step, origin) in typed(&args.timeline, &mut complaints) {
            timed.push(step);
            origins.push(origin);
        }
        let (Some(for_s), Some(every_s), true) = (for_s, every_s, complaints.is_empty()) else {
            return Err(complaints);
        };
        // A list of events needs no samples between the ends.
        let is_list = !args.json && args.to.is_empty() && args.form.is_none();
        let every_s = if is_list && every_s >= SHORTEST_S { for_s.max(every_s) } else { every_s };
        Ok(Self { plan: Plan { for_s, every_s, timed, readings }, origins, script: text })
    }

    fn complaint(&self, unfit: Unfit, args: &TraceArgs, colour: bool) -> Complaint {
        match unfit {
            Unfit::Measure(refusal) => Complaint::new(&refusal.message, &refusal.mend),
            Unfit::Circuit(refusal) => {
                let message = format!("{}, in `{}`", refusal.message, args.file.display());
                Complaint::new(&message, &refusal.mend)
            }
            Unfit::Reading(index, refusal) => Complaint::of(&refusal, "--read", &args.readings[index]),
            Unfit::Timed(index, refusal) => match &self.origins[index] {
                Origin::Option(option, words) => Complaint::of(&refusal, &format!("--{option}"), words),
                Origin::Script(span) => {
                    let finding = Finding::error(Subject::Whole, &refusal.message, &refusal.mend).at(span.clone());
                    let path = args.script.as_deref().map(|path| path.display().to_string()).unwrap_or_default();
                    Complaint(render(&self.script, &path, &[finding], colour))
                }
            },
        }
    }
}

fn scripted(path: &Path, colour: bool) -> Result<(Vec<script::Line>, String), Complaint> {
    let text = text_of(path, &SCRIPT)?;
    match script::read(&text) {
        Ok(lines) => Ok((lines, text)),
        Err(findings) => Err(Complaint(render(&text, &path.display().to_string(), &findings, colour))),
    }
}

/// The options in their order, each with its moment.
fn typed(timeline: &TimelineArgs, complaints: &mut Vec<Complaint>) -> Vec<(Timed, Origin)> {
    let mut steps = Vec::new();
    // The moment that holds now, and the words of one that nothing has followed yet.
    let (mut at_s, mut idle): (Option<f64>, Option<&str>) = (None, None);
    let nothing = |words: &str| {
        Complaint::new(
            &format!("nothing is to be done at `{words}` (in `--at {words}`)"),
            "put what is to be done then after it, like `--at 2s --do jump:B1.1=B1.2`",
        )
    };
    for step in &timeline.steps {
        let words = step.words.as_str();
        let Some(verb) = Verb::ALL.into_iter().find(|verb| verb.word() == step.option) else {
            complaints.extend(idle.map(nothing));
            match script::seconds(words) {
                Ok(seconds) => (at_s, idle) = (Some(seconds), Some(words)),
                Err(refusal) => complaints.push(Complaint::of(&refusal, "--at", words)),
            }
            continue;
        };
        idle = None;
        match verb.action(words) {
            Ok(action) => steps.push((Timed { at_s, action }, Origin::Option(step.option, step.words.clone()))),
            Err(refusal) => complaints.push(Complaint::of(&refusal, &format!("--{}", step.option), words)),
        }
    }
    complaints.extend(idle.map(nothing));
    steps
}

/// Where to, and in which form.
fn places(args: &TraceArgs) -> Result<Vec<(PathBuf, TraceForm)>, Vec<Complaint>> {
    let of_ending = |ending: &str| match ending {
        "csv" => Some(TraceForm::Csv),
        "json" => Some(TraceForm::Json),
        "svg" => Some(TraceForm::Svg),
        "png" => Some(TraceForm::Png),
        "pdf" => Some(TraceForm::Pdf),
        _ => None,
    };
    all_places(&args.to, args.form, args.json, of_ending, ".csv, .json, .svg, .png or .pdf")
}

fn bytes(title: &str, traced: &Trace, form: TraceForm, args: &TraceArgs) -> Result<Vec<u8>, Complaint> {
    let size = match args.paper {
        Paper::A4 => Size::A4,
        Paper::Letter => Size::Letter,
    };
    let page = || chart::page(traced, size);
    let made = match form {
        TraceForm::Csv => Ok(as_csv(traced).into_bytes()),
        TraceForm::Json => Ok(as_json(title, traced).into_bytes()),
        TraceForm::Svg => Ok(with_font(&page().svg()).into_bytes()),
        TraceForm::Png => paper::png(&page().svg(), f32::from(args.dpi)),
        TraceForm::Pdf => paper::pdf(&page().svg(), title),
    };
    made.map_err(|why| Complaint::new(&why.message, &why.mend))
}

/// The events with their times, how everything stands at the end, and the safety line.
fn as_text(title: &str, traced: &Trace) -> String {
    let circuit = traced.end.bench().circuit();
    let moments = marked(circuit, Telling::Air, "moments");
    let heading = format!("{title}: what happens in {}, with its {moments}", wording::duration(traced.for_s));
    let mut lines = vec![heading, String::new()];
    if traced.told.is_empty() {
        lines.push("  Nothing happens.".to_owned());
    }
    for told in &traced.told {
        lines.push(format!("{:>11.3} s  {}", told.at_s, told.what));
    }
    lines.push(format!("\nAt the end, {}", wording::duration(traced.for_s)));
    lines.extend(end(traced));
    if !traced.series.readings.is_empty() {
        lines.push("\nReadings at the end".to_owned());
        for (reading, values) in &traced.series.readings {
            let shown = values
                .last()
                .cloned()
                .flatten()
                .map_or_else(|| "cannot be taken".to_owned(), |v| v.words().to_string());
            lines.push(format!("  {reading}  {shown}"));
        }
    }
    close(&mut lines);
    lines.join("\n") + "\n"
}

fn end(traced: &Trace) -> Vec<String> {
    let (live, moment) = (&traced.end, traced.end.moment());
    let circuit = live.bench().circuit();
    let outcome = live.outcome();
    let mut lines = vec![format!("  {}.", capital(headline(standing(&outcome))))];
    for (tag, _) in &traced.series.coil_volts {
        let now = circuit.part_named(tag).and_then(|id| outcome.coils.get(&id)?.volts);
        lines.push(format!("  {tag}: {}", now.map_or_else(|| "floating".into(), wording::volts)));
    }
    if outcome.clutch.is_some() {
        let gauge = |kpa: f64| marked(circuit, Telling::Air, pressure(circuit, kpa));
        let (supply, clutch) = (gauge(moment.supply_kpa), gauge(moment.clutch_kpa));
        lines.push(format!("  Supply {supply}, clutch {clutch}"));
    }
    let rpm = live.run().inputs().conditions.engine_rpm;
    if rpm > 0.0 {
        let fan = marked(circuit, Telling::Fan, format!("{:.0} rpm", moment.fan_rpm));
        lines.push(format!("  Engine {rpm:.0} rpm, fan {fan}"));
    }
    let coolant = marked(circuit, Telling::Coolant, format!("{:.0} °C", moment.coolant_c));
    let plate = marked(circuit, Telling::Plate, format!("{:.0} °C", moment.plate_c));
    lines.push(format!("  Coolant {coolant}, clutch plate {plate}"));
    lines
}
