//! From what was typed to what is to be done: files read, circuits made, words understood.
//!
//! The only place of the command line that opens files. Everything that can be wrong with a file or a word is a
//! [`Complaint`], ready to be shown; many can be found at once.

use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::sync::Arc;

use crate::bench::{Act, Action, Bench, Fault, Reading, Refusal, Start};
use crate::circuit::Circuit;
use crate::circuit::diagnostic::{Finding, Severity};
use crate::circuit::format::{MOST_BYTES, read, render};
use crate::study::faults::Scene;
use crate::study::find::minutes::Minutes;
use crate::study::find::scale::Tolerances;
use crate::study::find::suspect::HEALTHY;
use crate::study::find::{Case, INSTRUMENTS, Options};
use crate::study::meter::{Shown, read as read_with_meter};

use super::args::{JudgementArgs, StateArgs, WorldArgs};

/// Something wrong with what was asked, as it will be printed.
#[derive(Debug)]
pub(super) struct Complaint(pub(super) String);

impl Complaint {
    /// A message with its mend.
    pub(super) fn new(message: &str, mend: &str) -> Self {
        Self(format!("error: {message}\n  help: {mend}\n"))
    }

    /// A refusal of the option it was typed with.
    pub(super) fn of(refusal: &Refusal, option: &str, words: &str) -> Self {
        Self::new(&format!("{} (in `{option} {words}`)", refusal.message), &refusal.mend)
    }
}

/// A kind of file, and what to do where a path does not lead to one.
pub(super) struct Wanted {
    missing: &'static str,
    folder: &'static str,
    large: &'static str,
    other: &'static str,
}

/// A circuit file.
pub(super) const CIRCUIT: Wanted = Wanted {
    missing: "check the path; circuit files end in .ron",
    folder: "name the circuit files in it, like `circuits/*.ron`",
    large: "a circuit file holds one circuit; name the right file",
    other: "save it as UTF-8, or name a circuit file",
};

/// A demonstration.
pub(super) const DEMONSTRATION: Wanted = Wanted {
    missing: "check the path; demonstrations are saved from the window, under Save",
    folder: "name a demonstration in it",
    large: "a demonstration holds one circuit and what was done to it; name the right file",
    other: "name a demonstration that the window has saved",
};

/// A script of a trace.
pub(super) const SCRIPT: Wanted = Wanted {
    missing: "check the path of the script",
    folder: "name the script in it",
    large: "a script has a line for each thing to do; name the right file",
    other: "save it as UTF-8, or name a script",
};

/// A file's text.
///
/// # Errors
/// A complaint with the path and what to do, where the file is not there, not readable, too large or not text.
pub(super) fn text_of(path: &Path, wanted: &Wanted) -> Result<String, Complaint> {
    let shown = path.display();
    let folder = || Complaint::new(&format!("`{shown}` is a folder"), wanted.folder);
    let failed = |why: &std::io::Error| match why.kind() {
        std::io::ErrorKind::NotFound => Complaint::new(&format!("there is no file `{shown}`"), wanted.missing),
        std::io::ErrorKind::IsADirectory => folder(),
        _ => Complaint::new(&format!("`{shown}` cannot be read: {why}"), "check the file and who may read it"),
    };
    let file = File::open(path).map_err(|why| failed(&why))?;
    if file.metadata().is_ok_and(|m| m.is_dir()) {
        return Err(folder());
    }
    let mut bytes = Vec::new();
    // One byte more than allowed tells a file that is too large from one that just fits, pipes included.
    file.take(MOST_BYTES as u64 + 1).read_to_end(&mut bytes).map_err(|why| failed(&why))?;
    if bytes.len() > MOST_BYTES {
        return Err(Complaint::new(
            &format!("`{shown}` is larger than {} MiB", MOST_BYTES / 1024 / 1024),
            wanted.large,
        ));
    }
    String::from_utf8(bytes).map_err(|why| {
        let message = format!("`{shown}` is not text: byte {} is not UTF-8", why.utf8_error().valid_up_to());
        Complaint::new(&message, wanted.other)
    })
}

/// A sound circuit from a file.
///
/// # Errors
/// A complaint with every error of the file, each at its line.
pub(super) fn circuit_in(path: &Path, colour: bool) -> Result<Arc<Circuit>, Complaint> {
    let text = text_of(path, &CIRCUIT)?;
    let reading = read(&text);
    match reading.circuit {
        Some(circuit) => Ok(Arc::new(circuit)),
        None => {
            let errors: Vec<Finding> = reading.findings.into_iter().filter(|f| f.severity == Severity::Error).collect();
            Err(Complaint(render(&text, &path.display().to_string(), &errors, colour)))
        }
    }
}

/// A bench on this circuit in the state that was asked for.
///
/// # Errors
/// Every word that could not be understood; else the first that this circuit cannot have.
fn bench_in(circuit: Arc<Circuit>, world: &WorldArgs) -> Result<Bench, Vec<Complaint>> {
    scene_in(circuit, world).map(|(_, bench)| bench)
}

/// The truck that a question about faults is asked of.
///
/// # Errors
/// Everything that is wrong with the file, or with the words.
pub(super) fn scene_of(args: &StateArgs, colour: bool) -> Result<Scene, Vec<Complaint>> {
    let circuit = circuit_in(&args.file, colour).map_err(|complaint| vec![complaint])?;
    scene_in(circuit, &args.world).map(|(scene, _)| scene)
}

/// The truck as it was asked for, and a bench with it.
fn scene_in(circuit: Arc<Circuit>, world: &WorldArgs) -> Result<(Scene, Bench), Vec<Complaint>> {
    let mut complaints = Vec::new();
    let settings = understood(&world.settings, "--set", &mut complaints);
    let faults: Vec<Fault> = understood(&world.faults, "--fault", &mut complaints);
    let acts: Vec<Act> = understood(&world.acts, "--do", &mut complaints);
    if !complaints.is_empty() {
        return Err(complaints);
    }
    for (fault, words) in faults.iter().zip(&world.faults) {
        // Each is tried alone first, so that the complaint names the right one.
        let alone = Start { settings: Vec::new(), faults: vec![fault.clone()] };
        if let Err(refusal) = Bench::started(Arc::clone(&circuit), alone) {
            complaints.push(Complaint::of(&refusal, "--fault", words));
        }
    }
    if !complaints.is_empty() {
        return Err(complaints);
    }
    let scene = Scene { circuit, start: Start { settings, faults }, acts };
    let mut bench = Bench::started(Arc::clone(&scene.circuit), scene.start.clone())
        .map_err(|refusal| vec![Complaint::new(&refusal.message, &refusal.mend)])?;
    for (act, words) in scene.acts.iter().zip(&world.acts) {
        bench.apply(Action::Do(act.clone())).map_err(|refusal| vec![Complaint::of(&refusal, "--do", words)])?;
    }
    Ok((scene, bench))
}

/// The bench that a question about one state is about.
///
/// # Errors
/// Everything that is wrong with the file, or with the words.
pub(super) fn asked_of(args: &StateArgs, colour: bool) -> Result<Bench, Vec<Complaint>> {
    asked_about(&args.file, &args.world, colour)
}

/// The bench on the circuit of a file in a state of the world.
///
/// # Errors
/// Everything that is wrong with the file, or with the words.
pub(super) fn asked_about(file: &Path, world: &WorldArgs, colour: bool) -> Result<Bench, Vec<Complaint>> {
    bench_in(circuit_in(file, colour).map_err(|complaint| vec![complaint])?, world)
}

/// The circuit of a file with settings, acts and faults understood, each tried on it.
///
/// # Errors
/// Everything that is wrong with the file, or with the words.
pub(super) fn case_about(file: &Path, world: &WorldArgs, colour: bool) -> Result<Case, Vec<Complaint>> {
    let circuit = circuit_in(file, colour).map_err(|complaint| vec![complaint])?;
    bench_in(Arc::clone(&circuit), world)?;
    let mut complaints = Vec::new();
    let case = Case {
        circuit,
        settings: understood(&world.settings, "--set", &mut complaints),
        acts: understood(&world.acts, "--do", &mut complaints),
        known: understood(&world.faults, "--fault", &mut complaints),
    };
    if complaints.is_empty() { Ok(case) } else { Err(complaints) }
}

/// What is thought of faults, instruments and times, where it differs from the usual.
///
/// # Errors
/// Every word that could not be understood.
pub(super) fn judgement_in(circuit: &Circuit, args: &JudgementArgs) -> Result<Options, Vec<Complaint>> {
    let mut options = Options::default();
    let mut complaints = Vec::new();
    let mut refuse = |option: &str, words: &str, why: String, mend: String| {
        complaints.push(Complaint::of(&Refusal::new(why, mend), option, words));
    };
    for words in &args.weights {
        let amount = named_amount(words, "");
        let fits = |(name, weight): (&str, f64)| match name {
            HEALTHY if weight.is_finite() && weight >= 0.0 => {
                options.healthy = weight;
                true
            }
            _ => options.weights.set(name, weight),
        };
        if !amount.is_some_and(fits) {
            let sorts: Vec<&str> = options.weights.iter().map(|(sort, _)| sort).collect();
            let mend = format!(
                "write a sort of fault, `=` and a number from 0, like `open=1`; sorts are {HEALTHY}, {}",
                sorts.join(", ")
            );
            refuse("--weight", words, format!("`{words}` is no weight"), mend);
        }
    }
    for words in &args.tolerances {
        if !set_tolerance(&mut options, words) {
            let names = Tolerances::NAMES.join(", ");
            let mend = format!(
                "write a name, `=` and a least amount above 0 or a share below 50 %, like `volts=0.2` or `volts=3%`; names are {names}"
            );
            refuse("--tolerance", words, format!("`{words}` is no tolerance"), mend);
        }
    }
    for words in &args.minutes {
        let fits = |(name, minutes): (&str, f64)| options.minutes.set(circuit, name, minutes);
        if !named_amount(words, "min").is_some_and(fits) {
            let names: Vec<&str> = Minutes::names().collect();
            let mend = format!(
                "write a part's tag or a name, `=` and minutes from 0 to 1440, like `B2=12`; names are {}",
                names.join(", ")
            );
            refuse("--minutes", words, format!("`{words}` is no time for anything here"), mend);
        }
    }
    if let Some(words) = &args.instruments {
        options.instruments.clear();
        for word in words.split(',').map(str::trim).filter(|word| !word.is_empty()) {
            match word {
                "fan" => {}
                _ if INSTRUMENTS.contains(&word) => {
                    options.instruments.insert(word.to_owned());
                }
                _ => {
                    let mend = format!("instruments are {}", INSTRUMENTS.join(", "));
                    refuse("--instruments", words, format!("there is no instrument `{word}`"), mend);
                }
            }
        }
    }
    if complaints.is_empty() { Ok(options) } else { Err(complaints) }
}

/// A name and a number with its unit or alone.
fn named_amount<'a>(words: &'a str, unit: &str) -> Option<(&'a str, f64)> {
    let (name, amount) = words.split_once('=')?;
    let amount = amount.strip_suffix(unit).unwrap_or(amount);
    let amount: f64 = amount.trim().parse().ok()?;
    amount.is_finite().then_some((name.trim(), amount))
}

/// Edits one tolerance; false where the words make no sense.
fn set_tolerance(options: &mut Options, words: &str) -> bool {
    let share = words.strip_suffix('%');
    let Some((name, amount)) = named_amount(share.unwrap_or(words), "") else { return false };
    let Some(tolerance) = options.tolerances.named(name) else { return false };
    match share {
        Some(_) if (0.0..50.0).contains(&amount) => tolerance.share = amount / 100.0,
        None if amount > 0.0 => tolerance.least = amount,
        Some(_) | None => return false,
    }
    true
}

/// The same with readings to take on that bench.
///
/// # Errors
/// Everything that is wrong with the file, or with the words; a reading this circuit cannot have.
pub(super) fn read_off(
    args: &StateArgs,
    typed: &[String],
    colour: bool,
) -> Result<(Bench, Vec<Shown>), Vec<Complaint>> {
    let mut complaints = Vec::new();
    let readings: Vec<Reading> = understood(typed, "--read", &mut complaints);
    let bench = match asked_of(args, colour) {
        Ok(bench) if complaints.is_empty() => bench,
        Ok(_) => return Err(complaints),
        Err(mut more) => {
            more.append(&mut complaints);
            return Err(more);
        }
    };
    let mut shown = Vec::new();
    for (reading, words) in readings.iter().zip(typed) {
        match read_with_meter(&bench, reading) {
            Ok(taken) => shown.push(taken),
            Err(refusal) => complaints.push(Complaint::of(&refusal, "--read", words)),
        }
    }
    if complaints.is_empty() { Ok((bench, shown)) } else { Err(complaints) }
}

/// The bench of a circuit to compare with: as built, under the conditions that were asked for.
///
/// # Errors
/// Everything that is wrong with that file, or with the conditions.
pub(super) fn beside(path: &Path, world: &WorldArgs, colour: bool) -> Result<Bench, Vec<Complaint>> {
    let circuit = circuit_in(path, colour).map_err(|complaint| vec![complaint])?;
    let world = WorldArgs { settings: world.settings.clone(), acts: Vec::new(), faults: Vec::new() };
    bench_in(circuit, &world)
}

/// Words typed with an option, understood; what is not is complained of.
pub(super) fn understood<T: std::str::FromStr<Err = Refusal>>(
    typed: &[String],
    option: &str,
    complaints: &mut Vec<Complaint>,
) -> Vec<T> {
    let parsed = typed.iter().map(|words| words.parse().map_err(|refusal| Complaint::of(&refusal, option, words)));
    parsed.filter_map(|result| result.map_err(|complaint| complaints.push(complaint)).ok()).collect()
}
