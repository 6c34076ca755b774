//! The squares that a king may go to.

use gainsay_commentary::{At, Flight, Noun, Nuance, Owner, Subject, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Chess, Color, File, Position, Role, Square};

use super::{answer::Answer, only_sensible::some_moves};
use crate::{
    outcome::{At as Named, Line, MoveWhy, Side, squares_of},
    question::Question,
    rule::{Severity, rule},
};

rule! {
    /// A king can go to other squares than the text says.
    ///
    /// "The king on g8 has no legal move", "has two squares", "can go to f7": a king may step to
    /// any square next to it that no man of its own holds and no enemy attacks (FIDE Laws 3.8.1
    /// and 3.9.2). "No flight square" is also said where it can only walk along its rank, or take
    /// something there (common practice, no source), and is not called false then.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "6k1/R7/8/8/8/8/8/6K1 w - - 0 1"]
    ///
    /// 1. Kf2 {The black king can go to g7.} Kh8 *
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/R7/8/8/8/8/8/6K1 w - - 0 1"]
    ///
    /// 1. Kf2 {The black king can go to f8.} Kh8 *
    /// ```
    FALSE_FLIGHT = "false-flight", Severity::Error
}

/// Settles "the king has no flight square", "can go to f7", "has two squares".
pub(super) fn settle_flight(question: &Question, said: Flight) -> Answer {
    let Subject::Piece(noun) = &question.claim.subject else {
        return Answer::unsettled();
    };
    let told = question.claim.tense == Tense::Present
        && noun.role == Some(Role::King)
        && !noun.plural
        && !noun.wording.begins(Nuance::Any)
        && question.pointer().is_none();
    let Some(here) = told_of(question).filter(|_| told) else {
        return Answer::unsettled();
    };
    let Some(side) = whose(here, noun) else {
        return Answer::unsettled();
    };
    // "Can go to f8", "a legal move": a "flight square" is one off a rank that is attacked.
    let wording = question.claim.wording;
    let literal = wording.has(Nuance::Literal) || wording.has(Nuance::Able);
    let sure = |position: &Chess| says(position, side, said, literal);
    let Some(now) = sure(here) else {
        return Answer::unsettled();
    };
    let denied = question.denied();
    if now != denied {
        return Answer::new(Verdict::Holds).on(here);
    }
    // An author may be a ply late or early.
    let scene = &question.comment.scene;
    let near = match question.claim.at {
        At::Here => scene
            .before()
            .into_iter()
            .chain(scene.ahead.first())
            .collect(),
        _ => question
            .only_end()
            .map(|step| vec![&step.before])
            .unwrap_or_default(),
    };
    let elsewhere = near
        .into_iter()
        .any(|position| sure(position).is_none_or(|at| at != denied));
    // "The king" may be the other one, though this one is in check.
    let named = matches!(noun.owner, Owner::Side(_)) || noun.square.is_some();
    let mover = wording.has(Nuance::Literal) && !matches!(said, Flight::To(_));
    let other = !named && !mover && says(here, !side, said, literal).is_none_or(|at| at != denied);
    if elsewhere || other || !question.claim.closed || question.comment_cites_loosely() {
        return Answer::unsettled();
    }
    let Some(king) = here.board().king_of(side) else {
        return Answer::unsettled();
    };
    let squares = squares_of(facts::escape_squares(here.board(), side));
    let king = Named(king);
    Answer::refuted(
        MoveWhy::KingGoes { king, squares },
        here,
        Line::new(here, &[]),
    )
}

/// Whose king is meant: the owner's, the one on the square, or the one in check.
fn whose(here: &Chess, noun: &Noun) -> Option<Color> {
    let stands = |side: Color| {
        let king = here.board().king_of(side);
        noun.square.is_none_or(|square| king == Some(square))
            && noun
                .file
                .is_none_or(|file| king.is_some_and(|king| king.file() == file))
    };
    let placed = noun.square.is_some() || noun.file.is_some();
    match noun.owner {
        Owner::Side(side) => stands(side).then_some(side),
        _ if placed => {
            let mut sides = Color::ALL.into_iter().filter(|&side| stands(side));
            sides.next().filter(|_| sides.next().is_none())
        }
        _ => here.is_check().then_some(here.turn()),
    }
}

/// Whether it is so in a position; `None` where it is so in some sense only.
fn says(position: &Chess, side: Color, said: Flight, literal: bool) -> Option<bool> {
    let board = position.board();
    let king = board.king_of(side)?;
    let free = facts::escape_squares(board, side);
    match said {
        Flight::To(square) => {
            let castles = matches!(square.file(), File::C | File::G)
                && position.castles().has_color(side)
                && square.rank() == king.rank();
            let level = !literal && square.rank() == king.rank();
            (!castles && !level).then(|| free.contains(square))
        }
        Flight::None => known(senses(position, side, free, king, literal).map(Bitboard::is_empty)),
        Flight::Count(count) => {
            let counted = |squares: Bitboard| squares.count() == usize::from(count);
            known(senses(position, side, free, king, literal).map(counted))
        }
    }
}

/// The squares in all senses of "a square": every legal one, and where that is not said, those
/// off the king's rank and those where nothing is taken. A king that may castle has more moves.
fn senses(
    position: &Chess,
    side: Color,
    free: Bitboard,
    king: Square,
    literal: bool,
) -> [Bitboard; 4] {
    if literal {
        return [free; 4];
    }
    let rank = Bitboard::from_rank(king.rank());
    let quiet = free & !position.board().by_color(!side);
    [free, free & !rank, quiet, quiet & !rank]
}

/// What all senses agree on.
fn known(senses: [bool; 4]) -> Option<bool> {
    let [first, ..] = senses;
    senses.iter().all(|&sense| sense == first).then_some(first)
}

/// "Black has no legal move": of the side to move alone, behind the move or the line.
pub(super) fn settle_no_move(question: &Question) -> Answer {
    let subject = question.claim.subject;
    if let Subject::Piece(_) = subject {
        return settle_flight(question, Flight::None);
    }
    let side = match subject {
        Subject::Side(side) => Some(side),
        _ => None,
    };
    if question.denied() {
        return Answer::unsettled();
    }
    let meant = |position: &Chess| side.is_none_or(|side| side == position.turn());
    let stuck = |position: &Chess| position.legal_moves().is_empty();
    let mut all = question.confirming();
    if let Some(position) = all.find(|position| meant(position) && stuck(position)) {
        return Answer::new(Verdict::Holds).on(position);
    }
    let plain = side.is_some()
        && question.claim.wording.has(Nuance::Literal)
        && question.claim.tense == Tense::Present
        && question.claim.closed
        && !question.within_reach().any(stuck)
        && !question.comment_cites_loosely();
    let Some(here) = told_of(question).filter(|here| plain && meant(here)) else {
        return Answer::unsettled();
    };
    let moves = here.legal_moves();
    let shown: Vec<_> = moves.first().copied().into_iter().collect();
    let why = MoveWhy::LegalMoves {
        side: Side(here.turn()),
        count: u32::try_from(moves.len()).unwrap_or(u32::MAX),
        moves: some_moves(here),
    };
    Answer::refuted(why, here, Line::new(here, &shown))
}

/// The position that it is said of: the comment's, or the end of the one line.
fn told_of(question: &Question) -> Option<&Chess> {
    match question.claim.at {
        At::Here => Some(&question.comment.scene.here),
        At::End(_) => question.only_end().map(|step| &step.after),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::{all, verdict};

    #[test]
    fn the_squares_of_a_king_are_told() {
        use Verdict::{Fails, Holds, Unsettled};
        all(
            "6k1/R7/8/8/8/8/8/6K1 w - - 0 1 | 1. Kf2 Kh8 2. Kf3",
            &[
                ("[The black king can go to g8].", Holds),
                ("[The king on h8 can go to h7].", Fails),
                ("[The king on h8 cannot go to h7].", Holds),
                ("[The black king has exactly one legal move].", Holds),
                ("[The black king has two legal moves].", Fails),
                ("The black king has [no legal move].", Fails),
                // Whose it is is not said.
                ("[The king can go to h7].", Unsettled),
            ],
        );
        // Along the rank alone it does not escape.
        let back = "6k1/5ppp/8/8/8/8/8/R5K1 b - - 0 1 | 1... a6";
        let told = verdict(back, "The black king has [no flight square].");
        assert_ne!(told, Some(Fails));
    }

    #[test]
    fn a_side_without_moves() {
        use Verdict::{Fails, Holds};
        all(
            "k7/8/1Q6/8/8/8/8/K7 w - - 0 1 | 1. Ka2",
            &[("Black has [no legal move].", Holds)],
        );
        all("1. e4 e5 2. Nf3", &[("Black has [no legal move].", Fails)]);
    }
}
