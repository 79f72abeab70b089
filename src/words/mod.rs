//! What the program says, as a value that any language can be made of: a key with what is put into it.
//!
//! Studies, drawing and report have no language. They yield [`Words`], made by [`say!`]; window, command line and paper
//! turn those into text of the [`Language`] that was chosen. Shown, compared, sorted and serialised, words are their
//! English text, so that the command line, JSON and files say the same whatever the window speaks. The texts stand in
//! `assets/words`, and which words are said when is decided elsewhere.

pub mod arg;
pub mod catalogue;
pub mod language;

use std::borrow::Borrow;
use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::ops::Deref;
use std::sync::{Arc, OnceLock};

use serde::{Serialize, Serializer};

pub use arg::{Arg, fixed};
pub use language::Language;

/// Words of a key, with what is put into it by name: `say!("coil-live")`, `say!("fuse-opens", tag, amps = x)`.
macro_rules! say {
    ($key:literal) => {
        $crate::words::Words::of($key)
    };
    ($key:literal, $($args:tt)+) => {
        $crate::words::Words::with($key, $crate::words::args![$($args)+])
    };
}
pub(crate) use say;

/// What is put into a sentence, by name.
macro_rules! args {
    ($($name:ident $(= $value:expr)?),+ $(,)?) => {{
        #[allow(unused_imports, reason = "which of the two is needed goes by what is put in")]
        use $crate::words::arg::{Known as _, Shown as _};
        vec![$((stringify!($name), $crate::words::args!(@one $name $(= $value)?))),+]
    }};
    (@one $name:ident) => {
        (&$crate::words::arg::Probe(&$name)).arg()
    };
    (@one $name:ident = $value:expr) => {
        (&$crate::words::arg::Probe(&$value)).arg()
    };
}
pub(crate) use args;

/// Something said, in no language yet.
#[derive(Clone)]
pub struct Words(Shape);

#[derive(Clone)]
enum Shape {
    /// A key that takes nothing.
    Plain(&'static str),
    /// Anything made of more.
    Made(Arc<Made>),
}

struct Made {
    of: Of,
    /// The text in each language that was asked for: what is shown is shown in every frame.
    texts: Texts,
    /// The same with quantities in units of somebody's own, where that was asked for.
    measured: OnceLock<Box<[Texts; 2]>>,
}

type Texts = [OnceLock<String>; Language::ALL.len()];

/// Whose units quantities are told in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Measure {
    /// Each in the unit it was written in.
    #[default]
    AsWritten,
    /// Degrees Fahrenheit and psi.
    Customary,
    /// Degrees Celsius; kilopascal or bar.
    Metric,
}

impl Measure {
    /// All, in the order in which words keep them.
    const ALL: [Self; 3] = [Self::AsWritten, Self::Customary, Self::Metric];
}

enum Of {
    /// A name or notation, the same in every language.
    Text(String),
    /// A key with what is put into it.
    Message(&'static str, Vec<(&'static str, Arg)>),
    /// Words one after the other, with this between them.
    Joined(Vec<Words>, &'static str),
    /// The same with a capital letter.
    Capital(Words),
    /// A quantity, by whose units it is told in.
    Measured([Words; 3]),
}

impl Words {
    /// The words of a key that takes nothing.
    pub const fn of(key: &'static str) -> Self {
        Self(Shape::Plain(key))
    }

    /// The words of a key with what is put into it, by name.
    pub fn with(key: &'static str, args: Vec<(&'static str, Arg)>) -> Self {
        Self::made(Of::Message(key, args))
    }

    /// Words one after the other, with `between` between them: punctuation that every language has.
    pub fn joined(words: impl IntoIterator<Item = Self>, between: &'static str) -> Self {
        Self::made(Of::Joined(words.into_iter().collect(), between))
    }

    /// The same, beginning with a capital letter.
    pub fn capital(&self) -> Self {
        Self::made(Of::Capital(self.clone()))
    }

    /// A quantity, as it is told in each of the units.
    pub fn measured(told: impl FnMut(Measure) -> Self) -> Self {
        Self::made(Of::Measured(Measure::ALL.map(told)))
    }

    fn made(of: Of) -> Self {
        let texts = [const { OnceLock::new() }; Language::ALL.len()];
        Self(Shape::Made(Arc::new(Made { of, texts, measured: OnceLock::new() })))
    }

    /// The text in a language, each quantity in the unit it was written in.
    pub fn in_language(&self, language: Language) -> &str {
        self.told(language, Measure::AsWritten)
    }

    /// The text in a language, with quantities in these units.
    pub fn told(&self, language: Language, measure: Measure) -> &str {
        let made = match &self.0 {
            Shape::Plain(key) => return catalogue::plain(language, key),
            Shape::Made(made) => made,
        };
        let own = || made.measured.get_or_init(Default::default);
        let texts = match measure {
            Measure::AsWritten => &made.texts,
            Measure::Customary => &own()[0],
            Measure::Metric => &own()[1],
        };
        texts[language as usize].get_or_init(|| made.of.text(language, measure))
    }

    /// The text in a language, to keep.
    pub fn to_language(&self, language: Language) -> String {
        self.in_language(language).to_owned()
    }

    /// The English text, as of a `String`.
    pub fn as_str(&self) -> &str {
        self.english()
    }

    /// The English text.
    pub fn english(&self) -> &str {
        self.in_language(Language::English)
    }
}

impl Of {
    fn text(&self, language: Language, measure: Measure) -> String {
        match self {
            Self::Text(text) => text.clone(),
            Self::Message(key, args) => catalogue::told(language, measure, key, args),
            Self::Joined(words, between) => {
                words.iter().map(|words| words.told(language, measure)).collect::<Vec<_>>().join(between)
            }
            Self::Capital(words) => {
                let mut letters = words.told(language, measure).chars();
                letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
            }
            Self::Measured(told) => told[measure as usize].told(language, measure).to_owned(),
        }
    }
}

impl Default for Words {
    fn default() -> Self {
        String::new().into()
    }
}

impl From<String> for Words {
    fn from(text: String) -> Self {
        Self::made(Of::Text(text))
    }
}

impl From<&str> for Words {
    fn from(text: &str) -> Self {
        text.to_owned().into()
    }
}

impl From<&String> for Words {
    fn from(text: &String) -> Self {
        text.as_str().into()
    }
}

impl From<&&str> for Words {
    fn from(text: &&str) -> Self {
        (*text).into()
    }
}

impl From<&Words> for Words {
    fn from(words: &Words) -> Self {
        words.clone()
    }
}

impl From<Words> for String {
    fn from(words: Words) -> Self {
        words.english().to_owned()
    }
}

impl Deref for Words {
    type Target = str;

    fn deref(&self) -> &str {
        self.english()
    }
}

impl AsRef<str> for Words {
    fn as_ref(&self) -> &str {
        self.english()
    }
}

impl Borrow<str> for Words {
    fn borrow(&self) -> &str {
        self.english()
    }
}

impl fmt::Display for Words {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.english().fmt(f)
    }
}

impl fmt::Debug for Words {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.english(), f)
    }
}

impl PartialEq for Words {
    fn eq(&self, other: &Self) -> bool {
        self.english() == other.english()
    }
}

impl Eq for Words {}

impl PartialEq<str> for Words {
    fn eq(&self, other: &str) -> bool {
        self.english() == other
    }
}

impl PartialEq<&str> for Words {
    fn eq(&self, other: &&str) -> bool {
        self.english() == *other
    }
}

impl PartialEq<String> for Words {
    fn eq(&self, other: &String) -> bool {
        self.english() == other
    }
}

impl PartialOrd for Words {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Words {
    fn cmp(&self, other: &Self) -> Ordering {
        self.english().cmp(other.english())
    }
}

impl Hash for Words {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.english().hash(state);
    }
}

impl Serialize for Words {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.english())
    }
}
