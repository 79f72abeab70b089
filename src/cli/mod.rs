//! The command line: every answer of the window as a subcommand.
//!
//! What was typed ([`args`]) becomes what is to be done ([`plan`]); each subcommand has its file and prints its
//! answer through [`exit`]. No electrical reasoning here, and no window.

mod args;
mod card;
mod check;
mod deliver;
mod draw;
mod exit;
mod faults;
mod faults_data;
mod faults_text;
mod find;
mod helpfiles;
mod hunt;
mod make;
mod plan;
mod progress;
mod prove;
mod series;
mod steps;
mod table;
mod trace;
mod verdict;

use std::ffi::OsString;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Parser;
use clap::error::{ContextKind, ContextValue, ErrorKind};

use crate::circuit::format::read;
use crate::circuit::shipped::SHIPPED;
use args::{Question, Typed};
use exit::Ending;

/// Runs the command line `args`, the program's own name first.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let typed = match Typed::try_parse_from(args) {
        Ok(typed) => typed,
        Err(why) => {
            let why = with_tip_for_paths(why);
            // Help and version are answers; anything else is a command line that makes no sense.
            let asked = !why.use_stderr();
            if asked {
                exit::print(&why.to_string());
            } else {
                exit::message(&why.to_string());
            }
            return if asked { Ending::Done } else { Ending::Usage }.into();
        }
    };
    let colour = colours();
    match typed.question {
        Question::Check(args) => check::run(&args, colour),
        Question::Verdict(args) => verdict::run(&args, colour),
        Question::Prove(args) => prove::run(&args, colour),
        Question::Table(args) => table::run(&args, colour),
        Question::Faults(args) => faults::run(&args, colour),
        Question::Find(args) => find::run(&args, colour),
        Question::Hunt(args) => hunt::run(&args, colour),
        Question::Steps(args) => steps::run(&args, colour),
        Question::Trace(args) => trace::run(&args, colour),
        Question::Draw(args) => draw::run(&args, colour),
        Question::Card(args) => card::run(&args, colour),
        Question::Make(args) => make::run(&args),
        Question::Helpfiles(args) => helpfiles::run(&args),
    }
    .into()
}

/// The file that the window is to open on, where the command line `args`, the program's own name first, is nothing but
/// the path of one. A subcommand comes before a file of its name, which is then written `./check`.
pub fn file_to_open(args: &[OsString]) -> Option<PathBuf> {
    let [_, word] = args else { return None };
    let refusal = Typed::try_parse_from(args).err()?;
    let path = PathBuf::from(word);
    (refusal.kind() == ErrorKind::InvalidSubcommand && path.is_file()).then_some(path)
}

/// A refusal, and where the word that is no subcommand is or looks like a path, what to do about that.
fn with_tip_for_paths(mut refusal: clap::Error) -> clap::Error {
    let Some(ContextValue::String(word)) = refusal.get(ContextKind::InvalidSubcommand) else { return refusal };
    let path = Path::new(word);
    let tip = if path.is_file() {
        format!("`{word}` is a file: alone it opens in the window; else say first what is asked of it, like `verdict`")
    } else if path.is_dir() {
        format!("`{word}` is a folder: name a circuit file in it")
    } else if path.extension().is_some_and(|ending| ending == "ron") || path.components().count() > 1 {
        format!("there is no file `{word}`: check the path; circuit files end in .ron")
    } else {
        return refusal;
    };
    refusal.insert(ContextKind::Suggested, ContextValue::StyledStrs(vec![tip.into()]));
    refusal
}

/// What to do where no window can be opened: say why, and give the verdict on the file it was to open on instead, or on
/// the first shipped circuit.
pub fn no_window(reason: &str, file: Option<&Path>) -> ExitCode {
    let (name, text) = SHIPPED[0];
    let about = file.map_or_else(|| format!("the shipped circuit `{name}`"), |file| format!("`{}`", file.display()));
    exit::message(&format!(
        "fanloom: no window: {reason}\n  help: `fanloom --help` lists what can be asked without one; here is the \
         verdict on {about}\n"
    ));
    let circuit = match file {
        Some(file) => plan::circuit_in(file, colours()),
        None => Ok(read(text).circuit.expect("a test reads every shipped circuit").into()),
    };
    match circuit {
        Ok(circuit) => {
            exit::print(&verdict::as_built(circuit));
            Ending::Done.into()
        }
        Err(complaint) => exit::complain(&[complaint]).into(),
    }
}

/// Whether messages are to be in colour.
fn colours() -> bool {
    std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty())
}
