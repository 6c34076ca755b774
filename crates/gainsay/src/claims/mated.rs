//! "Is mate", "mates", "checkmate!": a mate that is on the board or comes.

use gainsay_commentary::{Nuance, Subject, Tense};
use gainsay_proof::Verdict;
use shakmaty::{Chess, Position, Role};

use super::{
    answer::{Answer, Court},
    no_mate::not_mate,
    nouns::squares,
    readings::{MateReading, any_holds, ask, holds, mate_readings},
    threats::THREAT,
};
use crate::{
    outcome::{Line, MateWhy, Side},
    question::Question,
    resolve::played,
    scene::Step,
};

/// "Is mate": of the end of the line it leans on, or of the position.
pub(super) fn settle_mate_now(question: &Question, court: &mut Court<'_>) -> Answer {
    let scene = &question.comment.scene;
    let mut positions: Vec<Chess> = Vec::new();
    let mut plain = false;
    let mut elsewhere = false;
    if let Some(line) = question.line() {
        // A move without a number is one of this position, if it can be; another may be that of
        // the game.
        let unnumbered = question
            .line_moves()
            .first()
            .is_some_and(|cited| cited.number.is_none());
        let begins = |steps: &&Vec<Step>| {
            steps.first().is_some_and(|first| {
                if unnumbered {
                    first.before == scene.here
                } else {
                    scene.ahead.contains(&first.after)
                }
            })
        };
        let only = line.readings.iter().any(|steps| begins(&steps));
        // Where it is mate in another place, that may be meant.
        elsewhere = line.readings.iter().any(|steps| {
            !begins(&steps) && steps.last().is_some_and(|last| last.after.is_checkmate())
        });
        for steps in line.readings.iter().filter(|steps| !only || begins(steps)) {
            if let Some(last) = steps.last() {
                positions.push(last.after.clone());
                plain = true;
            }
        }
        if line.readings.is_empty() {
            return Answer::unsettled();
        }
    } else {
        positions.push(scene.here.clone());
    }
    let found = positions.iter().find(|position| position.is_checkmate());
    // "Black is mated" of a position in which White is. "Black is mate" may mean either.
    if let (Some(mate), false) = (found, question.denied())
        && question.winner() == Some(mate.turn())
        && question.claim.wording.has(Nuance::Mated)
    {
        let side = Side(mate.turn());
        let all = positions.iter().all(Position::is_checkmate);
        return if all && question.line().is_none() {
            Answer::refuted(MateWhy::OtherSideMated { side }, mate, Line::new(mate, &[]))
        } else {
            Answer::unsettled()
        };
    }
    // "The queen gives mate" where a knight gives the check.
    if let (Some(mate), Subject::Piece(noun)) = (found, &question.claim.subject)
        && (squares(mate.board(), noun) & mate.checkers()).is_empty()
    {
        return Answer::unsettled();
    }
    match (found, question.denied()) {
        (Some(mate), false) => {
            // A move without a number may be one of several.
            return if positions.iter().all(Position::is_checkmate) {
                Answer::mated(mate)
            } else {
                Answer::unsettled()
            };
        }
        (Some(mate), true) => {
            let side = Side(mate.turn());
            return if positions.iter().all(Position::is_checkmate) {
                Answer::refuted(MateWhy::IsMated { side }, mate, Line::new(mate, &[]))
            } else {
                Answer::unsettled()
            };
        }
        (None, true) => {
            return match positions.first() {
                Some(position) => Answer::new(Verdict::Holds).on(position),
                None => Answer::unsettled(),
            };
        }
        (None, false) => {}
    }
    // "The queen has given mate", "Black is checkmated" say that it is there.
    let there = question.claim.wording.has(Nuance::Being);
    let of_now = there && question.speaks_of_now() && is_of_the_board(question);
    // What is said where the game ends in stalemate is not shown by the mate that was missed.
    if !plain && scene.here.is_stalemate() {
        return if of_now {
            not_mate(question, &scene.here)
        } else {
            Answer::unsettled()
        };
    }
    // A mate that the line forces is meant too.
    if let Some(first) = positions.first().filter(|_| plain) {
        let first = first.clone();
        // "After 24.Qh5 the rook goes to h8, and it is mate": a move told in words.
        let told = question.claim.subject != Subject::Line && positions.iter().any(mates_next);
        for position in positions {
            let forced = MateReading {
                position,
                attacks: false,
                moves: THREAT,
                made: 0,
                confirms: true,
            };
            let found = ask(court, &forced);
            if found.verdict == Verdict::Holds {
                // "24.Be5 is mate" says that it is there.
                let there = question.claim.wording.has(Nuance::Being);
                return if there {
                    Answer::unsettled()
                } else {
                    holds(&forced, &found)
                };
            }
        }
        return if told || elsewhere {
            Answer::unsettled()
        } else {
            not_mate(question, &first)
        };
    }
    // "Checkmate!" behind a check is said of that check.
    if question.is_one_word()
        && scene.here.is_check()
        && scene.played.is_some()
        && question.claim.wording.has(Nuance::Checkmate)
    {
        return not_mate(question, &scene.here);
    }
    // Without a line, so is a mate that comes later in the game, or is forced.
    let later = scene.ahead.iter().chain(&scene.beside);
    if let Some(mate) = later.clone().find(|position| position.is_checkmate()) {
        return if question.claim.tense == Tense::Present {
            Answer::unsettled()
        } else {
            Answer::mated(mate)
        };
    }
    if there && !of_now {
        return Answer::unsettled();
    }
    for moves in [1, 2, 4] {
        let readings = mate_readings(question, moves);
        let found = court.leaving_a_quarter(|court| any_holds(question, &readings, court));
        if let Some(answer) = found {
            return if there { Answer::unsettled() } else { answer };
        }
    }
    nothing_mates(question, of_now, court)
}

/// Whether it is said of the position, and not of a move, a plan or a threat: "this is mate",
/// "Black is checkmated".
fn is_of_the_board(question: &Question) -> bool {
    match &question.claim.subject {
        Subject::ThisMove | Subject::Side(_) => true,
        Subject::Piece(noun) => {
            noun.role == Some(Role::King) && question.claim.wording.has(Nuance::Mated)
        }
        _ => false,
    }
}

/// "Mate!", all that a comment says behind a move that is no mate, or what is said `of_now`,
/// where nothing mates soon.
fn nothing_mates(question: &Question, of_now: bool, court: &mut Court<'_>) -> Answer {
    const NODES: u64 = 20_000;
    let here = &question.comment.scene.here;
    let said = of_now || question.is_one_word() && question.comment.scene.played.is_some();
    if !said || here.legal_moves().is_empty() {
        return Answer::unsettled();
    }
    if here.is_check() {
        // "Mate" may announce one; "checkmate" says that it is there.
        let there = question.claim.wording.has(Nuance::Checkmate);
        let moves = if there { 2 } else { THREAT };
        let held = court.is_mated(here, moves).verdict == Verdict::Fails;
        return if held {
            not_mate(question, here)
        } else {
            Answer::unsettled()
        };
    }
    let refuted = mate_readings(question, 2)
        .iter()
        .all(|reading| ask(court, reading).verdict == Verdict::Fails);
    let ever = |position: &Chess, court: &mut Court<'_>| {
        court.mates_ever(position, NODES).verdict == Verdict::Holds
    };
    let passed = question.comment.scene.passed();
    if !refuted || ever(here, court) || passed.is_some_and(|passed| ever(&passed, court)) {
        return Answer::unsettled();
    }
    not_mate(question, here)
}

/// Whether the side to move can mate at once.
fn mates_next(position: &Chess) -> bool {
    let moves = position.legal_moves();
    moves
        .into_iter()
        .any(|m| played(position, m).is_checkmate())
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn mate_on_the_board_is_seen() {
        use Verdict::{Fails, Holds};
        all(
            "1. f3 e5 2. g4 Qh4#",
            &[("White [is mated].", Holds), ("Black [is mated].", Fails)],
        );
    }

    #[test]
    fn a_mate_that_is_said_to_be_there_is_looked_at() {
        use Verdict::{Fails, Unsettled};
        all(
            "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5",
            &[
                ("This [is already mate], and the lesson is over.", Fails),
                ("White [is checkmated], and the lesson is over.", Fails),
                ("The idea [is mate].", Unsettled),
                ("If he sleeps, White [is mated].", Unsettled),
            ],
        );
    }
}
