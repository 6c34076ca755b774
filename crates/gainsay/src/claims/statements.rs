//! Statements about pieces, pawns and material: true of a board or not.

use gainsay_commentary::{Nuance, Tense};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Position};

use super::{answer::Answer, instead::TrueInstead};
use crate::{
    question::Question,
    resolve::{played, whoever_moves},
};

/// A statement that is true of a board or not.
pub(super) struct Statement<'a> {
    pub(super) holds: &'a dyn Fn(&Chess) -> bool,
    /// Whether an author may mean it in the widest sense of the words: it is false only
    /// where that is true nowhere.
    pub(super) plausible: &'a dyn Fn(&Chess) -> bool,
    /// Whether it can be called false; where it is too loose it cannot.
    pub(super) may_fail: bool,
    /// Whether its denial can be.
    pub(super) may_be_denied: bool,
    /// What is true instead.
    pub(super) told: &'a dyn Fn(&Chess) -> TrueInstead,
    pub(super) soon: Soon<'a>,
}

/// By which moves a statement may become true that an author makes already.
#[derive(Clone, Copy)]
pub(super) enum Soon<'a> {
    /// But where the words plainly speak of what is so now.
    ByAnyMove,
    /// The word is used loosely, even of what is so now.
    Loosely,
    /// The words are so exact that only the end of an exchange can be meant.
    ByCapture,
    /// Only what makes this true can be meant.
    If(&'a dyn Fn(&Chess) -> bool),
    Never,
}

/// Settles a statement about a board: it holds if it is true of a position that the
/// comment can speak of. It fails, where it may, only if it is true of none
/// of them, nor after a move from the comment's position, and no line is lost.
pub(super) fn settle_statement(question: &Question, statement: &Statement<'_>) -> Answer {
    let holds = statement.holds;
    if question.denied() {
        // "No longer attacked", "lost the right": it was so before. What is just "not
        // attacked" may be meant of any position near.
        let of_now = |position: &Chess| {
            !(statement.plausible)(position)
                && (question.claim.wording.has(Nuance::No)
                    || question.claim.wording.has(Nuance::Lost)
                    || !question.meant().any(holds))
        };
        return match question.nearest().next() {
            Some(position) if of_now(position) => Answer::new(Verdict::Holds).on(position),
            Some(position) if !holds(position) => Answer::unsettled(),
            _ => settle_denial(question, statement),
        };
    }
    // What is said of the end of a line that cannot be played is said of nothing.
    if question.line_is_lost() {
        return Answer::unsettled();
    }
    if let Some(position) = question.confirming().find(|position| holds(position)) {
        return Answer::new(Verdict::Holds).on(position);
    }
    // What was so, or will be so, many moves away is neither confirmed nor denied.
    let scene = &question.comment.scene;
    let earlier = scene.tree.way_back(scene.after);
    let past = question.claim.tense == Tense::Past;
    let plausible = statement.plausible;
    if question.within_reach().any(holds) || past && earlier.into_iter().any(plausible) {
        return Answer::unsettled();
    }
    let here = &scene.here;
    // Before the first move a text speaks of the game to come.
    let opens = scene.before().is_none();
    if opens && let Some(position) = scene.tree.all().find(|position| holds(position)) {
        return Answer::new(Verdict::Holds).on(position);
    }
    let opens = opens && here.board() == Chess::default().board();
    if !statement.may_fail || opens || question.comment_cites_loosely() {
        return Answer::unsettled();
    }
    let loosely = matches!(statement.soon, Soon::Loosely);
    let around = if question.speaks_of_now() && !loosely {
        question.meant().any(plausible)
    } else {
        question.within_reach().any(plausible) || is_soon(question, plausible, statement.soon)
    };
    if around {
        return Answer::unsettled();
    }
    (statement.told)(here).refutes(here)
}

/// Settles the denial of a statement that is true of the comment's position: it fails
/// if the statement is true all around, and the comment speaks of no other line.
fn settle_denial(question: &Question, statement: &Statement<'_>) -> Answer {
    let scene = &question.comment.scene;
    let here = &scene.here;
    let always = || {
        question
            .within_reach()
            .all(|position| (statement.holds)(position))
    };
    let plain = question.claim.tense == Tense::Present && question.comment.lines.is_empty();
    if !statement.may_be_denied || !plain || !always() {
        return Answer::unsettled();
    }
    (statement.told)(here).refutes(here)
}

/// Whether a statement becomes true by a move of either side from the comment or from
/// the end of the line it leans on.
fn is_soon(question: &Question, plausible: &dyn Fn(&Chess) -> bool, soon: Soon<'_>) -> bool {
    let holds = match soon {
        Soon::Never => return false,
        Soon::If(true_then) => true_then,
        Soon::ByAnyMove | Soon::Loosely | Soon::ByCapture => plausible,
    };
    let starts = question.line_ends().chain([&question.comment.scene.here]);
    starts.into_iter().any(|start| {
        whoever_moves(start).any(|position| {
            let moves = match soon {
                Soon::ByCapture => position.capture_moves(),
                _ => position.legal_moves(),
            };
            moves.iter().any(|&m| {
                let after = played(&position, m);
                holds(&after)
            })
        })
    })
}
