//! Reads the data files of `lang/`: the claims that phrases make, and the words and phrases of
//! each language. `build.rs` makes Rust tables of them; the tests of the library look at the
//! same data.
//!
//! ```text
//! lang/claims.txt, lang/en.txt ─▶ lines ─▶ claims, inflections, sets, patterns ─▶ tables
//! ```

mod blocks;
mod claims;
mod inflect;
mod language;
mod mistake;
mod pattern;
mod reviewed;
mod words;

pub(crate) use self::claims::{Claim, Claims};
pub(crate) use self::language::Language;
pub(crate) use self::mistake::Mistake;
pub(crate) use self::pattern::Element;
pub(crate) use self::reviewed::{check_known, check_reviewed, reviewed_words};

#[cfg(test)]
mod check;
