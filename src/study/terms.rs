//! The words of the trade that stand in answers, each explained in a few sentences, and where they stand in a text.
//!
//! Common practice, no source, but for what a term's own sentence names. Showing them is left to the window; this file
//! only finds them.

/// A word of the trade.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Term {
    /// The word.
    pub name: &'static str,
    /// How else it stands in a text, in small letters; the name itself need not be among these.
    pub forms: &'static [&'static str],
    /// What it means.
    pub says: &'static str,
}

const fn term(name: &'static str, forms: &'static [&'static str], says: &'static str) -> Term {
    Term { name, forms, says }
}

/// All terms, in the order they are listed for people.
pub const TERMS: &[Term] = &[
    term(
        "normally open and normally closed",
        &["normally open", "normally closed"],
        "Four things are called so, and it is not the same for each. A contact: how it is cold, without pressure, not \
         pushed. A circuit: whether all its contacts are open and side by side, so that the coil is dead when cold, or all \
         closed and in a row, so that it is live. A valve as plumbed: whether, its coil dead, supply air reaches the clutch \
         (open for air, which passes everything) or not. A clutch: not said of it at all; say air brings it in, or a spring \
         does. Always say which one is meant.",
    ),
    term(
        "at rest",
        &["rest open", "rest closed"],
        "The position nobody and nothing has changed: cold, without pressure, not pushed, the coil dead. A contact open at \
         rest is bridged to try it; one closed at rest is tried by taking a wire off.",
    ),
    term(
        "call",
        &["fan called", "no call"],
        "Something wants the fan: a sensor past its set point, the driver's switch, an engine module. Whether the wiring \
         then does it is another question.",
    ),
    term(
        "set point and reset point",
        &["set point", "set points", "reset point", "hysteresis"],
        "A switch acts at its set point as the level rises and returns only at a lower one, its reset point. Between the \
         two it stays as it was: that is its hysteresis, and it keeps the fan from being switched on and off all the time.",
    ),
    term(
        "pull-in",
        &["pulls in", "pulled in", "pull in"],
        "The volts from which a coil moves its valve or relay. It is really a current: a hot coil resists more, so it needs \
         more volts. That is why a weak connection passes cold and fails hot.",
    ),
    term(
        "drop-out",
        &["lets go", "let go", "drops out"],
        "The volts at which a coil that is in lets go again, far below its pull-in. Too little to pull a valve in can \
         therefore be enough to hold it.",
    ),
    term("live and dead", &["coil live", "coil dead", "live", "dead"], "With or without the current that moves it."),
    term(
        "fed",
        &[],
        "Joined to the battery's + by a path that conducts, so that a meter reads the supply there. Fed is not yet carrying \
         current.",
    ),
    term(
        "floating",
        &["floats", "float"],
        "Joined to neither pole of the battery by anything that conducts. It has no voltage of its own; a meter of 10 Mohm \
         pulls it down and reads near nothing.",
    ),
    term(
        "ghost voltage",
        &["ghost"],
        "Volts that a meter of 10 Mohm reads through a path that can feed nothing, such as damp across a broken wire. They \
         are gone under a test lamp or a meter of 3 kohm (low-Z).",
    ),
    term(
        "low-Z",
        &["low-z volts"],
        "A voltmeter that loads what it reads with about 3 kohm, so that ghost voltage breaks down.",
    ),
    term(
        "loaded",
        &["unloaded", "under load"],
        "Read while the current flows that the circuit is made for. A bad joint drops nothing without current: 12.6 volts at \
         a plug that is off may be 7.5 with the plug on.",
    ),
    term(
        "back-feed",
        &["back-fed", "backfed", "back-feeds"],
        "Current that comes in where it should go out: a lead, or another circuit, feeds a wire from behind. It can hold a \
         valve, light a lamp, or break a module's output.",
    ),
    term(
        "jumper lead",
        &["lead", "bridged", "bridge"],
        "A wire with two clips put across something to do what it would do. Always with a fuse of its own; never from a fed \
         point to ground.",
    ),
    term(
        "lift",
        &["lifted", "lifts"],
        "To take one end of a wire off its terminal. A live end that hangs free sparks and shorts wherever it touches: \
         insulate it.",
    ),
    term(
        "live end",
        &["bare end"],
        "A wire's end, off its terminal, that is still joined to the battery. It burns, and blows what feeds it, as soon as it \
         touches metal.",
    ),
    term(
        "blow",
        &["blows", "blown", "would open", "opens in"],
        "A fuse opens the sooner, the more it carries: about 135 % of its rating may take minutes, 600 % a tenth of a second.",
    ),
    term(
        "suppressor",
        &["suppressed"],
        "A diode or resistor across a coil that takes the kick of its current when it is switched off.",
    ),
    term(
        "kick",
        &["kicks"],
        "A coil drives its current on when it is broken, and where nothing takes it the voltage rises to hundreds of volts \
         for a moment. It wears contacts, kills module outputs, and is felt by a hand.",
    ),
    term(
        "module",
        &["driver", "engine module"],
        "The engine's computer as far as the fan goes: an output, its driver, that joins the coil to ground or feeds it, with \
         a limit in amps. 12 volts at an output that joins to ground mean that it is off.",
    ),
    term(
        "passing and venting",
        &["passing", "venting", "blocking"],
        "Passing: the valve joins the supply to the clutch. Venting: supply is blocked, and the clutch's air goes out by the \
         exhaust.",
    ),
    term(
        "engaged and released",
        &["engaged", "released", "engages", "releases"],
        "Engaged: the clutch drives the fan. Released: the fan runs free, and turns only with the wind of driving and a little \
         drag.",
    ),
    term(
        "slipping",
        &["slips", "slip"],
        "The clutch is pressed, but not hard enough for the fan's torque at this speed: it drives the fan slower than it \
         should, and gets hot.",
    ),
    term(
        "margin",
        &["torque margin"],
        "What the clutch can carry over what the fan asks for at governed speed. Below one it slips.",
    ),
    term(
        "governor",
        &[],
        "Keeps the tanks between the pressure at which the compressor begins to deliver and the one at which it stops.",
    ),
    term(
        "protection valve",
        &[],
        "Closes when the tanks fall low, so that the brakes keep their air whatever else leaks.",
    ),
    term("facing", &["facings"], "The friction lining of the clutch. As it wears, the piston has further to go."),
    term(
        "lock-up bolts",
        &["lock-up bolt"],
        "Bolts that tie fan and pulley together to get home with a failed clutch. The fan is then driven whatever the circuit \
         does.",
    ),
    term(
        "look-alike",
        &["look-alikes", "looks like", "look alike"],
        "Faults that show the same wherever and whenever it is read. Only another kind of test tells them apart, or mending \
         one after the other.",
    ),
    term(
        "example value",
        &["example values", "†"],
        "A figure without public source, or one that this circuit file does not give: put in the one of your vehicle.",
    ),
];

/// A piece of a text, with the place in [`TERMS`] of the term it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece<'t> {
    /// The text of the piece.
    pub text: &'t str,
    /// The term that it is, if it is one.
    pub term: Option<usize>,
}

/// Cuts a text at the terms in it: each at its first place, the longer before the shorter. The pieces together are the
/// text.
pub fn pieces(text: &str) -> Vec<Piece<'_>> {
    let small = text.to_lowercase();
    if small.len() != text.len() {
        // A letter whose small form has another length: places in one are none in the other.
        return vec![Piece { text, term: None }];
    }
    let mut found: Vec<(usize, usize, usize)> = Vec::new();
    let mut forms: Vec<(&str, usize)> = TERMS
        .iter()
        .enumerate()
        .flat_map(|(place, term)| term.forms.iter().chain([&term.name]).map(move |form| (*form, place)))
        .collect();
    forms.sort_by_key(|(form, place)| (std::cmp::Reverse(form.len()), *place));
    for (form, place) in forms {
        if found.iter().any(|(.., known)| *known == place) {
            continue;
        }
        let at = small.match_indices(&form.to_lowercase()).map(|(at, _)| (at, at + form.len())).find(|(from, to)| {
            let is_whole =
                |letter: Option<char>| letter.is_none_or(|letter| !letter.is_alphanumeric() && letter != '-');
            let is_free = found.iter().all(|(known_from, known_to, _)| to <= known_from || known_to <= from);
            is_free && is_whole(small[..*from].chars().next_back()) && is_whole(small[*to..].chars().next())
        });
        if let Some((from, to)) = at {
            found.push((from, to, place));
        }
    }
    found.sort_unstable();
    let mut pieces = Vec::new();
    let mut after = 0;
    for (from, to, place) in found {
        if after < from {
            pieces.push(Piece { text: &text[after..from], term: None });
        }
        pieces.push(Piece { text: &text[from..to], term: Some(place) });
        after = to;
    }
    if after < text.len() {
        pieces.push(Piece { text: &text[after..], term: None });
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::{TERMS, pieces};

    fn terms_of(text: &str) -> Vec<&str> {
        pieces(text).into_iter().filter_map(|piece| piece.term.map(|_| piece.text)).collect()
    }

    #[test]
    fn pieces_together_are_the_text() {
        for text in ["", "Y1's coil has 12.54 V, at or above its 7.80 V pull-in: it is energised.", "µ–† İ lead"]
        {
            assert_eq!(pieces(text).iter().map(|piece| piece.text).collect::<String>(), text);
        }
    }

    #[test]
    fn a_term_is_a_whole_word_found_once_and_the_longer_one_first() {
        assert_eq!(terms_of("The lead leads to a misleading Lead."), ["lead"]);
        assert_eq!(terms_of("Torque margin 1.3, the margin is good"), ["Torque margin"]);
        assert_eq!(terms_of("a live end and a live coil"), ["live end", "live"]);
        assert_eq!(terms_of("back-feed"), ["back-feed"]);
    }

    #[test]
    fn every_term_is_said_in_sentences_and_no_form_belongs_to_two() {
        let mut forms: Vec<String> = Vec::new();
        for term in TERMS {
            assert!(term.says.ends_with('.') && term.says.len() > 20, "{}", term.name);
            for form in term.forms.iter().chain([&term.name]) {
                let form = form.to_lowercase();
                assert!(!forms.contains(&form), "{form} twice");
                forms.push(form);
            }
        }
    }
}
