//! What must be taken, and with what.

use super::{
    answer::{Answer, Court},
    margins::{BLUNDER, JUDGEMENT},
    nouns::squares,
};
use gainsay_commentary::{Noun, Subject};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Move, Position};

use crate::{outcome::Line, question::Question, scene::Step};

/// "White has to take with the c-pawn": nothing else can take back. That is never called
/// false: another capture may be a bad one.
pub(super) fn settle_take_with(question: &Question) -> Answer {
    let (Subject::Piece(noun), false) = (&question.claim.subject, question.denied()) else {
        return Answer::unsettled();
    };
    let scene = &question.comment.scene;
    let cited = question
        .comment
        .lines
        .iter()
        .flat_map(|line| &line.readings);
    let steps = cited.flatten().chain(&scene.played).chain(&scene.steps);
    let forced = |step: &Step| {
        let m = step.mv.filter(|m| m.is_capture())?;
        let takes = |back: &Move| back.is_capture() && back.to() == m.to();
        let back: Vec<Move> = (step.after.legal_moves().into_iter().filter(takes)).collect();
        let with = squares(step.after.board(), noun);
        let alone = |back: &Move| back.from().is_some_and(|from| with.contains(from));
        (!back.is_empty() && back.iter().all(alone)).then_some([m, *back.first()?])
    };
    steps
        .into_iter()
        .find_map(|step| Some((step, forced(step)?)))
        .map_or_else(Answer::unsettled, |(step, shown)| {
            Answer::new(Verdict::Holds)
                .on(&step.before)
                .shown_by(Line::new(&step.before, &shown))
        })
}

/// "The pawn has to be taken": the best move takes it, and every other is clearly worse.
/// As above, it never fails.
pub(super) fn settle_must_be_taken(question: &Question, court: &mut Court<'_>) -> Answer {
    if question.denied() || question.line_is_lost() {
        return Answer::unsettled();
    }
    let named = match &question.claim.subject {
        Subject::Piece(noun) => Some(noun),
        _ => None,
    };
    let scene = &question.comment.scene;
    let end = question.line().and_then(|line| line.readings.first());
    let end = end.and_then(|steps| steps.last()).map(|step| &step.after);
    let positions = end.into_iter().chain(scene.before()).chain([&scene.here]);
    positions
        .take(2)
        .find_map(|position| must_take(position, named, court))
        .unwrap_or_else(Answer::unsettled)
}

/// The answer that only a capture of the named piece will do.
fn must_take(position: &Chess, named: Option<&Noun>, court: &mut Court<'_>) -> Option<Answer> {
    let takes = |m: &Move| {
        let meant = |noun: &Noun| squares(position.board(), noun).contains(m.to());
        m.is_capture() && named.is_none_or(meant)
    };
    if !position.legal_moves().iter().any(takes) {
        return None;
    }
    let lines = court.best(position, 2, JUDGEMENT / 2);
    let best = lines.first()?;
    let apart = lines.get(1).map_or(BLUNDER, |second| {
        best.value.centipawns() - second.value.centipawns()
    });
    let takes = best.moves.first().is_some_and(takes);
    (takes && apart >= BLUNDER).then(|| {
        Answer::new(Verdict::Holds)
            .on(position)
            .shown_by(Line::new(position, &best.moves))
    })
}
