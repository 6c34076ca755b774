//! Positions for the tests of this crate: seeded random games, and short spellings.

use shakmaty::{Board, CastlingMode, Chess, Move, Position, Square, fen::Fen, uci::UciMove};

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
