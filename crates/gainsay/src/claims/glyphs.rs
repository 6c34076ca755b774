//! Glyphs that praise or blame a move: `!!`, `??`.

use gainsay_commentary::Quality;
use shakmaty::{Chess, Move};

use super::{
    answer::{Answer, Court},
    contradicted::contradiction,
    judgements::judge_move,
};
use crate::question::{GLYPH, Question};

/// Settles `!`, `!!`, `?` and `??`. A glyph is confirmed by a search of few nodes, and
/// false only where nobody could argue: a move that is blamed mates, forces mate, or is
/// the only legal one; a move that is praised allows a short mate that another avoids.
pub(super) fn settle_glyph(question: &Question, quality: Quality, court: &mut Court<'_>) -> Answer {
    let Some((before, m, after)) = question
        .comment
        .scene
        .played
        .as_ref()
        .and_then(|step| Some((&step.before, step.mv?, &step.after)))
    else {
        return Answer::unsettled();
    };
    match contradiction(quality, before, m, after, court) {
        Some(answer) => answer,
        None => confirmed(question, quality, before, m, court),
    }
}

/// Whether a search agrees with the glyph.
fn confirmed(
    question: &Question,
    quality: Quality,
    before: &Chess,
    m: Move,
    court: &mut Court<'_>,
) -> Answer {
    judge_move(question, quality, before, m, GLYPH / 2, court).unwrap_or_else(Answer::unsettled)
}
