//! What is true instead of a false statement about a board, in words and moves.

use gainsay_commentary::{Relation, Target};
use gainsay_proof::facts;
use shakmaty::{Bitboard, Board, Chess, Color, Move, Position, Role, Square};

use super::{
    answer::evidence,
    facts::{aims, pins},
};
use crate::{show, with_turn};

/// What is true instead.
#[derive(Debug, Default)]
pub(super) struct Told {
    /// A clause.
    pub(super) words: String,
    /// Moves that show it.
    pub(super) shown: String,
}

impl Told {
    pub(super) fn words(words: impl Into<String>) -> Self {
        Self {
            words: words.into(),
            shown: String::new(),
        }
    }
}

/// Pieces with their squares as a list: "the white bishop on g5 and the white pawn on h4".
pub(super) fn pieces(board: &Board, squares: Bitboard) -> String {
    let names: Vec<String> = squares
        .into_iter()
        .map(|square| show::named(board, square))
        .collect();
    show::list(&names, "and")
}

/// The verb for so many pieces.
pub(super) fn stand(squares: Bitboard) -> &'static str {
    if squares.count() == 1 {
        "stands"
    } else {
        "stand"
    }
}

/// Squares as a list: "a5 and c4".
pub(super) fn places(squares: Bitboard) -> String {
    let names: Vec<String> = squares
        .into_iter()
        .map(|square| square.to_string())
        .collect();
    show::list(&names, "and")
}

/// A legal move of the piece on `square`, whoever is to move.
fn a_move(position: &Chess, square: Square) -> Option<(Chess, Move)> {
    let mover = position.board().color_at(square)?;
    let position = with_turn(position, mover)?;
    let of_it = |m: &Move| m.from() == Some(square) && !m.is_castle();
    let m = position.legal_moves().into_iter().find(of_it)?;
    Some((position, m))
}

/// What is true instead of a relation that is not there: of the piece or square acted on,
/// where it is plain which one is meant, and else of the piece that acts.
pub(super) fn instead(
    position: &Chess,
    relation: Relation,
    actors: Bitboard,
    targets: &[Target],
) -> Told {
    let board = position.board();
    let mut met = targets.iter().map(|target| aims(board, target));
    let single = match (met.next(), met.next()) {
        (Some(squares), None) => squares.single_square(),
        _ => None,
    };
    let actor = actors.single_square();
    match relation {
        Relation::Pins | Relation::Pinned | Relation::PinnedTo => match single.or_else(|| {
            let target = targets.first()?;
            aims(board, target).first()
        }) {
            Some(square) => not_pinned(position, square),
            None => Told::words("there is no such piece here"),
        },
        Relation::Forks => match actor {
            Some(from) => {
                let hit = facts::attacked_pieces(board, from);
                Told::words(attacks_only(board, from, hit))
            }
            None => Told::words("no such piece attacks all of these"),
        },
        Relation::Defends | Relation::Defended | Relation::Loose => match single {
            Some(square) => Told::words(by_nothing_else(
                board,
                square,
                "defended",
                facts::defenders(board, square),
            )),
            None => Told::words("no such piece defends that"),
        },
        Relation::DoubleCheck | Relation::DiscoveredCheck | Relation::Checks => {
            let checkers = position.checkers();
            if checkers.is_empty() {
                Told::words(format!("{} is not in check", show::side(position.turn())))
            } else {
                Told::words(format!("the check is given by {}", pieces(board, checkers)))
            }
        }
        _ => match (single, actor) {
            (Some(square), _) => {
                let by = match board.color_at(square) {
                    Some(color) => facts::attackers(board, square, !color),
                    None => actor
                        .and_then(|from| board.color_at(from))
                        .map_or(Bitboard::EMPTY, |color| {
                            facts::attackers(board, square, color)
                        }),
                };
                Told::words(by_nothing_else(board, square, "attacked", by))
            }
            (None, Some(from)) => {
                let hit = facts::attacked_pieces(board, from);
                Told::words(attacks_only(board, from, hit))
            }
            (None, None) => Told::words("no such piece attacks that"),
        },
    }
}

fn attacks_only(board: &Board, from: Square, hit: Bitboard) -> String {
    let from = show::named(board, from);
    if hit.is_empty() {
        format!("{from} attacks no piece")
    } else {
        format!("{from} attacks only {}", pieces(board, hit))
    }
}

fn by_nothing_else(board: &Board, square: Square, how: &str, by: Bitboard) -> String {
    let what = match board.piece_at(square) {
        Some(_) => show::named(board, square),
        None => square.to_string(),
    };
    if by.is_empty() {
        format!("{what} is not {how} at all")
    } else {
        format!("{what} is {how} by {} alone", pieces(board, by))
    }
}

/// Why a piece is not pinned, with a move of it that shows so.
fn not_pinned(position: &Chess, square: Square) -> Told {
    let board = position.board();
    let name = show::named(board, square);
    let Some(color) = board.color_at(square) else {
        return Told::words("there is no such piece here");
    };
    if let Some(pin) = pins(board).find(|pin| pin.pinned == square) {
        return Told::words(format!(
            "{name} is pinned to {} by {}",
            show::named(board, pin.behind),
            show::named(board, pin.pinner)
        ));
    }
    let sliders = facts::attackers(board, square, !color) & board.sliders();
    let why = match sliders.first() {
        _ if board.role_at(square) == Some(Role::King) => "a king is never pinned".to_owned(),
        None => format!("no rook, bishop or queen attacks {name}"),
        Some(slider) => format!(
            "{} attacks {name}, but nothing of worth stands behind it",
            show::named(board, slider)
        ),
    };
    match a_move(position, square) {
        Some((before, m)) => {
            let shown = evidence(&before, &[m]);
            Told {
                words: format!("{why}, and {shown} is free"),
                shown,
            }
        }
        None => Told::words(why),
    }
}

/// The pawns of both sides on some squares: "White's a5 and c4".
pub(super) fn pawns_of(board: &Board, color: Color, squares: Bitboard) -> String {
    format!(
        "{}'s {}",
        show::side(color),
        places(squares & board.by_color(color))
    )
}
