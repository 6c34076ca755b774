//! Proofs of mate that can be written down, kept, and checked by anyone.
//!
//! # The text
//!
//! ```text
//! gainsay mate proof 1
//! position 8/8/8/8/3N4/p7/k1K5/8 w - - 0 1
//! moves 3
//! d4e2 1
//! e2c1 c1b3
//! end ef84a6b893ce19f2
//! ```
//!
//! The position is a FEN, and the side to move mates in `moves` of its moves at most;
//! the longest line of the proof has just so many.
//! Then comes one line for every position of the proof in which the attacker is to
//! move, numbered from 0, the given position: the attacker's move in UCI notation
//! and, unless it mates, an answer to each legal reply, the replies in the
//! alphabetical order of their UCI notation. An answer is either a move that mates at
//! once or the number of the line that goes on, which is greater than the line's own
//! number, so that no proof can run in a circle. Lines may be shared.
//!
//! The last line, which ends with a line feed too, holds 16 hexadecimal digits: the
//! 64-bit FNV-1a hash (Fowler, Noll and Vo) of all lines before it, line feeds
//! included. It guards against damage; a false proof is found by replaying it.

pub mod verify;

use std::fmt::{self, Write as _};

use shakmaty::{Chess, EnPassantMode, Move, Position, fen::Fen};

/// How the attacker answers a reply.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// With a move that mates at once.
    Mate(Move),
    /// As the step of this number says.
    Step(u32),
}

/// A position with the attacker to move, and how he goes on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The attacker's move.
    pub attack: Move,
    /// Every legal reply with its answer, in the alphabetical order of their UCI
    /// notation; empty when the move mates.
    pub replies: Vec<(Move, Answer)>,
    /// Attacker's moves in the longest line from here, this one included.
    pub moves: u32,
}

/// A proof that the side to move mates, every defence answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proof {
    pub(crate) position: Chess,
    /// At least one; successors have greater numbers.
    pub(crate) steps: Vec<Step>,
}

impl Proof {
    /// The position in which the attacker is to move.
    #[must_use]
    pub const fn position(&self) -> &Chess {
        &self.position
    }

    /// Attacker's moves in the longest line.
    #[must_use]
    pub fn moves(&self) -> u32 {
        self.steps.first().map_or(0, |step| step.moves)
    }

    /// The steps; the first belongs to [`Proof::position`].
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// A longest line, ending in mate.
    #[must_use]
    pub fn main_line(&self) -> Vec<Move> {
        let mut line = Vec::new();
        let mut step = self.steps.first();
        while let Some(&Step {
            attack,
            ref replies,
            ..
        }) = step
        {
            line.push(attack);
            let length = |answer: Answer| match answer {
                Answer::Mate(_) => 1,
                Answer::Step(number) => {
                    self.steps.get(number as usize).map_or(0, |step| step.moves)
                }
            };
            // The first of the longest, so that the line is the same every time.
            let Some(&(reply, answer)) = replies
                .iter()
                .rev()
                .max_by_key(|&&(_, answer)| length(answer))
            else {
                break;
            };
            line.push(reply);
            match answer {
                Answer::Mate(m) => {
                    line.push(m);
                    break;
                }
                Answer::Step(number) => step = self.steps.get(number as usize),
            }
        }
        line
    }
}

/// The 64-bit FNV-1a hash.
fn fnv(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

impl fmt::Display for Proof {
    /// Writes the text described at the top of this module.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mode = self.position.castles().mode();
        let mut text = String::new();
        writeln!(text, "gainsay mate proof 1")?;
        writeln!(
            text,
            "position {}",
            Fen::from_position(&self.position, EnPassantMode::Legal)
        )?;
        writeln!(text, "moves {}", self.moves())?;
        for step in &self.steps {
            write!(text, "{}", step.attack.to_uci(mode))?;
            for (_, answer) in &step.replies {
                match answer {
                    Answer::Mate(m) => write!(text, " {}", m.to_uci(mode))?,
                    Answer::Step(number) => write!(text, " {number}")?,
                }
            }
            writeln!(text)?;
        }
        writeln!(f, "{text}end {:016x}", fnv(&text))
    }
}
