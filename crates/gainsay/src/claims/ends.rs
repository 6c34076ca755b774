//! How this game ended.

use gainsay_commentary::{At as Place, Ended, GameEnd, Mood, Subject, Tense};
use gainsay_notation::GameResult;
use gainsay_proof::Verdict;
use shakmaty::{Color, Position};

use super::answer::Answer;
use crate::{
    outcome::{DeedWhy, Line, Side},
    question::Question,
    rule::{Severity, rule},
};

rule! {
    /// The text tells another end of the game than its result.
    ///
    /// "White resigned", "the players agreed to a draw", "the game lasted 19 moves": at the end of
    /// the game, or in front of its first move, this is compared with the result in the tag and
    /// behind the moves, where these do not contradict each other, and with the number of the last
    /// move. A game of which the last moves are not given may have lasted longer.
    ///
    /// ```pgn before
    /// [Result "1-0"]
    ///
    /// 1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7# {White resigned.} 1-0
    /// ```
    ///
    /// ```pgn after
    /// [Result "1-0"]
    ///
    /// 1. e4 e5 2. Qh5 Nc6 3. Bc4 d6 4. Qxf7# {White won the game.} 1-0
    /// ```
    FALSE_END = "false-end", Severity::Error
}

/// Settles "White resigned", "the game lasted 19 moves".
pub(super) fn settle_end(question: &Question, said: GameEnd) -> Answer {
    let claim = &question.claim;
    let scene = &question.comment.scene;
    let tree = &scene.tree;
    let (Some(result), Some(last)) = (tree.result(), tree.last_step()) else {
        return Answer::unsettled();
    };
    // Elsewhere another game may be meant, or a line of this one.
    let at_end = tree.is_last(scene.after);
    let opens = scene.after.is_none();
    if question.denied()
        || claim.tense == Tense::Future
        || claim.mood != Mood::Stated
        || question.pointer().is_some()
        || !matches!(claim.at, Place::Here | Place::End(_))
        || !(at_end || opens)
    {
        return Answer::unsettled();
    }
    let number = last.before.fullmoves().get();
    let mated = last.after.is_checkmate();
    let side = match claim.subject {
        Subject::Side(side) => Some(side),
        _ => None,
    };
    let winner = match result {
        GameResult::Win(color) => Some(color),
        GameResult::Draw => None,
        GameResult::Unknown => return Answer::unsettled(),
    };
    // A result against the mate on the board says nothing of how the game ended.
    if mated && winner != Some(!last.after.turn()) {
        return Answer::unsettled();
    }
    let wanted: Option<Option<Color>> = match (said.how, side) {
        (Ended::Lost, Some(side)) => Some(Some(!side)),
        (Ended::Won, Some(side)) => Some(Some(side)),
        (Ended::Drawn, _) => Some(None),
        (Ended::Lasted, _) => None,
        _ => return Answer::unsettled(),
    };
    if let Some(wanted) = wanted
        && wanted != winner
    {
        let why = DeedWhy::Ended {
            winner: winner.map(Side),
            last: last.shown(),
        };
        return Answer::refuted(why, &last.before, last.shown());
    }
    // Who resigns on his turn may count the move that he did not make.
    match said.moves {
        Some(moves) if moves == number || moves == last.after.fullmoves().get() => {}
        Some(moves) if moves.saturating_add(1) >= number || mated && !at_end => {
            return Answer::unsettled();
        }
        Some(_) => {
            let why = DeedWhy::Lasted {
                number,
                last: last.shown(),
            };
            return Answer::refuted(why, &last.before, last.shown());
        }
        None => {}
    }
    Answer::new(Verdict::Holds)
        .on(&last.before)
        .shown_by(Line::new(&last.before, last.mv.as_slice()))
}

#[cfg(test)]
mod tests {
    use gainsay_notation::Format;
    use gainsay_proof::Verdict::{self, Fails, Holds, Unsettled};

    use crate::{check_as, settings::Settings};

    fn verdict(comment: &str, result: &str) -> Option<Verdict> {
        let text = format!(
            "[Result \"{result}\"]\n\n1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxc6 dxc6 {{{comment}}} {result}\n"
        );
        let report = check_as(text.as_bytes(), Format::Pgn, &Settings::default());
        let mut claims = report.claims.iter();
        claims
            .find(|claim| claim.kind == "outcome")
            .map(|claim| claim.verdict)
    }

    #[test]
    fn the_end_of_the_game_is_its_result() {
        for (comment, result, expected) in [
            ("White resigned.", "0-1", Holds),
            ("White resigned.", "1-0", Fails),
            ("White resigned.", "1/2-1/2", Fails),
            ("White resigned.", "*", Unsettled),
            ("Black resigns.", "1-0", Holds),
            ("Here Black threw in the towel.", "1-0", Holds),
            ("The players agreed to a draw.", "1/2-1/2", Holds),
            ("The players agreed to a draw.", "1-0", Fails),
            ("White won the game.", "1-0", Holds),
            ("White won in 4 moves.", "1-0", Holds),
            ("White won in 40 moves.", "1-0", Unsettled),
            ("The game lasted only 2 moves.", "1-0", Fails),
            ("The game lasted only 4 moves.", "1-0", Holds),
        ] {
            assert_eq!(
                verdict(comment, result),
                Some(expected),
                "{comment} {result}"
            );
        }
        let mated =
            "[Result \"0-1\"]\n\n1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7# {White resigned.} 0-1\n";
        let report = check_as(mated.as_bytes(), Format::Pgn, &Settings::default());
        assert!(report.claims.iter().all(|claim| claim.verdict == Unsettled));
        assert_ne!(verdict("White should have resigned.", "1-0"), Some(Fails));
        assert_ne!(
            verdict("If White resigned, all would be over.", "1-0"),
            Some(Fails)
        );
    }
}
