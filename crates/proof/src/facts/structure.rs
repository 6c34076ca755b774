//! Files, pawns, outposts, bishops and castling.

use shakmaty::{
    Bitboard, Board, CastlingSide, Chess, Color, File, Position, Rank, Square, attacks,
};

/// Whether no pawn stands on the file (Nimzowitsch, *My System*, 1925, "The open
/// file", where the narrower sense, no *own* pawn, is [`is_half_open`] or this).
#[must_use]
pub fn is_open(board: &Board, file: File) -> bool {
    (board.pawns() & Bitboard::from_file(file)).is_empty()
}

/// Whether the file is half-open for `color`: it has no pawn of that side and at least
/// one of the other. Common practice, no source.
#[must_use]
pub fn is_half_open(board: &Board, file: File, color: Color) -> bool {
    let file = Bitboard::from_file(file);
    (board.by_piece(color.pawn()) & file).is_empty()
        && (board.by_piece((!color).pawn()) & file).any()
}

/// The files next to that of `square`.
pub(super) fn neighbours(square: Square) -> Bitboard {
    [-1, 1]
        .into_iter()
        .filter_map(|delta| square.file().offset(delta))
        .fold(Bitboard::EMPTY, |files, file| {
            files | Bitboard::from_file(file)
        })
}

/// The ranks in front of `square`, seen from `color`; its own rank left out.
pub(super) fn ahead(square: Square, color: Color) -> Bitboard {
    Rank::ALL
        .into_iter()
        .filter(|&rank| match color {
            Color::White => rank > square.rank(),
            Color::Black => rank < square.rank(),
        })
        .fold(Bitboard::EMPTY, |ranks, rank| {
            ranks | Bitboard::from_rank(rank)
        })
}

fn select(
    board: &Board,
    color: Color,
    wanted: impl Fn(Square, Bitboard, Bitboard) -> bool,
) -> Bitboard {
    let own = board.by_piece(color.pawn());
    let theirs = board.by_piece((!color).pawn());
    own.into_iter()
        .filter(|&pawn| wanted(pawn, own, theirs))
        .collect()
}

/// The passed pawns of `color`: no enemy pawn stands in front of them on their own file
/// or on a neighbouring one (Nimzowitsch, *My System*, 1925, "The passed pawn"). A pawn
/// behind another of its own side may be passed in this sense.
#[must_use]
pub fn passed_pawns(board: &Board, color: Color) -> Bitboard {
    select(board, color, |pawn, _, _| {
        stoppers(board, color, pawn).is_empty()
    })
}

/// The enemy pawns that keep a pawn of `color` on `square` from being passed, as in
/// [`passed_pawns`].
#[must_use]
pub fn stoppers(board: &Board, color: Color, square: Square) -> Bitboard {
    let files = neighbours(square) | Bitboard::from_file(square.file());
    board.by_piece((!color).pawn()) & files & ahead(square, color)
}

/// The isolated pawns of `color`: no pawn of their side stands on a neighbouring file
/// (Nimzowitsch, *My System*, 1925, "The isolated d-pawn").
#[must_use]
pub fn isolated_pawns(board: &Board, color: Color) -> Bitboard {
    select(board, color, |pawn, own, _| {
        (own & neighbours(pawn)).is_empty()
    })
}

/// The doubled pawns of `color`: another pawn of their side stands on the same file;
/// tripled pawns included (Nimzowitsch, *My System*, 1925, "The doubled pawn").
#[must_use]
pub fn doubled_pawns(board: &Board, color: Color) -> Bitboard {
    select(board, color, |pawn, own, _| {
        (own & Bitboard::from_file(pawn.file())).more_than_one()
    })
}

/// The backward pawns of `color`: every pawn of their side on the neighbouring files
/// stands further ahead, and the pawn cannot safely step forward, because an enemy
/// pawn stands there or attacks the square in front. Isolated pawns are not counted.
/// Common practice, no source (authors differ on whether the file must be half-open).
#[must_use]
pub fn backward_pawns(board: &Board, color: Color) -> Bitboard {
    select(board, color, |pawn, own, theirs| {
        let beside = own & neighbours(pawn);
        let Some(stop) = pawn.offset(color.fold_wb(8, -8)) else {
            return false;
        };
        beside.any()
            && beside.is_subset(ahead(pawn, color))
            && (theirs.contains(stop) || (attacks::pawn_attacks(color, stop) & theirs).any())
    })
}

/// The pawns of `color` with another of their side on a neighbouring file. In the
/// narrow sense of a pair that can defend each other see [`protected_pawns`].
/// Common practice, no source.
#[must_use]
pub fn connected_pawns(board: &Board, color: Color) -> Bitboard {
    select(board, color, |pawn, own, _| (own & neighbours(pawn)).any())
}

/// The pawns of `color` that one of their own pawns defends: links of a chain
/// (Nimzowitsch, *My System*, 1925, "The pawn chain").
#[must_use]
pub fn protected_pawns(board: &Board, color: Color) -> Bitboard {
    select(board, color, |pawn, own, _| {
        (attacks::pawn_attacks(!color, pawn) & own).any()
    })
}

/// A part of the board, by files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Wing {
    /// The files a to d, or a to c where an author leaves the centre out.
    Queenside,
    /// The files e to h, or f to h.
    Kingside,
    /// The files c to f, or d and e.
    Centre,
}

impl Wing {
    /// The wide and the narrow reading of the wing.
    #[must_use]
    pub fn readings(self) -> [Bitboard; 2] {
        let files = |names: &[File]| {
            names.iter().fold(Bitboard::EMPTY, |all, &file| {
                all | Bitboard::from_file(file)
            })
        };
        match self {
            Self::Queenside => [
                files(&[File::A, File::B, File::C, File::D]),
                files(&[File::A, File::B, File::C]),
            ],
            Self::Kingside => [
                files(&[File::E, File::F, File::G, File::H]),
                files(&[File::F, File::G, File::H]),
            ],
            Self::Centre => [
                files(&[File::C, File::D, File::E, File::F]),
                files(&[File::D, File::E]),
            ],
        }
    }
}

/// How many pawns `color` has on the wing, in the wide and the narrow reading.
#[must_use]
pub fn pawns_on_wing(board: &Board, color: Color, wing: Wing) -> [usize; 2] {
    wing.readings()
        .map(|files| (board.by_piece(color.pawn()) & files).count())
}

/// Whether `color` has more pawns than the other side on the wing, in at least one of
/// its readings (Capablanca, *Chess Fundamentals*, 1921, on pawn majorities; the bounds
/// of the wings are common practice, no source).
#[must_use]
pub fn has_majority(board: &Board, color: Color, wing: Wing) -> bool {
    let own = pawns_on_wing(board, color, wing);
    let theirs = pawns_on_wing(board, !color, wing);
    own.iter().zip(theirs).any(|(&own, theirs)| own > theirs)
}

/// Whether `square` is an outpost square for `color`: it lies on the fourth to seventh
/// rank as that side counts, and no enemy pawn on a neighbouring file can ever attack
/// it by advancing. This is the wide sense; see [`supported_outpost`].
#[must_use]
pub fn outpost_square(board: &Board, color: Color, square: Square) -> bool {
    let rank = color.relative_rank(square.rank());
    let guards = board.by_piece((!color).pawn()) & neighbours(square) & ahead(square, color);
    (Rank::Fourth..=Rank::Seventh).contains(&rank) && guards.is_empty()
}

/// An [`outpost_square`] that a pawn of `color` defends (Nimzowitsch, *My System*, 1925,
/// "The outpost").
#[must_use]
pub fn supported_outpost(board: &Board, color: Color, square: Square) -> bool {
    outpost_square(board, color, square)
        && (attacks::pawn_attacks(!color, square) & board.by_piece(color.pawn())).any()
}

/// The rooks and queens of `color` on its seventh rank (Nimzowitsch, *My System*, 1925,
/// "The seventh and eighth ranks").
#[must_use]
pub fn on_seventh(board: &Board, color: Color) -> Bitboard {
    board.rooks_and_queens()
        & board.by_color(color)
        & Bitboard::from_rank(color.relative_rank(Rank::Seventh))
}

/// Whether each side has exactly one bishop and the two move on squares of opposite
/// colour. Common practice, no source.
#[must_use]
pub fn opposite_bishops(board: &Board) -> bool {
    let single = |color: Color| board.by_piece(color.bishop()).single_square();
    match (single(Color::White), single(Color::Black)) {
        (Some(white), Some(black)) => white.is_light() != black.is_light(),
        _ => false,
    }
}

/// Whether `color` has a bishop on squares of each colour. Common practice, no source.
#[must_use]
pub fn bishop_pair(board: &Board, color: Color) -> bool {
    let bishops = board.by_piece(color.bishop());
    (bishops & Bitboard::LIGHT_SQUARES).any() && (bishops & Bitboard::DARK_SQUARES).any()
}

/// Whether `color` has the bishop pair and the other side has not: "the two bishops"
/// as an advantage.
#[must_use]
pub fn only_bishop_pair(board: &Board, color: Color) -> bool {
    bishop_pair(board, color) && !bishop_pair(board, !color)
}

/// Whether `color` still has the right to castle on that side: neither king nor rook
/// has moved (FIDE Laws 3.8.2.1). It says nothing of the squares between.
#[must_use]
pub fn has_castling_right(position: &Chess, color: Color, side: CastlingSide) -> bool {
    position.castles().has(color, side)
}

/// Whether the side to move may castle on that side now (FIDE Laws 3.8.2).
#[must_use]
pub fn can_castle(position: &Chess, side: CastlingSide) -> bool {
    position
        .legal_moves()
        .iter()
        .any(|m| m.castling_side() == Some(side))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::testing::{board, playouts, position, square};

    /// The pawns as files of ranks 1 to 8, counted from the side's own end.
    fn ranks(board: &Board, color: Color) -> Vec<Vec<i32>> {
        let mut files = vec![Vec::new(); 8];
        for square in Square::ALL {
            if board.piece_at(square) == Some(color.pawn()) {
                let rank = square.rank() as i32;
                files[square.file() as usize].push(if color.is_white() { rank } else { 7 - rank });
            }
        }
        files
    }

    #[test]
    fn pawn_words_equal_their_plain_statement() {
        for position in playouts(60, 120) {
            let board = position.board();
            for color in Color::ALL {
                let own = ranks(board, color);
                // The enemy's pawns on the same scale.
                let theirs: Vec<Vec<i32>> = ranks(board, !color)
                    .into_iter()
                    .map(|file| file.into_iter().map(|rank| 7 - rank).collect())
                    .collect();
                let near = |file: i32| -> Vec<usize> {
                    [file - 1, file + 1]
                        .into_iter()
                        .filter(|f| (0..8).contains(f))
                        .map(|f| f as usize)
                        .collect()
                };
                for pawn in board.by_piece(color.pawn()) {
                    let file = pawn.file() as usize;
                    let rank = if color.is_white() {
                        pawn.rank() as i32
                    } else {
                        7 - pawn.rank() as i32
                    };
                    let sides = near(file as i32);
                    let mut around = sides.clone();
                    around.push(file);
                    let passed = around
                        .iter()
                        .all(|&f| theirs[f].iter().all(|&other| other <= rank));
                    assert_eq!(passed_pawns(board, color).contains(pawn), passed);
                    let lone = sides.iter().all(|&f| own[f].is_empty());
                    assert_eq!(isolated_pawns(board, color).contains(pawn), lone);
                    assert_eq!(connected_pawns(board, color).contains(pawn), !lone);
                    assert_eq!(
                        doubled_pawns(board, color).contains(pawn),
                        own[file].len() > 1
                    );
                    assert_eq!(
                        protected_pawns(board, color).contains(pawn),
                        sides.iter().any(|&f| own[f].contains(&(rank - 1)))
                    );
                    let held = theirs[file].contains(&(rank + 1))
                        || sides.iter().any(|&f| theirs[f].contains(&(rank + 2)));
                    let left_behind = sides.iter().all(|&f| own[f].iter().all(|&o| o > rank));
                    assert_eq!(
                        backward_pawns(board, color).contains(pawn),
                        !lone && left_behind && held,
                        "{board} {pawn}"
                    );
                }
                for file in File::ALL {
                    let f = file as usize;
                    assert_eq!(
                        is_open(board, file),
                        own[f].is_empty() && theirs[f].is_empty()
                    );
                    assert_eq!(
                        is_half_open(board, file, color),
                        own[f].is_empty() && !theirs[f].is_empty()
                    );
                }
            }
        }
    }

    #[test]
    fn outposts() {
        let b = board("4k3/pp3ppp/3p4/3N4/4P3/8/8/4K3");
        assert!(supported_outpost(&b, Color::White, square("d5")));
        let b = board("4k3/ppp2ppp/3p4/3N4/4P3/8/8/4K3");
        assert!(!outpost_square(&b, Color::White, square("d5")));
        assert!(!outpost_square(&b, Color::White, square("d2")));
    }

    #[test]
    fn majorities_and_bishops() {
        let b = board("2b1k3/pp3ppp/8/8/8/8/PPP2PP1/2B1K3");
        assert!(has_majority(&b, Color::White, Wing::Queenside));
        assert!(!has_majority(&b, Color::White, Wing::Kingside));
        assert!(has_majority(&b, Color::Black, Wing::Kingside));
        assert!(opposite_bishops(&b));
        let b = board("2b1k3/8/8/8/8/8/8/1B2K3");
        assert!(!opposite_bishops(&b));
        let b = board("2b1k3/8/8/8/8/8/8/1BB1K3");
        assert!(only_bishop_pair(&b, Color::White));
        assert!(!bishop_pair(&b, Color::Black));
    }

    #[test]
    fn castling_and_the_seventh() {
        let p = position("r3k2r/8/8/8/8/5b2/8/R3K2R w KQkq - 0 1");
        assert!(has_castling_right(
            &p,
            Color::White,
            CastlingSide::QueenSide
        ));
        // The bishop attacks d1, over which the king would pass.
        assert!(!can_castle(&p, CastlingSide::QueenSide));
        assert!(can_castle(&p, CastlingSide::KingSide));
        let b = board("4k3/R3Q3/8/8/8/8/r7/4K3");
        assert_eq!(on_seventh(&b, Color::White).count(), 2);
        assert_eq!(on_seventh(&b, Color::Black).count(), 1);
    }
}
