//! `fanloom helpfiles`: man pages and completions, made from the same definitions as the command line.
//!
//! Where each goes below the folder is where man-db, bash-completion, zsh and fish look below a folder for data. What
//! stands in them is said in [`args`](super::args); how a file is replaced is [`disk`](crate::disk)'s business.

use std::path::{Path, PathBuf};
use std::{fs, io, iter};

use clap::{Arg, Command, CommandFactory, ValueHint};
use clap_complete::{Shell, generate};
use clap_mangen::Man;

use crate::disk::replace;
use crate::study::wording::SAFETY;

use super::args::{HelpfilesArgs, Typed};
use super::exit::{Ending, complain, message};
use super::plan::Complaint;

/// The program, as it is called.
const PROGRAM: &str = "fanloom";
/// Shells, and where each looks for the completion of a program.
const COMPLETIONS: [(Shell, &str); 3] = [
    (Shell::Bash, "bash-completion/completions/fanloom"),
    (Shell::Zsh, "zsh/site-functions/_fanloom"),
    (Shell::Fish, "fish/vendor_completions.d/fanloom.fish"),
];

/// A file to be written: its place below the folder, and what is in it.
type Made = (PathBuf, Vec<u8>);

pub(super) fn run(args: &HelpfilesArgs) -> Ending {
    let pages = pages().expect("writing to memory does not fail");
    let completions: Vec<Made> = COMPLETIONS.map(|(shell, place)| (PathBuf::from(place), completion(shell))).into();
    let told = format!(
        "wrote {} man pages and completions for bash, zsh and fish under `{}`\n",
        pages.len(),
        args.to.display()
    );
    for (place, bytes) in pages.iter().chain(&completions) {
        if let Err(complaint) = put(bytes, &args.to.join(place)) {
            return complain(&[complaint]);
        }
    }
    message(&told);
    Ending::Done
}

fn put(bytes: &[u8], to: &Path) -> Result<(), Complaint> {
    let folder = to.parent().unwrap_or(to);
    fs::create_dir_all(folder).map_err(|why| {
        let message = format!("the folder `{}` cannot be made: {why}", folder.display());
        Complaint::new(&message, "name a folder that you may write in, like `--to ~/.local/share`")
    })?;
    replace(bytes, to).map_err(|why| Complaint::new(&why.message, &why.mend))
}

fn completion(shell: Shell) -> Vec<u8> {
    let mut script = Vec::new();
    // Defined without the file that the window opens on: the scripts would take a subcommand's name for it.
    generate(shell, &mut Typed::command(), PROGRAM, &mut script);
    let script = String::from_utf8_lossy(&script);
    // In bash files are what is offered where nothing else fits; the others offer them where they are told to.
    match shell {
        Shell::Zsh => script.replace("\":: :_fanloom_commands\"", "\":: :{ _fanloom_commands; _files -g '*.ron' }\""),
        Shell::Fish => format!("{script}complete -c {PROGRAM} -n __fish_{PROGRAM}_needs_command -F\n"),
        _ => script.into_owned(),
    }
    .into_bytes()
}

/// A page for the program and one for each subcommand.
fn pages() -> io::Result<Vec<Made>> {
    let file = Arg::new("opened").value_name("FILE").value_hint(ValueHint::FilePath);
    let file = file.help("Circuit file to open in the window; a subcommand comes before a file of its name");
    let mut program = Typed::command().arg(file).args_conflicts_with_subcommands(true).disable_help_subcommand(true);
    program.build();
    iter::once(&program).chain(program.get_subcommands()).map(|command| page(command, &program)).collect()
}

fn page(command: &Command, program: &Command) -> io::Result<Made> {
    let version = program.get_version().unwrap_or_default();
    let man = Man::new(command.clone()).source(format!("{PROGRAM} {version}")).manual("Fanloom");
    let mut page = Vec::new();
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    man.render_options_section(&mut page)?;
    let see_also = if command.has_subcommands() {
        man.render_subcommands_section(&mut page)?;
        // Named one by one, as whoever prints or converts pages needs them.
        let subcommands = program.get_subcommands().map(|sub| format!("{PROGRAM}-{}", sub.get_name()));
        subcommands.map(|page| format!(".BR {page} (1)\n")).collect()
    } else {
        format!(".BR {PROGRAM} (1)\n")
    };
    page.extend_from_slice(format!(".SH SEE ALSO\n{see_also}.SH SAFETY\n{}\n", *SAFETY).as_bytes());
    Ok((Path::new("man/man1").join(man.get_filename()), page))
}
