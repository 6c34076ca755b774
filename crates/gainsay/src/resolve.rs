//! From a written move to a legal one.

use gainsay_notation::{Signs, WrittenMove, WrittenShape};
use shakmaty::{
    Bitboard, Chess, Color, EnPassantMode, File, FromSetup, Move, MoveList, Position, Rank, Role,
    Square, attacks,
};

use crate::{
    descriptive::{candidates, castlings},
    marks::Marks,
};

/// What a written move means in a position.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Resolution {
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
pub(crate) fn resolve(position: &Chess, written: &WrittenMove) -> Resolution {
    match sole(position, &written.shape) {
        Some((m, marks)) => Resolution::Legal(m, marks),
        None => among_all(position, written),
    }
}

/// The common case without generating moves: one piece alone reaches the square.
///
/// `None` says nothing: the general way must then decide. What it finds is legal,
/// because a move that is neither castling nor en passant is legal exactly when it
/// follows the piece's movement and leaves no attacker on the king.
fn sole(position: &Chess, shape: &WrittenShape) -> Option<(Move, Marks)> {
    let &WrittenShape::To {
        role,
        file,
        rank,
        capture,
        to,
        promotion,
    } = shape
    else {
        return None;
    };
    let board = position.board();
    let us = position.turn();
    let occupied = board.occupied();
    if position.us().contains(to) {
        return None;
    }
    let captured = board.role_at(to);
    let mut marks = Marks::empty();
    let from = if role == Role::Pawn {
        let back = if us == Color::White { -8 } else { 8 };
        let last = to.rank() == us.relative_rank(Rank::Eighth);
        if rank.is_some()
            || promotion.is_some() != last
            || matches!(promotion, Some(Role::Pawn | Role::King))
        {
            return None;
        }
        match (file, capture, captured) {
            // Straight ahead, and SAN names the file of every capture.
            (None, false, None) => {
                let near = to.offset(back)?;
                if occupied.contains(near) {
                    near
                } else if to.rank() == us.relative_rank(Rank::Fourth) {
                    near.offset(back)?
                } else {
                    return None;
                }
            }
            (Some(file), true, Some(_)) if file != to.file() => {
                let from = Square::from_coords(file, to.offset(back)?.rank());
                if !attacks::pawn_attacks(us, from).contains(to) {
                    return None;
                }
                from
            }
            _ => return None,
        }
    } else {
        if promotion.is_some() {
            return None;
        }
        let reaching = attacks::attacks(to, role.of(us), occupied) & position.our(role);
        let from = reaching.single_square()?;
        if file.is_some_and(|file| from.file() != file)
            || rank.is_some_and(|rank| from.rank() != rank)
        {
            return None;
        }
        if file.is_some() || rank.is_some() {
            marks |= Marks::NEEDLESS_ORIGIN;
        }
        if capture != captured.is_some() {
            marks |= capture_mark(capture);
        }
        from
    };
    if !position.our(role).contains(from) {
        return None;
    }
    let target = Bitboard::from_square(to);
    let king = if role == Role::King {
        to
    } else {
        board.king_of(us)?
    };
    let attackers =
        position.king_attackers(king, us.other(), occupied.without(from) | target) & !target;
    attackers.is_empty().then_some((
        Move::Normal {
            role,
            from,
            capture: captured,
            to,
            promotion,
        },
        marks,
    ))
}

/// The mark of a capture sign that is missing or surplus.
const fn capture_mark(written: bool) -> Marks {
    if written {
        Marks::SURPLUS_CAPTURE
    } else {
        Marks::MISSING_CAPTURE
    }
}

fn among_all(position: &Chess, written: &WrittenMove) -> Resolution {
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
                // SAN names the file of every pawn capture, and `c5` is nobody's way to
                // write `bxc5`.
                Some(m)
                    if count == 1
                        && role == Role::Pawn
                        && !capture
                        && file.is_none()
                        && m.is_capture() =>
                {
                    Resolution::Illegal
                }
                Some(m) if count == 1 => {
                    let mut marks = Marks::empty();
                    if capture != m.is_capture() {
                        marks |= capture_mark(capture);
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
            sole_of(list)
        }
        WrittenShape::Castle(side) => match position.castling_moves(side).first() {
            Some(&m) => Resolution::Legal(m, Marks::empty()),
            None => Resolution::Illegal,
        },
        WrittenShape::Castles => sole_of(castlings(position, written.signs)),
        WrittenShape::Descriptive(old) => sole_of(candidates(position, &old, written)),
        WrittenShape::Null => {
            if pass(position).is_some() {
                Resolution::Null
            } else {
                Resolution::Illegal
            }
        }
    }
}

/// What moves come to that all fit what is written.
fn sole_of(list: MoveList) -> Resolution {
    let one_pawn = |first: &Move| {
        let same = |m: &Move| (m.from(), m.to()) == (first.from(), first.to());
        list.iter().all(|m| m.promotion().is_some() && same(m))
    };
    match list.first() {
        None => Resolution::Illegal,
        Some(&m) if list.len() == 1 => Resolution::Legal(m, Marks::empty()),
        Some(first) if one_pawn(first) => Resolution::NoPromotion(list),
        Some(_) => Resolution::Ambiguous(list),
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
pub(crate) fn pass(position: &Chess) -> Option<Chess> {
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

/// The same position with another number for its next move.
pub(crate) fn numbered_from(position: &Chess, number: u32) -> Option<Chess> {
    let mut setup = position.to_setup(EnPassantMode::Legal);
    setup.fullmoves = std::num::NonZeroU32::new(number)?;
    Chess::from_setup(setup, shakmaty::CastlingMode::Chess960)
        .or_else(shakmaty::PositionError::ignore_too_much_material)
        .or_else(shakmaty::PositionError::ignore_impossible_check)
        .ok()
}

/// The position with `side` to move, by a pass if need be; `None` as for [`pass`].
pub(crate) fn with_turn(position: &Chess, side: Color) -> Option<Chess> {
    if position.turn() == side {
        Some(position.clone())
    } else {
        pass(position)
    }
}

/// The position with either side to move, by a pass where that may be.
pub(crate) fn whoever_moves(position: &Chess) -> impl Iterator<Item = Chess> {
    [Some(position.clone()), pass(position)]
        .into_iter()
        .flatten()
}

/// The position behind a legal move.
pub(crate) fn played(position: &Chess, m: Move) -> Chess {
    let mut behind = position.clone();
    behind.play_unchecked(m);
    behind
}

/// How the sign behind a move compares with the position after it.
///
/// `after` is the position after the move.
#[must_use]
pub(crate) fn sign_marks(signs: Signs, after: &Chess) -> Marks {
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

#[cfg(test)]
mod tests {
    use gainsay_notation::{Language, parse_move};

    use super::*;

    /// Positions of pseudo-random games: a fixed generator, so that the test is the
    /// same everywhere.
    fn positions(count: usize) -> Vec<Chess> {
        let mut state = 0x9e37_79b9_7f4a_7c15_u64;
        let mut next = move || {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            state
        };
        let mut found = Vec::new();
        let mut position = Chess::default();
        while found.len() < count {
            let moves = position.legal_moves();
            if moves.is_empty() || position.halfmoves() > 60 {
                position = Chess::default();
                continue;
            }
            let m = moves[(next() % moves.len() as u64) as usize];
            position.play_unchecked(m);
            found.push(position.clone());
        }
        found
    }

    #[test]
    fn the_short_way_agrees_with_the_generator() {
        let mut short = 0;
        for position in positions(3000) {
            let legal = position.legal_moves();
            for role in Role::ALL {
                for to in Square::ALL {
                    for (file, capture, promotion) in [
                        (None, false, None),
                        (None, true, None),
                        (Some(File::C), true, None),
                        (Some(File::D), false, None),
                        (None, false, Some(Role::Queen)),
                        (Some(File::G), true, Some(Role::Knight)),
                        (None, false, Some(Role::King)),
                        (None, false, Some(Role::Pawn)),
                    ] {
                        let shape = WrittenShape::To {
                            role,
                            file,
                            rank: None,
                            capture,
                            to,
                            promotion,
                        };
                        let Some((m, marks)) = sole(&position, &shape) else {
                            continue;
                        };
                        short += 1;
                        assert!(
                            legal.contains(&m),
                            "{m:?} in {}",
                            crate::show::fen(&position)
                        );
                        let written = WrittenMove {
                            shape,
                            signs: Signs::None,
                            oddities: gainsay_notation::Oddities::default(),
                        };
                        assert_eq!(
                            among_all(&position, &written),
                            Resolution::Legal(m, marks),
                            "{shape:?} in {}",
                            crate::show::fen(&position)
                        );
                    }
                }
            }
        }
        assert!(
            short > 50_000,
            "the short way was hardly ever taken: {short}"
        );
    }

    #[test]
    fn every_legal_move_is_found_by_its_san() {
        for position in positions(2000) {
            for m in position.legal_moves() {
                let text = crate::show::san(&position, m);
                let written = parse_move(text.as_bytes(), Language::English).expect("SAN is read");
                assert_eq!(
                    resolve(&position, &written),
                    Resolution::Legal(m, Marks::empty()),
                    "{text} in {}",
                    crate::show::fen(&position)
                );
            }
        }
    }

    #[test]
    fn a_pawn_capture_names_its_file() {
        let position: Chess = "4k3/8/1p6/2P5/8/8/8/4K3 b - - 0 1"
            .parse::<shakmaty::fen::Fen>()
            .expect("a FEN")
            .into_position(shakmaty::CastlingMode::Standard)
            .expect("a position");
        let resolved = |text: &str| {
            let written = parse_move(text.as_bytes(), Language::English).expect("a move");
            resolve(&position, &written)
        };
        assert!(matches!(resolved("bxc5"), Resolution::Legal(..)));
        assert!(matches!(resolved("bc5"), Resolution::Legal(..)));
        assert_eq!(resolved("c5"), Resolution::Illegal);
    }
}
