//! That a position is no mate.

use super::{answer::Answer, cited::line_is_told};
use crate::{
    outcome::{Line, MateWhy, Mated, Side},
    question::Question,
};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Position};

/// The finding that a position is no mate, with a move that shows it.
pub(super) fn not_mate(question: &Question, position: &Chess) -> Answer {
    let Some(&reply) = position.legal_moves().first() else {
        return Answer::unsettled();
    };
    let shown = Line::new(position, &[reply]);
    // A false `#` on the same move is told at the line.
    if line_is_told(question) {
        return Answer::new(Verdict::Fails).on(position).shown_by(shown);
    }
    let why = MateWhy::NotMated(Mated {
        side: Side(position.turn()),
        check: position.is_check(),
        reply: shown.clone(),
    });
    Answer::refuted(why, position, shown)
}
