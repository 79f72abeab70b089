//! The command line as typed: every subcommand and option of the contract, and nothing worked out yet.
//!
//! clap checks the shape and answers `--help`; what the words mean for a circuit is found in [`plan`](super::plan).

use std::path::PathBuf;

use clap::builder::{PossibleValue, PossibleValuesParser};
use clap::{Args, Parser, Subcommand, ValueEnum, ValueHint};

use crate::study::making::questions::Question as Making;
use crate::words::Language;

/// What the control circuit of an air-operated fan clutch will do, before anyone touches the harness.
#[derive(Debug, Parser)]
#[command(name = "fanloom", version, about, long_about = LONG, override_usage = USAGE, after_help = AFTER)]
pub(super) struct Typed {
    /// What to ask.
    #[command(subcommand)]
    pub(super) question: Question,
}

const USAGE: &str = "fanloom [FILE]
       fanloom <COMMAND>";

const LONG: &str = "What the control circuit of an air-operated fan clutch will do, before anyone touches the harness.

Without a subcommand the window opens, on the circuit file FILE where one is named. Results go to standard output, messages to standard error. The exit code is 0 \
when the question was answered, 1 when the circuit or what was asked of it is wrong, 2 for a command line that makes \
no sense.";

const AFTER: &str = "The vehicle maker's procedure, local codes and licensed practice come first.";

const TABLE: &str = "The logic table: what the clutch does for every combination of what asks for the fan.

Columns: every sensor (cold or hot, low or high), every set point of a module (A1, or A1.coolant and A1.intake where it \
has several), every hand switch (off as it rests, or on; a push switch is held while it is on), every selector at each \
of its positions, and the engine (stopped or running) where a module asks for it. At most 4096 combinations: twelve \
columns of two values. The table moves these itself, whatever --set and --do say of them; all else stands as asked.

Rows know nothing of each other: each is settled with nothing remembered, as when the key is turned on with everything \
already as the row says; after --do, with what the acts left behind.

Below the table: when the clutch engages, in words and as short as can be (Quine and McCluskey's prime implicants, \
Petrick's cover); what the loss of each fuse, wire and ground, of the key, the battery and the air comes to; and how \
fail-safe that makes the circuit.";

const FAULTS: &str = "The fault table: every single fault in every state at every point, which of them look alike \
everywhere and why, which show only once something asks, and which show nowhere.

States: the truck as --set, --do and --fault have it, then every combination of what can ask for the fan (as in \
`table`), each reached from another by one step; for each switch a level half way to a set point that has drifted up, \
and one half way to one that has drifted down; and what a request leaves behind that has come and gone. Read in each: \
volts from every point to the battery's -, both gauges, and the fan.

Points: every terminal, but for those of splices, which no probe reaches; or those of --point.

--pairs goes through every two faults as well; --apart says which tests tell two faults apart, one of which may be the \
word healthy. --fault names what is known to be there.

Without --json, --to and --as the answer is text. CSV has a row for each fault and state; a picture (.svg, .png, .pdf) \
has a row for each group of look-alikes and a column for each state.";

const MAKE: &str =
    "A new circuit from answers to a few questions: contacts open or closed at rest, what asks, where the \
coil is switched, the valve and the clutch.

The circuit is drawn up, put on a bench and led through everything that asks. It is written only if the fan is driven \
when it should be and free when it should be; answers that do not go together are refused with a mend. Without --to \
the file goes to standard output, and what it does to standard error.

--ask puts the questions one by one, each with its answers, for everything the options do not say; a line with nothing \
on it takes the first. Set points, coils, fuses, sizes and lengths are example values: put in those of the truck.";

const TRACE: &str = "What happens over time: the circuit at rest under what holds from the beginning, then everything \
at its moment.

--at TIME says when the --set, --do, --fault, --put-back and --repair after it are, up to the next --at. What stands \
before any --at holds from the beginning on, and the circuit is at rest under it; with --at 0s it is done at the \
beginning, and what comes of it is seen. Times are written 250ms, 2s, 1.5min, 1h; a trace is at most 24h, with at most \
5000000 samples.

Without --json and --to the events are listed, and how everything stands at the end. A chart (.svg, .png, .pdf) is one \
lying page.

A script (--script FILE) says the same, one line each: `12s do jump:B1.1=B1.2`, `20s set coolant=215F`, \
`30s fault open:W4`, `40s put-back jump:B1.1=B1.2`, `50s repair open:W4`; a line without a time holds from the \
beginning, and # begins a remark. Of equal moments the script comes first.";

const FIND: &str = "From what was seen to the fault: what remains, how likely each is, and the test to make next.

--saw READING=VALUE says what was seen, under the --set and --do given; --fault says what is known to be wrong already. A \
reading seen after other acts or under other conditions is --saw 'READING=VALUE after ACT;ACT with NAME=VALUE', which come \
on top of --do and --set. Readings are those of `verdict --read`. Values: 7.5 or 7.5V, 30ohm, overload, 0.4A, 90psi; dark, \
dim, bright; engaged, released, slipping; unsteady for what never stands still. 7.5+-0.2 has a tolerance of its own, dim? \
is doubtful, and ? alone says that nobody could tell.

Every single fault of the circuit, and that nothing is wrong, is tried on the circuit itself; those under which all that \
was seen would have been seen remain. Where none does, pairs are tried. The next test is the one that is expected to end \
the search soonest; none that is dangerous with anything that remains is offered.

Weights, tolerances and times are example values: --weight, --tolerance and --minutes edit them.";

const HUNT: &str = "A fault is hidden in the circuit, common sorts likelier, and the driver says what is noticed. Each \
line of standard input does one thing: `read volts:Y1.1,Y1.2`, `do lift:W4@B1.2`, `put-back lift:W4@B1.2`, \
`set coolant=230F`, `look F1` (take the fuse out and look), `renew F1`, `guess open:W4`, `give up`. Everything takes its \
minutes; what the fan and the lamps of the circuit do is seen for nothing. A guess is right where no test could have told \
it from the truth; a wrong one costs the mending. At the end the best course known stands beside the one taken.";

const STEPS: &str = "A demonstration is saved from the window: everything that was done on a circuit, step by step, with what a \
trainer wrote to it. Each step is written as `--do`, `--set` and `--fault` take it, with what it brings about: the links of \
the chain that change, what the fan does, where the chain parts and what is dangerous then. The circuit is the one the \
demonstration holds; that it has changed since, or is gone, is said.";

const HELPFILES: &str = "Man pages, and completions for bash, zsh and fish, made from the program's own command line.

They are put under FOLDER where a system looks for them: man/man1, bash-completion/completions, zsh/site-functions and \
fish/vendor_completions.d. With ~/.local/share they are yours alone, with /usr/local/share everyone's. Files of these \
names that are there are replaced, each whole or not at all. For zsh the folder of completions may have to be added to \
fpath.";

/// A subcommand.
#[derive(Debug, Subcommand)]
pub(super) enum Question {
    /// Are these circuits sound? Every error and every doubtful thing in them
    Check(CheckArgs),
    /// What does the clutch do, and why?
    Verdict(VerdictArgs),
    /// Every act, and pair of acts, that engages or releases the clutch by hand, classed
    Prove(ProveArgs),
    /// The logic table over everything that asks, in words, and what every lost fuse, wire or ground comes to
    #[command(long_about = TABLE)]
    Table(TableArgs),
    /// Every single fault in every state at every point: what looks alike and why, and what shows it
    #[command(long_about = FAULTS)]
    Faults(FaultsArgs),
    /// Which faults remain after what was seen, and which test to make next
    #[command(long_about = FIND)]
    Find(FindArgs),
    /// A hidden fault to hunt, played line by line from standard input
    #[command(long_about = HUNT)]
    Hunt(HuntArgs),
    /// A demonstration gone through step by step: what each step brings about
    #[command(long_about = STEPS)]
    Steps(StepsArgs),
    /// What happens over time: air, clutch, heat, timers and fuses, with acts and faults at their moments
    #[command(long_about = TRACE)]
    Trace(TraceArgs),
    /// The circuit as a picture: SVG, PNG or PDF
    Draw(DrawArgs),
    /// The card for the cab, one page: how to prove this clutch by hand, and what not to do
    Card(CardArgs),
    /// A new circuit from answers to a few questions
    #[command(long_about = MAKE)]
    Make(MakeArgs),
    /// Man pages, and completions for bash, zsh and fish, put where a system looks for them
    #[command(long_about = HELPFILES)]
    Helpfiles(HelpfilesArgs),
}

/// `check FILE...`
#[derive(Debug, Args)]
pub(super) struct CheckArgs {
    /// Circuit files
    #[arg(required = true, value_name = "FILE")]
    pub(super) files: Vec<PathBuf>,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// `steps FILE`
#[derive(Debug, Args)]
pub(super) struct StepsArgs {
    /// Demonstration file
    #[arg(value_name = "FILE")]
    pub(super) file: PathBuf,
    /// Go through it on this circuit file instead of the one it holds
    #[arg(long, value_name = "CIRCUIT")]
    pub(super) on: Option<PathBuf>,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// `prove FILE`
#[derive(Debug, Args)]
pub(super) struct ProveArgs {
    #[command(flatten)]
    pub(super) state: StateArgs,
    /// Try acts at these parts and wires only, and at chassis and battery: B1,K1,W4. Without it at all, or, in a large
    /// circuit, at those the clutch hangs on
    #[arg(long, value_name = "TAG,...")]
    pub(super) at: Option<String>,
}

/// A question about one circuit in one state: `verdict FILE`, `prove FILE`
#[derive(Debug, Args)]
pub(super) struct StateArgs {
    /// Circuit file
    #[arg(value_name = "FILE")]
    pub(super) file: PathBuf,
    #[command(flatten)]
    pub(super) world: WorldArgs,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
}

/// `verdict FILE`
#[derive(Debug, Args)]
pub(super) struct VerdictArgs {
    #[command(flatten)]
    pub(super) state: StateArgs,
    /// What an instrument shows: volts:Y1.1,Y1.2 (10 Mohm), lowz: (3 kohm), lamp: and ohms: alike, amps:W4, clamp:W4,
    /// gauge:supply, gauge:clutch, fan; a lead may sit on a lifted end, W4@B1.2
    #[arg(long = "read", value_name = "READING")]
    pub(super) readings: Vec<String>,
}

/// `table FILE`
#[derive(Debug, Args)]
pub(super) struct TableArgs {
    #[command(flatten)]
    pub(super) state: StateArgs,
    /// Another circuit to compare with, under the same conditions but with no acts and no faults
    #[arg(long, value_name = "FILE")]
    pub(super) against: Option<PathBuf>,
}

/// `faults FILE`
#[derive(Debug, Args)]
pub(super) struct FaultsArgs {
    #[command(flatten)]
    pub(super) state: StateArgs,
    /// Where the voltmeter is put, like B1.2; may be said again [default: every terminal but those of splices]
    #[arg(long = "point", value_name = "TERMINAL")]
    pub(super) points: Vec<String>,
    /// Every two faults at a time as well
    #[arg(long)]
    pub(super) pairs: bool,
    /// Which tests tell these two apart; one may be the word healthy
    #[arg(long, value_names = ["FAULT", "FAULT"], num_args = 2, conflicts_with_all = ["pairs", "to", "form"])]
    pub(super) apart: Vec<String>,
    /// Where to: a file ending in .csv, .json, .md, .svg, .png or .pdf, or - for standard output; may be said again. A
    /// file that is there is replaced, whole or not at all
    #[arg(long, value_name = "OUT")]
    pub(super) to: Vec<PathBuf>,
    /// The form, whatever the file's ending; without --to on standard output
    #[arg(long = "as", value_name = "FORM", value_enum, conflicts_with = "json")]
    pub(super) form: Option<FaultsForm>,
    /// Paper of a picture
    #[arg(long, value_name = "PAPER", value_enum, default_value = "a4")]
    pub(super) paper: Paper,
    /// Pixels to the inch of a PNG
    #[arg(long, value_name = "N", default_value_t = 150, value_parser = clap::value_parser!(u16).range(24..=1200))]
    pub(super) dpi: u16,
    /// Greys only, for a plain printer
    #[arg(long)]
    pub(super) grey: bool,
}

/// In which form a fault table is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum FaultsForm {
    /// Comma-separated values, one row for a fault in a state.
    Csv,
    /// The answer as with --json.
    Json,
    /// The answer as Markdown.
    Md,
    /// A picture as Scalable Vector Graphics.
    Svg,
    /// A picture as Portable Network Graphics.
    Png,
    /// A picture as Portable Document Format.
    Pdf,
}

/// `find FILE --saw READING=VALUE ...`
#[derive(Debug, Args)]
pub(super) struct FindArgs {
    #[command(flatten)]
    pub(super) state: StateArgs,
    /// Something seen: fan=released, volts:Y1.1,Y1.2=7.5, 'lamp:B1.2,G1.-=dim after unplug:Y1 with coolant=230F'
    #[arg(long = "saw", value_name = "READING=VALUE")]
    pub(super) sights: Vec<String>,
    /// The whole course of tests to the end, as a tree
    #[arg(long)]
    pub(super) plan: bool,
    /// Where to put the answer: a file ending in .txt or .md, replaced whole or not at all
    #[arg(long, value_name = "OUT", conflicts_with = "json")]
    pub(super) to: Option<PathBuf>,
    #[command(flatten)]
    pub(super) judgement: JudgementArgs,
}

/// `hunt FILE --seed N`
#[derive(Debug, Args)]
pub(super) struct HuntArgs {
    /// Circuit file
    #[arg(value_name = "FILE")]
    pub(super) file: PathBuf,
    /// Which fault is hidden: the same number hides the same
    #[arg(long, value_name = "N")]
    pub(super) seed: u64,
    #[command(flatten)]
    pub(super) judgement: JudgementArgs,
    /// Answer in JSON: one document at the end
    #[arg(long)]
    pub(super) json: bool,
}

/// What is thought of faults, instruments and times.
#[derive(Debug, Args)]
pub(super) struct JudgementArgs {
    /// How common a sort of fault is beside a wire broken through (1): ground=0.5, healthy=0
    #[arg(long = "weight", value_name = "SORT=WEIGHT")]
    pub(super) weights: Vec<String>,
    /// How nearly an instrument is read: volts=0.2V at least, volts=3% of the value; lamp, ohms, amps, clamp, gauge alike
    #[arg(long = "tolerance", value_name = "NAME=AMOUNT")]
    pub(super) tolerances: Vec<String>,
    /// How long something takes: a part by tag or kind to reach (B2=12, AirValve=8), a reading (volts=1), an act
    /// (unplug=2), a condition (coolant=20), hose=10
    #[arg(long = "minutes", value_name = "NAME=MINUTES")]
    pub(super) minutes: Vec<String>,
    /// Instruments at hand, all where nothing is said: volts,lowz,lamp,ohms,amps,clamp,gauge
    #[arg(long = "instruments", value_name = "LIST")]
    pub(super) instruments: Option<String>,
}

/// `trace FILE --for TIME`
#[derive(Debug, Args)]
pub(super) struct TraceArgs {
    /// Circuit file
    #[arg(value_name = "FILE")]
    pub(super) file: PathBuf,
    /// How long: 250ms, 30s, 1.5min, 24h
    #[arg(long = "for", value_name = "TIME")]
    pub(super) length: String,
    #[command(flatten)]
    pub(super) timeline: TimelineArgs,
    /// A file with a line for each thing to do: 12s do jump:B1.1=B1.2
    #[arg(long, value_name = "FILE")]
    pub(super) script: Option<PathBuf>,
    /// Time from sample to sample
    #[arg(long, value_name = "TIME", default_value = "0.05s")]
    pub(super) every: String,
    /// What an instrument shows at each sample, as for verdict: volts:Y1.1,Y1.2, clamp:W4, gauge:clutch, fan and more
    #[arg(long = "read", value_name = "READING")]
    pub(super) readings: Vec<String>,
    /// Answer in JSON
    #[arg(long)]
    pub(super) json: bool,
    /// Where to: a file ending in .csv, .json, .svg, .png or .pdf, or - for standard output; may be said again. A file
    /// that is there is replaced, whole or not at all
    #[arg(long, value_name = "OUT")]
    pub(super) to: Vec<PathBuf>,
    /// The form, whatever the file's ending; without --to on standard output
    #[arg(long = "as", value_name = "FORM", value_enum, conflicts_with = "json")]
    pub(super) form: Option<TraceForm>,
    /// Paper of a chart
    #[arg(long, value_name = "PAPER", value_enum, default_value = "a4")]
    pub(super) paper: Paper,
    /// Pixels to the inch of a PNG
    #[arg(long, value_name = "N", default_value_t = 150, value_parser = clap::value_parser!(u16).range(24..=1200))]
    pub(super) dpi: u16,
}

/// In which form a trace is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum TraceForm {
    /// Comma-separated values, one row a sample.
    Csv,
    /// The answer as with --json.
    Json,
    /// A chart as Scalable Vector Graphics.
    Svg,
    /// A chart as Portable Network Graphics.
    Png,
    /// A chart as Portable Document Format.
    Pdf,
}

/// Options whose order among each other counts.
#[derive(Clone, Debug, Default)]
pub(super) struct TimelineArgs {
    /// As typed.
    pub(super) steps: Vec<TypedStep>,
}

/// One of them.
#[derive(Clone, Debug)]
pub(super) struct TypedStep {
    /// Its name without dashes: `at`, or what a script calls it.
    pub(super) option: &'static str,
    /// Its value.
    pub(super) words: String,
}

/// Name, what its value is called, and help of each.
const TIMELINE: [(&str, &str, &str); 6] = [
    ("at", "TIME", "When what follows is, up to the next --at: 2s, 1.5min"),
    (
        "set",
        "NAME=VALUE",
        "A condition: key=off, engine=600, coolant=215F, intake=, oil=, refrigerant=300psi, air=90psi, ambient=",
    ),
    ("do", "ACT", "An act: turn:S2=on, press:S4, jump:B1.1=B1.2, lift:W4@B1.2, unplug:Y1"),
    ("fault", "FAULT", "Something going wrong: open:W4, ground:B1.2, stuck:B1=open, leak:hose=1mm and more"),
    ("put-back", "ACT", "An act taken back: that lead off, that wire on again"),
    ("repair", "FAULT", "A fault made right again; blown:F1 puts a new fuse in, whatever blew the old one"),
];

impl Args for TimelineArgs {
    fn augment_args(command: clap::Command) -> clap::Command {
        command.args(TIMELINE.map(|(name, value, help)| {
            clap::Arg::new(name).long(name).value_name(value).help(help).action(clap::ArgAction::Append)
        }))
    }

    fn augment_args_for_update(command: clap::Command) -> clap::Command {
        Self::augment_args(command)
    }
}

impl clap::FromArgMatches for TimelineArgs {
    fn from_arg_matches(matches: &clap::ArgMatches) -> Result<Self, clap::Error> {
        let mut placed = Vec::new();
        for (option, ..) in TIMELINE {
            let places = matches.indices_of(option).into_iter().flatten();
            let values = matches.get_many::<String>(option).into_iter().flatten();
            placed.extend(places.zip(values).map(|(place, words)| (place, TypedStep { option, words: words.clone() })));
        }
        placed.sort_by_key(|(place, _)| *place);
        Ok(Self { steps: placed.into_iter().map(|(_, step)| step).collect() })
    }

    fn update_from_arg_matches(&mut self, matches: &clap::ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

/// `draw FILE --to OUT`
#[derive(Debug, Args)]
pub(super) struct DrawArgs {
    /// Circuit file
    #[arg(value_name = "FILE")]
    pub(super) file: PathBuf,
    #[command(flatten)]
    pub(super) world: WorldArgs,
    #[command(flatten)]
    pub(super) sheet: SheetArgs,
    /// Where to: a file ending in .svg, .png or .pdf, or - for standard output. A file that is there is replaced,
    /// whole or not at all
    #[arg(long, value_name = "OUT")]
    pub(super) to: PathBuf,
    /// Greys only, for a plain printer
    #[arg(long)]
    pub(super) grey: bool,
}

/// `card FILE [--to OUT]`
#[derive(Debug, Args)]
pub(super) struct CardArgs {
    /// Circuit file
    #[arg(value_name = "FILE")]
    pub(super) file: PathBuf,
    #[command(flatten)]
    pub(super) world: WorldArgs,
    #[command(flatten)]
    pub(super) sheet: SheetArgs,
    /// Where to: a file ending in .pdf, .svg or .png, or - for standard output; a file that is there is replaced, whole
    /// or not at all [default: FILE's name with -card.pdf, in this folder]
    #[arg(long, value_name = "OUT")]
    pub(super) to: Option<PathBuf>,
    /// Language of the card: en, es or fr
    #[arg(long, value_name = "LANGUAGE", default_value = "en")]
    pub(super) language: Language,
}

/// `make [--contacts open] ... [--to FILE]`
#[derive(Debug, Args)]
pub(super) struct MakeArgs {
    /// Contacts of sensors and switches at rest
    #[arg(long, value_name = "HOW", value_parser = names(Making::Contacts))]
    pub(super) contacts: Option<String>,
    /// What asks for the fan: coolant, intake, oil, refrigerant, with commas between [default: coolant,refrigerant]
    #[arg(long, value_name = "LIST")]
    pub(super) requests: Option<String>,
    /// Where something acts and returns: coolant=210F/195F, refrigerant=20bar/16bar
    #[arg(long, value_name = "NAME=ACTS/RETURNS")]
    pub(super) points: Vec<String>,
    /// Where the valve's coil is switched, and by what
    #[arg(long, value_name = "WHERE", value_parser = names(Making::By))]
    pub(super) by: Option<String>,
    /// What brings the clutch in
    #[arg(long, value_name = "WHAT", value_parser = names(Making::Clutch))]
    pub(super) clutch: Option<String>,
    /// The valve with its coil dead
    #[arg(long, value_name = "HOW", value_parser = names(Making::Valve))]
    pub(super) valve: Option<String>,
    /// What the driver has at the dash
    #[arg(long, value_name = "WHAT", value_parser = names(Making::Force))]
    pub(super) force: Option<String>,
    /// How the refrigerant's request gets to the coil
    #[arg(long, value_name = "HOW", value_parser = names(Making::Refrigerant))]
    pub(super) refrigerant: Option<String>,
    /// How long a timer holds, in seconds [default: 90]
    #[arg(long, value_name = "SECONDS")]
    pub(super) hold: Option<f64>,
    /// System voltage
    #[arg(long, value_name = "VOLTS", value_parser = names(Making::Volts))]
    pub(super) volts: Option<String>,
    /// Units of the figures
    #[arg(long, value_name = "UNITS", value_parser = names(Making::Units))]
    pub(super) units: Option<String>,
    /// What it is the circuit of [default: My truck]
    #[arg(long, value_name = "WORDS")]
    pub(super) title: Option<String>,
    /// Put the questions one by one
    #[arg(long)]
    pub(super) ask: bool,
    /// Where to: a file, or - for standard output; a file that is there is replaced, whole or not at all
    #[arg(long, value_name = "OUT", default_value = "-", value_hint = ValueHint::FilePath)]
    pub(super) to: PathBuf,
    /// Answer in JSON: the file's text and what it does
    #[arg(long)]
    pub(super) json: bool,
}

/// The answers to a question by their names, the usual one first.
fn names(question: Making) -> PossibleValuesParser {
    let choices = question.choices().iter();
    PossibleValuesParser::new(
        choices.map(|choice| PossibleValue::new(choice.name).help(String::from(choice.meaning.clone()))),
    )
}

/// `helpfiles --to FOLDER`
#[derive(Debug, Args)]
pub(super) struct HelpfilesArgs {
    /// Where to: a folder like ~/.local/share, made where it is missing
    #[arg(long, value_name = "FOLDER", value_hint = ValueHint::DirPath)]
    pub(super) to: PathBuf,
}

/// How something is put on paper.
#[derive(Debug, Args)]
pub(super) struct SheetArgs {
    /// The form, whatever the file's ending; needed with --to -
    #[arg(long = "as", value_name = "FORM", value_enum)]
    pub(super) form: Option<Form>,
    /// Which symbols: IEC 60617 or IEEE 315
    #[arg(long, value_name = "STANDARD", value_enum, default_value = "iec")]
    pub(super) symbols: SymbolSet,
    /// Paper of a page
    #[arg(long, value_name = "PAPER", value_enum, default_value = "a4")]
    pub(super) paper: Paper,
    /// Pixels to the inch of a PNG
    #[arg(long, value_name = "N", default_value_t = 150, value_parser = clap::value_parser!(u16).range(24..=1200))]
    pub(super) dpi: u16,
}

/// In which form a page or picture is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Form {
    /// Scalable Vector Graphics.
    Svg,
    /// Portable Network Graphics.
    Png,
    /// Portable Document Format.
    Pdf,
}

/// Which standard the symbols follow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum SymbolSet {
    /// IEC 60617.
    Iec,
    /// IEEE 315.
    Ieee,
}

/// Paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Paper {
    /// 210 mm x 297 mm.
    A4,
    /// 8.5 in x 11 in.
    Letter,
}

/// The state a question is about.
#[derive(Debug, Args)]
pub(super) struct WorldArgs {
    /// A condition: key=off, engine=600, coolant=215F, intake=, oil=, refrigerant=300psi, air=90psi, ambient=
    #[arg(long = "set", value_name = "NAME=VALUE")]
    pub(super) settings: Vec<String>,
    /// An act, in order: turn:S2=on, press:S4, jump:B1.1=B1.2, lift:W4@B1.2, unplug:Y1
    #[arg(long = "do", value_name = "ACT")]
    pub(super) acts: Vec<String>,
    /// Something wrong from the start: open:W4, ground:B1.2, stuck:B1=open, blown:F1 and more
    #[arg(long = "fault", value_name = "FAULT")]
    pub(super) faults: Vec<String>,
}
