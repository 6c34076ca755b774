//! What is said of a place of a text because of other places.

use std::{fmt, ops::Range};

use gainsay_commentary::Way;
use gainsay_notation::GameResult;
use shakmaty::{Board, Color};

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
    /// A position that stands before under another number.
    SameDiagram {
        /// What the other one is: "diagram".
        noun: &'static str,
        number: u32,
        how: How,
    },
    /// A game that stands before.
    SameGame {
        /// How many moves both have.
        moves: u32,
        /// The other one, counted through the text from 1.
        game: u32,
        /// Who played that, as its tags say.
        players: [String; 2],
    },
    /// A name that is spelled otherwise everywhere else.
    OtherSpelling {
        name: String,
        /// How often it is.
        times: usize,
    },
    /// A heading says something else than the game below it.
    OtherHeading(Against),
}

/// What stands against a heading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Against {
    /// The game ends with mate.
    Mate { winner: Color },
    /// The game has another result.
    Result(GameResult),
    /// The tags name another year.
    Year(u32),
}

/// How two positions are the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum How {
    Same,
    /// From left to right.
    Mirrored,
    /// With the colours of the other.
    Reversed,
    Both,
}

impl How {
    pub(super) const ALL: [Self; 4] = [Self::Same, Self::Mirrored, Self::Reversed, Self::Both];

    /// The board that is the same so.
    pub(super) fn of(self, board: &Board) -> Board {
        let mut board = board.clone();
        if matches!(self, Self::Mirrored | Self::Both) {
            board.flip_horizontal();
        }
        if self.swaps() {
            board.flip_vertical();
            board.swap_colors();
        }
        board
    }

    /// Whether White is the other's Black.
    pub(super) const fn swaps(self) -> bool {
        matches!(self, Self::Reversed | Self::Both)
    }
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
