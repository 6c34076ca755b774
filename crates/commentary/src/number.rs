//! A number of moves, as the author wrote it.

use gainsay_notation::Span;

use crate::tongue::Tongue;

/// The number of moves that a claim says, and how it is written, so that another can be
/// written in its place; see [`WrittenNumber::rewritten`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct WrittenNumber {
    /// Its value.
    pub value: u32,
    /// Where it stands.
    pub span: Span,
    /// How it is written.
    pub form: NumberForm,
    /// The language of the prose.
    pub tongue: Tongue,
    /// The noun behind it that says what is counted ("moves"), where one stands there.
    pub noun: Option<CountedNoun>,
    /// Whether nothing but ASCII can be written there, since the passage is in Latin-1.
    pub ascii_only: bool,
}

/// How a number is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum NumberForm {
    /// In digits.
    Digits,
    /// As a word.
    Word {
        /// Whether it begins with a capital letter.
        capital: bool,
    },
}

/// A noun for what is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct CountedNoun {
    /// Where it stands.
    pub span: Span,
    /// Which of the nouns of its language it is.
    pub(crate) nth: usize,
    /// Whether it begins with a capital letter.
    pub(crate) capital: bool,
}
