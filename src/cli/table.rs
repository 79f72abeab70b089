//! `fanloom table`: the logic table, when the clutch engages in words, and what every single loss comes to.
//!
//! Only shapes the answer; it is found by [`study::table`](crate::study::table).

use serde_json::{Map, Value, json};

use crate::bench::Bench;
use crate::study::answer::Standing;
use crate::study::table::compare::{Comparison, compare};
use crate::study::table::logic::{Literal, Product, holds};
use crate::study::table::loss::{Effect, Loss, fail_safe};
use crate::study::table::trial::Remembered;
use crate::study::table::words::{effect, expression, fail_safe_sentences, lost_name, meaning, sentences};
use crate::study::table::{Input, Table, table};
use crate::study::wording::SAFETY;
use crate::words::Words;

use super::args::TableArgs;
use super::exit::{Ending, complain, print};
use super::plan::{Complaint, asked_of, beside};
use super::verdict::{counted, wrapped};

/// Rows up to which the text shows every one.
const SHOWN_ROWS: usize = 64;

/// How the losses were tried.
const LOST: &str = "Each fuse, wire and ground lost alone, then the key off, the battery off and no air; tried with \
nothing asking and with each thing that can ask:";

/// The other circuit with its table and how the two compare.
struct Other {
    title: String,
    comparison: Comparison,
}

pub(super) fn run(args: &TableArgs, colour: bool) -> Ending {
    match answer(args, colour) {
        Ok(answer) => {
            print(&answer);
            Ending::Done
        }
        Err(complaints) => complain(&complaints),
    }
}

fn answer(args: &TableArgs, colour: bool) -> Result<String, Vec<Complaint>> {
    let bench = asked_of(&args.state, colour)?;
    let of = |bench: &Bench, path: &std::path::Path| {
        table(bench).map_err(|refusal| {
            vec![Complaint::new(&format!("{} (in `{}`)", refusal.message, path.display()), &refusal.mend)]
        })
    };
    let found = of(&bench, &args.state.file)?;
    let other = match &args.against {
        Some(path) => {
            let other = beside(path, &args.state.world, colour)?;
            let comparison = compare(&found, &of(&other, path)?);
            Some(Other { title: other.circuit().title().to_owned(), comparison })
        }
        None => None,
    };
    Ok(if args.state.json { as_json(&bench, &found, other.as_ref()) } else { as_text(&bench, &found, other.as_ref()) })
}

fn as_json(bench: &Bench, table: &Table, other: Option<&Other>) -> String {
    let rows = (0..table.rows.len())
        .map(|row| json!({"set": set_of(table, row), "state": table.rows[row].word()}))
        .collect::<Vec<_>>();
    let safe = fail_safe(table);
    let mut answer = json!({
        "inputs": table.inputs.iter().map(|input| &input.name).collect::<Vec<_>>(),
        "rows": rows,
        "words": sentences(table),
        "minimal": {
            "expression": expression(table),
            "products": table.minimal.products.iter().map(|p| product_json(table, p)).collect::<Vec<_>>(),
            "exact": table.minimal.exact,
        },
        "meaning": meanings(bench, table),
        "remembers": table.remembered.iter().map(remembered_json).collect::<Vec<_>>(),
        "losses": table.losses.iter().map(loss_json).collect::<Vec<_>>(),
        "fail_safe": {
            "power": safe.map(|safe| safe.power),
            "air": safe.map(|safe| safe.air),
            "words": fail_safe_sentences(bench.circuit(), table),
        },
    });
    if let Some(other) = other {
        answer["against"] = against_json(table, other);
    }
    serde_json::to_string_pretty(&answer).expect("plain maps always make JSON") + "\n"
}

/// What each input is, by name.
fn meanings(bench: &Bench, table: &Table) -> Map<String, Value> {
    let named = |input: &Input| (input.name.clone(), json!(meaning(bench.circuit(), input)));
    table.inputs.iter().map(named).collect()
}

fn remembered_json(left: &Remembered) -> Value {
    json!({"after": left.after.short.trim_start_matches("after "), "state": left.standing.word()})
}

/// The value of each input in a row, by name.
fn set_of(table: &Table, row: usize) -> Map<String, Value> {
    let values = table.values_of(row);
    table.inputs.iter().zip(values).map(|(input, value)| (input.name.clone(), json!(input.values[value]))).collect()
}

/// The values each input that matters may have, by name.
fn product_json(table: &Table, product: &Product) -> Value {
    let allowed = |literal: Literal, values: &[String]| -> Vec<Value> {
        values.iter().enumerate().filter(|(value, _)| literal.allows(*value)).map(|(_, name)| json!(name)).collect()
    };
    let matters = table.inputs.iter().zip(product).filter(|(_, literal)| **literal != Literal::Free);
    let map: Map<String, Value> =
        matters.map(|(input, literal)| (input.name.clone(), Value::Array(allowed(*literal, &input.values)))).collect();
    Value::Object(map)
}

fn loss_json(loss: &Loss) -> Value {
    json!({
        "lost": loss.name,
        "what": loss.lost.word(),
        "effect": loss.effect.word(),
        "requests_lost": loss.requests_lost.iter().map(|request| &request.short).collect::<Vec<_>>(),
        "hidden_at_rest": loss.hidden_at_rest,
    })
}

fn against_json(table: &Table, other: &Other) -> Value {
    let mut answer = json!({"title": other.title, "same": other.comparison == Comparison::Same});
    match &other.comparison {
        Comparison::Same => {}
        Comparison::Differs { row, here, there, rows } => {
            answer["rows_differing"] = json!(rows);
            answer["first"] = json!({"set": set_of(table, *row), "state": here.word(), "against": there.word()});
        }
        Comparison::OtherInputs { only_here, only_there, unlike } => {
            answer["only_here"] = json!(only_here);
            answer["only_there"] = json!(only_there);
            answer["unlike"] = json!(unlike);
        }
    }
    answer
}

fn as_text(bench: &Bench, table: &Table, other: Option<&Other>) -> String {
    let title = bench.circuit().title();
    let mut lines =
        vec![format!("{title}: {}", counted(table.rows.len(), "combination", "combinations")), String::new()];
    if table.rows.len() <= SHOWN_ROWS {
        every_row(table, &mut lines);
    } else {
        engaged_rows(table, &mut lines);
    }
    if !table.inputs.is_empty() {
        lines.push("\nThe columns".to_owned());
    }
    for input in &table.inputs {
        lines.extend(wrapped(&format!("{}, {}", input.name, meaning(bench.circuit(), input))));
    }
    lines.push("\nIn words".to_owned());
    sentences(table).iter().for_each(|sentence| lines.extend(wrapped(sentence)));
    if !table.rows.contains(&Standing::None) {
        lines.extend(wrapped(&format!("As short as can be: {}", expression(table))));
    }
    if let Some(other) = other {
        lines.push(format!("\nAgainst {}", other.title));
        against_text(title, table, other).iter().for_each(|sentence| lines.extend(wrapped(sentence)));
    }
    if !table.losses.is_empty() {
        lines.push("\nIf it is lost".to_owned());
        lines.extend(wrapped(LOST));
        losses_text(&table.losses, &mut lines);
        lines.push("\nFail-safe?".to_owned());
        let sentences = fail_safe_sentences(bench.circuit(), table);
        sentences.iter().for_each(|sentence| lines.extend(wrapped(sentence)));
    }
    lines.push("\nSafety".to_owned());
    lines.extend(wrapped(&SAFETY));
    lines.join("\n") + "\n"
}

fn every_row(table: &Table, lines: &mut Vec<String>) {
    let mut cells = vec![headings(table, "clutch")];
    for (row, standing) in table.rows.iter().enumerate() {
        let values = table.values_of(row);
        let mut line: Vec<String> =
            table.inputs.iter().zip(values).map(|(input, value)| input.values[value].clone()).collect();
        line.push(standing.word().to_owned());
        cells.push(line);
    }
    aligned(&cells, lines);
}

/// The engaged rows of a large table, gathered by the products of the shortest expression.
fn engaged_rows(table: &Table, lines: &mut Vec<String>) {
    let all: Vec<Vec<usize>> = (0..table.rows.len()).map(|row| table.values_of(row)).collect();
    let mut cells = vec![headings(table, "rows")];
    for product in &table.minimal.products {
        let mut line: Vec<String> = table
            .inputs
            .iter()
            .zip(product)
            .map(|(input, literal)| match literal {
                Literal::Is(value) => input.values[*value].clone(),
                Literal::Not(value) => format!("not {}", input.values[*value]),
                Literal::Free => "-".to_owned(),
            })
            .collect();
        line.push(all.iter().filter(|values| holds(product, values)).count().to_string());
        cells.push(line);
    }
    aligned(&cells, lines);
    lines.push("  Only where the clutch engages; `-` stands for any value. --json has every row.".to_owned());
}

fn headings(table: &Table, last: &str) -> Vec<String> {
    table.inputs.iter().map(|input| input.name.clone()).chain([last.to_owned()]).collect()
}

/// Cells in columns, set in by two.
fn aligned(cells: &[Vec<String>], lines: &mut Vec<String>) {
    let columns = cells.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| cells.iter().map(|line| line[column].chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..columns).map(width).collect();
    for line in cells {
        let padded: Vec<String> = line.iter().zip(&widths).map(|(cell, width)| format!("{cell:<width$}")).collect();
        lines.push(format!("  {}", padded.join("  ")).trim_end().to_owned());
    }
}

fn against_text(title: &str, table: &Table, other: &Other) -> Vec<String> {
    match &other.comparison {
        Comparison::Same => vec!["The same logic: the clutch does the same in every row.".to_owned()],
        Comparison::Differs { row, here, there, rows } => {
            let set: Vec<String> = table
                .inputs
                .iter()
                .zip(table.values_of(*row))
                .map(|(input, value)| format!("{}={}", input.name, input.values[value]))
                .collect();
            vec![
                format!("Not the same logic: the clutch does otherwise in {} of {} rows.", rows, table.rows.len()),
                format!(
                    "The first is {}: {} in {title}, {} in {}.",
                    set.join(", "),
                    here.word(),
                    there.word(),
                    other.title
                ),
            ]
        }
        Comparison::OtherInputs { only_here, only_there, unlike } => {
            let said = |names: &[String], what: &str| {
                (!names.is_empty()).then(|| format!("{what}: {}.", crate::study::wording::list(names)))
            };
            ["The rows cannot be compared, because different things ask for the fan.".to_owned()]
                .into_iter()
                .chain(said(only_here, &format!("Only in {title}")))
                .chain(said(only_there, &format!("Only in {}", other.title)))
                .chain(said(unlike, "In both, but of another kind"))
                .collect()
        }
    }
}

/// Losses that come to the same in one line, the gravest first.
fn losses_text(losses: &[Loss], lines: &mut Vec<String>) {
    for kind in Effect::ALL {
        let mut groups: Vec<(Words, Vec<Words>)> = Vec::new();
        for loss in losses.iter().filter(|loss| loss.effect == kind) {
            let heading = effect(loss);
            match groups.iter_mut().find(|(known, _)| *known == heading) {
                Some((_, names)) => names.push(lost_name(loss)),
                None => groups.push((heading, vec![lost_name(loss)])),
            }
        }
        for (heading, names) in groups {
            lines.extend(wrapped(&format!("{heading}: {}", names.join(", "))));
        }
    }
}
