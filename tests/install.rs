//! What stands around the program once it is installed, through the built program: man pages, completions, the entry of
//! the desktop, the type of circuit files, and what the package for Debian takes along.
//!
//! What is wanted is read from the program's own `--help`. Where a tool of the system judges (a shell, groff, the tools of
//! the desktop) and is missing, a test says so and leaves that judgement out; `.ci/run` has them all.

#![cfg(unix)]
#![expect(clippy::unwrap_used, reason = "a test that cannot run a tool or read its answer has failed")]

mod support;

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use support::program::{fanloom, refused};
use support::{files_below, shipped_names, text_of, top};

/// Commands that have no page of their own: clap's `help` is `--help` by another name.
const NO_PAGE: &str = "help";
const TYPE: &str = "application/x-fanloom-circuit";

/// Everything that `helpfiles` writes, by its place below the folder.
fn helpfiles() -> BTreeMap<String, String> {
    let folder = tempfile::tempdir().unwrap();
    written_to(folder.path())
}

#[track_caller]
fn written_to(folder: &Path) -> BTreeMap<String, String> {
    let output = fanloom(&["helpfiles", "--to", folder.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(output.stdout.is_empty(), "nothing was asked for on standard output");
    let mut found = BTreeMap::new();
    gather(folder, folder, &mut found);
    found
}

fn gather(folder: &Path, at: &Path, found: &mut BTreeMap<String, String>) {
    for entry in std::fs::read_dir(at).unwrap().flatten() {
        let path = entry.path();
        if path.is_dir() {
            gather(folder, &path, found);
        } else {
            let place = path.strip_prefix(folder).unwrap().to_str().unwrap().to_owned();
            found.insert(place, std::fs::read_to_string(&path).unwrap());
        }
    }
}

/// What `--help` says, of the program or of one subcommand.
fn help_of(subcommand: Option<&str>) -> String {
    let args: Vec<&str> = subcommand.into_iter().chain(["--help"]).collect();
    String::from_utf8(fanloom(&args).stdout).unwrap()
}

/// The subcommands that `--help` lists.
fn subcommands() -> Vec<String> {
    let help = help_of(None);
    let listed = help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    // Lines that go on with what a command is about stand further in.
    let names = listed.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let names: Vec<String> = names.filter_map(|line| line.split_whitespace().next().map(str::to_owned)).collect();
    assert!(names.len() >= 11 && names.iter().any(|name| name == "verdict"), "{names:?} out of:\n{help}");
    names
}

/// The options that `--help` lists.
fn options(subcommand: Option<&str>) -> Vec<String> {
    let help = help_of(subcommand);
    let (_, list) = help.split_once("\nOptions:\n").unwrap();
    // What an option is about stands further in than its name, and may speak of another.
    let names = list.lines().filter(|line| line.len() - line.trim_start().len() < 8).map(str::trim_start);
    let listed = names.filter(|line| line.starts_with('-'));
    let words = listed.filter_map(|line| line.split([' ', ',']).find(|word| word.starts_with("--")));
    let options: Vec<String> = words.map(str::to_owned).collect();
    assert!(options.iter().any(|option| option == "--help"), "{options:?} out of:\n{help}");
    options
}

/// Runs a tool with `input`; none where the tool is not there.
fn tool(name: &str, args: &[&str], input: &str) -> Option<Output> {
    use std::io::Write;
    let child = Command::new(name)
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .env("LC_ALL", "C.UTF-8")
        .spawn();
    let mut child = match child {
        Ok(child) => child,
        Err(why) if why.kind() == std::io::ErrorKind::NotFound => {
            eprintln!("`{name}` is not there, so its judgement is left out");
            return None;
        }
        Err(why) => panic!("{name}: {why}"),
    };
    child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
    Some(child.wait_with_output().unwrap())
}

/// Demands that a tool, where it is there, has nothing to say.
#[track_caller]
fn silent(name: &str, args: &[&str], input: &str) {
    let Some(output) = tool(name, args, input) else { return };
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success() && said.is_empty() && output.stdout.is_empty(), "{name} {args:?}: {said}");
}

#[test]
fn every_subcommand_has_a_man_page_with_every_option_and_the_first_page_names_them_all() {
    let files = helpfiles();
    let first = &files["man/man1/fanloom.1"];
    let told = |page: &str, option: &str| page.contains(&format!("\\fB{}\\fR", option.replace('-', "\\-")));
    assert!(options(None).iter().all(|option| told(first, option)), "{first}");
    for subcommand in subcommands().iter().filter(|name| *name != NO_PAGE) {
        let name = format!("fanloom\\-{subcommand}(1)");
        assert!(first.contains(&name), "the first page should name {name}:\n{first}");
        let page = &files[&format!("man/man1/fanloom-{subcommand}.1")];
        for option in options(Some(subcommand)) {
            assert!(told(page, &option), "{option} is not in the page of {subcommand}:\n{page}");
        }
    }
}

#[test]
fn the_first_page_tells_of_the_file_to_open_and_no_page_is_of_nothing() {
    let files = helpfiles();
    assert!(files["man/man1/fanloom.1"].contains("[FILE]"));
    let subcommands = subcommands();
    for page in files.keys().filter_map(|place| place.strip_prefix("man/man1/fanloom-")) {
        let subcommand = page.trim_end_matches(".1");
        assert!(subcommands.iter().any(|name| name == subcommand), "{page}");
    }
}

#[test]
fn every_man_page_ends_with_the_safety_words() {
    for (place, page) in helpfiles().iter().filter(|(place, _)| place.starts_with("man/")) {
        let last = page.rsplit(".SH ").next().unwrap();
        assert!(last.starts_with("SAFETY\n") && last.contains("wheels blocked"), "{place} ends with:\n{last}");
        let order = "The vehicle maker's procedure, local codes and licensed practice come first.\n";
        assert!(last.ends_with(order), "{place} ends with:\n{last}");
    }
}

#[test]
fn groff_sets_every_man_page_without_a_warning() {
    for (place, page) in helpfiles().iter().filter(|(place, _)| place.starts_with("man/")) {
        println!("{place}");
        silent("groff", &["-man", "-ww", "-Kutf8", "-Tutf8", "-z"], page);
    }
}

#[test]
fn bash_completes_every_subcommand_and_every_option() {
    let script = helpfiles().remove("bash-completion/completions/fanloom").unwrap();
    silent("bash", &["-n"], &script);
    let ask = |typed: &[&str]| {
        let words = typed.join(" ");
        let [.., before, current] = typed else { panic!("at least two words") };
        let at = typed.len() - 1;
        let asked = format!(
            "{script}\nCOMP_WORDS=({words}); COMP_CWORD={at}; _fanloom fanloom '{current}' '{before}'\n\
             printf '%s\\n' \"${{COMPREPLY[@]}}\"\n"
        );
        tool("bash", &["--norc", "-s"], &asked).map(|output| String::from_utf8(output.stdout).unwrap())
    };
    let Some(offered) = ask(&["fanloom", "ver"]) else { return };
    assert_eq!(offered.trim(), "verdict");
    for subcommand in subcommands() {
        let offered = ask(&["fanloom", &subcommand]).unwrap();
        assert!(offered.lines().any(|word| word == subcommand), "{subcommand} is not in:\n{offered}");
        if subcommand == NO_PAGE {
            continue;
        }
        let offered = ask(&["fanloom", &subcommand, "--"]).unwrap();
        for option in options(Some(&subcommand)) {
            assert!(offered.lines().any(|word| word == option), "{subcommand} {option} is not in:\n{offered}");
        }
    }
}

#[test]
fn zsh_and_fish_know_every_subcommand_every_option_and_the_file_to_open() {
    let mut files = helpfiles();
    let zsh = files.remove("zsh/site-functions/_fanloom").unwrap();
    let fish = files.remove("fish/vendor_completions.d/fanloom.fish").unwrap();
    silent("zsh", &["-n"], &zsh);
    silent("fish", &["-n"], &fish);
    assert!(zsh.contains("{ _fanloom_commands; _files -g '*.ron' }"), "{zsh}");
    for subcommand in subcommands() {
        assert!(zsh.contains(&format!("\n'{subcommand}:")), "{subcommand} is not in:\n{zsh}");
        assert!(fish.contains(&format!("needs_command\" -f -a \"{subcommand}\"")), "{subcommand} is not in:\n{fish}");
        if subcommand == NO_PAGE {
            continue;
        }
        let (_, block) = zsh.split_once(&format!("({subcommand})\n_arguments")).unwrap();
        let (block, _) = block.split_once(";;").unwrap();
        let using = format!("using_subcommand {subcommand}\"");
        for option in options(Some(&subcommand)) {
            assert!(block.contains(&option), "{subcommand} {option} is not in:\n{block}");
            let long = format!(" -l {} ", &option[2..]);
            let told = fish.lines().any(|line| line.contains(&using) && format!("{line} ").contains(&long));
            assert!(told, "{subcommand} {option} is not in:\n{fish}");
        }
    }
}

#[test]
fn helpfiles_are_the_same_each_time_and_old_ones_are_replaced() {
    let folder = tempfile::tempdir().unwrap();
    let fresh = written_to(folder.path());
    std::fs::write(folder.path().join("man/man1/fanloom.1"), "of another day").unwrap();
    assert_eq!(written_to(folder.path()), fresh);
}

#[test]
fn helpfiles_that_cannot_be_put_there_are_refused_with_a_mend() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    std::fs::write(&file, "no folder").unwrap();
    refused(
        &["helpfiles", "--to", file.to_str().unwrap()],
        &["cannot be made", "file/man/man1", "help: name a folder"],
    );
    std::fs::create_dir_all(folder.path().join("man/man1/fanloom.1")).unwrap();
    refused(&["helpfiles", "--to", folder.path().to_str().unwrap()], &["fanloom.1` is a folder", "help: "]);
}

/// Pairs of the package's list: from where, to where.
fn package_list() -> Vec<(String, String)> {
    let manifest = text_of("Cargo.toml");
    let (_, package) = manifest.split_once("[package.metadata.deb]").unwrap();
    let (_, list) = package.split_once("assets = [\n").unwrap();
    let (list, _) = list.split_once("\n]").unwrap();
    let words = list.lines().map(|line| line.split('"').skip(1).step_by(2).map(str::to_owned));
    words.map(|mut words| (words.next().unwrap(), words.next().unwrap())).collect()
}

#[test]
fn what_the_package_takes_is_there_and_every_helpfile_and_circuit_is_taken() {
    let list = package_list();
    let made = helpfiles();
    let mut taken = Vec::new();
    for (from, _) in list.iter().filter(|(from, _)| from != "target/release/fanloom") {
        let Some(place) = from.strip_prefix("target/helpfiles/") else {
            let (folder, ending) = from.split_once("/*.").unwrap_or((from, ""));
            assert!(top().join(folder).exists(), "{from}");
            assert!(ending.is_empty() || !files_below(folder, ending).is_empty(), "{from}");
            continue;
        };
        let (start, end) = place.split_once('*').unwrap_or((place, ""));
        let fitting = made.keys().filter(|place| place.starts_with(start) && place.ends_with(end));
        let before = taken.len();
        taken.extend(fitting.cloned());
        assert!(taken.len() > before, "{from} is nothing that `helpfiles` writes");
    }
    taken.sort();
    assert_eq!(taken, made.into_keys().collect::<Vec<_>>(), "every helpfile is taken, once");
    assert!(list.iter().any(|(from, to)| from == "circuits/*.ron" && to.ends_with("/examples/")), "{list:?}");
}

#[test]
fn the_changelog_of_the_package_begins_with_this_version() {
    let first = format!("fanloom ({}-1) ", env!("CARGO_PKG_VERSION"));
    assert!(text_of("assets/changelog").starts_with(&first), "a new version is told in assets/changelog");
}

#[test]
fn the_desktop_entry_opens_one_file_of_the_type_that_the_package_declares() {
    let entry = text_of("assets/fanloom.desktop");
    for line in ["Exec=fanloom %f", "Icon=fanloom", "Terminal=false", "StartupWMClass=fanloom"] {
        assert!(entry.lines().any(|l| l == line), "`{line}` is not in:\n{entry}");
    }
    assert!(entry.contains(&format!("MimeType={TYPE};")), "{entry}");
    assert!(text_of("assets/fanloom-circuit.xml").contains(&format!("<mime-type type=\"{TYPE}\">")));
    let goes_to = |wanted: &str| package_list().iter().any(|(_, to)| to == wanted);
    assert!(goes_to("usr/share/icons/hicolor/scalable/apps/fanloom.svg"), "the icon has the entry's name");
    silent("desktop-file-validate", &[top().join("assets/fanloom.desktop").to_str().unwrap()], "");
}

#[test]
fn a_circuit_file_is_known_by_what_stands_in_it_and_other_files_of_the_notation_are_left_alone() {
    let data = tempfile::tempdir().unwrap();
    let packages = data.path().join("mime/packages");
    std::fs::create_dir_all(&packages).unwrap();
    std::fs::copy(top().join("assets/fanloom-circuit.xml"), packages.join("fanloom.xml")).unwrap();
    let mime = data.path().join("mime");
    if tool("update-mime-database", &[mime.to_str().unwrap()], "").is_none() {
        return;
    }
    let type_of = |path: &Path| {
        let asked =
            format!("XDG_DATA_HOME={} gio info -a standard::content-type '{}'", data.path().display(), path.display());
        let output = tool("sh", &["-c", &asked], "").unwrap();
        let text = String::from_utf8(output.stdout).unwrap();
        text.lines().find_map(|line| line.trim().strip_prefix("standard::content-type: ").map(str::to_owned))
    };
    if type_of(&top()).is_none() {
        eprintln!("`gio` is not there, so its judgement is left out");
        return;
    }
    for name in shipped_names() {
        let path = top().join(format!("circuits/{name}.ron"));
        assert_eq!(type_of(&path).as_deref(), Some(TYPE), "{name}");
        let elsewhere = data.path().join(format!("{name} without an ending"));
        std::fs::copy(&path, &elsewhere).unwrap();
        assert_eq!(type_of(&elsewhere).as_deref(), Some(TYPE), "{name} without an ending");
    }
    for (name, text) in [
        ("settings", "(width: 800, height: 600)\n"),
        ("scene", "// Circuit\nScene(format: 1, parts: {\"lamp\": Battery(volts: 3)})\n"),
        ("gates", "Circuit(format: 2, gates: [\"H\", \"CNOT\"])\n"),
    ] {
        let path = data.path().join(format!("{name}.ron"));
        std::fs::write(&path, text).unwrap();
        assert_ne!(type_of(&path).as_deref(), Some(TYPE), "{name}");
    }
}
