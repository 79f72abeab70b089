//! The fault table as text to read, and the same as Markdown.
//!
//! Both say the same in the same order; only headings and lists are written otherwise. What is said is found by
//! [`study::faults`](crate::study::faults).

use std::collections::BTreeMap;

use crate::bench::Fault;
use crate::study::faults::apart::Test;
use crate::study::faults::beyond::splits;
use crate::study::faults::looks::Readings;
use crate::study::faults::pairs::{Pair, Pairs};
use crate::study::faults::why::{Reason, reasons};
use crate::study::faults::words::{brought_about, name, names, pair, reason, resolution, shown, some, test, tool};
use crate::study::faults::{FaultTable, Group, Purpose, Shows};
use crate::study::wording::SAFETY;

use super::faults::Answer;
use super::verdict::{counted, wrapped};

/// Most of a kind that the text names; JSON has all.
const SHOWN: usize = 12;
/// Most tests that are told.
const SHOWN_TESTS: usize = 12;

/// How headings and lists are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Style {
    /// For a terminal.
    Text,
    /// Markdown.
    Markdown,
}

/// Lines in a style.
struct Page {
    style: Style,
    lines: Vec<String>,
}

impl Page {
    fn new(style: Style, title: String) -> Self {
        let title = if style == Style::Markdown { format!("# {title}") } else { title };
        Self { style, lines: vec![title] }
    }

    fn heading(&mut self, words: &str) {
        self.lines.push(match self.style {
            Style::Text => format!("\n{words}"),
            Style::Markdown => format!("\n## {words}\n"),
        });
    }

    fn item(&mut self, words: &str) {
        match self.style {
            Style::Text => self.lines.extend(wrapped(words)),
            Style::Markdown => self.lines.push(format!("- {words}")),
        }
    }

    /// Said of the item before.
    fn below(&mut self, words: &str) {
        match self.style {
            Style::Text => self.lines.extend(wrapped(words).iter().map(|line| format!("  {line}"))),
            Style::Markdown => self.lines.push(format!("  - {words}")),
        }
    }

    fn said(self) -> String {
        self.lines.join("\n") + "\n"
    }
}

pub(super) fn as_text(Answer { table, pairs }: &Answer, style: Style) -> String {
    let title = format!(
        "{}: {} in {} at {}",
        table.scene.circuit.title(),
        counted(table.faults.len(), "single fault", "single faults"),
        counted(table.states.len(), "state", "states"),
        counted(table.points.len(), "point", "points"),
    );
    let mut page = Page::new(style, title);
    page.heading("What can be told apart");
    coverage(table, &mut page);
    page.heading("Look-alikes");
    let alike: Vec<&Group> = table.groups.iter().filter(|g| g.members.len() > 1 && !g.is_healthy).collect();
    if alike.is_empty() {
        page.item("No two faults look alike everywhere.");
    }
    alike.iter().for_each(|group| group_text(table, group, &mut page));
    unseen(table, &mut page);
    chattering(table, &mut page);
    if let Some(pairs) = pairs {
        pairs_text(table, pairs, &mut page);
    }
    page.heading("The states");
    states(table, &mut page);
    page.heading("How closely");
    page.item(&resolution());
    page.heading("Safety");
    page.item(&SAFETY);
    page.said()
}

fn coverage(table: &FaultTable, page: &mut Page) {
    let all = table.states.len();
    let single = table.groups.iter().filter(|group| group.members.len() == 1 && !group.is_healthy).count();
    let shows = |wanted: fn(Shows) -> bool| (0..table.faults.len()).filter(|f| wanted(table.shows(*f))).count();
    page.item(&format!(
        "{} in all; {} told from every other fault and from a healthy truck.",
        counted(table.groups.len(), "group of look-alikes", "groups of look-alikes"),
        counted(single, "fault can be", "faults can be"),
    ));
    page.item(&format!(
        "By the fan alone {} can be told apart, with both gauges {}, with the meter at these points {}; as it stands, \
         nothing asking more, {}.",
        counted(table.told_apart_by(all, Readings::fan_alone), "group", "groups"),
        table.told_apart_by(all, Readings::without_volts),
        table.told_apart_by(all, Readings::clone),
        table.told_apart_by(1, Readings::clone),
    ));
    page.item(&format!(
        "{} as it stands, {} only once something asks, {} nowhere.",
        counted(shows(|s| s == Shows::Standing), "fault shows", "faults show"),
        shows(|s| matches!(s, Shows::Asked(_))),
        shows(|s| s == Shows::Nowhere),
    ));
}

fn group_text(table: &FaultTable, group: &Group, page: &mut Page) {
    let why = reasons(table, group);
    page.item(&names(table, &group.members).join(", "));
    for (why, faults) in &why {
        let whole = faults.len() == group.members.len();
        let who = if whole { String::new() } else { format!("{}: ", some(&names(table, faults), 4)) };
        page.below(&format!("{who}{}.", capital_if(whole, &reason(why))));
    }
    if !group.is_close {
        page.below("Not each is like each: some are joined by others that lie between them.");
    }
    for split in splits(table, group) {
        page.below(&format!("Told apart by {}: {}.", tool(table, &split.tool), shown(table, &split)));
    }
}

fn capital_if(first: bool, words: &str) -> String {
    let mut letters = words.chars();
    match letters.next() {
        Some(letter) if first => letter.to_uppercase().chain(letters).collect(),
        _ => words.to_owned(),
    }
}

/// Faults that show only once something asks, by the state that shows them, and those that show nowhere.
fn unseen(table: &FaultTable, page: &mut Page) {
    let mut by_state: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for fault in 0..table.faults.len() {
        if let Shows::Asked(state) = table.shows(fault) {
            by_state.entry(state).or_default().push(fault);
        }
    }
    page.heading("Unseen until something asks");
    if by_state.is_empty() {
        page.item("Nothing: what shows at all shows as it stands.");
    }
    for (state, faults) in &by_state {
        page.item(&format!("{}: {}", table.states[*state].name(), names(table, faults).join(", ")));
    }
    page.heading("Unseen everywhere");
    let healthy = table.groups.iter().find(|group| group.is_healthy);
    let Some(healthy) = healthy else { return page.item("Nothing.") };
    page.item(&format!("{}: {}.", names(table, &healthy.members).join(", "), reason(&Reason::NothingChanges)));
    for split in splits(table, healthy) {
        page.below(&format!("Shown by {}: {}.", tool(table, &split.tool), shown(table, &split)));
    }
}

fn chattering(table: &FaultTable, page: &mut Page) {
    let found: Vec<(usize, Vec<usize>)> = (0..table.faults.len())
        .map(|fault| (fault, table.chatters_in(fault)))
        .filter(|(_, states)| !states.is_empty())
        .collect();
    if found.is_empty() {
        return;
    }
    page.heading("Never at rest");
    for (fault, states) in found {
        let states: Vec<String> = states.iter().map(|state| table.states[*state].name()).collect();
        page.item(&format!("{}: {}", table.faults[fault], some(&states, 4)));
    }
}

fn pairs_text(table: &FaultTable, pairs: &Pairs, page: &mut Page) {
    page.heading("Two faults at a time");
    let hides: Vec<&(Pair, Vec<usize>)> =
        pairs.like_one.iter().filter(|((one, other), like)| like.contains(one) || like.contains(other)).collect();
    let alone = pairs.groups.iter().filter(|group| group.len() == 1).count();
    let count = |number: usize| counted(number, "pair", "pairs");
    page.item(&format!("{} in all.", count(pairs.count)));
    page.item(&format!(
        "{} look like one of the two faults: it hides the other. {} look like one fault, but another.",
        count(hides.len()),
        count(pairs.like_one.len() - hides.len())
    ));
    page.item(&format!(
        "{} look like no single fault; {} of these can be told from every other pair, the rest lie in {} groups.",
        count(pairs.groups.iter().map(Vec::len).sum()),
        alone,
        pairs.groups.len() - alone
    ));
    page.item(&format!(
        "{} of faults that show nowhere by themselves look healthy together too.",
        count(pairs.unseen.len())
    ));
    let told = |some: &[Pair], page: &mut Page| {
        some.iter().take(SHOWN).for_each(|two| page.below(&pair(table, *two)));
        if some.len() > SHOWN {
            page.below(&format!("and {} more; --json has every one", some.len() - SHOWN));
        }
    };
    page.item(&format!(
        "{} cancel: the truck looks healthy until one of the two is mended.",
        count(pairs.cancel.len())
    ));
    told(&pairs.cancel, page);
    let another: Vec<Pair> = pairs
        .like_one
        .iter()
        .filter(|((one, other), like)| !like.contains(one) && !like.contains(other))
        .map(|(two, _)| *two)
        .collect();
    if !another.is_empty() {
        page.item("Pairs that look like one fault that is neither of them:");
    }
    for two in another.iter().take(SHOWN) {
        let like = pairs.like_one.iter().find(|(pair, _)| pair == two).map(|(_, like)| names(table, like));
        page.below(&format!("{}: like {}", pair(table, *two), some(&like.unwrap_or_default(), 3)));
    }
    if another.len() > SHOWN {
        page.below(&format!("and {} more; --json has every one", another.len() - SHOWN));
    }
}

/// States beyond which only how many there are is said.
const SHOWN_STATES: usize = 64;

fn states(table: &FaultTable, page: &mut Page) {
    for state in table.states.iter().take(SHOWN_STATES) {
        let how = brought_about(state);
        let how = if how.is_empty() { String::new() } else { format!(" ({})", how.join(", ")) };
        let what = match state.purpose {
            Purpose::Between => ", where only a drifted switch differs",
            Purpose::Left => ", come and gone: what it leaves behind",
            Purpose::Stands | Purpose::Asked => "",
        };
        page.item(&format!("{}{how}{what}", state.name()));
    }
    if table.states.len() > SHOWN_STATES {
        page.item(&format!("and {} more; --json has every one", table.states.len() - SHOWN_STATES));
    }
}

/// What tells two faults apart.
pub(super) fn apart_text(table: &FaultTable, two: [Option<&Fault>; 2], tests: &[Test]) -> String {
    let [one, other] = two.map(name);
    let mut page = Page::new(Style::Text, format!("{}: {one} or {other}", table.scene.circuit.title()));
    if tests.is_empty() {
        page.heading("Nothing tells them apart");
        page.item("In no state does any of these points, a gauge or the fan read otherwise.");
        let known = |fault: Option<&Fault>| fault.and_then(|fault| table.faults.iter().position(|f| f == fault));
        let members: Vec<usize> = two.into_iter().filter_map(known).collect();
        let group = Group { members, is_healthy: two.contains(&None), is_close: true };
        for (why, _) in reasons(table, &group) {
            page.item(&format!("{}.", capital_if(true, &reason(&why))));
        }
        for split in splits(table, &group) {
            page.item(&format!("Told apart by {}: {}.", tool(table, &split.tool), shown(table, &split)));
        }
    } else {
        page.heading("Tests, the least trouble first");
        tests.iter().take(SHOWN_TESTS).for_each(|found| page.item(&test(table, found)));
        if tests.len() > SHOWN_TESTS {
            page.item(&format!("and {} more; --json has every one", tests.len() - SHOWN_TESTS));
        }
    }
    page.heading("Safety");
    page.item(&SAFETY);
    page.said()
}
