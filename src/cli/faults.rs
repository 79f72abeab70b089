//! `fanloom faults`: the fault table, as text, Markdown, JSON, CSV or a picture.
//!
//! Understands what was typed and brings the answer to its places. The table is made by
//! [`study::faults`](crate::study::faults); the answer is shaped by [`faults_text`](super::faults_text) and
//! [`faults_data`](super::faults_data), the picture by [`report`](crate::report).

use std::path::PathBuf;

use crate::bench::Fault;
use crate::report::embed::with_font;
use crate::report::{Size, matrix, paper};
use crate::study::faults::apart::tests;
use crate::study::faults::pairs::{Pairs, pairs};
use crate::study::faults::{FaultTable, fault_table};

use super::args::{FaultsArgs, FaultsForm, Paper};
use super::deliver::{all_places, deliver};
use super::exit::{Ending, complain, print};
use super::faults_data::{apart_json, as_csv, as_json};
use super::faults_text::{Style, apart_text, as_text};
use super::plan::{Complaint, scene_of, understood};
use super::progress::watched;

/// The word that stands for a truck with nothing more wrong.
const HEALTHY: &str = "healthy";

/// A table with what else was asked of it.
pub(super) struct Answer {
    pub(super) table: FaultTable,
    pub(super) pairs: Option<Pairs>,
}

pub(super) fn run(args: &FaultsArgs, colour: bool) -> Ending {
    match answered(args, colour) {
        Ok(()) => Ending::Done,
        Err(complaints) => complain(&complaints),
    }
}

fn answered(args: &FaultsArgs, colour: bool) -> Result<(), Vec<Complaint>> {
    let places = places(args)?;
    let mut complaints = Vec::new();
    let named: Vec<&String> = args.apart.iter().filter(|words| *words != HEALTHY).collect();
    let words: Vec<String> = named.iter().map(|words| (*words).clone()).collect();
    let faults: Vec<Fault> = understood(&words, "--apart", &mut complaints);
    let scene = match scene_of(&args.state, colour) {
        Ok(scene) if complaints.is_empty() => scene,
        Ok(_) => return Err(complaints),
        Err(mut more) => {
            more.append(&mut complaints);
            return Err(more);
        }
    };
    for point in &args.points {
        if scene.circuit.terminal_named(point).is_none() {
            let refusal = crate::bench::Refusal::no_terminal(&scene.circuit, point);
            complaints.push(Complaint::of(&refusal, "--point", point));
        }
    }
    for (fault, words) in faults.iter().zip(&words) {
        complaints.extend(scene.bench(&[fault]).err().map(|refusal| Complaint::of(&refusal, "--apart", words)));
    }
    if !complaints.is_empty() {
        return Err(complaints);
    }
    let table = watched("faults", |progress| fault_table(scene, &args.points, progress))
        .map_err(|refusal| vec![Complaint::new(&refusal.message, &refusal.mend)])?;
    if !args.apart.is_empty() {
        return apart(args, &table, &faults);
    }
    let pairs = if args.pairs { watched("pairs", |progress| pairs(&table, progress)) } else { None };
    let answer = Answer { table, pairs };
    // Everything is made before anything is written.
    let made: Result<Vec<Vec<u8>>, Complaint> = places.iter().map(|(_, form)| bytes(&answer, *form, args)).collect();
    let made = made.map_err(|complaint| vec![complaint])?;
    for (bytes, (to, _)) in made.iter().zip(&places) {
        deliver(bytes, to).map_err(|complaint| vec![complaint])?;
    }
    if args.state.json {
        print(&as_json(&answer));
    } else if places.is_empty() {
        print(&as_text(&answer, Style::Text));
    }
    Ok(())
}

/// What tells two faults apart; the one that is not a fault is the healthy truck.
fn apart(args: &FaultsArgs, table: &FaultTable, faults: &[Fault]) -> Result<(), Vec<Complaint>> {
    let mut left = faults.iter();
    let [one, other] = [0, 1].map(|place| if args.apart[place] == HEALTHY { None } else { left.next() });
    let found = tests(table, one, other).map_err(|refusal| vec![Complaint::new(&refusal.message, &refusal.mend)])?;
    let answer =
        if args.state.json { apart_json(table, [one, other], &found) } else { apart_text(table, [one, other], &found) };
    print(&answer);
    Ok(())
}

fn places(args: &FaultsArgs) -> Result<Vec<(PathBuf, FaultsForm)>, Vec<Complaint>> {
    let of_ending = |ending: &str| match ending {
        "csv" => Some(FaultsForm::Csv),
        "json" => Some(FaultsForm::Json),
        "md" => Some(FaultsForm::Md),
        "svg" => Some(FaultsForm::Svg),
        "png" => Some(FaultsForm::Png),
        "pdf" => Some(FaultsForm::Pdf),
        _ => None,
    };
    all_places(&args.to, args.form, args.state.json, of_ending, ".csv, .json, .md, .svg, .png or .pdf")
}

fn bytes(answer: &Answer, form: FaultsForm, args: &FaultsArgs) -> Result<Vec<u8>, Complaint> {
    let size = match args.paper {
        Paper::A4 => Size::A4,
        Paper::Letter => Size::Letter,
    };
    let page = || matrix::page(&answer.table, size, args.grey);
    let made = match form {
        FaultsForm::Csv => Ok(as_csv(&answer.table).into_bytes()),
        FaultsForm::Json => Ok(as_json(answer).into_bytes()),
        FaultsForm::Md => Ok(as_text(answer, Style::Markdown).into_bytes()),
        FaultsForm::Svg => Ok(with_font(&page().svg()).into_bytes()),
        FaultsForm::Png => paper::png(&page().svg(), f32::from(args.dpi)),
        FaultsForm::Pdf => paper::pdf(&page().svg(), page().title()),
    };
    made.map_err(|why| Complaint::new(&why.message, &why.mend))
}
