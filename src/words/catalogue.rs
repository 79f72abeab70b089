//! What is said in each language, by key: the Fluent files of `assets/words`, read once.
//!
//! Yields the text of a key in a language, with what is put into it. A message without anything to put in is set only
//! once and then handed out as it stands, since a window asks for hundreds of them every time it is painted.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::types::FluentNumber;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use unic_langid::LanguageIdentifier;

use super::{Arg, Language, Measure};

/// The files of a language: what the window says, what studies say, what stands on drawings and paper.
macro_rules! files {
    ($folder:literal) => {
        [
            include_str!(concat!("../../assets/words/", $folder, "/window.ftl")),
            include_str!(concat!("../../assets/words/", $folder, "/study.ftl")),
            include_str!(concat!("../../assets/words/", $folder, "/paper.ftl")),
        ]
    };
}

/// One language, read.
struct Catalogue {
    bundle: FluentBundle<FluentResource>,
    /// The messages that take nothing.
    plain: BTreeMap<String, String>,
}

/// The files as they stand, for those who look after them.
pub fn sources(language: Language) -> [&'static str; 3] {
    match language {
        Language::English => files!("en"),
        Language::Spanish => files!("es"),
        Language::French => files!("fr"),
    }
}

fn catalogue(language: Language) -> &'static Catalogue {
    static READ: [OnceLock<Catalogue>; 3] = [const { OnceLock::new() }; 3];
    READ[language as usize].get_or_init(|| Catalogue::read(language))
}

/// The text of a key that takes nothing; in English where the language lacks it, the key itself where nobody knows it.
pub fn plain(language: Language, key: &'static str) -> &'static str {
    let known = |language| catalogue(language).plain.get(key).map(String::as_str);
    known(language).or_else(|| known(Language::English)).unwrap_or(key)
}

/// The text of a key with what is put into it, quantities in the units they were written in; in English where the language
/// lacks it.
pub fn text(language: Language, key: &str, args: &[(&'static str, Arg)]) -> String {
    told(language, Measure::AsWritten, key, args)
}

/// The same with quantities in these units.
pub fn told(language: Language, measure: Measure, key: &str, args: &[(&'static str, Arg)]) -> String {
    let mut put_in = FluentArgs::with_capacity(args.len());
    for (name, arg) in args {
        put_in.set(*name, value(language, measure, arg));
    }
    let of = |language: Language| {
        let bundle = &catalogue(language).bundle;
        let pattern = bundle.get_message(key)?.value()?;
        Some(bundle.format_pattern(pattern, Some(&put_in), &mut Vec::new()).into_owned())
    };
    of(language).or_else(|| of(Language::English)).unwrap_or_else(|| key.to_owned())
}

fn value(language: Language, measure: Measure, arg: &Arg) -> FluentValue<'_> {
    match arg {
        Arg::Text(text) => FluentValue::from(&**text),
        Arg::Number(value, decimals) => {
            let mut number = FluentNumber::from(*value);
            number.options.minimum_fraction_digits = *decimals;
            FluentValue::Number(number)
        }
        Arg::Words(words) => FluentValue::from(words.told(language, measure)),
    }
}

impl Catalogue {
    fn read(language: Language) -> Self {
        let id: LanguageIdentifier = language.tag().parse().expect("the three tags are well-formed");
        let mut bundle = FluentBundle::new_concurrent(vec![id]);
        // Marks around what is put in would be drawn as boxes, and all three languages run from left to right.
        bundle.set_use_isolating(false);
        bundle.set_formatter(Some(match language {
            Language::English => |value, _| figures(Language::English, value),
            Language::Spanish => |value, _| figures(Language::Spanish, value),
            Language::French => |value, _| figures(Language::French, value),
        }));
        let mut keys = Vec::new();
        for source in sources(language) {
            // What is wrong in a file is found by a test; in use, what could be read is used.
            let resource = match FluentResource::try_new(source.to_owned()) {
                Ok(resource) | Err((resource, _)) => resource,
            };
            keys.extend(source.lines().filter_map(key_of).map(str::to_owned));
            bundle.add_resource_overriding(resource);
        }
        let set = |key: String| {
            let mut lacking = Vec::new();
            let pattern = bundle.get_message(&key)?.value()?;
            let text = bundle.format_pattern(pattern, None, &mut lacking).into_owned();
            lacking.is_empty().then_some((key, text))
        };
        let plain = keys.into_iter().filter_map(set).collect();
        Self { bundle, plain }
    }
}

/// The key that a line of a file begins a message with.
fn key_of(line: &str) -> Option<&str> {
    let (key, _) = line.split_once(" =")?;
    key.starts_with(|c: char| c.is_ascii_alphabetic()).then_some(key)
}

fn figures(language: Language, value: &FluentValue<'_>) -> Option<String> {
    let FluentValue::Number(number) = value else { return None };
    Some(language.number(number.value, number.options.minimum_fraction_digits))
}
