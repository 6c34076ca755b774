//! Features of structure and placement.

use gainsay_commentary::{ClaimKind, Feature, Owner};
use gainsay_proof::facts;
use shakmaty::{Bitboard, CastlingSide, Chess, Color, Position, Role};

use super::{Pending, answer::Answer};
use crate::rules;

impl Pending {
    /// Settles a feature of the structure.
    pub(super) fn settle_structure(&self, kind: &ClaimKind) -> Answer {
        let ClaimKind::Structure {
            feature,
            file,
            square,
            owner,
        } = kind
        else {
            return Answer::unsettled();
        };
        let sides = match owner {
            Owner::Side(color) => vec![*color],
            _ => Color::ALL.to_vec(),
        };
        let pawns = |all: Bitboard| {
            let mut all = all;
            if let Some(file) = file {
                all &= Bitboard::from_file(*file);
            }
            if let Some(square) = square {
                all &= Bitboard::from_square(*square);
            }
            all.any()
        };
        let holds = |position: &Chess| {
            let board = position.board();
            sides.iter().any(|&side| match feature {
                Feature::OpenFile => file.is_none_or(|file| {
                    facts::is_open(board, file) || facts::is_half_open(board, file, side)
                }),
                Feature::HalfOpenFile => file.is_none_or(|file| {
                    facts::is_open(board, file) || facts::is_half_open(board, file, side)
                }),
                Feature::PassedPawn => pawns(facts::passed_pawns(board, side)),
                Feature::ConnectedPassedPawns => {
                    pawns(facts::passed_pawns(board, side) & facts::connected_pawns(board, side))
                }
                Feature::IsolatedPawn => pawns(facts::isolated_pawns(board, side)),
                Feature::DoubledPawns => pawns(facts::doubled_pawns(board, side)),
                Feature::TripledPawns => shakmaty::File::ALL.into_iter().any(|file| {
                    let on_file = board.by_piece(Role::Pawn.of(side)) & Bitboard::from_file(file);
                    on_file.count() >= 3
                }),
                Feature::BackwardPawn => pawns(facts::backward_pawns(board, side)),
                Feature::QueensideMajority => {
                    facts::has_majority(board, side, facts::Wing::Queenside)
                }
                Feature::KingsideMajority => {
                    facts::has_majority(board, side, facts::Wing::Kingside)
                }
                Feature::RookOnSeventh => facts::on_seventh(board, side).any(),
                Feature::RooksOnSeventh => facts::on_seventh(board, side).count() >= 2,
                Feature::Outpost => {
                    square.is_none_or(|square| facts::outpost_square(board, side, square))
                }
                Feature::OppositeBishops => facts::opposite_bishops(board),
                Feature::SameBishops => {
                    let bishops = |color: Color| board.by_piece(Role::Bishop.of(color));
                    Color::ALL.iter().all(|&color| bishops(color).count() == 1)
                        && !facts::opposite_bishops(board)
                }
                Feature::BishopPair => facts::bishop_pair(board, side),
                Feature::CastlingRights => CastlingSide::ALL
                    .into_iter()
                    .any(|wing| facts::has_castling_right(position, side, wing)),
                Feature::Castled => board.king_of(side).is_some_and(|king| {
                    king.rank() == side.relative_rank(shakmaty::Rank::First)
                        && matches!(king, square if square.file() >= shakmaty::File::G
                            || square.file() <= shakmaty::File::C)
                }),
                Feature::EnPassant => position.legal_ep_square().is_some(),
                Feature::PromotionNext => position
                    .legal_moves()
                    .iter()
                    .any(|m| m.promotion().is_some()),
                Feature::QueensOff => board.queens().is_empty(),
                // Settled by a search.
                Feature::Promotes => false,
                Feature::Ending(role) => {
                    let men = board.occupied() & !board.kings() & !board.pawns();
                    match role {
                        Some(Role::Pawn) | None => men.is_empty(),
                        Some(role) => men.any() && (men & !board.by_role(*role)).is_empty(),
                    }
                }
            })
        };
        // Authors differ on outposts, backward pawns, majorities and castled kings.
        let firm = matches!(
            feature,
            Feature::OpenFile
                | Feature::HalfOpenFile
                | Feature::PassedPawn
                | Feature::DoubledPawns
                | Feature::OppositeBishops
                | Feature::QueensOff
                | Feature::TripledPawns
        );
        self.settle_statement(
            &holds,
            firm.then_some(&rules::false_structure::RULE),
            &|_| format!("\"{}\" is not so here, nor within eight plies.", self.text),
        )
    }
}
