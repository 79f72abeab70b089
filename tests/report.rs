//! Pages: the card for the cab and the drawing, for every shipped circuit on both papers, and how they get to a file.
//!
//! The pages are looked at as what they are made of (areas, SVG text, PDF and PNG bytes); the last tests run the
//! built program.

#![expect(clippy::unwrap_used, reason = "a test that cannot read a circuit or run the program has failed")]

use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::sync::{Arc, OnceLock};

use fanloom::bench::{Action, Bench};
use fanloom::circuit::format::read;
use fanloom::circuit::shipped::SHIPPED;
use fanloom::drawing::{Layout, Show, Symbols, Theme, draw, svg};
use fanloom::report::{Card, Page, Size, paper, sheet};
use fanloom::study::prove::{Class, prove};

const SIZES: [Size; 2] = [Size::A4, Size::Letter];

fn bench(text: &str) -> Bench {
    Bench::new(Arc::new(read(text).circuit.unwrap()))
}

/// Name, bench and card of every shipped circuit; the search behind a card is made once.
fn cards() -> &'static [(&'static str, Bench, Card)] {
    static CARDS: OnceLock<Vec<(&'static str, Bench, Card)>> = OnceLock::new();
    CARDS.get_or_init(|| {
        let made = |(name, text): (&'static str, &str)| {
            let bench = bench(text);
            let card = Card::of(&bench, Symbols::default());
            (name, bench, card)
        };
        SHIPPED.into_iter().map(made).collect()
    })
}

fn card(name: &str) -> &'static Card {
    &cards().iter().find(|(known, ..)| *known == name).unwrap().2
}

/// All words of a card, marks taken away.
fn words(name: &str) -> String {
    let svg = sheet::card(card(name), Size::A4).svg();
    let text: String = svg.split('<').map(|piece| piece.split_once('>').map_or("", |(_, text)| text)).collect();
    text.split_whitespace().collect::<Vec<_>>().join(" ")
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
    for (name, _, card) in cards() {
        for size in SIZES {
            keeps_to_itself(&sheet::card(card, size), &format!("{name} on {size:?}"));
        }
    }
}

#[test]
fn a_card_is_one_page_of_its_paper() {
    for (name, _, card) in cards() {
        for size in SIZES {
            let svg = sheet::card(card, size).svg();
            is_one_page(&paper::pdf(&svg, name).unwrap(), size.points(), name);
        }
    }
}

#[test]
fn a_drawing_is_one_page_of_its_paper() {
    for (name, bench, _) in cards() {
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
    let (_, bench, card) = &cards()[0];
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
    let first = pdf(&cards()[0].2);
    assert!((0..4).all(|_| pdf(&again) == first));
}

#[test]
fn a_card_names_danger_where_the_search_finds_one() {
    let mut found = 0;
    for (name, bench, card) in cards() {
        let proof = prove(bench);
        let dangerous = proof.engage.iter().chain(&proof.release).any(|act| act.class == Class::Dangerous);
        found += usize::from(dangerous);
        let named = sheet::card(card, Size::A4).svg().contains("DANGER");
        assert!(named || !dangerous, "{name}");
    }
    assert!(found >= 2, "the shipped circuits have dangers to find");
}

#[test]
fn acts_on_a_card_are_of_a_class_to_be_advised_and_do_what_they_say() {
    for (name, _, card) in cards() {
        for step in card.engage.steps.iter().skip(1) {
            assert_eq!(step.reading.fan, "stiff", "{name}: {step:?}");
        }
        let released = card.release.steps.iter().filter(|step| step.reading.fan == "free").count();
        assert!(released >= 1, "{name} tells no way to release");
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
    let engage = |words: &str| words.split_once("To engage").unwrap().1.split_once("To release").unwrap().0.to_owned();
    assert!(engage(&open).contains("Fused lead (5 A) across B1") && !engage(&open).contains("Unplug B1"), "{open}");
    assert!(engage(&closed).contains("Unplug B1") && !engage(&closed).contains("Fused lead"), "{closed}");
}

#[test]
fn a_grounded_feed_that_only_seems_to_pass_is_called_so() {
    let coach = words("coach-24v");
    assert!(coach.contains("F1 opens") && coach.contains("looks like a pass"), "{coach}");
    assert!(words("ground-side").contains("to battery +."), "grounding copies the switch there; feeding shorts");
}

#[test]
fn no_lead_onto_a_modules_output_is_offered() {
    let high = words("module-high-side");
    assert!(high.contains("maker's own command") && !high.contains("Fused lead (5 A)"), "{high}");
}

#[test]
fn a_seal_in_circuit_is_released_by_its_own_switch() {
    assert!(words("seal-in").contains("It holds itself in. Press S3"), "{}", words("seal-in"));
}

#[test]
fn every_card_carries_the_cautions_the_restore_list_and_blanks() {
    for (name, ..) in cards() {
        let words = words(name);
        for tell in [
            "Parking brake on, wheels blocked",
            "Put everything back",
            "one cycle off, on, off",
            "Mileage",
            "Signature",
            "Supply air",
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
    assert!(
        card.conditions.contains("resist:W6=5ohm") && card.conditions.contains("turn:S2=on"),
        "{}",
        card.conditions
    );
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
