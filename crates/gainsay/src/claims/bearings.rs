//! How many men attack or defend something.

use gainsay_commentary::{Bearing, Owner, Subject, Target};
use gainsay_proof::{Verdict, facts};
use shakmaty::{Bitboard, Board, Chess, Color, Position, Square};

use super::{
    answer::Answer,
    nouns::{aims, squares},
};
use crate::{
    outcome::{At, Line, Man, PieceWhy},
    question::Question,
    rule::{Severity, rule},
};

rule! {
    /// A piece or square is not attacked or defended as often as the text says, or not by those
    /// that it says.
    ///
    /// "Attacked twice", "has one defender", "the only defender of f7 is the king". Every piece
    /// that attacks the square directly counts, the king and a pinned piece too (FIDE Laws of
    /// Chess 2023, articles 3.1.2 and 3.1.3; that a piece defends where it could recapture is
    /// common practice, no source). A number that fits only if the pieces that stand behind others
    /// on the same line are counted, or behind one piece of the other side, or if those that are
    /// pinned to their king are not, is neither confirmed nor denied. It is said of the position
    /// behind the move of the comment, or at the end of the line that it stands behind.
    ///
    /// ```pgn before
    /// 1. e4 e5 2. Nf3 Nc6 {The pawn on e5 is attacked twice.} 3. Bb5 *
    /// ```
    ///
    /// ```pgn after
    /// 1. e4 e5 2. Nf3 Nc6 {The pawn on e5 is attacked once and defended once.} 3. Bb5 *
    /// ```
    FALSE_ATTACK_COUNT = "false-attack-count", Severity::Warning
}

/// How a number fits a position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    Not,
    /// If pieces behind others are counted, or pinned ones are not.
    Perhaps,
    Fully,
}

/// Settles "is attacked twice", "has one defender".
pub(super) fn settle_bearing(question: &Question, said: &Bearing) -> Answer {
    let Some(position) = question.place().filter(|_| !question.denied()) else {
        return Answer::unsettled();
    };
    let may_be = |position: &Chess| {
        let judged = judged(question, said, position);
        judged.is_some_and(|(fit, _)| fit != Fit::Not)
    };
    let may_be_here = || {
        let judged = judged(question, said, &question.comment.scene.here);
        judged.is_none_or(|(fit, _)| fit != Fit::Not)
    };
    let Some((fit, told)) = judged(question, said, position) else {
        return Answer::unsettled();
    };
    match fit {
        Fit::Fully => Answer::new(Verdict::Holds).on(position),
        Fit::Perhaps => Answer::unsettled(),
        // A line that is cited elsewhere in the comment may be what it speaks of, or the position
        // behind the move: "he threatens 24.Kf1, and the queen has no protection".
        Fit::Not if question.may_speak_of_line(&may_be) => Answer::unsettled(),
        Fit::Not if !question.speaks_of_one(position) && may_be_here() => Answer::unsettled(),
        Fit::Not => Answer::refuted(told, position, Line::new(position, &[])),
    }
}

/// How the count fits a position, and what is true there; `None` where it is not known what is
/// meant.
fn judged(question: &Question, said: &Bearing, position: &Chess) -> Option<(Fit, PieceWhy)> {
    let board = position.board();
    let at = square(board, said.target.as_ref()?)?;
    // What attacks and defends a king is told loosely.
    if board.kings().contains(at) {
        return None;
    }
    let owner = board.color_at(at);
    let acting = match (question.claim.subject, said.of.map(|noun| noun.owner)) {
        (Subject::Side(color), _) | (_, Some(Owner::Side(color))) => Some(color),
        _ => None,
    };
    let [attacker, defender] = match (owner, acting) {
        (Some(owner), Some(side)) if said.attackers.is_some() && side == owner => return None,
        (Some(owner), Some(side)) if said.defenders.is_some() && side != owner => return None,
        (Some(owner), _) => [!owner, owner],
        (None, Some(side)) => [side, side],
        (None, None) => return either(board, at, said),
    };
    if said.attackers.is_some() && said.defenders.is_some() && owner.is_none() {
        return None;
    }
    let mut fit = Fit::Fully;
    let counted = [(said.attackers, attacker), (said.defenders, defender)];
    let last = counted.iter().rposition(|(number, _)| number.is_some())?;
    for (nth, (number, by)) in counted.into_iter().enumerate() {
        if let Some(number) = number {
            // Who they are is said of the last number.
            let named: &[Target] = if nth == last { &said.by } else { &[] };
            fit = fit.min(fits(board, at, by, number, said, named));
        }
    }
    // Which men they are may be said in words that were not understood.
    let fit = if said.open {
        fit.min(Fit::Perhaps)
    } else {
        fit
    };
    let told = PieceWhy::BornOn {
        at: At(at),
        man: Man::on(board, at),
        attackers: said.attackers.map(|_| men(board, at, attacker)),
        defenders: said.defenders.map(|_| men(board, at, defender)),
    };
    Some((fit, told))
}

/// The same of an empty square, where it is not said whose men are counted: it is true only with
/// names, and false only of both sides.
fn either(board: &Board, at: Square, said: &Bearing) -> Option<(Fit, PieceWhy)> {
    let (attacks, number) = match (said.attackers, said.defenders) {
        (Some(number), None) => (true, number),
        (None, Some(number)) => (false, number),
        _ => return None,
    };
    let fit = |by| fits(board, at, by, number, said, &said.by);
    let mut fit = fit(Color::White).max(fit(Color::Black));
    if said.open || said.by.is_empty() {
        fit = fit.min(Fit::Perhaps);
    }
    let all = Color::ALL.map(|by| men(board, at, by)).concat();
    let told = PieceWhy::BornOn {
        at: At(at),
        man: None,
        attackers: attacks.then(|| all.clone()),
        defenders: (!attacks).then_some(all),
    };
    Some((fit, told))
}

/// The men of a side that attack a square.
fn men(board: &Board, at: Square, by: Color) -> Vec<Man> {
    Man::all(board, facts::attackers(board, at, by))
}

/// The one square that is meant.
fn square(board: &Board, target: &Target) -> Option<Square> {
    match target {
        Target::Square(square) => Some(*square),
        Target::Piece(noun) if noun.plural => None,
        // Of a piece on a square "piece" may mean a pawn too.
        Target::Piece(noun) => match noun.square {
            Some(square) if noun.role.is_none() => board.piece_at(square).map(|_| square),
            _ => squares(board, noun).single_square(),
        },
    }
}

/// How a number of the men of `by` fits, with the names of all of them, if any are named.
fn fits(board: &Board, at: Square, by: Color, number: u8, said: &Bearing, named: &[Target]) -> Fit {
    let bearing = facts::bearing(board, at, by);
    let number = usize::from(number);
    let of = |men: Bitboard| match &said.of {
        // "Three pieces" may be pawns or the king among them.
        Some(noun) if noun.role.is_none() => men,
        Some(noun) => men & squares(board, noun),
        None => men,
    };
    let counted = facts::Bearing {
        direct: of(bearing.direct),
        held: of(bearing.held),
        all: of(bearing.all),
    };
    let direct = counted.direct.count();
    let loosely = said.of.as_ref().is_some_and(|noun| noun.role.is_none()) && {
        let pieces = counted.direct & !board.pawns() & !board.kings();
        pieces.count() != direct
    };
    let fit = if direct == number && !loosely {
        Fit::Fully
    } else if counted.may_be(number) || loosely && number <= counted.all.count() {
        Fit::Perhaps
    } else {
        Fit::Not
    };
    if named.is_empty() || fit == Fit::Not {
        return fit;
    }
    if is_each(board, named, counted.direct, 0) && named_men(named) == number {
        return fit;
    }
    if is_each(board, named, counted.all, 0) {
        Fit::Perhaps
    } else {
        Fit::Not
    }
}

/// How many men are named.
fn named_men(named: &[Target]) -> usize {
    let men = named.iter().map(|target| match target {
        Target::Piece(noun) if noun.plural => usize::from(noun.count.unwrap_or(2)),
        _ => 1,
    });
    men.sum()
}

/// Whether each of the names from the `nth` on can be another of the men. There are six names at
/// most.
fn is_each(board: &Board, named: &[Target], men: Bitboard, nth: usize) -> bool {
    let mut left = vec![(nth, men)];
    while let Some((nth, men)) = left.pop() {
        let Some(target) = named.get(nth) else {
            return true;
        };
        let fitting = aims(board, target) & men;
        let many = matches!(target, Target::Piece(noun) if noun.plural);
        if many {
            if named_men(std::slice::from_ref(target)) <= fitting.count() {
                left.push((nth + 1, men & !fitting));
            }
            continue;
        }
        left.extend(fitting.into_iter().map(|one| (nth + 1, men.without(one))));
    }
    false
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::{all, verdict};

    const OPEN: &str = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d4 exd4 6. cxd4";

    #[test]
    fn attackers_and_defenders_are_counted() {
        use Verdict::{Fails, Holds};
        all(
            OPEN,
            &[
                ("[The pawn on d4 is attacked twice].", Holds),
                ("[The pawn on d4 is attacked three times].", Fails),
                (
                    "[The pawn on d4 is attacked twice and defended twice].",
                    Holds,
                ),
                (
                    "[The pawn on d4 is attacked twice and defended once].",
                    Fails,
                ),
                ("[Twice is the pawn on d4 attacked].", Holds),
                (
                    "[The pawn on d4 is attacked twice, by the knight and the bishop].",
                    Holds,
                ),
                (
                    "[The pawn on d4 is attacked twice, by the queen and the bishop].",
                    Fails,
                ),
                ("[The pawn on e4 has no defender].", Holds),
                (
                    "[The knight on c6 has two defenders, both of them pawns].",
                    Verdict::Unsettled,
                ),
                ("[The bishop on c5 has no protector].", Holds),
                ("[The bishop on c4 has a single protector].", Fails),
                ("[Black attacks d4 twice].", Holds),
                ("[Black attacks d4 three times].", Fails),
                ("[The pawn on f7 is defended only by the king].", Holds),
                ("[The pawn on f7 is defended only by the queen].", Fails),
                ("[The only defender of f7 is the king].", Holds),
                ("He takes f7, [whose only defender is the king].", Holds),
                ("He takes f7, [whose only defender is the queen].", Fails),
                ("[Nobody guards the bishop on c5].", Holds),
                ("[Nothing guards the bishop on c4].", Holds),
                ("[Nobody guards the pawn on d4].", Fails),
                (
                    "The pawn on d4 is attacked by the bishop and [has no protector].",
                    Fails,
                ),
                ("[The pawn on d4 is attacked by two black pieces].", Holds),
                ("[The pawn on d4 is attacked by three black pieces].", Fails),
            ],
        );
    }

    #[test]
    fn those_behind_and_those_that_are_pinned_may_be_counted() {
        use Verdict::{Fails, Holds, Unsettled};
        // Two rooks on the d-file, and a knight that is pinned to its king.
        all(
            "3r2k1/3r4/4n3/3p4/8/8/3R4/3RK3 w - - 0 1 | 1. Kf2",
            &[
                ("[The pawn on d5 is attacked once].", Holds),
                ("[The pawn on d5 is attacked twice].", Unsettled),
                ("[The pawn on d5 is attacked three times].", Fails),
            ],
        );
        all(
            "4k3/4n3/8/3p4/8/8/8/4RK2 w - - 0 1 | 1. Kf2",
            &[
                ("[The pawn on d5 is defended once].", Holds),
                ("[The pawn on d5 has no defender].", Unsettled),
                ("[The pawn on d5 is defended twice].", Fails),
            ],
        );
    }

    #[test]
    fn what_is_only_supposed_or_lost_is_not_judged() {
        for comment in [
            "If the queen goes away [the pawn on d4 is attacked twice].",
            "He hoped that [the pawn on d4 has one defender].",
            "[The knights are attacked three times].",
            "The pawn on d4 [is not attacked twice].",
            "The pawn on d4 [is attacked at once].",
            "The pawn on d4 [is attacked once more].",
            "The pawn on d4 [has one defender too many].",
            "The king on e8 [has two defenders].",
            "Had the pawn on d4 [no defender] he would have taken it.",
            "The bishop is under fire from f6, [twice attacked].",
            "Sometimes [d4 is attacked three times].",
        ] {
            assert_ne!(verdict(OPEN, comment), Some(Verdict::Fails), "{comment}");
            assert_ne!(verdict(OPEN, comment), Some(Verdict::Holds), "{comment}");
        }
    }
}
