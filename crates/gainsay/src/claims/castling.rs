//! Whether a side has castled, by the moves of the game.

use gainsay_commentary::{ClaimKind, Feature, Nuance, Reference, Structure, Tense};
use gainsay_proof::{Verdict, facts};
use shakmaty::{CastlingSide, Chess, Color, File, Move, Position, Rank};

use super::{answer::Answer, pieces::owners};
use crate::{
    outcome::{At, Line, Side, StructureWhy},
    question::Question,
    resolve::with_turn,
    scene::Step,
};

/// Settles "White has castled", "has castled long", "both sides have castled".
pub(super) fn settle_castled(question: &Question, said: &Structure) -> Answer {
    let Structure { feature, owner, .. } = *said;
    let wing = match feature {
        Feature::Castled(wing) => wing,
        _ => said.wing,
    };
    if matches!(feature, Feature::CastledAlike | Feature::CastledApart) {
        return wings_compared(question, feature);
    }
    let sides = owners(owner);
    let done = |side: Color| {
        let step = castled(question, side)?;
        let on = step.mv.and_then(|m| m.castling_side());
        (wing.is_none() || on == wing).then_some(step)
    };
    if question.claim.tense == Tense::Future {
        return Answer::unsettled();
    }
    if question.denied() {
        return not_castled(question, &sides, &done);
    }
    let short_of = sides
        .iter()
        .copied()
        .find(|&side| done(side).is_none() && !may_have_castled(question, side, wing));
    let found: Vec<&Step> = sides.iter().filter_map(|&side| done(side)).collect();
    let holds = match feature {
        Feature::BothCastled => sides.iter().all(|&side| done(side).is_some()),
        _ => !found.is_empty(),
    };
    if let (Some(answer), true) = (castled_elsewhere(question, &found), holds) {
        return answer;
    }
    if holds {
        let mut answer = Answer::new(Verdict::Holds).on(&question.comment.scene.here);
        for step in found {
            answer = answer.shown_by(step.shown());
        }
        return answer;
    }
    let all = sides
        .iter()
        .all(|&side| !may_have_castled(question, side, wing));
    match short_of {
        Some(side) if all || feature == Feature::BothCastled => castles_not(question, side),
        _ => Answer::unsettled(),
    }
}

/// "They have castled on opposite wings": of both sides, whoever is named.
fn wings_compared(question: &Question, feature: Feature) -> Answer {
    let here = &question.comment.scene.here;
    let late = question.claim.tense == Tense::Future || question.pointer().is_some();
    if question.denied() || late || question.comment_cites_loosely() {
        return Answer::unsettled();
    }
    let [Some(white), Some(black)] = Color::ALL.map(|side| castled(question, side)) else {
        let mut sides = Color::ALL.into_iter();
        let plain = |side: &Color| {
            castled(question, *side).is_none() && !may_have_castled(question, *side, None)
        };
        return match sides.find(plain) {
            Some(side) => castles_not(question, side),
            None => Answer::unsettled(),
        };
    };
    let wing = |step: &Step| step.mv.and_then(|m| m.castling_side());
    let alike = wing(white) == wing(black);
    if alike == (feature == Feature::CastledAlike) {
        let answer = Answer::new(Verdict::Holds).on(here);
        return answer.shown_by(white.shown()).shown_by(black.shown());
    }
    let (side, by) = (Side(Color::Black), black.shown());
    let other = white.shown();
    let why = StructureWhy::CastledBoth { side, by, other };
    Answer::refuted(why, here, black.shown())
}

/// "White castled on move 12", where it did so on another; unsettled where the place is
/// told in another way.
fn castled_elsewhere(question: &Question, found: &[&Step]) -> Option<Answer> {
    let pointer = question.pointer()?;
    let number = match pointer.kind {
        ClaimKind::Reference(Reference::On(number) | Reference::Nth { number, .. }) => number,
        _ => {
            let places = question.told_of()?;
            let there = |step: &&Step| places.contains(&&step.before);
            return (!found.iter().any(there)).then(Answer::unsettled);
        }
    };
    let [step] = found else {
        return Some(Answer::unsettled());
    };
    let own = step.before.fullmoves().get();
    if own == number {
        return None;
    }
    let shown = step.shown();
    let castles =
        |at: &Step| at.before.turn() == step.before.turn() && at.mv.is_some_and(|m| m.is_castle());
    let tree = &question.comment.scene.tree;
    let [white, black] = [number.saturating_mul(2), number.saturating_mul(2) + 1];
    if (tree.moves_at(white).iter().chain(&tree.moves_at(black))).any(castles) {
        return Some(Answer::unsettled());
    }
    let why = StructureWhy::CastledOn {
        side: Side(step.before.turn()),
        number: own,
        by: shown.clone(),
    };
    Some(Answer::refuted(why, &step.before, shown))
}

/// "White can still castle": it holds if the side has the right where the comment stands,
/// or in a line that it cites, and fails if it has it neither there nor just before. What "can
/// castle short" must be legal at once to hold.
pub(super) fn settle_right(question: &Question, side: Color, said: &Structure) -> Answer {
    let scene = &question.comment.scene;
    let pointed = question.pointed_at();
    let had = |position: &Chess| has_right(position, side, said);
    let at_once = |position: &Chess| {
        with_turn(position, side).is_some_and(|position| {
            let mut moves = position.legal_moves().into_iter();
            moves.any(|m| m.is_castle() && (said.wing.is_none() || m.castling_side() == said.wing))
        })
    };
    let holds = |position: &Chess| {
        had(position) && (said.feature != Feature::CastlingNext || at_once(position))
    };
    // Behind a line it is said of its end, and else of the position.
    let ends: Vec<&Chess> = question.line_ends().collect();
    let told = match (ends.as_slice(), pointed.as_slice()) {
        ([], []) => vec![&scene.here],
        ([], pointed) => pointed.to_vec(),
        (ends, _) => ends.to_vec(),
    };
    if let Some(position) = told
        .first()
        .filter(|_| told.iter().all(|position| holds(position)))
    {
        return Answer::new(Verdict::Holds).on(position);
    }
    let meant: Vec<&Chess> = (std::iter::once(&scene.here).chain(question.cited_positions()))
        .chain(&scene.beside)
        .chain(pointed.iter().copied())
        .collect();
    if meant.iter().any(|position| holds(position)) {
        return Answer::unsettled();
    }
    // "The right to castle" may be one that was lost.
    let plain = (question.claim.wording.has(Nuance::Able) || said.owned)
        && question.claim.closed
        && question.claim.tense == Tense::Present
        && pointed.is_empty()
        && !meant.iter().any(|position| had(position))
        && scene.before().is_some_and(|before| !had(before))
        && !question.line_is_lost()
        && !question.comment_cites_loosely();
    if !plain {
        return Answer::unsettled();
    }
    let by = castled(question, side).map(Step::shown);
    let shown = by.clone().unwrap_or_else(|| Line::new(&scene.here, &[]));
    let wings = CastlingSide::ALL.into_iter();
    let other = wings
        .filter(|&wing| facts::has_castling_right(&scene.here, side, wing))
        .any(|wing| said.wing != Some(wing));
    let side = Side(side);
    let why = if other {
        StructureWhy::CannotCastleThere { side }
    } else {
        StructureWhy::CannotCastle { side, by }
    };
    Answer::refuted(why, &scene.here, shown)
}

/// "Black can no longer castle", where it can by the next move, or has lost no right
/// that it is said to have lost.
pub(super) fn can_castle(question: &Question, side: Color, said: &Structure) -> Option<Answer> {
    let scene = &question.comment.scene;
    let lost = question.claim.wording.has(Nuance::Lost);
    let tense = question.claim.tense;
    // What "was lost" is gone now.
    let told = tense == Tense::Present || lost && tense == Tense::Past;
    let plain = told && question.comment.lines.is_empty();
    let position = with_turn(&scene.here, side)?;
    let mut meant: Vec<&Chess> = question.within_reach().collect();
    // What has been lost was lost before; an author may be a ply ahead.
    if lost {
        meant.retain(|position| !scene.ahead.iter().skip(1).any(|later| later == *position));
    }
    if !plain || !meant.iter().all(|position| has_right(position, side, said)) {
        return None;
    }
    let castles =
        |m: &Move| m.is_castle() && (said.wing.is_none() || m.castling_side() == said.wing);
    let m = position.legal_moves().into_iter().find(castles);
    let (why, shown) = match m {
        Some(m) => {
            let by = Line::new(&position, &[m]);
            let side = Side(side);
            (
                StructureWhy::CanCastle {
                    side,
                    by: by.clone(),
                },
                by,
            )
        }
        None if lost => {
            let king = At(position.board().king_of(side)?);
            let side = Side(side);
            (
                StructureWhy::KeepsRight { side, king },
                Line::new(&position, &[]),
            )
        }
        None => return None,
    };
    Some(Answer::refuted(why, &position, shown))
}

/// The move by which a side castled before the comment.
fn castled(question: &Question, side: Color) -> Option<&Step> {
    let [black, white] = &question.comment.scene.castled;
    side.fold_wb(white, black).as_ref()
}

/// Whether a side can be said to have castled on `wing` though it has not on the way to
/// the comment: before the game as it is given here begins, by hand, in a line beside,
/// or a few moves later.
fn may_have_castled(question: &Question, side: Color, wing: Option<CastlingSide>) -> bool {
    let scene = &question.comment.scene;
    if let Some(step) = castled(question, side) {
        // On the other wing it cannot castle any more.
        return wing.is_none() || step.mv.and_then(|m| m.castling_side()) == wing;
    }
    let began = (scene.tree.all().next()).is_some_and(|start| {
        let any = Structure::new(Feature::CastlingRights);
        !has_right(start, side, &any)
    });
    let castles =
        |step: &Step| step.before.turn() == side && step.mv.is_some_and(|m| m.is_castle());
    let at_home = |position: &Chess| {
        position.board().king_of(side).is_some_and(|king| {
            king.rank() == side.relative_rank(Rank::First)
                && (king.file() <= File::C || king.file() >= File::G)
        })
    };
    began
        || question.cited_steps().chain(&scene.steps).any(castles)
        || question.within_reach().any(at_home)
        || question.comment_cites_loosely()
}

/// The finding that a side has not castled.
fn castles_not(question: &Question, side: Color) -> Answer {
    let here = &question.comment.scene.here;
    let why = match castled(question, side).map(Step::shown) {
        Some(by) => StructureWhy::CastledOtherWing {
            side: Side(side),
            by,
        },
        None => match here.board().king_of(side) {
            Some(king) => StructureWhy::HasNotCastled {
                side: Side(side),
                king: At(king),
            },
            None => return Answer::unsettled(),
        },
    };
    let shown = castled(question, side).map(Step::shown);
    let shown = shown.unwrap_or_else(|| Line::new(here, &[]));
    Answer::refuted(why, here, shown)
}

/// "White has not castled", "neither side has castled": false where it castled more than
/// a move ago.
fn not_castled<'s>(
    question: &'s Question,
    sides: &[Color],
    done: &dyn Fn(Color) -> Option<&'s Step>,
) -> Answer {
    let scene = &question.comment.scene;
    let Some(step) = sides.iter().find_map(|&side| done(side)) else {
        let plain = sides
            .iter()
            .all(|&side| !may_have_castled(question, side, None));
        return if plain {
            Answer::new(Verdict::Holds).on(&scene.here)
        } else {
            Answer::unsettled()
        };
    };
    let fresh = scene.back.iter().take(2).any(|back| *back == step.before);
    if fresh || !question.comment.lines.is_empty() {
        return Answer::unsettled();
    }
    let shown = step.shown();
    let why = StructureWhy::HasCastled {
        side: Side(step.before.turn()),
        by: shown.clone(),
    };
    Answer::refuted(why, &scene.here, shown)
}

/// Whether a side may castle, now or later: on the wing that is said, on two of them, or on any.
pub(super) fn has_right(position: &Chess, side: Color, said: &Structure) -> bool {
    let right = |wing| facts::has_castling_right(position, side, wing);
    match said.wing {
        Some(wing) => right(wing),
        None if said.count == Some(2) => CastlingSide::ALL.into_iter().all(right),
        None => CastlingSide::ALL.into_iter().any(right),
    }
}

#[cfg(test)]
mod tests {
    use gainsay_proof::Verdict;

    use crate::marked::all;

    #[test]
    fn what_was_castled_is_seen() {
        use Verdict::{Fails, Holds};
        all(
            "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. O-O Nf6 5. d3 d6 6. c3 a6 7. Bb3 Ba7",
            &[
                ("White [has castled short].", Holds),
                ("White [has castled long].", Fails),
                ("Black [has not castled].", Holds),
                ("Black [can still castle short].", Holds),
                ("Black [can castle short].", Holds),
                ("Black [keeps the right to castle on either wing].", Holds),
                ("White [keeps the right to castle].", Fails),
                ("Black [has lost the right to castle].", Fails),
                ("Black [can no longer castle on the king's side].", Fails),
                (
                    "White [has lost the right to castle on either side].",
                    Holds,
                ),
                ("The players [have castled on opposite wings].", Fails),
            ],
        );
    }

    #[test]
    fn each_wing_has_its_right() {
        use Verdict::{Fails, Holds, Unsettled};
        let start = "r3k2r/8/8/8/8/8/8/R3K2R b KQkq - 0 20 | 20... Ra7 21. Ke2 Rb7";
        all(
            start,
            &[
                ("Black [can still castle short].", Holds),
                ("Black [can still castle long].", Fails),
                ("Black [has lost the right to castle long].", Holds),
                (
                    "Black [has lost the right to castle on the king's side].",
                    Fails,
                ),
                ("Black [keeps the right to castle on both wings].", Fails),
                ("White [can still castle on the queen's side].", Fails),
            ],
        );
        // The way is not free yet, though the right is there.
        let early = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5";
        all(
            early,
            &[
                ("Black [can castle short].", Unsettled),
                ("Black [can still castle short].", Holds),
                ("White [can castle on the king's side].", Holds),
            ],
        );
    }

    #[test]
    fn wings_are_compared() {
        use Verdict::{Fails, Holds};
        let moves =
            "1. d4 d5 2. Nc3 Nc6 3. Bf4 Bf5 4. Qd2 e6 5. O-O-O Nf6 6. f3 Be7 7. e3 O-O 8. g4 Bg6";
        all(
            moves,
            &[
                ("The players [have castled on opposite wings].", Holds),
                ("Both kings [have castled on the same side].", Fails),
                ("[Both sides have castled short].", Fails),
                ("[Both sides have castled].", Holds),
            ],
        );
    }
}
