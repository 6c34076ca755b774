//! What happens for the first time in the game.

use gainsay_commentary::{At as Place, First, Subject, Tense};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Position};

use super::answer::Answer;
use crate::{
    outcome::DeedWhy,
    question::Question,
    rule::{Severity, rule},
    scene::Step,
};

rule! {
    /// What is told to happen for the first time has happened in the game before.
    ///
    /// "The first capture of the game", "the first check of the game": the moves from the beginning
    /// to the one that the comment stands behind, or to the end of the line it cites, are looked at
    /// (common practice, no source). It is false only of a move that is such a capture or check, in
    /// a game that is given from its first move.
    ///
    /// ```pgn before
    /// 1. e4 d5 2. exd5 Qxd5 {The first capture of the game.} *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 d5 2. exd5 {The first capture of the game.} Qxd5 *
    /// ```
    NOT_THE_FIRST = "not-the-first", Severity::Error
}

/// Settles "the first capture of the game".
pub(super) fn settle_first(question: &Question, said: First) -> Answer {
    let claim = &question.claim;
    if question.denied()
        || claim.tense != Tense::Present
        || question.is_of_no_move()
        || !matches!(claim.at, Place::Here | Place::Subject(_))
    {
        return Answer::unsettled();
    }
    let scene = &question.comment.scene;
    let way = scene.way();
    let whole = (way.last()).is_some_and(|first| first.before == Chess::default());
    let line = question.line().map(|line| line.readings.as_slice());
    let (meant, earlier): (&Step, Vec<&Step>) = match line {
        None => match way.split_first() {
            Some((last, before)) => (last, before.iter().collect()),
            None => return Answer::unsettled(),
        },
        Some([steps]) => {
            let Some((last, line)) = steps.split_last() else {
                return Answer::unsettled();
            };
            let start = steps.first().map(|step| &step.before);
            let before = way.iter().skip_while(|step| Some(&step.after) != start);
            // A line that begins where the game does has nothing before it.
            if start != Some(&Chess::default()) && before.clone().next().is_none() {
                return Answer::unsettled();
            }
            (last, line.iter().rev().chain(before).collect())
        }
        Some(_) => return Answer::unsettled(),
    };
    let of_mover = match claim.subject {
        Subject::Side(side) => side == meant.before.turn(),
        _ => true,
    };
    let here = is_such(meant, earlier.first().copied(), said);
    if !whole || !of_mover || !here {
        return Answer::unsettled();
    }
    let mut before = earlier.windows(2).rev().filter_map(|pair| match pair {
        [step, before] => is_such(step, Some(before), said).then_some(*step),
        _ => None,
    });
    let first = (earlier.last().copied())
        .filter(|step| is_such(step, None, said))
        .or_else(|| before.next());
    match first {
        None => Answer::new(Verdict::Holds)
            .on(&meant.before)
            .shown_by(meant.shown()),
        Some(_) if !claim.closed || question.comment_cites_loosely() => Answer::unsettled(),
        Some(first) => {
            let by = first.shown();
            Answer::refuted(DeedWhy::Earlier { by: by.clone() }, &first.before, by)
        }
    }
}

/// Whether a move does that, behind the one before it.
fn is_such(step: &Step, before: Option<&Step>, said: First) -> bool {
    let takes = |step: &Step| step.mv.filter(|m| m.is_capture());
    match said {
        First::Capture => takes(step).is_some(),
        First::Check => step.after.is_check(),
        First::Exchange => {
            let last = before.and_then(takes);
            takes(step).is_some_and(|m| last.is_some_and(|last| last.to() == m.to()))
        }
    }
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict::{Fails, Holds, Unsettled};

    use crate::marked::all;

    #[test]
    fn the_moves_before_decide_what_is_the_first() {
        all(
            "1. e4 d5 2. exd5",
            &[("[The first capture of the game].", Holds)],
        );
        all(
            "1. e4 d5 2. exd5 Qxd5",
            &[
                ("[The first capture of the game].", Fails),
                ("[The first check of the game].", Unsettled),
                ("[The first exchange of the game].", Holds),
            ],
        );
        all(
            "1. e4 e5 2. Bc4 Nc6 3. Bxf7+ Kxf7 4. Qh5+",
            &[("[This is the first check of the game].", Fails)],
        );
    }
}
