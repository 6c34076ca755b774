//! Checks a written proof of mate by replaying it.
//!
//! It knows the rules of the game from the rules library and nothing of the prover:
//! no line of code is shared. The format is described in the parent module.

use shakmaty::{CastlingMode, Chess, Color, Move, Position, fen::Fen, uci::UciMove};

pub use super::error::VerifyError;

/// What a sound proof shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Verified {
    /// The position.
    pub position: Chess,
    /// The side that mates, to move there or not.
    pub attacker: Color,
    /// The most moves it needs; none where the other is mated already.
    pub moves: u32,
    /// Positions with the attacker to move in the proof, mates after a reply not counted.
    pub steps: usize,
}

/// Half-moves without capture or pawn move after which either player may claim a
/// draw (FIDE Laws of Chess, article 9.3).
const DRAWN: u32 = 100;

/// The first three lines come before the steps.
const HEAD: usize = 3;

/// Stands in place of the attacker's move in the first step where the other side is to
/// move.
const PASS: &str = "-";

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
    let said: u32 = lines
        .get(2)
        .and_then(|line| line.strip_prefix("moves "))
        .and_then(|number| number.parse().ok())
        .ok_or(form(3, "\"moves\" and a number"))?;
    let steps = lines.get(HEAD..).unwrap_or_default();
    let first = steps.first().ok_or(form(HEAD + 1, "a move"))?;
    let mated = first.split(' ').next() == Some(PASS);

    let mut reached: Vec<Option<Reached>> = Vec::new();
    reached.resize_with(steps.len(), || None);
    if let Some(root) = reached.first_mut() {
        *root = Some(Reached {
            position: position.clone(),
            clock: position.halfmoves(),
        });
    }
    // The lines that each line leads to, and the moves that it needs without them.
    let mut successors: Vec<(Vec<usize>, u32)> = Vec::with_capacity(steps.len());
    for (number, step) in steps.iter().enumerate() {
        let line = number + HEAD + 1;
        let Reached { position, clock } = reached
            .get_mut(number)
            .and_then(Option::take)
            .ok_or(VerifyError::Unreached { line })?;
        let (attack, answers) = step.split_once(' ').unwrap_or((step, ""));
        let (after, clock, own) = if mated && number == 0 {
            (position, clock, 0)
        } else {
            let m = legal(&position, attack, line)?;
            (played(&position, m), clock_after(clock, m), 1)
        };
        let answers: Vec<&str> = answers.split_terminator(' ').collect();
        let replies = replies(&after);
        if replies.len() != answers.len() {
            return Err(VerifyError::Replies {
                line,
                legal: replies.len(),
                answered: answers.len(),
            });
        }
        if replies.is_empty() && !after.is_check() {
            return Err(VerifyError::Stalemate { line });
        }
        if !replies.is_empty() && clock >= DRAWN {
            return Err(VerifyError::FiftyMoves { line });
        }
        let mut leads = Vec::new();
        let least = own + u32::from(!answers.is_empty());
        for ((name, reply), answer) in replies.into_iter().zip(answers) {
            let position = played(&after, reply);
            let clock = clock_after(clock, reply);
            if clock >= DRAWN {
                return Err(VerifyError::FiftyMoves { line });
            }
            if answer.starts_with(|first: char| first.is_ascii_digit()) {
                let next = Reached { position, clock };
                leads.push(lead(answer, number, next, &mut reached)?);
            } else if !played(&position, legal(&position, answer, line)?).is_checkmate() {
                return Err(VerifyError::NoMate {
                    line,
                    reply: name,
                    uci: answer.to_owned(),
                });
            }
        }
        successors.push((leads, least));
    }
    let needed = longest(&successors, u32::from(!mated));
    if needed != said {
        return Err(VerifyError::Length { said, needed });
    }
    Ok(Verified {
        attacker: if mated {
            !position.turn()
        } else {
            position.turn()
        },
        position,
        moves: needed,
        steps: steps.len() - usize::from(mated),
    })
}

/// The number of the line that `answer`, which stands in step `number`, names; `next` is
/// the position that leads there.
fn lead(
    answer: &str,
    number: usize,
    next: Reached,
    reached: &mut [Option<Reached>],
) -> Result<usize, VerifyError> {
    let reference = || VerifyError::Reference {
        line: number + HEAD + 1,
        number: answer.to_owned(),
    };
    let to: usize = answer.parse().map_err(|_| reference())?;
    if to <= number || to.to_string() != answer {
        return Err(reference());
    }
    match reached.get_mut(to).ok_or_else(reference)? {
        Some(known) if known.position != next.position => Err(VerifyError::Conflict {
            line: to + HEAD + 1,
        }),
        Some(known) => {
            known.clock = known.clock.max(next.clock);
            Ok(to)
        }
        slot => {
            *slot = Some(next);
            Ok(to)
        }
    }
}

/// The attacker's moves in the longest line. Successors come later, so the lengths are
/// known from the end backwards. `own` is 1 where the first step begins with his move.
fn longest(successors: &[(Vec<usize>, u32)], own: u32) -> u32 {
    let mut lengths = vec![0; successors.len()];
    for (number, (leads, least)) in successors.iter().enumerate().rev() {
        let own = if number == 0 { own } else { 1 };
        let behind = leads.iter().filter_map(|&to| lengths.get(to)).max();
        let length = behind.map_or(0, |length: &u32| length.saturating_add(own));
        if let Some(slot) = lengths.get_mut(number) {
            *slot = length.max(*least);
        }
    }
    lengths.first().copied().unwrap_or(0)
}

/// The legal moves with their UCI notation, in its alphabetical order.
fn replies(position: &Chess) -> Vec<(String, Move)> {
    let mode = position.castles().mode();
    let mut replies: Vec<(String, Move)> = position
        .legal_moves()
        .into_iter()
        .map(|reply| (reply.to_uci(mode).to_string(), reply))
        .collect();
    replies.sort_by(|one, other| one.0.cmp(&other.0));
    replies
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
