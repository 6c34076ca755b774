//! Pawns that nothing stops: "the pawn queens".

use super::{
    answer::{Answer, Court},
    margins::JUDGEMENT,
    pieces::owners,
};
use gainsay_commentary::Structure;
use gainsay_proof::Verdict;
use shakmaty::{Chess, Move, Position};

use crate::{outcome::Line, question::Question};

/// Settles "nothing stops the a-pawn": the game or best play shows its promotion. It is
/// never called false.
pub(super) fn settle_promotes(
    question: &Question,
    said: &Structure,
    court: &mut Court<'_>,
) -> Answer {
    let Structure {
        file,
        square,
        owner,
        ..
    } = *said;
    if question.denied() {
        return Answer::unsettled();
    }
    let scene = &question.comment.scene;
    let sides = owners(owner);
    let wanted = |position: &Chess, m: Move| {
        sides.contains(&position.turn())
            && m.is_promotion()
            && file.is_none_or(|file| m.from().is_some_and(|from| from.file() == file))
    };
    // A pawn that is named by its square must be there to begin with.
    let named =
        |position: &Chess| square.is_none_or(|square| position.board().pawns().contains(square));
    let cited = question
        .comment
        .lines
        .iter()
        .flat_map(|line| &line.readings);
    let played = scene.steps.iter().chain(cited.flatten());
    for step in played {
        if step.mv.is_some_and(|m| wanted(&step.before, m)) {
            return Answer::new(Verdict::Holds).on(&step.before);
        }
    }
    let passed = scene.passed();
    for start in std::iter::once(&scene.here).chain(&passed) {
        if !named(start) {
            continue;
        }
        let lines = court.best(start, 1, JUDGEMENT / 2);
        let Some(line) = lines.first() else { continue };
        let mut position = start.clone();
        for (at, &m) in line.moves.iter().enumerate() {
            if wanted(&position, m) {
                let shown = line.moves.get(..=at).unwrap_or_default();
                return Answer::new(Verdict::Holds)
                    .on(start)
                    .shown_by(Line::new(start, shown));
            }
            position.play_unchecked(m);
        }
    }
    Answer::unsettled()
}
