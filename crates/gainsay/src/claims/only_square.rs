//! The only square of a piece, and where a king must go.

use gainsay_commentary::{At, Noun, Nuance, Subject, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Chess, Position, Role, Square};

use super::{answer::Answer, nouns::squares};
use crate::{
    outcome::{At as Named, Line, MoveWhy, squares_of},
    question::Question,
};

/// "The only square" of a piece: the only one it can go to, or the only one where it
/// is not lost. Which piece is meant is told by the noun, or by the move.
pub(super) fn settle_only_square(question: &Question, told: Option<Square>) -> Answer {
    if question.denied() {
        return Answer::unsettled();
    }
    if let Some(told) = told {
        return settle_square_is(question, told);
    }
    let named = match &question.claim.subject {
        Subject::Piece(noun) => Some(noun),
        _ => None,
    };
    let alone = |position: &Chess, from| {
        let board = position.board();
        facts::legal_targets(board, from).count() == 1
            || facts::safe_squares(board, from).count() == 1
    };
    for (position, m) in question.moves_meant() {
        let fits = |noun: &Noun| {
            m.from()
                .is_some_and(|from| squares(position.board(), noun).contains(from))
        };
        if named.is_none_or(fits) && m.from().is_some_and(|from| alone(&position, from)) {
            return Answer::new(Verdict::Holds)
                .on(&position)
                .shown_by(Line::new(&position, &[m]));
        }
    }
    let Some(noun) = named else {
        return Answer::unsettled();
    };
    let choices = question.choices();
    let pieces = |position: &Chess| squares(position.board(), noun);
    if let Some(position) = choices
        .iter()
        .find(|position| pieces(position).into_iter().any(|at| alone(position, at)))
    {
        return Answer::new(Verdict::Holds).on(position);
    }
    // Only what is meant to the letter can be told to be wrong.
    let many = |position: &Chess| {
        let found = pieces(position);
        found.any()
            && found
                .into_iter()
                .all(|at| facts::safe_squares(position.board(), at).count() >= 2)
    };
    let about: Vec<&Chess> = choices.iter().filter(|p| pieces(p).any()).collect();
    let (Some(position), true) = (
        about.first(),
        question.claim.wording.has(Nuance::Literal)
            && about.iter().all(|position| many(position))
            && !question.comment_cites_loosely(),
    ) else {
        return Answer::unsettled();
    };
    let at = pieces(position).into_iter().next();
    let free = at.map(|at| facts::safe_squares(position.board(), at));
    let squares = free.into_iter().flatten().take(3).map(Named).collect();
    Answer::refuted(
        MoveWhy::GoesElsewhere { squares },
        position,
        Line::new(position, &[]),
    )
}

/// "The only square for the king is f7".
fn settle_square_is(question: &Question, told: Square) -> Answer {
    let Subject::Piece(noun) = &question.claim.subject else {
        return Answer::unsettled();
    };
    let choices = question.choices();
    let targets = choices.iter().flat_map(|position| {
        let board = position.board();
        let pieces = squares(board, noun).into_iter();
        pieces.map(move |at| (position, at, facts::legal_targets(board, at)))
    });
    let targets: Vec<_> = targets.collect();
    let alone = |(position, at, legal): &(&Chess, Square, Bitboard)| {
        let safe = facts::safe_squares(position.board(), *at);
        [*legal, safe]
            .iter()
            .any(|found| found.single_square() == Some(told))
    };
    if let Some((position, ..)) = targets.iter().find(|&target| alone(target)) {
        return Answer::new(Verdict::Holds).on(position);
    }
    // A king knows no square but the legal ones.
    let goes = |(.., legal): &(&Chess, Square, Bitboard)| legal.contains(told);
    let king = noun.role == Some(Role::King);
    let Some((position, at, legal)) = targets.first().filter(|(_, _, legal)| {
        king && legal.any() && !question.comment_cites_loosely() && !targets.iter().any(goes)
    }) else {
        return Answer::unsettled();
    };
    not_there(position, *at, told, *legal)
}

/// The finding that a king cannot go to a square, with those where it can go.
fn not_there(position: &Chess, at: Square, told: Square, legal: Bitboard) -> Answer {
    let moves = position.legal_moves().into_iter();
    let mut there = moves.filter(|m| m.from() == Some(at));
    let shown = there
        .next()
        .map_or_else(|| Line::new(position, &[]), |m| Line::new(position, &[m]));
    let why = MoveWhy::KingCannotGo {
        king: Named(at),
        to: Named(told),
        squares: squares_of(legal),
    };
    Answer::refuted(why, position, shown)
}

/// "The king must go to f7", of a king in check: it is the only legal move, or at least
/// legal.
pub(super) fn settle_goes(question: &Question, told: Square) -> Answer {
    let ends = match question.claim.at {
        At::End(_) => question.line().map(|line| line.readings.as_slice()),
        _ => None,
    };
    let here = match ends {
        Some([steps]) => steps.last().map(|step| &step.after),
        Some(_) => None,
        None => (question.claim.at == At::Here).then_some(&question.comment.scene.here),
    };
    let (Some(here), Subject::Piece(noun)) = (here, &question.claim.subject) else {
        return Answer::unsettled();
    };
    let at = squares(here.board(), noun).single_square();
    // "The king" is the one in check.
    let own = here.board().king_of(here.turn());
    let at = at.or(own.filter(|&own| squares(here.board(), noun).contains(own)));
    let Some(at) = at.filter(|_| {
        noun.role == Some(Role::King)
            && question.claim.tense == Tense::Present
            && !question.denied()
    }) else {
        return Answer::unsettled();
    };
    if here.board().color_at(at) != Some(here.turn()) {
        return Answer::unsettled();
    }
    let moves = here.legal_moves();
    if let [only] = moves.as_slice()
        && only.from() == Some(at)
        && only.to() == told
    {
        return Answer::new(Verdict::Holds)
            .on(here)
            .shown_by(Line::new(here, &[*only]));
    }
    let legal = facts::legal_targets(here.board(), at);
    if !here.is_check() || legal.contains(told) || legal.is_empty() {
        return Answer::unsettled();
    }
    not_there(here, at, told, legal)
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn the_squares_of_a_king_are_seen() {
        use Verdict::Holds;
        all(
            "7k/8/6K1/8/8/8/8/R7 b - - 0 1 |",
            &[("[The only square] for the king is g8.", Holds)],
        );
    }
}
