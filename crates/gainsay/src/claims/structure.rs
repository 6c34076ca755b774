//! Features of structure and placement.

use gainsay_commentary::{Feature, Nuance, Owner, Structure, Tense, Traits};
use gainsay_proof::facts;
use shakmaty::{Bitboard, Board, Chess, Color, Position, Square};

use super::{
    answer::Answer,
    castling::{can_castle, settle_castled, settle_right},
    features::{self, with_traits},
    instead::TrueInstead,
    pieces::owners,
    statements::{Soon, Statement, settle_statement},
};
use crate::{
    outcome::{At, Man, OnFile, PawnKind, Side, Structure as Here, StructureWhy, Wing, squares_of},
    question::Question,
    rule::{Severity, rule},
};

rule! {
    /// A file is not open or closed, a pawn is not passed, isolated, doubled or backward, there
    /// are not so many of them, a side has no majority, outpost, pair of bishops or rook on the
    /// seventh rank, the bishops are not of opposite colours, a side has not castled, the king
    /// is not in the corner.
    ///
    /// Definitions after Nimzowitsch, *My System* (1925), each in its widest sense. A file counts
    /// as open where one side has no pawn on it, and as closed where any pawn stands. A wing is
    /// three files or four. A pawn that a pawn defends is not backward, and a square that a pawn
    /// attacks, or could after one step, is no outpost. So many pawns are too few, never too
    /// many; pawn islands are counted exactly. "No passed pawns" is wrong where there is one all
    /// around the comment. The rule speaks only where the statement is true nowhere within eight
    /// plies of the comment, in a line it cites, or after any move from its position. Whether a side
    /// has castled is told by the moves of the game, and only where the game begins before it
    /// can have castled; where the text names the number of the move ("castled on move 12"), it
    /// must be that one. What is plainly said of the position behind the move ("White's d-pawn is
    /// passed") need be true only there, and two plies before and after.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {The open a-file matters.} 3. Bc4 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 d5 2. exd5 Qxd5 {The open e-file matters.} 3. Nc3 *
    /// ```
    FALSE_STRUCTURE = "false-structure", Severity::Warning
}

/// Settles a feature of the structure.
pub(super) fn settle_structure(question: &Question, said: &Structure) -> Answer {
    let Structure {
        feature,
        file,
        square,
        owner,
        ..
    } = *said;
    if matches!(
        feature,
        Feature::Castled(_) | Feature::BothCastled | Feature::CastledAlike | Feature::CastledApart
    ) {
        return settle_castled(question, said);
    }
    let sides = owners(owner);
    // "White fears the queenside majority": it may be Black's.
    let rights = matches!(feature, Feature::CastlingRights | Feature::CastlingNext);
    let whose = said.owned || rights;
    let either = match owner {
        Owner::Side(color) if whose => vec![color],
        _ => Color::ALL.to_vec(),
    };
    if question.denied()
        && rights
        && let &[side] = sides.as_slice()
        && let Some(answer) = can_castle(question, side, said)
    {
        return answer;
    }
    if rights
        && !question.denied()
        && let &[side] = sides.as_slice()
    {
        return settle_right(question, side, said);
    }
    // "Since Black may no longer castle, 24...Kf8 comes into question" is not said of that line.
    if question.denied()
        && feature == Feature::CastlingRights
        && matches!(question.claim.at, gainsay_commentary::At::Shown(_))
    {
        return Answer::unsettled();
    }
    // "Both queens are on the board" where one is: neither that nor that they are gone.
    if question.denied() && feature == Feature::QueensOff {
        let board = question.comment.scene.here.board();
        let queens = Color::ALL.map(|color| (board.queens() & board.by_color(color)).any());
        if queens.contains(&true) && queens.contains(&false) {
            return Answer::unsettled();
        }
    }
    // "No open file": a half-open one is none.
    let strict = question.denied() && feature == Feature::OpenFile;
    let firm = is_firm(question, said);
    let cornered = |position: &Chess| {
        let king = |&side: &Color| facts::king_in_corner(position.board(), side, false);
        sides.iter().any(king)
    };
    let holds = |position: &Chess| features::holds(position, said, &sides);
    settle_statement(
        question,
        &Statement {
            holds: &holds,
            plausible: &|position| {
                if strict {
                    features::holds(position, said, &sides)
                } else {
                    features::may_hold(position, said, &either)
                }
            },
            may_fail: firm,
            may_be_denied: denies(question, said),
            told: &|here| {
                let here = instead(here.board(), said, &either);
                TrueInstead::of(StructureWhy::NotSoHere { here })
            },
            // "The e-file is open" is not said of a file that the next exchange halfway opens.
            soon: match (feature, file, square) {
                (Feature::OpenFile, Some(_), _) => Soon::If(&holds),
                (Feature::KingInCorner, ..) => Soon::If(&cornered),
                (Feature::Outpost | Feature::BackwardPawn, ..) => Soon::Loosely,
                _ => Soon::ByAnyMove,
            },
        },
    )
}

/// Whether the phrase itself says that there is none: "no open file". A "not" further
/// off may deny something else.
fn denies(question: &Question, said: &Structure) -> bool {
    let kinds = matches!(
        said.feature,
        Feature::OpenFile
            | Feature::PassedPawn
            | Feature::ConnectedPassedPawns
            | Feature::IsolatedPawn
            | Feature::DoubledPawns
            | Feature::TripledPawns
    );
    kinds && question.claim.wording.has(Nuance::No)
}

/// Whether the words are exact enough to be called false where no sense of them fits.
fn is_firm(question: &Question, said: &Structure) -> bool {
    let owned = said.owned;
    let placed = said.file.is_some() || said.square.is_some();
    let firm = match said.feature {
        Feature::OpenFile => placed || !said.only,
        // "With queens off a draw is near" is a condition.
        Feature::QueensOff => !question.claim.wording.begins(Nuance::With),
        Feature::HalfOpenFile
        | Feature::DoubledPawns
        | Feature::OppositeBishops
        | Feature::SameBishops
        | Feature::TripledPawns
        | Feature::KingInCorner => true,
        Feature::ClosedFile => said.file.is_some(),
        // "The passed pawn" may be any in the book.
        Feature::PassedPawn | Feature::ConnectedPassedPawns => owned || placed || said.both,
        Feature::IsolatedPawn => placed || said.count.is_some() && owned,
        Feature::BackwardPawn => said.square.is_some() || owned,
        Feature::Pawn(_) => placed || owned,
        Feature::BishopPair
        | Feature::PawnIslands
        | Feature::QueensideMajority
        | Feature::KingsideMajority
        | Feature::CentralMajority
        | Feature::RookOnSeventh
        | Feature::RooksOnSeventh => owned || said.both,
        Feature::Outpost => owned && said.square.is_some(),
        Feature::CastlingRights | Feature::CastlingNext => {
            matches!(said.owner, Owner::Side(_)) && !question.claim.wording.begins(Nuance::Castling)
        }
        Feature::Ending(role) => role.is_some() && question.is_all(),
        Feature::EnPassant => (owned || placed) && question.claim.closed,
        Feature::Castled(_)
        | Feature::BothCastled
        | Feature::CastledAlike
        | Feature::CastledApart
        | Feature::PromotionNext
        | Feature::Promotes => false,
    };
    // What opens a file or gets a passed pawn may do so in the end.
    let to_come =
        question.claim.tense == Tense::Future || question.claim.wording.has(Nuance::Becomes);
    // "A passed pawn on d5 is far away", but "White has a passed pawn on d5".
    let any = question.claim.wording.begins(Nuance::Any);
    let has = owned && question.speaks_of_now();
    firm && !to_come && (!any || has)
}

/// What is there instead of a feature that is not.
fn instead(board: &Board, said: &Structure, sides: &[Color]) -> Vec<Here> {
    let claimed = sides;
    // A square that is named tells whose pawn is meant.
    let own = said.square.and_then(|square| board.color_at(square));
    let own: Vec<Color> = own.into_iter().collect();
    let sides = if own.is_empty() { sides } else { &own };
    let listed = |of: &dyn Fn(Color) -> Bitboard, kind: PawnKind| {
        let each = sides.iter().map(|&side| Here::Pawns {
            kind,
            side: Side(side),
            at: squares_of(of(side)),
        });
        each.collect::<Vec<_>>()
    };
    let stand = |men: Bitboard| Here::Stand {
        men: Man::all(board, men),
    };
    let one = |here: Here| vec![here];
    match said.feature {
        Feature::OpenFile | Feature::HalfOpenFile | Feature::ClosedFile => match said.file {
            Some(file) if !said.only => one(Here::PawnsOnFile {
                file: OnFile(file),
                pawns: Man::all(board, Bitboard::from_file(file) & board.pawns()),
            }),
            _ => one(Here::OpenFiles {
                files: facts::open_files(board).map(OnFile).collect(),
            }),
        },
        Feature::PassedPawn | Feature::ConnectedPassedPawns => {
            if let Some(at) = said.square
                && let (Some(color), Some(pawn)) = (board.color_at(at), Man::on(board, at))
            {
                let against = facts::stoppers(board, color, at) & board.by_color(!color);
                return one(Here::PawnFaces {
                    pawn,
                    against: Man::all(board, against),
                });
            }
            listed(&|side| facts::passed_pawns(board, side), PawnKind::Passed)
        }
        Feature::IsolatedPawn => listed(
            &|side| facts::isolated_pawns(board, side),
            PawnKind::Isolated,
        ),
        Feature::DoubledPawns | Feature::TripledPawns => {
            listed(&|side| facts::doubled_pawns(board, side), PawnKind::Doubled)
        }
        Feature::BackwardPawn => {
            let pawn = said.square.filter(|&at| board.pawns().contains(at));
            match pawn.and_then(|at| Some((at, Man::on(board, at)?))) {
                Some((at, pawn)) => one(Here::PawnDefended {
                    pawn,
                    by: Man::all(board, facts::defenders(board, at) & board.pawns()),
                }),
                None => listed(
                    &|side| facts::backward_pawns(board, side),
                    PawnKind::Backward,
                ),
            }
        }
        Feature::PawnIslands => {
            let islands = sides.iter().map(|&side| Here::Islands {
                side: Side(side),
                count: u32::try_from(facts::pawn_islands(board, side)).unwrap_or(u32::MAX),
            });
            islands.collect()
        }
        Feature::QueensideMajority => one(counted(board, facts::Wing::Queenside)),
        Feature::KingsideMajority => one(counted(board, facts::Wing::Kingside)),
        Feature::CentralMajority => one(counted(board, facts::Wing::Centre)),
        Feature::RookOnSeventh | Feature::RooksOnSeventh => {
            listed(&|side| board.by_piece(side.rook()), PawnKind::Rook)
        }
        Feature::Outpost => one(no_outpost(board, said.square, claimed)),
        Feature::KingInCorner => {
            let kings = sides.iter().filter_map(|&side| board.king_of(side));
            one(stand(kings.collect()))
        }
        Feature::QueensOff => one(stand(board.queens())),
        Feature::Pawn(traits) => {
            let kinds = [
                (Traits::PASSED, PawnKind::Passed),
                (Traits::ISOLATED, PawnKind::Isolated),
                (Traits::DOUBLED, PawnKind::Doubled),
                (Traits::BACKWARD, PawnKind::Backward),
                (Traits::PROTECTED, PawnKind::Protected),
            ];
            let said = kinds
                .into_iter()
                .filter(|&(known, _)| traits.contains(known));
            said.flat_map(|(known, kind)| {
                listed(&|side| with_traits(board, side, known, false), kind)
            })
            .collect()
        }
        Feature::OppositeBishops | Feature::SameBishops | Feature::BishopPair => {
            one(if board.bishops().is_empty() {
                Here::NoBishops
            } else {
                stand(board.bishops())
            })
        }
        Feature::EnPassant => one(Here::NoEnPassant),
        Feature::Ending(_) => {
            let men = board.occupied() & !board.kings() & !board.pawns();
            one(if men.is_empty() {
                Here::OnlyPawns
            } else {
                stand(men)
            })
        }
        _ => one(Here::NotNear),
    }
}

/// How many pawns each side has on a wing, or in the centre.
fn counted(board: &Board, wing: facts::Wing) -> Here {
    let of = |color| {
        let [wide, _] = facts::pawns_on_wing(board, color, wing);
        u32::try_from(wide).unwrap_or(u32::MAX)
    };
    Here::OnWing {
        wing: match wing {
            facts::Wing::Queenside => Wing::Queenside,
            facts::Wing::Kingside => Wing::Kingside,
            facts::Wing::Centre => Wing::Centre,
        },
        pawns: [of(Color::White), of(Color::Black)],
    }
}

/// Why a square is no outpost.
fn no_outpost(board: &Board, square: Option<Square>, sides: &[Color]) -> Here {
    let (Some(square), Some(&side)) = (square, sides.first()) else {
        return Here::NoSuchSquare;
    };
    let chasers = facts::chasers(board, side, square);
    if chasers.is_empty() {
        Here::OwnHalf {
            at: At(square),
            side: Side(side),
        }
    } else {
        Here::PawnsChase {
            at: At(square),
            pawns: Man::all(board, chasers),
        }
    }
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn the_pawns_are_seen() {
        use Verdict::{Fails, Holds};
        all(
            "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxc6 dxc6",
            &[
                ("Black [has doubled pawns].", Holds),
                ("White [has doubled pawns].", Fails),
            ],
        );
    }

    /// What a move may bring is not meant by what is plainly so now.
    #[test]
    fn a_pawn_that_is_said_to_be_passed_is_looked_at() {
        use Verdict::{Fails, Unsettled};
        all(
            "8/5p1p/6k1/1p6/pP2P3/P4PK1/7P/8 w - - 0 1 | 1. h3",
            &[
                ("[White has a passed pawn on e4], and that is all.", Fails),
                (
                    "[White's pawn on e4 is passed], with the road clear before it.",
                    Fails,
                ),
                ("[A passed pawn on e4] would win.", Unsettled),
                ("White wants to get [a passed pawn on e4].", Unsettled),
            ],
        );
    }
}
