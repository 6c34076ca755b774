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
//! The position is a FEN, and one side, the attacker, mates in `moves` of its moves at
//! most; the longest line of the proof has just so many.
//! Then comes one line for every position of the proof in which the attacker is to
//! move, numbered from 0, the given position: the attacker's move in UCI notation
//! and, unless it mates, an answer to each legal reply, the replies in the
//! alphabetical order of their UCI notation. An answer is either a move that mates at
//! once or the number of the line that goes on, which is greater than the line's own
//! number, so that no proof can run in a circle. Lines may be shared. Where the side to
//! move in the given position is the one that is mated, line 0 has a hyphen in place of
//! the attacker's move:
//!
//! ```text
//! gainsay mate proof 1
//! position 7k/R7/1R6/8/8/8/8/K7 b - - 0 1
//! moves 1
//! - b6b8
//! end da6e81da7e10a448
//! ```
//!
//! The last line, which ends with a line feed too, holds 16 hexadecimal digits: the
//! 64-bit FNV-1a hash (Fowler, Noll and Vo) of all lines before it, line feeds
//! included. It guards against damage; a false proof is found by replaying it.

mod error;
pub mod verify;

use std::fmt::{self, Write as _};

use shakmaty::{Chess, Color, EnPassantMode, Move, Position, fen::Fen};

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
    /// The attacker's move; none in the first step where it is the defender's turn.
    pub attack: Option<Move>,
    /// Every legal reply with its answer, in the alphabetical order of their UCI
    /// notation; empty when it is mate.
    pub replies: Vec<(Move, Answer)>,
    /// Attacker's moves in the longest line from here, that of this step included.
    pub moves: u32,
}

/// How the defences beside the longest compare with it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Others {
    /// There are none: every reply is the only legal one.
    None,
    /// Each is answered in fewer moves.
    Shorter,
    /// None lasts longer, and some may last as long.
    NoLonger,
}

/// A proof that one side mates, every defence of the other answered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proof {
    pub(crate) position: Chess,
    /// At least one; successors have greater numbers.
    pub(crate) steps: Vec<Step>,
}

impl Proof {
    /// The proof that the side to move is mated already, if it is.
    #[must_use]
    pub fn mated(position: &Chess) -> Option<Self> {
        position.is_checkmate().then(|| Self {
            position: position.clone(),
            steps: vec![Step {
                attack: None,
                replies: Vec::new(),
                moves: 0,
            }],
        })
    }

    /// The position that it begins from.
    #[must_use]
    pub const fn position(&self) -> &Chess {
        &self.position
    }

    /// The side that mates.
    #[must_use]
    pub fn attacker(&self) -> Color {
        let turn = self.position.turn();
        match self.steps.first() {
            Some(Step { attack: None, .. }) => !turn,
            _ => turn,
        }
    }

    /// Attacker's moves in the longest line; none where the defender is mated already.
    #[must_use]
    pub fn moves(&self) -> u32 {
        self.steps.first().map_or(0, |step| step.moves)
    }

    /// The steps; the first belongs to [`Proof::position`].
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// The attacker's moves that an answer still needs.
    #[must_use]
    pub fn length(&self, answer: Answer) -> u32 {
        match answer {
            Answer::Mate(_) => 1,
            Answer::Step(number) => self.steps.get(number as usize).map_or(0, |step| step.moves),
        }
    }

    /// The reply of a step that lasts longest, the first of those that last as long, so
    /// that it is the same every time.
    #[must_use]
    pub fn longest(&self, step: &Step) -> Option<(Move, Answer)> {
        let replies = step.replies.iter().rev();
        replies
            .max_by_key(|&&(_, answer)| self.length(answer))
            .copied()
    }

    /// The steps on the way of the longest line.
    fn main_steps(&self) -> impl Iterator<Item = &Step> {
        std::iter::successors(self.steps.first(), |step| match self.longest(step)?.1 {
            Answer::Step(number) => self.steps.get(number as usize),
            Answer::Mate(_) => None,
        })
    }

    /// A longest line, ending in mate.
    #[must_use]
    pub fn main_line(&self) -> Vec<Move> {
        let mut line = Vec::new();
        for step in self.main_steps() {
            line.extend(step.attack);
            if let Some((reply, answer)) = self.longest(step) {
                line.push(reply);
                if let Answer::Mate(m) = answer {
                    line.push(m);
                }
            }
        }
        line
    }

    /// How the defences beside the main line compare with it, as far as the proof tells;
    /// `None` where the main line has no reply.
    #[must_use]
    pub fn others(&self) -> Option<Others> {
        let mut others = None;
        for step in self.main_steps() {
            let Some((longest, answer)) = self.longest(step) else {
                continue;
            };
            let most = self.length(answer);
            let mut beside = step.replies.iter().filter(|(reply, _)| *reply != longest);
            if beside.any(|&(_, answer)| self.length(answer) >= most) {
                return Some(Others::NoLonger);
            }
            if step.replies.len() > 1 {
                others = Some(Others::Shorter);
            }
            others.get_or_insert(Others::None);
        }
        others
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
            match step.attack {
                Some(attack) => write!(text, "{}", attack.to_uci(mode))?,
                None => text.push('-'),
            }
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
