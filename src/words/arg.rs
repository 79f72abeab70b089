//! What is put into a sentence: names and notation as they stand, numbers for each language to write, other words.
//!
//! Yields [`Arg`] and the ways of making one. [`Probe`] lets the macros take whatever can be shown at all: what is
//! known here keeps its meaning, everything else (a designation, an act in its notation) goes in as it is written.

use std::borrow::Cow;
use std::fmt::Display;
use std::sync::Arc;

use super::Words;

/// One thing put into a sentence.
#[derive(Clone, Debug)]
pub enum Arg {
    /// A name or notation, the same in every language.
    Text(Arc<str>),
    /// A number, with so many decimals or as many as it has.
    Number(f64, Option<usize>),
    /// Other words.
    Words(Words),
}

/// A number that is to be written with so many decimals.
pub fn fixed(value: f64, decimals: usize) -> Arg {
    Arg::Number(value, Some(decimals))
}

/// What has a meaning here and not only letters.
pub trait ToArg {
    /// As something to put into a sentence.
    fn to_arg(&self) -> Arg;
}

impl ToArg for Arg {
    fn to_arg(&self) -> Arg {
        self.clone()
    }
}

impl ToArg for Words {
    fn to_arg(&self) -> Arg {
        Arg::Words(self.clone())
    }
}

impl ToArg for str {
    fn to_arg(&self) -> Arg {
        Arg::Text(self.into())
    }
}

impl ToArg for String {
    fn to_arg(&self) -> Arg {
        Arg::Text(self.as_str().into())
    }
}

impl ToArg for Cow<'_, str> {
    fn to_arg(&self) -> Arg {
        Arg::Text(self.as_ref().into())
    }
}

impl ToArg for f64 {
    fn to_arg(&self) -> Arg {
        Arg::Number(*self, None)
    }
}

impl ToArg for f32 {
    fn to_arg(&self) -> Arg {
        Arg::Number(f64::from(*self), None)
    }
}

macro_rules! whole_numbers {
    ($($kind:ty),+) => {
        $(impl ToArg for $kind {
            fn to_arg(&self) -> Arg {
                // Counts and ratings: far below where a float would lose one.
                Arg::Number(*self as f64, Some(0))
            }
        })+
    };
}
whole_numbers!(u64, usize, i64);

macro_rules! small_whole_numbers {
    ($($kind:ty),+) => {
        $(impl ToArg for $kind {
            fn to_arg(&self) -> Arg {
                Arg::Number(f64::from(*self), Some(0))
            }
        })+
    };
}
small_whole_numbers!(u8, u16, u32, i32);

impl<T: ToArg + ?Sized> ToArg for &T {
    fn to_arg(&self) -> Arg {
        (**self).to_arg()
    }
}

/// Something about to be put into a sentence, whatever it is.
#[derive(Debug)]
pub struct Probe<'a, T: ?Sized>(pub &'a T);

/// What a [`Probe`] finds known.
pub trait Known {
    /// As something to put into a sentence.
    fn arg(&self) -> Arg;
}

impl<T: ToArg + ?Sized> Known for Probe<'_, T> {
    fn arg(&self) -> Arg {
        self.0.to_arg()
    }
}

/// What a [`Probe`] can only write down.
pub trait Shown {
    /// As something to put into a sentence.
    fn arg(&self) -> Arg;
}

impl<T: Display + ?Sized> Shown for &Probe<'_, T> {
    fn arg(&self) -> Arg {
        Arg::Text(self.0.to_string().into())
    }
}
