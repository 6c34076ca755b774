//! Checks: plain, double and discovered.

use gainsay_commentary::Owner;
use gainsay_commentary::{At, Noun, Nuance, Relation, Subject, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::Color;
use shakmaty::{Chess, Position, Role};

use super::{answer::Answer, nouns::squares};
use crate::{
    outcome::{CheckKind, Line, Man, PieceWhy, Side},
    question::{NEAR, Question, Resolved},
    resolve::{played, whoever_moves},
    scene::Step,
};

/// Settles relations that a move makes and a position does not show: a double check, a
/// discovered check or attack. They hold if a move near the comment makes them.
/// `None` for other relations.
pub(super) fn settle_check<'q>(
    question: &'q Question,
    relation: Relation,
    actor: Option<&Noun>,
) -> Option<Answer> {
    if !matches!(
        relation,
        Relation::Checks
            | Relation::DoubleCheck
            | Relation::DiscoveredCheck
            | Relation::DiscoveredAttack
    ) {
        return None;
    }
    let makes = |step: &&Step| {
        step.mv.is_some_and(|m| match relation {
            Relation::Checks => {
                step.after.is_check()
                    && may_be_in_check(question, step.after.turn())
                    && may_give_check(question, actor, &step.after)
            }
            Relation::DoubleCheck => facts::gives_double_check(&step.before, m),
            Relation::DiscoveredCheck => facts::gives_discovered_check(&step.before, m),
            _ => !facts::discoveries(&step.before, m).is_empty(),
        })
    };
    let scene = &question.comment.scene;
    let steps = |line: &'q Resolved| line.readings.iter().flatten();
    let near = || {
        let played = scene.played.iter();
        played.chain(scene.steps.iter().take(NEAR))
    };
    let found = near()
        .chain(question.comment.lines.iter().flat_map(steps))
        .find(makes);
    if question.denied() {
        return Some(match (found, step_meant(question)) {
            (None, Some(step)) => Answer::new(Verdict::Holds).on(&step.after),
            _ => Answer::unsettled(),
        });
    }
    // In the present it is said of the move of the comment, or of one that the sentence cites.
    let now = question.claim.tense == Tense::Present && scene.before().is_some();
    let meant = scene
        .played
        .iter()
        .chain(question.own_lines().flat_map(steps));
    let behind = step_meant(question).filter(|_| question.claim.at != At::Here);
    let told = if let Some(step) = behind {
        Some(step).filter(makes)
    } else if now {
        meant.into_iter().find(makes)
    } else {
        found
    };
    if let Some(step) = told {
        return Some(
            Answer::new(Verdict::Holds)
                .on(&step.before)
                .shown_by(step.shown()),
        );
    }
    let earlier = std::iter::once(&scene.here).chain(scene.back.iter().take(NEAR));
    let stood = |position: &Chess| match relation {
        Relation::Checks => {
            position.is_check()
                && may_be_in_check(question, position.turn())
                && may_give_check(question, actor, position)
        }
        Relation::DoubleCheck => facts::is_double_check(position),
        _ => false,
    };
    if now && stood(&scene.here) {
        return Some(Answer::new(Verdict::Holds).on(&scene.here));
    }
    if let Some(position) = earlier
        .chain(&scene.beside)
        .find(|position| stood(position))
    {
        return Some(if now || behind.is_some() {
            Answer::unsettled()
        } else {
            Answer::new(Verdict::Holds).on(position)
        });
    }
    if found.is_some() {
        return Some(Answer::unsettled());
    }
    let found =
        no_such_check(question, relation).or_else(|| nobody_checks(question, relation, actor));
    Some(found.unwrap_or_else(Answer::unsettled))
}

/// The finding that the side or king that is said to be in check now is not, or that another
/// piece gives the check.
fn nobody_checks(question: &Question, relation: Relation, actor: Option<&Noun>) -> Option<Answer> {
    let here = &question.comment.scene.here;
    let named = |noun: &Noun| {
        let gives = noun.role.is_some_and(|role| role != Role::King) && !noun.plural;
        gives && noun.square.is_some() && !can_check_next(question, noun)
    };
    let said = match (actor, question.claim.subject) {
        (Some(noun), _) => noun.role.is_some() && (here.is_check() || named(noun)),
        (None, Subject::Side(_)) => question.claim.wording.has(Nuance::Within),
        (None, Subject::Piece(noun)) if noun.role == Some(Role::King) => {
            question.claim.wording.has(Nuance::Within)
        }
        (None, Subject::Piece(noun)) => named(&noun) && !question.claim.wording.has(Nuance::With),
        _ => false,
    };
    let told = question.speaks_of_now()
        && question.claim.at == At::Here
        && relation == Relation::Checks
        && said;
    if !told || question.comment_cites_loosely() {
        return None;
    }
    let why = PieceWhy::CheckedBy {
        side: Side(here.turn()),
        by: Man::all(here.board(), here.checkers()),
    };
    Some(Answer::refuted(why, here, Line::new(here, &[])))
}

/// Whether such a piece can give check by its next move, or where it goes then, so that a plan may
/// be told: "the knight gives check and comes back".
fn can_check_next(question: &Question, noun: &Noun) -> bool {
    whoever_moves(&question.comment.scene.here).any(|position| {
        let mut moves = position.legal_moves().into_iter();
        moves.any(|m| noun.role == Some(m.role()) && played(&position, m).is_check())
    })
}

/// Whether the piece that is said to give check is one of those that do.
fn may_give_check(question: &Question, actor: Option<&Noun>, position: &Chess) -> bool {
    if let Some(noun) = actor {
        return (squares(position.board(), noun) & position.checkers()).any();
    }
    let Subject::Piece(noun) = question.claim.subject else {
        return true;
    };
    let gives = noun.role.is_some_and(|role| role != Role::King)
        && !question.claim.wording.has(Nuance::Within)
        && !question.claim.wording.begins(Nuance::With);
    !gives || (squares(position.board(), &noun) & position.checkers()).any()
}

/// The move of which a check is said: the last of the line it leans on, or the move that
/// the comment stands behind.
fn step_meant(question: &Question) -> Option<&Step> {
    match question.claim.at {
        At::End(_) | At::Subject(_) => question.only_end(),
        At::Here => question.comment.scene.played.as_ref(),
        At::Shown(_) | At::Near(_) => None,
    }
}

/// The finding that a move does not give the check that is said of it. It must be said
/// of the move: right behind its line, with "this", or with no other word.
fn no_such_check(question: &Question, relation: Relation) -> Option<Answer> {
    let check = match relation {
        Relation::Checks => CheckKind::Plain,
        Relation::DoubleCheck => CheckKind::Double,
        Relation::DiscoveredCheck => CheckKind::Discovered,
        _ => return None,
    };
    let of_the_move = match question.claim.at {
        At::End(_) | At::Subject(_) => question.claim.subject == Subject::Line,
        _ => question.claim.subject == Subject::ThisMove || question.is_all(),
    } && !question.claim.wording.begins(Nuance::With);
    let step = step_meant(question).filter(|_| of_the_move)?;
    let m = step.mv?;
    if question.comment_cites_loosely() || is_to_come(relation, &step.after) {
        return None;
    }
    let why = PieceWhy::NoSuchCheck {
        cited: Line::new(&step.before, &[m]),
        check,
        side: Side(step.after.turn()),
        by: Man::all(step.after.board(), step.after.checkers()),
    };
    Some(Answer::refuted(why, &step.after, step.shown()))
}

/// Whether the next move of either side gives such a double or discovered check.
fn is_to_come(relation: Relation, position: &Chess) -> bool {
    relation != Relation::Checks
        && whoever_moves(position).any(|position| {
            position.legal_moves().into_iter().any(|m| match relation {
                Relation::DoubleCheck => facts::gives_double_check(&position, m),
                _ => facts::gives_discovered_check(&position, m),
            })
        })
}

/// Whether the words can say of `side` that it is in check.
pub(super) fn may_be_in_check(question: &Question, side: Color) -> bool {
    let said = match question.claim.subject {
        Subject::Side(said) => Some(said),
        Subject::Piece(noun) => match noun.owner {
            Owner::Side(said) if noun.role == Some(Role::King) => Some(said),
            _ => None,
        },
        _ => None,
    };
    let Some(said) = said else {
        return true;
    };
    let in_check = question.claim.wording.has(Nuance::Within);
    matches!(question.claim.subject, Subject::Side(_)) && !in_check || said == side
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn the_check_that_a_move_gives_is_seen() {
        use Verdict::{Fails, Holds};
        all(
            "1. e4 e5 2. Qh5 Nc6 3. Qxf7+",
            &[("[This is check].", Holds), ("[Double check].", Fails)],
        );
    }

    /// In the present it is so behind the move, not a ply before or after.
    #[test]
    fn a_pin_or_check_is_there_now() {
        use Verdict::{Holds, Unsettled};
        let early = crate::check(
            b"1. e4 e5 2. Nf3 Nc6 3. Bb5 {The knight on c6 is pinned.} d6 *",
            &crate::Settings::default(),
        );
        assert!(early.claims.iter().any(|claim| claim.verdict == Unsettled));
        all(
            "1. e4 e5 2. Nf3 Nc6 3. Bb5",
            &[("After 3...d6 [the knight on c6 is pinned].", Holds)],
        );
        all(
            "1. e4 e5 2. Nf3 Nc6 3. Bb5 d6",
            &[("[The knight on c6 is pinned].", Holds)],
        );
        let early = crate::check(
            b"1. e4 e5 2. Nf3 f6 3. Nxe5 fxe5 {Black is in check.} 4. Qh5+ Ke7 *",
            &crate::Settings::default(),
        );
        assert!(early.claims.iter().all(|claim| claim.verdict == Unsettled));
        all(
            "1. e4 e5 2. Nf3 f6 3. Nxe5 fxe5 4. Qh5+",
            &[("[Black is in check].", Holds)],
        );
        all(
            "1. e4 e5 2. Nf3 f6 3. Nxe5 fxe5 4. Qh5+ Ke7",
            &[
                ("[Black is in check].", Unsettled),
                ("[Black was in check].", Holds),
                ("Now 5.Qxe5+ and [Black is in check] again.", Holds),
            ],
        );
    }

    #[test]
    fn who_is_in_check_is_judged_now() {
        use Verdict::{Fails, Holds, Unsettled};
        all(
            "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5",
            &[
                ("[White is in check] and must move.", Fails),
                ("If [White is in check], he must move.", Unsettled),
            ],
        );
        all(
            "1. e4 d5 2. exd5 Qxd5 3. Nf3 Qe4+",
            &[
                ("[The white king is in check].", Holds),
                ("[The black king is in check].", Fails),
                ("White is [in check from the queen on e4].", Holds),
                ("White is [in check from the bishop on c8].", Fails),
                ("[The check comes from the bishop on c8].", Fails),
                ("The bishop on c8 [gives check to the king].", Fails),
                ("The queen on e4 [gives check].", Holds),
            ],
        );
    }
}
