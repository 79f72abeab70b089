//! Pages: the card for the cab and the drawing, for every shipped circuit on both papers, and how they get to a file.
//!
//! The pages are looked at as what they are made of (areas, SVG text, PDF and PNG bytes); the last tests run the
//! built program.

#![expect(clippy::unwrap_used, reason = "a test that cannot read a circuit or run the program has failed")]

use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::sync::{Arc, OnceLock};

use fanloom::bench::{Act, Action, Bench, Setting};
use fanloom::circuit::format::read;
use fanloom::circuit::shipped::SHIPPED;
use fanloom::drawing::{Layout, Show, Symbols, Theme, draw, svg};
use fanloom::report::embed::with_font;
use fanloom::report::{Card, Page, Size, paper, sheet};
use fanloom::study::answer::Level;
use fanloom::study::preview;
use fanloom::study::prove::{Class, Proof, prove};
use fanloom::words::{Language, Measure};

const SIZES: [Size; 2] = [Size::A4, Size::Letter];

fn bench(text: &str) -> Bench {
    Bench::new(Arc::new(read(text).circuit.unwrap()))
}

/// A shipped circuit with its proof and card.
struct Made {
    name: &'static str,
    bench: Bench,
    proof: Proof,
    card: Card,
}

/// Every shipped circuit; the search behind a card is made once.
fn made() -> &'static [Made] {
    static MADE: OnceLock<Vec<Made>> = OnceLock::new();
    MADE.get_or_init(|| {
        let made = |(name, text): (&'static str, &str)| {
            let bench = bench(text);
            let proof = prove(&bench);
            let card = Card::of_proof(&bench, &proof, Symbols::default(), Measure::AsWritten);
            Made { name, bench, proof, card }
        };
        SHIPPED.into_iter().map(made).collect()
    })
}

fn card(name: &str) -> &'static Card {
    &made().iter().find(|made| made.name == name).unwrap().card
}

/// All words of an SVG, marks and embedded letters taken away.
fn words_of(svg: &str) -> String {
    let bare = svg.split("<style>").map(|piece| piece.split_once("</style>").map_or(piece, |(_, rest)| rest));
    let text: String = bare
        .flat_map(|piece| piece.split('<'))
        .map(|piece| piece.split_once('>').map_or(String::new(), |(_, text)| format!("{text} ")))
        .collect();
    text.replace("&amp;", "&").split_whitespace().collect::<Vec<_>>().join(" ").replace(" ,", ",").replace(" ;", ";")
}

/// All words of a card.
fn words(name: &str) -> String {
    words_of(&sheet::card(card(name), Size::A4).svg())
}

/// What stands in a text from one heading to another.
#[track_caller]
fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let (_, rest) = text.split_once(from).unwrap_or_else(|| panic!("no `{from}` in {text}"));
    rest.split_once(to).unwrap_or_else(|| panic!("no `{to}` after `{from}` in {text}")).0
}

/// The acts that a card's list says in words, in the grammar, row by row as far as `then` joins them.
fn told(list: &str) -> Vec<Vec<String>> {
    let words: Vec<&str> = list.split_whitespace().map(|word| word.trim_matches([',', ';', ':', '.'])).collect();
    let mut rows: Vec<Vec<String>> = Vec::new();
    for (i, word) in words.iter().enumerate() {
        let next = |n: usize| words.get(i + n).copied().unwrap_or_default();
        let act = match *word {
            "Unplug" => format!("unplug:{}", next(1)),
            "Press" => format!("press:{}", next(1)),
            "Open" | "Close" => format!("turn:{}=on", next(1)),
            "Turn" => format!("turn:{}={}", next(1), next(3)),
            "Lift" => format!("lift:{}@{}", next(1), next(3)),
            "Fused" | "fused" if next(1) == "lead" => format!("jump:{}={}", next(4), next(6)),
            _ => continue,
        };
        match rows.last_mut().filter(|_| *word == "fused") {
            Some(row) => row.push(act),
            None => rows.push(vec![act]),
        }
    }
    rows
}

/// The card of a shipped circuit as the built program writes it, in words, and as SVG.
fn by_program(name: &str, paper: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let file = format!("circuits/{name}.ron");
    let output = fanloom(&["card", &file, "--to", "card.svg", "--paper", paper], folder.path());
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    std::fs::read_to_string(folder.path().join("card.svg")).unwrap()
}

fn answer(args: &[&str]) -> serde_json::Value {
    let output = fanloom(args, Path::new("."));
    assert_eq!(output.status.code(), Some(0), "{args:?}: {}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

#[track_caller]
fn keeps_to_itself(page: &Page, of: &str) {
    let areas = page.areas();
    assert!(areas.len() > 1, "{of}: nothing is on the page");
    for (i, area) in areas.iter().enumerate() {
        let inside = area.x >= 18.0
            && area.y >= 18.0
            && area.x + area.width <= page.width - 18.0
            && area.y + area.height <= page.height - 18.0;
        assert!(inside, "{of}: {area:?} leaves {} x {}", page.width, page.height);
        for other in &areas[i + 1..] {
            assert!(!area.overlaps(other), "{of}: {area:?} covers {other:?}");
        }
    }
}

#[track_caller]
fn is_one_page(pdf: &[u8], (width, height): (f32, f32), of: &str) {
    let text = String::from_utf8_lossy(pdf);
    assert!(pdf.starts_with(b"%PDF-") && text.trim_end().ends_with("%%EOF"), "{of}");
    assert!(text.contains("/Count 1"), "{of}: not one page");
    let media = text.split_once("/MediaBox").unwrap().1;
    let numbers: Vec<f32> = media
        .trim_start_matches([' ', '['])
        .split(']')
        .next()
        .unwrap()
        .split_whitespace()
        .map(|n| n.parse().unwrap())
        .collect();
    assert!((numbers[2] - width).abs() < 0.5 && (numbers[3] - height).abs() < 0.5, "{of}: {numbers:?}");
    assert!(text.contains("/FontFile2") && text.contains("/ToUnicode"), "{of}: no searchable font inside");
}

#[test]
fn nothing_on_a_card_covers_anything_or_leaves_the_sheet() {
    for Made { name, card, .. } in made() {
        for size in SIZES {
            keeps_to_itself(&sheet::card(card, size), &format!("{name} on {size:?}"));
        }
    }
}

/// In Spanish and French sentences were cut after two or three lines where there was room for more.
#[test]
fn no_sentence_on_a_card_is_cut_in_any_language() {
    for Made { name, card, .. } in made() {
        for language in Language::ALL {
            for size in SIZES {
                let page = sheet::card_in(language, card, size);
                keeps_to_itself(&page, &format!("{name} in {language:?} on {size:?}"));
                let words = words_of(&page.svg());
                assert!(!words.contains('\u{2026}'), "{name} in {language:?} on {size:?}: {words}");
            }
        }
    }
}

#[test]
fn a_card_is_one_page_of_its_paper() {
    for Made { name, card, .. } in made() {
        for size in SIZES {
            let page = sheet::card(card, size);
            let (short, long) = size.points();
            let sides = (page.width.min(page.height), page.width.max(page.height));
            assert_eq!(sides, (short, long), "{name}");
            is_one_page(&paper::pdf(&page.svg(), name).unwrap(), (page.width, page.height), name);
        }
    }
}

#[test]
fn a_drawing_is_one_page_of_its_paper() {
    for Made { name, bench, .. } in made() {
        let circuit = bench.circuit();
        let picture = draw(&Layout::of(circuit), circuit, &Show::of(bench));
        for size in SIZES {
            let page = sheet::drawing(&picture, circuit.title(), size, Theme::Light);
            keeps_to_itself(&page, name);
            is_one_page(&paper::pdf(&page.svg(), page.title()).unwrap(), (page.width, page.height), name);
            let (short, long) = size.points();
            assert_eq!(short.min(long), page.width.min(page.height), "{name}");
        }
    }
}

#[test]
fn a_png_has_the_pixels_its_dpi_ask_for() {
    let Made { bench, card, .. } = &made()[0];
    let circuit = bench.circuit();
    let picture = draw(&Layout::of(circuit), circuit, &Show::of(bench));
    let letter = sheet::card(card, Size::Letter).svg();
    let side = |png: &[u8], at: usize| u32::from_be_bytes(png[at..at + 4].try_into().unwrap());
    let wanted =
        [(letter, 72.0, 612, 792), (svg(&picture, Theme::Light), 96.0, picture.width as u32, picture.height as u32)];
    for (svg, dpi, width, height) in wanted {
        let png = paper::png(&svg, dpi).unwrap();
        assert_eq!(png[..8], *b"\x89PNG\r\n\x1a\n");
        assert_eq!((side(&png, 16), side(&png, 20)), (width, height));
        let pixels = paper::pixels(&svg, dpi).unwrap();
        assert_eq!((pixels.width, pixels.height, pixels.rgba.len()), (width, height, (4 * width * height) as usize));
    }
}

#[test]
fn a_png_beyond_all_measure_is_refused() {
    let page = Page::new((2000.0, 2000.0), "large");
    let why = paper::png(&page.svg(), 1200.0).unwrap_err();
    assert!(why.message.contains("pixels") && why.mend.contains("fewer dpi"), "{why:?}");
}

#[test]
fn the_same_circuit_gives_the_same_bytes() {
    let again = Card::of(&bench(SHIPPED[0].1), Symbols::default());
    // Several times, as an order that chance chooses may come out alike once.
    let pdf = |card| paper::pdf(&sheet::card(card, Size::A4).svg(), "card").unwrap();
    let first = pdf(&made()[0].card);
    assert!((0..4).all(|_| pdf(&again) == first));
}

#[test]
fn the_built_program_writes_the_same_pdf_twice() {
    let folder = tempfile::tempdir().unwrap();
    for (name, paper) in [("coach-24v", "a4"), ("module-high-side", "letter")] {
        let file = format!("circuits/{name}.ron");
        let read = |to: &str| {
            let output = fanloom(&["card", &file, "--to", to, "--paper", paper], folder.path());
            assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
            std::fs::read(folder.path().join(to)).unwrap()
        };
        let (one, other) = (read("one.pdf"), read("other.pdf"));
        assert!(one == other, "{name}: two runs give two files");
        let size = if paper == "a4" { Size::A4 } else { Size::Letter };
        let page = sheet::card(card(name), size);
        is_one_page(&one, (page.width, page.height), name);
    }
}

#[test]
fn a_card_tells_the_acts_of_prove_and_none_with_more_than_a_caution() {
    for Made { name, proof, card, .. } in made() {
        let svg = match *name {
            "series-closed" | "module-high-side" | "seal-in" => by_program(name, "letter"),
            _ => sheet::card(card, Size::Letter).svg(),
        };
        let text = words_of(&svg);
        let lists = [
            (between(&text, "TO ENGAGE", "TO RELEASE"), &proof.engage),
            (between(&text, "TO RELEASE", "Supply gauge"), &proof.release),
        ];
        let mut count = 0;
        for (list, found) in lists {
            for acts in told(list) {
                count += 1;
                let same = |known: &&fanloom::study::prove::ProvingAct| {
                    known.acts.iter().map(Act::to_string).collect::<Vec<_>>() == acts
                };
                let class = found.iter().find(same).map(|known| known.class);
                if matches!(class, Some(Class::Usual | Class::Workable)) {
                    continue;
                }
                assert_eq!(class, None, "{name} tells {acts:?}");
                // What lets go a circuit that holds itself in, or what a plug taken off first makes safe.
                let file = format!("circuits/{name}.ron");
                let mut args = vec!["verdict", &file, "--json"];
                args.extend(acts.iter().flat_map(|act| ["--do", act]));
                let verdict = answer(&args);
                let levels: Vec<&str> =
                    verdict["hazards"].as_array().unwrap().iter().map(|h| h["level"].as_str().unwrap()).collect();
                assert!(levels.iter().all(|level| *level == "caution"), "{name} tells {acts:?}: {levels:?}");
                assert_eq!(verdict["clutch"]["state"], "released", "{name} tells {acts:?}");
            }
        }
        assert!(count >= 1, "{name} tells no act: {text}");
    }
}

#[test]
fn a_wire_taken_off_is_told_at_one_end_only() {
    for Made { name, card, .. } in made() {
        let steps = card.engage.steps.iter().chain(&card.release.steps);
        let wires: Vec<String> = steps
            .flat_map(|step| &step.acts)
            .filter_map(|act| match act {
                Act::Lift(end) => Some(end.wire.clone()),
                _ => None,
            })
            .collect();
        let mut once = wires.clone();
        once.sort();
        once.dedup();
        assert_eq!(wires.len(), once.len(), "{name}: {wires:?}");
    }
}

#[test]
fn what_not_to_do_is_a_danger_of_that_very_circuit() {
    let mut tried = 0;
    for Made { name, bench, proof, .. } in made() {
        let text = words(name);
        // What is filled in by hand may come before it or after it.
        let (_, section) = text.split_once("What not to do here").unwrap();
        let section = section.split("Put everything back").next().unwrap();
        assert!(section.contains("DANGER"), "{name}: {section}");
        let mut states = vec![bench.clone()];
        for setting in proof.release_under.into_iter().chain([Setting::Engine(600.0)]) {
            let mut state = bench.clone();
            state.apply(Action::Set(setting)).unwrap();
            states.push(state);
        }
        let pole = |words: &str| if words == "ground" { ground(bench) } else { "G1.+".to_owned() };
        for line in section.split("A lead from ").skip(1) {
            let (names, rest) = line.split_once(" to ").unwrap();
            if names.contains('+') || names.starts_with('N') {
                continue;
            }
            let (pole_words, why) = rest.split_once(". ").unwrap();
            assert!(why.starts_with("Supply shorted"), "{name}: {why}");
            for terminal in names.replace(" or ", ", ").split(", ") {
                let act: Act = format!("jump:{terminal}={}", pole(pole_words)).parse().unwrap();
                let hurts = |state: &Bench| {
                    let after = preview(state, std::slice::from_ref(&act)).unwrap();
                    after.verdict.hazards.iter().any(|hazard| hazard.level == Level::Danger)
                };
                assert!(states.iter().any(hurts), "{name}: {act} is called a danger");
                tried += 1;
            }
        }
    }
    assert!(tried > 40, "only {tried} leads are warned of");
}

/// A ground terminal of a circuit.
fn ground(bench: &Bench) -> String {
    let circuit = bench.circuit();
    let is_ground = |part: &fanloom::circuit::Part| matches!(part.kind, fanloom::circuit::Kind::Ground(_));
    let ground = circuit.parts().iter().find(|part| is_ground(part)).unwrap();
    format!("{}.g", ground.tag)
}

#[test]
fn what_is_put_back_is_exactly_what_was_done() {
    for Made { name, .. } in made() {
        let text = words(name);
        let done: Vec<String> = told(between(&text, "TO ENGAGE", "Supply gauge")).into_iter().flatten().collect();
        let list = between(&text, "Put everything back", "Fuses whole");
        let mut left: Vec<&str> = list
            .split([' ', ',', '(', ')', ':'])
            .filter(|word| word.len() >= 2 && word.chars().any(|c| c.is_ascii_digit()))
            .collect();
        for act in &done {
            let (verb, of) = act.split_once(':').unwrap();
            let names: Vec<&str> =
                if verb == "jump" { of.split('=').collect() } else { of.split(['=', '@']).take(1).collect() };
            if verb == "press" {
                continue;
            }
            for named in names {
                assert!(list.contains(named), "{name}: {act} is not put back in `{list}`");
                left.retain(|word| *word != named);
            }
        }
        assert!(left.is_empty(), "{name}: {left:?} are put back but were never touched");
    }
}

#[test]
fn no_letter_on_a_card_is_below_five_and_a_half_points() {
    for Made { name, card, .. } in made() {
        for size in SIZES {
            let svg = sheet::card(card, size).svg();
            let (_, scaled) = svg.split_once(" scale(").unwrap();
            let (scale, scaled) = scaled.split_once(')').unwrap();
            let (drawing, _) = scaled.split_once("</svg>").unwrap();
            let scale: f32 = scale.parse().unwrap();
            let sizes = |text: &str| -> Vec<f32> {
                text.split("font-size=\"").skip(1).map(|t| t.split('"').next().unwrap().parse().unwrap()).collect()
            };
            let least = sizes(drawing).into_iter().map(|size| size * scale).fold(f32::MAX, f32::min);
            assert!(least >= 5.5, "{name} on {size:?}: the drawing has letters of {least} points");
            let page = svg.replace(drawing, "");
            assert!(sizes(&page).into_iter().all(|size| size >= 5.5), "{name} on {size:?}");
        }
    }
}

#[test]
fn the_svg_of_a_card_brings_its_letters_and_stays_text() {
    let svg = by_program("series-closed", "a4");
    assert_eq!(svg.matches("@font-face").count(), 2);
    assert!(!svg.contains("Ubuntu") && svg.contains(">Unplug B1<"), "{}", words_of(&svg));
    assert!(svg.len() < 200_000, "{} bytes", svg.len());
    let bare = sheet::card(card("series-closed"), Size::A4).svg();
    assert_eq!(words_of(&with_font(&bare)), words_of(&bare));
}

#[test]
fn each_act_shows_what_it_should() {
    for Made { name, card, .. } in made() {
        for step in card.engage.steps.iter().filter(|step| !step.acts.is_empty()) {
            assert_eq!(step.reading.fan, "stiff", "{name}: {step:?}");
        }
        for step in card.release.steps.iter().filter(|step| !step.acts.is_empty()) {
            assert_eq!(step.reading.fan, "free", "{name}: {step:?}");
        }
        assert!(card.release.steps.iter().any(|step| !step.acts.is_empty()), "{name} tells no way to release");
    }
}

#[test]
fn the_style_is_settled_and_said_in_four_senses() {
    // Which senses go together: common practice, no source.
    let says =
        |name: &str| -> Vec<String> { card(name).style.iter().map(|t| format!("{} {}", t.says, t.detail)).collect() };
    let closed = says("series-closed").join("\n");
    for tell in [
        "B1 and B2 closed at rest",
        "coil live when cold",
        "circuit “normally closed”",
        "passes air with its coil dead",
        "plumbed “normally open”",
        "air engages it",
    ] {
        assert!(closed.contains(tell), "{tell} in {closed}");
    }
    assert!(says("parallel-open").join("\n").contains("coil dead when cold"));
    assert!(says("relay-inverted").join("\n").contains("a mixed circuit"));
    assert!(says("spring-applied").join("\n").contains("a spring engages it"));
    let high = says("module-high-side").join("\n");
    assert!(high.contains("coil live when cold, engine running"), "{high}");
}

#[test]
fn the_act_that_engages_one_style_is_not_told_of_the_other() {
    let (open, closed) = (words("parallel-open"), words("series-closed"));
    let engage = |words: &str| between(words, "TO ENGAGE", "TO RELEASE").to_owned();
    assert!(engage(&open).contains("Fused lead 5 A: B1.1 to B1.2") && !engage(&open).contains("Unplug B1"), "{open}");
    assert!(engage(&closed).contains("Unplug B1") && !engage(&closed).contains("Fused lead"), "{closed}");
}

#[test]
fn a_grounded_feed_that_only_seems_to_pass_is_called_so() {
    let coach = words("coach-24v");
    assert!(coach.contains("F1 opens") && coach.contains("looks like a pass"), "{coach}");
    assert!(words("ground-side").contains("to battery +."), "grounding copies the switch there; feeding shorts");
}

#[test]
fn a_clutch_engaged_at_rest_is_released_with_the_module_unplugged_or_the_engine_running() {
    let high = words("module-high-side");
    let release = between(&high, "TO RELEASE", "Supply gauge");
    assert!(release.contains("Unplug A1, the engine module, then fused lead 5 A: A1.supply to A1.out"), "{release}");
    assert!(release.contains("Or start the engine, cold: watch from outside the fan's reach"), "{release}");
    assert!(between(&high, "TO ENGAGE", "TO RELEASE").contains("Nothing to do"), "{high}");
    assert!(high.contains("A lead holds A1.out at supply with the module in place"), "{high}");
}

#[test]
fn a_seal_in_circuit_is_released_by_its_own_switch() {
    let sealed = words("seal-in");
    assert!(sealed.contains("Press S3, the push switch, and let go: after S2 it holds itself in"), "{sealed}");
}

#[test]
fn a_coil_is_called_fed_only_where_it_is() {
    assert!(words("series-closed").contains("A dead short at once: the coil is fed as it stands."));
    assert!(words("dash-selector").contains("Nothing while the coil is dead"));
}

#[test]
fn every_card_carries_the_cautions_the_restore_list_and_blanks() {
    for Made { name, .. } in made() {
        let words = words(name);
        for tell in [
            "Parking brake on, wheels blocked",
            "with the engine stopped and the key on",
            "With the engine running watch from outside the fan's reach",
            "Supply air at",
            "or more: below that a test proves nothing",
            "Fused leads only; insulate lifted ends",
            "put everything back and check once more",
            "The vehicle maker's procedure, local codes and licensed practice come first",
            "Sensor contacts",
            "Valve as plumbed",
            "Put everything back",
            "one whole cycle by itself, fan off – on – off",
            "Mileage",
            "Signature",
            "Supply gauge",
        ] {
            assert!(words.contains(tell), "{name} lacks `{tell}`: {words}");
        }
    }
}

#[test]
fn long_words_and_markup_from_the_file_stay_on_the_sheet() {
    let long = "very ".repeat(400) + &"x".repeat(3000);
    let text =
        SHIPPED[0].1.replace("Gravel tipper 12", &format!("<b>&{long}")).replace("Coolant and refrigerant", &long);
    let card = Card::of(&bench(&text), Symbols::Ieee315);
    for size in SIZES {
        let page = sheet::card(&card, size);
        keeps_to_itself(&page, "long words");
        paper::pdf(&page.svg(), page.title()).unwrap();
    }
}

#[test]
fn a_circuit_without_a_valve_still_makes_a_page() {
    let text = SHIPPED[0].1;
    let bare: String = text
        .lines()
        .filter(|l| {
            !l.contains("\"Y1\"")
                && !l.contains("\"W6\"")
                && !l.contains("\"W7\"")
                && !l.contains("air:")
                && !l.contains("clutch:")
        })
        .map(|l| format!("{l}\n"))
        .collect();
    let Some(circuit) = read(&bare).circuit else { panic!("{bare}") };
    let card = Card::of(&Bench::new(Arc::new(circuit)), Symbols::default());
    keeps_to_itself(&sheet::card(&card, Size::A4), "no valve");
}

#[test]
fn a_planted_fault_and_an_act_are_said_on_the_card() {
    let mut bench = bench(SHIPPED[0].1);
    bench.apply(Action::Plant("resist:W6=5ohm".parse().unwrap())).unwrap();
    bench.apply(Action::Do("turn:S2=on".parse().unwrap())).unwrap();
    let card = Card::of(&bench, Symbols::default());
    let said = card.conditions.to_string();
    assert!(said.contains("5 Ω in W6") && said.contains("Open S2"), "in words, as the contact goes: {said}");
    assert!(!said.contains("resist:") && !said.contains("turn:"), "{said}");
}

fn fanloom(args: &[&str], folder: &Path) -> Output {
    let circuits = concat!(env!("CARGO_MANIFEST_DIR"), "/circuits/");
    let args: Vec<String> = args.iter().map(|arg| arg.replace("circuits/", circuits)).collect();
    Command::new(env!("CARGO_BIN_EXE_fanloom")).args(args).current_dir(folder).stdin(Stdio::null()).output().unwrap()
}

#[track_caller]
fn refused(args: &[&str], code: i32, tells: &[&str]) {
    let folder = tempfile::tempdir().unwrap();
    let output = fanloom(args, folder.path());
    let message = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(code), "{args:?}: {message}");
    assert!(output.stdout.is_empty(), "{args:?}");
    assert!(tells.iter().all(|tell| message.contains(tell)), "{args:?} should say {tells:?}, said:\n{message}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0, "{args:?} left something behind");
}

const TIPPER: &str = "circuits/series-closed.ron";

#[test]
fn places_and_forms_that_make_no_sense_are_told_why() {
    refused(&["draw", TIPPER, "--to", "out.gif"], 1, &["`out.gif` ends in `.gif`", ".svg, .png or .pdf"]);
    refused(&["draw", TIPPER, "--to", "out"], 1, &["has no ending", "--as"]);
    refused(&["draw", TIPPER, "--to", "-"], 1, &["in which form", "--as svg"]);
    refused(
        &["draw", TIPPER, "--to", "none/out.svg"],
        1,
        &["`none/out.svg` cannot be written", "make the folder first"],
    );
    refused(&["draw", TIPPER, "--to", "/"], 1, &["no ending"]);
    refused(&["card", TIPPER, "--to", "/", "--as", "pdf"], 1, &["`/` is a folder", "name a file in it"]);
    refused(&["card", "none.ron", "--to", "out.pdf"], 1, &["there is no file `none.ron`"]);
    refused(&["card", TIPPER, "--set", "coolant=9", "--to", "out.pdf"], 1, &["--set coolant=9"]);
    refused(&["draw", TIPPER], 2, &["--to"]);
    refused(&["draw", TIPPER, "--to", "out.png", "--dpi", "0"], 2, &["--dpi"]);
    refused(&["card", TIPPER, "--paper", "a5"], 2, &["a4", "letter"]);
}

#[test]
fn pictures_and_cards_get_to_their_files_in_the_form_of_the_ending() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| std::fs::read(folder.path().join(name)).unwrap();
    std::fs::write(folder.path().join("out.svg"), "old").unwrap();
    for name in ["out.svg", "out.PNG", "out.pdf"] {
        let output =
            fanloom(&["draw", TIPPER, "--do", "jump:B1.1=N1.g", "--to", name, "--symbols", "ieee"], folder.path());
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
        assert!(output.stdout.is_empty());
    }
    assert!(
        at("out.svg").starts_with(b"<svg ")
            && at("out.PNG").starts_with(b"\x89PNG")
            && at("out.pdf").starts_with(b"%PDF")
    );
    let output = fanloom(&["card", TIPPER], folder.path());
    assert_eq!(output.status.code(), Some(0));
    assert!(at("series-closed-card.pdf").starts_with(b"%PDF"));
    let mut left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    left.sort();
    assert_eq!(left, ["out.PNG", "out.pdf", "out.svg", "series-closed-card.pdf"]);
}

#[test]
fn standard_output_gets_the_picture_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let output = fanloom(&["draw", TIPPER, "--to", "-", "--as", "svg"], folder.path());
    assert_eq!(output.status.code(), Some(0));
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.starts_with("<svg ") && text.ends_with("</svg>\n") && output.stderr.is_empty());
}
