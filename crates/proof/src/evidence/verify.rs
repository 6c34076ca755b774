//! Checks a written proof of mate by replaying it.
//!
//! It knows the rules of the game from the rules library and nothing of the prover:
//! no line of code is shared. The format is described in the parent module.

use shakmaty::{CastlingMode, Chess, Color, Move, Position, fen::Fen, uci::UciMove};
use thiserror::Error;

/// What a sound proof shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verified {
    /// The position.
    pub position: Chess,
    /// The side to move there, which mates.
    pub attacker: Color,
    /// The most moves it needs.
    pub moves: u32,
    /// Positions with the attacker to move in the proof, mates in one not counted.
    pub steps: usize,
}

/// Why a proof was rejected. Lines are counted from 1.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum VerifyError {
    /// A line is missing or not what it must be.
    #[error("line {line}: {expected} expected; the file is damaged or not a proof of mate")]
    Form {
        /// The line.
        line: usize,
        /// What it should hold.
        expected: &'static str,
    },
    /// The text does not match its check digits.
    #[error("the check digits do not match the text; the file was changed or damaged")]
    Digits,
    /// The position cannot be set up.
    #[error("line 2: the position cannot be set up: {reason}")]
    Position {
        /// What is wrong with it.
        reason: String,
    },
    /// A move is illegal.
    #[error("line {line}: {uci} is not a legal move there")]
    Illegal {
        /// The line.
        line: usize,
        /// The move in UCI notation.
        uci: String,
    },
    /// The number of answers differs from the number of legal replies.
    #[error("line {line}: {legal} legal replies, {answered} answers")]
    Replies {
        /// The line.
        line: usize,
        /// Legal replies.
        legal: usize,
        /// Answers given.
        answered: usize,
    },
    /// The move neither mates nor leaves a legal reply.
    #[error("line {line}: {uci} stalemates")]
    Stalemate {
        /// The line.
        line: usize,
        /// The move in UCI notation.
        uci: String,
    },
    /// An answer that should mate does not.
    #[error("line {line}: {uci} does not mate after {reply}")]
    NoMate {
        /// The line.
        line: usize,
        /// The reply.
        reply: String,
        /// The answer.
        uci: String,
    },
    /// An answer names a line that does not exist or does not come later.
    #[error("line {line}: answer {number} is not the number of a later line")]
    Reference {
        /// The line.
        line: usize,
        /// The number.
        number: String,
    },
    /// Two ways lead to one line with different positions.
    #[error("line {line}: reached with two different positions")]
    Conflict {
        /// The line.
        line: usize,
    },
    /// No way leads to a line.
    #[error("line {line}: nothing leads to it")]
    Unreached {
        /// The line.
        line: usize,
    },
    /// The fifty-move rule ends a line before it mates.
    #[error("line {line}: drawn by the fifty-move rule before the mate")]
    FiftyMoves {
        /// The line.
        line: usize,
    },
    /// The proof needs more or fewer moves than it says.
    #[error("line 3: {said} moves claimed, {needed} needed")]
    Length {
        /// What the text says.
        said: u32,
        /// What the longest line needs.
        needed: u32,
    },
}

/// Half-moves without capture or pawn move after which either player may claim a
/// draw (FIDE Laws of Chess, article 9.3).
const DRAWN: u32 = 100;

/// The first three lines come before the steps.
const HEAD: usize = 3;

/// A position on the way, and the highest fifty-move clock it is reached with.
struct Reached {
    position: Chess,
    clock: u32,
}

/// Replays a proof; it is sound exactly when there is no error.
///
/// # Errors
///
/// The first thing that is wrong, see [`VerifyError`].
pub fn verify(text: &str) -> Result<Verified, VerifyError> {
    let form = |line, expected| VerifyError::Form { line, expected };
    let body = digits(text)?;
    let lines: Vec<&str> = body.lines().collect();
    if lines.first() != Some(&"gainsay mate proof 1") {
        return Err(form(1, "\"gainsay mate proof 1\""));
    }
    let fen = lines
        .get(1)
        .and_then(|line| line.strip_prefix("position "))
        .ok_or(form(2, "\"position\" and a FEN"))?;
    let position = set_up(fen)?;
    let mode = position.castles().mode();
    let said: u32 = lines
        .get(2)
        .and_then(|line| line.strip_prefix("moves "))
        .and_then(|number| number.parse().ok())
        .ok_or(form(3, "\"moves\" and a number"))?;
    let steps = lines.get(HEAD..).unwrap_or_default();
    if steps.is_empty() {
        return Err(form(HEAD + 1, "a move"));
    }

    let mut reached: Vec<Option<Reached>> = Vec::new();
    reached.resize_with(steps.len(), || None);
    if let Some(root) = reached.first_mut() {
        *root = Some(Reached {
            position: position.clone(),
            clock: position.halfmoves(),
        });
    }
    // The lines that each line leads to, to measure the longest way afterwards.
    let mut successors: Vec<Vec<usize>> = Vec::with_capacity(steps.len());
    let mut least: Vec<u32> = Vec::with_capacity(steps.len());
    for (number, step) in steps.iter().enumerate() {
        let line = number + HEAD + 1;
        let Reached { position, clock } = reached
            .get_mut(number)
            .and_then(Option::take)
            .ok_or(VerifyError::Unreached { line })?;
        let mut words = step.split(' ');
        let attack = words.next().unwrap_or_default();
        let m = legal(&position, attack, line)?;
        let after = played(&position, m);
        let clock = clock_after(clock, m);
        let answers: Vec<&str> = words.collect();
        let mut replies: Vec<(String, Move)> = after
            .legal_moves()
            .into_iter()
            .map(|reply| (reply.to_uci(mode).to_string(), reply))
            .collect();
        replies.sort_by(|one, other| one.0.cmp(&other.0));
        if replies.len() != answers.len() {
            return Err(VerifyError::Replies {
                line,
                legal: replies.len(),
                answered: answers.len(),
            });
        }
        if replies.is_empty() && !after.is_check() {
            return Err(VerifyError::Stalemate {
                line,
                uci: attack.to_owned(),
            });
        }
        if !replies.is_empty() && clock >= DRAWN {
            return Err(VerifyError::FiftyMoves { line });
        }
        let mut leads = Vec::new();
        for ((name, reply), answer) in replies.into_iter().zip(&answers) {
            let next = played(&after, reply);
            let clock = clock_after(clock, reply);
            if clock >= DRAWN {
                return Err(VerifyError::FiftyMoves { line });
            }
            if answer.starts_with(|first: char| first.is_ascii_digit()) {
                let reference = || VerifyError::Reference {
                    line,
                    number: (*answer).to_owned(),
                };
                let to: usize = answer.parse().map_err(|_| reference())?;
                if to <= number || to.to_string() != *answer {
                    return Err(reference());
                }
                let slot = reached.get_mut(to).ok_or_else(reference)?;
                match slot {
                    None => {
                        *slot = Some(Reached {
                            position: next,
                            clock,
                        });
                    }
                    Some(known) if known.position == next => {
                        known.clock = known.clock.max(clock);
                    }
                    Some(_) => {
                        return Err(VerifyError::Conflict {
                            line: to + HEAD + 1,
                        });
                    }
                }
                leads.push(to);
            } else {
                let m = legal(&next, answer, line)?;
                if !played(&next, m).is_checkmate() {
                    return Err(VerifyError::NoMate {
                        line,
                        reply: name,
                        uci: (*answer).to_owned(),
                    });
                }
            }
        }
        leads.sort_unstable();
        leads.dedup();
        successors.push(leads);
        least.push(if answers.is_empty() { 1 } else { 2 });
    }

    // Successors come later, so the lengths are known from the end backwards.
    let mut lengths = least;
    for number in (0..lengths.len()).rev() {
        let longest = successors
            .get(number)
            .into_iter()
            .flatten()
            .filter_map(|&to| lengths.get(to))
            .max()
            .map_or(0, |length| length.saturating_add(1));
        if let Some(length) = lengths.get_mut(number) {
            *length = longest.max(*length);
        }
    }
    let needed = lengths.first().copied().unwrap_or(0);
    if needed != said {
        return Err(VerifyError::Length { said, needed });
    }
    Ok(Verified {
        attacker: position.turn(),
        position,
        moves: needed,
        steps: steps.len(),
    })
}

/// The text before the last line, once the last line's digits match it.
fn digits(text: &str) -> Result<&str, VerifyError> {
    let missing = |line| VerifyError::Form {
        line,
        expected: "\"end\", 16 digits and a line feed",
    };
    let text = text
        .strip_suffix('\n')
        .ok_or_else(|| missing(text.lines().count()))?;
    let end = text.rfind('\n').map_or(0, |at| at + 1);
    let (body, last) = text.split_at(end);
    let digits = last
        .strip_prefix("end ")
        .filter(|digits| digits.len() == 16)
        .ok_or_else(|| missing(body.lines().count() + 1))?;
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for byte in body.bytes() {
        hash ^= u64::from(byte);
        hash = hash.wrapping_mul(0x0100_0000_01b3);
    }
    if format!("{hash:016x}") == digits {
        Ok(body)
    } else {
        Err(VerifyError::Digits)
    }
}

fn set_up(fen: &str) -> Result<Chess, VerifyError> {
    let unusable = |reason: String| VerifyError::Position { reason };
    let setup = fen
        .parse::<Fen>()
        .map_err(|error| unusable(error.to_string()))?
        .into_setup();
    let mode = CastlingMode::detect(&setup);
    setup
        .position(mode)
        .map_err(|error| unusable(error.to_string()))
}

fn legal(position: &Chess, uci: &str, line: usize) -> Result<Move, VerifyError> {
    uci.parse::<UciMove>()
        .ok()
        .and_then(|parsed| parsed.to_move(position).ok())
        .filter(|m| m.to_uci(position.castles().mode()).to_string() == uci)
        .ok_or_else(|| VerifyError::Illegal {
            line,
            uci: uci.to_owned(),
        })
}

fn played(position: &Chess, m: Move) -> Chess {
    let mut position = position.clone();
    position.play_unchecked(m);
    position
}

const fn clock_after(clock: u32, m: Move) -> u32 {
    if m.is_zeroing() {
        0
    } else {
        clock.saturating_add(1)
    }
}
