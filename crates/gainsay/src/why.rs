//! Why a written move cannot be played.

use gainsay_notation::{Descriptive, Man, WrittenMove, WrittenShape};
use shakmaty::{Bitboard, CastlingSide, Chess, Color, File, Position, Rank, Role, Square, attacks};

use crate::{
    descriptive::targets,
    show::{list, named, piece, side},
};

/// Says in a clause why `written`, which is no legal move of `position`, cannot be
/// played: "the knight on f6 is pinned by the bishop on b5".
#[must_use]
pub(crate) fn why_not(position: &Chess, written: &WrittenMove) -> String {
    if position.legal_moves().is_empty() {
        let what = if position.is_check() {
            "mated"
        } else {
            "stalemated"
        };
        return format!("{} is {what} and the game is over", side(position.turn()));
    }
    match written.shape {
        WrittenShape::Castle(wing) => castling(position, wing),
        WrittenShape::Castles => {
            // The side on which it still has the right to is likelier to be meant.
            let may = |wing: &CastlingSide| position.castles().has(position.turn(), *wing);
            let wing = CastlingSide::ALL.into_iter().find(may);
            castling(position, wing.unwrap_or(CastlingSide::KingSide))
        }
        WrittenShape::Descriptive(old) => descriptive(position, &old),
        WrittenShape::Null => format!("{} is in check and cannot pass", side(position.turn())),
        WrittenShape::PawnCapture { from, to, .. } => format!(
            "no {} pawn on the {}-file can capture on the {}-file",
            side(position.turn()),
            from.char(),
            to.char()
        ),
        WrittenShape::To {
            role,
            file,
            rank,
            capture,
            to,
            promotion,
        } => ordinary(position, role, file, rank, capture, to, promotion),
    }
}

/// A move in descriptive notation: where it goes to one square, in the words for other moves.
fn descriptive(position: &Chess, old: &Descriptive) -> String {
    let us = position.turn();
    let targets = targets(old, us);
    let &Descriptive {
        mover: Man { role, .. },
        promotion,
        ..
    } = old;
    match (targets.as_slice(), old.captured) {
        (&[to], None)
            if position
                .board()
                .piece_at(to)
                .is_some_and(|it| it.color != us) =>
        {
            format!("{to} is not empty, and no capture is written")
        }
        (&[to], None) => ordinary(position, role, None, None, false, to, promotion),
        (squares, None) => {
            let squares: Vec<String> = squares.iter().map(ToString::to_string).collect();
            let squares = list(&squares, "or to");
            format!("no {} of {} can go to {squares}", piece(role), side(us))
        }
        (_, Some(man)) => format!(
            "no {} of {} can take such a {}",
            piece(role),
            side(us),
            piece(man.role)
        ),
    }
}

fn ordinary(
    position: &Chess,
    role: Role,
    file: Option<File>,
    rank: Option<Rank>,
    capture: bool,
    to: Square,
    promotion: Option<Role>,
) -> String {
    let board = position.board();
    let us = position.turn();
    let ours = board.by_color(us) & board.by_role(role);
    if ours.is_empty() {
        return format!("{} has no {}", side(us), piece(role));
    }
    let fits = |square: &Square| {
        file.is_none_or(|file| square.file() == file)
            && rank.is_none_or(|rank| square.rank() == rank)
    };
    let origins: Vec<Square> = ours.into_iter().filter(fits).collect();
    if origins.is_empty() {
        let place = match (file, rank) {
            (Some(file), Some(rank)) => format!("on {}{}", file.char(), rank.char()),
            (Some(file), None) => format!("on the {}-file", file.char()),
            (None, Some(rank)) => format!("on the {} rank", ordinal(rank)),
            (None, None) => "there".to_owned(),
        };
        return format!("{} has no {} {place}", side(us), piece(role));
    }
    if let Some(there) = board.piece_at(to)
        && there.color == us
    {
        return format!(
            "{to} is occupied by {}'s own {}",
            side(us),
            piece(there.role)
        );
    }
    if role == Role::Pawn
        && let Some(new @ (Role::King | Role::Pawn)) = promotion
    {
        return format!("a pawn cannot become a {}", piece(new));
    }
    let reaching: Vec<Square> = origins
        .iter()
        .copied()
        .filter(|&from| reaches(position, role, from, to))
        .collect();
    if reaching.is_empty() {
        return unreachable(position, role, &origins, capture, to);
    }
    if role != Role::Pawn && promotion.is_some() {
        return format!("a {} cannot be promoted", piece(role));
    }
    if role == Role::Pawn && promotion.is_some() && to.rank() != us.relative_rank(Rank::Eighth) {
        return format!("a pawn is not promoted on {to}");
    }
    leaves_in_check(position, role, &reaching, to)
}

/// The move reaches its square, so it is the king's safety that forbids it.
fn leaves_in_check(position: &Chess, role: Role, reaching: &[Square], to: Square) -> String {
    let board = position.board();
    let us = position.turn();
    let Some(king) = board.king_of(us) else {
        return format!("{} has no king", side(us));
    };
    if role == Role::King {
        let without_king = board.occupied().without(king);
        let guards = position.king_attackers(to, us.other(), without_king);
        return match guards.first() {
            Some(guard) => format!("{to} is covered by {}", named(position.board(), guard)),
            None => format!("the king cannot go to {to}"),
        };
    }
    let checkers = position.checkers();
    if let Some(checker) = checkers.first() {
        return if checkers.more_than_one() {
            format!("{} is in double check and must move the king", side(us))
        } else {
            format!(
                "{} is in check from {}",
                side(us),
                named(position.board(), checker)
            )
        };
    }
    for &from in reaching {
        let captured = board.occupied() & Bitboard::from_square(to);
        let occupied = board.occupied().without(from).with(to);
        let pinners = position.king_attackers(king, us.other(), occupied) & !captured;
        if let Some(pinner) = pinners.first() {
            return format!(
                "the {} on {from} is pinned by {}",
                piece(role),
                named(position.board(), pinner)
            );
        }
    }
    format!("it would leave {}'s king in check", side(us))
}

fn unreachable(
    position: &Chess,
    role: Role,
    origins: &[Square],
    capture: bool,
    to: Square,
) -> String {
    let board = position.board();
    let us = position.turn();
    let occupied = board.occupied();
    if role == Role::Pawn {
        // The pawn that is nearest to its goal is meant.
        let straight = origins
            .iter()
            .filter(|from| from.file() == to.file())
            .min_by_key(|from| from.distance(to));
        if let Some(from) = straight {
            let ahead = match us {
                Color::White => from.rank() < to.rank(),
                Color::Black => from.rank() > to.rank(),
            };
            if ahead
                && let Some(blocker) = (attacks::between(*from, to) & occupied)
                    .first()
                    .or_else(|| occupied.contains(to).then_some(to))
            {
                return format!(
                    "the pawn on {from} is blocked by {}",
                    named(position.board(), blocker)
                );
            }
        }
        if capture
            && board.piece_at(to).is_none()
            && origins
                .iter()
                .any(|&from| attacks::pawn_attacks(us, from).contains(to))
        {
            return format!("there is nothing to capture on {to}");
        }
        return format!("no {} pawn can reach {to}", side(us));
    }
    for &from in origins {
        let on_empty_board = attacks::attacks(from, role.of(us), Bitboard::EMPTY);
        if on_empty_board.contains(to)
            && let Some(blocker) = (attacks::between(from, to) & occupied).first()
        {
            return format!(
                "{} stands between the {} on {from} and {to}",
                named(position.board(), blocker),
                piece(role)
            );
        }
    }
    match origins {
        [from] => format!("the {} on {from} does not reach {to}", piece(role)),
        _ => format!(
            "neither {} reaches {to}",
            list(
                &origins
                    .iter()
                    .map(|from| format!("the {} on {from}", piece(role)))
                    .collect::<Vec<_>>(),
                "nor"
            )
        )
        .replace(", the", " nor the"),
    }
}

/// Whether a piece reaches a square, its king's safety left aside.
fn reaches(position: &Chess, role: Role, from: Square, to: Square) -> bool {
    let board = position.board();
    let us = position.turn();
    if role != Role::Pawn {
        return attacks::attacks(from, role.of(us), board.occupied()).contains(to);
    }
    if attacks::pawn_attacks(us, from).contains(to) {
        return board.piece_at(to).is_some() || position.maybe_ep_square() == Some(to);
    }
    let one = from.offset(if us == Color::White { 8 } else { -8 });
    let free = |square: Square| !board.occupied().contains(square);
    if from.file() != to.file() || !one.is_some_and(free) {
        return false;
    }
    one == Some(to)
        || (from.rank() == us.relative_rank(Rank::Second)
            && to.rank() == us.relative_rank(Rank::Fourth)
            && free(to))
}

fn castling(position: &Chess, wing: CastlingSide) -> String {
    let us = position.turn();
    let name = match wing {
        CastlingSide::KingSide => "kingside",
        CastlingSide::QueenSide => "queenside",
    };
    let castles = position.castles();
    let board = position.board();
    let (Some(rook), Some(king)) = (castles.rook(us, wing), board.king_of(us)) else {
        return format!(
            "{} may no longer castle {name}: the king or that rook has moved",
            side(us)
        );
    };
    if let Some(blocker) = (castles.path(us, wing) & board.occupied()).first() {
        return format!("{} stands in the way", named(position.board(), blocker));
    }
    if let Some(checker) = position.checkers().first() {
        return format!(
            "{} is in check from {}",
            side(us),
            named(position.board(), checker)
        );
    }
    let target = Square::from_coords(
        match wing {
            CastlingSide::KingSide => File::G,
            CastlingSide::QueenSide => File::C,
        },
        king.rank(),
    );
    let walk = attacks::between(king, target).with(target);
    let occupied = board.occupied().without(king).without(rook);
    for square in walk {
        if let Some(guard) = position
            .king_attackers(square, us.other(), occupied)
            .first()
        {
            return format!(
                "the king would cross or reach {square}, which {} covers",
                named(position.board(), guard)
            );
        }
    }
    format!("{} cannot castle {name} here", side(us))
}

const fn ordinal(rank: Rank) -> &'static str {
    match rank {
        Rank::First => "first",
        Rank::Second => "second",
        Rank::Third => "third",
        Rank::Fourth => "fourth",
        Rank::Fifth => "fifth",
        Rank::Sixth => "sixth",
        Rank::Seventh => "seventh",
        Rank::Eighth => "eighth",
    }
}

#[cfg(test)]
mod tests {
    use gainsay_notation::{Language, parse_move};
    use shakmaty::{CastlingMode, fen::Fen};

    use super::*;
    use crate::resolve::{Resolution, resolve};

    fn why(fen: &str, mv: &str) -> String {
        let position: Chess = fen
            .parse::<Fen>()
            .expect("a FEN")
            .into_position(CastlingMode::Standard)
            .expect("a position");
        let written = parse_move(mv.as_bytes(), Language::English).expect("a move");
        assert_eq!(resolve(&position, &written), Resolution::Illegal);
        why_not(&position, &written)
    }

    #[test]
    fn says_which_rule_forbids() {
        let start = "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1";
        assert_eq!(why(start, "Nd2"), "d2 is occupied by White's own pawn");
        assert_eq!(
            why(start, "Bc4"),
            "the white pawn on e2 stands between the bishop on f1 and c4"
        );
        assert_eq!(
            why(start, "O-O"),
            "the white bishop on f1 stands in the way"
        );
        assert_eq!(
            why(start, "Ne4"),
            "neither the knight on b1 nor the knight on g1 reaches e4"
        );
        assert_eq!(why(start, "e5"), "no White pawn can reach e5");
        assert_eq!(
            why("2b4k/2P5/8/8/8/8/2P5/7K w - - 0 1", "c8=Q"),
            "the pawn on c7 is blocked by the black bishop on c8"
        );
        assert_eq!(
            why("8/P6k/8/8/8/8/8/K7 w - - 0 1", "a8=K"),
            "a pawn cannot become a king"
        );
        assert_eq!(why(start, "exd3"), "there is nothing to capture on d3");
        assert_eq!(
            why("4r1k1/8/8/8/8/8/4N3/4K3 w - - 0 1", "Nc3"),
            "the knight on e2 is pinned by the black rook on e8"
        );
        assert_eq!(
            why("4r1k1/8/8/8/8/8/3N4/4K3 w - - 0 1", "Nb3"),
            "White is in check from the black rook on e8"
        );
        assert_eq!(
            why("5rk1/8/8/8/8/8/8/4K2R w K - 0 1", "O-O"),
            "the king would cross or reach f1, which the black rook on f8 covers"
        );
        assert_eq!(
            why("5rk1/8/8/8/8/8/8/4K2R w - - 0 1", "O-O"),
            "White may no longer castle kingside: the king or that rook has moved"
        );
        assert_eq!(
            why("5rk1/8/8/8/8/8/8/4K2R w - - 0 1", "Kf1"),
            "f1 is covered by the black rook on f8"
        );
        assert_eq!(
            why("5rk1/8/8/8/8/8/8/4K2R w - - 0 1", "Qe4"),
            "White has no queen"
        );
        assert_eq!(
            why("4R1k1/5ppp/8/8/8/8/8/4K3 b - - 0 1", "Kf8"),
            "Black is mated and the game is over"
        );
    }
}
