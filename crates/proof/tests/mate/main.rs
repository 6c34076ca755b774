//! The mate prover from outside.

use shakmaty::{CastlingMode, Chess, fen::Fen};

mod brute;
mod defence;
mod problems;
mod proofs;
mod within;

fn position(fen: &str) -> Chess {
    fen.parse::<Fen>()
        .unwrap()
        .into_position(CastlingMode::Standard)
        .unwrap()
}

/// A deterministic source of numbers (Marsaglia's xorshift64, 2003).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % below as u64) as usize
    }
}
