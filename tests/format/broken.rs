//! Broken files: each with the text that must be pointed at between `«` and `»`, the message and the mend.
//!
//! The words are this project's own; the places follow from the marks in the text.

use fanloom::circuit::diagnostic::Severity;
use fanloom::circuit::format::{read, render};

/// One error: the marked text, the message, and what the mend must hold.
type Expected<'a> = (&'a str, &'a str, &'a str);

/// Compares the errors of a text, in order, with those expected; where it has a mark, the first is exactly there.
fn expect(marked: &str, expected: &[Expected<'_>]) {
    let text = marked.replace(['«', '»'], "");
    let reading = read(&text);
    let found: Vec<_> = reading.findings.iter().filter(|f| f.severity == Severity::Error).collect();
    let shown = render(&text, "broken.ron", &reading.findings, false);

    assert!(reading.circuit.is_none(), "read without an error:\n{marked}");
    assert_eq!(found.len(), expected.len(), "expected {expected:#?}\nfound\n{shown}");
    for (i, (finding, (at, message, mend))) in found.iter().zip(expected).enumerate() {
        let span = finding.span.clone().expect("every finding of a text has a place");
        assert_eq!(finding.message, *message, "\n{shown}");
        assert!(finding.mend.contains(mend), "mend `{}` lacks `{mend}`\n{shown}", finding.mend);
        assert_eq!(&text[span.clone()], *at, "\n{shown}");
        if let (Some(start), 0) = (marked.find('«'), i) {
            assert_eq!(span.start, start, "another place with the same words\n{shown}");
        }
    }
}

/// A file with one fault, at its mark.
fn file(marked: &str, message: &str, mend: &str) {
    let (_, rest) = marked.split_once('«').expect("marked");
    let (at, _) = rest.split_once('»').expect("marked to its end");
    expect(marked, &[(at, message, mend)]);
}

fn with(parts: &str, wires: &str) -> String {
    format!("Circuit(format: 1, parts: {{ {parts} }}, wires: {{ {wires} }})")
}

/// One faulty part in an otherwise sound file.
fn part(marked: &str, message: &str, mend: &str) {
    file(&with(&format!("\"G1\": Battery(volts: 12), {marked}, \"X9\": Splice"), ""), message, mend);
}

/// One faulty wire.
fn wire(marked: &str, message: &str, mend: &str) {
    let parts =
        r#""G1": Battery(volts: 12), "F1": Fuse(amps: 10), "K1": Relay(coil_ohms: 85, pulls_in: 7, drops_out: 2)"#;
    file(&with(parts, marked), message, mend);
}

#[test]
fn unknown_words_are_shown_with_what_was_probably_meant() {
    part(r#""F1": «Fusse»(amps: 10)"#, "`F1` is a `Fusse`, which is no kind of part", "did you mean `Fuse`?");
    part(r#""F1": «Horn»"#, "`F1` is a `Horn`, which is no kind of part", "kinds are `Battery`, `Fuse`");
    part(r#""F1": «fuse»(amps: 10)"#, "`F1` is a `fuse`, which is no kind of part", "did you mean `Fuse`?");
    part(r#""F1": «(»amps: 10)"#, "`F1` does not say what kind of part it is", "Fuse(amps: 10)");
    part(r#""F1": «"Fuse"»"#, "`F1` is a `\"Fuse\"`, which is no kind of part", "did you mean `Fuse`?");
    part(r#""F1": Fuse(«amp»: 10)"#, "`F1` has no field `amp`", "did you mean `amps`?");
    part(r#""F1": Fuse(amps: 10, «weight»: 3)"#, "`F1` has no field `weight`", "its fields are `amps`, `ohms`");
    part(r#""X1": Splice(«ohms»: 3)"#, "`X1` has no field `ohms`", "it has no fields");
    part(
        r#""S2": HandSwitch(rest: «Closd»)"#,
        "`rest` of `S2` is `Closd`, and can only be `Open` or `Closed`",
        "did you mean `Closed`?",
    );
    file(r#"Circuit(format: 1, «titel»: "x")"#, "`Circuit` has no field `titel`", "did you mean `title`?");
    file(
        "«Session»(format: 1, circuit: Made, done: [], text: \"\")",
        "the file holds a session and not a `Circuit`",
        "a session is opened in the window",
    );
    file("«Circiut»(format: 1)", "the file holds a `Circiut` and not a `Circuit`", "did you mean `Circuit`?");
    file(
        "Circuit(format: 1, clutch: «Cluch(engages: WithAir)»)",
        "`clutch` is `Cluch(engages: WithAir)`, where only `Clutch(...)` can be",
        "clutch: Clutch(engages: WithAir)",
    );
    file(
        "Circuit(format: 1, clutch: Clutch(engages: «Withair»))",
        "`engages` of `Clutch` is `Withair`, and can only be `WithAir` or `WithoutAir`",
        "did you mean `WithAir`?",
    );
    file("Circuit(format: 1, air: Air(«minimun»: Psi(3)))", "`Air` has no field `minimun`", "did you mean `minimum`?");
}

#[test]
fn missing_and_doubled_fields_are_named() {
    part(
        r#""K1": «Relay»(pulls_in: 7)"#,
        "`K1`, a `Relay`, lacks `coil_ohms`, `drops_out`",
        "`coil_ohms: 85, drops_out: 2.5`",
    );
    part(r#""F1": «Fuse»"#, "`F1`, a `Fuse`, lacks `amps`", "`amps: 10`");
    part(r#""F1": Fuse(amps: 10, «amps»: 5)"#, "`F1` has `amps` twice", "take one of them out");
    part(r#""X1": Connector(pins: 2, «Two»)"#, "`Two` in `X1` has no field name before it", "`pins: 2`");
    file(r#"«Circuit»(title: "x")"#, "`Circuit` lacks `format`", "`format: 1`");
    file("Circuit(format: «2»)", "the file is of format `2`, and this program reads format 1", "format: 1");
    file(r#"Circuit(format: «"1"»)"#, "`format` is `\"1\"`, which is not a whole number", "write `format: 1`");
    wire(r#""W1": «Wire»(from: "G1.+")"#, "`W1`, a `Wire`, lacks `to`", r#"`to: "S1.30"`"#);
}

#[test]
fn impossible_numbers_are_refused() {
    part(r#""F1": Fuse(amps: «-10»)"#, "`amps` of `F1` is `-10`: that is below 0", "amps above 0 up to 1000");
    part(r#""F1": Fuse(amps: «0»)"#, "`amps` of `F1` is `0`: that must be more than 0", "above 0");
    part(r#""R1": Resistor(ohms: «NaN»)"#, "`ohms` of `R1` is `NaN`: that is no number that can be measured", "ohms");
    part(r#""R1": Resistor(ohms: «inf»)"#, "`ohms` of `R1` is `inf`: that is no number that can be measured", "ohms");
    part(
        r#""R1": Resistor(ohms: «1e400»)"#,
        "`ohms` of `R1` is `1e400`: that is no number that can be measured",
        "ohms",
    );
    part(r#""G2": Battery(volts: «1e6»)"#, "`volts` of `G2` is `1e6`: that is more than anything of the kind", "100");
    part(r#""G2": Battery(volts: «0.0»)"#, "`volts` of `G2` is `0.0`: that must be more than 0", "above 0");
    part(r#""N1": Ground(ohms: «-0.1»)"#, "`ohms` of `N1` is `-0.1`: that is below 0", "from 0");
    part(r#""F1": Fuse(amps: «"10"»)"#, "`amps` of `F1` is `\"10\"`, which is not a number", "quotes: `amps: 10`");
    part(r#""F1": Fuse(amps: «10A»)"#, "`amps` of `F1` is `10A`, which is not a number", "in amps: `amps: 10`");
    part(r#""G2": Battery(volts: 12,«6»)"#, "`6` in `G2` has no field name before it", "`12.6`");
    part(
        r#""X1": Connector(pins: «65»)"#,
        "`pins` of `X1` is `65`, which is not a whole number from 1 to 64",
        "pins: 2",
    );
    part(
        r#""X1": Connector(pins: «2.5»)"#,
        "`pins` of `X1` is `2.5`, which is not a whole number from 1 to 64",
        "pins: 2",
    );
    part(r#""D1": Timer(hold_seconds: «-1»)"#, "`hold_seconds` of `D1` is `-1`: that is below 0", "seconds from 0");
    part(
        r#""S2": HandSwitch(rest: Open, momentary: «yes»)"#,
        "`momentary` of `S2` is `yes`, and can only be `true` or `false`",
        "`true` or `false`",
    );
}

#[test]
fn coils_and_what_is_across_them_must_make_sense() {
    part(
        r#""K1": Relay(coil_ohms: 85, pulls_in: 7, drops_out: «7»)"#,
        "`K1` drops out at 7 volts, and pulls in at only 7",
        "`drops_out` must be below `pulls_in`",
    );
    part(
        r#""K1": Relay(coil_ohms: «0», pulls_in: 7, drops_out: 2)"#,
        "`coil_ohms` of `K1` is `0`: that must be more than 0",
        "above 0",
    );
    let relay = |suppressor: &str, message: &str, mend: &str| {
        let text = format!(r#""K1": Relay(coil_ohms: 85, pulls_in: 7, drops_out: 2, suppressor: {suppressor})"#);
        part(&text, message, mend);
    };
    relay(r#"Diode(cathode: «"30"»)"#, "`30` is no coil terminal of `K1`", r#"`"85"` and `"86"`"#);
    relay("«Diode()»", "`suppressor` of `K1` does not say where its cathode is", r#"Diode(cathode: "86")"#);
    relay(
        "«Varistor»",
        "`suppressor` of `K1` is `Varistor`, and can only be `Diode(...)` or `Resistor(...)`",
        "Resistor(680)",
    );
    relay("Resistor(«-1»)", "`suppressor` of `K1` is `-1`: that is below 0", "ohms above 0");
}

#[test]
fn set_points_must_suit_what_is_felt() {
    let coolant = |levels: &str, message: &str, mend: &str| {
        part(&format!(r#""B1": TemperatureSwitch(rest: Open, senses: Coolant, {levels})"#), message, mend);
    };
    coolant(
        "acts_at: Fahrenheit(210), resets_at: «Fahrenheit(215)»",
        "`B1` acts at 210 °F on a rise and resets at 215 °F, on the wrong side of it",
        "below 210 °F",
    );
    coolant(
        "acts_at: «210», resets_at: Fahrenheit(195)",
        "`acts_at` of `B1` is `210`, a number without a unit",
        "`Fahrenheit(210)`, `Celsius(210)`",
    );
    coolant(
        "acts_at: «F»(210), resets_at: Fahrenheit(195)",
        "`acts_at` of `B1` is `F(210)`, which is in no unit known here",
        "did you mean `Fahrenheit`?",
    );
    coolant(
        "acts_at: «Celsius(9, 9)», resets_at: Celsius(7)",
        "`acts_at` of `B1` is `Celsius(9, 9)`, which is not one number in brackets",
        "acts_at: Fahrenheit(210)",
    );
    coolant(
        "acts_at: Celsius(90), resets_at: «Celsius(-300)»",
        "`resets_at` of `B1` is -300 °C: that is below absolute zero",
        "-273.15",
    );
    part(
        r#""B1": TemperatureSwitch(rest: Open, senses: «Refrigerant», acts_at: Psi(210), resets_at: Psi(195))"#,
        "`B1`, a `TemperatureSwitch`, senses `Refrigerant`, which is a pressure",
        "`PressureSwitch`",
    );
    part(
        r#""B2": PressureSwitch(rest: Open, senses: Refrigerant, acts_at: Psi(210), resets_at: «Celsius(95)»)"#,
        "`B2` feels `Refrigerant`, which is a pressure, but 95 °C is a temperature",
        "`Psi(...)`",
    );
    part(
        r#""B2": PressureSwitch(rest: Open, senses: AirSupply, acts_at: Psi(90), resets_at: «Bar(-2)»)"#,
        "`resets_at` of `B2` is -2 bar: that is below a perfect vacuum",
        "-101.325",
    );
}

#[test]
fn conditions_of_a_driver_are_judged_at_their_place() {
    let module = |on_when: &str, message: &str, mend: &str| {
        part(&format!(r#""A1": Module(side: Low, on_when: {on_when})"#), message, mend);
    };
    module("Any([Fed, «Fedd»])", "`on_when` of `A1` has `Fedd`, which is no condition of a driver", "mean `Fed`?");
    module("«Any([])»", "`Any` has nothing in it", "Any([Fed, EngineStopped])");
    module("«All(Fed, Always)»", "`All` takes one list in square brackets", "All([Fed, EngineStopped])");
    module("«Not»", "`Not` takes one thing in brackets", "Not(Fed)");
    module("«Always(1)»", "`Always` takes no brackets", "`Always`");
    module(
        "«Above(Coolant, Celsius(99))»",
        "`Above` takes what is felt, where it acts and where it resets",
        "Above(Coolant, Celsius(99), Celsius(93))",
    );
    module(
        "Above(«Coolent», Celsius(99), Celsius(93))",
        "`on_when` of `A1` is `Coolent`, and can only be `Coolant`, `IntakeAir`, `Oil`, `Refrigerant` or `AirSupply`",
        "did you mean `Coolant`?",
    );
    module(
        "Below(AirSupply, Psi(60), «Psi(50)»)",
        "`A1` acts at 60 psi on a fall and resets at 50 psi, on the wrong side of it",
        "above 60 psi",
    );
    part(
        r#""A1": Module(side: «Left», on_when: Fed)"#,
        "`side` of `A1` is `Left`, and can only be `Low` or `High`",
        "`Low` or `High`",
    );
}

#[test]
fn selectors_need_good_positions() {
    let selector = |fields: &str, message: &str, mend: &str| {
        part(&format!(r#""S3": SelectorSwitch({fields})"#), message, mend);
    };
    selector(
        r#"positions: ["OFF", "ON"], rest: «"ONN"»"#,
        "`S3` rests at `ONN`, which is none of its positions",
        r#"did you mean `"ON"`?"#,
    );
    selector(r#"positions: ["OFF", «"off"»], rest: "OFF""#, "two positions of `S3` are called `off`", "its own name");
    selector(r#"positions: «[]», rest: "OFF""#, "`positions` of `S3` are 0: a selector has 1 to 12", "positions: [");
    selector(
        r#"positions: «"OFF"», rest: "OFF""#,
        "`positions` of `S3` is not a list in square brackets",
        "positions: [",
    );
    selector(
        r#"positions: ["OFF", «"A=B"»], rest: "OFF""#,
        "`\"A=B\"` in `positions` of `S3` cannot be a position's name",
        "\"AUTO\"",
    );
}

#[test]
fn tags_must_be_good_and_used_once() {
    for (tag, has) in
        [("B.1", "`.`"), ("B@1", "`@`"), ("B=1", "`=`"), ("B,1", "`,`"), ("B:1", "`:`"), ("B 1", "a blank")]
    {
        part(&format!("«\"{tag}\"»: Splice"), &format!("the tag `{tag}` has {has} in it"), "letters and digits");
    }
    part(r#"«""»: Splice"#, "a tag is empty", "letters and digits");
    part(r#"«"-B1"»: Splice"#, "the tag `-B1` begins with neither a letter nor a digit", "letters and digits");
    part(r#"«"G1"»: Splice"#, "two parts have the tag `G1`", "a tag of its own");
    part("«B1»: Splice", "the tag `B1` in `parts` is not in quotes", "write `\"B1\"`");
    part("«Splice»", "`Splice` in `parts` has no tag", "write its tag before it");
    wire(
        r#""W1": Wire(from: "G1.+", to: "F1.1"), «"W1"»: Wire(from: "G1.+", to: "F1.2")"#,
        "two wires have the tag `W1`",
        "a tag of its own",
    );
    wire(r#"«"F1"»: Wire(from: "G1.+", to: "F1.1")"#, "a part and a wire have the tag `F1`", "a tag of its own");
}

#[test]
fn wires_must_go_somewhere() {
    let ends = |from: &str, to: &str, message: &str, mend: &str| {
        wire(&format!(r#""W1": Wire(from: {from}, to: {to})"#), message, mend);
    };
    ends(r#"«"G2.+"»"#, r#""F1.1""#, "`W1` goes to `G2.+`, and there is no part `G2`", "did you mean `G1.+`?");
    ends(r#""G1.+""#, r#"«"F1.3"»"#, "`W1` goes to `F1.3`, and `F1` has no terminal `3`", "`F1.1`, `F1.2`");
    ends(r#""G1.+""#, r#"«"K1.87b"»"#, "`W1` goes to `K1.87b`, and `K1` has no terminal `87b`", "mean `K1.87`?");
    ends(r#"«"G1"»"#, r#""F1.1""#, "`W1` goes to `G1`, which names no terminal", "`G1.+`, `G1.-`");
    ends(r#""F1.1""#, r#"«"F1.1"»"#, "both ends of `W1` are at the same terminal", "other end");
    ends("«G1»", r#""F1.1""#, "`from` of `W1` is `G1`, which is not a text in quotes", r#"`from: "G1"`"#);
    wire(r#""W1": «Fuse»(amps: 3)"#, "`W1` is a `Fuse`, where only a `Wire` can be", "Wire(from: ");
    let more = |field: &str, message: &str, mend: &str| {
        wire(&format!(r#""W1": Wire(from: "G1.+", to: "F1.1", {field})"#), message, mend);
    };
    more("gauge: «Awg(41)»", "`gauge` of `W1` is AWG 41: there is no such size", "from -3 (4/0) to 40");
    more("gauge: «SquareMillimetre(0)»", "`gauge` of `W1` is 0 mm²: no conductor is so thick or so thin", "above 0");
    more("gauge: «16»", "`gauge` of `W1` is `16`, a number without a unit", "`Awg(16)` or `SquareMillimetre(16)`");
    more("length: «Feet(-4)»", "`length` of `W1` is `Feet(-4)`, and no wire is so long", "from 0");
    more("colour: «'RD'»", "`colour` of `W1` is `'RD'`, which is not a text in quotes", r#"`colour: "RD"`"#);
}

#[test]
fn the_air_side_must_make_sense() {
    for (level, shown) in [("Psi(-3)", "-3 psi"), ("Celsius(3)", "3 °C"), ("Bar(0)", "0 bar")] {
        let message = format!("`minimum` of `Air` is {shown}, which is no air pressure above 0");
        file(&format!("Circuit(format: 1, air: Air(minimum: «{level}»))"), &message, "minimum: Psi(90)");
    }
    file(
        r#"Circuit(format: 1, parts: {"X1": Splice}, air: Air(valve: «"X1"»))"#,
        "`Air` names `X1` as its valve, which is not an `AirValve`",
        "leave `valve` out",
    );
    file(
        r#"Circuit(format: 1, parts: {"X1": Splice}, air: Air(valve: «"Y9"»))"#,
        "`Air` names `Y9` as its valve, and there is no such part",
        "leave `valve` out",
    );
    file("Circuit(format: 1, parts: «[]»)", "`parts` is not a map in curly brackets", "parts: { \"F1\"");
}

#[test]
fn broken_syntax_is_shown_where_it_breaks() {
    let parts = |marked: &str, message: &str, mend: &str| {
        file(&format!("Circuit(format: 1, parts: {{ {marked} }})"), message, mend);
    };
    parts(r#""X1": Splice «"X2"»: Splice"#, "a comma is missing before `\"X2\"`", "write `,`");
    parts(r#""F1": Fuse(amps: 10 «ohms»: 1)"#, "a comma is missing before `ohms`", "write `,`");
    parts(r#""F1": Fuse(amps «10»)"#, "`:` is missing after `amps`", "`amps: 10`");
    parts(r#""F1": Fuse(amps «=» 10)"#, "`=` stands where `:` is meant", "write `:`");
    parts(r#""F1" «Fuse»(amps: 10)"#, "`:` is missing after `\"F1\"`", "\"F1\": Fuse");
    parts(r#""F1": Fuse«(»amps: 10, "X1": Splice"#, "`(` is never closed", "write `)`");
    parts(r#""X1": Splice«]»"#, "`]` closes nothing", "take it out");
    file(r#"Circuit(format: 1, parts: «{» "X1": Splice, wires: { })"#, "`{` is never closed", "write `}`");
    file("Circuit«(»format: 1, parts: { }", "`(` is never closed", "write `)`");
    file("Circuit(format: 1) «Circuit»(format: 1)", "`Circuit` stands after the end of the circuit", "too early");
    file("Circuit(format: 1, title: «\"Tipper,»\n notes: \"x\")", "a string is never closed", "write `\"`");
    file(
        r#"Circuit(format: 1, title: «"a\qb"»)"#,
        "`title` of `Circuit` cannot be read: unknown escape character",
        "backslash",
    );
    file("Circuit(format: 1, «/*» parts: { })", "a comment opened with `/*` is never closed", "write `*/`");
    file("Circuit(format: 1«;» title: \"x\")", "`;` has no place here", "take it out");
    file("Circuit(format: 1, «title:», notes: \"x\")", "`title` has no value", "write its value");
    file("Circuit(format: 1, «,» notes: \"x\")", "a comma with nothing before it", "take it out");
    file("Circuit«{»format: 1}", "the fields of `Circuit` stand in `{`", "round brackets");
    file("«Circuit»", "the circuit has no brackets", "Circuit(format: 1");
    file("«»// nothing here\n", "there is no circuit in the file", "Circuit(format: 1");
}

#[test]
fn nesting_too_deep_is_refused_without_exhausting_the_stack() {
    for (open, close) in [("(", ")"), ("Not(", ")"), ("[", "]"), ("Any([", "])"), ("{\"a\":", "}")] {
        for depth in [60, 100_000] {
            let nested = format!("{}Fed{}", open.repeat(depth), close.repeat(depth));
            let reading = read(&with(&format!("\"A1\": Module(side: Low, on_when: {nested})"), ""));

            assert!(reading.circuit.is_none());
            assert!(reading.findings.iter().any(|f| f.message == "brackets stand more than 48 deep"), "{open}");
            assert!(read(&open.repeat(depth)).circuit.is_none());
        }
    }
}

#[test]
fn all_the_errors_of_a_file_are_reported_in_order() {
    let text = with(
        r#""G1": Battery(volts: -12), "F1": Fusse(amps: 3), "K1": Relay(coil_ohms: 0, pulls_in: x, dropsout: 2), "F1": Fuse(amps: 0)"#,
        r#""W1": Wire(from: "G9.+", to: "G1.x"), "W2": Wire(frm: "G1.+", to: "K1.85", gauge: Awg(99))"#,
    );
    let expected = [
        ("-12", "`volts` of `G1` is `-12`: that is below 0", "volts"),
        ("Fusse", "`F1` is a `Fusse`, which is no kind of part", "`Fuse`"),
        ("0", "`coil_ohms` of `K1` is `0`: that must be more than 0", "ohms"),
        ("x", "`pulls_in` of `K1` is `x`, which is not a number", "pulls_in: 7.2"),
        ("dropsout", "`K1` has no field `dropsout`", "did you mean `drops_out`?"),
        ("\"F1\"", "two parts have the tag `F1`", "tag of its own"),
        ("0", "`amps` of `F1` is `0`: that must be more than 0", "amps"),
        ("\"G9.+\"", "`W1` goes to `G9.+`, and there is no part `G9`", "did you mean `G1.+`?"),
        ("\"G1.x\"", "`W1` goes to `G1.x`, and `G1` has no terminal `x`", "`G1.+`, `G1.-`"),
        ("frm", "`W2` has no field `frm`", "did you mean `from`?"),
        ("Awg(99)", "`gauge` of `W2` is AWG 99: there is no such size", "40"),
    ];

    expect(&text, &expected);
}

#[test]
fn errors_after_broken_syntax_are_still_reported() {
    let text = r#"Circuit(format: 1, parts: {
"F1": Fuse(amps: 10,
"F2": Fuse(amps: 5)
"F3": Fuse(amps: -1),
"F4: Fuse(amps: 2),
"S1": KeySwich,
})"#;
    let expected = [
        ("(", "`(` is never closed", "write `)`"),
        ("\"F3\"", "a comma is missing before `\"F3\"`", "write `,`"),
        ("-1", "`amps` of `F3` is `-1`: that is below 0", "amps"),
        ("\"F4: Fuse(amps: 2),", "a string is never closed", "write `\"`"),
        ("KeySwich", "`S1` is a `KeySwich`, which is no kind of part", "`KeySwitch`"),
    ];

    expect(text, &expected);
}
