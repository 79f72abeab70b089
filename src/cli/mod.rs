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
mod hunt;
mod make;
mod plan;
mod progress;
mod prove;
mod series;
mod table;
mod trace;
mod verdict;

use std::ffi::OsString;
use std::io::IsTerminal;
use std::process::ExitCode;

use clap::Parser;

use crate::circuit::shipped::SHIPPED;
use args::{Question, Typed};
use exit::Ending;

/// Runs the command line `args`, the program's own name first.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let typed = match Typed::try_parse_from(args) {
        Ok(typed) => typed,
        Err(why) => {
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
    let colour = std::io::stderr().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty());
    match typed.question {
        Question::Check(args) => check::run(&args, colour),
        Question::Verdict(args) => verdict::run(&args, colour),
        Question::Prove(args) => prove::run(&args, colour),
        Question::Table(args) => table::run(&args, colour),
        Question::Faults(args) => faults::run(&args, colour),
        Question::Find(args) => find::run(&args, colour),
        Question::Hunt(args) => hunt::run(&args, colour),
        Question::Trace(args) => trace::run(&args, colour),
        Question::Draw(args) => draw::run(&args, colour),
        Question::Card(args) => card::run(&args, colour),
        Question::Make(args) => make::run(&args),
    }
    .into()
}

/// What to do where no window can be opened: say why, and give the verdict on the first shipped circuit instead.
pub fn no_window(reason: &str) -> ExitCode {
    let (name, text) = SHIPPED[0];
    exit::message(&format!(
        "fanloom: no window: {reason}\n  help: `fanloom --help` lists what can be asked without one; here is the \
         verdict on the shipped circuit `{name}`\n"
    ));
    match verdict::on_text(text) {
        Some(answer) => {
            exit::print(&answer);
            Ending::Done.into()
        }
        None => Ending::Wrong.into(),
    }
}
