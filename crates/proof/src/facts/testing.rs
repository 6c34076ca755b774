//! Positions for the tests of this crate: seeded random games, and short spellings.

use shakmaty::{
    Board, CastlingMode, Chess, Move, Piece, Position, Role, Square, fen::Fen, uci::UciMove,
};

/// A small generator of numbers, so that tests repeat themselves exactly
/// (Steele, Lea and Flood's SplitMix64, 2014).
pub(crate) struct Numbers(pub(crate) u64);

impl Numbers {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub(crate) fn below(&mut self, bound: usize) -> usize {
        (self.next() % bound as u64) as usize
    }
}

/// Positions from `games` random games, one every third ply, at most `plies` long.
pub(crate) fn playouts(games: u64, plies: usize) -> Vec<Chess> {
    let mut positions = Vec::new();
    for game in 0..games {
        let mut numbers = Numbers(game);
        let mut position = Chess::default();
        for ply in 0..plies {
            let moves = position.legal_moves();
            if moves.is_empty() {
                break;
            }
            position.play_unchecked(moves[numbers.below(moves.len())]);
            if ply % 3 == 0 {
                positions.push(position.clone());
            }
        }
    }
    positions
}

pub(crate) fn position(fen: &str) -> Chess {
    fen.parse::<Fen>()
        .unwrap()
        .into_position(CastlingMode::Standard)
        .unwrap()
}

pub(crate) fn board(placement: &str) -> Board {
    placement
        .parse::<shakmaty::fen::Fen>()
        .unwrap()
        .into_setup()
        .board
}

pub(crate) fn square(name: &str) -> Square {
    name.parse().unwrap()
}

pub(crate) fn uci(position: &Chess, text: &str) -> Move {
    text.parse::<UciMove>().unwrap().to_move(position).unwrap()
}

/// The steps of a role as (file, rank) pairs, and whether it repeats them.
pub(crate) fn steps(piece: Piece) -> (Vec<(i32, i32)>, bool) {
    let straight = vec![(1, 0), (-1, 0), (0, 1), (0, -1)];
    let diagonal = vec![(1, 1), (-1, 1), (1, -1), (-1, -1)];
    let all = [straight.clone(), diagonal.clone()].concat();
    match piece.role {
        Role::Pawn => {
            let up = piece.color.fold_wb(1, -1);
            (vec![(1, up), (-1, up)], false)
        }
        Role::Knight => (
            vec![
                (1, 2),
                (2, 1),
                (-1, 2),
                (-2, 1),
                (1, -2),
                (2, -1),
                (-1, -2),
                (-2, -1),
            ],
            false,
        ),
        Role::Bishop => (diagonal, true),
        Role::Rook => (straight, true),
        Role::Queen => (all, true),
        Role::King => (all, false),
    }
}

/// The squares that the piece on a square reaches through so many others.
pub(crate) fn walk(board: &Board, from: Square, through: usize) -> Vec<Square> {
    let Some(piece) = board.piece_at(from) else {
        return Vec::new();
    };
    let (deltas, repeats) = steps(piece);
    let mut reached = Vec::new();
    for (df, dr) in deltas {
        let mut met = 0;
        let (mut file, mut rank) = (from.file() as i32 + df, from.rank() as i32 + dr);
        while (0..8).contains(&file) && (0..8).contains(&rank) {
            let here = Square::new((rank * 8 + file) as u32);
            if met == through {
                reached.push(here);
            }
            if board.piece_at(here).is_some() {
                met += 1;
            }
            if met > through || !repeats {
                break;
            }
            file += df;
            rank += dr;
        }
    }
    reached.sort_unstable();
    reached
}
