//! The arrows between the layers point one way. The table below is the rule; this file reads `src` and holds it up.
//!
//! A path is taken from wherever it stands (`use`, a group in braces, the middle of an expression), `crate`, `self`
//! and `super` resolved, and its first name looked up in the table. What the compiler checks already is left to it.

mod support;

use support::source::{PathUse, blanked, paths};
use support::{files_below, text_of};

/// A layer, and those it may name besides itself.
const LAYERS: &[(&str, &[&str])] = &[
    ("words", &[]),
    ("circuit", &["words"]),
    ("physics", &["words", "circuit"]),
    ("bench", &["words", "circuit", "physics"]),
    ("study", &["words", "circuit", "physics", "bench"]),
    ("drawing", &["words", "circuit", "physics", "bench", "study"]),
    ("report", &["words", "circuit", "physics", "bench", "study", "drawing"]),
    ("disk", &["words"]),
    ("gui", &["words", "circuit", "physics", "bench", "study", "drawing", "report", "disk"]),
    ("cli", &["words", "circuit", "physics", "bench", "study", "drawing", "report", "disk"]),
];

/// What only some files may name: the start of the path, and the starts of those files' names.
const ONLY_IN: &[(&[&str], &[&str])] = &[
    (&["egui"], &["src/gui/"]),
    (&["eframe"], &["src/gui/"]),
    (&["ron"], &["src/circuit/format/"]),
    (&["resvg"], &["src/report/paper.rs"]),
    (&["krilla"], &["src/report/paper.rs"]),
    (&["krilla_svg"], &["src/report/paper.rs"]),
    (&["ttf_parser"], &["src/report/font.rs", "src/report/embed.rs"]),
    (&["subsetter"], &["src/report/embed.rs"]),
    (&["base64"], &["src/report/embed.rs"]),
    (&["multiversion"], &["src/physics/electric/"]),
    (&["dirs"], &["src/gui/files.rs"]),
    (&["fluent_bundle"], &["src/words/catalogue.rs"]),
    (&["unic_langid"], &["src/words/catalogue.rs"]),
    (&["sys_locale"], &["src/gui/desktop.rs"]),
    (&["rfd"], &["src/gui/choosing.rs"]),
    (&["clap_complete"], &["src/cli/helpfiles.rs"]),
    (&["clap_mangen"], &["src/cli/helpfiles.rs"]),
    (&["petgraph"], &["src/circuit/graph.rs", "src/physics/electric/islands.rs"]),
    (&["std", "fs"], &["src/cli/", "src/disk.rs", "src/gui/files.rs"]),
    (&["std", "env"], &["src/cli/", "src/gui/", "src/main.rs"]),
    (&["std", "process"], &["src/cli/", "src/disk.rs", "src/gui/", "src/main.rs"]),
    (&["std", "net"], &[]),
    (&["std", "time"], &["src/gui/", "src/cli/"]),
    (&["rand"], &[]),
];

/// Words that have no place in a layer without clock and chance, however they got there.
const CLOCKS: &[&str] = &["Instant", "SystemTime", "RandomState", "thread_rng"];
/// The layers without them.
const TIMELESS: &[&str] = &["circuit", "physics", "bench", "study", "drawing", "report"];

/// What is wrong with one file, a line each.
fn crossings(path: &str, text: &str) -> Vec<String> {
    let home = path.trim_start_matches("src/").split(['/', '.']).next().unwrap_or_default();
    let mut found = Vec::new();
    for used in paths(path, text) {
        let told = |what: String| format!("{path}:{}: {what}", used.line);
        if let Some(why) = wrong_layer(home, &used) {
            found.push(told(why));
        }
        for (start, homes) in ONLY_IN {
            if used.starts_with(start) && !homes.iter().any(|h| path.starts_with(h)) {
                found.push(told(format!("names `{}`, which only {homes:?} may", start.join("::"))));
            }
        }
    }
    if TIMELESS.contains(&home) {
        for (number, line) in blanked(text).lines().enumerate() {
            for word in line.split(|c: char| !c.is_alphanumeric() && c != '_').filter(|w| CLOCKS.contains(w)) {
                found.push(format!("{path}:{}: names `{word}`, and this layer has no clock and no chance", number + 1));
            }
        }
    }
    found
}

fn wrong_layer(home: &str, used: &PathUse) -> Option<String> {
    // The binary names its library like any other crate.
    let from_root =
        used.below_root().or_else(|| used.segments.split_first().filter(|(c, _)| *c == "fanloom").map(|(_, r)| r));
    let layer = from_root?.first()?;
    if !LAYERS.iter().any(|(name, _)| name == layer) || layer == home {
        return None;
    }
    if used.handed_on {
        return Some(format!("hands on `{}`, which is another layer's", used.segments.join("::")));
    }
    if home == "drawing" && layer == "study" && from_root?.get(1).is_none_or(|inner| inner != "answer") {
        return Some("names more of `study` than its answers".to_owned());
    }
    let allowed: &[&str] = match home {
        "main" => &["gui", "cli"],
        "lib" => &[],
        _ => LAYERS.iter().find(|(name, _)| *name == home).map_or(&[], |(_, allowed)| *allowed),
    };
    (!allowed.contains(&layer.as_str())).then(|| format!("`{home}` names `{layer}`"))
}

#[test]
fn no_layer_names_one_after_it() {
    let found: Vec<String> = files_below("src", "rs").iter().flat_map(|path| crossings(path, &text_of(path))).collect();

    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn every_folder_and_file_of_the_source_is_a_layer_in_the_table() {
    let mut homes: Vec<String> = files_below("src", "rs")
        .iter()
        .filter_map(|p| p.trim_start_matches("src/").split(['/', '.']).next().map(str::to_owned))
        .filter(|home| home != "lib" && home != "main")
        .collect();
    homes.sort_unstable();
    homes.dedup();
    let mut layers: Vec<&str> = LAYERS.iter().map(|(name, _)| *name).collect();
    layers.sort_unstable();

    assert_eq!(homes, layers);
}

#[test]
fn the_library_hands_nothing_on() {
    let text = blanked(&text_of("src/lib.rs"));

    assert!(!text.contains("pub use"), "src/lib.rs re-exports something, which would hide where it comes from");
}

#[test]
fn every_way_of_crossing_is_caught() {
    let cases = [
        ("src/physics/settle.rs", "use crate::bench::Bench;"),
        ("src/physics/settle.rs", "use crate::{circuit::Circuit, bench::{Bench, Act}};"),
        ("src/physics/settle.rs", "fn f() { let x = format!(\"{}\", crate::study::words()); }"),
        ("src/physics/electric/network.rs", "use super::super::super::cli::run;"),
        ("src/bench/mod.rs", "use super::study::answer::Verdict;"),
        ("src/bench/mod.rs", "use super::{circuit::Circuit, drawing::Layout};"),
        ("src/bench/mod.rs", "mod inner { use super::super::gui::App; }"),
        ("src/gui/app.rs", "use crate::cli::args::Args;"),
        ("src/cli/mod.rs", "fn f() { crate::gui::run() }"),
        ("src/cli/mod.rs", "use egui::Color32;"),
        ("src/cli/mod.rs", "fn f() -> eframe::Result { todo!() }"),
        ("src/circuit/mod.rs", "use ron::Value;"),
        ("src/physics/settle.rs", "use petgraph::unionfind::UnionFind;"),
        ("src/study/mod.rs", "use std::{collections::BTreeMap, fs};"),
        ("src/gui/app.rs", "fn f() { let _ = std::fs::read(\"x\"); }"),
        ("src/study/mod.rs", "use std::time::Instant;"),
        ("src/study/mod.rs", "use std::collections::hash_map::RandomState;"),
        ("src/study/answer.rs", "pub use crate::circuit::Circuit;"),
        ("src/drawing/mod.rs", "use crate::study::explain::explain;"),
        ("src/main.rs", "use fanloom::physics::settle;"),
        ("src/lib.rs", "use crate::circuit::Circuit;"),
    ];
    for (path, text) in cases {
        assert!(!crossings(path, text).is_empty(), "nothing was found in {path}: {text}");
    }
}

#[test]
fn what_is_no_crossing_is_let_through() {
    let cases = [
        ("src/physics/settle.rs", "//! See [`bench`](crate::bench).\nuse crate::circuit::Circuit;"),
        ("src/physics/settle.rs", "fn f() -> &'static str { \"crate::bench::Bench and std::fs\" }"),
        ("src/physics/settle.rs", "/* use crate::cli::run; */ use super::electric::Network;"),
        ("src/physics/electric/network.rs", "#[cfg(test)]\nmod tests { use super::*; use super::super::Element; }"),
        ("src/circuit/format/mod.rs", "use super::super::circuit::Circuit; use ron::Value; fn f<'a>(x: &'a str) {}"),
        ("src/bench/mod.rs", "mod bench { fn f() { super::resolve::inputs() } }"),
        ("src/drawing/mod.rs", "use crate::{circuit::Circuit, study::answer::Verdict};"),
        ("src/gui/files.rs", "use std::fs; use egui::Ui;"),
        ("src/main.rs", "fn main() { fanloom::cli::run(); fanloom::gui::run(); }"),
        ("src/lib.rs", "pub mod circuit;\npub mod bench;"),
        ("src/physics/air.rs", "fn f() { let c = '\"'; let d = r#\"crate::cli::x\"#; }"),
    ];
    for (path, text) in cases {
        assert_eq!(crossings(path, text), Vec::<String>::new(), "in {path}: {text}");
    }
}
