//! Features of structure and placement.

use gainsay_commentary::{ClaimKind, Feature, Owner, Tense, Traits};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Board, CastlingSide, Chess, Color, File, Position, Role, Square};

use super::{
    Pending,
    answer::Answer,
    facts::{Soon, Statement},
    told::{Told, pawns_of, pieces, places, stand},
};
use crate::{rules, show};

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
        if matches!(feature, Feature::Castled(_) | Feature::BothCastled) {
            return self.settle_castled(*feature, *owner);
        }
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
                Feature::KingInCorner => {
                    facts::king_in_corner(board, side, true)
                        && square.is_none_or(|square| board.king_of(side) == Some(square))
                }
                Feature::Pawn(traits) => pawns(with_traits(board, side, *traits)),
                // Settled by the moves of the game.
                Feature::Castled(_) | Feature::BothCastled => false,
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
        if self.denied()
            && *feature == Feature::CastlingRights
            && let &[side] = sides.as_slice()
            && let Some(answer) = self.can_castle(side)
        {
            return answer;
        }
        // Authors differ on outposts, backward pawns, majorities and castled kings.
        let firm = matches!(
            feature,
            Feature::OpenFile
                | Feature::HalfOpenFile
                | Feature::PassedPawn
                | Feature::DoubledPawns
                | Feature::OppositeBishops
                | Feature::SameBishops
                | Feature::QueensOff
                | Feature::TripledPawns
                | Feature::KingInCorner
        ) || matches!(
            feature,
            Feature::BishopPair if matches!(owner, Owner::Side(_))
        ) || matches!(
            feature,
            Feature::CastlingRights
                if matches!(owner, Owner::Side(_)) && !self.text.starts_with("castling")
        ) || matches!(feature, Feature::Ending(Some(_)) if self.comment.brief)
            || *feature == Feature::IsolatedPawn && (file.is_some() || square.is_some())
            || matches!(feature, Feature::Pawn(traits) if !traits.contains(Traits::BACKWARD));
        // What opens a file may do so in the end.
        let acts = ["opens", "opened", "opening"];
        let mut words = self.text.split([' ', '-']);
        let to_come = self.claim.tense == Tense::Future
            || words.any(|word| acts.iter().any(|act| word.eq_ignore_ascii_case(act)));
        // "The passed pawn" may be any in the book.
        let some = *feature == Feature::PassedPawn
            && file.is_none()
            && square.is_none()
            && !matches!(owner, Owner::Side(_));
        let firm = firm && !to_come && !some;
        let opens =
            |position: &Chess| file.is_some_and(|file| facts::is_open(position.board(), file));
        let cornered = |position: &Chess| {
            let kings = sides.iter();
            kings
                .into_iter()
                .any(|&side| facts::king_in_corner(position.board(), side, false))
        };
        let answer = self.settle_statement(&Statement {
            holds: &holds,
            rule: firm.then_some(&rules::false_structure::RULE),
            told: &|here| instead(here.board(), *feature, &sides, *file, *square),
            // "The e-file is open" is not said of a file that the next exchange halfway opens.
            soon: match (feature, file) {
                (Feature::OpenFile, Some(_)) => Soon::If(&opens),
                (Feature::KingInCorner, _) => Soon::If(&cornered),
                _ => Soon::ByAnyMove,
            },
        });
        // That a half-open file is called open is neither confirmed nor blamed.
        let half = *feature == Feature::OpenFile && file.is_some() && !self.denied();
        if half && answer.verdict == Verdict::Holds && !self.within_reach().any(opens) {
            return Answer::unsettled();
        }
        answer
    }
}

/// The pawns of a side of which all of these adjectives are true.
fn with_traits(board: &Board, side: Color, traits: Traits) -> Bitboard {
    let mut found = board.by_piece(Role::Pawn.of(side));
    for (known, pawns) in [
        (Traits::PASSED, facts::passed_pawns(board, side)),
        (Traits::ISOLATED, facts::isolated_pawns(board, side)),
        (Traits::DOUBLED, facts::doubled_pawns(board, side)),
        (Traits::TRIPLED, facts::doubled_pawns(board, side)),
        (Traits::BACKWARD, facts::backward_pawns(board, side)),
        (Traits::CONNECTED, facts::connected_pawns(board, side)),
    ] {
        if traits.contains(known) {
            found &= pawns;
        }
    }
    found
}

/// What is true instead of a feature that is not there.
fn instead(
    board: &Board,
    feature: Feature,
    sides: &[Color],
    file: Option<File>,
    square: Option<Square>,
) -> Told {
    let listed = |of: &dyn Fn(Color) -> Bitboard, name: &str| {
        let told = |&side: &Color| {
            let found = of(side);
            if found.is_empty() {
                format!("{} has no {name}", show::side(side))
            } else {
                let plural = if found.more_than_one() { "s" } else { "" };
                let verb = stand(found);
                format!(
                    "{}'s {name}{plural} {verb} on {}",
                    show::side(side),
                    places(found)
                )
            }
        };
        let told: Vec<String> = sides.iter().map(told).collect();
        Told::words(show::list(&told, "and"))
    };
    match feature {
        Feature::OpenFile | Feature::HalfOpenFile => {
            let on = file.map_or(Bitboard::EMPTY, Bitboard::from_file) & board.pawns();
            Told::words(format!("there {} {}", stand(on), pieces(board, on)))
        }
        Feature::PassedPawn | Feature::ConnectedPassedPawns => {
            if let Some(at) = square
                && let Some(color) = board.color_at(at)
            {
                let against = facts::stoppers(board, color, at);
                return Told::words(format!(
                    "{} faces {}",
                    show::named(board, at),
                    pawns_of(board, !color, against)
                ));
            }
            listed(&|side| facts::passed_pawns(board, side), "passed pawn")
        }
        Feature::IsolatedPawn => {
            listed(&|side| facts::isolated_pawns(board, side), "isolated pawn")
        }
        Feature::DoubledPawns | Feature::TripledPawns => {
            listed(&|side| facts::doubled_pawns(board, side), "doubled pawn")
        }
        Feature::KingInCorner => {
            let kings = sides
                .iter()
                .filter_map(|&side| board.king_of(side))
                .collect();
            Told::words(format!("there {} {}", stand(kings), pieces(board, kings)))
        }
        Feature::QueensOff => Told::words(format!(
            "there {} {}",
            stand(board.queens()),
            pieces(board, board.queens())
        )),
        Feature::Pawn(traits) => {
            let mut words = Vec::new();
            for (known, name) in [
                (Traits::PASSED, "passed pawn"),
                (Traits::ISOLATED, "isolated pawn"),
                (Traits::DOUBLED, "doubled pawn"),
                (Traits::BACKWARD, "backward pawn"),
            ] {
                if traits.contains(known) {
                    words.push(listed(&|side| with_traits(board, side, known), name).words);
                }
            }
            Told::words(words.join("; "))
        }
        Feature::OppositeBishops | Feature::SameBishops | Feature::BishopPair => {
            Told::words(match pieces(board, board.bishops()) {
                all if all.is_empty() => "there are no bishops".to_owned(),
                all => format!("there {} {all}", stand(board.bishops())),
            })
        }
        Feature::CastlingRights => Told::words("the king or the rooks have moved"),
        Feature::Ending(_) => {
            let men = board.occupied() & !board.kings() & !board.pawns();
            Told::words(if men.is_empty() {
                "there are only pawns left".to_owned()
            } else {
                format!("there {} {}", stand(men), pieces(board, men))
            })
        }
        _ => Told::words("that is not so here, nor within eight plies"),
    }
}
