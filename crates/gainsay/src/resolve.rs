//! From a written move to a legal one.

use gainsay_notation::{Signs, WrittenMove, WrittenShape};
use shakmaty::{Chess, Color, EnPassantMode, File, FromSetup, Move, MoveList, Position, Role};

use crate::Marks;

/// What a written move means in a position.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Resolution {
    /// Exactly one legal move; the marks say how its writing departs from SAN.
    Legal(Move, Marks),
    /// A null move that leaves a legal position.
    Null,
    /// Several legal moves, in the generator's order.
    Ambiguous(MoveList),
    /// A pawn reaches its last rank, and the text does not say what it becomes.
    NoPromotion(MoveList),
    /// No legal move.
    Illegal,
}

/// Finds the legal moves that `written` can mean in `position`.
#[must_use]
pub fn resolve(position: &Chess, written: &WrittenMove) -> Resolution {
    match written.shape {
        WrittenShape::To {
            role,
            file,
            rank,
            capture,
            to,
            promotion,
        } => {
            let all = position.san_candidates(role, to);
            let mut found = None;
            let mut count = 0_usize;
            for &m in &all {
                if m.promotion() == promotion
                    && m.from().is_some_and(|from| {
                        file.is_none_or(|file| from.file() == file)
                            && rank.is_none_or(|rank| from.rank() == rank)
                    })
                {
                    found = Some(m);
                    count += 1;
                }
            }
            match found {
                Some(m) if count == 1 => {
                    let mut marks = Marks::empty();
                    if capture != m.is_capture() {
                        marks |= if capture {
                            Marks::SURPLUS_CAPTURE
                        } else {
                            Marks::MISSING_CAPTURE
                        };
                    }
                    if file.is_some() || rank.is_some() {
                        marks |= origin_marks(role, file, rank, m, &all);
                    }
                    Resolution::Legal(m, marks)
                }
                Some(_) => {
                    // A pawn capture is written with its file, so `dxe5` without it
                    // (`xe5`) or with it is never ambiguous unless the file is missing.
                    let mut list = all;
                    list.retain(|m| {
                        m.promotion() == promotion
                            && m.from().is_some_and(|from| {
                                file.is_none_or(|file| from.file() == file)
                                    && rank.is_none_or(|rank| from.rank() == rank)
                            })
                    });
                    // `e5` is the pawn move straight ahead even where a capture could
                    // also land there: SAN names the file of every pawn capture.
                    if role == Role::Pawn && !capture && file.is_none() {
                        list.retain(|m| !m.is_capture());
                        if list.len() == 1 {
                            return Resolution::Legal(list[0], Marks::empty());
                        }
                        list = all_matching(position, role, to, promotion);
                    }
                    Resolution::Ambiguous(list)
                }
                None if promotion.is_none() && role == Role::Pawn => {
                    let mut list = all;
                    list.retain(|m| {
                        m.promotion().is_some()
                            && m.from().is_some_and(|from| {
                                file.is_none_or(|file| from.file() == file)
                                    && rank.is_none_or(|rank| from.rank() == rank)
                            })
                            && (capture || file.is_some() || !m.is_capture())
                    });
                    if list.is_empty() {
                        Resolution::Illegal
                    } else {
                        Resolution::NoPromotion(list)
                    }
                }
                None => Resolution::Illegal,
            }
        }
        WrittenShape::PawnCapture {
            from,
            to,
            promotion,
        } => {
            let mut list = position.legal_moves();
            list.retain(|m| {
                m.role() == Role::Pawn
                    && m.is_capture()
                    && m.to().file() == to
                    && m.from().is_some_and(|square| square.file() == from)
                    && (promotion.is_none() || m.promotion() == promotion)
            });
            match list.len() {
                0 => Resolution::Illegal,
                1 => Resolution::Legal(list[0], Marks::empty()),
                _ if list.iter().all(|m| m.promotion().is_some()) && promotion.is_none() => {
                    Resolution::NoPromotion(list)
                }
                _ => Resolution::Ambiguous(list),
            }
        }
        WrittenShape::Castle(side) => match position.castling_moves(side).first() {
            Some(&m) => Resolution::Legal(m, Marks::empty()),
            None => Resolution::Illegal,
        },
        WrittenShape::Null => {
            if pass(position).is_some() {
                Resolution::Null
            } else {
                Resolution::Illegal
            }
        }
    }
}

fn all_matching(
    position: &Chess,
    role: Role,
    to: shakmaty::Square,
    promotion: Option<Role>,
) -> MoveList {
    let mut list = position.san_candidates(role, to);
    list.retain(|m| m.promotion() == promotion);
    list
}

/// Whether an origin that was written is needed, and whether it is the one that
/// SAN prefers (file before rank before both; PGN standard, 8.2.3.4).
fn origin_marks(
    role: Role,
    file: Option<File>,
    rank: Option<shakmaty::Rank>,
    m: Move,
    candidates: &MoveList,
) -> Marks {
    if role == Role::Pawn {
        // The file of a capturing pawn is part of SAN; everything else is surplus.
        return if m.is_capture() && rank.is_none() {
            Marks::empty()
        } else {
            Marks::NEEDLESS_ORIGIN
        };
    }
    let Some(from) = m.from() else {
        return Marks::empty();
    };
    let rivals = || {
        candidates
            .iter()
            .filter(|&&other| other.from() != Some(from))
    };
    if rivals().next().is_none() {
        return Marks::NEEDLESS_ORIGIN;
    }
    let file_tells = rivals().all(|other| other.from().is_none_or(|o| o.file() != from.file()));
    let rank_tells = rivals().all(|other| other.from().is_none_or(|o| o.rank() != from.rank()));
    match (file.is_some(), rank.is_some()) {
        (true, true) if file_tells || rank_tells => Marks::NEEDLESS_ORIGIN,
        (false, true) if file_tells => Marks::UNUSUAL_ORIGIN,
        _ => Marks::empty(),
    }
}

/// The position after the side to move has passed; `None` where it is in check,
/// since then the opponent would take the king.
#[must_use]
pub fn pass(position: &Chess) -> Option<Chess> {
    let mut setup = position.to_setup(EnPassantMode::Legal);
    setup.ep_square = None;
    setup.halfmoves = setup.halfmoves.saturating_add(1);
    if setup.turn == Color::Black {
        setup.fullmoves = setup.fullmoves.saturating_add(1);
    }
    setup.turn = setup.turn.other();
    Chess::from_setup(setup, shakmaty::CastlingMode::Chess960)
        .or_else(shakmaty::PositionError::ignore_too_much_material)
        .or_else(shakmaty::PositionError::ignore_impossible_check)
        .ok()
}

/// How the sign behind a move compares with the position after it.
///
/// `after` is the position after the move.
#[must_use]
pub fn sign_marks(signs: Signs, after: &Chess) -> Marks {
    if !after.is_check() {
        return match signs {
            Signs::None => Marks::empty(),
            Signs::Check | Signs::DoubleCheck => Marks::SURPLUS_CHECK,
            Signs::Mate => Marks::FALSE_MATE,
        };
    }
    let mate = after.legal_moves().is_empty();
    match (signs, mate) {
        (Signs::None, false) => Marks::MISSING_CHECK,
        (Signs::None | Signs::Check, true) => Marks::MISSING_MATE,
        (Signs::Mate, false) => Marks::FALSE_MATE,
        (Signs::Check | Signs::DoubleCheck, false) | (Signs::Mate | Signs::DoubleCheck, true) => {
            Marks::empty()
        }
    }
}
