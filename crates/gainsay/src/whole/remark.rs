//! What is said of a place of a text because of other places.

use std::{fmt, ops::Range};

use gainsay_commentary::Way;

/// Something at a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Remark {
    /// Its bytes.
    pub(crate) span: Range<usize>,
    pub(crate) what: What,
}

impl Remark {
    /// Counts its bytes from this offset on.
    pub(super) fn move_back(&mut self, start: usize) {
        let moved = |span: &mut Range<usize>| {
            *span = span.start.saturating_sub(start)..span.end.saturating_sub(start);
        };
        moved(&mut self.span);
        if let What::OtherWay { word, .. } = &mut self.what {
            word.iter_mut().for_each(moved);
        }
    }
}

/// What is said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum What {
    /// Nothing has the number that is pointed at.
    NoTarget {
        /// What is pointed at: "diagram".
        noun: &'static str,
        number: u32,
        /// The numbers that there are.
        numbers: Numbers,
    },
    /// What is pointed at stands on the other side.
    OtherWay {
        /// What is pointed at: "diagram".
        noun: &'static str,
        number: u32,
        /// Where it stands.
        stands: Way,
        /// The word that says where, if it can be replaced.
        word: Option<Range<usize>>,
    },
}

/// Numbers in order, as runs without a gap.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Numbers(Vec<(u32, u32)>);

impl Numbers {
    /// From numbers in order.
    pub(crate) fn of(numbers: impl IntoIterator<Item = u32>) -> Self {
        let mut runs: Vec<(u32, u32)> = Vec::new();
        for number in numbers {
            match runs.last_mut() {
                Some((_, last)) if last.checked_add(1) == Some(number) => *last = number,
                _ => runs.push((number, number)),
            }
        }
        Self(runs)
    }
}

impl fmt::Display for Numbers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, (first, last)) in self.0.iter().enumerate() {
            let joint = match at {
                0 => "",
                at if at + 1 == self.0.len() => " and ",
                _ => ", ",
            };
            match last - first {
                0 => write!(f, "{joint}{first}")?,
                1 => write!(f, "{joint}{first}, {last}")?,
                _ => write!(f, "{joint}{first} to {last}")?,
            }
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn runs_of_numbers_are_told_by_their_ends() {
        for (numbers, told) in [
            (&[1, 2, 3][..], "1 to 3"),
            (&[1, 2, 4, 5, 6, 9], "1, 2, 4 to 6 and 9"),
            (&[1], "1"),
        ] {
            assert_eq!(Numbers::of(numbers.iter().copied()).to_string(), told);
        }
    }
}
