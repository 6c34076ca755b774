//! What is true instead of a false statement about a board, with the moves that show it.

use gainsay_commentary::{Relation, Target};
use gainsay_proof::facts;
use shakmaty::{Bitboard, Board, Chess, Color, Position, Role, Square};

use super::{
    answer::Answer,
    nouns::{aims, pins},
};
use crate::{
    outcome::{At, Line, Man, NotPinned, PieceWhy, Side, Why},
    resolve::with_turn,
};

/// What is true instead.
#[derive(Debug)]
pub(super) struct TrueInstead {
    why: Why,
    /// Moves that show it, if any do.
    shown: Option<Line>,
}

impl TrueInstead {
    pub(super) fn of(why: impl Into<Why>) -> Self {
        let why = why.into();
        Self { why, shown: None }
    }

    /// The answer that a statement is false in `position` for this reason.
    pub(super) fn refutes(self, position: &Chess) -> Answer {
        let shown = self.shown.unwrap_or_else(|| Line::new(position, &[]));
        Answer::refuted(self.why, position, shown)
    }
}

/// A legal move of the piece on `square`, whoever is to move.
fn a_move(position: &Chess, square: Square) -> Option<Line> {
    let mover = position.board().color_at(square)?;
    let position = with_turn(position, mover)?;
    let moves = position.legal_moves();
    let mut of_it = (moves.into_iter()).filter(|m| m.from() == Some(square) && !m.is_castle());
    Some(Line::new(&position, &[of_it.next()?]))
}

/// What is true instead of a relation that is not there: of the piece or square acted on,
/// where it is plain which one is meant, and else of the piece that acts.
pub(super) fn instead(
    position: &Chess,
    relation: Relation,
    actors: Bitboard,
    targets: &[Target],
) -> TrueInstead {
    let board = position.board();
    let mut met = targets.iter().map(|target| aims(board, target));
    let one = match (met.next(), met.next()) {
        (Some(squares), None) => squares.single_square(),
        _ => None,
    };
    let actor = actors.single_square();
    let why = match relation {
        Relation::Pins | Relation::Pinned | Relation::PinnedTo => {
            let first = targets.first();
            let square = one.or_else(|| first.and_then(|target| aims(board, target).first()));
            return not_pinned(position, square);
        }
        Relation::Forks => match actor.and_then(|from| attacks_only(board, from, None)) {
            Some(why) => why,
            None => PieceWhy::NothingAttacks { all: true },
        },
        Relation::Defends | Relation::Defended | Relation::Loose => match one {
            Some(square) => PieceWhy::DefendedBy {
                at: At(square),
                man: Man::on(board, square),
                by: Man::all(board, facts::defenders(board, square)),
            },
            None => PieceWhy::NothingDefends,
        },
        Relation::DoubleCheck | Relation::DiscoveredCheck | Relation::Checks => {
            PieceWhy::CheckedBy {
                side: Side(position.turn()),
                by: Man::all(board, position.checkers()),
            }
        }
        _ => match (one, actor) {
            (Some(square), actor) => attacked_otherwise(board, square, actors, actor),
            (None, Some(from)) => {
                attacks_only(board, from, None).unwrap_or(PieceWhy::NothingAttacks { all: false })
            }
            (None, None) => PieceWhy::NothingAttacks { all: false },
        },
    };
    TrueInstead::of(why)
}

fn attacks_only(board: &Board, from: Square, not: Option<Square>) -> Option<PieceWhy> {
    Some(PieceWhy::AttacksOnly {
        man: Man::on(board, from)?,
        hit: Man::all(board, facts::attacked_pieces(board, from)),
        not: not.map(At),
    })
}

/// By what a square or piece is attacked instead. Of an empty square only the men of the side
/// that is said to attack it were looked for, and where none does, a single piece that is
/// said to do so is told of itself.
fn attacked_otherwise(
    board: &Board,
    square: Square,
    actors: Bitboard,
    actor: Option<Square>,
) -> PieceWhy {
    let man = Man::on(board, square);
    let side = match board.color_at(square) {
        Some(color) => Some(!color),
        None => Color::ALL
            .into_iter()
            .find(|&color| actors.any() && (actors & !board.by_color(color)).is_empty()),
    };
    let by = side.map_or(Bitboard::EMPTY, |side| {
        facts::attackers(board, square, side)
    });
    if man.is_none()
        && by.is_empty()
        && let Some(why) = actor.and_then(|from| attacks_only(board, from, Some(square)))
    {
        return why;
    }
    PieceWhy::AttackedBy {
        at: At(square),
        man,
        side: side.map(Side),
        by: Man::all(board, by),
    }
}

/// Why a piece is not pinned, with a move of it that shows so.
fn not_pinned(position: &Chess, square: Option<Square>) -> TrueInstead {
    let board = position.board();
    let man = |square| Man::on(board, square);
    let Some((square, this, color)) =
        square.and_then(|at| Some((at, man(at)?, board.color_at(at)?)))
    else {
        return TrueInstead::of(PieceWhy::NotPinned(NotPinned::NoPiece));
    };
    let otherwise = (pins(board).find(|pin| pin.pinned == square))
        .and_then(|pin| Some((man(pin.behind)?, man(pin.pinner)?)));
    if let Some((behind, by)) = otherwise {
        let man = this;
        return TrueInstead::of(PieceWhy::NotPinned(NotPinned::Otherwise {
            man,
            behind,
            by,
        }));
    }
    let sliders = facts::attackers(board, square, !color) & board.sliders();
    let free = a_move(position, square);
    let shown = free.clone();
    let why = match sliders.first().and_then(man) {
        _ if board.role_at(square) == Some(Role::King) => NotPinned::King { free },
        None => NotPinned::NotAttacked { man: this, free },
        Some(by) => NotPinned::NothingBehind {
            man: this,
            by,
            free,
        },
    };
    TrueInstead {
        why: PieceWhy::NotPinned(why).into(),
        shown,
    }
}

#[cfg(test)]
mod tests {
    use crate::{Settings, check};

    /// Where an empty square is said to be attacked, what the other side attacks is no news.
    #[test]
    fn of_an_empty_square_the_men_of_the_side_that_is_meant_are_told() {
        let told = |comment: &str| {
            let text = format!("1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 {{{comment}}} *");
            let report = check(text.as_bytes(), &Settings::default());
            let messages = report.findings.into_iter().map(|found| found.message);
            messages.collect::<Vec<_>>().join(" ")
        };
        let message = told("The bishop on c4 attacks b6.");
        assert!(
            message.contains("the white bishop on c4 does not attack b6"),
            "{message}"
        );
        assert!(!message.contains("not attacked at all"), "{message}");
        let message = told("The knight on c6 attacks d5.");
        assert!(
            message.contains("the black knight on c6 does not attack d5"),
            "{message}"
        );
    }
}
