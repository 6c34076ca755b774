//! Pawns that nothing stops: "the pawn queens".

use super::{
    answer::{Answer, Court},
    margins::JUDGEMENT,
    pieces::owners,
};
use gainsay_commentary::{Owner, Structure};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Chess, Color, Move, Position, Square};

use crate::{outcome::Line, question::Question};

/// Whether it is known whose pawn is meant: only one side has such a passed pawn.
fn is_one_pawn(position: &Chess, said: &Structure) -> bool {
    let board = position.board();
    let has = |side: &Color| {
        let pawns = facts::passed_pawns(board, *side);
        let there = |at: Square| said.file.is_none_or(|file| at.file() == file);
        pawns.into_iter().any(there)
    };
    let named = said.square.is_some() || matches!(said.owner, Owner::Side(_));
    named || Color::ALL.iter().filter(|side| has(side)).count() == 1
}

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
    // Behind a line it is said of its end.
    let ends: Vec<&Chess> = question.line_ends().collect();
    let passed = scene.passed().filter(|_| ends.is_empty());
    let here = ends.is_empty().then_some(&scene.here);
    for start in here.into_iter().chain(ends).chain(&passed) {
        if !named(start) || !is_one_pawn(start, said) {
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
