//! Where a claim stands.

use std::ops::Range;

use shakmaty::Chess;

/// A claim as it stands in the text. Offsets are those of the checked text.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Claimed<'a> {
    /// The kind, in kebab case.
    pub(crate) kind: &'static str,
    /// The author's words.
    pub(crate) text: &'a str,
    /// Where they stand.
    pub(crate) span: &'a Range<usize>,
    /// Where the comment begins, from which faults count their places.
    pub(crate) base: usize,
    /// The game, counted from 1.
    pub(crate) game: Option<u32>,
    /// The move it stands at, with its number.
    pub(crate) mv: Option<&'a str>,
    /// The position it stands in.
    pub(crate) here: &'a Chess,
}
