//! `fanloom make`: a new circuit from answers, given as options or asked for one by one.
//!
//! The questions and what comes of the answers are [`study::making`](crate::study::making)'s. Questions and what the
//! circuit does go to standard error, so that the file alone can be piped on.

use std::io::BufRead;
use std::path::Path;

use serde_json::json;

use crate::bench::Refusal;
use crate::study::making::questions::Question;
use crate::study::making::{Answers, Made, make};
use crate::study::wording::SAFETY;

use super::args::MakeArgs;
use super::deliver::deliver;
use super::exit::{Ending, complain, message, print};
use super::plan::Complaint;
use super::verdict::wrapped;

pub(super) fn run(args: &MakeArgs) -> Ending {
    let made = answers(args).and_then(|answers| make(&answers));
    let made = match made {
        Ok(made) => made,
        Err(refusal) => return complain(&[Complaint::new(&refusal.message, &refusal.mend)]),
    };
    let is_printed = args.to == Path::new("-");
    if args.json {
        let answer = json!({ "title": made.circuit.title(), "file": made.text, "says": made.says });
        if !is_printed && let Err(complaint) = deliver(made.text.as_bytes(), &args.to) {
            return complain(&[complaint]);
        }
        print(&format!("{answer:#}\n"));
        return Ending::Done;
    }
    message(&told(&made));
    match deliver(made.text.as_bytes(), &args.to) {
        Ok(()) => Ending::Done,
        Err(complaint) => complain(&[complaint]),
    }
}

/// What the circuit does, and what to mind.
fn told(made: &Made) -> String {
    let mut told = String::new();
    for sentence in made.says.iter().map(|sentence| &**sentence).chain([
        "Set points, coils, fuses, sizes and lengths are example values: put in those of the truck.",
        &**SAFETY,
    ]) {
        for line in wrapped(sentence) {
            told.push_str(&line);
            told.push('\n');
        }
    }
    told
}

/// The answers that the options give, and those asked for.
fn answers(args: &MakeArgs) -> Result<Answers, Refusal> {
    let mut answers = Answers::default();
    let mut lines = std::io::stdin().lock().lines();
    let mut line = |words: &str| -> Result<String, Refusal> {
        message(words);
        match lines.next() {
            None => {
                Err(Refusal::new("the answers ended before the questions", "answer each question, or leave out --ask"))
            }
            Some(Ok(line)) => Ok(line.trim().to_owned()),
            Some(Err(why)) => Err(Refusal::new(format!("an answer cannot be read: {why}"), "type it again")),
        }
    };
    if let Some(title) = &args.title {
        answers.title.clone_from(title);
    } else if args.ask {
        let typed = line("What is it the circuit of?\n> ")?;
        if !typed.is_empty() {
            answers.title = typed;
        }
    }
    // Units come first: points are written in them.
    if let Some(name) = &args.units {
        Question::Units.answer(&mut answers, name)?;
    }
    if let Some(words) = &args.requests {
        answers.read_requests(words)?;
    } else if args.ask {
        let typed = line("What asks for the fan? Of coolant, intake, oil, refrigerant, with commas between.\n> ")?;
        if !typed.is_empty() {
            answers.read_requests(&typed)?;
        }
    }
    for question in Question::ALL {
        if let Some(name) = given(args, question) {
            question.answer(&mut answers, name)?;
        }
    }
    for question in Question::ALL.into_iter().filter(|question| args.ask && given(args, *question).is_none()) {
        if question.is_open(&answers) {
            let typed = line(&asked(question))?;
            if !typed.is_empty() {
                question.answer(&mut answers, &by_number(question, &typed))?;
            }
        }
    }
    if let Some(seconds) = args.hold {
        answers.hold_seconds = seconds;
    }
    args.points.iter().try_for_each(|points| answers.read_points(points))?;
    Ok(answers)
}

/// What an option answers.
fn given(args: &MakeArgs, question: Question) -> Option<&String> {
    match question {
        Question::Volts => args.volts.as_ref(),
        Question::Units => args.units.as_ref(),
        Question::Clutch => args.clutch.as_ref(),
        Question::By => args.by.as_ref(),
        Question::Contacts => args.contacts.as_ref(),
        Question::Valve => args.valve.as_ref(),
        Question::Force => args.force.as_ref(),
        Question::Refrigerant => args.refrigerant.as_ref(),
    }
}

/// The question with its answers, numbered.
fn asked(question: Question) -> String {
    let mut words = format!("{}\n", question.words());
    for (place, choice) in question.choices().iter().enumerate() {
        words.push_str(&format!("  {} {}: {}\n", place + 1, choice.name, choice.meaning));
    }
    words.push_str("> ");
    words
}

/// The name of an answer typed as its number, else what was typed.
fn by_number(question: Question, typed: &str) -> String {
    // A system of 12 or 24 volts is answered by name alone: no question has so many answers.
    let place = typed.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
    place
        .and_then(|place| question.choices().get(place))
        .map_or_else(|| typed.to_owned(), |choice| choice.name.to_owned())
}
