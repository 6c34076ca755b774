//! The men and squares that a noun can mean on a board.

use gainsay_commentary::{Noun, Owner, Target, Traits};
use gainsay_proof::facts;
use shakmaty::{Bitboard, Board, Chess, Color, Position, Role, Square};

/// The pieces on the board that a noun can mean.
pub(super) fn squares(board: &Board, noun: &Noun) -> Bitboard {
    let mut found = match noun.role {
        Some(role) => board.by_role(role),
        None => board.occupied() & !board.by_role(Role::King) & !board.by_role(Role::Pawn),
    };
    if let Owner::Side(color) = noun.owner {
        found &= board.by_color(color);
    }
    if let Some(square) = noun.square {
        found &= Bitboard::from_square(square);
    }
    if let Some(file) = noun.file {
        found &= Bitboard::from_file(file);
    }
    if noun.traits.contains(Traits::LIGHT) {
        found &= Bitboard::LIGHT_SQUARES;
    }
    if noun.traits.contains(Traits::DARK) {
        found &= Bitboard::DARK_SQUARES;
    }
    found
}

/// The squares that a target can mean.
pub(super) fn aims(board: &Board, target: &Target) -> Bitboard {
    match target {
        Target::Piece(noun) => squares(board, noun),
        Target::Square(square) => Bitboard::from_square(*square),
    }
}

/// The colour of the piece on a square.
pub(super) fn color(board: &Board, square: Square) -> Option<Color> {
    board.color_at(square)
}

/// Whether a piece has no moves only because its king is in check, while nothing attacks it.
pub(super) fn is_held_by_check(position: &Chess, square: Square) -> bool {
    let board = position.board();
    let turn = position.turn();
    position.is_check()
        && color(board, square) == Some(turn)
        && !board.kings().contains(square)
        && facts::attackers(board, square, !turn).is_empty()
}

/// Every pin on the board.
pub(super) fn pins(board: &Board) -> impl Iterator<Item = facts::Pin> {
    Color::ALL
        .into_iter()
        .flat_map(move |color| facts::pins(board, color))
}
