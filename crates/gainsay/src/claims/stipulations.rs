//! Exercises' stipulations.

use super::{
    answer::{Answer, Court},
    margins::JUDGEMENT,
    mate::settle_mate,
    standings::judge,
};
use gainsay_commentary::{ClaimKind, Mate, Nuance, Standing, Stipulation, Subject};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Color, Position};

use crate::{
    outcome::{Line, PlaceWhy, Side},
    question::Question,
    rule::{Severity, rule},
};

rule! {
    /// What an exercise asks for does not fit its position.
    ///
    /// "Black to play and win" over a position in which it is White's turn. It is told only
    /// where a position is set up and the text stands before the first move. That it is Black's
    /// turn is said of the position behind the move of the comment, or at the end of the line that
    /// the words stand behind, and told everywhere.
    ///
    /// ```pgn before
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// {Black to play.} 1. Ra8# 1-0
    /// ```
    ///
    /// ```pgn after
    /// [SetUp "1"]
    /// [FEN "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"]
    ///
    /// {White to play.} 1. Ra8# 1-0
    /// ```
    FALSE_STIPULATION = "false-stipulation", Severity::Warning
}

/// Settles what an exercise asks for.
pub(super) fn settle_stipulation(
    question: &Question,
    stipulation: Stipulation,
    court: &mut Court<'_>,
) -> Answer {
    if stipulation == Stipulation::Turn {
        return settle_turn(question);
    }
    let here = &question.comment.scene.here;
    let side = match question.claim.subject {
        Subject::Side(color) => color,
        _ => here.turn(),
    };
    if side != here.turn() {
        return not_to_move(question, side);
    }
    match stipulation {
        Stipulation::ToPlay | Stipulation::Turn => Answer::new(Verdict::Holds).on(here),
        Stipulation::Win => {
            let answer = judge(here, side, Standing::Winning, court);
            // "Find the win" may be said to the side that has just moved.
            let plain = question.claim.subject != Subject::Nobody
                || question.comment.scene.before().is_none();
            if answer.verdict == Verdict::Fails && !plain {
                return Answer::unsettled();
            }
            answer
        }
        Stipulation::Draw => judge(here, side, Standing::Drawn, court),
        Stipulation::Mate(moves) => settle_mate(
            question,
            Mate::In {
                moves,
                at_most: false,
            },
            court,
        ),
        Stipulation::Other => Answer::unsettled(),
        Stipulation::BestMove => settle_best_move(question, court),
        Stipulation::AnyMate => settle_mate(question, Mate::Forced, court),
    }
}

/// "It is Black's turn".
fn settle_turn(question: &Question) -> Answer {
    let place = question.place().filter(|_| !question.denied());
    let (Some(position), Subject::Side(side)) = (place, question.claim.subject) else {
        return Answer::unsettled();
    };
    let turns = |position: &Chess| position.turn() == side;
    if turns(position) {
        return Answer::new(Verdict::Holds).on(position);
    }
    if question.may_speak_of_line(&turns) {
        return Answer::unsettled();
    }
    let why = PlaceWhy::OtherToMove {
        turn: Side(position.turn()),
        side: Side(side),
    };
    Answer::refuted(why, position, Line::new(position, &[]))
}

/// "Find the best move": the game goes on with it. Another move of the same worth
/// does not make it false.
fn settle_best_move(question: &Question, court: &mut Court<'_>) -> Answer {
    let scene = &question.comment.scene;
    let Some((next, m)) = scene.steps.first().and_then(|step| Some((step, step.mv?))) else {
        return Answer::unsettled();
    };
    if next.after.is_checkmate() {
        return Answer::new(Verdict::Holds).on(&next.before);
    }
    let lines = court.best(&next.before, 1, JUDGEMENT);
    match lines.first() {
        Some(best) if best.moves.first() == Some(&m) => Answer::new(Verdict::Holds)
            .on(&next.before)
            .shown_by(Line::new(&next.before, &best.moves)),
        _ => Answer::unsettled(),
    }
}

/// "Black to play" of a diagram in which it is White's turn. Only where a position is
/// set up and the text stands before the first move is it plain which one is meant.
fn not_to_move(question: &Question, side: Color) -> Answer {
    let scene = &question.comment.scene;
    let here = &scene.here;
    // "White to move wins, Black to move draws" tells both.
    let also = question.comment.prose.claims.iter().any(|claim| {
        matches!(claim.kind, ClaimKind::Stipulation(_))
            && claim.subject == Subject::Side(here.turn())
    });
    let set_up = !also
        && here.board() != Chess::default().board()
        && (scene.before().is_none() && scene.played.is_none()
            || question.speaks_of_now() && question.claim.wording.has(Nuance::Being));
    if !set_up || question.denied() || !question.comment.lines.is_empty() {
        return Answer::unsettled();
    }
    let shown = Line::new(
        here,
        &here.legal_moves().into_iter().take(1).collect::<Vec<_>>(),
    );
    let why = PlaceWhy::OtherToMove {
        turn: Side(here.turn()),
        side: Side(side),
    };
    Answer::refuted(why, here, shown)
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn whose_turn_it_is_is_known_everywhere() {
        use Verdict::{Fails, Holds, Unsettled};
        all(
            "1. e4 e5 2. Nf3 Nc6",
            &[
                ("[It is White's turn].", Holds),
                ("[It is Black's turn].", Fails),
                ("[It's Black's move], and he could castle soon.", Fails),
                ("[White is to move].", Holds),
                ("[It is for Black to move].", Fails),
                ("After 3.Bb5 [it is Black's turn].", Holds),
                ("3.Bb5 is usual. Then [it is Black's turn].", Unsettled),
                ("If [it is Black's turn], he wins.", Unsettled),
                ("Suppose [it is Black's move].", Unsettled),
            ],
        );
    }

    #[test]
    fn the_side_to_move_is_known() {
        use Verdict::{Fails, Holds};
        all(
            "6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1 |",
            &[
                ("[White to play] and win.", Holds),
                ("[Black to play].", Fails),
            ],
        );
    }

    #[test]
    fn who_is_said_to_be_on_the_move_is_known() {
        use Verdict::{Fails, Holds, Unsettled};
        all(
            "1. e4 e5 2. Nf3 Nc6",
            &[
                ("[White has the move], and he castles soon.", Holds),
                ("[Black is on the move] and may breathe.", Fails),
                ("With [Black to move] it would be lost.", Unsettled),
            ],
        );
    }
}
