//! Only moves: the only legal one, the only sensible one, the only square of a piece.

use super::{
    answer::{Answer, Court},
    flight::{settle_flight, settle_no_move},
    only_sensible::{another_stops_mate, settle_only_sensible, shown_by_moves, some_moves},
    only_square::{settle_goes, settle_only_square},
    only_wins::{settle_legal_moves, settle_only_mate, settle_only_win},
    takes::{settle_must_be_taken, settle_take_with},
};
use gainsay_commentary::{At, OnlyMove, Subject, Tense};
use gainsay_proof::Verdict;
use shakmaty::Position;

use crate::{
    outcome::{Fault, Line, MoveWhy, Side},
    question::Question,
    rule::{Severity, rule},
};

rule! {
    /// "The only legal move" is one of several, or another move mates as well.
    ///
    /// "The only move" alone often means the only sensible one and is never called false; "the
    /// only legal move" is meant to the letter, and so is a number of legal moves. "Only 24.Qh5
    /// mates" is false where another move mates as soon, "only 24.Qh5 wins" where another
    /// forces mate within three moves.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Qh5 Ke7 {The only legal move.} 3. Qxe5# *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Qh5 Ke7 {Hardly the best.} 3. Qxe5# *
    /// ```
    NOT_THE_ONLY_MOVE = "not-the-only-move", Severity::Error
}

/// Settles "the only move".
pub(super) fn settle_only(question: &Question, only: OnlyMove, court: &mut Court<'_>) -> Answer {
    if let Some(line) = question.line().filter(|line| line.readings.is_empty()) {
        // That the move is not possible at all is told at the line.
        let impossible = line.broken.as_ref().is_some_and(|broken| broken.at == 0);
        let is_named = matches!(question.claim.at, At::Shown(_));
        return if is_named && impossible && !question.denied() {
            Answer::new(Verdict::Fails)
        } else {
            Answer::unsettled()
        };
    }
    match only {
        OnlyMove::Legal => settle_only_legal(question),
        OnlyMove::NoMove => settle_no_move(question),
        OnlyMove::Flight(flight) => settle_flight(question, flight),
        OnlyMove::Square => settle_only_square(question, None),
        OnlyMove::SquareIs(square) => settle_only_square(question, Some(square)),
        OnlyMove::Goes(square) => settle_goes(question, square),
        OnlyMove::Sensible => settle_only_sensible(question, true, court),
        OnlyMove::Count(moves) => settle_legal_moves(question, moves),
        OnlyMove::TakeWith => settle_take_with(question),
        OnlyMove::Taken => settle_must_be_taken(question, court),
        OnlyMove::Mate => settle_only_mate(question, court),
        OnlyMove::Win => settle_only_win(question, court),
        OnlyMove::Forced => settle_only_sensible(question, false, court),
        OnlyMove::Defence => match another_stops_mate(question, court) {
            Some(answer) => answer,
            None => settle_only_sensible(question, false, court),
        },
    }
}

/// "The only legal move" is meant to the letter.
fn settle_only_legal(question: &Question) -> Answer {
    let choices = question.choices();
    if question.denied() || question.claim.tense == Tense::Future {
        return Answer::unsettled();
    }
    // Behind a line, or in front of the move that is named, it is so there.
    let behind = question.line().is_some() && !question.names_its_move();
    let here = if behind {
        question.counted()
    } else {
        choices.clone()
    };
    if let Some(position) = here
        .iter()
        .find(|position| position.legal_moves().len() == 1)
    {
        // What is so a move later is not so now.
        let ahead = &question.comment.scene.ahead;
        let now = question.claim.tense == Tense::Present && question.line().is_none();
        if now && ahead.contains(position) {
            return Answer::unsettled();
        }
        let shown = Line::new(position, &position.legal_moves());
        return Answer::new(Verdict::Holds).on(position).shown_by(shown);
    }
    let Some(position) = here
        .first()
        .filter(|position| !position.legal_moves().is_empty())
    else {
        return Answer::unsettled();
    };
    // "To 24.Qh6+ there is one legal reply" is said of the end of the line.
    // Behind a line nobody may be meant but the side that is named.
    let whose = matches!(question.claim.subject, Subject::Side(_) | Subject::He)
        || question.cited_line().is_some_and(|line| line.premise);
    let mut near = question.line_ends().chain(&choices);
    if behind && !whose
        || near.any(|position| position.legal_moves().len() == 1)
        || matches!(question.claim.subject, Subject::Piece(_))
        || question.comment_cites_loosely()
    {
        return Answer::unsettled();
    }
    let why = MoveWhy::NotOnlyLegal {
        side: Side(position.turn()),
        count: u32::try_from(position.legal_moves().len()).unwrap_or(u32::MAX),
        moves: some_moves(position),
    };
    shown_by_moves(Answer::new(Verdict::Fails).on(position), position).found(Fault::of(why))
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn legal_moves_are_counted() {
        use Verdict::{Fails, Holds};
        all(
            "7k/8/6K1/8/8/8/8/R7 b - - 0 1 | 1... Kg8",
            &[("[The only legal move].", Holds)],
        );
        all("1. e4 e5", &[("[The only legal move].", Fails)]);
    }
}
