//! How often a feature of structure or placement is there: by its definition, and in the
//! widest sense that an author may mean.

use gainsay_commentary::{Feature, Structure, Traits};
use gainsay_proof::facts;
use shakmaty::{Bitboard, Board, CastlingSide, Chess, Color, File, Position, Role};

use super::castling::has_right;

/// How often a feature is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Seen {
    /// By its definition.
    pub(super) firmly: usize,
    /// In the widest sense.
    pub(super) at_all: usize,
}

impl Seen {
    /// The same in every sense.
    const fn plain(count: usize) -> Self {
        Self {
            firmly: count,
            at_all: count,
        }
    }

    /// There or not.
    fn yes(there: bool) -> Self {
        Self::plain(usize::from(there))
    }

    /// By its definition, or at least in the widest sense.
    fn between(firmly: bool, at_all: bool) -> Self {
        Self {
            firmly: usize::from(firmly),
            at_all: usize::from(firmly || at_all),
        }
    }

    /// Whether it is there as it is said to be.
    fn fits(self, said: &Structure) -> bool {
        match said.count {
            None => self.firmly > 0,
            Some(count) => self.firmly == usize::from(count),
        }
    }

    /// Whether an author may mean it.
    fn may_fit(self, said: &Structure) -> bool {
        match said.count.map(usize::from) {
            None => self.at_all > 0,
            Some(count) if said.only => (self.firmly..=self.at_all).contains(&count),
            Some(count) => self.at_all >= count,
        }
    }
}

/// Whether the feature is there as it is said to be, for one of `sides`, or for all where
/// it is said of both.
pub(super) fn holds(position: &Chess, said: &Structure, sides: &[Color]) -> bool {
    let there = |&side: &Color| seen(position, said, side).fits(said);
    if said.both {
        sides.iter().all(there)
    } else {
        sides.iter().any(there)
    }
}

/// The same in the widest sense.
pub(super) fn may_hold(position: &Chess, said: &Structure, sides: &[Color]) -> bool {
    let there = |&side: &Color| seen(position, said, side).may_fit(said);
    if said.both {
        return sides.iter().all(there);
    }
    // "Two isolated pawns" may be one of each side.
    let together = || {
        let all = sides.iter().map(|&side| seen(position, said, side));
        let sum = all.fold(Seen::plain(0), |sum, one| Seen {
            firmly: sum.firmly + one.firmly,
            at_all: sum.at_all + one.at_all,
        });
        let per_side = said.feature != Feature::OpenFile;
        sides.len() > 1 && !said.only && per_side && sum.may_fit(said)
    };
    sides.iter().any(there) || together()
}

/// How often the feature is there for a side.
fn seen(position: &Chess, said: &Structure, side: Color) -> Seen {
    let board = position.board();
    let files = |count: &dyn Fn(File) -> bool| {
        let files = File::ALL.into_iter();
        let wanted = |file: &File| said.file.is_none_or(|only| only == *file);
        files.filter(|&file| wanted(&file) && count(file)).count()
    };
    let some_pawns = |firmly, at_all| pawns(said, firmly, at_all);
    let majority = |wing| Seen::yes(facts::has_majority(board, side, wing));
    match said.feature {
        // "The e-file is the only open one": no other is, either.
        Feature::OpenFile if said.only => {
            let open = facts::open_files(board).count();
            let named = |file: File| facts::is_open(board, file);
            match said.file {
                Some(file) if !facts::files_for_rooks(board).any(|open| open == file) => {
                    Seen::plain(0)
                }
                _ => Seen {
                    firmly: if said.file.is_none_or(named) { open } else { 0 },
                    at_all: facts::files_for_rooks(board).count(),
                },
            }
        }
        Feature::OpenFile => Seen {
            firmly: files(&|file| facts::is_open(board, file)),
            at_all: files(&|file| facts::files_for_rooks(board).any(|open| open == file)),
        },
        Feature::HalfOpenFile => Seen {
            firmly: files(&|file| facts::is_half_open(board, file, side)),
            at_all: files(&|file| {
                facts::is_open(board, file) || facts::is_half_open(board, file, side)
            }),
        },
        Feature::ClosedFile => Seen {
            firmly: files(&|file| facts::is_closed(board, file)),
            at_all: files(&|file| !facts::is_open(board, file)),
        },
        Feature::PassedPawn => {
            let all = facts::passed_pawns(board, side);
            // Of two passed pawns on a file one counts.
            let counted = facts::leading_passed_pawns(board, side);
            some_pawns(if said.count.is_some() { counted } else { all }, all)
        }
        Feature::ConnectedPassedPawns => {
            let connected = facts::connected_passed_pawns(board, side);
            some_pawns(
                connected & facts::leading_passed_pawns(board, side),
                connected,
            )
        }
        Feature::IsolatedPawn => {
            let isolated = facts::isolated_pawns(board, side);
            some_pawns(isolated, isolated)
        }
        Feature::DoubledPawns => {
            let doubled = facts::doubled_pawns(board, side);
            some_pawns(doubled, doubled)
        }
        Feature::TripledPawns => {
            let tripled = facts::tripled_pawns(board, side);
            some_pawns(tripled, tripled)
        }
        Feature::BackwardPawn => some_pawns(
            facts::backward_pawns(board, side),
            facts::unsupported_pawns(board, side),
        ),
        Feature::Pawn(traits) => {
            let with = |wide| with_traits(board, side, traits, wide);
            some_pawns(with(false), with(true))
        }
        Feature::PawnIslands => Seen::plain(facts::pawn_islands(board, side)),
        Feature::QueensideMajority => majority(facts::Wing::Queenside),
        Feature::KingsideMajority => majority(facts::Wing::Kingside),
        Feature::CentralMajority => majority(facts::Wing::Centre),
        Feature::RookOnSeventh | Feature::RooksOnSeventh => {
            let least = usize::from(said.feature == Feature::RooksOnSeventh);
            let there = said.square.map_or(Bitboard::FULL, Bitboard::from_square);
            let rooks = (facts::on_seventh(board, side) & board.rooks() & there).count();
            Seen::between(
                rooks > least,
                (facts::on_a_seventh(board, side) & there).count() > least,
            )
        }
        Feature::Outpost => match said.square {
            Some(square) => Seen::between(
                facts::outpost_square(board, side, square),
                facts::may_be_outpost(board, side, square),
            ),
            None => Seen::yes(true),
        },
        Feature::OppositeBishops => Seen::yes(facts::opposite_bishops(board)),
        Feature::SameBishops => {
            let bishops = |color: Color| board.by_piece(Role::Bishop.of(color));
            let single = |&color: &Color| bishops(color).count() == 1;
            let same = Color::ALL.iter().all(single) && !facts::opposite_bishops(board);
            Seen::yes(same)
        }
        Feature::BishopPair => Seen::yes(facts::bishop_pair(board, side)),
        Feature::CastlingRights | Feature::CastlingNext => {
            Seen::yes(has_right(position, side, said))
        }
        Feature::KingInCorner => {
            let at = |&square: &_| board.king_of(side) == Some(square);
            let there = said.square.as_ref().is_none_or(at);
            Seen::yes(there && facts::king_in_corner(board, side, true))
        }
        Feature::EnPassant => Seen::yes(takes_en_passant(position, said, side)),
        Feature::PromotionNext => {
            let moves = position.legal_moves();
            Seen::yes(moves.iter().any(|m| m.promotion().is_some()))
        }
        Feature::QueensOff => Seen::yes(board.queens().is_empty()),
        Feature::Ending(role) => {
            let men = board.occupied() & !board.kings() & !board.pawns();
            Seen::yes(match role {
                Some(Role::Pawn) | None => men.is_empty(),
                Some(role) => men.any() && (men & !board.by_role(role)).is_empty(),
            })
        }
        // Settled by the moves of the game, or by a search.
        Feature::Castled(_)
        | Feature::BothCastled
        | Feature::CastledAlike
        | Feature::CastledApart
        | Feature::Promotes => Seen::plain(0),
    }
}

/// Whether a pawn can be taken en passant: by `side`, or, where a pawn or its file is named,
/// that pawn, which then is the side's own unless its square is named.
fn takes_en_passant(position: &Chess, said: &Structure, side: Color) -> bool {
    let Some(behind) = position.legal_ep_square() else {
        return false;
    };
    let taker = position.turn();
    let pawn = behind.offset(taker.fold_wb(-8, 8));
    let placed = match (said.square, said.file) {
        (Some(square), _) => square == behind || Some(square) == pawn,
        (None, Some(file)) => file == behind.file(),
        (None, None) => true,
    };
    placed && (!said.owned || said.square.is_some() || side == taker)
}

/// The pawns of two senses that stand where they are said to.
fn pawns(said: &Structure, firmly: Bitboard, at_all: Bitboard) -> Seen {
    let mut there = Bitboard::FULL;
    if let Some(file) = said.file {
        there &= Bitboard::from_file(file);
    }
    if let Some(square) = said.square {
        there &= Bitboard::from_square(square);
    }
    if let Some(wing) = said.wing {
        there &= match wing {
            CastlingSide::QueenSide => facts::Wing::Queenside.files(),
            CastlingSide::KingSide => facts::Wing::Kingside.files(),
        };
    }
    Seen {
        firmly: (firmly & there).count(),
        at_all: (at_all & there).count(),
    }
}

/// The pawns of a side of which all of these adjectives are true, in the wide sense or the
/// narrow one. A protected passed pawn is protected by a pawn, in the wide sense by
/// anything (common practice, no source).
pub(super) fn with_traits(board: &Board, side: Color, traits: Traits, wide: bool) -> Bitboard {
    let own = board.by_piece(Role::Pawn.of(side));
    let either = |narrow, all| if wide { all } else { narrow };
    let guarded = |pawn: &shakmaty::Square| facts::defenders(board, *pawn).any();
    let mut found = own;
    for (known, pawns) in [
        (Traits::PASSED, facts::passed_pawns(board, side)),
        (Traits::ISOLATED, facts::isolated_pawns(board, side)),
        (Traits::DOUBLED, facts::doubled_pawns(board, side)),
        (
            Traits::TRIPLED,
            either(
                facts::tripled_pawns(board, side),
                facts::doubled_pawns(board, side),
            ),
        ),
        (
            Traits::BACKWARD,
            either(
                facts::backward_pawns(board, side),
                facts::unsupported_pawns(board, side),
            ),
        ),
        (Traits::CONNECTED, facts::connected_pawns(board, side)),
        (
            Traits::PROTECTED,
            either(
                facts::protected_pawns(board, side),
                own.into_iter().filter(guarded).collect(),
            ),
        ),
    ] {
        if traits.contains(known) {
            found &= pawns;
        }
    }
    found
}
