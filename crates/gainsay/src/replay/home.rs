//! Pieces that are named by the side of the board on which they began the game: `QR`, `KKt`.

use gainsay_notation::{Files, WrittenMove, WrittenShape};
use shakmaty::{CastlingSide, Chess, File, Move, Square};

use super::parts::Replay;
use crate::{descriptive::candidates_of_either_side, marks::Marks};

impl Replay {
    /// The move whose piece, or the piece that it takes, is named by its side of the board, where
    /// several moves fit and in just one of them that piece began the game there. It stands for
    /// the last ply, which is in the position before it.
    pub(super) fn by_home(&self, written: &WrittenMove) -> Option<Move> {
        let WrittenShape::Descriptive(old) = written.shape else {
            return None;
        };
        let own = old.mover.side().filter(|_| old.from_rank.is_none());
        let taken = old.captured.and_then(|man| man.side());
        if own.or(taken).is_none() || self.start.position.as_ref() != Some(&Chess::default()) {
            return None;
        }
        let ply = self.plies.last()?;
        let list = candidates_of_either_side(ply.after.as_ref()?, &old, written);
        if list.len() < 2 {
            return None;
        }
        let began = |square: Option<Square>, side: Option<Files>| match (side, square) {
            (Some(side), Some(square)) => {
                let home = self.home(ply.parent, square);
                home.is_some_and(|home| side.contains(home.file()))
            }
            _ => true,
        };
        let named = |m: &&Move| began(m.from(), own) && began(Some(m.to()), taken);
        let mut theirs = list.iter().filter(named);
        let m = theirs.next()?;
        theirs.next().is_none().then_some(*m)
    }

    /// Where the piece on `square` behind a ply began the game; `None` where that is too far back.
    fn home(&self, mut ply: Option<u32>, mut square: Square) -> Option<Square> {
        const FAR: usize = 1024;
        for _ in 0..FAR {
            let Some(at) = ply.and_then(|at| self.plies.get(at as usize)) else {
                return Some(square);
            };
            // Behind a diagram nobody knows what was played before.
            if at
                .marks
                .intersects(Marks::LOST | Marks::ILLEGAL | Marks::UNREADABLE)
            {
                return None;
            }
            square = match at.played {
                Some(Move::Castle { king, rook }) => {
                    let file = match CastlingSide::from_king_side(rook.file() > king.file()) {
                        CastlingSide::KingSide => File::F,
                        CastlingSide::QueenSide => File::D,
                    };
                    let landed = Square::from_coords(file, rook.rank());
                    if landed == square { rook } else { square }
                }
                Some(m) if m.to() == square => m.from()?,
                _ => square,
            };
            ply = at.parent;
        }
        None
    }
}
