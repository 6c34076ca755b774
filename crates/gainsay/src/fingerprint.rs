//! What a finding is recognised by another time, when the text around it has changed.

use std::{fmt, str::FromStr};

use serde::{Serialize, Serializer};

/// A finding's identity in three parts, none of which knows a line of the file: what it says
/// and of which move, on which position, and in which game. Most edits leave at least two alike:
/// a game that is moved or renamed keeps the first and the second, a move that is mended before
/// the finding leaves the first and the third.
///
/// ```
/// use gainsay::{Settings, check};
/// let of = |text: &[u8]| check(text, &Settings::default()).findings[0].fingerprint;
/// let (old, moved) = (of(b"1. e4 e5 2. Ke3 *"), of(b"{Again:}\n1. e4 {!}\n1... e5 2. Ke3 *"));
/// assert_eq!(old, moved);
/// assert_eq!(old.to_string().parse(), Ok(old));
/// let earlier = of(b"1. e4 e6 2. Ke3 *");
/// assert_eq!((earlier.place, earlier.game), (old.place, old.game));
/// assert_ne!(earlier.position, old.position);
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Fingerprint {
    /// The rule, the author's words and the move they stand at.
    pub place: u64,
    /// The position, without the counts of moves; 0 where the finding speaks of none.
    pub position: u64,
    /// The players, the occasion and the first position of the game; 0 outside of games.
    pub game: u64,
}

/// Why a text is no fingerprint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a fingerprint is three numbers of 16 hexadecimal digits with \"-\" between them")]
pub struct NoFingerprint;

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            place,
            position,
            game,
        } = self;
        write!(f, "{place:016x}-{position:016x}-{game:016x}")
    }
}

impl FromStr for Fingerprint {
    type Err = NoFingerprint;

    fn from_str(text: &str) -> Result<Self, NoFingerprint> {
        let mut parts = text.split('-');
        let mut part = || {
            let digits = parts.next().filter(|digits| digits.len() == 16);
            u64::from_str_radix(digits.ok_or(NoFingerprint)?, 16).map_err(|_| NoFingerprint)
        };
        let found = Self {
            place: part()?,
            position: part()?,
            game: part()?,
        };
        parts.next().map_or(Ok(found), |_| Err(NoFingerprint))
    }
}

impl Serialize for Fingerprint {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_fingerprint_is_refused() {
        for text in ["", "1-2-3", "0000000000000000-0000000000000000", "x"] {
            assert_eq!(text.parse::<Fingerprint>(), Err(NoFingerprint), "{text}");
        }
        let four = format!("{}-0000000000000000", Fingerprint::default());
        assert_eq!(four.parse::<Fingerprint>(), Err(NoFingerprint));
    }
}
